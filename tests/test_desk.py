"""The answer desk and its question panels without a browser."""

import re
import time
from html import unescape
from pathlib import Path
from types import SimpleNamespace

import ipywidgets as widgets
import nbformat
import pytest
import small_lab as small
from nbclient import NotebookClient

from gearlab.base import filewriter
from gearlab.bench.teeth import AS_FILED
from gearlab.lab.question.question import Number
from gearlab.lab.sheet.handin import read_handed_in
from gearlab.lab.sheet.work import Work
from gearlab.lab.suite.labs import LAB_NAMES
from gearlab.panels import Bench, Desk
from gearlab.panels.asking import SIGNS, QuestionPanel
from gearlab.panels.cells import MadeByCells

WAY = "what ratio"
BAD_IDS = '<b onclick="x">Ana</b>'


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """An empty folder for the answer sheets."""
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "answers"))
    return tmp_path / "answers"


@pytest.fixture
def desk():
    made = Desk(small.LAB)
    made.sign_in("ana")
    return made


def everything(panel):
    """Every widget of a panel."""
    yield panel
    for child in getattr(panel, "children", ()):
        yield from everything(child)


def plain(html):
    return " ".join(unescape(re.sub("<[^>]*>", " ", html)).split())


def words(panel):
    """All that is read on a panel, but for its controls."""
    found = [one.value for one in everything(panel) if isinstance(one, widgets.HTML)]
    hints = panel.box.hints if hasattr(panel, "box") else []
    seen = [html for html in found if not html.startswith("<style")]
    return " ".join([plain(" ".join(seen)), *hints])


