"""What DEVELOPERS.md says of adding things: the files are there, the examples run."""

import doctest
import re
from pathlib import Path

from gearlab.train.kinds import KINDS

ROOT = Path(__file__).resolve().parents[1]
DEVELOPERS = ROOT / "DEVELOPERS.md"
ENTRY = re.compile(r"^- \*\*(an? [^*]+)\*\* \(([^)]*)\):", re.MULTILINE)


def entries():
    """{what is added: the files and folders that it takes}."""
    text = DEVELOPERS.read_text(encoding="utf-8")
    part = text[text.index("## How to add") :].split("\n## ")[0]
    return {what: re.findall("`([^`]+)`", files) for what, files in ENTRY.findall(part)}


def test_the_files_that_each_thing_takes_are_there():
    found = entries()
    assert len(found) >= 10
    for what, files in found.items():
        assert 1 <= len(files) <= 3, what
        missing = [name for name in files if not (ROOT / name).exists()]
        assert not missing, f"{what}: {missing}"


def test_every_file_that_is_named_is_there():
    text = DEVELOPERS.read_text(encoding="utf-8")
    named = set(re.findall(r"`((?:\w+/)+[\w.-]*\w\.(?:py|toml|json|js))`", text))
    places = ROOT, ROOT / "gearlab", ROOT / "gearlab" / "train"
    missing = [n for n in named if not any((place / n).exists() for place in places)]
    assert len(named) > 20
    assert not missing


def test_the_worked_examples_run():
    try:
        found = doctest.testfile(
            str(DEVELOPERS), module_relative=False, encoding="utf-8"
        )
    finally:
        KINDS.pop("pair", None)  # what an example adds goes again
    assert found.attempted >= 10
    assert found.failed == 0
