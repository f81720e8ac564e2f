"""The work in a lab told in words: answers, keys, and how the lab stands."""

from numbers import Rational

from ...base.numerals import exactly, listed, number
from ..question.papers import marked_questions

# How a question stands.
STANDINGS = ("not tried", "tried", "kept", "practised", "right")
NOT_TRIED, TRIED, KEPT, PRACTISED, RIGHT = STANDINGS
BEST_COUNTS = "For the mark your best answer counts; the first try is noted too."


def shown(attempt):
    """The answer of an attempt in words."""
    if isinstance(attempt.answer, str):
        return attempt.answer
    return ", ".join(attempt.answer) or "none"


def quoted(names):
    """Ids or questions in a sentence: some have commas in their names."""
    return listed([f"“{name}”" for name in names], article="")


def key_told(question):
    """The right answer of a question in words."""
    key = question.answer
    if isinstance(key, Rational):
        return f"{number(key)} {question.unit}".strip()
    if isinstance(key, frozenset):
        key = [option for option in question.options if option in key]
    return key if isinstance(key, str) else ", ".join(key) or "none"


def answer_told(question):
    """The right answer in words: a number with its fraction and how far it may be off.

    >>> from fractions import Fraction
    >>> from gearlab.lab.question.question import Number
    >>> answer_told(Number(text="Count?", answer=Fraction(41, 13), unit="turns"))
    '3.154 (41/13) turns, give or take 0.01'
    """
    if not isinstance(question.answer, Rational):
        return key_told(question)
    told = f"{exactly(question.answer)} {question.unit}".strip()
    if question.within:
        told += f", give or take {number(question.within)}"
    return told


def marks_told(work):
    """The marks of a :class:`gearlab.lab.sheet.work.Work`, and what they are for."""
    count = len(marked_questions(work.paper))
    return (
        f"{work.best} of {work.full} marks so far, for the {count} questions that are"
        " marked here; your instructor marks what you explain."
    )


def left_out_told(lab):
    """What a lab cannot ask of its unit, in a sentence a question."""
    return {
        topic: f"Not asked of this unit: “{topic}”, as it lacks {what}."
        for topic, what in lab.left_out.items()
    }


def state_told(work):
    """How a lab stands, in sentences: what is done, and what is left."""
    left = [topic for topic in work.topics if not work.tries(topic)]
    count = len(work.topics)
    done = f"{count - len(left)} of {count} questions answered"
    yield f"Not done yet: {done}." if left else f"Done: {done}."
    yield marks_told(work)
    if left:
        yield f"Left: {quoted(left)}."
    again = [topic for topic in work.topics if work.standing(topic) == TRIED]
    if again:
        yield f"Not right yet: {quoted(again)}. {BEST_COUNTS}"
    yield from left_out_told(work.lab).values()
