"""Documents become PDFs, by the typesetter that the extra ``print`` installs.

Its program is one file beside this one, and a document is data to it. So no text, from
whatever file it comes, can be taken for a command.
"""

import json
from collections import deque
from concurrent.futures import ThreadPoolExecutor
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path

from ..base.machine import in_browser
from .blocks import plain

_PROGRAM = Path(__file__).with_name("page.typ")
# What makes a PDF that can be read aloud: title, language, alt texts, headings.
_STANDARD = "ua-1"
_WAITING = 2  # documents that are drawn and not set yet
_EPOCH = 0  # no date in a file, so that the same class gives the same files


class Printer:
    """What turns documents into PDFs, one after the other.

    Raises
    ------
    ValueError
        The typesetter is not installed; the sentence says how to install it.
    """

    def __init__(self):
        self._compiler = need_typst().Compiler(str(_PROGRAM), font_paths=_fonts())

    def pdf(self, document):
        """The bytes of a PDF whose text can be searched and read aloud."""
        return self._set(document, format="pdf", pdf_standards=_STANDARD)

    def pdfs(self, documents):
        """(name, bytes of the PDF) of each (name, Document), one after the other.

        A document is set while the next ones are drawn, and no more than a few wait.
        """
        with ThreadPoolExecutor(max_workers=1) as setting:
            waiting = deque()
            for name, document in documents:
                waiting.append((name, setting.submit(self.pdf, document)))
                if len(waiting) > _WAITING:
                    name, set_one = waiting.popleft()
                    yield name, set_one.result()
            for name, set_one in waiting:
                yield name, set_one.result()

    def pages(self, document, dots=80):
        """The pages as PNG pictures, in bytes; `dots` are those of an inch."""
        found = self._set(document, format="png", ppi=float(dots))
        return found if isinstance(found, list) else [found]

    def _set(self, document, **how):
        data = json.dumps(plain(document), ensure_ascii=False)
        return self._compiler.compile(
            sys_inputs={"document": data}, timestamp=_EPOCH, **how
        )


def need_typst():
    """The package typst; ValueError with how to get it where there is none."""
    try:
        import typst
    except ImportError:
        if in_browser():
            raise ValueError(
                "a browser has no typesetter, so no PDF can be made here; prepare the"
                " class on a machine with Python"
            ) from None
        raise ValueError(
            "the typesetter that makes PDFs is not installed; run"
            ' python -m pip install "typst>=0.13,<1"'
        ) from None
    return typst


@lru_cache(maxsize=1)
def _fonts():
    """Every font at hand, and those of matplotlib, which drawings are made for."""
    found = find_spec("matplotlib")
    folders = []
    if found is not None and found.origin is not None:
        folders = [Path(found.origin).parent / "mpl-data" / "fonts" / "ttf"]
    return need_typst().Fonts(font_paths=folders)
