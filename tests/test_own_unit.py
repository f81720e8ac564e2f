"""The lab on any unit: trains that nobody ships, asked, answered, kept and marked."""

import json
import re
from fractions import Fraction
from itertools import product
from pathlib import Path

import nbformat
import pytest
from ipywidgets import HTML
from nbclient import NotebookClient
from notebook_text import FOLDER, LABS
from own_units import FEW, SIX, UNITS
from test_labs import gives_away, sentences, texts, written

import gearlab as gl
from gearlab.lab.mark.marking import mark_folder, mark_sheet
from gearlab.lab.mark.progress import progress
from gearlab.lab.question.checking import NOT_YET, check
from gearlab.lab.question.papers import (
    draw_paper,
    fitted,
    full_marks,
    is_marked,
    plain_given,
)
from gearlab.lab.question.question import Choice, Explanation, Number
from gearlab.lab.sheet.handin import one_file
from gearlab.lab.sheet.sheet import load_sheet, read_sheet, record
from gearlab.lab.sheet.work import Work
from gearlab.lab.suite import any_unit, unit_changes, unit_loads, unit_ranges
from gearlab.lab.suite.labs import find_lab
from gearlab.panels import Desk
from gearlab.say import remedies
from gearlab.say.remedies import remedy
from gearlab.train.trainfile import read_train, save_train

CLASS = [(f"student {n}",) for n in range(12)]
FORMS = "AB"
EVERY_KEY = Path(__file__).parents[1] / "assets" / "every-key.toml"
MOST_WORDS = 15  # in a sentence, without the list of what is applied


@pytest.fixture(params=UNITS)
def train(request):
    return UNITS[request.param]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    return tmp_path


def lab_on(train):
    return find_lab("walk-a-unit", train)


def papers(train):
    lab = lab_on(train)
    return [draw_paper(lab, who, form) for who, form in product(CLASS, FORMS)]


def asked(train):
    return [one for paper in papers(train) for one in paper.asked.values()]


def right(question):
    """A right answer as a person writes it."""
    if isinstance(question, Explanation):
        return "The brake holds the ring."
    return written(question.answer)


# Every question of every unit ---------------------------------------------------------


def test_right_answers_are_right_and_slips_go_by_their_name(train):
    seen = set()
    for one in asked(train):
        question = one.question
        assert not question.faults, one.topic.name
        if isinstance(question, Explanation):
            continue
        assert check(question, right(question)).right, (one.topic.name, one.given)
        for slip in question.slips:
            verdict = check(question, written(slip.answer))
            names = [s.name for s in question.slips if s.answer == slip.answer]
            assert verdict.right is False and verdict.slip in names
            seen.add(slip.name)
    assert len(seen) >= 5


def test_every_wrong_choice_has_a_sentence_of_its_own(train):
    for one in asked(train):
        question = one.question
        if one.topic.prediction or not isinstance(question, Choice):
            continue
        wrong = [check(question, option) for option in question.options]
        said = [verdict.words for verdict in wrong if not verdict.right]
        assert NOT_YET not in said
        assert len(set(said)) == len(said), (one.topic.name, said)


def test_nothing_tells_the_answer(train):
    """Neither the text nor a hint nor a slip; and no picture is shown that could."""
    for one in asked(train):
        question = one.question
        assert question.picture is None
        if isinstance(question, Number):
            assert not gives_away(question.text, question), one.given
        for text in (*question.hints, *(slip.words for slip in question.slips)):
            assert not gives_away(text, question), (one.topic.name, text)


def test_sentences_stay_short_with_other_names(train):
    for one in asked(train):
        for text in texts(one.question):
            for sentence in sentences(text):
                words = sentence.split()
                listed = sentence.startswith("Applied:") or " is held by " in sentence
                assert listed or len(words) <= MOST_WORDS, sentence


def test_students_and_forms_have_papers_of_their_own(train):
    drawn = {
        json.dumps({name: plain_given(one.given) for name, one in p.asked.items()})
        for p in papers(train)
    }
    # The odd one has a range and a brake, and the same teeth may be drawn twice.
    least = 10 if train.name == "Capstan" else len(CLASS) * len(FORMS)
    assert len(drawn) >= least
    again = draw_paper(lab_on(train), CLASS[0], "A")
    assert again.asked == papers(train)[0].asked


# Keys, worked out again by letting go of an element -----------------------------------


