"""Speed charts and shift strips: bars and lines of the right length, labels apart."""

import re
from fractions import Fraction as F
from itertools import pairwise
from math import isclose

import pytest
from loops import each
from test_chart import LOADS, TRAINS, each_context, each_load, each_train, readable
from trains import make_train, one_set, simple

from gearlab import load_train, power_flow
from gearlab.ask.shifts import shift
from gearlab.base.frozenmap import FrozenMap
from gearlab.base.numerals import exactly
from gearlab.draw import draw_shift_strip, draw_speed_chart
from gearlab.draw.kit.shapes import Circle, Line, Polygon, text_boxes, walk
from gearlab.draw.kit.spread import spread
from gearlab.solve.facts import body_speeds

FIVE = load_train("five-range")
SHIFTS = [
    (train, row.after, row.name)
    for train in TRAINS
    for row in train.ranges
    if row.after
]
each_shift = each("train, before, after", SHIFTS)


def bars(scene):
    """(x, y, signed length) of every bar above the key, from the top and left."""
    found = []
    for shape, (_, _, x, y) in walk(scene.shapes):
        if isinstance(shape, Polygon) and shape.role.endswith(" bar"):
            zero, tip = shape.points[0][0], shape.points[1][0]
            found.append((y, x + zero, tip - zero, shape.role))
    low = max(y for y, *_ in found)
    return sorted(bar for bar in found if bar[0] < low)


# The speed chart ------------------------------------------------------------------


@each_context
@each_load
@each_train
def test_charts_can_be_read(train, load, context):
    scene = draw_speed_chart(train, load=load, context=context)
    texts = readable(scene)
    assert scene.width <= 760 or context in ("projector", "class")
    for name in train.range_names:
        flow = power_flow(train, name, load=load)
        for speed in body_speeds(flow).values():
            assert speed is None or exactly(speed) in scene.alt
        if flow.state in ("neutral", "freewheels"):
            assert flow.state in texts


@each_load
@each_train
def test_bars_are_as_long_as_the_speeds(train, load):
    drawn = bars(draw_speed_chart(train, load=load))
    speeds = []
    ends = train.body_of[train.input], train.body_of[train.output]
    for name in train.range_names:
        flow = body_speeds(power_flow(train, name, load=load))
        between = [body for body in flow if body not in ends]
        order = [ends[0], *between, ends[1]]
        speeds += [float(flow[body]) for body in order if flow[body]]
    assert len(drawn) == len(speeds)
    unit = drawn[0][2] / speeds[0]
    for (_, _, length, role), speed in zip(drawn, speeds, strict=True):
        assert isclose(length, speed * unit, rel_tol=1e-9)
        assert role == ("forward bar" if speed > 0 else "backward bar")


def test_what_is_held_or_not_determined_says_so():
    texts = readable(draw_speed_chart(FIVE, ranges=["2", "N"]))
    # In N the common-sun shaft, the middle ring, the rear carrier and the output.
    assert texts.count("?") == 4 + 1
    assert texts.count("0 (held)") == 2
    assert "neutral" in texts and "P" not in texts


def test_rows_come_in_the_order_asked_for():
    boxes = dict(text_boxes(draw_speed_chart(FIVE, ranges=["5", 2, "R"])))
    assert boxes["5"][1] < boxes["2"][1] < boxes["R"][1]


def test_the_input_comes_first_and_the_output_last():
    scene = draw_speed_chart(load_train("lone-set"))
    left = {text: box[0] for text, box in text_boxes(scene)}
    names = ["input shaft", "single sun", "single ring", "single carrier"]
    places = [left[name] for name in (*names, "output shaft")]
    assert places == sorted(places)


def test_other_words_are_written():
    words = FrozenMap({"sun": "Sonne", "front": "vorn", "held": "gehalten"})
    texts = readable(draw_speed_chart(FIVE, words=words))
    assert "vorn" in " ".join(texts) and "Sonne" in " ".join(texts)
    assert "gehalten" in texts and "front sun" not in texts


