"""No answer stands on the page before it is asked for, nor right below the question.

What follows a prediction, up to the next question, stays covered or folded.
"""

import ast
import re

import pytest
from loops import each
from notebook_text import FOLD, LABS, PATHS, asked, cells, practice

import gearlab as gl
from gearlab.base.numerals import number
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.question.question import Number
from gearlab.lab.suite.labs import find_lab
from gearlab.panels import Desk

STUDENTS = [(), ("a",), ("b",), ("c",), ("d",)]
# Drawings that show how a train is built, and nothing of what it does.
PLAIN = {"draw_half_section": {}, "draw_stick": {"power": False},
         "draw_apply_chart": {"blank": True}}  # fmt: skip


def between(path, lab):
    """``(prediction, cells)``: what stands between each prediction and what is asked
    next."""
    topics, found, prediction = practice(lab), [], None
    for kind, source in cells(path):
        now = asked(source) if kind == "code" else []
        if now:
            prediction = now[0] if topics[now[0]].topic.prediction else None
            assert prediction is None or len(now) == 1
            found += [(prediction, [])] if prediction else []
        elif prediction:
            found[-1][1].append((kind, source))
    return found


def calls(source):
    """What a code cell shows: its last line, and what is printed or displayed."""
    body = ast.parse(source).body
    for node in body:
        if isinstance(node, ast.Expr):
            shown = list(shows(node.value))
            if node is body[-1] or ast.unparse(node).startswith(("print", "display")):
                yield from shown


def shows(node):
    """``(name, keywords)`` of each thing that an expression shows."""
    if not isinstance(node, ast.Call):
        yield ast.unparse(node), {}
        return
    name = ast.unparse(node.func)
    if name == "display":
        for one in node.args:
            yield from shows(one)
        return
    yield name, {one.arg: ast.unparse(one.value) for one in node.keywords}


def is_closed(name, keywords, prediction):
    """Whether something that a cell shows keeps the answer to itself."""
    if name in ("desk.bench", "desk.log"):
        return keywords.get("after") == repr(prediction)
    name = name.removeprefix("draw.")
    if name in PLAIN:
        wanted = {key: repr(value) for key, value in PLAIN[name].items()}
        return wanted.items() <= keywords.items()
    return name in ("folded", "desk.truth")


@each("lab", LABS)
def test_what_follows_a_prediction_is_covered_or_folded(lab):
    found = between(LABS[lab], lab)
    topics = practice(lab)
    assert len(found) == sum(one.topic.prediction for one in topics.values())
    for prediction, after in found:
        codes = [source for kind, source in after if kind == "code"]
        shown = [one for source in codes for one in calls(source)]
        back = {name for name, _ in shown} & {"desk.bench", "desk.truth", "desk.log"}
        assert back, f"{prediction} is not told again"
        for name, keywords in shown:
            assert is_closed(name, keywords, prediction), (prediction, name)
        for kind, source in after:
            if kind == "markdown":
                assert "What you saw" not in FOLD.sub("", source)


@pytest.mark.parametrize(
    "source, prediction, closed",
    [
        ('desk.bench("1", after="who")', "who", [True]),
        ('desk.bench("1", after="who")', "what", [False]),
        ('desk.bench("1")', "who", [False]),
        ("print(1)\nfolded(x)", "who", [False, True]),
        ("display(draw_stick(f, power=False), draw_stick(f))", "who", [True, False]),
        ("x = 1\nx", "who", [False]),
    ],
)
def test_the_reading_of_cells_sees_what_is_open(source, prediction, closed):
    assert [is_closed(*one, prediction) for one in calls(source)] == closed


@each("path", PATHS)
def test_folds_are_whole(path):
    """A fold without its blank lines would show its text as code, or open."""
    for kind, source in cells(path):
        if kind == "markdown":
            assert source.count("<details") == len(FOLD.findall(source))
            assert source.count("</details>") == source.count("<details")
            assert "<details open" not in source


@each("path", PATHS)
def test_panels_open_covered(path):
    """A panel whose answer is in the open stands in no notebook."""
    for kind, source in cells(path):
        for name, keywords in calls(source) if kind == "code" else ():
            if name in ("Bench", "desk.bench"):
                assert {"after", "covered", "predict"} & set(keywords), source


# Numbers --------------------------------------------------------------------------


@each("lab", LABS)
def test_no_number_that_is_asked_can_be_read_off_the_panel_above(lab):
    """A panel has the teeth of the train file, or what is asked stands not on it."""
    for students in STUDENTS:
        paper, words = draw_paper(find_lab(lab), students), ""
        for kind, source in cells(LABS[lab]):
            for name, keywords in calls(source) if kind == "code" else ():
                if name in ("desk.bench", "desk.log"):
                    words = "" if "train" in keywords else everything(paper.train)
            for topic in asked(source):
                question = paper.asked[topic].question
                # What is counted at the marks is read there, as a hint says then.
                if any("on the panel" in hint for hint in question.hints):
                    continue
                # A whole number stands in every sentence.
                if isinstance(question, Number) and question.answer % 1:
                    told = re.escape(number(question.answer))
                    assert not re.search(rf"(?<![\d.]){told}(?![\d.])", words), topic


def everything(train):
    """All that a panel says of a train, in every range and under both loads."""
    flows = [
        gl.power_flow(train, row, load=load)
        for row in train.range_names
        for load in ("drive", "coast")
    ]
    return " ".join(gl.describe(flow) for flow in flows)


# The desk's panels ------------------------------------------------------------------


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    return Desk("turn-one-set")


def test_a_panel_opens_when_its_prediction_is_said_and_says_both(desk):
    panel = desk.bench("sun to carrier", after="which way first")
    assert panel.hidden
    desk.put_down("which way, carrier held", "forward")
    assert panel.hidden, "another prediction"
    desk.put_down("which way first", "backward")
    assert not panel.hidden
    said = panel.state["answer"]
    assert "backward" in said and "forward" in said


def test_a_panel_that_is_shown_anyway_stays_open(desk):
    panel = desk.bench("sun to carrier", after="which way first")
    panel.reveal()
    desk.put_down("which way, carrier held", "forward")
    assert not panel.hidden


def test_who_signs_in_finds_panels_covered_again(desk):
    panel = desk.bench("sun to carrier", after="which way first")
    desk.put_down("which way first", "backward")
    desk.sign_in("somebody")
    assert panel.hidden


def test_a_panel_with_a_train_for_everybody_does_not_follow(desk):
    train = gl.load_train("lone-set")
    mine = desk.bench("sun to carrier")
    ours = desk.bench("sun to carrier", train=train)
    desk.sign_in("somebody")
    assert ours.train == train
    assert mine.train == desk.train != train
