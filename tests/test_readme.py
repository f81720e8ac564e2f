"""What the README shows is what the library says."""

import doctest
from pathlib import Path

README = Path(__file__).resolve().parents[1] / "README.md"


def test_every_example_of_the_readme_runs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)  # one of them writes a picture
    found = doctest.testfile(
        str(README),
        module_relative=False,
        encoding="utf-8",
        optionflags=doctest.ELLIPSIS,
    )
    assert found.attempted >= 10
    assert found.failed == 0
