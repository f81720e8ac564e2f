"""Shifts: what moves, what one-way clutches do by themselves, early and late, steps."""

import pickle
from fractions import Fraction as F
from itertools import pairwise, product

import pytest
from formulas import six_range
from loops import each
from trains import (
    FIVE_RANGES,
    make_train,
    one_set,
    other_five_range,
    other_six_range,
    simple,
)

from gearlab import load_train, power_flow
from gearlab.ask.shifts import early_late, shift, shift_table

TRAIN = other_five_range()
LOW, FRONT = "low one-way clutch", "front one-way clutch"
RATIOS = {"1": F(41, 13), "2": F(492, 221), "3": F(20, 13), "4": F(1), "5": F(12, 17)}

# from, to: off, on, kind, by itself, beside an applied element, step (derived)
TABLE = {
    ("1", "2"): (
        {"front lock clutch"},
        {"overdrive brake"},
        "single",
        {},
        {FRONT: "lets go"},
        F(17, 12),
    ),
    ("2", "3"): (
        {"overdrive brake"},
        {"common-sun brake", "front lock clutch"},
        "double",
        {LOW: "lets go"},
        {FRONT: "catches"},
        F(369, 255),
    ),
    ("3", "4"): ({"common-sun brake"}, {"direct clutch"}, "single", {}, {}, F(20, 13)),
    ("4", "5"): (
        {"front lock clutch"},
        {"overdrive brake"},
        "single",
        {},
        {FRONT: "lets go"},
        F(17, 12),
    ),
    ("3", "1"): (
        {"common-sun brake"},
        set(),
        "single",
        {LOW: "catches"},
        {},
        F(20, 41),
    ),
    ("1", "1 low"): (set(), {"low brake"}, "single", {}, {}, F(1)),
    ("3", "3"): (set(), set(), "none", {}, {}, F(1)),
}


@pytest.mark.parametrize("ends", TABLE)
def test_shifts_of_the_five_range_unit(ends):
    off, on, kind, by_itself, backed_up, step = TABLE[ends]
    made = shift(TRAIN, *ends)
    assert (made.off, made.on, made.kind) == (off, on, kind)
    assert (made.by_itself, made.backed_up) == (by_itself, backed_up)
    assert (made.step, made.input_change) == (step, 1 / step)
    assert (made.before.range, made.after.range) == ends


@each("ends", [*product(RATIOS, RATIOS)])
def test_the_output_keeps_its_speed_and_slip_is_what_turns_past(ends):
    made = shift(TRAIN, *ends)
    before, after = (RATIOS[name] for name in ends)
    assert made.speeds["output shaft"] == (1 / before, 1 / before)
    assert made.speeds["input shaft"] == (1, after / before)
    for at, flow in enumerate((made.before, made.after)):
        speeds = {name: pair[at] for name, pair in made.speeds.items()} | {"case": 0}
        assert speeds["rear carrier"] == (
            F(3, 4) * speeds["output shaft"] + F(1, 4) * speeds["common-sun shaft"]
        )
        slips = {name: pair[at] for name, pair in made.slips.items()}
        assert all(slips[name] == 0 for name in flow.applied | flow.holding)
        assert all(slips[name] > 0 for name in flow.overrunning)
        assert slips["overdrive brake"] == speeds["front sun"]
        assert slips["direct clutch"] == (
            speeds["common-sun shaft"] - speeds["intermediate shaft"]
        )
        assert slips["front one-way clutch"] == (
            speeds["front carrier"] - speeds["front sun"]
        )
        assert slips["parking pawl"] == speeds["output shaft"]


def test_there_and_back_undo_each_other():
    for a, b in pairwise(RATIOS):
        there, back = shift(TRAIN, a, b), shift(TRAIN, b, a)
        assert there.step * back.step == 1
        assert (there.off, there.on) == (back.on, back.off)
        turned = {"lets go": "catches", "catches": "lets go"}
        assert there.by_itself == {n: turned[d] for n, d in back.by_itself.items()}


@pytest.mark.parametrize("ends", [("N", "1"), ("1", "N"), ("P", "R"), ("1", "R")])
def test_no_step_where_the_vehicle_cannot_move_on(ends):
    made = shift(TRAIN, *ends)
    assert made.step is made.input_change is None
    assert {pair[1] for pair in made.speeds.values()} == {None}
    assert {pair[1] for pair in made.slips.values()} == {None}
    assert "step" not in made.words


def test_on_coast_a_range_that_freewheels_has_no_step():
    assert shift(TRAIN, "3", "1", load="coast").step is None
    assert shift(TRAIN, "3", "1 low", load="coast").step == F(20, 41)
    assert shift(TRAIN, "3", "4", load="coast").step == F(20, 13)


