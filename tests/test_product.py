"""Trains that are sections in a row, found by the program."""

import pickle
from fractions import Fraction as F
from itertools import permutations, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from trains import five_range, make_train, other_five_range, simple

from gearlab import load_train, power_flow
from gearlab.ask.product import product_table

FIVE, OTHER = load_train("five-range"), other_five_range()


def factors(line):
    return [factor.ratio for factor in line]


def by_ratio(line):
    return {str(factor.ratio): list(map(set, factor.applied)) for factor in line}


@pytest.mark.parametrize(
    ("train", "overdrive", "low", "middle", "reverse"),
    [(FIVE, "2/3", "17/6", "38/27", "-7/2"), (OTHER, "12/17", "41/13", "20/13", "-3")],
    ids=["shipped", "other"],
)
def test_the_five_range_unit_is_a_product(train, overdrive, low, middle, reverse):
    # Derived: the front set locked or in overdrive, the rear section in four ways.
    table = product_table(train)
    assert table.train is train
    assert table.shaft == "intermediate shaft"
    assert [[one.name for one in section.sets] for section in table.sections] == [
        ["front"],
        ["middle", "rear"],
    ]
    assert by_ratio(table.rows) == {
        "1": [{"front lock clutch"}, set()],
        overdrive: [{"overdrive brake"}],
    }
    assert by_ratio(table.columns) == {
        low: [{"forward clutch"}, {"forward clutch", "low brake"}],
        middle: [{"forward clutch", "common-sun brake"}],
        "1": [{"forward clutch", "direct clutch"}],
        reverse: [{"direct clutch", "low brake"}],
    }
    ranges = [("1", "1 low"), ("3",), ("4",), ("R",)], [("2",), (), ("5",), ()]
    behind = [*map(F, (low, middle, "1", reverse))]
    cells = [[(cell.ratio, cell.ranges) for cell in row] for row in table.cells]
    assert cells == [
        [(front * rear, names) for rear, names in zip(behind, row, strict=True)]
        for front, row in zip((F(1), F(overdrive)), ranges, strict=True)
    ]
    assert table.cells[0][0].range == "1"
    assert table.cells[1][1].range is None


def test_one_way_clutches_belong_to_their_section():
    first, second = product_table(FIVE).sections
    assert [part.name for part in first.one_way_clutches] == ["front one-way clutch"]
    assert [part.name for part in second.one_way_clutches] == ["low one-way clutch"]
    assert set(first.element_names) == {"overdrive brake", "front lock clutch"}
    assert set(first.element_names) | set(second.element_names) == set(
        FIVE.element_names
    )


@pytest.mark.parametrize("name", ["six-range", "three-range", "four-range", "lone-set"])
def test_other_trains_are_no_product(name):
    assert product_table(load_train(name)) is None


TEETH = st.tuples(st.integers(20, 60), st.integers(8, 24)).map(
    lambda pair: (pair[0], pair[0] + 2 * pair[1])
)


@settings(max_examples=50)
@given(
    front=TEETH,
    middle=TEETH,
    rear=TEETH,
    order=st.sampled_from([*permutations(range(3))]),
)
def test_every_cell_is_the_product_and_what_the_train_gives(front, middle, rear, order):
    train = five_range(front, middle, rear, order)
    table = product_table(train)
    for (row, line), j in product(
        zip(table.rows, table.cells, strict=True), range(len(table.columns))
    ):
        column, cell = table.columns[j], line[j]
        assert cell.ratio == row.ratio * column.ratio
        for first, second in product(row.applied, column.applied):
            flow = power_flow(train, applied=first | second)
            assert flow.ratio == cell.ratio
        for name in cell.ranges:
            assert power_flow(train, name).ratio == cell.ratio
    named = [name for line in table.cells for cell in line for name in cell.ranges]
    assert sorted(named) == sorted(set(train.range_names) - {"P", "N"})


def two_sections(**changes):
    """A set that is locked, reduced or reversed before another like it."""
    parts = {
        "input": "first sun",
        "output": "second carrier",
        "shafts": {},
        "brakes": {
            "first ring brake": "first ring",
            "second ring brake": "second ring",
        },
        "clutches": {
            "joining clutch": ("first carrier", "second sun"),
            "first lock clutch": ("first sun", "first ring"),
            "second lock clutch": ("second sun", "second ring"),
        },
        "ranges": {
            "low": ["first ring brake", "joining clutch", "second ring brake"],
            "high": ["first lock clutch", "joining clutch", "second lock clutch"],
        },
    }
    return make_train(
        simple("first", 30, 60), simple("second", 20, 60), **(parts | changes)
    )


def test_sections_that_only_a_clutch_joins():
    table = product_table(two_sections())
    assert factors(table.rows) == [3, 1]
    assert factors(table.columns) == [4, 1]
    assert [[cell.ratio for cell in row] for row in table.cells] == [[12, 3], [4, 1]]
    assert [[cell.range for cell in row] for row in table.cells] == [
        ["low", None],
        [None, "high"],
    ]
    joining = ["joining clutch" in section.element_names for section in table.sections]
    assert sum(joining) == 1


