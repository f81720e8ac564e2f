"""A gradebook: one row a student of the class list, one column a lab that was set.

It reads a marking and works out no mark of its own.
"""

from collections import defaultdict
from dataclasses import dataclass

from ...base.brief import Brief
from ...base.checks import given, known
from ..question.papers import FORMS, all_marks, full_marks
from ..suite.labs import LAB_NAMES, find_lab
from .claims import ASK, NO
from .entries import (
    BEGUN,
    DONE,
    NOT_HANDED_IN,
    OTHER_FORM,
    UNDECIDED,
    Entry,
    Graded,
    SetLab,
)
from .gradetable import book_cells, book_words
from .needs import Need, QuestionResult, needs_of, questions_of
from .problems import Problem, problems_of
from .results import Marking


@dataclass(frozen=True, kw_only=True, repr=False)
class Gradebook(Brief):
    """A class: its labs, a row a student, its questions, and what to look at.

    `questions` is a :class:`~gearlab.lab.mark.needs.QuestionResult` a question,
    `needs` a :class:`~gearlab.lab.mark.needs.Need` a student who needs help, those who
    need it most first, and `problems` what is odd about files that were handed in.
    """

    labs: tuple[SetLab, ...]
    rows: tuple[Graded, ...]
    questions: tuple[QuestionResult, ...]
    needs: tuple[Need, ...]
    problems: tuple[Problem, ...]

    @property
    def full(self):
        """The marks that the library can give in all labs."""
        return sum(lab.full for lab in self.labs)

    @property
    def full_explained(self):
        """The marks of all explanations."""
        return sum(lab.full_explained for lab in self.labs)

    @property
    def words(self):
        """The whole book as text: students, questions, who needs help, problems."""
        return book_words(self)

    @property
    def _brief(self):
        return f"{len(self.rows)} students, {len(self.labs)} labs"

    @property
    def _heads(self):
        return tuple(map(str, book_cells(self)[0]))

    @property
    def _rows(self):
        return [tuple(map(str, row)) for row in book_cells(self)[1:]]


def gradebook(marking, class_list, labs=None, form=None):
    """The gradebook of a class from a marking of its sheets.

    Of a student's sheets in several forms, where the class list gives none, the one
    with the most marks counts. A group's sheet counts for each of the group.

    Parameters
    ----------
    marking : from :func:`gearlab.lab.mark.marking.mark_folder`
    class_list : from :func:`gearlab.lab.sheet.classlist.read_class_list`
    labs : the names of the labs that were set; None for those that anybody handed in.
        Others are no column, so nobody is behind in them
    form : the form of every student of whom the class list says none; None for any

    Returns
    -------
    Gradebook

    Raises
    ------
    ValueError
        Something that is no marking, or no such lab or form.
    """
    given(marking, Marking, "a marking", "write mark_folder(folder)")
    if form is not None:
        known(form, FORMS, "form")
    listed = {student.id: student for student in class_list}
    forms = {one: student.form or form for one, student in listed.items()}
    columns = tuple(map(_set_lab, _lab_names(marking, listed, labs)))
    handed = defaultdict(list)
    for row in marking.rows:
        for one in row.students if row.counts != NO else ():
            handed[one, row.lab].append(row)
    rows = tuple(
        Graded(
            student=student,
            entries=tuple(
                _entry(lab, handed[one, lab.name], forms[one]) for lab in columns
            ),
        )
        for one, student in listed.items()
    )
    return Gradebook(
        labs=columns,
        rows=rows,
        questions=questions_of(rows, columns),
        needs=needs_of(rows),
        problems=problems_of(marking, forms, [lab.name for lab in columns]),
    )


def _lab_names(marking, listed, labs):
    """The labs that were set, in the order of the suite."""
    if labs is None:
        wanted = {row.lab for row in marking.rows if listed.keys() & row.students}
    else:
        wanted = {known(name, LAB_NAMES, "lab") for name in labs}
    return [name for name in LAB_NAMES if name in wanted]


def _set_lab(name):
    lab = find_lab(name)
    full = full_marks(lab)
    return SetLab(
        name=name, title=lab.title, full=full, full_explained=all_marks(lab) - full
    )


def _entry(lab, rows, form):
    """The entry of a student in a lab, from their sheets in it that may count."""
    own = [row for row in rows if form in (None, row.form)]
    if not own:
        return Entry(lab=lab, state=OTHER_FORM if rows else NOT_HANDED_IN)
    if any(row.counts == ASK for row in own):
        return Entry(lab=lab, state=UNDECIDED)
    best = max(own, key=lambda row: (row.best_mark, row.explained, row.answered))
    state = DONE if best.answered == best.questions else BEGUN
    return Entry(lab=lab, state=state, row=best)
