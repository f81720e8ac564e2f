"""The gears of a set in mesh, as groups that turn, with their marks and letters.

What lies behind is drawn first: ring, carrier plate, gears of the rear plane,
planets, suns. Letters that ride on the carrier stay upright.
"""

from math import pi

from ..kit.owner import all_of, owned
from ..kit.shapes import Circle, Group, ground, letter
from . import crank
from .gaps import carrier_spot, covered_to, gaps_of, plate_of
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
    plate = Circle(x=0, y=0, r=plate_of(found), role=view.role("carrier", "rim"))
    behind = owned([(view.of("carrier"), plate), *_planets(view, found, True)])
    carried = [*_planets(view, found, False), *_pins(view, found)]
    carried += all_of(view.of("carrier"), _gaps(view, found))
    behind, carried = tuple(behind), tuple(owned(carried))
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
        *on_carrier(tuple(owned(_covered_letters(view, found)))),
        *crank.on_gears(view, found, radius),
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
        of=view.of("ring"),
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
        covered = covered_to(found, gear)
        if covered:
            # What is seen of it may be narrow, so its mark reaches out to its tips.
            low, high = min(covered, root - 0.35 * view.font) + 1, gear.teeth.tip
            # At 12 o'clock it would touch the mark of the gear that covers this one.
            gaps = gaps_of(found, view.hand)[1]
            start = 360 * gaps[1][0] if gaps else 0.0
            wedge = mark(view, short, low, high)
            signs = (Group(start=start, shapes=(wedge,)),)
        else:
            low, high = mark_band(view, root)
            signs = mark(view, short, low, high), *sense(view, short, low, high)
        shapes = _edge(view, gear), *signs
        look = {"turn": view.turn(short), "part": _part(short), "of": view.of(short)}
        groups[gear.behind].append(Group(shapes=shapes, **look))
    return groups[True], groups[False]


def _planets(view, found, behind):
    """(owner, group) of the planets of one plane, turning on the carrier."""
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
            turning = Group(
                x=gear.x,
                y=gear.y,
                turn=view.turn(short) - carrier,
                part=_part(short),
                shapes=tuple(shapes),
            )
            yield view.of(short), turning


def _part(short):
    """The name of a turning part; it has no spaces."""
    return short.replace(" ", "-")


def _pins(view, found):
    """(owner, shape) of the planets' pins and of their letters.

    The first pin is the carrier's mark. Where a carrier arm has several planets,
    letters stand in the place of the pins of one arm, so that none is mistaken for
    another.
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
                pin_shape = Circle(x=gear.x, y=gear.y, r=pin, role=role)
                yield view.of("carrier"), pin_shape
            if lettered and several:
                shapes = (letter(name, view.font),)
            elif lettered and free > 0.8 * view.font:
                shapes = (letter(name, view.font, y=pin + 0.55 * free),)
            if shapes:
                name = Group(x=gear.x, y=gear.y, turn=upright, shapes=shapes)
                yield view.of(gear.short), name
            if lettered and one_axis:
                # Beside its axis, where neither the sun's nor the ring's letter is.
                beside = max(bunch[0].teeth.pitch, 2.4 * view.font) / gear.far
                beside *= view.hand
                x, y = gear.x - beside * gear.y, gear.y + beside * gear.x
                shapes = badge(view, bunch[0].short)
                name = Group(x=x, y=y, turn=upright, shapes=shapes)
                yield view.of(bunch[0].short), name


def _gaps(view, found):
    """What rides in the gaps between planets: the carrier's letter, sign and arrow."""
    if not view.labels:
        return
    font, upright = view.font, -view.turn("carrier")
    middle, gaps = gaps_of(found, view.hand)
    covered = any(covered_to(found, gear) for gear in found.middle)

    def riding(at, shapes):
        return Group(x=at[0], y=at[1], turn=upright, shapes=tuple(shapes))

    holes = [
        hole(view, gear.x, gear.y, gear.teeth.tip + 1)
        for gear in sum(found.bunches, ())
    ]
    holes += [hole(view, 0.0, 0.0, sun.teeth.tip + 1) for sun in found.middle]
    if not _crowded(view, found):
        *at, room = carrier_spot(found, font, view.hand)
        if room:
            yield riding(at, caption(view, "carrier", room))
            holes += caption_holes(view, "carrier", room, *at)
        else:
            yield riding(at, (letter(view.letter("carrier"), font),))
            holes.append(hole(view, *at, 0.72 * font))
        if view.held("carrier") and 0 < room <= 1.2 * font and not covered:
            at = point(middle, gaps[1][0])
            yield riding(at, (ground(1.2 * font),))
            holes.append(hole(view, *at, 0.8 * font))
    yield from hatch(view, "carrier", plate_of(found), holes=holes)
    if gaps:
        # The last gap is beside no planet that has a letter, so such a sun's is there.
        at, half = gaps[1 if covered else -1]
        band = min(0.5 * font, plate_of(found) - middle)
        most = min(0.42, 2 * half - 0.5 * font / (2 * pi * middle))
        yield from sense(view, "carrier", middle - band, middle + band, at, most)


def _covered_letters(view, found):
    """(owner, group) of the letters of suns that others cover, in the last gap.

    They lie over everything, and ride on the carrier too, so that no planet's letter
    passes them.
    """
    covered = [gear for gear in found.middle if covered_to(found, gear)]
    gaps = gaps_of(found, view.hand)[1] if covered and view.labels else ()
    for gear in covered if gaps else ():
        # Clear of the letter of the gear that covers it.
        clear = max(0.57 * covered_to(found, gear), 1.2 * view.font) + 1.35 * view.font
        turn, half = gaps[-1]
        turn += view.hand * half / 2 if len(found.at) < 3 else 0
        x, y = point(max(gear.teeth.root, clear), turn)
        label = badge(view, gear.short)
        name = Group(x=x, y=y, turn=-view.turn("carrier"), shapes=label)
        yield view.of(gear.short), name


def _standing(view, found, radius):
    """Letters and signs that stay where they are."""
    if not view.labels:
        return
    for gear in found.middle:
        if not covered_to(found, gear):
            short, root = gear.short, gear.teeth.root
            free = 0.57 * root
            holes = (
                *caption_holes(view, short, free),
                mark_hole(view, *mark_band(view, root)),
            )
            shapes = *hatch(view, short, root, holes=holes), *caption(view, short, free)
            yield Group(shapes=shapes, of=view.of(short))
    x = (radius - 0.5 * RIM * view.font) * view.hand
    shapes = list(held_ring(view, radius, found.ring.teeth.root, x))
    if not _crowded(view, found):
        shapes.append(letter(view.letter("ring"), view.font, x=x))
    if shapes:
        yield Group(shapes=tuple(shapes), of=view.of("ring"))


def _crowded(view, found):
    """Whether the letters of two suns are all that the back row's picture can hold."""
    return view.big and len(found.middle) > 1
