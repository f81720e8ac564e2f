"""The answer sheet of a student on disk: where it lies, reading it, adding an answer.

Any number of windows and kernels may write one sheet. Each answer is added under a
lock to what the file then holds, so none is lost. In a browser nothing can be locked,
so there the sheet is in parts, see :mod:`gearlab.lab.sheet.partfiles`.
"""

import os
from dataclasses import replace
from datetime import UTC, datetime
from fractions import Fraction
from functools import partial
from pathlib import Path
from uuid import uuid4

from ...base.checks import shortened
from ...base.filewriter import reason, replace_file, sweep
from ...base.frozenmap import FrozenMap
from ...base.machine import in_browser
from ..question.papers import Asked, fitted, plain_given
from ..question.question import Explanation, Number
from ..question.reading import read_answer
from .answers import (
    LARGEST,
    MOST_ATTEMPTS,
    VERSION,
    AnswerSheet,
    Attempt,
    NewerSheetError,
    from_text,
    joined,
    to_text,
)
from .partfiles import own_part, parts_of
from .sheetfile import LockLostError, locked, read_small, set_aside, write_whole
from .students import file_stem

__all__ = [
    "AnswerSheet",
    "Attempt",
    "answers_folder",
    "as_begun",
    "kept_sheet",
    "load_sheet",
    "read_sheet",
    "record",
    "sheet_path",
]
FOLDER_VARIABLE = "GEARLAB_ANSWERS"
DRIVE = Path("/drive")  # what a browser keeps of a page that runs Python
_LONGEST = 200  # letters of an answer that is no explanation
_written = {}  # {file of this kernel: what it holds}, should a browser empty its drive


def answers_folder():
    """The folder of all answer sheets, whether it is there yet or not.

    The environment variable GEARLAB_ANSWERS says where, else it is "gearlab-answers" in
    the home folder, or in a browser in its drive; ValueError if neither gives a whole
    path.
    """
    said = os.environ.get(FOLDER_VARIABLE, "").strip()
    try:
        folder = Path(said).expanduser() if said else _home() / "gearlab-answers"
    except RuntimeError:
        folder = Path(said)
    if not folder.is_absolute():
        raise ValueError(
            f"{FOLDER_VARIABLE} is {shortened(said)}, but it must be a whole path, from"
            f" the root on, such as {Path(os.sep, 'class', 'answers')}; set it anew and"
            " restart the kernel"
        )
    return folder


def _home():
    # The home folder of a browser is gone with the page.
    return DRIVE if in_browser() and DRIVE.is_dir() else Path.home()


def sheet_path(students, lab, form, folder=None):
    """Where the sheet of these students lies; `lab` is a lab's name.

    >>> sheet_path(("ana lima",), "turn-one-set", "A", "sheets").as_posix()
    'sheets/turn-one-set_A_ana-lima_a17ec54b.json'
    """
    folder = answers_folder() if folder is None else Path(folder)
    return folder / f"{file_stem(tuple(students), lab, form)}.json"


def read_sheet(path):
    """The :class:`AnswerSheet` in a file.

    Raises ValueError, with the reason in a few words, where the file holds none, and
    OSError where it cannot be read.
    """
    return from_text(read_small(Path(path), LARGEST))


def kept_sheet(path):
    """The :class:`AnswerSheet` at a path as it is kept here, of all its parts.

    Raises what :func:`read_sheet` does.
    """
    if not in_browser():
        return read_sheet(path)
    parts = [read_sheet(part) for part in parts_of(Path(path))]
    if not parts:
        raise FileNotFoundError(path)
    return joined(parts)


def load_sheet(paper, folder=None):
    """The sheet of a paper as it stands on disk, or an empty one.

    A file that cannot be read as this paper's sheet is moved aside; it is not deleted.
    What a killed process left half written in the folder is deleted, once it is old.

    Parameters
    ----------
    paper : Paper of one or more students
    folder : where the sheets lie; None for :func:`answers_folder`

    Returns
    -------
    (AnswerSheet, notice): `notice` is a sentence about what was moved aside, or ""

    Raises
    ------
    ValueError
        Nobody is signed in, a later version wrote the sheet, it is about another unit,
        or the disk refuses.
    """
    path = _path_of(paper, folder)
    sweep(path.parent)
    try:
        sheet, notice = _opened(paper, path)
    except OSError as error:
        raise ValueError(_refused("read", path, error)) from error
    _check_unit(paper.lab, sheet)
    return sheet, notice


