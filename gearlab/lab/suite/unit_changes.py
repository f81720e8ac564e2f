"""Questions about what changes in any unit: shifts, early and late, failures."""

from functools import lru_cache
from itertools import combinations

from ...ask.shifts import early_late, shift
from ..question.question import Choice
from ..question.slips import slip
from .any_unit import (
    MOST_LOST,
    UnitTopics,
    applied_told,
    driving,
    neighbours,
    parts_of,
    train_of,
)
from .common import UNDER_POWER, by_sign, flow_in
from .failing import AS_BEFORE, at_work, flow_left, lost, lost_ranges, not_like, result
from .shifting import SIDES, moment_of_shift, moved_told, side_of_shift

MOST_MOVING = 4  # elements in a shift of which early and late are asked
MOST_RANGES = 5  # other ranges among which one chooses
MIDWAY = {  # by the word of a MidShift
    "tie-up": "the unit ties up",
    "output locked": "the output is locked",
    "flare": "the input races up",
    "higher range": "a higher range than both, for a moment",
    "between": "a ratio in between, for a moment",
    "as before": "the old range goes on",
    "as after": "the new range is there already",
    "other way": "the output turns the other way",
}
OTHERWISE = "it drives as in no row of the chart"
SLOWER, FASTER, SAME = "it turns slower", "it turns faster", "it turns as fast"
topic = UnitTopics()


@lru_cache(maxsize=512)
def _shift(train, before, after):
    return shift(train, before, after)


@lru_cache(maxsize=128)
def _midway(train, before, after):
    return {row.early: row for row in early_late(_shift(train, before, after))}


# Shifts ---------------------------------------------------------------------------


def _pair_cases(train):
    return tuple({"pair": list(pair)} for pair in neighbours(train))


@topic.of("shift first", _pair_cases, "a second forward range", prediction=True)
def shift_first(given):
    """A prediction: what a shift does to the input."""
    train, (before, after) = train_of(given), given["pair"]
    change = _shift(train, before, after).input_change
    return by_sign(
        f"Shift from range {before} to range {after}. The vehicle keeps its speed. How"
        " does the input turn after the shift?",
        {1: FASTER, 0: SAME, -1: SLOWER},
        change - 1,
        "The output keeps its speed, so the input follows the ratio.",
    )


def _side_cases(train):
    return tuple(
        {"pair": list(pair), "side": side}
        for pair in neighbours(train)
        for side, names in zip(SIDES, _sides(train, *pair), strict=True)
        if names
    )


def _sides(train, before, after):
    rows = [frozenset(train.range(name).applied) for name in (before, after)]
    return rows[0] - rows[1], rows[1] - rows[0]


@topic.of("off and on", _side_cases, "a second forward range")
def off_and_on(given):
    """The elements that go off or come on in a shift."""
    train, (before, after) = train_of(given), given["pair"]
    passing = _shift(train, before, after)
    return side_of_shift(
        f"Shift from range {before} to range {after}. Which elements"
        f" {given['side']}, by command and not by themselves?",
        passing,
        given["side"],
        parts_of(train),
        {*passing.by_itself, *passing.backed_up},
    )


def _early_cases(train):
    found = []
    for pair in neighbours(train):
        moving = train.in_order(frozenset().union(*_sides(train, *pair)))
        if len(moving) <= MOST_MOVING:
            found += [
                {"pair": list(pair), "early": list(early)}
                for size in range(1, len(moving))
                for early in combinations(moving, size)
            ]
    return tuple(found)


@topic.of("early or late", _early_cases, "a shift in which two elements change")
def early_or_late(given):
    """What happens while some elements have moved and others have not."""
    train, (before, after) = train_of(given), given["pair"]
    passing = _shift(train, before, after)
    return moment_of_shift(
        f"Shift from range {before} to range {after}, under power. Too early:"
        f" {moved_told(passing, given['early'])}. The rest has not moved yet. What"
        " happens?",
        _midway(train, before, after),
        given["early"],
        MIDWAY,
        "What is applied at that moment decides, and what holds by itself.",
    )


