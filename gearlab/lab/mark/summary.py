"""A student's summary: one page with the state and the marks of every lab.

It reads what :func:`gearlab.lab.mark.progress.progress` found, and nothing else.
"""

from math import cos, pi, sin

from ...base.frozenmap import FrozenMap
from ...draw.kit.page import (
    PAD,
    Page,
    centred,
    folded,
    high,
    width_of,
    written,
)
from ...draw.kit.shapes import Circle, Group, Hatch, Polygon
from ...draw.kit.table import Column, table
from ...draw.kit.textwidth import text_width
from .progress import totals

_TITLE = 15  # width of the column of titles, in letter sizes
SIGN = 0.42  # radius of the sign of a state, in letter sizes
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
    page = Page(context=context, words=words)
    font = page.font
    columns = _columns(standings, page)
    heights = [_height(one, page) for one in standings]
    grid = table(page, columns, standings, heights)
    who = f"{', '.join(students)}, {page.say('form')} {form}"
    total = page.say(totals(standings))
    head = page.caption(page.say("Labs and marks"), [who], grid[1])
    lines = folded(total, font, grid[1])
    foot = written(lines, font), grid[1], high(lines, font)
    alt = f"Labs and marks of {', '.join(students)}, form {form}. {_told(standings)}"
    return page.stacked([head, grid, foot], f"{alt} {totals(standings)}")


def _told(standings):
    return " ".join(
        f"{one.title}: {one.state}, {one.answered} of {one.questions} answered,"
        f" {one.first_mark} and {one.best_mark} of {one.full}."
        for one in standings
    )


def _columns(standings, page):
    """The columns; most are as wide as the widest word in them."""
    font = page.font

    def column(heading, text):
        width = width_of([page.say(heading), *map(text, standings)], font)
        return Column(
            heading=heading,
            width=width,
            cell=lambda one: centred([text(one)], font),
        )

    states = (text_width(page.say(one.state), font) for one in standings)
    wide = max(states, default=0.0) + (_BESIDE + 2 * PAD) * font
    return (
        column("level", lambda one: one.stars),
        Column(
            heading="lab",
            width=_TITLE * font,
            cell=lambda one: _left(one, page),
        ),
        Column(
            heading="state",
            width=wide,
            cell=lambda one: _state(one, wide, page),
        ),
        column("answered", lambda one: f"{one.answered}/{one.questions}"),
        column("right", lambda one: f"{one.right}/{one.marked}"),
        column("first try", lambda one: str(one.first_mark)),
        column("best try", lambda one: str(one.best_mark)),
        column("of", lambda one: str(one.full)),
    )


def _title(one, page):
    font = page.font
    return folded(page.say(one.title), font, (_TITLE - 2 * PAD) * font)


def _left(one, page):
    font = page.font
    lines = _title(one, page)
    left = (PAD - _TITLE / 2) * font
    return written(lines, font, x=left, top=-high(lines, font) / 2)


def _height(one, page):
    font = page.font
    return high(_title(one, page), font) + 4 * PAD * font


def _state(one, width, page):
    """The sign of a state, and its word beside it."""
    font = page.font
    left = PAD * font - width / 2
    sign = Group(x=left + SIGN * font, shapes=SIGNS[one.state](SIGN * font))
    word = [page.say(one.state)]
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


SIGNS = {
    "not begun": _ring,
    "begun": _half_ring,
    "done": _disc,
    "cannot be read": _cross,
}
