"""A plan that leads a class through a train: which steps, in which order."""

from itertools import pairwise

from ...ask.shifts import shift_table
from ...base import checks
from ...solve.equilibrium import NEUTRAL, OUTPUT_LOCKED
from ...solve.powerflow import power_flow
from ...train.train import a_train
from .asking import (
    coasting_step,
    range_step,
    roll_back_step,
    shift_step,
    tie_up_step,
)
from .order import teaching_order
from .step import Plan

TOPICS = ("ranges", "coasting", "neutral", "tie-up", "roll-back", "shifts")


def class_plan(train, *, order=None, topics=TOPICS):
    """The :class:`Plan` that leads a class through a train, step by step.

    Each range comes in teaching order; the first one that freewheels and the first one
    with engine braking are asked of coasting too. Then come neutral and park, a tie-up,
    rolling back, and every shift upward.

    Parameters
    ----------
    train : Train
    order : names of ranges to be taught, in that order; worked out if it is left out
    topics : which of "ranges", "coasting", "neutral", "tie-up", "roll-back" and
        "shifts" are walked through

    Raises
    ------
    ValueError
        Something that is no train, or one of which no range drives; a range or topic
        that there is not; topics of which the train has none.

    >>> import gearlab
    >>> plan = class_plan(gearlab.load_train("five-range"), topics=["ranges"])
    >>> [step.name for step in plan.steps]
    ['1', '1 low', '3', '4', 'R', '2', '5']
    """
    a_train(train)
    wanted = [
        checks.known(topic, TOPICS, "topic")
        for topic in checks.name_list(topics, "topics")
    ]
    taught = teaching_order(train, order)
    found = [*_walked(train, taught, wanted), *_besides(train, [*taught], wanted)]
    if not found:
        raise ValueError(
            f'"{train.name}" has nothing of {checks.quoted(wanted) or "no topic"}; take'
            ' "ranges" with them'
        )
    return Plan(train=train, steps=tuple(found))


def _walked(train, taught, wanted):
    """The ranges, and how some of them coast."""
    asked = set()
    for name, like in taught.items():
        if "ranges" in wanted:
            yield range_step(train, name, like)
        state = power_flow(train, name, load="coast").state
        if "coasting" in wanted and state not in asked:
            asked.add(state)
            yield coasting_step(train, name)


def _besides(train, names, wanted):
    """What comes after the ranges."""
    if "neutral" in wanted:
        yield from _idle(train)
    if "tie-up" in wanted and (step := tie_up_step(train, names)):
        yield step
    if "roll-back" in wanted:
        yield roll_back_step(train, names)
    if "shifts" in wanted:
        for passing in _shifts(train, names):
            yield shift_step(train, *passing)


def _idle(train):
    """The first rows of the chart in which nothing drives, and the output is locked."""
    states = {name: power_flow(train, name).state for name in train.range_names}
    for wanted in (NEUTRAL, OUTPUT_LOCKED):
        if name := next((n for n, state in states.items() if state == wanted), None):
            yield range_step(train, name, None)


def _shifts(train, names):
    """The pairs of ranges between which one shifts up, of those that are taught."""
    forward = [name for name in names if power_flow(train, name).ratio > 0]
    chosen = [name for name in train.range_names if name in forward]
    if len(chosen) < 2:
        return []
    table = shift_table(train)
    kept = [name for name in table.ranges if name in chosen]
    return [*pairwise(kept)]
