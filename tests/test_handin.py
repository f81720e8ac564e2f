"""One file to hand in: every sheet of a student in it, and read back with bounds."""

import os

import pytest
from answering import LAB, changed, paper_of, sheet_file

from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet import handin
from gearlab.lab.sheet.answers import LARGEST, from_text
from gearlab.lab.sheet.handin import MOST_SHEETS, one_file, read_handed_in
from gearlab.lab.sheet.sheet import read_sheet, record, sheet_path
from gearlab.lab.suite.labs import find_lab

NAME = LAB.name


def two_labs(folder, *students):
    """Sheets of two labs, one of them in two forms; their paths in the order."""
    record(paper_of(*students), "ratio", "9", folder=folder)
    record(paper_of(*students, form="B"), "way", "forward", folder=folder)
    other = draw_paper(find_lab("know-the-unit"), students, "A")
    topic = next(iter(other.asked))
    answer = other.asked[topic].question.answer
    record(other, topic, answer or "Because.", folder=folder)
    labs = (NAME, "A"), (NAME, "B"), ("know-the-unit", "A")
    return [sheet_path(students, *one, folder) for one in labs]


@pytest.mark.parametrize("students", [("ana",), ("ana lima", "李")])
def test_the_file_holds_every_sheet_as_it_stands(students, tmp_path):
    paths = two_labs(tmp_path, *students)
    sheet_file(tmp_path, "bob", answers=[("ratio", "9")])
    made = one_file(students, folder=tmp_path)
    assert made.path.parent == tmp_path
    assert made.path.suffix == ".json"
    assert made.sheets == ((NAME, "A"), (NAME, "B"), ("know-the-unit", "A"))
    assert made.notice == ""
    inside = [sheet for _, sheet in read_handed_in(made.path)]
    assert inside == [read_sheet(path) for path in paths]
    assert len(list(tmp_path.iterdir())) == 5


def test_one_form_alone_is_another_file(tmp_path):
    two_labs(tmp_path, "ana")
    all_forms, only = (
        one_file(("ana",), folder=tmp_path),
        one_file(("ana",), "B", tmp_path),
    )
    assert only.sheets == ((NAME, "B"),)
    assert only.path != all_forms.path


def test_made_again_it_holds_what_was_added(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    two_labs(tmp_path, "ana")
    first = one_file(("ana",))
    before = first.path.read_bytes()
    assert one_file(("ana",)) == first
    assert first.path.read_bytes() == before
    record(paper_of("ana"), "ratio", "8", folder=tmp_path)
    one_file(("ana",))
    sheets = [sheet for _, sheet in read_handed_in(first.path)]
    assert [a.answer for a in sheets[0].attempts] == ["9", "8"]


def test_a_loose_sheet_is_read_as_well(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    assert read_handed_in(path) == [("", read_sheet(path))]


def test_a_student_of_any_name_has_a_sheet(tmp_path):
    path = sheet_file(tmp_path, "gearlab hand-in", answers=[("ratio", "9")])
    assert read_handed_in(path) == [("", read_sheet(path))]


def test_a_damaged_sheet_is_left_out_and_said(tmp_path):
    paths = two_labs(tmp_path, "ana")
    paths[0].write_text("half", encoding="utf-8")
    changed(paths[1], lambda data: data.update(form="C"))
    made = one_file(("ana",), folder=tmp_path)
    assert made.sheets == (("know-the-unit", "A"),)
    assert all(path.name in made.notice for path in paths[:2])
    assert paths[0].read_text(encoding="utf-8") == "half"
    paths[2].unlink()
    with pytest.raises(ValueError, match="no answer sheet of ana") as error:
        one_file(("ana",), folder=tmp_path)
    assert paths[0].name in str(error.value)


def test_who_has_nothing_to_hand_in_is_told(tmp_path):
    with pytest.raises(ValueError, match="nobody is signed in"):
        one_file((), folder=tmp_path)
    with pytest.raises(ValueError, match="answer a question first"):
        one_file(("ana",), folder=tmp_path / "none")
    assert not list(tmp_path.iterdir())


def test_a_full_disk_is_said_and_leaves_the_old_file(tmp_path, monkeypatch):
    two_labs(tmp_path, "ana")
    path = one_file(("ana",), folder=tmp_path).path
    before, names = path.read_bytes(), set(tmp_path.iterdir())

    def refuse(handle):
        raise OSError(28, "No space left on device")

    record(paper_of("ana"), "ratio", "8", folder=tmp_path)
    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(ValueError, match="No space left") as error:
        one_file(("ana",), folder=tmp_path)
    assert "\n" not in str(error.value)
    assert path.read_bytes() == before
    assert set(tmp_path.iterdir()) == names


def test_sheets_too_large_for_one_file_are_said(tmp_path, monkeypatch):
    two_labs(tmp_path, "ana")
    monkeypatch.setattr(handin, "LARGEST_FILE", 1000)
    with pytest.raises(ValueError, match="one by one"):
        one_file(("ana",), folder=tmp_path)


# Hostile ------------------------------------------------------------------------------


def handed_in(folder, change):
    """A file to hand in, changed by hand."""
    two_labs(folder, "ana")
    path = one_file(("ana",), folder=folder).path
    changed(path, change)
    return path


def test_a_damaged_sheet_within_leaves_the_others(tmp_path):
    def spoil(data):
        data["sheets"][1] = {"kind": "gearlab answer sheet", "version": 99}
        data["sheets"].append({"kind": "gearlab hand-in", "sheets": []})

    found = read_handed_in(handed_in(tmp_path, spoil))
    assert [what for what, _ in found] == [f"sheet {n}" for n in (1, 2, 3, 4)]
    faults = [one for _, one in found if isinstance(one, ValueError)]
    assert ["later version" in str(one) for one in faults] == [True, False]
    assert str(faults[1]) == "it is no answer sheet"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda data: data.update(version=2), "later version"),
        (lambda data: data.update(path="../../x"), "not the entries"),
        (lambda data: data.update(sheets={}), "not the entries"),
        (lambda data: data.update(sheets=data["sheets"] * MOST_SHEETS), "more than"),
        (lambda data: data.update(x="x" * 6_000_000), "5,000,000 bytes"),
    ],
)
def test_what_is_no_file_to_hand_in_is_said(change, said, tmp_path):
    with pytest.raises(ValueError, match=said):
        read_handed_in(handed_in(tmp_path, change))


def test_a_large_file_that_is_no_hand_in_is_not_even_parsed(tmp_path):
    path = tmp_path / "x.json"
    path.write_text("[" + "[]," * (LARGEST // 3) + "[]]", encoding="utf-8")
    with pytest.raises(ValueError, match="1,000,000 bytes"):
        read_handed_in(path)
    with pytest.raises(ValueError, match="no answer sheet"):
        from_text("[]")
