"""Answer sheets in a browser, without one: parts of a sheet, files, where they stay."""

import json
import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest
import small_lab as small

from gearlab.base import machine
from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet import keeping, partfiles, sheet
from gearlab.lab.sheet.handin import one_file, text_to_hand_in
from gearlab.lab.sheet.keeping import how_kept, load_sheets
from gearlab.lab.sheet.newcomers import newcomers
from gearlab.lab.sheet.partfiles import parts_of
from gearlab.lab.sheet.sheet import kept_sheet, load_sheet, record, sheet_path
from gearlab.lab.suite.labs import find_lab
from gearlab.panels import Desk, Progress

LAB = "turn-one-set"
TOPIC = "first reduction"


@pytest.fixture(autouse=True)
def drive(tmp_path, monkeypatch):
    """The drive of a browser; Python runs in it."""
    monkeypatch.delenv("GEARLAB_ANSWERS", raising=False)
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    monkeypatch.setattr(machine, "sys", SimpleNamespace(platform="emscripten"))
    monkeypatch.setattr(sheet, "DRIVE", tmp_path)
    monkeypatch.setattr(keeping, "DRIVE", tmp_path)
    return tmp_path


@pytest.fixture
def tab(monkeypatch):
    """Called with a name, this process is the kernel of that tab."""
    held = {}

    def take(name):
        monkeypatch.setattr(partfiles, "_KERNEL", name)
        monkeypatch.setattr(sheet, "_written", held.setdefault(name, {}))

    return take


def paper(ids=("ana",)):
    return draw_paper(find_lab(LAB), ids)


def answers(found):
    return [attempt.answer for attempt in found.attempts]


def test_two_tabs_write_one_sheet_and_lose_nothing(tab, drive):
    for number in range(40):
        tab(f"tab{number % 2}")
        record(paper(), TOPIC, str(number))
    found, notice = load_sheet(paper())
    assert answers(found) == [str(number) for number in range(40)]
    assert notice == ""
    path = sheet_path(("ana",), LAB, "A")
    assert len(parts_of(path)) == 2
    assert not list(drive.rglob("*.lock"))
    assert kept_sheet(path) == found


CODE = """
import sys
from types import SimpleNamespace
from pathlib import Path
from gearlab.base import machine
machine.sys = SimpleNamespace(platform="emscripten")
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet import sheet
from gearlab.lab.suite.labs import find_lab
sheet.DRIVE = Path(sys.argv[1])
paper = draw_paper(find_lab("turn-one-set"), ("ana",))
for number in range(100):
    sheet.record(paper, "first reduction", f"{sys.argv[2]}{number}")
"""


def test_two_kernels_at_once_lose_nothing(drive):
    kernels = [
        subprocess.Popen([sys.executable, "-c", CODE, str(drive), ten])
        for ten in ("1", "2")
    ]
    assert [kernel.wait(60) for kernel in kernels] == [0, 0]
    found, _ = load_sheet(paper())
    wanted = [f"{ten}{number}" for ten in "12" for number in range(100)]
    assert sorted(answers(found)) == sorted(wanted)
    whens = [attempt.when for attempt in found.attempts]
    assert whens == sorted(whens)


def test_a_part_that_cannot_be_read_is_told_and_left(tab):
    tab("one")
    record(paper(), TOPIC, "3")
    (part,) = parts_of(sheet_path(("ana",), LAB, "A"))
    damaged = part.with_name(part.name.replace(".one.", ".two."))
    damaged.write_text("{", encoding="utf-8")
    found, notice = load_sheet(paper())
    assert answers(found) == ["3"]
    assert notice.startswith("A part of the answer sheet was left out: ")
    assert damaged.name in notice
    assert damaged.read_text(encoding="utf-8") == "{"
    damaged.write_text(
        part.read_text(encoding="utf-8").replace('"version": 1', '"version": 99'),
        encoding="utf-8",
    )
    with pytest.raises(ValueError, match="a later version of this program wrote it"):
        load_sheet(paper())


def test_what_a_browser_deleted_is_written_again(tab):
    tab("one")
    record(paper(), TOPIC, "3")
    (part,) = parts_of(sheet_path(("ana",), LAB, "A"))
    part.unlink()
    record(paper(), TOPIC, "4")
    assert answers(load_sheet(paper())[0]) == ["3", "4"]


