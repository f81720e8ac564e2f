"""A prediction is judged by its sense first, then by its count."""

from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st
from loops import each
from trains import other_five_range

import gearlab as gl
from gearlab.base.numerals import number, turn_count
from gearlab.lab.question.prediction import (
    BACKWARD,
    BRAKES,
    FORWARD,
    LOCKED,
    NO_BRAKING,
    NOTHING,
    SENSES,
    STANDS,
    STUCK,
    TIED_UP,
    Prediction,
    judge,
    verdicts,
)

FIVE = other_five_range()
FIRST = gl.power_flow(FIVE, "1")  # 41/13
THIRD = gl.power_flow(FIVE, "3")  # 20/13
FIFTH = gl.power_flow(FIVE, "5")  # 12/17
REVERSE = gl.power_flow(FIVE, "R")  # -3
TIED = gl.power_flow(FIVE, applied=["overdrive brake", "front lock clutch"])
UNDRIVEN = {
    NOTHING: gl.power_flow(FIVE, "N"),
    STANDS: gl.power_flow(FIVE, "P"),
    STUCK: TIED,
}
TRUE = F(41, 13)
EIGHTH = F(1, 8)


def verdict(flow, sense, count=None):
    return judge(flow, Prediction(sense=sense, count=count))


def first_word(flow, sense, count=None):
    return verdict(flow, sense, count).split(":")[0].split(",")[0]


@each(
    "flow, sense, count, words",
    [
        (FIRST, FORWARD, TRUE, "Right"),
        (FIRST, FORWARD, TRUE + EIGHTH, "Right"),
        (FIRST, FORWARD, TRUE - EIGHTH, "Right"),
        (FIRST, FORWARD, TRUE + EIGHTH + F(1, 10**6), "Close"),
        (FIRST, FORWARD, TRUE - EIGHTH - F(1, 10**6), "Close"),
        (FIRST, FORWARD, TRUE * F(6, 5), "Close"),
        (FIRST, FORWARD, TRUE * F(121, 100), "The direction is right"),
        (FIRST, FORWARD, F(2), "The direction is right"),
        (FIRST, FORWARD, 1 / TRUE, "Turned over"),
        (FIRST, FORWARD, F(1, 3), "The direction is right"),
        (FIRST, FORWARD, F(32, 100), "Turned over"),
        (FIFTH, FORWARD, F(12, 17), "Right"),
        (FIFTH, FORWARD, F(17, 12), "Turned over"),
        (THIRD, FORWARD, F(13, 20), "Turned over"),
        (REVERSE, BACKWARD, F(3), "Right"),
        (REVERSE, BACKWARD, F(1, 3), "Turned over"),
        (REVERSE, BACKWARD, F(7, 2), "Close"),
        (gl.power_flow(FIVE, "4"), FORWARD, F(1), "Right"),
    ],
)
def test_counts(flow, sense, count, words):
    assert first_word(flow, sense, count) == words


@given(st.fractions(min_value=F(1, 100), max_value=20))
def test_right_is_within_an_eighth_and_nothing_else(count):
    for flow, sense in ((FIRST, FORWARD), (FIFTH, FORWARD), (REVERSE, BACKWARD)):
        right = first_word(flow, sense, count) == "Right"
        assert right == (abs(count - abs(flow.ratio)) <= F(1, 8))


@pytest.mark.parametrize("true_sense", UNDRIVEN)
def test_what_does_not_drive(true_sense):
    flow = UNDRIVEN[true_sense]
    assert verdict(flow, true_sense) == f"Right: {true_sense}."
    for said in SENSES["drive"]:
        if said != true_sense:
            assert verdict(flow, said, F(1)) == (
                f"Not so: you said “{said}”. In truth: {true_sense}."
            )


COASTS = {
    BRAKES: gl.power_flow(FIVE, "1 low", load="coast"),  # 41/13
    NO_BRAKING: gl.power_flow(FIVE, "1", load="coast"),
    LOCKED: gl.power_flow(FIVE, "P", load="coast"),
    TIED_UP: gl.power_flow(FIVE, applied=TIED.applied, load="coast"),
}


@pytest.mark.parametrize("true_sense", COASTS)
def test_coasting_it_is_asked_whether_the_engine_brakes(true_sense):
    flow = COASTS[true_sense]
    count = ", to an eighth of a turn: you said" if flow.ratio else f": {true_sense}."
    assert verdict(flow, true_sense, TRUE).startswith(f"Right{count}")
    for said in SENSES["coast"]:
        if said != true_sense:
            assert verdict(flow, said, F(1)).startswith(
                f"Not so: you said “{said}”. In truth: {true_sense}"
            )


def test_neutral_does_not_brake():
    neutral = gl.power_flow(FIVE, "N", load="coast")
    assert verdict(neutral, NO_BRAKING) == f"Right: {NO_BRAKING}."


def test_backward_counts_have_no_sign_on_coast_either():
    reverse = gl.power_flow(FIVE, "R", load="coast")
    assert first_word(reverse, BRAKES, F(3)) == "Right"


@pytest.mark.parametrize(
    ("count", "words"),
    [
        (TRUE * F(6, 5), "Close"),
        (1 / TRUE, "Turned over"),
        (F(2), "The engine brakes"),
    ],
)
def test_counts_on_coast(count, words):
    assert first_word(COASTS[BRAKES], BRAKES, count) == words


def test_the_truth_on_coast_has_its_count():
    assert verdict(COASTS[BRAKES], NO_BRAKING) == (
        f"Not so: you said “{NO_BRAKING}”. In truth: {BRAKES}, 3 turns + 55° (3.154)."
    )


