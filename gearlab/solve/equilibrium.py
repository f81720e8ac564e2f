"""Which one-way clutches carry, and in which state a train is.

The motions that meshes, applied elements and one-way clutches allow together form a
cone (:mod:`gearlab.base.cone`). Its shadow on the plane of input and output speed is a
wedge: under drive a train runs along the edge with the most input for the output,
coasting along the other edge on the same side of the output.
"""

from copy import copy
from fractions import Fraction
from functools import cached_property, reduce

from ..base.cone import Cone, dot, half_cone, narrowed, null_cone, null_lines
from ..base.smallest import moves, smallest_sets
from ..train.motion import free_motions
from .speeds import idle_motions, speeds_along

DRIVES, NEUTRAL, TIED_UP = "drives", "neutral", "tied up"
OUTPUT_LOCKED, FREEWHEELS = "output locked", "freewheels"


class Situation:
    """A train with some elements applied; its answers under both loads."""

    def __init__(self, train, applied):
        free = free_motions(train)
        rows = free.row_of_part
        self.train, self.free = train, free
        self.held = {name: rows[name] for name in train.in_order(applied)}
        self.one_way = {part.name: rows[part.name] for part in train.one_way_clutches}
        self.input, self.output = free.row_of[train.input], free.row_of[train.output]
        self.lines = reduce(null_lines, self.held.values(), free.lines)

    @cached_property
    def releases(self):
        """For each applied element the motion that letting go of it alone would add."""
        _, releases = narrowed(self.free.lines, self.held.values())
        return dict(zip(self.held, releases, strict=True))

    @cached_property
    def cone(self):
        """The :class:`Cone` of the motions that one-way clutches allow too."""
        return reduce(half_cone, self.one_way.values(), Cone(self.lines))

    def without(self, name):
        """The situation with one of the applied elements let go."""
        other = copy(self)
        for settled in ("cone", "releases"):
            other.__dict__.pop(settled, None)
        other.held = {key: row for key, row in self.held.items() if key != name}
        if self.releases[name]:
            other.lines = (*self.lines, self.releases[name])
        return other

    def ratio(self):
        """Input turns per output turn under drive, or None; the rest is not asked."""
        return self._edge(1, 0)

    def drive(self):
        """``(state, sets of one-way clutches that carry, ratio)`` under drive."""
        if found := self._carrying(1, 0):
            return DRIVES, *found
        if not self._forward(self.cone.lines, self.cone.rays):
            return TIED_UP, (), None
        lines, rays, _ = self.cone
        if not any(dot(self.output, way) for way in (*lines, *rays)):
            return OUTPUT_LOCKED, (), None
        return NEUTRAL, (), None

    def coast(self, driving):
        """The same on coast, where the output turns the way it does under `driving`.

        A train that is neutral under drive may still be braked on coast.
        """
        state, _, ratio = driving
        if state == DRIVES:
            found = self._carrying(-1, ratio)
            return (DRIVES, *found) if found else (FREEWHEELS, (), None)
        if state == NEUTRAL:
            found = self._carrying(-1, 1) or self._carrying(-1, -1)
            return (DRIVES, *found) if found else driving
        return driving

    def _carrying(self, torque_in, way):
        """The smallest sets of one-way clutches that carry, and the ratio, or None.

        The load presses the train on an edge of the wedge. A set carries if it
        alone keeps the train from going past that edge: each pushes, and none can be
        left out. The output turns in the direction of `way` (0: any).
        """
        ratio = self._edge(torque_in, way)
        if ratio is None:
            return None
        past = self._past(torque_in, ratio)
        parts = [(name, row, half_cone) for name, row in self.one_way.items()]
        return smallest_sets(Cone(self.lines), parts, moves(past)), ratio

    def _edge(self, torque_in, way):
        """Input turns per output turn where the load presses the train, or None.

        No allowed motion has more work of the input for that of the output.
        """
        lines, rays, _ = self.cone
        ways = [(dot(self.input, v), dot(self.output, v)) for v in (*lines, *rays)]
        ways += [(-turned, -out) for turned, out in ways[: len(lines)]]
        for turned, out in ways:
            if turned > 0 and out and way * out >= 0:
                sign = torque_in if out > 0 else -torque_in
                if all(sign * (a * out - turned * b) <= 0 for a, b in ways):
                    return Fraction(turned, out)
        return None

    def _past(self, torque_in, ratio):
        """The row that is above 0 in a motion past the edge with this ratio."""
        up, down = torque_in * ratio.numerator, torque_in * ratio.denominator
        ends = zip(self.input, self.output, strict=True)
        return tuple([down * u - up * v for u, v in ends])

    def carrying_with(self, pushes, load, ratio):
        """As :meth:`drive`, of the sets that push as `pushes` says; None if none does.

        `pushes` gives the torques of a set at a ratio; they must all be above 0. None
        of a set is redundant, the output is determined with it locked, and one motion
        exists in which all others turn free or not at all.
        """
        way = 0 if load == "drive" else ratio
        level = {(): self.lines}
        while level:
            found = {}
            for names, lines in level.items():
                locked = self._locked_ratio(lines)
                fits = locked is not None and way * locked >= 0
                if fits and all(push > 0 for push in pushes(names, locked)):
                    found[names] = locked
            if found:
                return DRIVES, tuple(found), next(iter(found.values()))
            level = dict(self._with_one_more(level))
        return None

    def _with_one_more(self, level):
        """Sets of one-way clutches that may rest together, each with one more."""
        order = list(self.one_way)
        for names, lines in level.items():
            for name in order[order.index(names[-1]) + 1 if names else 0 :]:
                narrowed = null_lines(lines, self.one_way[name])
                if narrowed is not lines and self._can_turn((*names, name)):
                    yield (*names, name), narrowed

    def _locked_ratio(self, lines):
        """Input turns per output turn along some lines, or None."""
        ends = [(dot(self.input, line), dot(self.output, line)) for line in lines]
        turning = next(((u, v) for u, v in ends if u and v), None)
        if turning is None or any(u * turning[1] != v * turning[0] for u, v in ends):
            return None
        return Fraction(*turning)

    def _can_turn(self, names):
        """Whether the input can turn forward with these one-way clutches at rest."""
        lines, rays, _ = self.cone
        rows = [self.one_way[name] for name in names]
        level = [ray for ray in rays if not any(dot(row, ray) for row in rows)]
        return bool(self._forward(lines, level))

    def _forward(self, lines, rays):
        """A motion with its input speed, above 0, or None."""
        for way in (*lines, *rays):
            speed = dot(self.input, way)
            if speed > 0:
                return way, speed
            if speed and way in lines:
                return tuple([-entry for entry in way]), -speed
        return None

    def motions(self, state, ratio):
        """The motions of a state that span all others, with their input speeds."""
        lines, rays, _ = self.cone
        ways = [(way, dot(self.input, way)) for way in (*lines, *rays)]
        if state == TIED_UP:
            return [(way, 0) for way, speed in ways if not speed]
        if state == DRIVES:
            ways = [
                (way, speed)
                for way, speed in ways
                if speed * ratio.denominator == dot(self.output, way) * ratio.numerator
            ]
        # Speeds are read along the first, so the input turns forward in it; of a
        # line both ways are allowed, so its sign does not matter.
        return sorted(
            ways, key=lambda way: not way[1] or (way[1] < 0 and way[0] not in lines)
        )

    def one_motion(self, state, ratio, motions):
        """One motion for drawings, in which every speed is determined.

        The output is at rest if it can be, and turns a third faster than it is driven
        where the train freewheels.
        """
        if state == TIED_UP:
            return speeds_along(self.free, [])
        way = motions[0]
        if state in (NEUTRAL, FREEWHEELS):
            row = self.output
            if state == FREEWHEELS:
                up, down = 3 * ratio.numerator, 4 * ratio.denominator
                row = [down * u - up * v for u, v in zip(self.input, row, strict=True)]
            lines, rays, _ = null_cone(self.cone, row)
            way = self._forward(lines, rays) or way
        return speeds_along(self.free, [way])

    def one_way_states(self, carrying, state, motions):
        """``(holding, overrunning, still)``, each a set of names.

        Where a train freewheels, those overrun that are not at rest in all motions.
        Still are those that no motion turns and that do not hold; it is not told where
        a train is tied up, since they may fight.
        """
        holding = frozenset().union(*carrying)
        idle = idle_motions(motions)
        overrunning, still = set(), set()
        for name, row in self.one_way.items():
            if not any(dot(row, vector) for vector, _ in motions):
                still.add(name)
            elif state == FREEWHEELS or not any(dot(row, way) for way in idle):
                overrunning.add(name)
        still = still - holding if state != TIED_UP else ()
        return holding, frozenset(overrunning), frozenset(still)

    def backing_up(self, still, load, ratio):
        """``{one-way clutch: applied elements that it backs up}``, of those that rest.

        It backs up an element if it holds once that is let go, and the ratio stays.
        """
        rows = {name: row for name, row in self.one_way.items() if name in still}
        # Applied elements alone keep these still: only letting go of one that turns
        # them is worth the question.
        kept = {
            n for n, row in rows.items() if not any(dot(row, w) for w in self.lines)
        }
        found = dict.fromkeys(rows, ())
        for name, release in self.releases.items():
            if release and any(
                one not in kept or dot(row, release) for one, row in rows.items()
            ):
                for one in self.without(name)._holding(load, ratio) & rows.keys():
                    found[one] += (name,)
        return {one: names for one, names in found.items() if names}

    def _holding(self, load, ratio):
        """The one-way clutches that hold under a load, if that gives this ratio."""
        settled = self.drive()
        if load == "coast":
            settled = self.coast(settled)
        return frozenset().union(*settled[1]) if settled[2] == ratio else frozenset()

    def conflict(self):
        """A smallest set of elements and one-way clutches that keeps the input."""
        found = smallest_sets(Cone(self.free.lines), self.parts(), moves(self.input))
        return frozenset(found[0])

    def parts(self):
        """All that holds, in file order, as :func:`smallest_sets` takes it."""
        parts = [(name, row, null_cone) for name, row in self.held.items()]
        return parts + [(name, row, half_cone) for name, row in self.one_way.items()]
