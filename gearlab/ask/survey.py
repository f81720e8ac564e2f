"""Every combination of holding elements of a train, and what it gives.

Combinations are looked at in order of size, then of the train file. A tied-up train
stays tied up with more applied, so nothing is computed for what contains a tie-up.
"""

from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, islice

from ..base import checks
from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..solve.equilibrium import DRIVES, TIED_UP
from ..solve.powerflow import LOAD_WORDS, PowerFlow, load_flows
from ..train.train import Train, a_train

MOST_ROWS = 4096
PROGRESS_EVERY = 64  # rows between two calls of `progress`


@dataclass(frozen=True, kw_only=True, repr=False)
class SurveyRow(Brief):
    """One combination; its flows are those of :func:`gearlab.power_flow`.

    They are worked out when they are first asked for, since nobody reads the flows of
    most of the tie-ups.
    """

    train: Train
    applied: frozenset

    @property
    def _brief(self):
        return " + ".join(self.train.in_order(self.applied)) or "nothing applied"

    @property
    def words(self):
        """What is applied, and what that gives under power and coasting."""
        both = [
            f"{LOAD_WORDS[load]} {flow.gives}" for load, flow in self._flows.items()
        ]
        return f"{self._brief}: {', '.join(both)}"

    @cached_property
    def _flows(self):
        return load_flows(self.train, self.applied)

    @property
    def drive(self) -> PowerFlow:
        """The :class:`~gearlab.solve.powerflow.PowerFlow` under drive."""
        return self._flows["drive"]

    @property
    def coast(self) -> PowerFlow:
        """The :class:`~gearlab.solve.powerflow.PowerFlow` on coast."""
        return self._flows["coast"]


@dataclass(frozen=True, kw_only=True, repr=False)
class Survey(Brief):
    """What the combinations of a train's holding elements give.

    `rows` are in order of size, then file order. `driving` are those that drive;
    `left_out` says in one sentence what was not looked at, and is "" if nothing.
    """

    train: Train
    rows: tuple[SurveyRow, ...]
    driving: tuple[SurveyRow, ...]
    left_out: str

    _heads = ("applied", "ratio under power", "range of the chart")

    @property
    def _brief(self):
        looked = f"{len(self.rows)} combinations, {len(self.driving)} drive"
        return f"{self.train.name}, {looked}"

    @property
    def _lead(self):
        said = f"{len(self.rows)} combinations, {len(self.driving)} drive."
        return f"{said} {self.left_out}".strip()

    @property
    def _rows(self):
        names = {}
        for name, row in self.ranges.items():
            names.setdefault(row.applied, []).append(name)
        return [
            (row._brief, row.drive.gives, ", ".join(names.get(row.applied, ())))
            for row in self.driving
        ]

    @cached_property
    def ranges(self):
        """``{range of the apply chart: its row}``.

        A range with a lock applied is no row, nor is one that was not looked at.
        """
        row_of = {row.applied: row for row in self.rows}
        return FrozenMap(
            (one.name, row_of[frozenset(one.applied)])
            for one in self.train.ranges
            if frozenset(one.applied) in row_of
        )

    @cached_property
    def unused(self):
        """Rows that drive in a ratio that no range of the chart has, one a ratio.

        Of the rows that give a ratio the first is taken, so the one with the fewest
        elements.
        """
        used = {row.drive.ratio for row in self.ranges.values()}
        first = {}
        for row in self.driving:
            if row.drive.ratio not in used:
                first.setdefault(row.drive.ratio, row)
        return tuple(first.values())


def survey(train, *, most=MOST_ROWS, progress=None):
    """Look at every combination of the holding elements of a train.

    Locks are no holding elements of the gear train, so none is applied.

    Parameters
    ----------
    train : Train
    most : how many combinations to look at; the rest is named in `left_out`
    progress : called now and then, and at the end, with how many combinations are
        done and how many there are to do

    Returns
    -------
    Survey

    Raises
    ------
    ValueError
        `most` is not a whole number from 1.

    >>> import gearlab
    >>> seen = survey(gearlab.load_train("six-range"))
    >>> len(seen.rows), len(seen.driving), len(seen.unused), seen.left_out
    (32, 7, 0, '')
    """
    names = a_train(train).element_names
    checks.callback(progress, "progress")
    every = 2 ** len(names)
    total = min(every, checks.whole_number(most, "most", 1, 2**63))
    rows, driving, tied_up = [], [], set()
    for applied in islice(_by_size(names), total):
        row = SurveyRow(train=train, applied=applied)
        rows.append(row)
        # All smaller combinations came before, so one element less is enough to ask.
        inherited = any(applied - {name} in tied_up for name in applied)
        if inherited or row.drive.state == TIED_UP:
            tied_up.add(applied)
        elif row.drive.state == DRIVES:
            driving.append(row)
        if progress and (len(rows) % PROGRESS_EVERY == 0 or len(rows) == total):
            progress(len(rows), total)
    return Survey(
        train=train,
        rows=tuple(rows),
        driving=tuple(driving),
        left_out=_left_out(rows, names, every),
    )


def _by_size(names):
    for size in range(len(names) + 1):
        yield from map(frozenset, combinations(names, size))


def _left_out(rows, names, every):
    """The sentence on what was not looked at."""
    if len(rows) == every:
        return ""
    size = len(next(islice(_by_size(names), len(rows), None)))
    missing = every - len(rows)
    verb = "was" if missing == 1 else "were"
    return (
        f"{missing} of {every} combinations {verb} not looked at, those with {size} or"
        f" more elements applied; survey(train, most={every}) looks at them all"
    )
