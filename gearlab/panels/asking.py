"""The panel of one question: what is asked, the answer, hints, and how it stands.

It asks :class:`gearlab.lab.sheet.work.Work` for everything and judges nothing.
"""

import ipywidgets as widgets

from ..draw import to_svg
from ..lab.question.papers import is_marked
from ..lab.question.question import Explanation
from ..lab.sheet.told import KEPT, NOT_TRIED, PRACTISED, RIGHT, TRIED, shown
from ..lab.sheet.work import NO_HINTS
from . import answering, parts, press

SIGNS = {
    NOT_TRIED: "○ not tried",
    TRIED: "◐ not right yet",
    KEPT: "● kept",
    PRACTISED: "● practice: not kept",
    RIGHT: "✓ right",
}
LOOKS = {NOT_TRIED: "gl-open", TRIED: "gl-not-yet", RIGHT: "gl-right"}


def sign(standing):
    """How a question stands, as HTML; a colour says nothing that its sign does not."""
    look = LOOKS.get(standing, "")
    return f'<span class="gl-sign {look}">{SIGNS[standing]}</span>'


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
        self._standing, self._earlier = widgets.HTML(), widgets.HTML()
        self.box = press.PressBox([], f"answer to {self.topic}")
        self.earlier = parts.checkbox("earlier answers")
        self.earlier.add_class("gl-fold")
        parts.on_value(self.earlier, lambda _: self.refresh())
        self._alt = ""
        super().__init__(
            [
                style,
                self._asked,
                parts.line_up("gl-beside", self._picture, self.box),
                parts.line_up("gl-foot", self._standing, self.earlier),
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

    def press(self, *values):
        """Press "check" with these values in the fields, one for each."""
        self.box.press(*values)

    def check(self):
        """Take the answer that stands in the fields."""
        self.box.press(button="check")

    def hint(self):
        """Show the next hint."""
        self.box.press(button="hint")

    def _checked(self):
        answer = answering.given(self._work.question(self.topic), self.box.values)
        self._say(self._work.answer(self.topic, answer))
        self._on_answer()

    def _hinted(self):
        if self._work.hint(self.topic) == NO_HINTS:
            self.box.say(NO_HINTS)
        self.refresh()

    # Showing ----------------------------------------------------------------------

    @property
    def status(self):
        """What is said of the last press, as HTML; "" before there is anything."""
        return self.box.status

    def _say(self, verdict):
        kind = "result"
        if verdict.right is not None:
            kind = "right" if verdict.right else "not-yet"
        kind = kind if verdict.read else "fault"
        words = f"✓ {verdict.words}" if verdict.right else verdict.words
        self.box.say(words, kind)

    def renew(self):
        """Show the question as whoever is signed in meets it, with the last answer."""
        question = self._work.question(self.topic)
        self.box.say("")
        self._asked.value = self._heading() + (
            f'<p class="gl-asked">{parts.text(question.text)}</p>'
            f'<p class="gl-quiet">{parts.text(question.how)}</p>'
        )
        self.box.ask(answering.fields_for(question))
        parts.guarded(self._draw, self.box.complain)
        parts.guarded(self._restore, self.box.complain)
        self.refresh()

    def _heading(self):
        topic = self._work.asked(self.topic).topic
        marks = f"{topic.marks} mark" + "s" * (topic.marks != 1)
        if topic.prediction:
            marks = "a prediction: no marks"
        elif isinstance(self._work.question(self.topic), Explanation):
            marks = "marked by your instructor"
        return f"<h3>{parts.text(topic.name)} {parts.quiet(f'· {marks}')}</h3>"

    def _draw(self):
        picture = self._work.question(self.topic).picture
        scene = picture() if picture else None
        self._alt = scene.alt if scene else ""
        self._picture.value = to_svg(scene, turns=0) if scene else ""
        self._picture.layout.display = "" if scene else "none"

    def _restore(self):
        question, tries = self._work.question(self.topic), self._work.tries(self.topic)
        if tries:
            self.box.values = answering.shown(question, tries[-1].answer)

    def refresh(self):
        """Say how the question stands: tries, the answer that counts, hints."""
        tries = self._work.tries(self.topic)
        more = "".join(f" · {parts.text(one)}" for one in self._stands(tries))
        self._standing.value = f"<p>{sign(self._work.standing(self.topic))}{more}</p>"
        self.earlier.layout.display = "" if tries else "none"
        self._earlier.value = self._tries(tries) if self.earlier.value else ""
        self._show_hints()

    def _stands(self, tries):
        """What stands behind its sign, in a few words each."""
        if not tries:
            return
        yield f"{len(tries)} tries" if len(tries) > 1 else "1 try"
        counts = self._work.counting(self.topic)
        if counts and counts.answer != tries[-1].answer:
            yield f"the answer that counts: {shown(counts)}"
        yield f"last answer: {shown(tries[-1])}"

    def _show_hints(self):
        work, topic = self._work, self.topic
        hints, seen = work.question(topic).hints, work.hints_seen(topic)
        judged = is_marked(work.asked(topic))
        actions = {"check": ("check" if judged else "keep", self._checked)}
        if hints:
            more = f"hint {seen + 1} of {len(hints)}"
            label = more if seen < len(hints) else "no more hints"
            actions["hint"] = (label, self._hinted)
        self.box.act(**actions)
        self.box.hints = [f"Hint {n}: {hints[n - 1]}" for n in range(1, seen + 1)]

    def _tries(self, tries):
        lines = []
        for one in tries:
            verdict = self._work.verdict(self.topic, one)
            mark = {True: "✓ right", False: "not yet"}.get(
                verdict and verdict.right, ""
            )
            words = f"{shown(one)} · {mark}" if mark else shown(one)
            lines.append(f"<li>{parts.text(words)}</li>")
        return f'<ol class="gl-list">{"".join(lines)}</ol>'


class Questions(widgets.VBox):
    """Several questions, one below the other."""

    def _repr_mimebundle_(self, **kwargs):
        """The panels, with the questions in words where panels are not shown."""
        words = "\n".join([panel.words for panel in self.children])
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)
