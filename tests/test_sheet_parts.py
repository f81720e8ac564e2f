"""Drawings in parts for a page: sizes, what is in each part, the back row."""

import inspect
import re
from dataclasses import replace

import pytest
from loops import each
from scene_checks import (
    beyond,
    cut_words,
    faint,
    outside,
    overlaps,
    small_letters,
    struck,
    wordless,
)
from sheets import by_owner, is_text, sheets, states, with_owners
from test_drawings import TRAINS as EVERY_TRAIN
from test_drawings import longer_words, untranslated
from trains import external, gears, make_train, simple

import gearlab as gl
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import draw_apply_chart, draw_end_view, draw_levers, draw_stick
from gearlab.draw.charts.applychart import chart_sheet
from gearlab.draw.endview import end_view_sheet
from gearlab.draw.kit.owner import CRANK
from gearlab.draw.kit.shapes import (
    Circle,
    Polygon,
    placed,
    text_boxes,
    walk,
)
from gearlab.draw.kit.style import CONTEXTS, style
from gearlab.draw.levers import levers_sheet
from gearlab.draw.stick import stick_sheet

TRAINS = {name: gl.load_train(name) for name in gl.train_names()}
FIVE = TRAINS["five-range"]
SECOND = gl.power_flow(FIVE, "2")
HEIGHT = 1080  # of the screen that a class looks at [px]


# The parts ----------------------------------------------------------------------------


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", EVERY_TRAIN)
def test_a_body_is_equally_large_in_every_state(name, context):
    sizes = {}
    for flow in states(EVERY_TRAIN[name], 2):
        for picture, sheet in sheets(flow, context=context):
            size = sheet.body.width, sheet.body.height, sheet.centre
            sizes.setdefault(picture, set()).add(size)
    assert len(sizes) == 4 + 4 * len(EVERY_TRAIN[name].sets)
    assert all(len(found) == 1 for found in sizes.values()), sizes


@each("context", CONTEXTS)
@pytest.mark.parametrize("name", EVERY_TRAIN)
def test_parts_can_be_read(name, context):
    faults, ends = [], ("input", "output")
    colourings = ("part", "role", "paint")
    for at, flow in enumerate(states(EVERY_TRAIN[name], 0)[::4]):
        look = {"end": ends[at % 2], "colour_by": colourings[at % 3]}
        for picture, sheet in sheets(flow, context=context, **look):
            checks = overlaps, outside, beyond, small_letters, struck, faint, cut_words
            scenes = [(sheet.body, (*checks, wordless)), (sheet.key, checks)]
            faults += [
                f"{picture} of {flow.range}, {look}: {fault}"
                for scene, checked in scenes
                if scene
                for check in checked
                for fault in check(scene)
            ]
    assert not faults


@each("flow", states(FIVE, 0), lambda flow: f"{flow.range}-{flow.load}")
def test_parts_say_what_the_whole_drawing_says(flow):
    """No word of a drawing is lost but its heading's."""
    chart = {"load": flow.load, "current": flow.range}
    for whole, sheet in (
        (draw_stick(flow), stick_sheet(flow)),
        (draw_stick(flow, circulating=True), stick_sheet(flow, circulating=True)),
        (draw_apply_chart(FIVE, **chart), chart_sheet(FIVE, **chart)),
        *[
            (draw_end_view(flow, one.name), end_view_sheet(flow, one.name))
            for one in FIVE.sets
        ],
    ):
        parts = [text for part in (sheet.body, sheet.key) for text in texts(part)]
        assert set(parts) <= set(texts(whole))
        low = max(box[3] for text, box in text_boxes(whole) if text not in parts)
        assert low < 0.25 * whole.height, "all that is left out is the heading"
        assert sheet.body.alt == whole.alt and not sheet.key.alt
    whole, sheet = draw_levers(flow), levers_sheet(flow)
    assert set(texts(sheet.body)) <= set(texts(whole)) and sheet.body.alt == whole.alt


def texts(scene):
    return [text for text, _ in text_boxes(scene)]


