"""Results that show themselves: one short line, their words, and a table of a page.

There is one way to the words of a result, ``str(result)``. A result says what it has
in a few private attributes; whoever only prints or shows it needs none of them.
"""

from functools import singledispatch
from html import escape

_MOST = 100
_LEFT = 'style="text-align:left"'  # a notebook's own tables are set to the right


class Brief:
    """A result whose ``repr`` is one line: ``<PowerFlow: range 2, under power, …>``.

    Of dataclasses only those that are made with ``repr=False`` take it over. A subclass
    has

    - `_brief`, what stands in that line, if its words are too long for it;
    - `words`, its sentences, or else `_lead`, a line above its table; what is said on a
      higher floor is registered at :func:`words_of`;
    - `_heads` and `_rows`, texts, if it is a table. The first cell of a row names it.
    """

    __slots__ = ()
    _lead, _heads, _rows = "", (), ()

    def __repr__(self):
        brief = self._brief if hasattr(self, "_brief") else words_of(self)
        line = " ".join(f"{type(self).__name__}: {brief}".split())
        return f"<{line if len(line) < _MOST - 1 else f'{line[: _MOST - 3]}…'}>"

    def __str__(self):
        return words_of(self)

    def _repr_mimebundle_(self, include=None, exclude=None):
        return {"text/html": self._html, "text/plain": str(self)}

    @property
    def _html(self):
        # Where there is a table, the words are its cells once more.
        said = self._lead if self._heads else str(self)
        shown = "".join(f"<p>{escape(line)}</p>" for line in said.splitlines())
        return shown + (_table(self._heads, self._rows) if self._heads else "")


class Several(Brief, tuple):
    """Results in a row: a tuple, and a table if they are rows of one.

    >>> Several(), str(Several(["a", "b"]))
    (<Several: none>, 'a\\nb')
    """

    __slots__ = ()

    @property
    def _brief(self):
        if not self:
            return "none"
        return f"{len(self)} × {type(self[0]).__name__}, the first {self[0]!r}"

    @property
    def words(self):
        """The words of each, a line each."""
        return "\n".join(map(str, self)) or "none"

    @property
    def _html(self):
        if self and not self._heads and isinstance(self[0], Brief):
            return "".join(one._html for one in self)
        return super()._html

    @property
    def _heads(self):
        return getattr(self[0], "_columns", ()) if self else ()

    @property
    def _rows(self):
        return [one._cells for one in self]


@singledispatch
def words_of(result):
    """The words of a result, plain text; that is its ``str``."""
    if hasattr(result, "words"):
        return result.words
    said = filter(None, [result._lead, _columns(result)])
    return "\n".join(said) or result._brief


def _columns(result):
    """A table as plain text in columns."""
    lines = [result._heads, *result._rows] if result._heads else []
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    return "\n".join(
        "  ".join(
            cell.ljust(width) for cell, width in zip(line, widths, strict=True)
        ).rstrip()
        for line in lines
    )


def _table(heads, rows):
    """A table as HTML; texts may come from a file or a person, so each is escaped."""
    head = "".join(f'<th scope="col" {_LEFT}>{escape(text)}</th>' for text in heads)
    body = "".join(
        f'<tr><th scope="row">{escape(first)}</th>'
        + "".join(f"<td {_LEFT}>{escape(text)}</td>" for text in rest)
        + "</tr>"
        for first, *rest in rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
