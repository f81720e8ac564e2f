"""From symptom to element: faults, what they show, and who explains what."""

import pickle
import random
from dataclasses import replace
from fractions import Fraction
from functools import cache, lru_cache
from math import log2
from types import SimpleNamespace

import pytest
from faulty_motion import disagreements
from loops import each
from trains import random_train

import gearlab as gl
from gearlab import draw
from gearlab.ask.faults.fault import STANDING, Fault
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw.kit.shapes import Text, walk
from gearlab.train.train import Range
from gearlab.train.trainfile import read_train

TRAIN = gl.load_train("five-range")
NAMES = gl.train_names()


@lru_cache
def trains(name):
    return gl.load_train(name)


def table_of(train):
    return gl.symptoms(train)


def fault_of(train, kind, about):
    return next(
        one for one in gl.faults(train) if (one.kind, one.about) == (kind, about)
    )


TABLE = gl.symptoms(TRAIN)
LOOSE = fault_of(TRAIN, "comes loose", "middle sun")


# Faults -----------------------------------------------------------------------------


def test_every_part_can_fail_in_each_of_its_ways():
    kinds = [one.kind for one in gl.faults(TRAIN)]
    for kind in ("fails to apply", "fails to release", "slips"):
        assert kinds.count(kind) == len(TRAIN.elements)
    for kind in ("fails to hold", "seizes", "wrong way round"):
        assert kinds.count(kind) == len(TRAIN.one_way_clutches)
    loose = {one.about for one in gl.faults(TRAIN) if one.kind == "comes loose"}
    assert loose == {name for members in TRAIN.shafts.values() for name in members}
    assert kinds.count("not in the gear train") == 1


def test_a_fault_is_a_key_that_is_the_same_in_each_call():
    again = gl.faults(gl.load_train("five-range"), together=2)
    assert gl.faults(TRAIN) == again[: len(gl.faults(TRAIN))]
    assert len(set(again)) == len(again)
    assert pickle.loads(pickle.dumps(again[-1])) == again[-1]
    assert {again[3]: 1}[gl.faults(TRAIN)[3]] == 1
    words = [one.words for one in again]
    assert len(set(words)) == len(words)
    assert pickle.loads(pickle.dumps(TABLE)) == TABLE


def test_a_shaft_that_holds_nothing_else_has_no_joint_to_break():
    text = """
    name = "One set"
    input = "one sun"
    output = "one carrier"
    [sets.one]
    kind = "simple"
    sun = 30
    ring = 60
    [shafts]
    "ring drum" = ["one ring"]
    [brakes]
    "ring brake" = "{}"
    [ranges]
    1 = ["ring brake"]
    """
    kinds = [
        [one.kind for one in gl.faults(read_train(text.format(where)))]
        for where in ("one ring", "ring drum")
    ]
    assert ["comes loose" in found for found in kinds] == [False, True]


# What they show ---------------------------------------------------------------------

SHOWN = [
    ("fails to apply", "forward clutch", ("1", "drive"), "no drive"),
    ("fails to apply", "forward clutch", ("R", "drive"), "drives"),
    ("fails to apply", "common-sun brake", ("3", "drive"), "drives like range 1"),
    ("fails to apply", "low brake", ("1 low", "drive"), "drives"),
    ("fails to apply", "low brake", ("1 low", "coast"), "no engine braking"),
    ("fails to apply", "low brake", ("R", "drive"), "no drive"),
    ("fails to release", "low brake", ("1", "coast"), "engine braking"),
    ("fails to release", "low brake", ("3", "drive"), "ties up"),
    ("fails to release", "overdrive brake", ("N", "drive"), "ties up"),
    ("fails to release", "forward clutch", ("N", "drive"), "drives like range 1"),
    (
        *("fails to release", "common-sun brake", ("2", "drive")),
        "drives in another ratio, 0.938 (76/81)",
    ),
    ("slips", "common-sun brake", ("3", "drive"), "slips"),
    ("slips", "front lock clutch", ("4", "drive"), "drives"),  # backed up
    ("slips", "front lock clutch", ("4", "coast"), "slips"),
    ("fails to hold", "low one-way clutch", ("1", "drive"), "no drive"),
    ("fails to hold", "low one-way clutch", ("1 low", "drive"), "drives"),
    ("seizes", "low one-way clutch", ("4", "drive"), "ties up"),
    ("wrong way round", "low one-way clutch", ("1", "coast"), "engine braking"),
    ("comes loose", "rear sun", ("1", "drive"), "no drive"),
    ("comes loose", "rear sun", ("3", "drive"), "drives"),
    ("not in the gear train", None, ("P", "drive"), "output locked"),
]


