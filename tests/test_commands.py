"""The commands by what a person wants to do: their help, their exit codes, their CI."""

import csv
import importlib
import re
import subprocess
import sys
from pathlib import Path

import pytest
from answering import right_answer
from test_house import blocks
from test_marking import run

import gearlab as gl
from gearlab import __main__ as command
from gearlab.commands.frame import EXIT_CODES, lab_names
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.sheet import record
from gearlab.lab.suite.labs import ANY_UNIT, CORE, LAB_NAMES, find_lab

ROOT = Path(__file__).resolve().parents[1]
COMMANDS = {one.name: one for group in command.GROUPS.values() for one in group}
TRAIN = """
name = "One pair of sets"
input = "first sun"
output = "first carrier"
[sets.first]
kind = "simple"
sun = 30
ring = 70
planets = 4
[brakes]
"ring brake" = "first ring"
[clutches]
"lock clutch" = ["first sun", "first ring"]
[ranges]
1 = {{ applied = ["ring brake"], published = {low} }}
2 = ["lock clutch"]
{more}
"""


def told(capsys, *words):
    """(exit code, what was said, what went wrong) of a command."""
    try:
        code = command.main(list(map(str, words)))
    except SystemExit as left:
        code = left.code
    return code, *capsys.readouterr()


def train_file(folder, low="3.33", more="", name="unit.toml"):
    path = folder / name
    path.write_text(TRAIN.format(low=low, more=more), encoding="utf-8")
    return path


# Help ---------------------------------------------------------------------------------


def test_the_help_tells_every_command_in_its_group(capsys):
    code, out, err = told(capsys)
    assert (code, err) == (0, "")
    assert told(capsys, "--help")[1] == out
    places = [out.index(f"\n{title}:\n") for title in command.GROUPS]
    assert places == sorted(places)
    for title, group in command.GROUPS.items():
        for one in group:
            line = re.search(rf"^  {one.name} +(.+)$", out, re.MULTILINE)
            assert line[1] == one.summary
            assert line.start() > out.index(f"\n{title}:\n")
    for exit_code, words in EXIT_CODES.items():
        assert re.search(rf"^  {exit_code} +{words}$", out, re.MULTILINE)
    assert max(map(len, out.splitlines())) <= 80


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_examples_that_can_be_typed(name, capsys):
    code, out, _ = told(capsys, name, "--help")
    assert code == 0
    one = COMMANDS[name]
    assert one.about.splitlines()[0] in out
    for example in one.examples:
        assert f"  python -m gearlab {example}\n" in out
        words = [word.strip('"') for word in re.findall(r'"[^"]*"|\S+', example)]
        assert command._parser().parse_args(words).run is one.run


def test_a_command_that_is_none_is_said(capsys):
    code, _, err = told(capsys, "chek")
    assert code == 2
    assert "check" in err and "Traceback" not in err


def test_python_m_gearlab_is_the_same():
    done = run()
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("usage: python -m gearlab COMMAND")


# check --------------------------------------------------------------------------------


def test_a_train_without_a_fault(capsys, tmp_path):
    code, out, err = told(capsys, "check", train_file(tmp_path))
    assert (code, err) == (0, "")
    assert "One pair of sets, 1 gear sets." in out
    assert "2 ranges, 1 with a published ratio: 0 wrong, 0 to look at." in out
    assert "as published" not in out
    _, out, _ = told(capsys, "check", train_file(tmp_path), "--all")
    assert "range 1 is correct: it gives 3.333 (10/3), as published." in out


def test_a_published_ratio_that_is_not_its_own_fails_with_a_remedy(capsys, tmp_path):
    code, out, _ = told(capsys, "check", train_file(tmp_path, low="3.15"))
    assert code == 1
    assert "wrong    range 1 gives 3.333 (10/3), but 3.15 is published." in out
    assert "published.\n           Count this range on the unit; if the row" in out


