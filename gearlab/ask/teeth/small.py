"""Teeth from counted turns where there is no numpy: the same answer, of fewer teeth.

What :mod:`fit` and :mod:`search` do for many variants at a time is done here for one
after the other. So a search is refused, in a sentence, where that would take too long.
"""

from fractions import Fraction
from functools import cache
from itertools import product
from math import exp, gcd, inf, isnan, log, nan, sqrt
from types import SimpleNamespace

from ...base.frozenmap import FrozenMap
from ...train.kinds.rules import tip_gap
from .batch import ratio_of
from .fit import DAMPING, LEAST, MOST, MOVES, UNSEEN
from .search import Found, Options, in_order

_STEP = 1e-5  # [natural logarithm]
_COMPUTED = 5_000  # ratios that a search may compute
_COMBINED = 400_000  # combinations that it may look at
_PLAIN = SimpleNamespace(maximum=max, minimum=min)  # what a kind needs of numpy


def misfits_at(model, logs):
    """The misfits of all counts with these proportions, as a list."""
    return [_misfit(model, at, logs) for at in range(len(model.asked))]


def _misfit(model, at, logs):
    """(counted − computed) / error of one count; nan where it does not drive."""
    teeth = {
        (name, sun): model.train.set(name).all_teeth["ring"] * exp(-one)
        for (name, sun), one in zip(model.knobs, logs, strict=True)
    }
    ratio = ratio_of(model.train, *model.asked[at], teeth)
    return nan if ratio is None else (model.counted[at] - ratio) / model.errors[at]


# The fit --------------------------------------------------------------------------


def fitted(model):
    """The logarithms of the proportions that agree best, as a list."""
    sets = [(model.train.set(name).all_teeth, sun) for name, sun in model.knobs]
    logs = [log(teeth["ring"] / teeth[sun]) for teeth, sun in sets]
    for _ in range(50):
        jacobian, off = _jacobian(model, logs), _tidy(misfits_at(model, logs))
        move = _solved(
            _normal(jacobian, DAMPING),
            [sum(map(_product, column, off)) for column in zip(*jacobian, strict=True)],
        )
        tries = [
            [
                min(max(one - part * step, LEAST), MOST)
                for one, step in zip(logs, move, strict=True)
            ]
            for part in MOVES
        ]
        bad = [_badness(model, one) for one in tries]
        best = bad.index(min(bad))
        logs = tries[best]
        if bad[0] - bad[best] <= 1e-12 * (1 + bad[0]):
            break
    return logs


def _badness(model, logs):
    total = sum(off * off for off in misfits_at(model, logs))
    return inf if isnan(total) else total


def _tidy(values):
    return [0.0 if isnan(value) else value for value in values]


def _product(a, b):
    return a * b


def _jacobian(model, logs):
    """The change of the misfits with the logarithms: rows of counts."""
    columns = []
    for knob in range(len(logs)):
        ends = [
            misfits_at(model, [*logs[:knob], logs[knob] + step, *logs[knob + 1 :]])
            for step in (_STEP, -_STEP)
        ]
        change = [(up - down) / (2 * _STEP) for up, down in zip(*ends, strict=True)]
        columns.append(_tidy(change))
    return [list(row) for row in zip(*columns, strict=True)]


def slopes(model, logs):
    """The Jacobian, and for each count the frozenset of sets that it depends on."""
    jacobian = _jacobian(model, logs)
    # A slope may be 0 at one place by chance.
    beside = _jacobian(model, [one + 0.1 for one in logs])
    seen = []
    for row, other, error in zip(jacobian, beside, model.errors, strict=True):
        alive = [(abs(a) + abs(b)) * error > 1e-7 for a, b in zip(row, other)]  # noqa: B905
        row[:] = [a if lives else 0.0 for a, lives in zip(row, alive, strict=True)]
        named = zip(model.knobs, alive, strict=True)
        seen.append(frozenset(name for (name, _), lives in named if lives))
    return jacobian, seen


def spreads(jacobian):
    """The standard error of each knob [natural logarithm], huge where it is open."""
    size = max(1.0, sqrt(sum(slope * slope for row in jacobian for slope in row)))
    normal = _normal(jacobian, (UNSEEN * size) ** 2)
    units = [[int(i == j) for j in range(len(normal))] for i in range(len(normal))]
    return [sqrt(_solved(normal, unit)[at]) for at, unit in enumerate(units)]


def _normal(jacobian, damping):
    """The matrix of the normal equations, exact, so that a small damping counts."""
    columns = [list(map(Fraction, column)) for column in zip(*jacobian, strict=True)]
    return [
        [
            sum(map(_product, one, other)) + (Fraction(damping) if i == j else 0)
            for j, other in enumerate(columns)
        ]
        for i, one in enumerate(columns)
    ]


def _solved(matrix, right):
    """The solution of equations whose matrix is positive definite, as floats."""
    rows = [[*row, Fraction(one)] for row, one in zip(matrix, right, strict=True)]
    for at, row in enumerate(rows):
        row[:] = [entry / row[at] for entry in row]
        for other in rows:
            if other is not row and other[at]:
                factor = other[at]
                other[:] = [a - factor * b for a, b in zip(other, row, strict=True)]
    return [float(row[-1]) for row in rows]


