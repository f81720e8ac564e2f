"""Where the gears of a set stand, seen face on, so that all of them mesh.

Every kind of set with planets comes down to gears on the middle axis and planets in
bunches: what one carrier arm carries. Lengths are in modules; places are clockwise
from 12 o'clock, in turns. Gears that do not mesh may lie in two planes, one behind the
other: 0 is the front one.
"""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import atan2, dist, hypot, pi

from ...train.meshes import meshes
from .gears import Teeth, give_teeth, mesh_inside, mesh_outside

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


@lru_cache(maxsize=256)
def places(gear_set, radius, hand=1):
    """The :class:`Places` of a set with planets between gears, filling a circle.

    Parameters
    ----------
    gear_set : GearSet
    radius : of the circle [px]
    hand : 1, or −1 for the mirrored picture
    """
    face = gear_set.record.face(gear_set.all_teeth)
    pairs = [mesh.gears for mesh in meshes(gear_set)]
    teeth = {}
    for module, names in face.together:
        teeth |= _teeth(face, [pair for pair in pairs if pair[0] in names], module)
    at = _stand(gear_set, face, teeth)
    at, left_out = (
        tuple(hand * place for place in at),
        gear_set.planets - len(at) if gear_set.planets else 0,
    )
    factor = radius / max(
        one.root if one.inward else one.tip + hypot(*face.axis(name))
        for name, one in teeth.items()
    )
    middle = {names[-1]: 0.0 for _, names in face.together}
    bunches = []
    for place in at:
        turned = _turned(face, pairs, middle, place, hand)
        middle |= {name: turned[name] for name in turned if name not in face.axes}
        bunches.append(
            {
                name: _gear(face, name, teeth, turned, factor, place, hand)
                for name in turned
            }
        )
    suns = [gear for name, gear in bunches[0].items() if name not in face.axes]
    suns = [gear for gear in suns if not gear.teeth.inward]
    return Places(
        ring=bunches[0]["ring"],
        middle=_rear_first(suns),
        bunches=tuple(
            _rear_first(bunch[name] for name in face.axes) for bunch in bunches
        ),
        at=at,
        left_out=left_out,
    )


def _rear_first(gears):
    return tuple(sorted(gears, key=lambda gear: not gear.behind))


def _gear(face, name, teeth, turned, factor, place, hand):
    x, y = face.axis(name, place, hand)
    return Gear(
        short=name,
        teeth=teeth[name].scaled(factor),
        turned=turned[name],
        x=x * factor,
        y=y * factor,
        behind=name in face.behind,
    )


def _teeth(face, pairs, module):
    """The teeth of the gears of one module that run together, in the face's lengths."""
    names = dict.fromkeys(name for pair in pairs for name in pair)
    wheels = {
        name: replace(face.wheels[name], pitch=face.wheels[name].pitch / module)
        for name in names
    }

    def apart(a, b):
        return dist(face.axis(a), face.axis(b)) / module

    # Planets that mesh with no more than one of sun and ring pass the other.
    passing = [
        (planet, name, apart(planet, name))
        for planet in names
        for name in names
        if planet in face.axes and name not in face.axes and face.share(planet, name)
        if (planet, name) not in pairs and (name, planet) not in pairs
    ]
    meshing = [(a, b, apart(a, b)) for a, b in pairs]
    found = give_teeth(wheels, meshing, passing)
    return {name: one.scaled(module) for name, one in found.items()}


def _stand(gear_set, face, teeth):
    """The places of as many bunches as do not touch each other."""
    if gear_set.planets:
        return _clear(face, teeth, [float(place) for place in gear_set.planet_angles])
    fits = gear_set.planet_places
    for count in _USUAL:
        even = [round(i * fits / count) / fits for i in range(count)]
        if len(_clear(face, teeth, even)) == count:
            return even
    return [0.0]


def _clear(face, teeth, at):
    """Of some places those whose bunches do not touch one that is there already."""
    kept = []
    for place in at:
        if not any(_touch(face, teeth, place, other) for other in kept):
            kept.append(place)
    return kept


def _touch(face, teeth, place, other):
    return any(
        face.share(a, b)
        and dist(face.axis(a, place), face.axis(b, other)) < teeth[a].tip + teeth[b].tip
        for a in face.axes
        for b in face.axes
    )


def _turned(face, pairs, middle, place, hand):
    """How far every gear of one bunch is turned, and those in the middle [turns]."""
    turned = dict(middle)
    while len(turned) < len(face.wheels):
        for a, b in pairs:
            known, other = (a, b) if a in turned else (b, a)
            if known not in turned or other in turned:
                continue
            counts = face.wheels[known].teeth, face.wheels[other].teeth
            start, end = (face.axis(name, place, hand) for name in (known, other))
            if face.wheels[b].inward:
                x, y = face.axis(a, place, hand)
                mesh = mesh_inside
            else:
                x, y = end[0] - start[0], end[1] - start[1]
                mesh = mesh_outside
            towards = atan2(x, -y) / (2 * pi)
            turned[other] = mesh(counts[0], turned[known], counts[1], towards)
    return turned
