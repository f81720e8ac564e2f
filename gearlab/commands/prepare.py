"""``prepare``: all that a class needs on paper."""

from pathlib import Path

from .frame import Command, say_written
from .printed import add_printed, printed


def _arguments(parser):
    parser.add_argument("train", help="a shipped train, or the path of a train file")
    parser.add_argument(
        "class_list",
        metavar="classlist",
        help="a CSV file whose first line names its columns: id, name, and perhaps"
        " form and group",
    )
    add_printed(parser, ("A",))
    parser.add_argument(
        "--period", type=int, default=50, metavar="MINUTES", help="50, if not said"
    )


def _run(wanted):
    from ..handouts.prepare import prepare

    out = wanted.out or f"{Path(wanted.class_list).stem} handouts"
    given = printed(wanted)
    say_written(
        prepare(wanted.train, wanted.class_list, out, period=wanted.period, **given)
    )


COMMAND = Command(
    name="prepare",
    summary="print for a class: worksheets, keys, cards, lesson plans",
    about="Write one folder of PDFs for a class: a worksheet for each student with"
    "\nnumbers of their own, the keys, charts to fill in, set-up cards, lesson plans,"
    "\nstations and roles, a catch-up sheet and the roll.",
    examples=(
        "prepare five-range class.csv --out monday",
        "prepare my-unit.toml class.csv --form A B --paper letter --cutaways 2",
        "prepare five-range class.csv --labs core --replace",
    ),
    arguments=_arguments,
    run=_run,
)
