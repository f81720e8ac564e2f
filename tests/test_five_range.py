"""The five-range bench unit, to the fraction (all values derived)."""

from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import pytest
from trains import FIVE_RANGES, five_range

from gearlab import power_flow, range_flows, solve_speeds
from gearlab.train import OneWayClutch

TRAIN = five_range()
LOW, FRONT = "low one-way clutch", "front one-way clutch"

# range: ratio, holding, overrunning, state on coast, what the case gives per input
TABLE = {
    "1": ("41/13", {LOW}, set(), "freewheels", {LOW: "28/13"}),
    "1 low": ("41/13", set(), set(), "drives", {"low brake": "28/13"}),
    "2": (
        "492/221",
        {LOW},
        {FRONT},
        "freewheels",
        {"overdrive brake": "-5/17", LOW: "336/221"},
    ),
    "3": ("20/13", set(), {LOW}, "drives", {"common-sun brake": "7/13"}),
    "4": ("1", set(), {LOW}, "drives", {}),
    "5": ("12/17", set(), {FRONT, LOW}, "drives", {"overdrive brake": "-5/17"}),
    "R": ("-3", set(), set(), "drives", {"low brake": "-4"}),
}
TO_CASE = ("overdrive brake", "common-sun brake", "low brake", LOW, "case")


@pytest.mark.parametrize("name", TABLE)
def test_every_range_drives_as_in_the_table(name):
    ratio, holding, overrunning, _, from_case = TABLE[name]
    flow = power_flow(TRAIN, name)
    assert flow.train is TRAIN
    assert flow.range == name
    assert flow.applied == frozenset(FIVE_RANGES[name])
    assert flow.load == "drive"
    assert flow.state == "drives"
    assert flow.conflict is None
    assert flow.ratio == F(ratio)
    assert flow.holding == holding
    assert flow.overrunning == overrunning
    assert flow.speeds["output shaft"] == 1 / F(ratio)
    assert flow.torques["output"] == -F(ratio)
    known = {name: flow.torques[name] for name in TO_CASE if flow.torques[name]}
    assert known == {name: F(torque) for name, torque in from_case.items()}


@pytest.mark.parametrize("name", TABLE)
def test_every_range_coasts_as_in_the_table(name):
    ratio, _, overrunning, state, from_case = TABLE[name]
    flow = power_flow(TRAIN, name, load="coast")
    assert flow.state == state
    assert flow.holding == set()
    if state == "freewheels":
        assert flow.ratio is None
        assert set(flow.torques.values()) == {0}
        assert LOW in flow.overrunning
    else:
        assert flow.ratio == F(ratio)
        assert flow.overrunning == overrunning
        assert flow.torques["input"] == -1
        assert flow.torques["output"] == F(ratio)
        for element, torque in from_case.items():
            assert flow.torques[element] == -F(torque)


@pytest.mark.parametrize("name", FIVE_RANGES)
def test_the_front_one_way_backs_up_the_front_lock_clutch(name):
    for load in ("drive", "coast"):
        flow = power_flow(TRAIN, name, load=load)
        with_lock = "front lock clutch" in FIVE_RANGES[name]
        assert (FRONT in flow.backing_up) == with_lock
        if with_lock:
            assert FRONT not in flow.holding | flow.overrunning
    assert power_flow(TRAIN, "1 low").backing_up == {FRONT, LOW}
    assert power_flow(TRAIN, "R").backing_up == {FRONT, LOW}


def test_applied_elements_take_the_torque_and_one_ways_beside_them_none():
    flow = power_flow(TRAIN, "1 low")
    assert flow.torques[LOW] == 0
    assert flow.torques["low brake"] == F(28, 13)
    # The front ring passes on 1, so the front sun must be held with 30/72; the lock
    # clutch passes that from the sun to the carrier, where it adds to the input.
    assert flow.torques["front lock clutch"] == F(30, 72)
    assert flow.shared == {}


def test_forward_clutch_alone_runs_in_first():
    flow = power_flow(TRAIN, applied=["forward clutch"])
    assert flow.range is None
    assert flow.state == "drives"
    assert flow.ratio == F(41, 13)
    assert flow.holding == {FRONT, LOW}
    assert flow.backing_up == flow.overrunning == set()
    assert flow.torques[LOW] == F(28, 13)
    assert flow.torques[FRONT] == F(30, 72)
    coast = power_flow(TRAIN, applied=["forward clutch"], load="coast")
    assert coast.state == "freewheels"


