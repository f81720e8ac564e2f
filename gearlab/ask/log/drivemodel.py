"""The drive that an invented road log is made of, moment by moment, without noise.

The output speeds up or slows down evenly, so that the input is near one speed at each
change of range. In a shift the ratio goes straight over. What is not driven rolls on;
an input that drives nothing runs up.
"""

from dataclasses import dataclass
from itertools import pairwise
from math import exp

from ...solve.equilibrium import OUTPUT_LOCKED
from ..faults.fault import STANDING
from ..faults.seen import SLIPS, TIES_UP, seen_row
from .changes import CLEAN, FLARE, TIE_UP

SPEED = 2000.0  # of the input, near which ranges change [rev/min]
IDLE, RACING = 700.0, 2800.0  # of an input that drives nothing [rev/min]
CAUGHT = 0.4  # how long a free input takes to be driven again [s]
SETTLES = 0.3  # how fast a free input finds its speed [s]
ROLLS, BRAKED = 10.0, 2.0  # how an output slows that is not driven, or tied up [s]
_STUCK = (TIES_UP, OUTPUT_LOCKED)


@dataclass(frozen=True, kw_only=True)
class MadeShift:
    """A change of ratio as it was made: `kind` is "clean", "flare" or "tie-up"."""

    before: str
    after: str
    start: float
    end: float
    kind: str
    size: float


class DriveModel:
    """The drive, step by step; `shifts` are the changes that it came through."""

    def __init__(self, train, drive, fault, numbers, odd):
        self._train, self._drive, self._fault = train, drive, fault
        self._numbers, self._odd = numbers, odd
        self._ratios = {}
        self._free, self._caught = False, (-CAUGHT, 0.0)  # the input, and when
        self.shifts = []

    def rows(self):
        """(time, input speed, output speed, commanded range) of each row."""
        step = 1 / self._numbers["rate"]
        targets = self._targets()
        starts = [0.0]
        for _, stay in self._drive:
            starts.append(starts[-1] + stay)
        count = round(starts[-1] * self._numbers["rate"])
        out, ahead, at, begun = targets[0], 0.0, 0, None
        state = None
        for row in range(count):
            t = row * step
            while t >= starts[at + 1] - 1e-9:
                at += 1
            name = self._drive[at][0]
            failed = t >= self._numbers["since"] - 1e-9
            ratio, word = self._does(name, failed)
            if state is None:
                state, ahead = (name, ratio), self._settled(ratio, word, out, name)
            elif state != (name, ratio):
                begun = self._begun(state, (name, ratio), starts[at])
                state = name, ratio
            if ratio is None:
                out *= exp(-step / (BRAKED if word in _STUCK else ROLLS))
            else:
                left = max(starts[at + 1] - t, step)
                out += self._pace(targets, at, ratio, left, out) * step
            settled = self._settled(ratio, word, out, name)
            ahead, shown = self._speeds(begun, t, ratio, out, ahead, settled, step)
            yield t, ahead, shown, name

    def _targets(self):
        """The output speed at the start, at each change, and at the end [rev/min]."""
        ratios = [self._does(name, False)[0] for name, _ in self._drive]
        ends = []
        for one, other in pairwise([None, *ratios, None]):
            known = [float(ratio) for ratio in (one, other) if ratio is not None]
            if len(known) == 2 and known[0] * known[1] > 0:
                ends.append(2 * SPEED / sum(known))
            else:
                ends.append(0.0)
        # It comes into the first range and leaves the last one at speed.
        for place, ratio, pace in ((0, ratios[0], 0.4), (-1, ratios[-1], 1.2)):
            if ratio is not None:
                ends[place] = pace * SPEED / float(ratio)
        return ends

    def _does(self, name, failed):
        """(ratio, what is seen) of a range as it is; no ratio if it does not drive."""
        if (name, failed) not in self._ratios:
            fault = self._fault if failed else STANDING
            seen = seen_row(self._train, fault)[name, "drive"]
            ratio = None if seen.ratio is None else float(seen.ratio)
            if seen.word == SLIPS:
                ratio *= 1 + self._numbers["slip"]
            self._ratios[name, failed] = ratio, seen.word
        return self._ratios[name, failed]

    def _begun(self, before, after, changed_at):
        """A change of ratio that begins, as (start, from, to, kind, size), or None."""
        start = changed_at if before[0] != after[0] else self._numbers["since"]
        if None in (before[1], after[1]) or before[1] * after[1] < 0:
            return None
        kind, size = self._odd.get((before[0], after[0]), (CLEAN, 0.0))
        if before[0] != after[0] and before[1] != after[1]:
            self.shifts.append(
                MadeShift(
                    before=before[0],
                    after=after[0],
                    start=start,
                    end=start + self._numbers["takes"],
                    kind=kind,
                    size=size,
                )
            )
        return start, before[1], after[1], kind, size

    def _pace(self, targets, at, ratio, left, out):
        """How fast a driven output changes, on its way to the end of its range."""
        target = targets[at + 1]
        if not targets[at] and not target:
            # From one stop to the next it goes up to speed and back.
            half = left - self._drive[at][1] / 2
            target, left = (SPEED / ratio, half) if half > 0 else (0.0, left)
        return (target - out) / max(left, 1 / self._numbers["rate"])

    def _settled(self, ratio, word, out, name):
        """The input speed that goes with an output speed."""
        if ratio is not None:
            return ratio * out
        if word in _STUCK:
            return 0.0
        return IDLE if self._does(name, False)[0] is None else RACING

    def _speeds(self, begun, t, ratio, out, ahead, settled, step):
        """(input speed, output speed) of a row, in a change of ratio or after it."""
        if ratio is None:
            self._free = True
            return ahead + (settled - ahead) * (1 - exp(-step / SETTLES)), out
        if self._free:
            # A free input is caught as in a shift.
            self._caught, self._free = (t, ahead), False
        since, speed = self._caught
        if t < since + CAUGHT:
            return speed + (settled - speed) * (t - since) / CAUGHT, out
        if begun is None:
            return settled, out
        start, low, high, kind, size = begun
        part = (t - start) / self._numbers["takes"]
        if part >= 1:
            return settled, out
        if kind == FLARE:
            return _flared(low, high, size, part) * out, out
        if kind == TIE_UP:
            out *= 1 - size * (1 - abs(2 * part - 1))
        return (low + (high - low) * part) * out, out


def _flared(low, high, size, part):
    """The ratio in a shift that flares: up beyond both ranges, and then down."""
    top, turn = max(low, high, key=abs) * (1 + size), 0.5
    if part < turn:
        return low + (top - low) * part / turn
    return top + (high - top) * (part - turn) / (1 - turn)
