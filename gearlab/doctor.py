"""A check of the set-up: which versions run, and which one is wrong."""

import os
import re
import sys

from .base.machine import in_browser

NEEDED = {
    "ipywidgets": (8, 1),
    "jupyterlab": (4, 4),
    "matplotlib": (3, 9),
    "numpy": (2, 0),
}
# A browser that runs Python brings the rest of what the notebooks show themselves with.
NEEDED_IN_BROWSER = {"anywidget": (0, 9), "ipywidgets": (8, 1)}
EXTRAS = {"openpyxl": "gradebooks as .xlsx", "typst": "worksheets, exams as PDF"}
PYTHON = (3, 11)


def doctor():
    """Whether everything that the notebooks need is here, in one sentence each.

    Returns
    -------
    str: "Set-up: all is well." or a line for each thing that is wrong, with the way
    out; a browser that runs Python is told
    """
    faults = _faults()
    if not faults:
        where = ", in this browser" if in_browser() else ""
        return f"Set-up: all is well{where}."
    return "\n".join(f"Set-up: {fault}" for fault in faults)


def is_well():
    """Whether :func:`doctor` finds nothing wrong, and answers can be kept."""
    return not _faults() and _answers_fault() == ""


def _faults():
    faults = []
    if sys.version_info < PYTHON:
        faults.append(
            f"Python is {sys.version_info.major}.{sys.version_info.minor}, but"
            f" {_dotted(PYTHON)} or later is needed; make the environment anew with it"
        )
    way_out = (
        "build the site anew: python -m gearlab site FOLDER"
        if in_browser()
        else f"in the folder with README.md run: {sys.executable} -m pip install -r"
        " requirements.txt"
    )
    needed_here = NEEDED_IN_BROWSER if in_browser() else NEEDED
    for package, needed in needed_here.items():
        found = _version(package)
        if found is None or _numbers(found) < needed:
            faults.append(
                f"{package} is {found or 'not installed'}, but {_dotted(needed)} or"
                f" later is needed; {way_out}"
            )
    return faults


def answers_told():
    """Where answer sheets are kept, or why none can be, in a line."""
    fault = _answers_fault()
    return f"Answer sheets: {fault or f'they are kept in {_answers_folder()}.'}"


def _answers_folder():
    from .lab.sheet.sheet import answers_folder

    return answers_folder()


def _answers_fault():
    """Why no answer could be kept, or ""; nothing is written to find out."""
    try:
        folder = _answers_folder()
    except ValueError as error:
        return f"{error}."
    there = next(one for one in (folder, *folder.parents) if one.exists())
    if there.is_dir() and os.access(there, os.W_OK):
        return ""
    return (
        f"none can be kept in {folder}, as {there} cannot be written; set"
        " GEARLAB_ANSWERS to another folder."
    )


def extras_told():
    """What is optional: a line for each package, whether it is here and what for.

    In a browser nothing can be added, so nothing is said.
    """
    if in_browser():
        return
    for package, what in EXTRAS.items():
        found = _version(package)
        here = f"{package} {found}" if found else f"{package} is not installed"
        way = (
            ""
            if found
            else f'; to have it run: {sys.executable} -m pip install "{package}"'
        )
        yield f"Optional: {here} ({what}){way}."


def _version(package):
    # Read only when asked: it is not needed to import gearlab.
    from importlib import metadata

    try:
        return metadata.version(package)
    except metadata.PackageNotFoundError:
        return None


def _numbers(version):
    return tuple(int(digits) for digits in re.findall(r"\d+", version)[:2])


def _dotted(numbers):
    return ".".join(map(str, numbers))