def test_fourth_splits_the_input_torque_between_two_clutches():
    flow = power_flow(TRAIN, "4")
    assert flow.torques["forward clutch"] == F(13, 20)
    assert flow.torques["direct clutch"] == F(7, 20)
    assert {flow.speeds[name] for name in flow.speeds} == {1}


def test_neutral_turns_the_front_set_and_nothing_else_for_sure():
    for load in ("drive", "coast"):
        flow = power_flow(TRAIN, "N", load=load)
        assert flow.state == "neutral"
        assert flow.ratio is None
        assert flow.speeds["intermediate shaft"] == flow.speeds["front sun"] == 1
        assert flow.speeds["output shaft"] is None
        assert flow.speeds["middle ring"] is None
        assert set(flow.torques.values()) == {0}
        assert flow.shared == {}
        assert flow.backing_up == {FRONT}
    nothing = power_flow(TRAIN)
    assert nothing.applied == frozenset()
    assert nothing.state == "neutral"
    assert nothing.speeds["front sun"] is None


def test_park_is_neutral_with_the_output_held():
    flow = power_flow(TRAIN, "P")
    assert flow.state == "output locked"
    assert flow.speeds["output shaft"] == 0
    assert flow.speeds["input shaft"] == 1
    assert set(flow.torques.values()) == {0}


def test_pawl_with_first_ties_up_by_a_one_way_clutch():
    applied = ["front lock clutch", "forward clutch", "parking pawl"]
    flow = power_flow(TRAIN, applied=applied)
    assert flow.state == "tied up"
    # With the output held, an input that turned forward would turn the rear carrier
    # backward. Neither the front lock nor the front one-way is needed for that: the
    # front one-way does what the lock does, and the lock comes first in the file.
    assert flow.conflict == {"front lock clutch", "forward clutch", "parking pawl", LOW}
    assert set(flow.torques.values()) == {None}
    assert flow.speeds["output shaft"] == 0
    assert flow.holding == set()
    # Input backward, output at rest is free: the rear carrier turns forward.
    assert flow.speeds["rear carrier"] == 0


@pytest.mark.parametrize(
    ("applied", "fight"),
    [
        # front lock clutch on before the overdrive brake is off
        (
            ["overdrive brake", "front lock clutch", "forward clutch"],
            {"overdrive brake", "front lock clutch"},
        ),
        (
            ["overdrive brake", "front lock clutch"],
            {"overdrive brake", "front lock clutch"},
        ),
        (
            ["common-sun brake", "direct clutch", "front lock clutch"],
            {"common-sun brake", "front lock clutch", "direct clutch"},
        ),
    ],
)
def test_elements_that_tie_the_unit_up(applied, fight):
    for load in ("drive", "coast"):
        flow = power_flow(TRAIN, applied=applied, load=load)
        assert flow.state == "tied up"
        assert flow.conflict == fight
        assert flow.ratio is None


def test_second_to_third_goes_wrong_in_three_ways():
    early = power_flow(
        TRAIN, applied=["overdrive brake", "forward clutch", "common-sun brake"]
    )
    assert early.ratio == F(240, 221)
    flare = power_flow(TRAIN, applied=["forward clutch"])
    assert flare.ratio == power_flow(TRAIN, "1").ratio
    tie_up = power_flow(
        TRAIN, applied=["overdrive brake", "forward clutch", "front lock clutch"]
    )
    assert tie_up.state == "tied up"


FRONT_CELLS = {"front lock clutch": F(1), "overdrive brake": F(12, 17)}
REAR_CELLS = {
    ("forward clutch", "low brake"): F(41, 13),
    ("forward clutch", "common-sun brake"): F(20, 13),
    ("forward clutch", "direct clutch"): F(1),
    ("direct clutch", "low brake"): F(-3),
}


@pytest.mark.parametrize("front", FRONT_CELLS)
@pytest.mark.parametrize("rear", REAR_CELLS)
def test_the_unit_is_a_product_of_its_front_and_rear(front, rear):
    flow = power_flow(TRAIN, applied=[front, *rear])
    assert flow.ratio == FRONT_CELLS[front] * REAR_CELLS[rear]


