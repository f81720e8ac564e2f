"""``read-log``: a road log from a file, summed up; and what was taken for what."""

from ..base.checks import visible
from ..train.catalogue import load_train
from .frame import FAULTY, WELL, Command, say_written


def _arguments(parser):
    parser.add_argument("log", metavar="FILE", help="the log, a CSV file")
    parser.add_argument(
        "--train",
        default="five-range",
        help="the name of a shipped train, or the path of a train file",
    )
    parser.add_argument(
        "--column",
        action="append",
        default=[],
        metavar="WHAT=NAME",
        help='what a column is: "input=n turbine"; time, input, output, range, torque',
    )
    parser.add_argument(
        "--unit",
        action="append",
        default=[],
        metavar="WHAT=UNIT",
        help='what its numbers are in: "time=ms"',
    )
    parser.add_argument(
        "--preview",
        action="store_true",
        help="only show what is taken for what, and the first rows",
    )
    parser.add_argument(
        "--picture", metavar="FILE", help="also draw it: a .png, .pdf or .svg file"
    )


def _run(wanted):
    from ..ask.log.mapping import preview_log
    from ..ask.log.readlog import read_log

    how = {
        "columns": _pairs(wanted.column, "--column"),
        "units": _pairs(wanted.unit, "--unit"),
    }
    if wanted.preview:
        _say(preview_log(wanted.log, **how))
        return WELL
    log = read_log(wanted.log, load_train(wanted.train), **how)
    _say(log)
    if wanted.picture:
        from ..draw import plot_log, save

        say_written(save(plot_log(log), wanted.picture))
    return FAULTY if log.bad else WELL


def _pairs(given, option):
    """``{what: name}`` of options like ``input=n1``; a number counts the columns."""
    found = {}
    for one in given:
        what, mark, name = one.partition("=")
        if not mark:
            raise ValueError(
                f'{option} is "{one}", but it must say what and which; write it like'
                f" {option} input=n1"
            )
        found[what.strip()] = int(name) if name.isdecimal() else name.strip()
    return found


def _say(result):
    for line in str(result).splitlines():
        print(visible(line))


COMMAND = Command(
    name="read-log",
    summary="read a road log: ranges, shifts, slip, suspects",
    about="Read a road log, a CSV file of time, input speed, output speed, and perhaps"
    "\nthe commanded range and the input torque. Commas, semicolons or tabs, decimal"
    "\ncommas, and units in the names are read as they are. The exit code is 0 if all"
    "\nis as the chart has it, 1 if something is not, 2 if a file cannot be used.",
    examples=(
        "read-log drive.csv --train five-range",
        'read-log drive.csv --preview --column "input=n turbine" --unit time=ms',
    ),
    arguments=_arguments,
    run=_run,
)
