"""What the forms have in common that print: fields, buttons, and how far it is."""

from pathlib import Path

import ipywidgets as widgets

from ..handouts.papersize import PAPERS
from . import parts
from .press import PressBox, choice

PAPER = choice("paper", [(paper, paper) for paper in PAPERS])


class PrintForm(widgets.VBox):
    """A form whose buttons write PDFs, with a bar for how many of them are there.

    Parameters
    ----------
    about : what is printed, a name of the whole for whoever does not see it
    start : the sentence that stands below it at first
    fields : {field: what stands in it}, as pairs
    actions : as a :class:`gearlab.panels.press.PressBox` has them
    """

    def __init__(self, about, start, fields, **actions):
        self._start = start
        self._scope, style = parts.scope()
        self._bar = widgets.IntProgress(
            description="files", layout={"visibility": "hidden"}
        )
        self.box = PressBox((), about, **actions)
        asked, first = zip(*fields, strict=True)
        self.box.ask(list(asked), list(first))
        super().__init__([style, self.box, self._bar])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self.box.say(start)

    def _repr_mimebundle_(self, **kwargs):
        """The form, with its first sentence where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self._start)

    def say_written(self, folder):
        """Say where it was written."""
        self.box.say(f"Written: {Path(folder).resolve()}")

    def begin(self):
        """Hide the bar: what was pressed has written nothing yet."""
        self._bar.layout.visibility = "hidden"

    def progress(self, done, total):
        """Show how many files are written, and of how many."""
        self._bar.layout.visibility = "visible"
        self._bar.max, self._bar.value = total, done
