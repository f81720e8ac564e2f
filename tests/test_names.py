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


def own_words(path):
    """What a file says in words of ours: a synonym is what others say."""
    text = path.read_text(encoding="utf-8")
    if path.name == "glossary.toml":
        return re.sub(r"^synonyms = .*$", "", text, flags=re.MULTILINE)
    return text


def without_sources(path):
    """The lines of a notebook but those that give its sources."""
    book = json.loads(path.read_text(encoding="utf-8"))
    cells = ["".join(cell["source"]) for cell in book["cells"]]
    lines = [line for cell in cells for line in cell.splitlines()]
    return "\n".join(line for line in lines if not line.startswith("**Sources.**"))


def what_is_called(path):
    """The names in a program, as words; its comments may give sources."""
    called = [
        getattr(node, "id", "") or getattr(node, "name", "") or ""
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Name | ast.FunctionDef | ast.ClassDef)
    ]
    return " ".join(word.capitalize() for name in called for word in name.split("_"))


@pytest.mark.parametrize(
    ("paths", "words"),
    [
        ([*LIBRARY, *PAGES], own_words),
        (NOTEBOOKS, without_sources),
        (TESTS, what_is_called),
    ],
    ids=["library", "notebooks", "tests"],
)
def test_no_person_is_named(paths, words):
    assert paths
    found = {path.relative_to(ROOT).as_posix(): named(words(path)) for path in paths}
    assert not {path: persons for path, persons in found.items() if persons}


def test_a_name_is_seen():
    assert named("as Willis and Gunstone say") == ["Gunstone", "Willis"]
    assert named("a tsai newtonian gaussian") == []