def _opened(paper, path):
    if in_browser():
        return _united(paper, path)
    sheet, fault = _read(paper, path)
    if fault:
        with locked(path):
            sheet, fault = _read_or_set_aside(paper, path)
    return sheet, fault


def record(paper, question, answer, *, hints=0, folder=None):
    """Add an answer to the sheet on disk, and return the sheet as it then stands.

    Parameters
    ----------
    paper : Paper of one or more students
    question : name of the topic
    answer : what was given, see :func:`gearlab.lab.question.reading.read_answer`
    hints : how many of the question's hints have been seen so far
    folder : where the sheets lie; None for :func:`answers_folder`

    Returns
    -------
    (AnswerSheet, notice), as from :func:`load_sheet`

    Raises
    ------
    ValueError
        The answer was not kept, and why. The sheet on disk is as it was.
    """
    path = _path_of(paper, folder)
    asked = paper.asked[question]
    attempt = Attempt(
        id=uuid4().hex,
        question=question,
        answer=as_kept(asked.question, answer),
        when=datetime.now(UTC).isoformat(timespec="microseconds"),
        hints=min(hints, len(asked.question.hints)),
    )
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        while True:
            try:
                add = _add_to_part if in_browser() else _add
                return add(paper, asked, attempt, path)
            except LockLostError:
                continue  # read again what the others have written meanwhile
    except OSError as error:
        raise ValueError(_refused("written", path, error)) from error


def as_begun(paper, sheet):
    """The paper with the questions of the sheet as they were first asked.

    They differ only where a later version asks or draws something else than the one
    with which the sheet was begun.
    """
    asked = dict(paper.asked)
    for name, (revision, given) in sheet.questions.items():
        if name not in asked or _same_question(asked[name], (revision, given)):
            continue
        topic = asked[name].topic
        try:
            question = topic.as_asked(revision, given)
        except Exception:  # the file's numbers may be anything
            continue
        ask = partial(topic.as_asked, revision)
        topic = replace(topic, revision=revision, ask=ask)
        asked[name] = Asked(topic=topic, given=given, question=question)
    return replace(paper, asked=FrozenMap(asked))


def _same_question(asked, kept):
    return (asked.topic.revision, plain_given(asked.given)) == (kept[0], dict(kept[1]))


def _check_unit(lab, sheet):
    begun = fitted(lab, sheet.questions)
    if begun.unit != lab.unit:
        raise ValueError(
            f"the sheet of form {sheet.form} was begun on another unit,"
            f' "{begun.title}", and not on "{lab.title}" as its train file is now; take'
            " another form, or open the lab with that unit"
        )


def _path_of(paper, folder):
    if not paper.students:
        raise ValueError("nobody is signed in, so no answer is kept; sign in first")
    return sheet_path(paper.students, paper.lab.name, paper.form, folder)


def _empty(paper):
    return AnswerSheet(
        students=paper.students, lab=paper.lab.name, form=paper.form, version=VERSION
    )


def _read(paper, path):
    """(sheet, ""), an empty one without a file, or (None, what is wrong with it)."""
    empty = _empty(paper)
    try:
        sheet = read_sheet(path)
    except FileNotFoundError:
        return empty, ""
    except NewerSheetError as error:
        raise ValueError(
            f"the answer sheet {path} is not touched: {error}; update this one, or"
            " choose another folder"
        ) from error
    except ValueError as error:
        return None, str(error)
    if (sheet.students, sheet.lab, sheet.form) != (
        empty.students,
        empty.lab,
        empty.form,
    ):
        return None, "it is another sheet's content"
    return sheet, ""


