"""The symbols of a stick diagram: gears, plates, pawl, one-way clutch, case.

They follow the spirit of ISO 3952 (from memory): a gear is a tooth bar at its pitch
radius on a web, two bars with a gap between are in mesh.
"""

from ..scene import Circle, Group, Hatch, Line, Polygon, ground
from .grid import GEAR, PLANET_HALF, PLATE, SMALL_HALF, TOOTH_GAP

_STEPPED = 8.0  # half height of a ring planet [u]


def rectangle(x0, y0, x1, y1, role):
    """An upright rectangle."""
    return Polygon(points=((x0, y0), (x1, y0), (x1, y1), (x0, y1)), role=role)


# Gear sets -----------------------------------------------------------------------


def set_shapes(placed, block, role):
    """All gears of a set; `role(short, what)` gives the role of what is drawn."""
    return list(_SETS[block.kind](_Spot(placed, block), role))


class _Spot:
    """Where a set's columns and rows are [px]."""

    def __init__(self, placed, block):
        self.u, self.reach = placed.u, placed.reach[block.name]
        self.x = [placed.x[column] for column in block.columns]
        if block.mirrored:
            self.x.reverse()
        self.sun, self.inner, self.planet, self.ring = (
            placed.y[row] for row in block.rows
        )

    def bar(self, x, y, role, half=GEAR):
        half *= self.u
        return Line(points=((x - half, y), (x + half, y)), role=role)

    def gear(self, x, pitch, web, role):
        """A tooth bar at a pitch radius, and its web to where its line begins."""
        yield self.bar(x, pitch, role)
        yield Line(points=((x, pitch), (x, web)), role=role)

    def planet_on(self, x0, x1, y, half, role):
        """A planet between two columns: a tinted block with its two tooth bars."""
        x0, x1 = min(x0, x1) - (GEAR - 3) * self.u, max(x0, x1) + (GEAR - 3) * self.u
        half *= self.u
        yield rectangle(x0, y - half, x1, y + half, role("planet", "body"))
        for at in (y - half, y + half):
            yield Line(points=((x0, at), (x1, at)), role=role("planet", "line"))

    def outside(self, y, half):
        """Where the bar of a gear is that meshes with a planet from outside it."""
        return y - (half + TOOTH_GAP) * self.u

    def inside(self, y, half):
        return y + (half + TOOTH_GAP) * self.u

    def pin(self, x0, x1, y, role):
        reach = (GEAR + 3) * self.u
        x0, x1 = min(x0, x1) - reach, max(x0, x1) + reach
        return Line(points=((x0, y), (x1, y)), role=role("carrier", "line"))


def _simple(spot, role):
    (x,) = spot.x
    y = spot.planet
    yield from spot.planet_on(x, x, y, PLANET_HALF, role)
    yield spot.pin(x, x, y, role)
    sun, ring = role("sun", "line"), role("ring", "line")
    yield from spot.gear(x, spot.inside(y, PLANET_HALF), spot.sun, sun)
    yield from spot.gear(x, spot.outside(y, PLANET_HALF), spot.ring, ring)


def _web(spot, x, role):
    points = ((x, spot.inner), (x, spot.planet))
    return Line(points=points, role=role("carrier", "line"))


def _meshed_planet(spot, role):
    x, web = spot.x
    inner, y = spot.inner, spot.planet
    yield from spot.planet_on(x, x, y, PLANET_HALF, role)
    yield from spot.planet_on(x, x, inner, SMALL_HALF, role)
    for at in (inner, y):
        yield spot.pin(x, x, at, role)
        yield Line(points=((x, at), (web, at)), role=role("carrier", "line"))
    yield _web(spot, web, role)
    sun, ring = role("sun", "line"), role("ring", "line")
    yield from spot.gear(x, spot.inside(inner, SMALL_HALF), spot.sun, sun)
    yield from spot.gear(x, spot.outside(y, PLANET_HALF), spot.ring, ring)