def test_bodies_are_cropped():
    """A picture fills its body: what is drawn comes near to every side."""
    for name, sheet in sheets(SECOND):
        if name == "levers":
            continue  # as wide as the page: its labels may be longer
        points = []
        for shape, place in walk(sheet.body.shapes):
            if isinstance(shape, Circle):
                x, y, r = shape.x, shape.y, shape.r
                points += placed(
                    ((x - r, y), (x + r, y), (x, y - r), (x, y + r)), place
                )
            elif isinstance(shape, Polygon):
                points += placed(shape.points, place)
        points += [corner for _, (a, b, c, d) in text_boxes(sheet.body)
                   for corner in ((a, b), (c, d))]  # fmt: skip
        xs, ys = zip(*points, strict=True)
        # The sign of a held ring has its place below an end view.
        low = 1.4 * sheet.font if sheet.centre else sheet.font
        assert min(xs) < sheet.font and max(xs) > sheet.body.width - sheet.font
        assert min(ys) < sheet.font and max(ys) > sheet.body.height - low


def test_keys_explain_what_is_drawn_and_no_more():
    for flow in states(FIVE, 2):
        for look in ({}, {"colour_by": "role"}, {"circulating": True}):
            sheet = stick_sheet(flow, **look)
            drawn = {shape.role for shape, _ in walk(sheet.body.shapes)}
            assert {shape.role for shape, _ in walk(sheet.key.shapes)} - {
                "text"
            } <= drawn
        sheet = chart_sheet(FIVE, load=flow.load, current=flow.range)
        drawn = {shape.role for shape, _ in walk(sheet.body.shapes)}
        assert {shape.role for shape, _ in walk(sheet.key.shapes)} <= drawn


def test_titles():
    assert [sheet.title for _, sheet in sheets(SECOND)][:5] == [
        "Power path",
        "Stick diagram",
        "Levers",
        "Apply chart, under power",
        "Front set: sun 36, ring 72",
    ]
    assert chart_sheet(FIVE, load="coast").title == "Apply chart, coasting"


@each("name", TRAINS)
def test_parts_in_another_language(name):
    train = TRAINS[name]
    for flow in states(train, 0)[::3]:
        for picture, sheet in sheets(flow, words=longer_words(train)):
            for scene in filter(None, (sheet.body, sheet.key)):
                checks = untranslated, overlaps, outside, cut_words
                assert not [fault for check in checks for fault in check(scene)]
            words = re.sub("[:,·]", "", sheet.title).split()
            assert all(w.endswith("uz") or w.isdigit() for w in words), picture


def test_the_axis_is_the_middle_of_the_gears():
    for train in EVERY_TRAIN.values():
        flow = states(train)[0]
        for one in train.sets:
            for look in ({}, {"big": True}, {"context": "class"}):
                sheet = end_view_sheet(flow, one.name, **look)
                circles = [
                    (shape.r, placed(((shape.x, shape.y),), place)[0])
                    for shape, place in walk(sheet.body.shapes)
                    if isinstance(shape, Circle)
                    and shape.role.rstrip("?").endswith("rim")
                ]
                assert max(circles)[1] == pytest.approx(sheet.centre)


def test_sets_in_a_row_and_sets_without_a_place():
    pair = gears(external("pinion", 20, "wheel", 61, "case"), name="pair")
    train = make_train(pair, input="pair wheel", output="pair pinion")
    sheet = end_view_sheet(gl.power_flow(train, applied=()), "pair")
    middles = {
        of: placed(((0, 0),), place)[0]
        for of, shape, place in with_owners(sheet.body.shapes)
        if shape.role.rstrip("?").endswith("body")
    }
    assert middles["body:pair wheel"] == pytest.approx(sheet.centre, abs=0.01)
    assert sheet.key and CRANK in by_owner(sheet.body)
    lone = gears(external("sun", 20, "planet", 15, "arm"), name="pair")
    train = make_train(lone, input="pair sun", output="pair arm")
    sheet = end_view_sheet(gl.power_flow(train, applied=()), "pair")
    assert sheet.centre is None and sheet.key is None
    assert "Its file does not say where its gears stand." in " ".join(texts(sheet.body))