def cases(train, topic):
    """(given, question) of every case that a topic can draw on a unit."""
    lab = lab_on(train)
    if topic in lab.left_out:
        return
    first = draw_paper(lab).given
    for table in (unit_ranges.topic, unit_loads.topic, unit_changes.topic):
        if topic in table.needs:
            for case in table.needs[topic][0](any_unit.train_of(first)):
                given = {**first, **case}
                yield given, lab.topic(topic).ask(given)


def solved(train, applied, load="drive"):
    flow = gl.power_flow(train, applied=applied, load=load)
    return flow.state, flow.ratio


def test_what_is_left_is_what_the_unit_does_then(train):
    own = {name: solved(train, train.range(name).applied) for name in train.range_names}
    tried = 0
    for given, question in cases(train, "if it fails"):
        row = train.range(given["range"]).applied
        state, ratio = solved(train, [e for e in row if e != given["failed"]])
        answer = question.answer
        if answer == "it drives as before":
            assert (state, ratio) == own[given["range"]]
        elif answer.startswith("it runs as in range "):
            assert own[answer.removeprefix("it runs as in range ")] == (state, ratio)
        elif answer == "it drives as in no row of the chart":
            assert state == "drives" and (state, ratio) not in own.values()
        else:
            assert (
                state
                == {
                    "nothing drives the output": "neutral",
                    "the output is locked": "output locked",
                }[answer]
            )
        tried += 1
    assert tried


def test_ranges_lost_are_those_that_do_something_else(train):
    one_ways = {part.name for part in train.one_way_clutches}
    for given, question in cases(train, "ranges lost"):
        lost = set()
        for name in question.options:
            row = set(train.range(name).applied)
            left = without(train, given["failed"]), row - {given["failed"]}
            lost |= {name} if solved(*left) != solved(train, row) else set()
        assert lost == question.answer, given
    assert one_ways or not list(cases(train, "one-way clutch"))


def without(train, name):
    """The train, written again without one of its one-way clutches."""
    left = [part for part in train.one_way_clutches if part.name != name]
    return train.__class__(
        **{
            key: getattr(train, key)
            for key in ("name", "input", "output", "sets", "shafts", "brakes",
                        "clutches", "locks")
        },
        one_way_clutches=tuple(left),
    )  # fmt: skip


def test_each_that_holds_alone_does_and_no_other(train):
    for given, question in cases(train, "what holds it"):
        applied = set(train.range(given["range"]).applied)
        own = solved(train, applied, given["load"])
        at_part = [
            name for name in question.options
            if train.body_of.get(train.by_name[name].member) == given["part"]
            and "case" in {*train.by_name[name].sides}
        ]  # fmt: skip
        for name in at_part:
            alone, others = train, set(at_part) - {name}
            for other in others:
                alone = without(alone, other)
            flow = gl.power_flow(alone, applied=applied - others, load=given["load"])
            keeps = (flow.state, flow.ratio) == own and not flow.speeds[given["part"]]
            # Nothing is applied for the question, so a released brake holds nothing.
            assert keeps == (name in question.answer), (given, name)
        assert question.answer <= set(at_part)


def test_coasting_is_what_the_unit_does_with_the_output_driving(train):
    for given, question in cases(train, "coasting"):
        state, _ = solved(train, train.range(given["range"]).applied, "coast")
        brakes = question.answer == "the engine brakes"
        assert brakes == (state == "drives")
        if not brakes:
            # What is said to have held under power is what makes the range.
            row = train.range(given["range"]).applied
            held = [p.name for p in train.one_way_clutches if p.name in question.reason]
            assert held
            for name in held:
                assert solved(without(train, name), row) != solved(train, row)


def test_a_moment_within_a_shift_is_what_is_applied_then(train):
    for given, question in cases(train, "early or late"):
        before, after = (set(train.range(name).applied) for name in given["pair"])
        state, ratio = solved(train, before ^ set(given["early"]))
        ends = [solved(train, row)[1] for row in (before, after)]
        answer = question.answer
        if state == "tied up":
            assert answer == "the unit ties up"
        elif state == "neutral" or (ratio or 0) > max(ends):
            assert answer == "the input races up"
        elif ratio in ends:
            assert answer in ("the old range goes on", "the new range is there already")
        else:
            assert "races" not in answer and "ties" not in answer


def test_parts_and_ways_are_those_of_the_speeds(train):
    for given, question in cases(train, "what stands still"):
        speeds = gl.power_flow(train, given["range"]).speeds
        assert question.answer == {p for p in question.options if speeds[p] == 0}
    for given, question in cases(train, "reverse"):
        flow = gl.power_flow(train, given["range"])
        assert flow.ratio < 0 and train.body_of[train.output] in question.answer
        assert question.answer == {p for p in question.options if flow.speeds[p] < 0}
    for given, question in cases(train, "direction"):
        ratio = gl.power_flow(train, given["range"]).ratio
        assert question.answer == ("forward" if ratio > 0 else "backward")


