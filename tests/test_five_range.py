"""The five-range bench unit, to the fraction (all values derived).

Most checks are made twice: with the shipped teeth, and with other ones.
"""

from dataclasses import replace
from fractions import Fraction as F
from itertools import pairwise

import pytest
from formulas import five_range as five_range_ratios
from trains import FIVE_RANGES, five_range, other_five_range

from gearlab import load_train, power_flow, range_flows, solve_speeds
from gearlab.train.train import OneWayClutch

TRAIN, OTHER = load_train("five-range"), other_five_range()
LOW, FRONT = "low one-way clutch", "front one-way clutch"

# range: ratio, holding, overrunning, state on coast, what the case gives per input
TABLE = {
    "1": ("17/6", {LOW}, set(), "freewheels", {LOW: "11/6"}),
    "1 low": ("17/6", set(), set(), "drives", {"low brake": "11/6"}),
    "2": (
        "17/9",
        {LOW},
        {FRONT},
        "freewheels",
        {"overdrive brake": "-1/3", LOW: "11/9"},
    ),
    "3": ("38/27", set(), {LOW}, "drives", {"common-sun brake": "11/27"}),
    "4": ("1", set(), {LOW}, "drives", {}),
    "5": ("2/3", set(), {FRONT, LOW}, "drives", {"overdrive brake": "-1/3"}),
    "R": ("-7/2", set(), set(), "drives", {"low brake": "-9/2"}),
}
OTHER_TABLE = {
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
TABLES = pytest.mark.parametrize(
    ("train", "table"), [(TRAIN, TABLE), (OTHER, OTHER_TABLE)], ids=["shipped", "other"]
)
BOTH = pytest.mark.parametrize("train", [TRAIN, OTHER], ids=["shipped", "other"])


def pairs(train):
    """Sun and ring of the front, the middle and the rear set."""
    return [(one.all_teeth["sun"], one.all_teeth["ring"]) for one in train.sets]


@TABLES
@pytest.mark.parametrize("name", TABLE)
def test_every_range_drives_as_in_the_table(train, table, name):
    ratio, holding, overrunning, _, from_case = table[name]
    flow = power_flow(train, name)
    assert flow.train is train
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


@TABLES
@pytest.mark.parametrize("name", TABLE)
def test_every_range_coasts_as_in_the_table(train, table, name):
    ratio, _, overrunning, state, from_case = table[name]
    flow = power_flow(train, name, load="coast")
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


@BOTH
def test_applied_elements_take_the_torque_and_one_ways_beside_them_none(train):
    flow = power_flow(train, "1 low")
    assert flow.torques[LOW] == 0
    # What comes in and what the case gives go out together: ratio - 1.
    assert flow.torques["low brake"] == five_range_ratios(train)["1"] - 1
    # The front ring passes on 1, so the front sun must be held with sun/ring; the lock
    # clutch passes that from the sun to the carrier, where it adds to the input.
    assert flow.torques["front lock clutch"] == F(*pairs(train)[0])
    assert flow.shared == {}


@BOTH
def test_forward_clutch_alone_runs_in_first(train):
    flow = power_flow(train, applied=["forward clutch"])
    assert flow.range is None
    assert flow.state == "drives"
    assert flow.ratio == five_range_ratios(train)["1"]
    assert flow.holding == {FRONT, LOW}
    assert flow.at_rest == flow.overrunning == set() and flow.backing_up == {}
    assert flow.torques[LOW] == flow.ratio - 1
    assert flow.torques[FRONT] == F(*pairs(train)[0])
    coast = power_flow(train, applied=["forward clutch"], load="coast")
    assert coast.state == "freewheels"


@pytest.mark.parametrize(
    ("train", "forward", "direct"),
    [(TRAIN, "27/38", "11/38"), (OTHER, "13/20", "7/20")],
)
def test_fourth_splits_the_input_torque_between_two_clutches(train, forward, direct):
    flow = power_flow(train, "4")
    # As a set does: ring and sun are loaded as their teeth.
    sun, ring = pairs(train)[1]
    assert flow.torques["forward clutch"] == F(forward) == F(ring, sun + ring)
    assert flow.torques["direct clutch"] == F(direct) == F(sun, sun + ring)
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
        assert flow.at_rest == {FRONT} and flow.backing_up == {}
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


@pytest.mark.parametrize(("train", "ratio"), [(TRAIN, "76/81"), (OTHER, "240/221")])
def test_second_to_third_goes_wrong_in_three_ways(train, ratio):
    early = power_flow(
        train, applied=["overdrive brake", "forward clutch", "common-sun brake"]
    )
    assert early.ratio == F(ratio)
    flare = power_flow(train, applied=["forward clutch"])
    assert flare.ratio == power_flow(train, "1").ratio
    tie_up = power_flow(
        train, applied=["overdrive brake", "forward clutch", "front lock clutch"]
    )
    assert tie_up.state == "tied up"


# The front section alone, and the rear one alone, by the ranges that use them.
FRONT_CELLS = {"front lock clutch": "4", "overdrive brake": "5"}
REAR_CELLS = {
    ("forward clutch", "low brake"): "1 low",
    ("forward clutch", "common-sun brake"): "3",
    ("forward clutch", "direct clutch"): "4",
    ("direct clutch", "low brake"): "R",
}


@TABLES
@pytest.mark.parametrize("front", FRONT_CELLS)
@pytest.mark.parametrize("rear", REAR_CELLS)
def test_the_unit_is_a_product_of_its_front_and_rear(train, table, front, rear):
    flow = power_flow(train, applied=[front, *rear])
    first, second = (
        F(table[name][0]) for name in (FRONT_CELLS[front], REAR_CELLS[rear])
    )
    assert flow.ratio == first * second


@pytest.mark.parametrize(
    ("train", "steps", "left_out"),
    [
        (TRAIN, "3/2 51/38 38/27 3/2", "-7/3"),
        (OTHER, "17/12 369/255 20/13 17/12", "-36/17"),
    ],
)
def test_steps_and_the_reverse_left_out(train, steps, left_out):
    ratios = [power_flow(train, name).ratio for name in "12345"]
    assert [a / b for a, b in pairwise(ratios)] == [*map(F, steps.split())]
    reverse = power_flow(
        train, applied=["overdrive brake", "direct clutch", "low brake"]
    )
    assert reverse.ratio == F(left_out)


@pytest.mark.parametrize(("train", "relation"), [(TRAIN, "-27/11"), (OTHER, "-13/7")])
def test_reverse_loads_the_low_brake_more_than_first_the_other_way(train, relation):
    first, reverse = power_flow(train, "1 low"), power_flow(train, "R")
    loads = reverse.torques["low brake"], first.torques["low brake"]
    assert loads[0] / loads[1] == F(relation)
    # A one-way clutch cannot take it: without the low brake reverse does nothing.
    alone = power_flow(train, applied=["front lock clutch", "direct clutch"])
    assert alone.state == "neutral"
    assert alone.holding == set()


def test_easy_count_teeth():
    easy = TRAIN.with_teeth(TRAIN.tooth_sets["easy-count"])
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
    assert pairs(easy) == pairs(five_range((30, 60), (36, 72), (24, 84)))


@pytest.mark.parametrize(
    ("front", "middle", "rear"),
    [
        ((36, 72), (33, 81), (20, 70)),
        ((30, 72), (42, 78), (24, 72)),
        ((33, 69), (40, 80), (28, 76)),
        ((45, 75), (30, 70), (20, 90)),
        ((24, 84), (60, 84), (30, 66)),
    ],
)
def test_closed_forms_for_changed_teeth(front, middle, rear):
    train = OTHER.with_teeth(
        {
            name: {"sun": sun, "ring": ring}
            for name, (sun, ring) in zip(
                ("front", "middle", "rear"), (front, middle, rear), strict=True
            )
        }
    )
    assert pairs(train) == [front, middle, rear]
    for name, ratio in five_range_ratios(train).items():
        assert power_flow(train, name).ratio == ratio


@BOTH
def test_two_measured_shafts_give_every_speed(train):
    speeds = solve_speeds(
        train,
        {"input shaft": 1200, "output shaft": 600},
        applied=["front lock clutch", "forward clutch"],
    )
    # A carrier turns at the mean of sun and ring, weighted by their teeth.
    _, (c, d), (e, f) = pairs(train)
    sun = F((c + d) * 600 - d * 1200, c)
    assert speeds["common-sun shaft"] == speeds["rear sun"] == sun
    assert speeds["rear carrier"] == (e * sun + f * 600) / (e + f)
    assert speeds["middle ring"] == 1200


@BOTH
def test_a_train_that_freewheels_has_one_motion_to_draw(train):
    flow = power_flow(train, "1", load="coast")
    shown = {**flow.one_motion, "case": 0}
    assert None not in shown.values()
    assert shown["input shaft"] == 1
    assert shown["output shaft"] > 1 / five_range_ratios(train)["1"]
    assert shown["rear carrier"] > 0


def test_one_way_clutch_fitted_backward():
    part = OneWayClutch(name="low", member="case", against="rear carrier")
    backward = replace(TRAIN, one_way_clutches=(part,))
    assert power_flow(backward, "1").state == "neutral"
    assert power_flow(backward, "1", load="coast").braking_only
    flow = power_flow(backward, "4")
    assert flow.state == "tied up"
    assert flow.conflict == {*flow.applied, "low"}
