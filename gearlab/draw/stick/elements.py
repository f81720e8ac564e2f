"""The holding elements of a stick diagram, as a flow has them."""

from ...solve.facts import element_states
from ...train.train import CASE
from ..kit.owner import all_of, of_body, of_element
from ..kit.page import below
from ..kit.shapes import Line
from . import symbols
from .grid import sides
from .names import ELEMENT, END, LINE, MEMBER, ONE_WAY, SET, TOLD

_GAPS = {"applied": 0.0, "released": 8.0, None: 4.0}  # between two plates [u]
_STRONG = ("applied", "holds", "fights")


def states(stick):
    """{element: its state in words}; empty for a plain diagram."""
    return element_states(stick.flow) if stick.power else {}


def element_shapes(stick):
    """(owner, shape) of every symbol, closed or open, and of the lines to it."""
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
            symbol = symbols.one_way(placed, name, role, first)
        elif name in locks:
            symbol = symbols.pawl(placed, name, role, state == "applied")
        else:
            symbol = symbols.plates(placed, name, role, _GAPS[state])
        if stick.power and flow.conflict and name in flow.conflict:
            symbol.append(symbols.ring_round(placed, name))
        shapes += all_of(of_element(name), symbol)
    return shapes


def _leads(stick, name):
    """The lines to a symbol from both sides; the ground sign away from the top."""
    placed, train = stick.placed, stick.flow.train
    first, second = map(placed.at, placed.layout.marks[name])
    one, other = sides(train, name)
    x, y, dx, dy = placed.middle(name)
    gap = 5 * placed.u
    near, far = (x - dx * gap, y - dy * gap), (x + dx * gap, y + dy * gap)
    yield of_body(train, one), Line(points=(first, near), role=stick.line_of(one))
    yield of_body(train, other), Line(points=(far, second), role=stick.line_of(other))
    if placed.layout.aside(name):
        yield of_body(train, CASE), symbols.ground_at(*second, dx, dy, placed.u)


def label_shapes(stick):
    """(owner, shape) of the names, bold where applied.

    A one-way clutch says what it does.
    """
    font, state_of = stick.font, states(stick)
    for label in stick.placed.labels:
        of = _owner(stick.flow.train, label)
        state = state_of.get(label.name) if label.what in (ELEMENT, ONE_WAY) else None
        bold = label.what in (SET, MEMBER) or state in _STRONG
        lines = list(label.lines)
        if label.below and state in TOLD:
            lines.append(stick.say(state))
        if label.leader:
            yield of, Line(points=label.leader, role="leader")
        left, top, right, _ = label.box
        look = {"x": (left + right) / 2, "anchor": "middle", "bold": bold}
        texts, _ = below(top + (0.95 - LINE) * font, lines, font, LINE, **look)
        yield from all_of(of, texts)


def _owner(train, label):
    """Whose a name is; those of sets are nobody's."""
    if label.what in (ELEMENT, ONE_WAY):
        return of_element(label.name)
    if label.what == SET:
        return ""
    name = getattr(train, label.name) if label.what == END else label.name
    return of_body(train, name)
