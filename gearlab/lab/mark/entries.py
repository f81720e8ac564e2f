"""Where one student stands in each lab that was set: the rows of a gradebook."""

from dataclasses import dataclass
from fractions import Fraction

from ..sheet.classlist import Listed
from .results import Marked

NOT_HANDED_IN, BEGUN, DONE = "not handed in", "begun", "done"
OTHER_FORM, UNDECIDED = "another form", "which one counts?"


@dataclass(frozen=True, kw_only=True)
class SetLab:
    """A lab that was set: its marks by the library, and those of explanations."""

    name: str
    title: str
    full: int
    full_explained: int


@dataclass(frozen=True, kw_only=True)
class Entry:
    """Where one student stands in one lab that was set.

    `state` is "not handed in", "begun", "done", "another form" of a sheet in a form
    that was not theirs, or "which one counts?" where several sheets disagree. `row` is
    the sheet that counts, and None in all states but "begun" and "done".
    """

    lab: SetLab
    state: str
    row: Marked | None = None

    @property
    def best(self):
        """The marks of the best tries; 0 without a sheet that counts."""
        return self.row.best_mark if self.row else 0

    @property
    def first(self):
        """The marks of the first tries."""
        return self.row.first_mark if self.row else 0

    @property
    def explained(self):
        """The marks that the instructor's ticks give, a Fraction."""
        return self.row.explained if self.row else Fraction(0)

    @property
    def waiting(self):
        """How many explanations nobody has ticked yet."""
        return len(self.row.waiting) if self.row else 0

    @property
    def last(self):
        """The local time of the last answer, or ""."""
        return self.row.last if self.row else ""


@dataclass(frozen=True, kw_only=True)
class Graded:
    """One student's row: an :class:`Entry` a lab, in the order of the suite."""

    student: Listed
    entries: tuple[Entry, ...]

    @property
    def handed_in(self):
        """How many labs there are marks of."""
        return sum(entry.row is not None for entry in self.entries)

    @property
    def best(self):
        """The marks of the best tries in all labs."""
        return sum(entry.best for entry in self.entries)

    @property
    def first(self):
        """The marks of the first tries in all labs."""
        return sum(entry.first for entry in self.entries)

    @property
    def explained(self):
        """The marks of explanations in all labs, a Fraction."""
        return sum((entry.explained for entry in self.entries), Fraction(0))
