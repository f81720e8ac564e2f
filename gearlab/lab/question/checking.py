"""An answer compared with the key: right, a known slip, or not yet."""

from dataclasses import dataclass
from numbers import Rational

from .question import Explanation, Order, Row
from .reading import read_answer

NOT_YET = "Not yet. Take a hint, or turn it on the panel."


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """What is said of an answer. `right` is None where nobody but a person can say.

    `read` is False where the answer could not be read; it then counts as no try.
    """

    words: str
    right: bool | None = None
    slip: str | None = None
    read: bool = True

    def __str__(self):
        return self.words

    def _repr_pretty_(self, printer, cycle):
        # What a notebook shows as the result of a cell.
        printer.text(self.words)


def check(question, given):
    """The :class:`Verdict` on an answer as a person gave it; it never raises for one.

    >>> from fractions import Fraction
    >>> from gearlab.lab.question.question import Number
    >>> from gearlab.lab.question.slips import reciprocal
    >>> four = Number(text="Ratio?", answer=Fraction(4), slips=(reciprocal(4),))
    >>> check(four, "4:1").right, check(four, "0,25").slip, check(four, (3, 15)).read
    (True, 'the reciprocal', False)
    """
    try:
        answer = read_answer(question, given)
    except ValueError as error:
        return Verdict(words=f"{_opened(str(error))}.", read=False)
    if isinstance(question, Explanation):
        return Verdict(words="Kept for your instructor.")
    if same(question, answer, question.answer):
        return Verdict(words=f"Right. {question.reason}".strip(), right=True)
    for also in question.also:
        if same(question, answer, also.answer):
            return Verdict(words=f"Right too: {also.words}", right=True)
    slip = nearest_slip(question, answer)
    if slip:
        words = f"Not yet: {slip.words}"
        return Verdict(words=words, right=False, slip=slip.name)
    return Verdict(words=_how_far(question, answer), right=False)


def same(question, answer, key):
    """Whether two answers count as the same one."""
    if isinstance(key, Rational):
        return abs(answer - key) <= question.within
    return answer == key


def nearest_slip(question, answer):
    """The slip that gives this answer, the first of the nearest ones; or None."""
    fits = [slip for slip in question.slips if same(question, answer, slip.answer)]
    if fits and isinstance(answer, Rational):
        return min(fits, key=lambda slip: abs(slip.answer - answer))
    return fits[0] if fits else None


def _how_far(question, answer):
    """A little more than "not yet", where it gives nothing away."""
    if isinstance(question, Row):
        good = len(answer & question.answer)
        extra = len(answer - question.answer)
        missing = len(question.answer) - good
        return f"Not yet: {good} right, {extra} too many, {missing} missing."
    if isinstance(question, Order) and len(answer) == len(question.answer):
        pairs = zip(answer, question.answer, strict=True)
        good = sum(a == b for a, b in pairs)
        return f"Not yet: {good} of {len(answer)} stand in their place."
    if isinstance(question, Order):
        return f"Not yet: {len(question.answer)} {question.what} are asked."
    return NOT_YET


def _opened(sentence):
    return sentence[:1].upper() + sentence[1:]
