"""Where every lab stands, in words and on a page."""

import re
from csv import DictReader
from dataclasses import replace
from io import StringIO

import pytest
from answering import LAB, TOPICS, changed, sheet_file

from gearlab.draw import save
from gearlab.draw.kit.shapes import text_boxes
from gearlab.lab.mark import marking as marking_module
from gearlab.lab.mark import progress as progress_module
from gearlab.lab.mark.marking import Marking, mark_sheet, to_csv
from gearlab.lab.mark.progress import Standing, progress, summary_text, totals
from gearlab.lab.mark.summary import draw_summary
from gearlab.lab.question.papers import full_marks
from gearlab.lab.sheet.sheet import read_sheet
from gearlab.lab.sheet.told import marks_told
from gearlab.lab.sheet.work import Work
from gearlab.lab.suite.labs import LAB_NAMES, find_lab

STATES = ("not begun", "begun", "done", "cannot be read")
LONG = "Know the unit, its drums, first range and first low"


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """The small lab stands in for the first of the suite."""
    for module in (marking_module, progress_module):
        monkeypatch.setattr(
            module, "find_lab", lambda name: LAB if name == LAB.name else find_lab(name)
        )


def standing(folder, *students, **options):
    """Where the small lab stands, and that nothing else has begun."""
    first, *others = progress(students, folder=folder, **options)
    assert {one.state for one in others} <= {"not begun"}
    return first


def test_nothing_is_begun_at_first_and_nothing_is_written(tmp_path):
    one = standing(tmp_path / "none", "ana")
    assert (one.state, one.answered, one.right, one.best_mark) == ("not begun", 0, 0, 0)
    assert (one.questions, one.marked, one.full, one.stars) == (6, 4, 5, "★")
    assert not list(tmp_path.iterdir())


def test_every_answer_moves_it_on(tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", "99"), ("way first", None)])
    one = standing(tmp_path, "ana")
    assert (one.state, one.answered, one.right) == ("begun", 2, 0)
    assert (one.first_mark, one.best_mark) == (0, 0)
    sheet_file(tmp_path, "ana", answers=[("ratio", None)])
    one = standing(tmp_path, "ana")
    assert (one.answered, one.right, one.first_mark, one.best_mark) == (2, 1, 0, 2)
    sheet_file(tmp_path, "ana", answers=[(topic.name, None) for topic in TOPICS])
    one = standing(tmp_path, "ana")
    assert (one.state, one.answered, one.right) == ("done", 6, 4)
    assert (one.first_mark, one.best_mark) == (3, 5)


def test_all_answered_is_done_right_or_wrong(tmp_path):
    answers = [(topic.name, None) for topic in TOPICS if topic.name != "ratio"]
    sheet_file(tmp_path, "ana", answers=[*answers, ("ratio", "99")])
    one = standing(tmp_path, "ana")
    assert (one.state, one.answered, one.right) == ("done", 6, 3)


def test_another_form_or_group_is_another_standing(tmp_path):
    sheet_file(tmp_path, "ana", form="B", answers=[("way", None)])
    assert standing(tmp_path, "ana").state == "not begun"
    assert standing(tmp_path, "ana", "bob", form="B").state == "not begun"
    assert standing(tmp_path, "ana", form="B").state == "begun"


def test_a_damaged_sheet_is_said_and_left_where_it_is(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("way", None)])
    changed(path, lambda data: data.update(version=9))
    before = path.read_bytes()
    assert standing(tmp_path, "ana").state == "cannot be read"
    path.write_text("{", encoding="utf-8")
    assert standing(tmp_path, "ana").state == "cannot be read"
    assert list(tmp_path.iterdir()) == [path]
    path.write_bytes(before)


def test_another_s_sheet_under_one_s_name_is_no_work_of_theirs(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("way", None)])
    sheet_file(tmp_path, "bob", answers=[("way", None)]).replace(path)
    assert standing(tmp_path, "ana").state == "cannot be read"


