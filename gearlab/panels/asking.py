"""The panel of one question: what is asked, the answer, hints, and how it stands.

It asks :class:`gearlab.lab.work.Work` for everything and judges nothing.
"""

import ipywidgets as widgets

from ..draw import to_svg
from ..lab.papers import is_marked
from ..lab.question import Explanation
from ..lab.work import KEPT, NO_HINTS, NOT_TRIED, RIGHT, TRIED
from . import parts
from .answering import controls_for

SIGNS = {
    NOT_TRIED: "○ not tried",
    TRIED: "◐ not right yet",
    KEPT: "● kept",
    RIGHT: "✓ right",
}


class QuestionPanel(widgets.VBox):
    """One question of a lab; made by :meth:`gearlab.panels.desk.Desk.ask`.

    Parameters
    ----------
    work : Work
    topic : name of the question
    on_answer : called after each answer

    Raises
    ------
    ValueError
        An unknown question.
    """

    def __init__(self, work, topic, on_answer):
        self.topic = work.asked(topic).topic.name
        self._work, self._on_answer = work, on_answer
        scope, style = parts.scope()
        self._asked, self._picture = widgets.HTML(), widgets.HTML()
        self._verdict, self._hints = widgets.HTML(), widgets.HTML()
        self._standing, self._earlier = widgets.HTML(), widgets.HTML()
        self._place = parts.column()
        self.check_button = parts.button("check", self.check)
        self.hint_button = parts.button("hint", self.hint)
        self.earlier = parts.checkbox("earlier answers")
        parts.on_value(self.earlier, lambda _: self.refresh())
        self._alt = ""
        super().__init__(
            [
                style,
                self._asked,
                parts.row(self._picture, self._place, grid_gap="4px 20px"),
                parts.row(self.check_button, self.hint_button),
                self._verdict,
                self._hints,
                parts.row(self._standing, self.earlier, grid_gap="4px 20px"),
                self._earlier,
            ]
        )
        self.add_class("gl-panel")
        self.add_class(scope)
        self.renew()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the question in words where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self.words)

    @property
    def words(self):
        """The question as plain text."""
        question = self._work.question(self.topic)
        options = "; ".join(getattr(question, "options", ()))
        more = [f"Options: {options}."] if options else []
        more += [f"Picture: {self._alt}"] if self._alt else []
        head = f"Question '{self.topic}' ({self._work.who}):"
        return " ".join([head, question.text, question.how, *more])

    # What a person can do -------------------------------------------------------

    def check(self):
        """Take the answer that the controls hold."""
        parts.guarded(self._checked, self._complain)

    def hint(self):
        """Show the next hint."""
        parts.guarded(self._hinted, self._complain)

    def _checked(self):
        verdict = self._work.answer(self.topic, self.control.given)
        self._say(verdict)
        self._on_answer()

    def _hinted(self):
        if self._work.hint(self.topic) == NO_HINTS:
            self._verdict.value = parts.status(NO_HINTS, "result")
        self.refresh()

    # Showing ----------------------------------------------------------------------

    @property
    def status(self):
        """The sentence of the status line, as HTML; "" before there is any."""
        return self._verdict.value

    def _say(self, verdict):
        kind = "result"
        if verdict.right is not None:
            kind = "right" if verdict.right else "not-yet"
        kind = kind if verdict.read else "fault"
        words = f"✓ {verdict.words}" if verdict.right else verdict.words
        self._verdict.value = parts.status(words, kind)

    def _complain(self, sentence):
        self._verdict.value = parts.status(sentence)

    def renew(self):
        """Show the question as whoever is signed in meets it, with the last answer."""
        question = self._work.question(self.topic)
        self._verdict.value = ""
        self._asked.value = self._heading() + (
            f'<p class="gl-asked">{parts.text(question.text)}</p>'
            f"<p>{parts.text(question.how)}</p>"
        )
        self.control = controls_for(question, self.check)
        self._place.children = (self.control.box,)
        judged = is_marked(self._work.asked(self.topic))
        self.check_button.description = "check" if judged else "keep"
        parts.guarded(self._draw, self._complain)
        parts.guarded(self._restore, self._complain)
        self.refresh()

    def _heading(self):
        topic = self._work.asked(self.topic).topic
        marks = f"{topic.marks} mark" + "s" * (topic.marks != 1)
        if topic.prediction:
            marks = "a prediction: no marks"
        elif isinstance(self._work.question(self.topic), Explanation):
            marks = "marked by your instructor"
        return f"<h4>{parts.text(topic.name)} · {marks}</h4>"

    def _draw(self):
        picture = self._work.question(self.topic).picture
        scene = picture() if picture else None
        self._alt = scene.alt if scene else ""
        self._picture.value = to_svg(scene, turns=0) if scene else ""
        self._picture.layout.display = "" if scene else "none"

    def _restore(self):
        if tries := self._work.tries(self.topic):
            self.control.show(tries[-1].answer)

    def refresh(self):
        """Say how the question stands: tries, the last answer, hints."""
        work, topic = self._work, self.topic
        tries, hints = work.tries(topic), work.question(topic).hints
        seen = work.hints_seen(topic)
        said = [SIGNS[work.standing(topic)]]
        if tries:
            count = f"{len(tries)} tries" if len(tries) > 1 else "1 try"
            said += [count, f"last answer: {_shown(tries[-1])}"]
        self._standing.value = f"<p>{parts.text(' · '.join(said))}</p>"
        self.earlier.layout.display = "" if tries else "none"
        self._earlier.value = self._tries(tries) if self.earlier.value else ""
        self.hint_button.layout.display = "" if hints else "none"
        self.hint_button.description = (
            f"hint {seen + 1} of {len(hints)}" if seen < len(hints) else "no more hints"
        )
        lines = [
            f"<p>Hint {n}: {parts.text(hints[n - 1])}</p>" for n in range(1, seen + 1)
        ]
        self._hints.value = f'<div role="status">{"".join(lines)}</div>' if seen else ""

    def _tries(self, tries):
        lines = []
        for one in tries:
            verdict = self._work.verdict(self.topic, one)
            mark = {True: "✓ right", False: "not yet"}.get(
                verdict and verdict.right, ""
            )
            words = f"{_shown(one)} · {mark}" if mark else _shown(one)
            lines.append(f"<li>{parts.text(words)}</li>")
        return f'<ol class="gl-words">{"".join(lines)}</ol>'


class Questions(widgets.VBox):
    """Several questions, one below the other."""

    def _repr_mimebundle_(self, **kwargs):
        """The panels, with the questions in words where panels are not shown."""
        words = "\n".join([panel.words for panel in self.children])
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)


def _shown(attempt):
    """An earlier answer in words."""
    if isinstance(attempt.answer, str):
        return attempt.answer
    return ", ".join(attempt.answer) or "none"
