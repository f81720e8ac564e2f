"""End views: teeth in mesh, marks, arrows, labels, colours, words."""

from itertools import combinations, pairwise
from math import atan2

import numpy as np
import pytest
from loops import each
from overlap import overlap, tooth_area
from scene_checks import legible
from trains import external, gears, internal, make_train

import gearlab
from gearlab.base.checks import COLOURS
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import draw_end_view, to_svg
from gearlab.draw.endview.picture import RIM
from gearlab.draw.endview.places import places
from gearlab.draw.kit.layers import layers
from gearlab.draw.kit.page import said
from gearlab.draw.kit.shapes import (
    Arrow,
    Circle,
    Hatch,
    Polygon,
    Text,
    placed,
    text_boxes,
    walk,
)
from gearlab.draw.kit.style import BIG_FONT, CONTEXTS, INK, WHITE, WIDTH, style
from gearlab.draw.kit.view import COLOURINGS
from gearlab.solve.facts import member_roles, roles
from gearlab.solve.loads import member_loads
from gearlab.train.gearset import GearSet
from gearlab.train.train import Brake, Train

TRAIN = gearlab.load_train("five-range")


def flows_of(train):
    """Every range of a train, under both loads."""
    for name in train.range_names:
        for load in ("drive", "coast"):
            yield gearlab.power_flow(train, name, load=load)


def str_of(flow):
    """The name of a test of a flow."""
    return f"{flow.train.name.split()[0]} {flow.range} {flow.load}"


FLOWS = list(flows_of(TRAIN))
EVERY_FLOW = [
    flow
    for name in gearlab.train_names()
    for flow in flows_of(gearlab.load_train(name))
]
TIED_UP = gearlab.power_flow(
    TRAIN, applied=["overdrive brake", "front lock clutch", "low brake"]
)


def kind_flow(kind, held, first, last, planets=3, **teeth):
    """A set of any kind by itself, with one member held."""
    counts = FrozenMap({key.replace("_", "-"): n for key, n in teeth.items()})
    train = Train(
        name="lone",
        input=f"one {first}",
        output=f"one {last}",
        sets=(GearSet(name="one", kind=kind, teeth=counts, planets=planets),),
        brakes=(Brake(name="brake", member=f"one {held}"),),
    )
    return gearlab.power_flow(train, applied=["brake"])


KINDS = {
    "meshed": kind_flow(
        "meshed-planet", "ring", "sun", "carrier",
        sun=30, inner_planet=18, outer_planet=20, ring=90,
    ),
    "crowded": kind_flow(
        "meshed-planet", "carrier", "sun", "ring", 6,
        sun=30, inner_planet=18, outer_planet=20, ring=90,
    ),
    "two suns": kind_flow(
        "two-sun", "large sun", "small sun", "ring",
        small_sun=33, large_sun=42, short_planet=18, ring=84,
    ),
    "two suns, carrier held": kind_flow(
        "two-sun", "carrier", "small sun", "ring",
        small_sun=24, large_sun=38, short_planet=20, ring=86,
    ),
    "stepped": kind_flow(
        "stepped-planet", "ring", "sun", "carrier",
        sun=24, sun_planet=30, ring_planet=18, ring=72,
    ),
    "stepped, carrier held": kind_flow(
        "stepped-planet", "carrier", "sun", "ring", 2,
        sun=40, sun_planet=18, ring_planet=30, ring=90,
    ),
    "differential": kind_flow(
        "differential", "right", "carrier", "left", 2, side=16
    ),
    "four bevel planets": kind_flow(
        "differential", "carrier", "left", "right", 4, side=20
    ),
}  # fmt: skip


def lone_flow(sun, planet, ring, planets, held="ring"):
    """A simple set by itself, driven by the sun or carrier with one member held."""
    teeth = FrozenMap({"sun": sun, "planet": planet, "ring": ring})
    ends = {
        "ring": ("sun", "carrier"),
        "carrier": ("sun", "ring"),
        "sun": ("carrier", "ring"),
    }
    train = Train(
        name="lone",
        input=f"one {ends[held][0]}",
        output=f"one {ends[held][1]}",
        sets=(GearSet(name="one", kind="simple", teeth=teeth, planets=planets),),
        brakes=(Brake(name="brake", member=f"one {held}"),),
    )
    return gearlab.power_flow(train, applied=["brake"])


