"""Ratios and speeds that others have published, each with its source beside it."""

from fractions import Fraction as F
from math import pi

import pytest
import trains
from loops import each
from trains import external, gears, internal, make_train, one_set, simple

from gearlab import power_flow, solve_speeds


def simple_speeds(sun, ring, given):
    train = one_set(sun, ring)
    speeds = solve_speeds(train, {f"front {key}": n for key, n in given.items()})
    return {key.removeprefix("front "): n for key, n in speeds.items()}


def mesh_train(*meshes, input, output, shafts=()):
    return make_train(
        gears(*meshes),
        input=f"gears {input}",
        output=f"gears {output}",
        shafts={
            key: [f"gears {one}" for one in members]
            for key, members in dict(shafts).items()
        },
    )


def mesh_speeds(train, given):
    speeds = solve_speeds(train, {f"gears {key}": n for key, n in given.items()})
    return {key.removeprefix("gears "): n for key, n in speeds.items()}


@each(
    "sun, ring, given, expected",
    [
        # "Solved problems", §5.4 Problem 1, an open worked-example hand-out
        # (attributed, as quoted, to Glasgow Caledonian University, Engineering
        # Design and Analysis 2): sun 58.5 one way, planets 46.8 the other.
        (32, 72, {"ring": 0, "carrier": 18}, {"sun": "58.5", "planet": "-46.8"}),
        # GATE Mechanical 2009: 10 rpm, the same way.
        (20, 100, {"ring": 0, "sun": 60}, {"carrier": "10"}),
        # GATE Mechanical 2022, set 1: 600.
        (40, 80, {"sun": 0, "ring": 900}, {"carrier": "600"}),
        # GATE Mechanical, listed beside the 2017 question (inputs; 62.5 from memory,
        # to be checked against a copy).
        (60, 100, {"sun": 0, "ring": 100}, {"carrier": "62.5"}),
        # "Epicyclic gearing", English Wikipedia, "Kinematic equations".
        (60, 100, {"sun": F(1, 2), "carrier": F(-1, 4)}, {"ring": "-7/10"}),
        # "Principle of operation of the hub", defietssite.nl: 1.33.
        (20, 60, {"sun": 0, "carrier": 1}, {"ring": "4/3"}),
        # Budynas & Nisbett, Shigley's Mechanical Engineering Design, ch. 13, from
        # memory, to be checked against a copy: 20 and 33.3 the other way.
        (20, 80, {"ring": 0, "sun": 100}, {"carrier": "20", "planet": "-100/3"}),
        # Khurmi & Gupta, Theory of Machines, ch. 13, from memory, to be checked
        # against a copy: 0.04 and 0.308.
        (40, 90, {"sun": -1, "ring": F(1, 2)}, {"carrier": "1/26"}),
        (40, 90, {"sun": -1, "ring": 0}, {"carrier": "-4/13"}),
        # Gear Technical Reference, "Gear trains", from memory, to be checked
        # against a copy: planetary 4, solar 1.33, star −3.
        (16, 48, {"ring": 0, "sun": 4}, {"carrier": "1"}),
        (16, 48, {"sun": 0, "ring": 4}, {"carrier": "3"}),
        (16, 48, {"carrier": 0, "sun": 3}, {"ring": "-1"}),
    ],
)
def test_simple_set(sun, ring, given, expected):
    speeds = simple_speeds(sun, ring, given)
    for member, speed in expected.items():
        assert speeds[member] == F(speed)


def test_planet_teeth_follow_from_the_others():
    # The same hand-out gives 20, the 2022 question 20, the textbook example 30.
    for sun, ring, planet in ((32, 72, 20), (40, 80, 20), (20, 80, 30), (16, 48, 16)):
        assert simple("front", sun, ring).all_teeth["planet"] == planet


def test_planet_is_counted_from_the_ground_or_from_its_carrier():
    # The same hand-out: −46.8 from the ground, so −64.8 about its pin (derived).
    speeds = simple_speeds(32, 72, {"ring": 0, "carrier": 18})
    assert speeds["planet"] - speeds["carrier"] == F(-324, 5)


def test_relative_speed_of_sun_and_carrier():
    # "Epicyclic Gearing: A Handbook", Gear Solutions, September 2008: 1300 and 2100.
    for carrier, relative in ((400, 1300), (-400, 2100)):
        speeds = simple_speeds(30, 70, {"sun": 1700, "carrier": carrier})
        assert speeds["sun"] - speeds["carrier"] == relative
        assert speeds["ring"] == carrier - F(30, 70) * relative


