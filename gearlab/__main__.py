"""What ``python -m gearlab`` does: mark answer sheets, sum up work, write a bench."""

import argparse
import os
import sys
from pathlib import Path
from time import monotonic

from .base.checks import visible
from .base.filewriter import is_filled, reason
from .lab.mark.marking import mark_folder, to_text, write_marks, write_ticks
from .lab.mark.progress import progress, summary_text
from .lab.question.papers import FORMS
from .lab.sheet.sheet import answers_folder
from .lab.sheet.students import read_students

_SILENT = 1.0  # how long nothing is said while it works [s]
_BETWEEN = 0.5  # two lines about how far it is [s]


def main(words=None):
    """Run a command; returns 0, or 2 after a sentence on what was wrong."""
    parser = _parser()
    wanted = parser.parse_args(words)
    if not wanted.command:
        parser.print_help()
        return 0
    # A terminal of an older system may lack a letter; that must not stop the marking.
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")
    try:
        wanted.command(wanted)
        sys.stdout.flush()
    except ValueError as error:
        words = visible(str(error))
        print(f"Not done: {words}{'' if words.endswith('?') else '.'}", file=sys.stderr)
        return 2
    except OSError as error:
        # Whoever read the lines has stopped, or the lines found no room.
        with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        if isinstance(error, BrokenPipeError):
            return 1
        print(f"Not done: {reason(error)}.", file=sys.stderr)
        return 2
    except KeyboardInterrupt:
        return 130
    return 0


class _Parser(argparse.ArgumentParser):
    """One that shows every sign of a name that it cannot use."""

    def error(self, message):
        super().error(visible(message))


def _parser():
    parser = _Parser(
        prog="python -m gearlab",
        description="Mark the answer sheets of a class, sum up one student's work, or"
        " write a bench that works by itself.",
    )
    parser.set_defaults(command=None)
    commands = parser.add_subparsers(title="what it can do", metavar="COMMAND")
    mark = commands.add_parser("mark", help="mark all answer sheets in a folder")
    mark.set_defaults(command=_mark)
    mark.add_argument("folder", help="the folder with the answer sheets")
    mark.add_argument("--csv", metavar="FILE", help="write the marks for a spreadsheet")
    mark.add_argument(
        "--ticks",
        metavar="FILE",
        action="append",
        default=[],
        help="the explanations to tick: read if it is there, else written"
        " (may come several times)",
    )
    summary = commands.add_parser("summary", help="sum up the work of one student")
    summary.set_defaults(command=_summary)
    summary.add_argument("students", help='the id, or "several, with commas"')
    summary.add_argument("--form", choices=FORMS, default="A")
    summary.add_argument(
        "--picture", metavar="FILE", help="write it on one page: .pdf, .png or .svg"
    )
    _add_take_home(commands)
    return parser


def _add_take_home(commands):
    home = commands.add_parser(
        "take-home", help="write the bench of a train as one HTML file"
    )
    home.set_defaults(command=_take_home)
    home.add_argument("train", help="a shipped train, or the path of a train file")
    home.add_argument("--out", metavar="FILE", help="the file to write: TRAIN.html")
    home.add_argument("--range", help="the range to begin with")
    home.add_argument(
        "--predict",
        action="store_true",
        help="begin with the answer hidden until a prediction is made",
    )
    home.add_argument("--ends", choices=("input", "output", "both"), default="both")
    several = {"nargs": "+", "metavar": "WHICH"}
    home.add_argument("--letters", **several, help="screen, projector, class")
    home.add_argument("--colours", **several, help="part, role, paint")


def _mark(wanted):
    there = [path for path in wanted.ticks if is_filled(path)]
    marking = mark_folder(wanted.folder, progress=_Progress(), ticks=there)
    print(to_text(marking))
    if wanted.csv is not None:
        _say_written(write_marks(marking, wanted.csv))
    for path in wanted.ticks:
        if path not in there:
            _say_written(write_ticks(marking, path))


def _summary(wanted):
    students, folder = read_students(wanted.students), answers_folder()
    print(summary_text(students, wanted.form, folder))
    if wanted.picture is not None:
        from .draw import save
        from .lab.mark.summary import draw_summary

        standings = progress(students, wanted.form, folder)
        scene = draw_summary(standings, students, wanted.form)
        _say_written(save(scene, wanted.picture))


def _take_home(wanted):
    from .bench.takehome import take_home
    from .train.catalogue import load_train

    given = {"letters": wanted.letters, "colours": wanted.colours}
    if wanted.ends != "both":
        given["ends"] = [wanted.ends]
    path = wanted.out
    if path is None:
        path = f"{Path(wanted.train).stem or wanted.train}.html"
    written = take_home(
        load_train(wanted.train),
        path,
        range=wanted.range,
        predict=wanted.predict,
        **{name: value for name, value in given.items() if value is not None},
    )
    _say_written(written)


def _say_written(path):
    print(f"Written: {visible(str(path))}")


class _Progress:
    """A line on how far the marking is, once it takes long."""

    def __init__(self):
        self._next = monotonic() + _SILENT
        self._said = False

    def __call__(self, done, total):
        """Say it, unless it was said a moment ago."""
        now, last = monotonic(), done == total
        if (last and self._said) or now >= self._next:
            end = "\n" if last else ""
            print(f"\r{done} of {total} sheets", end=end, file=sys.stderr, flush=True)
            self._next, self._said = now + _BETWEEN, True


if __name__ == "__main__":
    sys.exit(main())
