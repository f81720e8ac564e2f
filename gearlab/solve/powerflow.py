"""The power flow of a train: what turns, what holds, and which torque it takes."""

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from ..base import checks
from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..base.numerals import number
from ..train.train import CASE, Train, a_train
from .equilibrium import DRIVES, FREEWHEELS, NEUTRAL, TIED_UP, Situation
from .losses import checked_losses, with_losses
from .speeds import applied_names, rolling, speeds_along
from .torques import shared_torques, torques_of

LOAD_WORDS = {"drive": "under power", "coast": "coasting"}
LOADS = tuple(LOAD_WORDS)


@dataclass(frozen=True, kw_only=True, repr=False)
class PowerFlow(Brief):
    """What a train does with some elements applied, under one load.

    Speeds are in turns per input turn, positive with the input; torques per unit of
    input torque, which is +1 under drive and −1 on coast. A brake's torque is the one
    on its member, a clutch's the one on its second member, a one-way clutch's its push
    on its member. ``None`` is what is not determined.

    A one-way clutch that stands still backs up an applied element if, with that let go
    under the same load, it would hold and the ratio would stay; that is asked without
    losses.
    """

    train: Train
    range: str | None
    applied: frozenset
    load: str
    state: str  # "drives", "neutral", "tied up", "output locked" or "freewheels"
    ratio: Fraction | None  # input turns per output turn
    speeds: FrozenMap  # {member or shaft: speed or None}
    torques: FrozenMap  # {element, one-way clutch, "input", "output", "case": torque}
    shared: FrozenMap  # {frozenset of names that share: total, None if not parallel}
    holding: frozenset  # one-way clutches that carry
    overrunning: frozenset  # one-way clutches that turn free
    backing_up: FrozenMap  # {one-way clutch at rest: applied elements it backs up}
    at_rest: frozenset  # one-way clutches that stand still, carry and back up nothing
    one_motion: FrozenMap  # {member or shaft: speed}: one allowed motion, for drawing
    losses: FrozenMap | None  # {set: {kind of mesh: efficiency}}, if losses were asked
    torque_ratio: Fraction | None  # output torque per input torque
    efficiency: Fraction | None  # 1 without losses, 0 if the train locks itself
    conflict: frozenset | None = None  # when tied up: a smallest set that fights
    braking_only: bool = False  # on coast: engine braking though nothing drives
    drivers: tuple = ()  # with losses: per mesh, whether its first gear drives it

    @property
    def _brief(self):
        what = f"range {self.range}"
        if self.range is None:
            what = " + ".join(self.train.in_order(self.applied)) or "nothing applied"
        gives = self.state if self.ratio is None else f"ratio {self.ratio}"
        return f"{what}, {LOAD_WORDS[self.load]}, {gives}, {self.train.name}"

    @property
    def gives(self):
        """The ratio to three decimals, or what the train does instead."""
        return self.state if self.ratio is None else number(self.ratio)


class RangeFlows(Brief, FrozenMap):
    """``{range: {"drive": flow, "coast": flow}}``."""

    __slots__ = ()
    _heads = ("range", *LOAD_WORDS.values())

    @property
    def _brief(self):
        return f"{len(self)} ranges, each {' and '.join(LOAD_WORDS.values())}"

    @property
    def _rows(self):
        return [
            (name, *(flow.gives for flow in flows.values()))
            for name, flows in self.items()
        ]


def power_flow(train, range=None, *, applied=None, load="drive", losses=None):
    """The :class:`PowerFlow` of a range, or of any applied elements.

    Parameters
    ----------
    train : Train
    range : the name of a range of the train; or leave it out and give
    applied : names of holding elements and locks; repeats are harmless
    load : "drive" (the input drives) or "coast" (the output drives)
    losses : efficiencies by kind of mesh, ``{"external": 0.985, "internal": 0.99}``,
        with overrides ``{set: {kind: η}}``; ``{}`` takes these handbook values, None
        is without losses. The ratio stays what the teeth make it.

    Raises
    ------
    ValueError
        An unknown range, element or load, both a range and elements, or an efficiency
        outside (0, 1].

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> flow = gearlab.power_flow(train, "1")
    >>> flow.ratio, sorted(flow.holding), flow.torques["low one-way clutch"]
    (Fraction(17, 6), ['low one-way clutch'], Fraction(11, 6))
    """
    checks.known(load, LOADS, "load")
    a_train(train)
    if range is not None and applied is not None:
        raise ValueError(
            f"range {checks.shortened(range)} and applied elements are given, but one"
            " says the other; leave one of them out"
        )
    if range is not None:
        range = str(range)
        applied = train.range(range).applied
    return _flows(train, range, applied or (), (load,), losses)[0]


def a_flow(flow):
    """Return what is given as a power flow if it is one, else raise ValueError."""
    way_out = 'write gl.power_flow(train, "1"), with a range of your train'
    return checks.given(flow, PowerFlow, "a power flow", way_out)


def range_flows(train):
    """The flows of every range: ``{range: {"drive": flow, "coast": flow}}``.

    Parameters
    ----------
    train : Train

    Returns
    -------
    RangeFlows, a map

    Raises
    ------
    ValueError
        Something that is no train.
    """
    return _range_flows(a_train(train))


# A chart, its drawing and its words ask for the same flows in one go.
@lru_cache(maxsize=8)
def _range_flows(train):
    return RangeFlows(
        (row.name, load_flows(train, row.applied, range=row.name))
        for row in train.ranges
    )


def load_flows(train, applied, *, range=None):
    """The flows of applied elements under both loads: ``{"drive": ..., "coast": ...}``.

    It costs less than two calls of :func:`power_flow`. `range` is only noted.
    """
    a_train(train)
    return FrozenMap(zip(LOADS, _flows(train, range, applied, LOADS), strict=True))


