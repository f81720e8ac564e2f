"""A picture as plain data: shapes with named roles, which any painter can paint.

Lengths are in px, y grows downward. A :class:`Group` may turn: `turn` is its turns
for one turn of the input, positive clockwise on the screen, so that the whole
picture is driven by one number, the input turns.
"""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from itertools import pairwise
from math import cos, pi, radians, sin

from .textwidth import ASCENT, DESCENT, text_width


@dataclass(frozen=True, kw_only=True)
class Polygon:
    """A closed outline; `points` are (x, y)."""

    points: tuple[tuple[float, float], ...]
    role: str

    @cached_property
    def path(self):
        """The outline as SVG path data, written once for an outline that is kept.

        Steps from point to point are shorter to write than places; hundredths of a
        pixel are counted, so that no error adds up.
        """
        at = [(round(100 * x), round(100 * y)) for x, y in self.points]
        steps = [
            f"{_hundredths(x - u)} {_hundredths(y - v)}"
            for (u, v), (x, y) in pairwise(at)
        ]
        start = f"{_hundredths(at[0][0])} {_hundredths(at[0][1])}"
        return f"M{start}l{' '.join(steps)}Z".replace(" -", "-")


@dataclass(frozen=True, kw_only=True)
class Line:
    """A line through two or more points, not filled."""

    points: tuple[tuple[float, float], ...]
    role: str


@dataclass(frozen=True, kw_only=True)
class Hatch:
    """Many short lines of one role; each is ((x, y), (x, y))."""

    lines: tuple[tuple[tuple[float, float], tuple[float, float]], ...]
    role: str


@dataclass(frozen=True, kw_only=True)
class Circle:
    """A circle round (x, y)."""

    x: float
    y: float
    r: float
    role: str


@dataclass(frozen=True, kw_only=True)
class Arrow:
    """A line through `points` with a filled head of length `head` at its last point."""

    points: tuple[tuple[float, float], ...]
    role: str
    head: float = 8.0

    @cached_property
    def head_points(self):
        """The three corners of the head, its point first."""
        (x0, y0), (x1, y1) = self.points[-2:]
        length = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5 or 1.0
        ux, uy = (x1 - x0) / length, (y1 - y0) / length
        bx, by = x1 - ux * self.head, y1 - uy * self.head
        half = 0.42 * self.head
        return (
            (x1, y1),
            (bx - uy * half, by + ux * half),
            (bx + uy * half, by - ux * half),
        )

    @cached_property
    def shaft_points(self):
        """The line's points, with the last drawn back so that the head stays sharp."""
        (x, y), *corners = self.head_points
        end = (corners[0][0] + corners[1][0]) / 2, (corners[0][1] + corners[1][1]) / 2
        return (*self.points[:-1], (0.8 * end[0] + 0.2 * x, 0.8 * end[1] + 0.2 * y))


@dataclass(frozen=True, kw_only=True)
class Text:
    """One line of text; (x, y) is on its base line, `anchor` start, middle or end."""

    x: float
    y: float
    text: str
    size: float
    role: str = "text"
    anchor: str = "start"
    bold: bool = False

    @property
    def box(self):
        """(left, top, right, bottom) with the margin for other fonts."""
        width = text_width(self.text, self.size, self.bold)
        left = self.x - width * {"start": 0.0, "middle": 0.5, "end": 1.0}[self.anchor]
        return (
            left,
            self.y - ASCENT * self.size,
            left + width,
            self.y + DESCENT * self.size,
        )


@dataclass(frozen=True, kw_only=True)
class Group:
    """Shapes moved to (x, y) and turned there by `start` [°] + 360° × turn × turns.

    `part` names a part that turns. Where `turn` is None a page sets its turn by that
    name; see :mod:`gearlab.draw.kit.layers`. A `key` shows the looks of a picture once
    more, each with what it means. `of` says whose the shapes are, for a page on which
    they are touched: "body:…", "element:…", "range:…" or "crank"; "" is nobody's.
    """

    shapes: tuple
    x: float = 0.0
    y: float = 0.0
    turn: float | None = 0.0
    start: float = 0.0
    part: str = ""
    key: bool = False
    of: str = ""

    def angle(self, turns):
        """How far it is turned [°] after so many input turns, clockwise."""
        return self.start + 360.0 * float(self.turn) * float(turns)


@dataclass(frozen=True, kw_only=True)
class Picture:
    """What painters take: shapes on a white ground, and a sentence that tells them."""

    width: float
    height: float
    shapes: tuple
    alt: str
    context: str = "screen"


def walk(shapes, turns=0, place=(1.0, 0.0, 0.0, 0.0)):
    """Yield (shape, place) for every shape, groups opened, after so many input turns.

    `place` is (cosine, sine, x, y): a point (u, v) of the shape lies in the scene at
    (x + u·cosine − v·sine, y + u·sine + v·cosine).
    """
    c, s, x, y = place
    for shape in shapes:
        if not isinstance(shape, Group):
            yield shape, place
            continue
        angle = radians(shape.angle(turns))
        cg, sg = cos(angle), sin(angle)
        inner = (
            c * cg - s * sg,
            s * cg + c * sg,
            x + c * shape.x - s * shape.y,
            y + s * shape.x + c * shape.y,
        )
        yield from walk(shape.shapes, turns, inner)


def placed(points, place):
    """Points of a shape, as the scene's points; see :func:`walk`."""
    c, s, x, y = place
    return tuple((x + u * c - v * s, y + u * s + v * c) for u, v in points)


def text_boxes(scene, turns=0):
    """Every text of a scene with the box that it takes.

    Returns
    -------
    tuple of (text, (left, top, right, bottom)) [px]; a turned text has the box round it
    """
    found = []
    for shape, place in walk(scene.shapes, turns):
        if isinstance(shape, Text):
            x0, y0, x1, y1 = shape.box
            xs, ys = zip(
                *placed(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), place), strict=True
            )
            found.append((shape.text, (min(xs), min(ys), max(xs), max(ys))))
    return tuple(found)


def letter(text, size, x=0.0, y=0.0):
    """A bold letter with its middle at (x, y)."""
    return Text(
        x=x, y=y + 0.365 * size, text=text, size=size, anchor="middle", bold=True
    )


@lru_cache(maxsize=64)
def ground(size):
    """The sign of a held part, a stem on a hatched bar, with its middle at (0, 0)."""
    half, top, low = 0.5 * size, -0.4 * size, 0.4 * size
    strokes = tuple(
        ((x * half, 0.0), (x * half - 0.25 * size, low)) for x in (-0.5, 0.0, 0.5, 1.0)
    )
    frame = (((0.0, top), (0.0, 0.0)), ((-half, 0.0), (half, 0.0)))
    return Hatch(lines=frame + strokes, role="ground")


@lru_cache(maxsize=64)
def round_arrow(radius, way):
    """An arrow round (0, 0), clockwise where `way` is 1 and not where it is −1."""
    turns = [way * (-0.4 + 0.75 * i / 12) for i in range(13)]
    points = tuple(
        (radius * sin(2 * pi * turn), -radius * cos(2 * pi * turn)) for turn in turns
    )
    return Arrow(points=points, role="turning", head=1.1 * radius)


def _hundredths(count):
    """So many hundredths as SVG writes a number, without a 0 before the point."""
    text = f"{count / 100:g}"
    return text.replace("0.", ".", 1) if abs(count) < 100 else text


def short(number):
    """A coordinate with two decimals at most, written as short as it goes."""
    return f"{round(number, 2) + 0.0:g}"
