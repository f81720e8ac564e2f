"""The forces of a train with losses, balanced apart from the library.

Unknown are a force in every mesh and a torque at all that holds; every piece gives one
equation. In the frame of the carrier the driven gear of a mesh gets η × what it would
get without loss, and a mesh that does not roll passes everything. Which gear drives is
taken from the flow and then judged by the forces that follow.
"""

import random
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from itertools import product

import trains
from sympy import QQ
from sympy.polys.matrices import DomainMatrix

from gearlab import power_flow
from gearlab.solve.loads import member_loads
from gearlab.train.motion import free_motions

ETAS = ("1", "0.99", "0.98", "0.9", "0.8", "0.7", "0.6", "0.5")


def solved(equations, count):
    """``[value or None]`` of `count` unknowns; each equation ends with its constant.

    None at all if the equations contradict.
    """
    matrix = DomainMatrix(
        [[QQ(x.numerator, x.denominator) for x in map(Fraction, e)] for e in equations],
        (len(equations), count + 1),
        QQ,
    )
    reduced, pivots = matrix.rref()
    if count in pivots:
        return None
    reduced = reduced.to_list()
    values = [None] * count
    for row, pivot in zip(reduced, pivots, strict=False):
        if not any(row[column] for column in range(count) if column != pivot):
            values[pivot] = Fraction(int(row[-1].numerator), int(row[-1].denominator))
    return values


def meshes(train, losses):
    """(law as {member: coefficient}, efficiency) of every mesh, set by set."""
    kinds = []
    for one in train.sets:
        own = {"external": Fraction("0.985"), "internal": Fraction("0.99")}
        own |= {k: Fraction(v) for k, v in losses.items() if k in own}
        own |= {k: Fraction(v) for k, v in losses.get(one.name, {}).items()}
        simple = one.kind == "simple"
        of = ["external", "internal"] if simple else [m.mesh for m in one.meshes]
        kinds += [own[kind] for kind in of]
    return list(zip(trains.laws(train), kinds, strict=True))


