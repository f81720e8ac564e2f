"""Answers as people give them: what is read, what is right too, and what is said."""

from decimal import Decimal
from fractions import Fraction as F

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import gearlab as gl
from gearlab.lab.question.checking import check
from gearlab.lab.question.question import (
    WHOLE,
    Also,
    Choice,
    Number,
    Order,
    Slip,
)
from gearlab.lab.question.reading import read_answer
from gearlab.lab.question.slips import reciprocal, without_the_one

RATIO = Number(text="What ratio?", answer=F(16, 3), within=F(1, 20))
TORQUE = Number(text="What torque?", answer=F(102), within=F(1), unit="N·m")
SPEED = Number(text="What speed?", answer=F(2324), within=F(24), unit="rev/min")
TEETH = Number(text="How many teeth?", answer=F(22), within=WHOLE, unit="teeth")


@pytest.mark.parametrize(
    ("question", "written"),
    [
        *((TORQUE, "102 N·m"), (TORQUE, "102 Nm"), (TORQUE, "102"), (TORQUE, 102)),
        *((SPEED, "2324 rpm"), (SPEED, "2324 rev/min"), (SPEED, np.float64(2324))),
        *((RATIO, "1+104/24"), (RATIO, "1 + 104/24"), (RATIO, "5 1/3"), (RATIO, 5.33)),
        *((RATIO, "5.33:1"), (RATIO, "16/3"), (RATIO, "5 turns 120°"), (RATIO, "5,33")),
        *((RATIO, Decimal("5.33")), (RATIO, F(16, 3)), (TEETH, "22")),
        (TEETH, "22 teeth"),
    ],
)  # fmt: skip
def test_an_answer_is_read_in_every_form_and_its_unit(question, written):
    verdict = check(question, written)
    assert verdict.read
    assert verdict.right


@pytest.mark.parametrize(
    ("question", "written", "named"),
    [
        (RATIO, "2324 rpm", "a speed in rev/min, but a ratio is asked"),
        (RATIO, "102 Nm", "a torque in N·m, but a ratio is asked"),
        (SPEED, "5.33 turns", "a number of turns, but a speed in rev/min is asked"),
        (TORQUE, "22 teeth", "a number of teeth, but a torque in N·m is asked"),
    ],
)
def test_another_unit_is_named_and_is_no_try(question, written, named):
    verdict = check(question, written)
    assert not verdict.read
    assert verdict.right is None
    assert named in verdict.words


@pytest.mark.parametrize("written", ["2.324", "2,324", "2.324 rpm", "1.394"])
def test_a_point_for_thousands_is_recognised_and_said(written):
    """Also where the number that is meant is wrong, so it gives nothing away."""
    verdict = check(SPEED, written)
    meant = written.split()[0].replace(".", "").replace(",", "")
    assert not verdict.read
    assert f"seems to be one for thousands; write {meant}, or" in verdict.words
    way_out = verdict.words.split(", or ")[1].split()[0]
    assert check(SPEED, way_out).read
    assert check(SPEED, meant).read


@pytest.mark.parametrize(
    ("question", "written"),
    [(RATIO, "5.333"), (RATIO, "2.324"), (TORQUE, "101.525"), (SPEED, "847.059")],
)
def test_a_decimal_point_is_left_one(question, written):
    assert check(question, written).read


@pytest.mark.parametrize("written", ["22.4", "22 1/2", "44/3", 22.5])
def test_where_a_whole_number_is_asked_no_other_is_read(written):
    assert TEETH.how == "Write a whole number of teeth."
    verdict = check(TEETH, written)
    assert not verdict.read
    assert "is no whole number" in verdict.words
    assert check(TEETH, "21").right is False
    assert check(TEETH, "23").right is False


