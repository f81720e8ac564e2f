"""The ratios of many variants of one train at once, with floats.

The steps are those of :mod:`gearlab.solve.equilibrium`, for all variants together.
Where a step depends on a sign that is not the same in all of them, they are parted by
that sign and each part goes its own way.
"""

from importlib.util import find_spec
from itertools import combinations
from types import SimpleNamespace

from ...train.meshes import mesh_law, meshes
from ...train.train import CASE

# A sum this small beside its terms is 0: floats err by about 1e-15 a step, while a sum
# of products of tooth counts that is not 0 stays above it.
_NOTHING = 1e-12
# So many variants at a time stay in the processor's cache.
_CHUNK = 8192


def has_numpy():
    """Whether numpy is installed; a browser that runs Python may have none."""
    return find_spec("numpy") is not None


def ratios_of(train, asked, teeth, count):
    """The ratios of applied elements under a load, for `count` variants.

    Parameters
    ----------
    train : Train; what `teeth` does not name is taken from it.
    asked : (names of applied elements, "drive" or "coast") for each answer
    teeth : ``{(set, gear): array of count}``, whole or not, not checked

    Returns
    -------
    list of arrays of count: input turns per output turn, nan where nothing drives

    >>> import gearlab
    >>> import numpy as np
    >>> train = gearlab.load_train("five-range")
    >>> asked = [(train.range("R").applied, "drive")]
    >>> ratios_of(train, asked, {("rear", "sun"): np.array([20.0, 28.0])}, 2)[0]
    array([-3.5, -2.5])
    """
    import numpy as np

    answers = [np.full(count, np.nan) for _ in asked]
    for start in range(0, count, _CHUNK):
        chunk = np.arange(start, min(start + _CHUNK, count))
        for group, motions in _parted(lambda at: _Motions(train, teeth, at), chunk):
            for answer, (applied, load) in zip(answers, asked, strict=True):
                own = np.arange(len(group))
                for part, ratio in _parted(
                    lambda at, m=motions, a=applied, w=load: _ratio(m.taken(at), a, w),
                    own,
                ):
                    if ratio is not None:
                        answer[group[part]] = ratio
    return answers


def ratio_of(train, applied, load, teeth):
    """The ratio of one variant, in plain floats: what :func:`ratios_of` asks of many.

    Parameters
    ----------
    train : Train; what `teeth` does not name is taken from it.
    applied, load : names of applied elements, and "drive" or "coast"
    teeth : ``{(set, gear): number}``, whole or not, not checked

    Returns
    -------
    float: input turns per output turn, or None where nothing drives

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> reverse = train.range("R").applied
    >>> round(ratio_of(train, reverse, "drive", {("rear", "sun"): 28}), 9)
    -2.5
    """
    return _ratio(_Motions(train, teeth, None), applied, load)


class _Split(Exception):
    """The variants do not agree on a sign; it holds the sign of each."""


def _parted(answer, places):
    """(places, answer) for parts of the variants that take every step alike."""
    waiting = [places]
    while waiting:
        part = waiting.pop()
        try:
            found = answer(part)
        except _Split as split:
            (signs,) = split.args
            waiting += [part[signs == sign] for sign in sorted(set(signs.tolist()))]
        else:
            yield part, found


# Entries of vectors are numbers, or arrays with one number a variant ----------------


def _nothing(entry):
    return isinstance(entry, (int, float)) and entry == 0


def _sum(terms):
    """The sum of some entries; 0 where they cancel but for the errors of floats."""
    terms = [term for term in terms if not _nothing(term)]
    if len(terms) < 2:
        return _tidy(terms[0]) if terms else 0
    total, size = sum(terms), sum(map(abs, terms))
    small = abs(total) <= _NOTHING * size
    if isinstance(total, (int, float)):
        return 0 if small else total
    if small.any():
        total[small] = 0.0
    return _tidy(total)


def _tidy(entry):
    """An entry that is 0 in all variants as the plain 0."""
    return entry if isinstance(entry, (int, float)) or entry.any() else 0


