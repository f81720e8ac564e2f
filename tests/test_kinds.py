"""Gear sets of every kind against closed formulas and published senses."""

from fractions import Fraction

import pytest

import gearlab as gl
from gearlab.base.frozenmap import FrozenMap
from gearlab.train.gearset import GearSet
from gearlab.train.train import Brake, Clutch, Train


def a_set(kind, planets=None, **teeth):
    """One set; keys of two words are written with an underscore."""
    keys = {key.replace("_", "-"): count for key, count in teeth.items()}
    return GearSet(name="s", kind=kind, teeth=FrozenMap(keys), planets=planets)


def ratio(gear_set, first, last, held=None, joined=None):
    """Input turns per output turn with a member held or two members joined."""
    train = Train(
        name="one set",
        input=f"s {first}",
        output=f"s {last}",
        sets=(gear_set,),
        brakes=(Brake(name="brake", member=f"s {held}"),) if held else (),
        clutches=(
            (Clutch(name="clutch", first=f"s {joined[0]}", second=f"s {joined[1]}"),)
            if joined
            else ()
        ),
    )
    return gl.power_flow(train, applied=train.element_names).ratio


MESHED = a_set("meshed-planet", sun=30, inner_planet=18, outer_planet=18, ring=72)


@pytest.mark.parametrize(
    "first, last, held, expected",
    [
        # Fixed carrier: sun and ring turn the same way (Wikipedia, "Epicyclic
        # gearing", Gear ratio of reversed epicyclic gearing, whose printed formula
        # has the sign of an ordinary set); the values for 30 and 72 are derived.
        ("sun", "ring", "carrier", Fraction(12, 5)),
        ("sun", "carrier", "ring", Fraction(-7, 5)),
        ("carrier", "ring", "sun", Fraction(12, 7)),
    ],
)
def test_meshed_planets(first, last, held, expected):
    assert ratio(MESHED, first, last, held) == expected


def test_planets_of_a_meshed_set_do_not_change_its_ratio():
    other = a_set("meshed-planet", sun=30, inner_planet=16, outer_planet=19, ring=72)
    assert ratio(other, "sun", "ring", "carrier") == Fraction(12, 5)


TWO_SUN = a_set("two-sun", small_sun=30, large_sun=36, short_planet=20, ring=84)


@pytest.mark.parametrize(
    "first, held, joined, expected",
    [  # closed forms derived from the member equations, output at the ring
        ("small sun", "carrier", None, Fraction(14, 5)),
        ("small sun", "large sun", None, Fraction(77, 50)),
        ("small sun", None, ("small sun", "large sun"), Fraction(1)),
        ("carrier", "large sun", None, Fraction(7, 10)),
        ("large sun", "carrier", None, Fraction(-7, 3)),
    ],
)
def test_two_suns(first, held, joined, expected):
    assert ratio(TWO_SUN, first, "ring", held, joined) == expected
    assert TWO_SUN.all_teeth["long-planet"] == 24


@pytest.mark.parametrize(
    "sun_planet, ring_planet, fixed_carrier",
    # A step of 2 : 1, ring 50, sun 20 (numbers from Wikipedia, "Epicyclic gearing",
    # Compound planetary gears, whose sentence puts the step the other way round): with
    # the large gear on the sun the set is like one with a ring of 100.
    [(40, 20, Fraction(-5)), (20, 40, Fraction(-5, 4))],
)
def test_stepped_planets(sun_planet, ring_planet, fixed_carrier):
    one = a_set(
        "stepped-planet",
        sun=20,
        sun_planet=sun_planet,
        ring_planet=ring_planet,
        ring=50,
    )
    assert ratio(one, "sun", "ring", "carrier") == fixed_carrier
    assert ratio(one, "sun", "carrier", "ring") == 1 - fixed_carrier


def test_the_two_gears_of_a_stepped_planet_are_one_piece():
    one = a_set("stepped-planet", sun=20, sun_planet=40, ring_planet=20, ring=80)
    train = Train(name="t", input="s sun", output="s carrier", sets=(one,))
    speeds = gl.solve_speeds(train, {"s sun": 3, "s carrier": 1})
    assert speeds["s sun planet"] == speeds["s ring planet"]
    with pytest.raises(ValueError, match="one piece"):
        Train(
            name="t",
            input="s sun",
            output="s carrier",
            sets=(one,),
            brakes=(),
            clutches=(Clutch(name="c", first="s sun planet", second="s ring planet"),),
        )


def test_differential():
    # Wikipedia, "Epicyclic gearing": with the left at 1/2 and the carrier at −1/4 the
    # right turns at −1.
    train = Train(
        name="t",
        input="s carrier",
        output="s left",
        sets=(a_set("differential", side=16),),
    )
    given = {"s left": Fraction(1, 2), "s carrier": Fraction(-1, 4)}
    assert gl.solve_speeds(train, given)["s right"] == -1


def test_simple_set_in_front_of_two_suns():
    # Derived closed forms of a simple set with its sun fixed before a two-sun set.
    six = gl.load_train("six-range").with_teeth(
        {
            "front": {"sun": 36, "ring": 72},
            "rear": {
                "small-sun": 30,
                "large-sun": 36,
                "short-planet": 20,
                "ring": 84,
            },
        }
    )
    expected = ["21/5", "231/100", "3/2", "42/37", "7/8", "7/10", "-7/2"]
    found = [str(gl.power_flow(six, row).ratio) for row in "123456R"]
    assert found == expected


@pytest.mark.parametrize(
    "kind, teeth, said",
    [
        ("meshed-planet", {"sun": 30, "ring": 72}, "inner-planet has no tooth count"),
        (
            "meshed-planet",
            {"sun": 30, "inner_planet": 8, "outer_planet": 8, "ring": 72},
            "out of reach",
        ),
        (
            "meshed-planet",
            {"sun": 30, "inner_planet": 21, "outer_planet": 18, "ring": 72},
            "no room",
        ),
        (
            "two-sun",
            {"small_sun": 36, "large_sun": 36, "short_planet": 20, "ring": 84},
            "not larger than small sun",
        ),
        (
            "two-sun",
            {"small_sun": 30, "large_sun": 37, "short_planet": 20, "ring": 84},
            "needs an even number",
        ),
        (
            "two-sun",
            {"small_sun": 20, "large_sun": 44, "short_planet": 8, "ring": 84},
            "does not reach",
        ),
        (
            "stepped-planet",
            {"sun": 20, "sun_planet": 20, "ring_planet": 50, "ring": 50},
            "does not turn inside",
        ),
        ("differential", {"side": 0}, "whole number from 4"),
        ("two-suns", {}, 'did you mean "two-sun"'),
    ],
)
def test_teeth_that_no_set_of_a_kind_can_have(kind, teeth, said):
    with pytest.raises(ValueError, match=said):
        a_set(kind, **teeth)


def test_planets_fit_where_all_their_meshes_are_in_phase():
    # Of a two-sun set: (large sun + ring) and (ring − small sun) teeth, derived.
    one = a_set("two-sun", 3, small_sun=33, large_sun=42, short_planet=20, ring=84)
    assert one.planet_places == 3
    assert [str(angle) for angle in one.planet_angles] == ["0", "1/3", "2/3"]
    with pytest.raises(ValueError, match="leave only 3 places"):
        a_set("two-sun", 4, small_sun=33, large_sun=42, short_planet=20, ring=84)
    # A stepped planet with equal gears is a simple one.
    stepped = a_set("stepped-planet", sun=21, sun_planet=39, ring_planet=39, ring=99)
    assert stepped.planet_places == 120
