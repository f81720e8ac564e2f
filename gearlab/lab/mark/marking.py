"""Marks from answer sheets: keys worked out anew, marks of the first and the best try.

A sheet is read, never run, and whatever is in a file, the others are marked.
"""

import os
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache

from ...base.filewriter import reason
from ..question.checking import NOT_YET, check
from ..question.papers import (
    all_marks,
    draw_numbers,
    draw_paper,
    fitted,
    full_marks,
    same_given,
)
from ..question.question import Explanation
from ..question.reading import read_answer
from ..sheet.told import answer_told, shown
from ..suite.labs import LAB_NAMES, find_lab
from .claims import settled
from .gathering import gathered
from .marktable import class_slips, to_csv, to_text, write_marks
from .notes import EARLIER, FOREIGN, UNASKABLE, UNKNOWN, last_answer
from .results import EXPLANATION, MARKED, PREDICTION, Marked, Marking, Result, Told
from .ticks import kept_text, key_of, read_ticks, write_ticks
from .workers import done_in_order

__all__ = [
    "Marked",
    "Marking",
    "Result",
    "class_slips",
    "mark_folder",
    "mark_sheet",
    "to_csv",
    "to_text",
    "write_marks",
    "write_ticks",
]
_DRAWS = 50  # that are looked at before a whole paper is made


def mark_sheet(sheet):
    """The :class:`Marked` sheet. Every key is worked out from the drawn numbers.

    Raises ValueError for a lab that is unknown, and for one on a unit that is none.
    """
    lab = fitted(find_lab(sheet.lab), sheet.questions)
    own = _own(lab, sheet)
    unknown = sheet.questions.keys() - own.keys()
    notes = [f"{UNKNOWN}: {name}" for name in sorted(unknown)]
    results = []
    for topic in lab.topics:
        if topic.name not in sheet.questions:
            continue
        try:
            revision, given = sheet.questions[topic.name]
            question = _question(topic, revision, given, own[topic.name])
        except ValueError as error:
            notes.append(f"{error}: {topic.name}")
        else:
            if revision != topic.revision:
                notes.append(f"{EARLIER}: {topic.name}")
            results.append(_result(topic, question, sheet.tries(topic.name)))
    tried = {result.question for result in results if result.tries}
    return Marked(
        students=sheet.students,
        lab=lab.name,
        title=lab.title,
        form=sheet.form,
        results=tuple(results),
        questions=len(lab.topics),
        full=full_marks(lab),
        full_explained=all_marks(lab) - full_marks(lab),
        notes=tuple(notes),
        left=tuple(t.name for t in lab.topics if t.name not in tried),
        last=last_answer(sheet),
    )


def _own(lab, sheet):
    """{topic name: (the numbers that these students have, the question or None)}."""
    # Where the first draw that can be is theirs, no paper need be made, which takes
    # longer: a paper asks every question.
    own = _first_draw(lab, sheet.students, sheet.form)
    if own is not None and _fit(lab, sheet, own):
        return own
    return _paper(lab, sheet.students, sheet.form)


# Many sheets may be in one name.
@lru_cache(maxsize=20)
def _first_draw(lab, students, form):
    for attempt in range(_DRAWS):
        with suppress(ValueError):  # teeth that no set can have
            _, numbers = draw_numbers(lab, students, form, attempt)
            return {name: (given, None) for name, given in numbers.items()}
    return None


@lru_cache(maxsize=20)
def _paper(lab, students, form):
    paper = draw_paper(lab, students, form)
    return {name: (one.given, one.question) for name, one in paper.asked.items()}


def _fit(lab, sheet, own):
    """Whether no question that is asked as today has other numbers than these."""
    return all(
        same_given(given, own[topic.name][0])
        for topic in lab.topics
        for revision, given in [sheet.questions.get(topic.name, (None, None))]
        if revision == topic.revision
    )


def _are_own(sheet):
    """Whether no number in a sheet is another student's, as far as can be known."""
    try:
        lab = fitted(find_lab(sheet.lab), sheet.questions)
        return _fit(lab, sheet, _own(lab, sheet))
    except Exception:  # the sheet is shown with what is wrong, and does not count
        return False


def _question(topic, revision, given, own):
    """What was asked; ValueError where that is not known or not this student's."""
    numbers, question = own
    if revision == topic.revision:
        if not same_given(given, numbers):
            raise ValueError(FOREIGN)
        if question is not None:
            return question
    try:
        return topic.as_asked(revision, given)
    except Exception as error:  # numbers of an earlier revision may be anything
        raise ValueError(UNASKABLE) from error


