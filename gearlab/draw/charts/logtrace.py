"""A part of a road log as plain numbers, for whoever draws it."""

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from ...ask.log.changes import CLEAN
from ...ask.log.levels import levels_of
from ...ask.log.limits import LIMITS
from ...ask.log.makelog import INVENTED, MadeLog
from ...ask.log.roadlog import RoadLog
from ...base import checks
from ...base.numerals import decimals, number
from ...base.reading import read_number

_TOGETHER = 2.0  # between two marks of one kind that are one [s]


@dataclass(frozen=True, kw_only=True)
class Trace:
    """Moments of a log from `start` to `end` [s], each column a list.

    `input` and `output` are sizes of speeds [rev/min], `ratio` sizes of ratios; None
    where there is none. `slip` is how far a ratio is above the nearest range's.
    """

    name: str
    train: object
    start: float
    end: float
    time: list
    input: list
    output: list
    ratio: list
    slip: list
    commanded: list  # names, "" where the log does not say
    levels: tuple  # of the ranges, by their size or with a sign
    shifts: tuple  # those that begin or end in it
    band: float
    marks: tuple  # (start, end, words) of what is wrong, in the order of time


def trace(log, since=None, until=None):
    """The :class:`Trace` of a road log, or of one that was made.

    Raises ValueError for what is no log, or ends that leave nothing of it.
    """
    checks.given(
        log, (RoadLog, MadeLog), "a road log", "write gl.read_log(path, train)"
    )
    read = _of_made if isinstance(log, MadeLog) else _of_read
    time = [row[0] for row in log.rows] if read is _of_made else log.column("time")
    low, high = _ends(time, since, until)
    rows = slice(bisect_left(time, low), bisect_right(time, high))
    made = isinstance(log, MadeLog)
    columns = _of_made(log, rows) if made else _of_read(log, rows)
    return Trace(
        name=INVENTED if made else log.name,
        train=log.train,
        start=low,
        end=high,
        time=list(time[rows]),
        levels=levels_of(log.train, True),
        shifts=tuple(one for one in log.shifts if one.end > low and one.start < high),
        band=LIMITS["band"][0] if made else log.limits["band"],
        marks=_marks(log, () if made else log.bad, low, high),
        **columns,
    )


def _marks(log, bad, low, high):
    """Shifts that are not clean and stretches that are not as asked, as marks."""
    found = [(one.start, one.end, one.kind) for one in log.shifts if one.kind != CLEAN]
    found += [(one.start, one.end, one.kind) for one in bad]
    marks = []
    for start, end, kind in sorted(found):
        if end <= low or start >= high:
            continue
        if marks and marks[-1][2] == kind and start - marks[-1][1] < _TOGETHER:
            start = marks.pop()[0]
        marks.append((max(start, low), min(end, high), kind))
    return tuple(marks)


def _ends(time, start, end):
    """The first and the last time that is drawn [s]."""
    ends = [time[0], time[len(time) - 1]]
    for place, given in enumerate((start, end)):
        if given is not None:
            ends[place] = _seconds(given, ("start", "end")[place])
    low, high = max(ends[0], time[0]), min(ends[1], time[len(time) - 1])
    if bisect_right(time, high) - bisect_left(time, low) < 2:
        raise ValueError(
            f"from {number(ends[0])} s to {number(ends[1])} s there are no two moments"
            f" of the log, which runs from {number(time[0])} s to"
            f" {number(time[len(time) - 1])} s; give other ends"
        )
    return low, high


def time_in(found, given):
    """A time [s] within a trace; ValueError for any other."""
    time = _seconds(given, "moment")
    if not found.start <= time <= found.end:
        raise ValueError(
            f"the moment {number(time)} s is not within {number(found.start)} s to"
            f" {number(found.end)} s, which is drawn; give another"
        )
    return time


def _seconds(given, what):
    try:
        return float(read_number(given, ""))
    except ValueError as error:
        raise ValueError(f"the {what} of a log: {error}") from None


def _of_read(log, rows):
    names = (*log.train.range_names, "")
    parts = {
        name: [_size(value) for value in log.column(name)[rows]]
        for name in ("input", "output", "ratio")
    }
    slips = [None if one != one else one for one in log.column("slip")[rows]]
    asked = [names[place] for place in log.column("commanded")[rows]]
    return {**parts, "slip": slips, "commanded": asked}


def _of_made(log, rows):
    part = log.rows[rows]
    ratios = [
        abs(row[1] / row[2]) if abs(row[2]) >= LIMITS["stopped"][0] else None
        for row in part
    ]
    return {
        "input": [abs(row[1]) for row in part],
        "output": [abs(row[2]) for row in part],
        "ratio": ratios,
        "slip": [None] * len(part),
        "commanded": [row[3] for row in part],
    }


def _size(value):
    return None if value != value else abs(value)


def asked_in(found):
    """(range, from, to) of each part of a trace in which one range was asked for."""
    parts = []
    for time, name in zip(found.time, found.commanded, strict=True):
        if parts and parts[-1][0] == name:
            parts[-1][2] = time
        else:
            if parts:
                parts[-1][2] = time
            parts.append([name, time, time])
    return [tuple(part) for part in parts if part[0]]


def told_trace(found):
    """The sentences of a picture of a log, which carry its numbers."""
    ends = f"{decimals(found.start, 1)} s to {decimals(found.end, 1)} s"
    said = [f"{found.train.name}, {found.name}, {ends}."]
    for what, values in (("Input", found.input), ("Output", found.output)):
        known = [value for value in values if value is not None]
        if known:
            low, high = (number(round(end)) for end in (min(known), max(known)))
            said.append(f"{what} speed: {low} to {high} rev/min.")
    return said


def told_shifts(found, most=12):
    """The shifts of a trace and what is wrong, in sentences; at most so many."""
    shifts = found.shifts
    if len(shifts) > most:
        shifts = [one for one in shifts if one.kind != CLEAN]
    said = [
        f"{one.before} to {one.after} from {decimals(one.start, 2)} s to"
        f" {decimals(one.end, 2)} s, {one.kind}."
        for one in shifts[:most]
    ]
    more = len(found.shifts) - len(said)
    said += [
        f"{decimals(start, 1)} s to {decimals(end, 1)} s: {kind}."
        for start, end, kind in found.marks[:most]
    ]
    return [*said, f"Other shifts: {more}."] if more else said
