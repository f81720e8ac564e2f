"""A count of turns by hand: what was counted, where, and how far it may be off."""

from dataclasses import dataclass
from fractions import Fraction

from ...base import checks
from ...base.brief import Brief
from ...base.numerals import number, turn_count
from ...base.reading import exact


@dataclass(frozen=True, kw_only=True, repr=False)
class Count(Brief):
    """Input turns counted over some output turns, in a range or with elements applied.

    `count` is negative where the output turns backward; it and `error` [turns] are for
    all of the `over` output turns. Numbers may be text, ``"3 turns 55°"``, or numpy's.
    Raises ValueError without an error above 0, or for a count of 0.

    >>> Count(range="3", count="15 turns 135°", error="1/8", over=10).per_turn
    Fraction(123, 80)
    """

    range: str | None = None
    count: Fraction
    error: Fraction | None = None  # how far the reading may be off
    over: int = 1
    applied: tuple[str, ...] | None = None
    load: str = "drive"

    def __post_init__(self):
        if self.range is not None:
            object.__setattr__(self, "range", str(self.range))
        if isinstance(self.applied, (list, set, frozenset)):
            object.__setattr__(self, "applied", tuple(sorted(self.applied)))
        if (self.range is None) == (self.applied is None):
            raise ValueError(
                f"a count names range {self.range} and applied {self.applied}, but it"
                " belongs to one of the two; give the range or the applied elements"
            )
        if self.error is None:
            raise ValueError(
                f"the count of {self.where} has no error, but without one it cannot"
                ' be weighed; give how far it may be off, like error="1/8"'
            )
        over = checks.whole_number(self.over, f"output turns of {self.where}", 1, 10**6)
        object.__setattr__(self, "over", over)
        for key in ("count", "error"):
            value = exact(getattr(self, key), self.where, key, "turns")
            object.__setattr__(self, key, value)
        if self.error <= 0:
            raise ValueError(
                f"the error of {self.where} is {number(self.error)} turns, but a"
                " reading is never perfect; give a number above 0"
            )
        if not self.count:
            raise ValueError(
                f"the count of {self.where} is 0, but the input turns whenever the"
                " output does; count input turns for each output turn"
            )

    @property
    def words(self):
        """What was counted where, in one line."""
        over = "one output turn" if self.over == 1 else f"{self.over} output turns"
        near = f"give or take {number(self.error)}"
        return f"{self.where}: {turn_count(self.count)} for {over}, {near}"

    @property
    def where(self):
        """What was counted, in words: ``range "3"``."""
        if self.range is not None:
            return f'range "{self.range}"'
        return f"applied {checks.quoted(self.applied) or 'nothing'}"

    @property
    def case(self):
        """What was set up: the same for all counts of one case."""
        return self.range, self.applied, self.load

    @property
    def per_turn(self):
        """Input turns per output turn."""
        return self.count / self.over

    @property
    def error_per_turn(self):
        """The error of :attr:`per_turn`."""
        return self.error / self.over
