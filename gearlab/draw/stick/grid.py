"""The grid that a stick diagram is laid out on: what each kind of set takes of it.

Columns run along the axis, rows outward from it. A body (members that are one piece)
is a net whose lines run along the grid; a port is where a member leaves its set.
"""

from dataclasses import dataclass
from functools import lru_cache

from ...checks import quoted
from ...train import CASE

MOST_SETS, MOST_ELEMENTS = 6, 16
LEFT, RIGHT, UP, DOWN = (-1, 0), (1, 0), (0, 1), (0, -1)
# Rows of a set, from the axis outward: sun, inner planet, planet, ring.
SUN, INNER, PLANET, RING = range(4)
# Sizes, in units of a context: half a gear's width and half of a planet's height, the
# gap between two in mesh, half the length of a plate, what a line keeps clear.
GEAR, PLANET_HALF, SMALL_HALF, TOOTH_GAP, PLATE, CLEAR = (
    18.0,
    14.0,
    10.0,
    3.0,
    10.0,
    7.0,
)


@dataclass(frozen=True, kw_only=True)
class Port:
    """Where a member is in its set.

    `cells` are (column, row) within the set, joined in a row as they are written;
    `exits` are (cell, direction) by which its line may leave.
    """

    short: str
    cells: tuple
    exits: tuple


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
            if (one.kind == "meshes" and train.body_of[one.member(short)] in used)
            or (one.kind != "meshes" and "planet" not in short)
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
        if one.kind != "meshes"
        for short in one.members
        if "planet" in short and one.member(short) in joined
    ]
    if planets:
        raise ValueError(
            f"{quoted(planets)} is a planet that something is joined to, but a stick"
            ' diagram joins only suns, rings and carriers; write the set as "meshes"'
        )


@lru_cache(maxsize=64)
def block(kind, shorts, mirrored=False):
    """How a kind of set lies on the grid: (columns, ports)."""
    width, ports = _BLOCKS.get(kind, _box)(shorts)
    if mirrored:
        ports = tuple(_mirrored(port, width) for port in ports)
    return width, ports


def has_sides(kind):
    """Whether a kind looks otherwise when it is mirrored."""
    return kind in ("meshed-planet", "two-sun", "stepped-planet", "differential")


def _mirrored(port, width):
    def turned(cell):
        return width - 1 - cell[0], cell[1]

    return Port(
        short=port.short,
        cells=tuple(turned(cell) for cell in port.cells),
        exits=tuple((turned(cell), (-dx, dy)) for cell, (dx, dy) in port.exits),
    )


def _port(short, cells, *exits):
    return Port(short=short, cells=tuple(cells), exits=exits)


def _simple(_):
    sun, planet, ring = (0, SUN), (0, PLANET), (0, RING)
    return 1, (
        _port("sun", [sun], (sun, LEFT), (sun, RIGHT), (sun, DOWN)),
        _port("ring", [ring], (ring, LEFT), (ring, RIGHT), (ring, UP)),
        _port("carrier", [planet], (planet, LEFT), (planet, RIGHT)),
    )


def _web(column):
    """The ways out of a carrier's web, which joins two pins at one side."""
    inner, outer = (column, INNER), (column, PLANET)
    return (inner, RIGHT), (inner, DOWN), (outer, RIGHT), (outer, UP)


def _meshed_planet(_):
    sun, inner, outer, ring = ((0, row) for row in range(4))
    return 2, (
        _port("sun", [sun], (sun, LEFT), (sun, RIGHT), (sun, DOWN)),
        _port("ring", [ring], (ring, LEFT), (ring, RIGHT), (ring, UP)),
        _port(
            "carrier",
            [inner, (1, INNER), (1, PLANET), outer],
            (inner, LEFT),
            (outer, LEFT),
            *_web(1),
        ),
    )


def _two_sun(_):
    large, small, ring = (0, SUN), (1, SUN), (0, RING)
    pins = [(0, PLANET), (1, PLANET), (2, PLANET)]
    return 3, (
        _port("small sun", [small], (small, RIGHT), (small, DOWN)),
        _port("large sun", [large], (large, LEFT), (large, DOWN)),
        _port("ring", [ring], (ring, LEFT), (ring, RIGHT), (ring, UP)),
        _port(
            "carrier", [*pins, (2, INNER), (1, INNER)], (pins[0], LEFT), *_web(2)
        ),
    )  # fmt: skip


def _stepped_planet(_):
    sun, ring = (0, SUN), (1, RING)
    left, right = (0, PLANET), (1, PLANET)
    return 2, (
        _port("sun", [sun], (sun, LEFT), (sun, RIGHT), (sun, DOWN)),
        _port("ring", [ring], (ring, LEFT), (ring, RIGHT), (ring, UP)),
        _port("carrier", [left, right], (left, LEFT), (right, RIGHT)),
    )


def _differential(_):
    left, right, pin, top = (0, SUN), (2, SUN), (1, PLANET), (1, RING)
    return 3, (
        _port("left", [left], (left, LEFT), (left, DOWN)),
        _port("right", [right], (right, RIGHT), (right, DOWN)),
        _port("carrier", [pin, top], (top, LEFT), (top, RIGHT), (top, UP)),
    )


def _box(shorts):
    """A box with a line through it for each member that something is joined to."""
    last, ports = len(shorts) - 1, []
    for column, short in enumerate(shorts):
        exits = [((column, SUN), DOWN), ((column, RING), UP)]
        exits += [((column, PLANET), LEFT)] * (column == 0)
        exits += [((column, PLANET), RIGHT)] * (column == last)
        ports.append(_port(short, [(column, row) for row in range(4)], *exits))
    return max(1, len(shorts)), tuple(ports)


_BLOCKS = {
    "simple": _simple,
    "meshed-planet": _meshed_planet,
    "two-sun": _two_sun,
    "stepped-planet": _stepped_planet,
    "differential": _differential,
}

# Cells of a block that no line may enter, beside those of its ports.
_SOLID = {
    "simple": ((0, INNER),),
    "two-sun": ((0, INNER),),
    "stepped-planet": ((0, INNER), (1, INNER)),
    "differential": (
        (0, INNER), (1, INNER), (2, INNER), (1, SUN), (0, PLANET), (2, PLANET),
    ),
}  # fmt: skip


def solid(kind, mirrored=False):
    """The cells of a kind that no line may enter, beside those of its ports."""
    width, _ = block(kind, (), mirrored)
    cells = _SOLID.get(kind, ())
    return tuple((width - 1 - x, y) if mirrored else (x, y) for x, y in cells)
