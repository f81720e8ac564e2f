"""How much power goes through every piece of line of a stick diagram."""

from dataclasses import dataclass
from fractions import Fraction

from ...solve.loads import member_loads
from ...solve.paths import power_paths
from ...train.train import CASE
from .grid import sides


@dataclass(frozen=True, kw_only=True)
class LinePower:
    """Powers as parts of what is put in; None where it is not determined.

    A power counts from an edge's first place to its second, a member's into its set,
    an element's from its first side in the layout to its second.
    """

    edges: dict  # (body, edge): power
    members: dict
    elements: dict
    ends: dict  # what enters at input and output
    round: frozenset  # (body, edge), members and elements in which power goes round
    circulating: Fraction | None

    def carries(self, body, edges):
        """Whether any piece of a body carries power, or may."""
        return any(self.edges[body, edge] != 0 for edge in edges)


def line_power(flow, layout, circulating=True):
    """The :class:`LinePower` of a flow that drives.

    What goes through an edge is the sum of what enters the tree on one side of it.
    Without `circulating` what goes round in a circle is left out.
    """
    train, loads, paths = flow.train, member_loads(flow), power_paths(flow)
    start = "input" if flow.load == "drive" else "output"
    whole = _times(flow.torques[start], flow.speeds[getattr(train, start)])

    straight = None if circulating else _straight(paths)

    def part(power, name=None):
        if power is None or not whole:
            return None
        share = power / whole
        if straight is None or name is None:
            return share
        return straight.get(name, Fraction(0)) * (1 if share > 0 else -1)

    members = {name: part(loads.powers[name], name) for name in layout.ports}
    elements, entering = {}, {body: {} for body in layout.lines}

    def enters(body, place, power, sign=1):
        if body != CASE:
            at = entering[body]
            power = None if power is None else sign * power
            at.setdefault(place, []).append(power)

    for name, place in layout.ports.items():
        enters(train.body_of[name], place, members[name], -1)
    ends = {}
    for end, place in layout.ends.items():
        name = getattr(train, end)
        ends[end] = part(_times(flow.torques[end], flow.speeds[name]))
        enters(train.body_of[name], place, ends[end])
    for name, (first, second) in layout.marks.items():
        to, against = sides(train, name)
        power = Fraction(0)
        if name in loads.elements:
            power = part(loads.elements[name], name)
        elements[name] = None if power is None else -power
        enters(to, first, power)
        enters(against, second, power, -1)
    edges = {}
    for body, at in entering.items():
        edges |= _through(layout, body, at)
    return LinePower(
        edges=edges,
        members=members,
        elements=elements,
        ends=ends,
        round=_round(flow, layout, paths, edges) if circulating else frozenset(),
        circulating=paths.circulating,
    )


def _straight(paths):
    """{member or element: what goes through it to the other end}; None if not known."""
    if paths.paths is None:
        return None
    found = {}
    for power, links in paths.paths:
        for link in links[1:-1]:
            found[link.through] = found.get(link.through, 0) + power
    return found


def _times(torque, speed):
    return None if torque is None or speed is None else torque * speed


def _through(layout, body, entering):
    """{(body, edge): power} of one body's tree."""
    return {
        (body, (a, b)): total
        for (a, b), total in _sums(layout, body, entering, _added).items()
    }


def _added(powers):
    return None if None in powers else sum(powers, Fraction(0))


def _sums(layout, body, entering, add):
    """{edge: what enters on the side of its first place}."""
    near = layout.edges_at(body)
    if not near:
        return {}
    root = min(near)
    order, parent = [root], {root: None}
    for place in order:
        for other in near[place]:
            if other not in parent:
                parent[other] = place
                order.append(other)
    below = {place: list(entering.get(place, ())) for place in order}
    for place in reversed(order[1:]):
        below[parent[place]].append(add(below[place]))
    found = {}
    for a, b in layout.lines[body]:
        if parent[a] == b:
            found[a, b] = add(below[a])
        else:
            total = add(below[b])
            found[a, b] = None if total is None else -total
    return found


def _round(flow, layout, paths, powers):
    """Members, elements and edges that lie on a circle of the power."""
    onward = {}
    for link in paths.links:
        onward.setdefault(link.source, set()).add(link.target)
    names = {
        link.through
        for link in paths.links
        if link.source in _reached(onward, link.target)
        and (link.through in layout.ports or link.through in layout.marks)
    }
    train, found = flow.train, set(names)
    for body in layout.lines:
        at, total = {}, 0
        for name, place in layout.ports.items():
            if name in names and train.body_of[name] == body:
                at.setdefault(place, []).append(1)
                total += 1
        for name, places in layout.marks.items():
            if name in names:
                for side, place in zip(sides(train, name), places, strict=True):
                    if side == body:
                        at.setdefault(place, []).append(1)
                        total += 1
        for edge, count in _sums(layout, body, at, sum).items():
            if 0 < abs(count) < total and powers[body, edge]:
                found.add((body, edge))
    return frozenset(found)


def _reached(onward, start):
    found, todo = {start}, [start]
    while todo:
        for place in onward.get(todo.pop(), ()):
            if place not in found:
                found.add(place)
                todo.append(place)
    return found