# The search -----------------------------------------------------------------------


def options(one, low, high):
    """The :class:`gearlab.ask.teeth.search.Options` of a set, as lists.

    >>> from gearlab import load_train
    >>> found = options(load_train("five-range").set("rear"), 15, 120)
    >>> len(found.logs), found.teeth(0)[0]
    (389, FrozenMap({'sun': 30, 'ring': 60}))
    """
    free = one.record.free_teeth
    reduced, rows = {}, []
    for ring in range(low, high + 1):
        for suns in product(range(low, ring), repeat=len(free.suns)):
            if free.even and (ring - suns[-1]) % 2:
                continue
            gears = dict(zip(free.suns, suns, strict=True)) | {"ring": ring}
            if (teeth := _assembled(one, low, high, gears)) is None:
                continue
            factor = gcd(*gears.values())
            key = tuple(count // factor for count in gears.values())
            reduced.setdefault(key, []).append((factor, len(rows)))
            rows.append(teeth)
    keys = sorted(reduced)
    return Options(
        logs=[[log(key[-1] / count) for count in key[:-1]] for key in keys],
        choices=tuple(tuple(at for _, at in sorted(reduced[key])) for key in keys),
        gears=FrozenMap({gear: [row[gear] for row in rows] for gear in one.teeth}),
    )


def _assembled(one, low, high, gears):
    """All tooth counts of a set with these suns and ring, or None if it cannot be."""
    kind, places = one.record, one.planets or 1
    own = {gear: one.all_teeth[gear] for gear in kind.free_teeth.as_filed}
    following, fits = kind.free_teeth.others(_PLAIN, low, gears | own)
    gears = gears | following
    if not fits or any(not low <= count <= high for count in gears.values()):
        return None
    teeth = gears | own
    spaced = kind.spacing(teeth) if kind.spacing else ()
    if any(whole % places for whole in spaced):
        return None
    near = kind.neighbours if places > 1 else ()
    if any(tip_gap(teeth[sun], teeth[pin], 1 / places) <= 0 for sun, pin in near):
        return None
    return teeth


def search(model, fitted, jacobian, seen, choices, say):
    """The :class:`Found` combinations of proportions with which each count agrees.

    It takes what :func:`gearlab.ask.teeth.search.search` takes, and leaves none out.

    Raises
    ------
    ValueError
        There are too many to try.
    """
    order = in_order(seen, choices)
    off = _remembered(model, fitted, seen, choices)
    alone = {name: _alone(model, off, seen, choices, name) for name in order}
    if not all(alone.values()):
        return Found(sets=tuple(order), places=[], complete=True)
    rows, settled = [((), 0.0)], set()
    for stage, name in enumerate(order):
        now = {i for i, on in enumerate(seen) if on <= set(order[: stage + 1])}
        fresh, settled = sorted(now - settled), now
        if len(rows) * len(alone[name]) > _COMBINED:
            raise ValueError(_too_many())
        found = []
        for places, misfit in rows:
            for at in alone[name]:
                chosen = dict(zip(order, (*places, at), strict=False))
                total = _agreeing(model, off, fresh, chosen, seen, misfit)
                if total is not None:
                    found.append(((*places, at), total))
        rows = found
        say(
            f"set {stage + 1} of {len(order)}, {name}: {len(alone[name])} proportions,"
            f" {len(rows)} combinations left"
        )
    rows.sort(key=lambda row: round(row[1], 9))
    places = [places for places, _ in rows]
    return Found(sets=tuple(order), places=places, complete=True)


def _alone(model, off, seen, choices, name):
    """The proportions of a set with which the counts agree that hang on it alone."""
    counts = [i for i, on in enumerate(seen) if on == {name}]
    return [
        at
        for at in range(len(choices[name].logs))
        if _agreeing(model, off, counts, {name: at}, seen, 0.0) is not None
    ]


def _agreeing(model, off, fresh, chosen, seen, misfit):
    """The sum of squares with what some counts add to it; None if one disagrees."""
    for i in fresh:
        on = tuple((name, at) for name, at in chosen.items() if name in seen[i])
        one = off(i, on)
        if not model.least[i] - 1e-9 <= one <= model.most[i] + 1e-9:
            return None
        misfit += one * one
    return misfit


def _remembered(model, fitted, seen, choices):
    """A function that gives the misfit of a count, each computed once."""
    left = [_COMPUTED]

    @cache
    def off(i, on):
        left[0] -= 1
        if left[0] < 0:
            raise ValueError(_too_many())
        logs, chosen = list(fitted), dict(on)
        for name, at in chosen.items():
            own = [n for n, (one, _) in enumerate(model.knobs) if one == name]
            for knob, value in zip(own, choices[name].logs[at], strict=True):
                logs[knob] = value
        return _misfit(model, i, logs)

    return off


def _too_many():
    return (
        "these counts leave too many tooth counts to try without numpy, which is not"
        " installed here; count a range that tells one set alone, or give a higher low"
        " and a lower high"
    )
