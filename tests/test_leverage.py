"""Levers: distances from the teeth, merging, and speeds and torques in every flow."""

import random
from fractions import Fraction as F

import pytest
import trains
from loops import each

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.solve.levers import levers, set_lever
from gearlab.solve.loads import member_loads
from gearlab.train.gearset import GearSet
from gearlab.train.train import CASE

TRAINS = {name: gearlab.load_train(name) for name in gearlab.train_names()}
FLOWS = [
    gearlab.power_flow(train, name, load=load)
    for train in TRAINS.values()
    for name in train.range_names
    for load in ("drive", "coast")
]


def a_set(kind, **teeth):
    teeth = {key.replace("_", "-"): count for key, count in teeth.items()}
    return GearSet(name="one", kind=kind, teeth=FrozenMap(teeth))


def alone(one, **more):
    """A train of one set between its first gear and its last member."""
    more = {"input": one.member(one.members[0]), "output": "one carrier"} | more
    return trains.make_train(one, **more)


def positions(lever):
    """{short name of a member: position}."""
    return {
        member.split(" ", 1)[1]: int(node.position)
        for node in lever.nodes
        for member in node.members
    }


@pytest.mark.parametrize(
    ("one", "expected"),
    [
        # Sun to carrier as the ring's teeth, carrier to ring as the sun's: Benford and
        # Leising, SAE Paper 810102, 1981, from memory, to be checked against a copy.
        (a_set("simple", sun=30, ring=72), {"sun": 0, "carrier": 12, "ring": 17}),
        # With planets in pairs, ring and carrier change places: the same source.
        (
            a_set("meshed-planet", sun=30, inner_planet=18, outer_planet=18, ring=78),
            {"sun": 0, "ring": 8, "carrier": 13},
        ),
        # The others derived: at rest with the carrier, speeds go as the distances.
        (
            a_set("stepped-planet", sun=24, sun_planet=30, ring_planet=20, ring=74),
            {"sun": 0, "carrier": 37, "ring": 45},
        ),
        (a_set("differential", side=16), {"left": 0, "carrier": 1, "right": 2}),
        (
            a_set("two-sun", small_sun=30, large_sun=36, short_planet=20, ring=84),
            {"small sun": 0, "ring": 27, "carrier": 42, "large sun": 77},
        ),
    ],
    ids=lambda value: value.kind if isinstance(value, GearSet) else "",
)
def test_distances_follow_from_the_teeth(one, expected):
    lever = set_lever(alone(one), "one")
    found = positions(lever)
    unit = F(found["carrier"]) / F(expected["carrier"])
    assert found == {short: place * unit for short, place in expected.items()}
    assert lever.nodes[0].position == 0


def test_a_worked_example_lies_on_the_lever():
    # "Solved problems", §5.4 Problem 1, an open worked-example hand-out: sun 32, ring
    # 72, ring held, carrier 18, sun 58.5. On a lever: ring −32, carrier 0, sun +72.
    train = alone(a_set("simple", sun=32, ring=72), input="one sun", output="one ring")
    place = set_lever(train, "one").position
    unit = (place["one carrier"] - place["one sun"]) / 72
    assert (place["one ring"] - place["one carrier"]) / unit == 32
    slopes = [
        (F("58.5") - 18) / (place["one carrier"] - place["one sun"]),
        F(18) / (place["one ring"] - place["one carrier"]),
    ]
    assert [slope * unit for slope in slopes] == [F("0.5625")] * 2


def test_merged_lever_of_two_sets_gives_the_ratios():
    # Teeth: a university question, transtutors.com, question 13691296; answers
    # computed. Lever: sun 0, second carrier 57·80/117, output 57, first ring 85.
    train = trains.three_range()
    (lever,) = levers(train)
    place = lever.position
    unit = place["output shaft"] / 57
    assert {body: at / unit for body, at in place.items()} == {
        "sun shaft": 0,
        "second carrier": F(57 * 80, 117),
        "output shaft": 57,
        "first ring": 85,
    }
    for name, held, driver, published in (
        ("1", "second carrier", "first ring", "2.5533"),
        ("2", "sun shaft", "first ring", "1.4912"),
        ("R", "second carrier", "sun shaft", "-2.1622"),
    ):
        ratio = (place[driver] - place[held]) / (place["output shaft"] - place[held])
        assert ratio == gearlab.power_flow(train, name).ratio
        assert float(ratio) == pytest.approx(float(published), abs=5e-5)


def test_levers_of_the_shipped_trains():
    names = {
        name: [(lever.sets, [node.body for node in lever.nodes]) for lever in found]
        for name, found in ((name, levers(train)) for name, train in TRAINS.items())
    }
    front, rear = names["five-range"]
    assert front == (("front",), ["front sun", "input shaft", "intermediate shaft"])
    assert rear == (
        ("middle", "rear"),
        ["common-sun shaft", "rear carrier", "output shaft", "middle ring"],
    )
    assert [len(nodes) for _, nodes in names["six-range"]] == [3, 4]
    assert names["six-range"][1][0] == ("rear",)
    assert [len(nodes) for _, nodes in names["three-range"]] == [4]
    assert [len(nodes) for _, nodes in names["four-range"]] == [4]
    assert [len(nodes) for _, nodes in names["lone-set"]] == [3]


def test_positions_are_smallest_whole_numbers():
    for train in TRAINS.values():
        for lever in levers(train):
            places = [node.position for node in lever.nodes]
            assert places == sorted(places) and places[0] == 0
            assert all(place.denominator == 1 for place in places)
            assert not any(all(p % n == 0 for p in places) for n in (2, 3, 5, 7, 11))


