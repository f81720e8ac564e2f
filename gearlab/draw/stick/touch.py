"""Where the elements of a stick diagram are touched: more than their lines take."""

from functools import lru_cache

from ..kit.owner import of_element, touch_area
from .grid import PLATE
from .names import ELEMENT, ONE_WAY

_TOUCH = 32.0  # how wide and high the area round a symbol is at most [u]
_ALONG = 8.0  # half of how long a symbol is along its line [u]


@lru_cache(maxsize=64)
def touch_areas(placed):
    """(owner, area) round every symbol and its name, none over that of another.

    A symbol's area is as large as its neighbours leave room for; a name is touched
    where it is written.
    """
    named = {
        label.name: label.box
        for label in placed.labels
        if label.what in (ELEMENT, ONE_WAY) and label.lines
    }
    symbol = {name: _symbol(placed, name) for name in placed.layout.marks}
    found = []
    for name, own in symbol.items():
        others = [
            (box, share)
            for boxes, share in ((symbol, 0.5), (named, 0.0))
            for other, box in boxes.items()
            if other != name
        ]
        areas = [_roomy(own, others, _TOUCH * placed.u)]
        if name in named:
            areas.append(named[name])
        found += [(of_element(name), touch_area(*area)) for area in areas]
    return tuple(found)


def _symbol(placed, name):
    """The box of what is drawn of an element."""
    x, y, dx, _ = placed.middle(name)
    wide, high = (_ALONG, PLATE) if dx else (PLATE, _ALONG)
    wide, high = wide * placed.u, high * placed.u
    return x - wide, y - high, x + wide, y + high


def _roomy(own, others, size):
    """A box round a symbol, up to `size` [px] wide and high, apart from others.

    Of each of the `others`, (box, share), it keeps away by that share of what is
    between the two boxes.
    """
    a, b, c, d = own
    by = max(0.0, (size - c + a) / 2), max(0.0, (size - d + b) / 2)
    box = [a - by[0], b - by[1], c + by[0], d + by[1]]
    for (x0, y0, x1, y1), share in others:
        apart = max(x0 - c, a - x1), max(y0 - d, b - y1)
        axis = apart.index(max(apart))
        low, high = ((x0, x1), (y0, y1))[axis]
        if low >= own[axis + 2]:
            edge = low - share * (low - own[axis + 2])
            box[axis + 2] = min(box[axis + 2], edge)
        elif high <= own[axis]:
            edge = high + share * (own[axis] - high)
            box[axis] = max(box[axis], edge)
    return tuple(box)
