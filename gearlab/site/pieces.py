"""The pieces of a site that come from package registries, fetched once and kept.

pip and npm ask the registries that they are set up for on this machine; no address is
named here. Each piece has one version, so that two builds are alike.
"""

import os
import subprocess
import sys
from importlib import metadata
from pathlib import Path
from shutil import copytree, unpack_archive, which
from tempfile import TemporaryDirectory

from ..base.checks import one_line, shortened

PYODIDE = "314.0.6"  # the one that the kernel of the extra `site` names
PYTHON = "3.14"  # of that Pyodide
CORE = (
    "pyodide.mjs",
    "pyodide.asm.mjs",
    "pyodide.asm.wasm",
    "python_stdlib.zip",
    "pyodide-lock.json",
)
# Packages of this machine, since their front ends go into the site from here too.
OWN = ("anywidget", "comm", "ipywidgets", "psygnal")
BUILDERS = ("jupyterlite-core", "jupyterlite-pyodide-kernel")


def need_builders():
    """ValueError, in one sentence, unless the extra `site` is installed."""
    for package in BUILDERS:
        try:
            metadata.version(package)
        except metadata.PackageNotFoundError:
            raise ValueError(
                f"{package} is not installed, and it builds the site; run"
                f' {sys.executable} -m pip install "gearlab[site]"'
            ) from None


def cache_folder(given=None):
    """The folder in which pieces are kept for the next build, made if need be."""
    usual = os.environ.get("XDG_CACHE_HOME") or Path.home() / ".cache"
    folder = Path(given) if given else Path(usual) / "gearlab"
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise ValueError(
            f"what is downloaded cannot be kept in {shortened(str(folder), 200)}"
            f" ({one_line(str(error), 100)}); name another folder with --cache"
        ) from error
    return folder


def core_files(cache, say):
    """The folder with Pyodide's core files.

    Raises ValueError, in one sentence, where npm is missing or does not get them.
    """
    folder = cache / f"pyodide-{PYODIDE}"
    if all((folder / name).is_file() for name in CORE):
        return folder
    npm = which("npm")
    if npm is None:
        raise ValueError(
            "npm is not installed, and it brings the Python that runs in a browser;"
            " install Node.js with npm, and build again"
        )
    say(f"Fetching the npm package pyodide {PYODIDE}.")
    with TemporaryDirectory(dir=cache) as scratch:
        _run(
            [npm, "pack", f"pyodide@{PYODIDE}", "--silent"],
            f"npm cannot fetch the package pyodide {PYODIDE}",
            cwd=scratch,
        )
        (archive,) = Path(scratch).glob("*.tgz")
        unpack_archive(archive, scratch, filter="data")
        lacking = [n for n in CORE if not (Path(scratch) / "package" / n).is_file()]
        if lacking:
            raise ValueError(
                f"the npm package pyodide {PYODIDE} has no {lacking[0]}; look whether"
                " npm is set up for a registry with the true package"
            )
        copytree(Path(scratch) / "package", folder, dirs_exist_ok=True)
    return folder


def wheels(wanted, cache, say):
    """``{name: path}`` of wheels without machine code, by name and version.

    Parameters
    ----------
    wanted : {name of a package: version}
    cache : where they are kept
    say : called with a line before something is fetched

    Raises
    ------
    ValueError
        pip does not get one of them.
    """
    folder = cache / f"wheels-{PYTHON}"
    folder.mkdir(exist_ok=True)
    missing = {n: v for n, v in wanted.items() if _wheel(folder, n, v) is None}
    if missing:
        say(f"Fetching {len(missing)} Python packages.")
        command = [sys.executable, "-m", "pip", "download", "--no-deps", "--quiet"]
        command += ["--only-binary=:all:", "--implementation=py", "--abi=none"]
        command += ["--platform=any", f"--python-version={PYTHON}", f"--dest={folder}"]
        command += [f"{name}=={version}" for name, version in missing.items()]
        _run(command, "pip cannot fetch the packages of the site")
    found = {name: _wheel(folder, name, wanted[name]) for name in wanted}
    for name, path in found.items():
        if path is None:
            raise ValueError(
                f"pip fetched no wheel of {name} {wanted[name]}; empty the folder"
                f" {folder} and build again"
            )
    return found


def own_versions():
    """``{name: version}`` of the packages that the panels need, as installed here."""
    return {name: metadata.version(name) for name in OWN}


def _wheel(folder, name, version):
    stem = name.replace("-", "_").lower()
    for path in folder.glob("*-none-any.whl"):
        if path.name.lower().startswith(f"{stem}-{version}-"):
            return path
    return None


def _run(command, what, cwd=None):
    done = subprocess.run(
        command, cwd=cwd, capture_output=True, encoding="utf-8", errors="replace",
        check=False,
    )  # fmt: skip
    if done.returncode:
        lines = [line for line in done.stderr.splitlines() if line.strip()] or ["?"]
        raise ValueError(
            f"{what} ({one_line(lines[-1], 150)}); look whether the network is there"
            " and the registry is set up, and build again"
        )
