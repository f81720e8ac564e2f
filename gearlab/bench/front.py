"""The front end of a bench, as one script and one style for a page."""

from pathlib import Path

_HERE = Path(__file__).parent
LED = "lesson.js"
# In this order: each part uses only those before it.
SCRIPTS = (
    *("keys.js", "exact.js", "room.js", "form.js", "pages.js"),
    *(LED, "bench.js"),
)
STYLES = ("tokens.css", "bench.css")


def script(*more, led=True):
    """The text of the module that shows a bench; `more` are file names of this folder.

    It exports ``mount`` for a page without a kernel, and what a widget asks for. A page
    that never has a plan for a class needs no part to be `led` by one.
    """
    parts = (name for name in SCRIPTS if led or name != LED)
    return "\n".join(map(read, (*parts, *more)))


def style():
    """The text of its style sheet."""
    return "\n".join(map(read, STYLES))


def read(name):
    """The text of a file of this folder."""
    return (_HERE / name).read_text(encoding="utf-8")
