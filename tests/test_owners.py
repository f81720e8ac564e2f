"""Whose the shapes of drawings are, what is touched, and the crank's handle."""

import xml.etree.ElementTree as ElementTree
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product
from math import atan2, degrees, hypot

import pytest
from loops import each
from scene_checks import beyond, outline_of
from sheets import areas, by_owner, is_text, shared, states, with_owners
from test_drawings import TRAINS as EVERY_TRAIN
from test_drawings import one_set

import gearlab as gl
from gearlab.draw import Scene, draw_end_view, to_svg
from gearlab.draw.charts.applychart import chart_sheet
from gearlab.draw.endview import end_view_sheet
from gearlab.draw.kit.layers import layers
from gearlab.draw.kit.owner import CRANK, owned
from gearlab.draw.kit.shapes import (
    Circle,
    Group,
    Polygon,
    placed,
    text_boxes,
    walk,
)
from gearlab.draw.kit.style import CONTEXTS
from gearlab.draw.levers import levers_sheet
from gearlab.draw.stick import stick_sheet
from gearlab.solve.equilibrium import TIED_UP
from gearlab.train.kinds import KINDS as RECORDS
from gearlab.train.train import CASE

TRAINS = {name: gl.load_train(name) for name in gl.train_names()}
FIVE = TRAINS["five-range"]
SECOND = gl.power_flow(FIVE, "2")
SVG = "{http://www.w3.org/2000/svg}"


# Owners in the painted picture --------------------------------------------------------


def test_owner_is_written_and_escaped():
    dot = Circle(x=5, y=5, r=3, role="case")
    name = 'body:a "b" <c> & d'
    for look in ({}, {"x": 4.0}, {"turn": 1.0}, {"turn": None, "part": "ring"}):
        group = Group(shapes=(dot,), of=name, **look)
        scene = Scene(width=20, height=20, alt="A dot.", shapes=(group,))
        root = ElementTree.fromstring(to_svg(scene))
        (found,) = [one for one in root.iter() if one.get("data-of")]
        assert found.get("data-of") == name and found.tag == f"{SVG}g"
        assert len(list(found.iter(f"{SVG}circle"))) == 1


def test_nobody_and_a_stored_picture_have_no_owner():
    dot = Circle(x=5, y=5, r=3, role="case")
    for of, turns in (("", None), ("body:ring", 0)):
        group = Group(shapes=(dot,), of=of)
        scene = Scene(width=20, height=20, alt="A dot.", shapes=(group,))
        bare = replace(scene, shapes=(dot,))
        assert to_svg(scene, turns) == to_svg(bare, turns)


def test_neighbours_of_one_owner_share_a_group():
    dots = [Circle(x=i, y=0, r=1, role="case") for i in range(5)]
    first, second, *lone = owned(zip(["a", "a", "b", "", ""], dots, strict=True))
    assert (first.of, first.shapes) == ("a", tuple(dots[:2]))
    assert (second.of, second.shapes) == ("b", (dots[2],))
    assert lone == dots[3:]


def test_both_layers_keep_the_owners():
    scene = end_view_sheet(SECOND, "front").body
    found = layers(scene)
    whole = {(of, shape) for of, shape, _ in with_owners(scene.shapes)}
    parts = [
        {(of, shape) for of, shape, _ in with_owners(one.shapes)}
        for one in (found.kept, found.live)
    ]
    assert parts[0] | parts[1] == whole and not parts[0] & parts[1]
    assert all("body:front sun" in {of for of, _ in part} for part in parts)


def test_an_area_to_touch_paints_nothing_and_is_named():
    root = ElementTree.fromstring(to_svg(stick_sheet(SECOND).body))
    found = [one for one in root.iter() if one.get("class") == "gl-touch"]
    assert len(found) >= 2 * len(FIVE.by_name) - 1
    assert all(one.get("fill") == "none" and not one.get("stroke") for one in found)


