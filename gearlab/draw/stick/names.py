"""Where the names of a stick diagram find room beside what they name."""

from dataclasses import dataclass, replace

from ..kit.page import said
from ..kit.style import CONTEXTS
from ..kit.textwidth import text_width, wrapped
from .grid import CLEAR, GEAR, PLATE

LINE = 1.25  # of a line of text, in letter sizes
ELEMENT, ONE_WAY, SHAFT, SET, MEMBER, END = range(6)
TOLD = ("holds", "overruns", "backs up", "at rest", "fights")  # of a one-way clutch
_ORDER = {SET: 0, END: 1, MEMBER: 2, ONE_WAY: 3, ELEMENT: 4, SHAFT: 5}
_APART = 6.0  # how dear it is to draw a set apart, in letter sizes
_ROOMS = {END: (4.4,), SHAFT: (9.0, 30.0), SET: (15.0,)}
USUAL = 5.2, 6.6, 8.5, 12.0  # rooms for the name of an element or a member
# Such as make a picture low; one does better in this train, another in that.
WIDE = (20.0, 12.0, 8.5, 6.6, 5.2), (20.0, 8.5, 12.0), (8.5, 12.0, 6.6, 5.2)


@dataclass(frozen=True, kw_only=True)
class Label:
    """Lines of text in a box (left, top, right, bottom), and what they are of.

    The name is broken to fit into one of `rooms` [letter sizes], the first one that
    there is a place for. One of the texts `below` may be written as a last line.
    """

    what: int
    name: str
    text: str
    rooms: tuple
    below: tuple = ()
    lines: tuple = ()
    box: tuple = ()
    leader: tuple = ()

    def shifted(self, dx, dy):
        """The label moved."""
        a, b, c, d = self.box
        leader = tuple((x + dx, y + dy) for x, y in self.leader)
        return replace(self, box=(a + dx, b + dy, c + dx, d + dy), leader=leader)


def wanted(train, layout, context, words, rooms=USUAL):
    """The labels to be placed; a context with few labels has no names of shafts.

    `rooms` are those for names of elements and members. A context with a frame has no
    room for what a one-way clutch does: its symbol shows that.
    """
    few, frame = CONTEXTS[context].few_labels, CONTEXTS[context].frame
    one_way = {part.name for part in train.one_way_clutches}
    found = [
        (SET, one.name, one.name if one.name in words else set_name(one.name))
        for one in train.sets
    ]
    found += [(ONE_WAY if n in one_way else ELEMENT, n, n) for n in train.by_name]
    ends = set()
    for which in ("input", "output"):
        body = train.body_of[getattr(train, which)]
        ends.add(body)
        named = body in train.shafts and (not few or body in words)
        found.append((END, which, body if named else which))
    for shaft in train.shafts:
        lines = layout.lines.get(shaft)
        if lines and shaft not in ends and (not few or shaft in words):
            found.append((SHAFT, shaft, shaft))
    found += [(MEMBER, name, name) for name in layout.ports if name in words]
    found.sort(key=lambda one: _ORDER[one[0]])
    told = () if frame else tuple(said(words, state) for state in TOLD)
    return tuple(
        Label(
            what=a,
            name=b,
            text=said(words, c),
            rooms=_ROOMS.get(a, rooms),
            below=told if a == ONE_WAY else (),
        )
        for a, b, c in found
    )


def set_name(name):
    """What a set is called in words."""
    return name if "set" in name.lower().split(" ") else f"{name} set"


def shapes(label, font):
    """Ways to break a name into lines: [(lines, width, height)]."""
    seen, bold = {}, label.what != SHAFT
    words = label.text.split() or [""]
    longest = max(text_width(word, font, bold) for word in words)
    for room in label.rooms:
        broken = wrapped(label.text, font, max(longest, room * font), bold)
        lines = tuple(broken) or (label.text,)
        wide = max(text_width(line, font, bold) for line in lines)
        rows = len(lines)
        if label.below:
            rows += 1
            below = [text_width(text, font, bold) for text in label.below]
            wide = max(wide, *below)
        seen[lines] = lines, wide, (rows * LINE + 0.05) * font
    return list(seen.values())


