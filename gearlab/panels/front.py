"""What a panel does in the page itself, where stock widgets have no say."""

from pathlib import Path

import anywidget

from ..bench.front import read

_OWN = Path(__file__).with_name("front.js")


class Front(anywidget.AnyWidget):
    """An empty child of a panel that sees to its keys and its kernel.

    Without it a notebook takes a letter pressed on a button as one of its own: *x*
    deletes the cell. What the application still gets stands in ``keys.js``. When the
    kernel is gone, it says so in the panel, whose controls are dead.
    """

    _esm = read("keys.js") + _OWN.read_text(encoding="utf-8")
