"""The layout of a stick diagram: where on its grid every line and symbol runs.

A layout depends on how a train is joined and not on its teeth, and it is kept.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from ...train.kinds import KINDS
from ...train.kinds.kind import INNER, PLANET, RING, SUN
from ...train.train import CASE
from .board import FREE, MARK
from .grid import block, has_sides, topology
from .route import Router, route

_SEED, _TRIES = 6, 240
_MOST_FLIPS, _ENOUGH = 2, 2  # more crossings are worth a second look
_ROOMS = 3, 4  # free columns between sets, and rows inside and outside of them


@dataclass(frozen=True, kw_only=True)
class Block:
    """Where a set stands: its columns, and its rows by what is in them."""

    name: str
    kind: str
    mirrored: bool
    shorts: tuple
    columns: tuple
    rows: tuple


# A layout is kept, so that it is told by being the same one, also in a cache.
@dataclass(frozen=True, kw_only=True, eq=False)
class StickLayout:
    """Lines and symbols on a grid; a place is (column, row), rows from the axis out."""

    blocks: tuple
    columns: int
    rows: int
    lines: dict  # body: tuple of edges, each (place, place)
    ports: dict  # member: the place where its power leaves the set
    marks: dict  # element: (place on its first side, place on its second)
    held: frozenset  # elements whose second side is the case
    ends: dict  # "input", "output": place
    grounds: dict  # member fixed for good: place
    bridges: tuple  # (place, body that runs along, body that runs across)

    @property
    def crossings(self):
        """How many times two lines cross."""
        return len(self.bridges)

    def on_case(self, name):
        """Whether an element hangs from the case along the top."""
        return self.marks[name][1][1] == self.rows - 1

    def aside(self, name):
        """Whether an element is held to the case apart from the case along the top."""
        return name in self.held and not self.on_case(name)

    def edges_at(self, body):
        """{place: its neighbours along the lines of a body}."""
        near = {}
        for a, b in self.lines[body]:
            near.setdefault(a, []).append(b)
            near.setdefault(b, []).append(a)
        return near


def stick_layout(train):
    """The :class:`StickLayout` of a train; ValueError for one that is too large.

    >>> import gearlab
    >>> stick_layout(gearlab.load_train("six-range")).crossings
    0
    """
    return _layout(topology(train))


@lru_cache(maxsize=128)
def _layout(topo):
    return _compacted(_best_board(topo))


def _best_board(topo):
    """The best board found; the last set with two sides is tried both ways round."""
    sides = [(False, True) if has_sides(kind) else (False,) for _, kind, _ in topo.sets]
    flips = list(product(*sides))[:_MOST_FLIPS]
    best = None
    for room in _ROOMS:
        for mirrored in flips:
            board = Router(topo, mirrored, room)
            route(board, _SEED, _TRIES // len(flips))
            if best is None or board.score() < best.score():
                best = board
            if not board.trouble():
                return best
        if not best.lost and best.crossings() <= _ENOUGH:
            break
    return best


def _compacted(board):
    grid = _Grid(board)
    grid.squeeze(columns=True)
    grid.squeeze(columns=False)
    return grid.layout()


class _Grid:
    """What a board holds, with columns and rows that can be drawn together."""

    def __init__(self, board):
        self.board, width = board, board.width
        place = board.place_of
        self.nets = {}
        for v, n in enumerate(board.net):
            if 0 <= n < board.case:
                self.nets[place(v)] = {n}
                if board.cross[v] != FREE:
                    self.nets[place(v)].add(board.cross[v])
        self.edges = {}  # (place, place): owner
        for v in range(len(board.net)):
            for d, step in ((1, 1), (2, width)):
                e = board.edge[4 * v + d]
                if e >= 0 and board.own[e] >= 0:
                    self.edges[place(v), place(v + step)] = board.own[e]
                    if board.own[e] >= MARK:
                        for end in (v, v + step):
                            self.nets.setdefault(place(end), {board.net[end]})
        for _, v in board.grounds:
            self.nets[place(v)] = {board.case}
        self.bridges = {
            place(v): (board.net[v], n) for v, n in enumerate(board.cross) if n != FREE
        }
        self.column_of = list(range(width))
        self.row_of = list(range(board.height))
        self._kept()

    def _kept(self):
        """Columns and rows that stay apart from their neighbours."""
        board = self.board
        columns = {0, board.width - 1}
        for start, flip, (_, kind, shorts) in zip(
            board.first, board.mirrored, board.topo.sets, strict=True
        ):
            columns |= set(range(start, start + block(kind, shorts, flip)[0]))
        kinds = {kind for _, kind, _ in board.topo.sets}
        rows = {board.base + PLANET, board.top, 0}
        sections = [KINDS[kind].section for kind in kinds]
        if any(section and section.uses_inner for section in sections):
            rows.add(board.base + INNER)
        self.kept = columns, rows

    def squeeze(self, columns):
        """Draw neighbouring columns (or rows) together where nothing then touches."""
        axis = 0 if columns else 1
        kept = set(self.kept[axis])
        i, count = 0, self.board.width if columns else self.board.height
        while i + 1 < count:
            if i in kept or i + 1 in kept or not self._free(axis, i):
                i += 1
                continue
            self._merge(axis, i)
            kept = {k - 1 if k > i else k for k in kept}
            count -= 1

    def _free(self, axis, i):
        """Whether line i and the next one can become one."""
        for place in [p for p in self.nets if p[axis] == i]:
            beside = _moved(place, axis)
            if beside not in self.nets:
                continue
            if place in self.bridges or beside in self.bridges:
                return False
            if self.edges.get((place, beside), MARK) >= MARK:
                return False
        for a, b in self.edges:
            if a[axis] == b[axis] == i and (
                (_moved(a, axis), _moved(b, axis)) in self.edges
            ):
                return False
        return True

    def _merge(self, axis, i):
        def new(place):
            if place[axis] <= i:
                return place
            return _moved(place, axis, -1)

        nets = {}
        for place, net in self.nets.items():
            nets.setdefault(new(place), set()).update(net)
        self.nets = nets
        self.edges = {
            (new(a), new(b)): owner
            for (a, b), owner in self.edges.items()
            if new(a) != new(b)
        }
        self.bridges = {new(place): two for place, two in self.bridges.items()}
        index = self.column_of if axis == 0 else self.row_of
        index[:] = [k - 1 if k > i else k for k in index]

    def layout(self):
        """The finished layout."""
        board, topo = self.board, self.board.topo

        def place(v):
            column, row = board.place_of(v)
            return self.column_of[column], self.row_of[row]

        lines = {name: [] for name in board.names}
        marks = {}
        for (a, b), owner in sorted(self.edges.items()):
            if owner < MARK:
                lines[board.names[owner]].append((a, b))
                continue
            name, first, _ = topo.elements[owner - MARK]
            on_first = board.index[first] in self.nets[a]
            marks[name] = (a, b) if on_first else (b, a)
        blocks, ports, grounds = [], {}, {}
        bodies = iter(topo.bodies)
        for start, flip, (name, kind, shorts) in zip(
            board.first, board.mirrored, topo.sets, strict=True
        ):
            width, found = block(kind, shorts, flip)
            by_short = {port.short: port for port in found}
            blocks.append(
                Block(
                    name=name,
                    kind=kind,
                    mirrored=flip,
                    shorts=shorts,
                    columns=tuple(
                        self.column_of[c] for c in range(start, start + width)
                    ),
                    rows=tuple(
                        self.row_of[board.base + row]
                        for row in (SUN, INNER, PLANET, RING)
                    ),
                )
            )
            for short in shorts:
                member, body = next(bodies)
                x, y = by_short[short].cells[0]
                here = place(board.at(start + x, board.base + y))
                ports[member] = here
                if body == CASE:
                    grounds[member] = here
        ends = {
            "input": (0, self.row_of[0]),
            "output": (self.column_of[-1], self.row_of[0]),
        }
        bridges = []
        for spot, two in sorted(self.bridges.items()):
            beside = self.edges[spot, _moved(spot, 0)]
            along, across = two if two[0] == beside else two[::-1]
            bridges.append((spot, board.names[along], board.names[across]))
        return StickLayout(
            blocks=tuple(blocks),
            columns=self.column_of[-1] + 1,
            rows=self.row_of[-1] + 1,
            lines={name: tuple(edges) for name, edges in lines.items()},
            ports=ports,
            marks=marks,
            held=frozenset(n for n, _, second in topo.elements if second == CASE),
            ends=ends,
            grounds=grounds,
            bridges=tuple(bridges),
        )


def _moved(place, axis, by=1):
    column, row = place
    return (column + by, row) if axis == 0 else (column, row + by)
