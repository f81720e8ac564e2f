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
from gearlab.base.numerals import number, rounded
from gearlab.draw.kit.shapes import text_boxes
from gearlab.lab.question.checking import NOT_YET, check
from gearlab.lab.question.papers import Topics, draw_paper, full_marks, is_marked
from gearlab.lab.question.question import (
    Choice,
    Explanation,
    Number,
    Order,
    Point,
    Row,
)
from gearlab.lab.question.slips import WORDS
from gearlab.lab.sheet.work import Work
from gearlab.lab.suite.labs import CORE, LAB_NAMES, find_lab, notebook_of

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"
STUDENTS = 50
LONGEST_SENTENCE = 15  # words
NOISE = (
    "", "   ", "abc", "3,15,7", "1e400", "9" * 400, "=1+1", "None", "\x00", "🙂" * 50,
    None, True, float("nan"), float("inf"), -1e300, 10**400, (3, 15), (), [], [[]],
    {"a": 1}, {1, 2}, ["nothing"], object(), b"4", "forward, forward", "x" * 3000,
)  # fmt: skip


DIGESTS = {
    "turn-one-set": "f3f4cb30c2af",
    "flip-one-way-clutches": "47e4b8d40f65",
    "know-the-unit": "2f6da9f90f73",
    "hold-and-reverse": "2cebb6f41c0b",
    "add-the-front-set": "5f44471a644d",
    "count-and-compare": "71a94627ddab",
    "read-the-lever": "2cdb79d845fe",
    "count-the-teeth": "d06a416f7b92",
    "follow-the-power": "dd7a6ca29ab4",
    "recover-the-teeth": "58b4d7c4ed31",
    "meet-another-train": "08403cd6ce2a",
    "design-a-train": "6f043dbf30fc",
    "walk-a-unit": "8c37a65d3973",
    "find-the-fault": "4a5c2e34da96",
    "read-the-log": "92cae45da450",
}


BEFORE = json.loads(
    (Path(__file__).parent / "asked_before.json").read_text(encoding="utf-8")
)


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
    assert any(f'Desk("{lab.name}"' in cell for cell in cells)
    asks = [cell for cell in cells if cell.startswith("desk.ask(")]
    topics = [topic for cell in asks for topic in re.findall('"([^"]+)"', cell)]
    assert topics == [topic.name for topic in lab.topics]


def test_topics_stand_as_they_are_declared():
    """On their questions, or with shared ones; older asks raise the revision."""
    topic = Topics()

    @topic("a prediction", prediction=True, earlier=[len, str])
    def newest(given):
        return given

    topic("shared", newest, draw=dict, marks=2)
    topic.explain("a reason", "Why?", "one", "two", "three")
    assert [each.name for each in topic] == ["a prediction", "shared", "a reason"]
    first, second, reason = topic
    assert (first.ask, first.prediction, first.revision) == (newest, True, 3)
    assert [first.as_asked(n, "four") for n in (1, 2, 3)] == [4, "four", "four"]
    assert (second.ask, second.draw, second.marks) == (newest, dict, 2)
    assert (second.revision, second.prediction) == (1, False)
    assert reason.marks == 3 and reason.ask({}) == Explanation(
        text="Why?", points=("one", "two", "three")
    )


