"""``take-home``: the bench of a train as one HTML file."""

from pathlib import Path

from .frame import Command, Progress, say_written


def _arguments(parser):
    parser.add_argument("train", help="a shipped train, or the path of a train file")
    parser.add_argument("--out", metavar="FILE", help="the file to write: TRAIN.html")
    parser.add_argument("--range", help="the range to begin with")
    parser.add_argument(
        "--predict",
        action="store_true",
        help="begin with the answer hidden until a prediction is made",
    )
    parser.add_argument(
        "--hidden-fault",
        action="store_true",
        help="with a fault by chance, hidden until its button is pressed",
    )
    parser.add_argument("--ends", choices=("input", "output", "both"), default="both")
    several = {"nargs": "+", "metavar": "WHICH"}
    parser.add_argument("--letters", **several, help="screen, projector, class")
    parser.add_argument("--colours", **several, help="part, role, paint")


def _run(wanted):
    from ..bench.takehome import take_home
    from ..train.catalogue import load_train

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
        fault="by chance" if wanted.hidden_fault else None,
        progress=Progress("states"),
        **{name: value for name, value in given.items() if value is not None},
    )
    say_written(written)


COMMAND = Command(
    name="take-home",
    summary="write the bench of a train as one HTML file, to open without Python",
    about="Write the bench of a train as one HTML file. A browser opens it, without"
    "\nPython and without a network.",
    examples=("take-home five-range --predict", "take-home my-unit.toml --range 2"),
    arguments=_arguments,
    run=_run,
)
