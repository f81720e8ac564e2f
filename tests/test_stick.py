"""The stick diagram: its layout, its names, and the power in its lines."""

import inspect
import os
import random
import re
import subprocess
import sys
from fractions import Fraction

import pytest
from loops import each
from scene_checks import beyond, legible
from trains import (
    DRAWN_TEETH,
    gears,
    internal,
    make_train,
    one_set,
    other_five_range,
    other_six_range,
    random_drawn_train,
    simple,
)

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.bench.look import View
from gearlab.draw import draw_bench, draw_end_view, draw_lever, draw_levers
from gearlab.draw.kit.shapes import Group, Polygon, Text, placed, text_boxes, walk
from gearlab.draw.kit.style import CONTEXTS
from gearlab.draw.kit.svg import to_svg
from gearlab.draw.kit.view import COLOURINGS
from gearlab.draw.stick import draw_half_section, draw_stick
from gearlab.draw.stick.bands import FULL, pieces
from gearlab.draw.stick.grid import MOST_ELEMENTS, MOST_SETS
from gearlab.draw.stick.layout import stick_layout
from gearlab.draw.stick.place import place
from gearlab.draw.stick.power import line_power
from gearlab.lab.suite.common import lettered
from gearlab.say.glossary import phrases, train_words
from gearlab.solve.facts import element_states
from gearlab.solve.facts import roles as doing_of
from gearlab.solve.loads import member_loads
from gearlab.train.gearset import GearSet
from gearlab.train.kinds import KINDS
from gearlab.train.train import CASE

NAMES = gearlab.train_names()
TRAINS = {name: gearlab.load_train(name) for name in NAMES}
PARTS = ("sun", "carrier", "ring")
GROUNDED = ("sun", "small sun", "left", "carrier", "ring", "right")
RANDOM = 16  # random trains that are drawn; each takes about a second
FLOWS = [
    gearlab.power_flow(train, row, load=load)
    for train in TRAINS.values()
    for row in train.range_names
    for load in ("drive", "coast")
]
DRIVING = [flow for flow in FLOWS if flow.state == "drives"]


def called(flow):
    return f"{flow.train.name.split()[0]}-{flow.range}-{flow.load}"


def texts(scene):
    return [text for text, _ in text_boxes(scene)]


def roles(scene):
    return {shape.role for shape, _ in walk(scene.shapes)}


def random_trains():
    for seed in range(RANDOM):
        yield random_drawn_train(random.Random(seed))


# Layout ------------------------------------------------------------------------------


def reached_from(spot, near):
    """All places that hang together with one."""
    reached, todo = set(), [spot]
    while todo:
        spot = todo.pop()
        if spot not in reached:
            reached.add(spot)
            todo += near.get(spot, ())
    return reached


def check_layout(train):
    """Every body is one tree that touches what it joins; none runs over another."""
    layout = stick_layout(train)
    sides = {name: [] for name in layout.lines}
    for name, places in layout.marks.items():
        part = train.by_name[name]
        bodies = [train.body_of[side] for side in part.sides]
        if bodies[0] == CASE:
            bodies.reverse()
        for body, spot in zip(bodies, places, strict=True):
            if body != CASE:
                sides[body].append(spot)
    assert set(layout.marks) == set(train.by_name)
    for member, spot in layout.ports.items():
        if train.body_of[member] != CASE:
            sides[train.body_of[member]].append(spot)
    for end, spot in layout.ends.items():
        sides[train.body_of[getattr(train, end)]].append(spot)
    owners = {}
    for body, edges in layout.lines.items():
        near = layout.edges_at(body)
        places = set(near) | set(sides[body])
        assert len(set(edges)) == len(edges) == len(places) - 1
        assert reached_from(min(places), near) == places, body
        for spot in places:
            owners.setdefault(spot, []).append(body)
    crossed = {spot for spot, _, _ in layout.bridges}
    assert {spot for spot, bodies in owners.items() if len(bodies) > 1} == crossed
    for spot, along, across in layout.bridges:
        assert sorted(owners[spot]) == sorted((along, across))
        for body, axis in ((along, 1), (across, 0)):
            beside = layout.edges_at(body)[spot]
            assert len(beside) == 2
            assert {other[axis] for other in beside} == {spot[axis]}
    # A symbol's edge is its own.
    used = {frozenset(edge) for edges in layout.lines.values() for edge in edges}
    marks = [frozenset(places) for places in layout.marks.values()]
    assert len(set(marks)) == len(marks)
    assert not used & set(marks)