class Forces:
    """What balances a flow if its meshes are driven in some way.

    `drivers` has True for a mesh whose first gear drives, False if the second does,
    and None for one that passes its torque whole.
    """

    def __init__(self, flow, losses, drivers):
        train, self.flow = flow.train, flow
        self.meshes = meshes(train, losses)
        self.drivers = tuple(drivers)
        self.laws = [
            lossy(law, 1 if drives is None else eta, drives)
            for (law, eta), drives in zip(self.meshes, self.drivers, strict=True)
        ]
        self.held = train.in_order(flow.applied | flow.holding)
        self.members = list(dict.fromkeys(name for law in self.laws for name in law))
        self.members = [name for name in self.members if name != "case"]
        values = self._solve()
        self.possible = values is not None
        if not self.possible:
            return
        count = len(self.laws)
        self.forces = values[:count]
        names = [*self.held, "output", "case"]
        self.torques = dict(zip(names, values[count:], strict=False))
        self.on_members = dict(
            zip(self.members, values[count + len(names) :], strict=True)
        )

    def _solve(self):
        train = self.flow.train
        bodies = trains.bodies_of(train)
        parts = [train.by_name[name] for name in self.held]
        relative = trains.rows(
            train, [trains.relative(train, p) for p in parts], bodies
        )
        laws = trains.rows(train, self.laws, bodies)
        ends = [{train.output: 1}, {train.input: 1}]
        out, into = trains.rows(train, ends, bodies)
        torque_in = 1 if self.flow.load == "drive" else -1
        wide = len(laws) + len(parts) + 2 + len(self.members)
        equations = []
        for i in range(len(bodies)):
            row = [column[i] for column in (*laws, *relative, out)]
            row += [0] * (wide - len(row))
            equations.append([*row, -torque_in * into[i]])
        # All that comes from outside the train adds up to nothing.
        to_case = [int("case" in trains.sides(part)) for part in parts]
        signs = [
            sign if trains.sides(part)[0] != "case" else -sign
            for part, sign in zip(parts, to_case, strict=True)
        ]
        row = [0] * len(laws) + signs + [1, 1] + [0] * len(self.members)
        equations.append([*row, -torque_in])
        for place, member in enumerate(self.members):
            row = [law.get(member, 0) for law in self.laws]
            row += [0] * (wide - len(row))
            row[len(laws) + len(parts) + 2 + place] = 1
            equations.append([*row, 0])
        return solved(equations, wide)

    @cached_property
    def rolls(self):
        """For each mesh the speed of its first gear on its carrier, or None."""
        train, still = self.flow.train, {*self.held, *self.flow.at_rest}
        still |= set(self.flow.backing_up)
        bodies, still = trains.bodies_of(train), map(train.by_name.get, still)
        laws = [law for law, _ in self.meshes]
        seen = [*laws, *(trains.relative(train, part) for part in still)]
        rows = [[*row, *[0] * len(laws), 0] for row in trains.rows(train, seen, bodies)]
        (into,) = trains.rows(train, [{train.input: 1}], bodies)
        rows.append([*into, *[0] * len(laws), 1])
        for place, law in enumerate(laws):
            gear, *_, carrier = law
            (row,) = trains.rows(train, [{gear: 1, carrier: -1}], bodies)
            row += [0] * len(laws)
            row[len(bodies) + place] = -1
            rows.append([*row, 0])
        return solved(rows, len(bodies) + len(laws))[len(bodies) :]

    def agrees(self):
        """Whether the gears drive that the forces say, and none pays that rolls not."""
        for i, roll in enumerate(self.rolls):
            force, drives, (law, eta) = self.forces[i], self.drivers[i], self.meshes[i]
            # What the mesh puts on its first gear, it takes from it if it drives.
            if drives is None:
                right = eta == 1 or 0 in (force, roll)
            elif force and roll:
                right = drives == (force * next(iter(law.values())) * roll < 0)
            else:
                right = force == 0 and roll != 0
            if not right:
                return False
        return True

    def lost(self):
        """The power that the meshes lose, from the forces on their gears."""
        lost = Fraction(0)
        for i, roll in enumerate(self.rolls):
            if self.drivers[i] is not None and self.forces[i]:
                law, plain = self.laws[i], list(self.meshes[i][0].values())
                first, second = list(law.values())[:2]
                turned = -roll * plain[0] / plain[1]
                lost -= self.forces[i] * (first * roll + second * turned)
        return lost


def lossy(law, eta, first_drives):
    """A mesh law with what the driven gear gets less; the carrier takes the rest."""
    (a, at_a), (b, at_b), (carrier, _) = law.items()
    if first_drives:
        at_b *= eta
    else:
        at_a *= eta
    return {a: at_a, b: at_b, carrier: -at_a - at_b}


def drawn_losses(rng, train):
    """Efficiencies by kind, sometimes with a set that has its own."""
    losses = {kind: rng.choice(ETAS) for kind in ("external", "internal")}
    if rng.random() < 0.3:
        losses[rng.choice(train.sets).name] = {"external": rng.choice(ETAS)}
    return losses


def twins(rng):
    """Two equal sets with two members joined, so that parts may share that roll."""
    while True:
        sets = [trains.random_set(rng, "one")]
        sets.append(replace(sets[0], name="two"))
        members = ["sun", "ring", "carrier"]
        rng.shuffle(members)
        *joined, own = members
        shafts = {f"{m} shaft": [f"one {m}", f"two {m}"] for m in joined}
        ends = [*shafts, f"one {own}", f"two {own}"]
        first, last = rng.sample(ends[: rng.choice((2, 3))], 2)
        clutches = {f"clutch {i}": rng.sample(ends, 2) for i in range(2)}
        brakes = {f"brake {i}": name for i, name in enumerate(ends)}
        parts = {"shafts": shafts, "brakes": brakes, "clutches": clutches}
        try:
            train = trains.make_train(*sets, input=first, output=last, **parts)
            free_motions(train)
        except ValueError:
            continue
        names = list(train.element_names)
        return train, rng.sample(names, rng.randrange(1, 4))


