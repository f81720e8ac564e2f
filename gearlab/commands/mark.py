"""``mark``: the answer sheets of a class, as a list or as a gradebook."""

import os

from ..base.filewriter import is_filled
from ..lab.question.papers import FORMS
from .frame import Command, Progress, lab_names, say_written
from .printed import add_paper

_NEED_CLASS = ("gradebook", "picture", "labs", "form", "group", "feedback")


def _arguments(parser):
    parser.add_argument("folder", help="the folder with the answer sheets")
    parser.add_argument(
        "--csv",
        metavar="FILE",
        help="write the marks for a spreadsheet, a line a sheet",
    )
    parser.add_argument(
        "--ticks",
        metavar="FILE",
        action="append",
        default=[],
        help="the explanations to tick: read if it is there, else written"
        " (may come several times)",
    )
    book = parser.add_argument_group("the gradebook of a class")
    book.add_argument(
        "--class",
        dest="class_list",
        metavar="LIST",
        help="the class list, a CSV with the columns id, name and, if wanted, form,"
        " group: everybody in it is in the gradebook",
    )
    book.add_argument(
        "--gradebook",
        metavar="FILE",
        action="append",
        default=[],
        help="write the gradebook: .csv, or .xlsx with a page for each table (may come"
        " several times)",
    )
    book.add_argument(
        "--labs",
        metavar="LABS",
        help='the labs that were set: numbers, names, "core" or "further", with commas'
        " (else those that anybody handed in)",
    )
    book.add_argument(
        "--form",
        choices=FORMS,
        help="the form that was set, where the class list says none (else any)",
    )
    book.add_argument(
        "--separator",
        choices=("comma", "semicolon", "tab"),
        default="comma",
        help="what stands between the cells of a .csv; semicolon also writes decimals"
        " with a comma",
    )
    book.add_argument(
        "--no-mark",
        action="store_true",
        help="without the mark by which spreadsheets know a .csv for UTF-8",
    )
    picture = parser.add_argument_group("a picture for the staff room")
    picture.add_argument("--picture", metavar="FILE", help=".pdf, .png or .svg")
    picture.add_argument(
        "--rows",
        choices=("students", "questions"),
        default="students",
        help="a row a student, or a row a question, the hardest first",
    )
    picture.add_argument("--no-names", action="store_true", help="numbers for names")
    picture.add_argument("--group", help="only this group of the class list")
    sheets = parser.add_argument_group("feedback on paper")
    sheets.add_argument(
        "--feedback",
        metavar="FOLDER",
        help="make a folder with a PDF for each student: what was right, what was not"
        " and why, and what to do next",
    )
    sheets.add_argument(
        "--answers",
        action="store_true",
        help="with the right answer to what was not right; without, it can be tried"
        " again",
    )
    add_paper(sheets)


def _run(wanted):
    from ..lab.mark.marking import mark_folder, to_text, write_marks, write_ticks

    listed, labs = _class_list(wanted)
    there = [path for path in wanted.ticks if is_filled(path)]
    marking = mark_folder(
        wanted.folder,
        progress=Progress("sheets"),
        ticks=there,
        processes=os.cpu_count() or 1,
    )
    if listed is None:
        print(to_text(marking))
    else:
        _gradebook(wanted, marking, listed, labs)
    if wanted.csv is not None:
        say_written(write_marks(marking, wanted.csv))
    for path in wanted.ticks:
        if path not in there:
            say_written(write_ticks(marking, path))


def _class_list(wanted):
    """The class list and the labs that were set, or None and None.

    What cannot be is said before the sheets are marked, which may take long.
    """
    from ..lab.mark.gradefile import a_gradebook_path
    from ..lab.sheet.classlist import read_class_list

    if wanted.class_list is None:
        for name in _NEED_CLASS:
            if getattr(wanted, name) not in (None, []):
                raise ValueError(
                    f"--{name} is given without a class list; add --class LIST"
                )
        return None, None
    for path in wanted.gradebook:
        a_gradebook_path(path)
    if wanted.feedback is not None:
        from ..handouts.folder import a_new_folder
        from ..handouts.printing import need_typst

        need_typst()
        a_new_folder(wanted.feedback, wanted.replace)
    labs = None if wanted.labs is None else lab_names(wanted.labs)
    return read_class_list(wanted.class_list), labs


def _gradebook(wanted, marking, listed, labs):
    from ..lab.mark.gradebook import gradebook
    from ..lab.mark.gradefile import write_gradebook

    book = gradebook(marking, listed, labs=labs, form=wanted.form)
    print(book)
    for path in wanted.gradebook:
        written = write_gradebook(
            book,
            path,
            separator=wanted.separator,
            byte_order_mark=not wanted.no_mark,
        )
        say_written(written)
    if wanted.picture is not None:
        from ..draw import save
        from ..lab.mark.staffroom import draw_gradebook

        look = {"rows": wanted.rows, "group": wanted.group}
        scene = draw_gradebook(book, names=not wanted.no_names, **look)
        say_written(save(scene, wanted.picture))
    if wanted.feedback is not None:
        _feedback(wanted, book)


def _feedback(wanted, book):
    from ..handouts.feedback import feedback

    how = {"answers": wanted.answers, "replace": wanted.replace}
    progress = Progress("feedback sheets")
    written = feedback(
        book, wanted.feedback, paper=wanted.paper, progress=progress, **how
    )
    say_written(written)


COMMAND = Command(
    name="mark",
    summary="mark what a class handed in, and make its gradebook",
    about="Mark all answer sheets in a folder and the folders in it. With a class list"
    "\nit makes a gradebook: who handed in what, who needs help and with what, and what"
    "\nis odd about a hand-in.",
    examples=(
        "mark handed-in --csv marks.csv --ticks explanations.csv",
        "mark handed-in --class class.csv --gradebook book.xlsx --labs core",
        "mark handed-in --class class.csv --picture wall.pdf --no-names",
        "mark handed-in --class class.csv --ticks explanations.csv --feedback friday",
    ),
    arguments=_arguments,
    run=_run,
)