def test_a_count_is_that_of_the_teeth_in_its_text():
    """By the closed form of two simple sets in series, with rings held."""
    for paper in papers(UNITS["few"]):
        one = paper.asked["count"]
        teeth = one.given["teeth"]
        first, second = (
            1 + Fraction(teeth[name]["ring"], teeth[name]["sun"])
            for name in ("first", "second")
        )
        expected = {"low": first * second, "high": second}[one.given["range"]]
        assert one.question.answer == expected
        for name, counts in teeth.items():
            said = f"{name.capitalize()} set: sun {counts['sun']}, ring"
            assert f"{said} {counts['ring']}." in one.question.text


def test_a_count_of_a_stepped_planet_is_that_of_its_teeth():
    for paper in papers(UNITS["one"]):
        question = paper.asked["count"].question
        sun, up, down, ring = map(int, re.findall(r"\d+", question.text))
        assert question.answer == 1 + Fraction(up * ring, sun * down)


# What a unit has not ------------------------------------------------------------------

LEFT_OUT = {
    "plain": {"one-way clutch"},
    "six": set(),
    "few": {"one-way clutch", "reverse"},
    "one": {
        "row from the count", "what holds it", "one-way clutch", "reverse",
        "shift first", "off and on", "early or late", "ranges lost",
    },
}  # fmt: skip


@pytest.mark.parametrize("name", LEFT_OUT)
def test_what_a_unit_has_not_is_left_out_and_said(name, folder):
    train = UNITS[name]
    desk = Desk("walk-a-unit", train=train)
    lab = desk.work.lab
    assert set(lab.left_out) == LEFT_OUT[name]
    assert not set(lab.left_out) & set(desk.work.topics)
    end = desk.finish()._repr_mimebundle_()
    end = (end[0] if isinstance(end, tuple) else end)["text/plain"]
    for topic, lacks in lab.left_out.items():
        sentence = f"Not asked of this unit: “{topic}”, as it lacks {lacks}."
        assert desk.ask(topic).words == sentence
        assert sentence in end
    both = desk.ask(*lab.left_out, "count", "direction")
    assert len(both.children) == len(lab.left_out) + 2


def test_a_bench_does_not_wait_for_a_prediction_that_is_left_out(folder):
    desk = Desk("walk-a-unit", train=UNITS["one"])
    assert not desk.bench(after="shift first").hidden
    assert desk.bench(after="way first").hidden


@pytest.mark.parametrize("source", ["lone-set", "every key", *gl.train_names()])
def test_any_train_that_drives_is_asked(source):
    path = str(EVERY_KEY) if source == "every key" else source
    train = gl.load_train(path)
    paper = draw_paper(lab_on(train), ("ana",))
    assert {"count", "direction", "coasting"} <= paper.asked.keys()


def test_a_train_of_which_nothing_can_be_asked_says_so():
    bare = read_train(FEW.partition("[ranges]")[0], "bare")
    with pytest.raises(ValueError, match=r"no range that drives .* under \[ranges\]"):
        lab_on(bare)
    with pytest.raises(ValueError, match="load_train"):
        lab_on("five-range")
    with pytest.raises(ValueError, match='"low" and "LOW" differ in capitals only'):
        lab_on(read_train(f'{FEW}"LOW" = ["second brake"]', "capitals"))
    with pytest.raises(ValueError, match="has a unit of its own; leave the train out"):
        find_lab("turn-one-set", UNITS["few"])
    names = [f"e{n} {'y' * 80}" for n in range(30)]
    brakes = "\n".join(f'"{name}" = "first ring"' for name in names)
    row = ", ".join(f'"{name}"' for name in names[:5])
    rows = "\n".join(f'"row {n}" = [{row}]' for n in range(90))
    fat = f"{FEW}{rows}".replace("[clutches]", f"{brakes}\n[clutches]")
    with pytest.raises(ValueError, match="an answer sheet keeps"):
        lab_on(read_train(fat, "fat"))


# Kept and marked ----------------------------------------------------------------------


def answered(train, who, form="A", answer=right):
    """The sheet of a student who answered everything, with or without slips."""
    work = Work(lab_on(train))
    work.sign_in(who, form)
    for name in work.topics:
        work.answer(name, answer(work.question(name)))
    return work


def first_slip(question):
    return written(question.slips[0].answer) if question.slips else right(question)


