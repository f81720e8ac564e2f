"""An apply chart as an instructor writes it, and what is found in it."""

import pickle
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F

import pytest
from trains import other_six_range

from gearlab import load_train, power_flow, train_names
from gearlab.ask.chartcheck import check_chart, own_chart

FIVE, SIX, THREE = map(load_train, ("five-range", "six-range", "three-range"))
OTHER = other_six_range()
LOW = "low one-way clutch"


def of(findings, name, level=None):
    return [f for f in findings if f.range == name and level in (None, f.level)]


def only(train, row, name="1"):
    """The findings of a chart of one row, as (level, kind)."""
    return [(f.level, f.kind) for f in check_chart(train, {name: row})]


def words(train, row, name="1"):
    return " ".join(f.words for f in check_chart(train, {name: row}))


def does(train, applied):
    flows = [
        power_flow(train, applied=applied, load=load) for load in ("drive", "coast")
    ]
    return [(flow.state, flow.ratio) for flow in flows]


@pytest.mark.parametrize("backing_up", [False, True])
@pytest.mark.parametrize("name", train_names())
def test_every_shipped_chart_is_found_correct(name, backing_up):
    train = load_train(name)
    findings = check_chart(train, own_chart(train, backing_up=backing_up))
    assert not [f for f in findings if f.level == "wrong"]
    right = [f.range for f in findings if f.level == "correct"]
    assert right == list(train.range_names)
    plain = check_chart(train, {row.name: list(row.applied) for row in train.ranges})
    assert [f.range for f in plain if f.level == "correct"] == right
    assert not [f for f in plain if f.level == "wrong"]


def test_only_what_could_be_left_out_is_remarked_on():
    findings = check_chart(FIVE, own_chart(FIVE))
    remarks = [(f.range, f.kind) for f in findings if f.level == "remark"]
    assert remarks == [(name, "does nothing") for name in ("P", "N", "1")]
    assert of(findings, "1", "remark")[0].words == (
        'range 1 would do the same without "front lock clutch": "front one-way clutch"'
        " would hold instead"
    )
    for name in ("four-range", "lone-set", "six-range", "three-range"):
        train = load_train(name)
        assert {f.level for f in check_chart(train, own_chart(train))} == {"correct"}


def test_a_correct_row_says_so_and_which_one_way_clutch_only_backs_up():
    findings = check_chart(THREE, own_chart(THREE, backing_up=True))
    assert of(findings, "1 low")[0].words.endswith(
        ', as published; "low one-way clutch" only backs up what is applied'
    )
    assert of(findings, "R")[0].words.endswith(", as published")
    assert of(findings, "N")[0].words == "range N is correct: it is neutral"
    assert of(findings, "P")[0].words == "range P is correct: it locks the output"


def planted_slips(train):
    """The train's own chart with one element swapped for another in one row, every way.

    Yields ``(range, element that belongs there, element put instead, chart)``.
    """
    chart = own_chart(train)
    for one in train.ranges:
        for given in one.applied:
            for instead in train.element_names:
                if instead not in one.applied:
                    names = [instead if name == given else name for name in one.applied]
                    row = {**chart[one.name], "applied": tuple(names)}
                    yield one.name, given, instead, {**chart, one.name: row}


@pytest.mark.parametrize("name", train_names())
def test_every_planted_slip_is_found(name):
    """What a slip changes is wrong; one that changes nothing is remarked on."""
    train = load_train(name)
    base = own_chart(train)
    for row, given, instead, chart in planted_slips(train):
        right, applied = base[row]["applied"], chart[row]["applied"]
        assert set(right) - set(applied) == {given}
        assert set(applied) - set(right) == {instead}
        findings = check_chart(train, chart)
        found = {(f.level, f.kind) for f in of(findings, row)}
        if does(train, applied) != does(train, right):
            assert "wrong" in {level for level, _ in found}
            assert ("correct", "correct") not in found
        else:
            assert ("remark", "other elements") in found
        drive = power_flow(train, applied=applied)
        ties = [f.words for f in of(findings, row) if f.kind == "tied up"]
        assert len(ties) == (drive.state == "tied up")
        assert all(f'"{one}"' in ties[0] for one in drive.conflict or ())
        # The other rows are still right, but for what they say was released since.
        others = {f.kind for f in findings if f.range != row and f.level == "wrong"}
        assert others <= {"not released"}


