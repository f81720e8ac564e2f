"""The rules of the house: floors, docstrings, sizes, encodings, the top level."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from shutil import which

import pytest

ROOT = Path(__file__).resolve().parents[1]
LIBRARY = ROOT / "gearlab"
MODULES = {
    ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(
        ".__init__"
    ): path
    for path in sorted(LIBRARY.rglob("*.py"))
}
TREES = {
    name: ast.parse(path.read_text(encoding="utf-8")) for name, path in MODULES.items()
}
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
# A line of the picture of the floors: a folder, then its rooms, lower ones first.
FLOOR_LINE = re.compile(r"^(\w+) +│ ([^│]*?) *│", re.MULTILINE)
PICTURE = {
    folder: [room.split(", ") for room in rooms.split(" < ") if room != "·"]
    for folder, rooms in FLOOR_LINE.findall(DEVELOPERS)
}
FLOORS = list(reversed(PICTURE))
OUTSIDE_HOMES = {
    "matplotlib": ("gearlab.draw.kit.mpl", "gearlab.draw.charts.plots"),
    "ipywidgets": ("gearlab.panels",),
    "anywidget": ("gearlab.panels.front", "gearlab.panels.press"),
    "traitlets": ("gearlab.panels.press",),
}
HEAVY = {"numpy", "matplotlib", "ipywidgets", "anywidget", "sympy", "IPython"}
TOP = {
    "README.md", "DEVELOPERS.md", "requirements.txt", "notebooks", "gearlab", "tests",
    "assets", "pyproject.toml", ".ci", ".gitignore", ".gitattributes",
}  # fmt: skip
MACHINE_PATH = re.compile(
    r"(?<![\w.+/=-])/(?:work|root|tmp|home)/|\b[A-Z]:\\+Users\\", re.ASCII
)


def within(module, home):
    return module == home or module.startswith(home + ".")


def place_of(module):
    """(floor, room) of a module; a module beside the rooms stands above them."""
    folder, *rest = module.split(".")[1:] or [""]
    if folder not in FLOORS:
        return len(FLOORS), 0
    rooms = PICTURE[folder]
    at = [n for n, names in enumerate(rooms) if rest and rest[0] in names]
    return FLOORS.index(folder), at[0] if at else len(rooms)


def folder_of(module):
    """The folder in which a module lives, as the picture has it: a floor or a room."""
    parts = module.split(".")[1:]
    floor, room = place_of(module)
    if floor == len(FLOORS):
        return ""
    return ".".join(parts[: 2 if room < len(PICTURE[parts[0]]) else 1])


def imports(module):
    """(what is imported, whether inside a function) for every import of a module."""
    tree = TREES[module]
    inner = {
        node
        for function in ast.walk(tree)
        if isinstance(function, (ast.FunctionDef, ast.AsyncFunctionDef, ast.Lambda))
        for node in ast.walk(function)
    }
    package = module.split(".")
    if MODULES[module].name != "__init__.py":
        package = package[:-1]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield alias.name, node in inner
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = package[: len(package) - node.level + 1]
                base = ".".join([*above, *filter(None, [node.module])])
            for alias in node.names:
                inside = f"{base}.{alias.name}"
                yield inside if inside in MODULES else base, node in inner


def calls(tree):
    """(name of what is called, the call): the last part of the name only."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "attr", getattr(node.func, "id", None))
            yield name, node


