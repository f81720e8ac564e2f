"""How far somebody is: where every lab of the suite stands, and its marks."""

from dataclasses import dataclass

from ..question.papers import draw_paper, fitted, full_marks, is_marked
from ..sheet.sheet import kept_sheet, sheet_path
from ..suite.labs import LAB_NAMES, find_lab
from .marking import mark_sheet
from .results import MARKED


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where one lab stands.

    `state` is "not begun", "begun", "done" or, of a damaged sheet, "cannot be read".
    Of `questions` so many are `answered`; the library marks `marked` of them, of which
    `right` are right by now. The marks are those of these questions, of `full`; what
    the instructor gives for explanations is apart.
    """

    lab: str
    title: str
    level: int
    state: str
    questions: int
    answered: int = 0
    right: int = 0
    marked: int = 0
    first_mark: int = 0
    best_mark: int = 0
    full: int = 0

    @property
    def stars(self):
        """The level in stars."""
        return "★" * self.level


def progress(students, form="A", folder=None):
    """The :class:`Standing` of every lab, in the order of the suite.

    Parameters
    ----------
    students : normalised ids, see :func:`gearlab.lab.sheet.students.read_students`
    form : the letter of the form
    folder : where the sheets lie; None for the usual folder

    Returns
    -------
    tuple of Standing
    """
    return tuple(
        _standing(find_lab(name), tuple(students), form, folder) for name in LAB_NAMES
    )


def _standing(lab, students, form, folder):
    try:
        sheet = kept_sheet(sheet_path(students, lab.name, form, folder))
        lab = fitted(lab, sheet.questions)
    except FileNotFoundError:
        return Standing(state="not begun", **_about(lab, students, form))
    except (ValueError, OSError):
        return Standing(state="cannot be read", **_about(lab, students, form))
    common = _about(lab, students, form)
    if (sheet.students, sheet.lab, sheet.form) != (students, lab.name, form):
        return Standing(state="cannot be read", **common)
    row = mark_sheet(sheet)
    answered = row.answered
    done = answered == len(lab.topics)
    return Standing(
        state="done" if done else "begun" if answered else "not begun",
        answered=answered,
        right=sum(r.kind == MARKED and r.best == r.marks for r in row.results),
        first_mark=row.first_mark,
        best_mark=row.best_mark,
        **common,
    )


def _about(lab, students, form):
    """What a Standing says of a lab, whatever was answered."""
    paper = draw_paper(lab, students, form)
    return {
        "lab": lab.name,
        "title": lab.title,
        "level": lab.level,
        "questions": len(lab.topics),
        "marked": sum(map(is_marked, paper.asked.values())),
        "full": full_marks(lab),
    }


def summary_text(students, form="A", folder=None):
    """The standings as text: a line a lab, and the marks together."""
    standings = progress(students, form, folder)
    head = f"{', '.join(students)}, form {form}"
    wide = max((len(one.title) for one in standings), default=0)
    lines = [
        f"{one.stars:3}  {one.title:{wide}}  {one.state:14}"
        f"  {one.answered:2} of {one.questions:2} answered"
        f"  first tries {one.first_mark:2}  best {one.best_mark:2}"
        f"  of {one.full:2} marks"
        for one in standings
    ]
    return "\n".join([head, *lines, totals(standings)])


def totals(standings):
    """The marks of all labs together, in a sentence."""
    first, best, full = (
        sum(getattr(one, name) for one in standings)
        for name in ("first_mark", "best_mark", "full")
    )
    done = sum(one.state == "done" for one in standings)
    return (
        f"{done} of {len(standings)} labs done. First tries give {first}, best tries"
        f" {best} of {full} marks for the questions that are marked here; explanations"
        " are marked by your instructor."
    )
