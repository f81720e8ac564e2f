"""Runs notebooks on what a browser has: no numpy, no matplotlib, no threads, no links.

    python as_in_browser.py notebook.ipynb ...

It prints, as JSON, {notebook: [[number of the cell, its error, its text], ...]}.
"""

import contextlib
import io
import json
import os
import sys
import threading
from pathlib import Path

import ipywidgets  # noqa: F401  (what it loads is there in a browser too)
from IPython.core.interactiveshell import InteractiveShell
from traitlets.config import Config

LACKING = {"numpy", "matplotlib", "PIL", "typst", "openpyxl", "filelock"}
LACKING |= {"fcntl", "_multiprocessing", "_posixsubprocess"}


class Without:
    """A finder of modules that finds none of those that a browser lacks."""

    def __init__(self, finder):
        self._finder = finder

    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in LACKING:
            return None
        return self._finder.find_spec(name, path, target)

    def __getattr__(self, name):
        return getattr(self._finder, name)


def take_away():
    """From here on this process has what a browser has."""
    for name in list(sys.modules):
        if name.split(".")[0] in LACKING:
            del sys.modules[name]
    sys.meta_path[:] = map(Without, sys.meta_path)
    sys.platform = "emscripten"
    if hasattr(os, "link"):
        del os.link

    def start(thread):
        raise RuntimeError("can't start new thread")

    threading.Thread.start = start


def run(path):
    """The code cells of a notebook, one after the other, to its end."""
    InteractiveShell.clear_instance()
    config = Config()
    config.HistoryManager.enabled = False
    shell = InteractiveShell.instance(config=config)
    cells = json.loads(Path(path).read_text(encoding="utf-8"))["cells"]
    for number, cell in enumerate(cells):
        if cell["cell_type"] != "code":
            continue
        said = io.StringIO()
        with contextlib.redirect_stdout(said):
            done = shell.run_cell("".join(cell["source"]))
        error = done.error_before_exec or done.error_in_exec
        yield number, str(error) if error else "", said.getvalue()


if __name__ == "__main__":
    take_away()
    print(json.dumps({path: list(run(path)) for path in sys.argv[1:]}))
