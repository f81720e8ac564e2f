"""The panel that shows how far a student is."""

import re
from html import unescape

import pytest

from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.handin import read_handed_in
from gearlab.lab.sheet.sheet import record
from gearlab.lab.sheet.signin import keep_sign_in
from gearlab.lab.suite.labs import LAB_NAMES, find_lab
from gearlab.panels import Progress


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    return tmp_path


def said(panel):
    return unescape(re.sub("<[^>]*>", "", panel.box.status))


def in_words(panel):
    bundle = panel._repr_mimebundle_()
    return (bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"]


def test_nobody_is_told_what_to_do():
    panel = Progress()
    assert "Nobody is signed in" in said(panel) and not panel._page.value
    assert "Nobody is signed in" in in_words(panel)


def test_whoever_signed_in_last_is_shown_with_every_lab():
    keep_sign_in(("ana lima",), "B")
    panel = Progress()
    assert panel.box.values == ["ana lima", "B"]
    assert said(panel) == "" and "ana lima, form B" in in_words(panel)
    for name in LAB_NAMES:
        assert find_lab(name).title in in_words(panel)
    assert in_words(panel).count("not begun") == len(LAB_NAMES)
    assert "<svg" in panel._page.value


def test_an_answer_given_meanwhile_is_seen():
    panel = Progress("ana")
    paper = draw_paper(find_lab("turn-one-set"), ("ana",))
    record(
        paper, "first reduction", str(paper.asked["first reduction"].question.answer)
    )
    assert "begun  " not in in_words(panel).replace("not begun", "")
    panel.refresh()
    assert "begun  " in in_words(panel).replace("not begun", "")


def test_the_page_is_saved_beside_the_sheets(folder):
    panel = Progress("ana")
    panel.save()
    (path,) = folder.glob("summary_A_ana_*.pdf")
    assert path.read_bytes().startswith(b"%PDF") and str(path) in said(panel)


@pytest.mark.parametrize("ids", ["", " , ", "x" * 99, "a,b,c,d,e,f,g", "<b>\x07"])
def test_what_is_no_id_is_said_and_the_page_stays(ids):
    panel = Progress("ana")
    page = panel._page.value
    for button in ("show", "save", "hand_in"):
        panel.box.press(ids, "A", button=button)
        assert said(panel) and "fault of its own" not in said(panel)
        assert panel._page.value == page


def test_names_are_escaped():
    panel = Progress("<b>ana</b>")
    panel.save()
    assert "<b>" not in panel._page.value + panel.box.status


def test_every_control_has_a_label():
    box = Progress().box
    labels = [field["label"] for field in box.fields] + box.labels
    assert all(0 < len(label) <= 28 for label in labels) and len(labels) == 5


def test_one_file_of_all_labs_is_made(folder):
    panel = Progress("ana")
    panel.hand_in()
    assert "answer a question first" in said(panel)
    for lab, question in (
        ("turn-one-set", "two joined"),
        ("know-the-unit", "one piece"),
    ):
        paper = draw_paper(find_lab(lab), ("ana",))
        record(paper, question, paper.asked[question].question.answer)
    panel.hand_in()
    (path,) = folder.glob("hand-in_*.json")
    assert said(panel).startswith(f"Made: {path}. Give this one file to your instruct")
    assert said(panel).count("Turn one set by hand") == 1
    assert {sheet.lab for _, sheet in read_handed_in(path)} == {
        "turn-one-set",
        "know-the-unit",
    }
