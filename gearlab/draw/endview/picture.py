"""The gears of a set in mesh, as groups that turn, with their marks and letters.

What lies behind is drawn first: ring, carrier plate, gears of the rear plane,
planets, suns. Letters that ride on the carrier stay upright.
"""

from functools import lru_cache
from math import acos, atan2, hypot, pi, sin

from ..kit.shapes import Circle, Group, ground, letter
from .gears import outline
from .parts import (
    badge,
    caption,
    caption_holes,
    hatch,
    held_ring,
    hole,
    mark,
    mark_band,
    mark_hole,
    point,
    sense,
)
from .places import places

RIM = 1.45  # of a ring, in letter sizes


def room(view, radius):
    """The radius that a ring of an outer radius leaves for its gears."""
    return round(radius - RIM * view.font, 2)


def draw_gears(view, radius):
    """The shapes of a set round (0, 0); `radius` is the ring's outer one."""
    found = places(view.gear_set, room(view, radius), view.hand)
    rear, front = _suns(view, found)
    plate = Circle(x=0, y=0, r=_plate(found), role=view.role("carrier", "rim"))
    behind = plate, *_planets(view, found, True)
    carried = *_planets(view, found, False), *_pins(view, found), *_gaps(view, found)
    if not rear:
        behind, carried = (), behind + carried

    def on_carrier(shapes):
        group = Group(turn=view.turn("carrier"), part="carrier", shapes=shapes)
        return (group,) if shapes else ()

    return (
        _ring(view, found.ring, radius),
        *on_carrier(behind),
        *rear,
        *on_carrier(carried),
        *front,
        *on_carrier(tuple(_covered_letters(view, found))),
        *_standing(view, found, radius),
    )


def _edge(view, gear):
    """A gear's teeth, or its pitch circle in the back row's picture."""
    short = gear.short
    if gear.teeth.inward:
        role = "bore" + view.dotted(short)
    else:
        front = "rim" if view.big else "body"
        role = view.role(short, "back" if gear.behind else front)
    if view.big:
        return Circle(x=0, y=0, r=gear.teeth.pitch, role=role)
    edge = outline(gear.teeth, role)
    if not gear.turned:
        return edge
    return Group(start=360 * gear.turned, shapes=(edge,))


def _ring(view, ring, radius):
    inner = ring.teeth.pitch if view.big else ring.teeth.root
    low, high = radius - min(radius - inner, RIM * view.font), radius
    low, high = low + 0.1 * (high - low), high - 0.1 * (high - low)
    return Group(
        turn=view.turn("ring"),
        part="ring",
        shapes=(
            Circle(x=0, y=0, r=radius, role=view.role("ring", "rim")),
            _edge(view, ring),
            mark(view, "ring", low, high),
            *sense(view, "ring", low, high, most=0.3),
        ),
    )


def _suns(view, found):
    """Groups of the suns, those behind and those in front."""
    groups = {True: [], False: []}
    for gear in found.middle:
        short, root = gear.short, gear.teeth.root
        covered = _covered(found, gear)
        if covered:
            # What is seen of it may be narrow, so its mark reaches out to its tips.
            low, high = min(covered, root - 0.35 * view.font) + 1, gear.teeth.tip
            # At 12 o'clock it would touch the mark of the gear that covers this one.
            gaps = _free(found, view.hand)[1]
            start = 360 * gaps[1][0] if gaps else 0.0
            wedge = mark(view, short, low, high)
            signs = (Group(start=start, shapes=(wedge,)),)
        else:
            low, high = mark_band(view, root)
            signs = mark(view, short, low, high), *sense(view, short, low, high)
        shapes = _edge(view, gear), *signs
        group = Group(turn=view.turn(short), part=_part(short), shapes=shapes)
        groups[gear.behind].append(group)
    return groups[True], groups[False]


def _covered(found, gear):
    """The radius up to which a gear in the middle is covered by one before it."""
    before = [sun.teeth.tip for sun in found.middle if gear.behind > sun.behind]
    return max(before, default=0.0)


def _planets(view, found, behind):
    """The planets of one plane, turning on the carrier."""
    carrier = view.turn("carrier")
    for i, bunch in enumerate(found.bunches):
        for gear in bunch:
            if gear.behind != behind:
                continue
            short, shapes = gear.short, [_edge(view, gear)]
            if not gear.behind:
                low, high = mark_band(view, gear.teeth.root, 0.62 if view.big else 0.4)
                shapes.append(mark(view, short, low, high))
                shapes += sense(view, short, low, high) if i == 0 else ()
            yield Group(
                x=gear.x,
                y=gear.y,
                turn=view.turn(short) - carrier,
                part=_part(short),
                shapes=tuple(shapes),
            )


