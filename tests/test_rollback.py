"""Rolling against a range: a second opinion by elimination, and trains made by hand."""

import random
from fractions import Fraction as F
from itertools import combinations

import pytest
import trains
from test_one_way import Own, at
from trains import FIVE_RANGES, five_range, one_set

from gearlab import load_train, power_flow
from gearlab.rollback import roll_back

TRAIN = five_range()
LOW, FRONT = "low one-way clutch", "front one-way clutch"


def possible(demands):
    """Whether some mixture has row · mixture >= bound for all (row, bound).

    Fourier and Motzkin: unknowns are put out of the inequalities one by one.
    """
    while demands and demands[0][0]:
        up = [d for d in demands if d[0][0] > 0]
        down = [d for d in demands if d[0][0] < 0]
        left = {(tuple(row[1:]), bound) for row, bound in demands if not row[0]}
        for (high, least), (low, most) in ((a, b) for a in up for b in down):
            row = [x * -low[0] + y * high[0] for x, y in zip(high, low, strict=True)]
            left.add((tuple(row[1:]), least * -low[0] + most * high[0]))
        demands = list(left)
    return all(bound <= 0 for _, bound in demands)


def search(train, parts, way):
    """Which ways the input may go while the output turns: a set of −1, 0 and 1."""
    own = Own(train, parts)
    rows = [(own.work(name), F(0)) for name in own.rows]
    into, out = ([at(end, motion) for motion in own.motions] for end in (own.into, own.out))
    rows.append(([way * x for x in out], F(1)))
    back = [-x for x in into]
    asked = {1: [(into, F(1))], -1: [(back, F(1))], 0: [(into, F(0)), (back, F(0))]}
    return {sense for sense, more in asked.items() if possible([*rows, *more])}


def expected(found):
    if 0 in found:
        return "rolls free"
    if not found:
        return "held"
    assert len(found) == 1
    return f"turns the engine {'forward' if found == {1} else 'backward'}"


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
        assert (roll.engine_turns, roll.held_by) == (0, set())
        return roll.state
    assert expected(search(train, roll.held_by, roll.way)) == roll.state
    if roll.state == "held":
        assert roll.engine_turns is None
        for count in range(len(roll.held_by)):
            for fewer in combinations(parts, count):
                assert search(train, fewer, roll.way)
        return roll.state
    # The output may turn with the input at the speed told, and no nearer to rest.
    own = Own(train, parts)
    shadows = [own.shadow(way) for way in own.ways]
    turns = [u / abs(v) for u, v in shadows if v * roll.way > 0]
    assert roll.engine_turns == min(turns, key=abs)
    return roll.state


@pytest.mark.parametrize("one_ways", [0, 1, 2, 3])
def test_random_trains(one_ways):
    rng, seen = random.Random(f"roll {one_ways}"), set()
    for _ in range(100):
        seen.add(check(*trains.random_train(rng, one_ways)))
    assert seen >= {"held", "rolls free", "turns the engine backward"}
    assert ("turns the engine forward" in seen) == (one_ways > 0)


@pytest.mark.parametrize("name", ["five-range", "six-range"])
def test_every_range_of_the_shipped_trains(name):
    train = load_train(name)
    for row in train.ranges:
        check(train, row.applied)


# range: state, input turns, what makes it so (derived)
TABLE = {
    "P": ("held", None, {"parking pawl"}),
    "R": ("turns the engine backward", -3, set(FIVE_RANGES["R"])),
    "N": ("rolls free", 0, set()),
    "1": ("turns the engine backward", F(-41, 13), {*FIVE_RANGES["1"], LOW}),
    "1 low": ("turns the engine backward", F(-41, 13), set(FIVE_RANGES["1 low"])),
    "2": ("held", None, {*FIVE_RANGES["2"], LOW, FRONT}),
    "3": ("held", None, {"common-sun brake", LOW}),
    "4": ("held", None, {"forward clutch", "direct clutch", LOW}),
    "5": ("held", None, {"forward clutch", "direct clutch", LOW}),
}


@pytest.mark.parametrize("name", TABLE)
def test_the_five_range_unit(name):
    roll = roll_back(TRAIN, name)
    assert (roll.state, roll.engine_turns, roll.held_by) == TABLE[name]
    assert roll.holding == roll.held_by & {LOW, FRONT}
    assert roll.way == (1 if name == "R" else -1)
    assert (roll.range, roll.applied) == (name, frozenset(FIVE_RANGES[name]))


def test_a_held_output_stands_against_a_hand_that_turns_it():
    # With the common sun at rest the rear carrier follows the output (3/4 of it), so it
    # would turn backward, which the low one-way clutch does not allow.
    train = TRAIN
    assert roll_back(train, "3").holding == {LOW}
    from dataclasses import replace

    bare = replace(train, one_way_clutches=train.one_way_clutches[:1])
    assert roll_back(bare, "3").state == "turns the engine backward"
    assert roll_back(bare, "3").engine_turns == F(-20, 13)


def test_one_set_by_hand():
    roll = roll_back(one_set(), applied=["ring brake"])
    assert (roll.state, roll.engine_turns) == ("turns the engine backward", F(-17, 5))
    roll = roll_back(one_set(), applied=["carrier brake"])
    assert (roll.state, roll.held_by) == ("held", {"carrier brake"})
    roll = roll_back(one_set(output="front ring"), applied=["carrier brake"])
    assert (roll.way, roll.engine_turns) == (1, F(-5, 12))
    assert roll_back(one_set()).state == "rolls free"


def test_an_engine_that_is_turned_forward_by_a_one_way_clutch():
    # The carrier may not turn backward: with the ring going backward, the sun must go
    # forward by 72/30 at least.
    train = one_set(output="front ring", one_way={"stop": ("front carrier", "case")})
    roll = roll_back(train)
    assert (roll.state, roll.engine_turns) == ("turns the engine forward", F(12, 5))
    assert roll.holding == roll.held_by == {"stop"}


def test_words():
    assert roll_back(TRAIN, "N").words == (
        "If the vehicle rolls backward, it rolls free and the engine can rest."
    )
    assert roll_back(TRAIN, "P").words == (
        "If the vehicle rolls backward, the parking pawl holds the output."
    )
    assert roll_back(TRAIN, "R").words == (
        "If the vehicle rolls forward, each output turn turns the engine backward, 3"
        " turns at the least, through the low brake, the front lock clutch and the"
        " direct clutch."
    )


def test_bad_input():
    with pytest.raises(ValueError, match='no range "6"'):
        roll_back(TRAIN, "6")
    with pytest.raises(ValueError, match="did you mean"):
        roll_back(TRAIN, applied=["low brak"])
    with pytest.raises(ValueError, match="leave one of them out"):
        roll_back(TRAIN, "1", applied=[])
