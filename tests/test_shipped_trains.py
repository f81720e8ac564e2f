"""The trains that are shipped: ratios by closed formulas, teeth, charts, words."""

import re
from fractions import Fraction as F

import pytest
import trains

from gearlab import load_train, power_flow, range_flows, set_up_card, train_names
from gearlab.assembly import FITS, assembly_verdicts

NAMES = ("five-range", "four-range", "lone-set", "six-range", "three-range")


def with_every_teeth(name):
    """The train as it is, and with each of its named tooth sets."""
    train = load_train(name)
    return [train, *(train.with_teeth(teeth) for teeth in train.tooth_sets.values())]


VARIANTS = [train for name in NAMES for train in with_every_teeth(name)]


def ratios(train):
    flows = range_flows(train)
    return {
        name: both["drive"].ratio
        for name, both in flows.items()
        if both["drive"].state == "drives"
    }


def teeth(train, set_name):
    counts = {one.name: one for one in train.sets}[set_name].all_teeth
    return {key.replace("-", "_"): F(count) for key, count in counts.items()}


def lone_set(train):
    """Formulas: "Epicyclic gearing", English Wikipedia, "Fixed carrier train ratio",
    and tec-science.com, "Transmission ratios of planetary gears (Willis equation)".
    """
    sun, ring = (teeth(train, "single")[key] for key in ("sun", "ring"))
    return {
        "sun to carrier": 1 + ring / sun,
        "ring to carrier": 1 + sun / ring,
        "direct": F(1),
        "carrier to ring": ring / (sun + ring),
        "carrier to sun": sun / (sun + ring),
        "sun to ring": -ring / sun,
        "ring to sun": -sun / ring,
    }


def three_range(train, sets=("front", "rear")):
    """Derived for any teeth. For two equal sets it is standard textbook matter, such
    as L.-W. Tsai, Mechanism Design, 2001, from memory, to be checked against a copy.
    """
    front, rear = (teeth(train, name) for name in sets)
    first, second = front["sun"] / front["ring"], rear["ring"] / rear["sun"]
    low = 1 + first + first * second
    return {"1": low, "2": 1 + first, "3": F(1), "1 low": low, "R": -second}


def four_range(train):
    """Derived, and confirmed by a second method."""
    double = teeth(train, "double")
    small, large, ring = (double[k] for k in ("small_sun", "large_sun", "ring"))
    return {
        "1": ring / small,
        "2": ring * (small + large) / (small * (large + ring)),
        "3": F(1),
        "4": ring / (ring + large),
        "R": -ring / large,
    }


def six_range(train):
    """Derived: the front carrier gives the reduced speed, X = ring / (sun + ring)."""
    front, rear = teeth(train, "front"), teeth(train, "rear")
    za, zb = front["sun"], front["ring"]
    z1, z2, zr = (rear[key] for key in ("small_sun", "large_sun", "ring"))
    both = za + zb
    return {
        "1": zr * both / (z1 * zb),
        "2": zr * (z1 + z2) * both / (z1 * zb * (z2 + zr)),
        "3": both / zb,
        "4": zr * both / (zr * both - z1 * za),
        "5": zr * both / (zr * both + z2 * za),
        "6": zr / (z2 + zr),
        "R": -zr * both / (z2 * zb),
    }


FORMULAS = {
    "Lone set": lone_set,
    "Three-range bench unit": three_range,
    "Four-range bench unit": four_range,
    "Six-range bench unit": six_range,
}
WITH_FORMULA = [train for train in VARIANTS if train.name in FORMULAS]


def title(train):
    return f"{train.name} {train.sets[0].all_teeth['ring']}"


def test_the_shipped_trains_by_name():
    assert train_names()[0] == "five-range"
    assert set(train_names()) >= set(NAMES)


@pytest.mark.parametrize("train", WITH_FORMULA, ids=title)
def test_ratios_by_closed_formulas(train):
    assert ratios(train) == FORMULAS[train.name](train)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        # Derived, all of them.
        ("six-range", "224/55 80/33 8/5 224/191 16/19 2/3 -16/5"),
        ("four-range", "41/14 451/280 1 41/60 -41/19"),
        ("three-range", "653/245 52/35 1 653/245 -17/7"),
        ("lone-set", "10/3 10/7 1 7/10 3/10 -7/3 -3/7"),
    ],
)
def test_ratios_to_the_fraction(name, expected):
    found = ratios(load_train(name))
    assert sorted(found.values()) == sorted(map(F, expected.split()))


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("five-range", "13/4 13/6 3/2 1 2/3 13/4 -7/2"),
        ("four-range", "3 5/3 1 2/3 -2"),
        ("three-range", "5/2 3/2 1 5/2 -2"),
        ("lone-set", "4 4/3 1 3/4 1/4 -3 -1/3"),
    ],
)
def test_named_teeth_count_easily(name, expected):
    """Derived; a count ends at a twelfth of a turn, so the eye can read it."""
    train = load_train(name)
    counted = ratios(train.with_teeth(train.tooth_sets["easy-count"]))
    assert sorted(counted.values()) == sorted(map(F, expected.split()))
    assert all(12 % ratio.denominator == 0 for ratio in counted.values())


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
    train = load_train("four-range").with_teeth({"double": teeth})
    assert ratios(train) == four_range(train)
    assert [str(ratio) for ratio in ratios(train).values()] == [
        "-7/3",
        "14/5",
        "77/50",
        "1",
        "7/10",
    ]


@pytest.mark.parametrize("train", VARIANTS, ids=title)
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
    assert power_flow(train, "1 low").backing_up == low
    assert power_flow(train, "1 low", load="coast").state == "drives"
    assert power_flow(train, "R").backing_up == low


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
        for words in train.set_up[range_name].values():
            assert words in card


@pytest.mark.parametrize("name", NAMES)
def test_the_words_of_a_train(name):
    train = load_train(name)
    assert "It teaches" in train.about
    assert "Invented for teaching." in train.about
    for part in train.by_name:
        assert re.fullmatch(r"[a-z]+([ -][a-z]+)+", part), part
