"""Counts that do not agree: each slip is found again from the count that it gives."""

import pickle
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction as F

import pytest
from loops import each
from trains import (
    external,
    gears,
    make_train,
    one_set,
    other_five_range,
    other_six_range,
)

from gearlab import power_flow
from gearlab.ask.explain import KINDS, QUESTIONS, explain_count
from gearlab.base.numerals import exactly
from gearlab.train.train import Range

TRAIN = other_five_range()
LOW = "low one-way clutch"
NEAR = F(1, 1000)  # an error so small that only the slip itself fits


def kinds(explanation):
    return {finding.kind for finding in explanation.fitting}


def fitting(explanation, kind):
    return {f.about for f in explanation.fitting if f.kind == kind}


def test_a_count_that_agrees():
    found = explain_count(TRAIN, "1", "3 turns 55°")
    first = found.findings[0]
    assert found.agrees
    assert (first.kind, first.fits, first.would_give) == ("agrees", True, F(41, 13))
    assert (
        first.words == "The train itself in range 1: the count would be 3.154 (41/13)."
    )
    assert (found.ratio, found.count) == (F(41, 13), F(227, 72))
    assert (found.train, found.range, found.load) == (TRAIN, "1", "drive")


@pytest.mark.parametrize("off", [F(-1, 8), F(1, 8)])
def test_the_error_belongs_to_what_agrees(off):
    assert explain_count(TRAIN, "3", F(20, 13) + off).agrees
    assert not explain_count(TRAIN, "3", F(20, 13) + off * F(1001, 1000)).agrees
    assert explain_count(TRAIN, "3", F(20, 13) + 2 * off, error="0.25").agrees


# range, count: the slip that comes first (derived from the table of ranges)
SLIPS = [
    ("1", F(13, 41), "turned over", None),
    ("5", F(17, 12), "turned over", None),
    ("1", F(-41, 13), "other end", None),
    ("R", 3, "other end", None),
    ("R", -4, "start mark", None),
    ("1", F(54, 13), "start mark", None),
    ("3", F(20, 13) - F(1, 2), "turns missed", None),
    ("1", F(28, 13), "turns missed", None),
    ("3", F(20, 13) + F(1, 2), "turns missed", None),
    ("R", F(-5, 2), "turns missed", None),
    ("3", F(492, 221), "another range", "2"),
    ("4", F(12, 17), "another range", "5"),
    ("N", -3, "another range", "R"),
    ("2", F(12, 17), "another range", "5"),
    ("1", F(205, 13), "five turns", None),
]


@each("name, count, kind, about", SLIPS)
def test_each_slip_comes_first_for_its_own_count(name, count, kind, about):
    found = explain_count(TRAIN, name, count, error=NEAR)
    first = found.findings[0]
    assert (first.kind, first.about, first.would_give) == (kind, about, count)
    assert first.fits
    assert not found.agrees


def test_what_fits_comes_before_what_does_not_and_the_chart_is_last():
    for count in (F(7, 2), F(22, 10), F(1), -3):
        findings = explain_count(TRAIN, "2", count).findings
        assert findings[-1].kind == "chart"
        fits = [finding.fits for finding in findings[:-1]]
        assert fits == sorted(fits, reverse=True)
        order = [KINDS.index(one.kind) for one in findings[: fits.count(True)]]
        assert order == sorted(order)
        for finding in findings:
            near = finding.would_give is not None and (
                abs(finding.would_give - count) <= F(1, 8)
            )
            assert finding.fits == near
            if finding.would_give is not None:
                assert exactly(finding.would_give) in finding.words


def test_only_what_changes_the_count_is_a_slip():
    findings = explain_count(TRAIN, "4", 1).findings
    same = [finding.kind for finding in findings if finding.would_give == 1]
    assert same == ["agrees", "chart"]


def test_a_one_way_clutch_that_did_not_catch():
    found = explain_count(TRAIN, "1", 2)
    one = next(one for one in found.findings if one.kind == "output not loaded")
    assert (one.about, one.would_give, one.fits) == (LOW, None, False)
    assert one.words == (
        "The output was not loaded, and the low one-way clutch did not catch: nothing"
        " drives the output, so friction may give any count."
    )
    # Any count is likelier than one that is not there.
    order = [finding.kind for finding in found.findings if not finding.fits]
    assert order.index("output not loaded") < order.index("agrees")


