"""A marking as a table: one line a sheet, for a spreadsheet or to read."""

import re
from collections import Counter
from pathlib import Path

from ...base.checks import shortened, visible
from ...base.csvtext import csv_text, safe_cell, write_csv
from ...base.filewriter import is_filled
from ...base.numerals import decimals
from .claims import NO

_HEAD = (
    "students", "lab", "form", "first try", "best try", "of", "explained",
    "of explained", "counts", "to be ticked", "answered", "questions", "tries", "hints",
    "predictions", "slips", "notes", "files",
)  # fmt: skip
_READ = (
    "students", "lab", "form", "first try", "best try", "of", "explained",
    "of explained", "counts", "tries", "hints", "notes",
)  # fmt: skip
_MARKS = {"first try", "best try", "of", "explained", "of explained"}
_NUMBERS = {*_MARKS, "tries", "hints"}
_MOST_COPIES = 20  # said one by one; nothing of a copy is lost
_WIDEST = 60  # letters of a cell that is read


def to_csv(marking):
    """The text of a CSV file, a line a sheet; cells are safe for spreadsheets.

    A sheet that does not count has no marks in it, so that no sum has them.
    """
    return csv_text(_rows(marking))


def write_marks(marking, path):
    """Write the table as a CSV file, and return its path.

    Raises ValueError if it cannot be written, or if a file of that name is there that
    is no table of marks.
    """
    if is_filled(path) and not _is_ours(Path(path)):
        raise ValueError(
            f"{shortened(str(path), 200)} is there already and is no table of marks, so"
            " it is left as it is; choose another name"
        )
    return write_csv(path, _rows(marking), what="table of marks")


def _is_ours(path):
    """Whether a file begins as a table of marks does."""
    try:
        with path.open("rb") as file:
            first = file.readline(200).decode("utf-8-sig", errors="replace")
    except OSError:
        return False
    names = re.split("[,;\t]", first.replace('"', "").strip())
    return tuple(names[:4]) == _HEAD[:4]


def _rows(marking):
    cells = [_HEAD, *(_cells(row) for row in marking.rows)]
    # Names of files are in them, and a name is one line.
    return [[safe_cell(visible(str(cell))) for cell in row] for row in cells]


def _cells(row):
    counts = row.counts != NO
    return (
        ", ".join(row.students),
        row.lab,
        row.form,
        mark_text(row.first_mark) if counts else "",
        mark_text(row.best_mark) if counts else "",
        row.full if counts else "",
        mark_text(row.explained) if counts else "",
        row.full_explained if counts else "",
        row.counts,
        len(row.waiting) if counts else "",
        len(row.results),
        row.questions,
        sum(result.tries for result in row.results),
        sum(result.hints for result in row.results),
        row.predictions,
        "; ".join(row.slips),
        "; ".join(row.notes),
        "; ".join(row.files),
    )


def mark_text(mark):
    """A mark with two decimals at most, with a point and a plain minus."""
    return decimals(mark, 2).replace("−", "-").rstrip("0").rstrip(".")


def to_text(marking):
    """The marking as text: a line a sheet, the slips of the class, what was skipped.

    What comes from a file or a person has every sign made visible.
    """
    rows = [_HEAD, *(_cells(row) for row in marking.rows)]
    wanted = [_HEAD.index(name) for name in _READ]
    table = [[_short(visible(str(row[i]))) for i in wanted] for row in rows]
    widths = [max(map(len, column)) for column in zip(*table, strict=True)]
    parts = [_line(row, widths) for row in table] if marking.rows else ["No sheet."]
    parts += _waiting(marking)
    parts += _slips(marking)
    parts += [f"In one name: {sentence}." for sentence in marking.conflicts]
    parts += _copies(marking)
    parts += [f"Skipped: {name}: {reason}." for name, reason in marking.skipped]
    return "\n".join(map(visible, parts))


def _short(text):
    return text if len(text) <= _WIDEST else f"{text[: _WIDEST - 1]}…"


def _line(row, widths):
    cells = [
        cell.rjust(width) if name in _NUMBERS else cell.ljust(width)
        for name, cell, width in zip(_READ, row, widths, strict=True)
    ]
    return "  ".join(cells).rstrip()


def _waiting(marking):
    waiting = sum(len(row.waiting) for row in marking.rows if row.counts != NO)
    return [f"Explanations to be ticked: {waiting}."] if waiting else []


def _copies(marking):
    lines = [f"Copy: {name}: {what}." for name, what in marking.copies]
    more = len(lines) - _MOST_COPIES
    return [*lines[:_MOST_COPIES], *([f"Copies, {more} more."] if more > 0 else [])]


def class_slips(marking):
    """The slips of the class: ((name, on how many sheets), ...), the usual ones first.

    >>> from gearlab.lab.mark.marking import Marking
    >>> class_slips(Marking(rows=()))
    ()
    """
    rows = [row for row in marking.rows if row.counts != NO]
    counted = Counter(name for row in rows for name in row.slips)
    return tuple(sorted(counted.items(), key=lambda pair: (-pair[1], pair[0])))


def _slips(marking):
    counted = [
        f"{name} ({sheets} sheet{'s' * (sheets > 1)})"
        for name, sheets in class_slips(marking)
    ]
    return [f"Slips of the class: {', '.join(counted)}."] if counted else []
