"""Road logs that are made up: a drive of a train, sound or with a fault, with noise.

It is under power throughout, and says in the file's head that nothing of it was
measured; :mod:`gearlab.ask.log.drivemodel` is what it is made from.
"""

from dataclasses import dataclass
from random import Random

from ...base import checks
from ...base.brief import Brief
from ...base.csvtext import csv_text
from ...base.filewriter import write_file
from ...base.numerals import number, percent
from ...base.reading import read_number
from ...train.train import Train, a_train
from ..faults.fault import STANDING, Fault, a_fault
from .changes import CLEAN, FLARE, TIE_UP
from .drivemodel import DriveModel, MadeShift
from .levels import levels_of

INVENTED = "an invented log"  # what it is called
HEADS = (
    "time [s]",
    "input speed [rev/min]",
    "output speed [rev/min]",
    "commanded range",
    "input torque [N·m]",
)
TAKES = 0.4  # how long a shift mostly takes [s]
TORQUE = 120.0  # of the input, throughout [N·m]
STAY = 5  # how long the usual drive is in a range [s]
MOST_ROWS = 1_000_000


@dataclass(frozen=True, kw_only=True, repr=False)
class MadeLog(Brief):
    """A road log that was made up, with what it was made from.

    `rows` are (time [s], input and output speed [rev/min], commanded range, input
    torque [N·m]), with noise; `shifts` are as they were made, before the noise.
    """

    train: Train
    drive: tuple[tuple[str, float], ...]  # (range, seconds)
    fault: Fault
    since: float  # when it failed [s]
    slip: float
    takes: float
    rate: float
    noise: float
    seed: int
    shifts: tuple[MadeShift, ...]
    rows: tuple[tuple, ...]

    @property
    def _brief(self):
        ranges = ", ".join(name for name, _ in self.drive[:12])
        return f"invented, {len(self.rows)} rows, ranges {ranges}"

    @property
    def words(self):
        """What it is made from, in a few sentences."""
        return "\n".join(self.told())

    def told(self, fault=True):
        """What it is made from, sentence by sentence; `fault` tells what is wrong."""
        said = [
            "Invented: made by a program from a model. Nothing of it was measured.",
            f"Train: {self.train.name}. Under power throughout.",
            f"Rows a second: {number(self.rate)}. Noise of a speed:"
            f" {percent(self.noise)} (one standard deviation), seed {self.seed}.",
        ]
        if not fault:
            return said
        if self.fault == STANDING:
            said.append("The gear train is sound.")
        else:
            said.append(f"From {number(self.since)} s on: {self.fault.words}")
        for one in self.shifts:
            if one.kind != CLEAN:
                said.append(
                    f"{one.before} to {one.after} at {number(one.start)} s: a"
                    f" {one.kind} of {percent(one.size)}."
                )
        return said

    def text(self, fault=True):
        """The log as CSV text; `fault` tells in its head what is wrong.

        Parameters
        ----------
        fault : whether the head tells it
        """
        head = "".join(f"# {line}\n" for line in self.told(fault))
        rows = (
            (f"{t:.3f}", f"{a:.1f}", f"{b:.1f}", name, f"{torque:.0f}")
            for t, a, b, name, torque in self.rows
        )
        return head + csv_text([HEADS, *rows])

    def write(self, path, fault=True):
        """Write it to a file, and return its path; ValueError if that cannot be.

        Parameters
        ----------
        path : the file
        fault : whether its head tells what is wrong
        """
        return write_file(path, self.text(fault), "log")


