"""A second opinion on a train with a fault: speeds and torques in floating point.

Written for the tests alone. It takes teeth, shafts and elements from the train and
nothing else of the library: the two equations of Willis, least squares, and each set of
one-way clutches tried in turn.
"""

from itertools import combinations
from types import SimpleNamespace

import numpy as np

SMALL = 1e-7


class Numeric:
    """A train with a fault, for one row of the chart."""

    def __init__(self, train, fault, row):
        singles = [(one.kind, one.about) for one in fault.singles]
        loose = {about for kind, about in singles if kind == "comes loose"}
        self.body = {"case": "case"} | {shaft: shaft for shaft in train.shafts}
        for one in train.sets:
            for short in one.members:
                self.body[f"{one.name} {short}"] = f"{one.name} {short}"
        for shaft, members in train.shafts.items():
            self.body |= {name: shaft for name in members if name not in loose}
        self.place = {name: i for i, name in enumerate(sorted(set(self.body.values())))}
        applied = set(row.applied)
        applied -= {about for kind, about in singles if kind == "fails to apply"}
        applied |= {about for kind, about in singles if kind == "fails to release"}
        self.slips = {about for kind, about in singles if kind == "slips"} & applied
        gone = {about for kind, about in singles if kind == "fails to hold"}
        self.always = [self.speed("case"), *self.sets(train)]
        self.held = {name: self.between(train, name) for name in applied}
        self.one_way = []
        for part in train.one_way_clutches:
            row_of = self.speed(part.member) - self.speed(part.against)
            if ("seizes", part.name) in singles:
                self.always.append(row_of)
            elif part.name not in gone:
                turned = ("wrong way round", part.name) in singles
                self.one_way.append(-row_of if turned else row_of)
        self.input, self.output = self.speed(train.input), self.speed(train.output)

    def speed(self, name):
        row = np.zeros(len(self.place))
        row[self.place[self.body[name]]] = 1
        return row

    def between(self, train, name):
        first, second = train.by_name[name].sides
        return self.speed(first) - self.speed(second)

    def sets(self, train):
        """The equations of simple sets, and of sets with two suns."""
        for one in train.sets:
            teeth = one.all_teeth
            of = {s: self.speed(f"{one.name} {s}") for s in one.members}
            arm, ring = of["carrier"], of["ring"]
            suns = {"simple": [("sun", 1)]}.get(
                one.kind, [("large sun", 1), ("small sun", -1)]
            )
            for sun, sign in suns:
                count = teeth[sun.replace(" ", "-")]
                yield count * (of[sun] - arm) + sign * teeth["ring"] * (ring - arm)

    def equations(self, without=()):
        rows = [row for name, row in self.held.items() if name not in without]
        return [*self.always, *rows]

    def state(self, load, way, without=()):
        """``(word, ratio)`` under a load; coasting, an output that turns `way`."""
        rows = self.equations(without)
        ratio = self.carried(rows, 1, 0)
        if load == "drive" and ratio is not None:
            return "drives", ratio
        if not self.possible(rows, [(self.input, 1)]):
            return "ties up", None
        if not any(
            self.possible(rows, [(self.input, 1), (self.output, sign)], ends=True)
            for sign in (1, -1)
        ):
            return "output locked", None
        if load == "drive":
            return "no drive", None
        ratio = self.carried(rows, -1, way if ratio is None else ratio)
        return ("no engine braking" if ratio is None else "engine braking"), ratio

    def seen(self, load, way):
        """As :meth:`state`, or that it slips."""
        state = self.state(load, way)
        if self.slips and state[1] is not None:
            after = self.state(load, way, self.slips)
            if state[0] != after[0] or abs(state[1] - after[1]) > SMALL:
                return "slips", None
        return state

    def possible(self, rows, wanted, ends=False):
        """Whether some motion has wanted speeds, and turns no one-way clutch back.

        With `ends`, the last speed is only a sign: any size of it will do.
        """
        free = [self.output] if ends else []
        sign = wanted[-1][1]
        for locked in self.subsets():
            lines = [*rows, *(self.one_way[i] for i in locked)]
            # What the cone has at its far ends counts as well, so both are tried.
            for given in (wanted, wanted[:1]) if ends else (wanted,):
                motion = self.solved(lines, given)
                if motion is None or any(
                    row @ motion < -SMALL
                    for i, row in enumerate(self.one_way)
                    if i not in locked
                ):
                    continue
                if all(sign * (row @ motion) > SMALL for row in free):
                    return True
        return False

    def carried(self, rows, torque_in, way):
        """The ratio of the smallest set of one-way clutches that carries, or None."""
        for locked in self.subsets():
            lines = [*rows, *(self.one_way[i] for i in locked)]
            ratio = self.ratio(lines)
            if ratio is None or way * ratio < 0:
                continue
            if not self.pushes(lines, len(rows), torque_in, ratio):
                continue
            others = [i for i in range(len(self.one_way)) if i not in locked]
            if self.turn_free(lines, others):
                return ratio
        return None

    def ratio(self, lines):
        """Input turns per output turn, where the input turns and both are settled."""
        motion = self.solved(lines, [(self.input, 1)])
        if motion is None or abs(self.output @ motion) < SMALL:
            return None
        if self.solved(lines, [(self.input, 0), (self.output, 1)]) is not None:
            return None
        if self.solved(lines, [(self.input, 1), (self.output, 0)]) is not None:
            return None
        return 1 / (self.output @ motion)

    def pushes(self, lines, first, torque_in, ratio):
        """Whether each locked one-way clutch pushes; none of them may be idle."""
        ends = torque_in * self.input - ratio * torque_in * self.output
        matrix = np.array(lines).T
        loads = np.linalg.lstsq(matrix, -ends, rcond=None)[0]
        return bool(
            np.allclose(matrix @ loads, -ends, atol=SMALL)
            and (loads[first:] > SMALL).all()
        )

    def turn_free(self, lines, others):
        """Whether one motion turns all others in their free way, or not at all."""
        for count in range(len(others) + 1):
            for still in combinations(others, count):
                extra = [*lines, *(self.one_way[i] for i in still)]
                motion = self.solved(extra, [(self.input, 1)])
                if motion is not None and all(
                    self.one_way[i] @ motion > -SMALL for i in others
                ):
                    return True
        return False

    def subsets(self):
        every = range(len(self.one_way))
        for count in range(len(self.one_way) + 1):
            yield from combinations(every, count)

    def solved(self, rows, wanted):
        """The smallest motion with wanted speeds, or None."""
        matrix = np.array([*rows, *(row for row, _ in wanted)])
        target = np.array([0.0] * len(rows) + [value for _, value in wanted])
        motion = np.linalg.lstsq(matrix, target, rcond=None)[0]
        return motion if np.allclose(matrix @ motion, target, atol=SMALL) else None


