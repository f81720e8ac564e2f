"""The start page, and the service worker with the list of every file of a build."""

import json
from hashlib import sha256
from html import escape
from importlib import metadata
from pathlib import Path
from shutil import rmtree
from string import Template
from urllib.parse import quote

from ..base.filewriter import replace_file
from ..lab.suite.labs import CORE, FURTHER, find_lab, notebook_of, number_of
from .benches import put_benches

_HERE = Path(__file__).parent
_TOKENS = _HERE.parent / "bench" / "tokens.css"
_LEFT_OUT = ("doc", "package.json")  # no page asks for them
_VIEWS = {"plain": "notebooks/index.html", "full": "lab/index.html"}
_EXTENSION = {
    "name": "gearlab",
    "load": "static/extension.js",
    "extension": "./extension",
}
_START, _WORDS = "00_start_here.ipynb", "13_look_up_words.ipynb"


def finish(out, versions, storage):
    """Make the benches, a start page and a service worker for a build.

    Parameters
    ----------
    out : the folder of the build
    versions : {path of a notebook: version of what it says}
    storage : the name under which a browser keeps what is saved
    """
    benches, begun, marks = put_benches(out)
    _put_extension(out, begun, marks)
    for name in _LEFT_OUT:
        path = out / name
        rmtree(path) if path.is_dir() else path.unlink(missing_ok=True)
    for path in (*out.glob("rspack.config*"), *out.rglob("*.map")):
        path.unlink()
    build = _digest(out)
    replace_file(out / "index.html", start_page(versions, build, storage, benches))
    worker = out / "service-worker.js"
    worker.replace(out / "drive-worker.js")
    files = {
        path.relative_to(out).as_posix(): sha256(path.read_bytes()).hexdigest()[:16]
        for path in sorted(out.rglob("*"))
        if path.is_file()
    }
    text = f"const BUILD = {json.dumps(build)};\nconst FILES = {json.dumps(files)};\n"
    replace_file(worker, text + _read("worker.js"))


def _put_extension(out, begun, marks):
    """Put what the site adds to its notebook pages where they look for it.

    `begun` are the marks of the trains that notebooks begin with, by their paths;
    `marks` are all that have a book.
    """
    file = out / "extensions" / _EXTENSION["name"] / _EXTENSION["load"]
    file.parent.mkdir(parents=True)
    text = _read("extension.js").replace("$begun", json.dumps(begun))
    replace_file(file, text.replace("$books", json.dumps(marks)))
    path = out / "jupyter-lite.json"
    config = json.loads(path.read_text(encoding="utf-8"))
    config["jupyter-config-data"]["federated_extensions"].append(_EXTENSION)
    replace_file(path, json.dumps(config, indent=1))


def _digest(out):
    """The name of a build, by the content of all its files."""
    whole = sha256()
    for path in sorted(out.rglob("*")):
        if path.is_file():
            whole.update(path.relative_to(out).as_posix().encode())
            whole.update(sha256(path.read_bytes()).digest())
    return whole.hexdigest()[:12]


def start_page(versions, build, storage, benches):
    """The HTML of the start page."""
    script = _read("start.js").replace("$storage", storage)
    script = script.replace("$version", metadata.version("jupyterlite-core"))
    return Template(_read("start.html")).substitute(
        style=_TOKENS.read_text(encoding="utf-8"),
        begin=_rows(versions, [(_START, "", "Start here", 1)]),
        benches="\n".join(_row(*one, "", 0) for one in benches.items()),
        core=_rows(versions, map(_of_lab, CORE)),
        further=_rows(
            versions,
            [*map(_of_lab, FURTHER), (_WORDS, "", "Look up words", 1)],
        ),
        instructors=_rows(versions, _others(versions), "full"),
        build=escape(build),
        notebooks=json.dumps(versions),
        script=script,
    )


def _read(name):
    return (_HERE / name).read_text(encoding="utf-8")


def _of_lab(name):
    lab = find_lab(name)
    return notebook_of(name), number_of(name), lab.title, lab.level


def _others(versions):
    """The instructors' notebooks, and any that are no lab's."""
    yield _START, "", "All files", 0
    known = {_START, _WORDS, *map(notebook_of, (*CORE, *FURTHER))}
    for path in versions:
        file = path.removeprefix("notebooks/")
        if file not in known:
            title = Path(file).stem.split("_", 1)[-1].replace("_", " ")
            yield file, "", title[:1].upper() + title[1:], 0


def _rows(versions, labs, view="plain"):
    rows = []
    for file, number, title, level in labs:
        path = f"notebooks/{file}"
        if path not in versions:
            continue
        address = f"{_VIEWS[view]}?path={quote(path)}"
        rows.append(_row(address, title, number, level))
    return "\n".join(rows)


def _row(address, title, number, level):
    return (
        f'<li><a href="{escape(address)}"><b>{number}</b>'
        f"<span>{escape(title)}</span><span>{'★' * level}</span></a></li>"
    )
