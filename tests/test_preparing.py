"""The form of the notebook that prints for a class: each press is answered."""

import re
from html import unescape

import pytest

from gearlab.panels import Prepare


@pytest.fixture
def form(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "class.csv").write_text("name\nAna\n", encoding="utf-8")
    return Prepare("lone-set", "class.csv")


def said(form):
    return unescape(re.sub("<[^>]+>", "", form.box.status))


def fill(form, **changes):
    names = ("train", "classes", "out", "labs", "forms", "paper", "period", "cutaways")
    values = dict(zip(names, form.box.values, strict=True)) | changes
    form.box.values = list(values.values())


def test_a_press_writes_the_folder_and_says_where(form, tmp_path):
    fill(form, labs=["turn-one-set"], out="june", forms="AB", paper="letter")
    form.box.press(button="prepare")
    assert said(form) == f"Written: {tmp_path / 'june'}"
    assert list((tmp_path / "june" / "for students" / "worksheets").glob("*.pdf"))
    assert form._bar.value == form._bar.max > 10
    form.box.press(button="prepare")
    assert "is there already" in said(form) and "gl-fault" in form.box.status


def test_an_exam_needs_no_class_list(form, tmp_path):
    fill(form, labs=["turn-one-set"], classes="")
    form.box.press(button="exam")
    assert said(form) == f"Written: {tmp_path / 'exam'}"
    form.box.press(button="prepare")
    assert "no class list is given" in said(form)


@pytest.mark.parametrize(
    "field, value, words",
    [
        ("train", "fiverange", "five-range"),
        ("classes", "none.csv", "give the path of a CSV file"),
        ("period", "4.5", "whole number"),
        ("period", "soon", "soon"),
        ("cutaways", "-1", "whole number from 0"),
        ("labs", ["turn-one-st"], "did you mean"),
        ("out", "none/june", "make that first"),
    ],
)
def test_what_cannot_be_used_is_said(form, tmp_path, field, value, words):
    fill(form, **{field: value})
    form.box.press(button="prepare")
    assert words in said(form) and "gl-fault" in form.box.status
    assert [one.name for one in tmp_path.iterdir()] == ["class.csv"]


def test_where_panels_are_not_shown_it_says_what_it_is(form):
    bundle = form._repr_mimebundle_()
    data = bundle[0] if isinstance(bundle, tuple) else bundle
    assert "write the class folder" in data["text/plain"]
