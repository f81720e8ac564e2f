"""A gradebook as a picture for the staff room: a row a student, or a row a question.

A mark is a number above a bar, so that it can be read without any colour.
"""

from fractions import Fraction

from ...base.checks import at_most, known
from ...base.frozenmap import FrozenMap
from ...base.numerals import percent
from ...draw.kit.page import PAD, Page, centred, folded, high, width_of, written
from ...draw.kit.shapes import Group, Polygon
from ...draw.kit.table import Column, table
from .entries import NOT_HANDED_IN, OTHER_FORM, UNDECIDED
from .gradetable import hardest
from .summary import SIGN, SIGNS

ROWS = ("students", "questions")
MOST_STUDENTS, MOST_QUESTIONS = 60, 40
_WHO, _LAB, _QUESTION, _SLIP, _BAR = 13, 11, 16, 14, 3.6  # widths, in letter sizes
_TALL = 2.2  # of a row of one line, in letter sizes
# Numbers above the middle of a cell, and the bar below them, in letter sizes.
_RAISED, _BAR_TOP, _BAR_LOW = 0.3, 0.42, 0.78
_NO_MARK = {OTHER_FORM: "form?", UNDECIDED: "?"}


def draw_gradebook(
    book, rows="students", names=True, group=None, context="print", words=FrozenMap()
):
    """The class on one page.

    Parameters
    ----------
    book : Gradebook
    rows : "students", with a column a lab, or "questions", the hardest first
    names : whether students are named; without, they are numbered, the most marks
        first, so that no place tells who it is
    group : only the students of this group of the class list; None for all
    context : "screen", "projector" or "print"
    words : what is written instead of an English text

    Returns
    -------
    Scene

    Raises
    ------
    ValueError
        Other rows, no such group, more students than a page has room for, or a book
        without a lab.
    """
    known(rows, ROWS, "kind of rows")
    page = Page(context=context, words=words)
    if not book.labs:
        raise ValueError(
            "the gradebook has no lab, so there is nothing to draw; name the labs that"
            " were set"
        )
    if rows == "questions":
        return _questions(book, page)
    return _students(book, _chosen(book, names, group), page)


def _chosen(book, names, group):
    """[(what a row is called, its Graded)], in the order in which they are drawn."""
    groups = sorted({row.student.group for row in book.rows} - {""})
    if group is not None:
        known(group, groups, "group")
    rows = [row for row in book.rows if group in (None, row.student.group)]
    at_most(rows, MOST_STUDENTS, "students on one page; name a group, and others")
    if names:
        return [(row.student.name, row) for row in rows]
    rows = sorted(rows, key=lambda row: (-row.best, -row.first, -row.handed_in))
    return [(str(n), row) for n, row in enumerate(rows, start=1)]


# A row a student ------------------------------------------------------------------


def _students(book, chosen, page):
    font = page.font
    lines = [_lines(name, _WHO, page) for name, _ in chosen]
    heights = [_height(one, font) for one in lines]
    rows = [(one, graded) for one, (_, graded) in zip(lines, chosen, strict=True)]
    columns = [
        Column(
            heading="student",
            width=_WHO * font,
            cell=lambda row: _left(row[0], _WHO, font),
        ),
        *(_lab_column(at, lab, page) for at, lab in enumerate(book.labs)),
        Column(
            heading="all",
            width=(_BAR + 1) * font,
            cell=lambda row: _bar(row[1].best, book.full, _BAR + 1, font),
            ruled=True,
        ),
    ]
    grid = table(page, columns, rows, heights)
    key = _key([graded for _, graded in chosen], page)
    what = [f"{len(chosen)} {page.say('students')}"]
    head = page.caption(page.say("The class and its labs"), what, grid[1])
    alt = f"The class and its labs. {' '.join(_told(*one) for one in chosen)}"
    return page.stacked([head, grid, page.key(key, grid[1])], alt)


