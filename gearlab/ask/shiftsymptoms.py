"""What each fault does to the shifts of a train: flares, tie-ups, shifts that fail."""

from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..solve.powerflow import power_flow
from ..train.train import a_train
from .faults.change import changed
from .faults.fault import faults
from .faults.seen import SLIPS, chart, seen_row
from .shifts import early_late, shift, shift_table, word_of

MAY_FLARE = "may flare"


class ShiftSymptoms(Brief, FrozenMap):
    """``{fault: {(range before, range after): what goes wrong}}``.

    "flare", "tie-up" or another word of :class:`~gearlab.ask.shifts.MidShift` is what
    the shift comes to; "as before" is a shift that is not felt. "may flare" is told
    where it depends on which element is late. Nothing is told of a shift out of a range
    that is not as usual, nor of faults that leave all shifts as they are.
    """

    __slots__ = ()

    @property
    def _brief(self):
        return f"{len(self)} faults that are felt in shifts"

    @property
    def _heads(self):
        return "what failed", *(f"{a} to {b}" for a, b in self._shifts)

    @property
    def _rows(self):
        return [
            (fault.clause, *(row.get(made, "") for made in self._shifts))
            for fault, row in self.items()
        ]

    @property
    def _shifts(self):
        return tuple(dict.fromkeys(made for row in self.values() for made in row))


def shift_symptoms(train):
    """The :class:`ShiftSymptoms` of a train's forward shifts, under power.

    Parameters
    ----------
    train : Train

    Raises
    ------
    ValueError
        Something that is no train.

    >>> import gearlab
    >>> found = shift_symptoms(gearlab.load_train("three-range"))
    >>> for fault, row in list(found.items())[:2]:
    ...     print(fault, dict(row))
    The common-sun brake fails to apply. {('1', '2'): 'as before'}
    The common-sun brake fails to release. {('2', '3'): 'tie-up'}
    """
    a_train(train)
    forward = [ratio for ratio in chart(train).like if ratio > 0]
    shifts = shift_table(train).shifts if forward else ()
    found = {fault: _in_shifts(train, fault, shifts) for fault in faults(train)}
    return ShiftSymptoms((fault, row) for fault, row in found.items() if row)


def _in_shifts(train, fault, shifts):
    sound, row, found = chart(train).sound, seen_row(train, fault), {}
    for made in shifts:
        before, after = made.before.range, made.after.range
        if row[before, "drive"] == sound[before, "drive"]:
            word = _word(train, fault, made, row[after, "drive"])
            if word:
                found[before, after] = word
    return FrozenMap(found)


def _word(train, fault, made, seen):
    """What a shift comes to, or "" if it is as it should be."""
    if seen.word == SLIPS:
        return "flare"
    if seen != chart(train).sound[made.after.range, "drive"]:
        other = changed(train, fault)
        applied = other.applied(made.after.applied)
        return word_of(made, power_flow(other.train, applied=applied))
    caught = {**made.by_itself, **made.backed_up}
    if any(caught.get(one.about) == "catches" for one in fault.singles):
        return MAY_FLARE if _may_flare(train, fault, made) else ""
    return ""


def _may_flare(train, fault, made):
    """Whether elements that are early or late let it flare with the fault alone."""
    other = changed(train, fault)
    ends = [other.applied(end.applied) for end in (made.before, made.after)]
    faulty = {row.early: row.word for row in early_late(shift(other.train, *ends))}
    return any(
        row.word != "flare" and faulty.get(row.early) == "flare"
        for row in early_late(made)
    )
