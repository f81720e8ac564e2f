"""The free motions of a train, and the speeds that follow from given ones.

Meshes and shafts leave a small space of motions (dimension 4 for the five-range
unit). It is worked out once per train; each member's speed is then a row of whole
numbers in that space, and each holding element one equation.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ..base import checks
from ..base.cone import dot, narrowed, null_lines, unit_lines
from ..base.frozenmap import FrozenMap
from ..base.numerals import read_number
from .meshes import mesh_law, meshes
from .train import CASE, a_train

_LARGEST = 10**1000  # of the numerator and the denominator of an exact number


@dataclass(frozen=True, kw_only=True)
class Law:
    """The law of one mesh: its parts are (member, coefficient), carrier last."""

    set: str
    kind: str  # "external" or "internal"
    parts: tuple


@dataclass(frozen=True, kw_only=True)
class FreeMotions:
    """The space of motions that meshes and shafts allow.

    `row_of` gives each member, shaft and ``"case"`` its row: speed = row · motion; and
    `row_of_part` each element the speed of its first side against its second.
    `always` names ``"case"`` if members are fixed for good; `lines` spans what is left
    then. `law_rows` are the laws over all bodies in `place`, and `releases` has for
    each a motion of all bodies that breaks this law alone, with how far it breaks it;
    None where another law says the same.
    """

    size: int
    laws: tuple[Law, ...]
    law_rows: tuple
    place: dict
    row_of: dict
    row_of_part: dict
    ends: tuple  # the rows of input and output
    always: tuple
    lines: tuple
    releases: tuple

    def held_lines(self, names):
        """What is left of the space with all of these holding."""
        lines = unit_lines(self.size)
        for name in names:
            lines = null_lines(lines, self.row_of_part[name])
        return lines


@lru_cache(maxsize=512)
def free_motions(train):
    """The :class:`FreeMotions` of a train.

    Raises ValueError if the file alone keeps the input or the output from turning,
    or makes them turn as one.
    """
    laws = []
    for one in train.sets:
        for mesh in meshes(one):
            parts = tuple((one.member(k), v) for k, v in mesh_law(mesh).items())
            laws.append(Law(set=one.name, kind=mesh.mesh, parts=parts))
    free = motions_under(train, tuple(laws))
    _check_ends(train, free)
    return free


def motions_under(train, laws):
    """The :class:`FreeMotions` of a train's bodies under some laws."""
    bodies = [body for body in dict.fromkeys(train.body_of.values()) if body != CASE]
    # What is fixed to the case, or bears on it, is kept as a body that an element
    # named "case" holds, so that the torque of the case is an element's torque.
    on_case = any(train.body_of[part] == CASE for law in laws for part, _ in law.parts)
    if on_case or train.shafts.get(CASE):
        bodies.append(CASE)
    place = {body: i for i, body in enumerate(bodies)}
    rows = [_law_row(train, place, law) for law in laws]
    motions, releases = narrowed(unit_lines(len(bodies)), rows)
    row_of_body = {
        body: tuple([motion[i] for motion in motions]) for body, i in place.items()
    }
    row_of = {name: row_of_body.get(body) for name, body in train.body_of.items()}
    row_of[CASE] = (0,) * len(motions)
    row_of_part = {
        name: _between(row_of, part.sides) for name, part in train.by_name.items()
    }
    lines, always = unit_lines(len(motions)), ()
    if CASE in place:
        row_of_part[CASE] = row_of_body[CASE]
        lines, always = null_lines(lines, row_of_body[CASE]), (CASE,)
    return FreeMotions(
        size=len(motions),
        laws=laws,
        law_rows=tuple(rows),
        place=place,
        row_of=row_of,
        row_of_part=row_of_part,
        ends=(row_of[train.input], row_of[train.output]),
        always=always,
        lines=lines,
        releases=tuple(
            release and (release, dot(row, release))
            for row, release in zip(rows, releases, strict=True)
        ),
    )


def _law_row(train, place, law):
    """A law as a row over all bodies."""
    row = [0] * len(place)
    for member, coefficient in law.parts:
        row[place[train.body_of[member]]] += coefficient
    return tuple(row)


def _between(row_of, sides):
    """The row of the speed of the first side relative to the second."""
    first, second = map(row_of.get, sides)
    return tuple([a - b for a, b in zip(first, second, strict=True)])


def _check_ends(train, free):
    ends = dict(zip(("input", "output"), free.ends, strict=True))
    for which, row in ends.items():
        if not any(dot(row, line) for line in free.lines):
            raise ValueError(
                f'the {which} "{getattr(train, which)}" cannot turn: meshes and shafts'
                " alone fix it; take a member out of [shafts] or name another one"
            )
    if all(
        dot(ends["input"], line) == dot(ends["output"], line) for line in free.lines
    ):
        raise ValueError(
            f'input "{train.input}" and output "{train.output}" always turn as one:'
            " meshes and shafts alone lock them; take a member out of [shafts]"
        )


def applied_names(train, applied):
    """The names as a frozenset, each checked to be an element or lock of the train."""
    if isinstance(applied, str):
        raise ValueError(
            f'applied is the text "{applied}", but it must be a list of names; write'
            f' ["{applied}"]'
        )
    usable = [part.name for part in (*train.elements, *train.locks)]
    try:
        names = list(applied)
    except TypeError:
        raise ValueError(
            f"applied is {checks.shortened(applied)}, but it must be a list of names"
        ) from None
    return frozenset(checks.known(name, usable, "element") for name in names)


def solve_speeds(train, given, applied=()):
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
    FrozenMap {member or shaft: Fraction, or None where it is not determined}

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
    return FrozenMap(speeds_along(free, [(line, line[-1]) for line in lines]))


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


def exact(value, name, what="speed", unit=""):
    """A number as a Fraction, whatever its type; text is read as people write it.

    What the library itself works out may have more digits than people write.
    """
    whole = isinstance(value, (int, Fraction)) and not isinstance(value, bool)
    if whole and max(abs(value.numerator), value.denominator) < _LARGEST:
        return Fraction(value)
    try:
        return read_number(value, unit)
    except ValueError as error:
        raise ValueError(f"the {what} of {name}: {error}") from None
