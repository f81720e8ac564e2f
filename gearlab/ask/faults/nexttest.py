"""The next best test: what splits the suspects most for its cost."""

from collections import Counter
from math import log2

from ...base import checks
from ...base.brief import Brief
from ...base.numerals import listed, number
from ...base.reading import read_number
from ...solve.powerflow import LOADS
from ...train.train import a_train
from .offroad import APART, PRESSURE, SHOWS, concerns, tested_parts
from .said import place, read_observations
from .suspects import contradicted
from .table import symptoms


class NextTest(Brief, tuple):
    """A test to make: the pair ``(range, load)``, which is also the key of a symptom.

    Off the road it is ``(part, "pressure")`` or ``(part, "apart")``. `cost` is what it
    costs beside the others, and `splits` what it may show, each with the number of
    suspects that would be left.
    """

    def __new__(cls, range, load, cost=1, splits=()):
        """The pair; the rest is told of it."""
        made = super().__new__(cls, (range, load))
        made.cost, made.splits = cost, tuple(splits)
        return made

    def __getnewargs__(self):
        return (*self, self.cost, self.splits)

    @property
    def range(self):
        """The name of the range to drive in, or of the part to test."""
        return self[0]

    @property
    def load(self):
        """ "drive" or "coast"; "pressure" or "apart" off the road."""
        return self[1]

    @property
    def words(self):
        """The test in one sentence, with what it would leave."""
        left = [f"{told} leaves {count}" for told, count in self.splits]
        where = place(self)
        if self.load == APART:
            where = f"{where}, with the unit taken apart"
        return f"Try {where}: {listed(left, '')}."


def next_test(train, observations, *, costs=None, together=1):
    """The :class:`NextTest` that splits the suspects most for its cost, or None.

    Suspects are those that contradict the fewest observations. Where no road test parts
    them any more, there is none, unless `costs` say that the pressure may be tested or
    the unit taken apart; :attr:`Symptoms.beyond` says what these would add. Of equal
    tests, the first in the chart is taken, under power before coasting.

    Parameters
    ----------
    train : Train
    observations : as :func:`suspects` takes them
    costs : what tests cost beside 1, the cost of all road tests that are not named:
        ``{"coast": 2, ("R", "drive"): 3}``, by load, range, or both; a number above 0.
        ``{"pressure": 5, "apart": 20}`` has such tests offered, too. Half of the faults
        of an element are taken to show in its pressure (common practice, no source)
    together : 1, or 2 to think of two faults at once

    Raises
    ------
    ValueError
        As of :func:`suspects`; a cost that is not above 0, or of no load or range.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> next_test(train, {}).range
    '2'
    """
    a_train(train)
    checks.whole_number(together, "together", 1, 2)
    said = read_observations(train, observations)
    cost_of = _costs(train, costs)
    table = symptoms(train, together=together)
    left = _suspected(table, contradicted(train, said, together))
    if not any(test in SHOWS for _, test in cost_of):
        # What no road test parts is one suspect.
        firsts = {}
        for fault in left:
            firsts.setdefault(table.rows[fault], fault)
        left = list(firsts.values())
    best, most = None, 0
    for key, cost in cost_of.items():
        counts = _outcomes(table, left, key)
        if len(counts) > 1 and key not in said:
            gain = _information(counts, len(left)) / cost
            if gain > most * (1 + 1e-9):
                best, most = NextTest(*key, cost, _left(counts, key, left)), gain
    return best


def _outcomes(table, left, key):
    """``{what a test may show: how many suspects would show it}``."""
    if key[1] not in SHOWS:
        return Counter(table.rows[fault][key] for fault in left)
    bad, good = SHOWS[key[1]]
    concerned = sum(concerns(fault, key) for fault in left)
    seen = concerned / 2 if key[1] == PRESSURE else concerned
    found = {bad: seen, good: len(left) - seen}
    return {told: count for told, count in found.items() if count}


def _left(counts, key, left):
    """``(what a test may show, how many suspects that leaves)`` of each."""
    if key[1] != PRESSURE:
        return counts.items()
    bad, good = SHOWS[PRESSURE]
    return (bad, sum(concerns(fault, key) for fault in left)), (good, len(left))


def _suspected(table, against):
    """The faults that contradict the fewest observations."""
    fewest = min(map(len, against.values()))
    return [fault for fault in table.rows if len(against[fault]) == fewest]


def _information(counts, total):
    """How much an outcome tells on average [bits]."""
    parts = [count / total for count in counts.values()]
    return -sum(part * log2(part) for part in parts)


def _costs(train, costs):
    """``{(range, load): cost}``, and of what is tested off the road, if it may be."""
    cost_of = {(name, load): 1 for name in train.range_names for load in LOADS}
    if costs is None:
        return cost_of
    if not hasattr(costs, "items"):
        raise ValueError(
            f"the costs are {checks.shortened(costs)}, but they are told by load or"
            ' range; write {"coast": 2}'
        )
    # What is told more closely counts, so a range and load come last.
    for name, given in sorted(costs.items(), key=_closeness):
        cost = read_number(given, "")
        if cost <= 0:
            raise ValueError(
                f"the cost of {checks.shortened(name)} is {number(cost)}, but no test"
                " is free; give a number above 0"
            )
        if name in SHOWS:
            cost_of |= {(part, name): cost for part in tested_parts(train, name)}
            continue
        for key in _named(cost_of, name):
            cost_of[key] = cost
    return cost_of


def _closeness(item):
    return isinstance(item[0], tuple)


def _named(keys, name):
    """The keys that a load, a range, or both stand for."""
    found = [key for key in keys if name == key or str(name) in key]
    if not found:
        known = [*LOADS, *SHOWS, *dict.fromkeys(one for one, _ in keys)]
        checks.known(name, known, "load or range")
    return found