def test_slips_are_planted_in_every_place():
    for train in (FIVE, SIX, THREE):
        n = len(train.elements)
        locks = {lock.name for lock in train.locks}
        counts = [(len(r.applied), len(set(r.applied) - locks)) for r in train.ranges]
        slips = list(planted_slips(train))
        assert len(slips) == sum(every * (n - own) for every, own in counts)
        assert len({slip[:3] for slip in slips}) == len(slips)


def test_a_row_that_ties_up_names_the_conflict():
    row = ["front lock clutch", "overdrive brake", "forward clutch"]
    assert only(FIVE, row) == [("wrong", "tied up")]
    assert words(FIVE, row) == (
        'range 1 ties up: "overdrive brake" and "front lock clutch" fight each other'
    )


def test_a_lone_element_that_keeps_the_input():
    train = load_train("lone-set")
    row = ["sun input clutch", "sun brake"]
    assert words(train, row).startswith('range 1 ties up: "sun brake" and "sun input')
    held = replace(train, input="single sun")
    assert words(held, ["sun brake"]) == (
        'range 1 ties up: "sun brake" alone keeps the input from turning'
    )


def test_a_row_that_is_neutral_or_locks_or_drives_and_should_not():
    assert ("wrong", "neutral") in only(FIVE, ["front lock clutch"], "first")
    assert words(SIX, ["small-sun clutch"]) == (
        "range 1 is neutral, but it should drive"
    )
    assert ("wrong", "output locked") in only(
        SIX, ["large-sun brake", "low-reverse brake"]
    )
    drives = words(SIX, ["small-sun clutch", "low-reverse brake"], "N")
    assert drives == "range N gives 4, but it should be neutral"
    drives = words(OTHER, ["small-sun clutch", "low-reverse brake"], "N")
    assert drives == "range N gives 4.073 (224/55), but it should be neutral"
    assert ("wrong", "neutral") in only(SIX, [], "P")
    # The same for a train without ranges of these names.
    none = type(SIX.selector)()
    bare = replace(SIX, ranges=(), selector=none, set_up=none)
    assert only(bare, [], "N") == [("correct", "correct")]
    assert only(bare, ["parking pawl"], "P") == [("correct", "correct")]
    assert only(bare, [], "park") == [("wrong", "neutral")]


@pytest.mark.parametrize(
    ("published", "right"),
    [
        # Range 2 of the six-range train, with other teeth, is 80/33 = 2.4242….
        ("2.42", True), ("2,42", True), ("2.42:1", True), ("80/33", True),
        (Decimal("2.424"), True), (2.42, True), (2.4242, True), (2, True),
        (F(80, 33), True), ("2.43", False), (Decimal("2.420"), False),
        ("2.420", False), (2.4, True), (2.5, False), ("79/33", False), (3, False),
        ("2 turns 153°", True), ("2 turns 152°", False), (-2.42, False),
        (F(79, 33), False), ("-2.42", False), (Decimal("2.4E+0"), True),
    ],
)  # fmt: skip
def test_a_published_ratio_counts_to_half_its_last_digit(published, right):
    applied = ["small-sun clutch", "large-sun brake"]
    for name in ("2", "second"):
        row = {"applied": applied, "published": published}
        kind = ("correct", "correct") if right else ("wrong", "another ratio")
        assert only(OTHER, row, name) == [kind]


def test_half_the_last_digit_is_still_inside():
    """Carrier to ring is 3/4 with 24 and 72 teeth (derived)."""
    lone = load_train("lone-set").with_teeth({"single": {"sun": 24, "ring": 72}})
    applied = lone.range("carrier to ring").applied
    for published, right in (
        ("0.7", True), ("0.8", True), ("0.69", False), ("0.9", False), ("0.754", False),
    ):  # fmt: skip
        kinds = only(lone, {"applied": applied, "published": published}, "overdrive")
        assert (kinds == [("correct", "correct")]) == right


