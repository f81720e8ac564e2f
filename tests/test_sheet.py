"""Answer sheets: nothing that was answered is lost, and no file breaks the reading."""

import errno
import json
import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from answering import (
    LAB,
    TOPICS,
    changed,
    draw,
    make_lab,
    paper_of,
    ratio,
    right_answer,
    ring_over_sun,
    sheet_file,
)
from hypothesis import given as drawn
from hypothesis import strategies as st

from gearlab.base import filewriter
from gearlab.base.frozenmap import FrozenMap
from gearlab.lab.question.checking import check
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet import sheet as sheet_module
from gearlab.lab.sheet import sheetfile
from gearlab.lab.sheet.answers import LARGEST, from_text, holds, to_text, united
from gearlab.lab.sheet.sheet import (
    answers_folder,
    as_begun,
    load_sheet,
    read_sheet,
    record,
    sheet_path,
)
from gearlab.lab.sheet.students import read_students
from gearlab.lab.suite.labs import find_lab

PAPER = paper_of("ana")
WRITER = """
import sys
from gearlab.lab.suite.labs import find_lab
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.sheet import record
folder, first = sys.argv[1], int(sys.argv[2])
paper = draw_paper(find_lab("turn-one-set"), ("ana",), "A")
for n in range(first, first + 200):
    record(paper, "first reduction", str(n), folder=folder)
"""


# Where it lies ------------------------------------------------------------------------


def test_the_folder_is_said_by_the_environment(monkeypatch, tmp_path):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "mine"))
    assert answers_folder() == tmp_path / "mine"
    record(PAPER, "way", "forward")
    assert list((tmp_path / "mine").glob("*.json"))


@pytest.mark.parametrize("said", ["", "  "])
def test_the_folder_is_in_the_home_folder_else(said, monkeypatch, tmp_path):
    monkeypatch.setenv("GEARLAB_ANSWERS", said)
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    monkeypatch.chdir(tmp_path)
    assert answers_folder() == tmp_path / "gearlab-answers"