# Failures -------------------------------------------------------------------------


def _failed_cases(train):
    return tuple(
        {"range": name, "failed": failed}
        for name in driving(train)
        for failed in train.in_order(train.range(name).applied)
    )


@topic.of("if it fails", _failed_cases, "a range in which something is applied")
def if_it_fails(given):
    """What a range becomes when one of its elements is not applied."""
    train, name, failed = train_of(given), given["range"], given["failed"]
    flow = flow_left(train, name, failed)
    like = _like(train, name, flow)
    nothing, locked = UNDER_POWER["neutral"], UNDER_POWER["output locked"]
    answer = UNDER_POWER[flow.state]
    if result(flow) == result(flow_in(train, name)):
        answer = AS_BEFORE
    elif flow.ratio is not None:
        answer = next(
            (words for words, each in like.items()
             if flow_in(train, each).ratio == flow.ratio), OTHERWISE
        )  # fmt: skip
    return Choice(
        text=f"Range {name} is set, under power."
        f" {applied_told(train, train.range(name).applied)} But the {failed} does not"
        " hold. What does the unit do?",
        options=(AS_BEFORE, *like, OTHERWISE, nothing, locked,
                 UNDER_POWER["tied up"]),
        answer=answer,
        slips=(
            slip("the failed part forgotten", AS_BEFORE),
            *(slip("a path that is cut", words, not_like(flow, each))
              for words, each in like.items()),
            slip("a path that is cut", OTHERWISE,
                 "compare what is left with the rows. Does the output move at all?"),
            slip("the one-way clutch forgotten", nothing)
            if flow.holding
            else slip("a path taken for cut", nothing),
            slip("held taken for locked", locked),
            slip("too few taken for too many", UNDER_POWER["tied up"],
                 "one element less cannot make the others fight."),
        ),
        hints=(
            "Cross it out in the chart. What is left applied?",
            "Is the path still whole, and is there something to push against?",
        ),
        reason="What is left applied decides, with what catches by itself.",
    )  # fmt: skip


def _like(train, name, flow):
    """{words: range} of some ranges that the unit could run in instead.

    Those of the flow's ratio come first, then the nearest of the chart; of ranges with
    one ratio, the first.
    """
    own, found = flow_in(train, name).ratio, {}
    for each in driving(train):
        ratio = flow_in(train, each).ratio
        if ratio != own:
            found.setdefault(ratio, each)
    place = train.range_names.index
    some = sorted(
        found.items(), key=lambda one: (one[0] != flow.ratio, abs(place(one[1])
        - place(name)))
    )[:MOST_RANGES]  # fmt: skip
    return {
        f"it runs as in range {r}": r for r in sorted(dict(some).values(), key=place)
    }


def _lost_cases(train):
    if len(driving(train)) < 2:
        return ()
    return tuple(
        {"failed": failed}
        for failed in parts_of(train)
        if any(at_work(train, failed, name) for name in driving(train))
    )


@topic.of("ranges lost", _lost_cases, "a second range")
def ranges_lost(given):
    """The ranges that are not what they were without a part."""
    train, failed = train_of(given), given["failed"]
    ranges = driving(train)
    few = len(parts_of(train)) * len(ranges) <= MOST_LOST
    kept = frozenset(ranges) - lost(train, failed, ranges)
    return lost_ranges(
        f"The {failed} no longer holds. Which ranges are not what they were, under"
        " power?",
        train,
        failed,
        ranges,
        [part for part in parts_of(train) if few and part != failed],
        [slip("lost and kept swapped", kept, "those are left. The others are asked.")],
    )


topic.explain(
    "a range explained",
    "Take a range of the unit that you found hard. Explain how the power comes from"
    " the input to the output.",
    "It says which parts turn with the input, and through which element.",
    "It says which part is held, and by what.",
    "It follows the power through each working set to the output.",
)
