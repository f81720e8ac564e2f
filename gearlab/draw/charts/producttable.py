"""The product table as a picture: factors of two sections, and what they give."""

from dataclasses import dataclass

from ...ask.product import product_table
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, listed, number
from ...train.train import a_train
from ..kit.page import PITCH, Page, folded, written
from ..kit.shapes import Polygon
from ..kit.table import Column, table
from ..kit.textwidth import text_width

_ROOM = 10.5  # of a line in a cell, in letter sizes
NO_PRODUCT = "No shaft splits this train into two sections with several ratios each."


def draw_product_table(train, *, blank=False, context="screen", words=FrozenMap()):
    """The ratios of a train as products of the factors of two sections.

    Parameters
    ----------
    train : Train
    blank : leave the products empty, for a worksheet
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene; for a train that is no product one sentence that says so

    Raises
    ------
    ValueError
        An unknown context.
    """
    a_train(train)
    page = Page(context=context, words=words)
    font = page.font
    found, name = product_table(train), page.say(train.name)
    if found is None:
        room = 24 * font
        parts = [page.caption(name, [page.say(NO_PRODUCT)], room)]
        alt = f"{train.name}: product table. {NO_PRODUCT}"
    else:
        cells = _cells(found, blank, page)
        room = max(cells[1], 16 * font)
        what = f"{page.say('product table')}, {page.say('split at')}"
        what += f" {page.say(found.shaft)}"
        parts = [page.caption(name, [what], room), cells]
        alt = _alt(found, blank)
    return page.stacked(parts, alt)


def _cells(found, blank, page):
    """The table itself; its first row and first column are the factors."""
    font = page.font
    heads = [_factor(found, one, "{} ×", page) for one in found.rows]
    tops = [_factor(found, one, "× {}", page) for one in found.columns]
    width = max(block.width(font) for block in heads)
    columns = [_column([_Block(), *heads], font, width)]
    bodies = [
        [top, *(_product(cell, page) for cell in cells)]
        for top, cells in zip(tops, zip(*found.cells, strict=True), strict=True)
    ]
    width = max(block.width(font) for blocks in bodies for block in blocks)
    columns += [_column(blocks, font, width, blank, ruled=True) for blocks in bodies]
    rows = range(1 + len(heads))
    tall = [max(column.cell.tall[row] for column in columns) for row in rows]
    return table(page, columns, rows, tall)


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


def _factor(found, factor, pattern, page):
    """A factor with the elements that give it, a line for each."""
    font = page.font
    names = found.train.in_order(factor.applied[0]) or ("nothing applied",)
    lines = []
    for name in names:
        lines += folded(page.say(name), font, _ROOM * font)
    return _Block(number=pattern.format(number(factor.ratio)), lines=tuple(lines))


def _product(cell, page):
    """A product with the ranges that use it."""
    font = page.font
    if cell.ratio is None:
        return _Block(number="–", lines=(page.say("no drive"),))
    if not cell.ranges:
        return _Block(number=number(cell.ratio), lines=(page.say("not used"),))
    ranges = ", ".join(page.say(name) for name in cell.ranges)
    lines = folded(f"{page.say('range')} {ranges}", font, _ROOM * font)
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
