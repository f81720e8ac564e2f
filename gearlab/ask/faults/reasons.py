"""Why a fault gives what is seen: in words, range by range, through the power flow."""

from functools import lru_cache

from ...base.numerals import exactly, listed
from ...solve.powerflow import LOAD_WORDS, power_flow
from ...train.train import CASE
from .change import changed
from .fault import (
    APPLY,
    BACKWARD,
    ELSEWHERE,
    HOLD,
    LOOSE,
    RELEASE,
    SEIZE,
    SLIP,
    STANDING,
)
from .offroad import SHOWS, place_of
from .seen import NO_BRAKING, NO_DRIVE, SLIPS, TIES_UP, chart, seen_row


def reasons(train, fault, keys, contradicted=()):
    """What a fault gives in some ranges and loads, each with its reason.

    Parameters
    ----------
    train : Train
    fault : Fault
    keys : ``(range, load)`` of each; those of `contradicted` were seen otherwise
    """
    said = [fault.words]
    for key in keys:
        if key[1] in SHOWS:
            against = "speaks against" if key in contradicted else "does not clear"
            what = place_of(key)
            said.append(f"{what[:1].upper()}{what[1:]} {against} it.")
            continue
        told = chart(train).told(key, seen_row(train, fault)[key])
        line = f"{_where(key)}: {told}, since {because(train, fault, key)}"
        if key in contradicted:
            line += "; that is not what was seen"
        said.append(f"{line}.")
    return "\n".join(said)


def _where(key):
    return f"Range {key[0]}, {LOAD_WORDS[key[1]]}"


def because(train, fault, key):
    """The reason for what a fault gives in a range and a load, a clause."""
    if fault.kind == ELSEWHERE:
        return "the gear train does there what the chart has"
    if seen_row(train, fault)[key] == chart(train).sound[key]:
        return " and ".join(_no_matter(train, one, key) for one in fault.singles)
    return _matter(train, fault, key)


def largest_outputs(train, fault):
    """``{(range, load): largest output torque per torque at which the fault slips}``.

    Only where it slips; None where the element shares its torque. The ratio is not
    determined there, so nothing is said of it.
    """
    return {
        key: _largest_output(train, fault, key)
        for key, seen in seen_row(train, fault).items()
        if seen.word == SLIPS and len(changed(train, fault).slips) == 1
    }


def _largest_output(train, fault, key):
    torques = _flow(train, fault, key).torques
    (name,) = changed(train, fault).slips
    return abs(torques["output"] / torques[name]) if torques[name] else None


@lru_cache(maxsize=2048)
def _flow(train, fault, key):
    """The flow of a range with a fault, under one load."""
    other, (name, load) = changed(train, fault), key
    applied = other.applied(train.range(name).applied)
    return power_flow(other.train, applied=applied, load=load)


def _no_matter(train, fault, key):
    """Why a single fault makes no difference in a range."""
    name, kind = fault.about, fault.kind
    the, flow = f"the {name}", _flow(train, STANDING, key)
    if kind in (APPLY, SLIP) and name not in flow.applied:
        return f"{the} is released there"
    if kind == RELEASE and name in flow.applied:
        return f"{the} is applied there in any case"
    if kind in (APPLY, SLIP):
        return _instead(train, fault, key) or f"{the} settles nothing there"
    if kind == HOLD and name not in flow.holding:
        return f"{the} carries nothing there"
    if kind == SEIZE and name in flow.holding:
        return f"{the} holds there in any case"
    if kind == LOOSE:
        return f"no power passes there between {the} and the {fault.shaft}"
    if kind in (RELEASE, SEIZE):
        return f"nothing that {the} holds would turn there"
    return f"it makes no difference there which way round {the} is"


def _instead(train, fault, key):
    """What holds by itself where an element is let go, or ""."""
    before = _flow(train, STANDING, key)
    after = power_flow(train, applied=before.applied - {fault.about}, load=key[1])
    names = train.in_order(after.holding - before.holding)
    verb = "hold" if len(names) > 1 else "holds"
    return f"{listed(names)} {verb} in place of the {fault.about}" if names else ""


def _matter(train, fault, key):
    """How a fault comes to what is seen."""
    seen, flow = seen_row(train, fault)[key], _flow(train, fault, key)
    if seen.word == TIES_UP:
        names = flow.train.in_order(flow.conflict)
        verb = "together keep" if len(names) > 1 else "keeps"
        return f"{listed(names)} {verb} the input from turning"
    if seen.word == SLIPS:
        return _slipping(train, fault, key)
    what = " and ".join(_what(train, one, key) for one in fault.singles)
    if seen.word in (NO_DRIVE, NO_BRAKING):
        end = "the output" if seen.word == NO_DRIVE else "the input"
        return f"{what}, and nothing drives {end}"
    names = flow.train.in_order(flow.applied | flow.holding)
    return f"{what}; what holds then is {listed(names)}"


def _what(train, fault, key):
    """What a single fault is about in a range, a clause."""
    name, kind = fault.about, fault.kind
    applied = name in train.range(key[0]).applied
    if kind == LOOSE:
        return f"the {name} turns by itself, apart from the {fault.shaft}"
    joins = _joins(train.by_name[name])
    return {
        APPLY: f"the {name} does not {joins}" if applied else f"the {name} is released",
        SLIP: f"the {name} {'is applied' if applied else 'is released'}",
        RELEASE: f"the {name} is applied{'' if applied else ' too'}",
        HOLD: f"the {name} does not {joins}",
        SEIZE: f"the {name} holds both ways",
        BACKWARD: f"the {name} holds the other way round",
    }[kind]


def _joins(part):
    """What an element does when it holds."""
    first, second = part.sides
    if CASE in (first, second):
        return f"hold the {second if first == CASE else first}"
    return f"join the {second} and the {first}"


def _slipping(train, fault, key):
    """Which element slips, and what is left for the output."""
    slips = changed(train, fault).slips
    names = train.in_order(slips & _flow(train, fault, key).applied)
    said = f"{listed(names)} {'slip' if len(names) > 1 else 'slips'}"
    most = _largest_output(train, fault, key) if len(slips) == 1 else None
    if most is None:
        return f"{said} above some torque; the ratio is not determined then"
    return (
        f"{said} above some torque: the output torque is {exactly(most)} times that at"
        " the most, and the ratio is not determined then"
    )
