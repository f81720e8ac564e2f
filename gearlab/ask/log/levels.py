"""The ratios that a train's ranges have, as levels that a measured ratio is near to."""

from array import array
from bisect import bisect_left
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from math import inf, log, nan

from ...solve.powerflow import power_flow


@dataclass(frozen=True, kw_only=True)
class Level:
    """One ratio under power and the ranges that have it, in the order of the chart."""

    ratio: object  # Fraction, exact
    ranges: tuple[str, ...]


@lru_cache(maxsize=256)
def ratio_of(train, name):
    """The ratio of a range under power, worked out once; None if it has none."""
    return power_flow(train, name).ratio


def levels_of(train, signed):
    """The levels of a train, the smallest ratio first.

    Parameters
    ----------
    train : Train
    signed : whether speeds have a sign; else reverse is known by its size alone
    """
    found = {}
    for name in train.range_names:
        ratio = ratio_of(train, name)
        if ratio is not None:
            found.setdefault(ratio if signed else abs(ratio), []).append(name)
    return tuple(
        Level(ratio=ratio, ranges=tuple(found[ratio])) for ratio in sorted(found)
    )


def nearest_level(levels, ratios):
    """(place of the nearest level, log of ratio / its ratio) of many ratios.

    The place is -1, and the log nan, where there is no ratio, or none that turns the
    output that way.
    """
    up, down = (_scale(levels, sign) for sign in (1, -1))
    places, away = array("h"), array("d")
    for ratio in ratios:
        own, logs, bounds = up if ratio > 0 else down
        # No ratio is nan, which is not above 0 either way.
        if own and 0 < (size := abs(ratio)) < inf:
            size = log(size)
            at = bisect_left(bounds, size)
            places.append(own[at])
            away.append(size - logs[at])
        else:
            places.append(-1)
            away.append(nan)
    return places, away


def _scale(levels, sign):
    """(places of the levels of a sign, logs of their ratios, bounds between them)."""
    own = [n for n, level in enumerate(levels) if level.ratio * sign > 0]
    own.sort(key=lambda n: abs(levels[n].ratio))
    logs = [log(abs(levels[n].ratio)) for n in own]
    return own, logs, [(one + other) / 2 for one, other in pairwise(logs)]
