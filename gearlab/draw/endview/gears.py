"""Involute teeth that mesh: the sizes and the outlines of gears that run together.

Gears that run together are given one base pitch, so that they mesh at any centre
distances, even where a profile-shifted set breaks ring = sun + 2 × planet: each mesh
then has a pressure angle of its own, as in steel. Teeth are stubbed, and shortened
further where they would dig into the foot of a small mate. Lengths are in modules
until they are scaled; angles are clockwise from 12 o'clock.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import acos, cos, hypot, pi, radians, sin, tan

from ..kit.shapes import Polygon

PRESSURE = radians(25)
ADDENDUM = 0.85  # tooth height outside the pitch circle, in modules
CLEARANCE = 0.22  # between a tip and the root opposite, in modules
BACKLASH = 0.08  # play, as a part of a tooth's thickness
_PASSING = 0.1  # half the room between tips that pass, in modules
_LEAST_COS, _MOST_COS = cos(radians(40)), cos(radians(12))
_FLANK = 4  # points on a flank


@dataclass(frozen=True, kw_only=True)
class Teeth:
    """The sizes of a gear's teeth; of a ring's, those of its tooth spaces."""

    count: int
    inward: bool
    pitch: float  # radii
    base: float
    tip: float
    root: float
    half: float  # half a tooth, of a ring half a space, on the base circle [rad]

    def scaled(self, factor):
        """The same teeth with another module."""
        sizes = {
            key: round(getattr(self, key) * factor, 4)
            for key in ("pitch", "base", "tip", "root")
        }
        return replace(self, **sizes)


def give_teeth(wheels, meshes, passing=()):
    """The :class:`Teeth` of gears that run together.

    Parameters
    ----------
    wheels : {name: Wheel}
    meshes : ((name, name, centre distance), ...) that join all the wheels; in a mesh
        with a ring the ring comes last. The gear with the most meshes has even teeth
        and spaces, and its mates follow.
    passing : the same of gears that must pass each other without touching

    >>> from gearlab.train.kinds.kind import Wheel
    >>> wheels = {"a": Wheel(teeth=30, pitch=15), "b": Wheel(teeth=20, pitch=10)}
    >>> teeth = give_teeth(wheels, [("a", "b", 25.0)])
    >>> teeth["a"].tip, round(teeth["b"].root, 2)
    (15.85, 8.93)
    """
    base, angles = _pressure(wheels, meshes)
    tips = _tips(wheels, meshes, passing, base, angles)
    halves = _halves(wheels, meshes, angles)
    roots = {}
    for a, b, centre in meshes:
        if wheels[b].inward:
            low, high = tips[b] - centre - CLEARANCE, centre + tips[a] + CLEARANCE
            roots[b] = max(high, roots.get(b, high))
        else:
            low, high = centre - tips[b] - CLEARANCE, centre - tips[a] - CLEARANCE
            roots[b] = min(high, roots.get(b, high))
        roots[a] = min(low, roots.get(a, low))
    return {
        name: Teeth(
            count=wheel.teeth,
            inward=wheel.inward,
            pitch=wheel.pitch,
            base=base * wheel.teeth,
            tip=tips[name],
            root=roots[name],
            half=halves[name],
        )
        for name, wheel in wheels.items()
    }


def _total(wheels, a, b):
    """Half of it, in modules, is the centre distance without profile shift."""
    mate = wheels[b].teeth
    return mate - wheels[a].teeth if wheels[b].inward else mate + wheels[a].teeth


def _pressure(wheels, meshes):
    """The base radius per tooth, and each mesh's pressure angle at its centre."""
    needs = [(_total(wheels, a, b), centre) for a, b, centre in meshes]
    base = cos(PRESSURE) / 2
    base = min(base, *(_MOST_COS * centre / total for total, centre in needs))
    base = max(base, *(_LEAST_COS * centre / total for total, centre in needs))
    return base, [acos(min(1.0, base * total / centre)) for total, centre in needs]


def _tips(wheels, meshes, passing, base, angles):
    """How far the teeth reach, so that no tip digs into a mate."""
    tips = {
        name: wheel.pitch + (-ADDENDUM if wheel.inward else ADDENDUM)
        for name, wheel in wheels.items()
    }
    for a, b, centre in passing:
        if wheels[b].inward:
            room = (wheels[b].pitch - centre - wheels[a].pitch) / 2 - _PASSING
            tips[b] = max(tips[b], wheels[b].pitch - room)
        else:
            room = (centre - wheels[a].pitch - wheels[b].pitch) / 2 - _PASSING
            tips[b] = min(tips[b], wheels[b].pitch + room)
        tips[a] = min(tips[a], wheels[a].pitch + room)
    # A tip must not touch its mate's flank below the mate's base circle.
    for (a, b, centre), angle in zip(meshes, angles, strict=True):
        reach = centre * sin(angle)
        most_a = hypot(base * wheels[a].teeth, reach)
        most_b = hypot(base * wheels[b].teeth, reach)
        if wheels[b].inward:
            tips[b] = max(tips[b], most_b)
        else:
            tips[a], tips[b] = min(tips[a], most_a), min(tips[b], most_b)
    for (a, b, centre), angle in zip(meshes, angles, strict=True):
        if wheels[b].inward:
            while not _passes(wheels, a, b, centre, base, angle, tips):
                tips[a] -= 0.1 * (tips[a] - wheels[a].pitch)
                tips[b] += 0.1 * (wheels[b].pitch - tips[b])
    return tips


