"""What is asked of a shift: what goes off and on, its step, and who is early.

What no tooth count changes is asked of the unit as it is shipped.
"""

from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from ...numerals import listed, number
from ...shifts import early_late, shift
from ..question import Choice, Explanation, Number, Row
from ..slips import reciprocal, slip
from .common import flow_in, ratios_of
from .unit import FORWARDS, FRONT, LOW, elements_of, shipped, train

UPSHIFTS = tuple(pairwise(FORWARDS))
SHIFTS = (*UPSHIFTS, *((high, low) for low, high in UPSHIFTS))
# From 3 to 4 the step is the ratio of 3 itself, which the text would tell.
TOLD = tuple(list(pair) for pair in UPSHIFTS if pair != ("3", "4"))
SIDES = ("go off", "come on")
# What a state between two ranges is, as an answer, by the word of a MidShift.
MIDWAY = {
    "tie-up": "the unit ties up",
    "flare": "the engine races up",
    "higher range": "a higher range for a moment",
    "as before": "the old range goes on",
    "as after": "the new range is there already",
}
# (at rest before, at rest after): what a one-way clutch does by itself.
BY_ITSELF = {
    (True, False): "it lets go",
    (False, True): "it catches",
    (True, True): "it stays at rest",
    (False, False): "it overruns all the time",
}


@lru_cache
def _shift(before, after):
    return shift(shipped(), before, after)


@lru_cache
def _midway(before, after):
    return early_late(_shift(before, after))


def equal_steps(given):
    """A prediction: whether the front set makes two equal steps."""
    low, high = (_shift(*pair).step for pair in (("1", "2"), ("4", "5")))
    options = ("from 1 to 2", "from 4 to 5", "both are the same")
    return Choice(
        text="From 1 to 2 and from 4 to 5 the overdrive brake comes on."
        " Which one has the larger step?",
        options=options,
        answer=options[2] if low == high else options[0 if low > high else 1],
    )


def draw_side(random, given):
    """A shift, and whether what goes off or what comes on is asked."""
    return {
        "pair": list(random.choice((*UPSHIFTS, ("3", "2"), ("5", "4")))),
        "side": random.choice(SIDES),
    }


def off_and_on(given):
    """The elements that go off or come on in a shift."""
    before, after = given["pair"]
    passing = _shift(before, after)
    sides = {"go off": passing.off, "come on": passing.on}
    answer = sides.pop(given["side"])
    (other,) = sides.values()
    end = passing.before if given["side"] == "go off" else passing.after
    free = {"go off": "lets go", "come on": "catches"}[given["side"]]
    alone = {**passing.by_itself, **passing.backed_up}
    return Row(
        text=f"Shift from {before} to {after}. Which elements {given['side']}, by"
        " command and not by themselves?",
        options=elements_of(shipped()),
        answer=answer,
        slips=(
            slip("off and on swapped", other),
            slip("all that is applied", end.applied),
            slip("a one-way clutch applied",
                 answer | {name for name, does in alone.items() if does == free}),
            slip("off and on swapped", answer | other,
                 "these are both sides of the shift together."),
        ),
        hints=(
            "Put the two rows of the chart under each other.",
            "Strike out what is in both rows. One-way clutches need no command.",
        ),
        reason="What stands in one row only must change.",
    )  # fmt: skip


def draw_alone(random, given):
    """A shift and a one-way clutch."""
    return {
        "pair": list(random.choice(SHIFTS)),
        "clutch": random.choice((FRONT, LOW)),
    }


def by_itself(given):
    """What a one-way clutch does in a shift."""
    one, clutch = shipped(), given["clutch"]
    rest = tuple(
        clutch not in flow_in(one, range).overrunning for range in given["pair"]
    )
    before, after = given["pair"]
    return Choice(
        text=f"Shift from {before} to {after}, under power. What does the {clutch} do"
        " by itself?",
        options=tuple(BY_ITSELF.values()),
        answer=BY_ITSELF[rest],
        slips=(slip("the shift turned round", BY_ITSELF[rest[::-1]]),),
        hints=(
            "Is it at rest or overrunning in the first range? And in the second?",
            "Its two sides turn alike at rest. Do they in each range?",
        ),
        reason="It overruns where its member runs ahead, and rests where both agree.",
    )


def step(given):
    """The step between two ranges, from their ratios."""
    (before, high), (after, low) = ratios_of(train(given), given["pair"]).items()
    return Number(
        text=f"By the chart range {before} is {number(high)} and range {after} is"
        f" {number(low)}. What is the step of this shift?",
        answer=high / low,
        within=Fraction(1, 50),
        slips=(
            reciprocal(high / low),
            slip("a ratio for a step", high),
            slip("a ratio for a step", low),
            slip("the ratios subtracted", high - low),
        ),
        hints=(
            "The vehicle keeps its speed. By what factor must the engine slow down?",
            "Put one ratio over the other, the earlier one on top.",
        ),
        reason="The step is the ratio before over the ratio after.",
    )


def early_first(given):
    """A prediction: the overdrive brake lets go too early, from 2 to 3."""
    rows = _midway("2", "3")
    (row,) = (row for row in rows if row.early == {"overdrive brake"})
    return Choice(
        text="Shift from 2 to 3. The overdrive brake is off already; the two elements"
        " that come on are late. What happens?",
        options=tuple(MIDWAY.values()),
        answer=MIDWAY[row.word],
    )


def draw_early(random, given):
    """A shift, and the elements that move early in it."""
    pair = random.choice(UPSHIFTS)
    row = random.choice(_midway(*pair))
    return {"pair": list(pair), "early": list(row.flow.train.in_order(row.early))}


def early_or_late(given):
    """What happens while some elements have moved and others have not."""
    before, after = given["pair"]
    rows = {row.early: row for row in _midway(before, after)}
    row = rows[frozenset(given["early"])]
    off = _shift(before, after).off
    moved = [f"{name} {'off' if name in off else 'on'}" for name in given["early"]]
    return Choice(
        text=f"Shift from {before} to {after}. Too early: {listed(moved)}. The rest"
        " has not moved yet. What happens?",
        options=tuple(MIDWAY.values()),
        answer=MIDWAY[row.word],
        slips=(slip("early taken for late", MIDWAY[rows[row.late].word]),),
        hints=(
            "Write down what is applied at that moment. Is it a row of the chart?",
            "Too many hold, or too few? A one-way clutch may hold as well.",
        ),
        reason="What is applied at that moment decides, with the one-way clutches.",
    )


def why_it_is_hard(given):
    """An explanation of the shift from 2 to 3."""
    return Explanation(
        text="From 2 to 3 is the hard shift of this unit. Explain why, and what helps.",
        answer=None,
        points=(
            "Two elements come on while one goes off; both sections change at once.",
            "Brake off early is a flare; front lock clutch early is a tie-up.",
            "The one-way clutches let go and catch by themselves, at the right time.",
        ),
    )
