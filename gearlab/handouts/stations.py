"""A class round its cutaways: groups, who is where in which turn, and who does what."""

from dataclasses import dataclass
from math import ceil

from .blocks import Caution, Heading, Table, Words, kept

ROLES = ("turner", "holder", "counter", "recorder")
SECOND = "second holder"  # whoever is more than the roles
_BEST = len(ROLES)  # students of a group
ON_SCREEN = "the bench on the screen"


@dataclass(frozen=True, kw_only=True)
class Group:
    """Students who work together; the name is from the class list, or a number."""

    name: str
    students: tuple[object, ...]


@dataclass(frozen=True, kw_only=True)
class Rotation:
    """Which group is at which cutaway in which turn.

    `places` has a row of texts for each group, one for each turn.
    """

    groups: tuple[Group, ...]
    turns: int
    places: tuple[tuple[str, ...], ...]


def groups_of(students):
    """The groups of a class: those of its list, and the others four by four.

    Nobody is left alone where it can be helped, so some groups have three.
    """
    named, rest = {}, []
    for student in students:
        if student.group:
            named.setdefault(student.group, []).append(student)
        else:
            rest.append(student)
    count = ceil(len(rest) / _BEST)
    free = (str(n) for n in range(1, len(named) + count + 1) if str(n) not in named)
    groups = [Group(name=name, students=tuple(some)) for name, some in named.items()]
    at = 0
    for place in range(count):
        size = len(rest) // count + (place < len(rest) % count)
        some = tuple(rest[at : at + size])
        groups.append(Group(name=next(free), students=some))
        at += size
    return tuple(groups)


def rotation(groups, cutaways):
    """The :class:`Rotation` of some groups round some cutaways.

    Every group is at a cutaway once at least, and all have been there equally often
    where the turns allow it. Who waits works with the bench on a screen.

    >>> rotation([Group(name=n, students=()) for n in "ab"], 1).places
    (('cutaway 1', 'the bench on the screen'), ('the bench on the screen', 'cutaway 1'))
    """
    count = len(groups)
    turns = ceil(count / cutaways) if cutaways else 1
    places = [[ON_SCREEN] * turns for _ in range(count)]
    for turn in range(turns):
        for cutaway in range(min(cutaways, count)):
            group = (turn * cutaways + cutaway) % count
            places[group][turn] = f"cutaway {cutaway + 1}"
    return Rotation(groups=tuple(groups), turns=turns, places=tuple(map(tuple, places)))


def roles_in(group, turn):
    """{role: who has it} in a turn or range: everybody moves on by one role.

    In a small group one has several, in a large one somebody is a second holder.
    """
    students = group.students
    size = len(students)
    found = {
        role: students[(place + turn) % size].name for place, role in enumerate(ROLES)
    }
    more = [students[(place + turn) % size].name for place in range(_BEST, size)]
    return found | ({SECOND: ", ".join(more)} if more else {})


def station_blocks(rotated, caution):
    """The blocks of the rotation: who is where, then the roles of every group."""
    yield Heading(text="Stations and roles", level=1)
    yield Words(
        text="The turner turns the input and says so first. The holder sets up the"
        " range and keeps hands clear while it turns. The counter watches the output"
        " mark, from the input end. The recorder writes the prediction before anybody"
        " turns, then the count."
    )
    yield Caution(text=caution)
    heads = tuple(f"turn {n}" for n in range(1, rotated.turns + 1))
    # As many turns stand side by side as can be read.
    for first in range(0, rotated.turns, 5):
        part = slice(first, first + 5)
        yield Table(
            head=("group", *heads[part]),
            rows=tuple(
                (group.name, *places[part])
                for group, places in zip(rotated.groups, rotated.places, strict=True)
            ),
            parts=(2, *(3 for _ in heads[part])),
        )
    yield Heading(text="Roles: everybody moves on by one with each range")
    for group in rotated.groups:
        yield from _roles(group)


def _roles(group):
    size = len(group.students)
    roles = (*ROLES, SECOND) if size > _BEST else ROLES
    rows = []
    for turn in range(size):
        found = roles_in(group, turn)
        rows.append((_range_words(turn, size), *(found[role] for role in roles)))
    table = Table(
        head=("range", *roles), rows=tuple(rows), parts=(3, *(4 for _ in roles))
    )
    yield from kept([Heading(text=f"Group {group.name}", level=3), table])


def _range_words(turn, size):
    """The ranges in which the roles are those of a turn: "1st, 5th, …"."""
    if size == 1:
        return "every one"
    return f"{_nth(turn + 1)}, {_nth(turn + 1 + size)}, …"


def _nth(n):
    end = "th" if 10 <= n % 100 <= 20 else {1: "st", 2: "nd", 3: "rd"}.get(n % 10, "th")
    return f"{n}{end}"
