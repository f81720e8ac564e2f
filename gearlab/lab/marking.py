"""Marks from answer sheets: keys worked out anew, marks of the first and the best try.

A sheet is read, never run, and whatever is in a file, the others are marked.
"""

import os
from contextlib import suppress
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

from ..checks import shortened
from .answers import united
from .checking import check
from .labs import LAB_NAMES, find_lab
from .marktable import class_slips, to_csv, to_text
from .papers import draw_numbers, draw_paper, full_marks, plain_given
from .question import Explanation
from .reading import read_answer
from .sheet import read_sheet
from .signin import NAME
from .ticks import key_of, plain_text, read_ticks, write_ticks

__all__ = [
    "Marked",
    "Marking",
    "Result",
    "class_slips",
    "mark_folder",
    "mark_sheet",
    "to_csv",
    "to_text",
    "write_ticks",
]
MARKED, PREDICTION, EXPLANATION = "marked", "prediction", "explanation"
_MOST_SHEETS = 20_000
_OURS = (".lock", ".csv")


@dataclass(frozen=True, kw_only=True)
class Result:
    """What one question gives. `kind` is "marked", "prediction" or "explanation".

    `first` and `best` are the marks of the first and the best try, of `marks`. `slips`
    are the known ones, by name and once each. An explanation has its `text` and its
    `points`; `ticks` are the instructor's, one a point, or None where nobody looked.
    """

    question: str
    kind: str
    marks: int
    first: int = 0
    best: int = 0
    tries: int = 0
    hints: int = 0
    slips: tuple[str, ...] = ()
    text: str = ""
    points: tuple[str, ...] = ()
    ticks: tuple[bool, ...] | None = None

    @property
    def ticked(self):
        """The marks that the ticks give; 0 without any."""
        return Fraction(self.marks * sum(self.ticks or ()), 3)


@dataclass(frozen=True, kw_only=True)
class Marked:
    """A marked sheet; `notes` say what the instructor should know of it."""

    students: tuple[str, ...]
    lab: str
    title: str
    form: str
    results: tuple[Result, ...]
    questions: int  # how many the lab has
    full: int
    notes: tuple[str, ...] = ()

    @property
    def first_mark(self):
        """The marks if only first tries count, with those of the ticks."""
        return sum((r.first + r.ticked for r in self.results), Fraction(0))

    @property
    def best_mark(self):
        """The marks if the best try counts, with those of the ticks."""
        return sum((r.best + r.ticked for r in self.results), Fraction(0))

    @property
    def waiting(self):
        """The explanations that nobody has ticked yet."""
        return tuple(
            r for r in self.results if r.kind == EXPLANATION and r.ticks is None
        )

    @property
    def predictions(self):
        """How many predictions were made."""
        return sum(r.kind == PREDICTION and r.tries > 0 for r in self.results)

    @property
    def slips(self):
        """The slips that were seen, by name, once each."""
        return tuple(dict.fromkeys(name for r in self.results for name in r.slips))


@dataclass(frozen=True, kw_only=True)
class Marking:
    """A folder's sheets, in the order of labs, and the files that are none.

    `skipped` holds (file name, reason).
    """

    rows: tuple[Marked, ...]
    skipped: tuple[tuple[str, str], ...] = ()


def mark_sheet(sheet):
    """The :class:`Marked` sheet. Every key is worked out from the drawn numbers.

    Raises ValueError for a lab that is unknown.
    """
    lab = find_lab(sheet.lab)
    numbers = _own_numbers(lab, sheet)
    unknown = sheet.questions.keys() - numbers.keys()
    notes = [f"no question of this lab: {name}" for name in sorted(unknown)]
    results = []
    for topic in lab.topics:
        if topic.name not in sheet.questions:
            continue
        try:
            kept = sheet.questions[topic.name]
            question = _question(topic, *kept, numbers[topic.name])
        except ValueError as error:
            notes.append(f"{error}: {topic.name}")
        else:
            results.append(_result(topic, question, sheet.tries(topic.name)))
    return Marked(
        students=sheet.students,
        lab=lab.name,
        title=lab.title,
        form=sheet.form,
        results=tuple(results),
        questions=len(lab.topics),
        full=full_marks(lab),
        notes=tuple(notes),
    )


