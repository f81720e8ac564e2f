"""The trains that are shipped: ratios by closed formulas, teeth, charts, words."""

import re
from fractions import Fraction as F

import pytest
import trains
from formulas import FORMULAS, three_range

from gearlab import load_train, power_flow, range_flows, set_up_card, train_names
from gearlab.ask.assembly import FITS, assembly_verdicts
from gearlab.say.setupcard import DRUM_RULE

NAMES = ("five-range", "four-range", "lone-set", "six-range", "three-range")


def with_every_teeth(name):
    """{tooth set: the train with it}, and the train as it is under "shipped"."""
    train = load_train(name)
    sets = {key: train.with_teeth(teeth) for key, teeth in train.tooth_sets.items()}
    return {"shipped": train} | sets


VARIANTS = {
    (name, key): train
    for name in NAMES
    for key, train in with_every_teeth(name).items()
}
OTHERS = {
    ("five-range", "other"): trains.other_five_range(),
    ("four-range", "other"): trains.other_four_range(),
    ("six-range", "other"): trains.other_six_range(),
    ("three-range", "other"): trains.other_three_range(),
}
each_variant = pytest.mark.parametrize(
    "train", VARIANTS.values(), ids=map(" ".join, VARIANTS)
)


def ratios(train):
    flows = range_flows(train)
    return {
        name: both["drive"].ratio
        for name, both in flows.items()
        if both["drive"].state == "drives"
    }


def test_the_shipped_trains_by_name():
    assert train_names()[0] == "five-range"
    assert set(train_names()) >= set(NAMES)


@pytest.mark.parametrize("which", VARIANTS | OTHERS, ids=" ".join)
def test_ratios_by_closed_formulas(which):
    train = (VARIANTS | OTHERS)[which]
    assert ratios(train) == FORMULAS[which[0]](train)


# Derived, all of them, in the order of the apply chart.
EXACT = {
    "five-range": {
        "shipped": "R -7/2, 1 17/6, 2 17/9, 3 38/27, 4 1, 5 2/3, 1 low 17/6",
        "easy-count": "R -7/2, 1 13/4, 2 13/6, 3 3/2, 4 1, 5 2/3, 1 low 13/4",
        "other": "R -3, 1 41/13, 2 492/221, 3 20/13, 4 1, 5 12/17, 1 low 41/13",
    },
    "four-range": {
        "shipped": "R -3, 1 11/3, 2 5/3, 3 1, 4 3/4",
        "easy-count": "R -3, 1 4, 2 7/4, 3 1, 4 3/4",
        "other": "R -41/19, 1 41/14, 2 451/280, 3 1, 4 41/60",
    },
    "lone-set": {
        "shipped": "sun to carrier 10/3, ring to carrier 10/7, direct 1,"
        " carrier to ring 7/10, carrier to sun 3/10, sun to ring -7/3,"
        " ring to sun -3/7",
        "easy-count": "sun to carrier 4, ring to carrier 4/3, direct 1,"
        " carrier to ring 3/4, carrier to sun 1/4, sun to ring -3,"
        " ring to sun -1/3",
    },
    "six-range": {
        "shipped": "R -10/3, 1 4, 2 44/21, 3 4/3, 4 12/11, 5 10/11, 6 5/7",
        "other": "R -16/5, 1 224/55, 2 80/33, 3 8/5, 4 224/191, 5 16/19, 6 2/3",
    },
    "three-range": {
        "shipped": "R -3, 1 33/13, 2 18/13, 3 1, 1 low 33/13",
        "easy-count": "R -3, 1 7/3, 2 4/3, 3 1, 1 low 7/3",
        "other": "R -17/7, 1 653/245, 2 52/35, 3 1, 1 low 653/245",
    },
}


@pytest.mark.parametrize("which", VARIANTS | OTHERS, ids=" ".join)
def test_ratios_to_the_fraction(which):
    name, key = which
    told = (row.rpartition(" ") for row in EXACT[name][key].split(", "))
    expected = {row: F(ratio) for row, _, ratio in told}
    assert ratios((VARIANTS | OTHERS)[which]) == expected


def test_every_shipped_train_and_named_tooth_set_has_its_exact_ratios():
    assert {(name, key) for name, keys in EXACT.items() for key in keys} == {
        *VARIANTS,
        *OTHERS,
    }
    assert {name for name, _ in VARIANTS} == set(train_names())


@pytest.mark.parametrize(
    "which", [one for one in VARIANTS if one[1] == "easy-count"], ids=" ".join
)
def test_named_teeth_count_easily(which):
    """A count ends at a twelfth of a turn, so the eye can read it."""
    found = ratios(VARIANTS[which]).values()
    assert found and all(12 % ratio.denominator == 0 for ratio in found)


def test_three_range_formula_gives_a_question_of_a_university():
    # transtutors.com, question 13691296: rings 57 and 80, suns 28 and 37 (the teeth
    # and the elements of reverse; answer computed).
    train = trains.three_range()
    expected = {"1": "1795/703", "2": "85/57", "3": "1", "R": "-80/37"}
    formula = three_range(train, sets=("first", "second"))
    for name, ratio in expected.items():
        assert formula[name] == power_flow(train, name).ratio == F(ratio)