@pytest.mark.parametrize(
    ("row", "code", "said", "remedy"),
    [
        ('3 = ["ring brake", "lock clutch"]', 1, "ties up", "Take one of those"),
        (
            "3 = []",
            0,
            "range 3 drives nothing: it is neutral",
            "an element that is missing",
        ),
        ("N = []", 0, "0 to look at", ""),
        ("3 = { applied = [], published = 2 }", 1, "should drive", "is missing"),
    ],
)
def test_a_row_that_does_not_what_it_should(row, code, said, remedy, capsys, tmp_path):
    got, out, _ = told(capsys, "check", train_file(tmp_path, more=row))
    assert got == code
    assert said in out and remedy in out


def test_what_no_range_applies_is_told(capsys, tmp_path):
    path = train_file(tmp_path)
    text = path.read_text(encoding="utf-8")
    text = text.replace("[clutches]", '"sun brake" = "first sun"\n[clutches]')
    path.write_text(text, encoding="utf-8")
    code, out, _ = told(capsys, "check", path)
    assert code == 0
    assert 'no range applies "sun brake"' in out
    assert "1 to look at" in out


@pytest.mark.parametrize("name", gl.train_names())
def test_no_shipped_train_has_a_fault(name, capsys):
    code, out, _ = told(capsys, "check", name)
    assert code == 0
    assert " 0 wrong" in out


def test_of_several_files_the_worst_is_the_exit_code(capsys, tmp_path):
    fine = train_file(tmp_path)
    wrong = train_file(tmp_path, low="3.15", name="wrong.toml")
    broken = tmp_path / "broken\x1b[2J.toml"
    broken.write_text("name = ", encoding="utf-8")
    assert told(capsys, "check", fine, wrong)[0] == 1
    code, out, _ = told(capsys, "check", broken, wrong, fine)
    assert code == 2
    assert out.count("\n  wrong  ") == 2
    assert "\x1b" not in out
    code, out, _ = told(capsys, "check", "five-ranges", tmp_path / "none.toml")
    assert code == 2
    assert 'did you mean "five-range"?\n' in out and "none.toml" in out
    assert told(capsys, "check")[0] == 2


# mark, with a class -------------------------------------------------------------------


@pytest.fixture
def handed_in(tmp_path):
    folder = tmp_path / "handed in"
    paper = draw_paper(find_lab("turn-one-set"), ("s17",))
    for name in paper.asked:
        record(paper, name, right_answer(paper, name), folder=folder)
    listed = tmp_path / "class.csv"
    listed.write_text("id;name\ns17;Zoë\ns18;Bo\n", encoding="cp1252")
    return folder, listed


def test_a_class_becomes_a_gradebook(capsys, handed_in, tmp_path):
    pytest.importorskip("openpyxl")
    folder, listed = handed_in
    book, sheet, wall = (tmp_path / f"b.{end}" for end in ("csv", "xlsx", "svg"))
    code, out, _ = told(
        capsys, "mark", folder, "--class", listed, "--gradebook", book,
        "--gradebook", sheet, "--separator", "semicolon", "--no-mark",
        "--labs", "1,count-the-teeth", "--picture", wall, "--no-names",
    )  # fmt: skip
    assert code == 0
    assert "Help: Bo: nothing handed in." in out
    assert out.count("Written: ") == 3
    data = book.read_bytes()
    assert not data.startswith(b"\xef\xbb\xbf")
    rows = list(csv.reader(data.decode("utf-8").splitlines(), delimiter=";"))
    assert [row[:2] for row in rows[1:]] == [["s17", "Zoë"], ["s18", "Bo"]]
    assert "Count the teeth: state" in rows[0]
    assert sheet.stat().st_size > 1000
    assert "Zoë" not in wall.read_text(encoding="utf-8")


