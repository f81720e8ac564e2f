"""Feedback on paper: what it tells of one's work, and that nothing of it is cut."""

import io
import re
import sys

import pytest
from answering import LAB, TOPICS, paper_of, right_answer, sheet_file, stand_in
from test_gradebook import ALL, CLASS, OTHER, slip_of
from test_handouts import HOSTILE, SMALL_TEXT, check_margins, files
from test_marking import fill_in

from gearlab.__main__ import main
from gearlab.handouts import blocks
from gearlab.handouts.blocks import Document
from gearlab.handouts.feedback import BESIDE, feedback, feedback_sheet, next_steps
from gearlab.handouts.papersize import PAPERS
from gearlab.handouts.printing import Printer
from gearlab.lab.mark import marking as marking_module
from gearlab.lab.mark.example import example_class
from gearlab.lab.mark.gradebook import gradebook
from gearlab.lab.mark.marking import mark_folder, write_ticks
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.question.question import Explanation
from gearlab.lab.sheet.classlist import Listed
from gearlab.lab.sheet.sheet import record
from gearlab.lab.suite.labs import LAB_NAMES, find_lab, notebook_of
from gearlab.lab.suite.walk_a_unit import on_unit
from gearlab.panels import Feedback
from gearlab.train.trainfile import read_train

SLIP = "the reciprocal"


@pytest.fixture
def small(monkeypatch):
    """The small lab stands in for the first of the suite."""
    stand_in(monkeypatch)


def graded_of(folder, student="ana", listed=CLASS, **options):
    book = gradebook(mark_folder(folder), listed, **options)
    (row,) = (one for one in book.rows if one.student.id == student)
    return row


def told(graded, **how):
    """All that the sheet tells, a line a text."""
    return "\n".join(blocks.texts(tuple(feedback_sheet(graded, **how))))


# What it tells ------------------------------------------------------------------------


