"""What a stick diagram says: its heading, the state in words, the alt sentence."""

from dataclasses import replace
from fractions import Fraction

from ...base.numerals import listed, percent
from ...solve.equilibrium import DRIVES
from ...solve.facts import element_states
from ...solve.paths import power_paths
from ...train.train import CASE
from ..kit.page import headline
from ..kit.sheet import capital
from ..kit.textwidth import wrapped
from .names import LINE

_SEEN = {
    "input": "input at the left, output at the right",
    "output": "output at the left, input at the right",
}
_STILL = "no power goes through"
_SHARED = "how the power is shared is not determined"
_CIRCLE = "goes round in a circle"
_TOGETHER = "striped: power that only holds locked parts together"


def heading(stick, width):
    """The lines at the top, always as many for a train, and where they end."""
    font, room = stick.font, stick.room(width)
    name = stick.say(stick.flow.train.name)
    first = headline(stick.flow, stick.words) if stick.power else name
    lines = wrapped(first, font, room, bold=True)
    shapes, y = stick.below(0.2 * font, lines, LINE, bold=True)
    narrow = width < 2 * stick.column
    y += LINE * font * max(0, 1 + narrow - len(lines))
    lines, most = wrapped(stick.say(_SEEN[stick.end]), font, room), 0
    if stick.power:
        states = [wrapped(text, font, room) for text in _possible_states(stick)]
        told = wrapped(_state(stick), font, room)
        most = max(len(state) for state in (*states, told)) - len(told)
        lines += told
    more, y = stick.below(y, lines, LINE)
    return shapes + more, y + (LINE * most + 0.6) * font


def title(stick):
    """What a picture without a heading is called, with what a heading would say."""
    if not stick.power:
        return capital(stick.say("stick diagram"))
    state = _state(stick)
    return capital(stick.say("power path")) + (f" · {state}" if state else "")


def _state(stick):
    """What the state means for the power, as it is written."""
    flow, powers = stick.flow, stick.powers
    if flow.state == "tied up":
        return _fight(stick, flow.train.in_order(flow.conflict))
    if flow.state != DRIVES or flow.efficiency == 0:
        return stick.say(_STILL)
    if powers.circulating is None:
        return stick.say(_SHARED)
    if not stick.circulating:
        return ""
    if powers.circulating:
        return f"{percent(powers.circulating)} {stick.say(_CIRCLE)}"
    return stick.say(_TOGETHER) if powers.round else ""


def _fight(stick, names):
    return f"{stick.say('fights')}: {', '.join(map(stick.say, names))}"


def _possible_states(stick):
    """What may be written of a state, so that all pictures are equally high."""
    names = sorted(map(stick.say, stick.flow.train.by_name), key=len)
    yield _fight(stick, names[-2:])
    yield from map(stick.say, (_STILL, _SHARED))
    if stick.circulating:
        yield stick.say(_TOGETHER)
        yield f"126.3 % {stick.say(_CIRCLE)}"


def alt(stick):
    """The sentences that carry the numbers."""
    flow = stick.flow
    words = f"Stick diagram of the {flow.train.name}, the {stick.end} at the left"
    if not stick.power:
        return f"{words}: {_joined(flow.train)}."
    busy = [
        f"{name} {state}"
        for name, state in element_states(flow).items()
        if state not in ("released", "carries nothing")
    ]
    text = f"{words}. {headline(flow)}. {'; '.join(busy) or 'Nothing applied'}."
    if flow.state == "tied up":
        return f"{text} No power goes through: {listed(_fighters(flow))}."
    if flow.state != DRIVES or flow.efficiency == 0:
        return f"{text} No power goes through."
    parts = sorted({one.power for one in stick.pieces} - {1}, reverse=True)
    shown = f" In the lines: {', '.join(map(percent, parts))}." if parts else ""
    paths = power_paths(flow)
    if not stick.circulating:
        paths = replace(paths, circulating=Fraction(0))
    return f"{text} {paths.words}{shown}"


def _fighters(flow):
    names = flow.train.in_order(flow.conflict)
    return [f"{name} {'holds' if len(names) == 1 else 'fights'}" for name in names]


def _joined(train):
    """What every element joins, in words."""
    parts = []
    for name, part in train.by_name.items():
        member, other = part.sides
        if other == CASE:
            parts.append(f"{name} on the {member}")
        else:
            parts.append(f"{name} between the {other} and the {member}")
    sets = listed([f"{one.name} ({one.kind})" for one in train.sets], "")
    return f"sets {sets}; {'; '.join(parts) or 'no elements'}"
