"""From raw speeds to ratios: spikes taken out, scatter, and what a ratio is sure to."""

from dataclasses import dataclass

LEAST_JUMP = 30.0  # no spike is smaller than that [rev/min]
_BLOCK = 50_000  # rows at a time, where each has a window of its own
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
    columns : {"input", "output": arrays}
    step : from row to row [s]
    limits : Limits
    error : the relative error of a speed, if it is known
    """
    import numpy as np

    speeds, scatter, spikes = {}, {}, 0
    for what in ("input", "output"):
        speeds[what], count = _without_spikes(columns[what], limits["spike"])
        spikes += count
        scatter[what] = _scatter(speeds[what]) if error is None else error
    turning = np.abs(speeds["output"]) >= limits["stopped"]
    ratio = np.full(len(turning), np.nan)
    np.divide(speeds["input"], speeds["output"], out=ratio, where=turning)
    there = speeds["output"][np.isfinite(speeds["output"])]
    signed = bool((there < -limits["stopped"]).any())
    if not signed:
        ratio = np.abs(ratio)
    window = max(1, round(limits["smooth"] / step)) if step else 1
    window += 1 - window % 2
    both = (scatter["input"] ** 2 + scatter["output"] ** 2) ** 0.5
    return Measured(
        input=speeds["input"],
        output=speeds["output"],
        ratio=ratio,
        smooth=running_median(ratio, window),
        error=2 * both * np.abs(ratio),
        scatter=(scatter["input"], scatter["output"]),
        window=window,
        spikes=spikes,
        signed=signed,
    )


def running_median(values, window):
    """The median of a window round each value; nan where the value is."""
    import numpy as np

    if window == 1:
        return values
    half = window // 2
    padded = np.pad(values, half, mode="edge")
    found = np.empty(len(values))
    for start in range(0, len(values), _BLOCK):
        end = min(start + _BLOCK, len(values))
        part = np.lib.stride_tricks.sliding_window_view(
            padded[start : end + 2 * half], window
        )
        # Missing ones are sorted last, so the middle one leans a little, and is there.
        found[start:end] = np.sort(part, axis=1)[:, half]
    # A reading with hardly a neighbour stands for itself.
    alone = np.isnan(found) | np.isnan(values)
    found[alone] = values[alone]
    return found


def _without_spikes(speed, most):
    """Speeds with one or two wild readings taken out, and how many there were."""
    import numpy as np

    if len(speed) < 5:
        return speed.copy(), 0
    known = np.isfinite(speed)
    # A gap is filled with what was there before it, for the median alone.
    last = np.maximum.accumulate(np.where(known, np.arange(len(speed)), 0))
    filled = speed[last]
    around = running_median(filled, 5)
    with np.errstate(invalid="ignore"):
        wild = known & (
            np.abs(speed - around) > np.maximum(most * np.abs(around), LEAST_JUMP)
        )
    cleaned = speed.copy()
    cleaned[wild] = np.nan
    return cleaned, int(wild.sum())


def _scatter(speed):
    """The relative error of a speed, from how far each lies off its two neighbours."""
    import numpy as np

    off = speed[:-2] - 2 * speed[1:-1] + speed[2:]
    size = np.abs(speed[1:-1])
    used = np.isfinite(off) & (size > LEAST_JUMP)
    if not used.any():
        return 0.0
    return float(np.median(np.abs(off[used]) / size[used])) / (_NORMAL * 6**0.5)
