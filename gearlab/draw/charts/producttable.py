"""The product table as a picture: factors of two sections, and what they give."""

from dataclasses import dataclass

from ...ask.product import product_table
from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, listed, number
from ...train.train import a_train
from ..kit.given import some_words
from ..kit.scene import Scene
from ..kit.shapes import Polygon
from ..kit.style import CONTEXTS
from ..kit.table import PITCH, Column, caption, folded, stacked, table, written
from ..kit.textwidth import text_width
from ..kit.view import said

_ROOM = 10.5  # of a line in a cell, in letter sizes
NO_PRODUCT = "No shaft splits this train into two sections with several ratios each."


def draw_product_table(train, *, blank=False, context="screen", words=FrozenMap()):
    """The ratios of a train as products of the factors of two sections.

    Parameters
    ----------
    train : Train
    blank : leave the products empty, for a worksheet
    context : "screen", "projector" or "print"
    words : what is written instead of an English text

    Returns
    -------
    Scene; for a train that is no product one sentence that says so

    Raises
    ------
    ValueError
        An unknown context.
    """
    a_train(train), some_words(words)
    known(context, CONTEXTS, "context")
    font = CONTEXTS[context].font
    found, name = product_table(train), said(words, train.name)
    if found is None:
        room = 24 * font
        parts = [caption(name, [said(words, NO_PRODUCT)], context, room)]
        alt = f"{train.name}: product table. {NO_PRODUCT}"
    else:
        cells = _cells(found, blank, context, words)
        room = max(cells[1], 16 * font)
        what = f"{said(words, 'product table')}, {said(words, 'split at')}"
        what += f" {said(words, found.shaft)}"
        parts = [caption(name, [what], context, room), cells]
        alt = _alt(found, blank)
    shapes, width, height = stacked(parts, context)
    return Scene(width=width, height=height, shapes=shapes, alt=alt, context=context)


def _cells(found, blank, context, words):
    """The table itself; its first row and first column are the factors."""
    font = CONTEXTS[context].font
    heads = [_factor(found, one, "{} ×", font, words) for one in found.rows]
    tops = [_factor(found, one, "× {}", font, words) for one in found.columns]
    width = max(block.width(font) for block in heads)
    columns = [_column([_Block(), *heads], font, width)]
    bodies = [
        [top, *(_product(cell, font, words) for cell in cells)]
        for top, cells in zip(tops, zip(*found.cells, strict=True), strict=True)
    ]
    width = max(block.width(font) for blocks in bodies for block in blocks)
    columns += [_column(blocks, font, width, blank, ruled=True) for blocks in bodies]
    rows = range(1 + len(heads))
    tall = [max(column.cell.tall[row] for column in columns) for row in rows]
    return table(columns, rows, tall, context, words)


@dataclass(frozen=True, kw_only=True)
class _Block:
    """A number over some lines, on a ground where a range uses it."""

    number: str = ""
    lines: tuple[str, ...] = ()
    used: bool = False

    def width(self, font):
        """Its width with some room beside it [px]."""
        widths = [text_width(line, font) for line in self.lines]
        return max([text_width(self.number, font, bold=True), *widths]) + font

    def height(self, font):
        """Its height with some room above and below [px]."""
        return (1.8 + PITCH * len(self.lines)) * font

    def shapes(self, font, width):
        """What is drawn of it, round (0, 0)."""
        tall = self.height(font)
        if self.used:
            x, y = width / 2 - 0.2 * font, tall / 2 - 0.2 * font
            corners = ((-x, -y), (x, -y), (x, y), (-x, y))
            yield Polygon(points=corners, role="used cell")
        place = {"font": font, "anchor": "middle"}
        top = 0.4 * font - tall / 2
        yield from written([self.number], top=top, bold=True, **place)
        yield from written(self.lines, top=top + PITCH * font, **place)


@dataclass(frozen=True, kw_only=True)
class _Cells:
    """The blocks of a column, as its rows are drawn."""

    blocks: tuple[_Block, ...]
    font: float
    width: float
    blank: bool

    @property
    def tall(self):
        """The height that each row needs [px]."""
        return [block.height(self.font) for block in self.blocks]

    def __call__(self, row):
        """The shapes of a row; the products of a blank table are left out."""
        if self.blank and row:
            return ()
        return self.blocks[row].shapes(self.font, self.width)


def _column(blocks, font, width, blank=False, ruled=False):
    cell = _Cells(blocks=tuple(blocks), font=font, width=width, blank=blank)
    return Column(heading="", width=width, cell=cell, ruled=ruled)


def _factor(found, factor, pattern, font, words):
    """A factor with the elements that give it, a line for each."""
    names = found.train.in_order(factor.applied[0]) or ("nothing applied",)
    lines = []
    for name in names:
        lines += folded(said(words, name), font, _ROOM * font)
    return _Block(number=pattern.format(number(factor.ratio)), lines=tuple(lines))


def _product(cell, font, words):
    """A product with the ranges that use it."""
    if cell.ratio is None:
        return _Block(number="–", lines=(said(words, "no drive"),))
    if not cell.ranges:
        return _Block(number=number(cell.ratio), lines=(said(words, "not used"),))
    ranges = ", ".join(said(words, name) for name in cell.ranges)
    lines = folded(f"{said(words, 'range')} {ranges}", font, _ROOM * font)
    return _Block(number=number(cell.ratio), lines=tuple(lines), used=True)


def _alt(found, blank):
    head = f"{found.train.name}: product table, split at the {found.shaft}"
    if blank:
        rows = listed([number(row.ratio) for row in found.rows], "")
        columns = listed([number(one.ratio) for one in found.columns], "")
        return f"{head}, left blank: {rows} times {columns}."
    return f"{head}. {' '.join(_said_products(found))}"


def _said_products(found):
    for row, cells in zip(found.rows, found.cells, strict=True):
        for column, cell in zip(found.columns, cells, strict=True):
            factors = f"{exactly(row.ratio)} times {exactly(column.ratio)}"
            gives = "no drive" if cell.ratio is None else exactly(cell.ratio)
            used = f"range {listed(cell.ranges, '')}" if cell.ranges else "not used"
            yield f"{factors}: {gives}, {used}."
