"""A class list: who is in a class, read from the table that a school's system gives.

The table is CSV text as any spreadsheet saves it. What is wrong in it is said in one
sentence with the line, so that nobody is left out of a class unseen.
"""

import re
from dataclasses import dataclass
from unicodedata import normalize

from ...base.checks import one_line, shortened
from ...base.csvtext import csv_rows, plain_cell
from ...base.numerals import listed
from ...base.textfile import blamed, file_text
from ..question.papers import FORMS
from .students import LONGEST, plain_id

LARGEST = 5_000_000  # bytes of a file
MOST_LISTED = 5_000
MOST_NAMED = 5  # lines or ids in a sentence
LONGEST_NAME = 100
# What a column is called, the surest name first; capitals, "_" and "-" do not matter.
COLUMNS = {
    "id": (
        "id", "student id", "studentid", "student number", "student no", "number", "no",
        "user", "username", "user name", "login", "account", "email", "e mail", "mail",
    ),
    "name": ("name", "full name", "student name", "student", "display name"),
    "first": ("first name", "firstname", "given name", "forename", "first"),
    "last": ("last name", "lastname", "family name", "surname", "last"),
    "form": ("form", "paper", "version"),
    "group": ("group", "team", "bench", "station"),
}  # fmt: skip
_FORMULA = re.compile(r"\s*([=＝]|[+\-@＋－＠].*[(|!])")
_PATH = re.compile(r"\s*([/\\~]|[A-Za-z]:[/\\])|(^|.*[/\\])\s*\.\.?\s*([/\\]|$)")


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One student of a class list.

    `id` is normalised, as at a sign-in. `name` is as it was written, the id where there
    is none. `form` is a letter of a form and `group` any text; these are "" where the
    list does not say.
    """

    id: str
    name: str
    form: str = ""
    group: str = ""


def read_class_list(path):
    """The students of a class list, in its order.

    The list is CSV, with commas, semicolons or tabs, in UTF-8, UTF-16 or Windows-1252.
    Its first line names the columns, see :data:`COLUMNS`: an id or a name must be among
    them. Without ids the names are the ids. Blank lines and other columns are passed
    over.

    Parameters
    ----------
    path : the file

    Returns
    -------
    tuple of Listed

    Raises
    ------
    ValueError
        The file cannot be read or is no class list, a student is there twice, or a cell
        holds a formula, a path, or what is no id, name or form.
    """
    with blamed(path, "class list"):
        rows = _rows(_table(path))
        return _unlike([_student(line, row) for line, row in rows])


def read_table(path, what):
    """The lines of a CSV file that are not blank: [(line number, [cell])].

    Cells are on one line each, without spaces round them; one that
    :func:`gearlab.base.csvtext.safe_cell` made is as it was.

    Parameters
    ----------
    path : the file, as of :func:`read_class_list`
    what : what it is, for the sentence

    Raises
    ------
    ValueError
        The file cannot be read or is empty, or a cell holds a formula.
    """
    with blamed(path, what):
        return [
            (line, [" ".join(_text_cell(cell, line, "text").split()) for cell in row])
            for line, row in _table(path)
        ]


def _table(path):
    """(line number, cells as they are) of every line that is not blank."""
    text = normalize("NFC", file_text(path, LARGEST, "give a list of one class"))
    whole = text.lstrip("\r\n")
    skipped = len(text[: len(text) - len(whole)].splitlines())
    if whole.count('"') % 2:
        # It would swallow the lines after it unseen.
        raise ValueError('a quotation mark is left open; close every "')
    _, rows = csv_rows(whole)
    rows = [(line + skipped, [cell.strip() for cell in row]) for line, row in rows]
    rows = [(line, row) for line, row in rows if any(row)]
    if rows and rows[0][1][0].lower() == "sep=":
        del rows[0]  # some spreadsheets say there what stands between the cells
    if not rows:
        raise ValueError("it is empty; name the columns in its first line")
    return rows


def _rows(rows):
    """(line number, {what: cell}) of every student, under the names of the columns."""
    columns = _columns(rows[0][1])
    if len(rows) == 1:
        raise ValueError("it names nobody; write a line a student")
    if len(rows) - 1 > MOST_LISTED:
        raise ValueError(
            f"it has {len(rows) - 1:,} students, but {MOST_LISTED:,} are the most; give"
            " a list of one class"
        )
    return [
        (line, {what: row[at] for what, at in columns.items() if at < len(row)})
        for line, row in rows[1:]
    ]


def _columns(heads):
    """{what: the number of its column}; ValueError where nobody is named by any."""
    plain = [
        " ".join(re.split(r"[\s_\-.]+", head.casefold())).strip() for head in heads
    ]
    found = {}
    for what, names in COLUMNS.items():
        at = next((plain.index(name) for name in names if name in plain), None)
        if at is not None:
            found[what] = at
    if not found.keys() & {"id", "name", "last"}:
        raise ValueError(
            f"its first line is {shortened(', '.join(heads))}, but it must name the"
            " columns; write id, name and, if wanted, form, group"
        )
    return found


def _student(line, row):
    cells = {what: _text_cell(cell, line, what) for what, cell in row.items()}
    try:
        return _listed(cells)
    except ValueError as error:
        raise ValueError(f"line {line}: {error}") from None


def _text_cell(cell, line, what):
    """A cell as it was meant; ValueError for one that a spreadsheet would run."""
    # One with an apostrophe in front is text, as a spreadsheet has it.
    if _FORMULA.match(cell):
        raise ValueError(
            f"line {line}: the {what} {shortened(cell, 30)} is a formula; write the"
            f" {what} itself"
        )
    return plain_cell(cell)


def _listed(row):
    parts = [row.get("first", ""), row.get("last", "")]
    name = row.get("name") or " ".join(filter(None, parts))
    cells = {"id": row.get("id", ""), "name": name, "group": row.get("group", "")}
    for what, cell in cells.items():
        _check(what, cell)
    if "id" in row and not cells["id"]:
        raise ValueError(f"{shortened(name)} has no id; write one")
    # A comma stands between two ids at a sign-in, so none can be in one.
    given = cells["id"] or " ".join(re.split("[,;]", name))
    if re.search("[,;]", given):
        raise ValueError(
            f"the id {shortened(given)} has a comma or semicolon, which stand between"
            " two ids; write it without"
        )
    if len(given) > LONGEST:
        raise ValueError(
            f"{shortened(given, 30)} is an id of {len(given)} letters, but {LONGEST}"
            " are the most; write a shorter one"
        )
    return Listed(
        id=plain_id(given),
        name=name or given,
        form=_form(row),
        group=cells["group"],
    )


def _check(what, cell):
    """ValueError for a cell that is no text of a person."""
    if _PATH.match(cell):
        fault = f"the path of a file; write the {what} alone"
    elif len(cell) > LONGEST_NAME:
        fault = f"longer than {LONGEST_NAME} letters; write a shorter one"
    elif not cell.isprintable():
        fault = "not on one line, or has signs that cannot be printed; write it anew"
    else:
        return
    raise ValueError(f"the {what} {shortened(cell, 30)} is {fault}")


def _form(row):
    form = row.get("form", "").upper()
    if form and form not in FORMS:
        raise ValueError(
            f"the form is {shortened(row['form'], 30)}, but the forms are"
            f" {FORMS[0]} to {FORMS[-1]}; write one of them, or leave it empty"
        )
    return form


def _unlike(students):
    """The students; ValueError where one id is there twice."""
    seen, twice = set(), {}
    for student in students:
        if student.id in seen:
            twice[student.id] = None
        seen.add(student.id)
    if twice:
        names = [one_line(f"“{name}”", 70) for name in list(twice)[:MOST_NAMED]]
        more = len(twice) - MOST_NAMED
        end = [f"{more} more"] if more > 0 else []
        are = "is" if len(twice) == 1 else "are"
        raise ValueError(
            f"{listed([*names, *end], article='')} {are} there more than once; give"
            " each student an id of their own, and take copies out"
        )
    return tuple(students)
