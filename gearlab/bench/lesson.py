"""A plan for a class as plain data for a page, and how far the class has come in it.

Whatever comes from a page is judged before it counts.
"""

from dataclasses import replace
from fractions import Fraction

from ..base import checks
from ..lab.walk.step import LETTERS
from .book import usable_names
from .state import position_of

TOLD = 56  # letters of an answer, in one line of the back row
MOST_HANDS = 999
FIRST = {"step": 0, "hands": {}}


def told_plan(plan):
    """The plan as plain data: what is asked, what stands on the bench, what is told."""
    return {"steps": [_told_step(step) for step in plan.steps]}


def _told_step(step):
    return {
        "name": step.name,
        "asks": step.asked,
        "choices": [
            {"letter": letter, "words": one.words}
            for letter, one in zip(LETTERS, step.choices, strict=True)
        ],
        "right": step.right,
        "told": step.told(TOLD),
        "why": step.why,
        "turns": step.turns,
        "before": _stands(step.before),
        "after": _stands(step.flow),
    }


def _stands(flow):
    """What a flow is in the state of a page."""
    usable = usable_names(flow.train)
    return {
        "applied": [n for n, name in enumerate(usable) if name in flow.applied],
        "load": flow.load,
        "range": flow.range,
        "position": position_of(flow.train, flow.range),
    }


def asked_state(state, step):
    """The state while a step is asked: its answer is hidden, its marks at the top."""
    return replace(
        state,
        flow=step.before,
        position=position_of(state.train, step.before.range),
        turns=Fraction(0),
        predict=True,
        shown="",
        answer="",
    )


def told_state(state, step):
    """The state once a step is revealed."""
    new = replace(
        state, flow=step.flow, position=position_of(state.train, step.flow.range)
    )
    return replace(new, predict=True, shown=new.key, answer="")


def heard_walk(plan, given):
    """How far a class has come, as a page tells it; ValueError if that cannot be.

    `given` is ``{"step": its place, "hands": {its place as text: hands a choice}}``.
    """
    count = len(plan.steps)
    fits = isinstance(given, dict) and given.keys() == FIRST.keys()
    fits = fits and _is_whole(given["step"], count - 1)
    fits = fits and isinstance(given["hands"], dict)
    places = {str(place) for place in range(count)}
    fits = fits and all(
        place in places
        and isinstance(hands, list)
        and len(hands) == len(LETTERS)
        and all(_is_whole(one, MOST_HANDS) for one in hands)
        for place, hands in given["hands"].items()
    )
    if not fits:
        raise ValueError(
            f"the page told {checks.shortened(given)} as a step of the class, but it"
            f" must be one of {count} with up to {MOST_HANDS} hands for a choice; run"
            " the cell of the panel again"
        )
    return given


def _is_whole(value, most):
    return type(value) is int and 0 <= value <= most
