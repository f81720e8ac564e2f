"""Rolling against a range: a second opinion by elimination, and trains made by hand."""

import random
from dataclasses import replace
from fractions import Fraction as F
from itertools import combinations

import pytest
import trains
from trains import FIVE_RANGES, one_set, other_five_range, three_range

from gearlab import load_train, power_flow
from gearlab.ask.rollback import _nearest_to_rest, roll_back
from gearlab.solve.equilibrium import Situation

TRAIN = other_five_range()
LOW, FRONT = "low one-way clutch", "front one-way clutch"


def mixed(form, other, name):
    """A form plus so much of another one that `name` falls out of it."""
    factor = F(form.get(name, 0), -other[name])
    names = dict.fromkeys((*form, *other))
    sums = {key: form.get(key, 0) + factor * other.get(key, 0) for key in names}
    return {key: value for key, value in sums.items() if value}


def possible(equal, least):
    """Whether some speeds make the forms `equal` 0 and none of `least` negative.

    Forms are {name: coefficient}; the name 1 stands for the number 1. Unknowns are put
    in from the equations, then put out of the inequalities, pair by pair.
    """
    equal, least = list(equal), list(least)
    while equal:
        form = equal.pop()
        name = next((key for key in form if key != 1), None)
        if name is None:
            if form:
                return False
            continue
        equal = [mixed(other, form, name) for other in equal]
        least = [mixed(other, form, name) for other in least]
    while name := next((key for form in least for key in form if key != 1), None):
        up = [form for form in least if form.get(name, 0) > 0]
        down = [form for form in least if form.get(name, 0) < 0]
        left = [form for form in least if name not in form]
        left += [mixed(a, b, name) for a in up for b in down]
        once = {tuple(sorted(form.items(), key=str)) for form in left}
        least = [dict(form) for form in once]
    return all(form.get(1, 0) >= 0 for form in least)


def difference(train, first, second="case"):
    """How much faster one piece turns than another, as a form."""
    first, second = train.body_of[first], train.body_of[second]
    form = {} if first == second else {first: 1, second: -1}
    form.pop("case", None)
    return form


def search(train, parts, way, turns=()):
    """Which ways the input may go while the output turns once: a set of −1, 0 and 1.

    With `turns`, whether it may turn between these two.
    """
    equal, least = [], []
    for law in trains.laws(train):
        form = {}
        for member, value in law.items():
            body = train.body_of[member]
            form[body] = form.get(body, 0) + value
        form.pop("case", None)
        equal.append({body: value for body, value in form.items() if value})
    for name in parts:
        one_way = train.by_name[name] in train.one_way_clutches
        form = difference(train, *trains.sides(train.by_name[name]))
        (least if one_way else equal).append(form)
    into, out = (difference(train, end) for end in (train.input, train.output))
    equal.append({**out, 1: -way})
    if turns:
        (body,) = into
        low, high = turns
        return possible(equal, [*least, {body: 1, 1: -low}, {body: -1, 1: high}])
    # All scales with the output, so that any input above 0 may be tried as above a
    # number so small that no edge of these trains lies below it.
    tiny = F(1, 10**9)
    (body,) = into
    asked = {
        1: [{body: 1, 1: -tiny}],
        -1: [{body: -1, 1: -tiny}],
        0: [{body: 1}, {body: -1}],
    }
    return {way for way, more in asked.items() if possible(equal, [*least, *more])}


def expected(found):
    if 0 in found:
        return "rolls free"
    if not found:
        return "held"
    assert len(found) == 1
    return f"turns the input {'forward' if found == {1} else 'backward'}"


def check(train, applied):
    """Compare with the search, and see that what holds does, and nothing less."""
    roll = roll_back(train, applied=applied)
    ratio = power_flow(train, applied=applied).ratio
    assert roll.way == (1 if ratio and ratio < 0 else -1)
    one_ways = [part.name for part in train.one_way_clutches]
    parts = [*train.in_order(applied), *one_ways]
    assert roll.state == expected(search(train, parts, roll.way))
    assert roll.holding == roll.held_by & set(one_ways)
    if roll.state == "rolls free":
        assert (roll.input_turns, roll.held_by) == (0, set())
        return roll.state
    assert expected(search(train, roll.held_by, roll.way)) == roll.state
    if roll.state == "held":
        assert roll.input_turns is None
        for fewer in combinations(parts, len(roll.held_by) - 1):
            assert search(train, fewer, roll.way)
        return roll.state
    assert mirrored(train, applied, roll.way) == -roll.input_turns
    # The input may turn just so much for an output turn, and no less.
    turns, nearer = roll.input_turns, roll.input_turns * F(999, 1000)
    assert search(train, parts, roll.way, (turns, turns))
    assert not search(train, parts, roll.way, sorted((F(0), nearer)))
    return roll.state


def mirrored(train, applied, way):
    """With its one-way clutches turned round, a train does all the other way."""
    turned = tuple(
        replace(part, member=part.against, against=part.member)
        for part in train.one_way_clutches
    )
    case = Situation(replace(train, one_way_clutches=turned), applied)
    return _nearest_to_rest(case, case.cone, -way)


