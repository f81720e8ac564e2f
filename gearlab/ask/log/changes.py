"""Shifts in a log: when the ratio leaves one range and is the next one's, and how."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass
from itertools import pairwise
from math import isfinite
from statistics import median

from ...base.brief import Brief
from ...base.numerals import decimals
from .knots import fitted_line, fitted_times
from .measuring import running_median
from .stretches import said_slip

CLEAN, FLARE, TIE_UP, BELOW = "clean", "flare", "tie-up", "below both"
WORDS = {
    CLEAN: "it goes straight over",
    FLARE: "a flare: the input races up above both ranges",
    TIE_UP: "a tie-up: the output is slowed down",
    BELOW: "the ratio falls below both ranges",
}
_AROUND = 0.5  # looked at before and after the change of range [s]
_SURE = 4.0  # standard deviations that are no chance among the rows of a shift


@dataclass(frozen=True, kw_only=True, repr=False)
class LogShift(Brief):
    """A shift that was found in a log.

    `start` and `end` [s] are those of the straight lines that fit the ratio best.
    `kind` is "clean", "flare", "tie-up" or "below both"; `size` is how far the ratio
    went above or below both ranges, or how much of the output speed was lost, as a
    part. `command` is when the log says that the new
    range was asked for [s], or None.
    """

    before: str
    after: str
    start: float
    end: float
    kind: str
    size: float
    command: float | None

    _columns = ("shift", "from", "to", "takes", "how", "size")

    @property
    def _cells(self):
        return (
            f"{self.before} to {self.after}",
            f"{decimals(self.start, 2)} s",
            f"{decimals(self.end, 2)} s",
            f"{decimals(self.seconds, 2)} s",
            self.kind,
            said_slip(self.size) if self.size else "",
        )

    @property
    def seconds(self):
        """How long it takes [s]."""
        return self.end - self.start

    @property
    def words(self):
        """The shift in one sentence."""
        size = f", by {decimals(100 * self.size, 1)} %" if self.size else ""
        late = ""
        if self.command is not None:
            late = f", {decimals(self.start - self.command, 2)} s after the command"
        return (
            f"{self.before} to {self.after} at {decimals(self.start, 2)} s{late}: it"
            f" takes {decimals(self.seconds, 2)} s, and {WORDS[self.kind]}{size}."
        )


def joined(cuts, log):
    """The places in `cuts` after which the next piece follows, as after a shift.

    Parameters
    ----------
    cuts : pieces of :func:`gearlab.ask.log.stretches.cut_stretches`, in order
    log : _Reading
    """
    return {
        place
        for place, (one, other) in enumerate(pairwise(cuts))
        if min(one.level, other.level) >= 0
        and log.time[other.first] - log.time[one.last] <= log.limits["longest shift"]
    }


def shifts_of(cuts, log):
    """The shifts between pieces of a log, in their order; see :func:`joined`."""
    return [
        _shift(cuts[place], cuts[place + 1], log)
        for place in sorted(joined(cuts, log))
        if cuts[place].level != cuts[place + 1].level
    ]


def _shift(one, other, log):
    low, high = one.last, other.first
    low = max(one.first, bisect_left(log.time, log.time[low] - _AROUND))
    high = min(other.last, bisect_left(log.time, log.time[high] + _AROUND))
    rows = [row for row in range(low, high + 1) if isfinite(log.made.ratio[row])]
    time = [log.time[row] for row in rows]
    smooth = [abs(log.made.smooth[row]) for row in rows]
    levels = [_level(piece, log) for piece in (one, other)]
    kind, size, turn = _beyond(smooth, levels, log)
    values = [abs(log.made.ratio[row]) for row in rows]
    start, end = fitted_times(time, values, smooth, levels, turn)
    speeds = [abs(log.made.output[row]) for row in rows]
    lost = _lost_output(time, speeds, start, end, log)
    if kind == CLEAN and lost > log.limits["dip"]:
        kind, size = TIE_UP, lost
    names = [
        log.range_name(piece.level, log.commanded(piece)) for piece in (one, other)
    ]
    return LogShift(
        before=names[0],
        after=names[1],
        start=start,
        end=end,
        kind=kind,
        size=size,
        command=_command(log, one, other),
    )


def _level(piece, log):
    """The ratio of a piece, as it was measured, by its size."""
    ratios = log.made.ratio[piece.first : piece.last + 1]
    return median(map(abs, filter(isfinite, ratios)))


def _beyond(smooth, levels, log):
    """How a ratio leaves the two ranges of a shift: (kind, size, where in `smooth`)."""
    top, foot = max(smooth), min(smooth)
    above = top / max(levels) - 1
    below = 1 - foot / min(levels)
    least = max(log.limits["flare"], _SURE * log.scatter_of_smooth)
    if above > least:
        return FLARE, above, smooth.index(top)
    if below > least:
        return BELOW, below, smooth.index(foot)
    return CLEAN, 0.0, None


def _lost_output(time, speeds, start, end, log):
    """How far the output falls in a shift below where it was going, as a part."""
    begun, over = bisect_right(time, start), bisect_left(time, end)
    if min(begun, len(time) - over, over - begun) < 3:
        return 0.0
    since = [moment - start for moment in time]
    # A driver may ease off just then, so the lower of the two ways counts.
    lines = [
        fitted_line(since[side], speeds[side])
        for side in (slice(begun), slice(over, None))
    ]
    due = [
        min(foot + slope * moment for slope, foot in lines)
        for moment in since[begun:over]
    ]
    if min(due) <= 0:
        return 0.0
    window = min(log.made.window, (over - begun) | 1)
    smooth = running_median(speeds, window)[begun:over]
    lost = max(1 - speed / own for speed, own in zip(smooth, due, strict=True))
    return lost if lost > _SURE * log.scatter_of_smooth else 0.0


def _command(log, one, other):
    """When the range after a shift was asked for [s], or None."""
    asked = log.columns.get("range")
    if asked is None:
        return None
    wanted = asked[other.first]
    for row in range(other.first, one.first, -1):
        if asked[row] == wanted != asked[row - 1]:
            return log.time[row]
    return None
