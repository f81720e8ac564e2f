"""From raw speeds to ratios: spikes taken out, scatter, and what a ratio is sure to."""

from array import array
from bisect import bisect_left, insort
from dataclasses import dataclass
from itertools import accumulate, islice
from math import hypot, inf, isfinite, nan
from statistics import median

LEAST_JUMP = 30.0  # no spike is smaller than that [rev/min]
_AROUND = 5  # rows: the window in which one or two wild readings are seen
_NORMAL = 0.6745  # the median of the size of a normal error, in standard deviations


@dataclass(frozen=True, kw_only=True, eq=False)
class Measured:
    """The speeds of a log without its spikes, and what comes of them, as arrays.

    `ratio` is nan where the output stands or a reading is missing; `smooth` is its
    running median. `error` is what 19 of 20 ratios are within. `scatter` is the
    relative error of one speed, and of the other.
    """

    input: object
    output: object
    ratio: object
    smooth: object
    error: object
    scatter: tuple[float, float]
    window: int  # of the median, in rows
    spikes: int
    signed: bool


def measured(columns, step, limits, error=None):
    """The :class:`Measured` speeds.

    Parameters
    ----------
    columns : {"input", "output": arrays of floats, nan where there is none}
    step : from row to row [s]
    limits : Limits
    error : the relative error of a speed, if it is known
    """
    speeds, scatter, spikes = {}, {}, 0
    for what in ("input", "output"):
        speeds[what], count = _without_spikes(columns[what], limits["spike"])
        spikes += count
        scatter[what] = _scatter(speeds[what]) if error is None else error
    stopped = limits["stopped"]
    signed = any(-inf < speed < -stopped for speed in speeds["output"])
    ratio = array(
        "d",
        [
            ahead / out if abs(out) >= stopped else nan
            for ahead, out in zip(speeds["input"], speeds["output"], strict=True)
        ],
    )
    if not signed:
        ratio = array("d", map(abs, ratio))
    window = odd_window(limits["smooth"], step)
    sure = 2 * hypot(*scatter.values())
    return Measured(
        input=speeds["input"],
        output=speeds["output"],
        ratio=ratio,
        smooth=running_median(ratio, window),
        error=array("d", [sure * abs(one) for one in ratio]),
        scatter=(scatter["input"], scatter["output"]),
        window=window,
        spikes=spikes,
        signed=signed,
    )


def odd_window(seconds, step):
    """The rows of a window of some seconds: an odd number, with one in the middle."""
    rows = max(1, round(seconds / step)) if step else 1
    return rows + 1 - rows % 2


def running_median(values, window):
    """The median of a window round each value; nan where the value is.

    At an end the window has the last value again and again.
    """
    if window == 1:
        return values
    half = min(window // 2, len(values))
    # Missing ones are sorted last, so the middle one leans a little, and is there.
    known = [inf if value != value else value for value in values]
    rows = [known[0]] * half + known + [known[-1]] * half
    part = sorted(rows[: 2 * half])
    found = array("d")
    for old, new in zip(rows, islice(rows, 2 * half, None), strict=False):
        insort(part, new)
        found.append(part[half])
        del part[bisect_left(part, old)]
    # A reading with hardly a neighbour stands for itself.
    return array(
        "d",
        [
            value if value != value or middle == inf else middle
            for value, middle in zip(values, found, strict=True)
        ],
    )


def _without_spikes(speed, most):
    """Speeds with one or two wild readings taken out, and how many there were."""
    if len(speed) < _AROUND:
        return speed, 0
    # A gap is filled with what was there before it, for the median alone.
    filled = list(accumulate(speed, _last_known))
    cleaned, count = array("d", speed), 0
    for place, (one, middle) in enumerate(
        zip(speed, running_median(filled, _AROUND), strict=True)
    ):
        if isfinite(one) and abs(one - middle) > max(most * abs(middle), LEAST_JUMP):
            cleaned[place] = nan
            count += 1
    return cleaned, count


def _last_known(before, speed):
    return speed if isfinite(speed) else before


def _scatter(speed):
    """The relative error of a speed, from how far each lies off its two neighbours."""
    off = [
        far / size
        for one, middle, other in zip(
            speed, islice(speed, 1, None), islice(speed, 2, None), strict=False
        )
        if (size := abs(middle)) > LEAST_JUMP
        and (far := abs(one - 2 * middle + other)) < inf
    ]
    return median(off) / (_NORMAL * 6**0.5) if off else 0.0
