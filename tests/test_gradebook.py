"""A class in a gradebook: everybody is there, and what is odd is told apart."""

import csv
import io
import sys
from dataclasses import replace
from datetime import datetime
from fractions import Fraction
from time import process_time

import pytest
from answering import LAB, TOPICS, changed, paper_of, right_answer, sheet_file, stand_in
from scene_checks import CHECKS
from test_marking import fill_in

from gearlab.draw import save
from gearlab.draw.kit.shapes import text_boxes
from gearlab.lab.mark import gradebook as gradebook_module
from gearlab.lab.mark import marking as marking_module
from gearlab.lab.mark.example import example_class
from gearlab.lab.mark.gradebook import gradebook
from gearlab.lab.mark.gradefile import SEPARATORS, write_gradebook
from gearlab.lab.mark.marking import Marking, mark_folder, write_ticks
from gearlab.lab.mark.notes import last_answer
from gearlab.lab.mark.problems import (
    COPY,
    EDITED,
    MISSING_ID,
    NO_SHEET,
    ONE_NAME,
    OTHER_FORM,
    OTHER_LAB,
    OTHER_VERSION,
    UNKNOWN_ID,
)
from gearlab.lab.mark.staffroom import MOST_STUDENTS, draw_gradebook
from gearlab.lab.mark.workbook import workbook_bytes
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.answers import AnswerSheet, Attempt
from gearlab.lab.sheet.classlist import Listed, read_class_list
from gearlab.lab.sheet.handin import one_file
from gearlab.lab.sheet.sheet import record
from gearlab.lab.suite.labs import LAB_NAMES, find_lab

OTHER = "count-the-teeth"
ALL = [(topic.name, None) for topic in TOPICS]
CLASS = tuple(
    Listed(id=name.casefold(), name=f"{name} Name", group=group)
    for name, group in (("Ana", "red"), ("Bob", "red"), ("Eve", "blue"))
)


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """The small lab stands in for the first of the suite."""
    stand_in(monkeypatch)


def book_of(folder, listed=CLASS, **options):
    return gradebook(mark_folder(folder), listed, **options)


def row_of(book, student):
    (row,) = (one for one in book.rows if one.student.id == student)
    return row


def entry_of(book, student, lab=LAB.name):
    (entry,) = (one for one in row_of(book, student).entries if one.lab.name == lab)
    return entry


def kinds(book):
    return [problem.kind for problem in book.problems]


def slip_of(student):
    """The reciprocal of the answer."""
    return 1 / right_answer(paper_of(student), "ratio")


# Rows and columns ---------------------------------------------------------------------