@pytest.mark.parametrize("said", ["answers", "./answers", "~nobody-of-that-name/x"])
def test_the_current_folder_is_never_it_by_accident(said, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", said)
    with pytest.raises(ValueError, match="whole path"):
        answers_folder()


@pytest.mark.parametrize(
    ("one", "other"),
    [("Ana", "aNA "), ("Zoe\u0308", "ZOË"), ("a, b", "B; a"), ("Straße", "STRASSE")],
)
def test_ids_that_are_the_same_share_a_sheet(one, other, tmp_path):
    paths = [sheet_path(read_students(t), "x", "A", tmp_path) for t in (one, other)]
    assert paths[0] == paths[1]


def test_other_students_forms_and_labs_have_other_sheets(tmp_path):
    wanted = [
        (("ana",), "x", "A"), (("an a",), "x", "A"), (("an-a",), "x", "A"),
        (("ana",), "x", "B"), (("ana",), "y", "A"), (("ana", "b"), "x", "A"),
        (("李",), "x", "A"), (("ليلى",), "x", "A"),
    ]  # fmt: skip
    names = {sheet_path(*one, tmp_path).name.lower() for one in wanted}
    assert len(names) == len(wanted)
    assert all(name.isascii() and name.endswith(".json") for name in names)


# Kept and read back -------------------------------------------------------------------


@pytest.mark.parametrize(
    ("question", "answer", "kept"),
    [
        ("ratio", "3,15", "3,15"),
        ("ratio", " 3 turns 55° ", "3 turns 55°"),
        ("ratio", 3, "3"),
        ("ratio", 3.15, "63/20"),
        ("ratio", 0.1 + 0.2, "0.3"),
        ("ratio", Fraction(-41, 13), "-41/13"),
        ("ratio", -1e-20, "-0"),
        ("ratio", 1 - 1e-13, "1"),
        ("ratio", Fraction(1, 10**6) - 10**12, "-999999999999.999999"),
        ("ratio", 10**12 - Fraction(1, 10**13), "999999999999.999999999999"),
        ("way", "Forward", "Forward"),
        ("row", {"low brake", "direct clutch"}, ("direct clutch", "low brake")),
        ("row", frozenset(), ()),
        ("row", "low brake, direct clutch", "low brake, direct clutch"),
        ("order", ["sun", "planet"], ("sun", "planet")),
        ("why", "  «Ring» held,\nπ ≈ 3 😀 ", "«Ring» held,\nπ ≈ 3 😀"),
    ],
)
def test_an_answer_is_kept_as_it_was_given(question, answer, kept, tmp_path):
    sheet, notice = record(PAPER, question, answer, folder=tmp_path)
    assert notice == ""
    assert [a.answer for a in sheet.tries(question)] == [kept]
    assert load_sheet(PAPER, tmp_path) == (sheet, "")
    then, asked = sheet.tries(question)[0], PAPER.asked[question].question
    assert check(asked, then.answer).read
    assert check(asked, then.answer).right == check(asked, answer).right


@pytest.mark.parametrize("question", ["ratio", "way", "row", "order"])
def test_the_right_answer_stays_right(question, tmp_path):
    answer = right_answer(PAPER, question)
    sheet, _ = record(PAPER, question, answer, folder=tmp_path)
    kept = sheet.tries(question)[0].answer
    assert check(PAPER.asked[question].question, kept).right


@pytest.mark.parametrize(
    ("question", "answer"),
    [
        ("ratio", "about three"), ("ratio", (3, 15)), ("ratio", None),
        ("ratio", float("nan")), ("ratio", float("inf")), ("ratio", 10**400),
        ("way", "sideways"), ("way", 3), ("row", 3), ("row", ["low brake"] * 2),
        ("why", "x" * 1_000_000), ("why", "  "),
    ],
)  # fmt: skip
def test_an_answer_that_nobody_could_read_back_is_not_kept(question, answer, tmp_path):
    with pytest.raises(ValueError):
        record(PAPER, question, answer, folder=tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_text_of_many_blanks_is_kept_short(tmp_path):
    sheet, _ = record(PAPER, "way", " " * 10**6 + "forward", folder=tmp_path)
    assert sheet.attempts[0].answer == "forward"
    text = f"3.1{' ' * 10**6}"
    sheet, _ = record(PAPER, "ratio", text, folder=tmp_path)
    assert sheet.attempts[1].answer == "3.1"


def test_the_sheet_keeps_what_was_asked_and_no_key(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9"), ("way", "backward")])
    sheet = read_sheet(path)
    assert sheet.questions["ratio"] == (1, PAPER.asked["ratio"].given)
    text = path.read_text(encoding="utf-8")
    assert str(PAPER.asked["ratio"].question.answer) not in text


def test_hints_are_those_seen_so_far(tmp_path):
    record(PAPER, "ratio", "9", hints=1, folder=tmp_path)
    sheet, _ = record(PAPER, "ratio", "8", hints=7, folder=tmp_path)
    assert [a.hints for a in sheet.tries("ratio")] == [1, 2]


def test_an_answer_that_is_only_repeated_is_kept_and_is_no_new_try(tmp_path):
    for answer in ("1", "1", "2", "2", "1"):
        sheet, _ = record(PAPER, "ratio", answer, folder=tmp_path)
        record(PAPER, "way", "backward", folder=tmp_path)
    assert [a.answer for a in sheet.tries("ratio")] == ["1", "2", "1"]
    assert len(load_sheet(PAPER, tmp_path)[0].attempts) == 10
    assert sheet.tries("no such question") == ()


def test_without_an_id_nothing_is_kept(tmp_path):
    with pytest.raises(ValueError, match="sign in"):
        record(paper_of(), "way", "forward", folder=tmp_path)
    with pytest.raises(ValueError, match="sign in"):
        load_sheet(paper_of(), tmp_path)


ANSWERS = st.lists(
    st.tuples(
        st.sampled_from(["ratio", "why"]),
        st.integers(-50, 50).map(str) | st.text(min_size=1, max_size=30),
    ),
    max_size=6,
)


@drawn(ANSWERS)
def test_a_sheet_read_back_is_the_same(answers):
    attempts = tuple(
        sheet_module.Attempt(id=str(n), question=q, answer=a, when="2030", hints=0)
        for n, (q, a) in enumerate(answers)
    )
    questions = {q: (1, FrozenMap({"sun": 30})) for q, _ in answers}
    sheet = sheet_module.AnswerSheet(
        students=("ana",), lab="x", form="A", questions=FrozenMap(questions),
        attempts=attempts,
    )  # fmt: skip
    assert from_text(to_text(sheet)) == sheet


# Several windows ----------------------------------------------------------------------


def test_two_processes_of_200_answers_leave_400(tmp_path):
    writers = [
        subprocess.Popen([sys.executable, "-c", WRITER, str(tmp_path), str(first)])
        for first in (1000, 2000)
    ]
    assert [writer.wait(120) for writer in writers] == [0, 0]
    (path,) = tmp_path.iterdir()
    kept = {attempt.answer for attempt in read_sheet(path).attempts}
    assert kept == {str(n) for first in (1000, 2000) for n in range(first, first + 200)}


def test_threads_lose_nothing_either(tmp_path):
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda n: record(PAPER, "ratio", n, folder=tmp_path), range(40)))
    sheet, _ = load_sheet(PAPER, tmp_path)
    assert {a.answer for a in sheet.attempts} == {str(n) for n in range(40)}
    assert len(list(tmp_path.iterdir())) == 1


def test_a_lock_left_behind_is_taken_over(tmp_path, monkeypatch):
    monkeypatch.setattr(sheetfile, "STALE", 0.2)
    path = sheet_path(("ana",), LAB.name, "A", tmp_path)
    lock = path.with_name(f"{path.name}.lock")
    lock.write_text("4711 of a kernel that died", encoding="utf-8")
    sheet, _ = record(PAPER, "way", "forward", folder=tmp_path)
    assert len(sheet.attempts) == 1
    assert list(tmp_path.iterdir()) == [path]


def test_a_lock_that_others_keep_is_waited_for_and_then_said(tmp_path, monkeypatch):
    monkeypatch.setattr(sheetfile, "PATIENCE", 0.2)
    path = sheet_path(("ana",), LAB.name, "A", tmp_path)
    lock = path.with_name(f"{path.name}.lock")
    lock.write_text("another", encoding="utf-8")
    with pytest.raises(ValueError, match="another window"):
        record(PAPER, "way", "forward", folder=tmp_path)
    assert lock.read_text(encoding="utf-8") == "another"


def test_who_lost_the_lock_reads_again_before_writing(tmp_path, monkeypatch):
    """A laptop's lid was closed while it wrote, and another window went on."""
    real, calls = os.fsync, []

    def asleep(handle):
        real(handle)
        if not calls:
            calls.append(handle)
            path = sheet_path(("ana",), LAB.name, "A", tmp_path)
            path.with_name(f"{path.name}.lock").unlink()
            record(PAPER, "way", "backward", folder=tmp_path)

    monkeypatch.setattr(os, "fsync", asleep)
    sheet, _ = record(PAPER, "ratio", "9", folder=tmp_path)
    assert [a.answer for a in sheet.attempts] == ["backward", "9"]
    assert len(list(tmp_path.iterdir())) == 1


def test_a_fresh_lock_taken_away_by_mistake_is_put_back(tmp_path):
    path = tmp_path / "x.json"
    first, second = sheetfile.Lock(path), sheetfile.Lock(path)
    first.take()
    second._take_away("an older one")
    assert first.is_held()
    first.give_back()
    assert not list(tmp_path.iterdir())


# The disk refuses ---------------------------------------------------------------------


def refuse(number):
    def refusing(*args, **options):
        raise OSError(number, os.strerror(number))

    return refusing


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_a_full_disk_is_said_and_leaves_the_old_sheet(number, tmp_path, monkeypatch):
    path = sheet_file(tmp_path, "ana", answers=[("way", "forward")])
    before = path.read_bytes()
    monkeypatch.setattr(os, "fsync", refuse(number))
    with pytest.raises(ValueError, match=os.strerror(number)) as error:
        record(PAPER, "ratio", "9", folder=tmp_path)
    assert "\n" not in str(error.value)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_another_program_holds_is_tried_again(tmp_path, monkeypatch):
    real, calls = Path.replace, []

    def busy(self, target):
        calls.append(target)
        if len(calls) < 4:
            raise PermissionError(errno.EACCES, "held open")
        return real(self, target)

    monkeypatch.setattr(Path, "replace", busy)
    sheet, _ = record(PAPER, "way", "forward", folder=tmp_path)
    assert load_sheet(PAPER, tmp_path)[0] == sheet
    assert len(calls) == 4


def test_a_folder_that_cannot_be_is_said(tmp_path):
    file = tmp_path / "file"
    file.write_text("", encoding="utf-8")
    with pytest.raises(ValueError, match="GEARLAB_ANSWERS"):
        record(PAPER, "way", "forward", folder=file / "folder")
    with pytest.raises(ValueError, match="GEARLAB_ANSWERS"):
        record(PAPER, "way", "forward", folder=file)


def test_a_full_sheet_is_said(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("why", "x" * 2000)])

    def fill(data):
        one = data["attempts"][0]
        data["attempts"] = [one | {"id": str(n)} for n in range(LARGEST // 2200)]

    changed(path, fill)
    before = path.read_bytes()
    for _ in range(100):
        try:
            record(PAPER, "why", "y" * 2000, folder=tmp_path)
        except ValueError as error:
            assert "full" in str(error)
            break
        before = path.read_bytes()
    else:
        pytest.fail("it never says that it is full")
    assert path.read_bytes() == before
    assert load_sheet(PAPER, tmp_path)[1] == ""


# Damaged, foreign, hostile ------------------------------------------------------------

DEEP = "[" * 100_000
DAMAGED = {
    "empty": "",
    "half": '{"kind": "gearlab answer sheet", "version": 1, "stud',
    "no sheet": '{"cells": []}',
    "a list": "[1, 2]",
    "a number": "7",
    "deep": DEEP,
    "deep and closed": DEEP + "]" * 100_000,
    "NaN": '{"kind": NaN}',
    "long number": '{"kind": ' + "9" * 10_000 + "}",
    "half a letter": '{"kind": "gearlab answer sheet", "version": 1, "x": "\\ud800"}',
    "large": '{"kind": "' + "x" * 10_000_000 + '"}',
}


@pytest.mark.parametrize("kind", DAMAGED)
@pytest.mark.parametrize("how", ["load", "record"])
def test_a_damaged_sheet_is_moved_aside_and_said(kind, how, tmp_path):
    path = sheet_path(("ana",), LAB.name, "A", tmp_path)
    for n in (1, 2):
        path.write_text(DAMAGED[kind], encoding="utf-8")
        if how == "load":
            sheet, notice = load_sheet(PAPER, tmp_path)
            assert sheet.attempts == ()
        else:
            sheet, notice = record(PAPER, "way", "forward", folder=tmp_path)
            assert len(sheet.attempts) == 1
        aside = path.with_name(f"{path.name}.damaged-{n}")
        assert aside.name in notice
        assert aside.read_text(encoding="utf-8") == DAMAGED[kind]
    assert load_sheet(PAPER, tmp_path) == (sheet, "")


def set_in(*keys, value):
    def change(data):
        for key in keys[:-1]:
            data = data[key]
        data[keys[-1]] = value

    return change


FIRST = ("attempts", 0)
RATIO = ("questions", "ratio")
BY_HAND = {
    "students none": set_in("students", value=[]),
    "students text": set_in("students", value="ana"),
    "students long": set_in("students", value=["x" * 61]),
    "students many": set_in("students", value=[str(n) for n in range(7)]),
    "students unprintable": set_in("students", value=["a\x07"]),
    "students mapping": set_in("students", value=[{}]),
    "version text": set_in("version", value="1"),
    "version true": set_in("version", value=True),
    "version nought": set_in("version", value=0),
    "lab": set_in("lab", value=["turn-one-set"]),
    "form": set_in("form", value="Z"),
    "form list": set_in("form", value=["A"]),
    "more": set_in("more", value=1),
    "questions": set_in("questions", value=[]),
    "question": set_in(*RATIO, value=3),
    "revision": set_in(*RATIO, "revision", value=-1),
    "given": set_in(*RATIO, "given", value=[30]),
    "given huge": set_in(*RATIO, "given", "sun", value=10**300),
    "given large": set_in(*RATIO, "given", "sun", value=1e308),
    "given long": set_in(*RATIO, "given", "sun", value=list(range(1000))),
    "given deep": set_in(*RATIO, "given", "sun", value=[[[[[[[[1]]]]]]]]),
    "given text": set_in(*RATIO, "given", "sun", value="x" * 5000),
    "attempts": set_in("attempts", value={}),
    "attempt": set_in(*FIRST, value="3.15"),
    "attempt more": set_in(*FIRST, "mark", value=5),
    "foreign question": set_in(*FIRST, "question", value="none"),
    "question list": set_in(*FIRST, "question", value=[]),
    "answer number": set_in(*FIRST, "answer", value=3),
    "answer long": set_in(*FIRST, "answer", value="x" * 1_000_00),
    "answer nested": set_in(*FIRST, "answer", value=[["sun"]]),
    "answer many": set_in(*FIRST, "answer", value=["sun"] * 1000),
    "when": set_in(*FIRST, "when", value=1),
    "hints": set_in(*FIRST, "hints", value=-1),
    "hints part": set_in(*FIRST, "hints", value=0.5),
    "one id twice": lambda data: data["attempts"].append(data["attempts"][0]),
    "too many": lambda data: data.update(attempts=data["attempts"] * 20_001),
    "another's": set_in("students", value=["carl"]),
    "another form": set_in("form", value="B"),
}


@pytest.mark.parametrize("what", BY_HAND)
def test_a_sheet_changed_by_hand_is_moved_aside(what, tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    changed(path, BY_HAND[what])
    sheet, notice = load_sheet(PAPER, tmp_path)
    assert sheet.attempts == ()
    assert notice.endswith("a new one is begun.")
    assert len(notice) < 300


@pytest.mark.parametrize(
    "bytes_", [b"\xff\xfe\x00", b"\x80", "ü".encode("latin-1"), b"\0" * 100]
)
def test_what_is_no_text_is_moved_aside(bytes_, tmp_path):
    path = sheet_path(("ana",), LAB.name, "A", tmp_path)
    path.write_bytes(bytes_)
    assert "could not be read" in load_sheet(PAPER, tmp_path)[1]
    assert not path.exists()


def test_a_later_version_s_sheet_is_not_touched(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    changed(path, set_in("version", value=2))
    before = path.read_bytes()
    for action in (load_sheet, lambda *a: record(a[0], "way", "forward", folder=a[1])):
        with pytest.raises(ValueError, match="later version"):
            action(PAPER, tmp_path)
    assert path.read_bytes() == before
    assert list(tmp_path.iterdir()) == [path]


def test_a_folder_or_a_loop_of_links_in_its_place_is_no_traceback(tmp_path):
    path = sheet_path(("ana",), LAB.name, "A", tmp_path)
    path.mkdir()
    assert "no plain file" in load_sheet(PAPER, tmp_path)[1]
    path.symlink_to(path)
    with pytest.raises(ValueError, match="cannot be read"):
        load_sheet(PAPER, tmp_path)
    with pytest.raises(ValueError, match="cannot be"):
        record(PAPER, "way", "forward", folder=tmp_path)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=10),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(max_size=10), inner, max_size=4)
    ),
    max_leaves=15,
)
NEARLY = st.fixed_dictionaries(
    {"kind": st.just("gearlab answer sheet"), "version": st.just(1)},
    optional=dict.fromkeys(("students", "lab", "form", "questions", "attempts"), JSON),
)


