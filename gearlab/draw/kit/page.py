"""The page that every drawing stands on: what was asked, words, lines, keys."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, pairwise
from math import inf

from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, number, rounded
from ...say.describe import title
from ...solve.powerflow import LOAD_WORDS
from ...train.kinds import KINDS
from .given import some_words
from .scene import Scene
from .shapes import Group, Text
from .style import CONTEXTS, WIDTH
from .textwidth import ASCENT, DESCENT, fitted, text_width, wrapped

EDGE = 0.8  # from the sides of a page to its texts, in letter sizes
PITCH = 1.15  # from line to line of a text in a chart, in letter sizes
PAD = 0.3  # beside the text of a cell, in letter sizes
LONGEST_WORD = 30  # letters; names of many words are broken between them


@dataclass(frozen=True, kw_only=True)
class Page:
    """Where a drawing is looked at, and in which words it is written."""

    context: str = "screen"
    words: FrozenMap = FrozenMap()

    def __post_init__(self):
        some_words(self.words)
        known(self.context, CONTEXTS, "context")

    @property
    def font(self):
        """The letter size [px]."""
        return CONTEXTS[self.context].font

    @property
    def few(self):
        """Whether only the most needed labels are drawn."""
        return CONTEXTS[self.context].few_labels

    @property
    def frame(self):
        """What a picture alone is to keep to, (width, height) [px], or None."""
        return CONTEXTS[self.context].frame

    @property
    def column(self):
        """The width of a drawing that stands beside others [px]."""
        return WIDTH[self.context]

    def say(self, text):
        """What is written instead of an English text."""
        return said(self.words, text)

    def room(self, width):
        """The room for texts on a page that is `width` px wide [px]."""
        return width - 2 * EDGE * self.font

    def below(self, y, lines, pitch, **look):
        """Lines of text below `y` at the left side of the page; see :func:`below`."""
        return below(y, lines, self.font, pitch, **{"x": EDGE * self.font} | look)

    def scene(self, width, height, shapes, alt):
        """The finished picture."""
        return Scene(
            width=width,
            height=height,
            shapes=tuple(shapes),
            alt=alt,
            context=self.context,
        )

    def stacked(self, parts, alt):
        """The picture of parts (shapes, width, height) that stand under each other."""
        margin = 0.5 * self.font
        shapes, top = [], margin
        for inner, _, height in parts:
            shapes.append(Group(x=margin, y=top, shapes=tuple(inner)))
            top += height + margin
        width = max(width for _, width, _ in parts)
        return self.scene(round(width + 2 * margin, 1), round(top, 1), shapes, alt)

    def caption(self, name, what, room):
        """A drawing's name in bold and lines on it, as a part of :meth:`stacked`."""
        font = self.font
        first = wrapped(name, font, room, bold=True)
        then = [line for text in what for line in wrapped(text, font, room)]
        height = high(first, font) + (PITCH - 1) * font
        shapes = written(first, font, bold=True) + written(then, font, top=height)
        return shapes, room, height + high(then, font)

    def key(self, items, room):
        """The key of a chart, as a part of :meth:`stacked`.

        `items` are (shapes round (0, 0), their width [px], words).
        """
        look = {"gap": PAD, "middle": 0.95, "tall": 1.9, "pitch": PITCH, "at": 0.5}
        shapes, height = flowing(items, self.font, room, **look)
        return (Group(shapes=shapes, key=True),), room, height


# Lines of text --------------------------------------------------------------------


def below(y, lines, font, pitch, *, first=None, size=1.0, **look):
    """Lines of text as shapes below `y`, and where the last one is [px].

    `pitch` is from line to line and `first` to the first one, a pitch if left out;
    these and `size` are in letter sizes. `look` is as of :class:`Text`.
    """
    look = {"x": 0.0, "size": size * font} | look
    first, start, shapes = pitch if first is None else first, y, []
    for place, line in enumerate(lines):
        y = start + (first + pitch * place) * font
        shapes.append(Text(y=y, text=line, **look))
    return shapes, y


def written(lines, font, *, top=0.0, **look):
    """Lines of text in a chart, below `top`, as shapes."""
    return tuple(below(top, lines, font, PITCH, first=ASCENT, **look)[0])


