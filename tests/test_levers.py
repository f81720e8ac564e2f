"""The levers of a whole train, and all its ranges on them."""

import itertools
import random
from fractions import Fraction as F

import pytest
import trains
from loops import each
from scene_checks import legible

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw.kit.shapes import Arrow, Circle, Line, walk
from gearlab.draw.kit.spread import spread
from gearlab.draw.kit.style import CONTEXTS, RANGE_LINES, WIDTH, style
from gearlab.draw.levers.ranges import draw_lever_ranges
from gearlab.draw.levers.whole import draw_levers, links_of
from gearlab.solve.levers import levers
from gearlab.solve.loads import member_loads

TRAINS = {name: gearlab.load_train(name) for name in gearlab.train_names()}
FIVE, SIX = TRAINS["five-range"], TRAINS["six-range"]
ENDS = ("input", "output")
LONG_WORDS = FrozenMap(
    {
        "sun": "sunsunsunsun",
        "carrier": "carriercarrier",
        "held": "held without any turn",
        "not determined": "not determined by anything here",
        "input": "inputinput",
        "output": "outputoutput",
        "turns per input turn, forward": "turns for one turn of the input, counted so",
        "torque per input torque": "torque for one part of torque at the input",
    }
)


def shapes(scene, role, kind=Line):
    """The shapes of a role and kind."""
    return [
        shape
        for shape, _ in walk(scene.shapes)
        if isinstance(shape, kind) and shape.role == role
    ]


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", TRAINS)
def test_labels_of_every_range_are_apart_and_large_enough(name, context):
    train = TRAINS[name]
    looks = [(end, load) for end in ENDS for load in ("drive", "coast")]
    for row, (end, load) in itertools.product(train.range_names, looks):
        flow = gearlab.power_flow(train, row, load=load)
        for torques, words in itertools.product((False, True), (LONG_WORDS, {})):
            scene = draw_levers(
                flow, torques=torques, end=end, context=context, words=words
            )
            legible(scene)
            assert scene.width == 2 * WIDTH[context]


@pytest.mark.parametrize("name", TRAINS)
def test_the_page_does_not_jump(name):
    train = TRAINS[name]
    for words, torques in itertools.product((FrozenMap(), LONG_WORDS), (False, True)):
        sizes = {
            draw_levers(
                gearlab.power_flow(train, row, load=load), words=words, torques=torques
            ).height
            for row in train.range_names
            for load in ("drive", "coast")
        }
        assert len(sizes) == 1


@each("end", ENDS)
def test_speeds_are_lengths_on_one_scale(end):
    for name in FIVE.range_names:
        flow = gearlab.power_flow(FIVE, name)
        scene = draw_levers(flow, end=end)
        zeros = {line.points[0][0] for line in shapes(scene, "axis")}
        units = {line.points[0][0] for line in shapes(scene, "scale")}
        (zero,), (unit,) = zeros, units
        assert (unit > zero) == (end == "input")
        drawn = shapes(scene, "lever") + shapes(scene, "lever?")
        for line, lever in zip(drawn, levers(FIVE), strict=True):
            for (x, _), node in zip(
                line.points, (lever.nodes[0], lever.nodes[-1]), strict=True
            ):
                speed = float(flow.one_motion[node.body])
                assert x == pytest.approx(zero + speed * (unit - zero))


@each("end", ENDS)
def test_arrows_are_as_long_as_their_torques(end):
    for name in FIVE.range_names:
        flow = gearlab.power_flow(FIVE, name)
        scene = draw_levers(flow, torques=True, end=end)
        values = member_loads(flow).torques
        wanted = [
            torque
            for lever in levers(FIVE)
            for torque in lever.torques(values).values()
            if torque
        ]
        arrows = shapes(scene, "force", Arrow)
        assert len(arrows) == len(wanted)
        if not wanted:
            continue
        lengths = [arrow.points[1][0] - arrow.points[0][0] for arrow in arrows]
        scale = lengths[0] / float(wanted[0])
        assert (scale > 0) == (end == "input")
        assert lengths == pytest.approx([float(torque) * scale for torque in wanted])
        # As they are drawn, forces and moments of each lever sum to nothing.
        tops = {arrow.points[0] for arrow in arrows}
        assert {x for x, _ in tops} == {arrows[0].points[0][0]}
        assert sum(lengths) == pytest.approx(0, abs=1e-6)


def test_torques_in_numbers():
    flow = gearlab.power_flow(FIVE, "4")
    texts = legible(draw_levers(flow, torques=True))
    # Front set locked: the sun carries 36/72 of the input's torque; the direct clutch
    # 33/114 and the forward clutch 81/114. Derived.
    assert {"−0.5", "+1.5", "−1", "+0.289", "+0.711"} <= set(texts)
    shared = trains.one_set()
    both = ["sun-carrier clutch", "carrier-ring clutch", "sun-ring clutch"]
    flow = gearlab.power_flow(shared, applied=both)
    texts = legible(draw_levers(flow, torques=True))
    assert texts.count("?") == 3
    assert "torque not determined →" in texts


