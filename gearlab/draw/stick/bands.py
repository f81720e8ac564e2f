"""The power path over a stick diagram: bands as wide as the power, with arrowheads."""

from dataclasses import dataclass
from fractions import Fraction

from ...base.numerals import percent
from ...train.kinds import KINDS
from ...train.kinds.kind import PLANET, SUN, Bevels, Gear
from ...train.train import CASE
from ..kit.owner import all_of, of_body, of_element
from ..kit.shapes import Hatch, Line, Polygon, Text
from ..kit.textwidth import ASCENT, text_width
from .grid import sides
from .names import distance, grown, hits
from .symbols import Spot, rectangle

FULL = 11.0  # width of the band of all that is put in [u]
_WIDEST = 18.0  # of any band [u]
_THREADED = 4.0  # a band that is wider has a white thread where it is driven [u]


@dataclass(frozen=True, kw_only=True)
class Piece:
    """A straight piece of the path; its power, as a part of what is put in, goes on."""

    start: tuple[float, float]
    end: tuple[float, float]
    power: Fraction
    part: str  # in whose colour it is drawn
    round: bool  # whether power goes round in it
    of: str  # its owner on a page

    @property
    def length(self):
        """How long it is [px]."""
        (x0, y0), (x1, y1) = self.start, self.end
        return abs(x1 - x0) + abs(y1 - y0)


def pieces(stick):
    """Every straight :class:`Piece` through which a known power goes."""
    placed, powers, train = stick.placed, stick.powers, stick.flow.train
    layout, found = placed.layout, []

    def add(start, end, power, body, key, of=None):
        if power and body != CASE:
            if power < 0:
                start, end, power = end, start, -power
            found.append(
                Piece(
                    start=start, end=end, power=power, part=stick.band_part(body),
                    round=key in powers.round, of=of or of_body(train, body),
                )
            )  # fmt: skip

    for body, edges in layout.lines.items():
        for a, b, power, key in _straight(powers, body, edges):
            add(placed.at(a), placed.at(b), power, body, key)
    for name, (first, second) in layout.marks.items():
        body, _ = sides(train, name)
        power = powers.elements[name]
        start, end = placed.at(first), placed.at(second)
        add(start, end, power, body, name, of_element(name))
    for one, block in zip(train.sets, layout.blocks, strict=True):
        for short, start, end in _webs(placed, block):
            member = one.member(short)
            body = train.body_of[member]
            add(start, end, powers.members[member], body, member)
    for which, spot in layout.ends.items():
        x, y = placed.at(spot)
        out = x + 24 * placed.u * (-1 if which == "input" else 1)
        body = train.body_of[getattr(train, which)]
        add((out, y), (x, y), powers.ends[which], body, which)
    return found


def _straight(powers, body, edges):
    """(from, to, power, an edge): edges in one line and of one power drawn together."""
    left = {edge: powers.edges[body, edge] for edge in edges}
    for a, b in sorted(left):
        if (a, b) not in left:
            continue
        power, key = left.pop((a, b)), (body, (a, b))
        step = b[0] - a[0], b[1] - a[1]
        while (onward := (b, (b[0] + step[0], b[1] + step[1]))) in left:
            same = (body, onward) in powers.round, left[onward]
            if same != (key in powers.round, power):
                break
            left.pop(onward)
            b = onward[1]
        yield a, b, power, key


def _webs(placed, block):
    """(member's short name, where its web begins, where its teeth are)."""
    section, spot = KINDS[block.kind].section, Spot(placed, block)
    for piece in section.pieces if section else ():
        if isinstance(piece, Bevels):
            yield piece.left, spot.at((0, SUN)), spot.at((0, PLANET))
            yield piece.right, spot.at((2, SUN)), spot.at((2, PLANET))
        elif isinstance(piece, Gear):
            x, web = spot.at((piece.columns[0], piece.web_row))
            yield piece.short, (x, web), (x, spot.beside(piece))


def bands(stick):
    """(owner, shape) of the bands, which lie under the lines."""
    return [
        (one.of, rectangle(*_box(one, width), f"{one.part} band"))
        for one, width in _widths(stick)
    ]