def test_random_trains():
    rng, seen = random.Random("roll"), set()
    for count in range(360):
        train, applied = trains.random_train(rng, count % 4)
        seen.add(check(train, applied[:2]))
    assert seen == {
        "held",
        "rolls free",
        "turns the input backward",
        "turns the input forward",
    }


def test_the_input_turns_nearest_to_rest_either_way():
    rng, edges = random.Random("either way"), set()
    for count in range(120):
        train, applied = trains.random_train(rng, 1 + count % 3)
        parts = [*applied[:1], *(part.name for part in train.one_way_clutches)]
        case = Situation(train, applied[:1])
        for way in (-1, 1):
            turns = _nearest_to_rest(case, case.cone, way)
            found = search(train, parts, way)
            if turns:
                edges.add(turns > 0)
                nearer = turns * F(999, 1000)
                assert search(train, parts, way, (turns, turns))
                assert not search(train, parts, way, sorted((F(0), nearer)))
            assert (0 in found) == (turns == 0)
            assert (found == set()) == (turns is None)
    assert edges == {True, False}


@pytest.mark.parametrize("train", [TRAIN, three_range()], ids=lambda train: train.name)
def test_every_range_of_trains_with_one_way_clutches(train):
    for row in train.ranges:
        check(train, row.applied)


def test_without_one_way_clutches_a_train_turns_its_input_backward():
    train = load_train("six-range")
    for row in train.ranges:
        ratio = power_flow(train, row.name).ratio
        if ratio is not None:
            roll = roll_back(train, row.name)
            assert roll.state == "turns the input backward"
            assert roll.input_turns == -abs(ratio)
            assert roll.held_by == set(row.applied)


# range: state, input turns, what makes it so (derived)
TABLE = {
    "P": ("held", None, {"parking pawl"}),
    "R": ("turns the input backward", -3, set(FIVE_RANGES["R"])),
    "N": ("rolls free", 0, set()),
    "1": ("turns the input backward", F(-41, 13), {*FIVE_RANGES["1"], LOW}),
    "1 low": ("turns the input backward", F(-41, 13), set(FIVE_RANGES["1 low"])),
    "2": ("held", None, {*FIVE_RANGES["2"], LOW, FRONT}),
    "3": ("held", None, {"common-sun brake", LOW}),
    "4": ("held", None, {"forward clutch", "direct clutch", LOW}),
    "5": ("held", None, {"forward clutch", "direct clutch", LOW}),
}


@pytest.mark.parametrize("name", TABLE)
def test_the_five_range_unit(name):
    roll = roll_back(TRAIN, name)
    assert (roll.state, roll.input_turns, roll.held_by) == TABLE[name]
    assert roll.holding == roll.held_by & {LOW, FRONT}
    assert roll.way == (1 if name == "R" else -1)
    assert (roll.range, roll.applied) == (name, frozenset(FIVE_RANGES[name]))


def test_a_held_output_stands_against_a_hand_that_turns_it():
    # With the common sun at rest the rear carrier follows the output (3/4 of it), so it
    # would turn backward, which the low one-way clutch does not allow.
    assert roll_back(TRAIN, "3").holding == {LOW}
    bare = replace(TRAIN, one_way_clutches=TRAIN.one_way_clutches[:1])
    assert roll_back(bare, "3").state == "turns the input backward"
    assert roll_back(bare, "3").input_turns == F(-20, 13)


def test_one_set_by_hand():
    roll = roll_back(one_set(), applied=["ring brake"])
    assert (roll.state, roll.input_turns) == ("turns the input backward", F(-17, 5))
    roll = roll_back(one_set(), applied=["carrier brake"])
    assert (roll.state, roll.held_by) == ("held", {"carrier brake"})
    roll = roll_back(one_set(output="front ring"), applied=["carrier brake"])
    assert (roll.way, roll.input_turns) == (1, F(-12, 5))
    assert roll_back(one_set()).state == "rolls free"


def test_an_input_that_is_turned_forward_by_a_one_way_clutch():
    # The carrier may not turn backward: with the ring going backward, the sun must go
    # forward by 72/30 at least.
    train = one_set(output="front ring", one_way={"stop": ("front carrier", "case")})
    roll = roll_back(train)
    assert (roll.state, roll.input_turns) == ("turns the input forward", F(12, 5))
    assert roll.holding == roll.held_by == {"stop"}


def test_words():
    assert roll_back(TRAIN, "N").words == (
        "If the vehicle rolls backward, it rolls free and the input shaft can rest."
    )
    assert roll_back(TRAIN, "P").words == (
        "If the vehicle rolls backward, the parking pawl holds the output."
    )
    assert roll_back(TRAIN, "R").words == (
        "If the vehicle rolls forward, each output turn turns the input shaft backward,"
        " 3 turns at the least, through the low brake, the front lock clutch and the"
        " direct clutch."
    )


def test_bad_input():
    with pytest.raises(ValueError, match='no range "6"'):
        roll_back(TRAIN, "6")
    with pytest.raises(ValueError, match="did you mean"):
        roll_back(TRAIN, applied=["low brak"])
    with pytest.raises(ValueError, match="leave one of them out"):
        roll_back(TRAIN, "1", applied=[])