def test_a_reverse_published_without_its_minus_is_remarked_on():
    applied = list(SIX.range("R").applied)
    for train, published in ((SIX, "3.33"), (OTHER, "3.20")):
        row = {"applied": applied, "published": published}
        for name in ("R", "back"):
            found = only(train, row, name)
            assert found == [("correct", "correct"), ("remark", "no sign")]
        assert words(train, row, "R").endswith("without the minus of a reverse")
        assert "as published" not in words(train, row, "R")
        # A forward range that runs backward is no matter of a sign.
        assert only(train, row, "1") == [("wrong", "another ratio")]


def test_without_a_published_ratio_the_range_of_the_train_counts():
    row = ["small-sun clutch", "carrier clutch"]
    assert only(SIX, row, "3") == [("wrong", "another ratio")]
    assert "gives 1.091 (12/11)" in words(SIX, row, "3")
    assert "1.333 (4/3)" in words(SIX, row, "3")
    assert "gives 1.173 (224/191)" in words(OTHER, row, "3")
    assert "1.6 (8/5)" in words(OTHER, row, "3")
    assert only(SIX, row, "fast") == [("correct", "correct")]
    # What somebody published for another set of elements is theirs to say.
    row = {"applied": row, "published": "1.091"}
    assert only(SIX, row, "3") == [("correct", "correct"), ("remark", "another ratio")]


def test_a_wrong_published_ratio_in_the_train_is_reported_and_not_obeyed():
    ranges = tuple(
        replace(row, published=Decimal("1.55")) if row.name == "3" else row
        for row in SIX.ranges
    )
    train = replace(SIX, ranges=ranges)
    findings = check_chart(train, own_chart(train))
    assert [(f.range, f.kind) for f in findings if f.level == "wrong"] == [
        ("3", "another ratio")
    ]


def test_a_row_that_coasts_otherwise():
    row = ["front lock clutch", "forward clutch"]
    assert ("wrong", "another coast") in only(FIVE, row, "1 low")
    assert "freewheels coasting" in words(FIVE, row, "1 low")


def test_an_element_that_does_nothing():
    """The output is locked to the input twice over: one of the three is idle."""
    train = load_train("four-range")
    row = ["small-sun clutch", "large-sun clutch", "carrier clutch"]
    found = [f for f in check_chart(train, {"top": row}) if f.kind == "does nothing"]
    assert {f.level for f in found} == {"wrong"}
    assert {f.words.split('"')[1] for f in found} == set(row)
    # Where a neighbour applies it too, it only stays on: a remark.
    chart = {"top": row, "up": ["carrier clutch", "large-sun brake"]}
    found = of(check_chart(train, chart), "top")
    levels = {f.words.split('"')[1]: f.level for f in found if f.kind == "does nothing"}
    assert levels["carrier clutch"] == "remark"
    assert levels["small-sun clutch"] == levels["large-sun clutch"] == "wrong"
    remark = next(f for f in found if f.level == "remark")
    assert remark.words.endswith("which is applied in range up too")


def test_released_elements_must_have_been_applied():
    chart = dict(own_chart(FIVE))
    chart["2"] = {"applied": FIVE.range("2").applied, "released": ["direct clutch"]}
    (finding,) = of(check_chart(FIVE, chart), "2", "wrong")
    assert finding.kind == "not released"
    assert finding.words.endswith("but it was not applied in range 1")
    chart["2"]["released"] = ["front lock clutch"]
    assert of(check_chart(FIVE, chart), "2", "wrong") == []
    chart["2"]["released"] = ["forward clutch"]
    (finding,) = of(check_chart(FIVE, chart), "2", "wrong")
    assert "this row applies it" in finding.words


def test_the_step_starts_where_the_chart_says():
    low, row = ["small-sun clutch", "low-reverse brake"], {}
    for after, right in (("a", True), ("b", False), (None, False)):
        row = {"applied": ["small-sun clutch", "large-sun brake"]}
        row["released"] = ["low-reverse brake"]
        if after:
            row["after"] = after
        chart = {"a": low, "b": ["small-sun clutch", "carrier clutch"], "c": row}
        kinds = [f.kind for f in of(check_chart(SIX, chart), "c")]
        assert kinds == (["correct"] if right else ["not released"])
    assert "no range comes before" in words(SIX, row, "c")