def outlines(scene, turns):
    """Sun, ring bore and planets as arrays of points where they are drawn."""
    found = {"sun body": [], "bore": [], "planet body": []}
    for shape, place in walk(scene.shapes, turns):
        if isinstance(shape, Polygon) and shape.role in found:
            found[shape.role].append(np.array(placed(shape.points, place)))
    return found["sun body"][0], found["bore"][0], found["planet body"]


def most_overlap(scene, turns, off=0.0):
    """The worst overlap of planets with sun or ring, as a part of a planet's tooth.

    `off` turns the planets out of mesh [turns].
    """
    sun, bore, drawn = outlines(scene, turns)
    centre = middle_of(sun)
    worst = 0.0
    for planet in drawn:
        middle = middle_of(planet)
        c, s = np.cos(2 * np.pi * off), np.sin(2 * np.pi * off)
        mine, tooth = (planet - middle) @ [[c, s], [-s, c]], tooth_area(planet - middle)
        for other, inside in ((sun, False), (bore, True)):
            shared = overlap(mine + middle, middle, other, centre, inside)
            worst = max(worst, shared / tooth)
    return worst


def middle_of(outline):
    """The axis of a gear; its teeth are alike all round."""
    return outline.mean(axis=0)


TRIOS = [
    (30, 21, 72, 3),
    (42, 18, 78, 4),
    (24, 24, 72, 4),
    (45, 15, 75, 3),
    (31, 20, 72, 3),
    (30, 22, 72, 4),
    (12, 18, 48, 3),
]


@pytest.mark.parametrize("teeth", TRIOS)
@each("end", ["input", "output"])
def test_drawn_teeth_stay_in_mesh(teeth, end):
    for held in ("sun", "ring"):
        scene = draw_end_view(lone_flow(*teeth, held=held), "one", end=end)
        for k in range(5):
            assert most_overlap(scene, k * 0.377) < 0.01


def test_teeth_out_of_phase_are_seen():
    scene = draw_end_view(lone_flow(30, 21, 72, 3), "one")
    assert most_overlap(scene, 0.1, off=0.5 / 21) > 0.3


@each("flow", FLOWS, str_of)
def test_teeth_of_a_flow_stay_in_mesh(flow):
    for one in TRAIN.sets:
        scene = draw_end_view(flow, one.name)
        if None not in [flow.speeds[one.member(short)] for short in one.members]:
            assert most_overlap(scene, 7.3) < 0.01


def marks(scene, turns):
    """{part: how far its paint mark is from 12 o'clock, clockwise [°]}."""
    found = {}
    for shape, (c, s, x, y) in walk(scene.shapes, turns):
        if not shape.role.endswith("mark"):
            continue
        angle = np.degrees(atan2(s, c))
        if isinstance(shape, Circle):
            # The carrier's mark is the pin of its first planet.
            u, v = middle_of(outlines(scene, turns)[0])
            u, v = x + shape.x * c - shape.y * s - u, y + shape.x * s + shape.y * c - v
            angle = np.degrees(atan2(u, -v))
        else:
            point, right, left = shape.points
            assert point[0] == 0 > point[1] and right[0] == -left[0]
        assert angle == pytest.approx(found.setdefault(shape.role.split()[0], angle))
    return found


@each("end", ["input", "output"])
def test_marks_start_at_twelve_and_turn_as_computed(end):
    flow = gearlab.power_flow(TRAIN, "2")
    hand = 1 if end == "input" else -1
    for one in TRAIN.sets:
        scene = draw_end_view(flow, one.name, end=end)
        assert marks(scene, 0) == pytest.approx(
            {"sun": 0, "planet": 0, "ring": 0, "carrier": 0}, abs=1e-6
        )
        for part, angle in marks(scene, 0.3).items():
            speed = hand * float(flow.speeds[one.member(part)])
            off = (angle - 108 * speed + 180) % 360 - 180
            assert off == pytest.approx(0, abs=1e-3), part


