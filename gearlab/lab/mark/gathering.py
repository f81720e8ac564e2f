"""What a class handed in: every sheet in a folder, and why each other file is none.

Nothing is unpacked, followed or run, and what one file holds stops no other.
"""

import os
from pathlib import Path

from ...base.checks import shortened
from ...base.filewriter import is_folder, reason
from ..sheet.handin import read_handed_in
from ..sheet.signin import NAME

_MOST_SHEETS = 20_000
_MOST_FILES = 100_000
_OURS = (".lock", ".csv")


def gathered(folder):
    """The answer sheets in a folder and the folders in it.

    Parameters
    ----------
    folder : path

    Returns
    -------
    (handed, skipped)
        handed : {(students, lab, form): [(where it is, AnswerSheet)]}
        skipped : [(file name, why it is no sheet)]

    Raises
    ------
    ValueError
        There is no such folder, or it holds far too many files.
    """
    said = shortened(str(folder), 200)
    # An empty name would be the current folder, which nobody meant.
    if not str(folder).strip() or not is_folder(folder):
        raise ValueError(f"there is no folder {said}; give the one with the sheets")
    skipped, paths = [], []
    for path in _files(Path(folder), skipped):
        if len(paths) == _MOST_FILES:
            raise ValueError(
                f"{said} holds more than {_MOST_FILES:,} files; give the folder that"
                " holds the sheets and little else"
            )
        paths.append(path)
    handed, number = {}, 0
    for path in sorted(paths):
        name = path.relative_to(folder).as_posix()
        for where, sheet in _sheets(path, name, number):
            if isinstance(sheet, Exception):
                skipped.append((where, reason(sheet)))
                continue
            whose = sheet.students, sheet.lab, sheet.form
            handed.setdefault(whose, []).append((where, sheet))
            number += 1
    return handed, skipped


def _files(folder, skipped):
    def refused(error):
        name = Path(error.filename).relative_to(folder).as_posix()
        skipped.append((name, f"the folder cannot be read: {reason(error)}"))

    # Links to folders are not followed, so there is no loop.
    for place, _, names in os.walk(folder, onerror=refused):
        for name in names:
            # What the library itself writes beside the sheets is nobody's answers.
            ours = name == NAME or name.startswith(".") or name.endswith(_OURS)
            if not ours:
                yield Path(place) / name


def _sheets(path, name, number):
    """[(where, AnswerSheet or what is wrong)] of one file."""
    try:
        inside = _read(path, number)
    except (ValueError, OSError) as error:
        return [(name, error)]
    return [(f"{name}, {what}" if what else name, sheet) for what, sheet in inside]


def _read(path, number):
    if path.is_symlink():
        raise ValueError("it is a link, not a file")
    if path.suffix.lower() == ".zip":
        raise ValueError("it is packed; unpack it, and mark the folder again")
    if path.suffix.lower() != ".json":
        raise ValueError("it is no .json file")
    if number >= _MOST_SHEETS:
        raise ValueError(f"there are more than {_MOST_SHEETS:,} sheets")
    return read_handed_in(path)