def straight(lever, speeds):
    """Assert speed = a + b × position."""
    first, last = lever.nodes[0], lever.nodes[-1]
    reach = speeds[last.body] - speeds[first.body]
    for node in lever.nodes:
        rise = speeds[node.body] - speeds[first.body]
        assert rise * last.position == reach * node.position


def balanced(lever, torques):
    """Assert that forces and moments sum to 0."""
    assert sum(torques.values()) == 0
    assert sum(torques[node.body] * node.position for node in lever.nodes) == 0


@each("flow", FLOWS)
def test_every_range_lies_on_its_levers(flow):
    values, loaded = member_loads(flow), False
    for lever in levers(flow.train):
        straight(lever, {**flow.one_motion, CASE: F(0)})
        torques = lever.torques(values.torques)
        # No range of a shipped train shares its torque.
        if flow.state != "tied up":
            balanced(lever, torques)
            loaded = loaded or any(torques.values())
    assert loaded == (flow.state == "drives")


def test_random_trains_lie_on_their_levers():
    rng, merged, balances = random.Random(12), 0, 0
    for _ in range(300):
        train, applied = trains.random_train(rng, one_ways=2)
        for load in ("drive", "coast"):
            flow = gearlab.power_flow(train, applied=applied, load=load)
            values = member_loads(flow).torques
            for lever in levers(train):
                straight(lever, {**flow.one_motion, CASE: F(0)})
                merged += len(lever.sets) > 1
                torques = lever.torques(values)
                if None not in torques.values() and any(torques.values()):
                    balanced(lever, torques)
                    balances += 1
    assert merged > 20 and balances > 30


def test_the_case_joins_levers_that_both_bear_on_it():
    train = trains.make_train(
        trains.simple("front", 30, 70),
        trains.simple("rear", 30, 60),
        input="front sun",
        output="rear carrier",
        shafts={
            "mid": ["front carrier", "rear sun"],
            "case": ["front ring", "rear ring"],
        },
    )
    (lever,) = levers(train)
    assert lever.sets == ("front", "rear")
    flow = gearlab.power_flow(train, applied=[])
    assert flow.ratio == 10
    place = lever.position
    assert (place["front sun"] - place[CASE]) / (
        place["rear carrier"] - place[CASE]
    ) == 10
    balanced(lever, lever.torques(member_loads(flow).torques))


def test_a_pair_of_wheels_has_the_case_between_them():
    pair = trains.gears(trains.external("pinion", 10, "wheel", 61, "case"), name="pair")
    train = trains.make_train(pair, input="pair pinion", output="pair wheel")
    (lever,) = levers(train)
    assert [(node.body, int(node.position)) for node in lever.nodes] == [
        ("pair pinion", 0),
        ("case", 61),
        ("pair wheel", 71),
    ]
    flow = gearlab.power_flow(train, applied=[])
    balanced(lever, lever.torques(member_loads(flow).torques))


def test_planets_between_gears_are_left_out_unless_something_holds_them():
    reverted = trains.gears(*trains.REVERTED)
    parts = {"input": "gears b", "output": "gears arm", "brakes": {"brake": "gears d"}}
    piece = {"planet piece": ["gears e", "gears c"]}
    train = trains.make_train(reverted, shafts=piece, **parts)
    (lever,) = levers(train)
    assert {node.body for node in lever.nodes} == {"gears b", "gears d", "gears arm"}
    held = trains.make_train(
        reverted, shafts=piece, **parts | {"output": "planet piece"}
    )
    assert "planet piece" in levers(held)[0].position


def test_a_set_that_is_no_lever_has_none():
    # Two pairs that nothing joins leave three motions; a ring joined to its sun, one.
    pairs = trains.gears(*trains.PAIRS)
    loose = trains.make_train(pairs, input="gears one", output="gears four")
    assert set_lever(loose, "gears") is None
    assert levers(loose) == ()
    locked = trains.make_train(
        trains.simple("front", 30, 70),
        trains.simple("rear", 30, 70),
        input="rear sun",
        output="rear carrier",
        shafts={"drum": ["front sun", "front ring"]},
    )
    assert set_lever(locked, "front") is None
    assert [lever.sets for lever in levers(locked)] == [("rear",)]


def test_three_bodies_shared_in_unlike_proportions_do_not_merge():
    shafts = {
        f"{part} shaft": [f"front {part}", f"rear {part}"] for part in ("sun", "ring")
    }
    sets = trains.simple("front", 30, 70), trains.simple("rear", 30, 60)
    ends = {"input": "sun shaft", "output": "front carrier"}
    two = trains.make_train(*sets, shafts=shafts, **ends)
    assert [len(lever.nodes) for lever in levers(two)] == [4]
    third = sets[0], trains.simple("rear", 30, 60), trains.simple("last", 30, 90)
    three = trains.make_train(
        *third,
        shafts={
            "sun shaft": ["front sun", "rear sun", "last sun"],
            "ring shaft": ["front ring", "rear ring"],
            "carrier shaft": ["front carrier", "last carrier"],
            "other shaft": ["rear carrier", "last ring"],
        },
        input="sun shaft",
        output="carrier shaft",
        brakes={"brake": "sun shaft"},
    )
    assert sorted(lever.sets for lever in levers(three)) == [
        ("front", "rear"),
        ("last",),
    ]


def test_an_unknown_set_is_named():
    with pytest.raises(ValueError, match='no gear set "frnt"; did you mean "front"'):
        set_lever(TRAINS["five-range"], "frnt")
