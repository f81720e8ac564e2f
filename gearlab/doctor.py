"""A check of the set-up: which versions run, and which one is wrong."""

import re
import sys

NEEDED = {
    "ipywidgets": (8, 1),
    "jupyterlab": (4, 4),
    "matplotlib": (3, 9),
    "numpy": (2, 0),
}
PYTHON = (3, 11)


def doctor():
    """Whether everything that the notebooks need is here, in one sentence each.

    Returns
    -------
    str: "Set-up: all is well." or a line for each thing that is wrong, with the way out
    """
    faults = []
    if sys.version_info < PYTHON:
        faults.append(
            f"Python is {sys.version_info.major}.{sys.version_info.minor}, but"
            f" {_dotted(PYTHON)} or later is needed; make the environment anew with it"
        )
    for package, needed in NEEDED.items():
        found = _version(package)
        if found is None or _numbers(found) < needed:
            faults.append(
                f"{package} is {found or 'not installed'}, but {_dotted(needed)} or"
                f" later is needed; in the folder with README.md run: {sys.executable}"
                " -m pip install -r requirements.txt"
            )
    if not faults:
        return "Set-up: all is well."
    return "\n".join(f"Set-up: {fault}" for fault in faults)


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
