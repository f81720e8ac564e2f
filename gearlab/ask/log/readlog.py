"""Reading a road log: from a file to ratios, ranges, shifts and suspects."""

from array import array
from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import expm1, isnan, nan
from pathlib import Path
from statistics import median

from ...base import checks
from ...base.brief import Several
from ...base.reading import read_number
from ...base.textfile import blamed
from ...solve.powerflow import LOADS
from ...train.train import a_train
from .changes import joined, shifts_of
from .columns import read_columns
from .findings import findings_of, observations_of
from .levels import levels_of, nearest_level
from .limits import chosen_limits
from .makelog import INVENTED, MadeLog
from .mapping import previewed
from .measuring import measured
from .roadlog import RoadLog
from .stretches import coasting_of, cut_between, cut_stretches, told_stretch
from .table import read_rows
from .track import NO_RANGE, made_track

MOST_ERROR = 0.2  # relative error of a speed, beyond which no range is told


def read_log(
    path,
    train,
    *,
    columns=None,
    units=None,
    ranges=None,
    limits=None,
    error=None,
    load="drive",
):
    """Read a road log: the ratio, the nearest range and the slip of every moment.

    The file is CSV, with commas, semicolons or tabs, decimal points or commas, in
    UTF-8, UTF-16 or Windows-1252. It has a row a moment, and names its columns: time,
    input speed and output speed; the commanded range and the input torque if it has
    them. Units stand in the names, like "time [ms]", or in the line below them; s,
    rev/min and N·m otherwise. Lines with # in front are notes. ``log.preview`` shows
    what was taken for what; :func:`gearlab.preview_log` shows it alone.

    Parameters
    ----------
    path : the file, or a MadeLog, which is read as its file would be
    train : Train
    columns : {"time", "input", "output", "range" or "torque": the name of its column,
        or its number from 1; None for none}, where the names are not the usual ones
    units : {the same: its unit}, such as {"input": "rad/s"}
    ranges : {what the file calls a range: the range}, such as {"0": "N"}
    limits : {name: value} of windows and thresholds that are to be others, see
        :data:`gearlab.ask.log.limits.LIMITS`; ``log.limits`` tells all, with sources
    error : the relative error of a speed, such as 0.01; from the scatter without it
    load : "drive" or "coast", where the log has no torque to tell

    Returns
    -------
    RoadLog

    Raises
    ------
    ValueError
        The file cannot be used: missing columns, a cell that is no number, time that
        runs backward, a single row, too large, no text; or an unknown limit or load.
    """
    a_train(train)
    checks.known(load, LOADS, "load")
    limits, error = chosen_limits(limits), _given_error(error)
    with blamed(path, "log"):
        table = read_rows(path)
        preview = previewed(table, columns, units)
        found = read_columns(table, preview, train.range_names, ranges)
        del table
        reading = _reading(train, found, limits, error, load)
        name = INVENTED if isinstance(path, MadeLog) else Path(path).name
        return _read(reading, name, preview)


def _given_error(error):
    if error is None:
        return None
    value = float(read_number(error, ""))
    if not 0 < value <= MOST_ERROR:
        raise ValueError(
            f"the error of a speed is {checks.shortened(error)}, but it must be a part"
            f" between 0 and {MOST_ERROR}; write it like 0.01"
        )
    return value


