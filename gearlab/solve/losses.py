"""Mesh losses: how much torque is left, and where a train locks itself.

In the frame of its carrier the driven gear of a mesh gets η × the torque that it would
get without loss. That changes the mesh's law for torques and not the one for speeds, so
torques follow by the same virtual work in a space of their own.
"""

from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import product

from ..base import checks
from ..base.cone import dot
from ..base.frozenmap import FrozenMap
from ..base.reading import exact
from ..train.motion import motions_under
from .torques import mesh_loads, shared_torques, torques_of

# Usual handbook values for spur and helical teeth, from memory.
HANDBOOK = FrozenMap({"external": Fraction("0.985"), "internal": Fraction("0.99")})
MOST_TRIED = 150_000  # directions × squared meshes that are tried out, in about 1 s


@dataclass(frozen=True, kw_only=True)
class Lossy:
    """The torques of one case with losses.

    `drivers` has for each mesh whether its first gear drives it, None where it passes
    its torque whole because it does not roll or loses nothing. `efficiency` is 0 where
    the train locks itself, and None where the power of the meshes is not determined.
    """

    drivers: tuple = ()
    torque_ratio: Fraction | None = None
    efficiency: Fraction | None = None
    torques: FrozenMap | None = None  # of all that holds, with input and output
    shared: FrozenMap = FrozenMap()  # as in a flow


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
        if not hasattr(own, "items"):
            raise ValueError(
                f"the losses of {name} are {checks.shortened(own)}, but they are"
                f' efficiencies by kind of mesh; write {{"{name}": {{"external":'
                " 0.98}}"
            )
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


def with_losses(train, free, flow, bound, rolls):
    """The :class:`Lossy` case of a flow that drives without loss.

    `flow` has torques and speeds without loss; `bound` names all that hold, and `rolls`
    has for each mesh the speed of its first gear on its carrier.
    """
    case = _Case(train, free, flow, bound, rolls)
    loads, _ = mesh_loads(train, free, bound, flow.torques)
    if all(loads[i] == 0 for i in case.losing):
        # Also where nothing rolls: then what is shared stays shared, and costs nothing.
        return Lossy(
            drivers=(None,) * len(loads),
            torque_ratio=flow.ratio,
            efficiency=Fraction(1),
            torques=flow.torques,
            shared=flow.shared,
        )
    start = case.driving(loads, [i in case.losing or None for i in range(len(loads))])
    loaded = [i for i in case.losing if loads[i]]
    return Lossy() if start is None else case.settled(start, loaded)


class _Case:
    """One case, asked again until the meshes agree on which gear drives."""

    def __init__(self, train, free, flow, bound, rolls):
        self.train, self.free, self.flow = train, free, flow
        self.bound, self.rolls = bound, rolls
        # Only a mesh that rolls loses anything.
        self.losing = [
            i
            for i, law in enumerate(free.laws)
            if rolls[i] != 0 and flow.losses[law.set][law.kind] < 1
        ]

    def settled(self, start, loaded):
        """The case whose directions agree with themselves, or what is known else.

        They are sought from `start` on, each as the one before has it; where that goes
        round, all directions of the `loaded` meshes are tried.
        """
        tried, drivers = set(), start
        open_ones = 2 ** len(loaded) * len(start) ** 2 > MOST_TRIED
        left = iter(()) if open_ones else _turned(start, loaded)
        while drivers is not None:
            tried.add(drivers)
            found, again = self._round(drivers)
            if again == drivers and 0 < found.efficiency <= 1:
                return found
            open_ones |= found is not None and again is None
            drivers = again
            if again is None or again in tried:
                drivers = next((guess for guess in left if guess not in tried), None)
        return Lossy() if open_ones else Lossy(efficiency=Fraction(0))

    def _round(self, drivers):
        """The case if the meshes are driven so, and how they would be driven then.

        None for the first if nothing balances so, None for the second if the meshes'
        loads are not determined then.
        """
        flow = self.flow
        space = lossy_space(self.train, self.free, flow.losses, drivers)
        lines = space.held_lines(self.bound)
        ends = [tuple(dot(row, line) for row in space.ends) for line in lines]
        turning = next(((u, v) for u, v in ends if v), None)
        if turning is None:
            return None, None
        ratio = Fraction(*turning)
        found = Lossy(drivers=drivers, torque_ratio=ratio, efficiency=Fraction(-1))
        if any(u != ratio * v for u, v in ends):
            return found, None
        if ratio:
            power = ratio / flow.ratio
            efficiency = power if flow.load == "drive" else 1 / power
            found = replace(found, efficiency=efficiency)
        torques, shared = lossy_torques(space, flow.torques, self.bound, ratio)
        found = replace(found, torques=torques, shared=shared)
        loads, _ = mesh_loads(self.train, space, self.bound, torques)
        return found, self.driving(loads, drivers)

    def driving(self, loads, former):
        """For each mesh whether its first gear drives it; the former where no load is.

        None in all if the power of a mesh is not determined.
        """
        drivers = list(former)
        for i in self.losing:
            if loads[i] == 0:
                continue
            if loads[i] is None or self.rolls[i] is None:
                return None
            # What the mesh puts on its first gear, it takes from it if it drives.
            drivers[i] = loads[i] * self.free.laws[i].parts[0][1] * self.rolls[i] < 0
        return tuple(drivers)


def _turned(start, loaded):
    """Directions with those of some meshes turned, in every way."""
    for turns in product((True, False), repeat=len(loaded)):
        drivers = list(start)
        for i, drives in zip(loaded, turns, strict=True):
            drivers[i] = drives
        yield tuple(drivers)


def lossy_space(train, free, losses, drivers):
    """The space in which torques with losses do no work; `drivers` as in Lossy."""
    if all(drives is None for drives in drivers):
        return free
    laws = (
        law if drives is None else _lossy_law(law, losses[law.set][law.kind], drives)
        for law, drives in zip(free.laws, drivers, strict=True)
    )
    return motions_under(train, tuple(laws))


def _lossy_law(law, efficiency, first_drives):
    """A mesh's law for torques, in whole numbers."""
    (a, at_a), (b, at_b), (carrier, _) = law.parts
    up, down = efficiency.numerator, efficiency.denominator
    at_a, at_b = (at_a * down, at_b * up) if first_drives else (at_a * up, at_b * down)
    return replace(law, parts=((a, at_a), (b, at_b), (carrier, -(at_a + at_b))))


def lossy_torques(space, torques, bound, ratio):
    """The torques of a flow with losses, and the groups that share."""
    torque_in = torques["input"]
    ends = torque_in, -ratio * torque_in
    known = torques_of(space, bound, *ends)
    found = FrozenMap({**torques, **known, "output": ends[1]})
    shared = shared_torques(space, bound, *ends) if None in known.values() else {}
    return found, FrozenMap(shared)