def test_two_one_way_clutches_that_hold_are_let_go_alone_and_together():
    ranges = (*TRAIN.ranges, Range(name="F", applied=("forward clutch",)))
    train = replace(TRAIN, ranges=ranges)
    assert power_flow(train, "F").ratio == F(41, 13)
    found = explain_count(train, "F", 2)
    loose = [one.about for one in found.findings if one.kind == "output not loaded"]
    assert sorted(loose) == sorted(
        [
            "front one-way clutch",
            LOW,
            f"front one-way clutch and {LOW}",
        ]
    )


def test_a_one_way_clutch_in_backward():
    # Turned round, the low one-way clutch keeps the carrier from going forward, as it
    # does in third; in first the carrier then goes backward and carries nothing.
    for name, words in (("1", "friction may give any"), ("3", "input could not be")):
        (one,) = (
            one
            for one in explain_count(TRAIN, name, 7).findings
            if (one.kind, one.about) == ("one-way backward", LOW)
        )
        assert one.would_give is None
        assert words in one.words
    # Beside the front lock clutch the front one does the same either way round.
    findings = explain_count(TRAIN, "1", 7).findings
    assert [one.about for one in findings if one.kind == "one-way backward"] == [LOW]
    # The ring must not turn slower than the carrier, so the sun locks all as one or
    # drives nothing, by which way round the sprag is.
    sides = ("front ring", "front carrier")
    trains = [
        one_set(one_way={"sprag": way}, ranges={"free": []})
        for way in (sides, sides[::-1])
    ]
    ratios = {power_flow(one, "free").ratio: one for one in trains}
    assert set(ratios) == {None, 1}
    found = explain_count(ratios[None], "free", 1)
    assert fitting(found, "one-way backward") == {"sprag"}
    assert "turned backward" in kinds(found)
    found = explain_count(ratios[1], "free", 3)
    loose = [one.about for one in found.findings if one.kind == "output not loaded"]
    assert loose == ["sprag"]


def test_elements_that_let_go_or_are_one_too_many():
    found = explain_count(TRAIN, "2", F(41, 13), error=NEAR)
    assert fitting(found, "element let go") == {"overdrive brake"}
    found = explain_count(TRAIN, "1", F(20, 13), error=NEAR)
    assert fitting(found, "element too many") == {"common-sun brake"}
    assert fitting(found, "another range") == {"3"}
    assert explain_count(TRAIN, "P", 2).findings[0].about == "parking pawl"


def test_another_part_is_told_for_what_turns():
    found = explain_count(TRAIN, "2", F(12, 17), error=NEAR)
    assert {"intermediate shaft", "middle ring"} <= fitting(found, "another part")
    counted = explain_count(TRAIN, "2", F(41, 13), error=NEAR)
    assert {"intermediate shaft", "middle ring"} <= fitting(counted, "another part")


@pytest.mark.parametrize("gear", ["sun", "ring"])
@pytest.mark.parametrize("off", [-3, -2, -1, 1, 2, 3])
def test_a_tooth_count_that_is_off_is_found(gear, off):
    teeth = {"sun": 24, "ring": 72}
    teeth[gear] += off
    # The ratio in reverse is −ring / sun of the rear set, whatever the planets.
    count = F(-teeth["ring"], teeth["sun"])
    found = explain_count(TRAIN, "R", count, error=NEAR)
    assert f"rear {gear}" in fitting(found, "tooth count")
    one = next(one for one in found.fitting if one.about == f"rear {gear}")
    assert one.would_give == count
    assert f"has {teeth[gear]} teeth, not {teeth[gear] - off}" in one.words


def test_each_gear_is_told_once():
    found = explain_count(TRAIN, "1", F(41, 13))
    gears_told = [one.about for one in found.findings if one.kind == "tooth count"]
    assert sorted(gears_told) == ["middle ring", "middle sun", "rear ring", "rear sun"]


def test_teeth_of_other_kinds_of_set():
    six = other_six_range()
    # In sixth the carrier drives with the large sun held: 84 / (84 + 42).
    found = explain_count(six, "6", F(84, 84 + 45), error=NEAR)
    assert fitting(found, "tooth count") == {"rear large sun"}
    train = make_train(
        gears(external("a", 20, "b", 40), external("b", 40, "c", 30)),
        input="gears a",
        output="gears c",
        brakes={"hold": "gears arm"},
        ranges={"on": ["hold"]},
    )
    found = explain_count(train, "on", F(31, 20), error=NEAR)
    assert fitting(found, "tooth count") == {"gears c"}


