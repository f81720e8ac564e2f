"""The table of labs, in the order in which they are worked through."""

from importlib import import_module

from ...base.checks import known

# A lab is the module of that name in `suite`, and the notebook of that name.
CORE = (
    "turn-one-set",
    "flip-one-way-clutches",
    "know-the-unit",
    "hold-and-reverse",
    "add-the-front-set",
    "count-and-compare",
)
FURTHER = (
    "read-the-lever",
    "count-the-teeth",
    "follow-the-power",
    "recover-the-teeth",
    "meet-another-train",
    "design-a-train",
)
LAB_NAMES = CORE + FURTHER


def find_lab(name):
    """The Lab of that name; ValueError names the nearest.

    >>> find_lab("turn-one-set").level
    1
    """
    known(name, LAB_NAMES, "lab")
    return import_module(module_of(name)).LAB


def module_of(name):
    """The full name of a lab's module."""
    return f"{__package__}.{name.replace('-', '_')}"


def notebook_of(name):
    """The file name of a lab's notebook."""
    return f"{LAB_NAMES.index(name) + 1:02}_{name.replace('-', '_')}.ipynb"
