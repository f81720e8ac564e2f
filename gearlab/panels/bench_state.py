"""What a bench panel shows, and how each control changes it; no widgets here."""

from dataclasses import dataclass, replace
from fractions import Fraction

from ..base import checks
from ..base.reading import exact, read_number
from ..solve.powerflow import LOADS, PowerFlow, power_flow
from ..train.train import Train

MOST_TURNS = 1_000_000


@dataclass(frozen=True, kw_only=True)
class BenchState:
    """A train on the bench: what is applied, under which load, and how far it turned.

    `position` and `range` are None where the elements were set by hand and no range
    of the apply chart is like it. `turns` are input turns, never negative.
    """

    train: Train
    flow: PowerFlow
    position: str | None
    turns: Fraction = Fraction(0)

    @property
    def range(self):
        """The range that the applied elements make, or None."""
        return self.flow.range

    @property
    def can_turn(self):
        """Whether the input turns at all."""
        return self.flow.state != "tied up"


def opened(train, name=None):
    """The state that a panel opens with: a range, or the first that drives forward.

    ValueError names the nearest range if there is none of that name.
    """
    flow = None if name is None else power_flow(train, name)
    if flow is None:
        flows = [power_flow(train, row) for row in train.range_names]
        forward = [one for one in flows if one.ratio and one.ratio > 0]
        flow = next(iter(forward or flows), None) or power_flow(train, applied=())
    return BenchState(train=train, flow=flow, position=_position(train, flow.range))


def to_range(state, name):
    """The state in another range."""
    flow = power_flow(state.train, name, load=state.flow.load)
    position = _position(state.train, flow.range, state.position)
    return replace(state, flow=flow, position=position)


def stepped(state, by):
    """The state some ranges further in the apply chart, if there are as many."""
    names = state.train.range_names
    if not names:
        raise ValueError("the train has no ranges; write them under [ranges]")
    at = names.index(state.range) + by if state.range else 0
    name = names[min(max(at, 0), len(names) - 1)]
    return state if name == state.range else to_range(state, name)


def to_position(state, position):
    """The state in a selector position: its first range, or the present one."""
    allowed = state.train.selector[
        checks.known(position, state.train.selector, "selector position")
    ]
    name = state.range if state.range in allowed else allowed[0]
    return replace(to_range(state, name), position=position)


def with_element(state, name, on):
    """The state with one element applied or released."""
    usable = [part.name for part in (*state.train.elements, *state.train.locks)]
    checks.known(name, usable, "element")
    applied = state.flow.applied | {name} if on else state.flow.applied - {name}
    return _refigured(state, state.train, applied, state.flow.load)


def with_load(state, load):
    """The state under another load."""
    checks.known(load, LOADS, "load")
    return _refigured(state, state.train, state.flow.applied, load)


def with_teeth(state, changes):
    """The state with other tooth counts; ValueError if a set cannot have them."""
    train = state.train.with_teeth(changes)
    if train == state.train:
        return state
    return _refigured(state, train, state.flow.applied, state.flow.load)


def with_train(state, train):
    """The state of another train that has the same parts and ranges."""
    if _controlled(train) != _controlled(state.train):
        raise ValueError(
            f'"{train.name}" has other parts than the train of this panel, so it does'
            " not fit; run the cell of the panel again"
        )
    return _refigured(state, train, state.flow.applied, state.flow.load)


def turned_to(state, turns):
    """The state with the input at so many turns; it is not turned below zero.

    `turns` is a number, or text as people write it. ValueError if it is neither, or
    if the train is tied up.
    """
    if not state.can_turn:
        raise ValueError(
            "the train is tied up, so the crank does not turn; release one of the"
            " elements that fight"
        )
    if isinstance(turns, str):
        turns = read_number(turns)
    turns = exact(turns, "the input", "count of turns")
    turns = min(max(turns, Fraction(0)), Fraction(MOST_TURNS))
    return state if turns == state.turns else replace(state, turns=turns)


def one_output_turn(state):
    """The input turns that make one output turn; ValueError if nothing drives it."""
    if state.flow.ratio is None:
        raise ValueError(
            f"the train is {state.flow.state}, so no count of input turns makes one"
            " output turn; take a range that drives"
        )
    return abs(state.flow.ratio)


def _refigured(state, train, applied, load):
    """The state of changed elements, teeth or load, with the range it makes."""
    name = _range_of(train, applied, state.range)
    if name is None:
        flow = power_flow(train, applied=applied, load=load)
    else:
        flow = power_flow(train, name, load=load)
    position = _position(train, name, state.position)
    return replace(state, train=train, flow=flow, position=position)


def _controlled(train):
    """What the controls of a panel are made for."""
    return (
        [(one.name, one.kind, one.planets is None) for one in train.sets],
        [part.name for part in (*train.elements, *train.locks)],
        train.range_names,
        train.selector,
    )


def _range_of(train, applied, present):
    """The range with just these elements; the present one if it has them."""
    names = [row.name for row in train.ranges if set(row.applied) == applied]
    return present if present in names else next(iter(names), None)


def _position(train, name, present=None):
    """A selector position that allows a range; the present one if it does."""
    allowing = [place for place, names in train.selector.items() if name in names]
    return present if present in allowing else next(iter(allowing), None)
