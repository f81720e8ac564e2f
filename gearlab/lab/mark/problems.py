"""What is odd about what a class handed in, each kind told apart in plain words."""

from collections import defaultdict
from dataclasses import dataclass
from difflib import get_close_matches

from ...base.brief import Brief
from ..sheet.answers import NO_ID
from ..sheet.told import quoted
from .claims import NO
from .notes import EARLIER, FOREIGN, UNASKABLE, UNKNOWN, noted

COPY, ONE_NAME, EDITED = "copy", "several in one name", "edited sheet"
OTHER_LAB, OTHER_FORM = "lab that was not set", "another form"
UNKNOWN_ID, MISSING_ID, NO_SHEET = "unknown id", "missing id", "no sheet"
OTHER_VERSION = "another version"
KINDS = (
    ONE_NAME, EDITED, UNKNOWN_ID, MISSING_ID, OTHER_LAB, OTHER_FORM, OTHER_VERSION,
    NO_SHEET, COPY,
)  # fmt: skip
_ALIKE = 0.75  # of 1: less is another person, not a slip of the fingers
_MOST_NAMED = 3  # files or students in a sentence
_MOST_COMPARED = 100  # unknown ids for which the one that was meant is looked for


@dataclass(frozen=True, kw_only=True, repr=False)
class Problem(Brief):
    """Something to look at: its `kind`, a sentence, the students and the files.

    `kind` is one of :data:`KINDS`, those that an instructor must decide first.
    """

    kind: str
    words: str
    students: tuple[str, ...] = ()
    files: tuple[str, ...] = ()

    _columns = ("what", "students", "files", "in words")

    @property
    def _cells(self):
        return self.kind, ", ".join(self.students), ", ".join(self.files), self.words


def problems_of(marking, forms, labs):
    """The :class:`Problem` list of a marking, by kind.

    Parameters
    ----------
    marking : Marking
    forms : {id: the form that this student was given, or None for any}
    labs : names of the labs that were set

    Returns
    -------
    tuple of Problem
    """
    found = [Problem(kind=ONE_NAME, words=f"{one}.") for one in marking.conflicts]
    found += _unknown(marking.rows, forms)
    known = [row for row in marking.rows if row.counts != NO]
    known = [row for row in known if not forms.keys().isdisjoint(row.students)]
    found += _other_labs(known, labs)
    known = [row for row in known if row.lab in labs]
    found += _other_forms(known, forms)
    for row in known:
        found += _edited(row)
    for name, why in marking.skipped:
        kind = MISSING_ID if why == NO_ID else NO_SHEET
        found.append(Problem(kind=kind, words=_skipped(name, why), files=(name,)))
    for name, what in marking.copies:
        words = f"{name} is {what}; it was handed in twice, and nothing is to be done."
        found.append(Problem(kind=COPY, words=words, files=(name,)))
    return tuple(sorted(found, key=lambda problem: KINDS.index(problem.kind)))


def _skipped(name, why):
    if why == NO_ID:
        return (
            f"{name} names no student; ask whose it is, and let them hand it in anew"
            " after signing in."
        )
    return f"{name} is not marked: {why}."


def _unknown(rows, forms):
    """A problem for each id that is not in the class list."""
    sheets, labs = defaultdict(list), defaultdict(set)
    for row in rows:
        for one in row.students:
            labs[one].add(row.lab)
            if one not in forms:
                sheets[one].append(row)
    for asked, (one, found) in enumerate(sheets.items()):
        near = []
        if asked < _MOST_COMPARED:
            # Who handed in the same labs under an id of the list is not meant.
            free = [name for name in forms if labs[one].isdisjoint(labs.get(name, ()))]
            near = get_close_matches(one, free, n=1, cutoff=_ALIKE)
        meant = f"; “{near[0]}” may be meant" if near else ""
        files = _files(found)
        words = (
            f"“{one}” is not in the class list, but handed in {_titles(found)}"
            f" ({_few(files)}){meant}; put the id into the list, or let them hand in"
            " under their own."
        )
        yield Problem(kind=UNKNOWN_ID, words=words, students=(one,), files=files)


def _other_labs(rows, labs):
    """A problem for each lab that was handed in and was not set."""
    found = defaultdict(list)
    for row in rows:
        if row.lab not in labs:
            found[row.title].append(row)
    for title, sheets in found.items():
        students = tuple(dict.fromkeys(one for row in sheets for one in row.students))
        who = _few([f"“{one}”" for one in students])
        words = f"“{title}” was not set, but {who} handed it in; it has no column."
        yield Problem(
            kind=OTHER_LAB, words=words, students=students, files=_files(sheets)
        )


def _other_forms(rows, forms):
    """A problem for each student who handed in another form than the given one."""
    found = defaultdict(list)
    for row in rows:
        for one in row.students:
            if forms.get(one) not in (None, row.form):
                found[one, row.form].append(row)
    for (one, form), sheets in found.items():
        files = _files(sheets)
        words = (
            f"“{one}” handed in form {form} of {_titles(sheets)} ({_few(files)}), but"
            f" form {forms[one]} was given; that does not count."
        )
        yield Problem(kind=OTHER_FORM, words=words, students=(one,), files=files)


def _edited(row):
    """Problems with what one marked sheet asks."""
    whose = {"students": row.students, "files": row.files}
    sheet = f"{_few(row.files)} ({row.title}, form {row.form})"
    who = quoted(row.students)
    if edited := noted(row, FOREIGN) + noted(row, UNKNOWN):
        words = (
            f"{sheet} of {who} asks {quoted(edited)} otherwise than it was asked: the"
            " sheet was edited, or it is another student's with the id changed; these"
            " questions have no marks."
        )
        yield Problem(kind=EDITED, words=words, **whose)
    if other := noted(row, EARLIER) + noted(row, UNASKABLE):
        words = (
            f"{sheet} of {who} has {quoted(other)} from another version of the labs;"
            " whose numbers these are is not known, so ask which version it was."
        )
        yield Problem(kind=OTHER_VERSION, words=words, **whose)


def _files(rows):
    return tuple(name for row in rows for name in row.files)


def _titles(rows):
    titles = list(dict.fromkeys(row.title for row in rows))
    return titles[0] if len(titles) == 1 else f"{len(titles)} labs"


def _few(names):
    more = len(names) - _MOST_NAMED
    return ", ".join(names[:_MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