def tracked():
    """The files under version control, where this is a checkout of its own."""
    if not (ROOT / ".git").exists() or not which("git"):
        pytest.skip("not a checkout, or no git to ask")
    listing = subprocess.run(
        ["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, check=True
    )
    return [name for name in listing.stdout.decode("utf-8").split("\0") if name]


def python_of(code, *options):
    return subprocess.run(
        [sys.executable, *options, "-c", code],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def test_the_picture_of_the_floors_shows_every_folder():
    folders = {
        path.name for path in LIBRARY.iterdir() if (path / "__init__.py").is_file()
    }
    assert set(PICTURE) == folders
    for folder, rooms in PICTURE.items():
        inside = {
            path.name
            for path in (LIBRARY / folder).iterdir()
            if (path / "__init__.py").is_file()
        }
        assert {room for names in rooms for room in names} == inside, folder


def test_imports_go_down_only():
    """To a lower floor, a lower room of the floor, or within the room; also inside."""
    up = [
        f"{module} imports {name}"
        for module in MODULES
        for name, _ in imports(module)
        if within(name, "gearlab")
        and not (
            place_of(name) < place_of(module) or folder_of(name) == folder_of(module)
        )
    ]
    assert not up


def test_no_import_leads_back():
    """No circle of modules, counting imports inside functions too."""
    done = set()

    def walk(module, trail):
        assert module not in trail, " -> ".join([*trail[trail.index(module) :], module])
        if module not in done:
            for name, _ in imports(module):
                if within(name, "gearlab") and name != "gearlab":
                    walk(name, [*trail, module])
            done.add(module)

    for module in MODULES:
        walk(module, [])
    assert len(done) == len(MODULES)


def test_every_import_of_the_library_is_there():
    for module in MODULES:
        for name, _ in imports(module):
            if within(name, "gearlab"):
                assert name in MODULES, f"{module} imports {name}, which is not there"


@pytest.mark.parametrize("module", MODULES)
def test_outside_imports_stay_where_they_belong(module):
    for name, in_function in imports(module):
        package = name.split(".")[0]
        if package == "gearlab" or package in sys.stdlib_module_names:
            continue
        if package == "numpy":
            allowed = in_function and within(module, "gearlab.ask.teeth")
        else:
            homes = OUTSIDE_HOMES.get(package, ())
            allowed = any(within(module, home) for home in homes)
        assert allowed, f"{module} imports {name}"


def test_the_reading_of_imports_sees_all_kinds():
    assert ("gearlab.base.checks", False) in imports("gearlab.train.catalogue")
    assert ("gearlab.train.trainfile", False) in imports("gearlab.train.catalogue")
    assert ("gearlab.base.numerals", False) in imports(
        "gearlab.lab.question.prediction"
    )
    assert ("importlib", True) in imports("gearlab.doctor")
    assert ("ipywidgets", False) in imports("gearlab.panels.bench")
    assert ("gearlab.panels.parts", False) in imports("gearlab.panels.bench")


@pytest.mark.parametrize("package", ["gearlab", "gearlab.draw", "gearlab.lab"])
def test_import_is_light(package):
    code = f"import sys, {package}; print(*{{n.split('.')[0] for n in sys.modules}})"
    result = python_of(code)
    assert result.returncode == 0, result.stderr
    loaded = set(result.stdout.split())
    assert "gearlab" in loaded
    assert not loaded & HEAVY


def test_panels_import_without_a_warning():
    result = python_of("import gearlab.panels", "-W", "error")
    assert result.returncode == 0, result.stderr


def public(node, name):
    """Public functions, classes and methods under a node, by their full names."""
    for child in node.body:
        kinds = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
        if isinstance(child, kinds) and not child.name.startswith("_"):
            yield f"{name}.{child.name}", child
            if isinstance(child, ast.ClassDef):
                yield from public(child, f"{name}.{child.name}")


@pytest.mark.parametrize("module", MODULES)
def test_what_is_public_has_a_docstring(module):
    tree = TREES[module]
    assert ast.get_docstring(tree), f"{module} says nothing of itself"
    bare = [name for name, node in public(tree, module) if not ast.get_docstring(node)]
    assert not bare


@pytest.mark.parametrize("module", MODULES)
def test_observers_name_their_trait(module):
    for name, call in calls(TREES[module]):
        if name == "observe":
            names = [word.value for word in call.keywords if word.arg == "names"]
            assert names, f"{module}, line {call.lineno}: observe without names="


@pytest.mark.parametrize("module", [name for name in MODULES if ".panels" in name])
def test_panels_neither_print_nor_capture(module):
    for name, call in calls(TREES[module]):
        assert name not in ("print", "Output", "get_ipython", "display"), call.lineno
        owner = getattr(getattr(call.func, "value", None), "id", None)
        assert (owner, name) != ("plt", "show"), call.lineno
    assert "interactive_output" not in MODULES[module].read_text(encoding="utf-8")


@pytest.mark.parametrize(
    "path",
    [*MODULES.values(), *sorted((ROOT / "tests").rglob("*.py"))],
    ids=lambda path: path.relative_to(ROOT).as_posix(),
)
def test_files_are_opened_with_an_encoding(path):
    for name, call in calls(ast.parse(path.read_text(encoding="utf-8"))):
        if name not in ("open", "read_text", "write_text"):
            continue
        modes = [*call.args, *(w.value for w in call.keywords if w.arg == "mode")]
        texts = [mode.value for mode in modes if isinstance(mode, ast.Constant)]
        binary = any(
            isinstance(text, str) and re.fullmatch("[rwxa+]*b[+]?", text)
            for text in texts
        )
        named = any(word.arg == "encoding" for word in call.keywords)
        assert named or (name == "open" and binary), f"{path.name}:{call.lineno}"


# Beside the writer: the lock beside a sheet, and the way to nowhere.
MAY_OPEN = {
    "gearlab.base.filewriter": 1,
    "gearlab.lab.sheet.sheetfile": 1,
    "gearlab.__main__": 1,
}


@pytest.mark.parametrize("module", MODULES)
def test_files_are_written_by_the_one_writer(module):
    written = []
    for name, call in calls(TREES[module]):
        texts = [one.value for one in call.args if isinstance(one, ast.Constant)]
        modes = [t for t in texts if isinstance(t, str) and re.fullmatch("[a-z+]+", t)]
        writes = name == "open" and any(set(mode) & set("wxa+") for mode in modes)
        if writes or name in ("write_text", "write_bytes", "mkstemp", "savez"):
            written.append(call.lineno)
        if name in ("savefig", "save") and call.args:
            place = call.args[0]
            assert not isinstance(place, ast.Constant), call.lineno
            assert getattr(place, "id", "") != "path", call.lineno
    assert len(written) == MAY_OPEN.get(module, 0), written


def test_no_module_is_a_drawer_for_odds_and_ends():
    assert not [n for n in MODULES if re.search(r"\b(utils?|helpers?|misc)\b", n)]


def test_top_level_holds_only_what_it_must():
    top = {name.split("/")[0] for name in tracked()}
    assert top <= TOP
    assert top >= {"README.md", "DEVELOPERS.md", "requirements.txt", "notebooks"}


def test_no_file_names_a_path_of_one_machine():
    read = 0
    for name in tracked():
        path = ROOT / name
        data = path.read_bytes() if path.is_file() else b"\0"
        if b"\0" in data:
            continue
        read += 1
        found = MACHINE_PATH.search(data.decode("utf-8"))
        assert not found, f"{name}: {found.group()}"
    assert read > 20


def test_a_path_of_one_machine_is_seen():
    for top in ("work", "root", "tmp", "home"):
        assert MACHINE_PATH.search(f'open("/{top}/x")')
    assert not MACHINE_PATH.search("https://example.org/home/page")


def blocks(text, language):
    """The fenced blocks of a page in one language."""
    return re.findall(rf"^```{language}\n(.*?)^```", text, re.MULTILINE | re.DOTALL)


def test_readme_and_ci_run_the_same_test_command():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    lines = [line for block in blocks(readme, "sh") for line in block.splitlines()]
    tests = [line for line in lines if "-m pytest" in line]
    assert len(tests) == 1
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    assert tests[0] in ci
    assert [line for line in ci if "pytest" in line] == tests
    openers = [line for line in lines if "jupyter lab" in line]
    assert len(openers) == 1
    notebook = openers[0].split()[-1]
    assert notebook.endswith(".ipynb")
    assert (ROOT / notebook).is_file()


def test_requirements_say_what_pyproject_says():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    extras = project["project"]["optional-dependencies"]["test"]
    wanted = {
        *project["project"]["dependencies"],
        *(line for line in extras if line.startswith("nbval")),
    }
    text = (ROOT / "requirements.txt").read_text(encoding="utf-8")
    lines = [line.strip() for line in text.splitlines()]
    given = [line for line in lines if line and not line.startswith("#")]
    assert "-e ." in given
    packages = [line for line in given if line != "-e ."]
    assert len(packages) == len(set(packages))
    assert set(packages) == wanted
    names = {re.match(r"[\w-]+", line).group() for line in packages}
    panels = {"anywidget", "ipywidgets", "jupyterlab"}
    assert names == {*panels, "matplotlib", "numpy", "nbval"}