def text(panel):
    bundle = panel._repr_mimebundle_()
    return (bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"]


def give(panel, answer):
    """Fill the fields of a question in, as a person would."""
    if isinstance(answer, tuple):
        panel.box.values = list(answer)
    elif isinstance(answer, (list, set, frozenset)):
        panel.box.values = [list(answer)]
    else:
        panel.box.values = [str(answer)]


def put(panel, answer):
    """Fill the fields in, and press the button below them."""
    give(panel, answer)
    panel.check()


def ratio(desk):
    return desk.work.question(WAY).answer


# Questions ------------------------------------------------------------------------


@pytest.mark.parametrize("topic", small.RIGHT)
def test_every_form_is_answered_by_its_controls(desk, topic):
    panel = desk.ask(topic)
    put(panel, small.WRONG[topic])
    assert plain(panel.status).startswith("Not yet") and "gl-not-yet" in panel.status
    assert f"{topic}: {SIGNS['tried']}" in words(desk)
    put(panel, small.RIGHT[topic])
    assert plain(panel.status).startswith("✓ Right.")
    assert f"{topic}: {SIGNS['right']}" in words(desk)
    assert "✓ right · 2 tries · last answer: " in words(panel)
    assert "1 of 6 marks so far, for the 5 questions that are marked here" in (
        words(desk)
    )


def pressed(panel, name, *values, button="check"):
    """What the kernel says to a press, as a page sends it and hears it."""
    content = {"press": name, "button": button, "values": list(values)}
    panel.box._handle_custom_msg(content, [])
    return panel.box.said


def test_what_stands_in_the_box_is_judged_though_the_box_was_not_left(desk):
    panel = desk.ask(WAY)
    right = f"{float(ratio(desk)):.3f}".replace(".", ",")
    give(panel, "3")
    said = pressed(panel, "a page 1", right)
    assert said["words"] == "✓ Right. One is added for the carrier."
    assert [one.answer for one in desk.work.tries(WAY)] == [right]
    give(panel, "3")
    assert len(desk.work.tries(WAY)) == 1, "a box that is left is not checked"


def test_every_press_is_answered_by_its_name(desk, monkeypatch):
    panel, heard = desk.ask(WAY), []
    panel.box.observe(lambda change: heard.append(change["new"]), "said")
    written = ["3", "3", "abc", "abc", "", "3", "4"]
    for n, value in enumerate(written):
        pressed(panel, f"a page {n}", value)
    assert [said["press"] for said in heard] == [
        f"a page {n}" for n in range(len(written))
    ]
    assert all(said["words"] for said in heard)
    again = "The same answer as before. Not yet. "
    assert [said["words"].startswith(again) for said in heard] == [
        *(False, True, False, False, False, True, False)
    ]
    assert len(desk.work.tries(WAY)) == 2
    for button in ("hint", "hint", "hint"):
        pressed(panel, "a page 9", "4", button=button)
    assert heard[-1]["words"] == "No more hints."
    monkeypatch.setattr(Work, "answer", lambda *_: 1 / 0)
    assert "ZeroDivisionError" in pressed(panel, "a page 10", "5")["words"]


def test_a_press_sends_nothing_back_into_the_box(desk):
    """What somebody types on meanwhile would be written over."""
    panel, sent = desk.ask(WAY), []
    panel.box._send = lambda message, buffers=None: sent.extend(message["state"])
    pressed(panel, "a page 1", "3")
    assert panel.box.values == ["3"]
    assert "said" in sent and not {"values", "fields"} & set(sent)
    panel.press("4")
    assert "values" in sent, "what is pressed from code is seen on the page"


@pytest.mark.parametrize(
    "content",
    [
        *({}, {"press": "a 1"}, {"press": "a 1", "button": "no such"}),
        *({"press": "a 1", "button": "check", "values": v} for v in (None, [], [{}])),
        {"press": "a 1", "button": ["check"], "values": ["3"]},
    ],
)
def test_an_odd_message_from_a_page_is_answered_or_passed_over(desk, content):
    panel = desk.ask(WAY)
    panel.box._handle_custom_msg(content, [])
    assert bool(panel.status) == ("press" in content)
    assert not desk.work.tries(WAY)


def test_a_wrong_answer_after_a_right_one_says_which_counts(desk):
    panel = desk.ask(WAY)
    right = str(ratio(desk))
    put(panel, right)
    put(panel, "99")
    said = plain(panel.status)
    assert said.startswith("Not yet.") and f"right answer {right} still counts" in said
    assert "your best answer counts; the first try is noted too" in said
    assert f"✓ right · 2 tries · the answer that counts: {right} · last answer: 99" in (
        words(panel)
    )
    assert "For the mark your best answer counts" in words(desk)
    put(desk.ask("what is held"), "sun")
    assert "counts" not in plain(desk.ask("what is held").status)


@pytest.mark.parametrize("written", ["", "abc", "3 15", "1.000,5", "<b>x"])
def test_what_cannot_be_read_is_said_and_is_no_try(desk, written):
    panel = desk.ask(WAY)
    put(panel, written)
    said = "marks for thousands" if written == "1.000,5" else "no number"
    assert "gl-fault" in panel.status and said in plain(panel.status)
    assert "<b>" not in panel.status and not desk.work.tries(WAY)
    assert panel.box.values[0] == written


def test_nothing_is_chosen_at_first(desk):
    for topic, sentence in (
        ("what is held", "nothing is chosen"),
        ("which way", "nothing is chosen"),
        ("which order", 'the place "first" is empty'),
        ("why one", "nothing is written"),
    ):
        panel = desk.ask(topic)
        panel.check()
        assert sentence in plain(panel.status).lower()
        assert not desk.work.tries(topic)
    panel = desk.ask("which order")
    panel.press("sun", "", "")
    assert 'the place "second" is empty' in plain(panel.status)


def test_a_row_may_be_empty(desk):
    panel = desk.ask("what is applied")
    panel.check()
    assert plain(panel.status) == "Not yet: 0 right, 0 too many, 2 missing."
    assert "last answer: none" in words(panel)


def test_a_prediction_is_kept_and_shown_later(desk):
    panel = desk.ask("which way")
    assert panel.box.labels[0] == "keep"
    put(panel, "backward")
    assert plain(panel.status) == "Kept. Now turn it and see."
    panel.earlier.value = True
    later = Desk(small.LAB).ask("which way")
    for one in (panel, later):
        assert "● kept · 1 try · last answer: backward" in words(one)
        assert "right" not in words(one) and "not yet" not in words(one).lower()
        assert one.box.values[0] == "backward"


def test_an_explanation_hides_its_points(desk):
    panel = desk.ask("why one")
    assert panel.box.labels[0] == "keep"
    assert panel.box.fields[0]["longest"] == 2000
    put(panel, "x" * 2001)
    assert "shorten it" in plain(panel.status) and not desk.work.tries("why one")
    put(panel, "The pins <move>.\nSo one.")
    assert plain(panel.status) == "Kept for your instructor."
    everywhere = words(panel) + text(panel) + panel.box.values[0]
    for point in desk.work.question("why one").points:
        assert point not in everywhere
    assert Desk(small.LAB).ask("why one").box.values[0].endswith("\nSo one.")


def test_the_earlier_answers_are_shown_on_request(desk):
    panel = desk.ask(WAY)
    assert panel.earlier.layout.display == "none"
    for answer in ("3,1", "1/3", str(ratio(desk))):
        put(panel, answer)
    assert panel.earlier.layout.display != "none" and "<ol" not in panel._earlier.value
    panel.earlier.value = True
    assert "3,1 · not yet 1/3 · not yet" in plain(panel._earlier.value)
    put(panel, "7")
    assert "7 · not yet" in plain(panel._earlier.value)
    panel.earlier.value = False
    assert not panel._earlier.value


def test_hints_come_one_by_one(desk):
    panel, question = desk.ask(WAY), desk.work.question(WAY)
    assert panel.box.labels[1] == "hint 1 of 2"
    panel.hint()
    assert panel.box.labels[1] == "hint 2 of 2"
    assert f"Hint 1: {question.hints[0]}" in words(panel)
    panel.hint()
    assert panel.box.labels[1] == "no more hints" and not panel.status
    panel.hint()
    assert plain(panel.status) == "No more hints."
    put(panel, 3)
    again = Desk(small.LAB).ask(WAY)
    assert all(f"Hint {n}: " in words(again) for n in (1, 2))
    assert again.box.labels[1] == "no more hints"
    assert desk.ask("what is held").box.labels == ["check"]


def test_the_form_and_the_tolerance_are_said(desk):
    assert "Write a number, within 0.05 turns." in words(desk.ask(WAY))
    assert "what ratio · 2 marks" in words(desk.ask(WAY))
    assert "which way · a prediction: no marks" in words(desk.ask("which way"))
    assert "why one · marked by your instructor" in words(desk.ask("why one"))


def test_a_picture_stands_beside_its_question(desk):
    panel = desk.ask("where is the sun")
    assert panel._picture.value.count("<svg") == 1 and "role=" in panel._picture.value
    assert "--turns" not in panel._picture.value
    assert "Picture: Single set" in text(panel)
    assert not desk.ask(WAY)._picture.value


def test_a_picture_that_fails_leaves_the_question(desk, monkeypatch):
    def broken(*args, **kwargs):
        raise RuntimeError("planted")

    monkeypatch.setattr(small, "draw_end_view", broken)
    panel = desk.ask("where is the sun")
    assert "RuntimeError: planted" in plain(panel.status)
    put(panel, "B")
    assert plain(panel.status) == "✓ Right."


def test_a_fault_of_the_panel_is_said(desk, monkeypatch):
    def broken(*args, **kwargs):
        raise RuntimeError("planted")

    panel = desk.ask(WAY)
    monkeypatch.setattr(Work, "answer", broken)
    monkeypatch.setattr(Work, "hint", broken)
    monkeypatch.setattr(Work, "sign_in", broken)
    for act, shown in (
        (panel.check, panel),
        (panel.hint, panel),
        (lambda: desk.sign_in("bo"), desk),
    ):
        act()
        assert "RuntimeError: planted" in plain(shown.status)
        shown.box.say("")


# Signing in -----------------------------------------------------------------------


def test_practice_says_that_nothing_is_kept(folder):
    desk = Desk(small.LAB)
    assert "Practice: nothing is kept." in words(desk)
    panel = desk.ask(WAY)
    put(panel, "3")
    assert plain(panel.status).endswith("Not kept: sign in first.")
    assert not folder.exists()


def test_signing_in_renews_every_panel(desk):
    desk.sign_out()
    panels = [desk.ask(topic) for topic in small.FORMS]
    give(desk.ask(WAY), 7)
    asked, before = words(desk.ask(WAY)), desk.work.paper
    desk.box.press("Bo; Ana", "C")
    assert desk.work.paper.given != before.given
    assert words(desk.ask(WAY)) != asked and desk.ask(WAY).box.values[0] == ""
    assert "Group: ana, bo, form C." in words(desk)
    assert str(desk.work.path) in words(desk)
    assert "Run the cells with code below again." in plain(desk.status)
    assert desk.box.values == ["ana, bo", "C"]
    assert [desk.ask(topic) for topic in small.FORMS] == panels


def test_what_stands_in_the_field_of_ids_signs_in(desk):
    desk.box.press("bo", "A")
    assert desk.work.who == "bo, form A"


def test_a_new_id_is_asked_about_once_with_the_nearest_known_one(desk):
    desk.sign_in("trainee 17")
    assert "“trainee 17” is new here: no answers yet." in plain(desk.status)
    desk.put_down(WAY, 3)
    desk.box.press("trainee17", "A")
    said = "“trainee17” is new here; did you mean “trainee 17”?"
    assert plain(desk.status) == said and desk.work.who == "trainee 17, form A"
    assert desk.box.labels[2:] == ["sign in as trainee 17", "begin as trainee17"]
    desk.box.press(button="meant")
    assert desk.work.who == "trainee 17, form A" and len(desk.work.tries(WAY)) == 1
    assert "new here" not in plain(desk.status)
    desk.box.press("trainee17", "A")
    assert plain(desk.status) == said
    desk.box.press("trainee17", "A")
    assert desk.work.who == "trainee 17, form A", "a second click decides nothing"
    desk.box.press(button="new")
    assert desk.work.who == "trainee17, form A"
    assert "“trainee17” is new here: no answers yet." in plain(desk.status)
    assert desk.box.labels == ["sign in", "sign out"]
    desk.sign_out()
    desk.box.press("trainee17", "B")
    assert desk.work.who == "trainee17, form B", "it is asked once"


def test_a_group_is_asked_about_the_one_who_is_new(desk):
    desk.put_down(WAY, 3)
    desk.sign_in("bernd, ana")
    assert "“bernd” is new here: no answers yet." in plain(desk.status)
    desk.put_down(WAY, 3)
    desk.sign_in("anna")
    assert desk.box.labels[2] == "sign in as ana"
    desk.sign_in("bernd; anna", "B")
    assert plain(desk.status) == "“anna” is new here; did you mean “ana”?"
    desk.box.press(button="meant")
    assert desk.work.who == "ana, bernd, form B"
    assert "new here" not in plain(desk.status), "both have answers here"


def test_who_was_meant_is_asked_until_it_is_answered(desk):
    desk.sign_in("ana")
    desk.put_down(WAY, 3)
    desk.sign_in("anna, anaa")
    said = "“anaa” and “anna” are new here; did you mean “ana” and “ana”?"
    assert plain(desk.status) == said
    asked = ["sign in as ana, ana", "begin as anaa, anna"]
    assert desk.box.labels[2:] == asked
    desk.put_down(WAY, 4)
    assert desk.box.labels[2:] == asked and plain(desk.status) == said
    desk.box.press(button="new")
    assert desk.box.labels == ["sign in", "sign out"]
    assert desk.work.who == "anaa, anna, form A"
    assert "are new here: no answers yet." in plain(desk.status)
    desk.sign_in("anaaa")
    desk.sign_out()
    assert desk.box.labels == ["sign in", "sign out"], "it is settled"


def practise(desk):
    """Answer some questions in practice."""
    desk.sign_out()
    for topic, answer in (
        ("which way", "backward"),
        (WAY, "3"),
        ("what is held", "sun"),
        ("what is held", "ring"),
        ("where is the sun", "B"),
        ("why one", "The pins move."),
    ):
        desk.put_down(topic, answer)


def test_practice_answers_can_be_taken_over(desk):
    practise(desk)
    desk.sign_in("bo")
    assert desk.work.sheet.attempts == ()
    said = plain(desk.status)
    assert "Take over your 4 practice answers?" in said
    assert "“what ratio” and “where is the sun” was about the practice numbers" in said
    assert desk.box.labels[2:] == ["take over 4 practice answers", "leave them"]
    panel = desk.ask("which way")
    desk.box.press(button="take_over")
    assert plain(desk.status) == "Taken over: 4 practice answers."
    assert desk.box.labels == ["sign in", "sign out"]
    assert "● kept · 1 try · last answer: backward" in words(panel)
    assert panel.box.values == ["backward"]
    again = Desk(small.LAB).work
    assert [(one.question, one.answer) for one in again.sheet.attempts] == [
        ("which way", "backward"),
        ("what is held", "sun"),
        ("what is held", "ring"),
        ("why one", "The pins move."),
    ]
    assert not again.tries(WAY)
    desk.sign_in("cy")
    assert "Take over" not in plain(desk.status)


def test_practice_answers_can_be_left(desk):
    practise(desk)
    desk.sign_in("bo")
    desk.put_down(WAY, "9")
    assert "leave them" in desk.box.labels, "it is not decided yet"
    desk.box.press(button="leave")
    assert plain(desk.status) == "The practice answers are left behind."
    assert desk.box.labels == ["sign in", "sign out"]
    desk.sign_out()
    assert set(map(desk.work.standing, desk.work.topics)) == {"not tried"}


def test_one_state_is_shown_in_practice(desk):
    practise(desk)
    for topic in ("which way", "why one"):
        panel = desk.ask(topic)
        panel.check()
        assert "Not kept: sign in first." in plain(panel.status)
        assert "● practice: not kept" in words(panel) and "● kept" not in words(panel)
    assert "● kept" not in words(desk)
    desk.sign_in("bo")
    desk.take_over()
    assert "● kept" in words(desk) and "not kept" not in words(desk)


@pytest.mark.parametrize("ids", ["", " , ", "x" * 999, "a,b,c,d,e,f,g", "\0"])
def test_ids_that_cannot_be_used_are_said(desk, ids):
    panel = desk.ask(WAY)
    give(panel, "half wr")
    desk.sign_in(ids)
    assert "gl-fault" in desk.status and desk.work.who == "ana, form A"
    assert panel.box.values[0] == "half wr"
    desk.sign_in("bo")
    assert "gl-fault" not in desk.status


def test_a_restart_brings_everything_back(desk):
    for topic, answer in (*small.RIGHT.items(), (WAY, "2,5"), ("why one", "So.")):
        put(desk.ask(topic), answer)
    desk.ask("which way")
    again = Desk(small.LAB)
    assert plain(again._questions.value) == plain(desk._questions.value)
    assert again.box.values[0] == "ana" and not again.status
    for topic in small.FORMS:
        assert again.ask(topic)._standing.value == desk.ask(topic)._standing.value
        if topic in small.RIGHT:
            assert "✓ right · 1 try" in words(again.ask(topic))
    assert again.ask(WAY).box.values[0] == "2,5"
    assert again.ask("which order").box.values == [*small.RIGHT["which order"]]
    assert again.ask("what is applied").box.values == [["low brake", "forward clutch"]]
    assert again.ask("where is the sun").box.values == ["B"]


def test_two_desks_on_one_lab_lose_nothing(desk):
    other = Desk(small.LAB)
    give(desk.ask(WAY), 2)
    give(other.ask(WAY), 3)
    desk.ask(WAY).check()
    other.ask(WAY).check()
    assert len(Desk(small.LAB).work.tries(WAY)) == 2
    assert "2 tries" in words(other.ask(WAY))


def test_a_full_disk_is_said_beside_the_verdict(desk, monkeypatch):
    def refuse(*args):
        raise OSError(28, "No space left on device")

    panel = desk.ask("what is held")
    give(panel, "ring")
    with monkeypatch.context() as patch:
        patch.setattr(filewriter, "_replace", refuse)
        panel.check()
        assert plain(panel.status).startswith("✓ Right. It is not on the disk yet")
        desk.sign_in("bo")
        assert "could not be written" in plain(desk.status)
    desk.put_down("which order", small.WRONG["which order"])
    assert len(Desk(small.LAB).work.sheet.attempts) == 2


def test_a_damaged_sheet_is_said(desk):
    desk.put_down(WAY, 3)
    desk.work.path.write_text("{", encoding="utf-8")
    again = Desk(small.LAB)
    assert "gl-fault" in again.status and "damaged-1" in plain(again.status)
    assert f"{WAY}: {SIGNS['not tried']}" in words(again)


def test_an_answer_of_a_sheet_that_is_no_option_is_no_harm(desk):
    desk.put_down("what is held", "ring")
    text = desk.work.path.read_text(encoding="utf-8")
    text = text.replace('"answer": "ring"', '"answer": "<i>wheel"')
    desk.work.path.write_text(text, encoding="utf-8")
    panel = Desk(small.LAB).ask("what is held")
    assert panel.box.values == [""] and "<i>" not in panel._standing.value
    put(panel, "ring")
    assert plain(panel.status) == "✓ Right."


def test_markup_is_text_everywhere(desk):
    desk.sign_in(BAD_IDS)
    for topic in small.FORMS:
        panel = desk.ask(topic)
        panel.earlier.value = True
        if topic in ("why one", WAY):
            put(panel, "<img src=x onerror=y>")
    markup = [
        one.value
        for panel in (desk, *desk._panels.values())
        for one in everything(panel)
        if isinstance(one, widgets.HTML)
    ]
    for html in markup:
        assert not re.search("<(b on|img|held|for)", html)
    assert "&lt;b onclick" in desk._who.value and "A lab <for> trying" in words(desk)
    assert "&lt;img" in desk.ask("why one")._earlier.value


# Answers in code ------------------------------------------------------------------


def shown(verdict):
    """What a notebook shows as text/plain."""
    from IPython.lib.pretty import pretty

    return pretty(verdict)


def test_the_call_for_an_answer_in_code_says_what_it_does(desk):
    assert not hasattr(desk, "check") and not hasattr(desk, "grade")
    assert "put_down" in dir(desk)


def test_an_answer_in_code_shows_its_words(desk):
    panel = desk.ask(WAY)
    verdict = desk.put_down(WAY, float(ratio(desk)))
    assert shown(verdict) == str(verdict) == "Right. One is added for the carrier."
    assert "✓ right · 1 try" in words(panel) and SIGNS["right"] in words(desk)
    assert desk.put_down("what is applied", "low brake", "forward clutch").right
    assert desk.put_down("which order", *small.RIGHT["which order"]).right


@pytest.mark.parametrize("given", [(3, 15), ((3, 15),)])
def test_a_comma_in_code_is_said(desk, given):
    assert 'write 3.15 or "3,15"' in shown(desk.put_down(WAY, *given))


@pytest.mark.parametrize("topic", small.FORMS)
def test_no_answer_in_code_is_said(desk, topic):
    assert shown(desk.put_down(topic)).startswith("No answer is given")
    assert not desk.work.tries(topic)


def test_a_wrong_name_in_code_is_said(desk):
    assert 'did you mean "what ratio"?' in shown(desk.put_down("what ration", 3))
    for topic in (None, 3, ["x"], ""):
        assert shown(desk.put_down(topic, 3)).startswith("There is no question")
    with pytest.raises(ValueError, match='did you mean "what ratio"'):
        desk.ask("what ration")


# The student's train --------------------------------------------------------------


def test_benches_follow_who_signs_in(desk):
    one, other = desk.bench(), desk.bench("carrier to ring", predict=True)
    assert isinstance(one, Bench) and one.train == desk.train
    before = desk.train
    desk.sign_in("somebody else", "B")
    assert desk.train != before
    for bench in (one, other):
        assert bench.train == desk.train and not bench.status
    assert other.flow.range == "carrier to ring" and other.hidden
    one.set_teeth({"single": {"sun": 40}})
    one._message_heard({"named": AS_FILED})
    assert one.train == desk.train, "the filed teeth are the student's"


def test_a_bench_with_other_parts_says_so(desk):
    bench = Bench(desk.train)
    from gearlab import load_train

    bench.take_train(load_train("five-range"))
    assert "has other parts" in bench.status
    assert bench.train == desk.train


# Predictions and benches -----------------------------------------------------------


def answer_shown(bench):
    """What a bench says beside its pictures of what was predicted."""
    return bench.state["answer"]


def test_a_bench_opens_covered_until_its_prediction_was_said(desk):
    for signed_in in (True, False):
        if not signed_in:
            desk.sign_out()
        bench = desk.bench(after="which way")
        assert bench.hidden and "Say your prediction first: “which way”" in text(bench)
        desk.put_down("what is held", "ring")
        assert bench.hidden, "another question uncovers nothing"
        put(desk.ask("which way"), "backward")
        assert not bench.hidden and not bench.status
        said = "You said: backward. In truth: forward."
        assert answer_shown(bench) == said
        later = desk.bench("carrier to ring", after="which way")
        assert not later.hidden and answer_shown(later) == said


def test_a_bench_may_be_uncovered_and_stays_so(desk):
    bench = desk.bench(after="which way")
    bench.reveal()
    desk.put_down(WAY, 3)
    assert not bench.hidden and not answer_shown(bench)
    desk.put_down("which way", "forward")
    assert answer_shown(bench) == "You said: forward. In truth: forward."
    desk.put_down("which way", "backward")
    assert answer_shown(bench).startswith("You said: forward."), "the first is told"


def test_a_bench_is_covered_again_for_somebody_else(desk):
    bench = desk.bench(after="which way")
    desk.put_down("which way", "forward")
    assert not bench.hidden
    desk.sign_in("bo")
    assert bench.hidden and not answer_shown(bench)
    desk.sign_in("ana")
    assert not bench.hidden
    assert answer_shown(bench) == "You said: forward. In truth: forward."


def test_only_a_prediction_is_told(desk):
    for act in (desk.truth, lambda topic: desk.bench(after=topic)):
        with pytest.raises(ValueError, match="is no prediction, so its answer is not"):
            act(WAY)
        with pytest.raises(ValueError, match="no question"):
            act("which")


def test_the_truth_comes_after_the_prediction(desk):
    desk.sign_out()
    panel = desk.truth("which way")
    assert panel is desk.truth("which way")
    assert words(panel) == text(panel) == "Say your prediction first (above)."
    put(desk.ask("which way"), "backward")
    assert words(panel) == "You said: backward. In truth: forward."
    assert text(panel) == words(panel)
    desk.sign_in("bo")
    assert words(panel) == "Say your prediction first (above)."


def test_a_cell_that_runs_often_keeps_one_bench(desk, monkeypatch):
    for _ in range(30):
        last = desk.bench()
    other = desk.bench("carrier to ring")
    assert [bench for bench, _ in desk._benches] == [last, other]
    drawn = []
    monkeypatch.setattr(Bench, "take_train", lambda self, _: drawn.append(self))
    desk.sign_in("bo")
    assert drawn == [last, other]


def test_each_cell_keeps_what_its_last_run_made(monkeypatch):
    request, made = {}, MadeByCells()

    class Kernel:
        def get_parent(self):
            return request

    def run(cell, message, count):
        request.update(metadata={"cellId": cell}, header={"msg_id": message})
        for _ in range(count):
            widget = SimpleNamespace(comm=SimpleNamespace(kernel=Kernel()))
            made.add(widget, cell, same_as="the same")

    for cell, message, count in (("a", "1", 1), ("b", "2", 2), ("a", "3", 3)):
        run(cell, message, count)
    assert [cell for _, cell in made] == ["a", "a", "a", "b", "b"]


# The end of a lab ------------------------------------------------------------------


def test_the_end_of_a_lab_says_what_is_left_and_where_it_lies(desk):
    panel = desk.finish()
    assert panel is desk.finish()
    assert "Not done yet: 0 of 7 questions answered." in words(panel)
    for topic, answer in (*small.RIGHT.items(), ("which way", "forward")):
        put(desk.ask(topic), answer)
    assert "Left: “what ratio” and “why one”." in words(panel)
    put(desk.ask(WAY), str(ratio(desk)))
    put(desk.ask("why one"), "So.")
    said = words(panel)
    assert "Done: 7 of 7 questions answered. 6 of 6 marks so far, for the 5" in said
    assert str(desk.work.path) in said and "One file holds your answers" in said
    assert "6 of 6 marks so far, for the 5 questions" in words(desk)
    panel.hand_in()
    (path,) = desk.work.path.parent.glob("hand-in_*.json")
    assert plain(panel.status).startswith(f"Made: {path}. Give this one file to your")
    assert len(read_handed_in(path)) == 1


def test_the_end_of_a_lab_in_practice_asks_to_sign_in(desk, folder):
    desk.sign_out()
    panel = desk.finish()
    assert text(panel) == (
        "End of 'A lab <for> trying' (practice). Not done yet: 0 of 7 questions"
        " answered. 0 of 6 marks so far, for the 5 questions that are marked here; your"
        " instructor marks what you explain. Left: “which way”, “what ratio”, “what is"
        " held”, “where is the sun”, “what is applied”, “which order” and “why one”."
        " Nothing is kept in practice. Sign in at the desk above to hand in."
    )
    panel.hand_in()
    assert "nobody is signed in" in plain(panel.status)
    assert not list(folder.glob("hand-in*")) and "<for>" not in panel._stand.value
    desk.sign_in("bo")
    assert not panel.status and "bo, form A" in words(panel)
    panel.hand_in()
    assert "answer a question first" in plain(panel.status)


def test_nothing_above_a_question_moves_when_it_is_answered(desk):
    desk.sign_in("bo")
    said = desk.status
    assert said
    put(desk.ask(WAY), 3)
    assert desk.status == said, "below it all would move, away from the mouse"


# As text, and for everybody -------------------------------------------------------


def test_a_panel_is_also_words(desk):
    asked = desk.work.question(WAY)
    assert text(desk.ask(WAY)) == (
        f"Question 'what ratio' (ana, form A): {asked.text}"
        " Write a number, within 0.05 turns."
    )
    assert "Options: sun; ring; carrier & pins." in text(desk.ask("what is held"))
    desk.sign_out()
    assert text(desk.ask(WAY)).startswith("Question 'what ratio' (practice): Sun ")
    assert text(desk).startswith("Answer desk of 'A lab <for> trying' (practice).")
    assert str(Path.home()) not in text(desk)


def test_every_question_has_one_panel(desk):
    assert desk.ask(WAY) is desk.ask(WAY)


def test_every_control_has_a_short_plain_label(desk):
    for panel in (desk, *(desk.ask(topic) for topic in small.FORMS)):
        for one in everything(panel):
            assert not isinstance(one, widgets.Output)
            label = getattr(one, "description", "")
            assert len(label) <= 28 and not set(label) & set("$\\")
            needs = (widgets.Dropdown, widgets.Text, widgets.Button, widgets.Checkbox)
            needs += (widgets.RadioButtons, widgets.Textarea)
            assert label or not isinstance(one, needs)


def test_panels_share_no_scope(desk):
    scopes = [
        name
        for panel in (desk, Desk(small.LAB), desk.ask(WAY), desk.ask("why one"))
        for name in panel._dom_classes
        if name.startswith("gl-scope")
    ]
    assert len(set(scopes)) == 4


def test_a_check_takes_no_time(desk):
    for topic in small.FORMS:
        desk.ask(topic)
    panel, spent = desk.ask(WAY), []
    for n in range(30):
        give(panel, n + 10)
        start = time.perf_counter()
        panel.check()
        spent.append(time.perf_counter() - start)
    assert sorted(spent)[len(spent) // 2] < 0.050


@pytest.mark.parametrize("name", LAB_NAMES)
def test_a_panel_for_every_question_of_the_suite(name):
    desk = Desk(name)
    desk.sign_in("ana")
    for topic in desk.work.topics:
        panel = desk.ask(topic)
        assert isinstance(panel, QuestionPanel) and not panel.status
        question = desk.work.question(topic)
        assert question.text in text(panel)
        if isinstance(question, Number):
            put(panel, str(question.answer))
        elif question.answer is not None:
            put(panel, question.answer)
        else:
            panel.check()
        assert "gl-fault" not in panel.status or question.answer is None


def test_a_notebook_of_a_lab_runs_unanswered(folder):
    cells = [
        "from gearlab.panels import Desk\ndesk = Desk('turn-one-set')\ndesk",
        "desk.ask('first reduction')",
        "desk.put_down('first reduction', 3,15)",
        "desk.bench()",
    ]
    made = [nbformat.v4.new_code_cell(source) for source in cells]
    book = nbformat.v4.new_notebook(cells=made)
    NotebookClient(book, timeout=60, kernel_name="python3").execute()
    texts = [cell.outputs[0].data["text/plain"] for cell in book.cells]
    assert texts[0].startswith("Answer desk of 'Turn one set by hand' (practice)")
    assert texts[1].startswith("Question 'first reduction' (practice): Sun ")
    assert texts[2].startswith("3,15 without quotes is two numbers to Python")
    assert texts[3].startswith("Bench panel of ")
    assert [len(cell.outputs) for cell in book.cells] == [1, 1, 1, 1]


def test_several_questions_stand_in_one_cell(desk):
    both = desk.ask(WAY, "why one")
    assert both.children == (desk.ask(WAY), desk.ask("why one"))
    bundle = both._repr_mimebundle_()
    bundle = bundle[0] if isinstance(bundle, tuple) else bundle
    words = [desk.ask(topic).words for topic in (WAY, "why one")]
    assert bundle["text/plain"].splitlines() == words
    with pytest.raises(ValueError, match="did you mean"):
        desk.ask(WAY, "what rati")
