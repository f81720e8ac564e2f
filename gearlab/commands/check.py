"""``check``: a train file, with everything that is found in it, and the way out."""

from dataclasses import dataclass

from ..ask.assembly import FITS, assembly_verdicts
from ..ask.chartcheck import (
    CORRECT,
    REMARK,
    WRONG,
    ChartFinding,
    check_chart,
    own_chart,
)
from ..base.checks import quoted, visible
from ..say.remedies import remedy
from ..solve.equilibrium import DRIVES, TIED_UP
from ..solve.powerflow import power_flow
from ..train.catalogue import load_train, train_names
from .frame import FAULTY, NOT_DONE, WELL, Command

_STILL = ("N", "P")  # what ranges are called in which nothing is to be driven


@dataclass(frozen=True, kw_only=True)
class Found:
    """Something found in a train file: its level, what it is, and what to do."""

    level: str
    words: str
    remedy: str


def findings(train):
    """Everything that is to be said of a train, as a list of :class:`Found`.

    The rows of its chart, with their published ratios, come first; then ranges that
    drive nothing, elements that nothing uses, and what hardly goes together.
    """
    rows = [*check_chart(train, own_chart(train)), *_without_drive(train)]
    found = [
        Found(level=one.level, words=one.words, remedy=remedy(one)) for one in rows
    ]
    found += _unused(train)
    for one in train.sets:
        found += [
            Found(
                level=REMARK,
                words=f"set {verdict.set}: {verdict.words}",
                remedy="Count its teeth and its planets again.",
            )
            for verdict in assembly_verdicts(one)
            if verdict.level != FITS
        ]
    return found


def _without_drive(train):
    """Ranges that drive nothing, which is no fault where it is meant."""
    for one in train.ranges:
        state = power_flow(train, one.name).state
        told = state in (DRIVES, TIED_UP) or one.published is not None
        if not told and one.name not in _STILL:
            words = f"range {one.name} drives nothing: it is {state}"
            yield ChartFinding(range=one.name, level=REMARK, kind=state, words=words)


def _unused(train):
    used = {name for one in train.ranges for name in one.applied}
    idle = [name for name in train.element_names if name not in used]
    if idle and train.ranges:
        yield Found(
            level=REMARK,
            words=f"no range applies {quoted(idle)}",
            remedy="Add it to the rows that apply it, or take it out of the file.",
        )


def _arguments(parser):
    parser.add_argument(
        "trains",
        nargs="+",
        metavar="TRAIN",
        help="the path of a train file, or the name of a shipped train",
    )
    parser.add_argument(
        "--all", action="store_true", help="also show the rows that are correct"
    )


def _run(wanted):
    return max(_checked(name, wanted.all) for name in wanted.trains)


def _checked(name, show_all):
    """Print what is found in one file; an exit code."""
    said = visible(name)
    try:
        train = load_train(name)
    except ValueError as error:
        words = visible(str(error))
        end = "" if words.endswith("?") else "."
        print(f"{said}: cannot be used.\n  wrong    {words}{end}")
        return NOT_DONE
    found = findings(train)
    print(f"{said}: {visible(train.name)}, {len(train.sets)} gear sets.")
    for one in found:
        if show_all or one.level != CORRECT:
            print(f"  {one.level:7}  {visible(one.words)}.")
            if one.level != CORRECT:
                print(f"           {one.remedy}")
    print(f"  {_counted(train, found)}")
    return FAULTY if any(one.level == WRONG for one in found) else WELL


def _counted(train, found):
    levels = [one.level for one in found]
    published = sum(one.published is not None for one in train.ranges)
    return (
        f"{len(train.ranges)} ranges, {published} with a published ratio:"
        f" {levels.count(WRONG)} wrong, {levels.count(REMARK)} to look at."
    )


COMMAND = Command(
    name="check",
    summary="check a train file: every finding, and what to do about it",
    about="Check train files: whether they load, whether every row of the chart does"
    "\nwhat it should, whether it gives the published ratios, and whether the teeth go"
    "\ntogether. The exit code is 0 if nothing is wrong, 1 if something is, and 2 if a"
    f"\nfile cannot be used at all. Shipped trains: {', '.join(train_names())}.",
    examples=("check my-unit.toml", "check trains/*.toml --all"),
    arguments=_arguments,
    run=_run,
)