def _flows(train, range, applied, loads, losses=None):
    """The flows of one situation under some loads."""
    asked = _Asked(train, range, applied_names(train, applied), losses)
    driving = asked.situation.drive()
    conflict = asked.situation.conflict() if driving[0] == TIED_UP else None
    return [asked.flow(load, driving, conflict) for load in loads]


class _Asked:
    """One situation, whose flows are put together from what it settles to."""

    def __init__(self, train, range, applied, losses):
        self.situation = Situation(train, applied)
        self.known = {"train": train, "range": range, "applied": applied}
        self.losses = None if losses is None else checked_losses(train, losses)

    def flow(self, load, driving, conflict):
        """The flow under a load, given what the situation settles to under drive."""
        settled = driving if load == "drive" else self.situation.coast(driving)
        # Where it freewheels, the motions are counted from the ratio under drive.
        ratio = driving[2] if settled[0] == FREEWHEELS else settled[2]
        flow = self._without_losses(load, settled, ratio)
        if self.losses is not None and flow.state == DRIVES:
            flow = self._with_losses(flow)
        if driving[0] == NEUTRAL and flow.state == DRIVES:
            flow = replace(flow, braking_only=True)
        return replace(flow, conflict=conflict) if conflict else flow

    def _without_losses(self, load, settled, seen_ratio):
        situation, (state, carrying, ratio) = self.situation, settled
        motions = situation.motions(state, seen_ratio)
        holding, overrunning, still = situation.one_way_states(carrying, state, motions)
        backing_up = {}
        if still and state == DRIVES:
            backing_up = situation.backing_up(still, load, ratio)
        speeds = FrozenMap(speeds_along(situation.free, motions))
        one_motion = speeds
        if any(speed is None for speed in speeds.values()):
            one_motion = FrozenMap(situation.one_motion(state, seen_ratio, motions))
        torques, shared = _torques(situation, settled, 1 if load == "drive" else -1)
        return PowerFlow(
            **self.known,
            load=load,
            state=state,
            ratio=ratio,
            speeds=speeds,
            torques=FrozenMap(torques),
            shared=FrozenMap(shared),
            holding=holding,
            overrunning=overrunning,
            backing_up=FrozenMap(backing_up),
            at_rest=still.difference(backing_up),
            one_motion=one_motion,
            losses=self.losses,
            torque_ratio=ratio,
            efficiency=Fraction(1) if state == DRIVES else None,
        )

    def _with_losses(self, flow):
        """The flow with losses; one-way clutches that would pull are asked again."""
        found = self._lossy(flow)
        if found.efficiency is None or _agrees(found):
            return found
        seen = [found]

        def pushes(names, ratio):
            settled = DRIVES, (names,), ratio
            lossy = self._lossy(self._without_losses(flow.load, settled, ratio))
            seen.append(lossy)
            held = [lossy.torques[name] for name in names]
            return [value or 0 for value in (lossy.efficiency, *held)]

        # The output turns the way that it does without losses.
        settled = self.situation.carrying_with(pushes, flow.load, flow.ratio)
        if settled:
            again = self._lossy(self._without_losses(flow.load, settled, settled[2]))
            if _agrees(again):
                return again
            seen.append(again)
        # No set of one-way clutches that carries agrees with its own losses. Where each
        # locks the meshes, the train locks; one that would pull settles nothing.
        locks = all(one.efficiency == 0 for one in seen)
        return self._without_torques(flow, Fraction(0) if locks else None)

    def _lossy(self, flow):
        """The flow with the losses of its meshes, its one-way clutches as they are."""
        free = self.situation.free
        motions = self.situation.motions(flow.state, flow.ratio)
        holding = flow.train.in_order(flow.holding)
        bound = (*free.always, *self.situation.held, *holding)
        lossy = with_losses(flow.train, free, flow, bound, rolling(free, motions))
        if not lossy.efficiency:
            return self._without_torques(flow, lossy.efficiency)
        return replace(
            flow,
            torques=lossy.torques,
            shared=lossy.shared,
            torque_ratio=lossy.torque_ratio,
            efficiency=lossy.efficiency,
            drivers=lossy.drivers,
        )

    def _without_torques(self, flow, efficiency):
        """The flow whose train locks itself, or whose losses are not determined.

        In the second case what goes in is known, and what carries nothing.
        """
        torques, shared = dict.fromkeys(flow.torques), {}
        if efficiency is None:
            always = self.situation.free.always
            bound = {"output", *always, *flow.applied, *flow.holding}
            torques = {n: None if n in bound else t for n, t in flow.torques.items()}
            shared = dict.fromkeys(flow.shared)
        return replace(
            flow,
            torques=FrozenMap(torques),
            shared=FrozenMap(shared),
            torque_ratio=None,
            efficiency=efficiency,
        )


def _agrees(flow):
    """Whether a train moves with its losses, and what holds by itself pushes."""
    held = [flow.torques[name] for name in flow.holding]
    return bool(flow.efficiency) and all(t is None or t > 0 for t in held)


def _torques(situation, settled, torque_in):
    """All torques of a state by name, and the groups that share."""
    state, carrying, ratio = settled
    names = (*situation.train.by_name, "input", "output", CASE)
    if state != DRIVES:
        return dict.fromkeys(names, None if state == TIED_UP else Fraction(0)), {}
    torques = dict.fromkeys(names, Fraction(0))
    torque_out = -ratio * torque_in
    torques |= {"input": Fraction(torque_in), "output": torque_out}
    fixed = (*situation.free.always, *situation.held)
    found = [
        torques_of(situation.free, (*fixed, *carried), torque_in, torque_out)
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
        situation.free, (*fixed, *together), torque_in, torque_out
    )