def test_output_end_mirrors():
    flow = gearlab.power_flow(TRAIN, "5")
    for turns in (0, 0.37):
        here = outlines(draw_end_view(flow, "front"), turns)
        there = outlines(draw_end_view(flow, "front", end="output"), turns)
        middle = middle_of(here[0])
        for a, b in zip(here[2], there[2], strict=True):
            x, y = middle_of(a) - middle
            assert middle_of(b) - middle == pytest.approx((-x, y), abs=1e-3)
    svg = to_svg(draw_end_view(flow, "front", end="output"))
    # In fifth the front ring turns 3/2, which is 540°.
    assert "*-540deg" in svg and "*540deg" not in svg


@each("context", CONTEXTS)
@each("flow", [*EVERY_FLOW, TIED_UP], str_of)
def test_labels_are_apart_and_large_enough(flow, context):
    for one in flow.train.sets:
        for end in ("input", "output"):
            for colour_by in COLOURINGS:
                scene = draw_end_view(
                    flow, one.name, end=end, context=context, colour_by=colour_by
                )
                fits(scene, context)


def fits(scene, context):
    """Assert that the labels of a picture can be read, however far it is turned."""
    legible(scene)
    assert scene.width <= max(720, WIDTH[context]) and scene.context == context
    assert not any("…" in text for text, _ in text_boxes(scene))


@each("context", CONTEXTS)
@each("kind", KINDS)
def test_labels_of_every_kind(kind, context):
    for end in ("input", "output"):
        for colour_by in COLOURINGS:
            scene = draw_end_view(
                KINDS[kind], "one", end=end, context=context, colour_by=colour_by
            )
            fits(scene, context)


@each("flow", [*EVERY_FLOW, TIED_UP, *KINDS.values()], str_of)
def test_back_row_picture(flow):
    for one in flow.train.sets:
        scene = draw_end_view(flow, one.name, big=True)
        boxes = legible(scene)
        assert 4 <= len(boxes) <= 7
        sizes = [s.size for s, _ in walk(scene.shapes) if isinstance(s, Text)]
        assert min(sizes) >= scene.height / 25
        assert len(to_svg(scene)) < 10_000


def arrows(shapes, part=""):
    """(part that an arrow rides on, 1 if it goes clockwise, its length) for each.

    The arrow on the label of a gear that is covered belongs to no part.
    """
    if any(shape.role == "badge" for shape in shapes if isinstance(shape, Circle)):
        return
    for shape in shapes:
        if isinstance(shape, Arrow):
            xy = np.array(shape.points)
            turned = np.unwrap(np.arctan2(xy[:, 1], xy[:, 0]))
            yield part, np.sign(turned[-1] - turned[0]), abs(turned[-1] - turned[0])
        elif hasattr(shape, "shapes"):
            yield from arrows(shape.shapes, shape.part or part)


@each("end", ["input", "output"])
@each("flow", [*EVERY_FLOW, *KINDS.values()], str_of)
def test_arrows_turn_as_the_members_do(flow, end):
    hand = 1 if end == "input" else -1
    for one in flow.train.sets:
        for context in ("screen", "print"):
            scene = draw_end_view(flow, one.name, end=end, context=context)
            seen = {part: way for part, way, _ in arrows(scene.shapes) if part}
            for short in one.members:
                part, speed = short.replace(" ", "-"), flow.speeds[one.member(short)]
                if not speed:
                    assert part not in seen
                elif part in seen:
                    assert seen[part] == np.sign(speed) * hand
                else:
                    # It is behind another gear, and its row has the arrow.
                    assert part in ("large-sun", "sun-planet", "ring-planet")


def test_faster_members_have_longer_arrows():
    scene = draw_end_view(lone_flow(30, 21, 72, 3, held="sun"), "one")
    long = {part: length for part, _, length in arrows(scene.shapes) if part}
    assert long["planet"] > long["ring"]


def test_rows_have_the_direction_too():
    scene = draw_end_view(gearlab.power_flow(TRAIN, "2"), "middle", end="output")
    rows = [way for part, way, _ in arrows(scene.shapes) if not part]
    assert rows == [1, -1, -1, -1]  # sun backward, the others forward, seen mirrored


