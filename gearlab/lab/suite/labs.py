"""The table of labs, in the order in which they are worked through."""

from importlib import import_module

from ...base.checks import known

ANY_UNIT = "walk-a-unit"  # the lab on whatever train is given
# A lab is the module of that name in `suite`, and the notebook of that name.
CORE = (
    "turn-one-set",
    "flip-one-way-clutches",
    "know-the-unit",
    "hold-and-reverse",
    "add-the-front-set",
    "count-and-compare",
    "find-the-fault",
)
FURTHER = (
    "read-the-lever",
    "count-the-teeth",
    "follow-the-power",
    "recover-the-teeth",
    "meet-another-train",
    "design-a-train",
    "read-the-log",
    ANY_UNIT,
)
LAB_NAMES = CORE + FURTHER
# Of labs behind the glossary; a notebook keeps its number, whatever comes later.
_NUMBERS = {ANY_UNIT: 14, "find-the-fault": 15, "read-the-log": 16}


def find_lab(name, train=None):
    """The Lab of that name; ValueError names the nearest.

    With a train, it is the lab on that unit, which only "walk-a-unit" is.

    >>> find_lab("turn-one-set").level
    1
    """
    known(name, LAB_NAMES, "lab")
    module = import_module(module_of(name))
    if train is None:
        return module.LAB
    if name != ANY_UNIT:
        raise ValueError(
            f'a train is given, but the lab "{name}" has a unit of its own; leave the'
            f' train out, or take the lab "{ANY_UNIT}"'
        )
    return module.on_unit(train)


def module_of(name):
    """The full name of a lab's module."""
    return f"{__package__}.{name.replace('-', '_')}"


def number_of(name):
    """The number of a lab's notebook; 13 is the glossary's.

    >>> number_of("design-a-train"), number_of("walk-a-unit")
    (12, 14)
    """
    first = [one for one in LAB_NAMES if one not in _NUMBERS]
    return _NUMBERS[name] if name in _NUMBERS else first.index(name) + 1


def notebook_of(name):
    """The file name of a lab's notebook."""
    called = "walk-your-unit" if name == ANY_UNIT else name
    return f"{number_of(name):02}_{called.replace('-', '_')}.ipynb"