def _part(short):
    """The name of a turning part; it has no spaces."""
    return short.replace(" ", "-")


def _plate(found):
    planets = found.bunches[0]
    reach = max(gear.far + 0.45 * gear.teeth.pitch for gear in planets)
    smallest = min(gear.teeth.pitch for gear in planets)
    return min(reach, found.ring.teeth.tip - 0.1 * smallest)


def _pins(view, found):
    """The planets' pins, the first one being the carrier's mark, and their letters.

    Where a carrier arm has several planets, letters stand in the place of the pins of
    one arm, so that none is mistaken for another.
    """
    upright, several = -view.turn("carrier"), len(found.bunches[0]) > 1
    for i, bunch in enumerate(found.bunches):
        lettered = view.labels and not view.few and i == 1
        one_axis = several and bunch[0].far == bunch[1].far
        for gear in bunch[1:] if one_axis else bunch:
            first = gear is bunch[-1 if one_axis else 0]
            role = view.role("carrier", "mark" if first and not i else "pin")
            pin = min(0.2 * gear.teeth.pitch, 0.62 * view.font)
            free, name = 0.57 * gear.teeth.root - pin, view.letter(gear.short)
            shapes = ()
            if not (lettered and several):
                yield Circle(x=gear.x, y=gear.y, r=pin, role=role)
            if lettered and several:
                shapes = (letter(name, view.font),)
            elif lettered and free > 0.8 * view.font:
                shapes = (letter(name, view.font, y=pin + 0.55 * free),)
            if shapes:
                yield Group(x=gear.x, y=gear.y, turn=upright, shapes=shapes)
            if lettered and one_axis:
                # Beside its axis, where neither the sun's nor the ring's letter is.
                beside = max(bunch[0].teeth.pitch, 2.4 * view.font) / gear.far
                beside *= view.hand
                x, y = gear.x - beside * gear.y, gear.y + beside * gear.x
                shapes = badge(view, bunch[0].short)
                yield Group(x=x, y=y, turn=upright, shapes=shapes)


def _free(found, hand):
    """Where there is room between the planets: (radius, [(place, half of it)]).

    There are three gaps or more, clockwise from 12 o'clock, mirrored the other way;
    wide ones are halved for that, the last one first.
    """
    suns = max(sun.teeth.tip for sun in found.middle)
    # Where suns cover each other the gaps are wider further out.
    outer = found.ring.teeth.tip if found.middle[1:] else _plate(found)
    middle = (outer + suns) / 2
    taken = []
    for gear in sum(found.bunches, ()):
        near = (middle**2 + gear.far**2 - gear.teeth.tip**2) / (2 * middle * gear.far)
        if -1 < near < 1:
            half, at = acos(near), atan2(hand * gear.x, -gear.y) % (2 * pi)
            half, at = half / (2 * pi), at / (2 * pi)
            taken.append((at - half, at + half))
    taken.sort()
    gaps, end = [], taken[0][1] if taken else 0.0
    for low, high in [*taken[1:], (taken[0][0] + 1 if taken else 1.0, 0.0)]:
        if low > end:
            gaps.append(((low + end) / 2, (low - end) / 2))
        end = max(end, high)
    while gaps and len(gaps) < 3:
        at, half = max(gaps, key=lambda gap: (round(gap[1], 6), gap[0]))
        gaps.remove((at, half))
        gaps += [(at - half / 2, half / 2), (at + half / 2, half / 2)]
    return middle, [(hand * at, half) for at, half in sorted(gaps)]


