"""Explanations to be read question by question, and the ticks that they are given."""

from dataclasses import dataclass, replace

from .claims import NO
from .results import EXPLANATION

NONE_OF_THEM = "none of these"


@dataclass(frozen=True, kw_only=True)
class Read:
    """One explanation: whose it is, its full text, and its ticks, None if not yet."""

    students: tuple[str, ...]
    text: str
    ticks: tuple[bool, ...] | None


@dataclass(frozen=True, kw_only=True)
class ToRead:
    """The explanations of one question of a lab, with the points to look for."""

    lab: str
    title: str
    question: str
    points: tuple[str, ...]
    texts: tuple[Read, ...]

    @property
    def left(self):
        """How many nobody has ticked yet."""
        return sum(one.ticks is None for one in self.texts)


def to_read(marking):
    """The explanations of a marking, a :class:`ToRead` a question, as a tuple.

    They are in the order of labs and questions; of sheets in one name that disagree all
    are there, and of one that does not count none.
    """
    found = {}
    for row in marking.rows:
        for result in row.results if row.counts != NO else ():
            if result.kind == EXPLANATION and result.text:
                key = row.lab, row.title, result.question, result.points
                read = Read(students=row.students, text=result.text, ticks=result.ticks)
                found.setdefault(key, []).append(read)
    return tuple(
        ToRead(
            lab=lab, title=title, question=question, points=points, texts=tuple(read)
        )
        for (lab, title, question, points), read in found.items()
    )


def with_ticks(marking, question, read, ticks):
    """The marking with the ticks of one explanation.

    Parameters
    ----------
    marking : Marking
    question : :class:`ToRead`
    read : :class:`Read`, one of its texts
    ticks : a bool for each point
    """

    def ticked(row):
        if (row.lab, row.students) != (question.lab, read.students):
            return row
        results = tuple(
            replace(result, ticks=tuple(ticks))
            if (result.question, result.text) == (question.question, read.text)
            else result
            for result in row.results
        )
        return replace(row, results=results)

    return replace(marking, rows=tuple(map(ticked, marking.rows)))


def ticks_of(points, chosen):
    """The ticks of what was chosen of the points; None if nothing was, not even none.

    >>> ticks_of(("held", "rolls"), ["rolls"]), ticks_of(("held",), [NONE_OF_THEM])
    ((False, True), (False,))
    """
    if not chosen:
        return None
    return tuple(point in chosen for point in points)


def chosen_of(points, ticks):
    """What is chosen where the ticks are these; :func:`ticks_of` turned round."""
    if ticks is None:
        return []
    chosen = [point for point, made in zip(points, ticks, strict=True) if made]
    return chosen or [NONE_OF_THEM]
