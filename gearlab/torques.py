"""Torques by virtual work in the small space of free motions.

Let go of one element alone: the train gains one motion, in which input, output and
this element together do no work. It gains none if others hold as well; then the
torque is shared and not determined.
"""

from fractions import Fraction
from math import lcm

from .cone import dot, narrowed, null_lines, unit_lines
from .train import CASE


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

    There is a total only where all of a group act between the same two members; it is
    counted as the torque of the first.
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


def mesh_torques(train, space, torques, shared):
    """For each law the torque on its parts per coefficient, None if not determined.

    `torques` and `shared` are those of a flow. A mesh puts `torque × coefficient` on
    each of its parts, by virtual work in the motion that breaks its law alone.
    """
    torques = dict(torques)
    for group, total in shared.items():
        if total is not None:
            # Who carries how much of a total makes no difference to the meshes.
            for name in group:
                torques[name] = Fraction(0)
            torques[next(name for name in train.by_name if name in group)] = total
    loads, open_motions = [Fraction(0)] * len(space.place), []
    for name, value in torques.items():
        for side, sign in _sides(train, name):
            if side != CASE or name == CASE:
                at = space.place.get(train.body_of[side])
                if value is None:
                    open_motions.append((name, sign, at))
                elif value:
                    loads[at] += sign * value
    # On whole numbers: sums of fractions are what would cost most here.
    whole, found = lcm(*[load.denominator for load in loads]), []
    loaded = [(at, int(load * whole)) for at, load in enumerate(loads) if load]
    for release in space.releases:
        if release is None or _moves(open_motions, release[0]):
            found.append(None)
            continue
        work = sum(load * release[0][at] for at, load in loaded)
        found.append(Fraction(-work, release[1] * whole))
    return tuple(found)


def _sides(train, name):
    """The members on which a torque acts, with its sign there."""
    if name in ("input", "output"):
        return ((getattr(train, name), 1),)
    if name == CASE:
        return ((CASE, 1),)
    first, second = train.by_name[name].sides
    return ((first, 1), (second, -1))


def _moves(open_motions, release):
    """Whether an element whose torque is not known slips in a motion."""
    slips = {}
    for name, sign, at in open_motions:
        slips[name] = slips.get(name, 0) + sign * release[at]
    return any(slips.values())
