"""The key under a stick diagram: what its lines and symbols mean."""

from collections.abc import Callable
from dataclasses import dataclass

from ..kit.page import EDGE, flowing
from ..kit.shapes import Circle, Group, Line, Polygon, walk
from .bands import FULL, stripes
from .names import LINE, TOLD
from .symbols import rectangle

_DOINGS = (
    ("drives", "carries power"),
    ("driven", "driven"),
    ("held", "held"),
    ("free", "turns free"),
    ("still", "stands still"),
    ("unknown", "not determined"),
)
_MEMBERS = ("sun", "carrier", "ring")
AHEAD = "one-way clutch: the part at its point may run ahead"


@dataclass(frozen=True, kw_only=True)
class _Entry:
    """A row of the key: a sample, its words, and the role that it explains.

    It is left out where the role is not drawn, or where that in `instead` is.
    """

    sample: Callable
    words: str
    role: str
    instead: str = ""

    def of(self, drawn):
        """Whether it explains something that is drawn."""
        return self.role in drawn and self.instead not in drawn


def key_rows(stick, section, width, y):
    """The shapes of the key from a height on, and the height where it ends.

    It explains what is drawn in the `section`, and takes as much room in every state.
    """
    drawn = {shape.role for shape, _ in walk(section)}
    entries = list(_entries(stick))
    shapes, _ = _rows(stick, [one for one in entries if one.of(drawn)], width, y)
    _, low = _rows(stick, [one for one in entries if not one.instead], width, y)
    return [Group(shapes=shapes, key=True)], low


def key(stick, section, width):
    """The shapes of the key alone: what is drawn in the `section`, and no more."""
    drawn = {shape.role for shape, _ in walk(section)}
    entries = [one for one in _entries(stick) if one.of(drawn)]
    return _rows(stick, entries, width, 0.0)[0]


def _rows(stick, entries, width, y):
    """Samples with their words from a height on, and the height where they end."""
    if not entries:
        return (), y
    font, u = stick.font, stick.placed.u
    sample = 30 * u
    items = [(one.sample(u, sample), sample, stick.say(one.words)) for one in entries]
    look = {"gap": 0.4, "middle": 0.9, "tall": 1.5, "pitch": LINE}
    place = {"left": EDGE * font, "y": y}
    shapes, low = flowing(items, font, stick.room(width), **look, **place)
    return shapes, low + 0.3 * font


def _entries(stick):
    """Every :class:`_Entry` that there can be."""
    if stick.power and stick.colour_by == "role":
        for part, words in _DOINGS:
            band = f"{part} band" if part in ("drives", "driven") else ""
            if band:
                yield _Entry(sample=_band(part), words=words, role=band)
            yield _Entry(
                sample=_line(part), words=words, role=f"{part} line", instead=band
            )
    elif stick.colour_by == "part":
        for part in _MEMBERS:
            yield _Entry(sample=_line(part), words=part, role=f"{part} line")
        yield _Entry(sample=_planet, words="planet", role="planet body")
    if stick.power and stick.colour_by != "role":
        yield _Entry(sample=_band("path"), words="carries power", role="path band")
        yield _Entry(sample=_line("held"), words="held", role="held line")
        unknown = _line("other", "?")
        yield _Entry(sample=unknown, words="not determined", role="other line?")
    if stick.circulating:
        stripes = _striped(stick.band_part(None))
        yield _Entry(sample=stripes, words="power that goes round", role="stripe")
    if stick.power:
        yield _Entry(sample=_plates("applied", 0.0), words="applied", role="applied")
        yield _Entry(sample=_plates("open", 8.0), words="released", role="open")
        yield _Entry(sample=_fighting, words="fights", role="fights ring")
    else:
        yield _Entry(sample=_plates("open", 4.0), words="brake or clutch", role="open")
    if stick.flow.train.one_way_clutches:
        yield _Entry(sample=wedge, words=AHEAD, role="axis")
    if stick.power and stick.frame:
        for state in TOLD:
            yield _Entry(sample=_wedge(state), words=state, role=state)


def _line(part, unknown=""):
    def draw(u, wide):
        yield Line(points=((0, 0), (wide, 0)), role=f"{part} line{unknown}")

    return draw


def _band(part):
    def draw(u, wide):
        half = FULL * u / 2
        yield rectangle(0, -half, wide, half, f"{part} band")
        if part == "driven":
            yield Line(points=((0, 0), (wide, 0)), role="thread")
        points = ((0.75 * wide, 0), (0.35 * wide, -half), (0.35 * wide, half))
        yield Polygon(points=points, role=f"{part} mark")

    return draw


def _striped(part):
    def draw(u, wide):
        half = FULL * u / 2
        yield rectangle(0, -half, wide, half, f"{part} band")
        yield stripes((0, 0), (wide, 0), 2 * half, u)

    return draw


def _planet(u, wide):
    yield rectangle(wide / 2 - 12 * u, -7 * u, wide / 2 + 12 * u, 7 * u, "planet body")
    for y in (-7 * u, 7 * u):
        ends = ((wide / 2 - 12 * u, y), (wide / 2 + 12 * u, y))
        yield Line(points=ends, role="planet line")


def _plates(role, gap):
    def draw(u, wide):
        for side in (-1, 1):
            near, far = side * gap * u / 2, side * (gap / 2 + 4) * u
            yield rectangle(wide / 2 + near, -9 * u, wide / 2 + far, 9 * u, role)

    return draw


def _fighting(u, wide):
    yield Circle(x=wide / 2, y=0, r=9 * u, role="fights ring")


def _wedge(role):
    def draw(u, wide):
        x = wide / 2
        points = ((x + 7 * u, 0), (x - 7 * u, -8 * u), (x - 7 * u, 8 * u))
        yield Polygon(points=points, role=role)
        for at in (x + 7 * u, x - 7 * u):
            yield Line(points=((at, -9 * u), (at, 9 * u)), role="axis")

    return draw


wedge = _wedge("open")  # a one-way clutch, as a sample
