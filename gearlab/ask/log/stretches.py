"""Stretches of a log: the ratio is a range's, or between ranges, or nothing turns."""

from dataclasses import dataclass

from ...base.brief import Brief
from ...base.numerals import decimals, number
from .track import NO_RANGE

IN_RANGE, BETWEEN, STOPPED = "in a range", "between ranges", "output stands"
_MOSTLY = 0.8  # of the rows: so many near one ratio make it stay
_STILL = -2  # the code of an output that stands, and less
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
    import numpy as np

    made, limits = log.made, log.limits
    width = max(np.log1p(limits["band"]), 3 * log.scatter_of_smooth)
    with np.errstate(invalid="ignore"):
        inside = np.abs(log.away) <= width
        still = np.abs(made.output) < limits["stopped"]
    code = np.where(inside, 2 * log.places.astype(int) + log.coasting, -1)
    still &= np.isfinite(made.input)
    # Who stands in one range and then in another is told so.
    code[still] = _STILL - log.asked[still]
    return [
        Cut(
            what=STOPPED if kind <= _STILL else IN_RANGE,
            level=kind // 2 if kind >= 0 else -1,
            first=first,
            last=last,
        )
        for kind, first, last in _pieces(code, log)
        if log.time[last] - log.time[first] >= limits["settle"]
        and (kind < 0 or _stays(first, last, log))
    ]


def _pieces(code, log):
    """(code, first row, last row) where the code stays; −1 is left out."""
    import numpy as np

    time, hole = log.time, max(2 * log.limits["smooth"], 3 * log.step)
    edges = np.flatnonzero((np.diff(code) != 0) | (np.diff(time) > log.gap))
    firsts = np.concatenate([[0], edges + 1]).tolist()
    lasts = np.concatenate([edges, [len(code) - 1]]).tolist()
    pieces = []
    for first, last in zip(firsts, lasts, strict=True):
        kind = int(code[first])
        if kind == -1:
            continue
        before = pieces[-1] if pieces else (-1, 0, 0)
        # A piece goes on after a hole that is too short to matter.
        if before[0] == kind and time[first] - time[before[2]] <= hole:
            pieces[-1] = (kind, before[1], last)
        else:
            pieces.append((kind, first, last))
    return pieces


def _stays(first, last, log):
    """Whether the ratio stays, and does not just pass through the band."""
    import numpy as np

    rows = np.arange(first, last + 1)
    rows = rows[np.isfinite(log.away[rows])]
    if len(rows) < 3:
        return False
    time = log.time[rows] - log.time[first]
    slope = np.polyfit(time, log.away[rows], 1)[0]
    return abs(slope) * (time[-1] - time[0]) <= log.limits["band"]


def cut_between(log, cuts, joined):
    """The :class:`Cut` pieces beside those of :func:`cut_stretches` and of shifts.

    `joined` are the places in `cuts` after which a shift follows.
    """
    import numpy as np

    free = np.isfinite(log.made.ratio)
    for place, cut in enumerate(cuts):
        end = cuts[place + 1].first if place in joined else cut.last + 1
        free[cut.first : end] = False
    # Where nobody says which range is asked for, the nearest one parts the pieces.
    count = len(log.train.ranges)
    parts = np.where(log.asked == NO_RANGE, count + 1 + log.places, log.asked)
    code = np.where(free, 2 * parts.astype(int) + log.coasting, -1)
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
    import numpy as np

    smooth = np.abs(log.made.smooth[first : last + 1])
    middle = float(np.nanmedian(smooth))
    with np.errstate(invalid="ignore", divide="ignore"):
        near = np.flatnonzero(np.abs(smooth / middle - 1) <= log.limits["band"])
    if not near.size or near.size < _MOSTLY * (last - first):
        return Cut(what=BETWEEN, level=-1, first=first, last=last, stays=False)
    first, last = first + int(near[0]), first + int(near[-1])
    whole = Cut(what=BETWEEN, level=-1, first=first, last=last)
    ratio = float(np.nanmedian(log.made.ratio[first : last + 1]))
    level = log.level_below(ratio, log.commanded(whole))
    return Cut(what=BETWEEN, level=level, first=first, last=last)


def coasting_of(columns, load, window):
    """Whether the output drives, row by row: by the torque if the log has it."""
    import numpy as np

    from .measuring import running_median

    torque = columns.get("torque")
    if torque is None:
        return np.full(len(columns["time"]), load == "coast")
    smooth = running_median(torque, window)
    known = np.abs(smooth[np.isfinite(smooth)])
    least = _LIGHT * float(np.quantile(known, 0.95)) if known.size else 0.0
    return smooth < -least


def told_stretch(cut, log):
    """The :class:`Stretch` of some rows, in built-in numbers; `log` is a _Reading."""
    import numpy as np

    rows = slice(cut.first, cut.last + 1)
    speeds = [
        float(np.nanmean(part[rows])) if np.isfinite(part[rows]).any() else 0.0
        for part in (log.made.input, log.made.output)
    ]
    ratios = log.made.ratio[rows]
    ratios = ratios[np.isfinite(ratios)]
    ratio, error, slip = None, 0.0, None
    if cut.what != STOPPED and cut.stays and ratios.size:
        ratio = float(np.median(ratios))
        error = float(log.made.error[rows][np.isfinite(log.made.ratio[rows])].mean())
        error = 1.25 * error / ratios.size**0.5
        if cut.level >= 0:
            slip = ratio / float(log.levels[cut.level].ratio) - 1
    commanded = log.commanded(cut)
    return Stretch(
        what=cut.what,
        start=float(log.time[cut.first]),
        end=float(log.time[cut.last]),
        range=log.range_name(cut.level, commanded),
        commanded=commanded,
        load="coast" if bool(np.median(log.coasting[rows])) else "drive",
        ratio=ratio,
        error=error,
        slip=slip,
        input=speeds[0],
        output=speeds[1],
    )
