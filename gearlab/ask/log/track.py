"""The moments of a log, column by column, as bytes that nothing changes.

A column is a view of numbers, like `track["ratio"][5]`, and
`numpy.asarray(track["ratio"])` copies nothing.
"""

from array import array
from bisect import bisect_left
from dataclasses import dataclass

from ...base import checks

NO_RANGE = -1  # the place of no range
# {column: how its numbers are kept}; see RoadLog.column for what they are.
COLUMNS = {
    "time": "d",
    "input": "d",
    "output": "d",
    "ratio": "d",
    "error": "d",
    "slip": "d",
    "torque": "d",
    "range": "h",
    "commanded": "h",
}


@dataclass(frozen=True, kw_only=True)
class Track:
    """All moments of a log; `data` are the bytes of each of :data:`COLUMNS`."""

    data: tuple[bytes, ...]

    def __getitem__(self, name):
        checks.known(name, COLUMNS, "column of a log")
        return memoryview(self.data[list(COLUMNS).index(name)]).cast(COLUMNS[name])

    def __len__(self):
        return len(self["time"])

    def nearest(self, time):
        """The place of the moment nearest to some time [s]."""
        times = self["time"]
        after = min(bisect_left(times, time), len(times) - 1)
        before = max(after - 1, 0)
        return before if time - times[before] <= times[after] - time else after


def made_track(columns):
    """The :class:`Track` of numbers by the names of their columns."""
    return Track(
        data=tuple(
            array(kind, columns[name]).tobytes() for name, kind in COLUMNS.items()
        )
    )
