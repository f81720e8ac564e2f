"""Ids that have no answers on this machine."""

import pytest
from answering import sheet_file

from gearlab.lab.sheet.handin import one_file
from gearlab.lab.sheet.newcomers import newcomers


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """A folder with the sheets of two students and of a group."""
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    for students in (("trainee 17",), ("\u674e\u56db",), ("ana lima", "bo")):
        sheet_file(tmp_path, *students, form="B", answers=[("way", None)])
    one_file(("ana lima", "bo"))
    return tmp_path


@pytest.mark.parametrize("students", [("trainee 17",), ("\u674e\u56db",), ("bo",)])
def test_who_has_a_sheet_is_no_newcomer(students):
    assert newcomers(students) == {}


def test_a_group_with_its_own_sheet_has_no_newcomer():
    assert newcomers(("ana lima", "bo")) == {}
    assert newcomers(("ana lima", "trainee 17")) == {}
    assert newcomers(("bo", "cy")) == {"cy": ""}


@pytest.mark.parametrize(
    "typed, near",
    [
        *(("trainee17", "trainee 17"), ("trainee 7", "trainee 17"), ("ana", "")),
        *(
            ("anna lima", "ana lima"),
            ("somebody", ""),
            ("\u674e\u56db\u4e8c", "\u674e\u56db"),
        ),
    ],
)
def test_the_nearest_is_named(typed, near):
    assert newcomers((typed,)) == {typed: near}


def test_what_cannot_be_read_names_nobody(folder, monkeypatch):
    for path in folder.glob("*trainee*.json"):
        path.write_text("{", encoding="utf-8")
    assert newcomers(("trainee17",)) == {"trainee17": ""}
    monkeypatch.setenv("GEARLAB_ANSWERS", str(folder / "none"))
    assert newcomers(("bo",)) == {"bo": ""}