def test_a_sheet_is_marked_without_the_train_file(train, folder):
    good = answered(train, "ana")
    wrong = answered(train, "ben", answer=first_slip)
    rows = {row.students[0]: row for row in mark_folder(folder).rows}
    assert not rows["ana"].notes and not rows["ben"].notes
    assert rows["ana"].best_mark == rows["ana"].full == full_marks(good.lab)
    assert train.name in rows["ana"].title
    named = {
        name: asked.question.slips[0].name
        for name, asked in wrong.paper.asked.items()
        if is_marked(asked) and asked.question.slips
    }
    results = {result.question: result for result in rows["ben"].results}
    assert len(named) >= 4
    for name, slip in named.items():
        question = wrong.question(name)
        twins = {s.name for s in question.slips if s.answer == question.slips[0].answer}
        assert slip in twins and set(results[name].slips) <= twins
        assert results[name].best == 0


def test_where_it_stands_counts_the_questions_of_that_unit(folder):
    work = answered(UNITS["few"], "ana")
    (standing,) = [s for s in progress(("ana",)) if s.lab == "walk-a-unit"]
    assert standing.state == "done"
    assert standing.questions == len(work.topics)
    assert standing.best_mark == standing.full
    assert standing.title.endswith("Two-range hoist")


def test_a_sheet_stays_with_its_unit(folder):
    answered(UNITS["few"], "ana")
    other = Work(lab_on(UNITS["six"]))
    with pytest.raises(ValueError, match=r"begun on another unit, .*Two-range hoist"):
        other.sign_in("ana", "A")
    other.sign_in("ana", "B")
    assert other.students == ("ana",)
    changed = read_train(FEW.replace("sun = 24", "sun = 26"), "few")
    with pytest.raises(ValueError, match="take another form"):
        Work(lab_on(changed)).sign_in("ana", "A")
    told = FEW.replace("[sets.first]", 'about = "Newly painted."\n[sets.first]')
    again = Work(lab_on(read_train(told, "few")))
    again.sign_in("ana", "A")
    assert again.best == again.full


def test_a_changed_unit_in_a_sheet_is_told(folder):
    """Somebody gives himself a simpler unit for one question."""
    work = answered(UNITS["six"], "ana")
    text = work.path.read_text(encoding="utf-8")
    data = json.loads(text)
    data["questions"]["count"]["given"]["unit"][0] = "name = 3"
    work.path.write_text(json.dumps(data), encoding="utf-8")
    row = mark_sheet(read_sheet(work.path))
    assert row.notes == ("numbers are not this student's: count",)
    data["questions"]["way first"]["given"]["unit"] = 3
    work.path.write_text(json.dumps(data), encoding="utf-8")
    marking = mark_folder(folder)
    assert not marking.rows
    ((_, why),) = marking.skipped
    assert "the drawn numbers hold no unit" in why


def test_a_group_on_a_unit_reads_its_sheet_again(folder):
    paper = draw_paper(lab_on(UNITS["six"]), ("ana", "ben"), "C")
    record(paper, "direction", right(paper.asked["direction"].question))
    sheet, notice = load_sheet(paper)
    assert not notice
    kept = fitted(find_lab("walk-a-unit"), sheet.questions)
    assert kept.unit == paper.lab.unit
    _, given = sheet.questions["direction"]
    assert any_unit.train_of(given).range_names == UNITS["six"].range_names
    assert kept.topic("direction").ask(given) == paper.asked["direction"].question


def test_a_sheet_without_a_train_is_about_the_five_range_unit(folder):
    lab = find_lab("walk-a-unit")
    assert lab.title == "Walk your unit" and not lab.left_out
    assert fitted(lab, {}) is lab
    same = lab_on(gl.load_train("five-range"))
    assert (same.unit, same.title) == (lab.unit, lab.title)
    assert read_train(SIX, "six").name not in lab.title


def test_a_hand_in_holds_the_unit_and_is_marked_elsewhere(folder, tmp_path_factory):
    work = answered(UNITS["six"], "ana")
    made = one_file(work.students)
    assert made.sheets == (("walk-a-unit", "A"),)
    elsewhere = tmp_path_factory.mktemp("desk of the instructor")
    made.path.rename(elsewhere / made.path.name)
    (row,) = mark_folder(elsewhere).rows
    assert row.best_mark == row.full and not row.notes


def test_names_of_a_unit_are_text_on_the_page(folder):
    desk = Desk("walk-a-unit", train=UNITS["plain"])
    desk.sign_in("ana")
    shown = " ".join(
        one.value
        for panel in (desk, desk.finish(), desk.ask("what stands still"))
        for one in every_html(panel)
    )
    assert "&lt;A &amp; B&gt;" in shown and "<A & B>" not in shown


