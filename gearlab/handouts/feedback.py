"""Feedback on paper: what was right, what was not and why, and what to do next.

It reads a gradebook, and works out no mark. The right answers stand in it only where
the instructor wants them, since whoever has none yet may try again.
"""

from ..base.numerals import listed, number
from ..draw.kit.sheet import capital
from ..lab.mark.entries import NOT_HANDED_IN, OTHER_FORM, UNDECIDED
from ..lab.mark.needs import habits_of
from ..lab.mark.notes import FOREIGN, UNASKABLE, UNKNOWN, noted
from ..lab.mark.results import EXPLANATION, MARKED, PREDICTION
from ..lab.sheet.students import file_stem
from ..lab.sheet.told import quoted
from ..lab.suite.labs import LAB_NAMES, find_lab, notebook_of
from .blocks import Blanks, Document, Heading, Points, Table, Words, kept
from .folder import new_folder
from .printing import Printer

_LETTERS = 300  # of an answer that is shown again; its writer knows the rest
_WORDS = "feedback"  # what the sheet and its file are called
BESIDE = "What is shown beside it stands in the notebook."
_NO_MARKS = (FOREIGN, UNKNOWN, UNASKABLE)  # notes on questions that have none
_ODD = {
    OTHER_FORM: "is in another form than you were given, so it does not count",
    UNDECIDED: "came in several sheets that disagree",
}


def feedback(book, out, *, paper="a4", answers=False, replace=False, progress=None):
    """Write a folder with a feedback sheet for each student; its path is returned.

    Parameters
    ----------
    book : from :func:`gearlab.lab.mark.gradebook.gradebook`
    out : the folder to make; see :func:`gearlab.handouts.folder.new_folder`
    paper : "a4" or "letter"
    answers : whether what is not right has its answer with it
    replace : whether an old folder of that name makes room and is kept beside
    progress : called with how many files are done, and of how many

    Raises
    ------
    ValueError
        The typesetter is not installed, there is no such paper, or the folder cannot be
        written; there is then no new folder, and an old one is as it was.
    """
    printer, called = Printer(), {row.student.id: row.student.name for row in book.rows}
    documents = (_document(graded, called, paper, answers) for graded in book.rows)
    with new_folder(out, replace) as draft:
        for done, (name, pdf) in enumerate(printer.pdfs(documents), 1):
            draft.put(f"{name}.pdf", pdf)
            if progress is not None:
                progress(done, len(book.rows))
    return out


def _document(graded, called, paper, answers):
    """(file name, Document) of one student's sheet."""
    student = graded.student
    title = f"{capital(_WORDS)}: {student.name}"
    return file_stem((student.id,), _WORDS, ""), Document(
        title=title,
        blocks=tuple(feedback_sheet(graded, called, answers)),
        foot=title,
        paper=paper,
    )


def feedback_sheet(graded, called=None, answers=False):
    """The blocks of one student's sheet.

    Parameters
    ----------
    graded : :class:`gearlab.lab.mark.entries.Graded`, a row of a gradebook
    called : {id: name} of those who may have handed in together
    answers : whether what is not right has its answer with it
    """
    student = graded.student
    yield Heading(text=f"{capital(_WORDS)}: {student.name}", level=1)
    group = f"; group {student.group}" if student.group else ""
    yield Words(text=f"Signed in as {student.id}{group}.")
    yield Table(
        head=("lab", "state", "first try", "best try", "of", "explained"),
        rows=tuple(map(_entry_cells, graded.entries)),
        parts=(6, 4, 2, 2, 1, 3),
    )
    yield from kept(
        [Heading(text="What to do next"), Points(items=tuple(next_steps(graded)))]
    )
    for entry in graded.entries:
        if entry.row:
            yield from _lab(entry.row, student, called or {}, answers)
    yield Blanks(labels=("What I do first", "Seen by"))


def _entry_cells(entry):
    if not entry.row:
        return entry.lab.title, entry.state, "–", "–", str(entry.lab.full), "–"
    said = f"{number(entry.explained)} of {entry.row.full_explained}"
    if entry.waiting:
        said = f"{entry.waiting} to be read"
    marks = map(str, (entry.first, entry.best, entry.lab.full))
    return entry.lab.title, entry.state, *marks, said


# What to do next ------------------------------------------------------------------


