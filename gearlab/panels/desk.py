"""The answer desk on top of a lab: who answers, the questions, and how they stand."""

import ipywidgets as widgets

from ..lab.checking import Verdict
from ..lab.papers import FORMS
from ..lab.work import Work
from . import parts
from .asking import SIGNS, QuestionPanel, Questions
from .bench import Bench

PRACTICE = "Practice: nothing is kept. Sign in to get numbers of your own."
YOURS = "The questions and benches below have your numbers now."
NOTHING_GIVEN = "No answer is given: write it after the name of the question."
AGAIN = "Run the cells with code below again."


class Desk(widgets.VBox):
    """The desk of a lab. Whoever signed in last on this machine is signed in.

    Parameters
    ----------
    lab : name of a lab, or a Lab

    Raises
    ------
    ValueError
        An unknown lab.
    """

    def __init__(self, lab):
        self.work = Work(lab)
        self._panels, self._benches = {}, []
        self._scope, style = parts.scope()
        self._who, self._status = widgets.HTML(), widgets.HTML()
        self._questions = widgets.HTML()
        self.ids = parts.entry("student id, or several")
        self.ids.add_class("gl-ids")
        self.form = parts.dropdown("form", FORMS, FORMS[0], "110px")
        parts.on_enter(self.ids, self._sign_in)
        self.sign_in_button = parts.button("sign in", self._sign_in)
        self.sign_out_button = parts.button("sign out", self.sign_out)
        lab = self.work.lab
        title = parts.text(f"{lab.title} {'★' * lab.level}")
        sign = self.ids, self.form, self.sign_in_button, self.sign_out_button
        super().__init__(
            [
                style,
                widgets.HTML(f"<h4>{title}</h4>"),
                parts.row(*sign, align_items="center", grid_gap="4px 12px"),
                self._status,
                self._who,
                self._questions,
            ]
        )
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self.ids.value = ", ".join(self.work.students)
        self.form.value = self.work.paper.form
        self._show()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the questions in words where panels are not shown."""
        work = self.work
        stand = [f"{topic}: {work.standing(topic)}" for topic in work.topics]
        words = f"Answer desk of '{work.lab.title}' ({work.who}). {'; '.join(stand)}."
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    # Who ------------------------------------------------------------------------

    def sign_in(self, text, form="A"):
        """Sign in one student, or a group with commas between the ids."""
        parts.guarded(
            lambda: self._changed(lambda: self.work.sign_in(text, form)),
            self._complain,
        )

    def sign_out(self):
        """Go back to the practice paper."""
        parts.guarded(lambda: self._changed(self.work.sign_out), self._complain)

    def _sign_in(self):
        self.sign_in(self.ids.value, self.form.value)

    def _changed(self, change):
        before = self.work.paper
        change()
        paper = self.work.paper
        self.ids.value, self.form.value = ", ".join(paper.students), paper.form
        for panel in self._panels.values():
            panel.renew()
        for bench in self._benches:
            bench.take_train(paper.train)
        said = YOURS if paper.students else PRACTICE
        self._show(f"{said} {AGAIN}" if paper.given != before.given else said)

    # Questions --------------------------------------------------------------------

    def ask(self, topic, *more):
        """The panel of a question, or of several in one.

        Each question has one panel, however often it is asked.
        """
        if more:
            return Questions([self.ask(one) for one in (topic, *more)])
        if topic not in self._panels:
            self._panels[topic] = QuestionPanel(self.work, topic, self._answered)
        return self._panels[topic]

    def check(self, topic, *given):
        """The Verdict on an answer from code; it never raises for a wrong one.

        Several values are several names in a list, or a decimal comma.
        """
        if not given:
            return Verdict(words=NOTHING_GIVEN, read=False)
        verdict = self.work.answer(topic, given[0] if len(given) == 1 else given)
        self._answered()
        return verdict

    def _answered(self):
        for panel in self._panels.values():
            panel.refresh()
        self._show()

    # The student's train ----------------------------------------------------------

    @property
    def train(self):
        """The student's own train."""
        return self.work.paper.train

    def bench(self, range=None, **options):
        """A bench panel with the student's train, which follows who signs in."""
        made = Bench(self.train, range, **options)
        self._benches.append(made)
        return made

    # Showing ----------------------------------------------------------------------

    @property
    def status(self):
        """The sentence of the status line, as HTML; "" if there is none."""
        return self._status.value

    def _complain(self, sentence):
        self._status.value = parts.status(sentence)

    def _show(self, said=""):
        work = self.work
        words = " ".join(filter(None, [work.notice, said]))
        kind = "fault" if work.notice else "result"
        self._status.value = parts.status(words, kind) if words else ""
        self._who.value = self._whose()
        lines = [
            f"<li>{parts.text(topic)}: <b>{SIGNS[work.standing(topic)]}</b></li>"
            for topic in work.topics
        ]
        self._questions.value = (
            f'<ol class="gl-words">{"".join(lines)}</ol>'
            f"<p>{work.best} of {work.full} marks so far."
            " Your instructor marks what you explain.</p>"
        )

    def _whose(self):
        work = self.work
        if not work.students:
            return f"<p>{PRACTICE}</p>"
        group = "Group" if len(work.students) > 1 else "Signed in"
        return (
            f"<p><b>{group}: {parts.text(work.who)}.</b> Not you? Sign in with your"
            " own id.</p>"
            f"<p>Answers are kept in <code>{parts.text(work.path)}</code>. To hand in,"
            " give this file to your instructor.</p>"
        )
