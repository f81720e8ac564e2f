"""Class lists as schools' systems and spreadsheets save them, and clumsy ones."""

import csv
import io

import pytest

from gearlab.lab.sheet import classlist
from gearlab.lab.sheet.classlist import (
    COLUMNS,
    Listed,
    read_class_list,
    read_table,
)
from gearlab.lab.sheet.students import read_students

ANA = Listed(id="a-17", name="Ana Lima", form="B", group="red")
ZOE = Listed(id="zoë", name="Müller-Öz, Zoë")
ROWS = (
    ("Student ID", "Name", "Form", "Group", "Remarks"),
    (" A-17 ", "Ana Lima", "b", "red", "=HYPERLINK(1)"),
    ("", "", "", "", ""),
    ("Zoë", "Müller-Öz, Zoë", "", "", ""),
)


def text_of(rows, delimiter=","):
    out = io.StringIO()
    csv.writer(out, delimiter=delimiter, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def read(folder, text, encoding="utf-8"):
    path = folder / "class.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode(encoding))
    return read_class_list(path)


def refused(folder, text, encoding="utf-8"):
    """The one sentence about a class list that cannot be used."""
    with pytest.raises(ValueError) as error:
        read(folder, text, encoding)
    said = str(error.value)
    assert said.startswith("the class list ") and "class.csv" in said
    assert said.isprintable() and len(said) < 700
    return said.partition("cannot be used: ")[2]


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
@pytest.mark.parametrize(
    "encoding",
    ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"],
)
def test_whatever_a_spreadsheet_saves_is_read(encoding, delimiter, end, tmp_path):
    text = text_of(ROWS, delimiter).replace("\r\n", end)
    assert read(tmp_path, text, encoding) == (ANA, ZOE)


def test_utf_16_with_its_mark_in_front_is_read_either_way(tmp_path):
    for mark, encoding in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be")):
        data = mark + text_of(ROWS).encode(encoding)
        assert read(tmp_path, data) == (ANA, ZOE)


@pytest.mark.parametrize("before", ["\r\n\r\n", "\n", ",,,\n", "sep=,\r\n"])
def test_what_stands_before_the_names_of_the_columns_is_passed_over(before, tmp_path):
    assert read(tmp_path, before + text_of(ROWS)) == (ANA, ZOE)


def test_an_id_is_the_one_of_a_sign_in(tmp_path):
    (one,) = read(tmp_path, "id\n  ANA   Lima \n")
    assert (one.id,) == read_students("ana lima")
    assert one == Listed(id="ana lima", name="ANA   Lima")


def test_without_ids_names_are_ids(tmp_path):
    names = read(tmp_path, 'name\n"Lima, Ana"\nBob\n')
    assert [(one.id, one.name) for one in names] == [
        ("lima ana", "Lima, Ana"),
        ("bob", "Bob"),
    ]
    assert all(read_students(one.id) == (one.id,) for one in names)


def test_first_and_last_names_are_one_name(tmp_path):
    (one,) = read(tmp_path, "Surname;First_Name;E-Mail\nLima;Ana;ana@x.example\n")
    assert one == Listed(id="ana@x.example", name="Ana Lima")


@pytest.mark.parametrize("what", ["id", "name"])
def test_every_usual_name_of_a_column_is_known(what, tmp_path):
    for name in COLUMNS[what]:
        (one,) = read(tmp_path, f"room;{name.title()}\n1;Bob\n")
        assert one.id == "bob", name


def test_accents_of_two_kinds_are_one(tmp_path):
    assert "more than once" in refused(tmp_path, "name\nZo\u00eb\nZoe\u0308\n")


def test_a_cell_of_another_column_may_go_over_lines(tmp_path):
    (one,) = read(tmp_path, 'id,remarks\nana,"tall\nand late"\n')
    assert one.id == "ana"


def test_any_table_is_read_so(tmp_path):
    path = tmp_path / "tasks.csv"
    path.write_bytes("\ntask;hours\n\n'=x;2\n".encode("utf-16"))
    assert read_table(path, "list of tasks") == [
        (2, ["task", "hours"]),
        (4, ["=x", "2"]),
    ]
    path.write_text('task\n"Set, and\ncount"\n', encoding="utf-8")
    assert read_table(path, "list of tasks")[1] == (3, ["Set, and count"])
    for text, said in (("", "it is empty"), ("task\n=1+1\n", "line 2: .* formula")):
        path.write_text(text, encoding="utf-8")
        with pytest.raises(ValueError, match=f"the list of tasks .* {said}"):
            read_table(path, "list of tasks")


def test_a_comma_of_a_name_is_none_of_its_id(tmp_path):
    (one,) = read(tmp_path, 'Surname;First name;TEAM\n"Lima, da";Ana;Red\n')
    assert one == Listed(id="ana lima da", name="Ana Lima, da", group="Red")


def test_a_row_may_end_early(tmp_path):
    assert read(tmp_path, "id,name,form\nbob\n") == (Listed(id="bob", name="bob"),)


def test_what_a_spreadsheet_s_apostrophe_guards_is_text(tmp_path):
    (one,) = read(tmp_path, "id,name\n'+49,'=x\n")
    assert (one.id, one.name) == ("+49", "=x")


def test_an_id_with_a_stroke_in_it_is_no_path(tmp_path):
    (one,) = read(tmp_path, "id,name\n2031/017,Ana v. d. Berg\n")
    assert one.id == "2031/017"


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "it is empty"),
        ("\ufeff\n\n", "it is empty"),
        ("\n\n , \n", "it is empty"),
        ("id,name\n", "it names nobody"),
        ("id,name\n,\n", "it names nobody"),
        ("Ana,Lima\nBob,Ng\n", "must name the columns"),
        ("room;seat\n1;2\n", "must name the columns"),
        ("id\nbob\neve\nBOB \n", "“bob” is there more than once"),
        ("id,name\n,Ana\n", 'line 2: "Ana" has no id'),
        ('id,name\n"a,b",Ana\n', "a comma or semicolon"),
        ("id,name\nana,=1+1\n", 'line 2: the name "=1+1" is a formula'),
        ("id,name\n\n=cmd|'/c x'!A1,Ana\n", "line 3: the id"),
        ("id\n@SUM(A1)\n", "is a formula"),
        ("id\n+1+cmd|x\n", "is a formula"),
        ("id,name\nana,../../x\n", "is the path of a file"),
        ("id\n/x/y\n", "is the path of a file"),
        ("id\n~/x\n", "is the path of a file"),
        ("id\n..\\x\n", "is the path of a file"),
        ("id\na/../b\n", "is the path of a file"),
        ("id\nC:\\x\n", "is the path of a file"),
        ("id\n..\n", "is the path of a file"),
        ("id\na\\..\\b\n", "is the path of a file"),
        ("id,name,group\nana,Ana,~/x\n", "the group"),
        ("id,form\nana,Z\n", "the forms are A to H"),
        ('id,name\nana,"A\nB"\n', "not on one line"),
        ("id,name\nana,A\u202eB\n", "cannot be printed"),
        ("id,name\nana,A\x1b[2J\n", "cannot be printed"),
        (f"id\n{'x' * 61}\n", "60 are the most"),
        (f"id,name\nana,{'x' * 101}\n", "longer than 100"),
        ('id\n"' + "x" * 200_000 + '"\n', "line"),
        ('id,room\nana,"B 1\nbob,B 2\n', "quotation mark is left open"),
        ("id\0\nana\n" + "x" * 3000, "no text"),
        (b"id\n\x81\x8d\n", "letters cannot be read"),
        (b"PK\x03\x04 and so on", "save it as CSV"),
        (b"\xff\xfea", "letters cannot be read"),
        (b"id\n" + b"a" * 6_000_000, "more than 5,000,000 bytes"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_one_sentence(text, said, tmp_path):
    assert said in refused(tmp_path, text)


def test_of_many_copies_five_are_named(tmp_path):
    ids = "\n".join(f"s{n}\ns{n}" for n in range(9))
    said = refused(tmp_path, f"id\n{ids}\n")
    assert "“s0”, “s1”, “s2”, “s3”, “s4” and 4 more are there" in said


def test_a_list_of_far_too_many_is_refused(tmp_path, monkeypatch):
    monkeypatch.setattr(classlist, "MOST_LISTED", 3)
    assert "3 are the most" in refused(tmp_path, "id\na\nb\nc\nd\n")


@pytest.mark.parametrize("name", ["none.csv", ".", "", "x" * 1000, "a\0b"])
def test_a_list_that_is_not_there_is_said(name, tmp_path):
    with pytest.raises(ValueError, match="the class list") as error:
        read_class_list(tmp_path / name)
    assert "\n" not in str(error.value)