def test_size_is_the_same_in_every_state():
    for one in TRAIN.sets:
        scenes = [draw_end_view(flow, one.name) for flow in [*FLOWS, TIED_UP]]
        assert len({(scene.width, scene.height) for scene in scenes}) == 1


def test_alt_sentence_carries_the_numbers():
    flow = gearlab.power_flow(TRAIN, "2")
    assert draw_end_view(flow, "front").alt == (
        "Front set seen from the input end: sun with 36 teeth stands still (held),"
        " carrier turns forward 1 per input turn, ring with 72 teeth turns forward"
        " 1.5 (3/2) per input turn; four planets with 18 teeth turn forward 3 per input"
        " turn."
    )
    neutral = draw_end_view(gearlab.power_flow(TRAIN, "N"), "rear", end="output").alt
    assert "output end" in neutral and "neutral" in neutral
    assert "carrier has no determined speed" in neutral
    assert "tied up" in draw_end_view(TIED_UP, "front").alt


def roles_of(scene):
    return {shape.role for shape, _ in walk(scene.shapes)}


def test_undetermined_members_are_dotted():
    flow = gearlab.power_flow(TRAIN, "N")
    assert {"sun body?", "planet body?", "bore?"} <= roles_of(
        draw_end_view(flow, "rear")
    )
    assert not any(
        role.endswith("?") for role in roles_of(draw_end_view(flow, "front"))
    )


def test_held_members_wear_the_ground_sign():
    flow = gearlab.power_flow(TRAIN, "2")
    assert "ground" in roles_of(draw_end_view(flow, "front"))
    assert "ground" not in roles_of(draw_end_view(flow, "middle"))
    assert "ground" in roles_of(draw_end_view(lone_flow(30, 21, 72, 3), "one"))


def hatched(scene):
    """The middles of the hatching's strokes, in the scene."""
    strokes = [
        placed(ends, place)
        for shape, place in walk(scene.shapes)
        if isinstance(shape, Hatch) and "hatch" in shape.role
        for ends in shape.lines
    ]
    return np.array(strokes).mean(axis=1) if strokes else np.empty((0, 2))


def disc_of(scene):
    """The middle and the outer radius of the largest gear of a scene."""
    rounds = [
        (shape.r, place[2:])
        for shape, place in walk(scene.shapes)
        if isinstance(shape, Circle) and shape.role.rstrip("?").endswith(" rim")
    ]
    return max(rounds)


def on_top(one):
    """The gear in the middle that nothing covers, and the outer gear."""
    if one.kind == "differential":
        return "left", "right"
    return ("small sun" if one.kind == "two-sun" else "sun"), "ring"


def edges_of(one, radius, big):
    """The radii up to which the gear in the middle and the carrier are, of 1."""
    if one.kind == "differential":
        return 0.46, 0.8
    font = BIG_FONT if big else CONTEXTS["screen"].font
    found = places(one, round(radius - RIM * font, 2))
    sun = next(gear for gear in found.middle if gear.short == on_top(one)[0])
    return sun.teeth.tip / radius, found.ring.teeth.tip / radius


@each("big", [False, True])
@each("flow", [*EVERY_FLOW, TIED_UP, *KINDS.values()], str_of)
def test_what_is_held_is_hatched_and_nothing_else(flow, big):
    """The strokes lie on held members; each held one that is on top has some."""
    for one in flow.train.sets:
        if one.kind == "meshes":
            continue
        scene = draw_end_view(flow, one.name, big=big)
        radius, middle = disc_of(scene)
        far = np.hypot(*(hatched(scene) - middle).T) / radius
        inner, outer = edges_of(one, radius, big)
        covered = {"large sun", "left"} - set(on_top(one))
        on = {
            on_top(one)[0]: far < inner,
            "carrier": (far >= inner) & (far < outer),
            on_top(one)[1]: far >= outer,
        }
        held = {
            short
            for short in one.members
            if roles(flow)[one.member(short)] == "held" and short not in covered
        }
        assert {short for short, those in on.items() if those.any()} == held
        assert "case" not in roles_of(scene)
        for those in on.values():
            if big and those.any():  # large enough for the back row
                high = np.ptp(hatched(scene)[those, 1])
                assert high >= scene.height / 10


