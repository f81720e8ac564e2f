"""One-way clutches: a second opinion on random trains, and trains made by hand.

The second opinion knows nothing of sets that carry. It spans the cone of allowed
motions by trying which one-way clutches may be at rest together, looks at its shadow
on the plane of input and output speed, and reads the edge that the load presses on.
The torques follow from the work that they and the load do on every motion.
"""

import random
from fractions import Fraction as F
from itertools import combinations

import pytest
import trains
from trains import one_set

from gearlab import power_flow


def at(row, vector):
    return sum(a * b for a, b in zip(row, vector, strict=True))


def null_space(equations, size):
    """Vectors that span what satisfies all equations, by Gauss and Jordan."""
    reduced, pivots = [], []
    for equation in equations:
        row = list(equation)
        for other, pivot in zip(reduced, pivots, strict=True):
            row = [a - row[pivot] * b for a, b in zip(row, other, strict=True)]
        pivot = next((i for i, entry in enumerate(row) if entry), None)
        if pivot is None:
            continue
        row = [entry / row[pivot] for entry in row]
        reduced = [
            [a - other[pivot] * b for a, b in zip(other, row, strict=True)]
            for other in reduced
        ]
        reduced.append(row)
        pivots.append(pivot)
    span = []
    for free in sorted(set(range(size)) - set(pivots)):
        vector = [F(0)] * size
        vector[free] = F(1)
        for row, pivot in zip(reduced, pivots, strict=True):
            vector[pivot] = -row[free]
        span.append(vector)
    return span


class Own:
    """The cone of allowed motions of a train with some elements applied."""

    def __init__(self, train, parts):
        self.train, self.bodies = train, trains.bodies_of(train)
        parts = [train.by_name[name] for name in parts]
        one_way = [part for part in parts if part in train.one_way_clutches]
        held = [part for part in parts if part not in train.one_way_clutches]
        fixed = [
            *trains.rows(train, trains.laws(train), self.bodies),
            *self.rows_of(trains.relative(train, part) for part in held),
        ]
        self.motions = null_space(fixed, len(self.bodies))
        found = self.rows_of(trains.relative(train, part) for part in one_way)
        self.rows = {part.name: row for part, row in zip(one_way, found, strict=True)}
        self.into, self.out = self.rows_of([{train.input: 1}, {train.output: 1}])
        self.lines = self.span(self.rows)
        self.ways = [*self.lines, *([-x for x in line] for line in self.lines)]
        for count in range(len(self.rows)):
            for names in combinations(self.rows, count):
                self.ways += self.edge(names)

    def rows_of(self, equations):
        return trains.rows(self.train, equations, self.bodies)

    def work(self, name):
        """The speed difference that a one-way clutch sees in each motion."""
        return [at(self.rows[name], motion) for motion in self.motions]

    def span(self, at_rest):
        """What is left of the motions with these one-way clutches at rest."""
        mixtures = null_space([self.work(name) for name in at_rest], len(self.motions))
        return [
            [at(mixture, entries) for entries in zip(*self.motions, strict=True)]
            for mixture in mixtures
        ]

    def edge(self, at_rest):
        """The one way that these one-way clutches at rest leave, if it is allowed."""
        span = self.span(at_rest)
        if len(span) != len(self.lines) + 1:
            return []
        way = next(v for v in span if any(at(row, v) for row in self.rows.values()))
        values = [at(row, way) for row in self.rows.values()]
        if all(value >= 0 for value in values):
            return [way]
        if all(value <= 0 for value in values):
            return [[-x for x in way]]
        return []

    def shadow(self, way):
        return at(self.into, way), at(self.out, way)

    def pressed(self, torque_in, sense):
        """Input turns per output turn on the edge that a load presses on, or None.

        The edge has the input turning forward, and all other allowed motions have
        less input for the output (under drive) or more (on coast).
        """
        for way in self.ways:
            speed_in, speed_out = self.shadow(way)
            if speed_in <= 0 or speed_out * sense < 0 or not speed_out:
                continue
            ratio = speed_in / speed_out
            work = (torque_in * (a - ratio * b) for a, b in map(self.shadow, self.ways))
            if max(work) <= 0:
                return ratio
        return None

    def drive(self):
        if ratio := self.pressed(1, 0):
            return "drives", ratio
        if not any(self.shadow(way)[0] > 0 for way in self.ways):
            return "tied up", None
        if not any(self.shadow(way)[1] for way in self.ways):
            return "output locked", None
        return "neutral", None

    def coast(self):
        state, ratio = self.drive()
        if state == "drives":
            back = self.pressed(-1, ratio)
            return ("drives", back) if back else ("freewheels", None)
        if state == "neutral":
            back = self.pressed(-1, 1) or self.pressed(-1, -1)
            return ("drives", back) if back else (state, None)
        return state, None

    def possible(self, state, ratio):
        """The ways that span the motions of a state."""
        shadows = [(way, *self.shadow(way)) for way in self.ways]
        if state == "tied up":
            return [way for way, a, _ in shadows if not a]
        if state == "drives":
            return [way for way, a, b in shadows if a == ratio * b]
        return self.ways

    def common(self, row, ways):
        """The speed per input turn that all of these motions have, or None."""
        both = [(at(row, way), at(self.into, way)) for way in ways]
        one = next((v / u for v, u in both if u > 0), F(0))
        return one if all(v == one * u for v, u in both) else None

    def speeds(self, ways):
        """``{member or shaft: speed}``, None where allowed motions differ."""
        names = trains.names_of(self.train)
        named = self.rows_of({name: 1} for name in names)
        common = [self.common(row, ways) for row in named]
        return dict(zip(names, common, strict=True))

    def overrunning(self, state, ways):
        """One-way clutches sure to turn free; those that may, where it freewheels."""
        return {
            name
            for name, row in self.rows.items()
            if self.common(row, ways)
            or (state == "freewheels" and any(at(row, way) for way in ways))
        }

    def torques(self, torque_in, ratio):
        """``{one-way clutch: torque}`` of the smallest sets that balance the load.

        On every motion of the applied elements alone, the load and the one-way
        clutches do no work together.
        """
        load = [
            -torque_in * (at(self.into, way) - ratio * at(self.out, way))
            for way in self.motions
        ]
        for count in range(len(self.rows) + 1):
            found = []
            for names in combinations(self.rows, count):
                push = [
                    [at(self.rows[name], way) for way in self.motions] for name in names
                ]
                system = [list(row) for row in zip(*push, load, strict=True)]
                relations = null_space(system, count + 1)
                if len(relations) != 1 or not relations[0][-1]:
                    continue
                torques = [-x / relations[0][-1] for x in relations[0][:-1]]
                if all(torque > 0 for torque in torques):
                    found.append(dict(zip(names, torques, strict=True)))
            if found:
                return found
        raise AssertionError("nothing balances the load")