def test_single_pairs_on_a_carrier():
    # "Epicyclic gearing", English Wikipedia, "Gear speed ratios of conventional
    # epicyclic gearing": −3/2 and 1/4. The three gears make no coaxial set together.
    pair = mesh_train(external("sun", 24, "planet", 16), input="sun", output="planet")
    assert mesh_speeds(pair, {"arm": 0, "sun": 1})["planet"] == F(-3, 2)
    pair = mesh_train(internal("planet", 16, "ring", 64), input="planet", output="ring")
    assert mesh_speeds(pair, {"arm": 0, "planet": 1})["ring"] == F(1, 4)


def test_compound_train_without_a_carrier():
    # GATE Mechanical 2014, question with its options (answer computed): 300.
    train = mesh_train(
        external("two", 20, "three", 40, "case"),
        external("four", 15, "five", 30, "case"),
        input="two",
        output="five",
        shafts={"middle shaft": ["three", "four"]},
    )
    assert mesh_speeds(train, {"two": 1200})["five"] == 300
    assert power_flow(train).ratio == 4


# The six cases of hold and drive. Formulas: "Epicyclic gearing", English Wikipedia,
# "Fixed carrier train ratio", and tec-science.com, "Transmission ratios of planetary
# gears (Willis equation)"; the numbers are derived.
SIX = [
    ("ring", "sun", "carrier", "10/3", "4"),
    ("ring", "carrier", "sun", "3/10", "1/4"),
    ("sun", "ring", "carrier", "10/7", "4/3"),
    ("sun", "carrier", "ring", "7/10", "3/4"),
    ("carrier", "sun", "ring", "-7/3", "-3"),
    ("carrier", "ring", "sun", "-3/7", "-1/3"),
]


@pytest.mark.parametrize(("held", "driver", "driven", "of_30_70", "of_24_72"), SIX)
def test_six_cases_of_hold_and_drive(held, driver, driven, of_30_70, of_24_72):
    for sun, ring, ratio in ((30, 70, of_30_70), (24, 72, of_24_72)):
        train = one_set(sun, ring, f"front {driver}", f"front {driven}")
        flow = power_flow(train, applied=[f"{held} brake"])
        assert flow.state == "drives"
        assert flow.ratio == F(ratio)
        assert flow.torques[f"{held} brake"] == F(ratio) - 1
        speeds = simple_speeds(sun, ring, {held: 0, driver: F(ratio)})
        assert speeds[driven] == 1


@pytest.mark.parametrize(
    "clutch", ["sun-carrier clutch", "carrier-ring clutch", "sun-ring clutch"]
)
def test_any_two_members_locked_give_direct(clutch):
    for _, driver, driven, *_ in SIX:
        train = one_set(30, 70, f"front {driver}", f"front {driven}")
        flow = power_flow(train, applied=[clutch])
        assert flow.ratio == 1
        assert set(flow.speeds.values()) == {1}


def test_nothing_held_is_neutral():
    for sun, ring in ((30, 70), (24, 72)):
        flow = power_flow(one_set(sun, ring))
        assert flow.state == "neutral"
        assert flow.speeds["front carrier"] is None


@pytest.mark.parametrize(
    ("held", "driver", "expected", "spin"),
    [
        ("ring", "sun", {"carrier": 300, "planet": -750}, -1050),
        ("sun", "ring", {"carrier": 700, "planet": 1750}, 1050),
        ("carrier", "sun", {"planet": -1500, "ring": F(-3000, 7)}, -1500),
        ("sun", "carrier", {"ring": F(10000, 7), "planet": 2500}, 1500),
    ],
)
def test_planet_spin_of_30_20_70_at_1000_rpm(held, driver, expected, spin):
    # Derived.
    speeds = simple_speeds(30, 70, {held: 0, driver: 1000})
    assert {key: speeds[key] for key in expected} == expected
    assert speeds["planet"] - speeds["carrier"] == spin


# Trains with their meshes written out.


