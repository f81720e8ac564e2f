"""Every lab of the suite: papers of many students, answered right, wrong and absurdly.

A lab that is added to the table of labs is tried here without a line more.
"""

import json
import re
from fractions import Fraction
from functools import cache
from hashlib import sha256
from pathlib import Path

import pytest

import gearlab as gl
from gearlab.draw.scene import text_boxes
from gearlab.lab.checking import check
from gearlab.lab.labs import CORE, LAB_NAMES, find_lab, notebook_of
from gearlab.lab.papers import draw_paper, full_marks, is_marked
from gearlab.lab.question import Choice, Explanation, Number, Order, Point, Row
from gearlab.lab.slips import WORDS
from gearlab.numerals import number

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"
STUDENTS = 50
LONGEST_SENTENCE = 15  # words
NOISE = (
    "", "   ", "abc", "3,15,7", "1e400", "9" * 400, "=1+1", "None", "\x00", "🙂" * 50,
    None, True, float("nan"), float("inf"), -1e300, 10**400, (3, 15), (), [], [[]],
    {"a": 1}, {1, 2}, ["nothing"], object(), b"4", "forward, forward", "x" * 3000,
)  # fmt: skip


DIGESTS = {
    "turn-one-set": "e5f45aef257a",
    "flip-one-way-clutches": "e3e988c5868a",
    "know-the-unit": "ed3dc3327736",
    "hold-and-reverse": "30bcab80d182",
    "add-the-front-set": "f11d018f79a9",
    "count-and-compare": "2e81315e240e",
    "read-the-lever": "e2ca1fab00e9",
    "count-the-teeth": "3563c1e4f192",
    "follow-the-power": "207dd7510d4f",
    "recover-the-teeth": "c9cb37dbaa1c",
    "meet-another-train": "949b7844fa1a",
    "design-a-train": "7c8df2052391",
}


@pytest.fixture(params=LAB_NAMES)
def lab(request):
    return find_lab(request.param)


@cache
def papers(name):
    """The papers of the class, and the practice paper first."""
    lab = find_lab(name)
    return [draw_paper(lab), *(draw_paper(lab, (f"s{n}",)) for n in range(STUDENTS))]


def asked(lab, count=None):
    """Every question of the first papers of the class."""
    return [one for paper in papers(lab.name)[:count] for one in paper.asked.values()]


def written(answer):
    """An answer as a person gives it."""
    if isinstance(answer, Fraction):
        return f"{answer.numerator}/{answer.denominator}"
    return list(answer) if isinstance(answer, (tuple, frozenset)) else answer


def test_the_notebook_of_a_lab_asks_every_question_once(lab):
    book = json.loads((NOTEBOOKS / notebook_of(lab.name)).read_text(encoding="utf-8"))
    cells = ["".join(cell["source"]) for cell in book["cells"]]
    assert cells[0].strip() == f"# {lab.title} {'★' * lab.level}"
    assert any(f'Desk("{lab.name}")' in cell for cell in cells)
    asks = [cell for cell in cells if cell.startswith("desk.ask(")]
    topics = [topic for cell in asks for topic in re.findall('"([^"]+)"', cell)]
    assert topics == [topic.name for topic in lab.topics]


def test_what_is_asked_changes_only_with_its_revision(lab):
    """Else an old answer sheet would be marked against another question.

    Whoever changes a question or its numbers raises the topic's `revision`, moves the
    old `ask` to `earlier`, and then writes the new digest here.
    """
    told = [
        (name, one.topic.revision, sorted(one.given.items()), written_key(one.question))
        for paper in papers(lab.name)[:5]
        for name, one in paper.asked.items()
    ]
    digest = sha256(repr(told).encode("utf-8")).hexdigest()[:12]
    assert {lab.name: digest} == {lab.name: DIGESTS[lab.name]}


def written_key(question):
    """The key in a form that is the same in every process."""
    key = question.answer
    return sorted(key) if isinstance(key, frozenset) else key


def test_what_a_lab_is_made_of(lab):
    assert lab.core == (lab.name in CORE)
    assert lab.level in (1, 2, 3)
    questions = [(a.topic, a.question) for a in papers(lab.name)[0].asked.values()]
    explained = [q for _, q in questions if isinstance(q, Explanation)]
    predicted = [q for topic, q in questions if topic.prediction]
    assert len(explained) == 1
    assert 2 <= len(predicted) <= 3
    assert 6 <= len(questions) - len(explained) - len(predicted) <= 9
    names = [topic.name for topic in lab.topics]
    assert len(set(names)) == len(names)
    assert full_marks(lab) >= 6


def test_right_answers_get_full_marks(lab):
    for paper in papers(lab.name):
        marks = 0
        for one in paper.asked.values():
            question = one.question
            if isinstance(question, Explanation):
                verdict = check(question, "Because it is held.")
                assert verdict.read and verdict.right is None
                marks += one.topic.marks
                continue
            verdict = check(question, written(question.answer))
            assert verdict.right, (one.topic.name, one.given, verdict)
            if is_marked(one):
                assert question.reason
                marks += one.topic.marks
        assert marks == full_marks(lab)


def test_a_number_is_right_within_its_tolerance(lab):
    for one in asked(lab):
        if not isinstance(one.question, Number):
            continue
        key, within = one.question.answer, one.question.within
        assert check(one.question, written(key + within)).right
        assert check(one.question, written(key - within)).right
        assert not check(one.question, written(key + 2 * within + 1)).right