@drawn(JSON | NEARLY)
def test_any_json_is_read_or_refused(data):
    try:
        from_text(json.dumps(data))
    except ValueError as error:
        assert 0 < len(str(error)) < 150


# A later version of a lab -------------------------------------------------------------


def later_lab():
    """The lab after a change: other numbers, and "ratio" asks something else."""
    topics = [replace(topic, revision=2) for topic in TOPICS]
    topics[1] = replace(topics[1], earlier=FrozenMap({1: ring_over_sun}))
    return make_lab(tuple(topics), lambda random: draw(random) | {"new": 1})


def test_a_sheet_begun_earlier_goes_on_as_it_was_asked(tmp_path):
    old = make_lab((replace(TOPICS[1], ask=ring_over_sun),))
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")], lab=old)
    asked_then = read_sheet(path).questions["ratio"]
    paper = paper_of("ana", lab=later_lab())
    assert paper.asked["ratio"].question.text == "How many turns?"
    with pytest.raises(ValueError, match="asked otherwise"):
        record(paper, "ratio", "8", folder=tmp_path)
    begun = as_begun(paper, load_sheet(paper, tmp_path)[0])
    assert begun.asked["ratio"].question.text == "Ring over sun?"
    assert begun.asked["way"] == paper.asked["way"]
    sheet, _ = record(begun, "ratio", "8", folder=tmp_path)
    assert sheet.questions["ratio"] == asked_then
    assert [a.answer for a in sheet.tries("ratio")] == ["9", "8"]
    assert as_begun(begun, sheet).asked["ratio"].question.text == "Ring over sun?"