def test_the_summary_says_it_in_words(tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", "99"), ("ratio", None)])
    standings = progress(("ana",), folder=tmp_path)
    lines = summary_text(("ana",), folder=tmp_path).splitlines()
    assert lines[0] == "ana, form A"
    assert len(lines) == len(standings) + 2
    assert re.search(
        r"Turn it +begun +1 of +6 answered .* 0 .* 2 +of +5 marks", lines[1]
    )
    assert lines[-1] == totals(standings)
    assert f"0 of {len(standings)} labs done" in lines[-1]


def test_9_of_9_is_one_figure_everywhere(tmp_path, monkeypatch):
    """The marks of what the library marks: at the desk, in lists and in a CSV."""
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    answers = [(topic.name, None) for topic in TOPICS]
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "99"), *answers])
    work = Work(LAB)
    work.sign_in("ana")
    one = standing(tmp_path, "ana")
    row = mark_sheet(read_sheet(path))
    figures = {(work.best, work.full), (one.best_mark, one.full)}
    figures.add((row.best_mark, row.full))
    assert figures == {(5, 5)} and full_marks(LAB) == 5
    assert marks_told(work).startswith(
        "5 of 5 marks so far, for the 4 questions that are"
    )
    assert re.search("first tries +3 +best +5 +of +5 marks", summary_text(("ana",)))
    scene = draw_summary((one,), ("ana",), "A")
    assert "3 and 5 of 5." in scene.alt and "best tries 5 of 5 marks for" in scene.alt
    (cells,) = DictReader(StringIO(to_csv(Marking(rows=(row,)))))
    assert (cells["first try"], cells["best try"], cells["of"]) == ("3", "5", "5")
    assert (cells["explained"], cells["of explained"]) == ("0", "3")


# On a page ----------------------------------------------------------------------------

LAB_COUNT = len(LAB_NAMES)


def some(count=LAB_COUNT):
    """Standings in all states."""
    return tuple(
        Standing(
            lab=f"lab {n}",
            title=LONG if n == 2 else f"Turn the set number {n}",
            level=1 + n * 3 // count,
            state=STATES[n % 4],
            questions=13,
            answered=13 - n,
            right=9,
            marked=10,
            first_mark=57,
            best_mark=93,
            full=112,
        )
        for n in range(count)
    )


@pytest.mark.parametrize("context", ["print", "screen", "projector"])
@pytest.mark.parametrize(
    "students", [("ana",), tuple(f"{n}{'x' * 55}" for n in "abcdef")]
)
def test_the_page_shows_every_lab_and_no_text_covers_another(context, students):
    scene = draw_summary(some(), students, "A", context=context)
    boxes = text_boxes(scene)
    texts = [text for text, _ in boxes]
    assert {"done", "begun", "not begun", "cannot be read"} <= set(texts)
    assert texts.count("57") == texts.count("93") == len(LAB_NAMES)
    assert " ".join(texts).count("Turn the set number") == len(LAB_NAMES) - 1
    for i, (one, (x0, y0, x1, y1)) in enumerate(boxes):
        assert x0 >= 0 and x1 <= scene.width and y0 >= 0 and y1 <= scene.height, one
        for other, (u0, v0, u1, v1) in boxes[i + 1 :]:
            apart = x1 <= u0 or u1 <= x0 or y1 <= v0 or v1 <= y0
            assert apart, f"{one} and {other}"


def test_the_page_fits_a_sheet_of_paper(tmp_path):
    scene = draw_summary(some(), ("ana",), "A")
    assert scene.width <= 640  # px, between margins of an inch on any paper
    assert scene.height <= 900
    path = save(scene, tmp_path / "ana.pdf")
    assert path.read_bytes().startswith(b"%PDF")


def test_every_state_has_a_sign_of_its_own():
    one = some(1)[0]
    drawn = {
        repr(draw_summary((replace(one, state=state),), ("ana",), "A").shapes)
        .replace(state, "") for state in STATES
    }  # fmt: skip
    assert len(drawn) == len(STATES)
    for state in STATES:
        scene = draw_summary((replace(one, state=state),), ("ana",), "A")
        assert state in scene.alt and "57 and 93 of 112" in scene.alt


def test_the_page_speaks_another_language():
    words = {"state": "Stand", "done": "fertig", "Labs and marks": "Übungen"}
    texts = [t for t, _ in text_boxes(draw_summary(some(), ("a",), "A", words=words))]
    assert {"Stand", "fertig", "Übungen"} <= set(texts)
    assert "done" not in texts


def test_no_lab_at_all_is_a_page_too():
    assert "0 of 0 labs done" in draw_summary((), ("ana",), "A").alt
