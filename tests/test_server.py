"""A class on a server, by its parts: a hub is not started here."""

import json
import os
import re
import stat
from pathlib import Path
from types import SimpleNamespace

import nbformat
import pytest
from answering import LAB, TOPICS, paper_of, right_answer, stand_in
from nbclient import NotebookClient
from test_gradebook import book_of

from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.sheet.classlist import Listed
from gearlab.lab.sheet.sheet import FOLDER_VARIABLE, record, sheet_path
from gearlab.lab.sheet.work import Work

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"
PAGE = NOTEBOOKS / "instructor" / "on_a_server.md"
TEXT = PAGE.read_text(encoding="utf-8")


@pytest.fixture
def small(monkeypatch):
    """The small lab stands in for the first of the suite."""
    stand_in(monkeypatch)


def config():
    """What the page writes into the hub's configuration."""
    (code,) = re.findall(r"```python\n(.*?)```", TEXT, re.DOTALL)
    c = SimpleNamespace(Spawner=SimpleNamespace())
    exec(code, {"c": c})
    return c.Spawner


def test_the_hub_gives_each_account_its_own_folder_as_a_whole_path():
    (name, path_of) = next(iter(config().environment.items()))
    assert name == FOLDER_VARIABLE
    accounts = [
        SimpleNamespace(user=SimpleNamespace(name=who)) for who in ("ana", "bob")
    ]
    paths = [path_of(account) for account in accounts]
    assert len(set(paths)) == 2 and all(path.startswith("/") for path in paths)
    made = re.search(r"install -d -o \$who .* (\S+)/\$who;", TEXT)[1]
    assert paths == [f"{made}/ana", f"{made}/bob"]


def test_the_page_that_is_opened_first_is_there():
    assert (NOTEBOOKS / config().default_url.removeprefix("/lab/tree/")).is_file()


def test_every_link_of_the_page_leads_to_a_file():
    links = [link for link in re.findall(r"\]\(([^)#]+)\)", TEXT) if "://" not in link]
    assert len(links) >= 3
    assert all((PAGE.parent / link).is_file() for link in links)


def test_a_notebook_runs_in_a_folder_that_may_only_be_read(tmp_path, monkeypatch):
    """An administrator may write everywhere; nothing is written all the same."""
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path / "answers"))
    folder = tmp_path / "notebooks"
    folder.mkdir()
    path = folder / "00_start_here.ipynb"
    path.write_bytes((NOTEBOOKS / path.name).read_bytes())
    before = path.read_bytes()
    path.chmod(stat.S_IREAD)
    folder.chmod(stat.S_IREAD | stat.S_IEXEC)
    book = nbformat.read(path, as_version=4)
    where = {"metadata": {"path": str(folder)}}
    NotebookClient(book, timeout=60, kernel_name="python3", resources=where).execute()
    folder.chmod(stat.S_IRWXU)
    assert [one.name for one in folder.iterdir()] == [path.name]
    assert path.read_bytes() == before


@pytest.mark.parametrize("kind", ["a file in the way", "no rights"])
def test_a_folder_of_answers_that_cannot_be_used_gets_one_sentence(
    kind, tmp_path, monkeypatch
):
    place = tmp_path / "answers"
    if kind == "no rights":
        if not hasattr(os, "geteuid") or os.geteuid() == 0:
            pytest.skip("an administrator has every right")
        place.mkdir(mode=0)
    else:
        place.write_text("", encoding="utf-8")
    monkeypatch.setenv(FOLDER_VARIABLE, str(place))
    work = Work(LAB)
    with pytest.raises(ValueError, match=FOLDER_VARIABLE) as error:
        work.sign_in("ana")
        work.answer(work.topics[0], "forward")
    assert "\n" not in str(error.value) and str(place) in str(error.value)


def test_the_folders_of_two_accounts_are_marked_as_one(tmp_path, small):
    for who in ("ana", "bob"):
        for topic in TOPICS:
            paper = paper_of(who)
            answer = right_answer(paper, topic.name)
            record(paper, topic.name, answer, folder=tmp_path / who)
        (tmp_path / who / "last-sign-in").write_text("{}", encoding="utf-8")
    book = book_of(tmp_path, [Listed(id=who, name=who) for who in ("ana", "bob")])
    assert [row.best for row in book.rows] == [5, 5]
    assert book.problems == ()
    assert {row.files[0].split("/")[0] for row in mark_folder(tmp_path).rows} == {
        "ana",
        "bob",
    }


def test_who_signs_in_as_somebody_else_is_found_by_the_folder(tmp_path, small):
    paper = paper_of("ana")
    record(paper, "way", "forward", folder=tmp_path / "ana")
    record(paper, "way", "backward", folder=tmp_path / "bob")
    (problem,) = book_of(tmp_path).problems
    name = sheet_path(("ana",), LAB.name, "A", "").name
    assert all(f"{who}/{name}" in problem.words for who in ("ana", "bob"))
    data = json.loads((tmp_path / "bob" / name).read_text(encoding="utf-8"))
    assert data["students"] == ["ana"]
