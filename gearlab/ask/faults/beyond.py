"""What is seen beside the ranges: on starting off, and off the road."""

from ...base.frozenmap import FrozenMap
from .fault import (
    APPLY,
    BACKWARD,
    ELSEWHERE,
    HOLD,
    LOOSE,
    RELEASE,
    SEIZE,
    SLIP,
)
from .seen import chart, seen_row

# How each kind shows off the road (common practice, no source).
_ONE_WAY = (
    "Taken out, or with its member in reach, the {about} must turn free one way and"
    " lock the other: try both ways by hand, and which way round it is."
)
_PRESSURE = (
    "A pressure test shows whether the {about} gets its pressure where it is applied;"
    " if it does, its plates or band are looked at."
)
_PROOFS = {
    APPLY: _PRESSURE,
    SLIP: _PRESSURE,
    HOLD: _ONE_WAY,
    RELEASE: "A pressure test shows whether the {about} keeps pressure where it is"
    " released; if it does not, it drags or has seized, which is seen taken apart.",
    SEIZE: _ONE_WAY,
    LOOSE: "On the bench, hold the {shaft} and try the {about} by hand: they must turn"
    " as one.",
    BACKWARD: _ONE_WAY,
    ELSEWHERE: "Line pressure, fluid, linkage and what the controls command come before"
    " anything is taken apart.",
}


def proofs(group):
    """What parts a group of faults off the road, sentences; a tuple of faults."""
    said = [
        _PROOFS[one.kind].format(about=one.about, shaft=one.shaft)
        for fault in group
        for one in fault.singles
    ]
    return " ".join(dict.fromkeys(said))


def at_start(train, fault):
    """``{selector position: what it does on starting off}`` where that is not usual.

    A vehicle starts off in the range of a position with the largest ratio.
    """
    this, row, found = chart(train), seen_row(train, fault), {}
    for position, names in train.selector.items():
        ratios = {name: this.sound[name, "drive"].ratio for name in names}
        driving = [name for name in names if ratios[name] is not None]
        if driving:
            name = max(driving, key=lambda one: abs(ratios[one]))
            key = name, "drive"
            if row[key] != this.sound[key]:
                told = this.told(key, row[key])
                found[position] = told.replace("drives like", "starts in")
    return FrozenMap(found)
