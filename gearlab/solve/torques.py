"""Torques by virtual work in the small space of free motions.

Let go of one element alone: the train gains one motion, in which input, output and
this element together do no work. It gains none if others hold as well; then the
torque is shared and not determined.
"""

from fractions import Fraction
from math import lcm

from ..base.cone import dot, narrowed, null_lines, unit_lines
from ..train.train import CASE
from .speeds import values_along


def torques_of(space, bound, torque_in, torque_out):
    """``{name: torque on its counted side}`` of all that hold, None where it is shared.

    Parameters
    ----------
    space : FreeMotions
    bound : the names of all that hold: "case", applied elements, one-way clutches
    torque_in, torque_out : the torques on the input and the output
    """
    rows = [space.row_of_part[name] for name in bound]
    _, releases = narrowed(unit_lines(space.size), rows)
    return {
        name: release and _balance(space, row, release, torque_in, torque_out)
        for name, row, release in zip(bound, rows, releases, strict=True)
    }


def _balance(space, row, release, torque_in, torque_out):
    """The torque that keeps the work of a motion at nothing."""
    train_in, train_out = space.ends
    work = torque_in * dot(train_in, release) + torque_out * dot(train_out, release)
    return -work / dot(row, release)


def shared_torques(space, bound, torque_in, torque_out):
    """``{frozenset of names that share: total, or None}``.

    There is a total only where all of a group see the same speed, turned round or not,
    since only their sum is the same then in all solutions. It is counted as the torque
    of the first. That they act on the same two bodies is not said by it.
    """
    rows = [space.row_of_part[name] for name in bound]
    lines, basis, groups = unit_lines(space.size), [], []
    for name, row in zip(bound, rows, strict=True):
        left = null_lines(lines, row)
        if left is not lines:
            basis.append(name)
            lines = left
            continue
        _, releases = narrowed(
            unit_lines(space.size), [space.row_of_part[other] for other in basis]
        )
        ring = {name} | {
            other
            for other, release in zip(basis, releases, strict=True)
            if dot(row, release)
        }
        touching = [group for group in groups if group & ring]
        groups = [group for group in groups if not group & ring]
        groups.append(ring.union(*touching))
    totals = {}
    for group in groups:
        first = next(name for name in bound if name in group)
        row = space.row_of_part[first]
        alike = {row, tuple([-entry for entry in row])}
        total = None
        if any(row) and all(space.row_of_part[name] in alike for name in group):
            alone = [name for name in bound if name == first or name not in group]
            total = torques_of(space, alone, torque_in, torque_out)[first]
        totals[frozenset(group)] = total
    return totals


def mesh_loads(train, space, bound, torques):
    """For each law the load on its parts per coefficient, None if not determined.

    A mesh puts `load × coefficient` on each of its parts. `torques` are those of a
    flow, and `bound` names all that hold. Returns the loads, and the
    :class:`Balance` that other sums of them can be asked of, None where all is known.
    """
    if None in torques.values() or None in space.releases:
        balance = Balance(train, space, bound, torques["input"], torques["output"])
        each = unit_lines(len(space.laws))
        return balance.values(each), balance
    loads = _column(train, space, {name: t for name, t in torques.items() if t})
    # On whole numbers: sums of fractions are what would cost most here.
    whole = lcm(*[load.denominator for load in loads])
    loaded = [(at, int(load * whole)) for at, load in enumerate(loads) if load]
    found = []
    for motion, broken in space.releases:
        work = sum(load * motion[at] for at, load in loaded)
        found.append(Fraction(-work, broken * whole))
    return found, None


class Balance:
    """All the loads in meshes and torques of what holds that balance a train.

    There is one equation a body. What is the same in all solutions is determined;
    whether two elements share side by side or round a circle makes no difference.
    """

    def __init__(self, train, space, bound, torque_in, torque_out):
        columns = [*space.law_rows]
        for name in bound:
            columns.append(_column(train, space, {name: Fraction(1)}))
        ends = _column(train, space, {"input": torque_in, "output": torque_out})
        self.held = len(bound)
        # One more coordinate is the unit of torque, as in motion.solve_speeds.
        solutions = unit_lines(len(columns) + 1)
        for row in zip(*columns, ends, strict=True):
            whole = lcm(*[Fraction(entry).denominator for entry in row])
            solutions = null_lines(solutions, [int(entry * whole) for entry in row])
        self.solutions = [(line, line[-1]) for line in solutions]

    def values(self, rows):
        """What sums of mesh loads come to, None where that is not determined."""
        rest = (0,) * (self.held + 1)
        return values_along([(*row, *rest) for row in rows], self.solutions)


def _column(train, space, torques):
    """Torques by name as torques on the bodies of a space."""
    column = [0] * len(space.place)
    for name, value in torques.items():
        for body, sign in _sides(train, name):
            if body in space.place:
                column[space.place[body]] += sign * value
    return column


def _sides(train, name):
    """The bodies on which a torque acts, with its sign there.

    What the case gets from elements is no torque on the gears that bear on it.
    """
    if name in ("input", "output"):
        return ((train.body_of[getattr(train, name)], 1),)
    if name == CASE:
        return ((CASE, 1),)
    first, second = train.by_name[name].sides
    sides = ((first, 1), (second, -1))
    return [(train.body_of[side], sign) for side, sign in sides if side != CASE]
