"""Which tooth counts a gear set of each kind can have, and where its planets fit."""

from math import gcd, pi, sin

from . import checks

# A profile-shifted set may miss ring = sun + 2 × planet by a tooth or so
# ("Epicyclic Gearing: A Handbook", Gear Solutions, September 2008, design tips).
MOST_SHIFT = 2


def tip_gap(sun, planet, gap):
    """Room between two planet tips [modules]; `gap` is the turn between the planets.

    Standard addendum of one module: (sun + planet) · sin(π gap) − planet − 2
    (standard inequality, from memory of handbooks on epicyclic gears).
    """
    return (sun + planet) * sin(pi * float(gap)) - planet - 2


def _simple(name, teeth):
    """The planet teeth of a simple set, checked against sun and ring."""
    planet = _between(name, "sun", "ring", "planet", teeth)
    return {"planet": planet}


def _between(name, sun_key, ring_key, planet_key, teeth):
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


def _meshed_planet(name, teeth):
    """Inner planets on the sun reach outer planets on the ring."""
    sun, ring = teeth["sun"], teeth["ring"]
    inner, outer = teeth["inner-planet"], teeth["outer-planet"]
    if ring > sun + 2 * (inner + outer):
        raise ValueError(
            f"{name} ring {ring} is out of reach: sun {sun} and planets of {inner} and"
            f" {outer} reach {sun + 2 * (inner + outer)} teeth at most; take a smaller"
            " ring or larger planets"
        )
    _clear(name, "outer planet", outer, "sun", sun, ring)
    _clear(name, "inner planet", inner, "sun", sun, ring)
    return {}


def _two_sun(name, teeth):
    """Long planets mesh with the large sun and the ring, short ones reach them."""
    small, large, short = (teeth[k] for k in ("small-sun", "large-sun", "short-planet"))
    long = _between(name, "large-sun", "ring", "long-planet", teeth)
    if large < small + 2:
        raise ValueError(
            f"{name} large sun {large} is not larger than small sun {small} by 2 teeth,"
            " so the long planets would touch both; take a larger large sun"
        )
    if large + long > small + 2 * short + long:
        raise ValueError(
            f"{name} short planet {short} does not reach the long planets from small"
            f" sun {small}; take at least {(large - small + 1) // 2} teeth"
        )
    _clear(name, "short planet", short, "small sun", small, teeth["ring"])
    return {"long-planet": long}


def _clear(name, planet_name, planet, sun_name, sun, ring):
    """A planet that meshes with a sun or the ring only must clear the other."""
    if sun + 2 * planet + 2 > ring:
        raise ValueError(
            f"{name} {planet_name} {planet} has no room between {sun_name} {sun} and"
            f" ring {ring}; take {max((ring - sun - 2) // 2, 0)} teeth or fewer"
        )


def _stepped_planet(name, teeth):
    """The two planet gears may have two modules, so nothing must add up."""
    if teeth["ring"] <= teeth["ring-planet"]:
        raise ValueError(
            f"{name} ring planet {teeth['ring-planet']} does not turn inside ring"
            f" {teeth['ring']}; take a larger ring"
        )
    return {}


RULES = {
    "simple": _simple,
    "meshed-planet": _meshed_planet,
    "two-sun": _two_sun,
    "stepped-planet": _stepped_planet,
    "differential": lambda name, teeth: {},
}

# The places where a planet fits are 1 / places of a turn apart, the least mesh angle:
# "Epicyclic Gearing: A Handbook", Gear Solutions, September 2008, for simple sets; the
# others follow from the phases of the meshes.
PLACES = {
    "simple": lambda teeth: teeth["sun"] + teeth["ring"],
    "meshed-planet": lambda teeth: teeth["ring"] - teeth["sun"],
    "two-sun": lambda teeth: gcd(
        teeth["large-sun"] + teeth["ring"], teeth["ring"] - teeth["small-sun"]
    ),
    "stepped-planet": lambda teeth: (
        (teeth["sun"] * teeth["ring-planet"] + teeth["ring"] * teeth["sun-planet"])
        // gcd(teeth["sun-planet"], teeth["ring-planet"])
    ),
}
# Which planets sit on which sun, for the room between neighbours.
ON_SUNS = {
    "simple": (("sun", "planet"),),
    "meshed-planet": (("sun", "inner-planet"),),
    "two-sun": (("large-sun", "long-planet"), ("small-sun", "short-planet")),
    "stepped-planet": (("sun", "sun-planet"),),
}
