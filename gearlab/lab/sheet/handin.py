"""One file to hand in: all answer sheets of a student or group, as they stand.

The file is JSON and holds whole sheets, nothing else: no paths, no files within files.
So reading it unpacks nothing and writes nothing.
"""

import json
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from uuid import uuid4

from ...base.filewriter import write_file
from ..question.papers import FORMS
from ..suite.labs import LAB_NAMES
from .answers import LARGEST, from_data, joined, known_version, must, parsed, to_text
from .sheet import answers_folder, kept_sheet, sheet_path
from .sheetfile import read_small
from .students import file_stem

VERSION = 1
LARGEST_FILE = 5_000_000  # bytes of a file of several sheets
MOST_SHEETS = len(LAB_NAMES) * len(FORMS)
_KIND = "gearlab hand-in"
_HEAD = 200  # letters in which a file says what it is
_KEPT = {"kind", "version", "students", "sheets"}


@dataclass(frozen=True, kw_only=True)
class HandIn:
    """A file to hand in, just written.

    `sheets` holds (lab name, form) of every sheet in it, in the order of the suite;
    `notice` is a sentence about sheets that could not be read and are not in it, or "".
    """

    path: Path
    sheets: tuple[tuple[str, str], ...]
    notice: str = ""


def one_file(students, form=None, folder=None):
    """Write one file with all answer sheets of a student or group, beside the sheets.

    Made again, it holds the sheets as they are then. The sheets stay where they are.

    Parameters
    ----------
    students : normalised ids, see :func:`gearlab.lab.sheet.students.read_students`
    form : the letter of one form; None for all forms
    folder : where the sheets lie; None for the usual folder

    Returns
    -------
    HandIn

    Raises
    ------
    ValueError
        Nobody is signed in, there is no sheet yet, or the file cannot be written.
    """
    folder = answers_folder() if folder is None else Path(folder)
    text, sheets, notice = _gathered(students, form, folder)
    path = folder / file_name(students, form)
    return HandIn(
        path=write_file(path, text, "file to hand in"),
        sheets=tuple((sheet.lab, sheet.form) for sheet in sheets),
        notice=notice,
    )


def file_name(students, form=None):
    """What a file to hand in is called."""
    return f"{file_stem(tuple(students), 'hand-in', form or '')}.json"


def text_to_hand_in(students, draft=None):
    """The text of a file to hand in, and a notice, where no file can be written.

    `draft` is an AnswerSheet with answers that are on no disk. Raises ValueError as
    :func:`one_file` does.
    """
    text, _, notice = _gathered(students, None, answers_folder(), draft)
    return text, notice


def _gathered(students, form, folder, draft=None):
    """The text of the file, the sheets in it, and a notice of those that are not."""
    students = tuple(students)
    if not students:
        raise ValueError("nobody is signed in, so there is nothing to hand in")
    sheets, faults = _sheets(students, FORMS if form is None else (form,), folder)
    if draft and draft.attempts:
        sheets = _with_draft(sheets, draft)
    notice = f"Left out: {'; '.join(faults)}." if faults else ""
    if not sheets:
        raise ValueError(
            f"there is no answer sheet of {', '.join(students)} in {folder} to hand in;"
            f" answer a question first{f' ({notice})' if notice else ''}"
        )
    text = _to_text(students, sheets)
    if len(text.encode("utf-8")) > LARGEST_FILE:
        raise ValueError(
            f"the sheets are more than {LARGEST_FILE:,} bytes together; hand in the"
            f" sheets in {folder} one by one"
        )
    return text, sheets, notice


def _with_draft(sheets, draft):
    """The sheets, with one that has what no disk has in place of its own."""
    now, waiting = datetime.now(UTC), []
    for place, attempt in enumerate(draft.attempts):
        if not attempt.id:
            # In their order, though all of them get their time only now.
            when = now + timedelta(microseconds=place)
            when = when.isoformat(timespec="microseconds")
            attempt = replace(attempt, id=uuid4().hex, when=when)
        waiting.append(attempt)
    draft = replace(draft, attempts=tuple(waiting))

    def same(one):
        return (one.lab, one.form) == (draft.lab, draft.form)

    kept = [one for one in sheets if same(one)]
    others = [one for one in sheets if not same(one)]
    return [*others, joined([draft, *kept])]


def _sheets(students, forms, folder):
    """The sheets that are there, and what is wrong with those that are not read."""
    sheets, faults = [], []
    for lab in LAB_NAMES:
        for form in forms:
            path = sheet_path(students, lab, form, folder)
            try:
                sheet = kept_sheet(path)
                whose = sheet.students, sheet.lab, sheet.form
                must(whose == (students, lab, form), "it is another sheet's content")
            except FileNotFoundError:
                continue
            except (ValueError, OSError) as error:
                faults.append(f"{path.name} cannot be read: {error}")
            else:
                sheets.append(sheet)
    return sheets, faults


def _to_text(students, sheets):
    """The text of the file, one sheet after the other as each stands in its own."""
    data = {"kind": _KIND, "version": VERSION, "students": students}
    head = json.dumps(data, ensure_ascii=False)[:-1]
    inner = ",\n".join(to_text(sheet).rstrip() for sheet in sheets)
    return f'{head},\n"sheets": [\n{inner}\n]}}\n'


def read_handed_in(path):
    """What a file holds that was handed in: one sheet, or a file of several.

    Returns
    -------
    list of (what, sheet or ValueError): `what` tells the sheet within the file, "" for
    a file that is one sheet. A sheet that is damaged leaves the others as they are.

    Raises
    ------
    ValueError
        It is neither, with the reason in a few words.
    OSError
        It cannot be read.
    """
    return handed_in(read_small(Path(path), LARGEST_FILE))


def handed_in(text):
    """What the text of such a file holds, see :func:`read_handed_in`."""
    if f'"{_KIND}"' not in text[:_HEAD]:
        fine = len(text.encode("utf-8")) <= LARGEST
        must(fine, f"it has more than {LARGEST:,} bytes")
    data = parsed(text)
    if not isinstance(data, dict) or data.get("kind") != _KIND:
        return [("", from_data(data))]
    known_version(data, VERSION)
    fine = set(data) == _KEPT and isinstance(data["sheets"], list)
    must(fine, "it has not the entries of a file to hand in")
    must(len(data["sheets"]) <= MOST_SHEETS, f"it has more than {MOST_SHEETS} sheets")
    return [
        (f"sheet {number}", _sheet_or_fault(one))
        for number, one in enumerate(data["sheets"], start=1)
    ]


def _sheet_or_fault(data):
    try:
        return from_data(data)
    except ValueError as error:
        return error
