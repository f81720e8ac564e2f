"""Stretches of a log: the ratio is a range's, or between ranges, or nothing turns."""

from dataclasses import dataclass
from itertools import pairwise
from math import isfinite, log1p
from statistics import median

from ...base.brief import Brief
from ...base.numerals import decimals, number
from .knots import fitted_line
from .measuring import odd_window, running_median
from .track import NO_RANGE

IN_RANGE, BETWEEN, STOPPED = "in a range", "between ranges", "output stands"
_MOSTLY = 0.8  # of the rows: so many near one ratio make it stay
_LEFT_OUT = -1  # the code of rows that are in no piece; below it the output stands
_LIGHT = 0.05  # of the largest torques: too little to tell which way it goes


@dataclass(frozen=True, kw_only=True, repr=False)
class Stretch(Brief):
    """A part of a log in which nothing changes: from `start` to `end` [s].

    `what` is "in a range", "between ranges" or "output stands". `ratio` is the mean
    ratio, within `error`; None where there is none, or none that stays. `range` is the
    nearest range, "" if the output stands; `slip` is how far the ratio is above that
    range's, as a part. `commanded` is what the log says, "" if it does not.
    """

    what: str
    start: float
    end: float
    range: str
    commanded: str
    load: str
    ratio: float | None
    error: float
    slip: float | None
    input: float  # mean speeds [rev/min]
    output: float

    _columns = ("from", "to", "what", "commanded", "ratio", "give or take", "slip")

    @property
    def _cells(self):
        what = f"range {self.range}" if self.what == IN_RANGE else self.what
        ratio = "" if self.ratio is None else decimals(self.ratio, 3)
        error = "" if self.ratio is None else decimals(self.error, 3)
        slip = "" if self.slip is None else said_slip(self.slip)
        ends = (f"{decimals(time, 2)} s" for time in (self.start, self.end))
        return *ends, what, self.commanded, ratio, error, slip

    @property
    def seconds(self):
        """How long it lasts [s]."""
        return self.end - self.start

    @property
    def words(self):
        """The stretch in one sentence."""
        ends = f"{decimals(self.start, 2)} s to {decimals(self.end, 2)} s"
        if self.what == STOPPED:
            speed = number(round(self.input))
            return f"{ends}: the output stands, the input turns at {speed} rev/min."
        what = f"range {self.range}" if self.what == IN_RANGE else "between ranges"
        if self.ratio is None:
            return f"{ends}: {what}, and no ratio stays."
        ratio = f"{decimals(self.ratio, 3)} give or take {decimals(self.error, 3)}"
        slip = "" if self.slip is None else f", slip {said_slip(self.slip)}"
        return f"{ends}: {what}, ratio {ratio}{slip}."


def said_slip(part):
    """A slip in percent, with its sign: how far the input runs above what it should."""
    percent = round(100 * part, 1)
    return f"{'+' if percent > 0 else ''}{decimals(percent, 1)} %"


@dataclass(frozen=True, kw_only=True, eq=False)
class Cut:
    """Rows of a log, from `first` to `last`, and what they are; `level` may be -1."""

    what: str
    level: int
    first: int
    last: int
    stays: bool = True  # whether there is one ratio throughout


def cut_stretches(log):
    """The :class:`Cut` pieces in which the ratio is a range's, or the output stands.

    `log` is a _Reading, as for all that follows.
    """
    made, limits = log.made, log.limits
    width = max(log1p(limits["band"]), 3 * log.scatter_of_smooth)
    stopped = limits["stopped"]
    # Who stands in one range and then in another is told so.
    code = [
        _LEFT_OUT - 1 - (asked - NO_RANGE)
        if abs(out) < stopped and isfinite(ahead)
        else 2 * place + coasts
        if abs(away) <= width
        else _LEFT_OUT
        for ahead, out, away, place, coasts, asked in zip(
            made.input,
            made.output,
            log.away,
            log.places,
            log.coasting,
            log.asked,
            strict=True,
        )
    ]
    return [
        Cut(
            what=STOPPED if kind < _LEFT_OUT else IN_RANGE,
            level=kind // 2 if kind >= 0 else -1,
            first=first,
            last=last,
        )
        for kind, first, last in _pieces(code, log)
        if log.time[last] - log.time[first] >= limits["settle"]
        and (kind < 0 or _stays(first, last, log))
    ]


