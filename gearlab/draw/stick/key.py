"""The key under a stick diagram: what its lines and symbols mean."""

from ..scene import Group, Line, Polygon, Text
from ..style import CONTEXTS
from ..textwidth import text_width
from .bands import FULL, stripes
from .symbols import rectangle

_DOINGS = (
    ("drives", "carries power"),
    ("driven", "driven"),
    ("held", "held"),
    ("free", "turns free"),
    ("still", "stands still"),
    ("unknown", "not determined"),
)
_FEW = ("drives", "driven", "held", "free")
_MEMBERS = ("sun", "carrier", "ring")
_AHEAD = "its point: the side that may run ahead"


def key_rows(stick, width, y):
    """The shapes of the key from a height on, and the height where it ends."""
    u, font = stick.placed.u, stick.placed.font
    left, sample, shapes = 0.8 * font, 30 * u, []
    x, row = left, 0
    for picture, text in _entries(stick):
        text = stick.say(text)
        wide = sample + 0.5 * font + text_width(text, font)
        if x > left and x + wide > width - left:
            x, row = left, row + 1
        at = y + (0.9 + 1.5 * row) * font
        shapes.append(Group(x=x, y=at, shapes=tuple(picture(u, sample))))
        shapes.append(
            Text(x=x + sample + 0.4 * font, y=at + 0.36 * font, text=text, size=font)
        )
        x += wide + 1.2 * font
    return shapes, y + (1.5 * (row + 1) + 0.3) * font if shapes else y


def _entries(stick):
    """(a function that draws the sample, words) of everything in the key."""
    few = CONTEXTS[stick.context].few_labels
    if stick.power and stick.colour_by == "role":
        for part, words in _DOINGS:
            if part in _FEW or not few:
                yield _sample(part, band=part in ("drives", "driven")), words
    elif stick.colour_by == "part":
        for part in _MEMBERS:
            yield _sample(part), part
    if stick.power and stick.colour_by != "role":
        yield _sample("path", band=True), "carries power"
        yield _sample("other", unknown=True), "not determined"
    if stick.power:
        yield _round(stick.band_part(None)), "power goes round"
        yield _closed, "applied"
    if stick.flow.train.one_way_clutches and not few:
        yield _wedge, _AHEAD


def _sample(part, band=False, unknown=False):
    def draw(u, wide):
        if band:
            half = FULL * u / 2
            yield rectangle(0, -half, wide, half, f"{part} band")
            if part == "driven":
                yield Line(points=((0, 0), (wide, 0)), role="thread")
            points = ((0.75 * wide, 0), (0.35 * wide, -half), (0.35 * wide, half))
            yield Polygon(points=points, role=f"{part} mark")
        else:
            role = f"{part} line{'?' if unknown else ''}"
            yield Line(points=((0, 0), (wide, 0)), role=role)

    return draw


def _round(part):
    def draw(u, wide):
        half = FULL * u / 2
        yield rectangle(0, -half, wide, half, f"{part} band")
        yield stripes((0, 0), (wide, 0), 2 * half, u)

    return draw


def _closed(u, wide):
    for side in (-4, 0):
        x = wide / 2 + side * u
        yield rectangle(x, -9 * u, x + 4 * u, 9 * u, "applied")


def _wedge(u, wide):
    x = wide / 2
    points = ((x + 7 * u, 0), (x - 7 * u, -8 * u), (x - 7 * u, 8 * u))
    yield Polygon(points=points, role="overruns")
    for at in (x + 7 * u, x - 7 * u):
        yield Line(points=((at, -9 * u), (at, 9 * u)), role="axis")
