"""Measure what the design promises, and print a table: what, goal, measured.

``python tests/bench/benchmark.py`` measures the library, ``--labs`` the labs as well,
``--browser`` the panel in JupyterLab, ``--faults`` how faults are found; ``--forces``
balances the forces of 10,000 random flows with losses once more, which takes some
minutes. It is run by hand: pytest collects nothing here.
"""

import argparse
import json
import subprocess
import sys
from itertools import combinations
from statistics import median
from time import perf_counter

import drawings
import forces_again
import labs
import mechanics
import road_log

import gearlab as gl
from gearlab.solve.powerflow import LOADS
from gearlab.train.motion import free_motions

HEAVY = ("numpy", "matplotlib", "ipywidgets", "IPython", "traitlets", "scipy", "sympy")
SHOW = "import sys, gearlab; print(*sys.modules)"


def seconds(action, repeats):
    """The time of one call [s]: the best of five means over `repeats` calls."""
    best = float("inf")
    for _ in range(5):
        start = perf_counter()
        for _ in range(repeats):
            action()
        best = min(best, (perf_counter() - start) / repeats)
    return best


def one_by_one(action, values):
    """The times of one call with each of the values, in turn [s]."""
    times = []
    for value in values:
        start = perf_counter()
        action(value)
        times.append(perf_counter() - start)
    return times


def report(what, goal, measured):
    """Print a row of the table."""
    print(f"{what:62} | {goal:>12} | {measured}", flush=True)


def importing():
    """The time that ``import gearlab`` takes, and what it brings with it."""

    def best(code):
        command = [sys.executable, "-c", code]
        return min(one_by_one(lambda _: subprocess.run(command, check=True), range(10)))

    extra = best("import gearlab") - best("pass")
    run = subprocess.run(
        [sys.executable, "-c", SHOW], check=True, capture_output=True, text=True
    )
    heavy = sorted(set(HEAVY) & set(run.stdout.split()))
    report("import gearlab, above a bare python", "150 ms", f"{1e3 * extra:.0f} ms")
    report("heavy modules that it brings", "none", ", ".join(heavy) or "none")


def solving():
    """The time of one flow, and of every combination of elements."""
    train = gl.load_train("five-range")
    free_motions(train)
    for load, goal in zip(LOADS, (300, 500), strict=True):
        times = {
            name: 1e6
            * seconds(lambda n=name, w=load: gl.power_flow(train, n, load=w), 50)
            for name in train.range_names
        }
        worst = max(times, key=times.get)
        report(
            f"power_flow of a range, {load}",
            f"{goal} µs",
            f"median {median(times.values()):.0f} µs,"
            f" worst {times[worst]:.0f} µs (range {worst})",
        )
    names = train.element_names
    cases = [c for n in range(len(names) + 1) for c in combinations(names, n)]

    def all_of_them():
        for applied in cases:
            for load in LOADS:
                gl.power_flow(train, applied=applied, load=load)

    took = 1e3 * seconds(all_of_them, 1)
    report(f"power_flow of {len(cases)} combinations × 2", "100 ms", f"{took:.0f} ms")


def painting():
    """The time of the bench's pages, and of a whole change of the panel."""
    from gearlab.bench.asked import Pages
    from gearlab.bench.book import key_of
    from gearlab.panels import Bench

    train, view = gl.load_train("five-range"), "input/screen/part/0"
    keys = {row: key_of(gl.power_flow(train, row)) for row in train.range_names}
    took = 1e3 * seconds(lambda: Pages(train).opening(keys["1"], view), 3)
    report("the first pages of a train, with their pictures", "–", f"{took:.1f} ms")
    pages = Pages(train)
    times = one_by_one(lambda key: pages.asked(key, view), keys.values())
    report("  the page of a range", "–", f"{1e3 * median(times):.1f} ms")
    pages.forget()
    sent = [len(json.dumps(pages.asked(keys[row], view))) / 1024 for row in "13"]
    report("  sent at first; with a shift", "–", "{:.0f}, {:.0f} kB".format(*sent))
    bench = Bench(train)
    for what, action in (
        ("a toggle", lambda i: bench.apply("direct clutch", i % 2 == 0)),
        ("a tooth count", lambda i: bench.set_teeth({"front": {"ring": 74 + 2 * i}})),
        ("a turn", lambda i: bench.turn_to(i)),
    ):
        times = one_by_one(action, range(20))
        report(
            f"the panel in the kernel, nobody looking: {what}",
            "–",
            f"{1e3 * median(times):.1f} ms",
        )


def main():
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--labs", action="store_true", help="the labs as well")
    parser.add_argument("--forces", action="store_true", help="all random losses")
    parser.add_argument("--browser", action="store_true", help="the panel as well")
    parser.add_argument("--log", action="store_true", help="road logs as well")
    parser.add_argument("--faults", action="store_true", help="finding faults as well")
    parser.add_argument("--presses", action="store_true", help="2,000 checks as well")
    wanted = parser.parse_args()
    report("what", "goal", "measured")
    importing()
    solving()
    mechanics.measure(report, seconds)
    drawings.measure(report, seconds)
    painting()
    if wanted.labs:
        labs.measure(report)
    if wanted.log:
        road_log.measure(report)
    if wanted.forces:
        forces_again.measure(report)
    if wanted.faults:
        import fault_finding

        fault_finding.measure(report)
    if wanted.browser:
        from in_browser import measure

        measure(report)
    if wanted.presses:
        import presses

        presses.measure(report)


if __name__ == "__main__":
    main()
