"""What a fault changes: the train, and which of its elements are applied."""

from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple

from ...base.frozenmap import FrozenMap
from ...train.train import CASE, Brake, Clutch, Train
from .fault import APPLY, BACKWARD, HOLD, LOOSE, RELEASE, SEIZE, SLIP, pieces_of


class Changed(NamedTuple):
    """A train with a fault in it.

    What seized is an element of `train` that is always applied, so it stands in `on`.
    """

    train: Train
    off: frozenset  # elements that do not apply
    on: frozenset  # elements that are always applied
    slips: frozenset  # elements that let go above some torque

    def applied(self, names):
        """What is applied when the controls ask for some elements."""
        return (frozenset(names) - self.off) | self.on


@lru_cache(maxsize=4096)
def changed(train, fault):
    """The :class:`Changed` of a train and a fault."""
    singles = fault.singles

    def about(*kinds):
        return frozenset(one.about for one in singles if one.kind in kinds)

    other = train
    for one in singles:
        if one.kind in _CHANGES:
            other = _rebuilt(other, one)
    return Changed(other, about(APPLY), about(RELEASE, SEIZE), about(SLIP))


@lru_cache(maxsize=512)
def _rebuilt(train, fault):
    """One train for all faults that build it alike, so its motions are found once."""
    return _CHANGES[fault.kind](train, fault)


def _without_one_way(train, fault):
    kept = [part for part in train.one_way_clutches if part.name != fault.about]
    return replace(train, one_way_clutches=tuple(kept))


def _seized(train, fault):
    """The one-way clutch as a brake or clutch with its torque on the same side."""
    member, against = train.by_name[fault.about].sides
    without = _without_one_way(train, fault)
    if CASE in (member, against):
        held = member if against == CASE else against
        brake = Brake(name=fault.about, member=held)
        return replace(without, brakes=(*train.brakes, brake))
    clutch = Clutch(name=fault.about, first=against, second=member)
    return replace(without, clutches=(*train.clutches, clutch))


def _turned_round(train, fault):
    parts = [
        replace(part, member=part.against, against=part.member)
        if part.name == fault.about
        else part
        for part in train.one_way_clutches
    ]
    return replace(train, one_way_clutches=tuple(parts))


def _loosened(train, fault):
    """The member turns by itself, with the elements that name it and not the shaft."""
    loose = pieces_of(train, fault.about)
    members = tuple(one for one in train.shafts[fault.shaft] if one not in loose)
    shafts = FrozenMap(dict(train.shafts) | {fault.shaft: members})
    return replace(train, shafts=shafts)


_CHANGES = {
    HOLD: _without_one_way,
    SEIZE: _seized,
    BACKWARD: _turned_round,
    LOOSE: _loosened,
}
