"""What comes afterwards: a prediction beside the truth, and the end of a lab."""

import ipywidgets as widgets

from ..base.machine import in_browser
from ..lab.sheet.handin import one_file
from ..lab.sheet.told import left_out_told, state_told
from ..lab.suite.labs import find_lab
from . import parts
from .press import PressBox

FIRST = "Say your prediction first (above)."
HAND_IN = "make one file to hand in"
ONE_FILE = (
    "One file holds your answers of all labs, as they are when it is made. Give it to"
    " your instructor."
)
DOWNLOAD = (
    "A browser makes no file in a folder; press “download my sheets” at the desk of any"
    " lab, and give that file to your instructor"
)
NOBODY = "Nothing is kept in practice. Sign in at the desk above to hand in."


def handed_in(students):
    """Make the file of all labs, and say where it is; ValueError if it cannot be."""
    if in_browser():
        raise ValueError(DOWNLOAD)
    made = one_file(students)
    labs = dict.fromkeys(find_lab(lab).title for lab, _ in made.sheets)
    return (
        f"Made: {made.path}. Give this one file to your instructor. It holds:"
        f" {', '.join(labs)}. {made.notice}"
    ).strip()


class Truth(widgets.VBox):
    """What was predicted and what is true; made by ``Desk.truth``.

    Parameters
    ----------
    work : Work
    topic : name of a prediction
    on_answer : never called, as nothing is answered here
    """

    def __init__(self, work, topic, on_answer):
        self._work, self._topic = work, topic
        self._said = widgets.HTML()
        scope, style = parts.scope()
        super().__init__([style, self._said])
        self.add_class("gl-panel")
        self.add_class(scope)
        self.renew()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, in words where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self.words)

    @property
    def words(self):
        """The sentence that is shown."""
        return self._work.truth(self._topic) or FIRST

    def refresh(self):
        """Show what is known by now."""
        self._said.value = f"<p>{parts.text(self.words)}</p>"

    renew = refresh


class LeftOut(Truth):
    """What stands in place of a question that the unit has not; made by ``Desk.ask``.

    Parameters
    ----------
    work : Work
    topic : name of a question that was left out
    on_answer : never called, as nothing is answered here
    """

    @property
    def words(self):
        """What the unit lacks, in a sentence."""
        return left_out_told(self._work.lab)[self._topic]


class Finish(widgets.VBox):
    """The end of a lab; made by ``Desk.finish``.

    Parameters
    ----------
    work : Work
    on_answer : never called, as nothing is answered here
    """

    def __init__(self, work, on_answer):
        self._work = work
        self._stand, self._where = widgets.HTML(), widgets.HTML()
        self.box = PressBox([], "hand in", hand_in=(HAND_IN, self._hand_in))
        scope, style = parts.scope()
        super().__init__([style, self._stand, self._where, self.box])
        self.add_class("gl-panel")
        self.add_class(scope)
        self.renew()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, in words where panels are not shown."""
        words = f"{self._heading} {' '.join(self._sentences())}"
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    def hand_in(self):
        """Make one file of all answer sheets, and say where it is."""
        self.box.press(button="hand_in")

    @property
    def status(self):
        """What is said of the file, as HTML; "" before it was made."""
        return self.box.status

    def _hand_in(self):
        self.box.say(handed_in(self._work.students))

    @property
    def _heading(self):
        return f"End of '{self._work.lab.title}' ({self._work.who})."

    def _sentences(self):
        yield from state_told(self._work)
        yield ONE_FILE if self._work.students else NOBODY

    def renew(self):
        """Show whoever is signed in."""
        self.box.say("")
        self.refresh()

    def refresh(self):
        """Say what is done by now."""
        work = self._work
        lines = "".join(f"<p>{parts.text(one)}</p>" for one in self._sentences())
        self._stand.value = f"<h3>{parts.text(self._heading)}</h3>{lines}"
        path = f"<code>{parts.text(work.path)}</code>"
        told = bool(work.students) and not in_browser()
        self._where.value = f"<p>Your answers of this lab lie in {path}.</p>" * told
