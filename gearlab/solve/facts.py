"""The facts that words and drawings share: who holds what, and what a part does."""

from functools import lru_cache

from ..base.frozenmap import FrozenMap
from ..train.train import CASE
from .equilibrium import DRIVES
from .loads import member_loads


def held_by(flow):
    """``{body: names of what holds it}``; the case holds what is fixed for good."""
    train, holders = flow.train, {}
    if train.shafts.get(CASE):
        holders[CASE] = [CASE]
    for name in train.in_order(flow.applied | flow.holding):
        sides = [side for side in train.by_name[name].sides if side != CASE]
        if len(sides) == 1:
            holders.setdefault(train.body_of[sides[0]], []).append(name)
    return holders


def roles(flow):
    """``{member or shaft: what it does}`` under this flow.

    One of "drives", "driven", "held", "turns", "still" and "not determined". Under
    power the input drives and the output is driven; on coast it is the other way round.
    """
    train, holders = flow.train, held_by(flow)
    ends = {train.body_of[train.input]: "drives", train.body_of[train.output]: "driven"}
    if flow.load == "coast":
        ends = dict(zip(ends, ("driven", "drives"), strict=True))

    def role(name, speed):
        body = train.body_of[name]
        if speed is None:
            return "not determined"
        if body in holders:
            return "held"
        if speed == 0:
            return "still"
        return ends[body] if flow.state == "drives" and body in ends else "turns"

    return {name: role(name, speed) for name, speed in flow.speeds.items()}


@lru_cache(maxsize=64)
def member_roles(flow):
    """``{member: what it does in its own gear set}`` under this flow.

    As :func:`roles`, but a member that brings power into its set "drives" it, one that
    takes power out is "driven", and one that does neither "turns free". "turns" is
    said where the power is not determined, as where torque is shared.
    """
    does, found = roles(flow), {}
    for member, power in member_loads(flow).powers.items():
        found[member] = does[member]
        if does[member] in ("turns", "drives", "driven"):
            found[member] = "turns" if power is None else "turns free"
            if flow.state == DRIVES and power:
                found[member] = "drives" if power > 0 else "driven"
    return FrozenMap(found)


def element_states(flow):
    """``{element, lock or one-way clutch: its state in words}``."""
    states = {}
    for name in flow.train.by_name:
        states[name] = "applied" if name in flow.applied else "released"
    for part in flow.train.one_way_clutches:
        states[part.name] = (
            "holds"
            if part.name in flow.holding
            else "fights"
            if flow.conflict and part.name in flow.conflict
            else "carries nothing"
            if flow.conflict
            else "overruns"
            if part.name in flow.overrunning
            else "backs up"
            if part.name in flow.backing_up
            else "at rest"
            if part.name in flow.at_rest
            else "carries nothing"
        )
    return states


def body_speeds(flow):
    """``{shaft or member: speed}``, each body once.

    A body goes by its shaft's name; the case is left out, and planets that are neither
    the input nor the output.
    """
    named = {}
    for one in flow.train.sets:
        for short in one.members:
            body = flow.train.body_of[one.member(short)]
            if "planet" not in short and body != CASE:
                named[body] = flow.speeds[one.member(short)]
    for shaft in flow.train.shafts:
        if shaft != CASE:
            named.setdefault(shaft, flow.speeds[shaft])
    for end in (flow.train.input, flow.train.output):
        named.setdefault(flow.train.body_of[end], flow.speeds[end])
    return named
