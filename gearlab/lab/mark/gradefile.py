"""A gradebook as a file: .csv, or .xlsx with a page for each table."""

from pathlib import Path

from ...base.checks import known, shortened, visible
from ...base.csvtext import csv_text, safe_cell
from ...base.filewriter import is_filled, write_file
from .gradetable import (
    WHO,
    book_cells,
    cell_text,
    column_tables,
    need_cells,
    problem_cells,
    question_cells,
)
from .workbook import is_workbook, need_openpyxl, workbook_bytes

# What stands between two cells: where that is a semicolon, decimals have a comma.
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t"}
_PAGES = ("Best tries", "First tries", "Explanations", "Last answers")


def write_gradebook(book, path, separator="comma", byte_order_mark=True):
    """Write a gradebook to a file, and return its path.

    A .csv has a row a student. An .xlsx has a page each for best tries, first tries,
    explanations and last answers, with a column a lab, and pages for the questions, for
    who needs help, and for what to look at; its ids keep their zeros in every country.
    No cell is a formula.

    Parameters
    ----------
    book : Gradebook
    path : the file, .csv or .xlsx
    separator : of a .csv: "comma", "semicolon" (and decimals with a comma, as in the
        countries that have it so) or "tab"
    byte_order_mark : whether a .csv begins with the mark by which a spreadsheet knows
        that it is UTF-8; other programs may not want it

    Returns
    -------
    pathlib.Path

    Raises
    ------
    ValueError
        Another ending, a file of that name that is no gradebook, no openpyxl for an
        .xlsx, or it cannot be written.
    """
    known(separator, SEPARATORS, "separator")
    path = a_gradebook_path(path)
    if path.suffix.lower() == ".xlsx":
        return write_file(path, workbook_bytes(_pages(book)), "gradebook")
    text = _csv(book_cells(book), separator)
    mark = "\ufeff" if byte_order_mark else ""
    return write_file(path, mark + text, "gradebook")


def a_gradebook_path(path):
    """The path, if a gradebook may be written there; errors as write_gradebook."""
    path = Path(path)
    ending = path.suffix.lower()
    if ending not in (".csv", ".xlsx"):
        raise ValueError(
            f"the gradebook is to be {shortened(str(path), 200)}, but its name must end"
            " in .csv or .xlsx"
        )
    if ending == ".xlsx":
        need_openpyxl()
    ours = is_workbook(path, _PAGES) if ending == ".xlsx" else _is_csv(path)
    if is_filled(path) and not ours:
        raise ValueError(
            f"{shortened(str(path), 200)} is there already and is no gradebook, so it"
            " is left as it is; choose another name"
        )
    return path


def _pages(book):
    pages = column_tables(book)
    pages["Questions"] = question_cells(book)
    pages["Help"] = need_cells(book)
    pages["To look at"] = problem_cells(book)
    return pages


def _csv(rows, separator):
    comma = "," if separator == "semicolon" else "."
    cells = [
        [safe_cell(visible(cell_text(cell, comma))) for cell in row] for row in rows
    ]
    return csv_text(cells, SEPARATORS[separator])


def _is_csv(path):
    """Whether a file begins as a gradebook does."""
    try:
        with path.open("rb") as file:
            first = file.readline(200).decode("utf-8-sig", errors="replace")
    except (OSError, ValueError):
        return False
    return any(first.startswith(mark.join(WHO)) for mark in SEPARATORS.values())
