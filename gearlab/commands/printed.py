"""What the commands that print for a class are told."""

from ..handouts.papersize import PAPERS
from ..lab.question.papers import FORMS
from .frame import Progress, lab_names


def add_printed(parser, forms):
    """Add what is printed, and where to; `forms` are those without a word on them."""
    parser.add_argument("--out", metavar="FOLDER", help="the folder to make")
    parser.add_argument(
        "--labs",
        metavar="LABS",
        help='numbers, names, "core" or "further", with commas (else those that fit'
        " the train)",
    )
    parser.add_argument("--form", nargs="+", choices=FORMS, default=forms)
    parser.add_argument(
        "--cutaways", type=int, default=4, metavar="N", help="how many there are: 4"
    )
    add_paper(parser)


def add_paper(parser):
    """Add the paper, and whether an old folder makes room."""
    parser.add_argument("--paper", choices=PAPERS, default=PAPERS[0])
    parser.add_argument(
        "--replace",
        action="store_true",
        help='make it anew; an old folder stays beside it as "FOLDER (old)"',
    )


def printed(wanted):
    """What was told of it, as ``prepare`` and ``exam`` of the handouts take it."""
    return {
        "labs": () if wanted.labs is None else lab_names(wanted.labs),
        "forms": wanted.form,
        "paper": wanted.paper,
        "cutaways": wanted.cutaways,
        "replace": wanted.replace,
        "progress": Progress("files"),
    }
