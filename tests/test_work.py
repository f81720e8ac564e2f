"""The work of a student in a lab: signed in, judged, kept, found again."""

import json
import time
from dataclasses import replace
from fractions import Fraction

import pytest
import small_lab as small

from gearlab.base import filewriter
from gearlab.lab.question.question import Explanation
from gearlab.lab.sheet.signin import NAME, last_sign_in
from gearlab.lab.sheet.told import (
    KEPT,
    NOT_TRIED,
    PRACTISED,
    RIGHT,
    STANDINGS,
    TRIED,
    key_told,
    state_told,
)
from gearlab.lab.sheet.work import NO_HINTS, Work

NOT_KEPT = "Not kept: sign in first."


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """An empty folder for the answer sheets."""
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path / "answers"))
    return tmp_path / "answers"


@pytest.fixture
def work():
    made = Work(small.LAB)
    made.sign_in("Ana Lima")
    return made


def stored(work):
    return json.loads(work.path.read_text(encoding="utf-8"))


def ratio(work):
    return work.question("what ratio").answer


def full_disk(monkeypatch):
    def refuse(*_, **__):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(filewriter, "_replace", refuse)


# Practice -------------------------------------------------------------------------


def test_practice_is_judged_and_not_kept(folder):
    work = Work(small.LAB)
    assert work.who == "practice" and work.path is None
    verdict = work.answer("what ratio", str(ratio(work)))
    assert verdict.right and verdict.words.endswith(NOT_KEPT)
    assert (
        work.answer("which way", "forward").words == f"Now turn it and see. {NOT_KEPT}"
    )
    assert work.answer("why one", "It is so.").words == NOT_KEPT
    stands = work.standing("what ratio"), work.standing("why one")
    assert stands == (RIGHT, PRACTISED)
    assert not folder.exists()
    work.sign_in("ana")
    assert {work.standing(topic) for topic in work.topics} == {NOT_TRIED}


def test_practice_comes_back_until_it_is_decided_on(monkeypatch):
    work = Work(small.LAB)
    work.answer("what is held", "sun")
    work.sign_in("ana")
    assert [one.answer for one in work.practised] == ["sun"]
    work.sign_out()
    assert [one.answer for one in work.tries("what is held")] == ["sun"]
    assert work.practised == work.only_practised == ()
    work.sign_in("bo")
    with monkeypatch.context() as patch:
        full_disk(patch)
        assert "No space" in work.take_over()
    assert work.practised == () and Work(small.LAB).tries("what is held") == ()
    work.answer("what is held", "ring")
    kept = [one.answer for one in Work(small.LAB).tries("what is held")]
    assert kept == ["sun", "ring"]


def test_what_hangs_on_drawn_numbers_stays_practice():
    work = Work(small.LAB)
    for topic, answer in (("what ratio", "3"), ("where is the sun", "B")):
        work.answer(topic, answer)
    work.sign_in("ana")
    assert work.paper.given != work._practice.paper.given
    assert work.practised == ()
    assert work.only_practised == ("what ratio", "where is the sun")


def test_nothing_of_a_prediction_or_explanation_of_the_suite_is_lost():
    """They ask the same of everybody, or they are said to hang on numbers."""
    work = Work("turn-one-set")
    for name, asked in work.paper.asked.items():
        if isinstance(asked.question, Explanation):
            work.answer(name, "It is so.")
        elif asked.topic.prediction:
            work.answer(name, asked.question.options[0])
    count = len(work.sheet.attempts)
    work.sign_in("ana")
    assert count == len(work.practised) >= 4


def test_a_lab_is_found_by_its_name():
    assert Work("turn-one-set").lab.name == "turn-one-set"
    with pytest.raises(ValueError, match='no lab "turn-one-sat"; did you mean'):
        Work("turn-one-sat")


# Signing in -----------------------------------------------------------------------


