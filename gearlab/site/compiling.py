"""Python code of the site, compiled beforehand, so that a page need not do it.

It takes the site's own Python, which Node.js runs. Where that is missing the sources go
into the site as they are, and a notebook takes longer to begin.
"""

import subprocess
from hashlib import sha256
from pathlib import Path
from shutil import which
from tempfile import TemporaryDirectory

from ..base.filewriter import replace_file

_HERE = Path(__file__).parent
_INSIDE, _RUNNER = _HERE / "inside.py", _HERE / "compile.mjs"
SLOWER = "Node.js is missing or failed, so the site begins more slowly than it could."


def compiled(files, core, cache, say):
    """Some archives with compiled code in them.

    Parameters
    ----------
    files : {name: bytes} of wheels and of the standard library
    core : the folder with Pyodide's core files
    cache : where compiled archives are kept for the next build
    say : called with a line about what is done

    Returns
    -------
    {name: bytes}
    """
    folder = cache / "compiled"
    folder.mkdir(exist_ok=True)
    places = {name: folder / _key(name, data) for name, data in files.items()}
    missing = {name: files[name] for name in files if not places[name].is_file()}
    node = which("node")
    if missing and (node is None or not _run(node, core, missing, places, say)):
        say(SLOWER)
        return files
    return {name: place.read_bytes() for name, place in places.items()}


def _key(name, data):
    how = _INSIDE.read_bytes()
    return f"{sha256(how + data).hexdigest()[:20]}-{name}"


def _run(node, core, files, places, say):
    """Whether Node.js compiled all files and they are in their places."""
    say(f"Compiling {len(files)} packages.")
    with TemporaryDirectory() as scratch:
        for name, data in files.items():
            replace_file(Path(scratch) / name, data)
        done = subprocess.run(
            [node, _RUNNER, core, _INSIDE, scratch], capture_output=True, check=False
        )
        if done.returncode:
            return False
        for name in files:
            replace_file(places[name], (Path(scratch) / name).read_bytes())
    return True