@each("kind, about, key, shown", SHOWN)
def test_a_fault_shows_what_it_must(kind, about, key, shown):
    assert TABLE.rows[fault_of(TRAIN, kind, about)][key] == shown


def random_cases(count, seed):
    chance = random.Random(seed)
    for _ in range(count):
        train = trains(chance.choice(NAMES))
        fault = chance.choice(gl.faults(train))
        yield (
            train,
            fault,
            chance.choice(train.ranges),
            chance.choice(("drive", "coast")),
        )


def test_a_second_opinion_agrees():
    assert not disagreements(random_cases(150, 5), table_of)


def test_the_second_opinion_can_disagree():
    """It sees a table in which two rows were exchanged."""
    first, second = gl.faults(TRAIN)[0], gl.faults(TRAIN)[9]

    rows = {**TABLE.rows, first: TABLE.rows[second]}
    case = (TRAIN, first, TRAIN.range("2"), "drive")
    assert disagreements([case], lambda train: SimpleNamespace(rows=rows))


def test_what_slips_states_the_largest_output_torque_and_no_ratio():
    fault = fault_of(TRAIN, "slips", "low brake")
    flow = gl.power_flow(TRAIN, "R")
    most = abs(flow.torques["output"] / flow.torques["low brake"])
    assert TABLE.largest_outputs[fault]["R", "drive"] == most == Fraction(7, 9)
    assert "0.778 (7/9)" in gl.suspects(TRAIN, TABLE.rows[fault]).why[fault]
    assert set(TABLE.largest_outputs) == {
        one for one in gl.faults(TRAIN) if one.kind == "slips"
    }


def test_groups_are_the_faults_with_one_row():
    for group in TABLE.groups:
        assert len({TABLE.rows[one] for one in group}) == 1
        assert (group in TABLE.beyond) == (len(group) > 1)
    assert sum(map(len, TABLE.groups)) == len(TABLE.rows)
    assert len({TABLE.rows[min(g, key=hash)] for g in TABLE.groups}) == len(
        TABLE.groups
    )
    alike = TABLE.group_of(fault_of(TRAIN, "fails to release", "low brake"))
    assert fault_of(TRAIN, "seizes", "low one-way clutch") in alike
    nothing = TABLE.group_of(STANDING)
    assert fault_of(TRAIN, "fails to hold", "front one-way clutch") in nothing


def test_shifts_and_starts_that_go_wrong():
    shifts = gl.shift_symptoms(TRAIN)
    late = fault_of(TRAIN, "fails to apply", "common-sun brake")
    dragging = fault_of(TRAIN, "fails to release", "overdrive brake")
    passing = fault_of(TRAIN, "fails to hold", "front one-way clutch")
    assert shifts[late] == {("2", "3"): "flare"}
    assert shifts[dragging]["2", "3"] == "tie-up"
    assert shifts[passing] == {("2", "3"): "may flare"}
    assert STANDING not in shifts
    direct = fault_of(TRAIN, "fails to release", "direct clutch")
    assert TABLE.starts[direct]["D"] == "starts in range 4"


def test_pairs_come_with_progress():
    told = []
    train = trains("four-range")
    both = gl.symptoms(train, together=2, progress=lambda *done: told.append(done))
    assert told[-1] == (len(both.rows), len(both.rows))
    assert [done for done, _ in told] == sorted(done for done, _ in told)
    pair = next(
        one
        for one in both.rows
        if one.parts
        == (
            fault_of(train, "fails to apply", "large-sun brake"),
            fault_of(train, "fails to apply", "carrier clutch"),
        )
    )
    row = both.rows[pair]
    assert (row["2", "drive"], row["3", "drive"]) == ("no drive", "drives")
    found = gl.suspects(train, row, together=2)
    # What one fault explains is likelier than what takes two.
    assert pair in found.explain_all
    assert [len(one.singles) for one in found.explain_all[:-1]] == sorted(
        len(one.singles) for one in found.explain_all[:-1]
    )


