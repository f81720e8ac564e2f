"""What ``python -m gearlab`` does: mark answer sheets, sum up one student's work."""

import argparse
import os
import sys
from pathlib import Path
from time import monotonic

from .lab.marking import mark_folder, to_csv, to_text, write_ticks
from .lab.papers import FORMS
from .lab.progress import progress, summary_text
from .lab.students import read_students
from .lab.ticks import write_csv

_SILENT = 1.0  # how long nothing is said while it works [s]
_BETWEEN = 0.5  # two lines about how far it is [s]


def main(words=None):
    """Run a command; returns 0, or 1 after a sentence on what was wrong."""
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
    except ValueError as error:
        print(f"Not done: {error}.", file=sys.stderr)
        return 1
    except BrokenPipeError:
        # Whoever read the lines has stopped; what is left goes nowhere.
        with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        return 1
    except KeyboardInterrupt:
        return 130
    return 0


def _parser():
    parser = argparse.ArgumentParser(
        prog="python -m gearlab",
        description="Mark the answer sheets of a class, or sum up one student's work.",
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
    return parser


def _mark(wanted):
    there = [path for path in wanted.ticks if Path(path).exists()]
    marking = mark_folder(wanted.folder, progress=_Progress(), ticks=there)
    print(to_text(marking))
    if wanted.csv:
        print(f"Written: {write_csv(wanted.csv, to_csv(marking))}")
    for path in wanted.ticks:
        if path not in there:
            print(f"Written: {write_ticks(marking, path)}")


def _summary(wanted):
    students = read_students(wanted.students)
    print(summary_text(students, wanted.form))
    if wanted.picture:
        from .draw import draw_summary, save

        standings = progress(students, wanted.form)
        scene = draw_summary(standings, students, wanted.form)
        print(f"Written: {save(scene, wanted.picture)}")


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
