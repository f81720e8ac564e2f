"""From symptom to element: how quick, how sure, in how few tests."""

import random
import sys
from math import log2
from pathlib import Path
from time import perf_counter

import gearlab as gl
from gearlab.ask.faults import change, seen, suspects, table
from gearlab.ask.faults.fault import STANDING

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import test_faults  # what the tests try a few of, many of

TRAINS = [gl.load_train(name) for name in gl.train_names()]
KEPT = (
    *(change.changed, change._rebuilt, seen.chart, seen.seen_row, seen._states),
    *(suspects._likeliest, table._table),
)


def measure(report):
    """Print a row for each figure."""
    quick(report)
    sure(report)
    few(report)
    for train in TRAINS:
        if train.name == "Lone set":
            report(
                "tests, lone set: at the best",
                "",
                f"{test_faults.best_plan(train):.2f}",
            )
    cases = list(test_faults.random_cases(1000, 1))
    odd = test_faults.disagreements(cases, test_faults.table_of)
    report("1,000 cases: a numeric solver disagrees", "0", len(odd))


def fresh(train, together):
    """The time of a table of which nothing was kept [s]."""
    for kept in KEPT:
        kept.cache_clear()
    start = perf_counter()
    gl.symptoms(train, together=together)
    return perf_counter() - start


def quick(report):
    """The times of the tables."""
    for name, goal in (("six-range", 200), ("five-range", 400)):
        train = next(one for one in TRAINS if one.name.lower().startswith(name))
        took = 1000 * min(fresh(train, 1) for _ in range(3))
        report(f"symptom table, {name}", f"≤ {goal} ms", f"{took:.0f} ms")
    took = sum(fresh(train, 2) for train in TRAINS)
    report("all pairs of faults, five trains", "≤ 10 s", f"{took:.1f} s")


def sure(report):
    """How often a fault is named, from all observations, and with wrong ones."""
    named, every = 0, 0
    for train in TRAINS:
        found = gl.symptoms(train)
        for fault, row in found.rows.items():
            explained = set(gl.suspects(train, row).explain_all) - {STANDING}
            named += explained == found.group_of(fault) - {STANDING}
            every += 1
    report("faults named from full symptoms", "100 %", f"{named} of {every}")
    chance, hits = random.Random(7), 0
    for number in range(1000):
        train = TRAINS[number % len(TRAINS)]
        found = gl.symptoms(train)
        group = chance.choice(found.groups)
        row = found.rows[found.in_order(group)[0]]
        told = test_faults.wrong_in_places(found, row, chance)
        hits += group in gl.suspects(train, told).ranked_groups[:3]
    report(
        "1,000 trials, 10 % wrong: in the first three", "≥ 95 %", f"{hits / 10:.1f} %"
    )


def few(report):
    """How many tests name a fault, on average."""
    for train in TRAINS:
        found = gl.symptoms(train)
        counts = [
            test_faults.count_until_named(train, group, found) for group in found.groups
        ]
        mean, goal = sum(counts) / len(counts), log2(len(counts)) + 1
        report(
            f"tests until named, {train.name}",
            f"≤ {goal:.2f}",
            f"{mean:.2f}, {max(counts)} at the most",
        )
