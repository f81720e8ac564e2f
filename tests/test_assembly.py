"""Tooth counts that can be put together, that need care, and that cannot be."""

from fractions import Fraction as F
from itertools import combinations
from math import cos, hypot, pi, sin

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from trains import external, gears

from gearlab.ask.assembly import FITS, WARNS, assembly_verdicts, whole_planet
from gearlab.base.frozenmap import FrozenMap
from gearlab.train.gearset import GearSet
from gearlab.train.kinds.rules import tip_gap

COUNTS = st.integers(min_value=12, max_value=90)


def a_set(sun, ring, planets=None, **more):
    teeth = FrozenMap({"sun": sun, "ring": ring, **more})
    return GearSet(name="front", kind="simple", teeth=teeth, planets=planets)


def levels(gear_set):
    return {verdict.rule: verdict.level for verdict in assembly_verdicts(gear_set)}


def words(gear_set, rule):
    return next(v.words for v in assembly_verdicts(gear_set) if v.rule == rule)


@given(COUNTS, COUNTS, st.integers(min_value=2, max_value=8))
def test_equal_spacing_needs_a_whole_share_of_sun_and_ring(sun, planet, planets):
    """(sun + ring) / planets is whole.

    "Epicyclic gearing", English Wikipedia; "Epicyclic Gearing: A Handbook", Gear
    Solutions, September 2008.
    """
    ring = sun + 2 * planet
    assume((sun + planet) * sin(0.9 * pi / planets) > planet + 3)
    made = a_set(sun, ring, planets)
    whole = (sun + ring) % planets == 0
    assert levels(made)["equal spacing"] == (FITS if whole else WARNS)
    equal = tuple(F(k, planets) for k in range(planets))
    assert (made.planet_angles == equal) == whole
    # Each planet sits on a multiple of 360° / (sun + ring) from the first:
    # Gear Solutions, as above; a paper of the ISMA conference, 2016, eq. (9).
    places = [angle * (sun + ring) for angle in made.planet_angles]
    assert all(place.denominator == 1 for place in places)
    # None is further from its equal place than half a least mesh angle.
    pairs = zip(made.planet_angles, equal, strict=True)
    assert max(abs(a - b) for a, b in pairs) <= F(1, 2 * (sun + ring))


def test_three_planets_of_a_published_set():
    """Sun 21, planet 39, ring 99: ISMA conference, 2016, tables 1 and 2."""
    made = a_set(21, 99, planets=3)
    assert made.all_teeth["planet"] == 39
    assert set(levels(made).values()) == {FITS}
    assert "= 40 is whole: planets every 120°" in words(made, "equal spacing")
    assert [angle * (21 + 99) for angle in made.planet_angles] == [0, 40, 80]
    assert [angle * 21 % 1 for angle in made.planet_angles] == [0, 0, 0]


def test_the_textbook_set_that_three_planets_do_not_fit():
    """Sun 14, planet 21, ring 56 "with three planets".

    Question: adapala-academy.com, forum 5830. Answer: Khurmi & Gupta, Theory of
    Machines, from memory, to be checked against a copy.
    """
    made = a_set(14, 56, planets=3)
    assert made.all_teeth["planet"] == 21
    assert levels(made) == {
        "coaxial": FITS,
        "equal spacing": WARNS,
        "neighbours": FITS,
    }
    assert words(made, "equal spacing") == (
        "(14 + 56) / 3 is not whole: the planets cannot be spaced equally, but they fit"
        " at 0°, 118.3°, 241.7°"
    )
    # 70 is divided by 2, 5, 7 and 10; from 5 on the tips touch (derived).
    assert levels(a_set(14, 56, planets=2))["equal spacing"] == FITS
    for planets in (5, 7, 10):
        with pytest.raises(ValueError, match="touch each other"):
            a_set(14, 56, planets=planets)
    # The smallest set of the same ratio with 10 sun teeth or more that three planets
    # fit (derived).
    fitting = [
        sun
        for sun in range(10, 15, 2)
        if set(levels(a_set(sun, 4 * sun, planets=3)).values()) == {FITS}
    ]
    assert fitting == [12]
    assert a_set(12, 48).all_teeth["planet"] == 18


@pytest.mark.parametrize(
    ("sun", "planet", "planets", "reach"),
    [
        (14, 21, 3, 30.31),
        (14, 21, 4, 24.75),
        (14, 21, 5, 20.57),
        (21, 39, 3, 51.96),
        (21, 39, 4, 42.43),
        (21, 39, 5, 35.27),
        (16, 16, 5, 18.81),
        (16, 16, 6, 16.0),
    ],
)
def test_neighbours_clear(sun, planet, planets, reach):
    """(sun + planet) · sin(180° / planets) > planet + 2.

    Inequality from memory of AGMA 6123 and of the KHK Gear Technical Reference, to be
    checked against a copy; "check tip clearance": Gear Solutions, September 2008.
    """
    gap = tip_gap(sun, planet, F(1, planets))
    assert gap == pytest.approx(reach - planet - 2, abs=0.005)
    ring = sun + 2 * planet
    if gap <= 0:
        with pytest.raises(ValueError, match=f"{planets} planets of {planet} teeth"):
            a_set(sun, ring, planets)
    elif (sun + ring) % planets == 0:
        made = a_set(sun, ring, planets)
        assert made.neighbour_gap == gap
        assert levels(made)["neighbours"] == FITS


