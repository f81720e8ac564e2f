"""The end view: one gear set face on, with its real teeth, ready to be turned.

Places are clockwise from 12 o'clock. From the output end everything is mirrored:
places change sides, and what turned clockwise turns the other way.
"""

from functools import lru_cache
from itertools import pairwise
from math import cos, pi, sin

from . import gears
from .scene import (
    Circle,
    Group,
    Hatch,
    Line,
    Polygon,
    Scene,
    Text,
    ground,
    letter,
    round_arrow,
)
from .style import LETTERS, WIDTH
from .textwidth import fitted, text_width
from .view import View, signed

BIG_WIDTH, BIG_HEIGHT, BIG_RADIUS = 720.0, 560.0, 226.0


def draw_end_view(
    flow,
    set_name,
    *,
    end="input",
    context="screen",
    labels=True,
    big=False,
    colour_by="part",
):
    """One gear set seen face on, its teeth in mesh, a paint mark on every part.

    Parameters
    ----------
    flow : PowerFlow
    set_name : the name of a gear set of its train
    end : "input" or "output", the end it is looked at from
    context : "screen", "projector" or "print"
    labels : False leaves out letters and speeds, for a prediction
    big : True draws rims instead of teeth and at most seven labels, for the back row
    colour_by : "part", or "role" for what a member does (drives, held, driven, free)

    Returns
    -------
    Scene, whose groups turn with the input turns. A member whose speed is not
    determined is dotted, and turns as one motion that the train allows.

    Raises
    ------
    ValueError
        An unknown set, end, context or colouring.
    """
    gear_set = flow.train.set(set_name)
    big = big and gear_set.kind == "simple"
    view = View(
        flow=flow,
        gear_set=gear_set,
        end=end,
        context=context,
        labels=labels,
        big=big,
        colour_by=colour_by,
    )
    if big:
        return _back_row(view)
    if gear_set.kind != "simple":
        return speeds_only(view, "No end view is drawn for this set.")
    width, font = WIDTH[context], view.font
    teeth = gear_set.all_teeth
    shapes = heading(view, f"{view.title}: sun {teeth['sun']}, ring {teeth['ring']}")
    radius = width / 2 - 1.6 * font
    y = 3.8 * font + radius
    shapes.append(Group(x=width / 2, y=y, shapes=_gears(view, radius)))
    y += radius + 1.1 * font
    if labels:
        shorts = ("sun", "carrier", "ring") + (() if view.few else ("planet",))
        shapes += _legend(view, shorts, y)
        y += 1.6 * font * len(shorts)
    return _scene(view, width, y + 0.8 * font, shapes)


def heading(view, words):
    """The two texts at the top of a drawing: what it shows, and from which end."""
    font, room = view.font, WIDTH[view.context] - 1.6 * view.font
    seen = f"seen from the {view.end} end"
    if view.labels and view.flow.state != "drives":
        seen = f"from the {view.end} end · {view.flow.state}"
    title = fitted(words, 1.1 * font, room, True)
    return [
        Text(x=0.8 * font, y=1.5 * font, text=title, size=1.1 * font, bold=True),
        Text(x=0.8 * font, y=3.0 * font, text=fitted(seen, font, room), size=font),
    ]


def _scene(view, width, height, shapes):
    return Scene(
        width=width,
        height=round(height),
        shapes=tuple(shapes),
        alt=view.alt(),
        context="projector" if view.big else view.context,
    )


@lru_cache(maxsize=256)
def _places(gear_set):
    """Where the planets stand [turns]; where none are counted, as many as usual fit."""
    if gear_set.planets is not None:
        return tuple(map(float, gear_set.planet_angles))
    teeth = gear_set.all_teeth
    three = (teeth["sun"] + teeth["planet"]) * sin(pi / 3) > teeth["planet"] + 2
    count, fits = 3 if three else 2, teeth["sun"] + teeth["ring"]
    return tuple(round(i * fits / count) / fits for i in range(count))


