"""Building the site: JupyterLite with our notebooks and our Python, all inside."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from shutil import copytree, move, rmtree
from tempfile import TemporaryDirectory

from ..base.checks import one_line, shortened
from ..base.filewriter import replace_file
from .packages import put_python
from .pages import finish
from .pieces import cache_folder, need_builders

STAMP = "gearlab-site.json"  # says that a folder was built by this command
STORAGE = "gearlab"  # under which name a browser keeps what a student saves
_PLAIN = "notebooks"  # the view of one notebook
_APPS = ("lab", _PLAIN, "tree")
_WORKSPACE = "@jupyterlite/application-extension:resolver"
_KERNEL = "@jupyterlite/pyodide-kernel-extension:kernel"
_ADVICE = (
    "Put the folder on any web server: it needs no program there. To look at it here:"
    " python -m http.server --directory {}"
)


@dataclass(frozen=True, kw_only=True)
class Built:
    """A site that was built: where, and how large it is."""

    folder: Path
    files: int
    size: int  # bytes
    advice: str


def build_site(
    folder, *, replace=False, notebooks=None, wheels=None, cache=None, say=print
):
    """Build the whole suite as a web site in a folder.

    Parameters
    ----------
    folder : where it goes: new, empty or, with `replace`, an older build
    replace : put it in the place of an older build
    notebooks : a folder of notebooks; those beside the library if left out
    wheels : a folder of wheels that the notebooks can import too, as numpy
    cache : where downloaded pieces are kept; the machine's usual place if left out
    say : called with a line about what is done

    Returns
    -------
    Built

    Raises
    ------
    ValueError
        The folder holds something else, the extra `site` is not installed, a piece
        cannot be had, a wheel cannot be taken, or the builder fails.
    """
    folder = Path(folder)
    _check_place(folder, replace)
    need_builders()
    source = _notebooks(notebooks)
    cache = cache_folder(cache)
    # Afresh each time: what the builder remembers of an earlier build makes it leave
    # our Python out without a word.
    with TemporaryDirectory(prefix="gearlab-site-") as scratch:
        lite, out = Path(scratch) / "lite", Path(scratch) / "out"
        versions = put_contents(lite / "files", source)
        (lite / "static" / "pyodide").mkdir(parents=True)
        packages = put_python(lite / "static" / "pyodide", cache, say, wheels)
        _configure(lite, packages)
        say("Building the pages.")
        _run_builder(lite, out)
        _check_inside(out)
        finish(out, versions, STORAGE)
        replace_file(out / STAMP, json.dumps({"kind": "gearlab site"}))
        _put_in_place(out, folder)
    sizes = [path.stat().st_size for path in folder.rglob("*") if path.is_file()]
    return Built(
        folder=folder,
        files=len(sizes),
        size=sum(sizes),
        advice=_ADVICE.format(folder),
    )


def _check_place(folder, replace):
    there = folder.exists() and (not folder.is_dir() or any(folder.iterdir()))
    shown = shortened(str(folder), 200)
    if not there:
        return
    if not (folder / STAMP).is_file():
        raise ValueError(
            f"{shown} is there and is no site of this command, so it is left as it is;"
            " name a new folder"
        )
    if not replace:
        raise ValueError(
            f"{shown} holds a site already; say --replace to put a new build in its"
            " place, or name a new folder"
        )


def _notebooks(given):
    folder = Path(given) if given else Path(__file__).resolve().parents[2] / "notebooks"
    if not folder.is_dir() or not any(folder.rglob("*.ipynb")):
        raise ValueError(
            f"there are no notebooks in {shortened(str(folder), 200)}; name their"
            " folder with --notebooks"
        )
    return folder


def put_contents(folder, source):
    """Put the notebooks into a folder, stamped; ``{path: version of what it says}``."""
    versions = {}
    for path in sorted(source.rglob("*.ipynb")):
        if ".ipynb_checkpoints" in path.parts:
            continue
        try:
            book = json.loads(path.read_text(encoding="utf-8"))
            sources = [cell["source"] for cell in book["cells"]]
        except (ValueError, LookupError, TypeError):
            raise ValueError(
                f"{shortened(str(path), 200)} is no notebook; mend it or take it out of"
                " the folder"
            ) from None
        version = sha256(json.dumps(sources).encode()).hexdigest()[:12]
        place = f"notebooks/{path.relative_to(source).as_posix()}"
        versions[place] = version
        book["metadata"]["gearlab"] = version
        # The name that the kernel in the browser goes by.
        book["metadata"]["kernelspec"] = {
            "name": "python",
            "display_name": "Python",
            "language": "python",
        }
        (folder / place).parent.mkdir(parents=True, exist_ok=True)
        replace_file(folder / place, json.dumps(book, ensure_ascii=False, indent=1))
    for more in ("README.md", "assets/every-key.toml"):
        path = source.parent / more
        if path.is_file():
            (folder / more).parent.mkdir(parents=True, exist_ok=True)
            replace_file(folder / more, path.read_bytes())
    return versions


def _configure(lite, packages):
    """What the builder and the pages are told."""
    settings = {
        "disablePyPIFallback": True,
        "loadPyodideOptions": {"packages": packages},
    }
    config = {
        "jupyter-lite-schema-version": 0,
        "jupyter-config-data": {
            "appName": "Gearlab",
            "contentsStorageName": STORAGE,
            "settingsStorageName": STORAGE,
            "exposeAppInBrowser": True,
            "litePluginSettings": {_KERNEL: settings},
        },
    }
    quiet = {
        "@jupyterlab/apputils-extension:notification": {
            "checkForUpdates": False,
            "doNotDisturbMode": True,
            "fetchNews": "false",
        },
        # Answers are kept by the desk; a saved page would hide a newer notebook.
        "@jupyterlab/docmanager-extension:plugin": {"autosave": False},
    }
    # A page of one notebook has no workspace; it would wait a second to save it.
    alone = {
        "jupyter-lite-schema-version": 0,
        "jupyter-config-data": {"disabledExtensions": [_WORKSPACE]},
    }
    (lite / _PLAIN).mkdir()
    replace_file(lite / _PLAIN / "jupyter-lite.json", json.dumps(alone))
    replace_file(lite / "jupyter-lite.json", json.dumps(config))
    replace_file(lite / "overrides.json", json.dumps(quiet))


def _run_builder(lite, out):
    command = [sys.executable, "-m", "jupyterlite_core", "build"]
    command += [f"--lite-dir={lite}", f"--output-dir={out}", "--contents=files"]
    command += ["--no-sourcemaps", "--no-unused-shared-packages"]
    command += [f"--apps={app}" for app in _APPS]
    done = subprocess.run(
        command, cwd=lite, capture_output=True, encoding="utf-8", errors="replace",
        check=False,
        env=dict(os.environ, PYTHONWARNINGS="ignore"),
    )  # fmt: skip
    if done.returncode:
        lines = [line for line in done.stderr.splitlines() if line.strip()] or ["?"]
        raise ValueError(
            f"the builder stopped ({one_line(lines[-1], 200)}); install the extra anew:"
            f' {sys.executable} -m pip install "gearlab[site]"'
        )


def _check_inside(out):
    """ValueError unless the pages take Python from the site itself."""
    config = json.loads((out / "jupyter-lite.json").read_text(encoding="utf-8"))
    settings = config["jupyter-config-data"]["litePluginSettings"][_KERNEL]
    if not settings.get("pyodideUrl", "").startswith("./static/"):
        raise ValueError(
            "the builder left the Python of the site out, so that it would be asked for"
            " elsewhere; nothing was written: build again"
        )


def _put_in_place(out, folder):
    """Move a finished build to its folder; an older one goes only then."""
    folder.parent.mkdir(parents=True, exist_ok=True)
    fresh = folder.with_name(f".{folder.name}.new")
    if fresh.exists():
        rmtree(fresh)
    copytree(out, fresh)
    if folder.exists():
        old = folder.with_name(f".{folder.name}.old")
        if old.exists():
            rmtree(old)
        move(folder, old)
        move(fresh, folder)
        rmtree(old)
    else:
        move(fresh, folder)