def test_unknown_names_with_the_nearest():
    text = words(SIX, ["smal-sun clutch", "low-reverse brake"])
    assert 'no element "smal-sun clutch"; did you mean "small-sun clutch"?' in text
    row = {"applied": [], "one-way": ["low one-way"], "released": ["brake"]}
    row["after"] = "0"
    found = check_chart(THREE, {"1": row})
    assert {f.kind for f in found} == {"unknown name"}
    assert {f.level for f in found} == {"wrong"}
    assert len(found) == 3
    assert only(SIX, [3, None]) == [("wrong", "unknown name")] * 2


def test_a_one_way_clutch_is_not_applied():
    found = only(THREE, ["forward clutch", LOW])
    assert found == [("wrong", "one-way applied")]
    assert 'mark it under "one-way"' in words(THREE, ["forward clutch", LOW])


@pytest.mark.parametrize(
    ("range", "applied", "differs"),
    [
        ("N", [], 'lacks "front lock clutch"'),
        ("P", ["parking pawl"], 'lacks "front lock clutch"'),
        ("N", ["low brake"], 'lacks "front lock clutch" and adds "low brake"'),
        ("N", ["low brake", "front lock clutch"], 'adds "low brake"'),
    ],
)
def test_what_a_still_row_lacks_or_adds_is_named(range, applied, differs):
    (remark,) = (
        finding.words
        for finding in check_chart(FIVE, {range: applied})
        if finding.kind == "other elements"
    )
    assert f"gives what it should, but {differs}: the train's own range" in remark


def test_marks_on_one_way_clutches():
    def marked(name, marks):
        row = {"applied": THREE.range(name).applied, "one-way": marks}
        return only(THREE, row, name)

    right = [("correct", "correct")]
    assert marked("1", [LOW]) == right
    assert marked("1", []) == [("wrong", "not marked")]
    assert marked("2", [LOW]) == [("wrong", "overruns")]
    assert marked("2", []) == right
    assert marked("1 low", [LOW]) == marked("1 low", []) == right
    assert marked("R", []) == right
    assert marked("R", [LOW]) == [("wrong", "carries nothing")]
    assert marked("N", [LOW]) == [("wrong", "carries nothing")]
    assert only(THREE, list(THREE.range("1").applied)) == right


@pytest.mark.parametrize(
    ("chart", "sentence"),
    [
        (["1"], "must be a table of ranges"),
        ({"1": "forward clutch"}, 'range 1: applied is "forward clutch", but it must'),
        ({"1": {}}, "range 1: applied is None, but it must be a list"),
        ({"1": {"applied": [], "apply": []}}, 'did you mean "applied"?'),
        ({"1": {"applied": [], "released": "x"}}, "released is "),
        ({"1": {"applied": [], "one-way": None}}, "one-way is None"),
        ({"1": {"applied": [], "published": "about 3"}}, "range 1: .*can be read"),
        ({"1": {"applied": [], "published": [3]}}, "it must be a ratio"),
        ({"1": {"applied": [], "published": True}}, "it must be a ratio"),
        ({"1": {"applied": [], "published": float("nan")}}, "can be read"),
        ({"1": [], 1: []}, "each range has one row"),
    ],
)
def test_a_chart_of_another_form_is_refused(chart, sentence):
    with pytest.raises(ValueError, match=sentence):
        check_chart(THREE, chart)


def test_findings_are_frozen_hashable_and_picklable():
    findings = check_chart(FIVE, own_chart(FIVE))
    assert pickle.loads(pickle.dumps(findings)) == findings
    assert len({*findings, *findings}) == len(findings)
    chart = own_chart(FIVE)
    assert pickle.loads(pickle.dumps(chart)) == chart
    assert hash(chart) == hash(pickle.loads(pickle.dumps(chart)))
    assert all(f.words.startswith(f"range {f.range} ") for f in findings)
