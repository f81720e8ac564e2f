"""Rules of tooth counts that several kinds of gear set share."""

from math import acos, pi, sin

from ...base import checks

# A profile-shifted set may miss ring = sun + 2 × planet by a tooth or so
# ("Epicyclic Gearing: A Handbook", Gear Solutions, September 2008, design tips).
MOST_SHIFT = 2


def tip_gap(sun, planet, gap):
    """Room between two planet tips [modules]; `gap` is the turn between the planets.

    Standard addendum of one module: (sun + planet) · sin(π gap) − planet − 2
    (standard inequality, from memory of handbooks on epicyclic gears).
    """
    return (sun + planet) * sin(pi * float(gap)) - planet - 2


def planet_between(name, sun_key, ring_key, planet_key, teeth):
    """The teeth of a planet that meshes with a sun and the ring."""
    sun, ring, planet = teeth[sun_key], teeth[ring_key], teeth.get(planet_key)
    sun_name, planet_name = sun_key.replace("-", " "), planet_key.replace("-", " ")
    if ring < sun + 2 * checks.MIN_TEETH:
        raise ValueError(
            f"{name} ring {ring} does not fit {name} {sun_name} {sun}: planets of at"
            f" least {checks.MIN_TEETH} teeth must turn between them; take a ring of"
            f" {sun + 2 * checks.MIN_TEETH} or more, or a smaller sun"
        )
    if planet is None:
        if (ring - sun) % 2:
            low = (ring - sun) // 2
            raise ValueError(
                f"{name} {sun_name} {sun} and ring {ring} leave {ring - sun} teeth for"
                " two planets, but ring = sun + 2 × planet needs an even number; make"
                f" the sun {sun - 1} or {sun + 1}, or give {planet_key} = {low} or"
                f" {low + 1}"
            )
        return (ring - sun) // 2
    fitting = sun + 2 * planet
    if abs(ring - fitting) > MOST_SHIFT:
        raise ValueError(
            f"{name} ring {ring} does not fit {name} {sun_name} {sun} with"
            f" {planet_name}s of {planet}: a coaxial set needs ring = sun + 2 × planet"
            f" = {fitting}, give or take {MOST_SHIFT} teeth of profile shift"
        )
    return planet


def clear_of(name, planet_name, planet, sun_name, sun, ring):
    """A planet that meshes with a sun or the ring only must clear the other."""
    if sun + 2 * planet + 2 > ring:
        raise ValueError(
            f"{name} {planet_name} {planet} has no room between {sun_name} {sun} and"
            f" ring {ring}; take {max((ring - sun - 2) // 2, 0)} teeth or fewer"
        )


def corner(near, far, between):
    """The turn between two sides of a triangle; `between` is its third side."""
    cosine = (near**2 + far**2 - between**2) / (2 * near * far)
    return acos(max(-1.0, min(1.0, cosine))) / (2 * pi)
