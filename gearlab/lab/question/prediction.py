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
ASKS = {
    "drive": "What will the output do, and how many input turns make one turn of it?",
    "coast": "The vehicle turns the output. Does the engine brake, and how many turns"
    " does the input make for one output turn?",
}
NOT_YET = (
    "nothing is predicted yet, but a prediction comes before the answer; choose one"
    " from the list"
)
NO_COUNT = (
    "no count is given, but input and output turn together; write how many input turns"
    " make one output turn"
)
SAID = "{said}"  # where the count that was said belongs, in the words of a verdict
_STILL = {
    "drive": {"tied up": STUCK, "output locked": STANDS},
    "coast": {"tied up": TIED_UP, "output locked": LOCKED},
}
# A class counts to an eighth of a turn at the paint mark (common practice, no source).
COUNTED = Fraction(1, 8)
CLOSE = Fraction(1, 5)  # of the ratio
OVER = Fraction(1, 20)  # of output turns for one input turn


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
            raise ValueError(NOT_YET)
        checks.known(self.sense, sum(SENSES.values(), ()), "prediction")
        if self.sense in COUNTED_SENSES and not self.count:
            raise ValueError(NO_COUNT)


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """Words on counts from one to another, both included; None is without an end.

    :data:`SAID` stands in the words where the count belongs that was said.
    """

    words: str
    low: Fraction | None = None
    high: Fraction | None = None

    def fits(self, count):
        """Whether it is said of a count; None, no count, fits one without ends."""
        if count is None:
            return self.low is None and self.high is None
        above = self.low is None or self.low <= count
        return above and (self.high is None or count <= self.high)


def verdicts(flow):
    """What is to be said of every prediction that can be made of a flow.

    Returns
    -------
    ``{sense: (Verdict, ...)}`` of the senses of its load; of those that fit a count
    the first one is said, and the last one fits any
    """
    true, found = _sense(flow), {}
    for sense in SENSES[flow.load]:
        if sense != true:
            words = f"Not so: you said “{sense}”. {_truth(flow, true)}"
            found[sense] = (Verdict(words=words),)
        elif flow.ratio is None:
            found[sense] = (Verdict(words=f"Right: {true}."),)
        else:
            found[sense] = tuple(_of_counts(flow))
    return found


def judge(flow, prediction):
    """How good a prediction was, in words; the first word says it.

    ValueError for a prediction that was made for the other load.
    """
    if prediction.sense not in SENSES[flow.load]:
        raise ValueError(
            f"the prediction is “{prediction.sense}”, but the train is"
            f" {LOAD_WORDS[flow.load]}; predict again"
        )
    cases, count = verdicts(flow)[prediction.sense], prediction.count
    if count is None:
        return cases[-1].words
    count = abs(count)
    words = next(case.words for case in cases if case.fits(count))
    return words.replace(SAID, number(count))


def _of_counts(flow):
    """The verdicts on a count, where input and output turn together."""
    true = abs(flow.ratio)
    said = f"you said {SAID}, it is {turn_count(true)}."
    kinds = {
        "Right, to an eighth of a turn": (true - COUNTED, true + COUNTED),
        "Turned over": ((1 - OVER) / true, (1 + OVER) / true),
        "Close": (true * (1 - CLOSE), true * (1 + CLOSE)),
    }
    for kind, (low, high) in kinds.items():
        more = ""
        if kind == "Turned over":
            more = f" {SAID} is output turns for one input turn."
        yield Verdict(words=f"{kind}: {said}{more}", low=low, high=high)
    if flow.load == "coast":
        yield Verdict(words=f"The engine brakes, but not by that count: {said}")
    else:
        yield Verdict(words=f"The direction is right, the count is not: {said}")


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
