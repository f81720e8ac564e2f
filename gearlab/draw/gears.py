"""Outlines of the gears of a simple set: involute teeth that mesh.

All gears of a set are given one base pitch, so that they run together at the one
centre distance even where a profile-shifted set breaks ring = sun + 2 × planet:
each mesh then has a pressure angle of its own, as in steel. Teeth are stubbed, which
keeps small planets from being undercut. Angles here are clockwise from 12 o'clock.
"""

from dataclasses import dataclass
from functools import lru_cache
from math import acos, cos, pi, radians, sin, tan

from .scene import Polygon

PRESSURE = radians(25)
ADDENDUM = 0.85  # tooth height outside the pitch circle, in modules
CLEARANCE = 0.22  # between a tip and the root opposite, in modules
BACKLASH = 0.08  # play, as a part of a tooth's thickness
_LEAST_COS, _MOST_COS = cos(radians(40)), cos(radians(12))
_FLANK = 4  # points on a flank


@dataclass(frozen=True, kw_only=True)
class Layout:
    """The sizes of a simple set, for a ring gear of a given pitch radius [px]."""

    module: float
    centre: float  # sun's axis to planet's axis
    sun: float  # pitch radii
    planet: float
    ring: float
    tips: tuple[float, float, float]  # sun, planet, ring
    roots: tuple[float, float, float]
    base: float  # base radius per tooth
    half: tuple[float, float, float]  # half tooth on the base circle [rad]; ring: space


@lru_cache(maxsize=256)
def layout(sun, planet, ring, radius):
    """The :class:`Layout` of a set with these tooth counts, ring pitch radius `radius`.

    >>> layout(30, 21, 72, 144).centre
    102.0
    """
    module = 2 * radius / ring
    r_sun = sun * module / 2
    centre, r_planet = (r_sun + radius) / 2, (radius - r_sun) / 2
    height = ADDENDUM * module
    tips = r_sun + height, r_planet + height, radius - height
    # One base pitch; each mesh's pressure angle follows from the centre distance.
    sums = sun + planet, ring - planet
    base = module / 2 * cos(PRESSURE)
    base = min(base, _MOST_COS * centre / max(sums))
    base = max(base, _LEAST_COS * centre / max(sums))
    outer, inner = (acos(min(1.0, base * total / centre)) for total in sums)
    # Half the planet's tooth at the angle between both meshes; the mates follow.
    even = (pi / 2 - BACKLASH) / planet
    half_planet = even + (_involute(outer) + _involute(inner)) / 2
    at_sun = planet * (half_planet - _involute(outer))
    at_ring = planet * (half_planet - _involute(inner))
    half_sun = (pi - at_sun - 2 * BACKLASH) / sun + _involute(outer)
    half_ring = (at_ring + 2 * BACKLASH) / ring + _involute(inner)
    gap = CLEARANCE * module
    return Layout(
        module=module,
        centre=centre,
        sun=r_sun,
        planet=r_planet,
        ring=radius,
        tips=tips,
        roots=(centre - tips[1] - gap, centre - tips[0] - gap, centre + tips[1] + gap),
        base=base,
        half=(half_sun, half_planet, half_ring),
    )


@lru_cache(maxsize=256)
def outline(which, sun, planet, ring, radius, role):
    """The outline of the "sun", "planet" or "ring" of a set, round (0, 0).

    Sun and planet have a tooth at 12 o'clock. The ring's outline is its inner edge,
    with a tooth space at 12 o'clock.
    """
    sizes = layout(sun, planet, ring, radius)
    place = ("sun", "planet", "ring").index(which)
    teeth = (sun, planet, ring)[place]
    low, high = sizes.roots[place], sizes.tips[place]
    if which == "ring":
        low, high = high, low
    return Polygon(
        points=_toothed(teeth, sizes.base * teeth, low, high, sizes.half[place]),
        role=role,
    )


def _toothed(teeth, base, low, high, half):
    """An external gear's outline between two radii; a ring's spaces are such teeth."""
    low = max(low, 0.25 * high)
    foot = max(base, low)

    def half_at(radius):
        angle = acos(min(1.0, base / radius))
        return half - _involute(angle)

    # A tooth comes to a point where its flanks meet.
    while half_at(high) < 0.1 / teeth and high > 1.02 * foot:
        high = foot + 0.97 * (high - foot)
    flank = [
        # Closer together near the base circle, where the flank bends most.
        (foot + (high - foot) * (step / (_FLANK - 1)) ** 1.5)
        for step in range(_FLANK)
    ]
    side = [(radius, min(half_at(radius), 0.98 * pi / teeth)) for radius in flank]
    if foot > low:
        side.insert(0, (low, side[0][1]))
    profile = [(radius, -angle) for radius, angle in side]
    profile += [(radius, angle) for radius, angle in reversed(side)]
    points = []
    for tooth in range(teeth):
        middle = 2 * pi * tooth / teeth
        points += [
            (round(r * sin(middle + a), 3), round(-r * cos(middle + a), 3))
            for r, a in profile
        ]
    return tuple(points)


def _involute(angle):
    return tan(angle) - angle


def phases(sun, planet, ring, angles):
    """How far planets and ring are turned so that they mesh with the sun as it is.

    Parameters
    ----------
    angles : places of the planets on the carrier [turns]

    Returns
    -------
    (a turn for each planet, a turn for the ring), each from 0 to one tooth [turns]
    """
    # A planet's tooth space lies where the sun's tooth, unrolled to the line of
    # centres, would enter it.
    turned = tuple(
        (0.5 + float(at) * (1 + sun / planet) + 0.5 / planet) % (1 / planet)
        for at in angles
    )
    # The first planet stands at 12 o'clock; the ring's space meets its tooth there.
    return turned, turned[0] * planet / ring % (1 / ring)
