"""Marking: keys worked out anew, every try counted, and no file stops the others."""

import csv
import io
import json
import os
import subprocess
import sys
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from answering import (
    LAB,
    TOPICS,
    changed,
    make_lab,
    paper_of,
    ratio,
    right_answer,
    ring_over_sun,
    sheet_file,
)
from hypothesis import given as drawn
from hypothesis import strategies as st
from test_sheet import BY_HAND, DAMAGED, JSON

from gearlab import __main__ as command
from gearlab.base.frozenmap import FrozenMap
from gearlab.commands import frame
from gearlab.lab.mark import marking as marking_module
from gearlab.lab.mark.marking import (
    class_slips,
    mark_folder,
    mark_sheet,
    to_csv,
    to_text,
    write_marks,
    write_ticks,
)
from gearlab.lab.mark.ticks import HEAD, read_ticks
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.answers import LARGEST
from gearlab.lab.sheet.sheet import read_sheet, record
from gearlab.lab.suite.labs import find_lab

ROOT = Path(__file__).resolve().parents[1]
FOREIGN = {"sheet of another lab": "no-such-lab", "no lab": "turn-one-sets"}


@pytest.fixture
def small(monkeypatch):
    """The small lab stands in for the one of its name."""
    use(monkeypatch, LAB)


def use(monkeypatch, lab):
    monkeypatch.setattr(marking_module, "find_lab", lambda name: find_small(name, lab))


def find_small(name, lab):
    return lab if name == lab.name else find_lab(name)


def turned_over(*students):
    """The reciprocal of the answer, a slip."""
    return 1 / right_answer(paper_of(*students), "ratio")


def marked(folder, *students, answers):
    return mark_sheet(read_sheet(sheet_file(folder, *students, answers=answers)))


def result(row, question):
    (found,) = (one for one in row.results if one.question == question)
    return found


# One sheet ----------------------------------------------------------------------------


def test_first_and_best_tries_hints_and_slips(small, tmp_path):
    answers = [("ratio", turned_over("ana")), ("ratio", "99"), ("ratio", None)]
    row = marked(tmp_path, "ana", answers=[*answers, ("way", None), ("ratio", "5")])
    one = result(row, "ratio")
    assert (one.first, one.best, one.marks, one.tries) == (0, 2, 2, 4)
    assert one.slips == row.slips == ("the reciprocal",)
    assert result(row, "way").first == result(row, "way").best == 1
    assert (row.first_mark, row.best_mark, row.full) == (1, 3, 5)
    assert row.notes == ()
    assert (row.students, row.form, row.questions) == (("ana",), "A", 6)


def test_a_right_first_try_counts_first_and_last(small, tmp_path):
    row = marked(tmp_path, "ana", answers=[("ratio", None), ("ratio", "99")])
    assert (row.first_mark, row.best_mark) == (2, 2)


def test_hints_used_are_the_most_seen(small, tmp_path):
    paper = paper_of("ana")
    for answer, hints in (("9", 0), ("8", 2), ("7", 2)):
        sheet, _ = record(paper, "ratio", answer, hints=hints, folder=tmp_path)
    assert result(mark_sheet(sheet), "ratio").hints == 2


def test_a_prediction_is_counted_as_made_and_not_marked(small, tmp_path):
    for way in ("forward", "backward"):
        row = marked(tmp_path, way, answers=[("way first", way)])
        assert (row.predictions, row.first_mark, row.best_mark) == (1, 0, 0)
        assert row.slips == ()


def test_an_explanation_waits_with_its_points(small, tmp_path):
    texts = [("why", "First thought."), ("why", "The ring is held.")]
    row = marked(tmp_path, "ana", answers=texts)
    (one,) = row.waiting
    assert (one.text, one.points) == (
        "The ring is held.",
        ("held", "rolls", "one more"),
    )
    assert (row.best_mark, one.ticks) == (0, None)


