"""Every combination of holding elements, each as a single flow says it."""

import pickle
import random
import time
from fractions import Fraction as F
from itertools import combinations

import pytest
from trains import make_train, one_set, other_five_range, random_train, simple

from gearlab import load_train, power_flow, train_names
from gearlab.ask.survey import MOST_ROWS, PROGRESS_EVERY, SurveyRow, survey

FIVE, SIX = load_train("five-range"), load_train("six-range")


def wide_train():
    """Two sets side by side with twenty elements: too many to look at them all."""
    members = [f"{name} {m}" for name in "ab" for m in ("sun", "carrier", "ring")]
    return make_train(
        simple("a", 30, 72),
        simple("b", 24, 72),
        input="a sun",
        output="b carrier",
        brakes={f"{member} brake": member for member in members},
        clutches={
            f"{one} to {other}": (one, other)
            for one, other in list(combinations(members, 2))[:14]
        },
    )


def agrees(seen):
    """Every row is the flow of its combination, pruned or not; every one is there."""
    train = seen.train
    names = train.element_names
    every = [c for size in range(len(names) + 1) for c in combinations(names, size)]
    assert [row.applied for row in seen.rows] == [frozenset(one) for one in every]
    for row in seen.rows:
        assert row.drive == power_flow(train, applied=row.applied)
        assert row.coast == power_flow(train, applied=row.applied, load="coast")
    drive = [row for row in seen.rows if row.drive.state == "drives"]
    assert list(seen.driving) == drive
    assert seen.left_out == ""
    return len({row.drive.state for row in seen.rows})


@pytest.mark.parametrize("name", train_names())
def test_every_row_is_the_flow_of_its_combination(name):
    train = load_train(name)
    seen = survey(train)
    assert len(seen.rows) == 2 ** len(train.elements)
    agrees(seen)


def test_rows_of_random_trains_with_one_way_clutches():
    rng = random.Random(20)
    states = [
        agrees(survey(random_train(rng, one_ways=rng.randrange(3))[0]))
        for _ in range(40)
    ]
    assert max(states) == 4


def test_what_contains_a_tie_up_is_not_computed():
    """It stays tied up; its smallest conflict may be another one than its part's."""
    rows = {row.applied: row for row in survey(FIVE).rows}
    pair = frozenset(["overdrive brake", "front lock clutch"])
    assert "_flows" in vars(rows[pair])
    more = pair | {"low brake"}
    assert "_flows" not in vars(rows[more])
    assert rows[more].drive.state == "tied up"
    lone = one_set()
    sun_and_input = frozenset(["sun brake"])
    rows = {row.applied: row for row in survey(lone).rows}
    assert rows[sun_and_input].drive.conflict == sun_and_input
    late = frozenset(["carrier brake", "ring brake"])
    assert rows[late].drive.conflict == late
    assert rows[late | sun_and_input].drive.conflict == sun_and_input


def test_locks_are_no_part_of_it():
    assert not any("parking pawl" in row.applied for row in survey(FIVE).rows)


def test_which_rows_the_chart_uses():
    seen = survey(FIVE)
    assert list(seen.ranges) == [name for name in FIVE.range_names if name != "P"]
    for name, row in seen.ranges.items():
        assert row in seen.rows
        assert row.drive.ratio == power_flow(FIVE, name).ratio


@pytest.mark.parametrize(
    ("train", "ratios"),
    [(FIVE, ("76/81", "-7/3")), (other_five_range(), ("240/221", "-36/17"))],
)
def test_which_useful_rows_the_chart_leaves_out(train, ratios):
    # Derived: overdrive × middle and overdrive × reverse of the five-range unit.
    middle, reverse = map(F, ratios)
    assert [(set(row.applied), row.drive.ratio) for row in survey(train).unused] == [
        ({"overdrive brake", "common-sun brake", "forward clutch"}, middle),
        ({"overdrive brake", "low brake", "direct clutch"}, reverse),
    ]
    assert survey(SIX).unused == ()


def test_a_train_without_elements_has_one_row():
    train = make_train(
        simple("front", 30, 72),
        input="front sun",
        output="front carrier",
        shafts={"case": ["front ring"]},
    )
    (row,) = survey(train).rows
    assert row.applied == frozenset()
    assert row.drive.ratio == F(17, 5)
    assert survey(train).unused == (row,)


def test_it_stops_at_most_and_says_what_was_not_looked_at():
    seen = survey(FIVE, most=10)
    assert seen.rows == survey(FIVE).rows[:10]
    assert seen.left_out == (
        "54 of 64 combinations were not looked at, those with 2 or more elements"
        " applied; survey(train, most=64) looks at them all"
    )
    # Seven rows are all with none or one; the first that is left out has two.
    assert "with 2 or more" in survey(FIVE, most=7).left_out
    assert survey(FIVE, most=63).left_out.startswith("1 of 64 combinations was not")
    assert survey(FIVE, most=63).left_out.count("6 or more") == 1
    assert survey(FIVE, most=64).left_out == ""


def test_progress_is_told_now_and_then_and_at_the_end():
    told = []
    survey(load_train("lone-set"), progress=lambda *both: told.append(both))
    assert told == [(done, 512) for done in range(PROGRESS_EVERY, 513, PROGRESS_EVERY)]
    told.clear()
    survey(SIX, most=30, progress=lambda *both: told.append(both))
    assert told == [(30, 30)]


def test_twenty_elements_are_bounded():
    train, told = wide_train(), []
    assert len(train.elements) == 20
    seen = survey(train, progress=lambda *both: told.append(both))
    assert len(seen.rows) == MOST_ROWS
    assert told[-1] == (MOST_ROWS, MOST_ROWS)
    assert seen.left_out.startswith(f"{2**20 - MOST_ROWS} of {2**20} combinations")
    rng = random.Random(4)
    for row in rng.sample(seen.rows, 60):
        assert row.drive == power_flow(train, applied=row.applied)


@pytest.mark.parametrize("most", [0, -1, 2.5, "all", True])
def test_most_must_be_a_whole_number(most):
    with pytest.raises(ValueError, match=r"most is .* whole number from 1"):
        survey(SIX, most=most)


def test_results_are_frozen_hashable_and_picklable():
    seen = survey(SIX)
    again = pickle.loads(pickle.dumps(seen))
    assert again == seen
    assert hash(again) == hash(seen)
    assert again.rows[3].coast == seen.rows[3].coast
    fresh = SurveyRow(train=SIX, applied=seen.rows[3].applied)
    assert {seen.rows[3]: 1}[fresh] == 1
    with pytest.raises(AttributeError):
        seen.rows[3].applied = frozenset()
    with pytest.raises(AttributeError):
        seen.rows[3].drive = None


def test_six_range_combinations_under_both_loads_take_50_ms_at_most():
    def seconds():
        start = time.process_time()
        flows = [(row.drive, row.coast) for row in survey(SIX).rows]
        assert len(flows) == 32
        return time.process_time() - start

    least = min(seconds() for _ in range(5))
    print(f"32 combinations, both loads: {least * 1000:.1f} ms")
    assert least < 0.05
