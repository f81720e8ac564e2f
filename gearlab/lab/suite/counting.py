"""A count at the paint mark as several labs share it: how it is read, and how sure."""

from fractions import Fraction

from ...base.numerals import rounded

READ = Fraction(1, 8)  # to what part of a turn a mark is read
LARGER, SMALLER, SAME = "more input turns", "fewer input turns", "just as many"


def least_turns(one, other, error):
    """The fewest output turns after which two ratios cannot be taken for each other.

    Each count may be off by `error`; the counts must lie more than both errors apart.
    """
    return int(2 * error / abs(one - other)) + 1


def read_off(count):
    """A count as it is read at the mark, to the nearest eighth of a turn."""
    return rounded(count / READ) * READ