def test_ids_that_are_the_same_have_one_sheet(work):
    work.answer("what is held", "ring")
    other = Work(small.LAB)
    other.sign_in("  ANA   lima ")
    assert other.path == work.path and other.standing("what is held") == RIGHT


def test_a_group_has_a_sheet_of_its_own_in_any_order(work):
    work.sign_in("bo, Ana Lima")
    group = work.path
    assert work.students == ("ana lima", "bo") and work.who == "ana lima, bo, form A"
    work.answer("what is held", "ring")
    work.sign_in("ana lima; BO")
    assert work.path == group and work.standing("what is held") == RIGHT
    work.sign_in("bo")
    assert work.path != group and work.standing("what is held") == NOT_TRIED


def test_another_form_is_another_paper(work):
    papers = set()
    for form in "ABCDEFGH":
        work.sign_in("ana lima", form)
        papers.add(work.paper.given["sun"])
    assert len(papers) > 2
    work.answer("what is held", "ring")
    work.sign_in("ana lima", "A")
    assert work.standing("what is held") == NOT_TRIED


@pytest.mark.parametrize(
    "ids, form, sentence",
    [
        ("", "A", "no student id is given"),
        (" ;, ", "A", "no student id is given"),
        ("x" * 500, "A", "60 are the most"),
        ("a,b,c,d,e,f,g", "A", "a group has 6 at most"),
        ("ana", "Z", 'no form "Z"'),
    ],
)
def test_ids_that_cannot_be_used_leave_who_is_there(work, ids, form, sentence):
    with pytest.raises(ValueError, match=sentence):
        work.sign_in(ids, form)
    assert work.who == "ana lima, form A"


def test_the_next_lab_signs_in_by_itself(work):
    work.sign_in("Ana Lima, bo", "C")
    assert Work(small.LAB).who == "ana lima, bo, form C"
    work.sign_out()
    assert work.who == Work(small.LAB).who == "practice"
    work.sign_out()


@pytest.mark.parametrize(
    "text",
    [
        *("", "{", "[]", "null", "7", "\0\0", "[" * 9000, " " * 20_000),
        '{"students": 3, "form": "A"}',
        '{"students": "a"}',
        '{"students": "", "form": "A"}',
        '{"students": "a", "form": "Q"}',
        '{"students": "a", "form": ["A"]}',
    ],
)
def test_a_damaged_memory_of_who_signed_in_breaks_nothing(work, folder, text):
    (folder / NAME).write_text(text, encoding="utf-8")
    other = Work(small.LAB)
    assert other.who == "practice"
    assert other.notice == "" or other.notice.startswith("Nobody is signed in: ")
    other.sign_in("bo")
    assert last_sign_in() == ("bo", "A")


