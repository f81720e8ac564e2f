"""The one writer of files: a file is replaced whole, or stays as it was.

What is new is written beside the file, forced onto the disk and put in its place. So a
full disk or a kill in between costs the new file and never the old one.
"""

import errno
import os
import re
from contextlib import suppress
from pathlib import Path
from stat import S_IMODE
from time import monotonic, sleep, time
from uuid import uuid4

from . import checks

STALE = 3600.0  # nobody takes so long to write a file [s]
_LETTERS = 40  # of the file's name in its draft's, which must not grow too long
_PAUSE = 0.01  # between two tries to replace it [s]
_REPLACING = 2.0  # how long a file may be held open by another program [s]
_DRAFT = re.compile(r"\..*\.[0-9a-f]{32}\.part", re.DOTALL)


def write_file(path, data, what="file"):
    """Write text or bytes to a file that a person named, whole or not at all.

    Parameters
    ----------
    path : the file; one that is a link is written where the link leads
    data : str, written as UTF-8 with its line ends as they are, or bytes
    what : what it is, for the sentence

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        It cannot be written, and why; an older file of that name is as it was.
    """
    path = Path(path)
    if not is_folder(path.parent):
        raise ValueError(
            f"the {what} is to be in {checks.shortened(str(path.parent), 200)}, but"
            " there is no such folder; make it first"
        )
    try:
        replace_file(Path(os.path.realpath(path)), data)
    except OSError as error:
        raise ValueError(
            f"the {what} {checks.shortened(str(path), 200)} cannot be written"
            f" ({reason(error)}), and what was there before is as it was; make room,"
            " close it elsewhere or choose another place"
        ) from error
    return path


def is_filled(path):
    """Whether there is something of that name that must not be lost."""
    try:
        return Path(path).stat().st_size > 0
    except (OSError, ValueError):
        return False


def is_folder(path):
    """Whether there is a folder of that name; never an error, however odd the name."""
    try:
        return Path(path).is_dir()
    except (OSError, ValueError):
        return False


def replace_file(path, data, ready=lambda: None):
    """Put text or bytes in place of a file, whole or not at all.

    `ready` is called when all is on the disk; what it raises stops the replacing.
    Raises OSError where the file cannot be written. It is then as it was, and nothing
    stays beside it.
    """
    mode = _mode(path)
    draft = path.with_name(f".{path.name[:_LETTERS]}.{uuid4().hex}.part")
    data = data.encode("utf-8") if isinstance(data, str) else data
    try:
        # Not tempfile: its files are private, but a class reads what it is given.
        with draft.open("xb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if mode is not None:
            draft.chmod(mode)
        ready()
        _replace(draft, path)
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def _mode(path):
    """The mode of a file that is there; OSError for one that must not be replaced."""
    if not path.exists():
        return None
    if not path.is_file():
        raise OSError(errno.EINVAL, "it is no plain file")
    if not os.access(path, os.W_OK):
        raise PermissionError(errno.EACCES, "it may only be read")
    return S_IMODE(path.stat().st_mode)


def _replace(draft, path):
    """Replace, again and again while another program has the file open."""
    start = monotonic()
    while True:
        try:
            return draft.replace(path)
        except PermissionError:
            if monotonic() - start > _REPLACING or not os.access(path.parent, os.W_OK):
                raise
            sleep(_PAUSE)


def sweep(folder):
    """Delete the drafts that killed processes left in a folder; it never raises.

    A draft that is not an hour old may still be somebody's, so it stays.
    """
    with suppress(OSError), os.scandir(folder) as entries:
        for entry in entries:
            with suppress(OSError):
                if _is_left_behind(entry):
                    Path(entry.path).unlink()


def _is_left_behind(entry):
    return (
        _DRAFT.fullmatch(entry.name) is not None
        and entry.is_file(follow_symlinks=False)
        and time() - entry.stat(follow_symlinks=False).st_mtime > STALE
    )


def reason(error):
    """What went wrong, on a line, in the system's few words where it has some."""
    said = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return checks.one_line(said, 100)
