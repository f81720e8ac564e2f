"""What each one-way clutch of a flow does, in words."""

from ..base.numerals import listed, number
from ..solve.equilibrium import DRIVES, NEUTRAL, OUTPUT_LOCKED
from ..train.train import CASE


def named(train, name):
    """A shaft or member in words."""
    return f"the {train.body_of[name]}" if name != CASE else "the case"


def one_way_sentences(flow):
    """A sentence on each one-way clutch that holds, overruns or is at rest."""
    for part in flow.train.one_way_clutches:
        if part.name in flow.holding:
            yield f"The {part.name} holds{_held_so(flow, part)}."
        elif part.name in flow.overrunning:
            slip = _slip(flow, part)
            faster = f" by {number(slip)}" if slip is not None else ""
            yield f"The {part.name} overruns: {_ahead(flow, part)}{faster}."
        elif part.name in flow.backing_up:
            yield f"The {part.name} backs up {listed(flow.backing_up[part.name])}."
        elif part.name in flow.at_rest:
            yield f"The {part.name} is at rest: {_resting(flow, part)}."


def _held_so(flow, part):
    member, against = (named(flow.train, side) for side in part.sides)
    if part.against == CASE:
        return f" {member}, so it cannot turn backward"
    if part.member == CASE:
        return f" {against}, so it cannot turn forward"
    return f": {against} drives {member} with it"


def _ahead(flow, part):
    member, against = (named(flow.train, side) for side in part.sides)
    if part.against == CASE:
        return f"{member} turns forward"
    if part.member == CASE:
        return f"{against} turns backward"
    return f"{member} turns ahead of {against}"


def _slip(flow, part):
    ahead, behind = (0 if side == CASE else flow.speeds[side] for side in part.sides)
    return None if ahead is None or behind is None else ahead - behind


def _resting(flow, part):
    """Why a one-way clutch at rest backs up nothing."""
    if flow.state in (NEUTRAL, OUTPUT_LOCKED):
        return "nothing loads it"
    if any(group & flow.applied for group in flow.shared):
        return "what is applied carries without it"
    beside = _beside(flow, part)
    if flow.state == DRIVES and beside and flow.torques[beside] == 0:
        return "nothing loads it"
    return "it cannot hold this way"


def _beside(flow, part):
    """The applied element between the same two bodies, if there is one."""
    bodies = {flow.train.body_of[side] for side in part.sides}
    for name in flow.train.in_order(flow.applied):
        other = flow.train.by_name[name].sides
        if {flow.train.body_of[side] for side in other} == bodies:
            return name
    return None
