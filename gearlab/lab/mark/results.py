"""What marking gives: a result a question, a marked sheet, all sheets of a folder."""

from dataclasses import dataclass
from fractions import Fraction

from .claims import YES

MARKED, PREDICTION, EXPLANATION = "marked", "prediction", "explanation"


@dataclass(frozen=True, kw_only=True)
class Told:
    """What a student can be told of a question that is not right, or was explained.

    `text` is what was asked, `answer` the last try in words, `slip` its name, `help`
    what was said of it, `way` the hints and `key` the right answer. `pictured` says
    whether a picture belongs to the question, or a panel on which it is tried.
    """

    text: str
    answer: str = ""
    slip: str = ""
    help: str = ""
    way: str = ""
    key: str = ""
    pictured: bool = False


@dataclass(frozen=True, kw_only=True)
class Result:
    """What one question gives. `kind` is "marked", "prediction" or "explanation".

    `first` and `best` are the marks of the first and the best try, of `marks`. `slips`
    are the known ones, by name and once each. An explanation has its `text` and its
    `points`; `ticks` are the instructor's, one a point, or None where nobody looked.
    `told` is there of an explanation, and of what was tried and is not right.
    """

    question: str
    kind: str
    marks: int
    first: int = 0
    best: int = 0
    tries: int = 0
    hints: int = 0
    slips: tuple[str, ...] = ()
    text: str = ""
    points: tuple[str, ...] = ()
    ticks: tuple[bool, ...] | None = None
    told: Told | None = None

    @property
    def is_wrong(self):
        """Whether the library marks it, and no try was right."""
        return self.kind == MARKED and self.tries > 0 and self.best < self.marks

    @property
    def ticked(self):
        """The marks that the ticks give; 0 without any."""
        return Fraction(self.marks * sum(self.ticks or ()), 3)


@dataclass(frozen=True, kw_only=True)
class Marked:
    """A marked sheet; `notes` say what the instructor should know of it.

    `files` are those that it came in. `counts` is "yes", or "no" or "ask" where several
    sheets are in one name, see :class:`gearlab.lab.mark.claims.Claim`. `left` names the
    questions that have no answer yet.
    """

    students: tuple[str, ...]
    lab: str
    title: str
    form: str
    results: tuple[Result, ...]
    questions: int  # how many the lab has
    full: int  # the marks of what the library marks
    full_explained: int  # the marks of explanations, by the instructor's ticks
    notes: tuple[str, ...] = ()
    left: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    counts: str = YES
    last: str = ""  # local time of the last answer

    @property
    def first_mark(self):
        """The marks if only first tries count, of `full`."""
        return sum(r.first for r in self.results)

    @property
    def best_mark(self):
        """The marks if the best try counts, of `full`."""
        return sum(r.best for r in self.results)

    @property
    def explained(self):
        """The marks that the ticks give, of `full_explained`."""
        return sum((r.ticked for r in self.results), Fraction(0))

    @property
    def answered(self):
        """How many questions have an answer that could be read."""
        return sum(r.tries > 0 for r in self.results)

    @property
    def waiting(self):
        """The explanations that nobody has ticked yet."""
        return tuple(
            r for r in self.results if r.kind == EXPLANATION and r.ticks is None
        )

    @property
    def predictions(self):
        """How many predictions were made."""
        return sum(r.kind == PREDICTION and r.tries > 0 for r in self.results)

    @property
    def slips(self):
        """The slips that were seen, by name, once each."""
        return tuple(dict.fromkeys(name for r in self.results for name in r.slips))


@dataclass(frozen=True, kw_only=True)
class Marking:
    """A folder's sheets, in the order of labs, and the files that are none.

    `skipped` holds (file name, reason), `copies` (file name, what it is a copy of), and
    `conflicts` a sentence for each case of sheets in one name that disagree.
    """

    rows: tuple[Marked, ...]
    skipped: tuple[tuple[str, str], ...] = ()
    copies: tuple[tuple[str, str], ...] = ()
    conflicts: tuple[str, ...] = ()
