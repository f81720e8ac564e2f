"""Integer vectors: a space narrowed by equations, a cone by inequalities.

A space is a tuple of *lines* that span it. A cone is its lines (both ways allowed)
and its *rays* (one way). Vectors are tuples of ints without a common factor, so every
answer is exact and no fraction is made on the way.
"""

from functools import lru_cache
from math import gcd
from operator import mul
from typing import NamedTuple

_FEW = 16  # pairs of rays that are all tried, since asking would cost more


def dot(row, vector):
    """The value of a row on a vector."""
    return sum(map(mul, row, vector))


def primitive(vector):
    """The vector without the common factor of its entries."""
    factor = gcd(*vector)
    if factor < 2:
        return tuple(vector)
    return tuple([entry // factor for entry in vector])


@lru_cache(maxsize=64)
def unit_lines(size):
    """Lines that span the whole space of a size."""
    return tuple(tuple(int(i == j) for j in range(size)) for i in range(size))


def null_lines(lines, row):
    """The part of a space on which `row` is 0; the same object if that is all of it."""
    values = [sum(map(mul, row, line)) for line in lines]
    pivot = _pivot(values)
    if pivot is None:
        return lines
    along, at = lines[pivot], values[pivot]
    return tuple(
        [
            _cleared(line, values[place], along, at) if values[place] else line
            for place, line in enumerate(lines)
            if place != pivot
        ]
    )


def narrowed(lines, rows):
    """What all rows leave of a space, and for each row a vector that breaks it alone.

    The vector is None where the row says nothing that the others do not say together.
    """
    releases = []
    for row in rows:
        values = [dot(row, line) for line in lines]
        pivot = _pivot(values)
        if pivot is None:
            # Of the others, those that this row repeats are not alone either.
            releases = [one if one and not dot(row, one) else None for one in releases]
            releases.append(None)
            continue
        line, at = lines[pivot], values[pivot]
        releases = [one and _cleared(one, dot(row, one), line, at) for one in releases]
        releases.append(line)
        lines = tuple(
            _cleared(other, value, line, at)
            for place, (other, value) in enumerate(zip(lines, values, strict=True))
            if place != pivot
        )
    return lines, releases


class Cone(NamedTuple):
    """What is left of the motions, as lines and rays that span it.

    `rows` are those that may not be negative in it; none is at first.
    """

    lines: tuple
    rays: tuple = ()
    rows: tuple = ()


def null_cone(cone, row):
    """The part of a cone on which `row` is 0."""
    lines, rays, rows = cone
    values = [dot(row, line) for line in lines]
    pivot = _pivot(values)
    if pivot is not None:
        at, line = values[pivot], lines[pivot]
        moved = [_cleared(ray, dot(row, ray), line, at) for ray in rays]
        return Cone(null_lines(lines, row), _kept(moved), rows)
    return Cone(lines, _kept(_split(cone, row)[1]), rows)


def half_cone(cone, row):
    """The part of a cone on which `row` is not negative."""
    lines, rays, rows = cone
    values = [dot(row, line) for line in lines]
    pivot = _pivot(values)
    if pivot is not None:
        at, line = values[pivot], lines[pivot]
        moved = [_cleared(ray, dot(row, ray), line, at) for ray in rays]
        inward = line if at > 0 else tuple([-entry for entry in line])
        return Cone(null_lines(lines, row), (*_kept(moved), inward), (*rows, row))
    above, level = _split(cone, row)
    return Cone(lines, (*above, *_kept(level)), (*rows, row))


def _pivot(values):
    """The place of the smallest value that is not 0, or None."""
    least = min((abs(value) for value in values if value), default=None)
    if least is None:
        return None
    return next(place for place, value in enumerate(values) if abs(value) == least)


def _cleared(vector, value, line, at):
    """`vector` moved along `line` to where the row, worth `value`, is 0."""
    if not value:
        return vector
    if at < 0:
        value, at = -value, -at
    return primitive([x * at - y * value for x, y in zip(vector, line, strict=True)])


def _split(cone, row):
    """Rays above the plane of `row`, and those that span the cone's part in it."""
    above, below, level = [], [], []
    for ray in cone.rays:
        value = dot(row, ray)
        if value > 0:
            above.append((ray, value))
        elif value < 0:
            below.append((ray, value))
        else:
            level.append(ray)
    together = _all_together
    if len(above) * len(below) > _FEW:
        together = _edges_between(cone)
    for up, high in above:
        for down, low in below:
            if together(up, down):
                pairs = zip(up, down, strict=True)
                level.append(primitive([y * high - x * low for x, y in pairs]))
    return [ray for ray, _ in above], level


def _all_together(up, down):
    """Two rays span a plane; that it is no edge of a small cone does no harm."""
    return True


def _edges_between(cone):
    """Whether two rays of a large cone span a face of it, as a question.

    Else each narrowing would square the number of its rays. A face is told by the rows
    that are 0 on it: on no other ray are all those 0 that are so on both.
    """
    zeros = {
        ray: sum(1 << i for i, row in enumerate(cone.rows) if not dot(row, ray))
        for ray in cone.rays
    }
    outer = {
        ray: own
        for ray, own in zeros.items()
        if not any(own & other == own for ray2, other in zeros.items() if ray2 != ray)
    }

    def together(up, down):
        if up not in outer or down not in outer:
            return False
        common = outer[up] & outer[down]
        return not any(
            common & other == common
            for ray, other in outer.items()
            if ray not in (up, down)
        )

    return together


def _kept(rays):
    """Rays once each and without the zero vector."""
    return tuple(dict.fromkeys(ray for ray in rays if any(ray)))