@each(
    "meshes, rigid, given, expected",
    [
        # Khurmi & Gupta, Theory of Machines, ch. 13, examples 13.4 and 13.5, from
        # memory, to be checked against a copy: 270, 510 and 400.
        ([external("a", 36, "b", 45)], "", {"a": 0, "arm": 150}, {"b": 270}),
        ([external("a", 36, "b", 45)], "", {"a": -300, "arm": 150}, {"b": 510}),
        (trains.REVERTED, "d e", {"b": 0, "arm": -100}, {"c": 400}),
        # "Solved problems", §5.4 Problem 2, as quoted: 27.5 the other way.
        (trains.INTERNAL_WHEELS, "c d", {"a": 0, "arm": -100}, {"b": F(-7900, 287)}),
        # Khurmi & Gupta, ch. 13, exercises, from memory, to be checked against a copy:
        # 400 and 483.3.
        (trains.TWO_RINGS, "b c", {"a": 100, "d": -450}, {"arm": -400}),
        (trains.TWO_RINGS, "b c", {"a": 100, "d": -450}, {"e": F(-1450, 3)}),
        (trains.TWO_RINGS_SMALL, "b c", {"a": -1, "d": 5}, {"arm": F(49, 11)}),
        (trains.TWO_RINGS_SMALL, "b c", {"a": -1, "d": 5}, {"e": F(59, 11)}),
        # adapala-academy.com, forum 3933 (inputs; 4.7 from memory, to be checked).
        (trains.PLANET_ON_FIXED, "b c", {"e": 0, "arm": 80}, {"d": 17}),
        # GATE Mechanical 2006, linked pair (both options read; the tooth counts from
        # memory, to be checked against a copy): train value 6 and −156.
        (trains.PAIRS, "two three", {"arm": 0, "one": 6}, {"four": 1}),
        (trains.PAIRS, "two three", {"one": 60, "four": -120}, {"arm": -156}),
        # C. W. MacCord, "Planetary Wheel Trains", Scientific American Supplement 441,
        # 14 June 1884, Fig. 18 (the third answer computed).
        (trains.THREE_ON_ONE, "b e g i", {"a": 0, "arm": 1}, {"f": F(-1, 19), "h": 0}),
        (trains.THREE_ON_ONE, "b e g i", {"a": 0, "arm": 1}, {"k": F(1, 21)}),
        # H. T. Brown, 507 Mechanical Movements, 1868, no. 504, as quoted: one stands
        # still, one turns one way and one the other (the speeds computed).
        (trains.PARADOX, "", {"a": 0, "arm": 1}, {"f": 0, "e": F(1, 21)}),
        (trains.PARADOX, "", {"a": 0, "arm": 1}, {"g": F(-1, 19)}),
        # R. L. Norton, Design of Machinery, ch. 9, Fig. 9-38 (teeth; the result from
        # memory, to be checked against a copy): −1.01 and 0.99.
        (trains.THREE_WHEELS, "", {"fixed": 0, "arm": 99}, {"fewer": -1}),
        (trains.THREE_WHEELS, "", {"fixed": 0, "arm": 101}, {"more": 1}),
        # K. J. Waldron & G. L. Kinzel, Kinematics, Dynamics, and Design of Machinery,
        # 1999, example 10.7, from memory, to be checked against a copy: 1.4456 for 100.
        # Bevel gears: two and seven face each other, so one of their meshes is
        # internal; six and seven are on one side of the planet.
        (trains.BEVEL_PLANETS, "four five", {"seven": 0, "two": 1176}, {"six": 17}),
        # "Epicyclic gearing", English Wikipedia; a spur differential, where two
        # pinions in mesh do what one bevel pinion does.
        (trains.DIFFERENTIAL, "", {"left": F(1, 2), "arm": F(-1, 4)}, {"right": -1}),
        (trains.DIFFERENTIAL, "", {"left": 300, "right": 100}, {"arm": 200}),
    ],
)
def test_train_with_meshes_written_out(meshes, rigid, given, expected):
    shafts = {"rigid shaft": rigid.split()} if rigid else {}
    driver, driven = list(given)[-1], next(iter(expected))
    train = mesh_train(*meshes, input=driver, output=driven, shafts=shafts)
    speeds = mesh_speeds(train, given)
    for gear, speed in expected.items():
        assert speeds[gear] == speed


def test_speeds_that_a_book_rounded_on_the_way():
    # Khurmi & Gupta, ch. 13, exercises, from memory, to be checked against a copy:
    # 27.964 and 33.678 rad/s, from 4.45 and 5.36 turns a second.
    shafts = {"planet shaft": ["b", "c"]}
    train = mesh_train(*trains.TWO_RINGS_SMALL, input="a", output="e", shafts=shafts)
    speeds = mesh_speeds(train, {"a": -1, "d": 5})
    assert speeds["arm"] * 2 * pi == pytest.approx(27.964, rel=1e-3)
    assert speeds["e"] * 2 * pi == pytest.approx(33.678, rel=1e-3)


def test_planet_gears_about_their_own_bearing():
    # MacCord, the next page: −20/19, −1 and −20/21.
    shafts = {"planet shaft": ["b", "e", "g", "i"]}
    train = mesh_train(*trains.THREE_ON_ONE, input="arm", output="f", shafts=shafts)
    speeds = mesh_speeds(train, {"a": 0, "arm": 1})
    assert [speeds[key] - 1 for key in "fhk"] == [F(-20, 19), -1, F(-20, 21)]


