"""From a stick diagram's grid to px.

Columns and rows move apart until every name has a place that touches no line.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise, product

from ...base.frozenmap import FrozenMap
from ...train.kinds import KINDS
from ...train.kinds.kind import LARGE, SMALL
from ..kit.page import said
from ..kit.style import CONTEXTS
from ..kit.textwidth import text_width
from .grid import CLEAR, GEAR, PLATE, TOOTH_GAP, is_box
from .layout import stick_layout
from .names import SET, USUAL, WIDE, Finder, shapes, wanted

_SYMBOL, _LINE = 38.0, 5.0  # room for a symbol on a line, and beside a line [u]
_END = 26.0  # how far input and output reach beyond the grid [u]
_PASSES = 9
_SCALES = 0.8, 0.65, 0.57, 0.54, 0.5, 0.45, 0.4  # of what keeps to a frame


# It is kept, as its layout is, and told by being the same one.
@dataclass(frozen=True, kw_only=True, eq=False)
class Placed:
    """A layout in px: where columns, rows and names are; y grows downward."""

    layout: object
    x: tuple
    y: tuple
    u: float  # the unit of sizes [px]
    font: float
    width: float
    height: float
    reach: dict  # set: (left, right) of what stands in its columns [px]
    labels: tuple
    taken: tuple  # boxes of lines, symbols and names, for what is written later

    def at(self, place):
        """Where a place of the grid is [px]."""
        return self.x[place[0]], self.y[place[1]]

    @property
    def margin(self):
        """What the picture alone has round it: power comes in from beyond [px]."""
        return 0.6 * self.font

    def over(self, frame):
        """How many times the picture alone is as large as a frame, the worse way."""
        sizes = zip((self.width, self.height), frame, strict=True)
        return max((size + 2 * self.margin) / room for size, room in sizes)

    def middle(self, name):
        """The middle of an element's symbol, and the unit vector to its second side."""
        (x0, y0), (x1, y1) = map(self.at, self.layout.marks[name])
        length = abs(x1 - x0) + abs(y1 - y0)
        return (x0 + x1) / 2, (y0 + y1) / 2, (x1 - x0) / length, (y1 - y0) / length


def place(train, context, words, labels, scale=1.0):
    """The :class:`Placed` layout of a train in a context, with names as `words` say.

    All but letters is drawn larger by `scale`. Where the context has a frame, all but
    letters is as large as lets the picture keep to it; where it cannot, it comes as
    near to it as it can.
    """
    return _of_train(train, context, FrozenMap(words), labels, scale)


@lru_cache(maxsize=256)
def _of_train(train, context, words, labels, scale):
    layout = stick_layout(train)
    ports = tuple(
        (one.name, short, said(words, short))
        for one in layout.blocks
        if is_box(one.kind)
        for short in one.shorts
    )
    frame = CONTEXTS[context].frame
    best = None
    for smaller, rooms in product(_SCALES, WIDE) if frame else ((1.0, USUAL),):
        names = wanted(train, layout, context, words, rooms) if labels else ()
        found = _place(layout, context, names, ports, scale * smaller)
        if best is None or found.over(frame) < best.over(frame):
            best = found
        if not frame or found.over(frame) <= 1:
            return found
    return best


@lru_cache(maxsize=256)
def _place(layout, context, names, ports, scale):
    return _Placing(layout, context, names, ports, scale).placed()