def _key(rows, page):
    """What each sign that is drawn means."""
    font, states = page.font, {entry.state for row in rows for entry in row.entries}
    half = _bar(1, 2, _BAR, font)
    key = [(half, _BAR * font, page.say("best tries, of the marks"))]
    if NOT_HANDED_IN in states:
        key.append((_not_handed_in(font), 2 * SIGN * font, page.say(NOT_HANDED_IN)))
    for state, sign in _NO_MARK.items():
        if state in states:
            width = width_of([sign], font)
            key.append((centred([sign], font), width, page.say(state)))
    return key


def _lab_column(at, lab, page):
    def cell(row):
        entry = row[1].entries[at]
        if entry.row:
            return _bar(entry.best, lab.full, _BAR, page.font)
        if entry.state == NOT_HANDED_IN:
            return _not_handed_in(page.font)
        return centred([_NO_MARK[entry.state]], page.font)

    return Column(
        heading=page.say(lab.title), width=_BAR * page.font, cell=cell, turned=True
    )


def _told(name, graded):
    marks = [
        f"{entry.lab.title} {entry.best} of {entry.lab.full}"
        if entry.row
        else f"{entry.lab.title} {entry.state}"
        for entry in graded.entries
    ]
    return f"{name}: {', '.join(marks)}."


# A row a question -----------------------------------------------------------------


def _questions(book, page):
    font = page.font
    rows = hardest(book)[:MOST_QUESTIONS]
    cells = {
        "lab": (_LAB, lambda one: page.say(one.title)),
        "question": (_QUESTION, lambda one: page.say(one.question)),
        "commonest slip": (_SLIP, lambda one: one.slip_told),
    }
    text = {
        name: Column(heading=name, width=wide * font, cell=_text_cell(get, wide, page))
        for name, (wide, get) in cells.items()
    }
    columns = [
        text["lab"],
        text["question"],
        _share_column("right at first", lambda one: one.first, page),
        _share_column("right in the end", lambda one: one.right, page),
        text["commonest slip"],
    ]
    heights = [
        max(_height(_lines(get(one), wide, page), font) for wide, get in cells.values())
        for one in rows
    ]
    grid = table(page, columns, rows, heights)
    what = f"{len(rows)} {page.say('questions that not all got right')}"
    head = page.caption(page.say("The hardest questions"), [what], grid[1])
    told = " ".join(
        f"{one.title}, {one.question}: right on {one.first} of {one.sheets} sheets at"
        f" first and on {one.right} in the end{f'; {one.slip_told}' * bool(one.slip)}."
        for one in rows
    )
    return page.stacked([head, grid], f"The hardest questions. {told}".strip())


def _share_column(heading, count, page):
    def cell(one):
        label = percent(count(one) / one.sheets, 0).replace(" ", "")
        return _bar(count(one), one.sheets, _BAR, page.font, label)

    return Column(heading=heading, width=(_BAR + 1) * page.font, cell=cell)


def _text_cell(text, wide, page):
    return lambda one: _left(_lines(text(one), wide, page), wide, page.font)


# Cells ----------------------------------------------------------------------------


def _lines(text, wide, page):
    return folded(text, page.font, (wide - 2 * PAD) * page.font)


def _height(lines, font):
    return max(_TALL * font, high(lines, font) + 2 * PAD * font)


def _left(lines, wide, font):
    """Lines of text at the left side of a cell."""
    return written(lines, font, x=(PAD - wide / 2) * font, top=-high(lines, font) / 2)


def _bar(part, whole, wide, font, label=None):
    """The numbers, and below them a bar as long as the part, in a frame."""
    width = (wide - 2 * PAD) * font
    shapes = [_box(width, width, font, "open")]
    if part and whole:
        shapes.append(
            _box(width, width * float(Fraction(part, whole)), font, "applied")
        )
    lines = [label or f"{part}/{whole}"]
    top = -high(lines, font) / 2 - _RAISED * font
    return (*shapes, *written(lines, font, top=top, anchor="middle"))


def _box(width, length, font, role):
    left, right = -width / 2, length - width / 2
    top, low = _BAR_TOP * font, _BAR_LOW * font
    points = ((left, top), (right, top), (right, low), (left, low))
    return Polygon(points=points, role=role)


def _not_handed_in(font):
    return (Group(shapes=SIGNS["not begun"](SIGN * font)),)
