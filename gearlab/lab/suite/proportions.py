"""What the teeth of the five-range unit decide, for labs that choose or recover them.

A range depends on some of the sets and on no other; both are found by changing teeth.
"""

from functools import lru_cache
from math import log

from ...base.numerals import rounded
from .common import flow_in, load, possible_teeth, ratio_under_power
from .five_range import FORWARDS, TRAIN

COUNTED = (*FORWARDS, "R")
# What becomes of the size of a ratio, by the sign of what it gains.
CHANGES = {1: "it gets larger", -1: "it gets smaller", 0: "it stays the same"}
_MORE = 12  # ring teeth more, so that three or four planets stay equally spaced


@lru_cache(maxsize=4096)
def ratio_with(range, name, sun, ring):
    """The ratio of a range of the shipped unit with other teeth in one set."""
    # No ratio depends on how many planets there are, and not every number would go.
    teeth = {"sun": sun, "ring": ring, "planets": None}
    one = load(TRAIN).with_teeth({name: teeth})
    return ratio_under_power(one, range)


def with_more_teeth(range, name):
    """The ratio of a range with two suns of a set, the smaller first, on its ring."""
    one = load(TRAIN).set(name)
    ring = one.all_teeth["ring"]
    suns = suns_for(one.planets, ring)[:2]
    return [ratio_with(range, name, sun, ring) for sun in suns]


@lru_cache
def pull(range, name):
    """By what a larger ring of a set multiplies the ratio of a range; 1 for nothing."""
    teeth = load(TRAIN).set(name).all_teeth
    ratio = ratio_with(range, name, teeth["sun"], teeth["ring"] + _MORE)
    return ratio / flow_in(load(TRAIN), range).ratio


@lru_cache
def sets_in(range):
    """The sets whose teeth decide the ratio of a range."""
    return frozenset(s.name for s in load(TRAIN).sets if pull(range, s.name) != 1)


@lru_cache
def ranges_with(name):
    """The ranges whose ratio depends on the teeth of a set."""
    return frozenset(each for each in COUNTED if name in sets_in(each))


@lru_cache
def moves_in(name):
    """The ranges in which the members of a set turn past each other."""
    one = load(TRAIN)
    members = [one.set(name).member(short) for short in ("sun", "ring", "carrier")]
    return frozenset(
        each
        for each in COUNTED
        if len({flow_in(one, each).speeds[member] for member in members}) > 1
    )


@lru_cache
def settles(plan):
    """Whether the counts of three ranges settle the proportions of three sets."""
    names = [one.name for one in load(TRAIN).sets]
    rows = [[log(pull(range, name)) for name in names] for range in plan]
    (a, b, c), (d, e, f), (g, h, i) = rows
    determinant = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g)
    # A count that is the product of the two others leaves it at 0, give or take floats.
    return abs(determinant) > 1e-9


@lru_cache
def suns_for(planets, ring):
    """The suns that go together with a ring and so many planets."""
    return tuple(sun for sun, other in possible_teeth(planets) if other == ring)


def teeth_in_words(sun, ring):
    """The teeth of a set, as an option."""
    return f"sun {sun}, ring {ring}"


def whole(value):
    """The nearest whole number of teeth."""
    return rounded(value)
