"""Who signed in last on this machine, so that the next lab opens for them."""

import json
from contextlib import suppress

from ...base.filewriter import replace_file
from .sheet import answers_folder
from .sheetfile import read_small

NAME = "last-sign-in"  # no ".json", so it is never taken for an answer sheet
_LARGEST = 10_000  # bytes


def last_sign_in():
    """(ids as typed, form) of the last sign-in, or None; it never raises.

    What the file says is checked by whoever signs in with it.
    """
    try:
        said = json.loads(read_small(answers_folder() / NAME, _LARGEST))
        ids, form = said["students"], said["form"]
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None
    return (ids, form) if isinstance(ids, str) and isinstance(form, str) else None


def keep_sign_in(students, form):
    """Remember who signed in; without a disk to write on, nobody is remembered."""
    text = json.dumps({"students": "; ".join(students), "form": form})
    with suppress(OSError, ValueError):
        answers_folder().mkdir(parents=True, exist_ok=True)
        replace_file(answers_folder() / NAME, text)


def forget_sign_in():
    """Remember nobody."""
    with suppress(OSError, ValueError):
        (answers_folder() / NAME).unlink()
