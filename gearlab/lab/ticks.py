"""Explanations for the instructor to tick: a table to fill in, written and read back.

The table is a CSV file for any spreadsheet. Common practice, no source: a cell that
begins with = + - or @ is taken for a formula there, so such a text gets an apostrophe.
"""

import csv
import io
from pathlib import Path

from ..checks import shortened
from .sheetfile import read_small, write_whole

_LARGEST = 50_000_000
_WHOSE = ("students", "lab", "form", "question", "text")
_TICK = "tick {} (x or 0)"
HEAD = (
    *_WHOSE,
    *(title for n in (1, 2, 3) for title in (f"point {n}", _TICK.format(n))),
)
_FORMULA = tuple("=+-@＝＋－＠")
_YES, _NO = (
    {"x", "1", "yes", "y", "true", "✓", "✔"},
    {"0", "no", "n", "false", "-", "–"},
)


def safe_cell(value):
    """A cell that no spreadsheet takes for a formula.

    >>> safe_cell("=1+1"), safe_cell(3), safe_cell("-B 17")
    ("'=1+1", '3', "'-B 17")
    """
    text = str(value)
    return f"'{text}" if text.lstrip().startswith(_FORMULA) else text


def plain_text(text):
    """A text as a spreadsheet gives it back, whatever that did to its spaces."""
    return " ".join(text.split()).removeprefix("'")


def key_of(students, lab, form, question):
    """What tells one explanation from all others; `students` are those of a sheet."""
    return tuple(
        plain_text(text) for text in (", ".join(students), lab, form, question)
    )


def to_csv_text(rows):
    """Rows as the text of a CSV file, made safe for spreadsheets."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerows([safe_cell(value) for value in row] for row in rows)
    return out.getvalue()


def write_csv(path, text):
    """Write a CSV file so that spreadsheets see that it is UTF-8; return its path."""
    path = Path(path)
    try:
        write_whole(path, "\ufeff" + text)
    except OSError as error:
        raise ValueError(
            f"{path} cannot be written ({error.strerror}); close it or choose another"
        ) from error
    return path


def write_ticks(marking, path):
    """Write the explanations of a marking as a table with a box for each point.

    An "x" in a box is a point that was made, "0" one that was not. Where all three are
    empty nobody has looked. Boxes that are ticked already are filled in.

    Parameters
    ----------
    marking : Marking
    path : the .csv file

    Returns
    -------
    pathlib.Path of the file; ValueError if it cannot be written
    """
    rows = [HEAD]
    for row in marking.rows:
        for result in row.results:
            if result.text:
                rows.append(_row(row, result))
    return write_csv(path, to_csv_text(rows))


def _row(row, result):
    ticks = [""] * 3 if result.ticks is None else ["0x"[one] for one in result.ticks]
    pairs = zip(result.points, ticks, strict=True)
    students = ", ".join(row.students)
    whose = students, row.lab, row.form, result.question, result.text
    return (*whose, *(cell for pair in pairs for cell in pair))


def read_ticks(path):
    """The ticks in a table: {see :func:`key_of`: (text, boxes)}.

    `boxes` is three bools, or None where all are empty. Raises ValueError, in one
    sentence, for a file that is no such table.
    """
    try:
        text = read_small(Path(path), _LARGEST)
    except OSError as error:
        raise ValueError(f"{path} cannot be read ({error.strerror})") from error
    except ValueError as error:
        raise ValueError(
            f"{path} cannot be read: {error}; save it as CSV in UTF-8"
        ) from error
    first = text.partition("\n")[0]
    mark = max(",;\t", key=first.count)
    try:
        rows = list(csv.DictReader(io.StringIO(text, newline=""), delimiter=mark))
    except csv.Error as error:
        raise ValueError(f"{path} is no table that can be read: {error}") from error
    found = {}
    for number, row in enumerate(rows, start=2):
        if not set(HEAD) <= row.keys() or None in row.values():
            raise ValueError(
                f"{path} has not the columns of a table of ticks; make one anew with"
                " --ticks and fill that in"
            )
        *whose, words = (plain_text(row[name]) for name in _WHOSE)
        boxes = [row[_TICK.format(n)].strip().lower() for n in (1, 2, 3)]
        found[tuple(whose)] = words, _boxes(boxes, path, number)
    return found


def _boxes(boxes, path, number):
    if not any(boxes):
        return None
    for box in boxes:
        if box and box not in _YES | _NO:
            raise ValueError(
                f"{path}, row {number}, has {shortened(box)} in a box; write x or 0"
            )
    return tuple(box in _YES for box in boxes)
