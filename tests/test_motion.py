"""Speeds from any given ones: what is asked, what is refused, and levers."""

from decimal import Decimal
from fractions import Fraction as F
from math import inf, nan
from time import process_time

import numpy as np
import pytest
from trains import (
    external,
    gears,
    make_train,
    one_set,
    other_five_range,
    simple,
    three_range,
)

from gearlab import power_flow, solve_speeds
from gearlab.base.frozenmap import FrozenMap
from gearlab.train.motion import free_motions

TRAIN = other_five_range()
SET = one_set(32, 72)


def test_a_shaft_and_its_members_have_one_speed():
    speeds = solve_speeds(TRAIN, {"middle carrier": 5, "common-sun shaft": 1})
    assert speeds["output shaft"] == speeds["rear ring"] == 5
    assert speeds["middle sun"] == speeds["rear sun"] == 1
    assert speeds["rear carrier"] == F(24 * 1 + 72 * 5, 96)
    assert speeds["input shaft"] is speeds["front planet"] is None
    assert "case" not in speeds
    assert isinstance(speeds, FrozenMap)
    assert all(type(n) is F for n in speeds.values() if n is not None)


def test_any_kind_of_number_is_taken_as_written():
    for tenth in (0.1, "0.1", Decimal("0.1"), F(1, 10), "1/10"):
        speeds = solve_speeds(SET, {"front ring": 0, "front carrier": tenth})
        assert speeds["front sun"] == F(104, 320)


def test_nothing_given_leaves_all_open_but_what_is_held():
    speeds = solve_speeds(SET, {}, applied=["sun brake"])
    assert speeds["front sun"] == 0
    assert speeds["front ring"] is speeds["front carrier"] is None
    held = solve_speeds(SET, {}, applied=["sun brake", "ring brake"])
    assert set(held.values()) == {0}
    locked = solve_speeds(SET, {"front planet": -3}, applied=["sun-ring clutch"])
    assert set(locked.values()) == {-3}


def test_one_way_clutches_are_not_asked():
    # Derived: with the output at 1000, more than first range would turn the second
    # carrier backward, which its one-way clutch never allows.
    train = three_range()
    low = {}
    for speed in (1000, 2000, F(1795000, 703), 3000):
        given = {"first ring": speed, "output shaft": 1000}
        speeds = solve_speeds(train, given, applied=["forward clutch"])
        sun = (85 * F(1000) - 57 * speed) / 28
        assert speeds["sun shaft"] == sun
        assert speeds["input shaft"] == speed
        low[speed] = speeds["second carrier"]
    assert low[1000] == 1000
    assert abs(low[2000] - F("356.23")) < F(1, 200)
    assert low[F(1795000, 703)] == 0
    assert abs(low[3000] - F("-287.55")) < F(1, 200)


@pytest.mark.parametrize(
    ("given", "applied"),
    [
        ({"front sun": 1, "front carrier": 1, "front ring": 2}, []),
        ({"front sun": 1}, ["sun brake"]),
        ({"front sun": 1, "front carrier": 2}, ["sun-carrier clutch"]),
        ({"front ring": 5}, ["sun brake", "carrier brake"]),
    ],
)
def test_speeds_that_contradict_are_refused(given, applied):
    last = list(given)[-1]
    with pytest.raises(ValueError, match=f"^{last} at {given[last]} contradicts") as e:
        solve_speeds(SET, given, applied=applied)
    assert "leave one of them out" in str(e.value)


def test_one_shaft_given_twice():
    assert solve_speeds(TRAIN, {"middle sun": 2, "rear sun": 2})["middle sun"] == 2
    with pytest.raises(ValueError, match="rear sun at 3 contradicts"):
        solve_speeds(TRAIN, {"middle sun": 2, "rear sun": 3})


@pytest.mark.parametrize(
    "speed", [nan, inf, -inf, "fast", "", "1/0", None, True, 1j, [1], Decimal("NaN")]
)
def test_speeds_that_are_no_numbers_are_refused(speed):
    with pytest.raises(ValueError, match=r"speed of front sun: .* is no number that"):
        solve_speeds(SET, {"front sun": speed})


@pytest.mark.parametrize(
    "speed",
    ["1e9999999", "1" * 13, 10**5000, Decimal("1e900")],
    ids=["power", "text", "whole", "decimal"],
)
def test_speeds_of_too_many_digits_are_refused_at_once(speed):
    start = process_time()
    with pytest.raises(ValueError, match=r"speed of front sun: .*at most 12 digits"):
        solve_speeds(SET, {"front sun": speed})
    assert process_time() - start < 0.1


@pytest.mark.parametrize(
    ("speed", "read"),
    [
        ("3,15", F(63, 20)),
        ("−3", F(-3)),
        ("2000 rpm", F(2000)),
        (np.float64(3.15), F(63, 20)),
        (np.float32(0.1), F(1, 10)),
        (np.int64(-3), F(-3)),
        (np.mean([1, 2, 3]), F(2)),
    ],
)
def test_speeds_as_people_and_numpy_write_them(speed, read):
    assert solve_speeds(SET, {"front sun": speed})["front sun"] == read


def test_speeds_are_told_by_member():
    with pytest.raises(ValueError, match=r"the speeds are 2000, .*input shaft"):
        solve_speeds(SET, 2000)


