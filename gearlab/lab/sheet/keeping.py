"""Where answers stay in a browser, and sheets that are brought there from elsewhere."""

import os

from ...base.filewriter import reason, replace_file
from .answers import AnswerSheet, to_text
from .handin import handed_in
from .partfiles import loaded_part
from .sheet import DRIVE, answers_folder, sheet_path
from .told import quoted

IN_BROWSER = (
    "Your answers are kept in this browser, on this device. Clearing the browser's data"
    " deletes them: download your sheets now and then."
)
UNTIL_CLOSED = (
    "Your answers are kept only until you close this page: download your sheets before"
    " you go, and load them when you come back."
)
NOT_KEPT = (
    "Your answers cannot be kept here: download your sheets before you close this page."
)


def how_kept(storage):
    """One of three sentences on where the answers of a page in a browser stay.

    `storage` says whether the browser lets the page keep anything.
    """
    try:
        folder = answers_folder()
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError):
        return NOT_KEPT
    if not os.access(folder, os.W_OK):
        return NOT_KEPT
    return IN_BROWSER if storage and DRIVE in folder.parents else UNTIL_CLOSED


def load_sheets(texts):
    """Put the sheets of some files beside those that are kept here; nothing is lost.

    Parameters
    ----------
    texts : of files as :mod:`gearlab.lab.sheet.handin` makes them, or of single sheets

    Returns
    -------
    (ids of whose sheets were loaded, a sentence)

    Raises
    ------
    ValueError
        None of them could be loaded, and why.
    """
    loaded, faults = [], []
    for number, text in enumerate(texts, start=1):
        called = f"file {number}" if len(texts) > 1 else "the file"
        try:
            found = handed_in(text)
        except ValueError as error:
            faults.append(f"{called} cannot be loaded: {error}")
            continue
        for what, sheet in found:
            fault = _kept(sheet)
            if fault:
                faults.append(f"{what or called} cannot be loaded: {fault}")
            else:
                loaded.append(sheet)
    left_out = "; ".join(faults)
    if not loaded:
        raise ValueError(left_out or "no file was chosen")
    whose = tuple(dict.fromkeys(", ".join(sheet.students) for sheet in loaded))
    count = f"{len(loaded)} sheet{'s' * (len(loaded) != 1)}"
    said = f"Loaded: {count} of {quoted(whose)}."
    return whose, f"{said} Left out: {left_out}." if faults else said


def _kept(sheet):
    """Write a sheet beside the others; "" or why it cannot be."""
    if not isinstance(sheet, AnswerSheet):
        return str(sheet)
    try:
        path = sheet_path(sheet.students, sheet.lab, sheet.form)
        path.parent.mkdir(parents=True, exist_ok=True)
        text = to_text(sheet)
        replace_file(loaded_part(path, text), text)
    except (OSError, ValueError) as error:
        return f"it cannot be written ({reason(error)})"
    return ""