def test_steps_and_the_two_cells_left_out():
    ratios = [power_flow(TRAIN, name).ratio for name in "12345"]
    steps = [a / b for a, b in pairwise(ratios)]
    assert steps == [F(17, 12), F(369, 255), F(20, 13), F(17, 12)]
    reverse = power_flow(
        TRAIN, applied=["overdrive brake", "direct clutch", "low brake"]
    )
    assert reverse.ratio == F(-36, 17)


def test_reverse_loads_the_low_brake_almost_twice_as_much_the_other_way():
    first, reverse = power_flow(TRAIN, "1 low"), power_flow(TRAIN, "R")
    relation = reverse.torques["low brake"] / first.torques["low brake"]
    assert relation == F(-13, 7)
    # A one-way clutch cannot take it: without the low brake reverse does nothing.
    alone = power_flow(TRAIN, applied=["front lock clutch", "direct clutch"])
    assert alone.state == "neutral"
    assert alone.holding == set()


def test_easy_count_teeth():
    easy = TRAIN.with_teeth(
        {
            "front": {"sun": 30, "ring": 60},
            "middle": {"sun": 36, "ring": 72},
            "rear": {"sun": 24, "ring": 84},
        }
    )
    ratios = {name: flows["drive"].ratio for name, flows in range_flows(easy).items()}
    assert ratios == {
        "P": None,
        "R": F(-7, 2),
        "N": None,
        "1": F(13, 4),
        "2": F(13, 6),
        "3": F(3, 2),
        "4": 1,
        "5": F(2, 3),
        "1 low": F(13, 4),
    }
    assert easy == five_range((30, 60), (36, 72), (24, 84))


@pytest.mark.parametrize(
    ("front", "middle", "rear"),
    [
        ((30, 72), (42, 78), (24, 72)),
        ((33, 69), (40, 80), (28, 76)),
        ((45, 75), (30, 70), (20, 90)),
        ((24, 84), (60, 84), (30, 66)),
    ],
)
def test_closed_forms_for_changed_teeth(front, middle, rear):
    (a, b), (c, d), (e, f) = front, middle, rear
    overdrive = F(b, a + b)
    low = 1 + F(c, d) + F(c, d) * F(f, e)
    train = TRAIN.with_teeth(
        {
            "front": {"sun": a, "ring": b},
            "middle": {"sun": c, "ring": d},
            "rear": {"sun": e, "ring": f},
        }
    )
    expected = {
        "1": low,
        "2": overdrive * low,
        "3": 1 + F(c, d),
        "4": 1,
        "5": overdrive,
        "R": F(-f, e),
    }
    for name, ratio in expected.items():
        assert power_flow(train, name).ratio == ratio


def test_two_measured_shafts_give_every_speed():
    speeds = solve_speeds(
        TRAIN,
        {"input shaft": 1200, "output shaft": 600},
        applied=["front lock clutch", "forward clutch"],
    )
    # Sun shaft: (120 · 600 − 78 · 1200) / 42; rear carrier: (24 sun + 72 · 600) / 96.
    sun = F(120 * 600 - 78 * 1200, 42)
    assert speeds["common-sun shaft"] == speeds["rear sun"] == sun
    assert speeds["rear carrier"] == (24 * sun + 72 * 600) / 96
    assert speeds["middle ring"] == 1200


def test_a_train_that_freewheels_has_one_motion_to_draw():
    flow = power_flow(TRAIN, "1", load="coast")
    shown = {**flow.one_motion, "case": 0}
    assert None not in shown.values()
    assert shown["input shaft"] == 1
    assert shown["output shaft"] > F(13, 41)
    assert shown["rear carrier"] > 0


def test_one_way_clutch_fitted_backward():
    part = OneWayClutch(name="low", member="case", against="rear carrier")
    backward = replace(TRAIN, one_way_clutches=(part,))
    assert power_flow(backward, "1").state == "neutral"
    assert power_flow(backward, "1", load="coast").braking_only
    flow = power_flow(backward, "4")
    assert flow.state == "tied up"
    assert flow.conflict == {*flow.applied, "low"}