def make_log(
    train,
    *,
    drive=None,
    fault=None,
    since=0,
    slip=0.1,
    flares=(),
    tie_ups=(),
    takes=TAKES,
    rate=50,
    noise=0.01,
    seed=1,
):
    """A :class:`MadeLog`: a drive that is made up from a model, with stated noise.

    Parameters
    ----------
    train : Train
    drive : (range, seconds) pairs; all forward ranges in turn if left out
    fault : one of ``gl.faults(train)``, or None for a sound train
    since : when it fails [s]
    slip : how far the input runs ahead where an element slips, as a part
    flares : (range before, range after, size) of shifts in which the input runs up by
        that part above both ranges
    tie_ups : (range before, range after, size) of shifts in which so much of the
        output speed is lost
    takes : how long a shift takes [s]
    rate : rows a second
    noise : standard deviation of each speed, as a part
    seed : a whole number; the same one gives the same log

    Raises
    ------
    ValueError
        An unknown range or fault, a number that cannot be, or too many rows.

    >>> import gearlab
    >>> made = make_log(gearlab.load_train("six-range"), drive=[("1", 4), ("2", 4)])
    >>> len(made.rows), made.shifts[0].start
    (400, 4.0)
    """
    a_train(train)
    fault = STANDING if fault is None else a_fault(fault, train)
    drive = _drive_of(train, drive)
    numbers = {
        "since": _number(since, "when it fails", 0, 1e6),
        "slip": _number(slip, "the slip", 0, 1),
        "takes": _number(takes, "the time of a shift", 0.05, 5),
        "rate": _number(rate, "the rate", 0.5, 1000),
        "noise": _number(noise, "the noise", 0, 0.2),
    }
    if sum(stay for _, stay in drive) * numbers["rate"] > MOST_ROWS:
        raise ValueError(
            f"the drive makes more than {MOST_ROWS:,} rows; give a shorter drive or a"
            " lower rate"
        )
    odd = {**_odd(train, flares, FLARE), **_odd(train, tie_ups, TIE_UP)}
    seed = checks.whole_number(seed, "the seed", 0, 10**9)
    model = DriveModel(train, drive, fault, numbers, odd)
    random = Random(f"log {seed}")
    rows = tuple(_noisy(model.rows(), random, numbers["noise"]))
    return MadeLog(
        train=train,
        drive=drive,
        fault=fault,
        seed=seed,
        shifts=tuple(model.shifts),
        rows=rows,
        **numbers,
    )


def _drive_of(train, drive):
    if drive is None:
        forward = [one for one in levels_of(train, True) if one.ratio > 0]
        drive = [(one.ranges[0], STAY) for one in reversed(forward)]
    found = []
    for one in checks.name_list(drive, "the drive"):
        if not isinstance(one, (tuple, list)) or len(one) != 2:
            raise ValueError(
                f"{checks.shortened(one)} was given, but a drive is ranges with their"
                ' seconds; write [("1", 5), ("2", 5)]'
            )
        name = checks.known(str(one[0]), train.range_names, "range")
        found.append((name, _number(one[1], f"the time in range {name}", 0.5, 1e5)))
    if not found:
        raise ValueError('the drive has no range; write [("1", 5), ("2", 5)]')
    return tuple(found)


def _number(given, what, low, high):
    try:
        value = float(read_number(given, ""))
    except ValueError as error:
        raise ValueError(f"{what}: {error}") from None
    if not low <= value <= high:
        raise ValueError(
            f"{what} is {checks.shortened(given)}, but it must be from {number(low)} to"
            f" {number(high)}; give another"
        )
    return value


def _odd(train, given, kind):
    """``{(before, after): (kind, size)}`` of shifts that are not clean."""
    found = {}
    for one in checks.name_list(given, f"the {kind}s"):
        if not isinstance(one, (tuple, list)) or len(one) != 3:
            raise ValueError(
                f"{checks.shortened(one)} was given, but a {kind} is a shift and its"
                ' size; write ("1", "2", 0.1)'
            )
        pair = tuple(
            checks.known(str(name), train.range_names, "range") for name in one[:2]
        )
        found[pair] = kind, _number(one[2], f"the size of a {kind}", 0.01, 0.9)
    return found


def _noisy(rows, random, noise):
    for t, ahead, out, name in rows:
        yield (
            t,
            ahead * random.gauss(1, noise),
            out * random.gauss(1, noise),
            name,
            TORQUE * random.gauss(1, noise),
        )
