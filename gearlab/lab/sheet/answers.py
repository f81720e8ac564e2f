"""An answer sheet as data, and as the text of its file.

A sheet holds what was asked, with the drawn numbers, and every answer that was given;
never a key and never a mark. What comes from a file is checked piece by piece, since
anybody may have written it.
"""

import json
from dataclasses import dataclass, replace
from math import isfinite

from ...base.checks import shortened
from ...base.frozenmap import FrozenMap
from ..question.papers import FORMS, plain_given
from ..question.reading import LONGEST
from .students import MOST, read_students

VERSION = 1
LARGEST = 1_000_000  # bytes of a file
MOST_ATTEMPTS = 20_000
NO_ID = "it names no student"
_KIND = "gearlab answer sheet"
_BIGGEST = 1_000_000  # no drawn number comes near it
_DEEPEST = 6  # lists within lists of the drawn numbers
_NAME = 100  # letters of a name
_KEPT = {"kind", "version", "students", "lab", "form", "questions", "attempts"}


class NewerSheetError(ValueError):
    """A later version wrote the sheet; only that version may touch it."""


@dataclass(frozen=True, kw_only=True)
class Attempt:
    """One answer as it was given: text, or a tuple of names.

    `hints` says how many of the question's hints had been seen by then; `when` is the
    time in UTC, as text that sorts.
    """

    id: str
    question: str
    answer: str | tuple[str, ...]
    when: str
    hints: int = 0


@dataclass(frozen=True, kw_only=True)
class AnswerSheet:
    """What one student, or one group, has answered in one form of a lab.

    `questions` is {topic name: (revision, drawn numbers)}, as they were when the topic
    was first answered.
    """

    students: tuple[str, ...]
    lab: str
    form: str
    version: int = VERSION
    questions: FrozenMap = FrozenMap()
    attempts: tuple[Attempt, ...] = ()

    def tries(self, question):
        """The attempts at one question, in order, as a tuple.

        An answer that repeats the one before it is no new try: its cell ran twice.
        """
        found = []
        for attempt in self.attempts:
            if attempt.question != question:
                continue
            if not found or found[-1].answer != attempt.answer:
                found.append(attempt)
        return tuple(found)


def holds(sheet, copy):
    """Whether `copy` is the sheet as it is or was: nothing else, and nothing before.

    Answers are only ever added at the end, so of each question the copy has the first
    tries of the sheet, and not others.
    """
    longer = _by_question(sheet)
    return all(
        sheet.questions.get(name) == asked for name, asked in copy.questions.items()
    ) and all(
        _begins(longer.get(name, []), tries)
        for name, tries in _by_question(copy).items()
    )


def united(sheets):
    """All sheets of the same students, lab and form in one.

    Of each question it has the tries of the sheet with the most of them. Raises
    ValueError where two sheets ask a question otherwise, or where the tries of one are
    not the first ones of the other: whose came first, nobody could say.
    """
    questions, tries = {}, {}
    for sheet in sheets:
        for name, asked in sheet.questions.items():
            if questions.setdefault(name, asked) != asked:
                raise ValueError(f"they do not ask the same: {name}")
        for name, found in _by_question(sheet).items():
            longer, shorter = sorted((tries.get(name, []), found), key=len)[::-1]
            if not _begins(longer, shorter):
                raise ValueError(f"they do not begin with the same tries: {name}")
            tries[name] = longer
    attempts = tuple(attempt for found in tries.values() for attempt in found)
    return replace(sheets[0], questions=FrozenMap(questions), attempts=attempts)


def joined(parts):
    """The parts of one sheet that several kernels wrote, in one, in the order of time.

    Raises ValueError where two of them ask a question otherwise.
    """
    questions, attempts = {}, {}
    for part in parts:
        for name, asked in part.questions.items():
            if questions.setdefault(name, asked) != asked:
                raise ValueError(f"they do not ask the same: {name}")
        attempts |= {attempt.id: attempt for attempt in part.attempts}
    ordered = sorted(attempts.values(), key=lambda one: (one.when, one.id))
    return replace(parts[0], questions=FrozenMap(questions), attempts=tuple(ordered))


def _begins(longer, shorter):
    return longer[: len(shorter)] == shorter


def _by_question(sheet):
    """{question: its attempts, in order}."""
    found = {}
    for attempt in sheet.attempts:
        found.setdefault(attempt.question, []).append(attempt)
    return found


def to_text(sheet):
    """The text of a sheet's file, with one attempt on a line."""
    data = {
        "kind": _KIND,
        "version": sheet.version,
        "students": sheet.students,
        "lab": sheet.lab,
        "form": sheet.form,
        "questions": {
            name: {"revision": revision, "given": plain_given(given)}
            for name, (revision, given) in sheet.questions.items()
        },
    }
    lines = [_json(vars(attempt)) for attempt in sheet.attempts]
    head = _json(data)[:-1]
    return f'{head},\n"attempts": [\n' + ",\n".join(lines) + "\n]}\n"