def test_links_join_what_turns_as_one():
    assert {link.clutch for link in links_of(FIVE, levers(FIVE))} == {
        "forward clutch",
        "direct clutch",
    }
    for name, count in (("1", 1), ("4", 2), ("N", 0), ("R", 1)):
        scene = draw_levers(gearlab.power_flow(FIVE, name))
        found = shapes(scene, "link")
        assert len(found) == count
        for line in found:
            assert line.points[0][0] == pytest.approx(line.points[-1][0])
    texts = legible(draw_levers(gearlab.power_flow(SIX, "5")))
    assert {"large-sun clutch", "carrier clutch"} <= set(texts)
    assert "small-sun clutch" not in texts


def test_a_common_shaft_is_a_link():
    train = trains.make_train(
        trains.simple("front", 30, 70),
        trains.simple("rear", 30, 60),
        input="front sun",
        output="rear carrier",
        shafts={"mid": ["front carrier", "rear sun"]},
        brakes={"one": "front ring", "two": "rear ring"},
    )
    flow = gearlab.power_flow(train, applied=["one", "two"])
    scene = draw_levers(flow)
    assert len(shapes(scene, "link")) == 1
    assert legible(scene).count("mid") == 2


def test_a_node_says_all_its_members():
    texts = legible(draw_levers(gearlab.power_flow(FIVE, "1")))
    assert {"output shaft", "middle carrier", "rear ring", "+0.353 (output)"} <= set(
        texts
    )
    assert {"Lever: front", "Lever: middle + rear", "0 (held)"} <= set(texts)
    scene = draw_levers(gearlab.power_flow(FIVE, "1"))
    tips = [
        shape.role for shape, _ in walk(scene.shapes) if shape.role.endswith(" tip")
    ]
    assert tips[3:] == ["sun tip", "carrier tip", "carrier tip", "ring tip", "ring tip"]


@pytest.mark.parametrize(
    ("row", "load", "word"),
    [("N", "drive", "neutral"), ("1", "coast", "freewheels"), ("P", "drive", "locked")],
)
def test_a_state_is_said_in_words(row, load, word):
    scene = draw_levers(gearlab.power_flow(FIVE, row, load=load))
    assert any(word in text for text in legible(scene))
    assert word in scene.alt


def test_a_tied_up_train_says_so():
    flow = gearlab.power_flow(
        FIVE, applied=["front lock clutch", "overdrive brake", "forward clutch"]
    )
    scene = draw_levers(flow, torques=True)
    assert any("tied up" in text for text in legible(scene))
    assert legible(scene).count("?") == 7


def test_the_alt_sentence_carries_the_numbers():
    scene = draw_levers(gearlab.power_flow(FIVE, "1"), torques=True)
    assert scene.alt.startswith(
        "Levers of Five-range bench unit, range 1, under power, seen from the input end"
    )
    assert "rear carrier 0 (held) with torque 1.833 (11/6)" in scene.alt
    assert "output shaft (middle carrier, rear ring) 0.353 (6/17)" in scene.alt


def test_random_trains_are_drawn_with_labels_apart():
    rng = random.Random(3)
    for _ in range(25):
        train, applied = trains.random_train(rng, one_ways=1)
        flow = gearlab.power_flow(train, applied=applied)
        for end, colour_by in (("input", "part"), ("output", "role")):
            scene = draw_levers(flow, torques=True, end=end, colour_by=colour_by)
            texts = " ".join(legible(scene))
            drawn = {name for lever in levers(train) for name in lever.sets}
            for one in train.sets:
                assert one.name in texts
            assert ("No lever" in texts) == (len(drawn) < len(train.sets))


# All ranges on the levers ---------------------------------------------------------


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", TRAINS)
def test_labels_of_all_ranges_are_apart(name, context):
    for end, load, words in itertools.product(
        ENDS, ("drive", "coast"), (FrozenMap(), LONG_WORDS)
    ):
        scene = draw_lever_ranges(
            TRAINS[name], load=load, end=end, context=context, words=words
        )
        legible(scene)


@each("end", ENDS)
@pytest.mark.parametrize("name", TRAINS)
def test_lines_of_ranges_cross_the_rows_at_the_speeds(name, end):
    train = TRAINS[name]
    scene = draw_lever_ranges(train, end=end)
    axis, unit = scale_of(scene, end)
    for row in train.range_names:
        flow = gearlab.power_flow(train, row)
        for lever in levers(train):
            if flow.state != "drives":
                continue
            speeds = {**flow.speeds, "case": 0}
            ends = [float(speeds[lever.nodes[i].body]) for i in (0, -1)]
            lines = shapes(scene, "lever") + [
                line for i in range(16) for line in shapes(scene, f"range {i}")
            ]
            places = [ends_of(line, CONTEXTS["screen"].font) for line in lines]
            wanted = [axis + unit * end for end in ends]
            assert any(at == pytest.approx(wanted) for at in places), (row, lever.sets)


