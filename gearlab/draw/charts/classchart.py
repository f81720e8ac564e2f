"""The apply chart for the back row: elements below each other, ranges side by side.

So every name is read across, and a chart of usual size keeps to the frame.
"""

from itertools import accumulate

from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...solve.powerflow import LOADS
from ...train.train import a_train
from ..kit.given import some_words
from ..kit.owner import of_element, of_range
from ..kit.page import PAD, Page, high, width_of, written
from ..kit.shapes import Group, Polygon
from ..kit.sheet import MARGIN, Sheet, capital
from ..kit.table import Column, table
from ..kit.textwidth import fitted, text_width
from .applychart import chart_of, stated, what_shown
from .chartalt import alt

_ROW, _COLUMN = 1.62, 1.9  # in letter sizes
_NAMES = 17.0  # of the column with the names of elements, at most, in letter sizes


def class_chart_sheet(
    train, *, load="drive", current=None, context="class", words=FrozenMap()
):
    """The apply chart for the back row, without ratios and steps.

    Of many ranges those round the current one are shown.

    Parameters
    ----------
    train : Train
    load : "drive" or "coast"
    current : the name of the range whose column is marked, or None
    context : whose letters and frame it has
    words : what is written instead of an English text

    Returns
    -------
    Sheet, equally large in every state

    Raises
    ------
    ValueError
        An unknown load, range or context, or a train without ranges.
    """
    page = Page(context=context, words=FrozenMap(some_words(words)))
    chart = chart_of(a_train(train), known(load, LOADS, "load"))
    names = [row.range for row in chart.rows]
    at = 0 if current is None else names.index(known(str(current), names, "range"))
    first = _names(train, page)
    room = page.frame[0] - first.width - 2 * MARGIN * page.font
    widths = [_width(name, page) for name in names]
    if sum(widths) > room:
        widths = [max(widths)] * len(widths)  # so that it is as wide round any range
    shown = _window(widths, at, room)
    columns = [first, *(_range(chart.rows[n], widths[n], page) for n in shown)]
    parts = list(train.by_name)
    heights = [_ROW * page.font] * len(parts)
    owners = [of_element(name) for name in parts]
    cells, width, height = table(page, columns, parts, heights, owners=owners)
    if current is not None:
        cells = (_mark(columns, shown.index(at) + 1, height), *cells)
    margin = MARGIN * page.font
    return Sheet(
        body=page.scene(
            round(width + 2 * margin),
            round(height + 2 * margin),
            (Group(x=margin, y=margin, shapes=cells),),
            alt(chart),
        ),
        key=None,
        title=capital(what_shown(load, page)),
        font=page.font,
    )


def _names(train, page):
    """The column of what can be applied, and of what holds by itself."""
    font, room = page.font, _NAMES * page.font
    texts = {name: page.say(name) for name in train.by_name}
    width = min(room, max(text_width(text, font) for text in texts.values()))

    def cell(name):
        line = [fitted(texts[name], font, width)]
        return written(line, font, top=-high(line, font) / 2, x=-width / 2)

    return Column(heading="range", width=width + 2 * PAD * font, cell=cell)


def _width(name, page):
    return max(_COLUMN * page.font, width_of([page.say(name)], page.font, bold=True))


def _range(row, width, page):
    """The column of a range: what each element does in it."""
    return Column(
        heading=row.range,
        width=width,
        cell=lambda name: stated(row.states[name], page),
        of=of_range(row.range),
    )


def _window(widths, at, room):
    """The places that fit side by side, as many for every `at`, which is among them."""
    count = len(widths)
    most = count if sum(widths) <= room else max(1, int(room // widths[0]))
    start = min(max(0, at - most // 2), count - most)
    return range(start, start + most)


def _mark(columns, place, height):
    """The ground of the marked column."""
    left = [*accumulate((one.width for one in columns), initial=0.0)]
    a, b = left[place], left[place + 1]
    corners = ((a, 0.0), (b, 0.0), (b, height), (a, height))
    return Polygon(points=corners, role="marked row")
