"""The result of reading a log: its moments, shifts and findings, frozen."""

from dataclasses import dataclass
from functools import cached_property

from ...base import checks
from ...base.brief import Brief, Several
from ...base.frozenmap import FrozenMap
from ...base.numerals import decimals, exactly, listed, number, percent
from ...base.reading import read_number
from ...train.train import Train
from ..faults.suspects import suspects
from .changes import CLEAN, LogShift
from .findings import told_badly
from .levels import ratio_of
from .limits import Limits
from .mapping import Preview
from .stretches import said_slip
from .track import Track

_SHOWN = 40  # rows of the table; all are in the result


@dataclass(frozen=True, kw_only=True, repr=False)
class Moment(Brief):
    """One row of a log: speeds in rev/min, and what comes of them.

    `ratio` is None where the output stands or a reading is missing; `error` is what 19
    of 20 such ratios are within. `range` is the nearest range, and `slip` how far the
    ratio runs above that range's, as a part, from a running median.
    """

    train: Train
    time: float
    input: float | None
    output: float | None
    ratio: float | None
    error: float
    range: str
    slip: float | None
    inside: bool  # whether the slip is within the band
    commanded: str

    @property
    def words(self):
        """The moment in a few sentences."""
        said = [f"At {decimals(self.time, 2)} s: {self._speeds}."]
        if self.commanded:
            said.append(f"Commanded: range {self.commanded}.")
        if self.ratio is None:
            said.append("There is no ratio.")
            return " ".join(said)
        ratio = f"{decimals(self.ratio, 3)} give or take {decimals(self.error, 3)}"
        said.append(f"Ratio {ratio}.")
        if self.range:
            usual = exactly(ratio_of(self.train, self.range))
            said.append(f"Nearest is range {self.range}, {usual}.")
        if self.slip is not None:
            said.append(self._slip_words)
        return " ".join(said)

    @property
    def _speeds(self):
        parts = (("input", self.input), ("output", self.output))
        return ", ".join(
            f"{what} {number(round(speed))} rev/min"
            if speed is not None
            else f"no reading of the {what}"
            for what, speed in parts
        )

    @property
    def _slip_words(self):
        if self.inside:
            return f"It is off by {said_slip(self.slip)}, within the band."
        way = "faster" if self.slip > 0 else "slower"
        size = percent(abs(self.slip))
        return f"The input turns {size} {way} than in that range."


@dataclass(frozen=True, kw_only=True, repr=False)
class RoadLog(Brief):
    """What two shaft speeds over time tell of a train.

    `stretches`, `shifts` and `findings` are in the order of time; a moment is
    :meth:`at` a time, and a whole column is :meth:`column`. `suspects` are the faults
    that could be behind `observations`; both are empty where nothing was judged.
    """

    train: Train
    name: str  # of the file
    preview: Preview
    limits: Limits
    signed: bool  # whether the speeds have a sign, so that reverse is seen
    scatter: tuple[float, float]  # relative error of an input and an output speed
    step: float  # from row to row, mostly [s]
    spikes: int  # readings that were taken out
    missing: int  # moments without a speed
    gaps: tuple[tuple[float, float], ...]  # (from, to) without a row [s]
    stretches: Several
    shifts: Several
    findings: Several
    observations: FrozenMap
    track: Track

    @cached_property
    def suspects(self):
        """The faults that could cause what is seen, or None if nothing was judged."""
        return suspects(self.train, self.observations) if self.observations else None

    def __getstate__(self):
        return {k: v for k, v in self.__dict__.items() if k != "suspects"}

    def __len__(self):
        return len(self.track)

    @property
    def start(self):
        """The first time [s]."""
        return self.track["time"][0]

    @property
    def end(self):
        """The last time [s]."""
        return self.track["time"][len(self) - 1]

    def column(self, name):
        """All moments of one column, as a view that does not change.

        ``numpy.asarray(log.column("ratio"))`` copies nothing.

        Parameters
        ----------
        name : "time" [s], "input" and "output" [rev/min], "ratio", "error", "slip" (a
            part), "torque" [N·m]; nan where there is none. "range" (nearest) and
            "commanded" are places in ``train.range_names``, −1 for none.

        Raises
        ------
        ValueError
            No such column.
        """
        return self.track[name]

    def at(self, time):
        """The :class:`Moment` nearest to a time [s]; ValueError outside the log."""
        time = float(read_number(time, ""))
        if not self.start <= time <= self.end:
            raise ValueError(
                f"{number(time)} s was given, but the log runs from"
                f" {number(self.start)} s to {number(self.end)} s; give a time in it"
            )
        return self.moment(self.track.nearest(time))

    def moment(self, place):
        """The :class:`Moment` of a row, counted from 0."""
        place = checks.whole_number(place, "the row", 0, len(self) - 1)
        names = self.train.range_names
        values = {
            name: None if value != value else value
            for name in ("time", "input", "output", "ratio", "error", "slip")
            for value in [self.track[name][place]]
        }
        near, asked = (self.track[name][place] for name in ("range", "commanded"))
        slip = values["slip"]
        return Moment(
            train=self.train,
            **values | {"error": values["error"] or 0.0},
            range=names[near] if near >= 0 else "",
            inside=slip is not None and abs(slip) <= self.limits["band"],
            commanded=names[asked] if asked >= 0 else "",
        )

    @property
    def bad(self):
        """The findings that are not as asked."""
        return Several(told_badly(self.findings))

    @property
    def _brief(self):
        return (
            f"{self.name}, {number(round(self.end - self.start))} s,"
            f" {len(self.shifts)} shifts, {len(self.bad)} findings"
        )

    @property
    def _lead(self):
        return "\n".join(filter(None, self._sentences()))

    def _sentences(self):
        length = decimals(self.end - self.start, 1)
        yield (
            f"{self.name}: {len(self):,} moments in {length} s, of {self.train.name}."
        )
        both = [percent(each) for each in self.scatter]
        yield f"A speed scatters by {both[0]} (input) and {both[1]} (output)."
        yield from self._lacking()
        odd = [one for one in self.shifts if one.kind != CLEAN]
        yield f"Shifts: {len(self.shifts)}, of which {len(odd)} not clean."
        if not self.findings:
            yield "No stretch is long and fast enough to be judged."
            return
        yield f"Stretches judged: {len(self.findings)}, not as asked: {len(self.bad)}."
        for one in self.bad[:5]:
            yield one.words
        if self.bad and self.suspects:
            yield self.suspects.words
        yield (
            "A log tells what happens, not why: go on by the maker's procedure, with a"
            " qualified person."
        )

    def _lacking(self):
        """What is missing in the log, in sentences."""
        if not self.signed:
            yield "The speeds have no sign, so reverse is known by its ratio alone."
        if self.preview.of("range") is None:
            yield "Nothing tells which range was asked for, so a wrong one is not seen."
        lacks = [
            f"{count} {what}{'' if count == 1 else 's'}"
            for count, what in (
                (self.missing, "moment without a speed"),
                (self.spikes, "spike taken out"),
                (len(self.gaps), "gap in time"),
            )
            if count
        ]
        if lacks:
            yield f"Left out: {listed(lacks, '')}."

    _heads = LogShift._columns

    @property
    def _rows(self):
        rows = [one._cells for one in self.shifts[:_SHOWN]]
        more = len(self.shifts) - _SHOWN
        return rows + [(f"{more} more", "", "", "", "", "")] * (more > 0)
