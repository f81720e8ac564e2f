"""What a desk in a browser has besides: where answers stay, and sheets as files."""

from pathlib import Path

import anywidget
from traitlets import Dict, Unicode

from ..lab.sheet.handin import file_name, text_to_hand_in
from ..lab.sheet.keeping import how_kept, load_sheets
from . import parts

_HERE = Path(__file__)


class Keeping(anywidget.AnyWidget):
    """A line on where answers stay, a button to download the sheets, and one to load.

    Parameters
    ----------
    work : Work, whose sheets they are
    on_load : called with the ids of whose sheets were loaded

    Attributes
    ----------
    told : where the answers stay, one of three sentences
    said : what became of the last press, with the kind of it
    """

    _esm = _HERE.with_suffix(".js")
    told = Unicode().tag(sync=True)
    said = Dict().tag(sync=True)

    def __init__(self, work, on_load):
        super().__init__(layout={"width": parts.AUTO})
        self._work, self._on_load = work, on_load
        self.told = how_kept(storage=False)  # until the page says more
        self.on_msg(lambda _, content, buffers: self._heard(content))

    def download(self):
        """The name and the text of a file with all sheets of who is signed in."""
        work = self._work
        text, notice = text_to_hand_in(work.students, work.sheet)
        self._say(f"Downloaded. {notice}".strip())
        return {"name": file_name(work.students), "text": text}

    def load(self, texts):
        """Take the sheets of some files in."""
        whose, words = load_sheets(texts)
        self._on_load(whose)
        self._say(words)

    def _say(self, words, kind="result"):
        self.said = {"words": words, "kind": kind}

    def _heard(self, content):
        if not isinstance(content, dict):
            return
        if isinstance(content.get("storage"), bool):
            self.told = how_kept(content["storage"])
        if content.get("download"):
            self._guarded(lambda: self.send({"file": self.download()}))
        if isinstance(content.get("load"), list):
            self._guarded(lambda: self.load(list(map(str, content["load"]))))

    def _guarded(self, action):
        parts.guarded(action, lambda words: self._say(words, "fault"))