def test_a_brake_on_the_shaft_between_belongs_to_one_section():
    shafts = {"middle shaft": ["first carrier", "second sun"]}
    clutches = {
        "first lock clutch": ("first sun", "first ring"),
        "second lock clutch": ("second carrier", "second ring"),
    }
    brakes = {
        "middle brake": "middle shaft",
        "first ring brake": "first ring",
        "second ring brake": "second ring",
    }
    train = two_sections(shafts=shafts, clutches=clutches, brakes=brakes, ranges={})
    table = product_table(train)
    assert table.shaft == "middle shaft"
    assert "middle brake" not in table.sections[0].element_names
    assert "middle brake" in table.sections[1].element_names
    assert [[cell.ratio for cell in row] for row in table.cells] == [[12, 3], [4, 1]]


def test_members_fixed_to_the_case_do_not_join_sections():
    """Both rings are fixed, so each section has one factor: nothing to tabulate."""
    shafts = {
        "middle shaft": ["first carrier", "second sun"],
        "case": ["first ring", "second ring"],
    }
    train = two_sections(shafts=shafts, clutches={}, brakes={}, ranges={})
    assert power_flow(train).ratio == 12
    assert product_table(train) is None


def test_an_element_across_the_shaft_joins_the_sections():
    clutches = {
        "joining clutch": ("first carrier", "second sun"),
        "first lock clutch": ("first sun", "first ring"),
        "second lock clutch": ("second sun", "second ring"),
        "bypass clutch": ("first sun", "second ring"),
    }
    assert product_table(two_sections(clutches=clutches)) is None
    one_way = {"bypass one-way clutch": ("second ring", "first sun")}
    assert product_table(two_sections(one_way=one_way)) is None


def test_a_cell_in_which_a_section_keeps_the_other_from_driving():
    """In reverse the one-way clutch of the second set overruns, or stops it all."""
    train = make_train(
        simple("first", 30, 60),
        simple("second", 20, 60),
        input="first sun",
        output="second carrier",
        shafts={"middle shaft": ["first ring", "second sun"]},
        brakes={"first carrier brake": "first carrier"},
        clutches={
            "first lock clutch": ("first sun", "first carrier"),
            "second lock clutch": ("second sun", "second ring"),
        },
        one_way={"ring one-way clutch": ("second ring", "case")},
    )
    table = product_table(train)
    assert factors(table.rows) == [1, -2]
    assert factors(table.columns) == [4, 1]
    assert [[cell.ratio for cell in row] for row in table.cells] == [
        [4, 1],
        [None, None],
    ]
    states = [
        power_flow(train, applied={"first carrier brake", *more}).state
        for more in ([], ["second lock clutch"])
    ]
    assert states == ["neutral", "tied up"]


def test_a_first_section_that_turns_backward_lets_a_clutch_of_the_second_catch():
    # Derived: the roller lets the second sun turn backward only. With the middle shaft
    # turning backward the loaded carrier pushes the sun forward: it is held, 1 + 30/72.
    train = make_train(
        simple("first", 30, 72),
        simple("second", 30, 72),
        shafts={"middle": ["first ring", "second ring"]},
        brakes={"reverse brake": "first carrier", "low brake": "second sun"},
        clutches={
            "first lock": ("first sun", "first ring"),
            "second lock": ("second sun", "second ring"),
        },
        one_way={"roller": ("case", "second sun")},
        ranges={
            "low": ["first lock", "low brake"],
            "slow reverse": ["reverse brake"],
            "reverse": ["reverse brake", "second lock"],
        },
        input="first sun",
        output="second carrier",
    )
    low, back = 1 + F(30, 72), -F(72, 30)
    assert power_flow(train, "slow reverse").ratio == back * low
    table = product_table(train)
    assert factors(table.rows) == [1, back]
    assert by_ratio(table.columns) == {
        str(low): [{"low brake"}, set()],
        "1": [{"second lock"}],
    }
    cells = [[(cell.ratio, cell.ranges) for cell in row] for row in table.cells]
    assert cells == [
        [(low, ("low",)), (None, ())],
        [(back * low, ("slow reverse",)), (back, ("reverse",))],
    ]


def test_of_three_sections_the_first_is_split_off():
    sets = [simple(name, 30, 60) for name in "abc"]
    train = make_train(
        *sets,
        input="a sun",
        output="c carrier",
        shafts={"one": ["a carrier", "b sun"], "two": ["b carrier", "c sun"]},
        brakes={f"{name} brake": f"{name} ring" for name in "abc"},
        clutches={f"{name} lock": (f"{name} sun", f"{name} ring") for name in "abc"},
    )
    table = product_table(train)
    assert table.shaft == "one"
    assert factors(table.rows) == [3, 1]
    assert factors(table.columns) == [9, 3, 1]


def test_results_are_frozen_hashable_and_picklable():
    table = product_table(FIVE)
    again = pickle.loads(pickle.dumps(table))
    assert again == table
    assert hash(again) == hash(table)
    with pytest.raises(AttributeError):
        table.shaft = "input shaft"


def test_the_table_reads_as_text():
    lines = str(product_table(FIVE)).splitlines()
    assert lines[0] == "split at the intermediate shaft"
    assert lines[1] == "1: the front lock clutch"
    # 2/3 × 38/27 and 2/3 × −7/2: why are they left out?
    assert "    × 1.407 (38/27) = 0.938 (76/81): left out" in lines
    assert "    × −3.5 (−7/2) = −2.333 (−7/3): left out" in lines
    assert "    × 2.833 (17/6) = 2.833 (17/6): 1 and 1 low" in lines
    lines = str(product_table(OTHER)).splitlines()
    assert "    × 1.538 (20/13) = 1.086 (240/221): left out" in lines
    assert "    × 3.154 (41/13) = 3.154 (41/13): 1 and 1 low" in lines
