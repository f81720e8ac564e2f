"""Questions about what changes in any unit: shifts, early and late, failures."""

from functools import lru_cache
from itertools import combinations

from ...ask.shifts import early_late, shift
from ...base.numerals import listed
from ..question.question import Choice, Row
from ..question.slips import slip
from .any_unit import (
    MOST_LOST,
    UnitTopics,
    applied_told,
    driving,
    flow_left,
    neighbours,
    parts_of,
    result,
    train_of,
)
from .common import UNDER_POWER, by_sign, flow_in

SIDES = ("go off", "come on")
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
AS_BEFORE, OTHERWISE = "it drives as before", "it drives as in no row of the chart"
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
    sides = dict(zip(SIDES, (passing.off, passing.on), strict=True))
    answer = sides.pop(given["side"])
    (other,) = sides.values()
    end = passing.before if given["side"] == "go off" else passing.after
    alone = {*passing.by_itself, *passing.backed_up}
    return Row(
        text=f"Shift from range {before} to range {after}. Which elements"
        f" {given['side']}, by command and not by themselves?",
        options=parts_of(train),
        answer=answer,
        slips=(
            slip("off and on swapped", other),
            slip("off and on swapped", answer | other,
                 "these are both sides of the shift together."),
            slip("all that is applied", end.applied),
            slip("a one-way clutch applied", answer | alone),
        ),
        hints=(
            "Put the two rows of the chart under each other.",
            "Strike out what is in both rows. One-way clutches need no command.",
        ),
        reason="What stands in one row only must change.",
    )  # fmt: skip


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
    rows = _midway(train, before, after)
    row = rows[frozenset(given["early"])]
    off = _shift(train, before, after).off
    moved = [f"{name} {'off' if name in off else 'on'}" for name in given["early"]]
    return Choice(
        text=f"Shift from range {before} to range {after}, under power. Too early:"
        f" {listed(moved)}. The rest has not moved yet. What happens?",
        options=tuple(MIDWAY.values()),
        answer=MIDWAY[row.word],
        slips=(
            slip("early taken for late", MIDWAY[rows[row.late].word]),
            slip("too few taken for too many", MIDWAY["tie-up"]),
            slip("held taken for locked", MIDWAY["output locked"],
                 "which parts keep the output from turning, at that moment?"),
            slip("the ratio not looked at", MIDWAY["flare"],
                 "does what is applied let the input run ahead of both ranges?"),
            slip("the ratio not looked at", MIDWAY["higher range"],
                 "work out the ratio of that moment. Is it below both?"),
            slip("the ratio not looked at", MIDWAY["between"],
                 "work out the ratio of that moment. Does it lie there?"),
            slip("nothing taken to change", MIDWAY["as before"],
                 "something has moved. Does that change a speed?"),
            slip("all taken to have moved", MIDWAY["as after"],
                 "something has not moved yet. Does it matter?"),
            slip("the wrong way", MIDWAY["other way"],
                 "set what is applied at that moment. Which way does the mark go?"),
        ),
        hints=(
            "Write down what is applied at that moment. Is it a row of the chart?",
            "Too many hold, or too few? A one-way clutch may hold as well.",
        ),
        reason="What is applied at that moment decides, and what holds by itself.",
    )  # fmt: skip


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
            *(slip("a path that is cut", words, _not_like(train, flow, each))
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


def _not_like(train, flow, name):
    """Why what is left applied is not like some range."""
    row = frozenset(train.range(name).applied)
    missing = train.in_order(row - flow.applied)
    if missing:
        return f"range {name} needs {listed(missing)}. Is that still applied?"
    more = train.in_order(flow.applied - row)
    return f"range {name} is without {listed(more)}. What does that change here?"


def _lost_cases(train):
    if len(driving(train)) < 2:
        return ()
    return tuple(
        {"failed": failed}
        for failed in parts_of(train)
        if any(_at_work(train, failed, name) for name in driving(train))
    )


def _at_work(train, part, name):
    """Whether a part is applied in a range, or a one-way clutch holds or backs up."""
    flow = flow_in(train, name)
    return part in flow.applied | flow.holding | flow.backing_up.keys()


@lru_cache(maxsize=512)
def _lost(train, failed):
    return frozenset(
        name for name in driving(train)
        if result(flow_in(train, name)) != result(flow_left(train, name, failed))
    )  # fmt: skip


@topic.of("ranges lost", _lost_cases, "a second range")
def ranges_lost(given):
    """The ranges that are not what they were without a part."""
    train, failed = train_of(given), given["failed"]
    ranges, answer = driving(train), _lost(train, failed)
    at_work = frozenset(name for name in ranges if _at_work(train, failed, name))
    few = len(parts_of(train)) * len(ranges) <= MOST_LOST
    others = [part for part in parts_of(train) if few and part != failed]
    return Row(
        text=f"The {failed} no longer holds. Which ranges are not what they were,"
        " under power?",
        options=ranges,
        answer=answer,
        slips=(
            slip("lost and kept swapped", frozenset(ranges) - answer,
                 "those are left. The others are asked."),
            slip("the part beside it forgotten", at_work,
                 "in one of these another part does its work. Which?"),
            *(slip("another part failed", _lost(train, part),
                   f"that is so without the {part}.") for part in others),
        ),
        hints=(
            "Go down the ranges. In which of them does it hold anything?",
            "Cross it out there. Does what is left give the same ratio?",
        ),
        reason="A range is lost or changed where nothing else does that work.",
    )  # fmt: skip


topic.explain(
    "a range explained",
    "Take a range of the unit that you found hard. Explain how the power comes from"
    " the input to the output.",
    "It says which parts turn with the input, and through which element.",
    "It says which part is held, and by what.",
    "It follows the power through each working set to the output.",
)