def test_planets_that_clear_only_at_equal_angles_are_refused():
    """Sun 16, planet 16: five would clear at 72°, but 64 / 5 is not whole (derived)."""
    assert tip_gap(16, 16, F(1, 5)) > 0
    with pytest.raises(ValueError, match="5 planets of 16 teeth"):
        a_set(16, 48, planets=5)


@given(COUNTS, COUNTS, st.integers(min_value=2, max_value=6))
def test_the_gap_is_the_distance_between_tips(sun, planet, planets):
    """Centres by their coordinates in modules, less two tip radii (derived)."""
    assume((sun + planet) * sin(0.9 * pi / planets) > planet + 3)
    made = a_set(sun, sun + 2 * planet, planets)
    radius = (sun + planet) / 2
    centres = [
        (radius * cos(2 * pi * float(turn)), radius * sin(2 * pi * float(turn)))
        for turn in made.planet_angles
    ]
    least = min(hypot(a - c, b - d) for (a, b), (c, d) in combinations(centres, 2))
    assert made.neighbour_gap == pytest.approx(least - planet - 2, abs=1e-9)


def test_less_than_half_a_module_between_tips_warns():
    """At least half a module: a general trade article on epicyclic gears."""
    close = a_set(14, 66, planets=4)
    assert 0 < close.neighbour_gap < 0.5
    assert levels(close) == {
        "coaxial": FITS,
        "equal spacing": FITS,
        "neighbours": WARNS,
    }
    assert words(close, "neighbours").endswith("half a module is usual")
    assert "usual" not in words(a_set(30, 72, planets=3), "neighbours")


def test_half_a_module_is_not_less_than_half_a_module():
    """27 · sin 30° − 13 is one half, and so is 33 · sin 30° − 16 (derived)."""
    for sun, ring in ((16, 38), (19, 47)):
        assert levels(a_set(sun, ring, planets=6))["neighbours"] == FITS


def test_profile_shift_warns_and_more_is_refused():
    """A tooth or so is legal: Gear Solutions, September 2008, design tips."""
    assert levels(a_set(30, 72, planet=21))["coaxial"] == FITS
    for planet in (20, 22):
        made = a_set(30, 72, planet=planet)
        assert levels(made) == {"coaxial": WARNS}
        assert f"ring 72 is not sun 30 + 2 × planet {planet} = {30 + 2 * planet}" in (
            words(made, "coaxial")
        )
    for planet in (19, 23):
        with pytest.raises(ValueError, match=r"ring = sun \+ 2 × planet"):
            a_set(30, 72, planet=planet)


def test_what_has_no_room_is_refused():
    with pytest.raises(ValueError, match="at least 4 teeth must turn between them"):
        a_set(30, 36)
    with pytest.raises(ValueError, match=r"touch each other.*take fewer"):
        a_set(30, 72, planets=8)


def test_which_rules_are_asked():
    rules = ["coaxial", "equal spacing", "neighbours"]
    made = a_set(30, 72, planets=3)
    assert [verdict.rule for verdict in assembly_verdicts(made)] == rules
    assert {verdict.set for verdict in assembly_verdicts(made)} == {"front"}
    for planets in (None, 1):
        assert list(levels(a_set(30, 72, planets))) == rules[:1]
        assert a_set(30, 72, planets).neighbour_gap is None
    assert a_set(30, 72).planet_angles == ()
    assert a_set(30, 72, 1).planet_angles == (0,)
    assert assembly_verdicts(gears(external("a", 20, "b", 30))) == ()


@given(COUNTS, st.integers(min_value=9, max_value=120))
def test_whole_planet_makes_a_set(sun, between):
    planet = whole_planet(sun, sun + between)
    assert (planet is None) == (between % 2 == 0)
    if planet is None:
        assert levels(a_set(sun, sun + between)) == {"coaxial": FITS}
        return
    with pytest.raises(ValueError, match="even number"):
        a_set(sun, sun + between)
    assert levels(a_set(sun, sun + between, planet=planet)) == {"coaxial": WARNS}
    assert 2 * planet < between


SMALL = st.integers(min_value=5, max_value=14)


@given(SMALL, SMALL, SMALL, st.integers(min_value=15, max_value=40))
def test_stepped_planets_need_more_than_a_whole_share(sun, one, other, ring):
    """They need more: "Epicyclic gearing", English Wikipedia, Compound planetary gears.

    Carried round by a turn t on a still sun and a still ring, a planet must find a
    tooth in both meshes at once: every t is a multiple of 1 / places (derived).
    """
    teeth = {"sun": sun, "sun-planet": one, "ring-planet": other, "ring": ring}
    made = GearSet(name="front", kind="stepped-planet", teeth=FrozenMap(teeth))

    def fits(t):
        at_sun = {(t * F(sun, one) + F(i, one)) % 1 for i in range(one)}
        return any(
            (F(j, other) - t * F(ring, other)) % 1 in at_sun for j in range(other)
        )

    places = made.planet_places
    assert fits(F(1, places))
    assert not any(fits(F(1, places * more)) for more in (2, 3, 5, 7))
    if one == other:
        assert places == sun + ring
