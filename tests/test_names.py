"""No person's name but as a source of a checked value, or as a synonym."""

import ast
import json
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PERSONS = re.compile(
    r"\b(Artobolevsky|Benford|Brown|Budynas|Euler|Ferguson|Fernandes|Fourier|Gauss|"
    r"Gunstone|Gupta|Humpage|Ito|Khurmi|Kinzel|Kutzbach|Lagrange|Leising|Lepelletier|"
    r"Lévai|MacCord|Machado|Merritt|Motzkin|Müller|Newton|Nisbett|Norton|Okabe|"
    r"Oliveira|Ravigneaux|Shigley|Shweiki|Simpson|Tsai|Waldron|Willis|Wolf)\b"
)
LIBRARY = [*(ROOT / "gearlab").rglob("*.py"), *(ROOT / "gearlab").rglob("*.toml")]
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md"]
NOTEBOOKS = sorted((ROOT / "notebooks").rglob("*.ipynb"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))


def named(text):
    return sorted({found.group() for found in PERSONS.finditer(text)})


def short(path):
    return path.relative_to(ROOT).as_posix()


@pytest.mark.parametrize("path", [*LIBRARY, *PAGES], ids=short)
def test_no_person_is_named_in_the_library(path):
    text = path.read_text(encoding="utf-8")
    if path.name == "glossary.toml":
        text = re.sub(r"^synonyms = .*$", "", text, flags=re.MULTILINE)
    assert named(text) == []


@pytest.mark.parametrize("path", NOTEBOOKS, ids=short)
def test_persons_are_named_in_the_sources_of_a_notebook_only(path):
    book = json.loads(path.read_text(encoding="utf-8"))
    cells = ["".join(cell["source"]) for cell in book["cells"]]
    lines = [line for cell in cells for line in cell.splitlines()]
    assert [x for x in lines if named(x) and not x.startswith("**Sources.**")] == []


@pytest.mark.parametrize("path", TESTS, ids=short)
def test_nothing_in_the_tests_is_called_by_a_person(path):
    """Their comments give sources; what is called something says what it does."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    called = [
        getattr(node, "id", "") or getattr(node, "name", "") or ""
        for node in ast.walk(tree)
        if isinstance(node, ast.Name | ast.FunctionDef | ast.ClassDef)
    ]
    words = " ".join(word.capitalize() for name in called for word in name.split("_"))
    assert named(words) == []


def test_a_name_is_seen():
    assert named("as Willis and Gunstone say") == ["Gunstone", "Willis"]
    assert named("a tsai newtonian gaussian") == []