def test_everybody_of_the_class_list_has_a_row(tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", "99"), *ALL])
    sheet_file(tmp_path, "bob", answers=[("way", None)])
    book = book_of(tmp_path)
    assert [row.student for row in book.rows] == list(CLASS)
    ana, bob, eve = (row.entries[0] for row in book.rows)
    assert (ana.state, ana.best, ana.first, ana.waiting) == ("done", 5, 3, 1)
    assert (bob.state, bob.best, bob.first, bob.waiting) == ("begun", 1, 1, 0)
    assert (eve.state, eve.best, eve.last, eve.row) == ("not handed in", 0, "", None)
    assert [row.handed_in for row in book.rows] == [1, 1, 0]
    assert (book.full, book.full_explained, book.problems) == (5, 3, ())


def test_a_lab_that_was_not_set_is_no_column(tmp_path):
    sheet_file(tmp_path, "ana", answers=[("way", None)])
    assert [lab.name for lab in book_of(tmp_path).labs] == [LAB.name]
    book = book_of(tmp_path, labs=[OTHER, LAB.name, OTHER])
    assert [lab.name for lab in book.labs] == [LAB.name, OTHER]
    assert entry_of(book, "ana", OTHER).state == "not handed in"
    assert book_of(tmp_path, labs=[]).labs == ()


def test_a_folder_with_nothing_in_it_still_has_the_class(tmp_path):
    book = book_of(tmp_path, labs=[LAB.name])
    assert {row.entries[0].state for row in book.rows} == {"not handed in"}
    assert [need.words for need in book.needs] == [
        f"{one.name}: nothing handed in." for one in CLASS
    ]
    assert book_of(tmp_path).labs == ()
    assert book_of(tmp_path).needs == ()


def test_a_group_s_sheet_is_each_one_s(tmp_path):
    sheet_file(tmp_path, "ana", "bob", answers=ALL)
    sheet_file(tmp_path, "bob", answers=[("way", None)])
    book = book_of(tmp_path)
    assert [row.entries[0].best for row in book.rows] == [5, 5, 0]
    ratio = next(one for one in book.questions if one.question == "ratio")
    assert (ratio.sheets, ratio.right) == (1, 1)


def test_without_a_form_the_best_of_the_forms_counts(tmp_path):
    sheet_file(tmp_path, "ana", form="A", answers=[("way", None)])
    sheet_file(tmp_path, "ana", form="B", answers=ALL)
    book = book_of(tmp_path)
    assert (entry_of(book, "ana").best, entry_of(book, "ana").row.form) == (5, "B")
    assert book.problems == ()


def test_explanations_are_those_that_were_ticked(tmp_path):
    folder = tmp_path / "sheets"
    for who in ("ana", "bob"):
        sheet_file(folder, who, answers=[("why", f"So, {who}.")])
    ticks = write_ticks(mark_folder(folder), tmp_path / "t.csv")
    fill_in(ticks, {"ana": ("x", "x", "0")})
    book = gradebook(mark_folder(folder, ticks=ticks), CLASS)
    assert (entry_of(book, "ana").explained, row_of(book, "ana").explained) == (2, 2)
    assert entry_of(book, "bob").waiting == 1
    why = next(one for one in book.questions if one.question == "why")
    assert (why.points, why.right, why.answered) == (Fraction(2, 3), None, 2)


def test_the_time_is_that_of_the_last_answer(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("way", None), ("ratio", None)])

    def timed(data):
        for attempt, hour in zip(data["attempts"], (14, 9), strict=True):
            attempt["when"] = f"2031-05-17T{hour:02}:30:00+00:00"

    changed(path, timed)
    wanted = datetime.fromisoformat("2031-05-17T14:30:00+00:00").astimezone()
    found = entry_of(book_of(tmp_path), "ana").last
    assert found == wanted.strftime("%Y-%m-%d %H:%M")


@pytest.mark.parametrize("when", ["", "soon", "9" * 100, "0001-01-01T00:00:00+14:00"])
def test_a_time_that_is_none_is_left_away(when):
    one = Attempt(id="1", question="way", answer="forward", when=when)
    sheet = AnswerSheet(students=("ana",), lab=LAB.name, form="A", attempts=(one,))
    assert last_answer(sheet) == ""
    assert last_answer(replace(sheet, attempts=())) == ""


# What is odd --------------------------------------------------------------------------


def only_problem(book, kind, *words):
    (problem,) = book.problems
    assert problem.kind == kind
    for word in words:
        assert word in problem.words
    assert "\n" not in problem.words and problem.words.endswith(".")
    return problem


