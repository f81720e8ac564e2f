"""What is left of a unit when a part no longer holds, as several labs ask it.

An element that fails is not applied; a one-way clutch that fails never catches.
"""

from dataclasses import replace
from functools import lru_cache

from ...base.numerals import listed
from ...solve.powerflow import power_flow
from ..question.question import Row
from ..question.slips import slip
from .common import flow_in

AS_BEFORE = "it drives as before"


@lru_cache(maxsize=256)
def without(train, name):
    """The train with one of its one-way clutches worn out: it never catches."""
    left = [part for part in train.one_way_clutches if part.name != name]
    return replace(train, one_way_clutches=tuple(left))


@lru_cache(maxsize=1024)
def flow_left(train, range, failed, load="drive"):
    """The flow of a range in which a part no longer holds; others do as they did."""
    if failed in {part.name for part in train.one_way_clutches}:
        return flow_in(without(train, failed), range, load)
    applied = frozenset(train.range(range).applied) - {failed}
    return power_flow(train, applied=applied, load=load)


def result(flow):
    """What must be the same for two flows to do the same."""
    return flow.state, flow.ratio


@lru_cache(maxsize=512)
def lost(train, failed, ranges):
    """Those of some ranges that are not what they were, under power."""
    return frozenset(
        each
        for each in ranges
        if result(flow_in(train, each)) != result(flow_left(train, each, failed))
    )


def at_work(train, part, range):
    """Whether a part is applied in a range, or a one-way clutch holds or backs up."""
    flow = flow_in(train, range)
    return part in flow.applied | flow.holding | flow.backing_up.keys()


def lost_ranges(text, train, failed, ranges, others, slips=()):
    """What asks for the ranges that change without a part; `others` might fail too.

    `slips` stand before the usual ones.
    """
    where = frozenset(each for each in ranges if at_work(train, failed, each))
    beside = "in one of these another part does its work. Which?"
    return Row(
        text=text,
        options=ranges,
        answer=lost(train, failed, ranges),
        slips=(
            *slips,
            slip("the part beside it forgotten", where, beside),
            *(
                slip(
                    "another part failed",
                    lost(train, part, ranges),
                    f"that is so without the {part}.",
                )
                for part in others
            ),
        ),
        hints=(
            "Go down the ranges. In which of them does it hold anything?",
            "Cross it out there. Does what is left give the same ratio?",
        ),
        reason="A range is lost or changed where nothing else does that work.",
    )


def not_like(flow, range):
    """Why what is left applied is not like some range."""
    train, row = flow.train, frozenset(flow.train.range(range).applied)
    missing = train.in_order(row - flow.applied)
    if missing:
        return f"range {range} needs {listed(missing)}. Is that still applied?"
    more = train.in_order(flow.applied - row)
    return f"range {range} is without {listed(more)}. What does that change here?"