def holding_instead(train, applied, gone, flow):
    """The one-way clutches that hold once an element is let go, at the same ratio."""
    left = [name for name in applied if name != gone]
    own = Own(train, [*left, *(part.name for part in train.one_way_clutches)])
    if flow.load == "drive":
        (state, ratio), torque_in = own.drive(), 1
    else:
        (state, ratio), torque_in = own.coast(), -1
    if state != "drives" or ratio != flow.ratio:
        return set()
    return set().union(*own.torques(torque_in, ratio))


def check(train, applied):
    """Both loads of a case against the second opinion; the states that were seen."""
    own = Own(train, [*applied, *(part.name for part in train.one_way_clutches)])
    states = []
    for load, torque_in in (("drive", 1), ("coast", -1)):
        state, ratio = own.drive() if load == "drive" else own.coast()
        flow = power_flow(train, applied=applied, load=load)
        assert (flow.state, flow.ratio) == (state, ratio)
        ways = own.possible(state, ratio)
        assert flow.speeds == own.speeds(ways)
        assert flow.overrunning == own.overrunning(state, ways)
        only = load == "coast" and state == "drives" and own.drive()[0] == "neutral"
        assert flow.braking_only == only
        still = {n for n, row in own.rows.items() if not any(at(row, w) for w in ways)}
        states.append("braking only" if only else state)
        if state != "drives":
            assert flow.holding == set()
            assert flow.backing_up == {}
            assert flow.at_rest == (set() if state == "tied up" else still)
            continue
        found = own.torques(torque_in, ratio)
        assert flow.holding == set().union(*found)
        instead = {
            name: holding_instead(train, applied, name, flow) for name in applied
        }
        assert flow.backing_up == {
            one: tuple(n for n in train.in_order(applied) if one in instead[n])
            for one in still - flow.holding
            if any(one in names for names in instead.values())
        }
        assert flow.at_rest == still - flow.holding - flow.backing_up.keys()
        for name in own.rows:
            torques = {torques.get(name, F(0)) for torques in found}
            assert flow.torques[name] == (torques.pop() if len(torques) == 1 else None)
        complementary(train, flow)
    return states


def complementary(train, flow):
    """No one-way clutch turns backward, pulls, or pushes while it turns."""
    for part in train.one_way_clutches:
        speeds = {**flow.speeds, "case": F(0)}
        first, second = speeds[part.member], speeds[part.against]
        torque = flow.torques[part.name]
        if None not in (first, second):
            assert first >= second
            assert torque is None or torque * (first - second) == 0
            assert first == second or part.name not in flow.holding
        assert torque is None or torque >= 0


