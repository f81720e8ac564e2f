"""Questions as data: what is asked, the right answer, and the slips that people make.

A question holds no code that checks it: :mod:`gearlab.lab.question.checking` does.
Answers are exact; what a person writes is read by :mod:`gearlab.lab.question.reading`.
"""

from dataclasses import dataclass, field
from fractions import Fraction

from ...base.numerals import number
from ...base.reading import UNITS

WHOLE = Fraction(0)  # `within` of a whole number
# What is worked out may be written with three decimals, rounded either way.
_ROUNDING = Fraction(1, 1000)


@dataclass(frozen=True, kw_only=True)
class Slip:
    """A mistake that people make: its name, what they answer, and what helps them."""

    name: str
    answer: object
    words: str


@dataclass(frozen=True, kw_only=True)
class Also:
    """Another answer that is right, where only a convention picks one; and why."""

    answer: object
    words: str


@dataclass(frozen=True, kw_only=True)
class Question:
    """What every form of question has.

    `picture` makes the Scene beside the question when it is called, for paper with
    ``context="print"``; marking never calls it. `on_paper` makes one that stands on
    paper alone, in place of a panel that is tried on the screen. `also` are other
    answers that count as right. A slip that gives a right answer is no slip, and is
    left out; so is an Also that gives the answer itself.
    """

    text: str
    answer: object
    also: tuple[Also, ...] = ()
    slips: tuple[Slip, ...] = ()
    hints: tuple[str, ...] = ()
    reason: str = ""  # said once the answer is right; of a prediction, afterwards
    picture: object = field(default=None, compare=False, repr=False)
    on_paper: object = field(default=None, compare=False, repr=False)

    def __post_init__(self):
        also = tuple(one for one in self.also if one.answer != self.answer)
        right = [self.answer, *(one.answer for one in also)]
        slips = tuple(slip for slip in self.slips if slip.answer not in right)
        object.__setattr__(self, "also", also)
        object.__setattr__(self, "slips", slips)

    @property
    def faults(self):
        """What keeps the question from being clear, in words; () if it is clear."""
        return ()

    @property
    def how(self):
        """How to answer, in a sentence for the student."""
        return ""


@dataclass(frozen=True, kw_only=True)
class Number(Question):
    """A number is asked; it is right if it is off by `within` at most.

    `unit` is a key of :data:`gearlab.base.reading.UNITS`, or "" for a ratio. With
    nothing `within`, the answer is a whole number, and no other is read.
    """

    within: Fraction = Fraction(1, 100)
    unit: str = ""

    @property
    def is_whole(self):
        """Whether a whole number is asked, and no other will do."""
        return self.within == WHOLE

    @property
    def faults(self):
        """Slips that a reader could not tell from the right answer, and more."""
        faults = [
            f"{slip.name} gives {slip.answer}, too near {self.answer}"
            for slip in self.slips
            if abs(slip.answer - self.answer) <= 2 * self.within
        ]
        if self.unit and self.unit not in UNITS:
            faults.append(f"nobody reads the unit {self.unit}")
        if self.is_whole and self.answer.denominator != 1:
            faults.append(f"{self.answer} is no whole number")
        if not self.is_whole and self.within < _ROUNDING:
            faults.append(f"{number(self.within)} is less than rounding takes")
        return tuple(faults)

    @property
    def how(self):
        """How near the answer must be."""
        unit = f" {self.unit}" if self.unit else ""
        if self.is_whole:
            return f"Write a whole number{unit and ' of'}{unit}."
        return f"Write a number, within {number(self.within)}{unit}."


@dataclass(frozen=True, kw_only=True)
class Choice(Question):
    """One of `options` is asked: a member, an element, a way."""

    options: tuple[str, ...]

    @property
    def faults(self):
        """Options given twice, or an answer or slip that is no option."""
        wanted = (self.answer, *(one.answer for one in (*self.also, *self.slips)))
        faults = [f"no option {one!r}" for one in wanted if one not in self.options]
        if len({one.casefold() for one in self.options}) < len(self.options):
            faults.append("an option is there twice")
        return tuple(faults)

    @property
    def how(self):
        """What to do."""
        return "Choose one."


@dataclass(frozen=True, kw_only=True)
class Point(Choice):
    """A part is pointed at: `options` are the letters drawn in the picture."""

    @property
    def how(self):
        """What to do."""
        return "Choose the letter of the part in the picture."


@dataclass(frozen=True, kw_only=True)
class Row(Question):
    """A row of the apply chart is filled: the `options` to tick, as a frozenset."""

    options: tuple[str, ...]

    @property
    def faults(self):
        """Elements that are no option."""
        sets = (self.answer, *(one.answer for one in (*self.also, *self.slips)))
        return tuple(
            f"no option {name!r}"
            for names in sets
            for name in sorted(names)
            if name not in self.options
        )

    @property
    def how(self):
        """What to do."""
        return "Tick all that belong; none may be right too."


@dataclass(frozen=True, kw_only=True)
class Order(Question):
    """Parts are put in order, as a tuple; `options` has some that do not belong."""

    options: tuple[str, ...]
    order: str = "in the order that the power takes"
    what: str = "parts"  # what the options are

    @property
    def faults(self):
        """Parts that are no option, or come twice."""
        faults = [
            f"no option {one!r}" for one in self.answer if one not in self.options
        ]
        if len(set(self.answer)) < len(self.answer):
            faults.append("a part comes twice")
        return tuple(faults)

    @property
    def how(self):
        """What to do."""
        return f"Choose {len(self.answer)} {self.what}, {self.order}."


@dataclass(frozen=True, kw_only=True)
class Explanation(Question):
    """A short text is asked; the instructor ticks up to three `points` in it."""

    points: tuple[str, str, str]
    answer: None = None

    @property
    def how(self):
        """What to do."""
        return "Write two or three sentences. Your instructor reads them."
