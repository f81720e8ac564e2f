"""End views: teeth in mesh, marks, labels, words."""

from itertools import combinations
from math import atan2, pi

import numpy as np
import pytest
from matplotlib.path import Path

import gearlab
from gearlab.draw import draw_end_view, to_svg
from gearlab.draw.scene import Circle, Polygon, Text, placed, text_boxes, walk
from gearlab.draw.style import CONTEXTS
from gearlab.frozenmap import FrozenMap
from gearlab.gearset import GearSet, Mesh
from gearlab.train import Brake, Train

TRAIN = gearlab.load_train("five-range")
FLOWS = [
    gearlab.power_flow(TRAIN, name, load=load)
    for name in TRAIN.range_names
    for load in ("drive", "coast")
]


def str_of(flow):
    """The name of a test of a flow."""
    return f"{flow.range}-{flow.load}"


TIED_UP = gearlab.power_flow(
    TRAIN, applied=["overdrive brake", "front lock clutch", "low brake"]
)


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


def overlap(scene, teeth, turns, planets=1, off=0.0):
    """The worst overlap of planets with sun or ring, as a part of a planet's tooth.

    `off` turns the planets out of mesh, by so many of their teeth.
    """
    sun, bore, drawn = outlines(scene, turns)
    centre = middle_of(sun)
    worst = 0.0
    for planet in drawn[:planets]:
        middle = middle_of(planet)
        radii = np.hypot(*(planet - middle).T)
        root, height = radii.min(), np.ptp(radii)
        tooth = height * pi * (root + height / 2) / teeth
        c, s = np.cos(2 * pi * off / teeth), np.sin(2 * pi * off / teeth)
        mine = Path((planet - middle) @ [[c, s], [-s, c]] + middle)
        outward = (middle - centre) / np.hypot(*(middle - centre))
        step = height / 12
        out, across = np.meshgrid(
            np.arange(root - height / 2, root + 1.5 * height, step),
            np.arange(-2 * height, 2 * height, step),
        )
        for side, other, inside in ((-1, sun, True), (1, bore, False)):
            points = middle + side * np.outer(out.ravel(), outward)
            points += np.outer(across.ravel(), [-outward[1], outward[0]])
            both = mine.contains_points(points)
            both &= Path(other).contains_points(points) == inside
            worst = max(worst, both.sum() * step**2 / tooth)
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
def test_teeth_mesh_at_every_angle(teeth):
    scene = draw_end_view(lone_flow(*teeth), "one")
    assert max(overlap(scene, teeth[1], k / 360) for k in range(360)) < 0.01


@pytest.mark.parametrize("teeth", TRIOS)
@pytest.mark.parametrize("end", ["input", "output"])
def test_every_planet_is_in_phase(teeth, end):
    scene = draw_end_view(lone_flow(*teeth, held="sun"), "one", end=end)
    for k in range(5):
        assert overlap(scene, teeth[1], k * 0.377, planets=9) < 0.01


def test_teeth_out_of_phase_are_seen():
    scene = draw_end_view(lone_flow(30, 21, 72, 3), "one")
    assert overlap(scene, 21, 0.1, off=0.5) > 0.3


@pytest.mark.parametrize("flow", FLOWS, ids=str_of)
def test_teeth_of_a_flow_stay_in_mesh(flow):
    for one in TRAIN.sets:
        scene = draw_end_view(flow, one.name)
        if None not in [flow.speeds[one.member(short)] for short in one.members]:
            assert overlap(scene, one.all_teeth["planet"], 7.3, planets=4) < 0.01


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


@pytest.mark.parametrize("end", ["input", "output"])
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
    assert "*-510deg" in svg and "*510deg" not in svg


def separate(scene, turns=0):
    """Assert that no two texts overlap, and all are inside the picture."""
    boxes = text_boxes(scene, turns)
    for text, (x0, y0, x1, y1) in boxes:
        assert x0 >= 0 and y0 >= 0 and x1 <= scene.width and y1 <= scene.height, text
    for (one, a), (other, b) in combinations(boxes, 2):
        apart = a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        assert apart, (one, other)
    return boxes