# Owners -------------------------------------------------------------------------------


@pytest.mark.parametrize("name", TRAINS)
def test_every_body_and_every_element_is_in_the_stick_diagram(name):
    train = TRAINS[name]
    bodies = {f"body:{body}" for body in train.body_of.values()} | {f"body:{CASE}"}
    elements = {f"element:{name}" for name in train.by_name}
    for flow, end in product(states(train, 2), ("input", "output")):
        for context in CONTEXTS:
            found = by_owner(stick_sheet(flow, end=end, context=context).body)
            assert set(found) - {""} == bodies | elements
            assert {shape.role for shape in found[""]} <= {"centre line", "text"}


def test_lines_of_a_stick_diagram_are_of_their_bodies():
    """The lines of a body end where the layout has its places."""
    found = by_owner(stick_sheet(SECOND).body)
    shown = {shape.text for shape in found["body:intermediate shaft"] if is_text(shape)}
    assert shown == {"intermediate shaft"}
    assert any(shape.role == "path band" for shape in found["body:intermediate shaft"])
    assert any(shape.role == "ring line" for shape in found["body:intermediate shaft"])
    assert {s.role for s in found["body:front planet"]} == {
        "planet body",
        "planet line",
    }
    assert {s.role for s in found["body:case"]} == {"case", "hatch"}
    applied = found["element:forward clutch"]
    assert [s.text for s in applied if is_text(s)] == ["forward", "clutch"]
    assert sum(shape.role == "applied" for shape in applied) == 2
    assert any(shape.role == "path band" for shape in applied)


@each("context", CONTEXTS)
@each("end", ["input", "output"])
@pytest.mark.parametrize("name", TRAINS)
def test_elements_are_touched_in_areas_of_their_own(name, end, context):
    train = TRAINS[name]
    scene = stick_sheet(states(train)[0], end=end, context=context).body
    touched = list(areas(scene))
    assert {of for of, _ in touched} == {f"element:{name}" for name in train.by_name}
    for (one, a), (other, b) in combinations(touched, 2):
        assert one == other or shared(a, b) < 1e-6, (one, other)
    u = CONTEXTS[context].font / CONTEXTS["screen"].font
    for of, shape, place in with_owners(scene.shapes):
        if of.startswith("element:") and shape.role in ("open", "applied"):
            xs, ys = zip(*placed(outline_of(shape)[1], place), strict=True)
            symbol = min(xs), min(ys), max(xs), max(ys)
            mine = [box for owner, box in touched if owner == of]
            around = max(mine, key=lambda box: shared(box, symbol))
            assert shared(around, symbol) == pytest.approx(
                min(symbol[2] - symbol[0], symbol[3] - symbol[1])
            ), "the whole symbol is touched"
            if context != "class":  # where symbols are smaller than letters
                assert min(around[2] - around[0], around[3] - around[1]) >= 24 * u
    for label, box in text_boxes(scene):
        owners = {of for of, area in touched if shared(area, box) > 1}
        whose = {of for of, shape, _ in with_owners(scene.shapes)
                 if is_text(shape) and shape.text == label}  # fmt: skip
        assert owners <= whose or not whose & {of for of, _ in touched}


@pytest.mark.parametrize("name", EVERY_TRAIN)
def test_members_of_an_end_view_are_of_their_bodies(name):
    train = EVERY_TRAIN[name]
    for flow in states(train, 1):
        for one in train.sets:
            for big in (False, True):
                check_owners(train, one, end_view_sheet(flow, one.name, big=big), big)


