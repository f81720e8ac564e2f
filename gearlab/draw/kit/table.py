"""A table of cells, as charts are made of."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate, pairwise

from .owner import all_of, owned, touch_area
from .page import PAD, PITCH, broken, folded, high, written
from .shapes import Group, Line, Polygon
from .textwidth import text_width


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column of a table; `cell` takes a row and gives shapes round (0, 0).

    A turned heading is read upward. A ruled column has a heavy line before it. `of` is
    the owner of the heading.
    """

    heading: str
    width: float
    cell: Callable
    turned: bool = False
    ruled: bool = False
    of: str = ""


def table(page, columns, rows, heights, current=None, owners=None):
    """The cells of every row under the headings of the columns.

    Parameters
    ----------
    page : the :class:`~gearlab.draw.kit.page.Page` that the table stands on
    columns : of :class:`Column`
    rows : what a column's `cell` takes
    heights : of the rows [px]
    current : the number of the row that is marked, or None
    owners : of the rows, for a table that is touched; headings with an owner and rows
        then have areas for that

    Returns
    -------
    (shapes, width, height), with the table's corner at (0, 0)
    """
    font = page.font
    left = list(accumulate((column.width for column in columns), initial=0.0))
    heads = [_heading(column, page) for column in columns]
    head = max(height for _, height in heads)
    head += 2 * PAD * font if head else 0.0
    tops = list(accumulate(heights, initial=head))
    shapes, owner = [], owners or [""] * len(heights)
    if current is not None:
        mark = _marked(0.0, tops[current], left[-1], tops[current + 1], font)
        shapes += owned(all_of(owner[current], mark))
    for column, x, (texts, _) in zip(columns, left, heads, strict=False):
        turn = -90.0 if column.turned else 0.0
        middle = x + column.width / 2
        look = {"start": turn, "of": column.of}
        shapes.append(Group(x=middle, y=head - PAD * font, shapes=texts, **look))
        for row, top, height, of in zip(rows, tops, heights, owner, strict=False):
            if cell := tuple(column.cell(row)):
                shapes.append(Group(x=middle, y=top + height / 2, shapes=cell, of=of))
    for y in tops:
        shapes.append(Line(points=((0.0, y), (left[-1], y)), role="scale"))
    ruled = [column.ruled for column in columns] + [False]
    for x, heavy in zip(left, ruled, strict=True):
        top = 0.0 if heavy else head
        role = "axis" if heavy else "scale"
        shapes.append(Line(points=((x, top), (x, tops[-1])), role=role))
    if owners:
        shapes += owned(_touched(columns, left, tops, owners))
    return tuple(shapes), left[-1], tops[-1]


def _touched(columns, left, tops, owners):
    """(owner, area) of the headings that have one, and of every row."""
    for column, x in zip(columns, left, strict=False):
        if column.of:
            yield column.of, touch_area(x, 0.0, x + column.width, tops[0])
    for of, (top, low) in zip(owners, pairwise(tops), strict=True):
        yield of, touch_area(0.0, top, left[-1], low)


def _heading(column, page):
    """The heading's shapes, its foot at (0, 0), and its height."""
    text, font = page.say(column.heading), page.font
    if not column.turned:
        lines = folded(text, font, column.width)
        tall = high(lines, font)
        return written(lines, font, top=-tall, anchor="middle"), tall
    most = max(1, int(column.width / (PITCH * font)))
    lines = broken(text, font, most)
    across = high(lines, font)
    tall = max((text_width(line, font) for line in lines), default=0.0)
    return written(lines, font, top=-across / 2), tall


def _marked(left, top, right, low, font):
    """The ground of a marked row, and a pointer at it."""
    yield Polygon(
        points=((left, top), (right, top), (right, low), (left, low)), role="marked row"
    )
    x, y, half = left + 0.15 * font, (top + low) / 2, 0.42 * font
    yield Polygon(
        points=((x, y - half), (x + 1.3 * half, y), (x, y + half)), role="turning"
    )