@pytest.mark.parametrize(("fixed", "last"), [(40, 40), (30, 40), (60, 20), (17, 51)])
def test_wheel_that_an_idler_turns_about_a_fixed_one(fixed, last):
    # I. I. Artobolevsky, mechanism 2873: n4 = n1 (z4 − z2) / z4.
    meshes = external("two", fixed, "three", 23), external("three", 23, "four", last)
    train = mesh_train(*meshes, input="arm", output="four")
    speeds = mesh_speeds(train, {"two": 0, "arm": 1})
    assert speeds["four"] == F(last - fixed, last)


def fixed_train(*meshes, fixed, input, output, rigid=()):
    shafts = {"case": [fixed], **({"rigid shaft": rigid} if rigid else {})}
    return mesh_train(*meshes, input=input, output=output, shafts=shafts)


def test_ten_thousand_to_one():
    # Merritt and others, from memory, to be checked against a copy: 10 000.
    meshes = external("a", 101, "b", 100), external("c", 99, "d", 100)
    train = fixed_train(*meshes, fixed="a", input="arm", output="d", rigid=["b", "c"])
    assert power_flow(train).ratio == 10_000


def test_twenty_five_thousand_to_one():
    # H. T. Brown, 507 Mechanical Movements, 1868, no. 507: 25,000 (sign computed). The
    # wheel C meets A and D on opposite sides, so they turn opposite ways.
    train = mesh_train(
        internal("a", 10, "c", 100, "case"),
        external("d", 10, "c", 100, "case"),
        external("e", 61, "f", 49),
        external("g", 41, "h", 51),
        input="arm",
        output="c",
        shafts={"a shaft": ["a", "h"], "d shaft": ["d", "e"], "f shaft": ["f", "g"]},
    )
    assert power_flow(train).ratio == -25_000


def test_split_ring_moves_one_tooth_a_carrier_turn():
    # "Epicyclic gearing", English Wikipedia, "Compound planetary gears" (the
    # principle; numbers derived).
    meshes = (
        external("sun", 12, "planet", 24),
        internal("planet", 24, "fixed ring", 60),
        internal("planet", 24, "ring", 61),
    )
    train = fixed_train(*meshes, fixed="fixed ring", input="sun", output="ring")
    flow = power_flow(train)
    assert flow.ratio == 366
    assert flow.speeds["gears ring"] / flow.speeds["gears arm"] == F(1, 61)


def test_stepped_planet_between_two_rings():
    # Müller, Epicyclic Drive Trains, from memory, to be checked against a copy
    # (numbers derived).
    meshes = (
        external("sun", 12, "big", 24),
        internal("big", 24, "fixed ring", 60),
        internal("small", 22, "ring", 58),
    )
    train = fixed_train(
        *meshes, fixed="fixed ring", input="sun", output="ring", rigid=["big", "small"]
    )
    assert power_flow(train).ratio == 116


def test_meshed_planets_turn_sun_and_ring_the_same_way():
    # "Epicyclic gearing", English Wikipedia, "Gear ratio of reversed epicyclic
    # gearing": the same direction (numbers derived).
    meshes = (
        external("sun", 30, "inner", 15),
        external("inner", 15, "outer", 16),
        internal("outer", 16, "ring", 72),
    )
    train = mesh_train(*meshes, input="sun", output="arm")
    assert mesh_speeds(train, {"arm": 0, "ring": 1})["sun"] == F(12, 5)
    assert mesh_speeds(train, {"ring": 0, "arm": 1})["sun"] == F(-7, 5)
    assert mesh_speeds(train, {"sun": 0, "arm": 1})["ring"] == F(7, 12)


@pytest.mark.parametrize(
    ("on_sun", "on_ring", "value"), [(30, 15, F(-5)), (15, 30, F(-5, 4))]
)
def test_stepped_planet_acts_like_another_ring(on_sun, on_ring, value):
    # "Epicyclic gearing", English Wikipedia, "Compound planetary gears": a 50-tooth
    # ring acts like one of 100 teeth, with the large end on the sun (answer computed).
    meshes = external("sun", 20, "one", on_sun), internal("two", on_ring, "ring", 50)
    shafts = {"planet shaft": ["one", "two"]}
    train = mesh_train(*meshes, input="sun", output="ring", shafts=shafts)
    assert mesh_speeds(train, {"arm": 0, "ring": 1})["sun"] == value


def test_sun_and_planet_motion():
    # Watt's engine, as quoted: the sun makes two turns for one of the arm.
    train = mesh_train(external("sun", 30, "planet", 30), input="arm", output="sun")
    assert mesh_speeds(train, {"planet": 0, "arm": 1})["sun"] == 2
