"""What every member of every gear set carries: its torque and its power."""

from dataclasses import dataclass
from fractions import Fraction

from ..base.brief import Brief
from ..base.cone import dot
from ..base.frozenmap import FrozenMap
from ..train.motion import free_motions
from ..train.train import CASE
from .equilibrium import DRIVES
from .losses import lossy_space
from .powerflow import a_flow
from .speeds import number_or_open
from .torques import mesh_loads


@dataclass(frozen=True, kw_only=True, repr=False)
class MemberLoads(Brief):
    """Torques and powers per unit of input torque and input speed.

    A member's torque is what its shaft brings to the gear set: in each set the torques
    sum to 0, and the powers too, or with losses to what is lost. Power above 0 goes
    into the set. ``None`` is what is not determined.
    """

    torques: FrozenMap  # {member: torque}
    powers: FrozenMap  # {member: torque × speed}
    elements: FrozenMap  # {clutch or one-way clutch: power that it passes on}

    _heads = ("member or element", "torque", "power")
    _lead = "Per unit of input torque and input speed; power above 0 goes into the set."

    @property
    def _brief(self):
        return f"torque and power of {len(self.torques)} members"

    @property
    def _rows(self):
        members = [
            (name, number_or_open(torque), number_or_open(self.powers[name]))
            for name, torque in self.torques.items()
        ]
        passed = [
            (name, "", number_or_open(power)) for name, power in self.elements.items()
        ]
        return members + passed


def member_loads(flow):
    """The :class:`MemberLoads` of a flow; all 0 unless it drives.

    Parameters
    ----------
    flow : PowerFlow

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> loads = member_loads(gearlab.power_flow(train, "1"))
    >>> loads.torques["rear sun"], loads.powers["middle carrier"]
    (Fraction(-11, 27), Fraction(-76, 153))
    """
    train = a_flow(flow).train
    members = [one.member(short) for one in train.sets for short in one.members]
    if flow.state != DRIVES or not flow.efficiency:
        nothing = Fraction(0) if flow.state != DRIVES else None
        nothing = None if flow.state == "tied up" else nothing
        torques = FrozenMap(dict.fromkeys(members, nothing))
        elements = FrozenMap(dict.fromkeys(_passing(train), nothing))
        return MemberLoads(torques=torques, powers=torques, elements=elements)
    free = free_motions(train)
    space = lossy_space(train, free, flow.losses, flow.drivers) if flow.losses else free
    bound = (*free.always, *train.in_order(flow.applied | flow.holding))
    loads, balance = mesh_loads(train, space, bound, flow.torques)
    on = {name: [0] * len(loads) for name in members}
    for i, law in enumerate(space.laws):
        for member, coefficient in law.parts:
            if member != CASE:
                on[member][i] -= coefficient
    if balance is None:
        found = [dot(row, loads) for row in on.values()]
    else:
        # What parts share may leave a mesh open and yet settle what a member gets.
        found = balance.values(on.values())
    torques = dict(zip(members, found, strict=True))
    powers = {name: _power(torques[name], flow.speeds[name]) for name in members}
    elements = {
        name: _power(flow.torques[name], _speed(flow, train.by_name[name].sides[0]))
        for name in _passing(train)
    }
    return MemberLoads(
        torques=FrozenMap(torques),
        powers=FrozenMap(powers),
        elements=FrozenMap(elements),
    )


def _passing(train):
    """The elements and one-way clutches between two members that can turn."""
    return [name for name, part in train.by_name.items() if part.sides[1] != CASE]


def _speed(flow, name):
    return Fraction(0) if name == CASE else flow.speeds[name]


def _power(torque, speed):
    """Torque × speed; 0 if one of them is, whatever the other."""
    if torque == 0 or speed == 0:
        return Fraction(0)
    return None if torque is None or speed is None else torque * speed