@pytest.mark.parametrize("name", ["front sum", "sun", "", None, 3])
def test_a_member_that_is_not_there(name):
    with pytest.raises(ValueError, match=r'^no member or shaft .*"front sun"'):
        solve_speeds(SET, {name: 1})


def test_the_case_stands_still():
    assert solve_speeds(SET, {"case": 0, "front sun": 1})["front sun"] == 1
    with pytest.raises(ValueError, match="case at 1 contradicts"):
        solve_speeds(SET, {"case": 1})


def test_the_nearest_name_is_told():
    with pytest.raises(ValueError, match='"front sum"; did you mean "front sun"'):
        solve_speeds(SET, {"front sum": 1})
    with pytest.raises(ValueError, match='"low brak"; did you mean "low brake"'):
        solve_speeds(TRAIN, {}, applied=["low brak"])


@pytest.mark.parametrize(
    ("applied", "message"),
    [
        ("low brake", r'applied is the text "low brake", .*\["low brake"\]'),
        (7, "applied is 7, but it must be a list of names"),
        (None, "applied is None, but it must be a list of names"),
        ([None], "no element None"),
        ([["low brake"]], "no element"),
        (["low one-way clutch"], 'no element "low one-way clutch"'),
        (["case"], 'no element "case"'),
    ],
)
def test_elements_that_cannot_be_applied(applied, message):
    with pytest.raises(ValueError, match=message):
        solve_speeds(TRAIN, {"input shaft": 1}, applied=applied)


def test_applied_may_be_any_collection_and_hold_locks():
    names = ["low brake", "parking pawl", "low brake"]
    for applied in (names, tuple(names), set(names), iter(names)):
        speeds = solve_speeds(TRAIN, {"front sun": 7}, applied=applied)
        assert speeds["middle sun"] == speeds["middle ring"] == 0


# A train whose file alone keeps an end from turning, or makes both one.


def simple_train(**parts):
    return make_train(
        simple("front", 30, 72), input="front sun", output="front carrier", **parts
    )


def test_ends_that_the_shafts_alone_fix_are_refused():
    flat = simple_train(shafts={"case": ["front ring", "front planet"]})
    with pytest.raises(ValueError, match='input "front sun" cannot turn'):
        free_motions(flat)
    with pytest.raises(ValueError, match="take a member out"):
        power_flow(flat)


def test_output_that_teeth_alone_keep_still_is_refused():
    # Equal wheels beside an idler: the last one is only carried round.
    still = make_train(
        gears(external("a", 20, "idler", 24), external("idler", 24, "f", 20)),
        input="gears arm",
        output="gears f",
        shafts={"case": ["gears a"]},
    )
    with pytest.raises(ValueError, match='output "gears f" cannot turn'):
        power_flow(still)


def test_ends_that_always_turn_as_one_are_refused():
    one = simple_train(shafts={"one shaft": ["front ring", "front planet"]})
    with pytest.raises(ValueError, match=r'"front sun" and output .* turn as one'):
        solve_speeds(one, {"front sun": 1})


def test_free_motions_of_the_five_range_unit():
    assert free_motions(TRAIN).size == 4


# Lever analogy: Benford & Leising, SAE Paper 810102, 1981, from memory, to be checked
# against a copy. Nodes at −sun, 0 and +ring teeth: speeds lie on one line. Teeth: a
# worked-example hand-out, "Solved problems", §5.4 Problem 1, and for the two sets
# transtutors.com, question 13691296 (answers computed).


def test_lever_of_a_simple_set():
    speeds = solve_speeds(SET, {"front ring": 0, "front carrier": 18})
    slopes = [
        (speeds["front carrier"] - speeds["front ring"]) / 32,
        (speeds["front sun"] - speeds["front carrier"]) / 72,
    ]
    assert slopes == [F("0.5625")] * 2


def test_merged_lever_of_two_sets():
    node = {"sun": F(0), "carrier 2": F(57 * 80, 117), "out": F(57), "in": F(85)}
    train = three_range()
    for name, held, driver in (
        ("1", "carrier 2", "in"),
        ("2", "sun", "in"),
        ("R", "carrier 2", "sun"),
    ):
        on_lever = (node[driver] - node[held]) / (node["out"] - node[held])
        assert power_flow(train, name).ratio == on_lever


def test_a_long_chain_of_gears_stays_exact():
    teeth = [(9973 - i, 5003 + i) for i in range(0, 240, 2)]
    pairs = [
        external(f"wheel {i}", a, f"pinion {i + 1}", b, "case")
        for i, (a, b) in enumerate(teeth)
    ]
    shafts = {
        f"shaft {i}": [f"gears pinion {i}", f"gears wheel {i}"]
        for i in range(1, len(teeth))
    }
    last = f"gears pinion {len(teeth)}"
    train = make_train(gears(*pairs), input="gears wheel 0", output=last, shafts=shafts)
    ratio = F(1)
    for a, b in teeth:
        ratio *= F(-b, a)
    flow = power_flow(train)
    assert flow.ratio == ratio
    assert len(str(ratio.numerator)) > 200
    assert flow.torques["case"] == ratio - 1
    assert solve_speeds(train, {last: ratio.denominator})["gears wheel 0"] == (
        ratio.numerator
    )
