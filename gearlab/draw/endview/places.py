"""Where the gears of a set stand, seen face on, so that all of them mesh.

Every kind of set with planets comes down to gears on the middle axis and planets in
bunches: what one carrier arm carries. Lengths are in modules; places are clockwise
from 12 o'clock, in turns. Gears that do not mesh may lie in two planes, one behind the
other: 0 is the front one.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import acos, atan2, cos, dist, hypot, pi, sin

from ...meshes import meshes
from .gears import Teeth, Wheel, give_teeth, mesh_inside, mesh_outside

_USUAL = (3, 2, 1)  # planets drawn where none are counted


@dataclass(frozen=True, kw_only=True)
class Gear:
    """One gear in its place, before anything turns."""

    short: str  # the member
    teeth: Teeth
    turned: float  # how far its teeth are turned at the start [turns]
    x: float = 0.0
    y: float = 0.0
    behind: bool = False

    @property
    def far(self):
        """How far its axis is from the middle."""
        return hypot(self.x, self.y)


@dataclass(frozen=True, kw_only=True)
class Places:
    """The gears of a set."""

    ring: Gear
    middle: tuple[Gear, ...]  # the suns, those behind first
    bunches: tuple[tuple[Gear, ...], ...]  # planets, those behind first
    at: tuple[float, ...]  # the place of each bunch
    left_out: int  # bunches that are on the bench and would touch others here


@dataclass(frozen=True, kw_only=True)
class _Plan:
    """What stands where in a set, and in which planes."""

    wheels: dict  # {gear: Wheel}
    axes: dict  # {planet: (distance from the middle, place beside its bunch's)}
    together: tuple  # (module, the gears that have it), ...
    behind: frozenset = frozenset()  # gears in the plane behind
    long: frozenset = frozenset()  # gears in both planes

    def share(self, a, b):
        """Whether two gears have a plane in common."""
        return bool(self.long & {a, b}) or (a in self.behind) == (b in self.behind)

    def axis(self, name, at=0.0, hand=1):
        """Where a gear's axis is, its bunch being at a place."""
        far, beside = self.axes.get(name, (0.0, 0.0))
        turn = 2 * pi * (at + hand * beside)
        return far * sin(turn), -far * cos(turn)


