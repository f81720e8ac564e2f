"""What a pressure test shows, or a look at a part with the unit taken apart."""

from typing import NamedTuple

from ...base import checks
from .fault import APPLY, RELEASE, SLIP, faults

PRESSURE, APART = "pressure", "apart"
# What a test shows, first where the part is at fault and then where it is not.
SHOWS = {PRESSURE: ("wrong", "right"), APART: ("failed", "sound")}
_BY_PRESSURE = (APPLY, RELEASE, SLIP)


class Shown(NamedTuple):
    """What a test of a part showed, off the road."""

    word: str
    given: object = None

    def explained(self, train, fault, key):
        """Whether a fault explains it.

        A wrong pressure is that of the part alone. A right one clears nothing, since
        plates wear under the best of pressures.
        """
        concerned = concerns(fault, key)
        return {"wrong": concerned, "failed": concerned, "sound": not concerned}.get(
            self.word, True
        )


def concerns(fault, key):
    """Whether a fault is of the part that is tested, and could show there."""
    part, test = key
    return any(
        one.about == part and (test == APART or one.kind in _BY_PRESSURE)
        for one in fault.singles
    )


def tested_parts(train, test):
    """The parts that a kind of test can be made of, in file order."""
    if test == PRESSURE:
        return train.element_names
    return tuple(dict.fromkeys(one.about for one in faults(train) if one.about))


def read_shown(key, given):
    """What a person says of a test off the road; ValueError names the nearest."""
    text = given.strip().casefold() if isinstance(given, str) else given
    return Shown(checks.known(text, SHOWS[key[1]], "result"), given)


def place_of(key):
    """The test in words."""
    part, test = key
    what = "the pressure of" if test == PRESSURE else "a look at"
    return f"{what} the {part}"