def test_elements_may_be_given_instead_of_ranges():
    by_name = shift(TRAIN, 2, 3)
    made = shift(TRAIN, FIVE_RANGES["2"], FIVE_RANGES["3"])
    assert (made.before.range, made.after.range) == (None, None)
    assert (made.speeds, made.slips, made.on) == (
        by_name.speeds,
        by_name.slips,
        by_name.on,
    )
    assert pickle.loads(pickle.dumps(by_name)) == by_name
    assert hash(by_name) == hash(shift(TRAIN, "2", "3"))


def test_words_of_a_shift():
    assert shift(TRAIN, "2", "3").words == (
        "Range 2 to range 3, a double shift: the overdrive brake goes off, the"
        " common-sun brake comes on, the front lock clutch comes on, the low one-way"
        " clutch lets go by itself, the front one-way clutch catches beside an applied"
        " element; step 1.447 (123/85)."
    )
    assert shift(TRAIN, [], []).words == (
        "Nothing applied to nothing applied, the same elements."
    )


# early elements of the shift from 2 to 3: state or ratio, word, like (derived)
SECOND_TO_THIRD = {
    ("common-sun brake",): (F(240, 221), "higher range", ()),
    ("overdrive brake",): (F(41, 13), "flare", ("1", "1 low")),
    ("front lock clutch",): ("tied up", "tie-up", ()),
    ("overdrive brake", "front lock clutch"): (F(41, 13), "flare", ("1", "1 low")),
    ("overdrive brake", "common-sun brake"): (F(20, 13), "as after", ("3",)),
    ("common-sun brake", "front lock clutch"): ("tied up", "tie-up", ()),
}


def test_early_and_late_from_second_to_third():
    made = shift(TRAIN, "2", "3")
    rows = {row.early: row for row in early_late(made)}
    assert set(rows) == {frozenset(early) for early in SECOND_TO_THIRD}
    for early, (what, word, like) in SECOND_TO_THIRD.items():
        row = rows[frozenset(early)]
        assert row.late == (made.off | made.on) - row.early
        gone = made.off & row.early
        assert row.flow.applied == (made.before.applied - gone) | (made.on & row.early)
        assert what in (row.flow.state, row.flow.ratio)
        assert (row.word, row.like) == (word, like)


def words_of(train, before, after, load="drive"):
    return {
        " + ".join(train.in_order(row.early)): row.word
        for row in early_late(shift(train, before, after, load=load))
    }


def test_single_shifts_of_the_five_range_unit():
    assert words_of(TRAIN, "1", "2") == {
        "overdrive brake": "tie-up",
        "front lock clutch": "as before",
    }
    assert words_of(TRAIN, "3", "4") == {
        "common-sun brake": "flare",
        "direct clutch": "tie-up",
    }
    # On coast nothing is left that drives the engine back.
    assert words_of(TRAIN, "3", "4", "coast") == {
        "common-sun brake": "freewheels",
        "direct clutch": "tie-up",
    }
    assert early_late(shift(TRAIN, "1", "1 low")) == ()
    assert early_late(shift(TRAIN, "3", "3")) == ()


def test_other_words_by_hand():
    # A lone set: the sun drives the carrier, and later the ring does.
    train = one_set(input="front sun", output="front carrier")
    held = ["ring brake"], ["sun-carrier clutch"]
    assert words_of(train, *held) == {
        "ring brake": "flare",
        "sun-carrier clutch": "tie-up",
    }
    # The output is held as well while the ring brake goes off.
    assert words_of(train, ["ring brake"], ["carrier brake"]) == {
        "carrier brake": "tie-up",
        "ring brake": "flare",
    }
    ring_out = one_set(input="front sun", output="front ring")
    assert words_of(ring_out, ["carrier brake"], ["sun-ring clutch"]) == {
        "carrier brake": "flare",
        "sun-ring clutch": "tie-up",
    }
    # Neutral at both ends, and one that stops the output between.
    assert words_of(train, [], ["ring brake", "carrier brake"]) == {
        "ring brake": "drives",
        "carrier brake": "output locked",
    }


