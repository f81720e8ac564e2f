"""The grid that a stick diagram is laid out on: what each kind of set takes of it.

Columns run along the axis, rows outward from it. A body (members that are one piece)
is a net whose lines run along the grid; a port is where a member leaves its set.
"""

from dataclasses import dataclass
from functools import lru_cache

from ...base.checks import quoted
from ...train.kinds import KINDS
from ...train.kinds.kind import DOWN, LEFT, PLANET, RIGHT, RING, SUN, UP, Port
from ...train.train import CASE

MOST_SETS, MOST_ELEMENTS = 6, 16
# Sizes, in units of a context: half a gear's width, the gap between two in mesh, half
# the length of a plate, what a line keeps clear. A planet's is in its kind's record.
GEAR, TOOTH_GAP, PLATE, CLEAR = 18.0, 3.0, 10.0, 7.0


@dataclass(frozen=True, kw_only=True)
class Topology:
    """What a layout depends on: no tooth counts, so that these may change."""

    sets: tuple  # (name, kind, member short names that have a port)
    bodies: tuple  # (full member name, body) of each port
    elements: tuple  # (name, first body, second body); the case second where it is one
    ends: tuple  # input body, output body


def topology(train):
    """The :class:`Topology` of a train; ValueError where it cannot be drawn.

    >>> import gearlab
    >>> topology(gearlab.load_train("lone-set")).ends
    ('input shaft', 'output shaft')
    """
    _check(train)
    used = _used(train)
    sets, bodies = [], []
    for one in train.sets:
        shorts = tuple(
            short
            for short in one.members
            if (
                train.body_of[one.member(short)] in used
                if is_box(one.kind)
                else "planet" not in short
            )
        )
        sets.append((one.name, one.kind, shorts))
        bodies += [
            (one.member(short), train.body_of[one.member(short)]) for short in shorts
        ]
    return Topology(
        sets=tuple(sets),
        bodies=tuple(bodies),
        elements=tuple((name, *sides(train, name)) for name in train.by_name),
        ends=(train.body_of[train.input], train.body_of[train.output]),
    )


def sides(train, name):
    """The bodies of an element as a layout has them: the case comes second."""
    first, second = (train.body_of[side] for side in train.by_name[name].sides)
    return (second, first) if first == CASE else (first, second)


def _used(train):
    """The bodies to which something is joined."""
    used = {train.body_of[train.input], train.body_of[train.output]}
    for part in train.by_name.values():
        used |= {train.body_of[side] for side in part.sides}
    shared = {
        body for body in train.body_of.values() if len(train.members_of(body)) > 1
    }
    return used | shared | {CASE}


def has_stick(train):
    """Whether a train is one of which there is a stick diagram."""
    try:
        _check(train)
    except ValueError:
        return False
    return True


def _check(train):
    if len(train.sets) > MOST_SETS or len(train.by_name) > MOST_ELEMENTS:
        raise ValueError(
            f"the train has {len(train.sets)} sets and {len(train.by_name)} elements,"
            f" but a stick diagram holds at most {MOST_SETS} sets and"
            f" {MOST_ELEMENTS} elements; draw it in two parts"
        )
    joined = {side for part in train.by_name.values() for side in part.sides}
    joined |= {train.input, train.output}
    joined |= {name for members in train.shafts.values() for name in members}
    planets = [
        one.member(short)
        for one in train.sets
        if not is_box(one.kind)
        for short in one.members
        if "planet" in short and one.member(short) in joined
    ]
    if planets:
        raise ValueError(
            f"{quoted(planets)} is a planet that something is joined to, but a stick"
            ' diagram joins only suns, rings and carriers; write the set as "meshes"'
        )


def is_box(kind):
    """Whether a kind has no half section, and is drawn as a box with named ports."""
    return KINDS[kind].section is None


@lru_cache(maxsize=64)
def block(kind, shorts, mirrored=False):
    """How a kind of set lies on the grid: (columns, ports)."""
    section = KINDS[kind].section
    width, ports = (section.width, section.ports) if section else _box(shorts)
    if mirrored:
        ports = tuple(_mirrored(port, width) for port in ports)
    return width, ports


def has_sides(kind):
    """Whether a kind looks otherwise when it is mirrored."""
    return not is_box(kind) and KINDS[kind].section.mirrors


def _mirrored(port, width):
    def turned(cell):
        return width - 1 - cell[0], cell[1]

    return Port(
        short=port.short,
        cells=tuple(turned(cell) for cell in port.cells),
        exits=tuple((turned(cell), (-dx, dy)) for cell, (dx, dy) in port.exits),
    )


def _box(shorts):
    """A box with a line through it for each member that something is joined to."""
    last, ports = len(shorts) - 1, []
    for column, short in enumerate(shorts):
        exits = [((column, SUN), DOWN), ((column, RING), UP)]
        exits += [((column, PLANET), LEFT)] * (column == 0)
        exits += [((column, PLANET), RIGHT)] * (column == last)
        cells = tuple((column, row) for row in range(4))
        ports.append(Port(short=short, cells=cells, exits=tuple(exits)))
    return max(1, len(shorts)), tuple(ports)


def solid(kind, mirrored=False):
    """The cells of a kind that no line may enter, beside those of its ports."""
    section = KINDS[kind].section
    if section is None:
        return ()
    last = section.width - 1
    return tuple((last - x, y) if mirrored else (x, y) for x, y in section.solid)