def ends_of(line, font):
    """Where a line, which goes on beyond the lever, crosses the end nodes' rows."""
    (x1, y1), (x0, y0) = line.points
    beyond = 1.6 * font / abs(y1 - y0)
    near = x1 + (x0 - x1) * beyond
    return [near, x0] if y1 < y0 else [x0, near]


def scale_of(scene, end):
    """Where speed 0 is, and how far from it the input's speed."""
    axis = shapes(scene, "axis")[0].points[0][0]
    others = [line.points[0][0] - axis for line in shapes(scene, "scale")]
    return axis, min(map(abs, others)) * (1 if end == "input" else -1)


def test_ranges_alike_share_a_line_and_its_label():
    texts = legible(draw_lever_ranges(FIVE))
    assert {"2, 5", "R, 1, 3, 4, 1 low", "1, 1 low"} <= set(texts)
    assert {"2.833", "1.889", "−3.5"} <= set(texts)
    assert "left out: P (output locked), N (neutral)" in texts
    coast = legible(draw_lever_ranges(FIVE, load="coast"))
    assert "1 low" in coast and "1, 1 low" not in coast
    assert any("1 (freewheels), 2 (freewheels)" in text for text in coast)


def test_a_line_that_is_several_ranges_elsewhere_is_in_ink():
    scene = draw_lever_ranges(FIVE)
    assert len(shapes(scene, "lever")) == 2
    roles = [s.role for s, _ in walk(scene.shapes) if s.role.startswith("range ")]
    assert len(roles) == len(set(roles)) == 6


def test_dots_are_where_a_range_is_settled():
    scene = draw_lever_ranges(TRAINS["four-range"])
    dots = shapes(scene, "turning", Circle)
    # Two a range, some in one place: each range has an input and one held or both in.
    axis, unit = scale_of(scene, "input")
    places = {round(dot.x, 3) for dot in dots}
    assert places == {round(axis, 3), round(axis + unit, 3)}


def test_lines_of_ranges_differ_in_colour_and_dashes():
    looks = {(style(f"range {i}").stroke, style(f"range {i}").dash) for i in range(16)}
    assert len(looks) == len(RANGE_LINES) == 16


def test_many_long_names_are_told_below():
    train = trains.one_set()
    pairs = itertools.combinations(train.element_names, 2)
    applied = [("ring brake",), *pairs]
    names = {
        f"an unusually long name of range {i}": row for i, row in enumerate(applied)
    }
    shown = trains.one_set(ranges=names)
    for context in CONTEXTS:
        texts = legible(draw_lever_ranges(shown, context=context))
        assert any("a: an unusually long name" in text for text in texts)
        assert {"a", "b"} <= set(texts)


def test_alt_of_the_ranges_carries_ratios_and_speeds():
    alt = draw_lever_ranges(SIX, end="output").alt
    assert "seen from the output end" in alt
    assert "Range R, ratio −3.333 (−10/3)" in alt
    assert "Left out: P (output locked), N (neutral)" in alt


def test_bad_input_is_refused_in_one_sentence():
    flow = gearlab.power_flow(FIVE, "1")
    with pytest.raises(ValueError, match='no end "left"'):
        draw_levers(flow, end="left")
    with pytest.raises(ValueError, match='no context "scren"; did you mean "screen"'):
        draw_lever_ranges(FIVE, context="scren")
    with pytest.raises(ValueError, match='no load "up"'):
        draw_lever_ranges(FIVE, load="up")
    with pytest.raises(ValueError, match="has no ranges, but each range is a line"):
        draw_lever_ranges(trains.one_set())


def test_labels_are_spread_no_more_than_they_must():
    assert spread([], []) == []
    assert spread([10, 30], [8, 8]) == [10, 30]
    rng = random.Random(1)
    for _ in range(100):
        wanted = sorted(rng.uniform(0, 100) for _ in range(rng.randrange(1, 8)))
        sizes = [rng.uniform(1, 12) for _ in wanted]
        found = spread(wanted, sizes, 0, 100)
        assert found[0] - sizes[0] / 2 >= -1e-9
        assert found[-1] + sizes[-1] / 2 <= 100 + 1e-9
        for (a, m), (b, n) in itertools.pairwise(zip(found, sizes, strict=True)):
            assert b - a >= (m + n) / 2 - 1e-9
    assert spread([F(5), F(5)], [4, 4]) == [3, 7]
