"""The symptom table: what each fault does in each range, and which look alike."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

from ...base import checks
from ...base.brief import Brief
from ...base.frozenmap import FrozenMap
from ...solve.powerflow import LOADS
from ...train.train import Train, a_train
from .beyond import at_start, proofs
from .fault import STANDING, a_fault, faults
from .reasons import largest_outputs
from .said import USUAL
from .seen import chart, seen_row

PROGRESS_EVERY = 16  # faults between two calls of `progress`
MOST_CELLS = 200_000  # faults × ranges; far above all pairs of any unit
_ALIKE = "No road test parts them: the same is seen in each range and load."


@dataclass(frozen=True, kw_only=True, repr=False)
class Symptoms(Brief):
    """Faults × ranges, under power and coasting.

    An observation is a text: "drives", "drives like range 3", "drives in another
    ratio, …", "no drive", "slips"; on coast "engine braking" (also like another range,
    or in another ratio) or "no engine braking"; under both "ties up" and "output
    locked". The row of the standing suspect, that it is not in the gear train, is that
    of the sound train; a fault with that row, too, does nothing that a road test sees.
    """

    train: Train
    rows: FrozenMap  # {fault: {(range, load): observation}}
    groups: tuple  # frozensets of faults with one row, in the order of the faults

    @property
    def _brief(self):
        return f"{self.train.name}, {len(self.rows)} faults, {len(self.groups)} groups"

    @property
    def sound(self):
        """What the sound train does: ``{(range, load): observation}``."""
        return self.rows[STANDING]

    def group_of(self, fault):
        """The faults that no road test parts from one, itself too, as a frozenset."""
        a_fault(fault, self.train)
        return next((group for group in self.groups if fault in group), frozenset())

    def in_order(self, group):
        """The faults of a group in the order of the rows."""
        return tuple(fault for fault in self.rows if fault in group)

    @cached_property
    def beyond(self):
        """``{group: what would part its faults off the road}``, of two or more."""
        return FrozenMap(
            (group, f"{_ALIKE} {proofs(self.in_order(group))}")
            for group in self.groups
            if len(group) > 1
        )

    @cached_property
    def largest_outputs(self):
        """``{fault: {(range, load): largest output torque}}`` of what slips.

        It is counted in the torque at which the element slips; None where the element
        shares its torque. No ratio is told there: it is not determined.
        """
        found = {fault: largest_outputs(self.train, fault) for fault in self.rows}
        return FrozenMap((one, FrozenMap(row)) for one, row in found.items() if row)

    @cached_property
    def starts(self):
        """``{fault: {selector position: what it does on starting off}}``."""
        found = {fault: at_start(self.train, fault) for fault in self.rows}
        return FrozenMap((fault, told) for fault, told in found.items() if told)

    @property
    def _lead(self):
        return (
            f"{self.train.name}: {len(self.rows)} faults; groups that a road test"
            f" parts: {len(self.groups)}. A cell that is empty is as the chart has it;"
            " after the stroke stands what is seen coasting, where that is another."
        )

    @property
    def _heads(self):
        return "what failed", *self.train.range_names

    @property
    def _rows(self):
        return [
            (
                " / ".join(one.clause for one in self.in_order(group)),
                *(
                    self._cell(self.in_order(group)[0], name)
                    for name in self.train.range_names
                ),
            )
            for group in self.groups
        ]

    def _cell(self, fault, name):
        row = self.rows[fault]
        drive, coast = (
            row[name, load] if row[name, load] != self.sound[name, load] else USUAL
            for load in LOADS
        )
        if drive == coast:
            return "" if drive == USUAL else drive
        return f"{drive} / {coast}"


def symptoms(train, *, together=1, progress=None):
    """The :class:`Symptoms` of a train: what each fault does in each range.

    Parameters
    ----------
    train : Train
    together : 1, or 2 for pairs of faults too, which takes some seconds
    progress : called now and then, and at the end, with how many faults are done and
        how many there are

    Raises
    ------
    ValueError
        Something that is no train, another number than 1 or 2, or a progress that
        cannot be called.

    >>> import gearlab
    >>> table = symptoms(gearlab.load_train("five-range"))
    >>> fault = next(one for one in table.rows if one.about == "direct clutch")
    >>> row = table.rows[fault]
    >>> row["4", "drive"], row["R", "drive"], row["2", "drive"]
    ('drives like range 1', 'no drive', 'drives')
    """
    a_train(train)
    checks.callback(progress, "progress")
    checks.whole_number(together, "together", 1, 2)
    if progress:
        every = thought_of(train, together)
        for done, fault in enumerate(every):
            # Rows are kept, so the table below is made of them at once.
            seen_row(train, fault)
            if done % PROGRESS_EVERY == 0:
                progress(done, len(every))
        progress(len(every), len(every))
    return _table(train, together)


def thought_of(train, together):
    """The faults of a train, as :func:`faults`; ValueError where they are too many."""
    every = faults(train, together=together)
    if len(every) * len(train.ranges) > MOST_CELLS:
        raise ValueError(
            f"{len(every)} faults in {len(train.ranges)} ranges are asked for, but"
            f" {MOST_CELLS} cells are the most; leave together at 1, or leave out"
            " ranges"
        )
    return every


@lru_cache(maxsize=16)
def _table(train, together):
    told = chart(train).told
    rows, alike = {}, {}
    for fault in thought_of(train, together):
        row = seen_row(train, fault)
        rows[fault] = FrozenMap((key, told(key, seen)) for key, seen in row.items())
        alike.setdefault(tuple(rows[fault].values()), []).append(fault)
    return Symptoms(
        train=train,
        rows=FrozenMap(rows),
        groups=tuple(map(frozenset, alike.values())),
    )
