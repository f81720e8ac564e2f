"""The rules of the house: floors, docstrings, sizes, encodings, the top level."""

import ast
import re
import subprocess
import sys
import tomllib
from pathlib import Path
from shutil import which

import pytest
from quick import QUICK

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
    "matplotlib": ("gearlab.draw.kit.mpl", "gearlab.draw.charts.logplot"),
    "ipywidgets": ("gearlab.panels",),
    "anywidget": (
        "gearlab.panels.bench",
        "gearlab.panels.front",
        "gearlab.panels.keeping",
        "gearlab.panels.press",
    ),
    "openpyxl": ("gearlab.lab.mark.workbook",),
    "traitlets": (
        "gearlab.panels.bench",
        "gearlab.panels.classwalk",
        "gearlab.panels.keeping",
        "gearlab.panels.press",
    ),
    "typst": ("gearlab.handouts.printing",),
}
HEAVY = {
    "numpy",
    "matplotlib",
    "ipywidgets",
    "anywidget",
    "sympy",
    "IPython",
    "openpyxl",
    "typst",
}
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


def at_home(module, name, in_function):
    """Whether a module may import what it names, as far as it is from outside."""
    package = name.split(".")[0]
    if package == "gearlab" or package in sys.stdlib_module_names:
        return True
    if package == "numpy":
        return in_function and module.startswith("gearlab.ask.teeth")
    return any(within(module, home) for home in OUTSIDE_HOMES.get(package, ()))


def test_outside_imports_stay_where_they_belong():
    strays = [
        f"{module} imports {name}"
        for module in MODULES
        for name, in_function in imports(module)
        if not at_home(module, name, in_function)
    ]
    assert not strays


def test_the_reading_of_imports_sees_all_kinds():
    assert ("gearlab.base.checks", False) in imports("gearlab.train.catalogue")
    assert ("gearlab.train.trainfile", False) in imports("gearlab.train.catalogue")
    assert ("gearlab.base.numerals", False) in imports(
        "gearlab.lab.question.prediction"
    )
    assert ("importlib", True) in imports("gearlab.doctor")
    assert ("ipywidgets", False) in imports("gearlab.panels.desk")
    assert ("gearlab.panels.parts", False) in imports("gearlab.panels.bench")


@pytest.mark.parametrize(
    "package", ["gearlab", "gearlab.draw", "gearlab.lab", "gearlab.bench.asked"]
)
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


@pytest.mark.parametrize("rules", ["check", "format --check"])
def test_ruff_finds_nothing(rules):
    """What pyproject.toml asks: style, and no function too branched to read at once."""
    result = subprocess.run(
        [sys.executable, "-m", "ruff", *rules.split(), "--no-cache", "."],
        cwd=ROOT,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert result.returncode == 0, result.stdout + result.stderr


def public(node, name):
    """Public functions, classes and methods under a node, by their full names."""
    for child in node.body:
        kinds = (ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef)
        if isinstance(child, kinds) and not child.name.startswith("_"):
            yield f"{name}.{child.name}", child
            if isinstance(child, ast.ClassDef):
                yield from public(child, f"{name}.{child.name}")


def test_what_is_public_has_a_docstring():
    things = [
        one
        for module, tree in TREES.items()
        for one in [(module, tree), *public(tree, module)]
    ]
    assert not [name for name, node in things if not ast.get_docstring(node)]


def all_calls(floor=""):
    """(place, name, call) of every call in the library, or in one floor of it."""
    for module, tree in TREES.items():
        if within(module, f"gearlab.{floor}".rstrip(".")):
            for name, call in calls(tree):
                yield f"{module}, line {call.lineno}", name, call


def test_observers_name_their_trait():
    observers = [one for one in all_calls() if one[1] == "observe"]
    assert observers
    assert not [
        place
        for place, _, call in observers
        if not any(word.arg == "names" and word.value for word in call.keywords)
    ]


def test_panels_neither_print_nor_capture():
    forbidden = ("print", "Output", "get_ipython", "display")
    texts = {
        module: path.read_text(encoding="utf-8")
        for module, path in MODULES.items()
        if within(module, "gearlab.panels")
    }
    assert not [
        module for module, text in texts.items() if "interactive_output" in text
    ]
    assert not [
        (place, name)
        for place, name, call in all_calls("panels")
        if name in forbidden
        or (getattr(getattr(call.func, "value", None), "id", None), name)
        == ("plt", "show")
    ]


def names_its_encoding(name, call):
    """Whether a call that opens a file names the encoding, or opens bytes."""
    if any(word.arg == "encoding" for word in call.keywords):
        return True
    modes = [*call.args, *(w.value for w in call.keywords if w.arg == "mode")]
    texts = [mode.value for mode in modes if isinstance(mode, ast.Constant)]
    return name == "open" and any(
        isinstance(text, str) and re.fullmatch("[rwxa+]*b[+]?", text) for text in texts
    )


def test_files_are_opened_with_an_encoding():
    paths = [*MODULES.values(), *sorted((ROOT / "tests").rglob("*.py"))]
    opened = [
        (f"{path.relative_to(ROOT)}:{call.lineno}", name, call)
        for path in paths
        for name, call in calls(ast.parse(path.read_text(encoding="utf-8")))
        if name in ("open", "read_text", "write_text")
    ]
    assert len(opened) > 20
    assert not [place for place, *one in opened if not names_its_encoding(*one)]


# Beside the writer: the lock beside a sheet, and the way to nowhere.
MAY_OPEN = {
    "gearlab.base.filewriter": 1,
    "gearlab.lab.sheet.sheetfile": 1,
    "gearlab.__main__": 1,
}


def writes(name, call):
    """Whether a call opens a file to write into it, or writes one at once."""
    texts = [one.value for one in call.args if isinstance(one, ast.Constant)]
    modes = [t for t in texts if isinstance(t, str) and re.fullmatch("[a-z+]+", t)]
    opens = name == "open" and any(set(mode) & set("wxa+") for mode in modes)
    return opens or name in ("write_text", "write_bytes", "mkstemp", "savez")


def test_files_are_written_by_the_one_writer():
    for module, tree in TREES.items():
        written = [call.lineno for name, call in calls(tree) if writes(name, call)]
        assert len(written) == MAY_OPEN.get(module, 0), (module, written)


def test_what_saves_a_picture_is_given_no_path():
    """It is given a stream, which the one writer puts in its place."""
    places = [
        (place, call.args[0])
        for place, name, call in all_calls()
        if name in ("savefig", "save") and call.args
    ]
    assert places
    assert not [
        place
        for place, given in places
        if isinstance(given, ast.Constant) or getattr(given, "id", "") == "path"
    ]


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


def test_the_quick_tests_are_there_and_told():
    for file, names in QUICK.items():
        text = (ROOT / "tests" / f"{file}.py").read_text(encoding="utf-8")
        defined = {node.name for node in ast.parse(text).body if hasattr(node, "name")}
        assert set(names) <= defined, file
    assert "-m pytest -m quick`" in DEVELOPERS


def test_tests_run_on_all_cores_a_file_on_each():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    options = project["tool"]["pytest"]["ini_options"]["addopts"].split()
    assert {"--numprocesses=auto", "--dist=loadfile"} <= set(options)
    extras = project["project"]["optional-dependencies"]["test"]
    names = {re.match(r"[\w-]+", line).group() for line in extras}
    assert {"pytest-xdist", "ruff"} <= names


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
