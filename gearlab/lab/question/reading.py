"""Answers as people give them, read into what a question's answer is made of."""

from ...base.checks import known, shortened
from ...base.numerals import number
from ...base.reading import read_number, thousands
from .question import Choice, Explanation, Number, Order, Row

LONGEST = 2000  # letters of a text that is kept
# A number so many times smaller than what is asked may have a point for thousands.
_FAR = 30


def read_answer(question, given):
    """What a person gave, as the answer of a question is written.

    Parameters
    ----------
    question : Question
    given : text from a control or code, a number, or names in a list

    Returns
    -------
    Fraction for a Number, an option for a Choice, a frozenset for a Row, a tuple for
    an Order, text for an Explanation

    Raises
    ------
    ValueError
        What was given, the rule and the way out, in one sentence.
    """
    if isinstance(question, Number):
        return _number(given, question)
    if isinstance(question, Choice):
        return _option(given, question.options)
    if isinstance(question, Row):
        return frozenset(_names(given, question.options, "element"))
    if isinstance(question, Order):
        return tuple(_names(given, question.options, "part"))
    return _text(given, question)


def _number(given, question):
    if isinstance(given, tuple) and len(given) == 2 and _whole(given):
        whole, part = given
        raise ValueError(
            f"{whole},{part} without quotes is two numbers to Python, but one is"
            f' asked; write {whole}.{part} or "{whole},{part}"'
        )
    value = read_number(given, question.unit)
    meant, asked = thousands(given), abs(question.answer)
    if meant and abs(value) < asked / _FAR < asked < abs(meant) * _FAR:
        raise ValueError(
            f"the mark in {shortened(given)} seems to be one for thousands; write"
            f" {number(meant)}, or {number(value)}0 if it is not"
        )
    if question.is_whole and value.denominator != 1:
        raise ValueError(
            f"{shortened(given)} is no whole number, but a whole number is asked;"
            " count once more"
        )
    return value


def _whole(pair):
    return all(isinstance(n, int) and not isinstance(n, bool) for n in pair)


def _option(given, options):
    if not isinstance(given, str) or not given.strip():
        raise ValueError("nothing is chosen; choose one of the answers first")
    plain = " ".join(given.split()).casefold()
    for option in options:
        if option.casefold() == plain:
            return option
    return known(given, options, "answer")


def _names(given, options, what):
    if isinstance(given, str):
        for sign in (">", "→", ";"):
            given = given.replace(sign, ",")
        given = [name for name in given.split(",") if name.strip()]
    if not isinstance(given, (list, tuple, set, frozenset)):
        raise ValueError(
            f"{shortened(given)} is no list of names; write them with commas between"
        )
    names = [_option(name, options) for name in given]
    twice = [name for name in dict.fromkeys(names) if names.count(name) > 1]
    if twice:
        raise ValueError(f'the {what} "{twice[0]}" is given twice; give it once')
    return names


def _text(given, question):
    assert isinstance(question, Explanation)
    if not isinstance(given, str) or not given.strip():
        raise ValueError("nothing is written; write two or three sentences first")
    if len(given) > LONGEST:
        raise ValueError(
            f"the text has {len(given)} letters, but {LONGEST} are kept; shorten it"
        )
    return given.strip()
