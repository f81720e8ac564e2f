"""Losses and shared loads: forces balanced apart, and cases made by hand."""

from collections import Counter
from fractions import Fraction as F
from itertools import combinations

import forces
import pytest
from trains import external, gears, make_train, simple

import gearlab as gl
from gearlab.say.loadwords import describe_loads
from gearlab.solve.loads import member_loads
from gearlab.solve.paths import power_paths

FIVE = gl.load_train("five-range")


@pytest.mark.parametrize("seed", range(4))
def test_random_flows_balance(seed):
    """As ``tests/bench/benchmark.py --forces``, which takes 10,000."""
    flows = forces.flows_with_losses(100, f"losses {seed}")
    seen = Counter(forces.check(plain, losses) for plain, losses in flows)
    assert seen["lost"] > 15 and seen["nothing lost"] > 40
    assert seen.keys() <= {"lost", "nothing lost", "not determined", "locks itself"}


def test_a_mesh_that_does_not_roll_loses_nothing():
    for name in FIVE.range_names:
        for load in ("drive", "coast"):
            plain = gl.power_flow(FIVE, name, load=load)
            lossy = gl.power_flow(FIVE, name, load=load, losses={})
            locked = "front lock clutch" in plain.applied
            if plain.state != "drives":
                continue
            if locked:
                key = "front lock clutch"
                assert abs(lossy.torques[key]) == abs(plain.torques[key])
                assert lossy.drivers[:2] == (None, None)
            assert (lossy.efficiency == 1) == (name == "4")
    fourth = gl.power_flow(FIVE, "4", losses={})
    assert fourth.torques == gl.power_flow(FIVE, "4").torques
    assert describe_loads(fourth).endswith("Of the power put in, 100 % comes out.")


CLUTCHES = {
    "carrier input": ("front carrier", "race in"),
    "carrier output": ("front carrier", "race out"),
    "ring input": ("front ring", "race in"),
    "ring output": ("front ring", "race out"),
    "sun input": ("front sun", "race in"),
    "sun output": ("front sun", "race out"),
}
BRAKES = {f"{m} brake": f"front {m}" for m in ("sun", "ring", "carrier")}
LONE = make_train(
    simple("front", 30, 72),
    shafts={"race in": [], "race out": []},
    clutches=CLUTCHES,
    brakes=BRAKES,
    input="race in",
    output="race out",
)


def test_no_flow_of_a_lone_set_crashes_or_gives_up_where_nothing_rolls():
    driving = 0
    for size in range(6):
        for applied in combinations(LONE.element_names, size):
            plain = gl.power_flow(LONE, applied=applied)
            if plain.state != "drives":
                continue
            lossy = gl.power_flow(LONE, applied=applied, losses={})
            driving += 1
            assert lossy.torques["input"] == 1
            if plain.ratio == 1:
                assert lossy.efficiency == 1
                assert (lossy.torques, lossy.shared) == (plain.torques, plain.shared)
                open_ones = {n for n, torque in lossy.torques.items() if torque is None}
                assert open_ones == set().union(*lossy.shared)
            else:
                assert 0 < lossy.efficiency < 1
    assert driving > 30
    four = ["carrier input", "carrier output", "ring input", "ring output"]
    assert gl.power_flow(LONE, applied=four, losses={}).efficiency == 1


def twins(**parts):
    return make_train(
        simple("A", 30, 60),
        simple("B", 30, 60),
        shafts={"suns": ["A sun", "B sun"], "rings": ["A ring", "B ring"]},
        brakes={"A brake": "A carrier", "B brake": "B carrier"},
        input="suns",
        output="rings",
        **parts,
    )


@pytest.mark.parametrize("losses", [None, {}])
def test_what_two_sets_share_is_not_put_on_one(losses):
    flow = gl.power_flow(twins(), applied=["A brake", "B brake"], losses=losses)
    loads = member_loads(flow).torques
    for name in ("A sun", "B sun", "A ring", "A carrier", "B carrier"):
        assert loads[name] is None
    assert flow.torques["A brake"] is flow.torques["B brake"] is None
    words = "How the power is shared is not determined."
    assert power_paths(flow).words == words and words in describe_loads(flow)
    if losses is None:
        # Their sum is what the case must give, whoever gives it.
        assert flow.shared == {frozenset({"A brake", "B brake"}): -3}
    else:
        # Which carrier takes how much settles what is lost; what goes in is known.
        assert flow.efficiency is flow.torque_ratio is None
        assert flow.torques["input"] == 1 and flow.torques["output"] is None
        assert "The losses are not determined" in describe_loads(flow)


def test_equal_losses_make_no_difference_where_only_one_carrier_is_held():
    flow = gl.power_flow(twins(), applied=["A brake"], losses={})
    loads = member_loads(flow).torques
    assert loads["B sun"] == loads["B carrier"] == 0
    assert loads["A sun"] == 1 and flow.efficiency == F("0.985") * F("0.99")


def test_loads_are_given_where_only_the_elements_share():
    train = make_train(
        simple("front", 30, 72),
        brakes={"one": "front carrier", "two": "front carrier"},
        input="front sun",
        output="front ring",
    )
    flow = gl.power_flow(train, applied=["one", "two"], losses={})
    kept = F("0.985") * F("0.99")
    assert flow.efficiency == kept
    total = -1 - F(72, 30) * kept  # what the sun gets and what the ring gives
    assert flow.shared == {frozenset({"one", "two"}): total}
    assert member_loads(flow).torques["front carrier"] == total


# Reaction that losses turn round -------------------------------------------------

FORWARD = {"roller": ("gears arm", "case")}
BOTH_WAYS = FORWARD | {"other roller": ("case", "gears arm")}


def coasting(one_way, eta):
    """Two wheels on an arm, one way round; the wheel of 20 drives that of 60.

    Derived: the small wheel must give 1/3 of the other's torque over η², so the arm is
    held back with 1 − 1 / (3 η²): the sign changes at η = 0.577.
    """
    train = make_train(
        gears(
            external("big", 60, "planet", 30, "arm"),
            external("planet", 30, "small", 20, "arm"),
        ),
        one_way=one_way,
        input="gears big",
        output="gears small",
    )
    return gl.power_flow(train, applied=[], load="coast", losses={"external": eta})


@pytest.mark.parametrize("one_way", [FORWARD, BOTH_WAYS])
def test_a_one_way_clutch_holds_while_it_pushes(one_way):
    flow = coasting(one_way, "0.7")
    assert (flow.holding, flow.efficiency) == ({"roller"}, F("0.49"))
    assert flow.torques["roller"] == 1 - 1 / (3 * F("0.49")) > 0


def test_one_that_would_pull_lets_the_other_hold():
    flow = coasting(BOTH_WAYS, "0.5")
    assert (flow.holding, flow.efficiency) == ({"other roller"}, F(1, 4))
    assert flow.torques["other roller"] == F(1, 3)
    assert flow.torques["roller"] == 0 and flow.at_rest == {"roller"}


def test_one_that_would_pull_alone_is_not_determined():
    flow = coasting(FORWARD, "0.5")
    assert flow.efficiency is flow.torque_ratio is flow.torques["roller"] is None
    assert flow.torques["input"] == -1
    assert "which one-way clutch holds, is not." in describe_loads(flow)