def test_a_folder_that_cannot_be_is_said(monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", "not/whole")
    work = Work(small.LAB)
    assert work.who == "practice"
    with pytest.raises(ValueError, match="must be a whole path"):
        work.sign_in("ana")


# Answers --------------------------------------------------------------------------


@pytest.mark.parametrize("topic", small.RIGHT)
def test_every_form_is_judged_and_kept(work, topic):
    assert work.standing(topic) == NOT_TRIED
    assert work.answer(topic, small.WRONG[topic]).right is False
    assert work.standing(topic) == TRIED and len(work.tries(topic)) == 1
    assert work.answer(topic, small.RIGHT[topic]).right
    again = Work(small.LAB)
    assert again.standing(topic) == RIGHT and len(again.tries(topic)) == 2
    assert again.verdict(topic, again.tries(topic)[0]).right is False


@pytest.mark.parametrize("written", ["{:.3f}", "{:.3f}:1", " {:.3f} "])
@pytest.mark.parametrize("comma", [".", ","])
def test_numbers_are_read_as_people_write_them(work, written, comma):
    given = written.format(float(ratio(work))).replace(".", comma)
    assert work.answer("what ratio", given).right
    assert Work(small.LAB).tries("what ratio")[0].answer == given.strip()


@pytest.mark.parametrize("change", [lambda r: r, float, lambda r: round(float(r), 2)])
def test_numbers_from_code_are_kept_so_that_they_are_read_again(work, change):
    assert work.answer("what ratio", change(ratio(work))).right
    assert Work(small.LAB).standing("what ratio") == RIGHT


@pytest.mark.parametrize("topic", small.FORMS)
@pytest.mark.parametrize(
    "given",
    [
        *(None, object(), float("nan"), float("inf"), 10**400, True, b"1", {}),
        *({"a": 1}, [[]], [None], (3, 15), (1, 2, 3), "", "   ", "<b>", "9" * 5000),
        *("x" * 10**6, 10**13, 10**12 - Fraction(1, 10**6), 1e-300, Fraction(1, 3**50)),
    ],
)
def test_no_answer_ever_raises(work, topic, given):
    verdict = work.answer(topic, given)
    assert verdict.words and len(verdict.words) < 400
    kept = Work(small.LAB).tries(topic)
    assert len(kept) == (1 if verdict.read else 0)
    assert not verdict.read or Work(small.LAB).answer(topic, kept[0].answer).read


def test_a_decimal_comma_in_code_is_said(work):
    assert 'write 3.15 or "3,15"' in work.answer("what ratio", (3, 15)).words
    assert work.tries("what ratio") == ()


def test_an_unknown_question_is_said_with_the_nearest(work):
    said = work.answer("what ratoi", 3)
    assert said.words == 'There is no question "what ratoi"; did you mean "what ratio"?'
    assert not said.read
    assert work.answer("zzz", 3).words.endswith('"which order" and "why one".')
    assert not work.answer(None, 3).read
    with pytest.raises(ValueError, match='did you mean "what ratio"'):
        work.question("what ratoi")


def test_a_slip_is_named(work):
    assert work.answer("what ratio", 1 / ratio(work)).slip == "the reciprocal"


def test_a_prediction_is_kept_and_not_judged(work):
    for said in ("backward", "forward"):
        verdict = work.answer("which way", said)
        assert verdict.words == "Kept. Now turn it and see." and verdict.right is None
        assert verdict.slip is None
    again = Work(small.LAB)
    assert again.standing("which way") == KEPT
    assert [one.answer for one in again.tries("which way")] == ["backward", "forward"]
    assert again.verdict("which way", again.tries("which way")[0]) is None


def test_an_explanation_is_kept_as_it_was_written(work):
    text = "The pins move.\n\nSo one is added: „eins“ ✓ <b>"
    assert work.answer("why one", text).words == "Kept for your instructor."
    assert Work(small.LAB).tries("why one")[0].answer == text


def test_marks_count_what_the_library_judges(work):
    assert (work.best, work.full) == (0, 6)
    work.answer("what ratio", ratio(work))
    work.answer("what is held", "ring")
    work.answer("what is held", "sun")
    work.answer("why one", "So.")
    work.answer("which way", "forward")
    assert (work.best, work.full) == (3, 6)


def test_a_cell_that_runs_twice_is_one_try(work):
    for _ in range(3):
        restarted = Work(small.LAB)
        restarted.answer("what ratio", "3.1")
        restarted.answer("what ratio", 3.1)
        restarted.answer("what is applied", ["low brake", "direct clutch"])
        restarted.answer("what is applied", "direct clutch, LOW brake")
    assert len(Work(small.LAB).tries("what ratio")) == 1
    assert len(Work(small.LAB).tries("what is applied")) == 1
    assert len(stored(work)["attempts"]) == 2


def test_two_windows_lose_nothing(work):
    other = Work(small.LAB)
    for n in range(1, 11):
        work.answer("what ratio", n)
        other.answer("what ratio", n + 100)
    kept = {one.answer for one in Work(small.LAB).tries("what ratio")}
    assert kept == {str(n) for n in (*range(1, 11), *range(101, 111))}
    assert len(other.tries("what ratio")) == 20, "the last to write knows all"


def test_an_answer_takes_no_time(work):
    spent = []
    for n in range(40):
        start = time.perf_counter()
        work.answer("what ratio", n)
        spent.append(time.perf_counter() - start)
    assert sorted(spent)[len(spent) // 2] < 0.050


def test_a_repeated_answer_is_said_to_be_one(work):
    for form, answer in (("what ratio", 3), ("which way", "forward"), ("why one", "x")):
        first = work.answer(form, answer)
        again = work.answer(form, answer)
        assert again.words == f"The same answer as before. {first.words}"
        assert again.right == first.right and len(work.tries(form)) == 1


def test_the_answer_that_counts_is_the_right_one(work):
    assert work.counting("what ratio") is None
    work.answer("what ratio", 99)
    assert work.counting("what ratio") is None
    work.answer("what ratio", ratio(work))
    said = work.answer("what ratio", 98).words
    assert f"Your right answer {ratio(work)} still counts." in said
    assert work.counting("what ratio").answer == str(ratio(work))
    work.answer("which way", "forward")
    assert work.counting("which way") is None, "a prediction has no mark"


def test_what_was_predicted_stands_beside_the_truth(work):
    for one in (work, Work(small.LAB)):
        if one is not work:
            one.sign_out()
        assert one.truth("which way") == ""
        one.answer("which way", "backward")
        one.answer("which way", "forward")
        assert one.truth("which way") == "You said: backward. In truth: forward."
    with pytest.raises(ValueError, match=r"is no prediction.* name one: “which way”"):
        work.truth("what ratio")
    with pytest.raises(ValueError, match='did you mean "which way"'):
        work.truth("which wa")


@pytest.mark.parametrize(
    "topic, words",
    [
        ("what is held", "ring"),
        ("what is applied", "low brake, forward clutch"),
        ("which order", "sun, planet, carrier"),
    ],
)
def test_a_key_is_told_in_words(work, topic, words):
    assert key_told(work.question(topic)) == words


def test_a_key_that_is_a_number_or_empty_is_told_too(work):
    turns = key_told(work.question("what ratio"))
    assert turns.endswith(" turns") and abs(float(turns[:-6]) - ratio(work)) < 0.001
    nothing = replace(work.question("what is applied"), answer=frozenset())
    assert key_told(nothing) == "none"


def test_the_state_of_a_lab_is_told(work):
    assert next(state_told(work)) == "Not done yet: 0 of 7 questions answered."
    for topic, answer in small.RIGHT.items():
        work.answer(topic, answer)
    work.answer("what ratio", 99)
    done, marks, left, again = state_told(work)
    assert done == "Not done yet: 5 of 7 questions answered."
    assert marks.startswith("4 of 6 marks so far, for the 5 questions that are marked")
    assert left == "Left: “which way” and “why one”."
    assert again.startswith("Not right yet: “what ratio”. For the mark your best")
    for topic, answer in (("what ratio", ratio(work)), ("which way", "forward")):
        work.answer(topic, answer)
    work.answer("why one", "So.")
    done, marks = state_told(work)
    assert done == "Done: 7 of 7 questions answered." and marks.startswith("6 of 6 ma")


# Hints ----------------------------------------------------------------------------


def test_hints_are_counted_and_stored_with_the_next_answer(work):
    question = work.question("what ratio")
    work.answer("what ratio", 1)
    assert work.hint("what ratio") == question.hints[0]
    work.answer("what ratio", 2)
    assert work.hint("what ratio") == question.hints[1]
    assert [work.hint("what ratio") for _ in range(3)] == [NO_HINTS] * 3
    work.answer("what ratio", 3)
    again = Work(small.LAB)
    assert [one.hints for one in again.tries("what ratio")] == [0, 1, 2]
    assert again.hints_seen("what ratio") == 2 and again.hint("what ratio") == NO_HINTS
    assert work.hint("what is held") == NO_HINTS


# Disk -----------------------------------------------------------------------------


def test_a_full_disk_is_said_and_nothing_is_lost(work, monkeypatch):
    work.answer("what ratio", 1)
    with monkeypatch.context() as patch:
        full_disk(patch)
        verdict = work.answer("what is held", "ring")
        assert verdict.right and verdict.words.startswith("Right.")
        assert "not on the disk yet" in verdict.words and "No space" in verdict.words
        said = work.answer("which way", "forward").words
        assert said.startswith("Kept. Now turn it and see. It is not on the disk yet")
        assert work.standing("what is held") == RIGHT
        assert Work(small.LAB).standing("what is held") == NOT_TRIED
        for leave in (lambda: work.sign_in("bo"), work.sign_out):
            with pytest.raises(ValueError, match="2 of your answers could not be writ"):
                leave()
        assert work.who == "ana lima, form A"
    assert work.answer("which order", ("sun",)).words.count("disk") == 0
    again = Work(small.LAB)
    assert again.standing("what is held") == RIGHT
    assert again.standing("which way") == KEPT
    assert len(stored(work)["attempts"]) == 4


def test_signing_in_again_writes_what_waited(work, monkeypatch):
    with monkeypatch.context() as patch:
        full_disk(patch)
        work.answer("what is held", "ring")
    work.sign_in("ana lima")
    assert len(stored(work)["attempts"]) == 1 and work.standing("what is held") == RIGHT


def test_a_damaged_sheet_is_put_aside_and_said(work):
    work.answer("what ratio", 1)
    work.path.write_text('{"half', encoding="utf-8")
    again = Work(small.LAB)
    assert "could not be read" in again.notice and ".damaged-1" in again.notice
    assert again.who == "ana lima, form A"
    assert again.standing("what ratio") == NOT_TRIED
    again.path.write_text("[]", encoding="utf-8")
    again.answer("what ratio", 2)
    assert ".damaged-2" in again.notice
    assert Work(small.LAB).notice == ""


def test_a_sheet_of_a_later_version_signs_nobody_in(work):
    work.answer("what ratio", 1)
    data = stored(work)
    text = json.dumps({**data, "version": 99})
    work.path.write_text(text, encoding="utf-8")
    again = Work(small.LAB)
    assert again.who == "practice" and "later version" in again.notice
    assert work.path.read_text(encoding="utf-8") == text


def test_an_old_sheet_goes_on_with_what_it_was_asked(work):
    work.answer("what ratio", ratio(work))
    old = small.FORMS["what ratio"]

    def harder(given):
        return replace(small.number(given), text="Asked anew.", answer=Fraction(9))

    new = replace(old, ask=harder, revision=2, earlier={1: old.ask})
    topics = tuple(new if topic is old else topic for topic in small.LAB.topics)
    later = Work(replace(small.LAB, topics=topics))
    assert later.question("what ratio").text != "Asked anew."
    assert later.standing("what ratio") == RIGHT
    later.answer("what ratio", 1)
    later.sign_in("bo")
    assert later.question("what ratio").text == "Asked anew."


def test_a_sheet_with_absurd_numbers_still_opens(work):
    work.answer("what ratio", ratio(work))
    data = stored(work)
    data["questions"]["what ratio"]["given"] = {"sun": "<b>", "ring": None}
    work.path.write_text(json.dumps(data), encoding="utf-8")
    again = Work(small.LAB)
    assert again.question("what ratio") == work.question("what ratio")
    assert "sign in again" in again.answer("what ratio", 5).words
    said = again.answer("what is held", "ring").words
    assert said.startswith("Right. An earlier answer is not on the disk yet")
    assert Work(small.LAB).standing("what is held") == RIGHT, "one waits, not all"


def test_standings_are_the_words_of_the_panel():
    from gearlab.panels.asking import SIGNS

    assert set(SIGNS) == set(STANDINGS)
