"""A folder of files that is there whole, or not at all."""

import os
import shutil
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

from ..base.checks import shortened
from ..base.filewriter import is_folder, reason, replace_file

_LETTERS = 40  # of the folder's name in its draft's


class Draft:
    """A folder that is being filled; :func:`new_folder` puts it in its place."""

    def __init__(self, path):
        self._path = path

    def put(self, name, data):
        """Write text or bytes to a file, whose name may have folders before it.

        Raises OSError where the disk does not take it.
        """
        path = self._path / name
        path.parent.mkdir(parents=True, exist_ok=True)
        replace_file(path, data)


@contextmanager
def new_folder(path, replace=False):
    """A :class:`Draft` that becomes the folder `path` once all is written.

    If anything goes wrong before, nothing is left of it, and what was there before is
    as it was. Nothing is ever deleted: with `replace`, an old folder of that name stays
    beside the new one, as "NAME (old)".

    Raises
    ------
    ValueError
        There is something of that name and nobody said `replace`; no such place, or
        the disk does not take it.
    """
    path = a_new_folder(path, replace)
    draft = path.with_name(f".{path.name[:_LETTERS]}.{uuid4().hex}.part")
    try:
        draft.mkdir()
        yield Draft(draft)
        _put_in_place(draft, path)
    except OSError as error:
        raise ValueError(
            f"the folder {shortened(str(path), 200)} cannot be written"
            f" ({reason(error)}), and what was there before is as it was; make room or"
            " choose another place"
        ) from error
    finally:
        shutil.rmtree(draft, ignore_errors=True)


def a_new_folder(path, replace=False):
    """The path, if a folder may be made there; errors as :func:`new_folder`."""
    path = Path(path)
    shown = shortened(str(path), 200)
    if not path.name or not is_folder(path.parent):
        raise ValueError(
            f"the folder {shown} is to be made, but there is no folder that it could be"
            " in; make that first"
        )
    if _is_there(path) and not replace:
        raise ValueError(
            f"the folder {shown} is there already, and nothing in it is overwritten;"
            " give another name, or ask to replace it (--replace), which keeps the old"
            " one beside the new"
        )
    return path


def _put_in_place(draft, path):
    if not _is_there(path):
        draft.rename(path)
        return
    old = _free(path)
    path.rename(old)
    try:
        draft.rename(path)
    except OSError:
        old.rename(path)
        raise


def _free(path):
    """A name beside a folder that nothing has yet: "NAME (old)", "NAME (old 2)"."""
    place, old = 1, path.with_name(f"{path.name} (old)")
    while _is_there(old):
        place += 1
        old = path.with_name(f"{path.name} (old {place})")
    return old


def _is_there(path):
    return os.path.lexists(path)
