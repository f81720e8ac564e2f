"""The benches of a site, which live without Python: their front end, pages and books.

A notebook stores what each bench in it begins with. The book of its train lies in the
site, so that the first bench of a notebook lives before the notebook's kernel is there.
"""

import json
from html import escape
from pathlib import Path
from string import Template

from ..base.filewriter import replace_file
from ..bench.book import cover, mark_of
from ..bench.front import script, style
from ..bench.state import opened
from ..bench.stored import MIME, stored_bench, stored_book
from ..bench.view import opening_view
from ..lab.question.papers import draw_paper
from ..lab.suite.labs import LAB_NAMES, find_lab
from ..train.catalogue import load_train, train_names

FOLDER = "benches"
_HERE = Path(__file__).parent


def put_benches(out):
    """Put the benches into a build that has its notebooks.

    There is a page for each shipped train, and a book for each train that a notebook
    begins with, if it is a shipped one or that of a practice paper.

    Returns
    -------
    ({page: its name}, {path of a notebook: the mark of the train it begins with}, the
    marks of all trains with a book)
    """
    folder = out / FOLDER
    folder.mkdir()
    replace_file(folder / "bench.js", script("unpack.js", "live.js", led=False))
    replace_file(folder / "bench.css", style())
    shipped = {name: load_train(name) for name in train_names()}
    pages = {}
    for name, train in shipped.items():
        pages[f"{FOLDER}/{name}.html"] = train.name
        replace_file(folder / f"{name}.html", _page(train))
    own = {mark_of(train): train for train in shipped.values()}
    known = own | {mark_of(train): train for train in map(_practised, LAB_NAMES)}
    begun = {path: mark for path, mark in _begun(out / "files") if mark in known}
    marks = sorted({*own, *begun.values()})
    for mark in marks:
        _, book = stored_book(known[mark])
        replace_file(folder / f"{mark}.book", book)
    return pages, begun, marks


def _practised(lab):
    """The train of the practice paper of a lab."""
    return draw_paper(find_lab(lab)).train


def _begun(files):
    """(path, mark of the train of its first bench) of each notebook that has one."""
    for path in sorted(files.rglob("*.ipynb")):
        cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
        outputs = [one for cell in cells for one in cell.get("outputs", ())]
        benches = [one["data"][MIME] for one in outputs if MIME in one.get("data", {})]
        if benches:
            yield path.relative_to(files).as_posix(), benches[0]["train"]


def _page(train):
    """The HTML of the bench of a train."""
    book = cover(train)
    begins = stored_bench(book, opened(train), opening_view(book))
    return Template((_HERE / "bench.html").read_text(encoding="utf-8")).substitute(
        title=escape(book["texts"]["bench_of"].replace("{name}", train.name)),
        name=escape(train.name),
        book=json.dumps(f"{begins['train']}.book"),
        # No text of it can end the script.
        begins=json.dumps(begins).replace("<", "\\u003c"),
    )
