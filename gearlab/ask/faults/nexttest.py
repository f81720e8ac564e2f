"""The next best test: what splits the suspects most for its cost."""

from collections import Counter
from math import log2

from ...base import checks
from ...base.brief import Brief
from ...base.numerals import listed, number
from ...base.reading import read_number
from ...solve.powerflow import LOAD_WORDS, LOADS
from ...train.train import a_train
from .said import read_observations
from .suspects import contradicted
from .table import symptoms


class RoadTest(Brief, tuple):
    """A road test: the pair ``(range, load)``, which is also the key of a symptom.

    `cost` is what it costs beside the others, and `splits` what it may show, each with
    the number of groups of suspects that would be left.
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
        """The name of the range to drive in."""
        return self[0]

    @property
    def load(self):
        """ "drive" or "coast"."""
        return self[1]

    @property
    def words(self):
        """The test in one sentence, with what it would leave."""
        left = [f"{told} leaves {count}" for told, count in self.splits]
        return f"Try range {self.range} {LOAD_WORDS[self.load]}: {listed(left, '')}."


def next_test(train, observations, *, costs=None, together=1):
    """The :class:`RoadTest` that splits the suspects most for its cost, or None.

    Suspects are those that contradict the fewest observations; where no range and load
    parts them any more, there is no test, and a pressure test or the bench is next:
    :attr:`Symptoms.beyond` says what these would add. Of equal tests, the first in the
    chart is taken, under power before coasting.

    Parameters
    ----------
    train : Train
    observations : as :func:`suspects` takes them
    costs : what road tests cost beside 1, the cost of all that are not named:
        ``{"coast": 2, ("R", "drive"): 3}``, by load, range, or both; a number above 0
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
    rows = _suspected(table, contradicted(train, said, together))
    best, most = None, 0
    for key in table.sound:
        counts = Counter(row[key] for row in rows)
        if len(counts) > 1 and key not in said:
            gain = _information(counts.values()) / cost_of[key]
            if gain > most * (1 + 1e-9):
                best, most = RoadTest(*key, cost_of[key], counts.items()), gain
    return best


def _suspected(table, against):
    """The rows of the groups that contradict the fewest observations, one of each."""
    fewest = min(map(len, against.values()))
    return [
        table.rows[table.in_order(group)[0]]
        for group in table.groups
        if any(len(against[fault]) == fewest for fault in group)
    ]


def _information(counts):
    """How much an outcome tells on average [bits]."""
    total = sum(counts)
    return -sum(count / total * log2(count / total) for count in counts)


def _costs(train, costs):
    """``{(range, load): cost}``."""
    cost_of = {(name, load): 1 for name in train.range_names for load in LOADS}
    if costs is None:
        return cost_of
    if not hasattr(costs, "items"):
        raise ValueError(
            f"the costs are {checks.shortened(costs)}, but they are told by load or"
            ' range; write {"coast": 2}'
        )
    # What is told more closely counts, so a range and load come last.
    for name, given in sorted(
        costs.items(), key=lambda pair: isinstance(pair[0], tuple)
    ):
        cost = read_number(given, "")
        if cost <= 0:
            raise ValueError(
                f"the cost of {checks.shortened(name)} is {number(cost)}, but no test"
                " is free; give a number above 0"
            )
        for key in _named(cost_of, name):
            cost_of[key] = cost
    return cost_of


def _named(keys, name):
    """The keys that a load, a range, or both stand for."""
    found = [key for key in keys if name == key or str(name) in key]
    if not found:
        known = [*LOADS, *dict.fromkeys(one for one, _ in keys)]
        checks.known(name, known, "load or range")
    return found
