"""What a class found hard: question by question, and who needs help with what."""

from collections import Counter, defaultdict
from dataclasses import dataclass
from fractions import Fraction

from ...base.brief import Brief
from ...base.numerals import listed
from ..sheet.classlist import Listed
from .entries import NOT_HANDED_IN
from .results import MARKED

_LOST = Fraction(1, 3)  # of the marks of what was handed in: who loses more needs help
_AGAIN = 3  # questions with one slip, from which on it is a habit
_MOST_SAID = 5  # questions of one student in a sentence


@dataclass(frozen=True, kw_only=True, repr=False)
class QuestionResult(Brief):
    """What the sheets that count give in one question; a group's sheet is one.

    `kind` is "marked", "prediction" or "explanation". Of `sheets` so many `answered`,
    were right at the `first` try and `right` at any; these two are None of what the
    library does not mark. `slip` is the commonest by name, on `slips` sheets, or "".
    `points` is the share of points that ticks give to explanations, or None.
    """

    lab: str
    title: str
    question: str
    kind: str
    sheets: int
    answered: int
    first: int | None = None
    right: int | None = None
    slip: str = ""
    slips: int = 0
    points: Fraction | None = None

    _columns = ("lab", "question", "answered", "first", "right", "commonest slip")

    @property
    def share(self):
        """The share of sheets that were right in the end, or None."""
        if self.right is None or not self.sheets:
            return None
        return Fraction(self.right, self.sheets)

    @property
    def slip_told(self):
        """The commonest slip and on how many sheets it was, or ""."""
        return f"{self.slip} ({self.slips})" if self.slip else ""

    @property
    def _cells(self):
        first, right = ("" if n is None else str(n) for n in (self.first, self.right))
        answered = f"{self.answered} of {self.sheets}"
        return self.title, self.question, answered, first, right, self.slip_told


@dataclass(frozen=True, kw_only=True, repr=False)
class Need(Brief):
    """A student who needs help, and with what.

    `missing` are the titles of the labs that were not handed in. `wrong` holds (title,
    question, slip or "") of what was tried and is not right, and `habits` the (slip, in
    how many questions) that came again and again. `lost` is the share of the marks of
    what was handed in that is not there; `nothing` says that nothing was handed in.
    """

    student: Listed
    missing: tuple[str, ...]
    wrong: tuple[tuple[str, str, str], ...]
    habits: tuple[tuple[str, int], ...]
    lost: Fraction
    nothing: bool = False

    @property
    def words(self):
        """A sentence on what to help with."""
        parts = []
        if self.missing and self.nothing:
            parts.append("nothing handed in")
        elif self.missing:
            parts.append(f"not handed in: {listed(self.missing, article='')}")
        if self.wrong:
            said = [
                f"“{question}” in {title}{f' ({slip})' if slip else ''}"
                for title, question, slip in self.wrong[:_MOST_SAID]
            ]
            more = len(self.wrong) - _MOST_SAID
            said += [f"{more} more"] if more > 0 else []
            parts.append(f"not right: {listed(said, article='')}")
        if self.habits:
            said = [f"{slip} ({count} questions)" for slip, count in self.habits]
            parts.append(f"again and again: {listed(said, article='')}")
        if not parts:
            parts = ["much is not answered yet"]
        return f"{self.student.name}: {'; '.join(parts)}."


def questions_of(rows, labs):
    """A :class:`QuestionResult` for every question that anybody answered.

    Parameters
    ----------
    rows : of :class:`gearlab.lab.mark.entries.Graded`
    labs : of :class:`gearlab.lab.mark.entries.SetLab`
    """
    sheets = defaultdict(dict)  # {lab: {id of the sheet's row: row}}
    for graded in rows:
        for entry in graded.entries:
            if entry.row:
                sheets[entry.lab.name][id(entry.row)] = entry.row
    return tuple(
        found for lab in labs for found in _of_lab(lab, list(sheets[lab.name].values()))
    )


def _of_lab(lab, rows):
    results = defaultdict(list)
    for row in rows:
        for result in row.results:
            results[result.question].append(result)
    longest = max(rows, key=lambda row: len(row.results), default=None)
    order = [result.question for result in longest.results] if longest else []
    for question in sorted(
        results, key=lambda name: order.index(name) if name in order else len(order)
    ):
        yield _question(lab, question, results[question], len(rows))


def _question(lab, question, results, sheets):
    kind = results[0].kind
    slips = Counter(name for result in results for name in result.slips)
    slip, count = min(slips.items(), key=lambda one: (-one[1], one[0]), default=("", 0))
    ticked = [result for result in results if result.ticks is not None]
    marked = kind == MARKED
    return QuestionResult(
        lab=lab.name,
        title=lab.title,
        question=question,
        kind=kind,
        sheets=sheets,
        answered=sum(result.tries > 0 for result in results),
        first=sum(r.first == r.marks for r in results) if marked else None,
        right=sum(r.best == r.marks for r in results) if marked else None,
        slip=slip,
        slips=count,
        points=Fraction(sum(sum(r.ticks) for r in ticked), 3 * len(ticked))
        if ticked
        else None,
    )


def needs_of(rows):
    """A :class:`Need` of each student who needs help, who needs it most first.

    Those do who did not hand in a lab, lost more than a third of the marks of what they
    handed in, or made one slip again and again.
    """
    needs = [need for need in map(_need, rows) if need]
    needs.sort(key=lambda need: (-len(need.missing), -need.lost, need.student.id))
    return tuple(needs)


def habits_of(results):
    """((slip, in how many questions), ...) of those that came again and again."""
    slips = Counter(name for result in results for name in result.slips)
    return tuple(
        (name, count) for name, count in slips.most_common() if count >= _AGAIN
    )


def _need(graded):
    marked = [entry for entry in graded.entries if entry.row]
    missing = tuple(
        entry.lab.title for entry in graded.entries if entry.state == NOT_HANDED_IN
    )
    full = sum(entry.lab.full for entry in marked)
    lost = 1 - Fraction(graded.best, full) if full else Fraction(0)
    results = [
        (entry.lab.title, result) for entry in marked for result in entry.row.results
    ]
    habits = habits_of(result for _, result in results)
    if not (missing or habits or lost > _LOST):
        return None
    wrong = tuple(
        (title, result.question, result.slips[-1] if result.slips else "")
        for title, result in results
        if result.is_wrong
    )
    return Need(
        student=graded.student,
        missing=missing,
        wrong=wrong,
        habits=habits,
        lost=lost,
        nothing=len(missing) == len(graded.entries),
    )