def test_what_is_asked_changes_only_with_its_revision(lab):
    """Else an old answer sheet would be marked against another question.

    Whoever changes a question or its numbers adds the old `ask` to the topic's
    `earlier`, which raises its revision, and then writes the new digest here.
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


def test_an_old_sheet_is_asked_as_it_was(lab):
    """Every question of revision 1, from the numbers that were drawn then: same key.

    The units had other numbers of planets, so other teeth were drawn; some options had
    other words, and one question of the one-way clutch was another.
    """
    for paper in BEFORE[lab.name]:
        assert list(paper["topics"]) == [topic.name for topic in lab.topics]
        for name, (own, key) in paper["topics"].items():
            question = lab.topic(name).as_asked(1, {**paper["lab"], **own})
            kept = written_key(question)
            kept = str(kept) if isinstance(kept, Fraction) else kept
            assert json.loads(json.dumps(kept)) == key, name
            if key is not None:
                assert check(question, key).right, name


def test_what_a_lab_is_made_of(lab):
    assert lab.core == (lab.name in CORE)
    assert lab.level in (1, 2, 3)
    questions = [(a.topic, a.question) for a in papers(lab.name)[0].asked.values()]
    explained = [q for _, q in questions if isinstance(q, Explanation)]
    predicted = [q for topic, q in questions if topic.prediction]
    assert len(explained) == 1
    assert 2 <= len(predicted) <= 3
    most = 14 if lab.refit else 9  # of any unit, some may have to be left out
    assert 6 <= len(questions) - len(explained) - len(predicted) <= most
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
                continue
            verdict = check(question, written(question.answer))
            assert verdict.right, (one.topic.name, one.given, verdict)
            assert question.reason, one.topic.name
            if is_marked(one):
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


def test_rounded_either_way_an_answer_is_right(lab):
    """5/16 is 0.313 in school; who writes 0.312, or cuts off, is as near."""
    for one in asked(lab):
        if not isinstance(one.question, Number):
            continue
        key = one.question.answer
        for written_so in (rounded(key, 3), Fraction(int(key * 1000), 1000)):
            assert check(one.question, number(written_so)).right, one.topic.name
        assert check(one.question, f"{number(key)} {one.question.unit}").right


def test_every_wrong_option_has_a_sentence_of_its_own(lab):
    """A row says how many are right, an order which stand in their place."""
    for one in asked(lab):
        question = one.question
        if one.topic.prediction or not isinstance(question, Choice):
            continue
        verdicts = [check(question, option) for option in question.options]
        wrong = [verdict for verdict in verdicts if not verdict.right]
        assert all(verdict.slip for verdict in wrong), (one.topic.name, one.given)
        assert NOT_YET not in [verdict.words for verdict in wrong]
        words = [verdict.words for verdict in wrong]
        assert len(set(words)) == len(words), (one.topic.name, words)


def test_turns_are_named_only_where_turns_or_a_ratio_are_asked(lab):
    """No speed, step or torque is answered with output turns for one input turn."""
    for one in asked(lab):
        if not isinstance(one.question, Number):
            continue
        for slip in one.question.slips:
            if "turns for one" in slip.words:
                assert one.question.unit in ("", "turns"), one.topic.name
                assert re.search("turn|ratio", one.question.text), one.topic.name


def test_the_two_tooth_counts_of_a_slip_are_those(lab):
    """Sun over ring is not called ring over sun."""
    for one in asked(lab):
        for slip in one.question.slips:
            named = re.match("that is (sun|ring) over (sun|ring) alone", slip.words)
            if not named:
                continue
            quotients = {
                Fraction(
                    one.given[f"{name} {named[1]}"], one.given[f"{name} {named[2]}"]
                )
                for name in ("single", "front", "middle", "rear")
                if f"{name} sun" in one.given
            }
            assert abs(slip.answer) in quotients, (one.topic.name, slip)


def test_no_worked_case_is_the_students_own(lab):
    """The notebooks count the shipped sets; nobody's set is in proportion to one."""
    for paper in papers(lab.name):
        shipped = gl.load_train(TRAIN_OF[paper.train.name])
        for one in paper.asked.values():
            for gears in shipped.sets:
                sun, ring = (one.given.get(gears.member(m)) for m in ("sun", "ring"))
                teeth = gears.all_teeth
                if sun and gears.kind == "simple":
                    assert sun * teeth["ring"] != ring * teeth["sun"], one.topic.name


TRAIN_OF = {gl.load_train(name).name: name for name in gl.train_names()}


@pytest.mark.parametrize("name", CORE[:5])
def test_the_panel_does_not_show_what_is_asked(name):
    """A number is asked of other teeth than the panel beside it shows.

    What is to be counted at the panel, and what no panel shows, is asked of its own.
    """
    own = {"first reduction", "first count", "reaction torque", "brake torque"}
    for paper in papers(name):
        for topic, one in paper.asked.items():
            if not isinstance(one.question, Number):
                continue
            teeth = [key for key in paper.given if key.endswith((" sun", " ring"))]
            alike = all(one.given[key] == paper.given[key] for key in teeth)
            if alike and not (set(one.given) - set(paper.given)) & {"other"}:
                assert topic in own, (name, topic)
            else:
                assert one.question.text.startswith("Another "), topic


