"""Which one-way clutches carry, and in which state a train is.

The motions that meshes, applied elements and one-way clutches allow together form a
cone (:mod:`gearlab.cone`). Its shadow on the plane of input and output speed is a
wedge: under drive a train runs along the edge with the most input for the output,
coasting along the other edge on the same side of the output.
"""

from fractions import Fraction
from functools import partial
from itertools import combinations

from .cone import dot, half_cone, null_cone, null_lines
from .motion import free_motions, idle_motions, speeds_along
from .torques import torques_of

DRIVES, NEUTRAL, TIED_UP = "drives", "neutral", "tied up"
OUTPUT_LOCKED, FREEWHEELS = "output locked", "freewheels"


class Case:
    """A train with some elements applied; its answers under both loads."""

    def __init__(self, train, applied):
        free = free_motions(train)
        rows = free.row_of_part
        self.train, self.free = train, free
        self.held = {name: rows[name] for name in train.in_order(applied)}
        self.one_way = {part.name: rows[part.name] for part in train.one_way_clutches}
        self.input, self.output = free.row_of[train.input], free.row_of[train.output]
        lines = free.lines
        for row in self.held.values():
            lines = null_lines(lines, row)
        self.lines = lines
        rays = ()
        for row in self.one_way.values():
            lines, rays = half_cone(lines, rays, row)
        self.cone = lines, rays

    def drive(self):
        """``(state, sets of one-way clutches that carry, ratio)`` under drive."""
        if found := self._carrying(1, 0):
            return DRIVES, *found
        if not self._forward(*self.cone):
            return TIED_UP, (), None
        lines, rays = self.cone
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

    def _carrying(self, torque_in, way, pushes=None):
        """The smallest sets of one-way clutches that carry, and the ratio, or None.

        A set carries if none of it is redundant, the output is determined with it
        locked, each takes torque above 0, and one motion exists in which all others
        turn free or not at all. The output turns in the direction of `way` (0: any).
        `pushes` gives the torques of a set at a ratio; they are those without losses
        if it is left out.
        """
        pushes = pushes or partial(self._pushes, torque_in)
        for size in range(min(len(self.one_way), len(self.lines)) + 1):
            found, ratio = [], None
            for names in combinations(self.one_way, size):
                locked = self._locked_ratio(names)
                if locked is None or way * locked < 0 or not self._can_turn(names):
                    continue
                if all(push > 0 for push in pushes(names, locked)):
                    found.append(names)
                    ratio = locked
            if found:
                return tuple(found), ratio
        return None

    def _pushes(self, torque_in, names, ratio):
        """The torques of one-way clutches that carry, without losses."""
        if not names:
            return []
        bound = (*self.free.always, *self.held, *names)
        torques = torques_of(self.free, bound, torque_in, -torque_in * ratio)
        return [torques[name] for name in names]

    def carrying_with(self, pushes, load, ratio):
        """The sets that carry if they push as `pushes` says; as :meth:`drive`."""
        torque_in, way = (1, 0) if load == "drive" else (-1, ratio)
        found = self._carrying(torque_in, way, pushes)
        return (DRIVES, *found) if found else None

    def _locked_ratio(self, names):
        """Input turns per output turn with one-way clutches locked, or None."""
        lines = self.lines
        for name in names:
            narrowed = null_lines(lines, self.one_way[name])
            if narrowed is lines:
                return None
            lines = narrowed
        ends = [(dot(self.input, line), dot(self.output, line)) for line in lines]
        turning = next(((u, v) for u, v in ends if u and v), None)
        if turning is None or any(u * turning[1] != v * turning[0] for u, v in ends):
            return None
        return Fraction(*turning)

    def _can_turn(self, names):
        """Whether the input can turn forward with these one-way clutches at rest."""
        lines, rays = self.cone
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
        lines, rays = self.cone
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
            way = self._forward(*null_cone(*self.cone, row)) or way
        return speeds_along(self.free, [way])

    def one_way_states(self, carrying, state, motions):
        """``(holding, overrunning, backing up)``, each a set of names.

        Where a train freewheels, those overrun that are not at rest in all motions.
        """
        holding = frozenset().union(*carrying)
        backing_up = {
            name
            for name, row in self.one_way.items()
            if not any(dot(row, line) for line in self.lines)
        }
        idle = idle_motions(motions)
        overrunning = set()
        for name, row in self.one_way.items():
            free = any(dot(row, vector) for vector in idle)
            turns = any(dot(row, vector) for vector, _ in motions)
            if turns and (not free or state == FREEWHEELS):
                overrunning.add(name)
        return holding, frozenset(overrunning), frozenset(backing_up)

    def conflict(self):
        """A smallest set of elements and one-way clutches that keeps the input."""
        parts = [(name, row, null_cone) for name, row in self.held.items()]
        parts += [(name, row, half_cone) for name, row in self.one_way.items()]

        def search(cone, start, left):
            if not left:
                return () if not self._forward(*cone) else None
            for at in range(start, len(parts) - left + 1):
                name, row, narrow = parts[at]
                found = search(narrow(*cone, row), at + 1, left - 1)
                if found is not None:
                    return name, *found
            return None

        for size in range(1, len(parts) + 1):
            if (found := search((self.free.lines, ()), 0, size)) is not None:
                return frozenset(found)
        raise AssertionError("a train whose input can turn is not tied up")