CALLS = (
    (stick_sheet, SECOND),
    (levers_sheet, SECOND),
    (end_view_sheet, SECOND, "front"),
    (chart_sheet, FIVE),
)
WRONG = {
    "end": "front",
    "context": "hall",
    "colour_by": "gear",
    "words": {"sun": 3},
    "load": ["drive"],
    "current": ["6"],
}


@each("call", CALLS, lambda call: call[0].__name__)
def test_what_is_wrong_is_refused_in_one_sentence(call):
    function, *given = call
    asked = inspect.signature(function).parameters
    wrong = {name: value for name, value in WRONG.items() if name in asked}
    assert len(wrong) == 4
    for name, value in wrong.items():
        with pytest.raises(ValueError) as found:
            function(*given, **{name: value})
        assert "\n" not in str(found.value) and len(str(found.value)) < 300
    with pytest.raises(ValueError, match="gl\\."):
        function("five-range", *given[1:])
    with pytest.raises(ValueError, match="gear set"):
        end_view_sheet(SECOND, "frond")


# The back row -------------------------------------------------------------------------


@each("name", TRAINS)
def test_letters_for_the_back_row_are_a_twenty_fifth_of_the_screen(name):
    train = TRAINS[name]
    for flow in states(train, 0)[::4]:
        found = [stick_sheet(flow, context="class")]
        found += [end_view_sheet(flow, one.name, context="class") for one in train.sets]
        for sheet in found:
            times = min(1860 / sheet.body.width, 800 / sheet.body.height)
            sizes = [s.size for s, _ in walk(sheet.body.shapes) if is_text(s)]
            assert min(sizes) * times >= HEIGHT / 25
            assert min(sizes) == sheet.font
    for line in ("case", "sun line", "carrier line"):
        assert style(line, "class").width > style(line, "projector").width


def test_a_train_too_large_for_the_back_row_comes_as_near_as_it_can():
    sets = [simple(f"set {i}", 30, 72) for i in range(6)]
    shafts = {f"shaft {i}": [f"set {i} ring", f"set {i + 1} carrier"] for i in range(5)}
    brakes = {f"unusually long brake {i}": f"set {i} sun" for i in range(6)}
    train = make_train(
        *sets, input="set 0 carrier", output="set 5 ring", shafts=shafts, brakes=brakes
    )
    flow = gl.power_flow(train, applied=tuple(brakes))
    sheet = stick_sheet(flow, context="class")
    usual = stick_sheet(flow, context="projector")
    share = [one.font / one.body.width for one in (sheet, usual)]
    assert share[0] > share[1]
    assert not [fault for check in (overlaps, outside) for fault in check(sheet.body)]


# Pictures that are kept ---------------------------------------------------------------


@pytest.mark.parametrize("colour_by", ["part", "role", "paint"])
def test_a_kept_picture_is_that_of_its_flow(colour_by):
    """What is drawn once for flows alike is what each of them would be drawn as."""
    painted = replace(
        FIVE, paint=FrozenMap({"front ring": "#d22630", "output shaft": "#1f4e9c"})
    )
    other = FIVE.with_teeth({"front": {"sun": 40, "ring": 80}})
    for train in (FIVE, painted, other, *TRAINS.values()):
        for flow in states(train):
            for one in train.sets:
                sheet = end_view_sheet(flow, one.name, colour_by=colour_by)
                whole = draw_end_view(flow, one.name, colour_by=colour_by)
                assert sheet.body.alt == whole.alt
                drawn = [shape for shape, _ in walk(whole.shapes)]
                crank = by_owner(sheet.body).get(CRANK, [])
                body = [shape for shape, _ in walk(sheet.body.shapes)]
                for shape in body:
                    if shape not in crank and not is_text(shape):
                        assert shape in drawn
