"""The ratios that a train's ranges have, as levels that a measured ratio is near to."""

from dataclasses import dataclass
from functools import lru_cache
from math import log

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
    import numpy as np

    places = np.full(len(ratios), -1, np.int16)
    away = np.full(len(ratios), np.nan)
    with np.errstate(divide="ignore", invalid="ignore"):
        sizes = np.log(np.abs(ratios))
    for sign in (1, -1):
        own = [n for n, level in enumerate(levels) if level.ratio * sign > 0]
        there = np.flatnonzero(np.isfinite(sizes) & (np.sign(ratios) == sign))
        if not own or not there.size:
            continue
        own.sort(key=lambda n: abs(levels[n].ratio))
        logs = np.array([log(abs(levels[n].ratio)) for n in own])
        at = np.searchsorted((logs[1:] + logs[:-1]) / 2, sizes[there])
        places[there] = np.array(own, np.int16)[at]
        away[there] = sizes[there] - logs[at]
    return places, away