def test_an_empty_sheet_has_no_mark(small):
    from gearlab.lab.sheet.sheet import AnswerSheet

    row = mark_sheet(AnswerSheet(students=("ana",), lab=LAB.name, form="A"))
    assert (row.results, row.best_mark, row.full) == ((), 0, 5)


@pytest.mark.parametrize("form", "ABH")
@pytest.mark.parametrize("students", [("ana",), ("ana", "bob", "李")])
def test_all_right_gives_all_marks_on_any_form(students, form, small, tmp_path):
    answers = [(topic.name, None) for topic in TOPICS]
    path = sheet_file(tmp_path, *students, form=form, answers=answers)
    row = mark_sheet(read_sheet(path))
    assert row.first_mark == row.best_mark == 5
    assert [r.question for r in row.results] == [topic.name for topic in TOPICS]
    assert row.notes == ()


def test_the_keys_of_the_suite_are_marked_right(tmp_path):
    paper = draw_paper(find_lab("turn-one-set"), ("ana",), "C")
    for name in paper.asked:
        sheet, _ = record(paper, name, right_answer(paper, name), folder=tmp_path)
    row = mark_sheet(sheet)
    assert row.full_explained == sum(one.marks for one in row.waiting) > 0
    assert row.first_mark == row.full > 0
    assert row.notes == ()


# Whose numbers ------------------------------------------------------------------------


