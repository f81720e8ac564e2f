"""A clumsy or hostile hand-in never changes the marks of an honest one."""

import csv
import io
import json
import os
from itertools import permutations
from time import process_time

import pytest
from answering import LAB, changed, paper_of, right_answer, sheet_file
from hypothesis import given as drawn
from hypothesis import settings
from hypothesis import strategies as st
from test_marking import result, small, use  # noqa: F401

from gearlab.lab.mark.marking import mark_folder, to_csv, to_text, write_ticks
from gearlab.lab.sheet.answers import MOST_ATTEMPTS
from gearlab.lab.sheet.answers import to_text as sheet_text
from gearlab.lab.sheet.handin import one_file
from gearlab.lab.sheet.sheet import read_sheet, record

pytestmark = pytest.mark.usefixtures("small")
ANSWERS = [("ratio", None), ("way", None), ("why", "The ring is held.")]


def honest(folder, *students, answers=ANSWERS):
    return sheet_file(folder, *(students or ["ana"]), answers=answers)


def by_counts(marking, counts):
    return [row for row in marking.rows if row.counts == counts]


def table_of(marking):
    return list(csv.DictReader(io.StringIO(to_csv(marking))))


@pytest.mark.parametrize("name", ["0.json", "zz.json", "0/a.json"])
def test_a_sheet_in_another_s_name_does_not_replace_hers(name, tmp_path):
    folder = tmp_path / "handed in"
    path = honest(folder)
    alone = mark_folder(folder).rows
    bad = sheet_file(tmp_path / "bad", "bob", answers=[("ratio", "1")])
    changed(bad, lambda data: data.update(students=["ana"]))
    (folder / name).parent.mkdir(exist_ok=True)
    bad.rename(folder / name)
    marking = mark_folder(folder)
    assert by_counts(marking, "yes") == list(alone)
    assert (alone[0].first_mark, alone[0].files) == (3, (path.name,))
    (shown,) = by_counts(marking, "no")
    assert shown.files == (name,)
    assert "does not count" in shown.notes[0]
    (sentence,) = marking.conflicts
    assert name in sentence and path.name in sentence and "ana" in sentence
    assert f"In one name: {sentence}." in to_text(marking)
    rows = table_of(marking)
    assert [row["counts"] for row in rows] == ["yes", "no"]
    assert [row["best try"] for row in rows] == ["3", ""]
    ticks = write_ticks(marking, tmp_path / "t.csv").read_text(encoding="utf-8")
    assert ticks.count("The ring is held.") == 1


def test_earlier_wrong_tries_in_a_copy_do_not_cut_her_first_try(tmp_path):
    path = honest(tmp_path)
    data = json.loads(path.read_text(encoding="utf-8"))
    wrong = data["attempts"][0] | {"id": "x", "answer": "99", "when": "1999"}
    data["attempts"].insert(0, wrong)
    (tmp_path / "0.json").write_text(json.dumps(data), encoding="utf-8")
    marking = mark_folder(tmp_path)
    forged, hers = sorted(marking.rows, key=lambda row: row.files)
    assert (hers.first_mark, forged.first_mark) == (3, 1)
    assert hers.counts == forged.counts == "ask"
    (sentence,) = marking.conflicts
    assert "0.json" in sentence and path.name in sentence
    assert "find out which one is theirs" in sentence
    assert all("find out" in row["notes"] for row in table_of(marking))


def test_her_own_numbers_in_a_forged_sheet_are_shown_beside_hers(tmp_path):
    """Anybody can work out what anybody is asked."""
    path = honest(tmp_path)
    wrong = sheet_file(tmp_path / "bad", "ana", answers=[("ratio", "99")])
    wrong.rename(tmp_path / "0.json")
    marking = mark_folder(tmp_path)
    assert {row.files: row.first_mark for row in by_counts(marking, "ask")} == {
        (path.name,): 3,
        ("0.json",): 0,
    }


def test_a_changed_answer_is_shown_beside_hers(tmp_path):
    path = honest(tmp_path, answers=[("ratio", "9")])
    forged = json.loads(path.read_text(encoding="utf-8"))
    forged["attempts"][0]["answer"] = str(right_answer(paper_of("ana"), "ratio"))
    (tmp_path / "z.json").write_text(json.dumps(forged), encoding="utf-8")
    marking = mark_folder(tmp_path)
    assert [row.best_mark for row in by_counts(marking, "ask")] == [0, 2]


def test_two_of_numbers_that_are_nobody_s_are_both_shown(tmp_path):
    for name in ("bob", "eve"):
        path = sheet_file(tmp_path, name, answers=[("way", None)])
        changed(path, lambda data: data.update(students=["ana"]))
    marking = mark_folder(tmp_path)
    assert len(by_counts(marking, "ask")) == len(marking.rows) == 2