def _pieces(code, log):
    """(code, first row, last row) where the code stays; some rows are left out."""
    time, hole = log.time, max(2 * log.limits["smooth"], 3 * log.step)
    edges = [n for n, (one, other) in enumerate(pairwise(code)) if one != other]
    edges = sorted({*edges, *log.apart})
    pieces = []
    for first, last in zip(
        [0, *(edge + 1 for edge in edges)], [*edges, len(code) - 1], strict=True
    ):
        kind = code[first]
        if kind == _LEFT_OUT:
            continue
        before = pieces[-1] if pieces else (_LEFT_OUT, 0, 0)
        # A piece goes on after a hole that is too short to matter.
        if before[0] == kind and time[first] - time[before[2]] <= hole:
            pieces[-1] = (kind, before[1], last)
        else:
            pieces.append((kind, first, last))
    return pieces


def _stays(first, last, log):
    """Whether the ratio stays, and does not just pass through the band."""
    rows = [row for row in range(first, last + 1) if isfinite(log.away[row])]
    if len(rows) < 3:
        return False
    time = [log.time[row] for row in rows]
    slope, _ = fitted_line(time, [log.away[row] for row in rows])
    return abs(slope) * (time[-1] - time[0]) <= log.limits["band"]


def cut_between(log, cuts, joined):
    """The :class:`Cut` pieces beside those of :func:`cut_stretches` and of shifts.

    `joined` are the places in `cuts` after which a shift follows.
    """
    # Where nobody says which range is asked for, the nearest one parts the pieces.
    count = len(log.train.ranges)
    code = [
        2 * (count + 1 + place if asked == NO_RANGE else asked) + coasts
        if isfinite(ratio)
        else _LEFT_OUT
        for ratio, place, asked, coasts in zip(
            log.made.ratio, log.places, log.asked, log.coasting, strict=True
        )
    ]
    for place, cut in enumerate(cuts):
        end = cuts[place + 1].first if place in joined else cut.last + 1
        code[cut.first : end] = [_LEFT_OUT] * (end - cut.first)
    pieces = (_between(first, last, log) for _, first, last in _pieces(code, log))
    return [
        piece
        for piece in pieces
        if log.time[piece.last] - log.time[piece.first] >= log.limits["outside"]
    ]


def _between(first, last, log):
    """A piece without the ends in which it comes to its ratio, if one stays.

    Its level is the one from which it slips, or -1 where there is none.
    """
    smooth = [abs(one) for one in log.made.smooth[first : last + 1]]
    middle, band = median(filter(isfinite, smooth)), log.limits["band"]
    near = [
        n for n, one in enumerate(smooth) if middle and abs(one / middle - 1) <= band
    ]
    if not near or len(near) < _MOSTLY * (last - first):
        return Cut(what=BETWEEN, level=-1, first=first, last=last, stays=False)
    first, last = first + near[0], first + near[-1]
    whole = Cut(what=BETWEEN, level=-1, first=first, last=last)
    ratio = median(filter(isfinite, log.made.ratio[first : last + 1]))
    level = log.level_below(ratio, log.commanded(whole))
    return Cut(what=BETWEEN, level=level, first=first, last=last)


def coasting_of(columns, load, step, settle):
    """Whether the output drives, row by row: by the torque if the log has it.

    `step` is from row to row, and `settle` how long a torque must last to count [s].
    """
    torque = columns.get("torque")
    if torque is None:
        return bytes([load == "coast"]) * len(columns["time"])
    smooth = running_median(torque, odd_window(settle, step))
    least = _LIGHT * _large(map(abs, filter(isfinite, smooth)))
    return bytes([one < -least for one in smooth])


def _large(sizes):
    """What 95 of 100 sizes are below, between two of them as they are shared."""
    sizes = sorted(sizes)
    if not sizes:
        return 0.0
    place, part = divmod(0.95 * (len(sizes) - 1), 1)
    low = sizes[int(place)]
    return low + part * (sizes[min(int(place) + 1, len(sizes) - 1)] - low)


def told_stretch(cut, log):
    """The :class:`Stretch` of some rows, in built-in numbers; `log` is a _Reading."""
    rows = slice(cut.first, cut.last + 1)
    speeds = [_mean_known(part[rows]) for part in (log.made.input, log.made.output)]
    ratio, error, slip = None, 0.0, None
    known = list(filter(isfinite, log.made.ratio[rows]))
    if cut.what != STOPPED and cut.stays and known:
        ratio = median(known)
        error = 1.25 * _mean_known(log.made.error[rows]) / len(known) ** 0.5
        if cut.level >= 0:
            slip = ratio / float(log.levels[cut.level].ratio) - 1
    commanded = log.commanded(cut)
    return Stretch(
        what=cut.what,
        start=float(log.time[cut.first]),
        end=float(log.time[cut.last]),
        range=log.range_name(cut.level, commanded),
        commanded=commanded,
        load="coast" if median(log.coasting[rows]) else "drive",
        ratio=ratio,
        error=error,
        slip=slip,
        input=speeds[0],
        output=speeds[1],
    )


def _mean_known(values):
    known = list(filter(isfinite, values))
    return sum(known) / len(known) if known else 0.0
