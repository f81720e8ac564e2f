"""A marking as a table: one line a sheet, for a spreadsheet or to read."""

from collections import Counter

from .ticks import to_csv_text

_HEAD = (
    "students", "lab", "form", "first try", "best try", "of", "to be ticked",
    "answered", "questions", "tries", "hints", "predictions", "slips", "notes",
)  # fmt: skip
_WIDEST = 60  # letters of a cell that is read


def to_csv(marking):
    """The text of a CSV file, a line a sheet; cells are safe for spreadsheets."""
    return to_csv_text([_HEAD, *(_cells(row) for row in marking.rows)])


def _cells(row):
    return (
        ", ".join(row.students),
        row.lab,
        row.form,
        mark_text(row.first_mark),
        mark_text(row.best_mark),
        row.full,
        len(row.waiting),
        len(row.results),
        row.questions,
        sum(result.tries for result in row.results),
        sum(result.hints for result in row.results),
        row.predictions,
        "; ".join(row.slips),
        "; ".join(row.notes),
    )


def mark_text(mark):
    """A mark with two decimals at most, with a point and a plain minus."""
    return f"{float(mark):.2f}".rstrip("0").rstrip(".")


def to_text(marking):
    """The marking as text: a line a sheet, the slips of the class, what was skipped."""
    wanted = 0, 1, 2, 3, 4, 5, 9, 10, 13
    rows = [_HEAD, *(_cells(row) for row in marking.rows)]
    table = [[_short(str(row[i])) for i in wanted] for row in rows]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    parts = [_line(row, widths) for row in table] if marking.rows else ["No sheet."]
    parts += _waiting(marking)
    parts += _slips(marking)
    parts += [f"Skipped: {name}: {reason}." for name, reason in marking.skipped]
    return "\n".join(parts)


def _short(text):
    return text if len(text) <= _WIDEST else f"{text[: _WIDEST - 1]}…"


def _line(row, widths):
    cells = [
        cell.rjust(width) if 3 <= i <= 7 else cell.ljust(width)
        for i, (cell, width) in enumerate(zip(row, widths, strict=True))
    ]
    return "  ".join(cells).rstrip()


def _waiting(marking):
    waiting = sum(len(row.waiting) for row in marking.rows)
    return [f"Explanations to be ticked: {waiting}."] if waiting else []


def class_slips(marking):
    """The slips of the class: ((name, on how many sheets), ...), the usual ones first.

    >>> from gearlab.lab.marking import Marking
    >>> class_slips(Marking(rows=()))
    ()
    """
    counted = Counter(name for row in marking.rows for name in row.slips)
    return tuple(sorted(counted.items(), key=lambda pair: (-pair[1], pair[0])))


def _slips(marking):
    counted = [
        f"{name} ({sheets} sheet{'s' * (sheets > 1)})"
        for name, sheets in class_slips(marking)
    ]
    return [f"Slips of the class: {', '.join(counted)}."] if counted else []
