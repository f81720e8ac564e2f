"""A result alone in a cell is one short line; a chart that is printed is its text."""

import pickle
from dataclasses import dataclass

import pytest

import gearlab as gl
from gearlab.base.brief import Brief

FIVE = gl.load_train("five-range")
FLOW = gl.power_flow(FIVE, "2")
CHART = gl.apply_chart(FIVE)
MOVED = gl.shift(FIVE, "2", "3")
SHOWN = [
    (FIVE, "<Train: Five-range bench unit, 3 sets, 9 ranges>"),
    (FLOW, "<PowerFlow: range 2, under power, ratio 17/9, Five-range bench unit>"),
    (
        gl.power_flow(FIVE, applied=["low brake", "overdrive brake"], load="coast"),
        "<PowerFlow: overdrive brake + low brake, coasting, neutral, Five-range bench",
    ),
    (gl.power_flow(FIVE, applied=[]), "<PowerFlow: nothing applied, under power,"),
    (CHART, "<ApplyChart: Five-range bench unit, under power, 9 ranges>"),
    (CHART.row("2"), "<ChartRow: range 2, 1.889>"),
    (gl.product_table(FIVE), "<ProductTable: Five-range bench unit, 2 × 4 ratios at"),
    (gl.shift_table(FIVE), "<ShiftTable: ranges 1, 2, 3, 4, 5, spread 17/4>"),
    (MOVED, "<Shift: Range 2 to range 3, a double shift: the overdrive brake goes"),
    (gl.early_late(MOVED)[0], "<MidShift: Already moved: "),
    (gl.survey(FIVE), "<Survey: Five-range bench unit, 64 combinations, "),
    (gl.survey(FIVE).rows[7], "<SurveyRow: overdrive brake + "),
]


@pytest.mark.parametrize(("result", "start"), SHOWN, ids=lambda one: type(one).__name__)
def test_a_result_is_one_short_line(result, start):
    for shown in (result, pickle.loads(pickle.dumps(result))):
        line = repr(shown)
        assert line.startswith(start)
        assert line.endswith(">")
        assert len(line) <= 100
        assert "\n" not in line


def test_what_is_printed_is_the_table():
    assert len(str(CHART)) < 3000
    assert str(gl.product_table(FIVE)).startswith("split at the intermediate shaft")
    assert str(FLOW) == gl.describe(FLOW)


def test_a_long_name_is_cut():
    @dataclass(frozen=True, repr=False)
    class Thing(Brief):
        _brief: str

    assert repr(Thing("a\n  b")) == "<Thing: a b>"
    assert len(repr(Thing("x" * 5000))) == 100
    assert repr(Thing("x" * 5000)).endswith("…>")
    assert [len(repr(Thing("x" * n))) for n in (89, 90, 91, 92)] == [98, 99, 100, 100]


@pytest.mark.parametrize("name", gl.train_names())
def test_every_flow_and_row_is_short(name):
    train = gl.load_train(name)
    rows = [flow for both in gl.range_flows(train).values() for flow in both.values()]
    rows += gl.survey(train, most=200).rows
    assert all(len(repr(row)) <= 100 for row in rows)