def _read_or_set_aside(paper, path):
    """The sheet and a notice; the lock is held, so nobody else moves it too."""
    sheet, fault = _read(paper, path)
    if not fault:
        return sheet, ""
    aside = set_aside(path)
    sheet, _ = _read(paper, path)
    return sheet, (
        f"The answer sheet could not be read: {fault}. It was kept as {aside.name}, and"
        " a new one is begun."
    )


def _add(paper, asked, attempt, path):
    with locked(path) as lock:
        sheet, notice = _read_or_set_aside(paper, path)
        sheet = _longer(sheet, asked, attempt)
        write_whole(path, _fitting(sheet, path), lock)
    return sheet, notice


def _longer(sheet, asked, attempt):
    """The sheet with one more attempt; ValueError if it was asked otherwise before."""
    kept = sheet.questions.get(attempt.question)
    if kept and not _same_question(asked, kept):
        raise ValueError(
            f'"{attempt.question}" was asked otherwise when this sheet was begun;'
            " sign in again to go on with it"
        )
    new = (asked.topic.revision, FrozenMap(plain_given(asked.given)))
    return replace(
        sheet,
        version=VERSION,
        questions=FrozenMap({**sheet.questions, attempt.question: kept or new}),
        attempts=(*sheet.attempts, attempt),
    )


def _fitting(sheet, path):
    """The text of a sheet; ValueError if it is too long for a file."""
    text = to_text(sheet)
    if len(text.encode("utf-8")) > LARGEST or len(sheet.attempts) > MOST_ATTEMPTS:
        raise ValueError(
            f"the answer sheet {path.name} is full, so this answer is not kept;"
            " hand it in and use another form"
        )
    return text


# In parts -------------------------------------------------------------------------


def _united(paper, path):
    """The sheet of all its parts, and a notice of those that cannot be read."""
    sheet, faults = _empty(paper), []
    for part in parts_of(path):
        found, fault = _read(paper, part)
        try:
            sheet = joined([sheet, found]) if found else sheet
        except ValueError as error:
            fault = str(error)
        if fault:
            faults.append(f"{part.name}, {fault}")
    notice = f"A part of the answer sheet was left out: {'; '.join(faults)}."
    return sheet, notice if faults else ""


def _add_to_part(paper, asked, attempt, path):
    sheet, notice = _united(paper, path)
    sheet = _longer(sheet, asked, attempt)
    _fitting(sheet, path)
    file = own_part(path)
    own, fault = _read(paper, file)
    if fault:
        set_aside(file)
    before = [one for one in (_written.get(file), own) if one]
    own = _longer(joined(before or [_empty(paper)]), asked, attempt)
    replace_file(file, to_text(own))
    _written[file] = own
    return sheet, notice


def as_kept(question, answer):
    """The answer as JSON holds it; ValueError if nobody could read it back."""
    read = read_answer(question, answer)
    if isinstance(answer, str):
        # An explanation keeps its lines; elsewhere a long text is only long spaces.
        spaced = len(answer) > _LONGEST and not isinstance(question, Explanation)
        kept = " ".join(answer.split()) if spaced else answer.strip()
    elif isinstance(question, Number):
        kept = _number_text(read)
    elif isinstance(answer, (set, frozenset)):
        kept = tuple(sorted(answer))
    else:
        kept = tuple(answer)
    read_answer(question, kept)
    return kept


def _number_text(value):
    """A number as a person would write it, with no more digits than are read."""
    value = Fraction(value)
    if max(abs(value.numerator), value.denominator) < 10**12:
        return str(value)
    # At most 12 digits on either side of the point, also where it would be rounded up.
    small = min(round(abs(value) * 10**12), 10**24 - 1)
    text = f"{small // 10**12}.{small % 10**12:012}".rstrip("0").rstrip(".")
    return f"-{text}" if value < 0 else text


def _refused(what, path, error):
    return (
        f"the answer sheet {path.name} cannot be {what} in {path.parent}"
        f" ({reason(error)}); make room or set {FOLDER_VARIABLE} to another folder"
    )
