"""Run by the Python of the site itself: only it can compile for itself."""

import importlib.util
import marshal
import zipfile
from pathlib import Path


def compile_all(folder):
    """Put compiled code in place of the sources in every archive of a folder.

    An archive whose name begins with "gearlab-" keeps its sources, to be read.
    """
    for path in sorted(Path(folder).iterdir()):
        with zipfile.ZipFile(path) as archive:
            files = {info: archive.read(info) for info in archive.infolist()}
        keep = path.name.startswith("gearlab-")
        with zipfile.ZipFile(path, "w") as archive:
            for info, data in files.items():
                code = _compiled(info.filename, data)
                if code is None or keep:
                    _put(archive, info, info.filename, data)
                if code is not None:
                    _put(archive, info, _place(info.filename, keep), code)


def _place(name, keep):
    """Where Python looks for the code: beside the sources, or in their place."""
    if not keep:
        return f"{name}c"
    path = Path(importlib.util.cache_from_source(f"/{name}"))
    return path.as_posix().lstrip("/")


def _compiled(name, data):
    """The code of a source file, good whatever its date; None for anything else."""
    if not name.endswith(".py"):
        return None
    try:
        code = compile(data, name, "exec", dont_inherit=True)
    except (SyntaxError, ValueError):  # a template, or a test of what is wrong
        return None
    never_checked = (0b01).to_bytes(4, "little") + bytes(8)
    return importlib.util.MAGIC_NUMBER + never_checked + marshal.dumps(code)


def _put(archive, info, name, data):
    entry = zipfile.ZipInfo(name, info.date_time)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = info.external_attr
    archive.writestr(entry, data)
