"""A student's paper on paper: the questions with room to answer, and the key to them.

Nothing that a worksheet holds is read from an answer: that is the key's alone.
"""

from dataclasses import replace

from ..draw.kit.sheet import capital
from ..lab.question.papers import is_marked
from ..lab.question.question import Choice, Explanation, Number, Order, Row
from ..lab.sheet.told import answer_told, key_told
from .blocks import (
    Blanks,
    Caution,
    Heading,
    Points,
    Room,
    Table,
    Words,
    kept,
    picture,
)

_WORKING, _WRITTEN = 3, 6  # lines to work in, and to explain in
_SLIPS = 4  # usual slips that a key tells of a question
PREDICT = "Predict before you turn. It is not marked."


def worksheet(paper, name, caution=""):
    """The blocks of a paper with room to answer, and no answer.

    Parameters
    ----------
    paper : Paper
    name : who writes on it
    caution : what keeps people from harm, where there is work at the bench
    """
    lab = paper.lab
    yield Heading(text=lab.title, level=1)
    yield Words(text=_whose(paper, name))
    yield Blanks(labels=("Date", "Bench", "Marks"))
    if caution or lab.caution:
        yield Caution(text=f"{lab.caution} {caution}".strip())
    yield from own_unit(paper)
    for place, asked in enumerate(paper.asked.values(), 1):
        yield from asked_blocks(place, asked)


def own_unit(paper):
    """The teeth of the student's own unit, unless a question asks for teeth."""
    if not _asks_teeth(paper):
        yield Words(text=_teeth(paper.train), lead="Your own unit:")


def asked_blocks(place, asked, level=2, before=()):
    """The blocks of one question with room to answer it; `place` is its number.

    `before` are blocks that no page break parts from it.
    """
    return kept([*before, *_asked(place, asked, level)])


def _whose(paper, name):
    ids = ", ".join(paper.students)
    whose = name if name.casefold() == ids else f"{name} ({ids})" if ids else name
    return f"{whose}, form {paper.form}"


def _asks_teeth(paper):
    """Whether the teeth of the student's unit may be what is asked."""
    questions = (asked.question for asked in paper.asked.values())
    return any(getattr(one, "unit", "") == "teeth" for one in questions)


def _teeth(train):
    """The teeth of every gear, set by set, as the panel shows them to its student."""
    said = (
        f"{one.name} set: "
        + ", ".join(f"{gear} {count}" for gear, count in one.all_teeth.items())
        for one in train.sets
    )
    return f"{'; '.join(said)}."


def _asked(place, asked, level):
    question = asked.question
    yield _titled(place, asked, level)
    yield Words(text=question.text)
    for drawn in (question.picture, question.on_paper):
        if drawn is not None:
            yield picture(drawn(context="print"))
    yield Words(text=_how(asked))
    yield from _room(question)


def _titled(place, asked, level):
    marks = asked.topic.marks
    worth = f"{marks} mark" if marks == 1 else f"{marks} marks"
    if asked.topic.prediction:
        worth = "prediction"
    name = capital(asked.topic.name)
    return Heading(text=f"{place}. {name} ({worth})", level=level)


def _how(asked):
    if asked.topic.prediction:
        return f"{PREDICT} {asked.question.how}"
    return asked.question.how


def _room(question):
    """What to answer in, by the form of the question."""
    if isinstance(question, Choice | Row):
        yield Points(items=question.options, mark="box")
    elif isinstance(question, Order):
        yield Points(items=question.options)
        places = [f"{n}." for n, _ in enumerate(question.answer, 1)]
        for first in range(0, len(places), 3):
            yield Blanks(labels=tuple(places[first : first + 3]))
    elif isinstance(question, Number):
        yield Room(lines=_WORKING)
        unit = question.unit
        yield Blanks(labels=(f"Answer [{unit}]" if unit else "Answer", "Checked by"))
    else:
        yield Room(lines=_WRITTEN)


# The key --------------------------------------------------------------------------


def key(paper, name):
    """The blocks of the key to a paper, worked: what is right, how, and usual slips."""
    yield Heading(text=f"Key: {paper.lab.title}", level=1)
    yield Words(text=_whose(paper, name))
    for place, asked in enumerate(paper.asked.values(), 1):
        yield from worked_blocks(place, asked)


def worked_blocks(place, asked, level=2):
    """The blocks of the key to one question, worked; `place` is its number."""
    return kept(_worked(place, asked, level))


def _worked(place, asked, level):
    question = asked.question
    yield _titled(place, asked, level)
    yield Words(text=question.text)
    if isinstance(question, Explanation):
        yield Words(text="a mark for each point that is made.", lead="Answer:")
        yield Points(items=question.points, mark="box")
        return
    yield Words(text=answer_told(question), lead="Answer:")
    for also in question.also:
        told = f"{_told(question, also.answer)}: {also.words}"
        yield Words(text=told, lead="Right too:")
    if question.hints:
        yield Words(text=" ".join(question.hints), lead="The way:")
    if question.reason:
        yield Words(text=question.reason, lead="Why:")
    if is_marked(asked) and question.slips:
        rows = {_told(question, slip.answer): slip.name for slip in question.slips}
        yield Table(
            head=("who wrote", "has made this slip"),
            rows=tuple(list(rows.items())[:_SLIPS]),
            parts=(2, 3),
        )


def _told(question, answer):
    return key_told(replace(question, answer=answer, also=(), slips=()))