def test_a_copy_is_no_second_hand_in(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    one_file(("ana",), folder=tmp_path)
    book = book_of(tmp_path)
    only_problem(book, COPY, path.name, "handed in twice")
    assert entry_of(book, "ana").best == 5


def test_sheets_that_disagree_are_for_the_instructor_to_decide(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    changed(path, lambda data: data["attempts"][1].update(answer="99"))
    path.rename(tmp_path / "0.json")
    sheet_file(tmp_path, "ana", answers=ALL)
    book = book_of(tmp_path)
    only_problem(book, ONE_NAME, "0.json", "find out which one is theirs")
    entry = entry_of(book, "ana")
    assert (entry.state, entry.best, entry.row) == ("which one counts?", 0, None)


def test_an_edited_sheet_is_told(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    changed(path, lambda d: d["questions"]["ratio"]["given"].update(sun=1))
    book = book_of(tmp_path)
    problem = only_problem(book, EDITED, "“ratio”", "edited", "“ana”")
    assert problem.students == ("ana",)
    assert problem.files == (path.name,)
    assert entry_of(book, "ana").best == 3


def test_a_question_of_an_unknown_version_is_told(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    changed(path, lambda data: data["questions"]["ratio"].update(revision=9))
    only_problem(book_of(tmp_path), OTHER_VERSION, "“ratio”")


def test_an_unknown_id_is_told_with_the_one_that_may_be_meant(tmp_path):
    listed = (*CLASS, Listed(id="ana lima", name="Ana Lima"))
    sheet_file(tmp_path, "ana lma", answers=ALL)
    sheet_file(tmp_path, "zzzz", answers=ALL)
    sheet_file(tmp_path, "bob", answers=ALL)
    book = book_of(tmp_path, listed)
    assert kinds(book) == [UNKNOWN_ID] * 2
    assert "“ana lima” may be meant" in book.problems[0].words
    assert "meant" not in book.problems[1].words
    assert all("not in the class list" in one.words for one in book.problems)
    assert {row.student.id for row in book.rows if row.handed_in} == {"bob"}


def test_who_handed_in_the_same_lab_is_not_meant(tmp_path):
    for who in ("s17", "s18"):
        sheet_file(tmp_path, who, answers=ALL)
    listed = [Listed(id="s17", name="s17")]
    only_problem(book_of(tmp_path, listed), UNKNOWN_ID, "json); put the id")


def test_an_unknown_id_is_told_once_whatever_was_handed_in(tmp_path):
    for lab in ("count-the-teeth", "read-the-lever"):
        paper = draw_paper(find_lab(lab), ("stranger",))
        name = next(iter(paper.asked))
        record(paper, name, right_answer(paper, name), folder=tmp_path)
    problem = only_problem(book_of(tmp_path), UNKNOWN_ID, "handed in 2 labs")
    assert len(problem.files) == 2


def test_a_partner_who_is_not_in_the_list_takes_nothing_away(tmp_path):
    sheet_file(tmp_path, "ana", "stranger", answers=ALL)
    book = book_of(tmp_path)
    only_problem(book, UNKNOWN_ID, "“stranger”")
    assert entry_of(book, "ana").best == 5


@pytest.mark.parametrize("ids", [[], [""], [" "], None, ""])
def test_a_sheet_without_an_id_is_told(ids, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    changed(path, lambda data: data.update(students=ids))
    book = book_of(tmp_path, labs=[LAB.name])
    only_problem(book, MISSING_ID, path.name, "names no student")


@pytest.mark.parametrize("ids", [[3], {"ana": 1}, "ana", 3])
def test_ids_that_are_none_are_no_missing_id(ids, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=ALL)
    changed(path, lambda data: data.update(students=ids))
    only_problem(book_of(tmp_path), NO_SHEET, path.name, "unreadable")


@pytest.mark.parametrize("where", ["list", "option"])
def test_another_form_does_not_count(where, tmp_path):
    sheet_file(tmp_path, "ana", form="B", answers=ALL)
    listed, options = CLASS, {"form": "A"}
    if where == "list":
        listed, options = [replace(one, form="A") for one in CLASS], {"form": "B"}
    book = book_of(tmp_path, listed, **options)
    only_problem(book, OTHER_FORM, "“ana” handed in form B of Turn it", "form A was")
    entry = entry_of(book, "ana")
    assert (entry.state, entry.best) == ("another form", 0)
    sheet_file(tmp_path, "ana", form="A", answers=[("way", None)])
    assert entry_of(book_of(tmp_path, listed, **options), "ana").best == 1


def test_a_lab_that_was_not_set_is_told(tmp_path):
    sheet_file(tmp_path, "ana", answers=ALL)
    book = book_of(tmp_path, labs=[OTHER])
    only_problem(book, OTHER_LAB, "“Turn it” was not set", "“ana”")


def test_what_is_no_sheet_is_told(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"x")
    only_problem(book_of(tmp_path), NO_SHEET, "photo.jpg", "it is no .json file")


def test_what_must_be_decided_comes_first(tmp_path):
    (tmp_path / "photo.jpg").write_bytes(b"x")
    path = sheet_file(tmp_path, "ana", answers=ALL)
    (tmp_path / "copy.json").write_bytes(path.read_bytes())
    sheet_file(tmp_path, "nobody", answers=ALL)
    bad = sheet_file(tmp_path, "bob", answers=ALL)
    changed(bad, lambda d: d["questions"]["ratio"]["given"].update(sun=1))
    assert kinds(book_of(tmp_path)) == [EDITED, UNKNOWN_ID, NO_SHEET, COPY]


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"labs": ["turn-one-sets"]}, "did you mean"),
        ({"labs": [3]}, "no lab 3"),
        ({"form": "Z"}, "no form"),
        ({"form": ["A"]}, "no form"),
    ],
)
def test_no_such_lab_or_form_is_one_sentence(options, said, tmp_path):
    with pytest.raises(ValueError, match=said):
        book_of(tmp_path, **options)


def test_no_marking_is_one_sentence(tmp_path):
    with pytest.raises(ValueError, match="a marking belongs here"):
        gradebook(str(tmp_path), CLASS)


# Questions and help -------------------------------------------------------------------


def test_a_question_has_its_commonest_slip_by_name(tmp_path):
    for who in ("ana", "bob"):
        sheet_file(tmp_path, who, answers=[("ratio", slip_of(who))])
    sheet_file(tmp_path, "bob", answers=[("ratio", None)])
    lost = -right_answer(paper_of("eve"), "ratio")
    sheet_file(tmp_path, "eve", answers=[("ratio", lost), ("way", None)])
    ratio, way = book_of(tmp_path).questions
    assert (ratio.question, ratio.title, ratio.sheets) == ("ratio", LAB.title, 3)
    assert (ratio.answered, ratio.first, ratio.right) == (3, 0, 1)
    assert (ratio.slip, ratio.slips) == ("the reciprocal", 2)
    assert (way.answered, way.right, way.slip) == (1, 1, "")


def test_questions_come_in_the_order_of_the_lab(tmp_path):
    sheet_file(tmp_path, "ana", answers=ALL)
    found = [one.question for one in book_of(tmp_path).questions]
    assert found == [topic.name for topic in TOPICS]


def test_who_needs_help_and_with_what(tmp_path):
    sheet_file(tmp_path, "ana", answers=ALL)
    wrong = [("ratio", slip_of("bob")), ("way", "backward")]
    sheet_file(tmp_path, "bob", answers=[*wrong, ("row", None), ("order", None)])
    eve, bob = book_of(tmp_path).needs
    assert (eve.student.id, eve.missing) == ("eve", (LAB.title,))
    assert (bob.student.id, bob.lost) == ("bob", Fraction(3, 5))
    assert bob.wrong == (
        (LAB.title, "ratio", "the reciprocal"),
        (LAB.title, "way", ""),
    )
    assert bob.words == (
        "Bob Name: not right: “ratio” in Turn it (the reciprocal) and “way” in Turn it."
    )
    assert eve.words == "Eve Name: nothing handed in."


def test_a_slip_made_again_and_again_is_told_though_all_is_right(monkeypatch, tmp_path):
    topics = tuple(replace(TOPICS[1], name=name) for name in ("one", "two", "three"))
    lab = replace(LAB, topics=topics)
    for module in (marking_module, gradebook_module):
        monkeypatch.setattr(module, "find_lab", lambda name: lab)
    paper = paper_of("ana", lab=lab)
    for topic in topics:
        for answer in (1 / right_answer(paper, topic.name), None):
            answers = [(topic.name, answer)]
            sheet_file(tmp_path, "ana", lab=lab, answers=answers)
    (need,) = book_of(tmp_path, CLASS[:1]).needs
    assert (need.habits, need.wrong, need.lost) == ((("the reciprocal", 3),), (), 0)
    assert "again and again: the reciprocal (3 questions)" in need.words


# Files --------------------------------------------------------------------------------

HOSTILE = ('=cmd|"/c"!A1', "+49", "-b", "@x", "a\x1b[2J", "=1+1")


def hostile_class():
    return [Listed(id=f"s{n}", name=text) for n, text in enumerate(HOSTILE)]


@pytest.mark.parametrize("separator", SEPARATORS)
@pytest.mark.parametrize("mark", [True, False])
def test_a_csv_opens_in_any_country_and_runs_no_formula(separator, mark, tmp_path):
    sheet_file(tmp_path, "s1", answers=ALL)
    book = book_of(tmp_path, hostile_class())
    path = tmp_path / "book.csv"
    for _ in range(2):  # a gradebook is written over by the next one
        write_gradebook(book, path, separator=separator, byte_order_mark=mark)
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf") == mark
    text = data.decode("utf-8-sig")
    rows = list(csv.reader(io.StringIO(text), delimiter=SEPARATORS[separator]))
    assert len(rows) == len(HOSTILE) + 1
    assert len({len(row) for row in rows}) == 1
    cells = [cell for row in rows for cell in row]
    assert not any(cell.lstrip()[:1] in tuple("=+-@") for cell in cells if cell)
    assert all(cell.isprintable() for cell in cells)
    head = dict(zip(rows[0], rows[2], strict=True))
    assert (head["id"], head["name"], head["best tries"]) == ("s1", "'+49", "5")
    assert head["Turn it: state"] == "done"
    assert head["Turn it: best of 5"] == "5"
    assert head["Turn it: explanations of 3"] == "to be ticked"


def test_thirds_have_the_comma_of_the_countries_with_semicolons(monkeypatch, tmp_path):
    lab = replace(LAB, topics=(replace(TOPICS[5], marks=2),))
    for module in (marking_module, gradebook_module):
        monkeypatch.setattr(module, "find_lab", lambda name: lab)
    folder = tmp_path / "sheets"
    sheet_file(folder, "ana", lab=lab, answers=[("why", "So.")])
    ticks = write_ticks(mark_folder(folder), tmp_path / "t.csv")
    fill_in(ticks, {"ana": ("x", "x", "0")})
    book = gradebook(mark_folder(folder, ticks=ticks), CLASS)
    for separator, wanted in (("comma", "1.33"), ("semicolon", "1,33")):
        path = write_gradebook(book, tmp_path / "b.csv", separator=separator)
        text = path.read_text(encoding="utf-8-sig")
        rows = list(csv.reader(io.StringIO(text), delimiter=SEPARATORS[separator]))
        assert rows[1][rows[0].index("explanations")] == wanted


def test_a_workbook_has_a_page_for_each_table(tmp_path):
    openpyxl = pytest.importorskip("openpyxl")
    sheet_file(tmp_path, "s1", answers=[("ratio", slip_of("s1")), ("way", None)])
    listed = [*hostile_class(), Listed(id="0017", name="Zoë")]
    path = tmp_path / "book.xlsx"
    for _ in range(2):
        write_gradebook(book_of(tmp_path, listed), path)
    pages = openpyxl.load_workbook(path)
    assert pages.sheetnames == [
        "Best tries", "First tries", "Explanations", "Last answers", "Questions",
        "Help", "To look at",
    ]  # fmt: skip
    rows = list(pages["Best tries"].iter_rows())
    assert [cell.value for cell in rows[0]][-1] == "Turn it (of 5)"
    assert [cell.value for cell in rows[2]] == ["s1", "+49", None, None, 1]
    assert [cell.value for cell in rows[7]][:2] == ["0017", "Zoë"]
    assert rows[1][4].value == "not handed in"
    types = {cell.data_type for page in pages for row in page for cell in row}
    assert types == {"s", "n"}
    questions = [[cell.value for cell in row] for row in pages["Questions"]]
    assert questions[1][:2] == ["Turn it", "ratio"]
    assert "the reciprocal" in questions[1]


def test_without_openpyxl_one_sentence_says_what_to_install(monkeypatch, tmp_path):
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(ValueError, match="pip install") as error:
        write_gradebook(book_of(tmp_path), tmp_path / "b.xlsx")
    assert "\n" not in str(error.value)
    assert not (tmp_path / "b.xlsx").exists()


@pytest.mark.parametrize("name", ["b.doc", "b", "", "b.csv.txt", "x/b.csv", "x/b.xlsx"])
def test_a_file_that_cannot_be_one_sentence(name, tmp_path):
    with pytest.raises(ValueError) as error:
        write_gradebook(book_of(tmp_path), tmp_path / name)
    assert "\n" not in str(error.value)
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("name", ["b.csv", "b.xlsx"])
def test_what_is_no_gradebook_is_left_as_it_is(name, tmp_path):
    (tmp_path / name).write_bytes(b"id,my own\n")
    with pytest.raises(ValueError, match="is no gradebook"):
        write_gradebook(book_of(tmp_path), tmp_path / name)
    assert (tmp_path / name).read_bytes() == b"id,my own\n"
    other = tmp_path / "other.xlsx"
    other.write_bytes(workbook_bytes({"Mine": [["a"]]}))
    with pytest.raises(ValueError, match="is no gradebook"):
        write_gradebook(book_of(tmp_path), other)


# Words --------------------------------------------------------------------------------


def test_the_book_in_words(tmp_path):
    sheet_file(tmp_path, "ana", answers=ALL)
    sheet_file(tmp_path, "bob", answers=[("ratio", slip_of("bob"))])
    (tmp_path / "x\x1b[2J.txt").write_text("", encoding="utf-8")
    book = book_of(tmp_path)
    lines = str(book).splitlines()
    assert lines[0] == (
        "Students in the class list: 3. Labs that were set: 1. Students who handed in"
        " at least one: 2, nothing: 1."
    )
    assert lines[2].split() == ["ana", "Ana", "Name", "5", "5", "5"]
    assert lines[4].split() == ["eve", "Eve", "Name", "–", "0", "5"]
    assert "Help: Eve Name: nothing handed in." in lines
    assert any(
        line.startswith("Hard: “ratio” in Turn it: right on 1 of 2") for line in lines
    )
    assert any(line.startswith("Look: no sheet: x\\x1b[2J.txt") for line in lines)
    assert all(line.isprintable() for line in lines)
    assert repr(book) == "<Gradebook: 3 students, 1 labs>"
    assert "<script" not in book._repr_mimebundle_()["text/html"]


def test_what_people_write_is_escaped_in_a_notebook(tmp_path):
    book = book_of(tmp_path, [Listed(id="x", name="<script>")], labs=[LAB.name])
    page = book._repr_mimebundle_()["text/html"]
    assert "<script" not in page and "&lt;script&gt;" in page


# The picture --------------------------------------------------------------------------


def a_class(folder, count=4):
    names = [f"s{n:02}" for n in range(count)]
    for n, who in enumerate(names[1:]):
        sheet_file(folder, who, answers=ALL[: 1 + n % len(ALL)])
    return [
        Listed(id=who, name=f"Student <{who}> of quite a long name", group="ab"[n % 2])
        for n, who in enumerate(names)
    ]


@pytest.mark.parametrize("rows", ["students", "questions"])
@pytest.mark.parametrize("context", ["screen", "projector", "print"])
def test_a_picture_is_sound(rows, context, tmp_path):
    listed = a_class(tmp_path)
    sheet_file(tmp_path, "s01", answers=[("ratio", slip_of("s01"))])
    book = book_of(tmp_path, listed, labs=[LAB.name, OTHER])
    scene = draw_gradebook(book, rows=rows, context=context)
    assert not [fault for check in CHECKS for fault in check(scene)]
    words = " ".join(text for text, _ in text_boxes(scene))
    assert ("not handed" in words) == (rows == "students")
    assert save(scene, tmp_path / "x.svg").stat().st_size > 1000


def test_a_picture_tells_its_numbers(tmp_path):
    listed = a_class(tmp_path, 3)
    alt = draw_gradebook(book_of(tmp_path, listed)).alt
    assert "Student <s00> of quite a long name: Turn it not handed in." in alt
    assert "Student <s02> of quite a long name: Turn it 2 of 5." in alt


def test_no_name_and_no_place_tells_who_it_is(tmp_path):
    book = book_of(tmp_path, a_class(tmp_path))
    scene = draw_gradebook(book, names=False)
    texts = [text for text, _ in text_boxes(scene)] + [scene.alt]
    assert not any(one.student.id in text for text in texts for one in book.rows)
    assert not any("Student <" in text for text in texts)
    marks = [row.best for row in sorted(book.rows, key=lambda row: -row.best)]
    told = [f"{n}: Turn it {mark} of 5" for n, mark in enumerate(marks[:-1], start=1)]
    assert all(one in scene.alt for one in told)


def test_a_group_alone_is_drawn(tmp_path):
    scene = draw_gradebook(book_of(tmp_path, a_class(tmp_path)), group="a")
    assert "<s02>" in scene.alt and "<s01>" not in scene.alt


@pytest.mark.parametrize(
    ("options", "said"),
    [
        ({"rows": "student"}, "did you mean"),
        ({"group": "c"}, "no group"),
        ({"context": "wall"}, "no context"),
    ],
)
def test_a_picture_of_what_is_not_there_is_one_sentence(options, said, tmp_path):
    book = book_of(tmp_path, a_class(tmp_path))
    with pytest.raises(ValueError, match=said):
        draw_gradebook(book, **options)


def test_too_many_for_one_page_or_no_lab_is_one_sentence():
    many = [Listed(id=str(n), name=str(n)) for n in range(MOST_STUDENTS + 1)]
    book = gradebook(Marking(rows=()), many, labs=[LAB.name])
    with pytest.raises(ValueError, match=f"{MOST_STUDENTS} are the most"):
        draw_gradebook(book)
    with pytest.raises(ValueError, match="has no lab"):
        draw_gradebook(gradebook(Marking(rows=()), many))


# A class to try it on -----------------------------------------------------------------


def test_the_class_that_is_made_up_shows_what_a_gradebook_can(tmp_path, monkeypatch):
    for module in (marking_module, gradebook_module):
        monkeypatch.setattr(module, "find_lab", find_lab)
    folder, listed = example_class(tmp_path)
    book = book_of(folder, read_class_list(listed))
    assert [row.student.name for row in book.rows] == ["Ana", "Bo", "Cem", "Dua"]
    ana, bo, cem, dua = (row.entries[0] for row in book.rows)
    assert ana.first == ana.best == bo.best == ana.lab.full
    assert bo.first < bo.best > cem.best
    assert (dua.state, book.problems) == ("not handed in", ())
    assert {need.student.name for need in book.needs} == {"Bo", "Cem", "Dua"}
    assert any(one.slip for one in book.questions)


# Size ---------------------------------------------------------------------------------


def test_a_thousand_students_are_put_together_in_linear_time(tmp_path):
    """What is made of the marking, whose own time is that of its keys."""
    paper = draw_paper(LAB, ("s0",))
    for name in paper.asked:
        record(paper, name, right_answer(paper, name), folder=tmp_path)
    (row,) = mark_folder(tmp_path).rows
    spent = []
    for count in (500, 1000):
        listed = [Listed(id=f"s{n}", name=f"Name {n}") for n in range(count)]
        rows = tuple(
            replace(row, students=(one.id,), lab=lab, files=(f"{one.id}.json",))
            for one in listed
            for lab in LAB_NAMES
        )
        start = process_time()
        book = gradebook(Marking(rows=rows), listed, form="B")
        write_gradebook(book, tmp_path / "b.csv")
        assert len(str(book)) < 500_000
        spent.append(process_time() - start)
        assert len(book.problems) == count
    assert spent[1] < 10
    assert spent[1] < 4 * spent[0] + 1
    assert not any(graded.handed_in for graded in book.rows)