def two_in_a_row(turned=False):
    """Two sets in a row, each locked or in reduction: 3 in front, 4 behind.

    A third set may turn the output round, one to minus three.
    """
    sets = [simple("front", 30, 60), simple("rear", 24, 72)]
    shafts = {"middle shaft": ["front carrier", "rear sun"]}
    if turned:
        sets.append(simple("last", 24, 72))
        shafts["back shaft"] = ["rear carrier", "last sun"]
        shafts["case"] = ["last carrier"]
    return make_train(
        *sets,
        input="front sun",
        output="last ring" if turned else "rear carrier",
        shafts=shafts,
        brakes={"front brake": "front ring", "rear brake": "rear ring"},
        clutches={
            "front lock": ("front sun", "front carrier"),
            "rear lock": ("rear sun", "rear carrier"),
        },
    )


@pytest.mark.parametrize(("turned", "last"), [(False, 1), (True, -3)])
def test_a_double_shift_passes_through_a_lower_or_a_higher_range(turned, last):
    train = two_in_a_row(turned)
    low, high = ["front lock", "rear brake"], ["front brake", "rear lock"]
    all_low, all_high = ["front brake", "rear brake"], ["front lock", "rear lock"]
    for ends, early, ratio, word, coasting in (
        ((low, high), {"front lock", "front brake"}, 12, "flare", "lower range"),
        ((low, high), {"rear lock", "rear brake"}, 1, "higher range", "higher range"),
        ((all_low, all_high), {"rear lock", "rear brake"}, 3, "between", "between"),
    ):
        for load, told in (("drive", word), ("coast", coasting)):
            rows = {
                row.early: row for row in early_late(shift(train, *ends, load=load))
            }
            row = rows[frozenset(early)]
            assert (row.flow.ratio, row.word) == (ratio * last, told)


def test_a_state_that_turns_the_output_the_other_way():
    train = one_set(input="front sun", output="front ring", name="Way out")
    rows = early_late(shift(train, ["carrier brake", "sun-ring clutch"], []))
    assert {row.word for row in rows} == {"drives"}
    back_between = ["sun-ring clutch"], ["carrier-ring clutch", "carrier brake"]
    rows = {row.early: row for row in early_late(shift(train, *back_between))}
    row = rows[frozenset({"sun-ring clutch", "carrier brake"})]
    assert (row.flow.ratio, row.word) == (F(-12, 5), "other way")


def test_steps_and_spread_of_the_shipped_trains():
    table = shift_table(load_train("five-range"))
    assert table.ranges == ("1", "2", "3", "4", "5")
    assert table.ratios == (F(17, 6), F(17, 9), F(38, 27), 1, F(2, 3))
    assert table.steps == (F(3, 2), F(51, 38), F(38, 27), F(3, 2))
    # Spread is the first ratio over the last one (lecture slides on gearboxes of a
    # European course for motor engineers).
    assert table.spread == F(17, 6) / F(2, 3)
    other = shift_table(TRAIN)
    assert other.ratios == tuple(RATIOS.values())
    assert other.steps == (F(17, 12), F(123, 85), F(20, 13), F(17, 12))
    assert other.spread == F(41, 13) / F(12, 17)
    assert [one.kind for one in table.shifts] == [
        "single",
        "double",
        "single",
        "single",
    ]
    for train in (load_train("six-range"), other_six_range()):
        six, ratios = shift_table(train), [six_range(train)[name] for name in "123456"]
        assert six.spread == ratios[0] / ratios[-1]
        assert list(six.steps) == [a / b for a, b in pairwise(ratios)]


def test_a_table_of_chosen_ranges():
    table = shift_table(TRAIN, ranges=["1 low", 3, "4"])
    assert table.ranges == ("1 low", "3", "4")
    assert table.steps == (F(41, 20), F(20, 13))
    assert shift_table(TRAIN, ranges=["4"]).steps == ()
    assert shift_table(TRAIN, ranges=["4"]).spread == 1


def test_bad_input():
    with pytest.raises(ValueError, match='no range "6"'):
        shift(TRAIN, "6", "1")
    with pytest.raises(ValueError, match='no load "pull"'):
        shift(TRAIN, "1", "2", load="pull")
    with pytest.raises(ValueError, match='no element "low brak"; did you mean'):
        shift(TRAIN, "1", ["low brak"])
    for name in ("N", "R"):
        with pytest.raises(ValueError, match=f'range "{name}" does not drive'):
            shift_table(TRAIN, ranges=["1", name])
    with pytest.raises(ValueError, match="no range that drives"):
        shift_table(one_set())
    with pytest.raises(ValueError, match="is the text"):
        shift_table(TRAIN, ranges="12")
    many = one_set(brakes={f"brake {n}": "front ring" for n in range(11)})
    made = shift(many, [], many.element_names[:11])
    with pytest.raises(ValueError, match="11 elements change in this shift"):
        early_late(made)
    assert power_flow(many, applied=many.element_names[:11]).ratio == F(17, 5)
