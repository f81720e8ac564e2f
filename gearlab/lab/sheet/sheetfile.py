"""A small file that several processes write: locked, and read with bounds.

Nothing here knows what an answer sheet is.
"""

import os
from contextlib import contextmanager, suppress
from time import monotonic, sleep
from uuid import uuid4

from ...base.filewriter import replace_file

STALE = 5.0  # a lock that stays the same so long was left behind [s]
PATIENCE = 10.0  # how long to wait for a lock [s]
_PAUSE = 0.01  # between two looks at it [s]


class LockLostError(Exception):
    """Another process thought that this one had died, and took its lock."""


class Lock:
    """A lock file beside a file; it holds the name of who made it."""

    def __init__(self, path):
        self.path = path.with_name(f"{path.name}.lock")
        self.name = f"{os.getpid()} {uuid4().hex}"

    def take(self):
        """Wait for the lock and take it; TimeoutError if it never comes free."""
        start = seen_since = monotonic()
        seen = None
        while not self._make():
            holder, now = _read_or_none(self.path), monotonic()
            if holder != seen:
                seen, seen_since = holder, now
            elif now - seen_since > STALE:
                self._take_away(holder)
            if now - start > PATIENCE:
                raise TimeoutError("another window is writing it all the time")
            sleep(_PAUSE)

    def is_held(self):
        """Whether it is still this one's."""
        return _read_or_none(self.path) == self.name

    def give_back(self):
        """Free it for others."""
        if self.is_held():
            with suppress(OSError):
                self.path.unlink()

    def _make(self):
        try:
            with self.path.open("x", encoding="utf-8") as file:
                file.write(self.name)
        except FileExistsError:
            return False
        except PermissionError:
            # Windows says so while a lock is being deleted; else it is meant.
            if not os.access(self.path.parent, os.W_OK):
                raise
            return False
        except OSError:
            # On a full disk an empty lock may be left, and it is this one's.
            if _read_or_none(self.path) == "":
                self.path.unlink()
            raise
        return True

    def _take_away(self, holder):
        """Take a lock left behind out of the way, and only that one."""
        aside = self.path.with_name(f"{self.path.name}.{uuid4().hex}")
        try:
            self.path.rename(aside)
        except OSError:
            return  # another process was quicker
        if _read_or_none(aside) != holder:
            # It was a fresh one after all, so it goes back unless a newer one is there.
            with suppress(OSError):
                os.link(aside, self.path)
        with suppress(OSError):
            aside.unlink()


def _read_or_none(path):
    try:
        return path.read_text(encoding="utf-8")
    except (OSError, ValueError):
        return None


@contextmanager
def locked(path):
    """Hold the lock beside a file; OSError if it cannot be had."""
    lock = Lock(path)
    lock.take()
    try:
        yield lock
    finally:
        lock.give_back()


def read_small(path, largest):
    """The text of a file; ValueError, in a few words, if it is too large or no text.

    Raises OSError where the file cannot be read, FileNotFoundError without one.
    """
    if path.exists() and not path.is_file():
        raise ValueError("it is no plain file")
    with path.open("rb") as file:
        data = file.read(largest + 1)
    if len(data) > largest:
        raise ValueError(f"it has more than {largest:,} bytes")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise ValueError("it is no text in UTF-8") from None


def write_whole(path, text, lock):
    """Put a text in place of a file whose lock is held, whole or not at all.

    Raises OSError where that cannot be done, LockLostError if the lock went meanwhile.
    The file is then as it was.
    """

    def ready():
        if not lock.is_held():
            raise LockLostError

    replace_file(path, text, ready)


def set_aside(path):
    """Give a damaged file another name, and return that path."""
    for n in range(1, 1000):
        aside = path.with_name(f"{path.name}.damaged-{n}")
        if not aside.exists():
            path.replace(aside)
            return aside
    raise FileExistsError("there are 999 damaged files of that name")