def test_the_options_of_before_go_with_a_class(capsys, handed_in, tmp_path):
    folder, listed = handed_in
    marks, ticks = tmp_path / "m.csv", tmp_path / "t.csv"
    words = ("mark", folder, "--class", listed, "--csv", marks, "--ticks", ticks)
    assert told(capsys, *words)[0] == 0
    assert marks.is_file() and ticks.is_file()
    assert told(capsys, *words)[0] == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--gradebook", "b.csv"), "--gradebook is given without a class list"),
        (("--labs", "1"), "--labs is given without a class list"),
        (("--picture", "b.svg"), "add --class LIST"),
        (("--class", "none.csv"), "the class list"),
        (("--class", "LIST", "--gradebook", "b.doc"), "must end in .csv or .xlsx"),
        (("--class", "LIST", "--labs", "99"), "there is no lab 99"),
        (("--class", "LIST", "--labs", "turn-one-sets"), "did you mean"),
        (("--class", "LIST", "--labs", ","), "no lab is given"),
        (("--class", "LIST", "--form", "Z"), "invalid choice"),
        (("--class", "LIST", "--picture", "w.svg", "--group", "x"), "no group"),
        (("--class", "LIST", "--picture", "w.doc"), "must"),
        (("--class", "LIST", "--gradebook", "no/such/b.csv"), "no such folder"),
    ],
)
def test_what_cannot_be_is_one_sentence(words, said, capsys, handed_in, monkeypatch):
    folder, listed = handed_in
    monkeypatch.chdir(listed.parent)
    words = [str(listed) if word == "LIST" else word for word in words]
    code, _, err = told(capsys, "mark", folder, *words)
    assert code == 2
    assert said in err and "Traceback" not in err
    assert not err.startswith("Not done") or err.count("\n") == 1
    assert sorted(path.name for path in listed.parent.iterdir()) == [
        "class.csv",
        "handed in",
    ]


def test_a_gradebook_that_cannot_be_is_said_before_the_sheets_are_marked(
    capsys, handed_in, monkeypatch, tmp_path
):
    folder, listed = handed_in
    from gearlab.lab.mark import marking

    monkeypatch.setattr(marking, "mark_sheet", None)
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    words = ("mark", folder, "--class", listed, "--gradebook", tmp_path / "b.xlsx")
    code, out, err = told(capsys, *words)
    assert (code, out) == (2, "")
    assert "pip install" in err


def test_labs_are_named_as_people_name_them():
    assert lab_names("core") == CORE
    assert lab_names("core, further") == LAB_NAMES
    assert lab_names(" 12,turn-one-set, 12") == (LAB_NAMES[0], "design-a-train")
    assert lab_names("15") == ("find-the-fault",)
    assert lab_names("03, 14") == ("know-the-unit", ANY_UNIT)
    for none in ("0", "13", "99", "9" * 5000):
        with pytest.raises(ValueError, match=r"there is no lab .* 16 and 14"):
            lab_names(none)


# doctor -------------------------------------------------------------------------------


def test_the_doctor_says_what_is_here(capsys, monkeypatch, tmp_path):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "not" / "yet"))
    code, out, _ = told(capsys, "doctor")
    assert code == 0
    assert out.startswith("Set-up: all is well.\n")
    assert f"kept in {tmp_path / 'not' / 'yet'}." in out
    assert "openpyxl" in out and "typst" in out
    assert list(tmp_path.iterdir()) == []


def test_the_doctor_finds_what_is_wrong(capsys, monkeypatch, tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "file"))
    code, out, _ = told(capsys, "doctor")
    assert code == 1
    assert "set GEARLAB_ANSWERS to another folder" in out
    monkeypatch.setenv("GEARLAB_ANSWERS", "here")
    code, out, _ = told(capsys, "doctor")
    assert code == 1 and "from the root on" in out
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    # By this name the package has the function, not the module.
    module = importlib.import_module(gl.doctor.__module__)
    monkeypatch.setattr(module, "PYTHON", (9, 0))
    monkeypatch.setattr(module, "EXTRAS", {"no-such-package": "nothing"})
    code, out, _ = told(capsys, "doctor")
    assert code == 1
    assert "9.0 or later is needed" in out
    assert "no-such-package is not installed (nothing); to have it run: " in out


