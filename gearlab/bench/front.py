"""The front end of a bench, as one script and one style for a page."""

from pathlib import Path

_HERE = Path(__file__).parent
# In this order: each part uses only those before it.
SCRIPTS = (
    *("keys.js", "exact.js", "room.js", "form.js", "pages.js"),
    *("lesson.js", "bench.js"),
)
STYLES = ("tokens.css", "bench.css")


def script(*more):
    """The text of the module that shows a bench; `more` are file names of this folder.

    It exports ``mount`` for a page without a kernel, and what a widget asks for.
    """
    return "\n".join(map(read, (*SCRIPTS, *more)))


def style():
    """The text of its style sheet."""
    return "\n".join(map(read, STYLES))


def read(name):
    """The text of a file of this folder."""
    return (_HERE / name).read_text(encoding="utf-8")
