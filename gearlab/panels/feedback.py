"""A form that prints a class's feedback sheets from its gradebook."""

from .press import choice, line
from .printform import PAPER, PrintForm

START = (
    "Press “write the feedback sheets”: a folder with a page or a few for each student."
    " Nothing that is there is overwritten."
)
_ANSWERS = [("no, so that it can be tried again", ""), ("yes", "yes")]


class Feedback(PrintForm):
    """A form that writes a PDF for each student of a gradebook into a folder.

    Parameters
    ----------
    book : from :func:`gearlab.lab.mark.gradebook.gradebook`
    out : the folder to make
    """

    def __init__(self, book, out="feedback"):
        self._book = book
        fields = [
            (line("folder to make", wide=True), str(out)),
            (PAPER, "a4"),
            (choice("with the right answers", _ANSWERS), ""),
        ]
        write = ("write the feedback sheets", self._write)
        super().__init__("feedback on paper", START, fields, write=write)

    def _write(self):
        from ..handouts.feedback import feedback  # it prints: only when asked

        out, paper, answers = self.box.values
        self.begin()
        how = {"paper": paper, "answers": bool(answers), "progress": self.progress}
        self.say_written(feedback(self._book, out.strip(), **how))