def _gears(view, radius):
    """Case and gears round (0, 0); `radius` is the ring's outer one."""
    one, font = view.gear_set, view.font
    counts = tuple(one.all_teeth[short] for short in ("sun", "planet", "ring"))
    rim = 1.45 * font
    pitch = round((radius - rim) / (1 + 2.2 / counts[2]), 2)
    sizes = gears.layout(*counts, pitch)
    places = tuple(view.hand * place for place in _places(one))
    turned, ring_turned = gears.phases(*counts, places)
    inner = sizes.ring if view.big else sizes.roots[2]
    middle = (inner + radius) / 2
    carrier, planet = view.turn("carrier"), view.turn("planet")
    planet_shapes = {
        phase: (
            _edge(view, "planet", counts, pitch, phase),
            _mark(
                view, "planet", *_outer(sizes.roots[1], font, 0.62 if view.big else 0.4)
            ),
        )
        for phase in set(turned)
    }
    planets = [
        Group(
            x=sizes.centre * sin(2 * pi * place),
            y=-sizes.centre * cos(2 * pi * place),
            turn=planet - carrier,
            shapes=planet_shapes[phase],
        )
        for place, phase in zip(places, turned, strict=True)
    ]
    pin = min(0.2 * sizes.planet, 0.62 * font)
    pin_role, mark_role = view.role("carrier", "pin"), view.role("carrier", "mark")
    pins = [
        Circle(x=at.x, y=at.y, r=pin, role=pin_role if i else mark_role)
        for i, at in enumerate(planets)
    ]
    plate = min(sizes.centre + 0.45 * sizes.planet, sizes.tips[2] - 0.1 * sizes.planet)
    return (
        *_case(radius, font),
        Group(
            turn=view.turn("ring"),
            shapes=(
                Circle(x=0, y=0, r=radius, role=view.role("ring", "rim")),
                _edge(view, "ring", counts, pitch, ring_turned),
                _mark(view, "ring", middle, 0.8 * (radius - inner)),
            ),
        ),
        Group(
            turn=carrier,
            shapes=(
                Circle(x=0, y=0, r=plate, role=view.role("carrier", "rim")),
                *planets,
                *pins,
                *_carried(view, sizes, places, pin),
            ),
        ),
        Group(
            turn=view.turn("sun"),
            shapes=(
                _edge(view, "sun", counts, pitch, 0.0),
                _mark(view, "sun", *_outer(sizes.roots[0], font)),
            ),
        ),
        *_standing(view, sizes, radius, middle),
    )


def _edge(view, short, counts, pitch, phase):
    """A gear's teeth, or its rim in the back row's picture."""
    if short == "ring":
        role = "bore" + view.dotted(short)
    else:
        role = view.role(short, "rim" if view.big else "body")
    if view.big:
        return Circle(
            x=0, y=0, r=getattr(gears.layout(*counts, pitch), short), role=role
        )
    edge = gears.outline(short, *counts, pitch, role)
    return Group(start=360 * phase, shapes=(edge,)) if phase else edge


def _outer(root, font, part=0.4):
    """Middle radius and length of a paint mark outside a gear's letter."""
    length = min(part * root, 1.8 * font)
    return 0.97 * root - length / 2, length


def _mark(view, short, middle, length):
    """A paint mark at 12 o'clock: a wedge with its point outward."""
    half = max(0.36 * length, 0.2 * view.font)
    low, high = middle - length / 2, middle + length / 2
    corners = ((0.0, -high), (half, -low), (-half, -low))
    return Polygon(points=corners, role=view.role(short, "mark"))


@lru_cache(maxsize=64)
def _case(radius, font):
    """The case: a cradle under the ring, hatched on its outer side."""
    near, far = radius + 0.36 * font, radius + 0.95 * font
    turns = [0.36 + 0.28 * i / 24 for i in range(25)]

    def at(r, turn):
        return r * sin(2 * pi * turn), -r * cos(2 * pi * turn)

    strokes = tuple((at(near, turn), at(far, turn + 0.012)) for turn in turns[:-1])
    edge = Line(points=tuple(at(near, turn) for turn in turns), role="case")
    return Hatch(lines=strokes, role="hatch"), edge


def _carried(view, sizes, places, pin):
    """Letters and ground sign that ride on the carrier and stay upright."""
    if not view.labels:
        return
    font, upright = view.font, -view.turn("carrier")
    middles = [(a + b) / 2 for a, b in pairwise(places)]

    def riding(place, *shapes):
        x, y = sizes.centre * sin(2 * pi * place), -sizes.centre * cos(2 * pi * place)
        return Group(x=x, y=y, turn=upright, shapes=shapes)

    closest = 2 * sizes.centre * sin(pi / max(2, len(places))) - 2 * sizes.tips[1]
    closest = min(closest, sizes.tips[2] - sizes.tips[0])
    if middles and closest > 1.1 * font:
        yield riding(middles[0], letter("C", font))
        if view.held("carrier") and len(middles) > 1:
            yield riding(middles[1], ground(font))
    free = 0.57 * sizes.roots[1] - pin
    if not view.few and len(places) > 1 and free > 0.8 * font:
        yield riding(places[1], letter("P", font, y=pin + 0.55 * free))