def _own_numbers(lab, sheet):
    """{topic name: the numbers that these students have in this form}."""
    with suppress(ValueError):
        # Where the first draw is theirs, no paper need be made, which takes longer.
        _, numbers = draw_numbers(lab, sheet.students, sheet.form)
        both = sheet.questions.keys() & numbers.keys()
        if all(_same(sheet.questions[name][1], numbers[name]) for name in both):
            return numbers
    paper = draw_paper(lab, sheet.students, sheet.form)
    return {name: asked.given for name, asked in paper.asked.items()}


def _same(one, other):
    return plain_given(one) == plain_given(other)


def _question(topic, revision, given, own):
    """What was asked; ValueError where that is not known or not this student's."""
    if revision == topic.revision and not _same(given, own):
        raise ValueError("numbers are not this student's")
    try:
        return topic.as_asked(revision, given)
    except Exception as error:  # numbers of an earlier revision may be anything
        raise ValueError("cannot be asked as it was") from error


def _result(topic, question, tries):
    hints = max((attempt.hints for attempt in tries), default=0)
    if isinstance(question, Explanation) and not topic.prediction:
        return _explanation(topic, question, tries, hints)
    verdicts = [check(question, attempt.answer) for attempt in tries]
    verdicts = [verdict for verdict in verdicts if verdict.read]
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
        **common,
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
    )


def mark_folder(folder, progress=None, ticks=()):
    """Mark every answer sheet in a folder and the folders in it.

    Parameters
    ----------
    folder : path
    progress : called as ``progress(done, total)`` after each file
    ticks : a file, or several, that :func:`write_ticks` made and that is filled in

    Returns
    -------
    Marking

    Raises
    ------
    ValueError
        There is no such folder, or a file of ticks is none.
    """
    folder = Path(folder)
    if not folder.is_dir():
        raise ValueError(f"there is no folder {folder}; give the one with the sheets")
    sheets, skipped = _read_all(folder)
    rows = []
    for done, (name, sheet) in enumerate(sheets, start=1):
        try:
            rows.append(mark_sheet(sheet))
        except Exception as error:  # whatever it is, the others are marked
            skipped.append((name, f"it cannot be marked: {_reason(error)}"))
        if progress:
            progress(done, len(sheets))
    rows.sort(key=lambda row: (LAB_NAMES.index(row.lab), row.form, row.students))
    for path in [ticks] if isinstance(ticks, (str, os.PathLike)) else ticks:
        rows, left = _with_ticks(rows, path)
        if left:
            skipped.append((str(path), f"rows that fit no sheet here: {left}"))
    return Marking(rows=tuple(rows), skipped=tuple(skipped))


def _read_all(folder):
    """([(file name, sheet)], [(file name, why it is skipped)]), copies united."""
    sheets, skipped = {}, []
    for path in sorted(_files(folder)):
        name = path.relative_to(folder).as_posix()
        try:
            sheet = _read(path, len(sheets))
            whose = sheet.students, sheet.lab, sheet.form
            first, kept = sheets.get(whose, (name, None))
            sheets[whose] = first, _added(kept, first, sheet)
        except (ValueError, OSError) as error:
            skipped.append((name, _reason(error)))
        else:
            if kept:
                skipped.append((name, f"a copy of {first}; the answers are united"))
    return list(sheets.values()), skipped


def _added(kept, first, sheet):
    """A sheet with an earlier copy of it, if there is one, from the file `first`."""
    try:
        return united(kept, sheet) if kept else sheet
    except ValueError as error:
        raise ValueError(f"it is no true copy of {first}: {error}") from error


def _files(folder):
    # Links to folders are not followed, so there is no loop.
    for place, _, names in os.walk(folder):
        for name in names:
            # What the library itself writes beside the sheets is nobody's answers.
            ours = name == NAME or name.startswith(".") or name.endswith(_OURS)
            if not ours:
                yield Path(place) / name


def _read(path, sheets):
    if path.is_symlink():
        raise ValueError("it is a link, not a file")
    if path.suffix.lower() != ".json":
        raise ValueError("it is no .json file")
    if sheets >= _MOST_SHEETS:
        raise ValueError(f"there are more than {_MOST_SHEETS} sheets")
    return read_sheet(path)


def _reason(error):
    """Why a file is skipped, in a line that can be printed."""
    reason = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return shortened(reason, 100).strip('"')


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
        text, boxes = ticks.get(_key(row, result), ("", None))
        if result.kind == EXPLANATION and boxes is not None:
            if text == plain_text(result.text):
                result = replace(result, ticks=boxes)
            else:
                notes.append(f"another text than was ticked: {result.question}")
        results.append(result)
    return replace(row, results=tuple(results), notes=tuple(notes))