def high(lines, font):
    """The height of some lines of text in a chart [px]."""
    return (PITCH * (len(lines) - 1) + ASCENT + DESCENT) * font if lines else 0.0


def centred(lines, font, bold=False):
    """Lines of text in a chart with their middle at (0, 0)."""
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


def flowing(items, font, room, *, gap, middle, tall, pitch, at=0.0, left=0.0, y=0.0):
    """Signs with their words, in rows that fit into `room` px.

    Parameters
    ----------
    items : (shapes of a sign, its width [px], words); a sign may be empty
    font : letter size [px]
    room : width of the rows [px]
    gap : between a sign and its words
    middle, tall, pitch : where signs are in a row, a row's height, and from line to
        line; all in letter sizes, as the gap
    at : where in its width a sign has its (0, 0), from 0 to 1
    left, y : the corner of the rows [px]

    Returns
    -------
    (the shapes, where the rows end [px])
    """
    shapes, x, row = [], 0.0, tall * font
    for sign, size, words in items:
        start = size + gap * font if size else 0.0
        lines = wrapped(words, font, room - start)
        width = start + max((text_width(line, font) for line in lines), default=0.0)
        if x and x + width > room:
            x, y, row = 0.0, y + row, tall * font
        level = y + middle * font
        if sign:
            place = {"x": left + x + at * size, "y": level}
            shapes.append(Group(shapes=tuple(sign), **place))
        look = {"x": left + x + start}
        shapes += below(level + (0.36 - pitch) * font, lines, font, pitch, **look)[0]
        row = max(row, (tall + pitch * (len(lines) - 1)) * font)
        x += width + 1.2 * font
    return tuple(shapes), y + row


# Words and numbers ----------------------------------------------------------------


def said(words, text):
    """What is written instead of an English text: `words` maps one to the other.

    A name of several words is looked up whole; else its end, if that is a member's
    short name, and what stands before it. A word longer than a picture has room for
    is cut; the alt sentence has it whole.

    >>> said({"sun": "Sonne", "rear": "hinten:"}, "rear sun"), said({}, "low brake")
    ('hinten: Sonne', 'low brake')
    """
    return " ".join(map(_cut, _worded(words, text).split(" ")))


def _worded(words, text):
    if not words or text in words:
        return words.get(text, text)
    parts = text.split(" ")
    for cut in range(1, len(parts)):
        before, after = " ".join(parts[:cut]), " ".join(parts[cut:])
        if after in words and _is_member(after):
            return f"{_worded(words, before)} {words[after]}"
    return text


def _is_member(short):
    return any(short in kind.members for kind in KINDS.values())


def _cut(word):
    return word if len(word) <= LONGEST_WORD else word[: LONGEST_WORD - 1] + "…"


def headline(flow, words=FrozenMap()):
    """What a flow is called and what it gives, as it is written.

    >>> import gearlab
    >>> headline(gearlab.power_flow(gearlab.load_train("five-range"), "3"))
    'Range 3, under power: ratio 1.407 (38/27)'
    """
    load = LOAD_WORDS[flow.load]
    if flow.range is None:
        name = title(flow)
        what = said(words, name[:1].lower() + name[1:])
    else:
        what = f"{said(words, 'range')} {said(words, flow.range)}"
    gives = said(words, flow.state)
    if flow.ratio is not None:
        gives = f"{said(words, 'ratio')} {exactly(flow.ratio)}"
    text = f"{what}, {said(words, load)}: {gives}"
    return text[:1].upper() + text[1:]


@lru_cache(maxsize=1024)
def signed(value, size=1.0, room=inf, bold=False):
    """A number with its sign shown, rounded until it fits into `room` px.

    >>> from fractions import Fraction
    >>> signed(Fraction(17, 12)), signed(Fraction(-5, 3), 10, 30), signed(Fraction(0))
    ('+1.417', '−1.7', '0')
    """
    sign = "+" if value > 0 else ""
    text = sign + number(value)
    for digits in (2, 1, 0):
        if text_width(text, size, bold) <= room:
            return text
        text = sign + number(rounded(value, digits))
    return fitted(text, size, room, bold)