def test_the_picture_has_what_the_table_has():
    scene, empty = (draw.draw_symptom_table(TRAIN, blank=one) for one in (False, True))
    texts = [shape.text for shape, _ in walk(scene.shapes) if isinstance(shape, Text)]
    odd = [
        (key[1], told)
        for group in TABLE.groups
        for key, told in TABLE.rows[TABLE.in_order(group)[0]].items()
        if told != TABLE.sound[key]
    ]
    # One more stands in the key; ties up shows once where it does so both ways.
    for letter, told in (("N", ("drive", "no drive")), ("T", ("drive", "ties up"))):
        heading = letter in TRAIN.range_names
        assert texts.count(letter) == odd.count(told) + 1 + heading
    assert "common-sun brake: fails to release" in " ".join(texts)
    assert "range 2 under power drives in another ratio, 0.938 (76/81)" in scene.alt
    assert "0.938" not in [s.text for s, _ in walk(empty.shapes) if hasattr(s, "text")]
    assert "ties up" not in empty.alt
    assert (scene.width, scene.height) >= (empty.width, empty.height)


# Suspects ---------------------------------------------------------------------------


@each("name", NAMES)
def test_full_symptoms_name_the_fault(name):
    train = trains(name)
    table = gl.symptoms(train)
    for fault, row in table.rows.items():
        found = gl.suspects(train, row)
        assert set(found.explain_all) - {STANDING} == table.group_of(fault) - {STANDING}
        assert STANDING in found.explain_all
        assert found.ranked_groups[0] == table.group_of(fault)
        assert not found.contradictions


@each("seed", range(12))
def test_full_symptoms_name_the_fault_on_any_train(seed):
    rng = random.Random(seed)
    train, _ = random_train(rng, one_ways=seed % 4)
    names = train.element_names
    rows = [rng.sample(names, rng.randint(0, min(3, len(names)))) for _ in range(4)]
    ranges = [Range(name=str(n), applied=tuple(row)) for n, row in enumerate(rows)]
    train = replace(train, ranges=tuple(ranges))
    table = gl.symptoms(train)
    for fault, row in table.rows.items():
        found = gl.suspects(train, row)
        assert set(found.explain_all) - {STANDING} == table.group_of(fault) - {STANDING}
        assert found.why[fault]


def count_until_named(train, group, table):
    seen, fault = {}, table.in_order(group)[0]
    while test := gl.next_test(train, seen):
        seen[test] = table.rows[fault][test]
    left = set(gl.suspects(train, seen).explain_all) - {STANDING}
    assert left == group - {STANDING}
    return len(seen)


@each("name", NAMES)
def test_few_tests_name_each_fault(name):
    train = trains(name)
    table = gl.symptoms(train)
    counts = [count_until_named(train, group, table) for group in table.groups]
    assert sum(counts) / len(counts) <= log2(len(counts)) + 1


def best_plan(train):
    """The fewest tests on average, by trying every plan."""
    found = gl.symptoms(train)
    rows = [found.rows[found.in_order(group)[0]] for group in found.groups]
    tests = [tuple(row[key] for row in rows) for key in found.sound]

    @cache
    def total(left):
        """Tests of all that are left together, until each stands alone."""
        if len(left) == 1:
            return 0
        least = len(left) * len(tests)
        for seen_of in tests:
            parts = {}
            for at in left:
                parts.setdefault(seen_of[at], []).append(at)
            if len(parts) > 1:
                cost = len(left) + sum(
                    total(frozenset(part)) for part in parts.values()
                )
                least = min(least, cost)
        return least

    return total(frozenset(range(len(rows)))) / len(rows)


def test_few_tests_are_near_the_fewest():
    train = trains("lone-set")
    table = gl.symptoms(train)
    counts = [count_until_named(train, group, table) for group in table.groups]
    best = best_plan(train)
    assert best <= sum(counts) / len(counts) <= best + 1


def wrong_in_places(table, row, chance, part=0.1):
    """A row in which a part of the observations is another one of the table."""
    told = dict(row)
    for key in told:
        if chance.random() < part:
            others = {other[key] for other in table.rows.values()} - {row[key]}
            told[key] = chance.choice(sorted(others) or [row[key]])
    return told


