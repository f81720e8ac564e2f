"""The fields that take an answer, for each form of question, and what is in them.

An answer goes from the fields as :mod:`gearlab.lab.question.reading` takes it, and back
as the fields show it.
"""

from ..lab.question.question import Choice, Explanation, Number, Order, Row
from ..lab.question.reading import LONGEST, read_answer
from . import press

YOURS = "your answer"
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
EMPTY = "—"


def fields_for(question):
    """The fields of a :class:`gearlab.panels.press.PressBox` for a question."""
    if isinstance(question, Number):
        return [press.line(YOURS, question.unit)]
    if isinstance(question, Choice):
        return [press.one(YOURS, question.options)]
    if isinstance(question, Row):
        return [press.some(YOURS, question.options)]
    if isinstance(question, Order):
        options = [(EMPTY, ""), *((name, name) for name in question.options)]
        places = range(len(question.answer))
        return [press.choice(_place(n), options, within=YOURS) for n in places]
    assert isinstance(question, Explanation)
    return [press.lines(YOURS, LONGEST)]


def given(question, values):
    """What the values of the fields say; ValueError while a place is empty."""
    if not isinstance(question, Order):
        return values[0]
    if "" in values:
        empty = _place(values.index(""))
        raise ValueError(
            f'the place "{empty}" is empty, but each place has a part; choose one'
        )
    return tuple(values)


def shown(question, answer):
    """The values of the fields that show an earlier answer."""
    if isinstance(question, (Number, Explanation)):
        return [answer]
    read = read_answer(question, answer)
    if isinstance(question, Row):
        return [[name for name in question.options if name in read]]
    if isinstance(question, Order):
        places = len(question.answer)
        return [*read[:places], *[""] * (places - len(read))]
    return [read]


def _place(n):
    return PLACES[n] if n < len(PLACES) else f"place {n + 1}"