def test_whatever_the_names_of_the_files_the_marking_is_the_same(tmp_path):
    path = honest(tmp_path / "made")
    hers = path.read_bytes()
    changed(path, lambda data: data["attempts"][0].update(answer="99"))
    forged = path.read_bytes()
    foreign = sheet_file(tmp_path / "made", "bob", answers=[("way", None)])
    changed(foreign, lambda data: data.update(students=["ana"]))
    seen = set()
    for n, order in enumerate(permutations([hers, forged, foreign.read_bytes()])):
        folder = tmp_path / str(n)
        folder.mkdir()
        for name, data in zip("abc", order, strict=True):
            (folder / f"{name}.json").write_bytes(data)
        rows = mark_folder(folder).rows
        seen.add(tuple(sorted((row.counts, row.first_mark) for row in rows)))
    assert seen == {(("ask", 1), ("ask", 3), ("no", 0))}


def test_a_sheet_with_another_s_number_hides_no_sheet_that_it_holds(tmp_path):
    honest(tmp_path / "class", answers=[("ratio", None)])
    path = honest(tmp_path / "home", answers=[("way", None)])
    data = json.loads(path.read_text(encoding="utf-8"))
    data["questions"]["row"] = {"revision": 1, "given": {"sun": 1, "ring": 2}}
    (tmp_path / "0.json").write_text(json.dumps(data), encoding="utf-8")
    marking = mark_folder(tmp_path)
    (row,) = by_counts(marking, "yes")
    assert row.first_mark == 3
    assert [one.files for one in by_counts(marking, "no")] == [("0.json",)]


# What may be done to a copy of her sheet: a try put in, taken out or changed, another's
# number, a question taken out with its tries.
STEP = st.tuples(
    st.sampled_from(["in", "out", "other", "number", "question"]),
    st.integers(0, 4),
    st.sampled_from(["ratio", "way", "row", "why"]),
)
WRONG = {"ratio": "1", "way": "backward", "row": "low brake", "why": "So."}
FILES = st.lists(st.lists(STEP, max_size=4), min_size=1, max_size=3)


def hostile(data, steps, name):
    """The data of a sheet after these steps."""
    attempts = data["attempts"]
    for number, (step, place, question) in enumerate(steps):
        if step == "in" and question in data["questions"]:
            new = {"id": f"{name}{number}", "question": question, "hints": 0}
            new |= {"answer": WRONG[question], "when": "1"}
            attempts.insert(place, new)
        elif step == "out" and attempts:
            attempts.pop(place % len(attempts))
        elif step == "other" and attempts:
            one = attempts[place % len(attempts)]
            one["answer"] = WRONG[one["question"]]
        elif step == "number" and question in data["questions"]:
            data["questions"][question]["given"]["sun"] = 99
        elif step == "question":
            data["questions"].pop(question, None)
            attempts[:] = [one for one in attempts if one["question"] != question]
    return data


@pytest.fixture(scope="module")
def class_folder(tmp_path_factory):
    return tmp_path_factory.mktemp("class")


@settings(max_examples=150)
@drawn(files=FILES)
def test_nothing_done_to_copies_costs_her_a_mark(files, class_folder):
    for path in class_folder.iterdir():
        path.unlink()
    hers = honest(class_folder, answers=[*ANSWERS, ("ratio", "9")])
    alone = mark_folder(class_folder).rows[0]
    for number, steps in enumerate(files):
        data = hostile(json.loads(hers.read_text(encoding="utf-8")), steps, number)
        text = json.dumps(data)
        (class_folder / f"{number}.json").write_text(text, encoding="utf-8")
    marking = mark_folder(class_folder)
    shown = {name for row in marking.rows for name in row.files}
    shown |= {name for name, _ in (*marking.copies, *marking.skipped)}
    assert shown == {path.name for path in class_folder.iterdir()}
    copy_of = {name: what.split()[-1] for name, what in marking.copies}
    where = copy_of.get(hers.name, hers.name)
    (row,) = (row for row in marking.rows if where in row.files)
    assert row.counts != "no"
    for mine in alone.results:
        there = result(row, mine.question)
        assert there.first == mine.first
        assert there.best >= mine.best
    if [one.counts for one in marking.rows].count("yes") == 0:
        assert marking.conflicts


def test_sheets_that_cannot_be_marked_are_all_named(tmp_path):
    for n, answers in enumerate(([("ratio", "1")], [("way", "forward")])):
        path = honest(tmp_path / str(n), answers=answers)
        changed(path, lambda data: data.update(lab="no-such-lab"))
    marking = mark_folder(tmp_path)
    assert [name[0] for name, _ in marking.skipped] == ["0", "1"]
    assert marking.rows == ()