def test_another_student_s_numbers_are_seen_and_not_marked(small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", None), ("way", None)])
    changed(path, lambda data: data.update(students=["bob"]))
    row = mark_sheet(read_sheet(path))
    assert row.notes == (
        "numbers are not this student's: ratio",
        "numbers are not this student's: way",
    )
    assert (row.best_mark, row.results) == (0, ())


@pytest.mark.parametrize("sun", [1, 0, -5, 999_999, 30.5, "30", None, [30], True])
def test_numbers_of_one_s_own_choice_are_seen(sun, small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", None), ("way", None)])

    def easy(data):
        data["questions"]["ratio"]["given"]["sun"] = sun

    changed(path, easy)
    row = mark_sheet(read_sheet(path))
    assert row.notes == ("numbers are not this student's: ratio",)
    assert row.best_mark == 1


def test_a_paper_that_took_several_draws_is_marked(monkeypatch, tmp_path):
    def unclear(given):
        if given["sun"] % 7:
            raise ValueError("another one")
        return ratio(given)

    lab = make_lab((TOPICS[1], replace(TOPICS[2], ask=unclear, name="second")))
    use(monkeypatch, lab)
    for who in ("ana", "bob", "eve"):
        answers = [("ratio", None), ("second", None)]
        path = sheet_file(tmp_path, who, lab=lab, answers=answers)
        row = mark_sheet(read_sheet(path))
        assert (row.best_mark, row.notes) == (3, ())
        changed(path, lambda data: data.update(students=["carl"]))
        assert len(mark_sheet(read_sheet(path)).notes) == 2


def test_an_old_sheet_is_marked_as_it_was_asked(monkeypatch, tmp_path):
    old = make_lab((replace(TOPICS[1], ask=ring_over_sun),))
    sheet = read_sheet(sheet_file(tmp_path, "ana", lab=old, answers=[("ratio", None)]))
    use(monkeypatch, LAB)
    assert mark_sheet(sheet).best_mark == 0
    topic = replace(TOPICS[1], revision=2, earlier=FrozenMap({1: ring_over_sun}))
    use(monkeypatch, make_lab((topic,)))
    row = mark_sheet(sheet)
    assert row.best_mark == 2
    (note,) = row.notes
    assert "earlier version" in note
    assert note.endswith(": ratio")


@pytest.mark.parametrize("revision", [2, 99])
def test_a_revision_that_nobody_knows_is_said(revision, small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", None)])
    changed(path, lambda d: d["questions"]["ratio"].update(revision=revision))
    row = mark_sheet(read_sheet(path))
    assert row.notes == ("cannot be asked as it was: ratio",)
    assert row.best_mark == 0


def test_a_question_that_is_none_of_the_lab_is_said(small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("way", None)])
    changed(path, lambda d: d["questions"].update(other=d["questions"]["way"]))
    row = mark_sheet(read_sheet(path))
    assert row.notes == ("no question of this lab: other",)
    assert row.best_mark == 1


@pytest.mark.parametrize("answer", ["x" * 2000, "1/0", "", ["sun"], [], "9" * 2000])
def test_answers_that_no_panel_would_keep_are_no_tries(answer, small, tmp_path):
    questions = [topic.name for topic in TOPICS if topic.name != "why"]
    path = sheet_file(tmp_path, "ana", answers=[(name, None) for name in questions])

    def spoil(data):
        for attempt in data["attempts"]:
            attempt["answer"] = answer

    changed(path, spoil)
    row = mark_sheet(read_sheet(path))
    assert row.best_mark == 0
    assert result(row, "ratio").tries == 0
    assert row.predictions == 0


# A folder -----------------------------------------------------------------------------


def test_a_folder_is_marked_whatever_is_in_it(small, tmp_path):
    folder = tmp_path / "handed in"
    (folder / "group 2").mkdir(parents=True)
    sheet_file(folder, "bob", answers=[("way", None)])
    path = sheet_file(folder / "group 2", "ana", answers=[("way", None)])
    path.rename(path.with_name("my answers (1).JSON"))
    for number, text in enumerate(DAMAGED.values()):
        (folder / f"damaged {number}.json").write_text(text, encoding="utf-8")
    for number, change in enumerate(BY_HAND.values()):
        bad = sheet_file(tmp_path / "bad", "eve", answers=[("ratio", "9")])
        changed(bad, change)
        bad.rename(folder / f"by hand {number}.json")
    for number, lab in enumerate(FOREIGN.values()):
        bad = sheet_file(tmp_path / "bad", "eve", answers=[("ratio", "9")])
        changed(bad, lambda data, lab=lab: data.update(lab=lab))
        bad.rename(folder / f"foreign {number}.json")
    (folder / "notes.txt").write_text("hello", encoding="utf-8")
    (folder / "loop").symlink_to(folder)
    (folder / "loop.json").symlink_to(folder / "loop.json")
    (folder / "link.json").symlink_to(path)
    (folder / "folder.json").mkdir()
    os.mkfifo(folder / "pipe.json")
    (folder / "a.json.lock").write_text("", encoding="utf-8")
    said = []
    marking = mark_folder(folder, progress=lambda *now: said.append(now))
    skipped = dict(marking.skipped)
    by_hand = [row for row in marking.rows if row.students not in (("ana",), ("bob",))]
    # Two sheets by hand are whole sheets of somebody else, on somebody's numbers.
    assert [(row.students, row.form) for row in by_hand] == [
        (("carl",), "A"),
        (("eve",), "B"),
    ]
    assert all(row.notes and row.best_mark == 0 for row in by_hand)
    good = [row for row in marking.rows if row.notes == ()]
    assert [row.students for row in good] == [("ana",), ("bob",)]
    assert all(row.best_mark == 1 for row in good)
    for name in ("notes.txt", "loop.json", "link.json", "pipe.json", "foreign 0.json"):
        assert skipped[name], name
    assert "did you mean" in skipped["foreign 1.json"]
    assert len(skipped) == 5 + 1 + len(DAMAGED) + len(BY_HAND) - 2
    assert all(0 < len(reason) < 150 for reason in skipped.values())
    assert said[-1][0] == said[-1][1] == len(said)
    assert mark_folder(folder) == marking
    to_text(marking).encode("utf-8")


def test_copies_of_a_sheet_are_one_row(small, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    early = path.read_bytes()
    sheet_file(tmp_path, "ana", answers=[("ratio", None)])
    (tmp_path / "copy.json").write_bytes(early)
    marking = mark_folder(tmp_path)
    (row,) = marking.rows
    assert (row.first_mark, row.best_mark, result(row, "ratio").tries) == (0, 2, 2)
    assert row.files == (path.name,)
    assert marking.copies == (("copy.json", f"an earlier state of {path.name}"),)
    assert marking.skipped == marking.conflicts == ()
    assert f"Copy: copy.json: an earlier state of {path.name}." in to_text(marking)


def test_a_sheet_that_breaks_the_marking_is_skipped(monkeypatch, tmp_path):
    def broken(given):
        raise RuntimeError("a fault of the lab")

    sheet_file(tmp_path, "ana", answers=[("way", None)])
    use(monkeypatch, make_lab(draw=broken))
    marking = mark_folder(tmp_path)
    assert marking.rows == ()
    assert "a fault of the lab" in marking.skipped[0][1]


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(ValueError, match="there is no folder"):
        mark_folder(tmp_path / "none")
    assert mark_folder(tmp_path).rows == ()
    assert to_text(mark_folder(tmp_path)) == "No sheet."


def test_a_sheet_as_full_as_can_be_is_marked_quickly(small, tmp_path):
    from time import process_time

    path = sheet_file(tmp_path, "ana", answers=[("way", None), ("ratio", None)])

    def fill(data):
        one = data["attempts"][0]
        data["attempts"] = [
            one | {"id": str(n), "answer": f"forwrad {n} {'x' * 300}"}
            for n in range(LARGEST // 600)
        ]

    changed(path, fill)
    start = process_time()
    marking = mark_folder(tmp_path)
    assert result(marking.rows[0], "way").tries == 0
    assert process_time() - start < 10


ENTRY = st.fixed_dictionaries(
    {
        "id": st.text(max_size=3) | JSON,
        "question": st.sampled_from([t.name for t in TOPICS]) | JSON,
        "answer": st.text(max_size=8) | st.lists(st.text(max_size=5)) | JSON,
        "when": st.just("2030") | JSON,
        "hints": st.integers(-1, 3) | JSON,
    }
)
ASKED = st.fixed_dictionaries(
    {
        "revision": st.integers(0, 2) | JSON,
        "given": st.dictionaries(st.sampled_from(["sun", "ring"]), JSON) | JSON,
    }
)
HOSTILE = st.fixed_dictionaries(
    {
        "kind": st.just("gearlab answer sheet"),
        "version": st.just(1) | JSON,
        "students": st.lists(st.text(max_size=5), max_size=3) | JSON,
        "lab": st.sampled_from([LAB.name, "count-the-teeths"]) | JSON,
        "form": st.sampled_from("AB") | JSON,
        "questions": st.dictionaries(st.sampled_from([t.name for t in TOPICS]), ASKED)
        | JSON,
        "attempts": st.lists(ENTRY, max_size=3) | JSON,
    }
)


@pytest.fixture(scope="module")
def hostile_folder(tmp_path_factory):
    return tmp_path_factory.mktemp("hostile")


@drawn(data=JSON | HOSTILE)
def test_no_json_file_crashes_the_marking(data, hostile_folder):
    path = hostile_folder / "one.json"
    path.write_text(json.dumps(data), encoding="utf-8")
    marking = mark_folder(hostile_folder)
    assert len(marking.rows) + len(marking.skipped) == 1
    assert all("cannot be marked" not in reason for _, reason in marking.skipped) or (
        "no lab" in marking.skipped[0][1]
    )
    to_csv(marking), to_text(marking).encode("utf-8")


# Tables -------------------------------------------------------------------------------


def read_back(text):
    return list(csv.DictReader(io.StringIO(text)))


@pytest.mark.parametrize("who", ["=1+1", "+49", "-b", "@sum(a1)", "＝1", '"x"'])
def test_no_cell_is_taken_for_a_formula(who, small, tmp_path):
    sheet_file(tmp_path, who, answers=[("way", None), ("why", '=cmd|"/c"!A1')])
    marking = mark_folder(tmp_path)
    write_ticks(marking, tmp_path / "t.csv")
    for text in (to_csv(marking), (tmp_path / "t.csv").read_text(encoding="utf-8-sig")):
        for row in csv.reader(io.StringIO(text)):
            assert not any(cell.lstrip()[:1] in tuple("=+-@＝＋－＠") for cell in row)
        assert who in text.replace('""', '"')


def test_the_table_of_marks(small, tmp_path):
    slip = turned_over("ana")
    sheet_file(tmp_path, "ana", answers=[("ratio", slip), ("ratio", None)])
    sheet_file(tmp_path, "bob", "李", answers=[("way first", None), ("why", "So.")])
    sheet_file(tmp_path, "zoë", answers=[("ratio", turned_over("zoë"))])
    marking = mark_folder(tmp_path)
    ana, both, _ = read_back(to_csv(marking))
    assert (ana["students"], ana["first try"], ana["best try"]) == ("ana", "0", "2")
    assert (ana["of"], ana["tries"], ana["slips"]) == ("5", "2", "the reciprocal")
    assert (ana["explained"], ana["of explained"]) == ("0", "3")
    assert (both["students"], both["to be ticked"]) == ("bob, 李", "1")
    assert (both["predictions"], both["answered"], both["questions"]) == ("1", "2", "6")
    assert class_slips(marking) == (("the reciprocal", 2),)
    lines = to_text(marking).splitlines()
    assert [line.split()[0] for line in lines[1:4]] == ["ana", "bob,", "zoë"]
    assert lines[4:] == [
        "Explanations to be ticked: 1.",
        "Slips of the class: the reciprocal (2 sheets).",
    ]


# Ticks --------------------------------------------------------------------------------


def explained(folder, ids=("ana", "bob", "eve")):
    """A folder in which some have explained, and its table of ticks."""
    for who in ids:
        sheet_file(
            folder, who, answers=[("way", None), ("why", f"=Because, {who}.\nSo")]
        )
    return write_ticks(mark_folder(folder), folder / "ticks.csv")


def fill_in(path, boxes, delimiter=",", encoding="utf-8-sig"):
    """Fill the boxes in as an instructor does; `boxes` is {id: three texts}."""
    rows = read_back(path.read_text(encoding="utf-8-sig"))
    out = io.StringIO()
    writer = csv.DictWriter(out, HEAD, delimiter=delimiter)
    writer.writeheader()
    for row in rows:
        ticks = boxes.get(row["students"], ("", "", ""))
        row |= dict(zip(HEAD[6::2], ticks, strict=True))
        writer.writerow(row)
    path.write_text(out.getvalue(), encoding=encoding, newline="")


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig"])
def test_ticks_are_added_to_the_marks(delimiter, encoding, small, tmp_path):
    path = explained(tmp_path)
    row = read_back(path.read_text(encoding="utf-8-sig"))[0]
    assert tuple(row) == HEAD
    assert [row[f"point {n}"] for n in (1, 2, 3)] == ["held", "rolls", "one more"]
    boxes = {"ana": ("x", "X", ""), "bob": ("0", "", "")}
    fill_in(path, boxes, delimiter, encoding)
    marking = mark_folder(tmp_path, ticks=[path])
    ana, bob, eve = marking.rows
    assert [(row.best_mark, row.explained) for row in (ana, bob, eve)] == [
        *((1, 2), (1, 0), (1, 0))
    ]
    assert ana.waiting == bob.waiting == ()
    assert len(eve.waiting) == 1
    assert result(ana, "why").ticks == (True, True, False)
    assert marking.skipped == ()
    again = write_ticks(marking, tmp_path / "again.csv")
    assert read_ticks(again) == read_ticks(path)


def test_two_marks_for_three_points_are_thirds(monkeypatch, tmp_path):
    use(monkeypatch, make_lab((replace(TOPICS[5], marks=2),)))
    for who in ("ana", "bob"):
        lab = make_lab((replace(TOPICS[5], marks=2),))
        sheet_file(tmp_path, who, lab=lab, answers=[("why", "So.")])
    path = write_ticks(mark_folder(tmp_path), tmp_path / "t.csv")
    fill_in(path, {"ana": ("1", "1", "0"), "bob": ("✓", "yes", "y")})
    marking = mark_folder(tmp_path, ticks=[path])
    assert [row.explained for row in marking.rows] == [Fraction(4, 3), 2]
    assert read_back(to_csv(marking))[0]["explained"] == "1.33"


def test_a_text_that_was_changed_after_the_ticks_is_said(small, tmp_path):
    path = explained(tmp_path)
    fill_in(path, {"ana": ("x", "x", "x"), "bob": ("x", "", "")})
    sheet_file(tmp_path, "ana", answers=[("why", "Another thought.")])
    ana, bob, _ = mark_folder(tmp_path, ticks=path).rows
    assert ana.notes == ("another text than was ticked: why",)
    assert (ana.explained, bob.explained) == (0, 1)


def test_rows_of_nobody_here_are_counted(small, tmp_path):
    path = explained(tmp_path)
    next(tmp_path.glob("*eve*")).unlink()
    marking = mark_folder(tmp_path, ticks=[path])
    assert marking.skipped == ((str(path), "rows that fit no sheet here: 1"),)


BAD_TICKS = {
    "empty box": ("x", "maybe", ""),
    "number": ("3", "", ""),
}


@pytest.mark.parametrize("boxes", BAD_TICKS.values(), ids=BAD_TICKS)
def test_a_box_that_cannot_be_read_is_said_with_its_row(boxes, small, tmp_path):
    path = explained(tmp_path)
    fill_in(path, {"bob": boxes})
    with pytest.raises(ValueError, match=r"row 3.*write x or 0"):
        mark_folder(tmp_path, ticks=[path])


@pytest.mark.parametrize(
    "text",
    ["", "a,b\n", "a,b\n1,2\n", ",".join(HEAD) + "\n1,2\n", "\0\0\n\0",
     '"' + "x" * 200_000 + '"\n1\n', f"{','.join(HEAD)},more\n1,2\n",
     "<html>\n</html>\n"],
    ids=["empty", "head", "columns", "short", "nul", "long cell", "more", "page"],
)  # fmt: skip
def test_a_wrong_file_of_ticks_is_one_sentence(text, small, tmp_path):
    explained(tmp_path)
    path = tmp_path / "wrong.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError) as error:
        mark_folder(tmp_path, ticks=[path])
    assert "\n" not in str(error.value)
    assert str(path) in str(error.value)


def test_ticks_written_again_keep_what_was_filled_in(small, tmp_path):
    path = explained(tmp_path)
    fill_in(path, {"ana": ("x", "0", "x"), "bob": ("x", "maybe", "")})
    rows = read_back(path.read_text(encoding="utf-8-sig"))
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, delimiter=";")
        writer.writerow([*HEAD, "remarks", "", ""])
        writer.writerows([*row.values(), row["students"], "a", "b"] for row in rows)
    sheet_file(tmp_path, "bob", answers=[("why", "Another thought.")])
    sheet_file(tmp_path, "dan", answers=[("why", "So.")])
    write_ticks(mark_folder(tmp_path), path)
    after = read_back(path.read_text(encoding="utf-8-sig"))
    assert [row["students"] for row in after] == ["ana", "bob", "dan", "eve", "bob"]
    ticks = [[row[name] for name in HEAD[6::2]] for row in after]
    assert ticks[0] == ["x", "0", "x"]
    assert ticks[4] == ["x", "maybe", ""]
    assert ticks[1] == ticks[2] == ticks[3] == ["", "", ""]
    assert after[0]["remarks"] == "ana"
    assert list(after[0].values())[-2:] == ["a", "b"]
    before = path.read_bytes()
    write_ticks(mark_folder(tmp_path), path)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    "text", ["my own list\n", "a,b\n", "students,lab,form\n1,2,3\n"]
)
def test_a_file_that_is_another_table_is_not_overwritten(text, small, tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text(text, encoding="utf-8")
    for write in (write_ticks, write_marks):
        with pytest.raises(ValueError, match=r"mine\.csv"):
            write(mark_folder(tmp_path), path)
    assert path.read_text(encoding="utf-8") == text
    ticks = explained(tmp_path, ["ana"])
    before = ticks.read_bytes()
    with pytest.raises(ValueError, match="no table of marks"):
        write_marks(mark_folder(tmp_path), ticks)
    assert ticks.read_bytes() == before
    marks = write_marks(mark_folder(tmp_path), tmp_path / "marks.csv")
    marks.write_text(
        marks.read_text(encoding="utf-8-sig").replace(",", ";"), encoding="utf-8"
    )
    assert write_marks(mark_folder(tmp_path), marks).stat().st_size > 0


def test_the_ticks_of_another_class_are_said(small, tmp_path):
    path = explained(tmp_path / "a", ["ana"])
    explained(tmp_path / "b", ["bob"])
    with pytest.raises(ValueError, match="no row of these sheets"):
        mark_folder(tmp_path / "b", ticks=[path])
    with pytest.raises(ValueError, match="cannot be read"):
        mark_folder(tmp_path / "b", ticks=[tmp_path / "none.csv"])
    (tmp_path / "old.csv").write_bytes("é,ü\n".encode("latin-1"))
    with pytest.raises(ValueError, match="UTF-8"):
        mark_folder(tmp_path / "b", ticks=[tmp_path / "old.csv"])


# The command --------------------------------------------------------------------------


def run(*words, **environment):
    return subprocess.run(
        [sys.executable, "-m", "gearlab", *map(str, words)],
        cwd=ROOT,
        env=os.environ | environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
        timeout=60,
    )


def test_the_command_marks_a_folder(tmp_path):
    paper = draw_paper(find_lab("turn-one-set"), ("ana",), "A")
    for name in paper.asked:
        record(paper, name, right_answer(paper, name), folder=tmp_path)
    table, ticks = tmp_path / "marks.csv", tmp_path / "ticks.csv"
    done = run("mark", tmp_path, "--csv", table, "--ticks", ticks)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[1].startswith("ana")
    assert read_back(table.read_text(encoding="utf-8-sig"))[0]["students"] == "ana"
    before = ticks.read_bytes()
    assert run("mark", tmp_path, "--ticks", ticks).returncode == 0
    assert ticks.read_bytes() == before


def test_the_command_sums_up_a_student(tmp_path):
    paper = draw_paper(find_lab("turn-one-set"), ("ana",), "B")
    record(paper, "first reduction", "1", folder=tmp_path)
    picture = tmp_path / "ana.svg"
    done = run(
        "summary", " ANA", "--form", "B", "--picture", picture,
        GEARLAB_ANSWERS=str(tmp_path),
    )  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert "ana, form B" in done.stdout
    assert "begun" in done.stdout
    assert picture.stat().st_size > 1000


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        ((), 0, "summary"),
        (("mark", "no such folder"), 2, "there is no folder"),
        (("mark", ""), 2, 'there is no folder ""'),
        (("mark", " "), 2, "there is no folder"),
        (("mark", "x" * 100_000), 2, "there is no folder"),
        (("mark", "README.md"), 2, "there is no folder"),
        (("mark",), 2, "folder"),
        (("mark", ".ci", "a\x1b[2J\nb"), 2, "a\\x1b[2J\\nb"),
        (("mark", "\x1b[2J"), 2, "\\x1b[2J"),
        (("summary", " , "), 2, "no student id"),
        (("summary", ""), 2, "no student id"),
        (("summary", "x" * 100_000), 2, "60 are the most"),
        (("summary", "ana", "--form", "Z"), 2, "form"),
        (("summary", "ana", "--picture", "x.doc"), 2, "must be"),
        (("summary", "ana", "--picture", ""), 2, "must be"),
        (("mark", ".ci", "--csv", "no/such/folder.csv"), 2, "no such folder"),
        (("mark", ".ci", "--csv", "README.md/x.csv"), 2, "no such folder"),
        (("mark", ".ci", "--csv", "README.md"), 2, "no table of marks"),
        (("mark", ".ci", "--csv", "notebooks"), 2, "no table of marks"),
        (("mark", ".ci", "--csv", ""), 2, "no table of marks"),
        (("mark", ".ci", "--ticks", "notebooks"), 2, "no plain file"),
        (("mark", ".ci", "--ticks", ""), 2, "no plain file"),
        (("mark", ".ci", "--ticks", "assets/panel.png"), 2, "no text in UTF-8"),
        (("mark", ".ci", "--ticks", "README.md"), 2, "has not the columns"),
        (("mark", ".ci", "--ticks", "no/such.csv"), 2, "no such folder"),
        (("mark", ".ci", "--ticks", "x" * 100_000), 2, "File name too long"),
    ],
)
def test_what_is_wrong_is_one_sentence(
    words, code, said, capsys, monkeypatch, tmp_path
):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    monkeypatch.chdir(ROOT)
    try:
        got = command.main(words)
    except SystemExit as left:
        got = left.code
    out, err = capsys.readouterr()
    assert got == code
    assert said in (err if code else out)
    assert "Traceback" not in err and "\x1b" not in err
    assert not err.startswith("Not done") or err.count("\n") == 1
    assert len(err) < 1000


@pytest.mark.parametrize("said", ["answers", "./answers", ".", "~nobody-of-that-name"])
def test_a_folder_from_here_on_is_refused_and_not_searched(said, capsys, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", said)
    assert command.main(["summary", "ana"]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith("Not done: GEARLAB_ANSWERS is")
    assert "from the root on, such as" in err
    assert err.count("\n") == 1


@pytest.mark.parametrize("words", [("summary", "ana"), ("mark", ".ci")])
def test_lines_that_find_no_room_are_a_sentence(words, tmp_path):
    if not Path("/dev/full").exists():
        pytest.skip("no disk that is always full")
    with Path("/dev/full").open("w", encoding="utf-8") as full:
        done = subprocess.run(
            [sys.executable, "-m", "gearlab", *words], cwd=ROOT, stdout=full,
            env=os.environ | {"GEARLAB_ANSWERS": str(tmp_path)},
            stderr=subprocess.PIPE, encoding="utf-8", check=False,
        )  # fmt: skip
    assert (done.returncode, done.stderr) == (2, "Not done: No space left on device.\n")


def test_a_folder_that_takes_nothing_is_a_sentence(monkeypatch, capsys, tmp_path):
    def refuse(*args, **options):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    for words in (
        ("mark", tmp_path, "--csv", tmp_path / "m.csv"),
        ("mark", tmp_path, "--ticks", tmp_path / "t.csv"),
    ):
        assert command.main(list(map(str, words))) == 2
        err = capsys.readouterr().err
        assert "cannot be written (Permission denied)" in err
        assert err.count("\n") == 1


def test_a_folder_that_cannot_be_looked_into_is_said(small, monkeypatch, tmp_path):
    sheet_file(tmp_path, "ana", answers=[("way", None)])
    closed = tmp_path / "closed\n"
    closed.mkdir()
    real = os.scandir

    def refuse(path):
        if os.fspath(path) == str(closed):
            raise PermissionError(13, "Permission denied", str(closed))
        return real(path)

    monkeypatch.setattr(os, "scandir", refuse)
    marking = mark_folder(tmp_path)
    assert len(marking.rows) == 1
    assert marking.skipped == (
        ("closed\n", "the folder cannot be read: Permission denied"),
    )
    assert "Skipped: closed\\n: the folder" in to_text(marking)


def test_how_far_it_is_is_said_when_it_takes_long(monkeypatch, capsys):
    now = [0]
    monkeypatch.setattr(frame, "monotonic", lambda: now[0])
    line = frame.Progress("sheets")
    for done in range(1, 101):
        now[0] += 1 / 8
        line(done, 100)
    said = capsys.readouterr().err.split("\r")
    assert said[1] == "8 of 100 sheets"
    assert said[-1] == "100 of 100 sheets\n"
    assert len(said) == 1 + 24
    frame.Progress("sheets")(1, 1)
    assert capsys.readouterr().err == ""