def _two_sun(spot, role):
    large, small, web = spot.x
    inner, y = spot.inner, spot.planet
    yield from spot.planet_on(large, small, y, PLANET_HALF, role)
    yield from spot.planet_on(small, small, inner, SMALL_HALF, role)
    yield spot.pin(large, small, y, role)
    yield spot.pin(small, small, inner, role)
    for at in (inner, y):
        yield Line(points=((small, at), (web, at)), role=role("carrier", "line"))
    yield _web(spot, web, role)
    sun = role("small sun", "line")
    yield from spot.gear(small, spot.inside(inner, SMALL_HALF), spot.sun, sun)
    sun = role("large sun", "line")
    yield from spot.gear(large, spot.inside(y, PLANET_HALF), spot.sun, sun)
    bar, ring = spot.outside(y, PLANET_HALF), role("ring", "line")
    left, right = sorted((large, small))
    reach = GEAR * spot.u
    yield Line(points=((left - reach, bar), (right + reach, bar)), role=ring)
    yield Line(points=((large, bar), (large, spot.ring)), role=ring)


def _stepped_planet(spot, role):
    x, other = spot.x
    y, hub = spot.planet, 4 * spot.u
    left, right = sorted((x, other))
    yield rectangle(left, y - hub, right, y + hub, role("planet", "body"))
    yield from spot.planet_on(x, x, y, PLANET_HALF, role)
    yield from spot.planet_on(other, other, y, _STEPPED, role)
    yield spot.pin(x, other, y, role)
    sun, ring = role("sun", "line"), role("ring", "line")
    yield from spot.gear(x, spot.inside(y, PLANET_HALF), spot.sun, sun)
    yield from spot.gear(other, spot.outside(y, _STEPPED), spot.ring, ring)


def _differential(spot, role):
    """Bevel gears: two side gears, and a planet on a pin across the axis."""
    left, middle, right = spot.x
    u, y = spot.u, spot.planet
    top, low, wide, narrow = y - 8 * u, y + 8 * u, 17 * u, 7 * u
    yield Line(
        points=((middle, spot.ring), (middle, low + 6 * u)),
        role=role("carrier", "line"),
    )
    corners = (
        (middle - wide, top), (middle + wide, top), (middle + narrow, low),
        (middle - narrow, low),
    )  # fmt: skip
    yield Polygon(points=corners, role=role("planet", "body"))
    yield Line(points=(corners[0], corners[3]), role=role("planet", "line"))
    yield Line(points=(corners[1], corners[2]), role=role("planet", "line"))
    for short, x in (("left", left), ("right", right)):
        way = 1 if x < middle else -1
        gap = 6 * u * way
        bar = ((middle - way * wide - gap, top), (middle - way * narrow - gap, low))
        yield Line(points=bar, role=role(short, "line"))
        half = (bar[0][0] + bar[1][0]) / 2
        web = ((half, y), (x, y), (x, spot.sun))
        yield Line(points=web, role=role(short, "line"))


def _meshes(spot, role):
    """A box; the names of its ports are written in it."""
    left, right = spot.reach
    yield rectangle(left, spot.ring, right, spot.sun, "other body")


_SETS = {
    "simple": _simple,
    "meshed-planet": _meshed_planet,
    "two-sun": _two_sun,
    "stepped-planet": _stepped_planet,
    "differential": _differential,
    "meshes": _meshes,
}


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
        Polygon(points=tuple(rim), role="overruns"),
        Polygon(points=tuple(wedge), role=role),
    ]


def ring_round(placed, name):
    """The mark of an element that fights."""
    x, y, _, _ = placed.middle(name)
    return Circle(x=x, y=y, r=12.5 * placed.u, role="fights ring")


# The case ------------------------------------------------------------------------


def case_shapes(placed):
    """The hatched case along the top and the axis at the bottom."""
    u = placed.u
    left, right = placed.x[0] - 22 * u, placed.x[-1] + 22 * u
    y = placed.y[-1]
    step = 8 * u
    count = int((right - left) / step)
    strokes = tuple(
        ((left + i * step, y), (left + (i + 0.8) * step, y - step))
        for i in range(count)
    )
    axis = placed.y[0] + 7 * u
    return [
        Hatch(lines=strokes, role="hatch"),
        Line(points=((left, y), (right, y)), role="case"),
        Line(points=((left, axis), (right, axis)), role="centre line"),
    ]


def fixed(placed, one, block):
    """The ground signs of the members of a set that are fixed for good."""
    layout, u = placed.layout, placed.u
    for short in block.shorts:
        spot = layout.grounds.get(one.member(short))
        if spot is None:
            continue
        x, y = placed.at(spot)
        if short == "ring":
            yield ground_at(x, y, 0, -1, u)
        elif short == "carrier" and block.kind == "differential":
            yield ground_at(x, placed.y[block.rows[3]], 0, -1, u)
        elif short == "carrier" and block.kind != "meshes":
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
