"""A student's summary: one page with the state and the marks of every lab.

It reads what :func:`gearlab.lab.mark.progress.progress` found, and nothing else.
"""

from math import cos, pi, sin

from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...draw.kit.scene import Scene
from ...draw.kit.shapes import Circle, Group, Hatch, Polygon
from ...draw.kit.style import CONTEXTS
from ...draw.kit.table import (
    PAD,
    Column,
    caption,
    centred,
    folded,
    high,
    stacked,
    table,
    width_of,
    written,
)
from ...draw.kit.textwidth import text_width
from ...draw.kit.view import said
from .progress import totals

_TITLE = 15  # width of the column of titles, in letter sizes
_SIGN = 0.42  # radius of the sign of a state, in letter sizes
_BESIDE = 1.4  # from the left of the sign to its word, in letter sizes


def draw_summary(standings, students, form, context="print", words=FrozenMap()):
    """A table of labs: stars, state, answers and marks, on one page.

    The state is a word and a sign: an empty ring, a half ring, a full one, a cross.

    Parameters
    ----------
    standings : from :func:`gearlab.lab.mark.progress.progress`
    students : the ids
    form : the letter of the form
    context : "screen", "projector" or "print"
    words : what is written instead of an English text

    Returns
    -------
    Scene
    """
    known(context, CONTEXTS, "context")
    font = CONTEXTS[context].font
    columns = _columns(standings, font, words)
    heights = [_height(one, font, words) for one in standings]
    grid = table(columns, standings, heights, context, words)
    who = f"{', '.join(students)}, {said(words, 'form')} {form}"
    total = said(words, totals(standings))
    head = caption(said(words, "Labs and marks"), [who], context, grid[1])
    lines = folded(total, font, grid[1])
    foot = written(lines, font), grid[1], high(lines, font)
    shapes, width, height = stacked([head, grid, foot], context)
    return Scene(
        width=width,
        height=height,
        shapes=shapes,
        alt=f"Labs and marks of {', '.join(students)}, form {form}. {_told(standings)}"
        f" {totals(standings)}",
        context=context,
    )


def _told(standings):
    return " ".join(
        f"{one.title}: {one.state}, {one.answered} of {one.questions} answered,"
        f" {one.first_mark} and {one.best_mark} of {one.full}."
        for one in standings
    )


def _columns(standings, font, words):
    """The columns; most are as wide as the widest word in them."""

    def column(heading, text):
        width = width_of([said(words, heading), *map(text, standings)], font)
        return Column(
            heading=heading,
            width=width,
            cell=lambda one: centred([text(one)], font),
        )

    states = (text_width(said(words, one.state), font) for one in standings)
    wide = max(states, default=0.0) + (_BESIDE + 2 * PAD) * font
    return (
        column("level", lambda one: one.stars),
        Column(
            heading="lab",
            width=_TITLE * font,
            cell=lambda one: _left(one, font, words),
        ),
        Column(
            heading="state",
            width=wide,
            cell=lambda one: _state(one, wide, font, words),
        ),
        column("answered", lambda one: f"{one.answered}/{one.questions}"),
        column("right", lambda one: f"{one.right}/{one.marked}"),
        column("first try", lambda one: str(one.first_mark)),
        column("best try", lambda one: str(one.best_mark)),
        column("of", lambda one: str(one.full)),
    )


def _title(one, font, words):
    return folded(said(words, one.title), font, (_TITLE - 2 * PAD) * font)


def _left(one, font, words):
    lines = _title(one, font, words)
    left = (PAD - _TITLE / 2) * font
    return written(lines, font, x=left, top=-high(lines, font) / 2)


def _height(one, font, words):
    return high(_title(one, font, words), font) + 4 * PAD * font


def _state(one, width, font, words):
    """The sign of a state, and its word beside it."""
    left = PAD * font - width / 2
    sign = Group(x=left + _SIGN * font, shapes=_SIGNS[one.state](_SIGN * font))
    word = [said(words, one.state)]
    top = -high(word, font) / 2
    return sign, *written(word, font, x=left + _BESIDE * font, top=top)


def _ring(r):
    return (Circle(x=0.0, y=0.0, r=r, role="axis"),)


def _half_ring(r):
    arc = tuple((-r * sin(pi * i / 16), -r * cos(pi * i / 16)) for i in range(17))
    return (*_ring(r), Polygon(points=arc, role="turning"))


def _disc(r):
    return (Circle(x=0.0, y=0.0, r=r, role="turning"),)


def _cross(r):
    return (Hatch(lines=(((-r, -r), (r, r)), ((-r, r), (r, -r))), role="axis"),)


_SIGNS = {
    "not begun": _ring,
    "begun": _half_ring,
    "done": _disc,
    "cannot be read": _cross,
}
