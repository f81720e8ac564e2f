"""Every picture of the class view, read back: letters that the last row can read."""

import pytest

import gearlab as gl
from gearlab.bench.look import CHART, LEVERS, PATH
from gearlab.draw.charts.applychart import chart_sheet
from gearlab.draw.charts.classchart import class_chart_sheet
from gearlab.draw.endview import end_view_sheet
from gearlab.draw.kit.shapes import Text, walk
from gearlab.draw.kit.style import CONTEXTS
from gearlab.draw.levers import levers_sheet
from gearlab.draw.stick import has_stick, stick_sheet
from gearlab.solve.powerflow import LOADS, power_flow

WIDE, HIGH = CONTEXTS["class"].frame  # what a screen of 1920 × 1080 has for a picture
LEAST = 1080 / 25


def sheets(flow):
    """Every picture of a flow as the class view shows it: {name: Sheet}."""
    look = {"context": "class"}
    found = {LEVERS: levers_sheet(flow, **look)}
    if has_stick(flow.train):
        found[PATH] = stick_sheet(flow, **look)
    for one in flow.train.sets:
        found[one.name] = end_view_sheet(flow, one.name, big=True, **look)
    chart = {"load": flow.load, "current": flow.range}
    return found | {CHART: class_chart_sheet(flow.train, **chart)}


def letters(sheet):
    """The height of each text on that screen [px], with the text."""
    body = sheet.body
    scale = min(WIDE / body.width, HIGH / body.height)
    for shape, place in walk(body.shapes):
        if isinstance(shape, Text):
            yield scale * shape.size * getattr(place, "scale", 1), shape.text


@pytest.mark.parametrize("name", gl.train_names())
def test_every_letter_is_a_twenty_fifth_of_the_screen(name):
    train = gl.load_train(name)
    for row in train.range_names:
        for load in LOADS:
            for picture, sheet in sheets(power_flow(train, row, load=load)).items():
                found = list(letters(sheet))
                assert found, picture
                small = {text: round(px, 1) for px, text in found if px < LEAST - 0.05}
                assert small == {}, (picture, row, sheet.body.width, sheet.body.height)


@pytest.mark.parametrize("name", gl.train_names())
def test_nothing_jumps_from_state_to_state(name):
    train, sizes = gl.load_train(name), {}
    for row in train.range_names:
        for load in LOADS:
            for picture, sheet in sheets(power_flow(train, row, load=load)).items():
                sizes.setdefault(picture, set()).add(
                    (sheet.body.width, sheet.body.height)
                )
    assert {one: found for one, found in sizes.items() if len(found) > 1} == {}


def test_the_reading_of_letters_sees_small_ones():
    chart = chart_sheet(gl.load_train("five-range"), context="class")
    assert min(letters(chart))[0] < LEAST
