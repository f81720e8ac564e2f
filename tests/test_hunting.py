"""Hunting teeth and paint marks."""

from fractions import Fraction as F

import pytest
from trains import five_range, one_set

from gearlab import load_train, power_flow
from gearlab.ask.hunting import hunting, marks_together

# first, second: engagements, turns of the first, turns of the second
PUBLISHED = [
    # A hobby page on gears prints 17 turns for this pair; 25 and 11 are right.
    (11, 25, 275, 25, 11),
    # An open book by a maker of gear machines, p. 96: it ends after 11 gear turns.
    (11, 30, 330, 30, 11),
    (11, 31, 341, 31, 11),
    # A trade article on hunting-tooth sets.
    (10, 41, 410, 41, 10),
    (11, 41, 451, 41, 11),
    # An open encyclopaedia article on the hunting tooth. A trade journal's list of
    # keywords says Za × Zb revolutions; it is engagements.
    (24, 49, 1176, 49, 24),
    # Derived: a pair that does not hunt.
    (12, 48, 48, 4, 1),
]


@pytest.mark.parametrize(("first", "second", "engagements", "a", "b"), PUBLISHED)
def test_published_pairs(first, second, engagements, a, b):
    pair = hunting(first, second)
    assert pair.engagements == engagements
    assert (pair.first_turns, pair.second_turns) == (a, b)
    assert pair.hunts == (engagements == first * second)


def test_two_worm_wheels_on_one_worm():
    # H. T. Brown, 507 Mechanical Movements, 1868, no. 264: wheels of 100 and 101 teeth
    # come together again after 10 100 turns of the worm, one tooth a turn.
    assert hunting(100, 101).engagements == 10_100


@pytest.mark.parametrize(("first", "second"), [(12, 48), (12, 18), (11, 25), (9, 6)])
def test_teeth_that_meet_are_counted_one_by_one(first, second):
    pair = hunting(first, second)
    met = [(k % first, k % second) for k in range(first * second)]
    again = next(k for k in range(1, first * second + 1) if not k % first + k % second)
    assert pair.engagements == again == len(set(met))
    assert (pair.first_turns, pair.second_turns) == (again // first, again // second)
    assert pair.meets == len({b for a, b in met if a == 0})
    assert pair.hunts == (pair.meets == second)


@pytest.mark.parametrize("teeth", [0, 3, 2.5, True, "12", 10_001])
def test_what_is_no_tooth_count(teeth):
    with pytest.raises(ValueError, match="the second gear is"):
        hunting(12, teeth)


@pytest.mark.parametrize("train", ["five-range", "six-range"])
def test_marks_of_every_range_come_together_and_not_before(train):
    train = load_train(train)
    told = 0
    for name in train.range_names:
        flow = power_flow(train, name)
        turns = marks_together(flow)
        if turns is None:
            assert None in flow.speeds.values()
            continue
        told += 1
        assert (
            next(
                n
                for n in range(1, turns + 1)
                if all((n * speed).denominator == 1 for speed in flow.speeds.values())
            )
            == turns
        )
    assert told >= 6


def test_marks_of_a_set_by_hand():
    # Sun 30, ring 72 held, planets 21: carrier 30/102 = 5/17 of the sun; on its pin the
    # planet turns back by 72/21 of that, so −17/7 × 5/17 = −5/7 from the ground.
    flow = power_flow(one_set(), applied=["ring brake"])
    assert flow.speeds["front carrier"] == F(5, 17)
    assert flow.speeds["front planet"] == F(-5, 7)
    assert marks_together(flow) == 7 * 17


def test_marks_are_not_told_where_a_part_is_loose_or_nothing_turns():
    assert marks_together(power_flow(one_set())) is None
    tied = power_flow(one_set(), applied=["sun brake", "ring brake"])
    assert tied.state == "tied up"
    assert marks_together(tied) is None
    assert marks_together(power_flow(five_range(), "N")) is None