class Finder:
    """Looks for room on a ground, which knows where lines and symbols are."""

    def __init__(self, ground):
        self.ground = ground
        self.x, self.y, self.u = ground.x, ground.y, ground.u
        self.font, self.layout = ground.font, ground.layout

    def names(self, labels, last):
        """The labels that found a place, and those that did not."""
        taken, found, lacking = self.ground.obstacles(), [], []
        symbols = {name: self.ground.symbol(name) for name in self.layout.marks}
        for label in labels:
            own = symbols.get(label.name)
            others = [box for name, box in symbols.items() if name != label.name]
            lowest = self.y[0] + (160 if label.what in (SET, END) else 3) * self.u
            here = next(
                (
                    replace(label, lines=lines, box=box)
                    for lines, box in self._places(label)
                    if box[3] < lowest
                    and not hits(box, taken)
                    and not (own and _nearer(box, own, others))
                ),
                None,
            )
            if here is None and last:
                here = self._led(label, taken)
            if here is None:
                lacking.append(label)
                continue
            found.append(here)
            taken.append(grown(here.box, 3 * self.u))
        return found, lacking

    def _places(self, label):
        """Places for a name, the best first: (lines, box)."""
        ways = shapes(label, self.font)
        if label.what == SET:
            yield self._below_axis(label.name, *ways[0])
        elif label.what == END:
            yield from self._at_end(label.name, *ways[0])
        elif label.what == SHAFT:
            for lines, wide, high in reversed(ways):
                for box in self._along(self.layout.lines[label.name], wide, high):
                    yield lines, box
        elif label.what == MEMBER:
            yield from self._round(self._gear(label.name), ways)
        else:
            if self.layout.on_case(label.name):
                yield from self._over_case(label.name, ways)
            yield from self._round(self.ground.symbol(label.name), ways)

    def _gear(self, member):
        """The box of the gear that a member is, or of a carrier's pin."""
        column, row = self.layout.ports[member]
        x, y, u = self.x[column], self.y[row], self.u
        return x - GEAR * u, y - 2 * u, x + GEAR * u, y + 2 * u

    def _below_axis(self, name, lines, wide, high):
        one = next(one for one in self.layout.blocks if one.name == name)
        middle = (self.x[one.columns[0]] + self.x[one.columns[-1]]) / 2
        top = self.y[0] + 13 * self.u
        return lines, (middle - wide / 2, top, middle + wide / 2, top + high)

    def _at_end(self, name, lines, wide, high):
        left = name == "input"
        x, y, u = self.x[0 if left else -1], self.y[0], self.u
        for edge in (
            x - 24 * u if left else x + 24 * u - wide,
            x - 6 * u - wide if left else x + 6 * u,
        ):
            for top in (y + 13 * u, y - 11 * u - high):
                yield lines, (edge, top, edge + wide, top + high)

    def _along(self, edges, wide, high):
        """Boxes beside the lines of a body, the longest lines first."""
        clear = (CLEAR + 0.5) * self.u
        spans = []
        for a, b in edges:
            x0, x1 = sorted((self.x[a[0]], self.x[b[0]]))
            y0, y1 = sorted((self.y[a[1]], self.y[b[1]]))
            spans.append((-(x1 - x0) - 0.7 * (y1 - y0), x0, x1, y0, y1))
        for _, x0, x1, y0, y1 in sorted(spans):
            if y0 == y1:
                for middle in ((x0 + x1) / 2, x0 + wide / 2, x1 - wide / 2):
                    for top in (y0 - clear - high, y0 + clear):
                        yield middle - wide / 2, top, middle + wide / 2, top + high
            else:
                for middle in ((y0 + y1) / 2, y0 + high / 2, y1 - high / 2):
                    for left in (x0 + clear, x0 - clear - wide):
                        yield left, middle - high / 2, left + wide, middle + high / 2

    def _over_case(self, name, ways):
        x0, _, x1, _ = self.ground.symbol(name)
        x, bottom = (x0 + x1) / 2, self.y[-1] - 13 * self.u
        for lines, wide, high in ways:
            for middle in (x, x + 0.25 * wide, x - 0.25 * wide):
                box = middle - wide / 2, bottom - high, middle + wide / 2, bottom
                yield lines, box

    def _round(self, symbol, ways):
        """Boxes round a symbol."""
        x0, y0, x1, y1 = symbol
        u, clear = self.u, (CLEAR + 0.5) * self.u
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        for lines, wide, high in ways:
            for middle in (
                y,
                y + 0.2 * high,
                y - 0.2 * high,
                y + 0.4 * high,
                y - 0.4 * high,
            ):
                for left in (x1 + 3 * u, x0 - 3 * u - wide):
                    box = left, middle - high / 2, left + wide, middle + high / 2
                    yield lines, box
            for middle in (x, x - 7 * u, x + 7 * u, x0 + wide / 2, x1 - wide / 2):
                for top in (y1 + 2 * u, y0 - 2 * u - high):
                    box = middle - wide / 2, top, middle + wide / 2, top + high
                    yield lines, box
            for left in (x + clear, x - clear - wide):
                for top in (y1 + 1 * u, y0 - 1 * u - high):
                    yield lines, (left, top, left + wide, top + high)

    # Room ------------------------------------------------------------------------

    def widening(self, label, found, more):
        """What must move apart beside what is named: (axis, low, high, least).

        `found` are names that have their place, `more` is room beside what the name
        itself takes, in units.
        """
        layout, u = self.layout, self.u
        if label.what in (SET, END):
            return ()
        if label.what == SHAFT:
            a, b = max(layout.lines[label.name], key=self._length)
        elif label.what == MEMBER:
            a = b = layout.ports[label.name]
        else:
            a, b = layout.marks[label.name]
        c, r, upright = min(a[0], b[0]), min(a[1], b[1]), a[0] == b[0]
        inner = {k for one in layout.blocks for k in one.columns[:-1]}
        solid = {column for one in layout.blocks for column in one.columns}
        best, pad = None, 2 * (CLEAR + 2 + more) * u
        for column, row in ((c, r), (c - 1, r) if upright else (c, r - 1)):
            if not (0 <= column < layout.columns - 1 and 0 <= row < layout.rows - 1):
                continue
            sides = sum((GEAR - CLEAR) * u for k in (column, column + 1) if k in solid)
            face = self.x[column], self.y[row + 1], self.x[column + 1], self.y[row]
            others = [other.box for other in found if hits(other.box, [face])]
            sides += sum(box[2] - box[0] + 3 * u for box in others)
            for _, wide, high in shapes(label, self.font):
                wide += pad + sides + (PLATE * u if upright else 0)
                high += pad + (0 if upright else PLATE * u)
                cost = max(0.0, wide - self.x[column + 1] + self.x[column])
                # A set is not drawn apart without need.
                cost += _APART * self.font if column in inner else 0.0
                cost += 1.3 * max(0.0, high - self.y[row] + self.y[row + 1])
                if best is None or cost < best[0]:
                    best = cost, (0, column, column + 1, wide), (1, row, row + 1, high)
        return best[1:] if best else ()

    def _length(self, edge):
        (a, b), (c, d) = edge
        return abs(self.x[a] - self.x[c]), abs(self.y[b] - self.y[d])

    def _led(self, label, taken):
        """The nearest place that is free, with a leader to the symbol."""
        if label.what in (SET, END):
            return replace(label, box=(0.0, self.y[0], 0.0, self.y[0]))
        if label.what == MEMBER:
            x0, y0, x1, y1 = self._gear(label.name)
        elif label.what == SHAFT:
            ends = max(self.layout.lines[label.name], key=self._length)
            (x0, y0), (x1, y1) = ((self.x[c], self.y[r]) for c, r in ends)
        else:
            x0, y0, x1, y1 = self.ground.symbol(label.name)
        x, y = (x0 + x1) / 2, (y0 + y1) / 2
        found, step = [], 0.6 * self.font
        around = sorted(
            ((i, j) for i in range(-40, 41) for j in range(-40, 41)),
            key=lambda at: (abs(at[0]) + abs(at[1]), at),
        )
        for i, j in around:
            for lines, wide, high in shapes(label, self.font):
                left, top = x + i * step - wide / 2, y + j * step - high / 2
                box = left, top, left + wide, top + high
                if top + high < self.y[0] and not hits(box, taken):
                    found.append((lines, box))
            if found:
                break
        lines, box = found[0] if found else ((), (0.0, self.y[0], 0.0, self.y[0]))
        near = min(max(x, box[0]), box[2]), min(max(y, box[1]), box[3])
        return replace(label, lines=lines, box=box, leader=((x, y), near))


def _nearer(box, own, others):
    """Whether a name would stand nearer to another symbol than to its own."""
    far = distance(box, own)
    return any(distance(box, other) <= far for other in others)


def distance(box, other):
    """How far apart two boxes are, and then their middles."""
    a, b, c, d = box
    x0, y0, x1, y1 = other
    dx, dy = max(x0 - c, a - x1, 0.0), max(y0 - d, b - y1, 0.0)
    across = abs(a + c - x0 - x1) + abs(b + d - y0 - y1)
    return dx * dx + dy * dy, across


def hits(box, boxes):
    """Whether a box touches one of others."""
    a, b, c, d = box
    return any(a < x1 and c > x0 and b < y1 and d > y0 for x0, y0, x1, y1 in boxes)


def grown(box, by):
    """A box, larger on all sides."""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by