def test_without_labels_nothing_is_given_away():
    flow = gearlab.power_flow(TRAIN, "N")
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "front", labels=False))]
    assert texts == ["Front set: sun 36, ring 72", "seen from the input end"]
    bare = draw_end_view(gearlab.power_flow(TRAIN, "2"), "front", labels=False)
    assert not {"ground", "held hatch"} & roles_of(bare)


def test_hatching_leaves_planets_free():
    """A held carrier is hatched beside its planets, not over them."""
    flow = gearlab.power_flow(TRAIN, "1")
    scene = draw_end_view(flow, "rear")
    planets = [
        (np.array(place[2:]), np.hypot(*np.array(shape.points).T).min())
        for shape, place in walk(scene.shapes)
        if shape.role == "planet body"
    ]
    assert len(planets) == 3
    strokes = hatched(scene)
    assert len(strokes) > 10
    for at, root in planets:
        assert np.hypot(*(strokes - at).T).min() > root


def test_marks_and_letters_of_a_two_sun_set_are_apart():
    """Every member has its letter, and no paint mark touches another."""
    six = gearlab.load_train("six-range")
    for name in six.range_names:
        scene = draw_end_view(gearlab.power_flow(six, name), "rear")
        texts = [text for text, _ in text_boxes(scene)]
        for letter in ("SS", "LS", "C", "R", "SP", "LP"):
            assert texts.count(letter) == 2, letter  # in the picture, and in its row
        found = [
            np.array(placed(shape.points, place))
            for shape, place in walk(scene.shapes)
            if isinstance(shape, Polygon) and shape.role.endswith(" mark")
        ]
        for one, other in combinations(found, 2):
            ends = one.min(0) - 2, one.max(0) + 2
            assert (other.max(0) < ends[0]).any() or (other.min(0) > ends[1]).any()


def test_role_colours_say_what_each_does_in_its_set():
    flow = gearlab.power_flow(TRAIN, "2")
    scene = draw_end_view(flow, "front", colour_by="role")
    assert {"held body", "drives rim", "driven rim"} <= roles_of(scene)
    assert "sun body" not in roles_of(scene)
    texts = [text for text, _ in text_boxes(scene)]
    assert "drives" in texts and "Colours: what each does in this set." in texts
    # The middle ring is no end of the train, and yet it drives its own set.
    middle = draw_end_view(flow, "middle", colour_by="role")
    assert "drives rim" in roles_of(middle)
    assert "driven body" in roles_of(middle)


@each("flow", EVERY_FLOW, str_of)
def test_roles_follow_the_power(flow):
    powers, does = member_loads(flow).powers, member_roles(flow)
    for member, power in powers.items():
        if power:
            assert does[member] == ("drives" if power > 0 else "driven")
        else:
            assert does[member] not in ("drives", "driven")


def test_role_colours_of_what_is_no_power_flow():
    coast = gearlab.power_flow(TRAIN, "1", load="coast")
    assert coast.state == "freewheels"
    roles = roles_of(draw_end_view(coast, "front", colour_by="role"))
    assert not any(role.startswith("driv") for role in roles)
    fourth = member_roles(gearlab.power_flow(TRAIN, "4"))
    assert fourth["rear ring"] == "turns free"  # it goes round with the rest


def test_paint_is_that_of_the_bench():
    flow = gearlab.power_flow(TRAIN, "3")
    scene = draw_end_view(flow, "front", colour_by="paint")
    assert {"sun#7cc4ef body", "carrier#f7d417 rim"} <= roles_of(scene)  # blue, yellow
    assert "Colours: as painted on the bench." in [t for t, _ in text_boxes(scene)]
    bare = gearlab.load_train("lone-set")
    flow = gearlab.power_flow(bare, "direct")
    roles = roles_of(draw_end_view(flow, bare.sets[0].name, colour_by="paint"))
    assert {"sun# body", "carrier# rim", "ring# rim"} <= roles
    assert style("sun# line").stroke == style("other line").stroke
    assert style("ring# line").dash == style("ring line").dash