def disagreements(cases, table_of):
    """Those of (train, fault, range, load) on which the two do not agree."""
    found = []
    for train, fault, row, load in cases:
        sound = Numeric(train, train_sound(table_of(train)), row)
        usual = sound.state("drive", 1)[1]
        way = -1 if usual is not None and usual < 0 else 1
        word, ratio = Numeric(train, fault, row).seen(load, way)
        told = table_of(train).rows[fault][row.name, load]
        near = ratio is None or abs(ratio - told_ratio(train, row, told)) < 1e-6
        if not (told.startswith(word) and near):
            found.append((fault.words, row.name, load, told, word, ratio))
    return found


def train_sound(table):
    """The fault that changes nothing."""
    return next(fault for fault in table.rows if fault.kind == "not in the gear train")


def told_ratio(train, row, told):
    """The ratio that an observation of a table names, as a float."""
    if "(" in told:
        text = told.rsplit("(", 1)[1].rstrip(")").replace("−", "-")
        above, below = text.split("/")
        return int(above) / int(below)
    if "another ratio" in told:
        return float(told.rsplit(" ", 1)[1].replace("−", "-"))
    name = told.split(" like range ")[1] if " like " in told else row.name
    other = next(one for one in train.ranges if one.name == name)
    return Numeric(train, SimpleNamespace(singles=()), other).state("drive", 1)[1]