@lru_cache(maxsize=128)
def _roomiest(found, plate, badge, hand):
    """The point of a carrier plate that is furthest from gears and from its rim.

    Beside a covered gear there is its letter in the last gap, `badge` in radius, and
    the carrier's arrow in the second one.
    """
    gears = [(gear.x, gear.y, gear.teeth.tip) for gear in sum(found.bunches, ())]
    gears += [(0.0, 0.0, sun.teeth.tip) for sun in found.middle]
    if any(_covered(found, gear) for gear in found.middle):
        middle, gaps = _free(found, hand)
        gears += [(*point(middle, gaps[i][0]), badge) for i in (1, -1)]
    least = min(reach for *_, reach in gears)
    spots = [
        (plate * (i + 1) / 24, hand * j / 96)
        for i in range(23)
        for j in range(96)
        if plate * (i + 1) / 24 > 0.5 * least
    ]

    def free(spot):
        x, y = point(*spot)
        clear = [hypot(x - u, y - v) - reach for u, v, reach in gears]
        return min(*clear, plate - spot[0])

    return point(*max(spots, key=free))


def _gaps(view, found):
    """What rides in the gaps between planets: the carrier's letter, sign and arrow."""
    if not view.labels:
        return
    font, upright = view.font, -view.turn("carrier")
    middle, gaps = _free(found, view.hand)
    covered = any(_covered(found, gear) for gear in found.middle)
    # What is written must not reach the carrier's own rim.
    across = _plate(found) - middle
    rooms = [min(across, middle * sin(2 * pi * min(0.25, half))) for _, half in gaps]

    def riding(i, shapes):
        x, y = point(middle, gaps[i][0])
        return Group(x=x, y=y, turn=upright, shapes=tuple(shapes))

    holes = [
        hole(view, gear.x, gear.y, gear.teeth.tip + 1)
        for gear in sum(found.bunches, ())
    ]
    holes += [hole(view, 0.0, 0.0, sun.teeth.tip + 1) for sun in found.middle]
    small = not rooms or rooms[0] <= 0.55 * font
    if small and not _crowded(view, found):
        # No gap is wide where its middle is: there may be room elsewhere.
        x, y = _roomiest(found, _plate(found), round(1.5 * font, 1), view.hand)
        name = (letter(view.letter("carrier"), font),)
        yield Group(x=x, y=y, turn=upright, shapes=name)
        holes.append(hole(view, x, y, 0.72 * font))
    elif not _crowded(view, found):
        yield riding(0, caption(view, "carrier", rooms[0]))
        holes += caption_holes(view, "carrier", rooms[0], *point(middle, gaps[0][0]))
        under = rooms[0] > 1.2 * font
        if view.held("carrier") and not under and not covered:
            yield riding(1, (ground(1.2 * font),))
            holes.append(hole(view, *point(middle, gaps[1][0]), 0.8 * font))
    yield from hatch(view, "carrier", _plate(found), holes=holes)
    if gaps:
        # The last gap is beside no planet that has a letter, so such a sun's is there.
        at, half = gaps[1 if covered else -1]
        band = min(0.5 * font, across)
        most = min(0.42, 2 * half - 0.5 * font / (2 * pi * middle))
        yield from sense(view, "carrier", middle - band, middle + band, at, most)


def _covered_letters(view, found):
    """The letters of suns that others cover, in the last gap, over everything.

    They ride on the carrier too, so that no planet's letter passes them.
    """
    covered = [gear for gear in found.middle if _covered(found, gear)]
    gaps = _free(found, view.hand)[1] if covered and view.labels else ()
    for gear in covered if gaps else ():
        # Clear of the letter of the gear that covers it.
        clear = max(0.57 * _covered(found, gear), 1.2 * view.font) + 1.35 * view.font
        turn, half = gaps[-1]
        turn += view.hand * half / 2 if len(found.at) < 3 else 0
        x, y = point(max(gear.teeth.root, clear), turn)
        label = badge(view, gear.short)
        yield Group(x=x, y=y, turn=-view.turn("carrier"), shapes=label)


def _standing(view, found, radius):
    """Letters and signs that stay where they are."""
    if not view.labels:
        return
    for gear in found.middle:
        if not _covered(found, gear):
            short, root = gear.short, gear.teeth.root
            free = 0.57 * root
            holes = (
                *caption_holes(view, short, free),
                mark_hole(view, *mark_band(view, root)),
            )
            yield from hatch(view, short, root, holes=holes)
            yield Group(shapes=tuple(caption(view, short, free)))
    x = (radius - 0.5 * RIM * view.font) * view.hand
    yield from held_ring(view, radius, found.ring.teeth.root, x)
    if not _crowded(view, found):
        yield letter(view.letter("ring"), view.font, x=x)


def _crowded(view, found):
    """Whether the letters of two suns are all that the back row's picture can hold."""
    return view.big and len(found.middle) > 1
