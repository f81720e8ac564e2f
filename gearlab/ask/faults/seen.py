"""What a road test sees of a train, sound or with a fault, in a range and a load."""

from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from ...base.numerals import exactly
from ...solve.equilibrium import (
    DRIVES,
    FREEWHEELS,
    NEUTRAL,
    OUTPUT_LOCKED,
    TIED_UP,
    Situation,
)
from ...solve.powerflow import LOADS
from .change import changed
from .fault import STANDING

NO_DRIVE, TIES_UP, SLIPS = "no drive", "ties up", "slips"
BRAKES, NO_BRAKING = "engine braking", "no engine braking"
_WORDS = {
    "drive": {DRIVES: DRIVES, NEUTRAL: NO_DRIVE, FREEWHEELS: NO_DRIVE},
    "coast": {DRIVES: BRAKES, NEUTRAL: NO_BRAKING, FREEWHEELS: NO_BRAKING},
}
_BOTH = {TIED_UP: TIES_UP, OUTPUT_LOCKED: OUTPUT_LOCKED}
MOVING = {"drive": DRIVES, "coast": BRAKES}  # the word where there is a ratio


class Seen(NamedTuple):
    """What there is to see; `ratio` in input turns per output turn, or None.

    Where an element slips, the ratio is not determined: it begins at `ratio`, and ends
    at `slipped`, what the train gives with that element let go (None: anywhere).
    """

    word: str
    ratio: Fraction | None = None
    slipped: Fraction | None = None


class Chart(NamedTuple):
    """What a sound train gives, against which everything is told."""

    sound: dict  # {(range, load): Seen}
    usual: dict  # {(range, load): the ratio as it should be, or None}
    like: dict  # {ratio: the first range that has it}

    def told(self, key, seen):
        """The words for what is seen."""
        if seen.ratio is None or seen.word == SLIPS:
            return seen.word
        if seen.ratio == self.usual[key]:
            return seen.word
        if seen.ratio in self.like:
            return f"{seen.word} like range {self.like[seen.ratio]}"
        return f"{seen.word} in another ratio, {exactly(seen.ratio)}"


@lru_cache(maxsize=64)
def chart(train):
    """The :class:`Chart` of a train."""
    sound = seen_row(train, STANDING)
    like = {}
    for row in train.ranges:
        ratio = sound[row.name, "drive"].ratio
        if ratio is not None:
            like.setdefault(ratio, row.name)
    usual = {
        (name, load): seen.ratio or sound[name, "drive"].ratio
        for (name, load), seen in sound.items()
    }
    return Chart(sound, usual, like)


@lru_cache(maxsize=4096)
def seen_row(train, fault):
    """``{(range, load): Seen}`` of a train with a fault."""
    other = changed(train, fault)
    row = {}
    for one in train.ranges:
        way = _way(train, frozenset(one.applied))
        applied = other.applied(one.applied)
        slipping = other.slips & applied
        states = _states(other.train, applied, way)
        let_go = _states(other.train, applied - slipping, way) if slipping else states
        for load, state, after in zip(LOADS, states, let_go, strict=True):
            row[one.name, load] = _seen(load, state, after)
    return row


def _seen(load, state, after):
    """What a state looks like, and whether it slips into what is left `after`.

    An element that carries nothing, or that a one-way clutch backs up, leaves all as it
    is: that slips at no torque.
    """
    (name, ratio), (_, slipped) = state, after
    if name == DRIVES and state != after:
        return Seen(SLIPS, ratio, slipped)
    return Seen((_WORDS[load] | _BOTH)[name], ratio)


def _way(train, applied):
    """The way a vehicle rolls in a range: forward, but for those that reverse it."""
    (_, ratio), _ = _states(train, applied, 1)
    return -1 if ratio is not None and ratio < 0 else 1


@lru_cache(maxsize=16384)
def _states(train, applied, way):
    """``((state, ratio) under drive, (state, ratio) on coast)``.

    Coasting, the output turns as it is driven, or where nothing drives it, that `way`.
    """
    situation = Situation(train, applied)
    driving = situation.drive()
    rolling = driving
    if driving[0] == NEUTRAL:
        rolling = DRIVES, (), Fraction(way)
    return tuple((one[0], one[2]) for one in (driving, situation.coast(rolling)))