def _simple(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    wheels = {
        "sun": Wheel(teeth=sun, pitch=sun / 2),
        "planet": Wheel(teeth=teeth["planet"], pitch=(ring - sun) / 4),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    axes = {"planet": ((sun + ring) / 4, 0.0)}
    return _Plan(wheels=wheels, axes=axes, together=((1.0, tuple(wheels)),))


def _meshed_planet(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    inner, outer = teeth["inner-planet"], teeth["outer-planet"]
    wheels = {
        "sun": Wheel(teeth=sun, pitch=sun / 2),
        "inner planet": Wheel(teeth=inner, pitch=inner / 2),
        "outer planet": Wheel(teeth=outer, pitch=outer / 2),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    near, far = (sun + inner) / 2, (ring - outer) / 2
    beside = _corner(near, far, (inner + outer) / 2)
    axes = {"outer planet": (far, 0.0), "inner planet": (near, beside)}
    return _Plan(wheels=wheels, axes=axes, together=((1.0, tuple(wheels)),))


def _two_sun(teeth):
    small, large, ring = teeth["small-sun"], teeth["large-sun"], teeth["ring"]
    short, long = teeth["short-planet"], teeth["long-planet"]
    wheels = {
        "small sun": Wheel(teeth=small, pitch=small / 2),
        "large sun": Wheel(teeth=large, pitch=large / 2),
        "short planet": Wheel(teeth=short, pitch=short / 2),
        "long planet": Wheel(teeth=long, pitch=(ring - large) / 4),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    near, far = (small + short) / 2, (large + ring) / 4
    beside = _corner(near, far, (short + long) / 2)
    return _Plan(
        wheels=wheels,
        axes={"long planet": (far, 0.0), "short planet": (near, beside)},
        together=((1.0, tuple(wheels)),),
        behind=frozenset({"large sun"}),
        long=frozenset({"long planet", "ring"}),
    )


def _stepped_planet(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    on_sun, on_ring = teeth["sun-planet"], teeth["ring-planet"]
    # The two pairs share the centre distance; the ring's module is taken as 1.
    far = (ring - on_ring) / 2
    module = 2 * far / (sun + on_sun)
    wheels = {
        "sun": Wheel(teeth=sun, pitch=module * sun / 2),
        "sun planet": Wheel(teeth=on_sun, pitch=module * on_sun / 2),
        "ring planet": Wheel(teeth=on_ring, pitch=on_ring / 2),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    pairs = (module, ("sun planet", "sun")), (1.0, ("ring planet", "ring"))
    # The smaller planet gear is in front, so that both are seen.
    larger = wheels["sun planet"].pitch > wheels["ring planet"].pitch
    return _Plan(
        wheels=wheels,
        axes={"sun planet": (far, 0.0), "ring planet": (far, 0.0)},
        together=pairs,
        behind=frozenset(pairs[0 if larger else 1][1]),
    )


_PLANS = {
    "simple": _simple,
    "meshed-planet": _meshed_planet,
    "two-sun": _two_sun,
    "stepped-planet": _stepped_planet,
}


def _corner(near, far, between):
    """The turn between two sides of a triangle; `between` is its third side."""
    cosine = (near**2 + far**2 - between**2) / (2 * near * far)
    return acos(max(-1.0, min(1.0, cosine))) / (2 * pi)


@lru_cache(maxsize=256)
def places(gear_set, radius, hand=1):
    """The :class:`Places` of a set with planets between gears, filling a circle.

    Parameters
    ----------
    gear_set : GearSet
    radius : of the circle [px]
    hand : 1, or −1 for the mirrored picture
    """
    plan = _PLANS[gear_set.kind](gear_set.all_teeth)
    pairs = [mesh.gears for mesh in meshes(gear_set)]
    teeth = {}
    for module, names in plan.together:
        teeth |= _teeth(plan, [pair for pair in pairs if pair[0] in names], module)
    at = _stand(gear_set, plan, teeth)
    at, left_out = (
        tuple(hand * place for place in at),
        gear_set.planets - len(at) if gear_set.planets else 0,
    )
    factor = radius / max(
        one.root if one.inward else one.tip + hypot(*plan.axis(name))
        for name, one in teeth.items()
    )
    middle = {names[-1]: 0.0 for _, names in plan.together}
    bunches = []
    for place in at:
        turned = _turned(plan, pairs, middle, place, hand)
        middle |= {name: turned[name] for name in turned if name not in plan.axes}
        bunches.append(
            {
                name: _gear(plan, name, teeth, turned, factor, place, hand)
                for name in turned
            }
        )
    suns = [gear for name, gear in bunches[0].items() if name not in plan.axes]
    suns = [gear for gear in suns if not gear.teeth.inward]
    return Places(
        ring=bunches[0]["ring"],
        middle=_rear_first(suns),
        bunches=tuple(
            _rear_first(bunch[name] for name in plan.axes) for bunch in bunches
        ),
        at=at,
        left_out=left_out,
    )


def _rear_first(gears):
    return tuple(sorted(gears, key=lambda gear: not gear.behind))


def _gear(plan, name, teeth, turned, factor, place, hand):
    x, y = plan.axis(name, place, hand)
    return Gear(
        short=name,
        teeth=teeth[name].scaled(factor),
        turned=turned[name],
        x=x * factor,
        y=y * factor,
        behind=name in plan.behind,
    )


def _teeth(plan, pairs, module):
    """The teeth of the gears of one module that run together, in the plan's lengths."""
    names = dict.fromkeys(name for pair in pairs for name in pair)
    wheels = {
        name: replace(plan.wheels[name], pitch=plan.wheels[name].pitch / module)
        for name in names
    }

    def apart(a, b):
        return dist(plan.axis(a), plan.axis(b)) / module

    # Planets that mesh with no more than one of sun and ring pass the other.
    passing = [
        (planet, name, apart(planet, name))
        for planet in names
        for name in names
        if planet in plan.axes and name not in plan.axes and plan.share(planet, name)
        if (planet, name) not in pairs and (name, planet) not in pairs
    ]
    meshing = [(a, b, apart(a, b)) for a, b in pairs]
    found = give_teeth(wheels, meshing, passing)
    return {name: one.scaled(module) for name, one in found.items()}


def _stand(gear_set, plan, teeth):
    """The places of as many bunches as do not touch each other."""
    if gear_set.planets:
        return _clear(plan, teeth, [float(place) for place in gear_set.planet_angles])
    fits = gear_set.planet_places
    for count in _USUAL:
        even = [round(i * fits / count) / fits for i in range(count)]
        if len(_clear(plan, teeth, even)) == count:
            return even
    return [0.0]


def _clear(plan, teeth, at):
    """Of some places those whose bunches do not touch one that is there already."""
    kept = []
    for place in at:
        if not any(_touch(plan, teeth, place, other) for other in kept):
            kept.append(place)
    return kept


def _touch(plan, teeth, place, other):
    return any(
        plan.share(a, b)
        and dist(plan.axis(a, place), plan.axis(b, other)) < teeth[a].tip + teeth[b].tip
        for a in plan.axes
        for b in plan.axes
    )


def _turned(plan, pairs, middle, place, hand):
    """How far every gear of one bunch is turned, and those in the middle [turns]."""
    turned = dict(middle)
    while len(turned) < len(plan.wheels):
        for a, b in pairs:
            known, other = (a, b) if a in turned else (b, a)
            if known not in turned or other in turned:
                continue
            counts = plan.wheels[known].teeth, plan.wheels[other].teeth
            start, end = (plan.axis(name, place, hand) for name in (known, other))
            if plan.wheels[b].inward:
                x, y = plan.axis(a, place, hand)
                mesh = mesh_inside
            else:
                x, y = end[0] - start[0], end[1] - start[1]
                mesh = mesh_outside
            towards = atan2(x, -y) / (2 * pi)
            turned[other] = mesh(counts[0], turned[known], counts[1], towards)
    return turned
