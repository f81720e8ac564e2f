"""How much two drawn gears overlap, exactly: their outlines are clipped."""

from math import pi

import numpy as np


def area(points):
    """The area inside an outline."""
    x, y = np.asarray(points).T
    return abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def tooth_area(points):
    """The area of one tooth of an outline round (0, 0), or of a ring's tooth space."""
    radii = np.hypot(*np.asarray(points).T)
    return (area(points) - pi * radii.min() ** 2) / teeth_in(points)


def teeth_in(points):
    """How many times an outline round (0, 0) comes out to its largest radius."""
    radii = np.hypot(*np.asarray(points).T)
    out = radii > (radii.min() + radii.max()) / 2
    return int(np.sum(out & ~np.roll(out, 1)))


def overlap(one, middle, other, centre, inside):
    """The area that an outline shares with another, or lies outside a ring's.

    Parameters
    ----------
    one, other : points of the outlines, (n, 2)
    middle, centre : their axes
    inside : whether `other` is the inner edge of a ring round `one`
    """
    mine, its = np.hypot(*(one - centre).T), np.hypot(*(other - middle).T)
    limit = np.hypot(*(other - centre).T)
    if inside:
        close, near = mine >= limit.min(), its <= np.hypot(*(one - middle).T).max()
    else:
        close, near = mine <= limit.max(), its <= np.hypot(*(one - middle).T).max()
    a, b = edges(one, close), edges(other, near)
    if not len(a) or not len(b) or not cross(a, b):
        return 0.0
    if inside:
        b = edges(other, near | True)
    mine = [np.array([middle, *edge]) for edge in a]
    its = [np.array([centre, *edge]) for edge in b]
    shared = sum(clipped(mine[i], its[j]) for i, j in meeting(mine, its))
    return sum(map(area, mine)) - shared if inside else shared


def meeting(some, others):
    """The pairs of shapes whose boxes meet, by their numbers."""
    low, high = (
        np.array([f(shape, axis=0) for shape in some]) for f in (np.min, np.max)
    )
    bottom, top = (
        np.array([f(shape, axis=0) for shape in others]) for f in (np.min, np.max)
    )
    meet = (low[:, None] <= top[None]) & (bottom[None] <= high[:, None])
    return np.argwhere(meet.all(axis=-1))


def edges(outline, wanted):
    """The edges of an outline with an end that is wanted, and two beside each."""
    at = np.flatnonzero(wanted)[:, None] + np.arange(-3, 3)
    at = np.unique(at % len(outline))
    return np.stack([outline[at], outline[(at + 1) % len(outline)]], axis=1)


def cross(a, b):
    """Whether an edge of `a` crosses one of `b`; both are (n, 2, 2)."""
    low, high = (
        np.maximum(a.min((0, 1)), b.min((0, 1))),
        np.minimum(a.max((0, 1)), b.max((0, 1))),
    )
    a, b = (
        these[((these.max(1) >= low) & (these.min(1) <= high)).all(-1)]
        for these in (a, b)
    )
    p, r = a[:, None, 0], (a[:, 1] - a[:, 0])[:, None]
    q, s = b[None, :, 0], (b[:, 1] - b[:, 0])[None]
    between = times(r, s)
    with np.errstate(divide="ignore", invalid="ignore"):
        t, u = times(q - p, s) / between, times(q - p, r) / between
    return bool(np.any((t >= 0) & (t <= 1) & (u >= 0) & (u <= 1)))


def times(a, b):
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]


def clipped(subject, triangle):
    """The area of a triangle inside another one (Sutherland and Hodgman's way)."""
    side = 1 if times(triangle[1] - triangle[0], triangle[2] - triangle[0]) > 0 else -1
    points = [tuple(point) for point in subject]
    for k in range(3):
        (ax, ay), (bx, by) = triangle[k], triangle[(k + 1) % 3]
        kept = []
        for i, (x, y) in enumerate(points):
            u, v = points[i - 1]
            here = side * ((bx - ax) * (y - ay) - (by - ay) * (x - ax))
            there = side * ((bx - ax) * (v - ay) - (by - ay) * (u - ax))
            if here * there < 0:
                part = there / (there - here)
                kept.append((u + part * (x - u), v + part * (y - v)))
            if here >= 0:
                kept.append((x, y))
        points = kept
        if len(points) < 3:
            return 0.0
    return area(points)


def turned(points, turn, middle):
    """Points round (0, 0), turned clockwise on the screen [turns] and moved."""
    c, s = np.cos(2 * np.pi * turn), np.sin(2 * np.pi * turn)
    return points @ np.array([[c, s], [-s, c]]) + middle