def test_wrong_observations_are_outvoted():
    chance, hits = random.Random(3), 0
    for number in range(150):
        train = trains(NAMES[number % len(NAMES)])
        table = gl.symptoms(train)
        group = chance.choice(table.groups)
        row = table.rows[table.in_order(group)[0]]
        found = gl.suspects(train, wrong_in_places(table, row, chance))
        hits += group in found.ranked_groups[:3]
    assert hits >= 0.95 * 150


def test_what_people_say_is_read():
    rule = {"R": "Fine", (1, "drive"): "No drive", ("1 LOW", "Drive"): " drives "}
    found = gl.suspects(TRAIN, rule)
    about = [one.about for one in found.explain_all]
    assert about[0] == "low one-way clutch"
    assert found.explain_all[0].kind == "fails to hold"
    assert "does not hold the rear carrier" in found.why[found.explain_all[0]]
    assert found.explain_all[-1] == STANDING


SAME = [
    ("drives like range 1", "Range 1"),
    ("drives like range 1", 2.83),
    ("drives like range 1", "2.83 ± 0.01"),
    ("drives like range 1", (Fraction(17, 6), "0,01")),
    ("drives like range 1", "drives in another ratio"),
    ("no drive", "neutral"),
    ("ties up", "tied up"),
]


@each("told, spelt", SAME)
def test_one_thing_may_be_told_in_many_ways(told, spelt):
    one, other = (
        gl.suspects(TRAIN, {("3", "drive"): said}).explain_all for said in (told, spelt)
    )
    assert set(one) <= set(other)
    assert fault_of(TRAIN, "fails to apply", "overdrive brake") not in other


def test_a_measured_ratio_leaves_what_may_slip():
    found = gl.suspects(TRAIN, {("3", "drive"): (2.1, 0.05)})
    kinds = {(one.kind, one.about) for one in found.explain_all}
    # Between third and first: the common-sun brake slips, and first is the end of it.
    assert ("slips", "common-sun brake") in kinds
    assert ("slips", "forward clutch") in kinds
    assert ("fails to apply", "common-sun brake") not in kinds
    above = gl.suspects(TRAIN, {("3", "drive"): (3.4, 0.05)}).explain_all
    assert ("slips", "common-sun brake") not in {(x.kind, x.about) for x in above}


def test_what_fits_the_chart_is_most_likely_no_fault():
    found = gl.suspects(TRAIN, {"1": "drives", "P": "no drive", ("2", "coast"): "ok"})
    assert found.explain_all[0] == STANDING
    assert gl.suspects(TRAIN, {}).explain_all[-1] == STANDING


def test_observations_that_do_not_go_together_are_named():
    found = gl.suspects(TRAIN, {"1": "ties up", "2": "drives like range 1"})
    assert found.explain_all == (STANDING,)
    (said,) = found.contradictions
    assert "range 1 under power and in range 2 under power" in said
    assert said in found.words
    assert found.all_but_one
    for fault in found.all_but_one:
        assert len(found.contradicted[fault]) == 1
        assert "that is not what was seen" in found.why[fault]
    (alone,) = gl.suspects(TRAIN, {"P": "drives", "1": "drives"}).contradictions
    assert "range P under power is given by no fault" in alone


def test_names_that_read_like_others_are_told_apart():
    """Ranges of one name but for its case, and one that is called as what is seen."""
    rows = [*TRAIN.ranges[:1], *TRAIN.ranges[3:6]]
    names = ("P", "Low", "low", "drives")
    rows = [
        replace(row, name=n, after=None) for row, n in zip(rows, names, strict=True)
    ]
    bare = {"selector": FrozenMap(), "solenoids": FrozenMap(), "set_up": FrozenMap()}
    train = replace(TRAIN, ranges=tuple(rows), **bare)
    table = gl.symptoms(train)
    for fault, row in table.rows.items():
        found = gl.suspects(train, row)
        assert set(found.explain_all) - {STANDING} == table.group_of(fault) - {STANDING}
    told = {"low": "drives like range Low"}
    assert gl.suspects(train, told).explain_all[0].about == "overdrive brake"


# The next test ----------------------------------------------------------------------


def test_a_test_is_the_key_of_its_symptom():
    test = gl.next_test(TRAIN, {})
    name, load = test
    assert test == (name, load) == (test.range, test.load)
    assert hash(test) == hash((name, load))
    assert TABLE.rows[STANDING][test] == TABLE.sound[name, load]
    again = pickle.loads(pickle.dumps(test))
    assert (again, again.splits) == (test, test.splits)
    assert sum(count for _, count in test.splits) == len(TABLE.groups)