def _dot(row, vector):
    return _sum(
        a * b
        for a, b in zip(row, vector, strict=True)
        if not (_nothing(a) or _nothing(b))
    )


def _sign(entry):
    """−1, 0 or 1 if it is the same in all variants; else they part."""
    if isinstance(entry, (int, float)):
        return (entry > 0) - (entry < 0)
    signs = (entry > 0).astype(int) - (entry < 0)
    if (signs != signs[0]).any():
        raise _Split(signs)
    return int(signs[0])


def _pivot(values):
    """The place of a value that is 0 in no variant, a plain number if there is one."""
    places = [place for place, value in enumerate(values) if not _nothing(value)]
    plain = [place for place in places if isinstance(values[place], (int, float))]
    if plain:
        return max(plain, key=lambda place: abs(values[place]))
    for place in places:
        if values[place].all():
            return place
    if places:
        raise _Split((values[places[0]] != 0).astype(int))
    return None


def _cleared(vector, value, line, at):
    """`vector` moved along `line` to where the row, worth `value`, is 0."""
    if _nothing(value):
        return vector
    factor = -value / at
    return [
        _sum((x, 0 if _nothing(y) else y * factor))
        for x, y in zip(vector, line, strict=True)
    ]


def _null(lines, row):
    """The part of a space on which `row` is 0; the same object if that is all of it."""
    values = [_dot(row, line) for line in lines]
    pivot = _pivot(values)
    if pivot is None:
        return lines
    return [
        _cleared(line, value, lines[pivot], values[pivot])
        for place, (line, value) in enumerate(zip(lines, values, strict=True))
        if place != pivot
    ]


def _half(lines, rays, row):
    """The part of a cone on which `row` is not negative."""
    values = [_dot(row, line) for line in lines]
    pivot = _pivot(values)
    if pivot is not None:
        line, at = lines[pivot], values[pivot]
        inward = [0 if _nothing(entry) else entry / at for entry in line]
        moved = [_cleared(ray, _dot(row, ray), line, at) for ray in rays]
        return _null(lines, row), [*moved, inward]
    values = [_dot(row, ray) for ray in rays]
    signs = [_sign(value) for value in values]
    kept = [ray for ray, sign in zip(rays, signs, strict=True) if sign >= 0]
    for up, high, above in zip(rays, values, signs, strict=True):
        for down, low, below in zip(rays, values, signs, strict=True):
            if above > 0 > below:
                kept.append(_cleared(up, high, down, low))
    return lines, kept


class _Motions:
    """What :func:`gearlab.train.motion.free_motions` gives, for alike variants.

    `at` are their places in the arrays of `teeth`, None where these are numbers.
    """

    def __init__(self, train, teeth, at):
        self.train = train
        bodies = list(dict.fromkeys(train.body_of.values()))
        lines = [[int(a == b) for b in bodies] for a in bodies]
        for one in train.sets:
            for mesh in meshes(one):
                row = [0] * len(bodies)
                for short, coefficient in _law(one, mesh, teeth, at).items():
                    place = bodies.index(train.body_of[one.member(short)])
                    row[place] = _sum((row[place], coefficient))
                lines = _null(lines, row)
        lines = _null(lines, [int(body == CASE) for body in bodies])
        self.rows = {
            body: [line[place] for line in lines] for place, body in enumerate(bodies)
        }

    def taken(self, at):
        """The same for some of the variants."""
        part = object.__new__(_Motions)
        part.train = self.train
        part.rows = {
            body: [x if isinstance(x, (int, float)) else _tidy(x[at]) for x in row]
            for body, row in self.rows.items()
        }
        return part

    def between(self, first, second):
        """The row of the speed of one member relative to another."""
        first, second = (self.rows[self.train.body_of[m]] for m in (first, second))
        return [
            _sum((a, 0 if _nothing(b) else -b))
            for a, b in zip(first, second, strict=True)
        ]


