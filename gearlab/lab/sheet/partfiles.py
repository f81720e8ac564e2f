"""A sheet in parts, for where nothing can be locked: one file of each kernel.

In a browser two tabs are two kernels, which share a drive and cannot wait for each
other. So a kernel writes a file of its own beside those of the others, and all of them
together are the sheet.
"""

from glob import escape
from hashlib import sha256
from uuid import uuid4

_KERNEL = uuid4().hex[:12]


def own_part(path):
    """The file of this kernel for the sheet at a path."""
    return _named(path, _KERNEL)


def loaded_part(path, text):
    """The file for a sheet that was brought from elsewhere; the same has one name."""
    return _named(path, f"loaded-{sha256(text.encode('utf-8')).hexdigest()[:12]}")


def _named(path, name):
    return path.with_name(f"{path.stem}.{name}.json")


def parts_of(path):
    """All files of the sheet at a path that are there, in a fixed order."""
    return sorted(path.parent.glob(f"{escape(path.stem)}.*json"))


def sheet_of(name):
    """The name of the sheet's file that a part of this name belongs to.

    >>> sheet_of("turn-one-set_A_ana_a17ec54b.loaded-0a1b2c3d4e5f.json")
    'turn-one-set_A_ana_a17ec54b.json'
    """
    return f"{name.split('.')[0]}.json"
