"""Reading a road log: from a file to ratios, ranges, shifts and suspects."""

from dataclasses import dataclass
from pathlib import Path

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
    """All that the steps of an analysis share; arrays inside."""

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
        import numpy as np

        part = self.asked[cut.first : cut.last + 1]
        part = part[part != NO_RANGE]
        if not part.size:
            return ""
        return self.train.range_names[int(np.bincount(part).argmax())]

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
    import numpy as np

    time = found["time"]
    step = float(np.median(np.diff(time)))
    made = measured(found, step, limits, error)
    levels = levels_of(train, made.signed)
    places, away = nearest_level(levels, made.smooth)
    width = max(1, round(limits["settle"] / step)) if step else 1
    return _Reading(
        train=train,
        columns=found,
        asked=found.get("range", np.full(len(time), NO_RANGE, np.int16)),
        time=time,
        step=step,
        made=made,
        levels=levels,
        places=places,
        away=away,
        coasting=coasting_of(found, load, width + 1 - width % 2),
        limits=limits,
    )


def _read(log, name, preview):
    import numpy as np

    cuts = cut_stretches(log)
    cuts += cut_between(log, cuts, joined(cuts, log))
    cuts.sort(key=lambda cut: cut.first)
    stretches = [told_stretch(cut, log) for cut in cuts]
    findings = findings_of(log.train, stretches, log.limits, log.made.signed)
    apart = np.flatnonzero(np.diff(log.time) > log.gap)
    return RoadLog(
        train=log.train,
        name=name,
        preview=preview,
        limits=log.limits,
        signed=log.made.signed,
        scatter=log.made.scatter,
        step=log.step,
        spikes=log.made.spikes,
        missing=int(np.isnan(log.columns["input"] + log.columns["output"]).sum()),
        gaps=tuple(
            (float(log.time[n]), float(log.time[n + 1])) for n in apart.tolist()
        ),
        stretches=Several(stretches),
        shifts=Several(shifts_of(cuts, log)),
        findings=Several(findings),
        observations=observations_of(findings),
        track=_track(log),
    )


def _track(log):
    """The columns of a log as they are kept."""
    import numpy as np

    count = len(log.time)
    torque = log.columns.get("torque", np.full(count, np.nan))
    return made_track(
        {
            "time": log.time,
            "input": log.made.input,
            "output": log.made.output,
            "ratio": log.made.ratio,
            "error": log.made.error,
            "slip": np.expm1(log.away),
            "torque": torque,
            "range": _nearest_ranges(log),
            "commanded": log.asked,
        }
    )


def _nearest_ranges(log):
    """The nearest range of every moment: the one asked for, if it has that ratio."""
    import numpy as np

    names = log.train.range_names
    first = [names.index(level.ranges[0]) for level in log.levels]
    found = np.array([*first, NO_RANGE], np.int16)[log.places]
    for place, name in enumerate(names):
        for n, level in enumerate(log.levels):
            if name in level.ranges[1:]:
                found[(log.places == n) & (log.asked == place)] = place
    return found
