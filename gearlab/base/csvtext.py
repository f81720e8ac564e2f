"""CSV text for any spreadsheet, written and read back.

Common practice, no source: a cell that begins with = + - or @ is taken for a formula,
so such a text gets an apostrophe in front. Some countries' spreadsheets end a cell at
";" or at a tab, and some at a line's end, so it gets one there as well.
"""

import csv
import io
import re

from . import checks
from .filewriter import write_file

SEPARATORS = ",;\t"
_FORMULA = re.compile(r"(^|[;\t\n])(\s*)(?=[=+\-@＝＋－＠])")


def safe_cell(value):
    """A cell that no spreadsheet takes for a formula, and that no sign is hidden in.

    >>> safe_cell("=1+1"), safe_cell(3), safe_cell("-B 17"), safe_cell("so;=1")
    ("'=1+1", '3', "'-B 17", "so;'=1")
    """
    text = str(value).replace("\r\n", "\n").replace("\r", "\n")
    lines = "\n".join(checks.visible(line, but="\t") for line in text.split("\n"))
    return _FORMULA.sub(r"\1\2'", lines)


def plain_cell(text):
    """A cell that :func:`safe_cell` made, as it was, without spaces round it.

    >>> plain_cell(" '=1+1"), plain_cell("'tis")
    ('=1+1', "'tis")
    """
    text = text.strip()
    return text[1:] if text[:1] == "'" and _FORMULA.match(text[1:]) else text


def csv_text(rows, separator=","):
    """Rows of cells as the text of a CSV file."""
    out = io.StringIO()
    csv.writer(out, delimiter=separator, lineterminator="\n").writerows(rows)
    return out.getvalue()


def write_csv(path, rows, separator=",", what="table"):
    """Write rows of cells to a CSV file, and return its path; errors as write_file."""
    # The mark at the file's start tells spreadsheets that it is UTF-8.
    return write_file(path, "\ufeff" + csv_text(rows, separator), what)


def csv_rows(text):
    """The rows of a CSV file, whatever mark stands between its cells.

    Returns
    -------
    (separator, [(line number, cells)])

    Raises
    ------
    ValueError
        A cell without an end, in a few words.
    """
    first = re.split(r"[\r\n]", text, maxsplit=1)[0]
    separator = max(SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        return separator, [(reader.line_num, cells) for cells in reader]
    except csv.Error as error:
        raise ValueError(f"line {reader.line_num}: {error}") from error