def test_numbers_that_cannot_be_asked_leave_the_paper_as_it_is(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    for value in (0, "x", [30]):
        changed(path, set_in(*RATIO, "given", value={"sun": value, "ring": 3}))
        assert as_begun(PAPER, read_sheet(path)) == PAPER
    changed(path, set_in(*RATIO, "revision", value=99))
    assert as_begun(PAPER, read_sheet(path)) == PAPER


def test_the_paper_of_a_lab_of_the_suite_is_as_begun():
    paper = draw_paper(find_lab("turn-one-set"), ("ana",), "A")
    assert as_begun(paper, sheet_module.AnswerSheet(
        students=("ana",), lab="turn-one-set", form="A",
        questions=FrozenMap({
            name: (one.topic.revision, one.given) for name, one in paper.asked.items()
        }),
    )) == paper  # fmt: skip


# Copies -------------------------------------------------------------------------------


def test_copies_that_went_on_apart_are_united_where_they_agree(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9")])
    copy = read_sheet(path)
    later, _ = record(PAPER, "ratio", "8", folder=tmp_path)
    path.write_text(to_text(copy), encoding="utf-8")
    other, _ = record(PAPER, "way", "forward", folder=tmp_path)
    assert holds(later, copy) and holds(other, copy) and holds(copy, copy)
    assert not holds(copy, later) and not holds(later, other)
    for sheets in ([later, other, copy], [copy, other, later]):
        both = united(sheets)
        assert [a.answer for a in both.tries("ratio")] == ["9", "8"]
        assert [a.answer for a in both.tries("way")] == ["forward"]


def test_what_is_no_copy_is_not_united(tmp_path):
    path = sheet_file(tmp_path, "ana", answers=[("ratio", "9"), ("way", "forward")])
    sheet = read_sheet(path)
    first, second = sheet.attempts
    forged = {
        "another answer": (replace(first, answer="4"), second),
        "another id": (replace(first, id="x"), second),
        "an earlier try": (replace(first, id="x", answer="1"), first, second),
        "more hints": (replace(first, hints=2), second),
    }
    for what, attempts in forged.items():
        other = replace(sheet, attempts=attempts)
        assert not holds(other, sheet), what
        with pytest.raises(ValueError, match="same tries: ratio"):
            united([sheet, other])
        with pytest.raises(ValueError, match="same tries: ratio"):
            united([other, sheet])
    numbers = FrozenMap({**sheet.questions, "ratio": (1, FrozenMap())})
    other = replace(sheet, questions=numbers)
    assert not holds(other, sheet) and not holds(sheet, other)
    with pytest.raises(ValueError, match="not ask the same: ratio"):
        united([sheet, other])


def test_what_a_killed_kernel_left_is_swept_at_the_next_sign_in(tmp_path):
    kill = """
import os, sys
from gearlab.lab.sheet.sheet import record
from gearlab.lab.suite.labs import find_lab
from gearlab.lab.question.papers import draw_paper
os.fsync = lambda handle: os.kill(os.getpid(), 9)
paper = draw_paper(find_lab("turn-one-set"), ("ana",), "A")
record(paper, "first reduction", "1", folder=sys.argv[1])
"""
    subprocess.run([sys.executable, "-c", kill, str(tmp_path)], check=False)
    (draft,) = tmp_path.glob(".*.part")
    load_sheet(PAPER, tmp_path)
    assert draft.exists()
    old = draft.stat().st_mtime - filewriter.STALE - 1
    os.utime(draft, (old, old))
    load_sheet(PAPER, tmp_path)
    assert not draft.exists()


def test_the_key_of_the_small_lab_is_what_it_says():
    assert ratio({"sun": 30, "ring": 72}).answer == Fraction(17, 5)
