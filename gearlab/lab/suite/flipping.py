"""A one-way clutch that is put in the wrong way round, or is worn, as questions."""

from ..question.question import Choice, Row
from ..question.slips import slip
from .common import (
    COAST_TURNS,
    COASTING,
    LESS,
    MORE,
    UNDER_POWER,
    coasting,
    flipped,
    flow_in,
    without,
)
from .three_range import LOW, RANGES, train


def flip_it(given):
    """A prediction: the clutch put in the wrong way round."""
    state = flow_in(flipped(train(given), LOW), "1").state
    return Choice(
        text=f"Somebody put the {LOW} in the wrong way round. Range 1, under power."
        " What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[state],
        reason="The carrier runs off backward, the way that the clutch now lets it.",
    )


def flipped_range(given):
    """Another range with the clutch in the wrong way round, under power."""
    one = train(given)
    right, wrong = (flow_in(t, given["range"]).state for t in (one, flipped(one, LOW)))
    first = flow_in(flipped(one, LOW), "1").state
    other = "that is how it goes in range 1. What does the carrier do here?"
    return Choice(
        text=f"The {LOW} is in the wrong way round. Range {given['range']} is set,"
        " under power. What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[wrong],
        slips=(
            slip("the clutch not flipped", UNDER_POWER[right]),
            slip("first range everywhere", UNDER_POWER[first], other),
            slip("held taken for free", UNDER_POWER["drives"],
                 "flipped, it stops forward. Must the carrier run forward here?"),
            slip("free taken for held", UNDER_POWER["tied up"],
                 "flipped, it stops forward only. Is the carrier to run forward?"),
            slip("the wrong end taken for stuck", UNDER_POWER["output locked"],
                 "begin at the other end. Can you turn the crank?"),
        ),
        hints=(
            "Flipped, it lets the rear carrier turn backward only.",
            "Which way must the rear carrier turn in this range, if at all?",
        ),
        reason="Flipped, it stops a carrier that must run forward, and no other.",
    )  # fmt: skip


def flipped_coasting(given):
    """Range 1 with the clutch in the wrong way round, coasting."""
    one = train(given)
    flows = [flow_in(t, "1", "coast") for t in (one, flipped(one, LOW))]
    right, wrong = map(coasting, flows)
    return Choice(
        text=f"The {LOW} is still in the wrong way round. Range 1 again, but the"
        " vehicle drives. What happens, and how far does the input turn?",
        options=COAST_TURNS,
        answer=wrong,
        slips=(
            slip("the clutch not flipped", right),
            slip("the count turned over", LESS if wrong == MORE else MORE,
                 "the way is right. Who drives, and is the count of range 1 changed?"),
            slip("one held part taken for two", COASTING["tied up"],
                 "one held carrier stops nothing. Where does the motion go?"),
        ),
        hints=(
            "Which way does the vehicle push the rear carrier?",
            "Does the flipped clutch let the carrier turn that way?",
        ),
        reason="Flipped, it holds the carrier when the vehicle pushes it.",
    )  # fmt: skip


def flipped_coasting_before(given):
    """What revision 1 asked: not how far the input turns."""
    return Choice(
        text=f"The {LOW} is in the wrong way round. Range 1, coasting. What happens?",
        options=tuple(COASTING.values()),
        answer=COASTING[flow_in(flipped(train(given), LOW), "1", "coast").state],
    )


def if_it_fails(given):
    """The ranges that are lost when the one-way clutch no longer catches."""
    one = train(given)
    worn = without(one, LOW)
    lost = frozenset(
        r for r in RANGES if flow_in(one, r).state != flow_in(worn, r).state
    )
    at_rest = frozenset(
        r for r in RANGES if flow_in(one, r).speeds["rear carrier"] == 0
    )
    beside = "does another part hold the carrier in one of these?"
    return Row(
        text=f"The {LOW} no longer catches. Which ranges drive no more under power?",
        options=RANGES,
        answer=lost,
        slips=(slip("the brake beside it forgotten", at_rest, beside),),
        hints=(
            "In which ranges does the rear carrier stand still?",
            "In which of these does nothing else hold it?",
        ),
        reason="Only a range that needs it is lost.",
    )
