"""The panel on which an instructor ticks explanations."""

import csv
from html import unescape

import pytest
from answering import LAB, sheet_file
from test_marking import use

from gearlab.lab.mark.claims import NO
from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.mark.reading import NONE_OF_THEM, to_read, with_ticks
from gearlab.panels import Ticking
from gearlab.panels.ticking import MOST, NOTHING

POINTS = ("held", "rolls", "one more")


@pytest.fixture(autouse=True)
def small(monkeypatch):
    """The small lab stands in for the one of its name."""
    use(monkeypatch, LAB)


def explained(folder, ids=("ana", "bob")):
    for who in ids:
        sheet_file(folder, who, answers=[("why", f"Because,\n{who} <b>.")])
    return folder


def panel_of(tmp_path, **options):
    folder = tmp_path / "sheets"
    if not folder.exists():
        explained(folder)
    return Ticking(folder, tmp_path / "ticks.csv", **options)


def legends(panel):
    return [field["label"] for field in panel.box.fields]


def ticks_in(tmp_path, who):
    marking = mark_folder(tmp_path / "sheets", ticks=tmp_path / "ticks.csv")
    (row,) = (row for row in marking.rows if row.students == (who,))
    return row.results[0].ticks


def test_a_question_is_shown_with_every_full_text_and_its_points(tmp_path):
    panel = panel_of(tmp_path)
    assert legends(panel) == ["ana: Because, / ana <b>.", "bob: Because, / bob <b>."]
    assert {tuple(field["options"]) for field in panel.box.fields} == {
        (*POINTS, NONE_OF_THEM)
    }
    assert "Turn it: why" in panel._head.value
    assert "2 of 2 are to be ticked" in panel._head.value
    assert panel.box.values == [[], []]
    assert not (tmp_path / "ticks.csv").exists()


def test_what_is_ticked_is_kept_at_once(tmp_path):
    panel = panel_of(tmp_path)
    panel.box.values = [["held", "one more"], [NONE_OF_THEM]]
    panel.keep()
    assert ticks_in(tmp_path, "ana") == (True, False, True)
    assert ticks_in(tmp_path, "bob") == (False, False, False)
    assert "To be ticked: 0." in unescape(panel.box.status)
    again = panel_of(tmp_path)
    assert again.box.values == [["held", "one more"], [NONE_OF_THEM]]
    assert again.words == "Turn it, “why”: 2 explanations, 0 to be ticked."


def test_what_was_not_read_stays_to_be_ticked(tmp_path):
    panel = panel_of(tmp_path)
    panel.box.values = [["rolls"], []]
    panel.keep()
    assert ticks_in(tmp_path, "bob") is None
    assert "To be ticked: 1." in unescape(panel.box.status)


def test_many_texts_are_several_screens(tmp_path):
    ids = [f"s{n:02}" for n in range(MOST + 3)]
    explained(tmp_path / "sheets", ids)
    panel = panel_of(tmp_path)
    assert len(panel.box.fields) == MOST
    panel.box.values = [["held"]] * MOST
    panel.keep()
    assert [text.split(":")[0] for text in legends(panel)] == ids[MOST:]
    panel.back()
    assert panel.box.values == [["held"]] * MOST
    panel.back()
    assert [text.split(":")[0] for text in legends(panel)] == ids[:MOST]


def test_names_are_those_of_the_class_list_or_none(tmp_path):
    listed = tmp_path / "class.csv"
    listed.write_text("id,name\nana,Ana Lima\n", encoding="utf-8")
    panel = panel_of(tmp_path, class_list=listed)
    assert [text.split(":")[0] for text in legends(panel)] == ["Ana Lima", "bob"]
    blind = panel_of(tmp_path, names=False)
    assert [text.split(":")[0] for text in legends(blind)] == ["Text 1", "Text 2"]


def test_a_disk_that_refuses_keeps_the_screen(tmp_path):
    folder = explained(tmp_path / "sheets")
    panel = Ticking(folder, tmp_path / "no" / "ticks.csv")
    panel.box.values = [["held"], ["held"]]
    panel.keep()
    assert "no such folder" in unescape(panel.box.status)
    assert panel.box.values == [["held"], ["held"]]
    assert "2 to be ticked" in panel.words


def test_nothing_to_read_is_said(tmp_path):
    (tmp_path / "sheets").mkdir()
    panel = panel_of(tmp_path)
    assert panel.words == NOTHING and NOTHING in panel._head.value
    assert panel.box.labels == []


@pytest.mark.parametrize("folder", ["", "none"])
def test_no_folder_is_one_sentence(folder, tmp_path):
    with pytest.raises(ValueError, match="there is no folder"):
        Ticking(folder and tmp_path / folder, tmp_path / "t.csv")


def test_the_file_is_the_one_of_the_command(tmp_path):
    panel = panel_of(tmp_path)
    panel.box.values = [["held"], []]
    panel.keep()
    text = (tmp_path / "ticks.csv").read_text(encoding="utf-8-sig")
    ana, bob = csv.DictReader(text.splitlines(keepends=True))
    assert (ana["tick 1 (x or 0)"], ana["tick 2 (x or 0)"]) == ("x", "0")
    assert bob["tick 1 (x or 0)"] == ""


def test_of_two_sheets_in_one_name_each_text_has_its_own_ticks(tmp_path):
    folder = tmp_path / "sheets"
    sheet_file(folder, "ana", answers=[("why", "Mine.")])
    other = sheet_file(tmp_path / "b", "ana", answers=[("why", "Not mine.")])
    other.rename(folder / "0.json")
    marking = mark_folder(folder)
    assert all(row.counts != NO for row in marking.rows)
    (question,) = to_read(marking)
    mine = next(one for one in question.texts if one.text == "Mine.")
    after = to_read(with_ticks(marking, question, mine, (True, True, False)))
    assert {one.text: one.ticks for one in after[0].texts} == {
        "Mine.": (True, True, False),
        "Not mine.": None,
    }
