"""The lever of one set: proportions, lengths, labels, words."""

import pytest
from loops import each
from scene_checks import legible

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import draw_lever
from gearlab.draw.kit.shapes import Circle, Line, Polygon, text_boxes, walk
from gearlab.draw.kit.style import CONTEXTS, WIDTH
from gearlab.train.gearset import GearSet, Mesh
from gearlab.train.train import Brake, Train

TRAIN = gearlab.load_train("five-range")
FLOWS = [
    gearlab.power_flow(TRAIN, name, load=load)
    for name in TRAIN.range_names
    for load in ("drive", "coast")
]
NODES = ("sun", "carrier", "ring")


def tips(scene):
    """{node: (x, y)} of the tips of the speeds."""
    found = {}
    for shape, _ in walk(scene.shapes):
        part = shape.role.rstrip("?").split(" ")
        if part[-1] != "tip":
            continue
        if isinstance(shape, Circle):
            found[part[0]] = shape.x, shape.y
        elif isinstance(shape, Polygon):
            xs, ys = zip(*shape.points, strict=True)
            found[part[0]] = sum(xs) / 4, sum(ys) / 4
    return found


def line_at(scene, role):
    """Where the upright line of a role stands."""
    for shape in scene.shapes:
        if isinstance(shape, Line) and shape.role == role:
            return shape.points[0][0]
    raise AssertionError(role)


@each("end", ["input", "output"])
@each("flow", FLOWS, lambda flow: f"{flow.range}-{flow.load}")
def test_lengths_are_speeds_and_heights_are_teeth(flow, end):
    lengths = set()
    for one in TRAIN.sets:
        scene = draw_lever(flow, one.name, end=end)
        zero, unit = line_at(scene, "axis"), line_at(scene, "scale")
        found = tips(scene)
        for node in NODES:
            speed = float(flow.one_motion[one.member(node)])
            assert found[node][0] == pytest.approx(zero + speed * (unit - zero))
        (sx, sy), (cx, cy), (rx, ry) = (found[node] for node in NODES)
        teeth = one.all_teeth
        assert (cy - sy) / (ry - cy) == pytest.approx(teeth["ring"] / teeth["sun"])
        line = (rx - sx) * (cy - sy) / (ry - sy)
        assert cx - sx == pytest.approx(line, abs=1e-6)
        assert (unit > zero) == (end == "input")
        lengths.add(round(unit - zero, 6))
    assert len(lengths) == 1


def grounds(scene):
    """Heights of the ground signs."""
    found = walk(scene.shapes)
    return [place[3] for shape, place in found if shape.role == "ground"]


def test_held_nodes_are_on_the_case_line_with_a_ground_sign():
    scene = draw_lever(gearlab.power_flow(TRAIN, "2"), "front")
    assert tips(scene)["sun"][0] == pytest.approx(line_at(scene, "axis"))
    assert grounds(scene) == [tips(scene)["sun"][1]]
    scene = draw_lever(gearlab.power_flow(TRAIN, "1"), "rear")
    assert grounds(scene) == pytest.approx([tips(scene)["carrier"][1]])
    assert grounds(draw_lever(gearlab.power_flow(TRAIN, "1"), "middle")) == []


@each("context", CONTEXTS)
@each("end", ["input", "output"])
@each("flow", FLOWS, lambda flow: f"{flow.range}-{flow.load}")
def test_labels_are_apart_and_large_enough(flow, end, context):
    for one in TRAIN.sets:
        scene = draw_lever(flow, one.name, end=end, context=context)
        legible(scene)
        assert scene.width <= max(720, WIDTH[context])


def test_labels_keep_clear_of_the_drawing():
    for flow in FLOWS:
        for end in ("input", "output"):
            scene = draw_lever(flow, "rear", end=end)
            left = min(x for x, _ in tips(scene).values())
            values = [box for text, box in text_boxes(scene) if box[0] < 0.15 * 380]
            labels = [box for box in values if box[1] > 0.2 * scene.height]
            assert max(box[2] for box in labels) < left


def test_labels_say_the_speeds():
    texts = legible(draw_lever(gearlab.power_flow(TRAIN, "2"), "front"))
    assert {"sun 36", "0 (held)", "carrier", "+1", "ring 72", "+1.5"} <= set(texts)


