"""Routing on the grid of a stick diagram: every body a tree, every element between two.

Lines take the cheapest free way; crossing another line straight is dear but allowed.
Then bodies are taken out and laid again, those that cross first, while that helps.
"""

from heapq import heappop, heappush
from itertools import pairwise
from random import Random

from .board import FREE, MARK, Board
from .grid import RING

BEND, CROSS, LOST = 1.6, 60.0, 2000.0
_PATIENCE, _AFRESH = 80, 30  # tries without a better board
_WORSE = (0.0, 30.0, 65.0, 90.0)  # by how much a board may be worse, to get on
ASIDE = 45.0  # an element that is held to the case beside its body, not along the top


class Router(Board):
    """A board on which lines are laid and taken out."""

    # Searching -------------------------------------------------------------------

    def search(self, starts, goals, asides=()):
        """The cheapest way from one of `starts` to one of `goals`, or None.

        It may end at one of `asides` instead, which costs something.

        Returns (vertices, those crossed, cost without crossings).
        """
        net, own, near, price = self.net, self.own, self.near, self.price
        best, back, heap = {}, {}, []
        for v in starts:
            heap.append((0.0, 5 * v + 4))
            best[5 * v + 4] = 0.0
        while heap:
            cost, state = heappop(heap)
            if cost > best[state]:
                continue
            v, came = divmod(state, 5)
            if came == 4 and cost:
                return self._way(back[state], back)
            if v in goals and came != 4:
                return self._way(state, back)
            for d, w, e in near[v]:
                if own[e] != FREE:
                    continue
                total = cost + price[e]
                if d != came and came != 4:
                    total += BEND
                crossed = ()
                if net[w] != FREE and w not in goals:
                    w, crossed = self._beyond(w, d, goals)
                    if w is None:
                        continue
                    total += (CROSS + 1.0) * len(crossed)
                new = 5 * w + d
                if total < best.get(new, 1e9):
                    best[new] = total
                    back[new] = state, crossed
                    heappush(heap, (total, new))
                    if w in asides and total + ASIDE < best.get(5 * w + 4, 1e9):
                        best[5 * w + 4], back[5 * w + 4] = total + ASIDE, new
                        heappush(heap, (total + ASIDE, 5 * w + 4))
        return None

    def _beyond(self, w, d, goals):
        """Where a line comes out that goes straight over others from `w` on."""
        crossed, (one, two) = (), (2, 3) if d < 2 else (0, 1)
        while self.net[w] != FREE and w not in goals:
            m, around = self.net[w], self.edge[4 * w : 4 * w + 4]
            if (
                not 0 <= m < self.case
                or self.cross[w] != FREE
                or self.own[around[one]] != m
                or self.own[around[two]] != m
                or around[d] < 0
                or self.own[around[d]] != FREE
            ):
                return None, ()
            crossed += (w,)
            w += self.step[d]
        return w, crossed

    def _way(self, state, back):
        vertices, crossed, bends, last = [state // 5], [], 0, state % 5
        while state in back:
            state, over = back[state]
            crossed += over
            vertices += [*reversed(over), state // 5]
            if state % 5 not in (last, 4):
                bends += 1
            last = state % 5
        vertices.reverse()
        return vertices, frozenset(crossed), len(vertices) - 1 + BEND * bends

    # Laying and taking out -------------------------------------------------------

    def _lay(self, vertices, crossed, owner):
        """Own what lies between the first vertex and the last; return its branch."""
        edges = []
        for a, b in pairwise(vertices):
            e = self.edge[4 * a + self.step.index(b - a)]
            self.own[e] = owner
            edges.append(e)
        for v in vertices:
            if v in crossed:
                self.cross[v] = owner
            elif self.net[v] == FREE:
                self.net[v] = owner
        return tuple(vertices), tuple(edges)

    def _lift(self, branch, owner, kept):
        """Free a branch; `kept` are vertices that are not its own."""
        vertices, edges = branch
        for e in edges:
            self.own[e] = FREE
        for v in vertices:
            if v in kept:
                continue
            if self.net[v] == owner:
                self.net[v], self.cross[v] = self.cross[v], FREE
            elif self.cross[v] == owner:
                self.cross[v] = FREE

    def lay_core(self, body):
        """Join the members of a body."""
        groups = list(self.terminals[body])
        if not groups:
            self._seed(body)
            return
        tree, branches, cost = set(groups.pop(0)), [], 0.0
        while groups:
            goals = {v for group in groups for v in group}
            found = self.search(sorted(tree), goals)
            if found is None:
                self.lost.add(body)
                break
            vertices, crossed, price = found
            cost += price
            branches.append(self._lay(vertices, crossed, body))
            tree |= set(vertices) - crossed
            joined = next(group for group in groups if vertices[-1] in group)
            tree |= set(joined)
            groups.remove(joined)
        self.cores[body] = tuple(branches), cost

    def _seed(self, body):
        """A body without members begins at a free place near the middle."""
        middle, high = self.width // 2, self.base + RING + 2

        def far(v):
            column, row = self.place_of(v)
            return abs(column - middle) + abs(row - high), v

        near = min((v for v, n in enumerate(self.net) if n == FREE), key=far)
        self.net[near] = body
        self.cores[body] = (((near,), ()),), 0.0

    def lay_element(self, i):
        """Join the two sides of an element, its symbol on one edge of the way."""
        first, second = self.sides[i]
        asides = self.open_places() if second == self.case else ()
        found = self.search(sorted(self.tree(first)), self.tree(second), asides)
        if found is None:
            self.lost.add(MARK + i)
            return
        vertices, crossed, cost = found
        if second == self.case and not self.on_top(vertices[-1]):
            cost += ASIDE
        k = self._symbol(vertices, crossed, second == self.case)
        mine = self._lay(vertices[: k + 1], crossed, first)
        edge = self._lay(vertices[k : k + 2], (), MARK + i)[1][0]
        other = self._lay(vertices[k + 1 :], crossed, second)
        if self.net[vertices[k + 1]] == MARK + i:
            self.net[vertices[k + 1]] = second
        self.stubs[i] = mine, edge, other, cost

    def _symbol(self, vertices, crossed, to_case):
        """On which edge of a way the symbol stands: straight, and near its middle."""
        last = len(vertices) - 2
        if to_case:
            return last
        ways = [b - a for a, b in pairwise(vertices)]

        def price(k):
            corners = (k > 0 and ways[k - 1] != ways[k]) + (
                k < last and ways[k + 1] != ways[k]
            )
            over = (vertices[k] in crossed) + (vertices[k + 1] in crossed)
            return 40 * over + 3 * corners + abs(2 * k - last), k

        return min(range(last + 1), key=price)

    def lift_element(self, i):
        """Take an element out, with those that hang on its line."""
        if self.stubs[i] is None:
            self.lost.discard(MARK + i)
            return {i}
        mine, edge, other, _ = self.stubs[i]
        self.stubs[i] = None
        taken = {i}
        first, second = self.sides[i]
        # A way's first and last vertex belong to what it joins.
        gone = set(mine[0][1:]) | set(other[0][:-1])
        self.own[edge] = FREE
        self._lift(mine, first, mine[0][:1])
        aside = second == self.case and not self.on_top(other[0][-1])
        self._lift(other, second, () if aside else other[0][-1:])
        for j, stub in enumerate(self.stubs):
            if stub and (stub[0][0][0] in gone or stub[2][0][-1] in gone):
                taken |= self.lift_element(j)
        return taken

    def lift(self, bodies):
        """Take bodies out, with their elements; return the elements."""
        taken = set()
        for i, (first, second) in enumerate(self.sides):
            if i not in taken and (first in bodies or second in bodies):
                taken |= self.lift_element(i)
        for body in bodies:
            if self.cores[body]:
                kept = {v for group in self.terminals[body] for v in group}
                for branch in self.cores[body][0]:
                    self._lift(branch, body, kept)
                self.cores[body] = ()
            self.lost.discard(body)
        return taken

    # The whole -------------------------------------------------------------------

    def score(self):
        """What all lines cost."""
        price = sum(core[1] for core in self.cores if core)
        price += sum(stub[3] for stub in self.stubs if stub)
        return price + CROSS * self.crossings() + LOST * len(self.lost)

    def snapshot(self):
        """All that laying changes."""
        return (
            self.net[:], self.cross[:], self.own[:], self.cores[:], self.stubs[:],
            set(self.lost),
        )  # fmt: skip

    def restore(self, state):
        """Back to a snapshot."""
        net, cross, own, cores, stubs, lost = state
        self.net, self.cross, self.own = net[:], cross[:], own[:]
        self.cores, self.stubs, self.lost = cores[:], stubs[:], set(lost)

    def relay(self, bodies, rng, unlike=False):
        """Take bodies and elements out and lay them again in another order."""
        elements = self.lift(bodies)
        self.price = [1.0] * len(self.own)
        if unlike:
            for e in self.exits:
                if rng.random() < 0.35:
                    self.price[e] += 25.0
        order = list(bodies)
        rng.shuffle(order)
        for body in order:
            self.lay_core(body)
        order = sorted(elements)
        rng.shuffle(order)
        for i in order:
            self.lay_element(i)


def route(board, seed, tries):
    """Lay everything, then lay parts again while that helps, at most `tries` times.

    What crosses, or hangs from the case apart, is laid again with other ways out made
    dear, and a little worse is kept at times; when nothing does, lines are shortened.
    """
    rng = Random(seed)
    board.relay(range(len(board.names)), rng)
    best, kept, quiet = board.score(), board.snapshot(), 0
    now, here = best, kept
    for _ in range(tries):
        trouble = board.trouble()
        if not trouble or quiet > _PATIENCE:
            break
        if quiet % _AFRESH == _AFRESH - 1:
            some = set(range(len(board.names)))
        else:
            some = set(rng.sample(trouble, min(len(trouble), rng.choice((1, 2, 2, 3)))))
            some |= {body for body in range(len(board.names)) if rng.random() < 0.12}
        board.relay(sorted(some), rng, unlike=True)
        score = board.score()
        if score <= now + rng.choice(_WORSE) or len(some) == len(board.names):
            now, here = score, board.snapshot()
        else:
            board.restore(here)
        quiet += 1
        if now < best:
            best, kept, quiet = now, here, 0
    board.restore(kept)
    for body in [*range(len(board.names))] * 2:
        board.relay([body], rng)
        if board.score() < best:
            best, kept = board.score(), board.snapshot()
        else:
            board.restore(kept)
