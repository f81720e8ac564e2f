"""A prediction made before a train is turned, and how good it was.

Under power it says what the output does; coasting, when the vehicle turns the output,
whether the engine brakes.
"""

from dataclasses import dataclass
from fractions import Fraction

from ...base import checks
from ...base.numerals import number, turn_count
from ...solve.powerflow import LOAD_WORDS

FORWARD, BACKWARD = "forward, like the input", "backward, against the input"
NOTHING, STANDS, STUCK = "nothing drives it", "it stands still", "the input cannot turn"
BRAKES = "the engine brakes (the output turns the input)"
NO_BRAKING = "no engine braking (nothing turns the input)"
LOCKED, TIED_UP = "the output cannot turn", "the train is tied up"
SENSES = {
    "drive": (FORWARD, BACKWARD, NOTHING, STANDS, STUCK),
    "coast": (BRAKES, NO_BRAKING, LOCKED, TIED_UP),
}
COUNTED_SENSES = (FORWARD, BACKWARD, BRAKES)
_STILL = {
    "drive": {"tied up": STUCK, "output locked": STANDS},
    "coast": {"tied up": TIED_UP, "output locked": LOCKED},
}
# A class counts to an eighth of a turn at the paint mark (common practice, no source).
COUNTED = Fraction(1, 8)


@dataclass(frozen=True, kw_only=True)
class Prediction:
    """What somebody expects of a train under one load, and how many input turns.

    `sense` is one of ``SENSES`` of the load. `count` is in input turns per output turn,
    without a sign; it is only asked where input and output turn together.
    """

    sense: str
    count: Fraction | None = None

    def __post_init__(self):
        if not self.sense:
            raise ValueError(
                "nothing is predicted yet, but a prediction comes before the answer;"
                " choose one from the list"
            )
        checks.known(self.sense, sum(SENSES.values(), ()), "prediction")
        if self.sense in COUNTED_SENSES and not self.count:
            raise ValueError(
                "no count is given, but input and output turn together; write how many"
                " input turns make one output turn"
            )


def judge(flow, prediction):
    """How good a prediction was, in words; the first word says it.

    ValueError for a prediction that was made for the other load.
    """
    if prediction.sense not in SENSES[flow.load]:
        raise ValueError(
            f"the prediction is “{prediction.sense}”, but the train is"
            f" {LOAD_WORDS[flow.load]}; predict again"
        )
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
    if flow.load == "coast":
        return f"The engine brakes, but not by that count: {words}"
    return f"The direction is right, the count is not: {words}"


def _sense(flow):
    if flow.state != "drives":
        nothing = NOTHING if flow.load == "drive" else NO_BRAKING
        return _STILL[flow.load].get(flow.state, nothing)
    if flow.load == "coast":
        return BRAKES
    return FORWARD if flow.ratio > 0 else BACKWARD


def _truth(flow, sense):
    if flow.ratio is None:
        return f"In truth: {sense}."
    return f"In truth: {sense}, {turn_count(abs(flow.ratio))}."
