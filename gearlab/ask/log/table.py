"""The lines of a log's file: names, units and rows, before anything is taken for what.

What is wrong in the file is said in a few words; whoever reads it adds its name.
"""

import csv
import re
from dataclasses import dataclass

from ...base.checks import shortened
from ...base.csvtext import SEPARATORS
from ...base.textfile import file_text
from .makelog import MadeLog

LARGEST = 100_000_000  # bytes of a file
SEPARATOR_WORDS = {",": "commas", ";": "semicolons", "\t": "tabs"}
CHUNK = 20_000  # rows that are taken apart at a time
_ASIDE = {"", "#", " ", "\t", "s", "S"}  # how a line may begin that is no row
_TOO_LARGE = (
    "cut the drive into parts, or keep every tenth row: ten rows a second will do"
)


@dataclass(frozen=True, kw_only=True)
class Table:
    """A file of rows: `heads` name the columns, `units` is the line below them or ().

    `lines` are the rows as text, `numbers` their line numbers in the file, and `notes`
    what the lines with # in front say.
    """

    heads: tuple[str, ...]
    units: tuple[str, ...]
    notes: tuple[str, ...]
    separator: str
    lines: list
    numbers: object  # range or list

    def cells(self, line):
        """The cells of one line, without spaces round them."""
        return _cells(line, self.separator)

    def first_rows(self, count=3):
        """The first few rows, as cells."""
        return [self.cells(line) for line in self.lines[:count]]

    def chunks(self):
        """(place of its first row, rows as lists of cells) of some rows at a time."""
        for start in range(0, len(self.lines), CHUNK):
            part = self.lines[start : start + CHUNK]
            for at, line in enumerate(part):
                if '"' in line and line.count('"') % 2:
                    raise ValueError(
                        f"line {self.numbers[start + at]} leaves a quotation mark open;"
                        ' close every "'
                    )
            yield start, list(csv.reader(part, delimiter=self.separator))


def read_rows(source):
    """The :class:`Table` in a file, or of a log that was made.

    ValueError or OSError says what is wrong.
    """
    made = isinstance(source, MadeLog)
    text = source.text() if made else file_text(source, LARGEST, _TOO_LARGE)
    lines = text.splitlines()
    notes, at = [], 0
    while at < len(lines) and _is_aside(lines[at]):
        if lines[at].startswith("#"):
            notes.append(lines[at].lstrip("# ").rstrip())
        at += 1
    if at == len(lines):
        raise ValueError("it is empty; write a line of names, then a row a moment")
    separator = max(SEPARATORS, key=lines[at].count)
    heads = _cells(lines[at], separator)
    if all(map(_is_number, filter(None, heads))):
        raise ValueError(
            f"line {at + 1} has numbers, but it must name the columns; write like:"
            " time, input speed, output speed"
        )
    at += 1
    below = _cells(lines[at], separator) if at < len(lines) else []
    units = () if not any(below) or any(map(_is_number, below)) else tuple(below)
    at += bool(units)
    rows = lines[at:]
    numbers = range(at + 1, at + 1 + len(rows))
    if {line[:1] for line in rows} & _ASIDE:  # most files have none, and are long
        kept = [place for place, line in enumerate(rows) if not _is_aside(line)]
        rows, numbers = [rows[n] for n in kept], [numbers[n] for n in kept]
    if len(rows) < 2:
        raise ValueError(
            f"it has {len(rows) or 'no'} row{'' if len(rows) == 1 else 's'} below its"
            " names, but a log needs at least two moments; log a longer drive"
        )
    return Table(
        heads=tuple(heads),
        units=units,
        notes=tuple(notes),
        separator=separator,
        lines=rows,
        numbers=numbers,
    )


def one_number(text, line, what):
    """A cell as a float, nan if it is empty; ValueError names line and column."""
    plain = text.strip().replace("−", "-").replace("\N{NO-BREAK SPACE}", "")
    if plain.lower() in ("", "nan", "na", "n/a", "-", "null"):
        return float("nan")
    if re.fullmatch(r"[-+]?(\d+[.,]?\d*|[.,]\d+)(e[-+]?\d{1,3})?", plain.lower()):
        return float(plain.replace(",", "."))
    said = f"line {line}, column {shortened(what, 40)}: {shortened(text, 30)}"
    if re.fullmatch(r"[-+]?[\d.,]+ *[^\d\s.,].*", plain):
        raise ValueError(
            f"{said} brings a unit, and rows could bring different ones; write the"
            " unit in the first line, and numbers alone below"
        )
    if re.fullmatch(r"[-+]?\d[\d.,' ]*", plain):
        raise ValueError(f"{said} has marks for thousands; write it without them")
    raise ValueError(f"{said} is no number; write a number, or leave it empty")


def _cells(line, separator):
    row = next(csv.reader([line], delimiter=separator), [])
    return [cell.strip() for cell in row]


def _is_aside(line):
    plain = line.strip()
    return not plain or plain[0] == "#" or plain.lower().startswith("sep=")


def _is_number(cell):
    return bool(re.fullmatch(r"[-+−]?\d[\d.,:eE+-]*", cell))
