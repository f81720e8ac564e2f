"""Mesh losses: how much torque is left, and where a train locks itself.

In the frame of its carrier the driven gear of a mesh gets η × the torque that it would
get without loss. That changes the mesh's law for torques and not the one for speeds, so
torques follow by the same virtual work in a space of their own.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from . import checks
from .cone import dot
from .frozenmap import FrozenMap
from .motion import FreeMotions, exact, motions_under
from .torques import mesh_torques, shared_torques, torques_of

# Usual handbook values for spur and helical teeth, from memory.
HANDBOOK = FrozenMap({"external": Fraction("0.985"), "internal": Fraction("0.99")})
MOST_ROUNDS = 20
MOST_TRIED = 12  # meshes whose directions are tried out, 2 ** 12 cases


@dataclass(frozen=True, kw_only=True)
class Lossy:
    """The torques of one case with losses.

    `drivers` has True for each mesh whose first gear drives it. `efficiency` is 0 where
    the train locks itself, and None where the power of the meshes is not determined.
    """

    space: FreeMotions | None
    drivers: tuple
    torque_ratio: Fraction | None
    efficiency: Fraction | None


def checked_losses(train, losses):
    """Losses as ``{set: {kind of mesh: efficiency}}``, each in (0, 1].

    Parameters
    ----------
    train : Train
    losses : {"external": η, "internal": η, set: {kind: η}}; kinds that are left out
        have the handbook's value, sets that are left out are as the kinds

    Raises
    ------
    ValueError
        An unknown kind or set, or an efficiency outside (0, 1].
    """
    if not hasattr(losses, "items"):
        raise ValueError(
            f"losses are {checks.shortened(losses)}, but they are efficiencies by kind"
            ' of mesh; write {"external": 0.985, "internal": 0.99}, or {} for these'
        )
    names = [one.name for one in train.sets]
    for key in losses:
        checks.known(key, [*HANDBOOK, *names], "kind of mesh or gear set")
    common = {k: _efficiency(losses.get(k, v), k) for k, v in HANDBOOK.items()}
    table = {}
    for name in names:
        own = losses.get(name, {})
        for key in own:
            checks.known(key, HANDBOOK, "kind of mesh")
        table[name] = FrozenMap(
            (kind, _efficiency(own.get(kind, value), f"{name} {kind}"))
            for kind, value in common.items()
        )
    return FrozenMap(table)


def _efficiency(value, what):
    number = exact(value, what, "efficiency")
    if not 0 < number <= 1:
        raise ValueError(
            f"the efficiency of {what} is {checks.shortened(value)}, but it must be"
            " above 0 and not above 1; 0.985 is usual for an external mesh"
        )
    return number


def with_losses(train, free, flow, bound):
    """The :class:`Lossy` case of a flow that drives without loss.

    `flow` has torques and speeds without loss; `bound` names all that hold.
    """
    driving = _driving(train, free, flow, flow.torques, flow.shared)
    if driving is None:
        return Lossy(space=None, drivers=(), torque_ratio=None, efficiency=None)
    tried = set()
    drivers = _filled(driving, (True,) * len(driving))
    for _ in range(MOST_ROUNDS):
        if drivers in tried:
            break
        tried.add(drivers)
        found, again = _round(train, free, flow, bound, drivers)
        if again == drivers:
            break
        drivers = again
    else:
        again = None
    if again == drivers and 0 < found.efficiency <= 1:
        return found
    loaded = [i for i, drives in enumerate(driving) if drives is not None]
    for guess in product((True, False), repeat=min(len(loaded), MOST_TRIED)):
        drivers = list(_filled(driving, (True,) * len(driving)))
        for i, drives in zip(loaded, guess, strict=False):
            drivers[i] = drives
        found, again = _round(train, free, flow, bound, tuple(drivers))
        if again == tuple(drivers) and 0 < found.efficiency <= 1:
            return found
    return Lossy(space=None, drivers=(), torque_ratio=None, efficiency=Fraction(0))


def _round(train, free, flow, bound, drivers):
    """The case if the meshes are driven so, and how they would be driven then."""
    space = lossy_space(train, free, flow.losses, drivers)
    ratio = _torque_ratio(space, bound)
    nothing = Lossy(
        space=space, drivers=drivers, torque_ratio=ratio, efficiency=Fraction(-1)
    )
    if ratio is None:
        return nothing, None
    efficiency = (
        ratio / flow.ratio if flow.load == "drive" else flow.ratio / (ratio or 1)
    )
    torques, shared = lossy_torques(space, flow.torques, bound, ratio)
    driving = _driving(train, space, flow, torques, shared)
    found = replace(nothing, efficiency=efficiency)
    return found, driving and _filled(driving, drivers)


def lossy_space(train, free, losses, drivers):
    """The space in which torques with losses do no work; `drivers` as in Lossy."""
    laws = (
        _lossy_law(law, losses[law.set][law.kind], drives)
        for law, drives in zip(free.laws, drivers, strict=True)
    )
    return motions_under(train, tuple(laws))


def _lossy_law(law, efficiency, first_drives):
    """A mesh's law for torques, in whole numbers."""
    (a, at_a), (b, at_b), (carrier, _) = law.parts
    up, down = efficiency.numerator, efficiency.denominator
    at_a, at_b = (at_a * down, at_b * up) if first_drives else (at_a * up, at_b * down)
    return replace(law, parts=((a, at_a), (b, at_b), (carrier, -(at_a + at_b))))


def _torque_ratio(space, bound):
    """Output torque per input torque by virtual work, None if it is not determined."""
    lines = space.held_lines(bound)
    ends = [tuple(dot(row, line) for row in space.ends) for line in lines]
    turning = next(((u, v) for u, v in ends if v), None)
    if turning is None or any(u * turning[1] != v * turning[0] for u, v in ends):
        return None
    return Fraction(*turning)


def lossy_torques(space, torques, bound, ratio):
    """The torques of a flow with losses, and the groups that share."""
    torque_in = torques["input"]
    ends = torque_in, -ratio * torque_in
    known = torques_of(space, bound, *ends)
    found = {**torques, **known, "output": ends[1]}
    shared = None in known.values()
    return found, shared_torques(space, bound, *ends) if shared else {}


def _driving(train, space, flow, torques, shared):
    """For each mesh whether its first gear drives it, None without load or slip.

    None in all if the power of a mesh is not determined.
    """
    driving = []
    for law, load in zip(
        space.laws, mesh_torques(train, space, torques, shared), strict=True
    ):
        (a, at_a), _, (carrier, _) = law.parts
        speeds = [0 if part == "case" else flow.speeds[part] for part in (a, carrier)]
        if load == 0:
            driving.append(None)
        elif load is None or None in speeds:
            return None
        else:
            # What the mesh puts on its first gear, it takes from it if it drives.
            power = -load * at_a * (speeds[0] - speeds[1])
            driving.append(power > 0 if power else None)
    return tuple(driving)


def _filled(driving, drivers):
    """The directions, with the former ones where a mesh is not loaded."""
    return tuple(
        old if new is None else new for new, old in zip(driving, drivers, strict=True)
    )
