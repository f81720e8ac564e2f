"""The power flow of a train: what turns, what holds, and which torque it takes."""

from dataclasses import dataclass
from fractions import Fraction

from . import checks
from .equilibrium import DRIVES, FREEWHEELS, NEUTRAL, TIED_UP, Case
from .frozenmap import FrozenMap
from .motion import applied_names, speeds_along
from .torques import shared_torques, torque
from .train import CASE, Train

LOADS = ("drive", "coast")


@dataclass(frozen=True, kw_only=True)
class PowerFlow:
    """What a train does with some elements applied, under one load.

    Speeds are in turns per input turn, positive with the input; torques per unit of
    input torque, which is +1 under drive and −1 on coast. A brake's torque is the one
    on its member, a clutch's the one on its second member, a one-way clutch's its push
    on its member. ``None`` is what is not determined.
    """

    train: Train
    range: str | None
    applied: frozenset
    load: str
    state: str  # "drives", "neutral", "tied up", "output locked" or "freewheels"
    conflict: frozenset | None  # when tied up: a smallest set that fights
    ratio: Fraction | None  # input turns per output turn
    speeds: FrozenMap  # {member or shaft: speed or None}
    torques: FrozenMap  # {element, one-way clutch, "input", "output", "case": torque}
    shared: FrozenMap  # {frozenset of names that share: total, None if not parallel}
    holding: frozenset  # one-way clutches that carry
    overrunning: frozenset  # one-way clutches that turn free
    backing_up: frozenset  # one-way clutches at rest beside an applied element
    braking_only: bool  # on coast: engine braking though nothing drives
    one_motion: FrozenMap  # {member or shaft: speed}: one allowed motion, for drawing


def power_flow(train, range=None, *, applied=None, load="drive"):
    """The :class:`PowerFlow` of a range, or of any applied elements.

    Parameters
    ----------
    train : Train
    range : the name of a range of the train; or leave it out and give
    applied : names of holding elements and locks; repeats are harmless
    load : "drive" (the input drives) or "coast" (the output drives)

    Raises
    ------
    ValueError
        An unknown range, element or load, or both a range and elements.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> flow = gearlab.power_flow(train, "1")
    >>> flow.ratio, sorted(flow.holding), flow.torques["low one-way clutch"]
    (Fraction(41, 13), ['low one-way clutch'], Fraction(28, 13))
    """
    checks.known(load, LOADS, "load")
    if range is not None and applied is not None:
        raise ValueError(
            f"range {checks.shortened(range)} and applied elements are given, but one"
            " says the other; leave one of them out"
        )
    if range is not None:
        range = str(range)
        applied = train.range(range).applied
    return _flows(train, range, applied or (), (load,))[0]


def range_flows(train):
    """The flows of every range: ``{range: {"drive": flow, "coast": flow}}``."""
    return FrozenMap(
        (row.name, load_flows(train, row.applied, range=row.name))
        for row in train.ranges
    )


def load_flows(train, applied, *, range=None):
    """The flows of applied elements under both loads: ``{"drive": ..., "coast": ...}``.

    It costs less than two calls of :func:`power_flow`. `range` is only noted.
    """
    return FrozenMap(zip(LOADS, _flows(train, range, applied, LOADS), strict=True))


def _flows(train, range, applied, loads):
    """The flows of one case under some loads."""
    applied = applied_names(train, applied)
    case = Case(train, applied)
    driving = case.drive()
    conflict = case.conflict() if driving[0] == TIED_UP else None
    flows = []
    for load in loads:
        settled = driving if load == "drive" else case.coast(driving)
        state, carrying, ratio = settled
        # Where it freewheels, the motions are counted from the ratio under drive.
        seen = driving[2] if state == FREEWHEELS else ratio
        motions = case.motions(state, seen)
        holding, overrunning, backing_up = case.one_way_states(carrying, state, motions)
        speeds = FrozenMap(speeds_along(case.free, motions))
        one_motion = speeds
        if any(speed is None for speed in speeds.values()):
            one_motion = FrozenMap(case.one_motion(state, seen, motions))
        torques, shared = _torques(case, settled, 1 if load == "drive" else -1)
        flows.append(
            PowerFlow(
                train=train,
                range=range,
                applied=applied,
                load=load,
                state=state,
                conflict=conflict,
                ratio=ratio,
                speeds=speeds,
                torques=FrozenMap(torques),
                shared=FrozenMap(shared),
                holding=holding,
                overrunning=overrunning,
                backing_up=backing_up,
                braking_only=state == DRIVES and driving[0] == NEUTRAL,
                one_motion=one_motion,
            )
        )
    return flows


def _torques(case, settled, torque_in):
    """All torques of a state by name, and the groups that share."""
    state, carrying, ratio = settled
    names = (*case.train.by_name, "input", "output", CASE)
    if state != DRIVES:
        return dict.fromkeys(names, None if state == TIED_UP else Fraction(0)), {}
    torques = dict.fromkeys(names, Fraction(0))
    torque_out = -ratio * torque_in
    torques |= {"input": Fraction(torque_in), "output": torque_out}
    fixed = (*case.free.always, *case.held)
    found = [
        {
            name: torque(case.free, name, (*fixed, *carried), torque_in, torque_out)
            for name in (*fixed, *carried)
        }
        for carried in carrying
    ]
    for one in found:
        for name in one:
            same = all(other.get(name, 0) == one[name] for other in found)
            torques[name] = one[name] if same else None
    if all(known is not None for known in torques.values()):
        return torques, {}
    together = list(dict.fromkeys(name for names in carrying for name in names))
    return torques, shared_torques(
        case.free, (*fixed, *together), torque_in, torque_out
    )