def flows_with_losses(count, seed):
    """`count` random driving flows, each with the same without losses."""
    rng = random.Random(seed)
    while count:
        if rng.random() < 0.2:
            train, applied = twins(rng)
        else:
            train, applied = trains.random_train(rng, rng.choice((0, 0, 1, 2, 3)))
        load = rng.choice(("drive", "coast"))
        plain = power_flow(train, applied=applied, load=load)
        if plain.state == "drives":
            losses = drawn_losses(rng, train)
            yield plain, losses
            count -= 1


def check(plain, losses):
    """One flow with losses against its own forces; how it was settled, in a word."""
    train = plain.train
    asked = {"applied": plain.applied, "load": plain.load}
    flow = power_flow(train, **asked, losses=losses)
    assert (flow.state, flow.load) == (plain.state, plain.load)
    assert flow.torques["input"] in (None, plain.torques["input"])
    # Without losses all is said of the forces too, and what is shared is left open.
    compare(plain, Forces(plain, losses, (None,) * len(plain_laws(train))))
    if flow.efficiency is None:
        assert flow.torques["input"] == plain.torques["input"]
        pulls = plain.holding and not any_agreement(plain, losses)
        assert pulls or something_is_open(plain, losses)
        return "pulls" if pulls else "not determined"
    if flow.efficiency == 0:
        assert not any_agreement(plain, losses)
        return "locks itself"
    own = Forces(flow, losses, own_drivers(flow))
    assert own.possible and own.agrees()
    compare(flow, own)
    assert all(flow.torques[n] is None or flow.torques[n] > 0 for n in flow.holding)
    power_in = 1 if plain.load == "drive" else flow.torque_ratio / flow.ratio
    assert own.lost() == (1 - flow.efficiency) * power_in
    loads = member_loads(flow)
    powers = list(loads.powers.values())
    if None not in powers:
        assert abs(float(sum(powers) - own.lost())) <= 1e-12
    if flow.efficiency == 1:
        assert (flow.torques, flow.shared) == (plain.torques, plain.shared)
        return "nothing lost"
    return "turned over" if flow.holding != plain.holding else "lost"


def plain_laws(train):
    return list(trains.laws(train))


def own_drivers(flow):
    """The drivers of a flow, for gears in the order in which they are written here."""
    first = {
        frozenset(name for name, _ in law.parts): (law.parts[0][0], drives)
        for law, drives in zip(free_motions(flow.train).laws, flow.drivers, strict=True)
    }
    for law in trains.laws(flow.train):
        gear, drives = first[frozenset(law)]
        yield drives if drives is None or gear == next(iter(law)) else not drives


def compare(flow, own):
    """Torques of elements and members: what is determined, and how large it is."""
    for name, torque in own.torques.items():
        assert flow.torques[name] == torque, (name, flow.torques[name], torque)
    loads = member_loads(flow)
    for name, torque in own.on_members.items():
        assert loads.torques[name] == torque, (name, loads.torques[name], torque)


def something_is_open(plain, losses):
    """Whether a mesh that would lose has a load or a speed that is not determined."""
    own = Forces(plain, losses, (None,) * len(plain_laws(plain.train)))
    return any(
        eta < 1 and ((force is None and roll != 0) or (roll is None and force != 0))
        for (_, eta), force, roll in zip(own.meshes, own.forces, own.rolls, strict=True)
    )


def any_agreement(plain, losses):
    """Whether the forces agree with any way of driving the meshes that lose.

    They do if power comes out, and if no one-way clutch that holds has to pull.
    """
    every = Forces(plain, losses, (None,) * len(plain_laws(plain.train)))
    choices = [
        (True, False) if eta < 1 and roll != 0 and force != 0 else (None,)
        for (_, eta), roll, force in zip(
            every.meshes, every.rolls, every.forces, strict=True
        )
    ]
    for drivers in product(*choices):
        own = Forces(plain, losses, drivers)
        moves = own.possible and own.torques["output"] and own.agrees()
        if moves and all(own.torques[name] > 0 for name in plain.holding):
            ratio = -own.torques["output"] / plain.torques["input"]
            power = ratio / plain.ratio
            efficiency = power if plain.load == "drive" else 1 / power
            if 0 < efficiency <= 1:
                return True
    return False