def _result(topic, question, tries):
    hints = max((attempt.hints for attempt in tries), default=0)
    if isinstance(question, Explanation) and not topic.prediction:
        return _explanation(topic, question, tries, hints)
    found = [(attempt, check(question, attempt.answer)) for attempt in tries]
    found = [(attempt, verdict) for attempt, verdict in found if verdict.read]
    verdicts = [verdict for _, verdict in found]
    common = {"question": topic.name, "tries": len(verdicts), "hints": hints}
    if topic.prediction:
        return Result(kind=PREDICTION, marks=0, **common)
    right = [verdict.right for verdict in verdicts]
    slips = dict.fromkeys(verdict.slip for verdict in verdicts if verdict.slip)
    return Result(
        kind=MARKED,
        marks=topic.marks,
        first=topic.marks * any(right[:1]),
        best=topic.marks * any(right),
        slips=tuple(slips),
        told=None if any(right) or not found else _told(question, *found[-1]),
        **common,
    )


def _told(question, attempt, verdict):
    """What can be told of a question whose last try was not right."""
    help = "" if verdict.words == NOT_YET else verdict.words.removeprefix("Not yet: ")
    return Told(
        text=question.text,
        answer=shown(attempt),
        slip=verdict.slip or "",
        help=help,
        way=" ".join(question.hints),
        key=answer_told(question),
        pictured=any((question.picture, question.on_paper)),
    )


def _explanation(topic, question, tries, hints):
    texts = []
    for attempt in tries:
        try:
            texts.append(read_answer(question, attempt.answer))
        except ValueError:
            continue
    return Result(
        question=topic.name,
        kind=EXPLANATION,
        marks=topic.marks,
        tries=len(texts),
        hints=hints,
        text=texts[-1] if texts else "",
        points=question.points,
        told=Told(text=question.text),
    )


def mark_folder(folder, progress=None, ticks=(), processes=1):
    """Mark every answer sheet in a folder and the folders in it.

    Parameters
    ----------
    folder : path
    progress : called as ``progress(done, total)`` after each file, or some of them
    ticks : a file, or several, that :func:`write_ticks` made and that is filled in
    processes : how many may share the work, where there are many sheets

    Returns
    -------
    Marking

    Raises
    ------
    ValueError
        There is no such folder, or a file of ticks is none.
    """
    handed, skipped = gathered(folder)
    claims, copies, conflicts = [], [], []
    for sheets in handed.values():
        found = settled(sheets, _are_own)
        for part, more in zip((claims, copies, conflicts), found, strict=True):
            part += more
    rows = []
    marked = done_in_order(_row_or_why, claims, processes, progress)
    for claim, (row, why) in zip(claims, marked, strict=True):
        if row is None:
            skipped += [(name, why) for name in claim.files]
        else:
            rows.append(row)
    # Sheets in one name stay in the order of their claims: those that count come first.
    rows.sort(key=lambda row: (LAB_NAMES.index(row.lab), row.form, row.students))
    for path in [ticks] if isinstance(ticks, (str, os.PathLike)) else ticks:
        rows, left = _with_ticks(rows, path)
        if left:
            skipped.append((str(path), f"rows that fit no sheet here: {left}"))
    return Marking(
        rows=tuple(rows),
        skipped=tuple(skipped),
        copies=tuple(copies),
        conflicts=tuple(conflicts),
    )


def _row_or_why(claim):
    """(the row of a claim, ""), or (None, why there is none)."""
    try:
        return _row(claim), ""
    except Exception as error:  # whatever it is, the others are marked
        return None, f"it cannot be marked: {reason(error)}"


def _row(claim):
    row = mark_sheet(claim.sheet)
    notes = (claim.note, *row.notes) if claim.note else row.notes
    return replace(row, files=claim.files, counts=claim.counts, notes=notes)


def _with_ticks(rows, path):
    """The rows with the ticks of a file, and how many of those fit none of them."""
    ticks = read_ticks(path)
    left = len(ticks.keys() - {_key(row, r) for row in rows for r in row.results})
    if ticks and left == len(ticks):
        raise ValueError(
            f"{path} has no row of these sheets; give the file that was made for them"
        )
    return [_ticked(row, ticks) for row in rows], left


def _key(row, result):
    return key_of(row.students, row.lab, row.form, result.question)


def _ticked(row, ticks):
    results, notes = [], list(row.notes)
    for result in row.results:
        texts = ticks.get(_key(row, result), {})
        boxes = texts.get(kept_text(result.text))
        if result.kind == EXPLANATION and boxes is not None:
            result = replace(result, ticks=boxes)
        elif kept_text(result.text) not in texts and any(texts.values()):
            notes.append(f"another text than was ticked: {result.question}")
        results.append(result)
    return replace(row, results=tuple(results), notes=tuple(notes))