@given(st.integers(1, 999), st.integers(1, 99), st.integers(1, 60))
def test_a_ratio_is_right_however_it_is_written(whole, above, below):
    value = whole + F(above, below)
    question = Number(text="?", answer=value, within=F(1, 100))
    for form in (
        f"{whole} {above}/{below}",
        f"{whole}+{above}/{below}",
        f"{above}/{below} + {whole}",
        f"{value.numerator}/{value.denominator}",
        f"{value.numerator}:{value.denominator}",
        f"{float(value):.4f}",
        f"{float(value):.4f} turns",
        np.float64(float(value)),
        value,
    ):
        assert check(question, form).right, form


def test_a_question_with_an_unknown_unit_or_too_small_a_tolerance_has_a_fault():
    assert not RATIO.faults
    unit = Number(text="?", answer=F(1), unit="furlongs")
    assert "nobody reads the unit furlongs" in unit.faults
    fine = Number(text="?", answer=F(1, 3), within=F(1, 10**4))
    assert fine.faults
    part = Number(text="?", answer=F(1, 3), within=WHOLE)
    assert "1/3 is no whole number" in part.faults


def test_what_is_right_by_another_reading_is_not_called_wrong():
    also = Also(answer="both", words="both stand there; that is a convention.")
    slips = (
        Slip(name="a slip", answer="both", words="never said."),
        Slip(name="a slip", answer="none", words="look again."),
    )
    question = Choice(
        text="Who holds?",
        options=("the brake", "both", "none"),
        answer="the brake",
        also=(also, Also(answer="the brake", words="left out")),
        slips=slips,
    )
    assert not question.faults
    assert question.also == (also,)
    assert [slip.answer for slip in question.slips] == ["none"]
    assert check(question, "the brake").words == "Right."
    verdict = check(question, "both")
    assert verdict.right
    assert verdict.words == "Right too: both stand there; that is a convention."
    assert check(question, "none").right is False
    other = Choice(text="?", options=("a", "b"), answer="a", also=(also,))
    assert other.faults == ("no option 'both'",)


def test_slips_say_what_was_turned_over_and_which_teeth_were_taken():
    assert reciprocal(F(4)).words.startswith("that is output turns for one input turn.")
    shaft = reciprocal(F(4), "output", "rear carrier")
    assert (
        shaft.words == "that is output turns for one rear carrier turn. Turn it over."
    )
    assert shaft.answer == F(1, 4)
    alone = without_the_one(F(3, 7), "sun", "ring")
    assert alone.words.startswith("that is sun over ring alone.")
    assert alone.answer == F(3, 7)


def test_an_order_says_what_is_put_in_order():
    question = Order(text="?", options=("a", "b", "c"), answer=("a", "b"), what="cases")
    assert question.how.startswith("Choose 2 cases, ")
    assert check(question, "a").words == "Not yet: 2 cases are asked."
    assert read_answer(question, "a > b") == ("a", "b")


def test_every_place_that_takes_a_count_reads_it_alike():
    """One reader: a count of a range, and one to be explained, from numpy too."""
    mean = np.mean([3.125, 3.175])
    for count in (mean, "3 3/20", "3+3/20", "3,15", Decimal("3.15"), F(63, 20)):
        assert gl.Count(range="3", count=count, error="1/8").count == F(63, 20)
        told = gl.explain_count(gl.load_train("five-range"), "1", count)
        assert told.count == F(63, 20)
    with pytest.raises(ValueError, match="is a speed in rev/min"):
        gl.Count(range="3", count="3 rpm", error="1/8")


@pytest.mark.parametrize(
    ("published", "agrees"),
    [
        *(("1.41", True), ("1.4", True), ("1.40", False), ("1.41 forward", True)),
        *(("1.4 forward", True), ("1.40 forward", False), ("1 turn 147°", True)),
        *(("1 11/27", True), ("1 + 10/27", False), ("1.41 backward", False)),
    ],
)
def test_a_published_ratio_is_read_alike_too(published, agrees):
    """Range 3 has 38/27, so 1.407: a written ratio counts to half its last digit."""
    unit = gl.load_train("five-range")
    row = {"applied": unit.range("3").applied, "published": published}
    found = gl.check_chart(unit, {"3": row})
    assert agrees == (not [one for one in found if one.kind == "another ratio"])
