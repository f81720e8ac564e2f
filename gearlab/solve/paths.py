"""The path of the power: through which members and elements, split or going round."""

from dataclasses import dataclass
from fractions import Fraction

from ..base.brief import Brief
from ..base.numerals import listed, percent
from ..train.train import CASE
from .equilibrium import DRIVES
from .loads import member_loads
from .powerflow import a_flow


@dataclass(frozen=True, kw_only=True)
class Link:
    """Power that goes from one place to another, as a part of the power put in.

    A place is "input", "output", a shaft, a member that is a piece of its own, or
    ``"<set> set"``; `through` is the member or the element that it passes.
    """

    source: str
    target: str
    through: str
    power: Fraction


@dataclass(frozen=True, kw_only=True, repr=False)
class PowerPaths(Brief):
    """All links of a flow, and what they come to.

    `paths` are ways from where the power goes in to where it goes out, largest first:
    (part of the power put in, links). `circulating` is the power that goes round in a
    circle, as a part of the power put in. Both are None where a power is not known.
    """

    links: tuple[Link, ...]
    paths: tuple | None
    circulating: Fraction | None

    @property
    def words(self):
        """The paths in words, one sentence a path."""
        if self.paths is None:
            return "How the power is shared is not determined."
        if not self.paths:
            return "No power goes through."
        own = [{link.through for link in links} for _, links in self.paths]
        # Where it splits, only what a path has for itself is said; the ends never are.
        common = set.intersection(*own) if len(own) > 1 else set()
        said = []
        for part, links in self.paths:
            names = [link.through for link in links[1:-1] if link.through not in common]
            said.append(f"{percent(part)} through {_way(names)}")
        words = "; ".join(said) + "."
        if self.circulating:
            words += f" {percent(self.circulating)} more goes round in a circle."
        return words


def power_paths(flow):
    """The :class:`PowerPaths` of a flow; empty unless it drives.

    Parameters
    ----------
    flow : PowerFlow

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> print(power_paths(gearlab.power_flow(train, "4")).words)
    71.1 % through the forward clutch and the middle ring; 28.9 % through the direct ...
    """
    if a_flow(flow).state != DRIVES:
        return PowerPaths(links=(), paths=(), circulating=Fraction(0))
    links = _links(flow)
    if links is None:
        return PowerPaths(links=(), paths=None, circulating=None)
    left, circulating = _without_circles(links, flow)
    start, end = ("input", "output") if flow.load == "drive" else ("output", "input")
    return PowerPaths(
        links=tuple(sorted(links, key=lambda link: -link.power)),
        paths=tuple(_paths(left, start, end)),
        circulating=circulating,
    )


def _links(flow):
    """Every power above 0 as a link, None if one of them is not known."""
    train, loads = flow.train, member_loads(flow)
    ends = {"input": Fraction(1), "output": flow.speeds[train.output]}
    put_in = "input" if flow.load == "drive" else "output"
    whole = _times(flow.torques[put_in], ends[put_in])
    found = []
    for name, speed in ends.items():
        body = train.body_of[getattr(train, name)]
        found.append((name, body, body, _times(flow.torques[name], speed)))
    for one in train.sets:
        for short in one.members:
            member = one.member(short)
            body = train.body_of[member]
            if body != CASE:
                found.append((body, f"{one.name} set", member, loads.powers[member]))
    for name, power in loads.elements.items():
        first, second = (train.body_of[side] for side in train.by_name[name].sides)
        found.append((second, first, name, power))
    if not whole or any(power is None for *_, power in found):
        return None
    return [
        Link(source=a, target=b, through=name, power=power / whole)
        if power / whole > 0
        else Link(source=b, target=a, through=name, power=-power / whole)
        for a, b, name, power in found
        if power
    ]


def _times(torque, speed):
    return None if torque is None or speed is None else torque * speed


def _without_circles(links, flow):
    """The links without what goes round, as {link: power}, and how much does.

    What goes round inside parts that turn as one piece only holds them together: it
    is left out and not counted.
    """
    left, circulating = {link: link.power for link in links}, Fraction(0)
    while circle := _circle(left):
        least = min(left[link] for link in circle)
        if len({_speed(flow, link.through) for link in circle}) > 1:
            circulating += least
        for link in circle:
            left[link] -= least
        left = {link: power for link, power in left.items() if power}
    return left, circulating


def _speed(flow, name):
    part = flow.train.by_name.get(name)
    return flow.speeds[part.sides[0] if part else name]


def _circle(left):
    """Links that lead back to where they start, or None."""
    onward = {}
    for link in left:
        onward.setdefault(link.source, []).append(link)
    done = set()

    def walk(place, trail):
        on_trail = [link.source for link in trail]
        if place in on_trail:
            return trail[on_trail.index(place) :]
        if place in done:
            return None
        for link in onward.get(place, ()):
            if circle := walk(link.target, [*trail, link]):
                return circle
        done.add(place)
        return None

    return next(filter(None, (walk(place, []) for place in onward)), None)


def _paths(left, start, end):
    """Ways from start to end, the widest first, with the power of each."""
    left = dict(left)
    while True:
        place, trail = start, []
        while place != end:
            onward = [link for link in left if link.source == place and left[link]]
            if not onward:
                break
            trail.append(max(onward, key=left.get))
            place = trail[-1].target
        if place != end or not trail:
            return
        width = min(left[link] for link in trail)
        for link in trail:
            left[link] -= width
        yield width, tuple(trail)


def _way(names):
    return listed(dict.fromkeys(names)) or "one shaft"