def _passes(wheels, a, b, centre, base, angle, tips):
    """Whether a ring's tips pass those of a gear in it, away from the mesh.

    The usual condition of handbooks on internal gears, from memory.
    """
    inner, outer = tips[a], tips[b]
    if inner + centre <= outer or inner - wheels[a].pitch < 0.02:
        return True
    if outer + centre <= inner:
        return False
    at_inner = acos((outer**2 - inner**2 - centre**2) / (2 * centre * inner))
    at_outer = acos((outer**2 - inner**2 + centre**2) / (2 * centre * outer))
    few, many = wheels[a].teeth, wheels[b].teeth
    return (
        few * (_involute_at(inner, base * few) + at_inner)
        + (many - few) * _involute(angle)
        - many * (_involute_at(outer, base * many) + at_outer)
    ) > 4 * BACKLASH


def _halves(wheels, meshes, angles):
    """Half a tooth of each gear on its base circle."""
    first = max(wheels, key=lambda name: sum(name in mesh for mesh in meshes))
    own = [angle for mesh, angle in zip(meshes, angles, strict=True) if first in mesh]
    even = (pi / 2 - BACKLASH) / wheels[first].teeth
    # Between the angles of its meshes, so that its mates share what is left.
    halves = {first: even + sum(map(_involute, own)) / len(own)}
    while len(halves) < len(wheels):
        for (a, b, _), angle in zip(meshes, angles, strict=True):
            known, other = (a, b) if a in halves else (b, a)
            if known in halves and other not in halves:
                width = wheels[known].teeth * (halves[known] - _involute(angle))
                if wheels[b].inward:
                    rest = width + (2 if known == a else -2) * BACKLASH
                else:
                    rest = pi - width - 2 * BACKLASH
                halves[other] = rest / wheels[other].teeth + _involute(angle)
    return halves


def _involute(angle):
    return tan(angle) - angle


def _involute_at(radius, base):
    return _involute(acos(min(1.0, base / radius)))


@lru_cache(maxsize=256)
def outline(teeth, role):
    """The outline of :class:`Teeth` round (0, 0), with a tooth at 12 o'clock.

    A ring's outline is its inner edge, with a tooth space at 12 o'clock.
    """
    return Polygon(points=_toothed(teeth), role=role)


@lru_cache(maxsize=128)
def _toothed(teeth):
    """The points of an outline; a ring's spaces are drawn as a gear's teeth are."""
    low, high = sorted((teeth.root, teeth.tip))
    low = max(low, 0.25 * high)
    foot = max(teeth.base, low)

    def half_at(radius):
        return teeth.half - _involute_at(radius, teeth.base)

    # A tooth comes to a point where its flanks meet.
    while half_at(high) < 0.1 / teeth.count and high > 1.02 * foot:
        high = foot + 0.97 * (high - foot)
    flank = [
        # Closer together near the base circle, where the flank bends most.
        (foot + (high - foot) * (step / (_FLANK - 1)) ** 1.5)
        for step in range(_FLANK)
    ]
    side = [(radius, min(half_at(radius), 0.98 * pi / teeth.count)) for radius in flank]
    if foot > low:
        side.insert(0, (low, side[0][1]))
    profile = [(radius, -angle) for radius, angle in side]
    profile += [(radius, angle) for radius, angle in reversed(side)]
    points = []
    for tooth in range(teeth.count):
        middle = 2 * pi * tooth / teeth.count
        points += [
            (round(r * sin(middle + a), 3), round(-r * cos(middle + a), 3))
            for r, a in profile
        ]
    return tuple(points)


def mesh_outside(teeth, turned, mate, towards):
    """How far a gear is turned to mesh with another, from outside [turns].

    Parameters
    ----------
    teeth, turned : tooth count of the gear that is there, and how far it is turned
    mate : tooth count of the gear in question
    towards : the way from the one's axis to the other's [turns]
    """
    return (towards + 0.5 + (teeth * (towards - turned) - 0.5) / mate) % (1 / mate)


def mesh_inside(teeth, turned, mate, towards):
    """As :func:`mesh_outside`, for a gear inside a ring or the ring round a gear."""
    return (towards - teeth * (towards - turned) / mate) % (1 / mate)
