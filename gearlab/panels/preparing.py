"""A form for what is printed: a class's folder, or an exam's, in one press."""

from ..base.checks import shortened
from ..base.reading import read_number
from ..lab.question.papers import FORMS
from ..lab.suite.labs import LAB_NAMES
from .press import choice, line, some
from .printform import PAPER, PrintForm

START = (
    "Fill in where the class list is, and press “write the class folder”. Without a"
    " choice of labs, those that fit the train are taken."
)
_FORMS = [(form, form) for form in FORMS] + [("A and B in turn", "AB")]
_OUT = {"prepare": "handouts", "exam": "exam"}


class Prepare(PrintForm):
    """A form that writes all that a class or an exam needs on paper into a folder.

    Parameters
    ----------
    train : a shipped name, or the path of a train file
    class_list : the path of a CSV file
    """

    def __init__(self, train="five-range", class_list=""):
        fields = [
            (line("train: a shipped name, or a file", wide=True), str(train)),
            (line("class list: a CSV file", wide=True), str(class_list)),
            (line("folder to make", wide=True), ""),
            (some("labs", LAB_NAMES), []),
            (choice("form", _FORMS), "A"),
            (PAPER, "a4"),
            (line("period", "minutes"), "50"),
            (line("cutaways"), "4"),
        ]
        super().__init__(
            "what is printed",
            START,
            fields,
            prepare=("write the class folder", self._prepare),
            exam=("write an exam", self._exam),
        )

    def _prepare(self):
        from ..handouts.prepare import prepare  # it draws and prints: only when asked

        given, class_list, period = self._given("prepare")
        if not class_list:
            raise ValueError(
                "no class list is given, but each student gets a sheet of their own;"
                " write the path of a CSV file"
            )
        period = _whole(period, "the period")
        self.say_written(prepare(class_list=class_list, period=period, **given))

    def _exam(self):
        from ..handouts.exam import exam

        given, class_list, _ = self._given("exam")
        self.say_written(exam(class_list=class_list or None, **given))

    def _given(self, what):
        """What stands in the fields: what both take, the class list and the period."""
        train, class_list, out, labs, forms, paper, period, cutaways = self.box.values
        self.begin()
        given = {
            "train": train.strip(),
            "out": out.strip() or _OUT[what],
            "labs": labs,
            "forms": list(forms),
            "paper": paper,
            "cutaways": _whole(cutaways, "the number of cutaways"),
            "progress": self.progress,
        }
        return given, class_list.strip(), period


def _whole(text, what):
    """A whole number as somebody typed it."""
    number = read_number(text, "")
    if number.denominator != 1:
        raise ValueError(f"{what} is {shortened(text)}, but it is a whole number")
    return int(number)
