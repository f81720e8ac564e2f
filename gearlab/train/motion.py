"""The free motions of a train, and the speeds that follow from given ones.

Meshes and shafts leave a small space of motions (dimension 4 for the five-range
unit). It is worked out once per train; each member's speed is then a row of whole
numbers in that space, and each holding element one equation.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache, reduce

from ..base.cone import dot, narrowed, null_lines, unit_lines
from .meshes import mesh_law, meshes
from .train import CASE


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
    then. `law_rows` are the laws over all bodies in `place`.
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

    @cached_property
    def releases(self):
        """For each law a motion of all bodies that breaks it alone, and how far.

        It is None where another law says the same.
        """
        _, releases = narrowed(unit_lines(len(self.place)), self.law_rows)
        return tuple(
            release and (release, dot(row, release))
            for row, release in zip(self.law_rows, releases, strict=True)
        )

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
    motions = reduce(null_lines, rows, unit_lines(len(bodies)))
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
