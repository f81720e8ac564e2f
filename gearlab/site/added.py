"""Wheels that somebody adds to a site, as numpy: what its Python can take of them."""

from hashlib import sha256
from pathlib import Path

from ..base.checks import shortened
from .pieces import PYODIDE

_PURE = "-none-any.whl"


def added_wheels(folder, known):
    """The wheels in a folder, and what else they need, by the lock of Pyodide.

    Parameters
    ----------
    folder : the folder with the wheels
    known : {name: entry} of the lock

    Returns
    -------
    ({name: path}, names of packages without machine code that they need)

    Raises
    ------
    ValueError
        No wheel is there; one was made for another Python, or is damaged; or it needs
        one with machine code that is not there.
    """
    paths = sorted(Path(folder).glob("*.whl"))
    if not paths:
        raise ValueError(
            f"there are no wheels in {shortened(str(folder), 200)}; put some there, or"
            " leave --wheels out"
        )
    found = {_name(path): path for path in paths}
    for name, path in found.items():
        _check(path, known.get(name))
    return found, _needed(found, known)


def _name(path):
    return path.name.split("-")[0].replace("_", "-").lower()


def _check(path, entry):
    """ValueError unless the Python of the site can take a wheel."""
    if entry and path.name == entry["file_name"]:
        if sha256(path.read_bytes()).hexdigest() != entry["sha256"]:
            raise ValueError(
                f"{shortened(path.name, 100)} is not the file that Pyodide {PYODIDE}"
                " names: its checksum differs; fetch it again"
            )
    elif not path.name.endswith(_PURE):
        way_out = f"take {entry['file_name']}" if entry else "take it out of the folder"
        raise ValueError(
            f"{shortened(path.name, 100)} has machine code that Pyodide {PYODIDE} does"
            f" not name; {way_out}"
        )


def _needed(found, known):
    """What the wheels need that is not among them."""
    needed, left = set(), list(found)
    while left:
        name = left.pop()
        for other in known[name]["depends"] if name in known else ():
            other = other.lower().replace("_", "-")
            if other in found or other in needed:
                continue
            file = known[other]["file_name"]
            if not file.endswith(_PURE):
                raise ValueError(f"{name} needs {file} too; put it beside the others")
            needed.add(other)
            left.append(other)
    return sorted(needed)
