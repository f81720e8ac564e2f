"""The symbols of a stick diagram: gears, plates, pawl, one-way clutch, case.

They follow the spirit of ISO 3952 (from memory): a gear is a tooth bar at its pitch
radius on a web, two bars with a gap between are in mesh.
"""

from ...train.kinds import KINDS
from ...train.kinds.kind import PLANET, RING, SUN, Arm, Bevels, Gear, Hub, Pin, Planet
from ..kit.shapes import Circle, Group, Hatch, Line, Polygon, ground
from .grid import GEAR, PLATE, TOOTH_GAP, is_box


def rectangle(x0, y0, x1, y1, role):
    """An upright rectangle."""
    return Polygon(points=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), role=role)


# Gear sets -----------------------------------------------------------------------


def set_shapes(placed, block, role):
    """All gears of a set as (member's short name, shape); "" is no member's.

    `role(short, what)` gives the role of what is drawn.
    """
    spot, kind = Spot(placed, block), KINDS[block.kind]
    if kind.section is None:  # a box; the names of its ports are written in it
        left, right = spot.reach
        yield "", rectangle(left, spot.y[RING], right, spot.y[SUN], "other body")
        return
    for piece in kind.section.pieces:
        if isinstance(piece, Bevels):
            yield from _bevels(spot, piece, role)
            continue
        short = _short(kind, piece)
        for shape in _DRAWN[type(piece)](spot, piece, role):
            yield short, shape


def _short(kind, piece):
    """The member that a piece is of; a planet is the mate of a gear beside it."""
    if isinstance(piece, Gear):
        return piece.short
    if isinstance(piece, Pin | Arm):
        return "carrier"
    for gear in kind.section.pieces:
        if isinstance(gear, Gear) and _beside(gear, piece):
            for _, one, other in kind.meshes:
                if gear.short in (one, other):
                    return other if gear.short == one else one
    return ""


def _beside(gear, piece):
    """Whether a gear is drawn beside a planet, or beside one of those on a hub."""
    same = gear.row == piece.row and set(gear.columns) & set(piece.columns)
    return same and gear.half == getattr(piece, "half", gear.half)


class Spot:
    """Where a set's columns and rows are [px], as its record counts them."""

    def __init__(self, placed, block):
        self.u, self.reach = placed.u, placed.reach[block.name]
        self.x = [placed.x[column] for column in block.columns]
        if block.mirrored:
            self.x.reverse()
        self.y = [placed.y[row] for row in block.rows]

    def at(self, cell):
        """The point of a cell."""
        return self.x[cell[0]], self.y[cell[1]]

    def beside(self, gear):
        """Where the tooth bar of a gear is, outside or inside its planet."""
        off = (gear.half + TOOTH_GAP) * self.u
        return self.y[gear.row] - off if gear.outside else self.y[gear.row] + off

    def across(self, columns, reach):
        """Where a piece over some columns begins and ends."""
        xs = [self.x[column] for column in columns]
        return min(xs) - reach * self.u, max(xs) + reach * self.u


def _planet(spot, piece, role):
    """A tinted block with its two tooth bars."""
    x0, x1 = spot.across(piece.columns, GEAR - 3)
    y, half = spot.y[piece.row], piece.half * spot.u
    yield rectangle(x0, y - half, x1, y + half, role("planet", "body"))
    for at in (y - half, y + half):
        yield Line(points=((x0, at), (x1, at)), role=role("planet", "line"))


def _hub(spot, piece, role):
    left, right = spot.across(piece.columns, 0)
    y, half = spot.y[piece.row], 4 * spot.u
    yield rectangle(left, y - half, right, y + half, role("planet", "body"))


def _pin(spot, piece, role):
    x0, x1 = spot.across(piece.columns, GEAR + 3)
    y = spot.y[piece.row]
    yield Line(points=((x0, y), (x1, y)), role=role("carrier", "line"))


def _arm(spot, piece, role):
    points = spot.at(piece.start), spot.at(piece.end)
    yield Line(points=points, role=role("carrier", "line"))


def _gear(spot, piece, role):
    """A tooth bar at a pitch radius, and its web to where its line begins."""
    bar, line = spot.beside(piece), role(piece.short, "line")
    x0, x1 = spot.across(piece.columns, GEAR)
    x, web = spot.at((piece.columns[0], piece.web_row))
    yield Line(points=((x0, bar), (x1, bar)), role=line)
    yield Line(points=((x, bar), (x, web)), role=line)


def _bevels(spot, piece, role):
    """Two side gears, and a planet on a pin across the axis, which is the carrier's."""
    left, middle, right = spot.x
    u, y = spot.u, spot.y[PLANET]
    top, low, wide, narrow = y - 8 * u, y + 8 * u, 17 * u, 7 * u
    pin = (middle, spot.y[RING]), (middle, low + 6 * u)
    yield "carrier", Line(points=pin, role=role("carrier", "line"))
    corners = (
        (middle - wide, top), (middle + wide, top), (middle + narrow, low),
        (middle - narrow, low),
    )  # fmt: skip
    yield "carrier", Polygon(points=corners, role=role("planet", "body"))
    for a, b in ((0, 3), (1, 2)):
        edge = corners[a], corners[b]
        yield "carrier", Line(points=edge, role=role("planet", "line"))
    for short, x in ((piece.left, left), (piece.right, right)):
        way = 1 if x < middle else -1
        gap = 6 * u * way
        bar = ((middle - way * wide - gap, top), (middle - way * narrow - gap, low))
        yield short, Line(points=bar, role=role(short, "line"))
        half = (bar[0][0] + bar[1][0]) / 2
        web = ((half, y), (x, y), (x, spot.y[SUN]))
        yield short, Line(points=web, role=role(short, "line"))