# The README and CI --------------------------------------------------------------------


def test_the_readme_tells_every_command():
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    assert not [name for name in COMMANDS if f"`{name}" not in text]


def recipe():
    """The lines of the CI recipe after the one that installs."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    (block,) = [one for one in blocks(text, "sh") if "gearlab check" in one]
    lines = [line for line in block.splitlines() if line and line[0] != "#"]
    at = next(n for n, line in enumerate(lines) if "pip install" in line)
    return lines[:at], lines[at + 1 :]


def book_of(code):
    return (
        '{"cells": [{"cell_type": "code", "execution_count": null, "id": "a",'
        f' "metadata": {{}}, "outputs": [], "source": ["{code}"]}}],'
        ' "metadata": {}, "nbformat": 4, "nbformat_minor": 5}'
    )


@pytest.mark.skipif(sys.platform == "win32", reason="the recipe is for a Unix shell")
@pytest.mark.parametrize(
    ("low", "code", "fails"),
    [
        ("3.33", "1", False),
        ("3.15", "1", True),
        ("3.33", "1 / 0", True),
    ],
    ids=["fine", "ratio", "notebook"],
)
def test_the_ci_recipe_fails_where_something_is_wrong(low, code, fails, tmp_path):
    (tmp_path / "trains").mkdir()
    (tmp_path / "notebooks").mkdir()
    train_file(tmp_path / "trains", low=low)
    notebook = tmp_path / "notebooks" / "mine.ipynb"
    notebook.write_text(book_of(code), encoding="utf-8")
    first, rest = recipe()
    script = "\n".join([*first, *rest]).replace(".venv/bin/python", sys.executable)
    script = f"export PYTHONPATH='{ROOT}'\n{script}"
    done = subprocess.run(
        ["bash", "-c", script], cwd=tmp_path, capture_output=True, timeout=120,
        check=False,
    )  # fmt: skip
    assert (done.returncode != 0) == fails, done.stdout + done.stderr


# A road log ---------------------------------------------------------------------------


def test_a_road_log_is_read_told_and_drawn(capsys, tmp_path):
    train, path = gl.load_train("six-range"), tmp_path / "drive.csv"
    gl.make_log(train, rate=20).write(path)
    picture = tmp_path / "drive.png"
    code, out, err = told(
        capsys, "read-log", path, "--train", "six-range", "--picture", picture
    )
    assert (code, err) == (0, "")
    assert "Shifts: 5, of which 0 not clean." in out
    assert f"Written: {picture}" in out and picture.stat().st_size > 10_000
    five = gl.load_train("five-range")
    fails = next(one for one in gl.faults(five) if one.about == "direct clutch")
    gl.make_log(five, fault=fails, rate=20).write(path)
    code, out, _ = told(capsys, "read-log", path)
    assert code == 1 and "The direct clutch fails to apply" in out


def test_columns_of_a_road_log_are_named_and_shown(capsys, tmp_path):
    path = tmp_path / "drive.csv"
    path.write_text("T;a;b\n0;1,5;2\n100;1,5;2\n", encoding="utf-8")
    words = ["read-log", path, "--preview", "--column", "time=T", "--column", "input=2"]
    code, out, err = told(capsys, *words, "--unit", "time=ms")
    assert code == 2 and "no column for the output speed" in err
    code, out, err = told(capsys, *words, "--unit", "time=ms", "--column", "output=b")
    assert code == 0 and "2: a" in out and "unit given" in out
    code, out, err = told(capsys, "read-log", path, "--column", "time")
    assert code == 2 and "--column input=n1" in err
