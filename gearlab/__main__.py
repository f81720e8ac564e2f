"""What ``python -m gearlab`` does: its commands, by what a person wants to do."""

import argparse
import os
import sys
from pathlib import Path

from .base.checks import visible
from .base.filewriter import reason
from .commands import (
    check,
    exam,
    mark,
    prepare,
    readlog,
    site,
    summary,
    takehome,
)
from .commands.frame import (
    EXIT_CODES,
    FAULTY,
    INTERRUPTED,
    NOT_DONE,
    WELL,
    Command,
    Parser,
    add_command,
)
from .doctor import answers_told, doctor, extras_told, is_well


def _doctor(wanted):
    for line in (doctor(), answers_told(), *extras_told()):
        print(line)
    return WELL if is_well() else FAULTY


DOCTOR = Command(
    name="doctor",
    summary="see whether this machine has all that the notebooks need",
    about="See whether this machine has all that the notebooks need: versions, the"
    "\nplace of the answer sheets, and what is optional.",
    examples=("doctor",),
    arguments=lambda parser: None,
    run=_doctor,
)
GROUPS = {
    "before class": (check.COMMAND, prepare.COMMAND, exam.COMMAND),
    "in class": (takehome.COMMAND, site.COMMAND, readlog.COMMAND),
    "after class": (mark.COMMAND, summary.COMMAND),
    "your machine": (DOCTOR,),
}
_NO_READER = 1  # whoever read the lines has stopped


def main(words=None):
    """Run a command; returns its exit code, see :data:`EXIT_CODES`."""
    parser = _parser()
    wanted = parser.parse_args(words)
    if not wanted.run:
        parser.print_help()
        return WELL
    # A terminal of an older system may lack a letter; that must not stop the marking.
    for stream in (sys.stdout, sys.stderr):
        stream.reconfigure(errors="replace")
    try:
        code = wanted.run(wanted)
        sys.stdout.flush()
    except ValueError as error:
        words = visible(str(error))
        print(f"Not done: {words}{'' if words.endswith('?') else '.'}", file=sys.stderr)
        return NOT_DONE
    except OSError as error:
        # Whoever read the lines has stopped, or the lines found no room.
        with Path(os.devnull).open("w", encoding="utf-8") as nowhere:
            os.dup2(nowhere.fileno(), sys.stdout.fileno())
        if isinstance(error, BrokenPipeError):
            return _NO_READER
        print(f"Not done: {reason(error)}.", file=sys.stderr)
        return NOT_DONE
    except KeyboardInterrupt:
        return INTERRUPTED
    return code or WELL


def _parser():
    parser = Parser(
        prog="python -m gearlab",
        usage="python -m gearlab COMMAND ...",
        description=_told(),
        epilog=_exit_codes(),
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.set_defaults(run=None)
    # The commands are told in groups, which argparse has not.
    commands = parser.add_subparsers(prog=parser.prog, help=argparse.SUPPRESS)
    for group in GROUPS.values():
        for command in group:
            add_command(commands, command)
    return parser


def _told():
    """The commands in their groups, and how to go on."""
    wide = max(len(one.name) for group in GROUPS.values() for one in group)
    lines = ["Teaching power flow in automatic transmissions.", ""]
    for title, group in GROUPS.items():
        lines += [f"{title}:"]
        lines += [f"  {one.name:{wide}}  {one.summary}" for one in group]
        lines += [""]
    lines += ["python -m gearlab COMMAND --help tells more of one, with examples."]
    return "\n".join(lines)


def _exit_codes():
    lines = [f"  {code:<3}  {words}" for code, words in EXIT_CODES.items()]
    return "\n".join(["exit codes:", *lines])


if __name__ == "__main__":
    sys.exit(main())
