"""The record of a kind of gear set: all that the house knows of it, as plain data.

Whoever adds a kind writes one record. What it leaves out has an honest fallback: a set
without a :class:`Face` is shown as a list of speeds, one without a half section as a
box with named ports, and one without free teeth is taken by a search as it is.
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from math import cos, pi, sin

# Rows of a half section, from the axis outward.
SUN, INNER, PLANET, RING = range(4)
LEFT, RIGHT, UP, DOWN = (-1, 0), (1, 0), (0, 1), (0, -1)
# Half the height of a planet in a half section [units of its context].
LARGE, SMALL, STEP = 14.0, 10.0, 8.0


@dataclass(frozen=True, kw_only=True)
class Wheel:
    """A gear that is to be given teeth; `inward` is a ring's."""

    teeth: int
    pitch: float  # radius [modules]
    inward: bool = False


@dataclass(frozen=True, kw_only=True)
class Face:
    """Where the gears of a set stand, seen face on, and in which planes.

    Lengths are in modules. Every kind with planets comes down to gears on the middle
    axis and planets in bunches: what one carrier arm carries.
    """

    wheels: dict  # {gear: Wheel}
    axes: dict  # {planet: (distance from the middle, place beside its bunch's [turns])}
    together: tuple  # (module, the gears that have it), ...
    behind: frozenset = frozenset()  # gears in the plane behind
    long: frozenset = frozenset()  # gears in both planes

    def share(self, a, b):
        """Whether two gears have a plane in common."""
        return bool(self.long & {a, b}) or (a in self.behind) == (b in self.behind)

    def axis(self, name, at=0.0, hand=1):
        """Where a gear's axis is, its bunch being at a place [turns]."""
        far, beside = self.axes.get(name, (0.0, 0.0))
        turn = 2 * pi * (at + hand * beside)
        return far * sin(turn), -far * cos(turn)


@dataclass(frozen=True, kw_only=True)
class Port:
    """Where a member leaves its set in a half section.

    `cells` are (column, row) within the set, joined in a row as they are written;
    `exits` are (cell, direction) by which its line may leave.
    """

    short: str
    cells: tuple
    exits: tuple


def port(short, cell, *ways):
    """The port of a member that takes one cell, with the ways out of it."""
    return Port(short=short, cells=(cell,), exits=tuple((cell, way) for way in ways))


def sun_port(short="sun", column=0):
    """The port of a sun that stands alone in its column."""
    return port(short, (column, SUN), LEFT, RIGHT, DOWN)


def ring_port(short="ring", column=0):
    """The port of a ring."""
    return port(short, (column, RING), LEFT, RIGHT, UP)


def web_exits(column):
    """The ways out of a carrier's web, which joins two pins at one side."""
    inner, outer = (column, INNER), (column, PLANET)
    return (inner, RIGHT), (inner, DOWN), (outer, RIGHT), (outer, UP)


@dataclass(frozen=True, kw_only=True)
class Planet:
    """A planet block between two columns, with its tooth bars at `half` its height."""

    columns: tuple[int, int]
    row: int = PLANET
    half: float = LARGE


@dataclass(frozen=True, kw_only=True)
class Hub:
    """What makes the planets of two columns one piece."""

    columns: tuple[int, int]
    row: int = PLANET


@dataclass(frozen=True, kw_only=True)
class Pin:
    """A planet's pin, a line of the carrier through it."""

    columns: tuple[int, int]
    row: int = PLANET


@dataclass(frozen=True, kw_only=True)
class Arm:
    """A line of the carrier from one cell to another."""

    start: tuple[int, int]
    end: tuple[int, int]


@dataclass(frozen=True, kw_only=True)
class Gear:
    """A tooth bar beside a planet, and the web that carries it to a row.

    The bar lies `outside` the planet (a ring) or inside it (a sun), over `columns`; the
    web stands in the first of them.
    """

    short: str
    columns: tuple[int, ...]
    row: int = PLANET  # of the planet
    half: float = LARGE  # of the planet
    outside: bool = False

    @property
    def web_row(self):
        """The row that the web ends in."""
        return RING if self.outside else SUN


@dataclass(frozen=True, kw_only=True)
class Bevels:
    """Two side gears, and a bevel planet between them on a pin across the axis."""

    left: str
    right: str


@dataclass(frozen=True, kw_only=True)
class HalfSection:
    """How a kind of set lies on the grid of a stick diagram."""

    ports: tuple[Port, ...]
    pieces: tuple  # Planet, Hub, Pin, Arm, Gear or Bevels, those behind first
    width: int = 1  # columns
    solid: tuple = ()  # cells that no line may enter, beside those of the ports
    narrow_end: bool = False  # the last column holds a web alone
    mirrors: bool = True  # whether it looks otherwise when it is mirrored

    @property
    def uses_inner(self):
        """Whether a piece stands in the row of the inner planets."""
        rows = [getattr(piece, "row", PLANET) for piece in self.pieces]
        rows += [cell[1] for port in self.ports for cell in port.cells]
        return INNER in rows


@dataclass(frozen=True, kw_only=True)
class FreeTeeth:
    """What a search for tooth counts may vary in a set.

    The ratio hangs on ring teeth per tooth of each of `suns`. `others(np, low, counts)`
    takes the fewest teeth and ``{gear: array}`` of suns and ring; it returns the gears
    that follow and which rows can be put together. `np` is numpy, or has its `maximum`
    and `minimum` alone, and the gears are then plain numbers.
    """

    suns: tuple[str, ...]
    others: Callable
    even: bool = False  # whether ring − (last) sun must be even
    as_filed: tuple[str, ...] = ()  # gears that are taken as the file has them


@dataclass(frozen=True, kw_only=True)
class Kind:
    """What a kind of gear set is made of; keys are those of the train file."""

    teeth: tuple[str, ...]  # keys of tooth counts that must be given
    members: tuple[str, ...]
    optional: tuple[str, ...] = ()  # keys of tooth counts that may follow
    one_piece: tuple[tuple[str, str], ...] = ()  # members that are one piece
    meshes: tuple = ()  # (kind of mesh, member, member) of each mesh
    written_out: bool = False  # the file writes its meshes and members out
    counted_as: dict = field(default_factory=dict)  # {member: key}, if another
    # (name, teeth) → teeth that follow; ValueError for teeth that no set can have.
    rules: Callable = lambda name, teeth: {}
    # teeth → places where a planet fits round the carrier; None: no planets to space.
    spacing: Callable | None = None
    neighbours: tuple = ()  # (sun, planet) pairs that say whether planets touch
    between: tuple = ()  # (sun, ring, planet) whose planet follows from the two
    free_teeth: FreeTeeth | None = None
    face: Callable | None = None  # teeth → Face
    bevels: bool = False  # seen face on it is two side gears and what is between
    section: HalfSection | None = None

    def key(self, member):
        """The key of a member's tooth count."""
        return self.counted_as.get(member, member.replace(" ", "-"))
