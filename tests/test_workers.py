"""Marking by several processes is the marking by one."""

import os
from concurrent import futures

import pytest
from answering import right_answer

from gearlab.lab.mark import workers
from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.mark.workers import done_in_order
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.sheet import record
from gearlab.lab.suite.labs import find_lab

HERE = os.getpid()


def where(thing):
    """The thing, and whether another process than the tests' worked on it."""
    return thing, os.getpid() != HERE


def lost(thing):
    """End the process, if it is not the tests'."""
    if os.getpid() != HERE:
        os._exit(1)
    return thing, False


def test_what_is_given_back_is_in_order_and_was_done_elsewhere():
    said = []
    things = list(range(workers.FEW + 57))
    done = done_in_order(where, things, 2, lambda *now: said.append(now))
    assert done == [(thing, True) for thing in things]
    assert said[-1] == (len(things), len(things))
    assert said == sorted(said) and len(said) > 5


@pytest.mark.parametrize(("count", "processes"), [(workers.FEW, 1), (5, 2), (0, 2)])
def test_little_work_or_one_process_is_done_here(count, processes):
    said = []
    things = list(range(count))
    done = done_in_order(where, things, processes, lambda *now: said.append(now))
    assert done == [(thing, False) for thing in things]
    assert said == [(n + 1, count) for n in range(count)]


def test_where_a_process_is_lost_the_work_is_done_here():
    things = list(range(workers.FEW))
    assert done_in_order(lost, things, 2) == [(thing, False) for thing in things]


def test_where_no_process_can_be_started_the_work_is_done_here(monkeypatch):
    def refused(count):
        raise OSError("no process")

    monkeypatch.setattr(futures, "ProcessPoolExecutor", refused)
    things = list(range(workers.FEW))
    assert done_in_order(where, things, 2) == [(thing, False) for thing in things]


def test_a_class_is_marked_alike_by_one_process_and_by_two(monkeypatch, tmp_path):
    monkeypatch.setattr(workers, "FEW", 4)
    monkeypatch.setattr(workers, "_BATCH", 2)
    for who in ("ana", "bob", "eve"):
        for lab in ("turn-one-set", "read-the-lever"):
            paper = draw_paper(find_lab(lab), (who,))
            for name in list(paper.asked)[:3]:
                record(paper, name, right_answer(paper, name), folder=tmp_path)
    (tmp_path / "x.json").write_text("{}", encoding="utf-8")
    alone = mark_folder(tmp_path)
    assert len(alone.rows) == 6
    assert mark_folder(tmp_path, processes=2) == alone