def test_undetermined_set_shows_one_motion():
    scene = draw_lever(gearlab.power_flow(TRAIN, "N"), "rear")
    texts = legible(scene)
    assert texts.count("not determined") == 3
    assert "dotted: one of many motions →" in texts
    assert "lever?" in {shape.role for shape, _ in walk(scene.shapes)}


def test_alt_sentence_carries_the_numbers():
    scene = draw_lever(gearlab.power_flow(TRAIN, "2"), "front", end="output")
    assert scene.alt == (
        "Front set, lever diagram, seen from the output end: sun with 36 teeth stands"
        " still (held), carrier turns forward 1 per input turn, ring with 72 teeth"
        " turns forward 1.5 (3/2) per input turn."
    )


@pytest.mark.parametrize(("sun", "ring"), [(4, 100), (60, 76), (10, 400)])
def test_labels_of_uneven_levers_are_apart(sun, ring):
    teeth = FrozenMap({"sun": sun, "ring": ring})
    train = Train(
        name="lone",
        input="one sun",
        output="one ring",
        sets=(GearSet(name="one", kind="simple", teeth=teeth, planets=2),),
        brakes=(Brake(name="brake", member="one carrier"),),
    )
    for swapped in (train, train_from_ring(train)):
        flow = gearlab.power_flow(swapped, applied=["brake"])
        for context in CONTEXTS:
            legible(draw_lever(flow, "one", context=context))


def train_from_ring(train):
    """The same set driven from its ring, so that the sun turns very fast."""
    return Train(
        name="lone",
        input="one ring",
        output="one sun",
        sets=train.sets,
        brakes=train.brakes,
    )


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
    texts = legible(draw_lever(gearlab.power_flow(train, applied=[]), "pair"))
    assert "−0.164" in texts


@each("end", ["input", "output"])
@pytest.mark.parametrize("name", ["four-range", "six-range"])
def test_a_two_sun_set_has_four_nodes_on_one_line(name, end):
    train = gearlab.load_train(name)
    one = train.sets[-1]
    for row in train.range_names:
        scene = draw_lever(gearlab.power_flow(train, row), one.name, end=end)
        legible(scene)
        places = [
            (sum(xs) / len(xs), sum(ys) / len(ys))
            for shape, _ in walk(scene.shapes)
            if shape.role.endswith(("tip", "tip?"))
            for xs, ys in [points_of(shape)]
        ]
        assert len(places) == 4
        (x0, y0), *_, (x1, y1) = places
        for x, y in places:
            assert x - x0 == pytest.approx((x1 - x0) * (y - y0) / (y1 - y0), abs=0.01)


def points_of(shape):
    """The xs and ys round a tip."""
    if isinstance(shape, Circle):
        return (shape.x,), (shape.y,)
    return tuple(zip(*shape.points, strict=True))


def test_a_set_that_is_no_lever_says_so():
    teeth = FrozenMap({"sun": 30, "ring": 70})
    train = Train(
        name="locked",
        input="rear sun",
        output="rear carrier",
        sets=tuple(
            GearSet(name=name, kind="simple", teeth=teeth) for name in ("front", "rear")
        ),
        shafts=FrozenMap({"drum": ("front sun", "front ring")}),
        brakes=(Brake(name="brake", member="rear ring"),),
    )
    flow = gearlab.power_flow(train, applied=["brake"])
    texts = legible(draw_lever(flow, "front"))
    assert "No lever is drawn for this set." in texts


def test_colours_by_role_come_with_words():
    flow = gearlab.power_flow(TRAIN, "3")
    texts = legible(draw_lever(flow, "middle", colour_by="role"))
    assert {"0 (held)", "+0.711", "(driven)", "+1 (drives)"} <= set(texts)


def test_words_are_written_instead():
    words = FrozenMap({"sun": "Sonne", "held": "fest", "lever": "Hebel"})
    texts = legible(draw_lever(gearlab.power_flow(TRAIN, "2"), "front", words=words))
    assert {"Sonne 36", "0 (fest)", "Front set: Hebel"} <= set(texts)


def test_wrong_end_is_refused():
    with pytest.raises(ValueError, match='no end "left"'):
        draw_lever(FLOWS[0], "front", end="left")
