"""Apply charts and product tables: what they say, and that it can be read."""

import re
from fractions import Fraction as F
from itertools import groupby

import pytest
from loops import each
from scene_checks import cut_words, legible
from trains import make_train, one_set, other_five_range, simple

import gearlab
from gearlab import load_train, power_flow
from gearlab.ask.applychart import apply_chart
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import draw_apply_chart, draw_product_table
from gearlab.draw.charts.applychart import LETTERS
from gearlab.draw.kit.shapes import Polygon, text_boxes, walk
from gearlab.draw.kit.style import CONTEXTS
from gearlab.train.train import Range, Train

TRAINS = [load_train(name) for name in gearlab.train_names()]
FIVE = load_train("five-range")
LOADS = ("drive", "coast")
each_train = each("train", TRAINS, lambda train: train.name)
each_load = each("load", LOADS)
each_context = each("context", CONTEXTS)


def fighting():
    """A train whose second range ties up."""
    return one_set(
        brakes={"sun brake": "front sun", "ring brake": "front ring"},
        clutches={"lock clutch": ("front sun", "front carrier")},
        one_way={"ring one-way clutch": ("front ring", "case")},
        ranges={
            "low": ["ring brake"],
            "all": ["ring brake", "lock clutch"],
            "none": [],
        },
    )


def long_named():
    """A train with names as long as a person might give."""
    long = "remarkably long and rather unusual"
    name = f"{long} intermediate shaft holding brake"
    return make_train(
        simple("front", 30, 72),
        input="front sun",
        output="front carrier",
        brakes={name: "front ring"},
        one_way={f"{long} one-way clutch": ("front ring", "case")},
        ranges={f"first of the {long} ranges": [name], "Unterdrehzahlbereich": []},
        name=f"The {long} bench unit of the {long} school",
    )


def readable(scene):
    """Assert that a chart can be read, with its words whole; return its texts."""
    return legible(scene, cut_words)


def signs(scene):
    """The states drawn, row by row from the top, from left to right; the key last."""
    found = []
    for shape, (_, _, x, y) in walk(scene.shapes):
        if shape.role in LETTERS:
            found.append((round(y, 3), x, shape.role))
    rows = groupby(sorted(found), key=lambda sign: sign[0])
    return [[role for _, _, role in row] for _, row in rows]


# Rows -----------------------------------------------------------------------------


@each_load
@each_train
def test_rows_say_what_the_flows_do(train, load):
    chart = apply_chart(train, load=load)
    assert [row.range for row in chart.rows] == list(train.range_names)
    for row in chart.rows:
        flow = power_flow(train, row.range, load=load)
        assert list(row.states) == list(train.by_name)
        did = row.states
        assert {n for n, state in did.items() if state == "applied"} == flow.applied
        assert {n for n, state in did.items() if state == "holds"} == flow.holding
        assert {n for n, s in did.items() if s == "overruns"} == flow.overrunning
        assert {n for n, s in did.items() if s == "backs up"} == set(flow.backing_up)
        assert {n for n, s in did.items() if s == "at rest"} == flow.at_rest
        assert row.ratio == flow.ratio
        positions = {p for p, rows in train.selector.items() if row.range in rows}
        assert set(row.selector) == positions


@each_load
@each_train
def test_changes_and_steps_are_against_the_range_before(train, load):
    chart = apply_chart(train, load=load)
    for place, row in enumerate(chart.rows):
        if row.before is None:
            assert not row.changes and row.step is None
            assert not place or chart.rows[place - 1].ratio * row.ratio < 0
            continue
        named = train.range(row.range).after
        assert row.before == (named or train.range_names[place - 1])
        before = chart.row(row.before)
        gone, come = (
            {name for name, what in row.changes.items() if what == word}
            for word in ("goes off", "comes on")
        )
        assert gone == before.flow.applied - row.flow.applied
        assert come == row.flow.applied - before.flow.applied
        differ = {n for n in row.states if row.states[n] != before.states[n]}
        assert set(row.changes) == differ
        ratios = before.ratio, row.ratio
        step = None if None in ratios else ratios[0] / ratios[1]
        assert row.step == (step if step is not None and step > 0 else None)


def test_the_five_range_chart():
    # Derived by hand from the tooth counts: 17/6, 17/9, 38/27, 1, 2/3.
    chart = apply_chart(FIVE)
    steps = {row.range: row.step for row in chart.rows if row.step is not None}
    assert steps == {
        "2": F(3, 2), "3": F(51, 38), "4": F(38, 27), "5": F(3, 2), "1 low": 1,
    }  # fmt: skip
    # With other teeth: 41/13, 492/221, 20/13, 1, 12/17.
    chart = apply_chart(other_five_range())
    steps = [chart.row(name).step for name in "2345"]
    assert steps == [F(17, 12), F(123, 85), F(20, 13), F(17, 12)]
    chart = apply_chart(FIVE)
    assert dict(chart.row("3").changes) == {
        "overdrive brake": "goes off",
        "common-sun brake": "comes on",
        "front lock clutch": "comes on",
        "front one-way clutch": "catches",
        "low one-way clutch": "lets go",
    }
    low = chart.row("1 low")
    assert (low.before, low.selector) == ("1", ("L",))
    assert dict(low.changes) == {
        "low brake": "comes on", "low one-way clutch": "changes",
    }  # fmt: skip
    assert chart.row("P").gives == "output locked"
    assert chart.row("N").gives == "neutral"