def _law(one, mesh, teeth, at):
    """The law of a mesh for some variants."""
    counts = []
    for gear, plain in zip(mesh.gears, mesh.teeth, strict=True):
        key = gear if one.record.written_out else one.record.key(gear)
        given = teeth.get((one.name, key), plain)
        counts.append(given if at is None or given is plain else given[at])
    return mesh_law(
        SimpleNamespace(
            gears=mesh.gears, teeth=counts, mesh=mesh.mesh, carrier=mesh.carrier
        )
    )


def _ratio(motions, applied, load):
    """Input turns per output turn, or None; see the rule in the equilibrium module."""
    train = motions.train
    size = len(next(iter(motions.rows.values())))
    ends = [motions.between(end, CASE) for end in (train.input, train.output)]
    if not any(map(_turns, motions.between(train.input, train.output))):
        return None
    lines = [[int(i == j) for j in range(size)] for i in range(size)]
    for name in train.in_order(applied):
        lines = _null(lines, motions.between(*train.by_name[name].sides))
    one_way = [motions.between(*part.sides) for part in train.one_way_clutches]
    driving = _carrying(lines, one_way, ends, 1, 0)
    if load == "drive":
        return driving
    if driving is not None:
        return _carrying(lines, one_way, ends, -1, _sign(driving))
    coasting = _carrying(lines, one_way, ends, -1, 1)
    return _carrying(lines, one_way, ends, -1, -1) if coasting is None else coasting


def _carrying(lines, one_way, ends, torque_in, way):
    """The ratio with the smallest set of one-way clutches that carries, or None."""
    for size in range(min(len(one_way), len(lines)) + 1):
        for bound in combinations(range(len(one_way)), size):
            locked = _locked(lines, [one_way[place] for place in bound])
            ratio = None if locked is None else _ends_ratio(locked, ends)
            if ratio is None or way * _sign(ratio) < 0:
                continue
            others = [row for i, row in enumerate(one_way) if i not in bound]
            if all(
                _pushes(lines, one_way, ends, bound, place, ratio, torque_in)
                for place in bound
            ) and _can_turn(locked, others, ends[0]):
                return ratio
    return None


def _locked(lines, rows):
    """The motions with one-way clutches locked; None if one of them is redundant."""
    for row in rows:
        narrowed = _null(lines, row)
        if narrowed is lines:
            return None
        lines = narrowed
    return lines


def _ends_ratio(lines, ends):
    """Input turns per output turn if the motions leave one such ratio, else None."""
    pairs = [[_dot(end, line) for end in ends] for line in lines]
    turning = [pair for pair in pairs if all(map(_turns, pair))]
    if not turning:
        return None
    (u, v), *_ = turning
    if any(_turns(_sum((a * v, -b * u))) for a, b in pairs):
        return None
    return u / v


def _turns(entry):
    """Whether an entry is not 0, the same in all variants; else they part."""
    if isinstance(entry, (int, float)):
        return entry != 0
    alive = entry != 0
    if (alive != alive[0]).any():
        raise _Split(alive.astype(int))
    return bool(alive[0])


def _pushes(lines, one_way, ends, bound, place, ratio, torque_in):
    """Whether one of the one-way clutches that are locked takes torque above 0.

    By virtual work: let go of it alone, and input, output and it do no work together.
    """
    moved = _locked(lines, [one_way[other] for other in bound if other != place])
    own = [_dot(one_way[place], line) for line in moved]
    at = _pivot(own)
    turned_in, turned_out = (_dot(end, moved[at]) for end in ends)
    work = _sum((turned_out * ratio, -1 * turned_in))
    return _sign(torque_in * work / own[at]) > 0


def _can_turn(lines, one_way, input):
    """Whether the input can turn forward with no one-way clutch turning backward."""
    rays = []
    for row in one_way:
        lines, rays = _half(lines, rays, row)
    return any(_turns(_dot(input, line)) for line in lines) or any(
        _sign(_dot(input, ray)) > 0 for ray in rays
    )
