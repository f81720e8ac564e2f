"""How far a student is: the state of every lab, and a page of it to print."""

import ipywidgets as widgets

from ..base.machine import in_browser
from ..draw import save, to_svg
from ..lab.mark.progress import progress, summary_text
from ..lab.mark.summary import draw_summary
from ..lab.question.papers import FORMS
from ..lab.sheet.sheet import answers_folder
from ..lab.sheet.signin import last_sign_in
from ..lab.sheet.students import file_stem, read_students
from . import parts
from .closing import HAND_IN, handed_in
from .press import PressBox
from .signing import signing_fields

NOBODY = "Nobody is signed in. Write a student id, and press “show”."


class Progress(widgets.VBox):
    """The state of every lab for whoever signed in last, or for the id that is typed.

    Parameters
    ----------
    students : ids as people type them; the last ones that signed in without it
    form : the letter of the form
    """

    def __init__(self, students=None, form=FORMS[0]):
        last = last_sign_in() if students is None else (students, form)
        self._scope, style = parts.scope()
        self._page = widgets.HTML()
        actions = {
            "show": ("show", self._refresh),
            "save": ("save the page as PDF", self._save),
            "hand_in": (HAND_IN, self._hand_in),
        }
        if in_browser():  # which has nothing that makes a PDF
            del actions["save"]
        self.box = PressBox(signing_fields(), "labs of a student", **actions)
        super().__init__([style, self.box, self._page])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self._text = NOBODY
        if last:
            ids, form = last
            self.box.press(ids, form if form in FORMS else FORMS[0])
        else:
            self.box.say(NOBODY)

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the standings as text where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self._text)

    def refresh(self):
        """Read the answer sheets again, and show where every lab stands."""
        self.box.press(button="show")

    def save(self):
        """Write the page beside the answer sheets, and say where it is."""
        self.box.press(button="save")

    def hand_in(self):
        """Make one file of all answer sheets, and say where it is."""
        self.box.press(button="hand_in")

    @property
    def _typed(self):
        """The ids and the form that stand in the fields."""
        ids, form = self.box.values
        return read_students(ids), form

    def _refresh(self):
        students, form = self._typed
        self._text = summary_text(students, form)
        self._page.value = to_svg(_drawn(students, form))

    def _save(self):
        students, form = self._typed
        folder = answers_folder()
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{file_stem(students, 'summary', form)}.pdf"
        self.box.say(f"Saved as {save(_drawn(students, form), path)}")

    def _hand_in(self):
        self.box.say(handed_in(self._typed[0]))


def _drawn(students, form):
    standings = progress(students, form)
    return draw_summary(standings, students, form, context="screen")