def test_coasting_is_told_in_words():
    rows = {row.range: row.coasting for row in apply_chart(FIVE, load="coast").rows}
    assert rows["1"] == rows["2"] == "freewheels"
    assert {rows[name] for name in ("3", "4", "5", "R", "1 low")} == {"drives back"}
    assert rows["N"] == "neutral"
    assert not any(row.coasting for row in apply_chart(FIVE).rows)


def test_a_tie_up_names_what_fights():
    row = apply_chart(fighting()).row("all")
    assert row.gives == "tied up"
    fight = {name for name, state in row.states.items() if state == "fights"}
    assert fight == power_flow(row.flow.train, "all").conflict == {
        "ring brake", "lock clutch",
    }  # fmt: skip


def test_solenoids_are_on_where_the_file_says():
    rows = {row.range: dict(row.solenoids) for row in apply_chart(FIVE).rows}
    on = {
        name: {one for one, is_on in row.items() if is_on} for name, row in rows.items()
    }
    first, second, third = FIVE.solenoids
    assert on["1"] == set()
    assert on["2"] == {first}
    assert on["3"] == {second}
    assert on["4"] == {third}
    assert on["5"] == {first, third}


def test_the_plain_text_has_a_column_for_each_name():
    lines = str(apply_chart(FIVE)).splitlines()
    assert len(lines) == 1 + len(FIVE.ranges)
    heading = lines[0]
    for name in (*FIVE.by_name, *FIVE.solenoids, "ratio", "step", "selector"):
        assert name in heading
    second = next(line for line in lines if line.startswith("2 "))
    at = heading.index("overdrive brake")
    assert second[at:].startswith("+ applied")
    assert second[heading.index("ratio") :].startswith("1.889")
    assert second[heading.index("front lock clutch") :].startswith("−  ")
    reverse = next(line for line in lines if line.startswith("R "))
    assert reverse[heading.index("low one-way clutch") :].startswith("≠ at rest")
    assert "coasting" in str(apply_chart(FIVE, load="coast"))


def test_what_is_wrong_is_said_of_rows():
    with pytest.raises(ValueError, match='no load "cost"; did you mean "coast"'):
        apply_chart(FIVE, load="cost")
    with pytest.raises(ValueError, match='no range "11"; did you mean "1"'):
        apply_chart(FIVE).row("11")


# The apply chart ------------------------------------------------------------------


@each_context
@each_load
@each_train
def test_charts_can_be_read(train, load, context):
    scene = draw_apply_chart(train, load=load, context=context)
    texts = readable(scene)
    assert scene.width <= 760 or context in ("projector", "class")
    for row in apply_chart(train, load=load).rows:
        if row.ratio is not None:
            assert row.gives in texts
            assert row.gives in scene.alt


@each_load
@each("train", [*TRAINS, fighting()], lambda train: train.name)
def test_signs_are_the_states(train, load):
    chart = apply_chart(train, load=load)
    drawn = signs(draw_apply_chart(train, load=load))
    expected = [
        [state for state in row.states.values() if state in LETTERS]
        for row in chart.rows
    ]
    expected = [row for row in expected if row]
    assert drawn[: len(expected)] == expected
    key = {state for row in drawn[len(expected) :] for state in row}
    assert {state for row in expected for state in row} <= key


@each_train
def test_every_sign_has_its_letter(train):
    scene = draw_apply_chart(train)
    roles = [shape.role for shape, _ in walk(scene.shapes) if shape.role in LETTERS]
    letters = [text for text, _ in text_boxes(scene) if text in LETTERS.values()]
    assert len(letters) >= len(roles) > 0
    for state, letter in LETTERS.items():
        assert letters.count(letter) >= roles.count(state)


@each_context
@each_train
def test_a_blank_chart_tells_nothing(train, context):
    scene = draw_apply_chart(train, blank=True, context=context)
    filled = draw_apply_chart(train, context=context)
    texts = readable(scene)
    assert signs(scene) == []
    assert (scene.width, scene.height) == (filled.width, filled.height)
    names = {*train.range_names, *train.selector}
    odd = [text for text in texts if re.search(r"\d", text)]
    for text in odd:
        assert text.removeprefix("after ") in names, text
    assert not {"+", "−", "≠", "on", "off", "neutral"} & set(texts)
    assert not re.search(r"\d\.\d", scene.alt)
    words = scene.alt.split(":", 1)[1]
    assert "applied" not in words and "ratio" not in words


def test_rows_of_a_blank_chart_do_not_tell_by_their_height():
    train = load_train("six-range")
    plain = Train(
        **{
            key: getattr(train, key)
            for key in ("name", "input", "output", "sets", "shafts", "brakes",
                        "clutches", "locks", "selector")
        },
        ranges=tuple(
            Range(name=row.name, applied=(), after=row.after) for row in train.ranges
        ),
    )  # fmt: skip
    tall = [draw_apply_chart(one, blank=True).height for one in (train, plain)]
    assert tall[0] == tall[1]


