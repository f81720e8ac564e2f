"""Measure road logs: 180,000 rows, read; ranges and shifts found."""

import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import gearlab as gl

SEEDS, NOISE = range(5), 0.01
# In processes of their own, so that the memory is that of reading alone.
MAKE = """
import sys
import gearlab as gl
rate = int(sys.argv[2])
drive = [(name, 6) for _ in range(75) for name in "12345432"][: 30 * 1000 // rate]
train = gl.load_train("five-range")
gl.make_log(train, drive=drive, noise=0.01, rate=rate).write(sys.argv[1])
"""
READ = """
import resource, sys
from time import perf_counter, process_time
import gearlab as gl
train = gl.load_train("five-range")
start, begun = perf_counter(), process_time()
log = gl.read_log(sys.argv[1], train)
log.suspects
took = perf_counter() - start, process_time() - begun
print(len(log), *took, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def measure(report):
    """Report every figure."""
    with TemporaryDirectory() as folder:
        for rate in (50, 1000):
            _is_read(report, Path(folder) / "long.csv", rate)
        _found(report, Path(folder) / "drive.csv")


def _is_read(report, path, rate):
    _run(MAKE, path, rate)
    runs = [[float(part) for part in _run(READ, path).split()] for _ in range(5)]
    rows, took, busy, most = min(runs, key=lambda run: run[1])
    size = path.stat().st_size / 1e6
    report(
        f"{int(rows):,} rows, {rate} a second, {size:.1f} MB: read, with suspects",
        "2 s, 200 MB",
        f"{took:.2f} s ({busy:.2f} s of CPU), {most:.0f} MB",
    )


def _run(code, *given):
    command = [sys.executable, "-c", code, *map(str, given)]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def _found(report, path):
    right = steady = shifts = 0
    off = []
    for name in gl.train_names():
        train = gl.load_train(name)
        up = gl.shift_table(train).ranges
        for seed in SEEDS if len(up) > 1 else ():
            drive = [(one, 4) for one in (*up, *up[-2::-1])]
            made = gl.make_log(train, drive=drive, noise=NOISE, seed=seed)
            log = gl.read_log(made.write(path), train)
            shifts += len(made.shifts)
            off += _off(log, made)
            named = log.column("range")
            for place, row in enumerate(made.rows):
                if not any(one.start <= row[0] <= one.end for one in made.shifts):
                    steady += 1
                    right += train.range_names[named[place]] == row[3]
    report(
        f"ranges of steady moments, {NOISE:.0%} noise, all trains",
        "99 %",
        f"{100 * right / steady:.2f} % of {steady:,}",
    )
    off.sort()
    report(
        f"  start and end of {shifts} shifts, off by",
        "50 ms",
        f"median {1e3 * off[len(off) // 2]:.0f} ms, worst {1e3 * off[-1]:.0f} ms,"
        f" {shifts - len(off) // 2} missed",
    )


def _off(log, made):
    """How far the ends of each shift that was found are off [s]."""
    for true in made.shifts:
        for one in log.shifts:
            ends = (one.before, one.after) == (true.before, true.after)
            if ends and abs(one.start - true.start) < 1:
                yield abs(one.start - true.start)
                yield abs(one.end - true.end)
