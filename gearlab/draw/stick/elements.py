"""The holding elements of a stick diagram, as a flow has them."""

from ...solve.facts import element_states
from ..kit.page import below
from ..kit.shapes import Line
from . import symbols
from .grid import sides
from .names import ELEMENT, LINE, MEMBER, ONE_WAY, SET, TOLD

_GAPS = {"applied": 0.0, "released": 8.0, None: 4.0}  # between two plates [u]
_STRONG = ("applied", "holds", "fights")


def states(stick):
    """{element: its state in words}; empty for a plain diagram."""
    return element_states(stick.flow) if stick.power else {}


def element_shapes(stick):
    """Every symbol, closed or open, with the lines that lead to it."""
    train, flow, placed = stick.flow.train, stick.flow, stick.placed
    one_ways = {part.name for part in train.one_way_clutches}
    locks = {part.name for part in train.locks}
    state_of, shapes = states(stick), []
    for name in placed.layout.marks:
        shapes += _leads(stick, name)
        state = state_of.get(name)
        role = "applied" if state == "applied" else "open"
        if name in one_ways:
            role = state if state in TOLD else "open"
            first = train.body_of[train.by_name[name].member] == sides(train, name)[0]
            shapes += symbols.one_way(placed, name, role, first)
        elif name in locks:
            shapes += symbols.pawl(placed, name, role, state == "applied")
        else:
            shapes += symbols.plates(placed, name, role, _GAPS[state])
        if stick.power and flow.conflict and name in flow.conflict:
            shapes.append(symbols.ring_round(placed, name))
    return shapes


def _leads(stick, name):
    """The lines to a symbol from both sides; the ground sign away from the top."""
    placed = stick.placed
    first, second = map(placed.at, placed.layout.marks[name])
    one, other = sides(stick.flow.train, name)
    x, y, dx, dy = placed.middle(name)
    gap = 5 * placed.u
    near, far = (x - dx * gap, y - dy * gap), (x + dx * gap, y + dy * gap)
    yield Line(points=(first, near), role=stick.line_of(one))
    yield Line(points=(far, second), role=stick.line_of(other))
    if placed.layout.aside(name):
        yield symbols.ground_at(*second, dx, dy, placed.u)


def label_shapes(stick):
    """The names: bold where applied; a one-way clutch says what it does."""
    font, state_of = stick.font, states(stick)
    for label in stick.placed.labels:
        state = state_of.get(label.name) if label.what in (ELEMENT, ONE_WAY) else None
        bold = label.what in (SET, MEMBER) or state in _STRONG
        lines = list(label.lines)
        if label.what == ONE_WAY and state in TOLD:
            lines.append(stick.say(state))
        if label.leader:
            yield Line(points=label.leader, role="leader")
        left, top, right, _ = label.box
        look = {"x": (left + right) / 2, "anchor": "middle", "bold": bold}
        yield from below(top + (0.95 - LINE) * font, lines, font, LINE, **look)[0]