@dataclass(frozen=True, kw_only=True, eq=False)
class _Reading:
    """All that the steps of an analysis share; arrays with a number a row inside."""

    train: object
    columns: dict
    asked: object  # places of the commanded ranges
    time: object
    step: float
    made: object  # Measured
    levels: tuple
    places: object
    away: object
    coasting: object
    limits: object

    @cached_property
    def apart(self):
        """The rows after which a time without a row cuts a stretch."""
        gap = self.gap
        return [
            row
            for row, (one, other) in enumerate(pairwise(self.time))
            if other - one > gap
        ]

    @property
    def gap(self):
        """Time without a row that cuts a stretch [s]."""
        return max(self.limits["gap"], 3 * self.step)

    @property
    def scatter_of_smooth(self):
        """The relative error of a smooth ratio: a standard deviation of a median."""
        one, other = self.made.scatter
        return 1.25 * (one**2 + other**2) ** 0.5 / self.made.window**0.5

    def commanded(self, cut):
        """The range that was asked for over a piece, or ""."""
        asked = Counter(self.asked[cut.first : cut.last + 1])
        del asked[NO_RANGE]
        if not asked:
            return ""
        return self.train.range_names[min(asked, key=lambda n: (-asked[n], n))]

    def range_name(self, level, commanded):
        """The range of a level: the one that was asked for, if it has that ratio."""
        if level < 0:
            return ""
        names = self.levels[level].ranges
        return commanded if commanded in names else names[0]

    def level_below(self, ratio, commanded):
        """The level that slips up to a ratio: the one asked for, or the next below."""
        own = [n for n, one in enumerate(self.levels) if commanded in one.ranges]
        below = [
            n
            for n, one in enumerate(self.levels)
            if ratio and 0 < float(one.ratio) / ratio <= 1
        ]
        nearest = sorted(below, key=lambda n: -abs(self.levels[n].ratio))
        return (own or nearest or [-1])[0]


def _reading(train, found, limits, error, load):
    time = found["time"]
    step = median([other - one for one, other in pairwise(time)])
    made = measured(found, step, limits, error)
    levels = levels_of(train, made.signed)
    places, away = nearest_level(levels, made.smooth)
    return _Reading(
        train=train,
        columns=found,
        asked=found.get("range", array("h", [NO_RANGE]) * len(time)),
        time=time,
        step=step,
        made=made,
        levels=levels,
        places=places,
        away=away,
        coasting=coasting_of(found, load, step, limits["settle"]),
        limits=limits,
    )


def _read(log, name, preview):
    cuts = cut_stretches(log)
    cuts += cut_between(log, cuts, joined(cuts, log))
    cuts.sort(key=lambda cut: cut.first)
    stretches = [told_stretch(cut, log) for cut in cuts]
    findings = findings_of(log.train, stretches, log.limits, log.made.signed)
    both = zip(log.columns["input"], log.columns["output"], strict=True)
    return RoadLog(
        train=log.train,
        name=name,
        preview=preview,
        limits=log.limits,
        signed=log.made.signed,
        scatter=log.made.scatter,
        step=log.step,
        spikes=log.made.spikes,
        missing=sum(isnan(ahead + out) for ahead, out in both),
        gaps=tuple((log.time[n], log.time[n + 1]) for n in log.apart),
        stretches=Several(stretches),
        shifts=Several(shifts_of(cuts, log)),
        findings=Several(findings),
        observations=observations_of(findings),
        track=_track(log),
    )


def _track(log):
    """The columns of a log as they are kept."""
    return made_track(
        {
            "time": log.time,
            "input": log.made.input,
            "output": log.made.output,
            "ratio": log.made.ratio,
            "error": log.made.error,
            "slip": map(expm1, log.away),
            "torque": log.columns.get("torque", array("d", [nan]) * len(log.time)),
            "range": _nearest_ranges(log),
            "commanded": log.asked,
        }
    )


def _nearest_ranges(log):
    """The nearest range of every moment: the one asked for, if it has that ratio."""
    names = log.train.range_names
    table = []  # of each level, and of none: the range to every one that is asked for
    for level in log.levels:
        own = {names.index(name) for name in level.ranges}
        first = names.index(level.ranges[0])
        table.append([n if n in own else first for n in (*range(len(names)), NO_RANGE)])
    table.append([NO_RANGE] * (len(names) + 1))
    return [
        table[place][asked] for place, asked in zip(log.places, log.asked, strict=True)
    ]