def next_steps(graded):
    """What a student does next, in sentences: first what is missing, then what to mend.

    There is always one: who has all right is told what comes next.
    """
    steps = [step for entry in graded.entries for step in _in_lab(entry)]
    results = (r for e in graded.entries if e.row for r in e.row.results)
    for slip, count in habits_of(results):
        steps.append(
            f"In {count} questions there was one slip: {slip}. Lay them side by side,"
            " and say in a sentence what you look at next time before you write."
        )
    return steps or [_further({entry.lab.name for entry in graded.entries})]


def _in_lab(entry):
    """What is to be done in one lab: a sentence, or nothing."""
    title = entry.lab.title
    if entry.state == NOT_HANDED_IN:
        yield f"Hand in “{title}” ({notebook_of(entry.lab.name)})."
    elif entry.state in _ODD:
        yield f"Ask your instructor about “{title}”: it {_ODD[entry.state]}."
    else:
        parts, row = [], entry.row
        if left := len(row.left):
            parts.append(f"{left} {'question has' if left == 1 else 'questions have'}"
                         " no answer yet")  # fmt: skip
        if wrong := [result.question for result in row.results if result.is_wrong]:
            parts.append(f"do {quoted(wrong)} again")
        if parts:
            where = f"{notebook_of(row.lab)}, form {row.form}"
            yield f"“{row.title}” ({where}): {'; '.join(parts)}."


def _further(done):
    """What whoever has all right goes on with."""
    for name in LAB_NAMES:
        if name not in done:
            return (
                f"All is right. Go on with “{find_lab(name).title}”"
                f" ({notebook_of(name)})."
            )
    return "All is right, in all labs. Take another form, and take no hint."


# One lab --------------------------------------------------------------------------


def _lab(row, student, called, answers):
    yield Heading(text=row.title)
    for lead, said in _summed_up(row, student, called).items():
        if said:
            yield Words(text=f"{said}.", lead=f"{lead}:")
    for result in row.results:
        if result.is_wrong:
            yield from kept(_wrong(result, answers))
        elif result.kind == EXPLANATION and result.tries:
            yield from kept(_explained(result))


def _summed_up(row, student, called):
    """{what: the questions of a lab of which it is so, in words, or ""}."""
    marked = [result for result in row.results if result.kind == MARKED]
    mended = [f"“{r.question}”{_at_first(r)}" for r in marked if r.best and not r.first]
    foreign = [name for note in _NO_MARKS for name in noted(row, note)]
    together = [called.get(one, one) for one in row.students if one != student.id]
    made = sum(r.kind == PREDICTION and r.tries > 0 for r in row.results)
    return {
        "Handed in together with": listed(together, ""),
        "Right at the first try": quoted(r.question for r in marked if r.first),
        "Right in the end": listed(mended, ""),
        "Predictions made, which have no marks": str(made) if made else "",
        "No answer yet": quoted(row.left),
        "Not marked, so ask your instructor": quoted(foreign),
    }


def _at_first(result):
    return f" (at first {listed(result.slips, '')})" if result.slips else ""


def _head(result, marks):
    name = capital(result.question)
    return Heading(text=f"{name} ({marks} of {result.marks})", level=3)


def _wrong(result, answers):
    told = result.told
    yield _head(result, result.best)
    yield Words(text=told.text)
    if told.pictured:
        yield Words(text=BESIDE)
    yield Words(text=_short(told.answer), lead="You wrote:")
    if told.slip:
        yield Words(text=f"{told.slip}. {capital(told.help)}", lead="The slip:")
    elif told.help:
        yield Words(text=told.help, lead="Not yet:")
    if told.way:
        yield Words(text=told.way, lead="The way:")
    if answers:
        yield Words(text=told.key, lead="Right is:")


def _explained(result):
    unread = result.ticks is None
    yield _head(result, "?" if unread else number(result.ticked))
    yield Words(text=result.told.text)
    yield Words(text=_short(result.text), lead="You wrote:")
    if unread:
        yield Words(text="Your instructor has not read it yet.")
        return
    yield Table(
        head=("point to make", "made"),
        rows=tuple(
            (point, "yes" if made else "not yet")
            for point, made in zip(result.points, result.ticks, strict=True)
        ),
        parts=(9, 1),
    )


def _short(text):
    plain = " ".join(text.split())
    return plain if len(plain) <= _LETTERS else f"{plain[:_LETTERS]} …"