class _Placing:
    """One placing: distances grow with every pass in which a name found no room."""

    def __init__(self, layout, context, names, ports, scale):
        self.layout, self.wanted = layout, names
        self.font = CONTEXTS[context].font
        self.u = scale * self.font / CONTEXTS["screen"].font
        self.half = {
            (name, short): max(
                GEAR * self.u,
                max(text_width(word, self.font) for word in text.split(" ")) / 2
                + 4 * self.u,
            )
            for name, short, text in ports
        }
        self.across, self.up = self._distances()

    def placed(self):
        """The :class:`Placed` layout."""
        ways = [self._spread(urgent) for urgent in (False, True)]
        _, _, labels, self.x, self.y = min(ways, key=lambda way: way[:2])
        boxes = [label.box for label in labels] + [self._frame()]
        left, top = min(box[0] for box in boxes), min(box[1] for box in boxes)
        return Placed(
            layout=self.layout,
            x=tuple(x - left for x in self.x),
            y=tuple(y - top for y in self.y),
            u=self.u,
            font=self.font,
            width=max(box[2] for box in boxes) - left,
            height=max(box[3] for box in boxes) - top,
            reach={
                one.name: tuple(side - left for side in self._sides(one))
                for one in self.layout.blocks
            },
            labels=tuple(label.shifted(-left, -top) for label in labels),
            taken=tuple(
                (a - left, b - top, c - left, d - top)
                for a, b, c, d in [*self.obstacles(), *(lab.box for lab in labels)]
            ),
        )

    def _spread(self, urgent):
        """The labels, when columns and rows are far enough apart for them.

        `urgent` says whether what found no room is placed first in the next pass.
        """
        wanted, more = self.wanted, []
        for k in range(_PASSES):
            labels, lacking = self._names(wanted, more)
            if not lacking:
                break
            if urgent:
                wanted = (*lacking, *(name for name in wanted if name not in lacking))
            finder = Finder(self)
            more += [
                rule
                for label in lacking
                for rule in finder.widening(label, labels, 2 * k)
            ]
        # What was added for one name may not be needed once another has its room.
        for rule in sorted(more, key=lambda rule: -rule[3]):
            fewer = [other for other in more if other is not rule]
            if not lacking and not self._names(wanted, fewer)[1]:
                more = fewer
        labels, _ = self._names(wanted, more, last=True)
        led = sum(bool(label.leader) or not label.lines for label in labels)
        return led, self.x[-1] + 1.5 * self.y[0], labels, self.x, self.y

    def _names(self, wanted, more, last=False):
        """Settle with rules of (axis, low, high, least), and place the names."""
        for axis, rules in ((0, self.across), (1, self.up)):
            count = self.layout.columns if axis == 0 else self.layout.rows
            own = [rule[1:] for rule in more if rule[0] == axis]
            at = _solved(count, rules + own)
            if axis == 0:
                self.x = at
            else:
                self.y = [at[-1] - height for height in at]
        return Finder(self).names(wanted, last)

    # Distances -------------------------------------------------------------------

    def _distances(self):
        """[(low, high, least distance)] of columns and of rows [px]."""
        layout, u = self.layout, self.u
        beside, above = [_LINE * u] * layout.columns, [_LINE * u] * layout.rows
        across, up = [], []
        for a, b in layout.marks.values():
            axis, rules, half = (1, up, beside) if a[0] == b[0] else (0, across, above)
            spot = a[1 - axis]
            half[spot] = max(half[spot], (PLATE + 2) * u)
            rules.append((min(a[axis], b[axis]), max(a[axis], b[axis]), _SYMBOL * u))
        for one in layout.blocks:
            for column, wide in zip(one.columns, self._halves(one), strict=True):
                beside[column] = max(beside[column], wide)
            up += self._set_rows(one.rows)
        for half, rules in ((beside, across), (above, up)):
            rules += [
                (i, i + 1, a + b + _LINE * u) for i, (a, b) in enumerate(pairwise(half))
            ]
        return across + list(self._set_names()), up

    def _halves(self, one):
        """Half the width of what stands in each column of a set."""
        if is_box(one.kind):
            shorts = one.shorts or (None,)
            return [self.half.get((one.name, short), GEAR * self.u) for short in shorts]
        halves = [(GEAR + 2) * self.u] * len(one.columns)
        if KINDS[one.kind].section.narrow_end:
            halves[0 if one.mirrored else -1] = _LINE * self.u
        if f"{one.name} carrier" in self.layout.grounds:  # its sign stands outside
            halves[-1 if one.mirrored else 0] += 12 * self.u
        return halves

    def _sides(self, one):
        """Where a set begins and ends along the axis."""
        halves = self._halves(one)
        return self.x[one.columns[0]] - halves[0], self.x[one.columns[-1]] + halves[-1]

    def _set_rows(self, rows):
        u, (sun, inner, planet, ring) = self.u, rows
        web = 13 * u
        reach = (LARGE + TOOTH_GAP) * u
        yield planet, ring, reach + web
        yield sun, planet, reach + web
        if sun < inner < planet:
            yield inner, planet, reach + SMALL * u
            yield sun, inner, (SMALL + TOOTH_GAP) * u + web

    def _set_names(self):
        """Sets stand so far apart that their names stand beside each other."""
        layout = self.layout
        widths = {
            label.name: shapes(label, self.font)[0][1]
            for label in self.wanted
            if label.what == SET
        }
        if not widths:
            return
        for one, other in pairwise(layout.blocks):
            wide = (widths[one.name] + widths[other.name]) / 2 + 0.8 * self.font
            yield one.columns[-1], other.columns[0], wide
        first, last = layout.blocks[0], layout.blocks[-1]
        ends = 2.2 * self.font  # for the names of input and output
        yield 0, first.columns[0], widths[first.name] / 2 + ends
        yield last.columns[-1], layout.columns - 1, widths[last.name] / 2 + ends

    # What is where ---------------------------------------------------------------

    def _frame(self):
        """The box of all that is drawn, names apart."""
        u = self.u
        return (
            self.x[0] - _END * u, self.y[-1] - 10 * u,
            self.x[-1] + _END * u, self.y[0] + 10 * u,
        )  # fmt: skip

    def symbol(self, name):
        """The box of an element's symbol."""
        a, b = self.layout.marks[name]
        x, y = (self.x[a[0]] + self.x[b[0]]) / 2, (self.y[a[1]] + self.y[b[1]]) / 2
        wide, high = (PLATE + 1) * self.u, 8 * self.u
        if a[0] != b[0]:
            wide, high = high, wide
        return x - wide, y - high, x + wide, y + high

    def obstacles(self):
        """Boxes that no name may touch."""
        layout, u, x, y = self.layout, self.u, self.x, self.y
        clear = CLEAR * u
        boxes = [self.symbol(name) for name in layout.marks]
        edges = [edge for lines in layout.lines.values() for edge in lines]
        for a, b in [*edges, *layout.marks.values()]:
            x0, x1 = sorted((x[a[0]], x[b[0]]))
            y0, y1 = sorted((y[a[1]], y[b[1]]))
            boxes.append((x0 - clear, y0 - clear, x1 + clear, y1 + clear))
        for one in layout.blocks:
            left, right = self._sides(one)
            boxes.append((left, y[one.rows[3]], right, y[one.rows[0]]))
        signs = list(layout.grounds.values())
        signs += [two[1] for name, two in layout.marks.items() if layout.aside(name)]
        for column, row in signs:
            at, high, reach = x[column], y[row], 14 * u
            boxes.append((at - reach, high - reach, at + reach, high + reach))
        left, _, right, bottom = self._frame()
        boxes.append((left, y[-1] - 11 * u, right, y[-1] + 3 * u))
        boxes.append((left, y[0] + 5 * u, right, bottom))
        for end in ((left, x[0]), (x[-1], right)):
            boxes.append((end[0], y[0] - 9 * u, end[1], bottom))
        return boxes


def _solved(count, rules):
    """The least places that keep all distances."""
    at = [0.0] * count
    by_end = sorted(rules, key=lambda rule: rule[1])
    for low, high, least in by_end:
        # In the order of their upper ends: lower places are final by then.
        at[high] = max(at[high], at[low] + least)
    return at