def test_slips_are_recognised_by_their_name(lab):
    seen = set()
    for one in asked(lab):
        for slip in one.question.slips:
            verdict = check(one.question, written(slip.answer))
            names = [s.name for s in one.question.slips if s.answer == slip.answer]
            assert verdict.right is False, (one.topic.name, slip)
            assert verdict.slip in names, (one.topic.name, slip, verdict)
            seen.add(slip.name)
    assert len(seen) >= 5


def test_nonsense_is_answered_in_words(lab):
    for one in asked(lab, 3):
        for given in NOISE:
            verdict = check(one.question, given)
            assert verdict.words
            assert len(verdict.words) < 600
            # Only an empty row may be what was asked.
            assert not verdict.right or given in ((), []), (one.topic.name, given)


def test_questions_are_clear(lab):
    for one in asked(lab):
        question = one.question
        assert not question.faults, one.topic.name
        assert question.text.strip() == question.text
        assert question.how
        if isinstance(question, (Choice, Row, Order)):
            options = [option.casefold() for option in question.options]
            assert len(set(options)) == len(options) >= 2
        if is_marked(one):
            assert len(question.hints) == 2, one.topic.name
            assert len(set(question.hints)) == 2


def sentences(text):
    return [part for part in re.split(r"(?<=[.?!:;])\s+", text) if part.strip()]


def texts(question):
    yield question.text
    yield question.reason
    yield question.how
    yield from question.hints
    for slip in question.slips:
        yield slip.words
    if isinstance(question, Explanation):
        yield from question.points


def test_sentences_are_short(lab):
    long = {
        sentence
        for one in asked(lab, 12)
        for text in texts(one.question)
        for sentence in sentences(text)
        if len(sentence.split()) > LONGEST_SENTENCE
    }
    assert not long


def test_sentences_of_slips_are_short():
    for words in WORDS.values():
        assert max(len(part.split()) for part in sentences(words)) <= LONGEST_SENTENCE


def gives_away(text, question):
    """Whether a text holds the answer of a question, as it would be written."""
    if isinstance(question, Number):
        answer = question.answer
        if answer.denominator == 1:
            return False  # a whole number stands for many things in a sentence
        plain = f"{answer.numerator}/{answer.denominator}"
        found = re.findall(r"[\d.]*\d(?:/\d+)?", text)
        return number(abs(answer)) in found or plain.lstrip("-") in found
    if isinstance(question, Choice):
        answer = question.answer
        named = re.search(rf"\b{re.escape(answer)}\b", question.text)
        return not named and re.search(rf"\b{re.escape(answer)}\b", text) is not None
    return False


def test_nothing_gives_the_answer_away(lab):
    for one in asked(lab):
        question = one.question
        if isinstance(question, Number):
            assert not gives_away(question.text, question), (one.topic.name, one.given)
        for text in (*question.hints, *(slip.words for slip in question.slips)):
            assert not gives_away(text, question), (one.topic.name, text)


def test_gives_away_sees_an_answer():
    third = Number(text="?", answer=Fraction(20, 13))
    assert gives_away("It is 1.538 here.", third)
    assert gives_away("It is 20/13.", third)
    assert not gives_away("It is 11.538 here.", third)
    way = Choice(text="Which way?", answer="backward", options=("backward", "forward"))
    assert gives_away("It turns backward.", way)
    assert not gives_away("Look which way it turns.", way)


def test_drawn_numbers_ask_the_same_again(lab):
    """An answer sheet keeps the drawn numbers as JSON; they are asked as before."""
    for one in asked(lab, 20):
        kept = json.loads(json.dumps(dict(one.given)))
        assert kept == dict(one.given), one.topic.name
        again = one.topic.as_asked(one.topic.revision, kept)
        assert again == one.question


def test_each_student_has_numbers_of_their_own(lab):
    drawn = {json.dumps(dict(paper.given)) for paper in papers(lab.name)}
    assert len(drawn) > STUDENTS // 2
    one, other = (draw_paper(lab, ("ana",), form) for form in "AB")
    assert draw_paper(lab, ("ana",)).asked == one.asked
    assert one.asked != other.asked
    assert draw_paper(lab, ("ana", "ben")).asked != one.asked


def test_the_train_of_a_student_is_a_train(lab):
    for paper in papers(lab.name)[:10]:
        assert isinstance(paper.train, gl.load_train("lone-set").__class__)
        assert paper.train == lab.train(json.loads(json.dumps(dict(paper.given))))
        for one in paper.train.sets:
            if one.kind == "simple":
                assert one.all_teeth["planet"] >= 12


def test_pictures_are_drawn_on_demand(lab):
    for one in papers(lab.name)[0].asked.values():
        if one.question.picture is not None:
            assert one.question.picture().alt


@pytest.mark.parametrize("name", ["know-the-unit", "flip-one-way-clutches"])
def test_letters_in_a_picture_are_told_in_its_alt_sentence(name):
    paper = draw_paper(find_lab(name), ("ana",))
    pointed = [
        a.question for a in paper.asked.values() if isinstance(a.question, Point)
    ]
    assert pointed
    for question in pointed:
        scene = question.picture()
        shown = {text for text, _ in text_boxes(scene)}
        for letter in question.options:
            assert letter in shown
            assert re.search(rf"\b{letter}\b", scene.alt)
