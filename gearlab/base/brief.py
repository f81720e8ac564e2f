"""Results that show as one short line, where all that they hold would fill pages."""

_MOST = 100


class Brief:
    """A result whose ``repr`` is one line: ``<PowerFlow: range 2, under power, …>``.

    A subclass says what stands in it, as `_brief`. Of dataclasses only those that are
    made with ``repr=False`` take it over.
    """

    __slots__ = ()

    def __repr__(self):
        line = " ".join(f"{type(self).__name__}: {self._brief}".split())
        return f"<{line if len(line) < _MOST - 1 else f'{line[: _MOST - 3]}…'}>"
