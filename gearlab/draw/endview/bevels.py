"""A differential seen face on: two side gears, and the planets edge on between them.

The side gears have the same size, one behind the other; the right one is drawn larger
so that it is seen. Bevel teeth point to the middle, so they are drawn as short lines.
"""

from math import atan, pi, sin, tan

from ..kit.shapes import Circle, Group, Hatch, Polygon, letter
from . import crank
from .parts import (
    caption,
    caption_holes,
    hatch,
    held_ring,
    hole,
    mark,
    mark_hole,
    point,
    sense,
)

# Radii as parts of the right gear's.
_LEFT, _PLANET, _PLATE, _BORE = 0.46, (0.52, 0.74), 0.79, 0.82
_TEETH = 0.07  # how long the tooth lines are drawn


def draw_bevels(view, radius):
    """The shapes of a differential round (0, 0); `radius` is the right gear's."""
    teeth = view.gear_set.all_teeth["side"]
    left, bore = _LEFT * radius, _BORE * radius
    low, high = bore + (_TEETH + 0.01) * radius, radius
    right = (
        Circle(x=0, y=0, r=radius, role=view.role("right", "rim")),
        Circle(x=0, y=0, r=bore, role="bore" + view.dotted("right")),
        *_lines(view, teeth, bore, bore + _TEETH * radius),
        mark(view, "right", low, 0.985 * high),
        *sense(view, "right", low, high, most=0.3),
    )
    inner = left - _TEETH * radius
    near = (
        Circle(x=0, y=0, r=left, role=view.role("left", "rim")),
        *_lines(view, teeth, inner, left),
        mark(view, "left", 0.58 * inner, 0.95 * inner),
        *sense(view, "left", 0.58 * inner, 0.95 * inner),
    )
    return (
        Group(turn=view.turn("right"), part="right", shapes=right, of=view.of("right")),
        Group(
            turn=view.turn("carrier"),
            part="carrier",
            of=view.of("carrier"),
            shapes=tuple(_carried(view, radius)),
        ),
        Group(turn=view.turn("left"), part="left", shapes=near, of=view.of("left")),
        *_handle(view, radius),
        *_letters(view, radius, 0.5 * inner),
    )


def _handle(view, radius):
    """The crank's handle, where no mark, arrow or planet is."""
    short, count = crank.handled(view), view.gear_set.planets or 2
    if short == "right":
        yield crank.on_rim(view, short, (_BORE + _TEETH) * radius, radius)
    elif short == "left":
        yield crank.on_disc(view, short, (_LEFT - _TEETH) * radius)
    elif short:
        # Of three gaps the third one; of two half of one; the rest of a single one.
        turn = 1.5 / count if count > 2 else 0.125 if count > 1 else -0.25
        at = point(radius * (_LEFT + _PLATE) / 2, view.hand * turn)
        yield crank.knob(view, short, at, radius * (_PLATE - _LEFT) / 2)


def _lines(view, count, low, high):
    """Bevel teeth as lines; of very many only some."""
    if view.big:
        return
    count = count if count <= 120 else 60
    turns = [(i + 0.5) / count for i in range(count)]
    strokes = tuple((point(low, turn), point(high, turn)) for turn in turns)
    yield Hatch(lines=strokes, role="bevel tooth")


def _carried(view, radius):
    """The carrier with its planets, which show their edge."""
    count = view.gear_set.planets or 2
    yield Circle(x=0, y=0, r=_PLATE * radius, role=view.role("carrier", "rim"))
    low, high = (part * radius for part in _PLANET)
    # Planets are cones whose point is the middle; many of them are narrow.
    slope = min(0.3, 0.8 * tan(pi / max(3, count)))
    planet = "planet# body" if view.colour_by == "paint" else "planet body"
    for i in range(count):
        at = view.hand * i / count
        corners = (-slope * low, -low), (slope * low, -low)
        corners += (slope * high, -high), (-slope * high, -high)
        lines = tuple(
            ((part * slope * low, -low), (part * slope * high, -high))
            for part in (-0.6, -0.2, 0.2, 0.6)
        )
        shapes = [Polygon(points=corners, role=planet)]
        shapes += [] if view.big else [Hatch(lines=lines, role="bevel tooth")]
        shapes.append(
            Circle(
                x=0,
                y=-(high + _PLATE * radius) / 2,
                r=0.45 * (_PLATE * radius - high) + 2,
                role=view.role("carrier", "pin" if i else "mark"),
            )
        )
        yield Group(start=360 * at, shapes=tuple(shapes))
    yield from _carrier_words(view, count, radius, atan(slope) / (2 * pi))


def _carrier_words(view, count, radius, taken):
    """The carrier's letter and arrow; planets take so much on each side."""
    if not view.labels:
        return
    font, middle = view.font, radius * (_LEFT + _PLATE) / 2
    half = 0.5 / count
    room = middle * sin(2 * pi * min(0.25, half - taken))
    room = min(room, radius * (_PLATE - _LEFT) / 2)
    # A planet lies within two circles, the outer one the wider.
    slope = tan(2 * pi * taken)
    holes = [
        hole(view, *point(part * radius, view.hand * i / count), reach * radius)
        for i in range(count)
        for part, reach in ((0.56, 0.05 + 0.6 * slope), (0.68, 0.07 + 0.75 * slope))
    ]
    if room > 0.55 * font:
        x, y = point(middle, view.hand * half)
        name = tuple(caption(view, "carrier", room))
        yield Group(x=x, y=y, turn=-view.turn("carrier"), shapes=name)
        holes += caption_holes(view, "carrier", room, x, y)
    yield from hatch(view, "carrier", _PLATE * radius, _LEFT * radius, holes)
    at = -view.hand * half if count > 1 else 0.25
    most = min(0.42, 2 * (half - taken) - 0.5 * font / (2 * pi * middle))
    yield from sense(view, "carrier", middle - font / 2, middle + font / 2, at, most)


def _letters(view, radius, room):
    if not view.labels:
        return
    inner = (_LEFT - _TEETH) * radius
    holes = (
        *caption_holes(view, "left", room),
        mark_hole(view, 0.58 * inner, 0.95 * inner),
    )
    near = *hatch(view, "left", inner, holes=holes), *caption(view, "left", room)
    yield Group(shapes=near, of=view.of("left"))
    x = (1 - (1 - _BORE - _TEETH) / 2) * radius * view.hand
    right = (
        *held_ring(view, radius, (_BORE + _TEETH) * radius, x),
        letter(view.letter("right"), view.font, x=x),
    )
    yield Group(shapes=right, of=view.of("right"))
