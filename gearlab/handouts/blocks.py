"""A printed document as plain data: blocks one below the other.

They hold texts and pictures and no layout: ``page.typ`` has that.
"""

import re
from dataclasses import dataclass, fields, is_dataclass
from math import ceil

from ..base.checks import known
from ..draw import to_svg
from ..draw.kit.style import CONTEXTS
from .papersize import HIGH, PAPERS, WIDE
from .room import softened, softened_cell, widths

_PX = 25.4 / 96  # of a drawing [mm]
_PART = 0.75  # of a page that a picture takes at most
_LETTERS = 12.0  # of nine points [px]
_SHORT = (4, 16, 34)  # letters of items of which six, three or two stand side by side
_COLOUR = re.compile(r'\b(fill|stroke)="#([0-9A-Fa-f]{6})"')
# How bright red, green and blue look, of 255 (ITU-R BT.709).
_BRIGHT = (0.2126, 0.7152, 0.0722)


@dataclass(frozen=True, kw_only=True)
class Heading:
    """A heading; level 1 is the document's title, and 2 and 3 stand below it."""

    text: str
    level: int = 2


@dataclass(frozen=True, kw_only=True)
class Words:
    """A paragraph, with a bold word in front of it if there is a `lead`."""

    text: str
    lead: str = ""


@dataclass(frozen=True, kw_only=True)
class Caution:
    """What keeps people from harm, in a frame."""

    text: str


@dataclass(frozen=True, kw_only=True)
class Points:
    """A list; `mark` is "dot", "number", or "box" for what is ticked.

    Short items stand in several columns.
    """

    items: tuple[str, ...]
    mark: str = "dot"

    @property
    def columns(self):
        """How many stand side by side."""
        longest = max(map(len, self.items), default=0)
        if self.mark == "number" or longest > _SHORT[-1]:
            return 1
        return next(
            n for n, most in zip((6, 3, 2), _SHORT, strict=True) if longest <= most
        )


@dataclass(frozen=True, kw_only=True)
class Room:
    """Lines to write on."""

    lines: int


@dataclass(frozen=True, kw_only=True)
class Blanks:
    """Words with a line after each to write on, side by side."""

    labels: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Table:
    """Rows of texts below a head; `parts` are the columns' shares of the width."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    parts: tuple[int, ...]
    tall: bool = False  # room to write in each row


@dataclass(frozen=True, kw_only=True)
class Picture:
    """A picture in black and white, made by :func:`picture`.

    `wide` and `tall` are its own width and height on paper [mm]; where it `lies`, it
    is turned by a quarter, so that it takes as much height as it is wide.
    """

    svg: str
    alt: str
    wide: float
    tall: float
    lies: bool = False


@dataclass(frozen=True, kw_only=True)
class Keep:
    """Blocks that no page break parts."""

    blocks: tuple[object, ...]


@dataclass(frozen=True, kw_only=True)
class Break:
    """A new page."""


@dataclass(frozen=True, kw_only=True)
class Cards:
    """Cards of half a page each, to be cut apart: a row of blocks for each."""

    cards: tuple[tuple[object, ...], ...]


@dataclass(frozen=True, kw_only=True)
class Document:
    """What becomes one PDF: its title, what stands at each foot, and its blocks."""

    title: str
    blocks: tuple[object, ...]
    foot: str = ""
    paper: str = "a4"
    language: str = "en"

    def __post_init__(self):
        known(self.paper, PAPERS, "paper size")


def picture(scene):
    """The :class:`Picture` of a Scene, its colours turned into greys.

    It is as large as it is drawn. Where that is too large for a page it is made
    smaller, and lies on its side if upright its letters would be below nine points.
    """
    wide, tall = (size * _PX for size in (scene.width, scene.height))
    upright = min(1, WIDE / wide, _PART * HIGH / tall)
    turned = min(1, WIDE / tall, _PART * HIGH / wide)
    least = _LETTERS / CONTEXTS[scene.context].font
    lies = upright < least and turned > upright
    scale = turned if lies else upright
    return Picture(
        svg=_COLOUR.sub(_grey, to_svg(scene, turns=0)),
        alt=scene.alt,
        wide=wide * scale,
        tall=tall * scale,
        lies=lies,
    )


def kept(blocks):
    """Blocks as one :class:`Keep`, or as they are where a page may not hold them."""
    blocks = tuple(blocks)
    if sum(map(_height, blocks)) < HIGH:
        return (Keep(blocks=blocks),)
    return blocks


def _height(block):
    """About how much of a page a block takes, rather more than less [mm]."""
    if isinstance(block, Picture):
        return (block.wide if block.lies else block.tall) + 6
    if isinstance(block, Points):
        rows = sum(_rows(item, 75) for item in block.items)
        return 4 + 6.3 * ceil(rows / block.columns)
    if isinstance(block, Table):
        rows = (block.head, *block.rows)
        return 4 + sum(7 + 4.5 * max(_rows(cell, 20) for cell in row) for row in rows)
    if isinstance(block, Room):
        return 4 + 7.8 * block.lines
    if isinstance(block, Blanks):
        return 9
    return 4 + 5.4 * _rows(block.text, 80)


def _rows(text, letters):
    return -(-len(text) // letters) or 1


def _grey(found):
    what, colour = found.groups()
    channels = [int(colour[at : at + 2], 16) for at in (0, 2, 4)]
    grey = round(sum(a * b for a, b in zip(channels, _BRIGHT, strict=True)))
    return f'{what}="#{grey:02x}{grey:02x}{grey:02x}"'


def plain(block):
    """A document or block as dicts, lists, texts and numbers, which JSON can hold."""
    if is_dataclass(block):
        found = {one.name: plain(getattr(block, one.name)) for one in fields(block)}
        return {"kind": type(block).__name__.lower(), **found, **_room(block)}
    if isinstance(block, tuple):
        return [plain(one) for one in block]
    return block


def _room(block):
    """What a block has besides: the places of its columns, and of breaks in words."""
    if isinstance(block, Points):
        items = [softened(item, WIDE / block.columns - 12) for item in block.items]
        return {"columns": block.columns, "items": items}
    if isinstance(block, Table):
        rows = [[softened_cell(cell) for cell in row] for row in block.rows]
        head = [softened_cell(cell) for cell in block.head]
        return {"widths": widths(block), "head": head, "rows": rows}
    if isinstance(block, Heading):
        return {"text": softened(block.text, size=15.0, bold=True)}
    if isinstance(block, Words):
        return {"text": softened(block.text)}
    if isinstance(block, Document):
        return {"foot": softened(block.foot, size=9.0)}
    return {}


def texts(block):
    """Every text that a reader of a document or block meets, alt sentences too."""
    if is_dataclass(block):
        for one in fields(block):
            if one.name not in ("svg", "mark", "paper", "language"):
                yield from texts(getattr(block, one.name))
    elif isinstance(block, tuple):
        for one in block:
            yield from texts(one)
    elif isinstance(block, str):
        yield block
