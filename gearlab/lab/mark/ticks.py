"""Explanations for the instructor to tick: a table to fill in, written and read back.

The table is a CSV file for any spreadsheet.
"""

from pathlib import Path

from ...base.checks import shortened
from ...base.csvtext import csv_rows, safe_cell, write_csv
from ...base.filewriter import is_filled, reason
from ..sheet.sheetfile import read_small
from .claims import NO

_LARGEST = 50_000_000
_WHOSE = ("students", "lab", "form", "question", "text")
_TICK = "tick {} (x or 0)"
HEAD = (
    *_WHOSE,
    *(title for n in (1, 2, 3) for title in (f"point {n}", _TICK.format(n))),
)
_YES, _NO = (
    {"x", "1", "yes", "y", "true", "✓", "✔"},
    {"0", "no", "n", "false", "-", "–"},
)


def plain_text(text):
    """A text as a spreadsheet gives it back, whatever that did to its spaces."""
    return " ".join(text.split()).removeprefix("'")


def kept_text(text):
    """An explanation as it is in a table that a spreadsheet gives back."""
    return plain_text(safe_cell(text))


def key_of(students, lab, form, question):
    """What tells one explanation from all others; `students` are those of a sheet."""
    return tuple(
        plain_text(text) for text in (", ".join(students), lab, form, question)
    )


def write_ticks(marking, path):
    """Write the explanations of a marking as a table with a box for each point.

    An "x" in a box is a point that was made, "0" one that was not. Where all three are
    empty nobody has looked. Boxes that are ticked already are filled in. A table that
    is there already keeps what was filled in, and columns of one's own.

    Parameters
    ----------
    marking : Marking
    path : the .csv file

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        It cannot be written, or a file of that name is no such table.
    """
    names, filled = _filled_in(path) if is_filled(path) else (HEAD, {})
    rows = []
    for row in marking.rows:
        for result in row.results if row.counts != NO else ():
            if result.text:
                cells = dict(zip(HEAD, _row(row, result), strict=True))
                old = filled.pop(_identity(cells), {})
                rows.append(cells | old if result.ticks is None else old | cells)
    table = [[row.get(name, "") for name in names] for row in (*rows, *filled.values())]
    return write_csv(path, [names, *table], what="table of ticks")


def _filled_in(path):
    """The columns of a table, and {which explanation: row} of the rows with a tick."""
    names, rows = _table(path)
    return names, {
        _identity(row): row
        for row in rows
        if any(row[_TICK.format(n)].strip() for n in (1, 2, 3))
    }


def _identity(row):
    return tuple(plain_text(row[name]) for name in _WHOSE)


def _row(row, result):
    ticks = [""] * 3 if result.ticks is None else ["0x"[one] for one in result.ticks]
    pairs = zip(result.points, ticks, strict=True)
    students = ", ".join(row.students)
    whose = students, row.lab, row.form, result.question, result.text
    cells = *whose, *(cell for pair in pairs for cell in pair)
    return tuple(map(safe_cell, cells))


def read_ticks(path):
    """The ticks in a table: {see :func:`key_of`: {text: boxes}}.

    A text is as :func:`kept_text` gives it; `boxes` is three bools, or None where all
    are empty. Raises ValueError, in one sentence, for a file that is no such table.
    """
    found = {}
    for number, row in enumerate(_table(path)[1], start=2):
        *whose, words = _identity(row)
        boxes = [row[_TICK.format(n)].strip().lower() for n in (1, 2, 3)]
        found.setdefault(tuple(whose), {})[words] = _boxes(boxes, path, number)
    return found


def _table(path):
    """(names of the columns, [{name: cell}]) of a table of ticks."""
    path = Path(path)
    try:
        _, rows = csv_rows(read_small(path, _LARGEST))
    except (ValueError, OSError) as error:
        raise ValueError(
            f"the ticks {shortened(str(path), 200)} cannot be read: {reason(error)};"
            " give the table as a CSV file in UTF-8"
        ) from error
    names = _unlike(rows[0][1]) if rows else []
    rows = [cells for _, cells in rows[1:] if cells]
    fit = all(len(cells) == len(names) for cells in rows)
    if not set(HEAD) <= set(names) or not fit:
        raise ValueError(
            f"{shortened(str(path), 200)} has not the columns of a table of ticks; make"
            " one anew with --ticks and fill that in"
        )
    return names, [dict(zip(names, cells, strict=True)) for cells in rows]


def _unlike(names):
    """Names of columns that differ; a person's own columns may have none."""
    return [
        name if names.count(name) == 1 else f"{name} {number}".strip()
        for number, name in enumerate(names, start=1)
    ]


def _boxes(boxes, path, number):
    if not any(boxes):
        return None
    for box in boxes:
        if box and box not in _YES | _NO:
            raise ValueError(
                f"{shortened(str(path), 200)}, row {number}, has {shortened(box)} in a"
                " box; write x or 0"
            )
    return tuple(box in _YES for box in boxes)