def test_parts_of_another_variant():
    found = explain_count(TRAIN, "R", "-3.5", error=NEAR)
    assert fitting(found, "other teeth") == {"easy-count"}
    assert explain_count(TRAIN, "1", "3,25").agrees


def test_a_published_ratio_is_only_doubted_last():
    ranges = tuple(
        replace(row, published=Decimal("3.40")) if row.name == "1" else row
        for row in TRAIN.ranges
    )
    found = explain_count(replace(TRAIN, ranges=ranges), "1", "3.4")
    last = found.findings[-1]
    assert (last.kind, last.would_give, last.fits) == ("chart", F(17, 5), True)
    assert found.questions[-1].would_give == F(17, 5)


def test_the_questions_of_the_bench_in_their_order():
    found = explain_count(TRAIN, "1", "3.5")
    assert [one.kind for one in found.questions] == [kind for kind, *_ in QUESTIONS]
    assert len(found.questions) == 12
    given = {one.kind: one.would_give for one in found.questions}
    assert given["five turns"] == F(205, 13)
    assert given["turned over"] == F(13, 41)
    assert given["start mark"] == F(54, 13)
    assert given["other end"] == F(-41, 13)
    assert given["another range"] == F(492, 221)
    assert given["other teeth"] == F(13, 4)
    assert given["output not loaded"] is given["turned backward"] is None
    for (_, asked, _), one in zip(QUESTIONS, found.questions, strict=True):
        assert one.words.startswith(asked)
        assert one.words.endswith(".")
    loaded = explain_count(TRAIN, "4", 2).questions[6]
    assert loaded.words == "Was the output loaded? No one-way clutch carries here."


def test_a_range_that_drives_nothing():
    found = explain_count(TRAIN, "N", 2, error=NEAR)
    assert not found.agrees
    assert found.ratio is None
    first = found.findings[0]
    assert first.kind == "no ratio"
    assert first.words == (
        "Range N itself is neutral: nothing drives the output, so friction may give any"
        " count."
    )
    assert "output would stand still" in explain_count(TRAIN, "P", 9).findings[1].words


def test_on_coast_first_freewheels():
    found = explain_count(TRAIN, "1", F(41, 13), load="coast")
    assert (found.load, found.ratio) == ("coast", None)
    assert fitting(found, "another range") == {"1 low"}
    assert fitting(found, "element too many") >= {"low brake"}


@pytest.mark.parametrize(
    "count", [F(1, 8), 0.125, "1/8", "0,125", "45°", Decimal("0.125")]
)
def test_counts_as_people_write_them(count):
    assert explain_count(TRAIN, "1", count).count == F(1, 8)


def test_results_are_frozen_hashable_and_picklable():
    found = explain_count(TRAIN, 1, "3.1")
    assert pickle.loads(pickle.dumps(found)) == found
    assert hash(found) == hash(explain_count(TRAIN, "1", "3.1"))


def test_a_train_without_anything_to_suspect():
    found = explain_count(
        one_set(ranges={"low": ["ring brake"]}, brakes={"ring brake": "front ring"}),
        "low",
        F(17, 5),
    )
    words = {one.kind: one.words for one in found.questions}
    assert "Nothing of the kind" in words["one-way backward"]
    assert "Nothing of the kind" in words["another range"]


BAD = [
    ({"count": None}, "count of range 1: None is no number that can be read"),
    ({"count": ""}, "count of range 1: .* is no number that can be read"),
    ({"count": "three"}, 'count of range 1: "three" is no number'),
    ({"count": True}, "count of range 1: True is no"),
    ({"count": float("nan")}, "count of range 1: nan is no"),
    ({"count": Decimal("Infinity")}, "count of range 1: Infinity is no"),
    ({"count": [3]}, "count of range 1: .3. is no"),
    ({"count": 0}, "count is 0, but"),
    ({"error": 0}, "error is 0, but"),
    ({"error": "-1/8"}, "error is -1/8, but"),
    ({"error": None}, "error of range 1: None is no"),
    ({"range": "6"}, 'no range "6"'),
    ({"range": None}, "no range "),
    ({"load": "pull"}, 'no load "pull"'),
]


@each("changes, message", BAD)
def test_bad_input(changes, message):
    given = {"range": "1", "count": 3, "error": F(1, 8), "load": "drive"} | changes
    with pytest.raises(ValueError, match=message):
        explain_count(TRAIN, **given)
