"""What all commands share: how one is told, what it says, how far it is."""

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from time import monotonic

from ..base.checks import known, visible
from ..base.numerals import listed
from ..lab.suite.labs import CORE, FURTHER, LAB_NAMES, number_of

WELL, FAULTY, NOT_DONE, INTERRUPTED = 0, 1, 2, 130
EXIT_CODES = {
    WELL: "done, and all is well",
    FAULTY: "done, and what was checked has a fault",
    NOT_DONE: "not done; a sentence says why",
    INTERRUPTED: "interrupted",
}
_SILENT = 1.0  # how long nothing is said while it works [s]
_BETWEEN = 0.5  # two lines about how far it is [s]


@dataclass(frozen=True, kw_only=True)
class Command:
    """One command: its name, what it is for, and how it runs.

    `arguments` takes a parser and adds what the command is told; `run` takes what was
    told and returns an exit code, None for 0. `examples` are lines as one types them,
    after ``python -m gearlab``.
    """

    name: str
    summary: str
    about: str
    examples: tuple[str, ...]
    arguments: Callable
    run: Callable


class Parser(argparse.ArgumentParser):
    """One that shows every sign of a name that it cannot use."""

    def error(self, message):
        """Stop with what is wrong, every sign of it visible."""
        super().error(visible(message))


def add_command(commands, command):
    """Add a command to argparse's sub-parsers."""
    examples = [f"  python -m gearlab {line}" for line in command.examples]
    parser = commands.add_parser(
        command.name,
        description=command.about,
        epilog="\n".join(["examples:", *examples]),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    command.arguments(parser)
    parser.set_defaults(run=command.run)


def say_written(path):
    """Say that a file was written."""
    print(f"Written: {visible(str(path))}")


def lab_names(text):
    """The labs in a text: names, numbers of notebooks, "core", "further", with commas.

    >>> lab_names("2, turn-one-set")
    ('turn-one-set', 'flip-one-way-clutches')

    Raises ValueError, in one sentence, for what is no lab.
    """
    found, numbers = set(), {str(number_of(name)): name for name in LAB_NAMES}
    for part in filter(None, (part.strip() for part in text.split(","))):
        if part in ("core", "further"):
            found.update(CORE if part == "core" else FURTHER)
        elif part.isascii() and part.isdigit():
            number = part.lstrip("0")
            if number not in numbers:
                raise ValueError(
                    f"there is no lab {part[:20]}; the labs have the numbers of their"
                    f" notebooks, {listed(list(numbers), article='')}"
                )
            found.add(numbers[number])
        else:
            found.add(known(part, LAB_NAMES, "lab"))
    if not found:
        raise ValueError("no lab is given; write the names or numbers, with commas")
    return tuple(name for name in LAB_NAMES if name in found)


class Progress:
    """A line on how far some work is, once it takes long."""

    def __init__(self, what):
        self._what = what
        self._next = monotonic() + _SILENT
        self._said = False

    def __call__(self, done, total):
        """Say it, unless it was said a moment ago."""
        now, last = monotonic(), done == total
        if (last and self._said) or now >= self._next:
            end = "\n" if last else ""
            line = f"\r{done} of {total} {self._what}"
            print(line, end=end, file=sys.stderr, flush=True)
            self._next, self._said = now + _BETWEEN, True