# Honest copies ------------------------------------------------------------------------


def test_what_was_answered_at_two_places_is_put_together(tmp_path):
    one = honest(tmp_path / "home", answers=[("ratio", None)])
    honest(tmp_path / "class", answers=[("way", None), ("why", "So.")])
    marking = mark_folder(tmp_path)
    (row,) = marking.rows
    assert (row.first_mark, row.counts) == (3, "yes")
    assert row.files == (f"class/{one.name}", f"home/{one.name}")
    assert row.notes == (f"put together from {row.files[0]}, {row.files[1]}",)
    assert marking.conflicts == marking.copies == ()


def test_the_sheet_and_the_file_of_all_labs_are_one(tmp_path):
    path = honest(tmp_path)
    made = one_file(("ana",), folder=tmp_path).path
    alone = mark_folder(tmp_path)
    (row,) = alone.rows
    (copy,) = alone.copies
    assert {copy[0], *row.files} == {path.name, f"{made.name}, sheet 1"}
    assert copy[1].startswith("the same as")
    path.unlink()
    (other,) = mark_folder(tmp_path).rows
    assert (other.first_mark, other.results) == (3, row.results)
    record(paper_of("ana"), "ratio", "5", folder=tmp_path)
    assert by_counts(mark_folder(tmp_path), "ask")


def test_a_file_of_all_labs_is_marked_as_loose_sheets_are(tmp_path):
    loose, packed = tmp_path / "loose", tmp_path / "packed"
    packed.mkdir()
    for who in ("ana", "bob"):
        for form in "AB":
            sheet_file(loose, who, form=form, answers=ANSWERS)
        one_file((who,), folder=loose).path.rename(packed / f"{who}.json")
    wanted = mark_folder(loose).rows
    rows = mark_folder(packed).rows
    assert [row.files for row in rows] == [
        (f"{who}.json, sheet {n}",) for n in (1, 2) for who in ("ana", "bob")
    ]
    bare = [(row.students, row.form, row.results, row.notes) for row in rows]
    assert bare == [(row.students, row.form, row.results, row.notes) for row in wanted]


def test_a_damaged_sheet_in_a_file_of_several_is_named(tmp_path):
    sheet_file(tmp_path, "ana", answers=ANSWERS)
    sheet_file(tmp_path, "ana", form="B", answers=ANSWERS)
    path = one_file(("ana",), folder=tmp_path).path
    for loose in tmp_path.glob("turn*"):
        loose.unlink()
    changed(path, lambda data: data["sheets"][0].update(form="Z"))
    marking = mark_folder(tmp_path)
    assert [row.form for row in marking.rows] == ["B"]
    assert marking.skipped == ((f"{path.name}, sheet 1", "its form is unknown"),)


def test_many_copies_are_not_many_lines(tmp_path):
    path = honest(tmp_path)
    for n in range(30):
        (tmp_path / f"{n}.json").write_bytes(path.read_bytes())
    marking = mark_folder(tmp_path)
    assert (len(marking.rows), len(marking.copies)) == (1, 30)
    lines = to_text(marking).splitlines()
    assert sum(line.startswith("Copy: ") for line in lines) == 20
    assert lines[-1] == "Copies, 10 more."


def test_a_packed_file_is_not_unpacked(tmp_path):
    (tmp_path / "all.zip").write_bytes(b"PK\x03\x04")
    assert "unpack it" in dict(mark_folder(tmp_path).skipped)["all.zip"]


# Two sheets of one name, ticked -------------------------------------------------------


def test_ticks_know_two_texts_of_one_name_apart(tmp_path):
    folder = tmp_path / "sheets"
    honest(folder, answers=[("why", "Mine.")])
    honest(tmp_path, answers=[("why", "=Not mine;=1")]).rename(folder / "0.json")
    path = write_ticks(mark_folder(folder), tmp_path / "ticks.csv")
    rows = list(csv.reader(io.StringIO(path.read_text(encoding="utf-8-sig"))))
    for row in rows[1:]:
        row[6:11:2] = ("x", "x", "0") if "Mine" in row[4] else ("0", "0", "0")
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(rows)
    marking = mark_folder(folder, ticks=path)
    marks = {row.results[0].text: row.explained for row in marking.rows}
    assert marks == {"Mine.": 2, "=Not mine;=1": 0}
    assert not any("another text" in note for row in marking.rows for note in row.notes)


# What is printed ----------------------------------------------------------------------

FORGED = "x\nana   turn-one-set  A     9\x1b[2J\u202e.json"