def test_an_answer_that_says_both_stand_there_is_not_wrong():
    """Who carries beside an applied element is a convention, and it is said so."""
    seen = 0
    for name, topic in (
        ("flip-one-way-clutches", "what it does"),
        ("follow-the-power", "who carries"),
    ):
        for paper in papers(name):
            question = paper.asked[topic].question
            for also in question.also:
                verdict = check(question, written(also.answer))
                assert verdict.right
                assert "convention" in verdict.words
                seen += 1
    assert seen > STUDENTS / 2
    before = find_lab("know-the-unit").topic("who holds")
    low = before.as_asked(1, {"range": "1 low", "load": "drive"})
    assert check(low, "the low brake").right
    assert check(low, "the low one-way clutch").right
    coasting = before.as_asked(1, {"range": "1 low", "load": "coast"})
    assert check(coasting, "the low one-way clutch").right is False


NEVER = (
    r"\bin a row\b", r"\bhousings?\b", r"\bthe vehicle overruns\b", r"\boverrun\b",
    r"\bengine (gives|turns|drives|slows|slow|races|feels)\b", r"\bturns? the engine\b",
    r"\bpapers?\b", r"\bso often turns\b", r"\bfollow each other\b", r"\bhand on\b",
    r"\bnought one\b", r"\bfreewheeling\b",
)  # fmt: skip


def test_one_word_for_one_thing(lab):
    """Series, case, coasting, input; and no hand on a drum."""
    for one in asked(lab, 12):
        for text in (*texts(one.question), *options(one.question)):
            for word in NEVER:
                assert not re.search(word, text), (one.topic.name, text)


def options(question):
    return getattr(question, "options", ())


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


# Numbers that revision 1 drew for a unit with other planets, and the keys it had. The
# planets of a front set 20/106 would now touch; 31 and 105 share out among four only.
FRONT = {"front sun": 20, "front ring": 106}
OTHERS = {"middle sun": 42, "middle ring": 90, "rear sun": 42, "rear ring": 82}
DESIGN = {"middle ring": 68, "rear ring": 108}
PAIRS = [[20, 106], [41, 73], [24, 72], [37, 77]]
ASKED_BEFORE = [
    ("know-the-unit", "first count", {**FRONT, **OTHERS}, Fraction(107, 45)),
    (
        "recover-the-teeth",
        "ring that fits",
        {"rear sun": 31, "rear ring": 105, "over": 4, "eighths": 109},
        Fraction(105),
    ),
    ("recover-the-teeth", "two units alike", FRONT, "no, others may fit too"),
    ("design-a-train", "rear sun for reverse", {**DESIGN, "wish": "12/5"}, 44),
    ("design-a-train", "middle sun for third", {**DESIGN, "wish": "71/50"}, 28),
    (
        "design-a-train",
        "fronts in order",
        {"pairs": PAIRS},
        ("sun 41, ring 73", "sun 37, ring 77", "sun 24, ring 72", "sun 20, ring 106"),
    ),
]


@pytest.mark.parametrize(("name", "topic", "given", "key"), ASKED_BEFORE)
def test_what_was_drawn_before_has_the_key_it_had(name, topic, given, key):
    topic = find_lab(name).topic(topic)
    assert topic.revision > 1
    assert topic.as_asked(1, given).answer == key


def test_every_earlier_revision_can_be_asked(lab):
    for topic in lab.topics:
        assert set(topic.earlier) == set(range(1, topic.revision))


def test_units_with_other_teeth_may_give_the_same_counts():
    paper = draw_paper(find_lab("recover-the-teeth"))
    asked = paper.asked["two units alike"].question
    assert asked.answer == "no, others may fit too"
    # 20/70 and 24/84 are one proportion.
    unit = gl.load_train("five-range")
    twin = unit.with_teeth({"rear": {"sun": 24, "ring": 84}})
    assert all(
        gl.power_flow(unit, each).ratio == gl.power_flow(twin, each).ratio
        for each in ("1", "2", "3", "4", "5", "R")
    )


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


def test_a_prediction_comes_back_with_the_truth_and_why(lab, tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    work = Work(lab)
    for one in work.paper.asked.values():
        if one.topic.prediction:
            question = one.question
            work.answer(one.topic.name, question.options[0])
            told = work.truth(one.topic.name)
            assert told.endswith(f"In truth: {question.answer}. {question.reason}")
