"""The answer desk and its question panels without a browser."""

import re
import time
from html import unescape
from pathlib import Path

import ipywidgets as widgets
import nbformat
import pytest
import small_lab as small
from nbclient import NotebookClient

from gearlab.lab import sheetfile
from gearlab.lab.labs import LAB_NAMES
from gearlab.lab.question import Number
from gearlab.lab.work import Work
from gearlab.panels import Bench, Desk, answering, parts
from gearlab.panels.asking import SIGNS, QuestionPanel

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
    return plain(" ".join(html for html in found if not html.startswith("<style")))


def text(panel):
    bundle = panel._repr_mimebundle_()
    return (bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"]


def give(panel, answer):
    """Set the controls of a question, as a person would."""
    control = panel.control
    if isinstance(control, answering.NumberControl):
        control.entry.value = str(answer)
    elif isinstance(control, answering.ChoiceControl):
        control.radio.value = answer
    elif isinstance(control, answering.RowControl):
        for name, tick in control.ticks.items():
            tick.value = name in answer
    elif isinstance(control, answering.OrderControl):
        for place, name in zip(control.places, answer, strict=True):
            place.value = name
    else:
        control.area.value = answer


def press_enter(box, written):
    """What a page sends when a person writes in a box and presses Enter."""
    box._handle_custom_msg({"event": "submit"}, [])
    box.value = written


def ratio(desk):
    return desk.work.question(WAY).answer


# Questions ------------------------------------------------------------------------


@pytest.mark.parametrize("topic", small.RIGHT)
def test_every_form_is_answered_by_its_controls(desk, topic):
    panel = desk.ask(topic)
    give(panel, small.WRONG[topic])
    panel.check()
    assert plain(panel.status).startswith("Not yet") and "gl-not-yet" in panel.status
    assert f"{topic}: {SIGNS['tried']}" in words(desk)
    give(panel, small.RIGHT[topic])
    panel.check()
    assert plain(panel.status).startswith("✓ Right.")
    assert f"{topic}: {SIGNS['right']}" in words(desk)
    assert "✓ right · 2 tries · last answer: " in words(panel)
    assert "1 of 6 marks" in words(desk)


def test_a_number_is_checked_by_enter_and_by_the_button(desk):
    panel = desk.ask(WAY)
    box = panel.control.entry
    press_enter(box, f"{float(ratio(desk)):.3f}".replace(".", ","))
    assert plain(panel.status) == "✓ Right. One is added for the carrier."
    box.value = "3"
    assert len(desk.work.tries(WAY)) == 1, "a box that is left is not checked"
    panel.check()
    assert len(desk.work.tries(WAY)) == 2


def test_enter_waits_for_its_text_but_not_for_ever(desk, monkeypatch):
    panel, now = desk.ask(WAY), [0.0]
    monkeypatch.setattr(parts, "monotonic", lambda: now[0])
    panel.control.entry._handle_custom_msg({"event": "submit"}, [])
    assert not panel.status and not desk.work.tries(WAY)
    now[0] += 5
    panel.control.entry.value = "3.1"
    assert not desk.work.tries(WAY)


@pytest.mark.parametrize("written", ["", "abc", "3 15", "1.000,5", "<b>x"])
def test_what_cannot_be_read_is_said_and_is_no_try(desk, written):
    panel = desk.ask(WAY)
    give(panel, written)
    panel.check()
    assert "gl-fault" in panel.status and "no number" in plain(panel.status)
    assert "<b>" not in panel.status and not desk.work.tries(WAY)
    assert panel.control.entry.value == written


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
    panel.control.places[0].value = "sun"
    panel.check()
    assert 'the place "second" is empty' in plain(panel.status)


def test_a_row_may_be_empty(desk):
    panel = desk.ask("what is applied")
    panel.check()
    assert plain(panel.status) == "Not yet: 0 right, 0 too many, 2 missing."
    assert "last answer: none" in words(panel)


def test_a_prediction_is_kept_and_shown_later(desk):
    panel = desk.ask("which way")
    assert panel.check_button.description == "keep"
    give(panel, "backward")
    panel.check()
    assert plain(panel.status) == "Kept. Now turn it and see."
    panel.earlier.value = True
    later = Desk(small.LAB).ask("which way")
    for one in (panel, later):
        assert "● kept · 1 try · last answer: backward" in words(one)
        assert "right" not in words(one) and "not yet" not in words(one).lower()
        assert one.control.radio.value == "backward"


def test_an_explanation_counts_letters_and_hides_its_points(desk):
    panel = desk.ask("why one")
    assert "0 of 2000 letters" in words(panel)
    assert panel.check_button.description == "keep"
    give(panel, "x" * 2001)
    assert "2001 of 2000 letters" in words(panel)
    panel.check()
    assert "shorten it" in plain(panel.status) and not desk.work.tries("why one")
    give(panel, "The pins <move>.\nSo one.")
    panel.check()
    assert plain(panel.status) == "Kept for your instructor."
    everywhere = words(panel) + text(panel) + panel.control.area.value
    for point in desk.work.question("why one").points:
        assert point not in everywhere
    assert Desk(small.LAB).ask("why one").control.area.value.endswith("\nSo one.")


def test_the_earlier_answers_are_shown_on_request(desk):
    panel = desk.ask(WAY)
    assert panel.earlier.layout.display == "none"
    for answer in ("3,1", "1/3", str(ratio(desk))):
        give(panel, answer)
        panel.check()
    assert panel.earlier.layout.display != "none" and "<ol" not in panel._earlier.value
    panel.earlier.value = True
    assert "3,1 · not yet 1/3 · not yet" in plain(panel._earlier.value)
    give(panel, "7")
    panel.check()
    assert "7 · not yet" in plain(panel._earlier.value)
    panel.earlier.value = False
    assert not panel._earlier.value


def test_hints_come_one_by_one(desk):
    panel, question = desk.ask(WAY), desk.work.question(WAY)
    assert panel.hint_button.description == "hint 1 of 2"
    panel.hint()
    assert panel.hint_button.description == "hint 2 of 2"
    assert f"Hint 1: {question.hints[0]}" in words(panel)
    panel.hint()
    assert panel.hint_button.description == "no more hints" and not panel.status
    panel.hint()
    assert plain(panel.status) == "No more hints."
    give(panel, 3)
    panel.check()
    again = Desk(small.LAB).ask(WAY)
    assert all(f"Hint {n}: " in words(again) for n in (1, 2))
    assert again.hint_button.description == "no more hints"
    assert desk.ask("what is held").hint_button.layout.display == "none"


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
    give(panel, "B")
    panel.check()
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
        shown._complain("")


# Signing in -----------------------------------------------------------------------


def test_practice_says_that_nothing_is_kept(folder):
    desk = Desk(small.LAB)
    assert "Practice: nothing is kept." in words(desk)
    panel = desk.ask(WAY)
    give(panel, "3")
    panel.check()
    assert plain(panel.status).endswith("Not kept: sign in first.")
    assert not folder.exists()


def test_signing_in_renews_every_panel(desk):
    desk.sign_out()
    panels = [desk.ask(topic) for topic in small.FORMS]
    give(desk.ask(WAY), 7)
    asked, before = words(desk.ask(WAY)), desk.work.paper
    desk.ids.value, desk.form.value = "Bo; Ana", "C"
    desk._sign_in()
    assert desk.work.paper.given != before.given
    assert words(desk.ask(WAY)) != asked and desk.ask(WAY).control.entry.value == ""
    assert "Group: ana, bo, form C." in words(desk)
    assert str(desk.work.path) in words(desk) and "To hand in" in words(desk)
    assert "Run the cells with code below again." in plain(desk.status)
    assert desk.ids.value == "ana, bo" and [desk.ask(t) for t in small.FORMS] == panels


def test_enter_signs_in(desk):
    press_enter(desk.ids, "bo")
    assert desk.work.who == "bo, form A"


@pytest.mark.parametrize("ids", ["", " , ", "x" * 999, "a,b,c,d,e,f,g", "\0"])
def test_ids_that_cannot_be_used_are_said(desk, ids):
    panel = desk.ask(WAY)
    give(panel, "half wr")
    desk.sign_in(ids)
    assert "gl-fault" in desk.status and desk.work.who == "ana, form A"
    assert panel.control.entry.value == "half wr"
    desk.sign_in("bo")
    assert "gl-fault" not in desk.status


def test_a_restart_brings_everything_back(desk):
    for topic, answer in (*small.RIGHT.items(), (WAY, "2,5"), ("why one", "So.")):
        give(desk.ask(topic), answer)
        desk.ask(topic).check()
    desk.ask("which way")
    again = Desk(small.LAB)
    assert plain(again._questions.value) == plain(desk._questions.value)
    assert again.ids.value == "ana" and not again.status
    for topic in small.FORMS:
        assert again.ask(topic)._standing.value == desk.ask(topic)._standing.value
        if topic in small.RIGHT:
            assert "✓ right · 1 try" in words(again.ask(topic))
    assert again.ask(WAY).control.entry.value == "2,5"
    assert again.ask("which order").control.given == small.RIGHT["which order"]
    assert again.ask("what is applied").control.given == {
        "low brake",
        "forward clutch",
    }
    assert again.ask("where is the sun").control.given == "B"


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
        patch.setattr(sheetfile, "_replace", refuse)
        panel.check()
        assert plain(panel.status).startswith("✓ Right. It is not on the disk yet")
        desk.sign_in("bo")
        assert "could not be written" in plain(desk.status)
    desk.check("which order", small.WRONG["which order"])
    assert len(Desk(small.LAB).work.sheet.attempts) == 2


def test_a_damaged_sheet_is_said(desk):
    desk.check(WAY, 3)
    desk.work.path.write_text("{", encoding="utf-8")
    again = Desk(small.LAB)
    assert "gl-fault" in again.status and "damaged-1" in plain(again.status)
    assert f"{WAY}: {SIGNS['not tried']}" in words(again)


def test_an_answer_of_a_sheet_that_is_no_option_is_no_harm(desk):
    desk.check("what is held", "ring")
    text = desk.work.path.read_text(encoding="utf-8")
    text = text.replace('"answer": "ring"', '"answer": "<i>wheel"')
    desk.work.path.write_text(text, encoding="utf-8")
    panel = Desk(small.LAB).ask("what is held")
    assert panel.control.radio.value is None and "<i>" not in panel._standing.value
    give(panel, "ring")
    panel.check()
    assert plain(panel.status) == "✓ Right."


def test_markup_is_text_everywhere(desk):
    desk.sign_in(BAD_IDS)
    for topic in small.FORMS:
        panel = desk.ask(topic)
        panel.earlier.value = True
        if topic in ("why one", WAY):
            give(panel, "<img src=x onerror=y>")
            panel.check()
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


def test_an_answer_in_code_shows_its_words(desk):
    panel = desk.ask(WAY)
    verdict = desk.check(WAY, float(ratio(desk)))
    assert shown(verdict) == str(verdict) == "Right. One is added for the carrier."
    assert "✓ right · 1 try" in words(panel) and SIGNS["right"] in words(desk)
    assert desk.check("what is applied", "low brake", "forward clutch").right
    assert desk.check("which order", *small.RIGHT["which order"]).right


@pytest.mark.parametrize("given", [(3, 15), ((3, 15),)])
def test_a_comma_in_code_is_said(desk, given):
    assert 'write 3.15 or "3,15"' in shown(desk.check(WAY, *given))


@pytest.mark.parametrize("topic", small.FORMS)
def test_no_answer_in_code_is_said(desk, topic):
    assert shown(desk.check(topic)).startswith("No answer is given")
    assert not desk.work.tries(topic)


def test_a_wrong_name_in_code_is_said(desk):
    assert 'did you mean "what ratio"?' in shown(desk.check("what ration", 3))
    for topic in (None, 3, ["x"], ""):
        assert shown(desk.check(topic, 3)).startswith("There is no question")
    with pytest.raises(ValueError, match='did you mean "what ratio"'):
        desk.ask("what ration")


# The student's train --------------------------------------------------------------


def test_benches_follow_who_signs_in(desk):
    one, other = desk.bench(), desk.bench("carrier to ring", predict=True)
    assert isinstance(one, Bench) and one.state.train == desk.train
    before = desk.train
    desk.sign_in("somebody else", "B")
    assert desk.train != before
    for bench in (one, other):
        assert bench.state.train == desk.train and not bench.status
    assert other.state.range == "carrier to ring" and other.hidden
    one.set_teeth({"single": {"sun": 40}})
    one._teeth.named.value = one._teeth.named.options[0]
    assert one.state.train == desk.train, "the filed teeth are the student's"


def test_a_bench_with_other_parts_says_so(desk):
    bench = Bench(desk.train)
    from gearlab import load_train

    bench.take_train(load_train("five-range"))
    assert "has other parts" in plain(bench.status)
    assert bench.state.train == desk.train


# As text, and for everybody -------------------------------------------------------


def test_a_panel_is_also_words(desk):
    asked = desk.work.question(WAY)
    assert text(desk.ask(WAY)) == (
        f"Question 'what ratio' (ana, form A): {asked.text}"
        " Write a number, within 0.05 turns."
    )
    assert "Options: sun; ring; carrier & pins." in text(desk.ask("what is held"))
    desk.sign_out()
    assert text(desk.ask(WAY)).startswith(
        "Question 'what ratio' (practice paper): Sun "
    )
    assert text(desk).startswith(
        "Answer desk of 'A lab <for> trying' (practice paper)."
    )
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
            panel.control.entry.value = str(question.answer)
        elif question.answer is not None:
            give(panel, question.answer)
        panel.check()
        assert "gl-fault" not in panel.status or question.answer is None


def test_a_notebook_of_a_lab_runs_unanswered(folder):
    cells = [
        "from gearlab.panels import Desk\ndesk = Desk('turn-one-set')\ndesk",
        "desk.ask('first reduction')",
        "desk.check('first reduction', 3,15)",
        "desk.bench()",
    ]
    made = [nbformat.v4.new_code_cell(source) for source in cells]
    book = nbformat.v4.new_notebook(cells=made)
    NotebookClient(book, timeout=60, kernel_name="python3").execute()
    texts = [cell.outputs[0].data["text/plain"] for cell in book.cells]
    assert texts[0].startswith("Answer desk of 'Turn one set by hand' (practice paper)")
    assert texts[1].startswith("Question 'first reduction' (practice paper): Sun ")
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
