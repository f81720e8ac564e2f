"""A state of a bench as plain data: what a page is told, and what it tells back.

Whatever comes from a page is judged before it counts.
"""

from dataclasses import replace
from fractions import Fraction

from ..base import checks
from ..solve.powerflow import LOADS
from .book import usable_names
from .fault import VEIL
from .state import (
    FINEST_TURN,
    MOST_TURNS,
    flow_with,
    position_of,
    range_of,
    turned_to,
)

LONGEST = 2000  # letters of a text that a page tells


def told(state):
    """The state as plain data: what a page is told of it."""
    names = usable_names(state.train)
    turns = state.turns
    return {
        "applied": [n for n, name in enumerate(names) if name in state.flow.applied],
        "load": state.flow.load,
        "range": state.range,
        "position": state.position,
        "turns": [turns.numerator, turns.denominator],
        "predict": state.predict,
        "cover": state.sentence if state.covered else "",
        "shown": state.shown,
        "answer": state.answer,
        "veil": state.veil,
    }


def heard(state, given):
    """The state that a page tells, where that can be.

    Parameters
    ----------
    state : BenchState; the last one
    given : what came from the page; anything at all

    Raises
    ------
    ValueError
        Something that is no state of this train; where no range is told and the
        elements make one, that is taken.
    """
    known = told(state)
    if not isinstance(given, dict) or given.keys() != known.keys():
        raise _unheard("state", given, f"it has {checks.quoted(known)}")
    turns = _heard_turns(given["turns"])
    for name in ("shown", "answer"):
        _hear(name, given, _is_text(given[name]), "a text that is not too long")
    _hear("predict", given, isinstance(given["predict"], bool), "true or false")
    lids = ("", state.sentence)
    _hear("cover", given, given["cover"] in lids, "nothing, or the sentence over it")
    veils = ("", VEIL) if state.fault else ("",)
    _hear("veil", given, given["veil"] in veils, "what a bench has over a fault")
    flow, position = _heard_flow(state, given)
    if turns != state.turns and flow is state.flow and not state.can_turn:
        turned_to(state, turns)  # says why not
    # Several things that were done may be told at once, and in the end they fit.
    new = replace(
        state,
        flow=flow,
        position=position,
        turns=turns,
        predict=given["predict"],
        covered=bool(given["cover"]),
        shown=given["shown"],
        answer=given["answer"],
        veil=given["veil"],
    )
    return new if new.shown == new.key else replace(new, answer="")


def _heard_flow(state, given):
    """(the flow, the selector position) that a page tells."""
    train, load, name = state.train, given["load"], given["range"]
    applied, usable = given["applied"], usable_names(train)
    places = isinstance(applied, list) and all(
        _is_whole(n) and 0 <= n < len(usable) for n in applied
    )
    _hear("applied", given, places, f"places of elements, 0 to {len(usable) - 1}")
    _hear("load", given, isinstance(load, str) and load in LOADS, "a load")
    wanted = frozenset(usable[n] for n in applied)
    same = [row.name for row in train.ranges if set(row.applied) == wanted]
    fits = name is None or (isinstance(name, str) and name in same)
    _hear("range", given, fits, "a range with just these elements")
    name = name or range_of(train, wanted, state.range)
    flow = state.flow
    if (wanted, load, name) != (flow.applied, flow.load, flow.range):
        flow = flow_with(train, name, wanted, load)
    position = given["position"]
    allowed = isinstance(position, str) and name in train.selector.get(position, ())
    fits = position is None or allowed
    _hear("position", given, fits, "a selector position that allows the range")
    return flow, position or position_of(train, name, state.position)


def _heard_turns(given):
    fits = isinstance(given, list) and len(given) == 2 and all(map(_is_whole, given))
    fits = fits and 0 < given[1] <= FINEST_TURN
    fits = fits and abs(given[0]) <= MOST_TURNS * given[1]
    _hear("turns", {"turns": given}, fits, f"a pair, at most {MOST_TURNS} turns")
    return Fraction(*given)


def _hear(name, given, fits, rule):
    """ValueError unless what the page tells fits."""
    if not fits:
        raise _unheard(name, given[name], f"it must be {rule}")


def _unheard(name, given, rule):
    return ValueError(
        f"the page told {checks.shortened(given)} as {name}, but {rule}; the bench"
        " stays as it was: choose again, or run its cell again"
    )


def _is_whole(value):
    return isinstance(value, int) and not isinstance(value, bool)


def _is_text(value):
    return isinstance(value, str) and len(value) <= LONGEST
