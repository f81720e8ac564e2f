"""Ids that have no answers on this machine, and which id may have been meant."""

from contextlib import suppress
from difflib import SequenceMatcher

from ..question.papers import FORMS
from ..suite.labs import LAB_NAMES
from .partfiles import sheet_of
from .sheet import answers_folder, kept_sheet
from .students import file_stem

_ALIKE = 0.75  # of 1: less is another person, not a slip of the fingers


def newcomers(students):
    """Who of these has no answer sheet here, as {id: the nearest id that has, or ""}.

    A group that has a sheet of its own has no newcomer. A folder that cannot be read
    knows nobody.
    """
    names = _sheet_names()
    if _have_sheet(students, names):
        return {}
    known = _ids_of(names)
    return {one: _nearest(one, known) for one in students if one not in known}


def _sheet_names():
    with suppress(OSError, ValueError):
        names = (sheet_of(path.name) for path in answers_folder().glob("*.json"))
        return {name for name in names if name.split("_")[0] in LAB_NAMES}
    return set()


def _have_sheet(students, names):
    return any(
        f"{file_stem(students, lab, form)}.json" in names
        for lab in LAB_NAMES
        for form in FORMS
    )


def _ids_of(names):
    """The ids in these sheets; of one person's, which have one stem, one is read."""
    whose = {name.split("_", 2)[-1].rsplit("_", 1)[0]: name for name in names}
    found = set()
    for name in whose.values():
        with suppress(OSError, ValueError):
            found.update(kept_sheet(answers_folder() / name).students)
    return found


def _nearest(one, known):
    """The known id that somebody may have meant who typed this one, or ""."""

    def likeness(other):
        return SequenceMatcher(None, one, other).ratio()

    best = max(sorted(known), key=likeness, default="")
    return best if best and likeness(best) > _ALIKE else ""