def test_sheets_go_to_another_browser_and_are_marked_like_any_other(
    tab, drive, tmp_path, monkeypatch
):
    tab("one")
    right = paper().asked[TOPIC].question.answer
    record(paper(), TOPIC, "1/7")
    tab("two")
    record(paper(), TOPIC, right)
    text, notice = text_to_hand_in(("ana",))
    assert notice == ""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    monkeypatch.setattr(sheet, "DRIVE", elsewhere)
    tab("three")
    for _ in range(2):  # once more changes nothing
        whose, said = load_sheets([text])
        assert whose == ("ana",)
        assert said == "Loaded: 1 sheet of “ana”."
        assert len(load_sheet(paper())[0].attempts) == 2
    assert newcomers(("ana", "bob")) == {"bob": ""}
    record(paper(), TOPIC, right)
    made = one_file(("ana",))
    handed = tmp_path / "handed in"
    handed.mkdir()
    (handed / made.path.name).write_bytes(made.path.read_bytes())
    (handed / "earlier.json").write_text(text, encoding="utf-8")
    (row,) = mark_folder(handed).rows
    result = {one.question: one for one in row.results}[TOPIC]
    assert (result.best, result.tries) == (result.marks, 2)


def test_what_cannot_be_loaded_is_said_in_a_sentence():
    for texts in ([], ["{"], ["{}", "[]"], ['{"kind": "gearlab hand-in"}']):
        with pytest.raises(ValueError) as error:
            load_sheets(texts)
        assert "\n" not in str(error.value)
    record(paper(), TOPIC, "3")
    text, _ = text_to_hand_in(("ana",))
    newer = text.replace('"version": 1', '"version": 2')
    with pytest.raises(ValueError, match="a later version of this program wrote it"):
        load_sheets([newer])
    _, said = load_sheets([text, "{"])
    assert said.endswith("Left out: file 2 cannot be loaded: it is no whole JSON.")


# The desk ---------------------------------------------------------------------------


def heard(desk, **content):
    """What the desk's part for sheets sends when the page says something."""
    sent = []
    desk.keeping.send = lambda message: sent.append(message)
    desk.keeping._heard(content)
    return sent


def test_the_desk_says_which_of_three_it_is(drive, monkeypatch):
    desk = Desk(small.LAB)
    assert desk.keeping.told == keeping.UNTIL_CLOSED  # until the page says more
    heard(desk, storage=True)
    assert desk.keeping.told == keeping.IN_BROWSER
    heard(desk, storage=False)
    assert desk.keeping.told == keeping.UNTIL_CLOSED
    for module in (sheet, keeping):
        monkeypatch.setattr(module, "DRIVE", drive / "none")
    assert how_kept(storage=True) == keeping.UNTIL_CLOSED
    (drive / "file").write_text("", encoding="utf-8")
    monkeypatch.setenv("GEARLAB_ANSWERS", str(drive / "file" / "answers"))
    assert how_kept(storage=True) == keeping.NOT_KEPT


def test_the_desk_gives_sheets_and_takes_them(drive, monkeypatch):
    desk = Desk(LAB)
    assert heard(desk, download=True) == []
    assert "nobody is signed in" in desk.keeping.said["words"]
    desk.sign_in("ana", sure=True)
    desk.put_down(TOPIC, "3")
    ((file,),) = [list(message.values()) for message in heard(desk, download=True)]
    assert file["name"].startswith("hand-in_")
    assert json.loads(file["text"])["students"] == ["ana"]
    (drive / "other").mkdir()
    monkeypatch.setattr(sheet, "DRIVE", drive / "other")
    other = Desk(LAB)
    heard(other, load=[file["text"]])
    assert other.work.students == ("ana",)
    assert answers(other.work.sheet) == ["3"]
    assert other.keeping.said["words"].startswith("Loaded: 1 sheet")
    heard(other, load=["nonsense"])
    assert other.keeping.said["kind"] == "fault"


def test_answers_that_no_disk_takes_are_downloaded_too(drive, monkeypatch):
    desk = Desk(LAB)
    desk.sign_in("ana", sure=True)

    def full(path, text):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(sheet, "replace_file", full)
    for number in ("3", "4"):
        assert "is not on the disk yet" in desk.put_down(TOPIC, number).words
    ((file,),) = [list(message.values()) for message in heard(desk, download=True)]
    (one,) = json.loads(file["text"])["sheets"]
    assert [attempt["answer"] for attempt in one["attempts"]] == ["3", "4"]


def test_the_page_of_labs_offers_what_a_browser_can_do():
    page = Progress("ana")
    assert "save the page as PDF" not in page.box.labels
    page.hand_in()
    assert "press “download my sheets” at the desk" in page.box.status


def test_elsewhere_a_desk_has_no_such_part(monkeypatch, tmp_path):
    monkeypatch.setattr(machine, "sys", SimpleNamespace(platform="linux"))
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "answers"))
    desk = Desk(small.LAB)
    assert desk.keeping is None
    assert not Path(tmp_path / "answers").exists()
