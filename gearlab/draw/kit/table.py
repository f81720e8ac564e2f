"""What charts are made of: lines of text, a key, and a table of cells."""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import accumulate, combinations, pairwise

from .shapes import Group, Line, Polygon, Text
from .style import CONTEXTS
from .textwidth import text_width, wrapped
from .view import said

PITCH = 1.15  # from line to line of a text, in letter sizes
PAD = 0.3  # beside the text of a cell
_HIGH, _LOW = 0.76, 0.24  # of a line, above and below its base line


@dataclass(frozen=True, kw_only=True)
class Column:
    """A column of a table; `cell` takes a row and gives shapes round (0, 0).

    A turned heading is read upward. A ruled column has a heavy line before it.
    """

    heading: str
    width: float
    cell: Callable
    turned: bool = False
    ruled: bool = False


def written(lines, font, *, x=0.0, top=0.0, anchor="start", bold=False):
    """Lines of text below `top`, as shapes."""
    return tuple(
        Text(
            x=x,
            y=top + (_HIGH + PITCH * place) * font,
            text=line,
            size=font,
            anchor=anchor,
            bold=bold,
        )
        for place, line in enumerate(lines)
    )


def high(lines, font):
    """The height of some lines of text [px]."""
    return (PITCH * (len(lines) - 1) + _HIGH + _LOW) * font if lines else 0.0


def centred(lines, font, bold=False):
    """Lines of text with their middle at (0, 0)."""
    top = -high(lines, font) / 2
    return written(lines, font, top=top, anchor="middle", bold=bold)


def broken(text, font, most, bold=False):
    """The text in `most` lines at most, broken between words, as narrow as it goes.

    >>> broken("front one-way clutch", 10, 2)
    ['front one-way', 'clutch']
    """
    words, ways = text.split(), []
    for count in range(min(most, len(words))):
        for cuts in combinations(range(1, len(words)), count):
            ends = (0, *cuts, len(words))
            lines = [" ".join(words[a:b]) for a, b in pairwise(ends)]
            ways.append((max(text_width(line, font, bold) for line in lines), lines))
    return min(ways)[1] if ways else []


def folded(text, font, room, bold=False):
    """The text in lines that fit into `room` px; a longer word makes room for itself.

    >>> folded("1 low", 10, 40), folded("freewheels", 10, 20)
    (['1 low'], ['freewheels'])
    """
    words = [text_width(word, font, bold) for word in text.split()]
    return wrapped(text, font, max([room, *words]), bold)


def width_of(texts, font, bold=False):
    """The width that the longest word of some texts takes in a cell [px]."""
    words = [word for text in texts for word in text.split()]
    widest = max((text_width(word, font, bold) for word in words), default=0.0)
    return widest + 2 * PAD * font


def table(columns, rows, heights, context, words, current=None):
    """The cells of every row under the headings of the columns.

    Parameters
    ----------
    columns : of :class:`Column`
    rows : what a column's `cell` takes
    heights : of the rows [px]
    context : where it is looked at
    words : what is written instead of an English text
    current : the number of the row that is marked, or None

    Returns
    -------
    (shapes, width, height), with the table's corner at (0, 0)
    """
    font = CONTEXTS[context].font
    left = list(accumulate((column.width for column in columns), initial=0.0))
    heads = [_heading(column, font, words) for column in columns]
    head = max(height for _, height in heads)
    head += 2 * PAD * font if head else 0.0
    tops = list(accumulate(heights, initial=head))
    shapes = []
    if current is not None:
        shapes += _marked(0.0, tops[current], left[-1], tops[current + 1], font)
    for column, x, (texts, _) in zip(columns, left, heads, strict=False):
        turn = -90.0 if column.turned else 0.0
        middle = x + column.width / 2
        shapes.append(Group(x=middle, y=head - PAD * font, start=turn, shapes=texts))
        for row, top, height in zip(rows, tops, heights, strict=False):
            if cell := tuple(column.cell(row)):
                shapes.append(Group(x=middle, y=top + height / 2, shapes=cell))
    for y in tops:
        shapes.append(Line(points=((0.0, y), (left[-1], y)), role="scale"))
    ruled = [column.ruled for column in columns] + [False]
    for x, heavy in zip(left, ruled, strict=True):
        top = 0.0 if heavy else head
        role = "axis" if heavy else "scale"
        shapes.append(Line(points=((x, top), (x, tops[-1])), role=role))
    return tuple(shapes), left[-1], tops[-1]


def key(items, font, room):
    """Signs with what they mean, in lines that fit into `room` px.

    `items` are (shapes round (0, 0), their width [px], words). Returns the shapes,
    below (0, 0), and their height.
    """
    shapes, x, top, tall = [], 0.0, 0.0, 1.9 * font
    for sign, size, words in items:
        gap = size + PAD * font if size else 0.0
        lines = wrapped(words, font, room - gap)
        width = gap + max((text_width(line, font) for line in lines), default=0.0)
        if x and x + width > room:
            x, top = 0.0, top + tall
        if sign:
            shapes.append(Group(x=x + size / 2, y=top + tall / 2, shapes=tuple(sign)))
        first = top + (tall - font) / 2 + 0.1 * font
        shapes += written(lines, font, x=x + gap, top=first)
        top += (len(lines) - 1) * PITCH * font
        x += width + 1.2 * font
    return (Group(shapes=tuple(shapes), key=True),), top + tall


def stacked(parts, context):
    """Parts of (shapes, width, height) under each other, with a margin round them.

    Returns the shapes and the width and height of all.
    """
    margin = 0.5 * CONTEXTS[context].font
    shapes, top = [], margin
    for inner, _, height in parts:
        shapes.append(Group(x=margin, y=top, shapes=tuple(inner)))
        top += height + margin
    width = max(width for _, width, _ in parts)
    return tuple(shapes), round(width + 2 * margin, 1), round(top, 1)


def caption(name, what, context, room):
    """A drawing's name in bold and a line on it, as a part of :func:`stacked`."""
    font = CONTEXTS[context].font
    first = wrapped(name, font, room, bold=True)
    then = [line for text in what for line in wrapped(text, font, room)]
    height = high(first, font) + (PITCH - 1) * font
    shapes = written(first, font, bold=True) + written(then, font, top=height)
    return shapes, room, height + high(then, font)


def _heading(column, font, words):
    """The heading's shapes, its foot at (0, 0), and its height."""
    text = said(words, column.heading)
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
