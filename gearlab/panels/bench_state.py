"""What a bench panel shows, and how each control changes it; no widgets here."""

from dataclasses import dataclass, replace
from fractions import Fraction

from ..powerflow import PowerFlow, power_flow
from ..train import Train

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


def to_position(state, position):
    """The state in a selector position: its first range, or the present one."""
    allowed = state.train.selector[position]
    name = state.range if state.range in allowed else allowed[0]
    return replace(to_range(state, name), position=position)


def with_element(state, name, on):
    """The state with one element applied or released."""
    applied = state.flow.applied | {name} if on else state.flow.applied - {name}
    return _refigured(state, state.train, applied, state.flow.load)


def with_load(state, load):
    """The state under another load."""
    return _refigured(state, state.train, state.flow.applied, load)


def with_teeth(state, changes):
    """The state with other tooth counts; ValueError if a set cannot have them."""
    train = state.train.with_teeth(changes)
    return _refigured(state, train, state.flow.applied, state.flow.load)


def turned_to(state, turns):
    """The state with the input at so many turns; it is not turned below zero."""
    return replace(state, turns=min(max(Fraction(turns), Fraction(0)), MOST_TURNS))


def one_output_turn(state):
    """The input turns that make one output turn, or None if nothing drives it."""
    return abs(state.flow.ratio) if state.flow.ratio else None


def _refigured(state, train, applied, load):
    """The state of changed elements, teeth or load, with the range it makes."""
    name = _range_of(train, applied, state.range)
    if name is None:
        flow = power_flow(train, applied=applied, load=load)
    else:
        flow = power_flow(train, name, load=load)
    position = _position(train, name, state.position)
    return replace(state, train=train, flow=flow, position=position)


def _range_of(train, applied, present):
    """The range with just these elements; the present one if it has them."""
    names = [row.name for row in train.ranges if set(row.applied) == applied]
    return present if present in names else next(iter(names), None)


def _position(train, name, present=None):
    """A selector position that allows a range; the present one if it does."""
    allowing = [place for place, names in train.selector.items() if name in names]
    return present if present in allowing else next(iter(allowing), None)
