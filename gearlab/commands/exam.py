"""``exam``: papers by form with keys, and an observed practical."""

from pathlib import Path

from .frame import Command, say_written
from .printed import add_printed, printed


def _arguments(parser):
    parser.add_argument("train", help="a shipped train, or the path of a train file")
    parser.add_argument(
        "--class-list", metavar="FILE", help="for records that bear the names"
    )
    add_printed(parser, ("A", "B"))
    parser.add_argument(
        "--questions", type=int, default=3, metavar="N", help="of each lab: 3"
    )
    parser.add_argument(
        "--name", help="the same name gives the same papers again; do not tell it"
    )
    parser.add_argument(
        "--tasks", metavar="FILE", help="a CSV file of your own task texts"
    )


def _run(wanted):
    from ..handouts.exam import exam

    written = exam(
        wanted.train,
        wanted.out or f"{Path(wanted.train).stem or wanted.train} exam",
        class_list=wanted.class_list,
        questions=wanted.questions,
        name=wanted.name,
        tasks=wanted.tasks,
        **printed(wanted),
    )
    say_written(written)


COMMAND = Command(
    name="exam",
    summary="print an exam: papers by form with keys, and a practical",
    about="Write one folder of PDFs for an exam: a paper for each form with its key,"
    "\nthe observed practical, a card for each station, and a task record.",
    examples=(
        "exam five-range --class-list class.csv --out exam",
        "exam five-range --labs core --form C D --name june",
        "exam my-unit.toml --tasks tasks.csv",
    ),
    arguments=_arguments,
    run=_run,
)