_DRAWN = {Planet: _planet, Hub: _hub, Pin: _pin, Arm: _arm, Gear: _gear}


# Elements ------------------------------------------------------------------------


def plates(placed, name, role, gap):
    """The two facing plates of a clutch or brake, `gap` apart [u]."""
    x, y, dx, dy = placed.middle(name)
    u, half, thick = placed.u, PLATE * placed.u, 4.0 * placed.u
    shapes = []
    for side in (-1, 1):
        near, far = side * gap * u / 2, side * (gap * u / 2 + thick)
        a = x + dx * near - dy * half, y + dy * near - dx * half
        b = x + dx * far + dy * half, y + dy * far + dx * half
        shapes.append(rectangle(*a, *b, role))
    return shapes


def one_way(placed, name, role, to_first):
    """A race on each side and a wedge that points to the side that may run ahead."""
    x, y, dx, dy = placed.middle(name)
    u, half = placed.u, PLATE * placed.u
    if to_first:
        dx, dy = -dx, -dy
    reach = 7 * u
    tip = x + dx * reach, y + dy * reach
    base = x - dx * reach, y - dy * reach
    wide = 8 * u
    shapes = [
        Polygon(
            points=(
                tip,
                (base[0] - dy * wide, base[1] + dx * wide),
                (base[0] + dy * wide, base[1] - dx * wide),
            ),
            role=role,
        )
    ]
    for at in (tip, base):
        ends = (
            (at[0] - dy * half, at[1] - dx * half),
            (at[0] + dy * half, at[1] + dx * half),
        )
        shapes.append(Line(points=ends, role="axis"))
    return shapes


def pawl(placed, name, role, closed):
    """A toothed wheel's rim and a pawl that falls into it."""
    x, y, dx, dy = placed.middle(name)
    u = placed.u
    away = 0.0 if closed else 4.0 * u

    def at(along, aside):
        return x + dx * along + dy * aside, y + dy * along + dx * aside

    rim = [
        at(-8 * u, -11 * u), at(-1 * u, -11 * u), at(-1 * u, -5 * u),
        at(-6 * u, -3 * u), at(-6 * u, 3 * u), at(-1 * u, 5 * u),
        at(-1 * u, 11 * u), at(-8 * u, 11 * u),
    ]  # fmt: skip
    wedge = [
        at(away - 6 * u, -2.5 * u), at(away - 6 * u, 2.5 * u), at(away + 7 * u, 6 * u),
        at(away + 7 * u, -6 * u),
    ]  # fmt: skip
    return [
        Polygon(points=tuple(rim), role="open"),
        Polygon(points=tuple(wedge), role=role),
    ]


def ring_round(placed, name):
    """The mark of an element that fights."""
    x, y, _, _ = placed.middle(name)
    return Circle(x=x, y=y, r=12.5 * placed.u, role="fights ring")


# The case ------------------------------------------------------------------------


def case_shapes(placed):
    """The hatched case along the top."""
    u = placed.u
    left, right = _ends(placed)
    y = placed.y[-1]
    step = 8 * u
    count = int((right - left) / step)
    strokes = tuple(
        ((left + i * step, y), (left + (i + 0.8) * step, y - step))
        for i in range(count)
    )
    yield Hatch(lines=strokes, role="hatch")
    yield Line(points=((left, y), (right, y)), role="case")


def axis(placed):
    """The centre line at the bottom."""
    y = placed.y[0] + 7 * placed.u
    return Line(points=tuple((x, y) for x in _ends(placed)), role="centre line")


def _ends(placed):
    return placed.x[0] - 22 * placed.u, placed.x[-1] + 22 * placed.u


def fixed(placed, one, block):
    """The ground signs of the members of a set that are fixed for good."""
    layout, u = placed.layout, placed.u
    for short in block.shorts:
        spot = layout.grounds.get(one.member(short))
        if spot is None:
            continue
        x, y = placed.at(spot)
        if short.rsplit(" ", 1)[-1] == "ring":
            yield ground_at(x, y, 0, -1, u)
        elif short == "carrier" and KINDS[block.kind].bevels:
            yield ground_at(x, placed.y[block.rows[3]], 0, -1, u)
        elif short == "carrier" and not is_box(block.kind):
            way = -1 if spot[0] == block.columns[0] else 1
            yield ground_at(x + way * GEAR * u, y, way, 0, u)
        else:
            yield ground_at(x, y, 0, 1, u)


def ground_at(x, y, dx, dy, u):
    """The ground sign at a point, away from where its line comes from."""
    size = 15 * u
    start = {(0, 1): 0.0, (0, -1): 180.0, (1, 0): 270.0, (-1, 0): 90.0}
    turned = start[(round(dx), round(dy))]
    return Group(
        x=x + dx * 0.4 * size,
        y=y + dy * 0.4 * size,
        start=turned,
        shapes=(ground(size),),
    )