def check_owners(train, one, sheet, big):
    """Every member has its outline in the picture and a row in the key."""
    owners = {
        short: f"body:{train.body_of[one.member(short)]}" for short in one.members
    }
    body, key = by_owner(sheet.body), by_owner(sheet.key)
    assert set(body) - {CRANK, *owners.values()} <= {""} and not body.get("")
    assert set(owners.values()) <= set(body)
    for short, of in owners.items():
        part = short.rsplit(" ", 1)[-1]
        if part in ("sun", "ring", "carrier", "planet"):
            drawn = {shape.role.split(" ")[0].rstrip("?") for shape in body[of]}
            assert part in drawn
        if part != "planet" or not big:
            named = [shape.text for shape in key[of] if is_text(shape)]
            letter = "".join(word[0] for word in short.split(" ")).upper()
            assert any(name.split(" ")[0] == letter for name in named)


@pytest.mark.parametrize("name", TRAINS)
def test_nodes_of_levers_are_of_their_bodies(name):
    train = TRAINS[name]
    for flow in states(train, 1):
        found = by_owner(levers_sheet(flow).body)
        nodes = {n.body for lever in gl.levers(train) for n in lever.nodes}
        closed = {f"element:{name}" for name in flow.applied | flow.holding}
        bodies = {f"body:{body}" for body in nodes}
        assert bodies <= set(found) and set(found) - bodies - {""} <= closed
        for of in bodies:
            roles = {shape.role.rstrip("?").split(" ")[-1] for shape in found[of]}
            assert {"text", "leader", "tip"} <= roles
        assert not {"tip", "ground"} & {s.role.split(" ")[-1] for s in found[""]}


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", TRAINS)
def test_rows_of_an_apply_chart_are_touched_from_end_to_end(name, context):
    train = TRAINS[name]
    for load, current in product(("drive", "coast"), (None, *train.range_names[:2])):
        scene = chart_sheet(train, load=load, current=current, context=context).body
        touched = list(areas(scene))
        rows = [(of, box) for of, box in touched if of.startswith("range:")]
        heads = [(of, box) for of, box in touched if of.startswith("element:")]
        assert [of for of, _ in rows] == [f"range:{name}" for name in train.range_names]
        assert sorted(of for of, _ in heads) == sorted(
            f"element:{name}" for name in train.by_name
        )
        for (_, a), (_, b) in combinations(touched, 2):
            assert shared(a, b) < 1e-6
        left, right = min(b[0] for _, b in rows), max(b[2] for _, b in rows)
        assert left < 20 and all((b[0], b[2]) == (left, right) for _, b in rows)
        whole = dict(touched)
        for of, shape, place in with_owners(scene.shapes):
            if is_text(shape) and of:
                (label, box), *_ = text_boxes(
                    replace(scene, shapes=(at(shape, place),))
                )
                assert shared(box, whole[of]) > 0, label
        assert chart_sheet(train, load=load).body.shapes != scene.shapes or not current


def at(shape, place):
    """A shape in a group that stands where it stands in a scene."""
    cosine, sine, x, y = place
    return Group(x=x, y=y, start=degrees(atan2(sine, cosine)), shapes=(shape,))


def test_a_tie_up_is_drawn_as_it_stands():
    flow = next(flow for flow in states(FIVE) if flow.state == TIED_UP)
    found = by_owner(stick_sheet(flow).body)
    for name in flow.conflict:
        roles = {shape.role for shape in found[f"element:{name}"]}
        assert "fights ring" in roles


# The crank's handle -------------------------------------------------------------------


