"""Straight lines that fit noisy readings best, and the bends of a change."""

from bisect import bisect_left
from itertools import accumulate, pairwise
from operator import mul

_STEPS = 12  # of the fit, at most
_NUDGE = 1e-5  # of a bend, to see what changes [s, any]
_FARTHEST = 0.1  # that a bend moves in one step [s, any]
_NEAR = 1e-4  # a step so small ends it [s]
_SHORT = 1e-3  # between two bends at the least [s]
_SHORTEST = 1e-10  # what a long step weighs: of steps that fit alike, the short one


def fitted_line(xs, ys):
    """(slope, height at 0) of the straight line with the least squares."""
    count = len(xs)
    x, y = sum(xs) / count, sum(ys) / count
    off = [each - x for each in xs]
    wide = _squares(off)
    if not wide:
        return 0.0, y
    slope = _product(off, [each - y for each in ys]) / wide
    return slope, y - slope * x


def fitted_times(time, values, smooth, levels, turn=None):
    """The start and the end of a change from one level to another.

    Up to the start the values are at the first level and from the end on at the second,
    with straight lines between. The bends are moved, step by step, to where the sum of
    squares is least: each step takes the values as straight in where the bends stand.

    Parameters
    ----------
    time, values : lists of what was measured [s, any]
    smooth : the values without most of their noise, to begin with
    levels : (before, after)
    turn : where in `time` the values turn back, for a change that goes beyond both
        levels, or None

    Returns
    -------
    (start, end) [s]
    """
    best = _first_guess(time, smooth, levels, turn)
    if turn is not None:
        best.append(smooth[turn])
    left = _left(time, values, levels, best)
    for _ in range(_STEPS):
        step = _step(time, values, levels, best, left)
        # A step that goes too far is tried once more, shorter.
        for part in (1, 0.25):
            moved = [old + part * new for old, new in zip(best, step, strict=True)]
            tried = _in_order(moved, time, turn)
            then = _left(time, values, levels, tried)
            if _squares(then) < _squares(left):
                break
        else:
            break
        done = max(abs(new - old) for new, old in zip(tried, best, strict=True))
        best, left = tried, then
        if done < _NEAR:
            break
    return best[0], best[1 if turn is None else 2]


def _step(time, values, levels, bends, left):
    """How far to move each bend, were all straight in where the bends stand."""
    slopes = []
    for place in range(len(bends)):
        nudged = [*bends]
        nudged[place] += _NUDGE
        after = _left(time, values, levels, nudged)
        slopes.append([(b - a) / _NUDGE for a, b in zip(left, after, strict=True)])
    rows = [[_product(one, other) for other in (*slopes, left)] for one in slopes]
    weight = _SHORTEST * max(row[place] for place, row in enumerate(rows))
    if not weight:
        return [0.0] * len(bends)
    for place, row in enumerate(rows):
        row[place] += weight
    return [min(max(-far, -_FARTHEST), _FARTHEST) for far in _solved(rows)]


def _solved(rows):
    """What solves equations, each a row of factors with its right side at the end.

    They are those of least squares, so no row needs to change places.
    """
    for place, row in enumerate(rows):
        row[:] = [value / row[place] for value in row]
        for other in rows:
            if other is not row:
                part = other[place]
                other[:] = [a - part * b for a, b in zip(other, row, strict=True)]
    return [row[-1] for row in rows]


def _product(one, other):
    return sum(map(mul, one, other))


def _squares(values):
    return _product(values, values)


def _left(time, values, levels, bends):
    """What the lines leave over of the values; `bends` are times, then a peak."""
    times, heights = bends, levels
    if len(bends) > 2:
        times, heights = bends[:3], (levels[0], bends[3], levels[1])
    ends = [bisect_left(time, bend) for bend in times]
    left = [heights[0] - value for value in values[: ends[0]]]
    for place, (low, high) in enumerate(pairwise(ends)):
        start, foot = times[place], heights[place]
        rise = (heights[place + 1] - foot) / (times[place + 1] - start)
        left += [
            foot + rise * (moment - start) - value
            for moment, value in zip(time[low:high], values[low:high], strict=True)
        ]
    return left + [heights[-1] - value for value in values[ends[-1] :]]


def _in_order(bends, time, turn):
    """The bends with their times within the window, one after the other."""
    count = 2 if turn is None else 3
    times = [min(max(bend, time[0]), time[-1]) for bend in bends[:count]]
    times = accumulate(times, lambda before, one: max(before + _SHORT, one))
    return [*times, *bends[count:]]


def _first_guess(time, smooth, levels, turn):
    """Times near to those of the bends, by where the smooth values pass half-way."""
    if turn is None:
        at, wide = _half_way(time, smooth, levels)
        return [at - wide, at + wide]
    top = smooth[turn]
    up, wide = _half_way(time[: turn + 1], smooth[: turn + 1], (levels[0], top))
    down, wider = _half_way(time[turn:], smooth[turn:], (top, levels[1]))
    return [up - wide, time[turn], down + wider]


def _half_way(time, smooth, levels):
    """When values pass half-way for the last time, and half of how long it takes."""
    # Reverse may be geared as far as the range before it: then there is no way to go.
    way = levels[1] - levels[0] or _SHORT
    part = [(value - levels[0]) / way for value in smooth]
    before = [place for place, one in enumerate(part) if one < 0.5]
    at = min(before[-1] + 1, len(time) - 1) if before else 0
    early = [place for place in range(at) if part[place] <= 0.2]
    late = (place for place in range(at, len(part)) if part[place] >= 0.8)
    first, last = early[-1] if early else max(at - 1, 0), next(late, at)
    return time[at], max((time[last] - time[first]) / 1.2, _SHORT)