def test_what_is_wrong_is_said_of_speed_charts():
    for given, message in (
        ({"load": "cost"}, 'no load "cost"; did you mean "coast"'),
        ({"ranges": ["22"]}, 'no range "22"; did you mean "2"'),
        ({"ranges": "2"}, 'ranges is "2", but it must be a list'),
        ({"ranges": 2}, "ranges is 2, but it must be a list"),
        ({"ranges": []}, "no range of .* is asked for, but the picture needs one"),
        ({"context": "page"}, 'no context "page"'),
    ):
        with pytest.raises(ValueError, match=message):
            draw_speed_chart(FIVE, **given)
    with pytest.raises(ValueError, match="but the picture needs one"):
        draw_speed_chart(one_set())


# The shift strip ------------------------------------------------------------------


def tracks(scene):
    """{role: ((x, y), (x, y))} of the lines between the scales."""
    return [
        tuple((place[2] + x, place[3] + y) for x, y in shape.points)
        for shape, place in walk(scene.shapes)
        if isinstance(shape, Line) and shape.role.split()[0] in TRACKS
    ]


TRACKS = ("track", "drives", "driven")


@each_context
@each_load
@each_shift
def test_strips_can_be_read(train, before, after, load, context):
    scene = draw_shift_strip(train, before, after, load=load, context=context)
    texts = readable(scene)
    asked = shift(train, before, after, load=load)
    assert asked.words in scene.alt
    moved = ((asked.off, "−", "goes off"), (asked.on, "+", "comes on"))
    for names, sign, does in moved:
        for name in names:
            assert f"{sign} {name}: {does}" in texts
    assert scene.width <= 760 or context in ("projector", "class")


@each_shift
def test_lines_join_the_speeds(train, before, after):
    scene = draw_shift_strip(train, before, after)
    asked = shift(train, before, after)
    pairs = {asked.speeds[body] for body in body_speeds(asked.before)}
    speeds = sorted((pair for pair in pairs if None not in pair), reverse=True)
    drawn = tracks(scene)
    assert len(drawn) == len(speeds)
    # Heights go with speeds: one straight scale for both sides.
    points = [
        (float(speed), y)
        for pair, line in zip(speeds, drawn, strict=True)
        for speed, (_, y) in zip(pair, line, strict=True)
    ]
    (low, foot), (high, top) = min(points), max(points)
    for speed, y in points:
        part = (speed - low) / (high - low)
        assert isclose(y, foot + part * (top - foot), abs_tol=1e-6)
    dots = [s for s, _ in walk(scene.shapes) if isinstance(s, Circle)]
    assert len(dots) == 2 * len(drawn)


@each("ends", [("sun", "planet"), ("planet", "sun")])
def test_a_planet_may_be_an_end_of_the_train(ends):
    first, last = (f"one {short}" for short in ends)
    train = make_train(
        simple("one", 30, 70),
        input=first,
        output=last,
        brakes={"brake": "one carrier"},
        ranges={"1": ["brake"], "2": []},
    )
    for load in LOADS:
        scene = draw_speed_chart(train, load=load)
        written = " ".join(readable(scene)).split()
        assert {"planet", "sun", "carrier", "ring"} <= set(written)
        assert all(f"one {short}" in scene.alt for short in ends)
    # Sun 30 and planet 20 on a held carrier: 3/2 of a turn backward, or 2/3.
    share = {"planet": "-3/2", "sun": "-2/3"}[ends[1]]
    assert power_flow(train, "1").speeds[last] == F(share)
    assert exactly(F(share)) in draw_speed_chart(train).alt


@each_shift
def test_every_number_of_a_strip_has_a_name(train, before, after):
    """A number beside a scale says whose speed it is, at its height."""
    boxes = text_boxes(draw_shift_strip(train, before, after))
    numbers = [box for text, box in boxes if re.fullmatch(r"[+−]?\d+(\.\d+)?", text)]
    names = [box for text, box in boxes if text in words_of(train)]
    for left, top, right, low in numbers:
        side = [box for box in names if box[2] <= left or box[0] >= right]
        assert any(box[1] < low and box[3] > top for box in side)


