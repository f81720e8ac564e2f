"""Torques by virtual work in the small space of free motions.

Let go of one element alone: the train gains one motion, in which input, output and
this element together do no work. It gains none if others hold as well; then the
torque is shared and not determined.
"""

from fractions import Fraction

from .cone import dot, null_lines, unit_lines
from .train import CASE


def torque(space, name, bound, torque_in, torque_out):
    """The torque of an element on its counted side, None where it is shared.

    Parameters
    ----------
    space : FreeMotions
    name : the element, one of
    bound : the names of all that hold: "case", applied elements, one-way clutches
    torque_in, torque_out : the torques on the input and the output
    """
    moved = _let_go(space, name, bound)
    if moved is None:
        return None
    train_in, train_out = space.ends
    work = torque_in * dot(train_in, moved) + torque_out * dot(train_out, moved)
    return -work / dot(space.row_of_part[name], moved)


def _let_go(space, name, bound):
    """A motion that an element alone keeps from happening, or None."""
    lines = unit_lines(space.size)
    for other in bound:
        if other != name:
            lines = null_lines(lines, space.row_of_part[other])
    own = space.row_of_part[name]
    return next((line for line in lines if dot(own, line)), None)


def shared_torques(space, bound, torque_in, torque_out):
    """``{frozenset of names that share: total, or None}``.

    There is a total only where all of a group act between the same two members; it is
    counted as the torque of the first.
    """
    basis, groups = [], []
    lines = unit_lines(space.size)
    for name in bound:
        narrowed = null_lines(lines, space.row_of_part[name])
        if narrowed is not lines:
            basis.append(name)
            lines = narrowed
            continue
        row = space.row_of_part[name]
        ring = {name} | {
            other for other in basis if dot(row, _let_go(space, other, basis))
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
            total = torque(space, first, alone, torque_in, torque_out)
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
    loaded, found = [at for at, load in enumerate(loads) if load], []
    for release in space.releases:
        if release is None or _moves(open_motions, release[0]):
            found.append(None)
            continue
        work = sum(loads[at] * release[0][at] for at in loaded if release[0][at])
        found.append(-work / release[1] if work else Fraction(0))
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
