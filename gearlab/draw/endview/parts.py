"""What is drawn on a part of a set: paint mark, sense of turning, letter, the case."""

from functools import lru_cache
from math import cos, hypot, pi, sin

from ..scene import (
    Arrow,
    Circle,
    Group,
    Hatch,
    Line,
    Polygon,
    Text,
    ground,
    letter,
    round_arrow,
)
from ..textwidth import text_width
from ..view import signed


def point(radius, turn):
    """A point at a radius and a place clockwise from 12 o'clock [turns]."""
    return radius * sin(2 * pi * turn), -radius * cos(2 * pi * turn)


def mark(view, short, low, high):
    """A paint mark at 12 o'clock between two radii: a wedge with its point outward."""
    half = max(0.36 * (high - low), 0.2 * view.font)
    return _wedge(half, low, high, view.role(short, "mark"))


@lru_cache(maxsize=256)
def _wedge(half, low, high, role):
    return Polygon(points=((0.0, -high), (half, -low), (-half, -low)), role=role)


def mark_band(view, root, part=0.4):
    """The radii of a mark outside a gear's letter."""
    length = min(part * root, 1.8 * view.font)
    return 0.97 * root - length, 0.97 * root


def sense(view, short, low, high, middle=0.5, most=0.42):
    """The arrow that shows which way a member turns, as shapes that ride on it.

    It lies between two radii opposite to the mark, and is the longer the faster the
    member turns, from 0.1 turn for standing almost still to `most`. There is none
    where the speed is 0 or not determined, or where it would be too small to see.
    """
    speed = view.speed(short)
    if not view.labels or not speed:
        return ()
    radius, font = (low + high) / 2, view.font
    head = min(0.75 * font, high - low, 0.9 * radius)
    least = 1.6 * head / (2 * pi * radius)
    if head < 0.38 * font or least > most:
        return ()
    long = max(least, min(most, 0.08 + 0.16 * abs(float(speed))))
    way = 1 if view.turn(short) > 0 else -1
    return (_arc(round(radius, 1), round(middle, 4), round(way * long, 2), head),)


@lru_cache(maxsize=512)
def _arc(radius, middle, long, head):
    turns = [middle + long * (i / 10 - 0.5) for i in range(11)]
    points = tuple(point(radius, turn) for turn in turns)
    return Arrow(points=points, role="turning", head=head)


@lru_cache(maxsize=64)
def case(radius, font):
    """The case: a cradle under the ring, hatched on its outer side."""
    near, far = radius + 0.36 * font, radius + 0.95 * font
    turns = [0.36 + 0.28 * i / 24 for i in range(25)]
    strokes = tuple(
        (point(near, turn), point(far, turn + 0.012)) for turn in turns[:-1]
    )
    edge = Line(points=tuple(point(near, turn) for turn in turns), role="case")
    return Hatch(lines=strokes, role="hatch"), edge


def key(view, radius):
    """The key that holds a ring in the case, at 6 o'clock."""
    font = view.font
    half, top, low = 0.5 * font, radius - 0.5 * font, radius + 0.35 * font
    corners = ((-half, top), (half, top), (half, low), (-half, low))
    return Polygon(points=corners, role="key")


def caption(view, short, room):
    """A member's letter, with its speed or the ground sign below where `room` is.

    Parameters
    ----------
    room : radius of the circle that is free for it [px]
    """
    font, speed, name = view.font, view.speed(short), view.letter(short)
    if view.held(short) and room > 1.2 * font:
        yield letter(name, font, y=-0.5 * font)
        yield Group(y=0.55 * font, shapes=(ground(font),))
        return
    if speed and not view.few:
        value = signed(speed)
        if hypot(text_width(value, font) / 2, 1.05 * font) <= room:
            yield letter(name, font, y=-0.5 * font)
            y = 0.9 * font
            yield Text(x=0.0, y=y, text=value, size=font, anchor="middle")
            return
    yield letter(name, font)


def badge(view, short):
    """The letter of a covered gear on a white disc, with ground sign or arrow."""
    font, speed = view.font, view.speed(short)
    signed = view.held(short) or (speed and view.labels)
    size = (1.35 if signed else 1.02) * font
    shapes = [Circle(x=0, y=0, r=size, role="badge")]
    shapes.append(letter(view.letter(short), font, y=-0.45 * font if signed else 0.0))
    if signed:
        way = 1 if view.turn(short) > 0 else -1
        sign = ground(font) if view.held(short) else round_arrow(0.36 * font, way)
        shapes.append(Group(y=0.55 * font, shapes=(sign,)))
    return tuple(shapes)
