"""When a change begins and ends: straight lines that fit noisy readings best."""

_STEPS = 12  # of the fit, at most
_NEAR = 1e-4  # a step so small ends it [s]
_SHORT = 1e-3  # between two bends at the least [s]


def fitted_times(time, values, smooth, levels, turn=None):
    """The start and the end of a change from one level to another.

    Up to the start the values are at the first level and from the end on at the second,
    with straight lines between. The bends are moved, step by step, to where the sum of
    squares is least: each step takes the values as straight in where the bends stand.

    Parameters
    ----------
    time, values : arrays of what was measured [s, any]
    smooth : the values without most of their noise, to begin with
    levels : (before, after)
    turn : where in `time` the values turn back, for a change that goes beyond both
        levels, or None

    Returns
    -------
    (start, end) [s]
    """
    import numpy as np

    begun = _first_guess(time, smooth, levels, turn)
    bends = np.array(begun if turn is None else [*begun, float(smooth[turn])])
    best, left = bends, _left(time, values, levels, bends)
    for _ in range(_STEPS):
        slopes = np.column_stack(
            [
                (_left(time, values, levels, best + nudge) - left) / nudge.sum()
                for nudge in np.eye(len(best)) * 1e-5
            ]
        )
        step = -np.linalg.lstsq(slopes, left, rcond=None)[0]
        tried = _in_order(best + np.clip(step, -0.1, 0.1), time, turn)
        then = _left(time, values, levels, tried)
        if then @ then >= left @ left:
            tried = _in_order(best + np.clip(step, -0.1, 0.1) / 4, time, turn)
            then = _left(time, values, levels, tried)
            if then @ then >= left @ left:
                break
        done = np.abs(tried - best).max() < _NEAR
        best, left = tried, then
        if done:
            break
    return float(best[0]), float(best[1 if turn is None else 2])


def _left(time, values, levels, bends):
    """What the lines leave over of the values; `bends` are times, then a peak."""
    import numpy as np

    if len(bends) == 2:
        return np.interp(time, bends, levels) - values
    return np.interp(time, bends[:3], (levels[0], bends[3], levels[1])) - values


def _in_order(bends, time, turn):
    """The bends with their times within the window, one after the other."""
    import numpy as np

    count = 2 if turn is None else 3
    times = np.maximum.accumulate(np.clip(bends[:count], time[0], time[-1]))
    times = times + _SHORT * np.arange(count)
    return np.concatenate([times, bends[count:]])


def _first_guess(time, smooth, levels, turn):
    """Times near to those of the bends, by where the smooth values pass half-way."""
    if turn is None:
        at, wide = _half_way(time, smooth, levels)
        return [at - wide, at + wide]
    top = float(smooth[turn])
    up, wide = _half_way(time[: turn + 1], smooth[: turn + 1], (levels[0], top))
    down, wider = _half_way(time[turn:], smooth[turn:], (top, levels[1]))
    return [up - wide, float(time[turn]), down + wider]


def _half_way(time, smooth, levels):
    """When values pass half-way for the last time, and half of how long it takes."""
    import numpy as np

    part = (smooth - levels[0]) / (levels[1] - levels[0])
    before = np.flatnonzero(part < 0.5)
    at = min(int(before[-1]) + 1, len(time) - 1) if before.size else 0
    early, late = np.flatnonzero(part[:at] <= 0.2), np.flatnonzero(part[at:] >= 0.8)
    first = int(early[-1]) if early.size else max(at - 1, 0)
    last = at + int(late[0]) if late.size else at
    return float(time[at]), max(float(time[last] - time[first]) / 1.2, _SHORT)