def _standing(view, sizes, radius, middle):
    """Letters and ground signs that stay where they are."""
    if not view.labels:
        return
    font = view.font
    sun_held = view.held("sun")
    both = sun_held and 0.57 * sizes.roots[0] > 1.2 * font
    yield letter("S", font, y=-0.5 * font if both else 0.0)
    if both:
        yield Group(y=0.55 * font, shapes=(ground(font),))
    yield letter("R", font, x=middle * view.hand)
    if view.held("ring"):
        half, top, low = 0.5 * font, radius - 0.5 * font, radius + 0.35 * font
        corners = ((-half, top), (half, top), (half, low), (-half, low))
        yield Polygon(points=corners, role="key")


def _legend(view, shorts, y):
    """A row a member: letter, line sample, name, speed, which way, word."""
    font = view.font
    at_name, shapes = 4.0 * font, []
    at_speed = at_name + (4.1 if view.few else 7.1) * font
    for short in shorts:
        y += 1.6 * font
        speed, word, name = view.speed(short), view.word(short), short
        if short == "planet" and view.gear_set.kind == "simple":
            counted = f"planets {view.gear_set.all_teeth[short]}"
            fits = text_width(counted, font) <= at_speed - at_name
            name = counted if fits else "planets"
        level = y - 0.35 * font
        sample = ((1.8 * font, level), (3.6 * font, level))
        room = at_speed - at_name
        shapes += [
            Line(points=sample, role=view.role(short, "line")),
            Text(x=at_name, y=y, text=fitted(name, font, room), size=font),
        ]
        if short in LETTERS:
            mark = LETTERS[short]
            shapes.append(Text(x=0.8 * font, y=y, text=mark, size=font, bold=True))
        if speed is None:
            shapes.append(Text(x=at_speed, y=y, text=word, size=font))
            continue
        value, at = signed(speed, font, 5.9 * font), at_speed + 5.9 * font
        shapes += [
            Text(x=at, y=y, text=value, size=font, anchor="end"),
            Text(x=at + 2.0 * font, y=y, text=word, size=font),
        ]
        sign = ground(0.9 * font) if view.held(short) else None
        if view.turn(short):
            sign = round_arrow(0.42 * font, 1 if view.turn(short) > 0 else -1)
        if sign:
            shapes.append(Group(x=at + font, y=level, shapes=(sign,)))
    return shapes


def _back_row(view):
    """Rims with large wedges, and at most seven labels."""
    font = view.font
    title = f"{view.title}, {view.end} end"
    shapes = [
        Text(
            x=20,
            y=40,
            text=fitted(title, font, BIG_WIDTH - 40, True),
            size=font,
            bold=True,
        ),
        Group(x=262, y=296, shapes=_gears(view, BIG_RADIUS)),
    ]
    for row, short in enumerate(("sun", "carrier", "ring") if view.labels else ()):
        speed, y = view.speed(short), 210 + 90 * row
        room = BIG_WIDTH - 535 - text_width(f"{LETTERS[short]} ", font, True)
        value = "held" if view.held(short) else "?"
        if speed is not None and not view.held(short):
            value = signed(speed, font, room, True)
        text = f"{LETTERS[short]} {value}"
        sample = ((530, y + 14), (640, y + 14))
        shapes += [
            Text(x=530, y=y, text=text, size=font, bold=True),
            Line(points=sample, role=view.role(short, "line")),
        ]
    return _scene(view, BIG_WIDTH, BIG_HEIGHT, shapes)


def speeds_only(view, sentence):
    """A picture of a set that is not drawn: its speeds in rows."""
    font, one = view.font, view.gear_set
    shapes = heading(view, view.title)
    y = 4.7 * font
    shapes.append(Text(x=0.8 * font, y=y, text=sentence, size=font))
    if view.labels:
        shapes += _legend(view, one.members, y)
        y += 1.6 * font * len(one.members)
    return _scene(view, WIDTH[view.context], y + font, shapes)
