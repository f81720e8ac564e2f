"""Measure what a class costs: ``python tests/bench/classes.py``, by hand.

Sheets of a made-up class are marked (``--students``, in all labs), and its handouts are
printed (``--print 30 100 300``); for each the time, the CPU time of all processes, and
the most memory of the largest one. Each measurement is a process of its own.
"""

import argparse
import os
import resource
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from time import perf_counter

from gearlab.base.csvtext import write_csv
from gearlab.handouts.prepare import prepare
from gearlab.lab.mark.marking import mark_folder
from gearlab.lab.mark.workers import done_in_order
from gearlab.lab.question.papers import draw_paper, is_marked
from gearlab.lab.question.question import Explanation
from gearlab.lab.sheet.answers import AnswerSheet, Attempt, to_text
from gearlab.lab.sheet.sheet import as_kept
from gearlab.lab.suite.labs import ANY_UNIT, LAB_NAMES, find_lab

TEXT = "The held gear reacts, so the carrier rolls round it, slower than the sun."
LABS = [name for name in LAB_NAMES if name != ANY_UNIT]


def sheet_of(student, name):
    """A sheet in which all is answered, each third question with a slip first."""
    paper = draw_paper(find_lab(name), (student,))
    attempts, start = [], datetime(2030, 1, 1, tzinfo=UTC)
    for number, (topic, asked) in enumerate(paper.asked.items()):
        given = [TEXT if isinstance(asked.question, Explanation) else None]
        if is_marked(asked) and asked.question.slips and number % 3 == 0:
            given = [asked.question.slips[0].answer, None]
        for one in given if number % 9 else given[:1]:
            answer = asked.question.answer if one is None else one
            attempts.append(
                Attempt(
                    id=f"{student}-{name}-{len(attempts)}",
                    question=topic,
                    answer=as_kept(asked.question, answer),
                    when=(start + timedelta(minutes=len(attempts))).isoformat(),
                )
            )
    questions = {
        topic: (asked.topic.revision, asked.given)
        for topic, asked in paper.asked.items()
    }
    return AnswerSheet(
        students=(student,), lab=name, form="A", questions=questions, attempts=attempts
    )


def write_student(place):
    """Write the sheets of one student; `place` is (folder, number)."""
    folder, number = place
    for name in LABS:
        text = to_text(sheet_of(f"student {number}", name))
        (Path(folder) / f"{number}-{name}.json").write_text(text, encoding="utf-8")


def mark(folder):
    """Mark a folder of sheets."""
    marking = mark_folder(folder, processes=os.cpu_count() or 1)
    return f"{len(marking.rows)} sheets marked, {len(marking.skipped)} skipped"


def print_class(folder, count, labs):
    """Print for a class of `count` students."""
    rows = [("id", "name"), *((f"s{n}", f"Student {n}") for n in range(count))]
    listed = write_csv(Path(folder) / "class.csv", rows, what="class list")
    prepare("five-range", listed, Path(folder) / "out", labs=LABS[:labs])
    size = sum(one.stat().st_size for one in (Path(folder) / "out").rglob("*.pdf"))
    return f"{count} students, {labs} labs printed, {size / 1e6:.1f} MB"


def measured(work):
    """Do it, and print what it did and what it took."""
    start = perf_counter()
    what = work()
    took = perf_counter() - start
    used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF,
                                                resource.RUSAGE_CHILDREN)]  # fmt: skip
    cpu = sum(one.ru_utime + one.ru_stime for one in used)
    memory = max(one.ru_maxrss for one in used) / 1024
    print(f"{what}: {took:.1f} s, CPU {cpu:.1f} s, {memory:.0f} MB", flush=True)


def again(*words):
    """Run this script anew with other words, as a process of its own."""
    subprocess.run([sys.executable, __file__, *map(str, words)], check=True)


def main():
    """Measure what is asked for."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--students", type=int, default=100, help="whose sheets: 100")
    parser.add_argument("--folder", help="with sheets; kept, made if it is not there")
    parser.add_argument("--print", type=int, nargs="*", default=[], help="students")
    parser.add_argument("--labs", type=int, default=6, help="that are printed: 6")
    parser.add_argument("--one", choices=("mark", "print"), help=argparse.SUPPRESS)
    wanted = parser.parse_args()
    if wanted.one == "mark":
        measured(lambda: mark(wanted.folder))
        return
    with TemporaryDirectory() as place:
        if wanted.one == "print":
            measured(lambda: print_class(place, wanted.print[0], wanted.labs))
            return
        for count in wanted.print:
            again("--one", "print", "--print", count, "--labs", wanted.labs)
        if wanted.students:
            folder = Path(wanted.folder or place)
            if not folder.exists() or not any(folder.iterdir()):
                folder.mkdir(exist_ok=True)
                places = [(folder, number) for number in range(wanted.students)]
                done_in_order(write_student, places, os.cpu_count() or 1)
            again("--one", "mark", "--folder", folder)


if __name__ == "__main__":
    main()