@each_context
def test_the_current_range_is_marked_and_nothing_moves(context):
    plain = draw_apply_chart(FIVE, context=context)
    rows = []
    for name in FIVE.range_names:
        scene = draw_apply_chart(FIVE, current=name, context=context)
        assert (scene.width, scene.height) == (plain.width, plain.height)
        assert text_boxes(scene) == text_boxes(plain)
        (band,) = [
            (shape, place)
            for shape, place in walk(scene.shapes)
            if shape.role == "marked row"
        ]
        ys = [band[1][3] + y for _, y in band[0].points]
        box = next(
            box for text, box in text_boxes(scene) if text == name and box[0] < 200
        )
        assert min(ys) <= box[1] and box[3] <= max(ys)
        rows.append(min(ys))
    assert rows == sorted(set(rows))


@pytest.mark.parametrize("blank", [False, True])
@each_context
def test_long_names_and_tie_ups_can_be_read(context, blank):
    for train in (long_named(), fighting()):
        readable(draw_apply_chart(train, context=context, blank=blank))
    texts = readable(draw_apply_chart(fighting(), context=context))
    assert {"tied", "up", "F"} <= set(texts)


def test_other_words_are_written():
    words = {"low brake": "Bremse unten", "applied": "betätigt", "A": "X", "R": "RW"}
    texts = readable(draw_apply_chart(FIVE, words=FrozenMap(words)))
    assert {"Bremse", "unten", "betätigt", "X", "RW"} <= set(texts)
    assert "A" not in texts and "applied" not in texts
    many = FrozenMap({"neutral": "nothing at all is driven", "D": "forward drive"})
    for load in LOADS:
        assert "driven" in readable(draw_apply_chart(FIVE, load=load, words=many))


def test_solenoids_stand_in_the_chart_under_power():
    texts = readable(draw_apply_chart(FIVE))
    assert texts.count("on") == 5
    assert texts.count("off") == 3 * len(FIVE.ranges) - 5
    assert "on" not in readable(draw_apply_chart(load_train("six-range")))


def test_what_is_wrong_is_said_of_charts():
    for given, message in (
        ({"load": "driv"}, 'no load "driv"; did you mean "drive"'),
        ({"current": "11"}, 'no range "11"; did you mean "1"'),
        ({"context": "paper"}, 'no context "paper"'),
    ):
        with pytest.raises(ValueError, match=re.escape(message)):
            draw_apply_chart(FIVE, **given)
    with pytest.raises(ValueError, match="has no ranges, but an apply chart has"):
        draw_apply_chart(one_set())


# The product table ----------------------------------------------------------------


@each_context
def test_products_and_their_ranges_are_written(context):
    scene = draw_product_table(FIVE, context=context)
    texts = readable(scene)
    for text in ("× 2.833", "× −3.5", "1 ×", "0.667 ×", "1.889", "0.938", "−2.333"):
        assert text in texts
    assert texts.count("not used") == 2
    for name in ("1, 1 low", "2", "3", "4", "5", "R"):
        assert f"range {name}" in texts
    used = [shape for shape, _ in walk(scene.shapes) if shape.role == "used cell"]
    assert len(used) == 6 and all(isinstance(shape, Polygon) for shape in used)
    assert "0.667 (2/3) times 1.407 (38/27): 0.938 (76/81), not used" in scene.alt
    assert scene.width <= 760 or context in ("projector", "class")


def test_a_blank_product_table_leaves_the_products_out():
    scene, filled = (draw_product_table(FIVE, blank=blank) for blank in (True, False))
    texts = readable(scene)
    assert "× 2.833" in texts and "0.667 ×" in texts
    assert not {"1.889", "0.938", "not used", "range 2"} & set(texts)
    assert "1.889" not in scene.alt and "range" not in scene.alt.split(":", 1)[1]
    assert (scene.width, scene.height) == (filled.width, filled.height)


@each_context
def test_a_train_that_is_no_product_says_so(context):
    for name in ("six-range", "lone-set", "three-range"):
        scene = draw_product_table(load_train(name), context=context)
        said = "No shaft splits this train into two sections"
        assert said in " ".join(readable(scene))
        assert said in scene.alt


def test_two_sections_in_a_row_with_long_names_can_be_read():
    train = make_train(
        simple("front", 30, 72),
        simple("rear", 24, 72),
        input="front carrier",
        output="rear carrier",
        shafts={"middle shaft between the sections": ["front ring", "rear sun"]},
        brakes={
            "overdrive section holding brake": "front sun",
            "reduction section holding brake": "rear ring",
        },
        clutches={
            "front lock clutch": ("front sun", "front carrier"),
            "rear lock clutch": ("rear ring", "rear carrier"),
        },
    )
    texts = readable(draw_product_table(train))
    assert texts.count("not used") == 4


def test_an_unknown_context_is_refused():
    with pytest.raises(ValueError, match='no context "page"'):
        draw_product_table(FIVE, context="page")