@pytest.mark.parametrize("name", NAMES)
def test_every_body_is_one_tree(name):
    check_layout(TRAINS[name])


@pytest.mark.parametrize("name", NAMES)
def test_no_shipped_train_has_a_crossing(name):
    assert stick_layout(TRAINS[name]).crossings == 0


def test_brakes_hang_from_the_case_where_they_can():
    aside = {
        name: sum(map(stick_layout(train).aside, train.by_name))
        for name, train in TRAINS.items()
    }
    # Three members that input, output and case all reach cannot lie in a plane.
    assert aside.pop("lone-set") > 0
    assert set(aside.values()) == {0}


def test_a_layout_does_not_depend_on_teeth():
    train = TRAINS["five-range"]
    other = train.with_teeth({"front": {"sun": 36}})
    assert stick_layout(train) is stick_layout(other)


def test_random_trains_are_drawn():
    for train in random_trains():
        check_layout(train)
        some = train.element_names[: len(train.element_names) // 2]
        scene = draw_stick(gearlab.power_flow(train, applied=some))
        legible(scene)
        to_svg(scene)


def test_crossings_are_bridged():
    """Three members each joined to three others: that cannot lie in a plane."""
    sets = [simple(name, 30, 72) for name in ("one", "two")]
    pairs = [(f"one {a}", f"two {b}") for a in PARTS for b in PARTS]
    train = make_train(
        *sets,
        input="one sun",
        output="two carrier",
        clutches={f"clutch {i}": pair for i, pair in enumerate(pairs)},
    )
    check_layout(train)
    assert stick_layout(train).crossings > 0


# Texts -------------------------------------------------------------------------------


@each("context", CONTEXTS)
@each("flow", FLOWS, called)
def test_every_flow_is_drawn(flow, context):
    end = "input" if flow.load == "drive" else "output"
    scene = draw_stick(flow, end=end, context=context)
    legible(scene)
    assert f"the {end} at the left" in scene.alt
    if flow.state != "drives":
        assert "no power goes through" in texts(scene) or flow.state == "tied up"


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", NAMES)
def test_a_train_takes_the_same_room_in_every_state(name, context):
    sizes = {
        (scene.width, scene.height)
        for flow in FLOWS
        if flow.train == TRAINS[name]
        for scene in [draw_stick(flow, context=context)]
    }
    assert len(sizes) == 1


def test_names_of_elements_sets_and_shafts_are_written():
    written = " ".join(texts(draw_stick(FLOWS[0])))
    train = FLOWS[0].train
    names = [*train.by_name, *(f"{one.name} set" for one in train.sets)]
    for name in [*names, *(shaft for shaft in train.shafts if shaft != CASE)]:
        assert name in written
    bare = " ".join(texts(draw_stick(FLOWS[0], labels=False)))
    for name in (*train.by_name, *train.shafts, "front set", "middle set"):
        assert name not in bare


def test_words_stand_for_names():
    words = {"low brake": "A", "rear sun": "B", "common-sun shaft": "C", "held": "fest"}
    written = texts(draw_stick(FLOWS[0], words=words))
    assert {"A", "B", "C", "fest"} <= set(written)
    assert not {"common-sun shaft", "held"} & set(written)


def test_a_member_is_pointed_at_where_it_is():
    """A letter for a member stands nearer to its gear than to any other of its set."""
    train = TRAINS["five-range"]
    for short in PARTS:
        words = FrozenMap({f"middle {short}": "A"})
        placed = place(train, "screen", words, True)
        (label,) = (one for one in placed.labels if one.text == "A")
        x, y = (label.box[0] + label.box[2]) / 2, (label.box[1] + label.box[3]) / 2

        def far(other, x=x, y=y, placed=placed):
            column, row = placed.layout.ports[f"middle {other}"]
            return abs(placed.x[column] - x) + abs(placed.y[row] - y)

        assert min(PARTS, key=far) == short


@each("context", CONTEXTS)
@each("colour_by", ["part", "role"])
def test_a_narrow_train_has_its_whole_key_in_a_language_of_long_words(
    context, colour_by
):
    train = make_train(
        simple("one", 30, 70),
        input="one sun",
        output="one carrier",
        brakes={"b": "one ring"},
        one_way={"w": ("one ring", "case")},
        ranges={"1": ["b"]},
    )
    every = (*(one.word for one in gearlab.glossary()), *phrases(), *train_words(train))
    words = FrozenMap({text: text.replace("e", "ellemelle") for text in every})
    for power in (False, True):
        flow = gearlab.power_flow(train, "1")
        look = {"context": context, "colour_by": colour_by, "words": words}
        scene = draw_stick(flow, power=power, **look)
        legible(scene)
        assert not list(beyond(scene))


def test_long_names_break_between_words():
    name = "a very long name for a brake that nobody would ever write on a drum"
    train = one_set(brakes={name: "front ring"})
    scene = draw_stick(gearlab.power_flow(train, applied=[name]))
    legible(scene)
    written = texts(scene)
    assert not any("…" in text for text in written)
    lines = [text for text in written if text in name and text not in ("ring", "a")]
    assert len(lines) > 1
    assert " ".join(lines) == name


# The plain diagram -------------------------------------------------------------------


@each("colour_by", ["part", "role"])
def test_the_plain_diagram_tells_nothing_of_the_flow(colour_by):
    for name in NAMES:
        plain = {
            to_svg(draw_stick(flow, power=False, colour_by=colour_by))
            for flow in FLOWS
            if flow.train == TRAINS[name]
        }
        assert len(plain) == 1


def test_members_have_the_colours_of_their_parts():
    found = roles(draw_stick(FLOWS[0], power=False, colour_by="part"))
    assert {"sun line", "carrier line", "ring line"} <= found
    assert not {role for role in found if role.startswith(("drives", "driven", "held"))}


def test_a_question_by_letters_is_not_answered_by_colours():
    """Where letters stand for members, no colour and no key tells which they are."""
    train = TRAINS["five-range"]
    scene = lettered(train, {"rear sun": "A", "rear ring": "B"})()
    assert {"A", "B"} <= set(texts(scene))
    parts = {"sun line", "carrier line", "ring line"}
    assert not parts & roles(scene) and not set(PARTS) & set(texts(scene))
    assert parts <= roles(draw_stick(FLOWS[0], power=False))


def test_the_output_end_is_the_mirror_image():
    one = draw_stick(FLOWS[0], labels=False)
    two = draw_stick(FLOWS[0], labels=False, end="output")

    def spots(scene, hand):
        group = max(
            (shape for shape in scene.shapes if isinstance(shape, Group)),
            key=lambda shape: len(shape.shapes),
        )
        middle = scene.width / 2
        return sorted(
            (round(hand * (x + place[2] - middle), 3), round(y + place[3], 3))
            for shape, place in walk([group])
            if isinstance(shape, Polygon)
            for x, y in shape.points
        )

    assert spots(one, 1) == spots(two, -1)
    assert "output at the left, input at the right" in texts(two)


# The power path ----------------------------------------------------------------------


def entering(flow, layout, powers):
    """[(body, place, what enters there)], worked out from the flow once more."""
    train, loads = flow.train, member_loads(flow)
    start = "input" if flow.load == "drive" else "output"
    whole = flow.torques[start] * flow.speeds[getattr(train, start)]
    for end, spot in layout.ends.items():
        name = getattr(train, end)
        yield train.body_of[name], spot, flow.torques[end] * flow.speeds[name] / whole
    for member, spot in layout.ports.items():
        yield train.body_of[member], spot, -loads.powers[member] / whole
    for name, (first, second) in layout.marks.items():
        to, against = (train.body_of[side] for side in train.by_name[name].sides)
        if CASE not in (to, against):
            yield to, first, loads.elements[name] / whole
            yield against, second, -loads.elements[name] / whole


@each("flow", DRIVING, called)
def test_power_is_kept_at_every_branch(flow):
    layout = stick_layout(flow.train)
    powers = line_power(flow, layout)
    balance = {}
    for body, spot, power in entering(flow, layout, powers):
        balance[body, spot] = balance.get((body, spot), 0) + power
    for (body, (a, b)), power in powers.edges.items():
        balance[body, a] = balance.get((body, a), 0) - power
        balance[body, b] = balance.get((body, b), 0) + power
    assert {power for (body, _), power in balance.items() if body != CASE} == {0}


def drawn(flow, **how):
    """The scene, and {element: thickness of the band through its symbol [u]}."""
    scene = draw_stick(flow, **how)
    context = how.get("context", "screen")
    placed = place(flow.train, context, FrozenMap(), True)
    group = max(
        (shape for shape in scene.shapes if isinstance(shape, Group)),
        key=lambda shape: len(shape.shapes),
    )
    found = {}
    for name in placed.layout.marks:
        x, y, dx, _ = placed.middle(name)
        for shape, _ in walk(group.shapes):
            if isinstance(shape, Polygon) and shape.role.endswith(" band"):
                xs, ys = zip(*shape.points, strict=True)
                if min(xs) < x < max(xs) and min(ys) < y < max(ys):
                    across = ys if dx else xs
                    found[name] = (max(across) - min(across)) / placed.u
    return scene, found


@each("context", CONTEXTS)
def test_bands_are_as_wide_as_the_power(context):
    """In fourth the forward clutch and the direct clutch share the power.

    They are the shares of torque, for all turn at one speed: the middle set's sun
    takes as many parts as it has teeth, and so does its ring.
    """
    for train in (TRAINS["five-range"], other_five_range()):
        teeth = train.set("middle").all_teeth
        share = Fraction(teeth["sun"], teeth["sun"] + teeth["ring"])
        flow = gearlab.power_flow(train, "4")
        _, found = drawn(flow, context=context)
        assert found["forward clutch"] == pytest.approx(FULL * float(1 - share))
        assert found["direct clutch"] == pytest.approx(FULL * float(share))
        assert "low brake" not in found
        elements = line_power(flow, stick_layout(flow.train)).elements
        assert abs(elements["forward clutch"]) == 1 - share
        assert abs(elements["direct clutch"]) == share


def test_parts_are_written_where_the_power_splits():
    # By virtual work the small sun carries its teeth over the ring's times the ratio of
    # fourth, and turns with the front carrier: 30/90 × 12/11 × 72/96 of the power.
    scene = draw_stick(gearlab.power_flow(TRAINS["six-range"], "4"))
    assert Fraction(30, 90) * Fraction(12, 11) * Fraction(72, 96) == Fraction(3, 11)
    assert {"72.7 %", "27.3 %"} <= set(texts(scene))
    assert "72.7 %" in scene.alt
    scene = draw_stick(gearlab.power_flow(other_six_range(), "4"))
    assert {"71.2 %", "28.8 %"} <= set(texts(scene))
    assert "71.2 %" in scene.alt


def test_the_path_runs_the_other_way_on_the_overrun():
    for load, way in (("drive", 1), ("coast", -1)):
        flow = gearlab.power_flow(TRAINS["five-range"], "4", load=load)
        powers = line_power(flow, stick_layout(flow.train))
        assert powers.ends == {"input": way, "output": -way}
        assert any(one.part == "driven" for one in pieces_of(flow))


def pieces_of(flow):
    """The pieces of the path of a flow, and in whose colour each is drawn."""

    class Stick:
        powers = line_power(flow, stick_layout(flow.train))
        placed = place(flow.train, "screen", FrozenMap(), True)

        @staticmethod
        def band_part(body):
            return "driven" if body == driven else "drives"

    Stick.flow = flow
    end = flow.train.output if flow.load == "drive" else flow.train.input
    driven = flow.train.body_of[end]
    return pieces(Stick)


def test_power_that_goes_round_is_striped():
    # Derived: in fifth of the six-range unit the large-sun clutch gives back 3/11.
    flow = gearlab.power_flow(TRAINS["six-range"], "5")
    other = gearlab.power_flow(other_six_range(), "5")
    around = line_power(other, stick_layout(other.train)).circulating
    assert around == Fraction(5, 19)
    powers = line_power(flow, stick_layout(flow.train))
    assert powers.circulating == Fraction(3, 11)
    assert {"large-sun clutch", "carrier clutch"} <= powers.round
    assert "small-sun clutch" not in powers.round
    assert "input" not in powers.round
    most = max(one.power for one in pieces_of(flow))
    assert most == 1 + Fraction(3, 11)
    scene = draw_stick(flow, circulating=True)
    assert "27.3 % goes round in a circle" in texts(scene)
    assert "27.3 % more goes round" in scene.alt
    assert {"stripe"} <= roles(scene)
    fourth = gearlab.power_flow(flow.train, "4")
    assert "stripe" not in roles(draw_stick(fourth, circulating=True))


def test_what_goes_round_is_drawn_only_when_asked_for():
    """A locked set, and power in a circle: the way through is all that is drawn."""
    locked = gearlab.power_flow(TRAINS["five-range"], "1")
    circle = gearlab.power_flow(TRAINS["six-range"], "5")
    for flow, through, around in (
        (locked, "forward clutch", "front lock clutch"),
        (circle, "carrier clutch", "large-sun clutch"),
    ):
        scene, found = drawn(flow)
        assert found[through] == pytest.approx(FULL)
        assert around not in found
        assert around in drawn(flow, circulating=True)[1]
        assert "stripe" not in roles(scene)
        assert not re.search("round|circle|striped", " ".join(texts(scene)) + scene.alt)


@each("flow", DRIVING, called)
def test_power_without_circles_is_kept_at_every_branch(flow):
    train, layout = flow.train, stick_layout(flow.train)
    powers = line_power(flow, layout, circulating=False)
    balance = {}

    def enters(body, spot, power):
        balance[body, spot] = balance.get((body, spot), 0) + power

    for end, spot in layout.ends.items():
        enters(train.body_of[getattr(train, end)], spot, powers.ends[end])
    for member, spot in layout.ports.items():
        enters(train.body_of[member], spot, -powers.members[member])
    for name, (first, second) in layout.marks.items():
        sides = [train.body_of[side] for side in train.by_name[name].sides]
        if CASE not in sides:
            enters(sides[0], first, -powers.elements[name])
            enters(sides[1], second, powers.elements[name])
    for (body, (a, b)), power in powers.edges.items():
        enters(body, a, -power)
        enters(body, b, power)
        assert abs(power) <= 1
    assert {power for (body, _), power in balance.items() if body != CASE} == {0}
    for one in train.sets:
        members = [m for m in powers.members if m.startswith(f"{one.name} ")]
        assert sum(powers.members[m] for m in members) == 0


@each("circulating", [False, True])
@each("flow", DRIVING, called)
def test_a_percent_stands_at_a_band_of_its_own(flow, circulating):
    """The band that is nearest to a percent is as wide as it says."""
    scene = draw_stick(flow, circulating=circulating)
    bands = []
    for shape, spot in walk(scene.shapes):
        if shape.role.endswith(" band"):
            xs, ys = zip(*placed(shape.points, spot), strict=True)
            bands.append((min(xs), min(ys), max(xs), max(ys)))
    (key,) = [shape for shape in scene.shapes if getattr(shape, "key", False)]
    sample = sum(shape.role.endswith(" band") for shape, _ in walk([key]))
    bands = bands[: len(bands) - sample]
    thick = [min(right - left, low - top) for left, top, right, low in bands]
    # Of what comes in all goes through the end at the left.
    whole = thick[bands.index(min(bands))]
    for text, box in text_boxes(scene):
        if found := re.fullmatch(r"(\d+(?:\.\d)?) %", text):
            gaps = [apart(box, band) for band in bands]
            near = [t for t, gap in zip(thick, gaps, strict=True) if gap == min(gaps)]
            share = float(found.group(1)) / 100
            assert min(gaps) > 0
            assert any(t / whole == pytest.approx(share, abs=6e-4) for t in near), text


def apart(box, other):
    """How far two boxes are from each other."""
    dx = max(other[0] - box[2], box[0] - other[2], 0)
    dy = max(other[1] - box[3], box[1] - other[3], 0)
    return (dx * dx + dy * dy) ** 0.5


@each("colour_by", COLOURINGS)
@each("flow", FLOWS, called)
def test_what_is_held_is_barred_and_nothing_else(flow, colour_by):
    scene = draw_stick(flow, colour_by=colour_by, labels=False)
    layout, doing = stick_layout(flow.train), doing_of(flow)
    lines = {body for body, edges in layout.lines.items() if edges}
    held = {body for body in lines if doing[body] == "held"}
    barred = [shape for shape, _ in walk(scene.shapes[:-1]) if "held" in shape.role]
    if colour_by != "role":  # there a held member of a set is barred as well
        assert bool(barred) == bool(held)
    assert bool(barred) >= bool(held)
    plain = draw_stick(flow, colour_by=colour_by, power=False)
    assert not any("held" in role for role in roles(plain))


def test_pictures_are_coloured_alike_unless_asked_otherwise():
    functions = (draw_stick, draw_end_view, draw_bench, draw_lever, draw_levers)
    defaults = {
        inspect.signature(function).parameters["colour_by"].default
        for function in functions
    }
    assert defaults == {"part"} == {View().colours}


@each("flow", FLOWS, called)
def test_only_a_flow_that_drives_has_a_path(flow):
    _, found = drawn(flow, circulating=True)
    assert bool(found) <= (flow.state == "drives")
    joined = [
        name for name, part in flow.train.by_name.items() if CASE not in part.sides
    ]
    carried = {
        name for name in joined if flow.state == "drives" and powered(flow, name)
    }
    assert set(found) == carried


def powered(flow, name):
    return member_loads(flow).elements[name] != 0


def test_shared_torque_is_said_and_drawn_without_width():
    train = make_train(
        simple("front", 30, 72),
        input="drum",
        output="front carrier",
        shafts={"drum": []},
        brakes={"brake": "front ring"},
        clutches={"one clutch": ("drum", "front sun"), "two": ("drum", "front sun")},
    )
    flow = gearlab.power_flow(train, applied=["brake", "one clutch", "two"])
    assert None in flow.torques.values()
    scene, found = drawn(flow)
    assert set(found) <= {"brake"}
    assert "how the power is shared is not determined" in " ".join(texts(scene))


# Elements and states -----------------------------------------------------------------


@each("flow", FLOWS, called)
def test_states_of_one_way_clutches_are_written_and_drawn(flow):
    scene = draw_stick(flow)
    states = element_states(flow)
    ways = [states[part.name] for part in flow.train.one_way_clutches]
    written = texts(scene)
    for state in ("holds", "overruns", "backs up"):
        assert written.count(state) == ways.count(state)
        assert state not in ways or state in roles(scene)


def test_applied_elements_are_bold():
    flow = gearlab.power_flow(TRAINS["five-range"], "5")
    bold = [
        shape.text
        for shape, _ in walk(draw_stick(flow).shapes)
        if isinstance(shape, Text) and shape.bold
    ]
    together = " ".join(bold)
    for name in flow.train.by_name:
        assert (name in together) == (name in flow.applied), name


def test_what_fights_is_ringed():
    flow = gearlab.power_flow(
        TRAINS["five-range"], applied=["front lock clutch", "overdrive brake"]
    )
    assert flow.state == "tied up"
    rings = [
        shape
        for shape, _ in walk(draw_stick(flow).shapes)
        if shape.role == "fights ring"
    ]
    assert len(rings) == len(flow.conflict) + 1  # the last is in the key


# The half section to learn reading from ---------------------------------------------


@each("end", ["input", "output"])
def test_the_half_section_names_each_part_at_its_place(end):
    """R above the planet, S below it, C at its height, P within it."""
    scene = draw_half_section(end=end)
    at = {}
    for text, (left, top, right, bottom) in text_boxes(scene):
        at.setdefault(text, ((left + right) / 2, (top + bottom) / 2))
    (planet,) = (
        [(x + place[2], y + place[3]) for x, y in shape.points]
        for shape, place in walk(scene.shapes)
        if shape.role == "planet body"
    )
    xs, ys = zip(*planet, strict=True)
    assert min(xs) < at["P"][0] < max(xs) and min(ys) < at["P"][1] < max(ys)
    assert at["R"][1] < min(ys) and at["S"][1] > max(ys)
    assert min(ys) < at["C"][1] < max(ys)
    written = set(texts(scene))
    assert {"drum", "brake", "clutch", "case", "planet", "sun", "ring", "carrier"} <= {
        text.split(":")[0] for text in written
    }
    assert f"the {end} at the left" in scene.alt
    for words in ("planet is the box", "sun the bar below it", "drum: a line"):
        assert words in scene.alt


# Other kinds, and what is refused ----------------------------------------------------


def test_planets_in_a_shaft_are_refused():
    train = make_train(
        simple("front", 30, 72),
        input="front sun",
        output="front carrier",
        brakes={"brake": "front planet"},
    )
    with pytest.raises(ValueError, match=r'"front planet" is a planet .* "meshes"'):
        draw_stick(gearlab.power_flow(train, applied=[]))


def test_members_of_meshes_have_ports_with_their_names():
    train = make_train(
        gears(internal("pinion", 20, "wheel", 70)),
        input="gears pinion",
        output="gears wheel",
        brakes={"arm brake": "gears arm"},
    )
    scene = draw_stick(gearlab.power_flow(train, applied=["arm brake"]))
    assert {"pinion", "wheel", "arm"} <= set(texts(scene))


@pytest.mark.parametrize("kind", DRAWN_TEETH)
def test_members_fixed_for_good_have_the_ground_sign(kind):
    shorts = [short for short in GROUNDED if short in KINDS[kind].members]
    gear_set = GearSet(name="main", kind=kind, teeth=FrozenMap(DRAWN_TEETH[kind]))
    for fixed in shorts:
        first, last = (short for short in shorts if short != fixed)
        train = make_train(
            gear_set,
            input=f"main {first}",
            output=f"main {last}",
            shafts={"case": [f"main {fixed}"]},
        )
        scene = draw_stick(gearlab.power_flow(train, applied=[]))
        check_layout(train)
        legible(scene)
        signs = [shape for shape, _ in walk(scene.shapes) if shape.role == "ground"]
        assert len(signs) == 1


def test_what_is_too_large_is_refused():
    sets = [simple(f"s{i}", 30, 72) for i in range(MOST_SETS + 1)]
    wide = make_train(*sets, input="s0 sun", output="s1 sun")
    brakes = {f"brake {i}": "front ring" for i in range(MOST_ELEMENTS + 1)}
    for train in (wide, one_set(brakes=brakes, clutches={})):
        flow = gearlab.power_flow(train, applied=[])
        with pytest.raises(ValueError, match=r"at most .* draw it in two parts"):
            draw_stick(flow)


@pytest.mark.parametrize("wrong", ["end", "context", "colour_by"])
def test_unknown_looks_are_refused(wrong):
    with pytest.raises(ValueError, match=r'no .* "middle"'):
        draw_stick(FLOWS[0], **{wrong: "middle"})


def test_layouts_are_the_same_in_every_process():
    code = (
        "import gearlab, hashlib\n"
        "from gearlab.draw.stick import draw_stick\n"
        "from gearlab.draw.kit.svg import to_svg\n"
        "flow = gearlab.power_flow(gearlab.load_train('lone-set'), 'direct')\n"
        "print(hashlib.sha256(to_svg(draw_stick(flow)).encode()).hexdigest())"
    )
    found = {
        subprocess.run(
            [sys.executable, "-c", code],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            encoding="utf-8",
            check=True,
        ).stdout
        for seed in "12"
    }
    assert len(found) == 1