def marks(stick):
    """(owner, shape) of threads, stripes where power goes round, and arrowheads."""
    u, shapes, heads = stick.placed.u, [], []
    for one, width in _widths(stick):
        if one.part == "driven" and width > _THREADED * u:
            shapes.append((one.of, Line(points=(one.start, one.end), role="thread")))
        if one.round:
            shapes.append((one.of, stripes(one.start, one.end, width, u)))
        heads += all_of(one.of, _head(one, width, u))
    return shapes + heads


def _widths(stick):
    """[(piece, width of its band)]."""
    found = stick.pieces
    most = max([float(one.power) for one in found], default=1.0)
    unit = min(FULL, _WIDEST / most) * stick.placed.u
    return [(one, unit * float(one.power)) for one in found]


def _box(one, width):
    """The box of a band, half a width longer at both ends, so that corners fill."""
    xs, ys = zip(one.start, one.end, strict=True)
    return grown((min(xs), min(ys), max(xs), max(ys)), width / 2)


def stripes(start, end, width, u):
    """White stripes across a band, wide enough to be seen on a thin one."""
    half, (x0, y0), (x1, y1) = max(width / 2, 2 * u), start, end
    length = abs(x1 - x0) + abs(y1 - y0)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    lines = []
    for i in range(int(length / (6 * u))):
        at = (i + 0.5) * 6 * u
        x, y = x0 + dx * at, y0 + dy * at
        along, across = 0.6 * half, half
        ends = (-1, 1) if dx + dy > 0 else (1, -1)
        lines.append(
            tuple(
                (
                    x + way * (dx * along + dy * across),
                    y + way * (dy * along + dx * across),
                )
                for way in ends
            )
        )
    return Hatch(lines=tuple(lines), role="stripe")


def _head(one, width, u):
    """An arrowhead on a piece that is long enough for one."""
    size = max(width + 5 * u, 10 * u)
    if one.length < size + 7 * u:
        return
    (x0, y0), (x1, y1) = one.start, one.end
    dx, dy = (x1 - x0) / one.length, (y1 - y0) / one.length
    x, y = (x0 + x1) / 2 + dx * size / 2, (y0 + y1) / 2 + dy * size / 2
    bx, by, half = x - dx * size, y - dy * size, 0.55 * size
    corners = (bx - dy * half, by + dx * half), (bx + dy * half, by - dx * half)
    yield Polygon(points=((x, y), *corners), role=f"{one.part} mark")


def percents(stick):
    """(owner, text) of the parts that the power splits into.

    Each is written once, nearest to a band of its own.
    """
    font, u = stick.placed.font, stick.placed.u
    bands = [(one.power, _box(one, width)) for one, width in _widths(stick)]
    taken, told = list(stick.placed.taken), {0, 1}

    def free(box, power):
        within = box[0] > 0 and box[2] < stick.placed.width
        hit = hits(box, taken) or hits(box, [band for _, band in bands])
        nearest = min(bands, key=lambda band: distance(box, band[1]))
        return within and not hit and nearest[0] == power

    for one in sorted(stick.pieces, key=lambda one: -one.length):
        if one.power in told:
            continue
        text = percent(one.power)
        wide = text_width(text, font, bold=True)
        boxes = [b for b in _beside(one, wide, font, u) if free(b, one.power)]
        if not boxes:
            continue
        line = _box(one, u)
        others = [other for other in taken if not hits(line, [other])]
        box = max(boxes, key=lambda box: min(_apart(box, others), 30 * u))
        taken.append(grown(box, 2 * u))
        told.add(one.power)
        place = {"x": (box[0] + box[2]) / 2, "y": box[1] + ASCENT * font}
        yield one.of, Text(text=text, size=font, anchor="middle", bold=True, **place)


def _apart(box, others):
    """How far a box is from the nearest of others [px]."""
    return min((distance(box, other)[0] for other in others), default=0.0) ** 0.5


def _beside(one, wide, font, u):
    """Boxes beside a piece of the path, the best first."""
    (x0, y0), (x1, y1) = one.start, one.end
    for part in (0.5, 0.3, 0.7):
        x, y = x0 + (x1 - x0) * part, y0 + (y1 - y0) * part
        for way in (-1, 1):
            if y0 == y1:
                at = x, y + way * (8 * u + font / 2)
            else:
                at = x - way * (8 * u + wide / 2), y
            left, top = at[0] - wide / 2, at[1] - font / 2
            yield left, top, left + wide, top + font
