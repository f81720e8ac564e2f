"""What is drawn on a part of a set: paint mark, sense of turning, letter, hatching."""

from functools import lru_cache
from math import cos, hypot, pi, sin, sqrt

from ..kit.page import signed
from ..kit.shapes import (
    Arrow,
    Circle,
    Group,
    Hatch,
    Polygon,
    Text,
    ground,
    letter,
    round_arrow,
)
from ..kit.textwidth import text_width


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
    steps = max(10, round(abs(long) * 64))
    turns = [middle + long * (i / steps - 0.5) for i in range(steps + 1)]
    points = tuple(point(radius, turn) for turn in turns)
    return Arrow(points=points, role="turning", head=head)


def hatch(view, short, radius, inner=0.0, holes=()):
    """The hatching of a held member, between two radii; nothing for any other.

    It lies over the outlines, so what is not to be hatched, such as letters, marks and
    planets, stands in `holes` as (x, y, radius).
    """
    if view.held(short) and view.labels:
        gap = round(0.5 * view.font, 2)
        strokes = _strokes(round(radius, 1), round(inner, 1), gap, tuple(holes))
        if view.hand < 0:
            strokes = tuple(tuple((-x, y) for x, y in ends) for ends in strokes)
        yield Hatch(lines=strokes, role="held hatch")


@lru_cache(maxsize=256)
def _strokes(radius, inner, gap, holes):
    """Slanting lines across a ring, cut out where the holes are.

    Places are for the picture seen from the input end.
    """
    slant, strokes = sqrt(0.5), []
    circles = ((0.0, 0.0, inner), *holes)
    count = int(radius / gap)
    for step in range(-count, count + 1):
        aside = (step + 0.5) * gap
        if abs(aside) >= radius:
            continue
        pieces = [(-sqrt(radius**2 - aside**2), sqrt(radius**2 - aside**2))]
        for x, y, reach in circles:
            off = slant * (x + y) - aside
            if abs(off) < reach:
                half, at = sqrt(reach**2 - off**2), slant * (x - y)
                pieces = _without(pieces, at - half, at + half)
        strokes += [
            tuple((slant * (aside + t), slant * (aside - t)) for t in piece)
            for piece in pieces
            if piece[1] - piece[0] > 0.3 * gap
        ]
    return tuple(strokes)


def _without(pieces, low, high):
    """Pieces of a line without what lies between two places."""
    for start, end in pieces:
        if start < low:
            yield start, min(end, low)
        if end > high:
            yield max(start, high), end


def hole(view, x, y, radius):
    """A hole of :func:`hatch`, for a place as the picture has it."""
    return round(view.hand * x, 1), round(y, 1), round(radius, 1)


def held_ring(view, radius, inner, letter_at):
    """The hatching of a held outer gear, and the sign that it is held to the case."""
    short = "right" if view.gear_set.record.bevels else "ring"
    font = view.font
    holes = (hole(view, letter_at, 0.0, 0.7 * font), mark_hole(view, inner, radius))
    yield from hatch(view, short, radius, inner, holes)
    if view.held(short) and view.labels:
        size = 1.2 * font
        yield Group(y=radius + 0.4 * size, shapes=(ground(size),))


def caption(view, short, room):
    """A member's letter, with its speed or the ground sign below where `room` is.

    Parameters
    ----------
    room : radius of the circle that is free for it [px]
    """
    font, speed, name = view.font, view.speed(short), view.letter(short)
    if size := _sign_size(view, short, room):
        yield letter(name, font, y=-0.5 * font)
        yield Group(y=0.05 * font + 0.5 * size, shapes=(ground(size),))
        return
    if speed and not view.few:
        value = signed(speed)
        if hypot(text_width(value, font) / 2, 1.05 * font) <= room:
            yield letter(name, font, y=-0.5 * font)
            y = 0.9 * font
            yield Text(x=0.0, y=y, text=value, size=font, anchor="middle")
            return
    yield letter(name, font)


def _sign_size(view, short, room):
    """How large the ground sign below a letter is; 0 where there is none."""
    if not view.held(short) or room <= 1.2 * view.font:
        return 0.0
    return min(1.5 * view.font, room / 1.2)


def caption_holes(view, short, room, x=0.0, y=0.0):
    """What hatching leaves free for a caption with its middle at (x, y)."""
    size, font = _sign_size(view, short, room), view.font
    up = 0.5 * font if size else 0.0
    yield hole(view, x, y - up, (0.42 + 0.3 * len(view.letter(short))) * font)
    if size:
        yield hole(view, x, y + 0.05 * font + 0.5 * size, 0.62 * size)


def mark_hole(view, low, high):
    """What hatching leaves free for a mark between two radii."""
    return hole(view, 0.0, -(low + high) / 2, (high - low) / 2 + 0.12 * view.font)


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
