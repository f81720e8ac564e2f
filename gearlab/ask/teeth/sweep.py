"""Many tooth counts of one train at once: the ratios of all ranges, as arrays."""

from array import array as floats
from collections.abc import Iterable, Mapping
from math import gcd, nan

from ...base import checks
from ...base.brief import Brief
from ...base.numerals import number
from ...solve.powerflow import power_flow
from ...train.kinds.rules import tip_gap
from ...train.train import a_train
from .batch import has_numpy, ratios_of

# Planet tips this close [modules] are left to the exact rule.
_CLOSE = 1e-9
MOST_ALONE = 2000  # ratios that are computed one by one


class Swept(Brief, dict):
    """``{range: array of ratios}``, nan where a variant does not drive."""

    __slots__ = ()
    _heads = ("range", "variants", "drive", "least ratio", "largest ratio")

    @property
    def _brief(self):
        sizes = {f"{size} variants" for size, _ in map(_driving, self.values())}
        return f"{len(self)} ranges, {' or '.join(sizes) or 'none'}"

    @property
    def _rows(self):
        for name, ratios in self.items():
            size, driving = _driving(ratios)
            ends = [number(float(end)) for end in _ends(driving)] or ["", ""]
            yield name, str(size), str(len(driving)), *ends


def _driving(ratios):
    """How many variants there are, and the ratios of those that drive."""
    if isinstance(ratios, floats):
        return len(ratios), floats("d", [one for one in ratios if one == one])
    return ratios.size, ratios[ratios == ratios]  # nan is not what it is


def _ends(driving):
    """The least and the largest of some ratios; () of none."""
    if not len(driving):
        return ()
    if isinstance(driving, floats):
        return min(driving), max(driving)
    return driving.min(), driving.max()


def sweep(train, teeth):
    """The ratio of every range under drive, for many tooth counts at once.

    Parameters
    ----------
    train : Train
    teeth : ``{set: {"sun": counts, "planets": counts, ...}}`` with whole numbers or
        arrays of them, which are broadcast against each other; what is not named
        stays as it is in the train.

    Returns
    -------
    Swept, a dict {range: array of floats in the broadcast shape}: input turns per
    output turn, as :func:`gearlab.power_flow` gives them; nan where a variant does not
    drive. Where numpy is not installed, each variant is asked of the exact library, the
    counts are flat lists and the arrays are those of Python.

    Raises
    ------
    ValueError
        An unknown set or gear, counts that are not whole, shapes that do not go
        together, or teeth that cannot be: how many variants, and the first one; without
        numpy, also more than a few thousand ratios.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> ratios = sweep(train, {"rear": {"sun": [24, 30, 36], "ring": 72}})
    >>> [round(float(ratio), 3) for ratio in ratios["R"]]
    [-3.0, -2.4, -2.0]
    """
    a_train(train)
    if not has_numpy():
        return _one_by_one(train, teeth)
    import numpy as np

    columns, shape = _columns(train, teeth)
    counts, problems = {}, {}
    for name, given in columns.items():
        found = _distinct_sets(train.set(name), given, problems)
        counts |= {(name, gear): array for gear, array in found.items()}
    _refuse(problems, int(np.prod(shape)))
    asked = [(row.applied, "drive") for row in train.ranges]
    found = ratios_of(train, asked, counts, int(np.prod(shape)))
    return Swept(
        (row.name, ratios.reshape(shape))
        for row, ratios in zip(train.ranges, found, strict=True)
    )


def _refuse(problems, size):
    """ValueError if there are variants with a problem, ``{variant: what is wrong}``."""
    if problems:
        first = min(problems)
        bad = len(problems)
        raise ValueError(
            f"{bad} of {size} variants {'has' if bad == 1 else 'have'}"
            f" teeth that cannot be; the first is variant {first}, counted from 0:"
            f" {problems[first]}"
        )


def _asked(train, teeth):
    """(set, key, counts) of all that is to change, with names that are known."""
    way_out = 'write {"rear": {"sun": [24, 30]}}'
    for name, changes in checks.given(teeth, Mapping, "a table", way_out).items():
        one = train.set(name)
        checks.given(changes, Mapping, f"a table of {name} gears", way_out)
        kind = one.record
        keys = (*kind.teeth, *kind.optional, "planets")
        if kind.written_out:
            keys = tuple(one.all_teeth)
        for key, counts in changes.items():
            checks.known(key, keys, f"{name} gear")
            yield name, key, counts


def _not_whole(name, key, counts):
    return (
        f"{name} {key} is {checks.shortened(counts)}, but a sweep needs"
        " whole numbers; give an int or an array of ints"
    )