def light(colour):
    """The relative luminance of web access rules (from memory)."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    parts = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]


def contrast(a, b):
    low, high = sorted((light(a), light(b)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("paint", [*COLOURS.values(), "#000000", "#fffff0", "#808000"])
def test_every_paint_can_be_seen_and_written_on(paint):
    for part in ("sun", "carrier", "ring", "planet", "other"):
        for what in ("body", "back", "rim", "pin"):
            look = style(f"{part}{paint} {what}")
            assert contrast(look.stroke, WHITE) >= 3
            assert contrast(look.stroke, look.fill) >= 3
            assert contrast(INK, look.fill) >= 4.5
        assert contrast(style(f"{part}{paint} line").stroke, WHITE) >= 3
        mark, body = style(f"{part}{paint} mark"), style(f"{part}{paint} body")
        assert contrast(mark.fill, body.fill) >= 3


@each("colour_by", COLOURINGS)
def test_what_is_drawn_stands_out(colour_by):
    drawn = set()
    for flow in [*EVERY_FLOW, *KINDS.values()]:
        for one in flow.train.sets:
            drawn |= roles_of(draw_end_view(flow, one.name, colour_by=colour_by))
    assert len(drawn) > 20
    for role in drawn - {"text"}:
        look = style(role)
        if role.rstrip("?").endswith(" mark"):
            body = style(f"{role.split()[0]} body")
            assert contrast(look.fill, body.fill) >= 3
        else:
            assert contrast(look.stroke, WHITE) >= 3, role
        if role.rstrip("?").endswith((" body", " rim", " back")):
            assert contrast(style("text").fill, look.fill) >= 4.5, role


def test_other_words_are_written():
    words = {
        "sun": "Sonne", "ring": "Hohlrad", "seen from the input end": "von vorn",
        "front": "vorn", "held": "fest", "forward": "vorwärts", "S": "A",
    }  # fmt: skip
    flow = gearlab.power_flow(TRAIN, "2")
    scene = draw_end_view(flow, "front", words=words)
    texts = {text for text, _ in text_boxes(scene)}
    assert {"Vorn: Sonne 36, Hohlrad 72", "von vorn", "fest", "vorwärts", "A"} <= texts
    assert not {"sun", "ring", "held", "forward", "S"} & texts
    assert scene.alt == draw_end_view(flow, "front").alt
    assert said({"rear sun": "x", "sun": "y"}, "rear sun") == "x"
    assert said({"small sun": "y", "rear": "z"}, "rear small sun") == "z y"
    assert said({"brake": "y"}, "low brake") == "low brake"


def test_kinds_are_drawn_as_they_are():
    crowded = draw_end_view(KINDS["crowded"], "one")
    texts = " ".join(text for text, _ in text_boxes(crowded))
    assert "left out, because they would touch: 3" in texts
    two = draw_end_view(KINDS["two suns"], "one")
    bodies = [s.role for s, _ in walk(two.shapes) if s.role.endswith((" body", "back"))]
    assert bodies.count("sun back") == 1 and bodies.count("sun body") == 1
    assert bodies.count("planet body") == 6
    letters = {text for text, _ in text_boxes(two)}
    assert {"SS", "LS", "SP", "LP", "C", "R"} <= letters
    assert "A gear with a thin outline lies behind." in letters
    stepped = draw_end_view(KINDS["stepped"], "one")
    bodies = [s.role for s, _ in walk(stepped.shapes) if s.role.startswith("planet ")]
    assert bodies.count("planet back") == 3 and bodies.count("planet body") == 3
    assert "large sun with 42 teeth stands still (held)" in two.alt


def test_differential_has_marks_that_turn():
    scene = draw_end_view(KINDS["differential"], "one")
    assert "left with 16 teeth turns forward 2 per input turn" in scene.alt
    turned = {}
    for shape, (c, s, _, _) in walk(scene.shapes, 0.1):
        if isinstance(shape, Polygon) and shape.role.endswith("mark"):
            turned[shape.role] = np.degrees(atan2(s, c))
    assert turned == pytest.approx({"sun mark": 72, "ring mark": 0})  # left, right


def test_outlines_stay_when_only_the_flow_changes():
    kept = set()
    for flow in FLOWS:
        if None not in flow.speeds.values():
            kept.add(layers(draw_end_view(flow, "front")).kept)
    assert len(kept) == 1


@pytest.mark.parametrize("teeth", [(4, 4, 12, 1), (60, 8, 76, 3), (4, 40, 84, None)])
def test_odd_sets_are_drawn(teeth):
    flow = lone_flow(*teeth)
    for context in CONTEXTS:
        legible(draw_end_view(flow, "one", context=context))
    assert len(legible(draw_end_view(flow, "one", big=True))) <= 7


def test_small_and_large_speeds_are_never_cut():
    flow = lone_flow(4, 40, 84, 2)
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "one"))]
    assert "+0.04545" in texts
    flow = lone_flow(4, 2000, 4004, 2, held="sun")
    assert not any("…" in text for text, _ in text_boxes(draw_end_view(flow, "one")))
    flow = lone_flow(4000, 4, 4008, 2)
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "one", big=True))]
    assert not any("…" in text for text in texts)


PAIR = gears(external("pinion", 10, "wheel", 61, "case"), name="pair")
CHAIN = gears(
    external("first", 20, "idler", 15, "case"),
    external("idler", 15, "last", 31, "case"),
    name="pair",
)
ARM = gears(external("sun", 20, "planet", 15, "arm"), name="pair")


def written_flow(one, first, last):
    train = make_train(one, input=f"pair {first}", output=f"pair {last}")
    return gearlab.power_flow(train, applied=[])


@each("context", CONTEXTS)
@each("end", ["input", "output"])
@pytest.mark.parametrize("one, last", [(PAIR, "wheel"), (CHAIN, "last")])
def test_chain_on_fixed_axes_is_drawn_in_a_row(one, last, end, context):
    flow = written_flow(one, one.members[0], last)
    scene = draw_end_view(flow, "pair", end=end, context=context)
    fits(scene, context)
    for k in range(40):
        drawn = [
            np.array(placed(shape.points, place))
            for shape, place in walk(scene.shapes, k / 40)
            if isinstance(shape, Polygon) and shape.role.endswith("body")
        ]
        assert len(drawn) == len(one.members)
        for a, b in pairwise(drawn):
            shared = overlap(a, middle_of(a), b, middle_of(b), False)
            assert shared < 0.01 * tooth_area(a - middle_of(a))
    hand = 1 if end == "input" else -1
    for part, way, _ in arrows(scene.shapes):
        if part:
            assert way == hand * np.sign(flow.speeds[f"pair {part}"])


def test_chain_has_its_speeds():
    scene = draw_end_view(written_flow(PAIR, "pinion", "wheel"), "pair", big=True)
    texts = legible(scene)
    assert "−0.164" in texts
    assert "wheel with 61 teeth turns backward 0.164 (10/61)" in scene.alt


def test_gears_without_places_are_listed():
    for context in CONTEXTS:
        scene = draw_end_view(written_flow(ARM, "sun", "arm"), "pair", context=context)
        fits(scene, context)
        texts = " ".join(text for text, _ in text_boxes(scene))
        assert "Its file does not say where its gears stand." in texts
        assert "not determined" in texts
    inside = gears(internal("pinion", 10, "wheel", 61, "case"), name="pair")
    scene = draw_end_view(written_flow(inside, "pinion", "wheel"), "pair")
    assert not [s for s, _ in walk(scene.shapes) if s.role.endswith("body")]


def test_letters_tell_gears_of_a_chain_apart():
    one = gears(
        external("first", 20, "fixed", 15, "case"),
        external("fixed", 15, "last", 31, "case"),
        name="pair",
    )
    texts = [
        t
        for t, _ in text_boxes(
            draw_end_view(written_flow(one, "first", "last"), "pair")
        )
    ]
    assert {"Fir", "Fix", "L"} <= set(texts)


@pytest.mark.parametrize("what", ["end", "context", "colour_by"])
def test_wrong_words_are_refused(what):
    with pytest.raises(ValueError, match=r'no .* "front"'):
        draw_end_view(FLOWS[0], "front", **{what: "front"})


def test_svg_is_small():
    for one in TRAIN.sets:
        assert len(to_svg(draw_end_view(FLOWS[0], one.name))) < 30_000
