"""A form for what is printed: a class's folder, or an exam's, in one press."""

from pathlib import Path

import ipywidgets as widgets

from ..base.checks import shortened
from ..base.reading import read_number
from ..handouts.papersize import PAPERS
from ..lab.question.papers import FORMS
from ..lab.suite.labs import LAB_NAMES
from . import parts
from .press import PressBox, choice, line, some

START = (
    "Fill in where the class list is, and press “write the class folder”. Without a"
    " choice of labs, those that fit the train are taken."
)
_FORMS = [(form, form) for form in FORMS] + [("A and B in turn", "AB")]
_OUT = {"prepare": "handouts", "exam": "exam"}


class Prepare(widgets.VBox):
    """A form that writes all that a class or an exam needs on paper into a folder.

    Parameters
    ----------
    train : a shipped name, or the path of a train file
    class_list : the path of a CSV file
    """

    def __init__(self, train="five-range", class_list=""):
        self._scope, style = parts.scope()
        self._bar = widgets.IntProgress(
            description="files", layout={"visibility": "hidden"}
        )
        self.box = PressBox(
            (),
            "what is printed",
            prepare=("write the class folder", self._prepare),
            exam=("write an exam", self._exam),
        )
        fields = [
            line("train: a shipped name, or a file", wide=True),
            line("class list: a CSV file", wide=True),
            line("folder to make", wide=True),
            some("labs", LAB_NAMES),
            choice("form", _FORMS),
            choice("paper", [(paper, paper) for paper in PAPERS]),
            line("period", "minutes"),
            line("cutaways"),
        ]
        first = [str(train), str(class_list), "", [], "A", PAPERS[0], "50", "4"]
        self.box.ask(fields, first)
        super().__init__([style, self.box, self._bar])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self.box.say(START)

    def _repr_mimebundle_(self, **kwargs):
        """The form, with its first sentence where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), START)

    def _prepare(self):
        from ..handouts.prepare import prepare  # it draws and prints: only when asked

        given, class_list, period = self._given("prepare")
        if not class_list:
            raise ValueError(
                "no class list is given, but each student gets a sheet of their own;"
                " write the path of a CSV file"
            )
        period = _whole(period, "the period")
        self._say(prepare(class_list=class_list, period=period, **given))

    def _exam(self):
        from ..handouts.exam import exam

        given, class_list, _ = self._given("exam")
        self._say(exam(class_list=class_list or None, **given))

    def _say(self, folder):
        self.box.say(f"Written: {Path(folder).resolve()}")

    def _given(self, what):
        """What stands in the fields: what both take, the class list and the period."""
        train, class_list, out, labs, forms, paper, period, cutaways = self.box.values
        self._bar.layout.visibility = "hidden"
        given = {
            "train": train.strip(),
            "out": out.strip() or _OUT[what],
            "labs": labs,
            "forms": list(forms),
            "paper": paper,
            "cutaways": _whole(cutaways, "the number of cutaways"),
            "progress": self._progress,
        }
        return given, class_list.strip(), period

    def _progress(self, done, total):
        self._bar.layout.visibility = "visible"
        self._bar.max, self._bar.value = total, done


def _whole(text, what):
    """A whole number as somebody typed it."""
    number = read_number(text, "")
    if number.denominator != 1:
        raise ValueError(f"{what} is {shortened(text)}, but it is a whole number")
    return int(number)