def words_of(train):
    """Every line that a name of a train may be broken into, and the case."""
    names = [*train.body_of, "case"]
    ends = [name.split(" ") for name in names]
    lines = {
        " ".join(words[a:b])
        for words in ends
        for a in range(len(words))
        for b in range(a + 1, len(words) + 1)
    }
    return lines


def test_the_output_keeps_its_speed():
    texts = readable(draw_shift_strip(FIVE, "2", "3"))
    assert texts.count("+0.529") == 2
    assert texts.count("output shaft") == 2
    assert "+ front one-way clutch: catches" in texts
    assert "− low one-way clutch: lets go" in texts


def test_no_shift_on_the_move_says_so():
    for before, after in (("N", "R"), ("R", "1"), ("P", "N")):
        scene = draw_shift_strip(FIVE, before, after)
        assert "No shift on the move" in " ".join(readable(scene))
        assert "No shift on the move" in scene.alt
        assert tracks(scene) == []


@each_context
def test_applied_elements_stand_for_a_range(context):
    applied = ["forward clutch", "front lock clutch"]
    scene = draw_shift_strip(FIVE, applied, "3", context=context)
    assert "+ common-sun brake: comes on" in readable(scene)
    assert "front lock clutch + forward clutch" in " ".join(readable(scene))


@each_context
def test_many_bodies_with_long_names_stay_apart(context):
    word = "uncommonly long Planetengetriebesonnenrad"
    sets = [simple(f"{word} set {n}", 30 + n, 72 + n) for n in range(5)]
    names = [one.name for one in sets]
    train = make_train(
        *sets,
        input=f"{names[0]} sun",
        output=f"{names[-1]} carrier",
        shafts={
            f"shaft {n}": [f"{names[n]} carrier", f"{names[n + 1]} sun"]
            for n in range(4)
        },
        brakes={f"ring brake {n}": f"{name} ring" for n, name in enumerate(names)},
        clutches={
            f"lock {n}": (f"{name} ring", f"{name} sun") for n, name in enumerate(names)
        },
        ranges={
            "low": [f"ring brake {n}" for n in range(5)],
            "high": ["lock 0", *(f"ring brake {n}" for n in range(1, 5))],
        },
    )
    for load in LOADS:
        readable(draw_shift_strip(train, "low", "high", load=load, context=context))
        readable(draw_speed_chart(train, load=load, context=context))


def test_what_is_wrong_is_said_of_strips():
    with pytest.raises(ValueError, match='no range "33"; did you mean "3"'):
        draw_shift_strip(FIVE, "2", "33")
    with pytest.raises(ValueError, match='no context "page"'):
        draw_shift_strip(FIVE, "2", "3", context="page")
    with pytest.raises(ValueError, match='no load "coats"; did you mean "coast"'):
        draw_shift_strip(FIVE, "2", "3", load="coats")


# Labels apart ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wanted", "sizes"),
    [
        ([0, 0, 0], [10, 10, 10]),
        ([95, 5, 50, 50], [10, 20, 10, 30]),
        ([100, 100, 99, 1], [15, 15, 15, 15]),
        ([40, 60, 45, 55, 50], [20, 20, 20, 20, 20]),
    ],
)
def test_labels_are_moved_no_more_than_they_must(wanted, sizes):
    middles = spread(wanted, sizes, 0, 100)
    order = sorted(range(len(wanted)), key=lambda at: middles[at])
    edges = [(middles[at] - sizes[at] / 2, middles[at] + sizes[at] / 2) for at in order]
    assert edges[0][0] >= -1e-9 and edges[-1][1] <= 100 + 1e-9
    for (_, foot), (top, _) in pairwise(edges):
        assert foot <= top + 1e-9
    for one in order:
        for other in order:
            assert not (wanted[one] < wanted[other] and middles[one] > middles[other])


def test_labels_with_room_stay_where_they_belong():
    assert spread([70, 10, 40], [10, 10, 10], 0, 100) == [70, 10, 40]
