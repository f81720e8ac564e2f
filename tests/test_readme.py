"""What the README shows is what the library says."""

import doctest
import re
from inspect import signature
from pathlib import Path

import pytest

import gearlab as gl
from gearlab import draw
from gearlab.panels import Bench

README = Path(__file__).resolve().parents[1] / "README.md"
TEXT = README.read_text(encoding="utf-8")
# The pictures of a panel, and what the README's alt text calls them.
CALLED = {
    "set:front": "end views of the three gear sets",
    "path": "stick diagram",
    "levers": "lever",
    "chart": "apply chart",
}


def drawings():
    """{name: what it can be asked} of every drawing of a train, a gear set or a log."""
    found = {
        name: set(signature(getattr(draw, name)).parameters)
        for name in draw.__all__
        if name.startswith(("draw_", "plot_"))
    }
    return {
        name: can
        for name, can in found.items()
        if {"train", "flow", "log", "end"} & can
    }


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


def test_every_drawing_is_named():
    assert set(re.findall(r"`((?:draw|plot)_\w+)`", TEXT)) == set(drawings())


@pytest.mark.parametrize("option", ["end", "colour_by"])
def test_the_drawings_that_have_an_option_are_those_that_are_named(option):
    words = " ".join(TEXT.split())
    sentence = re.search(rf"[^.]*? have `{option}`", words).group()
    named = set(re.findall(r"`(draw_\w+)`", sentence))
    assert named == {name for name, can in drawings().items() if option in can}


@pytest.mark.parametrize("option", ["context", "words"])
def test_every_drawing_has_a_context_and_words(option):
    assert all(option in can for can in drawings().values())


def test_the_picture_of_the_panel_is_told_as_it_is():
    """It is taken of this panel, as it opens; see refresh_assets.py."""
    (told,) = re.findall(r"!\[([^\]]*)\]\(assets/panel\.png\)", TEXT)
    panel = Bench(gl.load_train("five-range"), "2")
    for picture, words in CALLED.items():
        assert (words in told) == (picture in panel.look["pictures"]), picture


def test_every_link_leads_to_a_file():
    for link in re.findall(r"\]\(([^)#]+)\)", TEXT):
        assert (README.parent / link).is_file(), link