def every_html(widget):
    """The pieces of HTML in a panel."""
    for one in getattr(widget, "children", ()):
        yield from every_html(one)
    if isinstance(widget, HTML):
        yield widget


# The notebooks ------------------------------------------------------------------------


def run_with(path, changes, folder):
    """The outputs of a notebook as text, run with some code written otherwise."""
    book = nbformat.read(path, as_version=4)
    for old, new in changes.items():
        (cell,) = [c for c in book.cells if c.cell_type == "code" and old in c.source]
        cell.source = cell.source.replace(old, new)
    resources = {"metadata": {"path": str(folder)}}
    NotebookClient(
        book, timeout=60, kernel_name="python3", resources=resources
    ).execute()
    outputs = [o for c in book.cells if c.cell_type == "code" for o in c.outputs]
    return " ".join(o.get("text") or o["data"]["text/plain"] for o in outputs)


@pytest.mark.parametrize("name", ["six", "one"])
def test_the_students_notebook_runs_on_any_unit(name, folder):
    gl_path = folder / "own.toml"
    save_train(UNITS[name], gl_path)
    told = run_with(LABS["walk-a-unit"], {"five-range": str(gl_path)}, folder)
    assert f"Walk your unit: {UNITS[name].name}" in told
    assert told.count("Not asked of this unit") >= 2 * len(LEFT_OUT[name])


def test_the_instructors_notebook_ends_with_a_file_for_the_class(folder):
    """With the two slips of its chart put right, and a file name written."""
    path = FOLDER / "instructor" / "02_enter_your_unit.ipynb"
    changes = {
        '"published": "1.84"': '"published": "1.48"',
        '"R": {"applied": ["drive pack"': '"R": {"applied": ["high pack"',
        'SAVE_AS = ""': 'SAVE_AS = "mine.toml"',
    }
    before, after = (run_with(path, some, folder) for some in ({}, changes))
    assert before.count("wrong: ") == before.count("What to do: ") == 2
    assert "wrong: " not in after and "Saved as mine.toml." in after
    train = gl.load_train(str(folder / "mine.toml"))
    assert train.set("front").all_teeth["sun"] == 33  # the ratios give it
    assert not lab_on(train).left_out


# Findings and their remedies ----------------------------------------------------------

SWAPPED = SIX.replace('member = "b sun", against = "case"',
                      'member = "case", against = "b sun"')  # fmt: skip
ROWS = (
    {"1": ["a clutch"]},
    {"2": ["a bracke", "c clutch"]},
    {"1": ["a clutch", "c clutch", "b sprag"]},
    {"3": ["a clutch", "b brake", "b clutch", "c clutch"]},
    {"P": ["a clutch", "c clutch"]},
    {"4": ["a brake", "b brake", "c clutch"]},
    {"1": ["a clutch", "b brake", "c clutch"]},
    {"1": {"applied": ["a clutch", "c clutch"], "published": "1.9"}},
    {"R": {"applied": UNITS["six"].range("R").applied, "published": "3.5625"}},
    {"3": {"applied": UNITS["six"].range("3").applied, "one-way": ["b sprag"]}},
    {"1": {"applied": ["a clutch", "c clutch"], "one-way": []}},
    {"1 hold": ["a clutch", "b brake", "c clutch"]},
    {"5": ["a clutch", "b clutch", "c clutch", "parking lock"]},
    {"5": ["c clutch", "parking lock"]},
    {"N": ["a clutch", "c clutch"]},
    {"x": ["a clutch", "a brake", "b clutch", "c clutch"]},
    {"4": ["a brake", "b clutch"], "y": {"applied": [], "released": ["c brake"]}},
    {"idle": {"applied": [], "one-way": ["b sprag"]}},
    {"P": ["parking lock", "a clutch"]},
)  # fmt: skip


def test_every_finding_has_a_remedy_and_every_remedy_a_finding():
    seen = set()
    for train in (UNITS["six"], UNITS["plain"], read_train(SWAPPED, "swapped")):
        for row in (*ROWS, *({"first": [e]} for e in train.element_names)):
            for finding in gl.check_chart(train, row):
                words = remedy(finding)
                assert words.endswith(".") and words[:1].isupper()
                seen.add(finding.kind)
    assert seen >= set(remedies._REMEDIES), set(remedies._REMEDIES) - seen
    with pytest.raises(ValueError, match="take one from"):
        remedy("wrong")
