"""How far a student is: the state of every lab, and a page of it to print."""

import ipywidgets as widgets

from ..draw import draw_summary, save, to_svg
from ..lab.papers import FORMS
from ..lab.progress import progress, summary_text
from ..lab.sheet import answers_folder
from ..lab.signin import last_sign_in
from ..lab.students import file_stem, read_students
from . import parts

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
        self._status, self._page = widgets.HTML(), widgets.HTML()
        self.ids = parts.entry("student id, or several")
        self.ids.add_class("gl-ids")
        self.form = parts.dropdown("form", FORMS, FORMS[0], "110px")
        self.show_button = parts.button("show", self.refresh)
        self.save_button = parts.button("save the page as PDF", self.save)
        parts.on_enter(self.ids, self.refresh)
        row = self.ids, self.form, self.show_button, self.save_button
        super().__init__(
            [
                style,
                parts.row(*row, align_items="center", grid_gap="4px 12px"),
                self._status,
                self._page,
            ]
        )
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self._text = NOBODY
        if last:
            self.ids.value = last[0]
            self.form.value = last[1] if last[1] in FORMS else FORMS[0]
            self.refresh()
        else:
            self._say(NOBODY)

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the standings as text where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self._text)

    def refresh(self):
        """Read the answer sheets again, and show where every lab stands."""
        parts.guarded(self._refresh, self._complain)

    def save(self):
        """Write the page beside the answer sheets, and say where it is."""
        parts.guarded(self._save, self._complain)

    def _refresh(self):
        students = read_students(self.ids.value)
        self._text = summary_text(students, self.form.value)
        self._page.value = f'<div class="gl-wide">{to_svg(self._drawn(students))}</div>'
        self._status.value = ""

    def _save(self):
        students = read_students(self.ids.value)
        folder = answers_folder()
        folder.mkdir(parents=True, exist_ok=True)
        stem = file_stem(students, "summary", self.form.value)
        self._say(f"Saved as {save(self._drawn(students), folder / f'{stem}.pdf')}")

    def _drawn(self, students):
        form = self.form.value
        standings = progress(students, form)
        return draw_summary(standings, students, form, context="screen")

    def _say(self, sentence):
        self._status.value = parts.status(sentence, "result")

    def _complain(self, sentence):
        self._status.value = parts.status(sentence)