def test_costs_decide_between_tests():
    free = gl.next_test(TRAIN, {})
    dear = gl.next_test(TRAIN, {}, costs={free: 100})
    assert dear != free
    assert gl.next_test(TRAIN, {}, costs={"drive": 50, free: 1}) == free
    assert gl.next_test(TRAIN, {}, costs={"drive": 50}).load == "coast"


def test_no_test_is_left_where_no_road_test_parts_the_suspects():
    fault = fault_of(TRAIN, "fails to release", "low brake")
    assert gl.next_test(TRAIN, TABLE.rows[fault]) is None


def off_road(fault, key):
    """What a test off the road shows, where the pressure tells nothing."""
    if key[1] == "pressure":
        return "right"
    return "failed" if key[0] == fault.about else "sound"


def test_where_costs_say_so_pressure_comes_after_the_road_and_taking_apart_last():
    costs = {"pressure": 5, "apart": 20}
    for about in ("middle sun", "forward clutch"):
        fault = next(one for one in TABLE.group_of(LOOSE) if one.about == about)
        seen, kinds = {}, []
        while test := gl.next_test(TRAIN, seen, costs=costs):
            row = TABLE.rows[fault]
            seen[test] = row[test] if test in row else off_road(fault, test)
            kinds.append(test.load if test.load in costs else "road")
        found = gl.suspects(TRAIN, seen)
        assert found.explain_all == (fault, STANDING)
        assert kinds == sorted(kinds, key=["road", "pressure", "apart"].index)
        assert {"road", "apart"} <= set(kinds)


def test_a_wrong_pressure_names_its_part_and_a_right_one_clears_nothing():
    row = TABLE.rows[LOOSE]
    key = ("forward clutch", "pressure")
    clutch = fault_of(TRAIN, "fails to apply", "forward clutch")
    wrong = gl.suspects(TRAIN, {**row, key: "Wrong"})
    assert wrong.explain_all == (clutch, STANDING)
    assert "The pressure of the forward clutch speaks against it" in wrong.why[LOOSE]
    assert "in the pressure of the forward clutch" not in str(wrong)
    right = gl.suspects(TRAIN, {**row, key: "right"})
    assert set(right.explain_all) == {*TABLE.group_of(LOOSE), STANDING}
    both = {("rear sun", "apart"): "failed", ("low brake", "apart"): "failed"}
    (said,) = gl.suspects(TRAIN, both).contradictions
    assert "a look at the rear sun and in a look at the low brake" in said


# Wrong input ------------------------------------------------------------------------

WRONG = [
    ({"7": "drives"}, 'no range "7"'),
    ({("1", "dive"): "drives"}, 'did you mean "drive"'),
    ({"1": "no drve"}, 'did you mean "no drive"'),
    ({"1": None}, "range 1, drive: None is no number"),
    ({"1": (3, 0)}, "never perfect"),
    ({"1": (3, 1, 1)}, "a pair of"),
    ({"1": 0}, "the ratio is 0"),
    ({"1": "drives like range N"}, "drives in no ratio"),
    ({"1": "drives", (1, "drive"): "no drive"}, "is given twice"),
    ({("1", "drive", "x"): "drives"}, "is of a range and a load"),
    ([("1", "drive")], "told by range and load"),
    ({("low brak", "apart"): "failed"}, 'did you mean "low brake"'),
    ({("low brake", "apart"): "fail"}, 'did you mean "failed"'),
]


@each("observations, said", WRONG)
def test_what_cannot_be_is_told_in_one_sentence(observations, said):
    for asked in (gl.suspects, gl.next_test):
        with pytest.raises(ValueError, match=r"^[^\n]*$") as caught:
            asked(TRAIN, observations)
        assert said in str(caught.value)


def test_a_fault_of_another_train_is_refused():
    with pytest.raises(ValueError, match="has nothing of that kind to fail"):
        TABLE.group_of(Fault(kind="slips", about="middle brake"))
    with pytest.raises(ValueError, match="above 0"):
        gl.next_test(TRAIN, {}, costs={"coast": 0})
    with pytest.raises(ValueError, match='did you mean "coast"'):
        gl.next_test(TRAIN, {}, costs={"coas": 2})
