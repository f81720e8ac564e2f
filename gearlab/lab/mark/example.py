"""A class that is made up, for whoever wants to see marking before their own class."""

from pathlib import Path

from ...base.csvtext import write_csv
from ..question.papers import draw_paper, is_marked
from ..question.question import Explanation
from ..sheet.sheet import record
from ..suite.labs import find_lab

LAB = "turn-one-set"
_LISTED = (("s01", "Ana"), ("s02", "Bo"), ("s03", "Cem"), ("s04", "Dua"))
# How many of the marked questions each makes a known slip in at first, and whether it
# is put right; s04 hands nothing in.
_WORK = {"s01": (0, True), "s02": (3, True), "s03": (4, False)}
_TEXTS = (
    "The ring is held, so the carrier has to go round with the planets.",
    "It is slower because there are more teeth.",
    "The planets roll in the ring.\nSo the carrier turns forward, slower than the sun.",
)


def example_class(folder):
    """Write the answer sheets and the class list of a class that is made up.

    Parameters
    ----------
    folder : an empty folder

    Returns
    -------
    (folder of the sheets, file of the class list), paths

    Raises
    ------
    ValueError
        They cannot be written.
    """
    handed_in = Path(folder) / "handed in"
    for who, text in zip(_WORK, _TEXTS, strict=True):
        _answer(draw_paper(find_lab(LAB), (who,)), *_WORK[who], text, handed_in)
    rows = [("id", "name"), *_LISTED]
    return handed_in, write_csv(Path(folder) / "class.csv", rows, what="class list")


def _answer(paper, slips, put_right, text, folder):
    """Answer every question of a paper, some of them with a slip first."""
    for name, asked in paper.asked.items():
        question = asked.question
        if isinstance(question, Explanation):
            record(paper, name, text, folder=folder)
            continue
        slip = next(iter(question.slips), None) if is_marked(asked) else None
        if slips and slip:
            slips -= 1
            record(paper, name, slip.answer, folder=folder)
            if not put_right:
                continue
        record(paper, name, question.answer, folder=folder)
