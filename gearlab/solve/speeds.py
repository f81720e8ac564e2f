"""Speeds: of every member, from the motions that are possible."""

from fractions import Fraction

from ..base import checks
from ..base.brief import Brief
from ..base.cone import dot, null_lines
from ..base.frozenmap import FrozenMap
from ..base.numerals import exactly
from ..base.reading import exact
from ..train.motion import free_motions
from ..train.train import CASE, a_train


class Speeds(Brief, FrozenMap):
    """``{member or shaft: Fraction, or None where it is not determined}``."""

    __slots__ = ()
    _heads = ("member or shaft", "speed")

    @property
    def _brief(self):
        named = [f"{name} {number_or_open(speed)}" for name, speed in self.items()]
        return ", ".join(named)

    @property
    def _rows(self):
        return [(name, number_or_open(speed)) for name, speed in self.items()]


def number_or_open(value):
    """A number with its fraction, or that it is not determined."""
    return "not determined" if value is None else exactly(value)


def applied_names(train, applied):
    """The names as a frozenset, each checked to be an element or lock of the train."""
    usable = [part.name for part in (*train.elements, *train.locks)]
    names = checks.name_list(applied, "applied")
    return frozenset(checks.known(name, usable, "element") for name in names)


def solve_speeds(train, given, *, applied=()):
    """Every member's speed from any given ones.

    Parameters
    ----------
    train : Train
    given : {member or shaft: speed}, in any one unit, positive with the input; numbers
        of any type, or text as people write it. A float is taken as it is written
        (``0.1`` is 1/10).
    applied : names of the elements that are applied. One-way clutches are not asked.

    Returns
    -------
    Speeds, a map {member or shaft: Fraction, or None where it is not determined}

    Raises
    ------
    ValueError
        Unknown names, speeds that are no numbers, or speeds that contradict.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> speeds = gearlab.solve_speeds(
    ...     train, {"input shaft": 1200, "output shaft": 600},
    ...     applied=["front lock clutch", "forward clutch"])
    >>> speeds["rear carrier"]
    Fraction(3000, 11)
    """
    free = free_motions(a_train(train))
    lines = free.lines
    for name in applied_names(train, applied):
        lines = null_lines(lines, free.row_of_part[name])
    # One more coordinate is the unit of speed: a given speed is one more equation.
    lines = (*((*line, 0) for line in lines), (*(0 for _ in range(free.size)), 1))
    if not hasattr(given, "items"):
        raise ValueError(
            f"the speeds are {checks.shortened(given)}, but they are told by member or"
            ' shaft; write {"input shaft": 2000}'
        )
    for name, speed in given.items():
        checks.known(name, train.body_of, "member or shaft")
        value = exact(speed, name, unit="rev/min")
        row = [entry * value.denominator for entry in free.row_of[name]]
        narrowed = null_lines(lines, (*row, -value.numerator))
        if not any(line[-1] for line in narrowed):
            raise ValueError(
                f"{name} at {speed} contradicts the other speeds that are given and"
                " the elements that are applied; leave one of them out"
            )
        lines = narrowed
    return Speeds(speeds_along(free, [(line, line[-1]) for line in lines]))


def speeds_along(free, motions):
    """``{member or shaft: speed}`` if all of `motions` are possible.

    `motions` are (vector, unit) pairs; where the unit is not 0, speeds are the
    vector's per unit. A speed is None unless it is the same in every mixture.
    """
    names = [name for name in free.row_of if name != CASE]
    speeds = values_along(map(free.row_of.get, names), motions)
    return dict(zip(names, speeds, strict=True))


def values_along(rows, motions):
    """What rows are worth in all mixtures of motions, as :func:`speeds_along`."""
    base, unit = next((pair for pair in motions if pair[1]), (None, 1))
    idle = idle_motions(motions)
    return [
        None
        if idle and any(dot(row, vector) for vector in idle)
        else Fraction(0)
        if base is None
        else Fraction(dot(row, base), unit)
        for row in rows
    ]


def rolling(free, motions):
    """For each law the speed of its first gear on its carrier: 0 if it rolls not."""
    rows = []
    for law in free.laws:
        gear, carrier = (free.row_of[law.parts[i][0]] for i in (0, -1))
        rows.append(tuple([a - b for a, b in zip(gear, carrier, strict=True)]))
    return values_along(rows, motions)


def idle_motions(motions):
    """What may be added to the first motion that has a unit: it leaves the unit."""
    base, unit = next((pair for pair in motions if pair[1]), (None, 1))
    idle = []
    for vector, own in motions:
        if base is not None and own:
            vector = [x * unit - y * own for x, y in zip(vector, base, strict=True)]
        if any(vector):
            idle.append(vector)
    return idle
