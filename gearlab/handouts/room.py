"""Room on paper: how wide the columns of a table are, and where a long word may break.

No word of a language is so long; but an id or the name of a part may be.
"""

import re

from ..draw.kit.textwidth import text_width
from .papersize import WIDE

_PT = 96 / 72  # [px]
_MM = 25.4 / 96  # of a pixel
_INSET = 4.0  # left and right of a cell's text [mm], a little more than it is
_LONGEST = 46.0  # word of a cell that is not broken [mm]
_WIDEST = 1.3  # letter, in letter sizes
CELL = 9.0  # letters of a cell [pt]
_WORD = re.compile(r"[^ -]*[ -]|[^ -]+")  # a line may end after a hyphen, too
BREAK = "\u200b"  # a place where a line may end, which is not seen


def softened(text, wide=0.9 * WIDE, size=10.0, bold=False):
    """A text whose words may break where they are wider than `wide` mm.

    `size` is that of its letters [pt].

    >>> softened("a plain text") == "a plain text"
    True
    """
    if len(text) * _WIDEST * size * _PT * _MM < wide:
        return text
    return "".join(
        word if _width(word, size, bold) <= wide else BREAK.join(word)
        for word in _WORD.findall(text)
    )


def widths(table):
    """The widths of a table's columns, by their shares [mm].

    None is narrower than its longest word, as far as the page has room.
    """
    rows = (table.head, *table.rows)
    least = [
        _INSET + max(_longest(row[place], row is table.head) for row in rows)
        for place in range(len(table.parts))
    ]
    scale = min(1.0, WIDE / sum(least))
    least = [one * scale for one in least]
    narrow = set()
    while True:
        free = WIDE - sum(least[place] for place in narrow)
        parts = sum(p for n, p in enumerate(table.parts) if n not in narrow)
        found = [
            least[n] if n in narrow else free * part / parts
            for n, part in enumerate(table.parts)
        ]
        more = {n for n, wide in enumerate(found) if wide < least[n] - 1e-9} - narrow
        if not more:
            return found
        narrow |= more


def _longest(cell, bold):
    """The width of the widest word of a cell that is not broken [mm]."""
    found = [_width(word.strip(), CELL, bold) for word in _WORD.findall(cell)]
    return min(_LONGEST, max(found, default=0.0))


def softened_cell(cell):
    """A cell whose words may break where no column is as wide."""
    return softened(cell, _LONGEST, CELL, bold=True)


def _width(text, size, bold):
    return text_width(text, size * _PT, bold) * _MM
