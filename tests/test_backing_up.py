"""What a one-way clutch backs up, by really letting go of the element."""

import pytest
from trains import make_train, simple

from gearlab import load_train, power_flow, train_names
from gearlab.ask.shifts import shift
from gearlab.say.describe import describe
from gearlab.solve.facts import element_states

FIVE = load_train("five-range")
LOW, FRONT = "low one-way clutch", "front one-way clutch"
BESIDE = {FRONT: ("front lock clutch",), LOW: ("low brake",)}
each_load = pytest.mark.parametrize("load", ["drive", "coast"])


def by_letting_go(flow):
    """{one-way clutch: elements}: what holds at the same ratio with one let go."""
    train, found = flow.train, {}
    if flow.state != "drives":
        return found
    for name in train.in_order(flow.applied):
        left = power_flow(train, applied=flow.applied - {name}, load=flow.load)
        if left.ratio == flow.ratio:
            for one in left.holding - flow.holding:
                found[one] = (*found.get(one, ()), name)
    return found


@each_load
@pytest.mark.parametrize("name", train_names())
def test_what_is_backed_up_holds_by_the_one_way_clutch_alone(name, load):
    train = load_train(name)
    for row in train.ranges:
        flow = power_flow(train, row.name, load=load)
        assert flow.backing_up == by_letting_go(flow)
        states = element_states(flow)
        for part in train.one_way_clutches:
            ways = (flow.holding, flow.overrunning, flow.backing_up, flow.at_rest)
            assert sum(part.name in way for way in ways) <= 1
            assert (states[part.name] == "backs up") == (part.name in flow.backing_up)
            assert (states[part.name] == "at rest") == (part.name in flow.at_rest)


@pytest.mark.parametrize(
    ("range", "load", "backing_up", "at_rest"),
    [
        ("1", "drive", {FRONT}, set()),
        ("1 low", "drive", {FRONT, LOW}, set()),
        ("2", "drive", set(), set()),
        ("3", "drive", {FRONT}, set()),
        ("4", "drive", {FRONT}, set()),
        ("5", "drive", set(), set()),
        ("R", "drive", {FRONT}, {LOW}),
        ("1", "coast", set(), {FRONT}),
        ("1 low", "coast", set(), {FRONT, LOW}),
        ("3", "coast", set(), {FRONT}),
        ("4", "coast", set(), {FRONT}),
        ("R", "coast", {LOW}, {FRONT}),
        ("N", "drive", set(), {FRONT}),
        ("P", "drive", set(), {FRONT}),
    ],
)
def test_the_five_range_unit(range, load, backing_up, at_rest):
    flow = power_flow(FIVE, range, load=load)
    assert flow.backing_up == {name: BESIDE[name] for name in backing_up}
    assert flow.at_rest == at_rest
    told = [s for s in describe(flow).split(". ") if " one-way clutch " in s]
    for name in backing_up:
        (beside,) = BESIDE[name]
        assert any(s.startswith(f"The {name} backs up the {beside}") for s in told)
    for name in at_rest:
        why = "cannot hold this way" if range not in "NP" else "nothing loads it"
        (said,) = [s for s in told if s.startswith(f"The {name} ")]
        assert said.startswith(f"The {name} is at rest: ") and why in said


def test_reverse_without_the_low_brake_is_neutral_and_the_words_know_it():
    flow = power_flow(FIVE, "R")
    left = power_flow(FIVE, applied=flow.applied - {"low brake"})
    assert left.state == "neutral"
    assert "backs up the low brake" not in describe(flow)
    # Coasting in reverse loads the carrier the other way, and there it could hold.
    flow = power_flow(FIVE, "R", load="coast")
    left = power_flow(FIVE, applied=flow.applied - {"low brake"}, load="coast")
    assert LOW in left.holding and left.ratio == flow.ratio


def test_a_one_way_clutch_may_back_up_two_elements_in_series():
    parts = {
        "shafts": {"race": []},
        "brakes": {"race brake": "race"},
        "clutches": {"race clutch": ("front sun", "race")},
        "one_way": {"roller": ("front sun", "case")},
        "input": "front ring",
        "output": "front carrier",
    }
    train = make_train(simple("front", 30, 72), **parts)
    flow = power_flow(train, applied=["race brake", "race clutch"])
    assert flow.backing_up == {"roller": ("race brake", "race clutch")}
    assert "The roller backs up the race brake and the race clutch." in describe(flow)
    coast = power_flow(train, applied=["race brake", "race clutch"], load="coast")
    assert coast.at_rest == {"roller"}


def test_of_two_brakes_beside_it_none_is_backed_up():
    parts = {
        "brakes": {"band": "front sun", "disc pack": "front sun"},
        "clutches": {},
        "one_way": {"roller": ("front sun", "case")},
        "input": "front ring",
        "output": "front carrier",
    }
    train = make_train(simple("front", 30, 72), **parts)
    flow = power_flow(train, applied=["band", "disc pack"])
    assert flow.at_rest == {"roller"}
    said = "The roller is at rest: what is applied carries without it."
    assert said in describe(flow)


@each_load
def test_what_passes_to_rest_in_a_shift_catches_only_where_it_could_hold(load):
    made = shift(FIVE, "2", "3", load=load)
    assert made.backed_up == ({FRONT: "catches"} if load == "drive" else {})