@pytest.mark.parametrize("one_ways", [1, 2, 3])
def test_random_trains(one_ways):
    rng, seen = random.Random(f"one-way {one_ways}"), {}
    for _ in range(260):
        for state in check(*trains.random_train(rng, one_ways)):
            seen[state] = seen.get(state, 0) + 1
    expected = "drives, neutral, tied up, output locked, freewheels, braking only"
    assert set(seen) == set(expected.split(", "))


def test_smallest_conflicts_of_random_trains():
    rng, found = random.Random("conflicts"), 0
    while found < 60:
        train, applied = trains.random_train(rng, 2)
        flow = power_flow(train, applied=applied)
        if flow.state != "tied up":
            assert flow.conflict is None
            continue
        found += 1
        usable = {*applied, *(part.name for part in train.one_way_clutches)}
        parts = [name for name in train.by_name if name in usable]
        fights = (
            set(names)
            for count in range(1, len(parts) + 1)
            for names in combinations(parts, count)
            if Own(train, names).drive()[0] == "tied up"
        )
        assert flow.conflict == next(fights)


# Made by hand: a set of sun 30 and ring 72, where the way round is easily seen.


def lone_set(into, out, applied=(), load="drive", shafts=(), **one_way):
    train = one_set(
        input=f"front {into}",
        output=f"front {out}",
        shafts=shafts,
        brakes={"race brake": "race"} if shafts else {},
        one_way=one_way,
    )
    check(train, applied)
    return power_flow(train, applied=applied, load=load)


def test_a_loop_of_two_one_way_clutches_is_a_lock():
    pair = {"first": ("front carrier", "front sun")}
    pair["second"] = pair["first"][::-1]
    drive = lone_set("sun", "carrier", **pair)
    assert (drive.ratio, drive.holding, drive.torques["first"]) == (1, {"first"}, 1)
    coast = lone_set("sun", "carrier", load="coast", **pair)
    assert (coast.ratio, coast.holding, coast.torques["second"]) == (1, {"second"}, 1)
    assert drive.overrunning == set() and drive.backing_up == {}
    assert (drive.at_rest, coast.at_rest) == ({"second"}, {"first"})


def test_one_way_clutch_and_brake_in_series():
    parts = {"shafts": {"race": []}, "roller": ("front sun", "race")}
    for load, state in (("drive", "drives"), ("coast", "freewheels")):
        flow = lone_set("ring", "carrier", ["race brake"], load, **parts)
        assert flow.state == state
        assert flow.speeds["race"] == 0
    flow = lone_set("ring", "carrier", ["race brake"], **parts)
    assert flow.ratio == F(102, 72)
    assert flow.torques["roller"] == flow.torques["race brake"] == F(30, 72)
    released = lone_set("ring", "carrier", **parts)
    assert (released.state, released.speeds["race"]) == ("neutral", None)


def test_two_one_way_clutches_side_by_side_share():
    pair = {"near": ("front sun", "case"), "far": ("front sun", "case")}
    flow = lone_set("ring", "carrier", **pair)
    assert flow.holding == {"near", "far"}
    assert flow.torques["near"] is flow.torques["far"] is None
    assert flow.shared == {frozenset({"near", "far"}): F(30, 72)}


def test_reverse_by_a_one_way_clutch_coasts_backward():
    stop = {"stop": ("case", "front carrier")}
    drive = lone_set("sun", "ring", **stop)
    assert (drive.ratio, drive.holding) == (F(-72, 30), {"stop"})
    assert drive.torques["stop"] == 1 + F(72, 30)
    coast = lone_set("sun", "ring", load="coast", **stop)
    assert (coast.state, coast.overrunning) == ("freewheels", {"stop"})
    assert coast.one_motion["front ring"] < F(-30, 72)
    assert coast.one_motion["front carrier"] < 0


def test_engine_braking_but_no_drive():
    stop = {"stop": ("case", "front ring")}
    drive = lone_set("sun", "carrier", **stop)
    assert (drive.state, drive.braking_only) == ("neutral", False)
    coast = lone_set("sun", "carrier", load="coast", **stop)
    assert (coast.state, coast.ratio, coast.braking_only) == (
        "drives",
        F(102, 30),
        True,
    )


def test_output_locked_by_two_one_way_clutches():
    pair = {"up": ("front carrier", "case"), "down": ("case", "front carrier")}
    for load in ("drive", "coast"):
        flow = lone_set("sun", "carrier", load=load, **pair)
        assert (flow.state, flow.ratio) == ("output locked", None)
        assert flow.speeds["front ring"] == F(-30, 72)
        assert flow.holding == set()


def test_one_way_clutch_that_holds_the_input_back():
    flow = lone_set("sun", "carrier", stop=("case", "front sun"))
    assert (flow.state, flow.conflict) == ("tied up", {"stop"})
