"""A gradebook as tables of cells, and as text to read.

A cell is text, a whole number or a Fraction; whoever writes it decides how.
"""

from fractions import Fraction

from ...base.checks import visible
from ...base.numerals import percent
from .marktable import mark_text

WHO = ("id", "name", "group", "form")
_TOTALS = (
    "labs handed in", "best tries", "first tries", "of", "explanations",
    "of explanations", "to be ticked",
)  # fmt: skip
_WIDEST = 32  # letters of a cell that is read
_MOST_HARD = 10  # questions that are named as the hardest
_MOST_SAID = 40  # needs or problems in the text; the file has them all


def book_cells(book):
    """The whole book: a head, then a row a student with five cells a lab."""
    head = [*WHO, *_TOTALS]
    for lab in book.labs:
        head += [
            f"{lab.title}: state",
            f"{lab.title}: best of {lab.full}",
            f"{lab.title}: first try",
            f"{lab.title}: explanations of {lab.full_explained}",
            f"{lab.title}: last answer",
        ]
    return [head, *(_book_row(book, row) for row in book.rows)]


def _book_row(book, row):
    cells = [*who(row.student), *_totals(book, row)]
    for entry in row.entries:
        marks = (entry.best, entry.first, _explained(entry), entry.last)
        cells += [entry.state, *(marks if entry.row else [""] * 4)]
    return cells


def who(student):
    """The cells that say who a student of the class list is."""
    return student.id, student.name, student.group, student.form


def _totals(book, row):
    marks = row.best, row.first, book.full, row.explained, book.full_explained
    return row.handed_in, *marks, sum(entry.waiting for entry in row.entries)


def _explained(entry):
    """The marks of explanations, "to be ticked" where nobody has looked yet."""
    return "to be ticked" if entry.waiting else entry.explained


def column_tables(book):
    """{what: a table with one column a lab}: best, first try, explanations, time."""
    return {
        "Best tries": _a_column_a_lab(book, lambda entry: entry.best, "full"),
        "First tries": _a_column_a_lab(book, lambda entry: entry.first, "full"),
        "Explanations": _a_column_a_lab(book, _explained, "full_explained"),
        "Last answers": _a_column_a_lab(book, lambda entry: entry.last, None),
    }


def _a_column_a_lab(book, cell, full):
    """A head, then a row a student; without a sheet that counts, the state in words."""
    head = [*WHO]
    for lab in book.labs:
        head.append(f"{lab.title} (of {getattr(lab, full)})" if full else lab.title)
    return [
        head,
        *(
            [
                *who(row.student),
                *(cell(one) if one.row else one.state for one in row.entries),
            ]
            for row in book.rows
        ),
    ]


def question_cells(book):
    """A head, then a row a question."""
    head = (
        "lab", "question", "kind", "sheets", "answered", "right at first",
        "right in the end", "commonest slip", "on sheets", "points ticked",
    )  # fmt: skip
    return [head, *map(_question_row, book.questions)]


def _question_row(one):
    ticked = "" if one.points is None else percent(one.points, 0)
    marks = ["" if n is None else n for n in (one.first, one.right)]
    counts = one.kind, one.sheets, one.answered, *marks
    return one.title, one.question, *counts, one.slip, one.slips or "", ticked


def need_cells(book):
    """A head, then a row a student who needs help."""
    head = *WHO, "not handed in", "marks lost", "not right", "again and again"
    return [head, *map(_need_row, book.needs)]


def _need_row(need):
    wrong = "; ".join(
        f"{title}: {question}{f' ({slip})' if slip else ''}"
        for title, question, slip in need.wrong
    )
    habits = "; ".join(f"{slip} ({count})" for slip, count in need.habits)
    missing = "everything" if need.nothing else "; ".join(need.missing)
    return *who(need.student), missing, percent(need.lost, 0), wrong, habits


def problem_cells(book):
    """A head, then a row a thing to look at."""
    head = "what", "students", "files", "in words"
    return [head, *(one._cells for one in book.problems)]


def cell_text(cell, comma="."):
    """A cell as text: a mark with two decimals at most, after the mark of a country."""
    if isinstance(cell, Fraction):
        return mark_text(cell).replace(".", comma)
    return str(cell)


def book_words(book):
    """The book as text: students, who needs help, the hardest questions, problems.

    What comes from a file or a person has every sign made visible.
    """
    parts = [_handed_in(book)]
    if book.rows and book.labs:
        parts += _columns(_short_cells(book))
    parts += _said("Help", [need.words for need in book.needs])
    parts += [f"Hard: {_hard_told(one)}." for one in hardest(book)[:_MOST_HARD]]
    parts += _said("Look", [f"{one.kind}: {one.words}" for one in book.problems])
    return "\n".join(map(visible, parts))


def _handed_in(book):
    some = sum(row.handed_in > 0 for row in book.rows)
    return (
        f"Students in the class list: {len(book.rows)}. Labs that were set:"
        f" {len(book.labs)}. Students who handed in at least one: {some}, nothing:"
        f" {len(book.rows) - some}."
    )


def _short_cells(book):
    """A table narrow enough to read: numbers for the labs, best of all that is."""
    head = ["id", "name", *(f"{n}" for n in range(1, len(book.labs) + 1)), "all", "of"]
    yield head
    for row in book.rows:
        marks = [str(one.best) if one.row else _SHORT[one.state] for one in row.entries]
        who = [_short(row.student.id), _short(row.student.name)]
        yield [*who, *marks, str(row.best), str(book.full)]
    yield from ([f"{n}: {lab.title}"] for n, lab in enumerate(book.labs, start=1))


_SHORT = {"not handed in": "–", "another form": "form?", "which one counts?": "?"}


def _short(text):
    text = visible(text)
    return text if len(text) <= _WIDEST else f"{text[: _WIDEST - 1]}…"


def _columns(rows):
    """Rows of cells as lines in columns; a row of one cell is a line of its own."""
    rows = list(rows)
    wide = [row for row in rows if len(row) > 1]
    widths = [max(map(len, column)) for column in zip(*wide, strict=True)]
    for row in rows:
        if len(row) == 1:
            yield row[0]
            continue
        cells = [
            cell.rjust(width) if at > 1 else cell.ljust(width)
            for at, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        yield "  ".join(cells).rstrip()


def hardest(book):
    """The marked questions that not all got right, the hardest first."""
    asked = [one for one in book.questions if one.share is not None and one.share < 1]
    return sorted(asked, key=lambda one: (one.share, -one.sheets))


def _hard_told(one):
    slip = f"; commonest slip: {one.slip_told}" if one.slip else ""
    right = f"right on {one.right} of {one.sheets} sheets, {one.first} at the first try"
    return f"“{one.question}” in {one.title}: {right}{slip}"


def _said(what, sentences):
    more = len(sentences) - _MOST_SAID
    lines = [f"{what}: {one}" for one in sentences[:_MOST_SAID]]
    return [*lines, *([f"{what}: {more} more, in the file."] if more > 0 else [])]
