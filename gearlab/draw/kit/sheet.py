"""A drawing in parts: the picture alone, its key and its title, for a page."""

from dataclasses import dataclass

from .scene import Scene
from .shapes import Circle, Group, Hatch, Text, placed, walk

MARGIN = 0.3  # round a body or a key, in letter sizes; no line is cut at the edge


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """A drawing for a page that arranges its parts itself.

    `body` is the picture without heading and key, equally large in every state of a
    train in one context; `key` is what its lines and signs mean, as far as they are in
    it, or None. `font` is the letter size of both [px]. `centre` is where the axis of
    an end view is in its body [px]; other pictures have none.
    """

    body: Scene
    key: Scene | None
    title: str
    font: float
    centre: tuple[float, float] | None = None


def capital(text):
    """A text with a capital at its start, as a title has it."""
    return text[:1].upper() + text[1:]


def cropped(page, shapes):
    """Shapes as a picture of their own, as large as they are; None if there are none.

    It has no alt sentence, because that of its body says what is to be said.
    """
    points = list(_extent(shapes))
    if not points:
        return None
    margin = MARGIN * page.font
    xs, ys = zip(*points, strict=True)
    x, y = margin - min(xs), margin - min(ys)
    return page.scene(
        round(max(xs) + x + margin),
        round(max(ys) + y + margin),
        (Group(x=x, y=y, shapes=tuple(shapes)),),
        "",
    )


def _extent(shapes):
    """Points that the box round some shapes goes through."""
    for shape, place in walk(shapes):
        if isinstance(shape, Text):
            left, top, right, bottom = shape.box
            points = (left, top), (right, bottom), (left, bottom), (right, top)
        elif isinstance(shape, Circle):
            x, y, r = shape.x, shape.y, shape.r
            points = (x - r, y), (x + r, y), (x, y - r), (x, y + r)
        elif isinstance(shape, Hatch):
            points = [end for ends in shape.lines for end in ends]
        else:
            points = shape.points
        yield from placed(points, place)
