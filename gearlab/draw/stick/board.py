"""The board that a stick diagram is routed on: who owns its vertices and edges."""

from itertools import pairwise

from ...train.kinds.kind import DOWN, LEFT, RIGHT, UP
from ...train.train import CASE
from .grid import block, solid

FREE, SOLID = -1, -2
MARK = 1000  # the owner of an element's edge is this plus its index
_STEPS = (LEFT, RIGHT, UP, DOWN)


class Board:
    """The grid with everything on it; vertices are numbered row by row."""

    def __init__(self, topo, mirrored, room):
        self.topo, self.mirrored = topo, mirrored
        names = dict.fromkeys(
            [body for _, body in topo.bodies]
            + list(topo.ends)
            + [body for _, *two in topo.elements for body in two]
        )
        names.pop(CASE, None)
        self.names = tuple(names)
        self.index = {name: i for i, name in enumerate(self.names)}
        self.case = self.index[CASE] = len(self.names)
        self.sides = [
            (self.index[first], self.index[second])
            for _, first, second in topo.elements
        ]
        self.base, self.top = room, room + 4 + room
        self.first = self._columns(room)
        self.height = self.top + 1
        self._edges()
        count = self.width * self.height
        self.net, self.cross = [FREE] * count, [FREE] * count
        self.terminals = [[] for _ in self.names]
        self.grounds = []
        self._place()
        self.cores = [()] * len(self.names)  # branches of each body
        self.stubs = [None] * len(topo.elements)  # (on first, edge, on second, cost)
        self.lost = set()

    def _columns(self, room):
        first, column = [], room + 1
        for (_, kind, shorts), flip in zip(self.topo.sets, self.mirrored, strict=True):
            first.append(column)
            column += block(kind, shorts, flip)[0] + room
        self.width = column + 1
        return first

    def _edges(self):
        """Neighbours of every vertex with the edge between; edges as they are owned."""
        width, height = self.width, self.height
        across = (width - 1) * height
        self.edge = [-1] * (4 * width * height)
        for row in range(height):
            for column in range(width):
                v = row * width + column
                if column + 1 < width:
                    e = row * (width - 1) + column
                    self.edge[4 * v + 1] = self.edge[4 * (v + 1)] = e
                if row + 1 < height:
                    e = across + v
                    self.edge[4 * v + 2] = self.edge[4 * (v + width) + 3] = e
        self.own = [FREE] * (across + width * (height - 1))
        self.step = (-1, 1, width, -width)
        self.price = [1.0] * len(self.own)
        self.near = [
            tuple(
                (d, v + self.step[d], e)
                for d, e in enumerate(self.edge[4 * v : 4 * v + 4])
                if e >= 0
            )
            for v in range(width * height)
        ]
        self.exits = []
        self.inside = [
            row * width + column
            for row in range(1, self.top - 1)
            for column in range(1, width - 1)
        ]
        for column in range(width):
            v = self.top * width + column
            for d in (0, 1):
                if self.edge[4 * v + d] >= 0:
                    self.own[self.edge[4 * v + d]] = SOLID
            if column in (0, width - 1):
                self.own[self.edge[4 * v + 3]] = SOLID

    def at(self, column, row):
        """The vertex of a column and a row."""
        return row * self.width + column

    def place_of(self, v):
        """(column, row) of a vertex."""
        return v % self.width, v // self.width

    def _place(self):
        """Put the sets, the case and both ends on the board."""
        ports = iter(self.topo.bodies)
        for start, flip, (_, kind, shorts) in zip(
            self.first, self.mirrored, self.topo.sets, strict=True
        ):
            _, found = block(kind, shorts, flip)
            by_short = {port.short: port for port in found}
            for cell in solid(kind, flip):
                self._close(start + cell[0], self.base + cell[1])
            for port in found:
                for x, y in port.cells:
                    self._close(start + x, self.base + y)
            for short in shorts:
                member, body = next(ports)
                self._port(start, by_short[short], self.index[body], member)
        for column in range(1, self.width - 1):
            self.net[self.at(column, self.top)] = self.case
        for end, column in zip(self.topo.ends, (0, self.width - 1), strict=True):
            for row in range(1, self.height):
                self._close(column, row)
            v, body = self.at(column, 0), self.index[end]
            self.net[v] = body
            self.terminals[body].append((v,))

    def _close(self, column, row):
        v = self.at(column, row)
        self.net[v] = SOLID
        for e in self.edge[4 * v : 4 * v + 4]:
            if e >= 0:
                self.own[e] = SOLID

    def _port(self, start, port, body, member):
        cells = [self.at(start + x, self.base + y) for x, y in port.cells]
        if body == self.case:
            self.grounds.append((member, cells[0]))
            return
        for v in cells:
            self.net[v] = body
        for a, b in pairwise(cells):
            self.own[self.edge[4 * a + self.step.index(b - a)]] = body
        for cell, way in port.exits:
            v = self.at(start + cell[0], self.base + cell[1])
            e = self.edge[4 * v + _STEPS.index(way)]
            if self.own[e] == SOLID:
                self.own[e] = FREE
            self.exits.append(e)
        self.terminals[body].append(tuple(cells))

    # What is on it ---------------------------------------------------------------

    def tree(self, body):
        """The vertices where a line may join a body."""
        if body == self.case:
            below = self.edge
            return {
                v
                for v in range(self.top * self.width, self.width * self.height)
                if self.net[v] == body and self.own[below[4 * v + 3]] == FREE
            }
        return {
            v
            for v, n in enumerate(self.net)
            if n == body and self.cross[v] == FREE
        }  # fmt: skip

    def on_top(self, v):
        """Whether a vertex is in the case's row."""
        return v >= self.top * self.width

    def open_places(self):
        """Free vertices with free ones round them, where a ground sign has room."""
        net, found = self.net, set()
        for v in self.inside:
            if net[v] == FREE:
                around = [net[v + step] for step in self.step]
                if around.count(FREE) > 2:
                    found.add(v)
        return found

    def crossings(self):
        """How many times two lines cross."""
        return sum(n != FREE for n in self.cross)

    def trouble(self):
        """The bodies that cross or are not joined."""
        found = set()
        for v, other in enumerate(self.cross):
            if other != FREE:
                found |= {self.net[v], other}
        for lost in self.lost:
            if lost < MARK:
                found.add(lost)
            else:
                found |= set(self.sides[lost - MARK])
        for i, stub in enumerate(self.stubs):
            held = self.sides[i][1] == self.case
            if stub and held and not self.on_top(stub[2][0][-1]):
                found |= set(self.sides[i])
        found.discard(self.case)
        return sorted(found)