def test_a_name_of_a_file_forges_no_row_and_moves_no_cursor(tmp_path):
    honest(tmp_path)
    (tmp_path / FORGED).write_text("{}", encoding="utf-8")
    (tmp_path / "not\r\x07.txt").write_text("", encoding="utf-8")
    honest(tmp_path / "b", answers=[("ratio", "99")]).rename(tmp_path / f"y{FORGED}")
    (tmp_path / os.fsdecode(b"\xff.txt")).touch()
    marking = mark_folder(tmp_path)
    text = to_text(marking)
    assert all(line.isprintable() for line in text.split("\n"))
    assert sum(line.startswith("ana") for line in text.split("\n")) == 2
    assert "\\x1b[2J\\u202e.json" in text
    for row in table_of(marking):
        assert all(cell.isprintable() for cell in row.values())
    text.encode("utf-8")


def test_signs_in_an_explanation_are_visible_in_the_table(tmp_path):
    honest(tmp_path, answers=[("why", "One\x1b[2J.\nTwo\x00;\t@three")])
    path = write_ticks(mark_folder(tmp_path), tmp_path / "t.csv")
    (row,) = csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig")))
    assert row["text"] == "One\\x1b[2J.\nTwo\\x00;\t'@three"


# Bounds -------------------------------------------------------------------------------

LONG = 10**6
HUGE = {
    "ids of many letters": {"students": ["x" * 100_000]},
    "many ids": {"students": ["x"] * 100_000},
    "many answers": {"attempts": [{}] * 300_000},
    "name of a lab": {"lab": "x" * 100_000},
    "a question of many letters": {"questions": {"x" * 100_000: {}}},
}


@pytest.mark.parametrize("what", HUGE)
def test_a_huge_sheet_is_refused_at_once(what, tmp_path):
    path = honest(tmp_path)
    changed(path, lambda data: data.update(HUGE[what]))
    start = process_time()
    marking = mark_folder(tmp_path)
    assert process_time() - start < 2
    ((name, why),) = marking.skipped
    assert name == path.name
    assert 0 < len(why) <= 100


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("[" * (LONG + 1), "bytes"), ("[" * 900_000, "no whole JSON"),
        ('{"a":' * 150_000, "no whole JSON"), ("[]," * 3 * LONG, "bytes"),
        ('{"kind": "gearlab hand-in", "x": ' + "[" * 4 * LONG, "no whole JSON"),
        ('{"kind": "gearlab hand-in", "x": "' + "x" * 6 * LONG, "5,000,000 bytes"),
        ("1e9999999", "no answer sheet"), ("9" * 500_000, "no whole JSON"),
    ],
)  # fmt: skip
def test_deep_and_large_json_is_refused_at_once(text, said, tmp_path):
    (tmp_path / "x.json").write_text(text, encoding="utf-8")
    start = process_time()
    assert said in mark_folder(tmp_path).skipped[0][1]
    assert process_time() - start < 2


def test_more_answers_than_a_sheet_may_have_are_said(tmp_path):
    sheet_file(tmp_path, "ana", answers=[("ratio", "1")])
    path = one_file(("ana",), folder=tmp_path).path

    def fill(data):
        one = data["sheets"][0]["attempts"][0]
        many = range(MOST_ATTEMPTS + 1)
        data["sheets"][0]["attempts"] = [
            one | {"id": str(n), "when": "1"} for n in many
        ]

    changed(path, fill)
    assert dict(mark_folder(tmp_path).skipped)[f"{path.name}, sheet 1"] == (
        "it has more than 20,000 answers"
    )


def test_many_sheets_in_one_name_are_shown_in_time(tmp_path):
    sheet = read_sheet(honest(tmp_path))
    for n in range(600):
        attempts = [vars(one) | {"id": f"{n} {one.id}"} for one in sheet.attempts]
        data = json.loads(sheet_text(sheet)) | {"attempts": attempts}
        if n % 2:
            data["questions"]["ratio"]["given"]["sun"] = 99
        (tmp_path / f"{n}.json").write_text(json.dumps(data), encoding="utf-8")
    start = process_time()
    marking = mark_folder(tmp_path)
    assert process_time() - start < 10
    assert len(by_counts(marking, "ask")) == 301
    assert len(by_counts(marking, "no")) == 300
    assert all(len(sentence) < 1000 for sentence in marking.conflicts)


def test_a_folder_of_far_too_many_files_is_refused(tmp_path, monkeypatch):
    from gearlab.lab.mark import gathering

    monkeypatch.setattr(gathering, "_MOST_FILES", 5)
    for n in range(6):
        (tmp_path / f"{n}.txt").write_text("", encoding="utf-8")
    with pytest.raises(ValueError, match="more than 5 files"):
        mark_folder(tmp_path)


def test_the_lab_is_the_small_one():
    assert LAB.name == "turn-one-set"