def _json(data):
    return json.dumps(data, ensure_ascii=False)


def from_text(text):
    """The :class:`AnswerSheet` that a file's text holds.

    Raises ValueError, with what is wrong in a few words, for anything else; a
    :class:`NewerSheetError` for the sheet of a later version.
    """
    return from_data(parsed(text))


def from_data(data):
    """The :class:`AnswerSheet` that parsed JSON holds; errors as in from_text."""
    must(isinstance(data, dict) and data.get("kind") == _KIND, "it is no answer sheet")
    version = known_version(data, VERSION)
    must(set(data) == _KEPT, "it has not the entries of an answer sheet")
    must(data["form"] in FORMS, "its form is unknown")
    questions, attempts = data["questions"], data["attempts"]
    must(isinstance(questions, dict), "its questions are no mapping")
    must(isinstance(attempts, list), "its answers are no list")
    must(len(attempts) <= MOST_ATTEMPTS, f"it has more than {MOST_ATTEMPTS:,} answers")
    sheet = AnswerSheet(
        students=_students(data["students"]),
        lab=_line(data["lab"], "lab"),
        form=data["form"],
        version=version,
        questions=FrozenMap(
            {_line(name, "question"): _asked(one) for name, one in questions.items()}
        ),
        attempts=tuple(_attempt(one, questions) for one in attempts),
    )
    ids = {attempt.id for attempt in sheet.attempts}
    must(len(ids) == len(attempts), "two answers have one id")
    return sheet


def must(fine, fault):
    """ValueError with the fault unless all is fine."""
    if not fine:
        raise ValueError(fault)


def known_version(data, latest):
    """The version in the data of a file; NewerSheetError if it is a later one."""
    version = _whole(data.get("version"), "version", 1, 10**6)
    if version > latest:
        raise NewerSheetError("a later version of this program wrote it")
    return version


def parsed(text):
    """What a JSON text holds; ValueError for any that could not be written again."""
    try:
        data = json.loads(text, parse_constant=_no_number)
        # Half a letter of a pair is JSON, but can be neither written nor printed; it
        # stands in the text itself, or is written there by its number.
        (_json(data) if "\\u" in text else text).encode("utf-8")
    except (ValueError, RecursionError) as error:
        raise ValueError("it is no whole JSON") from error
    return data


def _no_number(name):
    raise ValueError(name)


def _whole(value, what, low, high):
    fine = isinstance(value, int) and not isinstance(value, bool)
    if not (fine and low <= value <= high):
        raise ValueError(f"its {what} is {shortened(value, 30)}")
    return value


def _line(value, what):
    fine = isinstance(value, str) and 0 < len(value) <= _NAME and value.isprintable()
    must(fine, f"the name of a {what} cannot be read")
    return value


def _students(value):
    must(value not in ([], None, ""), NO_ID)
    fine = isinstance(value, list) and len(value) <= MOST
    must(fine and all(isinstance(one, str) for one in value), "its ids are unreadable")
    must(any(one.strip() for one in value), NO_ID)
    return read_students(",".join(value))


def _asked(value):
    must(
        isinstance(value, dict) and set(value) == {"revision", "given"},
        "a question cannot be read",
    )
    must(isinstance(value["given"], dict), "the numbers of a question are no mapping")
    must(_drawn(value["given"], _DEEPEST), "the numbers of a question are absurd")
    return _whole(value["revision"], "revision", 1, 10**6), FrozenMap(value["given"])


def _drawn(value, deepest):
    """Whether a drawing of numbers could have given this."""
    if isinstance(value, (dict, list)):
        inner = list(value.values()) if isinstance(value, dict) else value
        return deepest > 0 and len(inner) <= 500 and all(
            _drawn(one, deepest - 1) for one in inner
        )  # fmt: skip
    if isinstance(value, str):
        return len(value) <= LONGEST
    if isinstance(value, (int, float)):
        return isfinite(value) and abs(value) <= _BIGGEST
    return value is None


def _attempt(value, questions):
    must(
        isinstance(value, dict)
        and set(value) == {"id", "question", "answer", "when", "hints"}
        and isinstance(value["question"], str)
        and value["question"] in questions,
        "an answer cannot be read",
    )
    answer = value["answer"]
    if isinstance(answer, list):
        fine = len(answer) <= _NAME and all(isinstance(one, str) for one in answer)
        must(fine and all(len(one) <= _NAME for one in answer), "a list is too long")
        answer = tuple(answer)
    else:
        fine = isinstance(answer, str) and len(answer) <= LONGEST
        must(fine, "an answer is neither text nor names, or too long")
    return Attempt(
        id=_line(value["id"], "answer"),
        question=value["question"],
        answer=answer,
        when=_line(value["when"], "time"),
        hints=_whole(value["hints"], "number of hints", 0, 1000),
    )
