"""A prediction made before a train is turned, and how good it was."""

from dataclasses import dataclass
from fractions import Fraction

from .. import checks
from ..numerals import number, turn_count

FORWARD, BACKWARD = "forward, like the input", "backward, against the input"
NOTHING, STANDS, STUCK = "nothing drives it", "it stands still", "the input cannot turn"
SENSES = (FORWARD, BACKWARD, NOTHING, STANDS, STUCK)
# A class counts to an eighth of a turn at the paint mark (common practice, no source).
COUNTED = Fraction(1, 8)


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """What somebody expects of the output: its sense, and how many input turns.

    `count` is in input turns per output turn, without a sign; it is only asked where
    the output is driven.
    """

    sense: str
    count: Fraction | None = None

    def __post_init__(self):
        checks.known(self.sense, SENSES, "prediction")
        if self.sense in (FORWARD, BACKWARD) and not self.count:
            raise ValueError(
                "no count is given, but a driven output needs one; write how many input"
                " turns make one output turn"
            )


def judge(flow, prediction):
    """How good a prediction was, in words; the first word says it."""
    true_sense = _sense(flow)
    if prediction.sense != true_sense:
        return f"Not so: you said “{prediction.sense}”. {_truth(flow, true_sense)}"
    if flow.ratio is None:
        return f"Right: {true_sense}."
    true, said = abs(flow.ratio), abs(prediction.count)
    off = abs(said - true)
    words = f"you said {number(said)}, it is {turn_count(true)}."
    if off <= COUNTED:
        return f"Right, to an eighth of a turn: {words}"
    if abs(said * true - 1) * 20 < 1:
        return (
            f"Turned over: {words} {number(said)} is output turns for one input turn."
        )
    if off <= true / 5:
        return f"Close: {words}"
    return f"The direction is right, the count is not: {words}"


def _sense(flow):
    if flow.state == "drives":
        return FORWARD if flow.ratio > 0 else BACKWARD
    return {"tied up": STUCK, "output locked": STANDS}.get(flow.state, NOTHING)


def _truth(flow, sense):
    if flow.ratio is None:
        return f"In truth: {sense}."
    return f"In truth: {sense}, {turn_count(abs(flow.ratio))}."