@pytest.mark.parametrize("load", SENSES)
def test_a_prediction_for_the_other_load_is_refused(load):
    flow = gl.power_flow(FIVE, "1", load=load)
    other = "coast" if load == "drive" else "drive"
    for sense in SENSES[other]:
        with pytest.raises(ValueError, match=r"the train is (under power|coasting);"):
            verdict(flow, sense, F(1))


@pytest.mark.parametrize("said", [s for s in SENSES["drive"] if s != FORWARD])
def test_a_wrong_sense_is_not_so_even_with_the_right_count(said):
    assert verdict(FIRST, said, TRUE) == (
        f"Not so: you said “{said}”. In truth: {FORWARD}, 3 turns + 55° (3.154)."
    )


def test_a_wrong_sense_in_reverse():
    assert verdict(REVERSE, FORWARD, F(3)) == (
        f"Not so: you said “{FORWARD}”. In truth: {BACKWARD}, 3 turns."
    )


def test_the_words_name_both_numbers():
    assert verdict(FIRST, FORWARD, F(25, 8)) == (
        "Right, to an eighth of a turn: you said 3.125, it is 3 turns + 55° (3.154)."
    )
    assert verdict(FIRST, FORWARD, F(5)) == (
        "The direction is right, the count is not: you said 5, it is 3 turns + 55°"
        " (3.154)."
    )
    assert verdict(FIFTH, FORWARD, F(17, 12)) == (
        "Turned over: you said 1.417, it is 254° (0.706). 1.417 is output turns for one"
        " input turn."
    )


@pytest.mark.parametrize("sense", [FORWARD, BACKWARD, BRAKES])
@pytest.mark.parametrize("count", [None, F(0), 0])
def test_a_driven_output_needs_a_count(sense, count):
    with pytest.raises(
        ValueError, match="no count is given, but input and output turn together"
    ):
        Prediction(sense=sense, count=count)


@pytest.mark.parametrize("sense", ["sideways", FORWARD.upper()])
def test_a_sense_must_be_one_of_those_that_are_asked(sense):
    with pytest.raises(ValueError, match="no prediction"):
        Prediction(sense=sense, count=F(1))


@pytest.mark.parametrize("sense", ["", None])
def test_a_prediction_must_be_chosen(sense):
    with pytest.raises(ValueError, match="nothing is predicted yet, but"):
        Prediction(sense=sense, count=F(1))


def test_the_nearest_sense_is_named():
    with pytest.raises(ValueError, match=f'did you mean "{NOTHING}"'):
        Prediction(sense="nothing drives")


def test_a_prediction_cannot_be_changed():
    prediction = Prediction(sense=FORWARD, count=F(3))
    with pytest.raises(AttributeError):
        prediction.count = F(2)
    assert prediction == Prediction(sense=FORWARD, count=F(3))


# The rule as it is told: a sense first, then how near the count is.
CASES = [FIRST, THIRD, FIFTH, REVERSE, *UNDRIVEN.values(), *COASTS.values()]


def ruled(flow, sense, count):
    """The words on a prediction, by the rule written out in another way."""
    if flow.ratio is None:
        return None
    said, true = number(count), abs(flow.ratio)
    ways = {"coast": BRAKES, "drive": FORWARD if flow.ratio > 0 else BACKWARD}
    if sense == ways[flow.load]:
        words = f"you said {said}, it is {turn_count(true)}."
        if true - F(1, 8) <= count <= true + F(1, 8):
            return f"Right, to an eighth of a turn: {words}"
        if F(19, 20) <= count * true <= F(21, 20):
            return f"Turned over: {words} {said} is output turns for one input turn."
        if F(4, 5) <= count / true <= F(6, 5):
            return f"Close: {words}"
        if flow.load == "coast":
            return f"The engine brakes, but not by that count: {words}"
        return f"The direction is right, the count is not: {words}"
    return None


@given(st.sampled_from(CASES), st.fractions(min_value=F(1, 100), max_value=20))
def test_the_words_are_those_of_the_rule(flow, count):
    for sense in SENSES[flow.load]:
        words = ruled(flow, sense, count)
        assert words is None or verdict(flow, sense, count) == words


@given(st.sampled_from(CASES), st.fractions(min_value=F(1, 100), max_value=20))
def test_a_count_is_judged_by_the_first_verdict_that_fits_it(flow, count):
    for sense, cases in verdicts(flow).items():
        fits = [case for case in cases if case.fits(count)]
        assert fits[-1] is cases[-1]  # the last one fits any
        words = fits[0].words.replace("{said}", number(count))
        assert verdict(flow, sense, count) == words


@pytest.mark.parametrize("bound", [F(19, 20), F(21, 20)])
def test_turned_over_reaches_to_a_twentieth_and_no_further(bound):
    assert first_word(FIRST, FORWARD, bound / TRUE) == "Turned over"
    beyond = bound + (bound - 1) / 10**6
    assert first_word(FIRST, FORWARD, beyond / TRUE) == "The direction is right"


@pytest.mark.parametrize("flow", CASES)
def test_there_is_a_verdict_on_every_sense_of_the_load_and_one_is_right(flow):
    found = verdicts(flow)
    assert tuple(found) == SENSES[flow.load]
    right = [cases for cases in found.values() if cases[0].words.startswith("Right")]
    assert len(right) == 1
    assert all(len(cases) in (1, 4) for cases in found.values())
