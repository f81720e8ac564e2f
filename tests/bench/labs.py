"""Measure the labs: papers, one check, one answer kept, a folder of sheets marked."""

from datetime import UTC, datetime, timedelta
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory
from time import perf_counter

from gearlab.base.frozenmap import FrozenMap
from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.question.checking import check
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.question.question import Explanation, Number
from gearlab.lab.sheet.answers import AnswerSheet, Attempt, to_text
from gearlab.lab.sheet.sheet import as_kept, record
from gearlab.lab.suite.labs import LAB_NAMES, find_lab

PEOPLE, FORMS, SHEETS, ANSWERS = 1000, "ABC", 1000, 8


def measure(report):
    """Report every figure, over all the labs."""
    labs = [find_lab(name) for name in LAB_NAMES]
    papers = _papers(report, labs)
    _checks(report, papers)
    with TemporaryDirectory() as folder:
        _keeping(report, papers[0], Path(folder))
    with TemporaryDirectory() as folder:
        _marking(report, papers[:SHEETS], Path(folder))


def _papers(report, labs):
    """A paper of every person and form, the labs by turns; those of form A."""
    times, papers, seen = {lab.name: [] for lab in labs}, [], set()
    for person in range(PEOPLE):
        lab = labs[person % len(labs)]
        for form in FORMS:
            start = perf_counter()
            paper = draw_paper(lab, (f"student {person}",), form)
            times[lab.name].append(perf_counter() - start)
            seen.add((lab.name, repr(paper.asked)))
            if form == "A":
                papers.append(paper)
    together = sum(map(sum, times.values()))
    slowest = max(times, key=lambda name: median(times[name]))
    count = PEOPLE * len(FORMS)
    report(
        f"{PEOPLE} ids × {len(FORMS)} forms, {len(labs)} labs by turns",
        "–",
        f"{together:.1f} s, {len(seen)} of {count} papers differ",
    )
    report(
        f"  a paper of the slowest lab, {slowest}",
        "–",
        f"median {1e3 * median(times[slowest]):.1f} ms,"
        f" worst {1e3 * max(times[slowest]):.0f} ms",
    )
    return papers


def _given(question, right):
    """An answer as a student may give it, right or wrong."""
    if isinstance(question, Explanation):
        return "The held gear reacts. The carrier rolls round it."
    if isinstance(question, Number):
        return question.answer + (0 if right else 1)
    if right or not question.slips:
        return question.answer
    return question.slips[0].answer


def _checks(report, papers):
    times = []
    for paper in papers[:100]:
        for asked in paper.asked.values():
            for right in (True, False):
                given = _given(asked.question, right)
                start = perf_counter()
                check(asked.question, given)
                times.append(perf_counter() - start)
    report(
        f"one check of an answer, {len(times)} of them",
        "50 ms",
        f"median {1e6 * median(times):.0f} µs, worst {1e3 * max(times):.2f} ms",
    )


def _keeping(report, paper, folder):
    question = next(iter(paper.asked))
    given = _given(paper.asked[question].question, True)
    times = []
    for _ in range(100):
        start = perf_counter()
        record(paper, question, given, folder=folder)
        times.append(perf_counter() - start)
    report(
        "an answer kept on disk",
        "50 ms",
        f"median {1e3 * median(times):.1f} ms, worst {1e3 * max(times):.0f} ms",
    )


def _marking(report, papers, folder):
    for number, paper in enumerate(papers):
        text = to_text(_sheet(paper, number))
        (folder / f"{number}.json").write_text(text, encoding="utf-8")
    said = []
    start = perf_counter()
    marking = mark_folder(folder, progress=lambda *now: said.append(now))
    took = perf_counter() - start
    attempts = sum(result.tries for row in marking.rows for result in row.results)
    report(
        f"{len(marking.rows)} answer sheets of {attempts} answers marked",
        "20 s",
        f"{took:.1f} s; {len(marking.skipped)} skipped, {len(said)} times said how far",
    )


def _sheet(paper, number):
    """A sheet as it would be after some answers, wrong first and then right."""
    names = list(paper.asked)
    names = [names[(number + i) % len(names)] for i in range(ANSWERS * 3 // 4)]
    answers = [(name, True) for name in names]
    answers[:0] = [(name, False) for name in names[: ANSWERS - len(names)]]
    start = datetime(2030, 1, 1, tzinfo=UTC)
    return AnswerSheet(
        students=paper.students,
        lab=paper.lab.name,
        form=paper.form,
        questions=FrozenMap(
            {
                name: (paper.asked[name].topic.revision, paper.asked[name].given)
                for name in names
            }
        ),
        attempts=tuple(
            Attempt(
                id=f"{number}-{i}",
                question=name,
                answer=as_kept(
                    paper.asked[name].question,
                    _given(paper.asked[name].question, right),
                ),
                when=(start + timedelta(seconds=i)).isoformat(),
            )
            for i, (name, right) in enumerate(answers)
        ),
    )