def test_the_two_sun_formula_on_other_teeth():
    # Derived: 30/36/84.
    teeth = {"small-sun": 30, "large-sun": 36, "ring": 84}
    train = trains.other_four_range().with_teeth({"double": teeth})
    assert ratios(train) == FORMULAS["four-range"](train)
    assert [str(ratio) for ratio in ratios(train).values()] == [
        "-7/3",
        "14/5",
        "77/50",
        "1",
        "7/10",
    ]


@each_variant
def test_the_teeth_fit_and_the_planets_are_spaced_equally(train):
    verdicts = [v for one in train.sets for v in assembly_verdicts(one)]
    assert [v.words for v in verdicts if v.level != FITS] == []
    for one in train.sets:
        assert one.planets >= 3
        assert one.planet_places % one.planets == 0
        assert one.neighbour_gap > 0.5
        if one.kind == "simple":
            assert [v.rule for v in assembly_verdicts(one)]


MEMBERS = {
    "simple": {"sun", "planet", "ring", "carrier"},
    "two-sun": {
        "small sun", "large sun", "short planet", "long planet", "ring", "carrier",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", NAMES)
def test_every_member_and_shaft_has_its_speed(name):
    train = load_train(name)
    names = {f"{one.name} {m}" for one in train.sets for m in MEMBERS[one.kind]}
    names |= {shaft for shaft in train.shafts if shaft != "case"}
    for both in range_flows(train).values():
        assert set(both["drive"].speeds) == names


@pytest.mark.parametrize("name", NAMES)
def test_every_range_does_what_its_name_says(name):
    flows = range_flows(load_train(name))
    for range_name, both in flows.items():
        flow = both["drive"]
        if range_name == "P":
            assert flow.state == "output locked"
        elif range_name == "N":
            assert flow.state == "neutral"
        else:
            assert flow.state == "drives"
            backward = range_name in ("R", "sun to ring", "ring to sun")
            assert (flow.ratio < 0) == backward


def test_the_low_one_way_clutch_of_the_three_range_unit():
    # A one-way clutch on the reaction carrier holds in the lowest range while the
    # engine drives and overruns on coast and in every higher range; a brake beside it
    # restores engine braking (common practice, no source).
    train = load_train("three-range")
    low = {"low one-way clutch"}
    assert power_flow(train, "1").holding == low
    assert power_flow(train, "1", load="coast").state == "freewheels"
    for name in ("2", "3"):
        assert power_flow(train, name).overrunning == low
    beside = {"low one-way clutch": ("low brake",)}
    assert power_flow(train, "1 low").backing_up == beside
    assert power_flow(train, "1 low", load="coast").state == "drives"
    # It cannot hold the reaction of reverse, nor that of engine braking.
    assert power_flow(train, "R").at_rest == low
    assert power_flow(train, "1 low", load="coast").at_rest == low


@pytest.mark.parametrize("name", NAMES)
def test_the_chart_is_full(name):
    """Every element is used, every range can be selected, each step has a start."""
    train = load_train(name)
    used = {one for row in train.ranges for one in row.applied}
    assert used == {*train.element_names, *(lock.name for lock in train.locks)}
    allowed = {one for ranges in train.selector.values() for one in ranges}
    assert allowed == set(train.range_names)
    for ranges in train.selector.values():
        for one in ranges[1:]:
            assert train.range(one).after in ranges


@pytest.mark.parametrize("name", [name for name in NAMES if name != "six-range"])
def test_set_up_cards_and_named_teeth_are_there(name):
    train = load_train(name)
    assert train.set_up
    assert train.tooth_sets
    for range_name in train.set_up:
        card = set_up_card(train, range_name)
        assert card.startswith(f"Set-up card, range {range_name}\n")
        assert max(map(len, card.splitlines())) <= 88
        for words in train.set_up[range_name].values():
            assert words in " ".join(card.split())


@pytest.mark.parametrize("name", NAMES)
def test_nobody_holds_by_hand_what_a_one_way_clutch_can_catch(name):
    """One rule: a tool holds, hands are clear, and nobody drives from the output."""
    train = load_train(name)
    rule = (
        "Stop turning. Nobody's hand on a drum that a one-way clutch can catch. Hold"
        " with a tool or strap fixed to the bench. Release it, hands clear, then turn"
        " again by the input alone."
    )
    assert rule == DRUM_RULE
    for row in train.ranges:
        card = " ".join(set_up_card(train, row.name).split())
        hold = card.split(" hold ")[1].split(" join ")[0]
        assert hold.startswith("nothing") or hold.endswith(
            ", to the case, with a tool or strap fixed to the bench"
        )
        assert "drive from the output" not in card
        assert (rule in card) == bool(train.one_way_clutches)


@pytest.mark.parametrize("name", NAMES)
def test_the_words_of_a_train(name):
    train = load_train(name)
    assert "It teaches" in train.about
    assert "Invented for teaching." in train.about
    for part in train.by_name:
        assert re.fullmatch(r"[a-z]+([ -][a-z]+)+", part), part
