"""What Python finds in the browser: a few packages, named in a lock with checksums."""

import json
from base64 import urlsafe_b64encode
from hashlib import sha256
from importlib import metadata
from io import BytesIO
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

from ..base.filewriter import replace_file
from .added import added_wheels
from .compiling import compiled
from .pieces import CORE, core_files, own_versions, wheels

LOCK = "pyodide-lock.json"
# What a notebook's kernel and the panels begin with; the lock knows what these need.
_FIRST = ("micropip", "ipython", "packaging", "typing-extensions")
_KERNEL = ("piplite", "pyodide_kernel", "ipykernel", "widgetsnbextension")
# The kernel asks for it, to complete what is typed, and does as well without: left out,
# it is neither sent nor read in at each start.
_EMPTY = "jedi"
_WHEEL = (
    b"Wheel-Version: 1.0\nGenerator: gearlab\nRoot-Is-Purelib: true\n"
    b"Tag: py3-none-any\n"
)
_DATE = (1980, 1, 1, 0, 0, 0)  # of every file in a wheel, so that builds are alike


def put_python(folder, cache, say, more=None):
    """Fill a folder with Pyodide, all packages, and a lock that names only these.

    Parameters
    ----------
    folder : where they go
    cache : where downloaded pieces are kept
    say : called with a line about what is done
    more : a folder of wheels that come in too, or None

    Returns the names of the packages, to be loaded when a kernel starts.
    """
    core = core_files(cache, say)
    lock = json.loads((core / LOCK).read_text(encoding="utf-8"))
    known = lock["packages"]
    added, needed = added_wheels(more, known) if more else ({}, [])
    names = _needed(known, (*_FIRST, *needed))
    versions = {name: known[name]["version"] for name in names} | own_versions()
    files = {  # {name: (its file, the bytes of that)}
        name: (path.name, path.read_bytes())
        for name, path in (wheels(versions, cache, say) | added).items()
    }
    for path in _kernel_wheels():
        name = path.name.split("-")[0].replace("_", "-")
        files[name] = path.name, path.read_bytes()
    files["gearlab"] = gearlab_wheel()
    files[_EMPTY] = made_wheel(_EMPTY, "0", {})
    known = {name: entry for name, entry in known.items() if name != _EMPTY}
    packed = dict(files.values())
    packed |= {file: (core / file).read_bytes() for file in CORE if file != LOCK}
    archives = {
        file: packed[file] for file in packed if file.endswith((".whl", ".zip"))
    }
    packed |= compiled(archives, core, cache, say)
    lock["packages"] = {
        name: _entry(name, file, packed[file], known.get(name))
        for name, (file, _) in sorted(files.items())
    }
    for file, data in packed.items():
        replace_file(folder / file, data)
    replace_file(folder / LOCK, json.dumps(lock, indent=1))
    return sorted(files)


def _needed(known, first):
    """Some packages with all that they depend on."""
    names, left = [], list(first)
    while left:
        name = left.pop().lower().replace("_", "-")
        if name not in names:
            names.append(name)
            left += known[name]["depends"]
    return sorted(names)


def _entry(name, file, data, entry=None):
    """A package in the lock: as it is there, but with the checksum of this file."""
    entry = dict(entry or {"depends": [], "imports": _modules(data)})
    entry |= {
        "name": name,
        "version": file.split("-")[1],
        "file_name": file,
        "sha256": sha256(data).hexdigest(),
        "install_dir": "site",
        "package_type": "package",
        "unvendored_tests": False,
    }
    return entry


def _modules(data):
    """The modules at the top of a wheel."""
    with ZipFile(BytesIO(data)) as wheel:
        tops = {name.split("/")[0] for name in wheel.namelist()}
    apart = (".dist-info", ".data")
    return sorted(top.removesuffix(".py") for top in tops if not top.endswith(apart))


def _kernel_wheels():
    """The wheels that the kernel's front end brings along."""
    for file in metadata.files("jupyterlite-pyodide-kernel") or ():
        path = Path(file.locate())
        parts = path.name.split("-")
        last = parts[0] != "widgetsnbextension" or parts[1].startswith("4")
        if path.suffix == ".whl" and parts[0] in _KERNEL and last:
            yield path


def gearlab_wheel():
    """The name and the bytes of a wheel of this library, as it stands here."""
    here = Path(__file__).resolve().parent
    package = here.parent
    files = {
        f"gearlab/{path.relative_to(package).as_posix()}": path.read_bytes()
        for path in sorted(package.rglob("*"))
        if path.is_file() and "__pycache__" not in path.parts
    }
    # What builds the site is of no use within it.
    apart = f"gearlab/{here.name}/"
    files = {name: data for name, data in files.items() if not name.startswith(apart)}
    return made_wheel("gearlab", metadata.version("gearlab"), files)


def made_wheel(name, version, files):
    """The name and the bytes of a wheel of some files, the same for the same files."""
    info = f"{name}-{version}.dist-info"
    about = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
    files = files | {f"{info}/METADATA": about.encode(), f"{info}/WHEEL": _WHEEL}
    rows = [
        f"{file},sha256={_digest(data)},{len(data)}" for file, data in files.items()
    ]
    record = f"{info}/RECORD"
    files[record] = "\n".join([*rows, f"{record},,", ""]).encode()
    packed = BytesIO()
    with ZipFile(packed, "w") as wheel:
        for file, data in files.items():
            entry = ZipInfo(file, _DATE)
            entry.compress_type = ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            wheel.writestr(entry, data)
    return f"{name}-{version}-py3-none-any.whl", packed.getvalue()


def _digest(data):
    return urlsafe_b64encode(sha256(data).digest()).decode().rstrip("=")
