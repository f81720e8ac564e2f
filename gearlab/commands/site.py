"""``site``: the whole suite as a web site, for browsers with nothing installed."""

from .frame import Command, say_written


def _arguments(parser):
    parser.add_argument("folder", help="where the site goes; it must be new or empty")
    parser.add_argument(
        "--replace",
        action="store_true",
        help="put a new build in place of the one that is there",
    )
    parser.add_argument(
        "--notebooks",
        metavar="FOLDER",
        help="the notebooks to show: those that lie beside the library if left out",
    )
    parser.add_argument(
        "--wheels",
        metavar="FOLDER",
        help="wheels that notebooks can import too, as numpy: those that the release of"
        " Pyodide has, or any without machine code; labs then take longer to start",
    )
    parser.add_argument(
        "--cache",
        metavar="FOLDER",
        help="where what is downloaded is kept for the next build",
    )


def _run(wanted):
    from ..site.building import build_site

    built = build_site(
        wanted.folder,
        replace=wanted.replace,
        notebooks=wanted.notebooks,
        wheels=wanted.wheels,
        cache=wanted.cache,
        say=print,
    )
    say_written(built.folder)
    print(f"{built.files} files, {built.size / 1e6:.0f} MB. {built.advice}")


COMMAND = Command(
    name="site",
    summary="build a web site of all labs, which needs nothing installed",
    about="Build a web site of all labs. A browser opens it and runs Python itself, so"
    "\nnothing is installed on a student's computer, and after the first visit no"
    "\nnetwork is needed. Building it downloads some packages once; it takes pip, npm"
    '\nand the extra: pip install "gearlab[site]".',
    examples=("site lab-site", "site lab-site --replace --notebooks my-notebooks"),
    arguments=_arguments,
    run=_run,
)