def _one_by_one(train, teeth):
    """The sweep without numpy: each variant as the exact library has it."""
    columns = {}
    for name, key, counts in _asked(train, teeth):
        several = isinstance(counts, Iterable) and not isinstance(counts, (str, bytes))
        columns[name, key] = row = list(counts) if several else [counts]
        if any(isinstance(one, bool) or not isinstance(one, int) for one in row):
            raise ValueError(_not_whole(name, key, counts))
    size = max(map(len, columns.values()), default=1)
    if any(len(row) not in (1, size) for row in columns.values()):
        lengths = ", ".join(f"{n} {k} {len(row)}" for (n, k), row in columns.items())
        raise ValueError(
            f"the lists have lengths that do not go together ({lengths}); give each as"
            " many counts, or one count for all"
        )
    if size * len(train.ranges) > MOST_ALONE:
        raise ValueError(
            f"{size} variants of {len(train.ranges)} ranges are more than"
            f" {MOST_ALONE:,} ratios, which takes numpy, and that is not installed"
            " here; give fewer counts"
        )
    found = {row.name: floats("d") for row in train.ranges}
    variants, problems = [], {}
    for at in range(size):
        changes = {name: {} for name, _ in columns}
        for (name, key), row in columns.items():
            changes[name][key] = row[at % len(row)]
        try:
            variants.append(train.with_teeth(changes))
        except ValueError as error:
            problems[at] = error
    _refuse(problems, size)
    for one in variants:
        for name, ratios in found.items():
            ratio = power_flow(one, name).ratio
            ratios.append(nan if ratio is None else ratio)
    return Swept(found)


def _columns(train, teeth):
    """``{set: {key: flat array of whole numbers}}`` and the shape of the answer."""
    import numpy as np

    given = {}
    for name, key, counts in _asked(train, teeth):
        try:
            array = np.asarray(counts)
        except ValueError:
            array = np.array(None)
        if array.dtype.kind not in "iu" and array.size:
            raise ValueError(_not_whole(name, key, counts))
        given[name, key] = array.astype(np.int64)
    try:
        shape = np.broadcast_shapes(*(array.shape for array in given.values())) or (1,)
    except ValueError:
        shapes = ", ".join(
            f"{name} {key} {array.shape}" for (name, key), array in given.items()
        )
        raise ValueError(
            f"the arrays have shapes that do not go together ({shapes}); give each as"
            " many counts, or one count for all"
        ) from None
    columns = {name: {} for name in teeth}
    for (name, key), array in given.items():
        columns[name][key] = np.broadcast_to(array, shape).ravel()
    return {name: row for name, row in columns.items() if row}, shape


def _distinct_sets(one, columns, problems):
    """``{gear: teeth of all variants}``; each distinct set is made and checked once.

    `problems` gets ``{variant: what is wrong}``.
    """
    import numpy as np

    code, size = np.zeros(len(next(iter(columns.values()))), dtype=np.int64), 1
    if not len(code):
        return {}
    for column in columns.values():
        low = int(column.min())
        span = int(column.max()) - low + 1
        if size * span >= 2**62:
            code = np.unique(code, return_inverse=True)[1]
            column = np.unique(column, return_inverse=True)[1]
            low, size, span = 0, int(code.max()) + 1, int(column.max()) + 1
        code, size = code * span + (column - low), size * span
    _, firsts, place = np.unique(code, return_index=True, return_inverse=True)
    rows = zip(*(column[firsts].tolist() for column in columns.values()), strict=True)
    made, gears = [], tuple(one.all_teeth)
    for at, row in enumerate(rows):
        changes = dict(zip(columns, row, strict=True))
        try:
            made.append(_plain_teeth(one, changes) or one.with_teeth(changes).all_teeth)
        except ValueError as error:
            made.append(one.all_teeth)
            wrong = np.flatnonzero(place == at).tolist()
            problems.update((variant, error) for variant in wrong)
    return {
        gear: np.array([teeth[gear] for teeth in made], dtype=float)[place]
        for gear in gears
    }


def _plain_teeth(one, changes):
    """All teeth of a changed set that fits beyond doubt, else None.

    It spares making a gear set, which would take a sweep longer than the ratios.
    """
    counts = {**one.teeth, **changes}
    planets = counts.pop("planets", one.planets)
    low, high = min(counts.values()), max(counts.values())
    if not one.record.spacing or low < checks.MIN_TEETH or high > checks.MAX_TEETH:
        return None
    teeth = counts | one.record.rules(one.name, counts)
    if planets is None or planets == 1:
        return teeth
    places = gcd(*one.record.spacing(teeth))
    if not 1 < planets <= min(places, checks.MAX_PLANETS):
        return None
    gap = (places // planets) / places
    pairs = one.record.neighbours
    gaps = (tip_gap(teeth[a], teeth[b], gap) for a, b in pairs)
    return teeth if min(gaps, default=1) > _CLOSE else None
