"""Tables of cells as an .xlsx workbook, with openpyxl, which is an extra."""

from fractions import Fraction
from io import BytesIO

from ...base.checks import visible
from ...base.filewriter import is_filled

_NARROWEST, _WIDEST = 6, 60  # of a column, in letters
_TITLE_LETTERS = 31  # of a page's title; the format has no room for more
_CELL_LETTERS = 32_000  # of a cell; the format has no room for many more


def need_openpyxl():
    """The package openpyxl; ValueError with how to get it where there is none."""
    try:
        import openpyxl
    except ImportError:
        raise ValueError(
            "an .xlsx needs the package openpyxl, which is not installed; run"
            ' python -m pip install "openpyxl>=3.1,<4", or write a .csv'
        ) from None
    return openpyxl


def workbook_bytes(pages):
    """The bytes of a workbook.

    Parameters
    ----------
    pages : {title of a page: rows of cells}, the first row being the head; a cell is
        text, a whole number or a Fraction. Text stays text, whatever it begins with

    Raises
    ------
    ValueError
        openpyxl is not installed.
    """
    package = need_openpyxl()
    book = package.Workbook()
    book.remove(book.active)
    bold = package.styles.Font(bold=True)
    for title, rows in pages.items():
        page = book.create_sheet(title[:_TITLE_LETTERS])
        page.freeze_panes = "C2"
        for at, row in enumerate(rows, start=1):
            for column, value in enumerate(row, start=1):
                _fill(page.cell(row=at, column=column), value)
        for cell, width in zip(page[1], _widths(rows), strict=True):
            cell.font = bold
            page.column_dimensions[cell.column_letter].width = width
    out = BytesIO()
    book.save(out)
    return out.getvalue()


def _fill(cell, value):
    if isinstance(value, Fraction):
        cell.value = round(float(value), 2)
    elif isinstance(value, int):
        cell.value = value
    elif value:
        cell.value = visible(value)[:_CELL_LETTERS]
        # Set after the value, which openpyxl would take for a formula by its "=".
        cell.data_type = "s"
        cell.quotePrefix = value[0] in "=+-@"


def _widths(rows):
    for column in zip(*rows, strict=True):
        longest = max(len(str(value)) for value in column)
        yield min(max(longest + 2, _NARROWEST), _WIDEST)


def is_workbook(path, titles):
    """Whether a file is a workbook with pages of these titles; False without one."""
    if not is_filled(path):
        return False
    try:
        book = need_openpyxl().load_workbook(path, read_only=True)
    except ValueError:
        raise
    except Exception:  # it may be any file at all
        return False
    try:
        return set(titles) <= set(book.sheetnames)
    finally:
        book.close()
