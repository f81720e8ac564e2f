"""The explanations of a class, one question on one screen, with the points to tick."""

import ipywidgets as widgets

from ..base.checks import visible
from ..base.filewriter import is_filled
from ..lab.mark.marking import mark_folder, write_ticks
from ..lab.mark.reading import NONE_OF_THEM, chosen_of, ticks_of, to_read, with_ticks
from ..lab.sheet.classlist import read_class_list
from . import parts
from .press import PressBox, some

MOST = 12  # explanations on one screen
NOTHING = "No explanation was handed in."


class Ticking(widgets.VBox):
    """Tick what explanations say, question by question; every screen is kept at once.

    A point that was made is ticked; "none of these" says that it was read. *Tab* goes
    from box to box, the space bar ticks, and *Enter* presses a button.

    Parameters
    ----------
    folder : the folder with what was handed in
    path : the file of ticks, see :func:`gearlab.lab.mark.marking.write_ticks`; what is
        in it already is shown
    class_list : the file of a class list, for the names of students
    names : whether it is shown who wrote what; without, nobody is preferred
    """

    def __init__(self, folder, path, class_list=None, names=True):
        self._path, self._names = path, names
        listed = read_class_list(class_list) if class_list is not None else ()
        self._called = {one.id: one.name for one in listed}
        ticks = [path] if is_filled(path) else []
        self.marking = mark_folder(folder, ticks=ticks)
        self._scope, style = parts.scope()
        self._head = widgets.HTML()
        self.box = PressBox(
            [],
            "explanations to tick",
            keep=("keep, and go on", self._keep),
            back=("go back", self._back),
        )
        super().__init__([style, self._head, self.box])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        # The texts of a screen are found again by their places in these.
        self._screens = [
            (number, start)
            for number, question in enumerate(to_read(self.marking))
            for start in range(0, len(question.texts), MOST)
        ]
        self._at = 0
        self._show()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with what is to be ticked as text where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self.words)

    @property
    def words(self):
        """How much is to be read, question by question."""
        lines = [
            f"{one.title}, “{one.question}”: {len(one.texts)} explanations,"
            f" {one.left} to be ticked."
            for one in to_read(self.marking)
        ]
        return "\n".join(map(visible, lines)) or NOTHING

    def keep(self):
        """Keep what is ticked, and show the next screen."""
        self.box.press(button="keep")

    def back(self):
        """Show the screen before, as it was kept."""
        self.box.press(button="back")

    @property
    def _screen(self):
        """The question that is shown, and its texts."""
        number, start = self._screens[self._at]
        question = to_read(self.marking)[number]
        return question, question.texts[start : start + MOST]

    def _show(self):
        if not self._screens:
            self._head.value = f"<p>{NOTHING}</p>"
            self.box.act()
            return
        question, texts = self._screen
        place = f"Screen {self._at + 1} of {len(self._screens)}"
        left = f"{question.left} of {len(question.texts)} are to be ticked"
        self._head.value = (
            f"<p><b>{parts.text(question.title)}: {parts.text(question.question)}</b>"
            f"<br>{place}. {left}.</p>"
        )
        options = [*question.points, NONE_OF_THEM]
        start = self._screens[self._at][1] + 1
        self.box.ask(
            [
                some(f"{self._who(one, number)}: {_on_a_line(one.text)}", options)
                for number, one in enumerate(texts, start=start)
            ],
            [chosen_of(question.points, one.ticks) for one in texts],
        )

    def _who(self, one, number):
        if not self._names:
            return f"Text {number}"
        return ", ".join(self._called.get(name, name) for name in one.students)

    def _keep(self):
        if not self._screens:
            return
        question, texts = self._screen
        marking = self.marking
        for one, chosen in zip(texts, self.box.values, strict=True):
            ticks = ticks_of(question.points, chosen)
            if ticks is not None:
                marking = with_ticks(marking, question, one, ticks)
        write_ticks(marking, self._path)
        self.marking = marking
        left = sum(one.left for one in to_read(marking))
        if self._at + 1 < len(self._screens):
            self._at += 1
        self._show()
        self.box.say(f"Kept in {visible(str(self._path))}. To be ticked: {left}.")

    def _back(self):
        self._at = max(self._at - 1, 0)
        self._show()


def _on_a_line(text):
    return " / ".join(line.strip() for line in text.splitlines() if line.strip())
