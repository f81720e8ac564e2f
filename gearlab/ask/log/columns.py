"""The rows of a log as arrays: time, speeds, torque, and the commanded range."""

import re
from array import array
from datetime import datetime
from itertools import pairwise
from math import isfinite, isinf

from ...base import checks
from .mapping import WHAT
from .table import one_number
from .track import NO_RANGE


def read_columns(table, preview, names, called=None):
    """{what: array of floats} of what is taken from a table, in s, rev/min and N·m.

    Times of a clock are counted from the first of them.

    "range" has the place of the commanded range in `names`, or :data:`NO_RANGE`.

    Parameters
    ----------
    table : Table
    preview : Preview
    names : the ranges of the train
    called : {what the file calls it: range}, or None
    """
    found = {
        one.what: array("h" if one.what == "range" else "d") for one in preview.taken
    }
    known = _range_places(names, called), names
    for start, rows in table.chunks():
        _check_widths(table, start, rows)
        shortest = min(map(len, rows))
        for one in preview.taken:
            at = one.number - 1
            if at < shortest:
                cells = [row[at] for row in rows]
            else:
                cells = [row[at] if at < len(row) else "" for row in rows]
            places = _Lines(table, start, one.column)
            if one.what == "range":
                part = _ranges(cells, known, places)
            else:
                read = _times if one.what == "time" else _numbers
                part = read(cells, places)
                if one.factor != 1:
                    part = array("d", [value * one.factor for value in part])
            found[one.what].extend(part)
    time = found["time"]
    _check_time(table, time)
    if ":" in table.first_rows(1)[0][preview.of("time").number - 1]:
        start = time[0]  # a clock is counted from the start
        found["time"] = array("d", [moment - start for moment in time])
    return found


class _Lines:
    """Where some cells stand in the file, for whoever finds one that is no number."""

    def __init__(self, table, start, column):
        self._numbers, self._start = table.numbers, start
        self.column = column

    def line(self, place):
        """The number of a line in the file."""
        return self._numbers[self._start + place]


def _check_widths(table, start, rows):
    """ValueError for a row with more cells than there are names."""
    width = len(table.heads)
    if max(map(len, rows)) <= width:
        return
    for place, row in enumerate(rows):
        if any(cell.strip() for cell in row[width:]):
            raise ValueError(
                f"line {table.numbers[start + place]} has {len(row)} cells, but the"
                f" first line names {width} columns; with decimal commas, put"
                " semicolons between the cells"
            )


def _numbers(cells, places):
    """Cells as an array of floats; most files are read by the first try."""
    for read in (float, lambda cell: float(cell.replace(",", "."))):
        try:
            part = array("d", map(read, cells))
        except ValueError:
            continue
        if not any(map(isinf, part)):
            return part
    read = (
        one_number(cell, places.line(place), places.column)
        for place, cell in enumerate(cells)
    )
    return array("d", read)


def _times(cells, places):
    """Times in whatever unit, or clock times in s."""
    if not any(":" in cell for cell in cells[:3]):
        return _numbers(cells, places)
    return array("d", [_clock(cell, places, n) for n, cell in enumerate(cells)])


def _clock(cell, places, place):
    """A time of day, with a date or without [s]."""
    plain = cell.strip().replace(",", ".")
    if match := re.fullmatch(r"(\d{1,3}):(\d\d)(?::(\d\d(?:\.\d+)?))?", plain):
        hours, minutes, seconds = (float(part or 0) for part in match.groups())
        return hours * 3600 + minutes * 60 + seconds
    try:
        moment = datetime.fromisoformat(plain)
    except ValueError:
        raise ValueError(
            f"line {places.line(place)}, column {checks.shortened(places.column, 40)}:"
            f" {checks.shortened(cell, 30)} is no time; write seconds, or 12:30:45.5"
        ) from None
    return moment.replace(tzinfo=None).toordinal() * 86400.0 + (
        moment.hour * 3600 + moment.minute * 60 + moment.second
        + moment.microsecond / 1e6
    )  # fmt: skip


def _range_places(names, called):
    """{what a file calls a range, in small letters: its place}."""
    called = {} if called is None else called
    checks.given(called, dict, "a table of ranges", 'write it like {"0": "N"}')
    places = {name.casefold(): place for place, name in enumerate(names)}
    for theirs, ours in called.items():
        name = checks.known(str(ours), names, "range")
        places[str(theirs).strip().casefold()] = names.index(name)
    return places | {"": NO_RANGE}


def _ranges(cells, known, places):
    """The places of the ranges that cells name."""
    seen = {
        cell: _range(cell, known, places, cells.index(cell))
        for cell in dict.fromkeys(cells)
    }
    return array("h", [seen[cell] for cell in cells])


def _range(cell, known, places, place):
    known, names = known
    plain = cell.strip().casefold()
    # A logger writes range 3 as 3.0.
    for name in (plain, re.sub(r"[.,]0+$", "", plain)):
        if name in known:
            return known[name]
    raise ValueError(
        f"line {places.line(place)}: the commanded range is"
        f" {checks.shortened(cell, 30)}, but the train has"
        f" {checks.quoted(names)}; say which is meant:"
        ' ranges={"0": "N"}'
    )


def _check_time(table, time):
    """ValueError where time is missing, runs backward or stands still."""
    empty = next((n for n, moment in enumerate(time) if not isfinite(moment)), None)
    if empty is not None:
        line = table.numbers[empty]
        raise ValueError(f"line {line} has no time; take that row out")
    steps = enumerate(pairwise(time), 1)
    back = next((n for n, (one, other) in steps if other < one), None)
    if back is not None:
        line, one, other = table.numbers[back], time[back - 1], time[back]
        raise ValueError(
            f"time runs backward in line {line}, from {one:.6g} s to {other:.6g} s;"
            " put the rows in order, or give each drive a log of its own"
        )
    if time[-1] == time[0]:
        raise ValueError(
            f"{WHAT['time']} stands still at {time[0]:.6g} s; name the column"
            ' of the time: columns={"time": "…"}'
        )
