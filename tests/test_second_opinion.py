"""Speeds and torques of random trains, solved once more with sympy.

Unknown are the speed of every piece, and one force in every mesh: each mesh law says
how speeds go together and, with the same coefficients, how the mesh pushes on its two
gears and its carrier. No reduction to a smaller space is made here.
"""

import random
from fractions import Fraction

import pytest
import trains
from forces import solved
from trains import bodies_of, laws, make_train, pieces, random_train, rows

from gearlab import power_flow, solve_speeds

TRAINS = 2000


class Own:
    """The equations of a train with some elements applied."""

    def __init__(self, train, applied):
        self.train, self.applied = train, applied
        self.bodies, self.piece = bodies_of(train), pieces(train)
        self.place = {body: i for i, body in enumerate(self.bodies)}
        self.laws = rows(train, laws(train), self.bodies)
        parts = [train.by_name[name] for name in applied]
        relative = [trains.relative(train, part) for part in parts]
        self.held = rows(train, relative, self.bodies)

    def speeds(self, given):
        """``{member or shaft: speed}``, or None if the given ones contradict."""
        equations = [[*row, 0] for row in self.laws + self.held]
        for name, speed in given.items():
            row = [0] * len(self.bodies)
            if self.piece[name] != "case":
                row[self.place[self.piece[name]]] = 1
            equations.append([*row, speed])
        values = solved(equations, len(self.bodies))
        if values is None:
            return None
        return {
            name: 0 if piece == "case" else values[self.place[piece]]
            for name, piece in self.piece.items()
            if name != "case"
        }

    def torques(self):
        """``{element or "output" or "case": torque}`` for an input torque of 1."""
        forces = [*self.laws, *self.held]
        ends = [{self.train.output: 1}, {self.train.input: 1}]
        out, into = rows(self.train, ends, self.bodies)
        names = [*self.applied, "output", "case"]
        columns = [*forces, out]
        equations = [
            [*(column[i] for column in columns), 0, -into[i]]
            for i in range(len(self.bodies))
        ]
        brakes = {part.name for part in self.train.brakes}
        balance = [int(name in brakes) for name in self.applied]
        equations.append([0] * len(self.laws) + [*balance, 1, 1, -1])
        values = solved(equations, len(columns) + 1)
        return dict(zip(names, values[len(self.laws) :], strict=True))

    def state(self):
        """The state and the ratio, from three questions to the speeds."""
        into, out = self.train.input, self.train.output
        if self.speeds({into: 1}) is None:
            return "tied up", None
        turning = self.speeds({into: 1})[out]
        if turning == 0:
            return "output locked", None
        if turning is None or self.speeds({into: 0})[out] is None:
            return "neutral", None
        return "drives", 1 / turning


def drawn(count, seed):
    rng = random.Random(seed)
    return [random_train(rng) for _ in range(count)]


@pytest.mark.parametrize("seed", range(4))
def test_states_speeds_and_torques(seed):
    seen = {}
    for train, applied in drawn(TRAINS // 4, f"flows {seed}"):
        own = Own(train, applied)
        state, ratio = own.state()
        drive = power_flow(train, applied=applied)
        coast = power_flow(train, applied=applied, load="coast")
        assert (drive.state, drive.ratio) == (state, ratio)
        assert (coast.state, coast.ratio) == (state, ratio)
        given = {train.input: 0 if state == "tied up" else 1}
        assert drive.speeds == coast.speeds == own.speeds(given)
        seen[state] = seen.get(state, 0) + 1
        idle = set(train.element_names) - set(applied)
        if state != "drives":
            torque = None if state == "tied up" else 0
            assert set(drive.torques.values()) == {torque}
            continue
        expected = own.torques()
        assert expected["output"] == -ratio
        for name, torque in expected.items():
            assert drive.torques[name] == torque
            assert coast.torques[name] == (None if torque is None else -torque)
        assert all(drive.torques[name] == 0 for name in idle)
        shared = {name for name, torque in drive.torques.items() if torque is None}
        assert set().union(*drive.shared) == shared
    assert set(seen) == {"drives", "neutral", "tied up", "output locked"}
    assert seen["drives"] > 40


def test_what_elements_side_by_side_share_has_a_total():
    # A second brake beside each applied brake, and a second clutch, turned round,
    # beside each applied clutch.
    shared = 0
    for train, applied in drawn(TRAINS, "sharing"):
        own = Own(train, applied)
        if own.state()[0] != "drives":
            continue
        alone = own.torques()
        brakes = {part.name: part.member for part in train.brakes}
        clutches = {part.name: (part.first, part.second) for part in train.clutches}
        beside = [f"{name} beside" for name in applied]
        doubled = make_train(
            *train.sets,
            input=train.input,
            output=train.output,
            shafts=train.shafts,
            brakes=brakes | {f"{name} beside": m for name, m in brakes.items()},
            clutches=clutches
            | {f"{name} beside": (b, a) for name, (a, b) in clutches.items()},
        )
        flow = power_flow(doubled, applied=[*applied, *beside])
        for name in applied:
            assert flow.torques[name] is flow.torques[f"{name} beside"] is None
            pair = frozenset({name, f"{name} beside"})
            if alone[name] is not None:
                assert flow.shared[pair] == alone[name]
                shared += 1
    assert shared > 200


@pytest.mark.parametrize("seed", range(2))
def test_speeds_from_any_given_ones(seed):
    rng = random.Random(f"given {seed}")
    refused = 0
    for train, applied in drawn(TRAINS // 10, f"speeds {seed}"):
        names = [name for name in pieces(train) if name != "case"]
        given = {
            name: Fraction(rng.randrange(-60, 60), rng.choice((1, 2, 7)))
            for name in rng.sample(names, min(len(names), rng.randrange(0, 4)))
        }
        expected = Own(train, applied).speeds(given)
        if expected is None:
            refused += 1
            with pytest.raises(ValueError, match="contradicts"):
                solve_speeds(train, given, applied=applied)
        else:
            assert solve_speeds(train, given, applied=applied) == expected
    assert 10 < refused < TRAINS // 10 - 10
