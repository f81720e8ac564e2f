"""A fault that is hidden in a bench: what is seen of it, and the truth once it is told.

The controls stay those of the sound train. As long as the fault is hidden, a page tells
what a driver sees, and an eye at the input and the output; the pictures stand still.
"""

from functools import lru_cache
from random import choice

from ..ask.faults.change import changed
from ..ask.faults.fault import STANDING, a_fault
from ..ask.faults.reasons import reasons
from ..ask.faults.seen import BRAKES, NO_BRAKING, NO_DRIVE, SLIPS
from ..ask.faults.table import symptoms
from ..solve.equilibrium import DRIVES
from ..solve.facts import element_states
from ..solve.powerflow import LOAD_WORDS, power_flow
from .page import bodies, flow_page, hidden_page, pair, segments

VEIL = "~"  # at the end of the key of a page that hides a fault
BY_CHANCE = "by chance"
REVEAL = "reveal the fault"
STUCK = "The crank does not turn."


def some_fault(train, fault):
    """The fault that was asked for, or one by chance that a road test can find.

    ValueError for what is neither.
    """
    if fault != BY_CHANCE:
        return a_fault(fault, train)
    table = symptoms(train)
    found = [one for one in table.rows if one not in table.group_of(STANDING)]
    return choice(found) if found else STANDING


@lru_cache(maxsize=1024)
def acting(flow, fault):
    """The flow of what the controls ask for, with a fault in the train."""
    other = changed(flow.train, fault)
    return power_flow(other.train, applied=other.applied(flow.applied), load=flow.load)


def fault_page(flow, fault, veiled, reveal=REVEAL):
    """The page of what the controls ask for; `flow` is that of the sound train.

    Parameters
    ----------
    flow : PowerFlow
    fault : Fault
    veiled : whether the fault is still hidden
    reveal : what stands on the button that tells it
    """
    return _veiled(flow, fault, reveal) if veiled else _told(flow, fault)


def _veiled(flow, fault, reveal):
    """What a driver sees, and an eye at the two ends."""
    train, true, seen = flow.train, acting(flow, fault), _seen(flow, fault)
    turns = true.state == DRIVES and seen not in (SLIPS, NO_DRIVE, NO_BRAKING)
    ends = [train.body_of[end] for end in (train.input, train.output)]
    stuck = true.state == "tied up"
    rates = dict.fromkeys(bodies(train))
    speeds = (true.speeds[train.input], true.speeds[train.output] if turns else None)
    rates |= {body: pair(speed) for body, speed in zip(ends, speeds, strict=True)}
    says = [f"What is seen: {seen}.", "A fault is hidden in this unit."]
    return {
        **hidden_page(train),
        "range": flow.range,
        "title": _title(flow),
        "state": true.state,
        "ratio": pair(true.ratio) if turns else None,
        "gives": seen,
        "gives_exact": seen,
        "says": [segments(train, one) for one in says],
        "rates": rates,
        "stuck": STUCK if stuck else "",
        "on": list(train.in_order(flow.applied)),
        "judge": flow_page(true)["judge"],
        "veiled": reveal,
    }


def _title(flow):
    """What the controls ask for."""
    where = f"Range {flow.range}" if flow.range is not None else "By hand"
    return f"{where}, {LOAD_WORDS[flow.load]}"


def _seen(flow, fault):
    """What is seen, in a word; which ratio it is, the count tells."""
    true = acting(flow, fault)
    if flow.range is not None:
        told = symptoms(flow.train).rows[fault][flow.range, flow.load]
        return told.partition(" like range ")[0].partition(" in another ratio")[0]
    if flow.load == "coast" and true.state in (DRIVES, "freewheels", "neutral"):
        return BRAKES if true.state == DRIVES else NO_BRAKING
    states = {"freewheels": NO_DRIVE, "neutral": NO_DRIVE, "tied up": "ties up"}
    return states.get(true.state, true.state)


def _told(flow, fault):
    """The truth, by the names that the sound train has."""
    train, true = flow.train, acting(flow, fault)
    states, page = element_states(true), flow_page(true)
    said = [fault.words]
    if flow.range is not None:
        said = reasons(train, fault, [(flow.range, flow.load)]).splitlines()
    parts = (*train.elements, *train.locks)
    return {
        **page,
        "range": flow.range,
        "title": _title(flow),
        "says": [segments(train, one) for one in said] + page["says"],
        "rates": {body: pair(true.speeds[body]) for body in bodies(train)},
        "elements": [states[part.name] for part in parts],
        "one_ways": [
            [states.get(part.name, ""), ""] for part in train.one_way_clutches
        ],
    }