@pytest.mark.parametrize("context", CONTEXTS)
@pytest.mark.parametrize("end", ["input", "output"])
@pytest.mark.parametrize("flow", [*FLOWS, TIED_UP], ids=str_of)
def test_labels_are_apart_and_large_enough(flow, end, context):
    for one in TRAIN.sets:
        for colour_by in ("part", "role"):
            scene = draw_end_view(
                flow, one.name, end=end, context=context, colour_by=colour_by
            )
            for turns in (0, 0.13, 0.6):
                separate(scene, turns)
            sizes = [s.size for s, _ in walk(scene.shapes) if isinstance(s, Text)]
            assert min(sizes) >= CONTEXTS[context].font
            assert scene.width <= 720


@pytest.mark.parametrize("flow", [*FLOWS, TIED_UP], ids=str_of)
def test_back_row_picture(flow):
    for one in TRAIN.sets:
        scene = draw_end_view(flow, one.name, big=True)
        boxes = separate(scene, 0.2)
        assert 4 <= len(boxes) <= 7
        sizes = [s.size for s, _ in walk(scene.shapes) if isinstance(s, Text)]
        assert min(sizes) >= scene.height / 25
        assert len(to_svg(scene)) < 10_000


def test_size_is_the_same_in_every_state():
    for one in TRAIN.sets:
        scenes = [draw_end_view(flow, one.name) for flow in [*FLOWS, TIED_UP]]
        assert len({(scene.width, scene.height) for scene in scenes}) == 1


def test_alt_sentence_carries_the_numbers():
    flow = gearlab.power_flow(TRAIN, "2")
    assert draw_end_view(flow, "front").alt == (
        "Front set seen from the input end: sun with 30 teeth stands still (held),"
        " carrier turns forward 1 per input turn, ring with 72 teeth turns forward"
        " 1.417 (17/12) per input turn; three planets with 21 teeth turn forward 2.429"
        " (17/7) per input turn."
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
    assert "key" in roles_of(draw_end_view(lone_flow(30, 21, 72, 3), "one"))


def test_without_labels_nothing_is_given_away():
    flow = gearlab.power_flow(TRAIN, "N")
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "front", labels=False))]
    assert texts == ["Front set: sun 30, ring 72", "seen from the input end"]
    assert "ground" not in roles_of(
        draw_end_view(gearlab.power_flow(TRAIN, "2"), "front", labels=False)
    )


def test_role_colours_say_who_drives():
    flow = gearlab.power_flow(TRAIN, "2")
    scene = draw_end_view(flow, "front", colour_by="role")
    assert {"held body", "drives rim"} <= roles_of(scene)
    assert "sun body" not in roles_of(scene)
    assert "drives" in [text for text, _ in text_boxes(scene)]


@pytest.mark.parametrize("teeth", [(4, 4, 12, 1), (60, 8, 76, 3), (4, 40, 84, None)])
def test_odd_sets_are_drawn(teeth):
    flow = lone_flow(*teeth)
    for context in CONTEXTS:
        separate(draw_end_view(flow, "one", context=context), 0.1)
    assert len(separate(draw_end_view(flow, "one", big=True), 0.1)) <= 7


def test_small_and_large_speeds_are_never_cut():
    flow = lone_flow(4, 40, 84, 2)
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "one"))]
    assert "+0.04545" in texts
    flow = lone_flow(4, 2000, 4004, 2, held="sun")
    assert not any("…" in text for text, _ in text_boxes(draw_end_view(flow, "one")))
    flow = lone_flow(4000, 4, 4008, 2)
    texts = [text for text, _ in text_boxes(draw_end_view(flow, "one", big=True))]
    assert not any("…" in text for text in texts)


def test_written_out_set_has_its_speeds():
    meshes = (
        Mesh(
            gears=("pinion", "wheel"), teeth=(10, 61), mesh="external", carrier="case"
        ),
    )
    train = Train(
        name="pair",
        input="pair pinion",
        output="pair wheel",
        sets=(GearSet(name="pair", kind="meshes", meshes=meshes),),
    )
    scene = draw_end_view(gearlab.power_flow(train, applied=[]), "pair", big=True)
    texts = [text for text, _ in separate(scene)]
    assert "−0.164" in texts and "No end view is drawn for this set." in texts
    assert "wheel with 61 teeth turns backward 0.164 (10/61)" in scene.alt


@pytest.mark.parametrize("what", ["end", "context", "colour_by"])
def test_wrong_words_are_refused(what):
    with pytest.raises(ValueError, match=r'no .* "front"'):
        draw_end_view(FLOWS[0], "front", **{what: "front"})


def test_svg_is_small():
    for one in TRAIN.sets:
        assert len(to_svg(draw_end_view(FLOWS[0], one.name))) < 40_000