def test_what_is_not_right_is_told_with_its_slip_and_the_way(small, tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", "99"), ("ratio", slip_of("ana"))])
    graded = graded_of(tmp_path)
    said, question = told(graded), paper_of("ana").asked["ratio"].question
    assert question.text in said and "Ratio (0 of 2)" in said
    assert f"{SLIP}. That is output turns for one input turn. Turn it over." in said
    assert all(hint in said for hint in question.hints)
    assert f"{slip_of('ana')}" in said
    assert "form A): 5 questions have no answer yet; do “ratio” again." in said
    assert notebook_of(LAB.name) in said


@pytest.mark.parametrize("answers", [False, True])
def test_right_answers_stand_in_it_only_where_they_are_wanted(small, answers, tmp_path):
    sheet_file(tmp_path, "ana", answers=[("way", "backward"), ("ratio", "99")])
    lines = told(graded_of(tmp_path), answers=answers).splitlines()
    key = str(right_answer(paper_of("ana"), "ratio"))
    assert ("forward" in lines, lines.count("Right is:")) == (answers, 2 * answers)
    assert any(f"({key})" in line for line in lines) == answers


def test_what_is_right_is_told_at_first_and_in_the_end(small, tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", slip_of("ana")), *ALL])
    said = told(graded_of(tmp_path))
    names = ("way", "row", "order")
    assert "Right at the first try:\n" in said
    assert all(f"“{name}”" in said for name in names)
    assert f"“ratio” (at first {SLIP})" in said
    assert "Predictions made, which have no marks:" in said
    assert "No answer yet" not in said and "The way:" not in said


def test_what_has_no_answer_is_named(small, tmp_path):
    sheet_file(tmp_path, "ana", answers=[("way", None)])
    graded = graded_of(tmp_path)
    left = [topic.name for topic in TOPICS if topic.name != "way"]
    assert list(graded.entries[0].row.left) == left
    assert all(f"“{name}”" in told(graded) for name in left)
    assert f"{len(left)} questions have no answer yet." in told(graded)


def test_the_ticks_of_an_explanation_are_told(small, tmp_path):
    folder = tmp_path / "sheets"
    sheet_file(folder, "ana", answers=[("why", "So it is.")])
    said = told(graded_of(folder))
    assert "Your instructor has not read it yet." in said and "Why (? of 3)" in said
    ticks = write_ticks(mark_folder(folder), tmp_path / "t.csv")
    fill_in(ticks, {"ana": ("x", "0", "x")})
    book = gradebook(mark_folder(folder, ticks=ticks), CLASS)
    said = told(book.rows[0])
    assert "Why (2 of 3)" in said and "So it is." in said
    assert "held\nyes\nrolls\nnot yet\none more\nyes" in said


def test_a_group_s_sheet_names_the_others(small, tmp_path):
    sheet_file(tmp_path, "ana", "bob", "x", answers=ALL)
    called = {one.id: one.name for one in CLASS}
    said = told(graded_of(tmp_path), called=called)
    assert "Bob Name and x.\nHanded in together with:" in said


def test_what_to_do_next(small, tmp_path):
    steps = list(next_steps(graded_of(tmp_path, labs=[LAB.name, OTHER])))
    assert len(steps) == 2 and all(step.startswith("Hand in “") for step in steps)
    sheet_file(tmp_path, "ana", form="B", answers=ALL)
    (step,) = next_steps(graded_of(tmp_path, form="A"))
    assert "another form than you were given" in step
    (step,) = next_steps(graded_of(tmp_path, form="B"))
    assert step.startswith("All is right. Go on with")
    everything = [name for name in LAB_NAMES if name != LAB.name]
    missing = next_steps(graded_of(tmp_path, form="B", labs=LAB_NAMES))
    assert len(missing) == len(everything)


def test_sheets_that_disagree_are_for_the_instructor(small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("way", None)])
    path.rename(tmp_path / "0.json")
    sheet_file(tmp_path, "ana", answers=[("way", "backward")])
    (step,) = next_steps(graded_of(tmp_path))
    assert "Ask your instructor" in step and "disagree" in step


def test_one_slip_again_and_again_is_told(tmp_path):
    paper = draw_paper(find_lab("turn-one-set"), ("ana",))
    for name, asked in paper.asked.items():
        for slip in asked.question.slips[:1]:
            record(paper, name, slip.answer, folder=tmp_path)
    steps = next_steps(graded_of(tmp_path))
    assert any(re.match(rf"In \d questions .*: {SLIP}\.", step) for step in steps)


@pytest.mark.parametrize(
    ("lab", "question", "beside"),
    [
        ("know-the-unit", "drum of a brake", True),
        ("know-the-unit", "first count", False),
        ("find-the-fault", "find the fault", True),
    ],
)
def test_where_something_is_shown_beside_a_question_that_is_said(
    lab, question, beside, tmp_path
):
    paper = draw_paper(find_lab(lab), ("ana",))
    slip = paper.asked[question].question.slips[0]
    record(paper, question, slip.answer, folder=tmp_path)
    said = told(graded_of(tmp_path)).splitlines()
    assert (BESIDE in said) == beside
    assert paper.asked[question].question.text in said


# What is on the pages -----------------------------------------------------------------


def test_all_wrong_in_any_lab_stays_within_the_margins(tmp_path):
    """Every question of every lab, and of a train file, with the longest of names."""
    labs = [find_lab(name) for name in LAB_NAMES]
    for lab in (*labs, on_unit(read_train(SMALL_TEXT))):
        paper = draw_paper(lab, ("w" * 60,), "A" if lab in labs else "B")
        for name, asked in paper.asked.items():
            question = asked.question
            text = isinstance(question, Explanation)
            slips = [slip.answer for slip in question.slips]
            given = "W" * 2000 if text else (slips or [question.answer])[0]
            record(paper, name, given, folder=tmp_path)
    listed = [Listed(id="w" * 60, name="W" * 100, group="W" * 60)]
    marking = mark_folder(tmp_path)
    assert len(marking.rows) == len(labs) + 1
    printer = Printer()
    for form in "AB":
        (graded,) = gradebook(marking, listed, form=form).rows
        for paper in PAPERS:
            sheet = tuple(feedback_sheet(graded, answers=True))
            document = Document(title="x", blocks=sheet, foot=HOSTILE, paper=paper)
            assert printer.pdf(document).startswith(b"%PDF")
            check_margins(printer.pages(document, 40), 40)


def test_a_folder_has_a_sheet_for_everybody_that_can_be_searched(tmp_path):
    from pypdf import PdfReader

    folder, listed = example_class(tmp_path)
    lines = listed.read_text(encoding="utf-8-sig").replace("Ana", f'"{HOSTILE[:40]}"')
    listed.write_text(lines.replace('"q"', ""), encoding="utf-8")
    out, words = tmp_path / "out", ["mark", folder, "--class", listed, "--feedback"]
    words = [str(word) for word in (*words, out, "--paper", "letter")]
    assert main(words) == 0
    made = files(out)
    assert sorted(name.split("_")[1] for name in made) == ["s01", "s02", "s03", "s04"]
    for name, data in made.items():
        reader = PdfReader(io.BytesIO(data))
        text = " ".join(page.extract_text() for page in reader.pages)
        assert name.split("_")[1] in text and "What to do next" in text
        assert reader.metadata.title.startswith("Feedback: ")
        assert round(reader.pages[0].mediabox.height) == 792
        assert len(reader.pages) <= 3
    assert main(words) == 2
    assert files(out) == made
    assert main([*words, "--replace"]) == 0
    assert files(tmp_path / "out (old)") == made == files(out)


def test_what_keeps_it_from_being_written_is_said_before_anything_is_marked(
    tmp_path, monkeypatch, capsys
):
    folder, listed = example_class(tmp_path)
    (tmp_path / "there").mkdir()

    def never(*_, **__):
        raise AssertionError("it was marked")

    monkeypatch.setattr(marking_module, "mark_folder", never)
    for rest, said in (
        (["--class", listed, "--feedback", tmp_path / "there"], "is there already"),
        (["--class", listed, "--feedback", tmp_path / "no" / "x"], "make that first"),
        (["--feedback", tmp_path / "new"], "without a class list"),
    ):
        assert main(["mark", str(folder), *map(str, rest)]) == 2
        error = capsys.readouterr().err
        assert said in error and error.count("\n") == 1
    monkeypatch.setitem(sys.modules, "typst", None)
    words = ["mark", folder, "--class", listed, "--feedback", tmp_path / "new"]
    assert main([str(word) for word in words]) == 2
    error = capsys.readouterr().err
    assert "python -m pip install" in error and error.count("\n") == 1
    assert not (tmp_path / "new").exists()


def test_the_form_writes_it_with_a_press_and_overwrites_nothing(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folder, _ = example_class(tmp_path)
    book = gradebook(mark_folder(folder), [Listed(id="s03", name="Cem")])
    form = Feedback(book, "sheets")
    form.box.values = ["sheets", "letter", "yes"]
    form.box.press(button="write")
    (made,) = (tmp_path / "sheets").iterdir()
    assert "Written" in form.box.status and form._bar.value == form._bar.max == 1
    before = made.read_bytes()
    assert before == feedback_bytes(book, tmp_path, "letter")
    form.box.press(button="write")
    assert "is there already" in form.box.status and made.read_bytes() == before
    monkeypatch.setitem(sys.modules, "typst", None)
    form.box.values = ["more", "a4", ""]
    form.box.press(button="write")
    assert "pip install" in form.box.status and not (tmp_path / "more").exists()


def feedback_bytes(book, folder, paper):
    out = feedback(book, folder / "again", paper=paper, answers=True)
    (one,) = out.iterdir()
    return one.read_bytes()