def knobs(shapes, part=""):
    """(the part that it turns with, its circle) of every handle."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from knobs(shape.shapes, shape.part or part)
        elif shape.role == "knob":
            yield part, shape


def where(scene, turns=0):
    """The middle of the handle after so many input turns."""
    return [
        placed(((shape.x, shape.y),), place)[0]
        for shape, place in walk(scene.shapes, turns)
        if shape.role == "knob"
    ]


HANDLED = [
    ("five-range", "2", "front", "carrier"),
    ("six-range", "2", "front", "ring"),
    ("lone-set", "sun to carrier", "single", "sun"),
    ("lone-set", "ring to carrier", "single", "ring"),
    ("lone-set", "carrier to ring", "single", "carrier"),
]


@each("train, row, name, part", HANDLED)
def test_what_turns_with_the_input_carries_the_handle(train, row, name, part):
    flow = gl.power_flow(TRAINS[train], row)
    for end, big in product(("input", "output"), (False, True)):
        sheet = end_view_sheet(flow, name, end=end, big=big)
        ((found, knob),) = knobs(sheet.body.shapes)
        assert found == part
        assert knob.r >= 12 or (big and knob.r >= 20)
        assert {shape.role for shape in by_owner(sheet.body)[CRANK]} == {
            "knob",
            "knob ring",
            "touch",
        }
        # It goes round as the input does, whose speed is 1.
        (before,), (after,) = where(sheet.body), where(sheet.body, Fraction(1, 4))
        x, y = (a - b for a, b in zip(before, sheet.centre, strict=True))
        u, v = (a - b for a, b in zip(after, sheet.centre, strict=True))
        hand = 1 if end == "input" else -1
        assert (u, v) == pytest.approx((-hand * y, hand * x), abs=1e-6)
        kept, live = layers(sheet.body).kept, layers(sheet.body).live
        assert list(knobs(kept.shapes)) and not list(knobs(live.shapes))


@each("train, row, name, part", HANDLED)
def test_the_handle_covers_no_mark_letter_or_arrow(train, row, name, part):
    flow = gl.power_flow(TRAINS[train], row)
    for end, look in product(("input", "output"), ({}, {"big": True})):
        scene = end_view_sheet(flow, name, end=end, **look).body
        (middle,), ((_, knob),) = where(scene), knobs(scene.shapes)
        for label, (a, b, c, d) in text_boxes(scene):
            x, y = min(max(middle[0], a), c), min(max(middle[1], b), d)
            # The box of a letter is higher and wider than the letter.
            assert hypot(x - middle[0], y - middle[1]) > 0.6 * knob.r, label
        for shape, place in walk(scene.shapes):
            if shape.role.endswith(" mark") and isinstance(shape, Polygon):
                points = placed(shape.points, place)
                far = [hypot(x - middle[0], y - middle[1]) for x, y in points]
                assert min(far) > knob.r
            if shape.role == "turning":
                points = placed((*shape.points, *shape.head_points), place)
                far = [hypot(x - middle[0], y - middle[1]) for x, y in points]
                assert min(far) > 0.9 * knob.r


def test_a_handle_is_only_where_the_input_is_and_for_a_page():
    assert not list(knobs(end_view_sheet(SECOND, "rear").body.shapes))
    assert not list(knobs(draw_end_view(SECOND, "front").shapes))
    lone = TRAINS["lone-set"]
    nothing = gl.power_flow(lone, applied=())
    assert not list(knobs(end_view_sheet(nothing, "single").body.shapes))


KINDS = [
    ("meshed-planet", {"sun": 30, "inner_planet": 18, "outer_planet": 20, "ring": 90}),
    ("stepped-planet", {"sun": 30, "sun_planet": 24, "ring_planet": 18, "ring": 72}),
    ("two-sun", {"small_sun": 27, "large_sun": 33, "short_planet": 21, "ring": 99}),
    ("simple", {"sun": 12, "ring": 90}),
    ("differential", {"side": 16}),
]


@each("kind, teeth", KINDS)
def test_every_member_of_every_kind_can_carry_the_handle(kind, teeth):
    for first in members_of(kind):
        others = [short for short in members_of(kind) if short != first]
        train = one_set(kind, others[0], first, others[-1], **teeth)
        flow = gl.power_flow(train, "low")
        for end in ("input", "output"):
            scene = end_view_sheet(flow, "single", end=end).body
            ((part, knob),) = knobs(scene.shapes)
            assert part == first.replace(" ", "-") and knob.r >= 7
            assert not list(beyond(scene))


def members_of(kind):
    """The members that something can be joined to."""
    return [short for short in RECORDS[kind].members if "planet" not in short]
