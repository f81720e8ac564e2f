"""Levers: where on a straight line the members of gear sets stand.

Where the mesh law leaves a set's members two free motions, each member is a node of a
lever, and in every motion::

    speed = a + b × position

For a simple set the nodes are sun, carrier, ring, as far apart as ring and sun have
teeth. Two levers that share two bodies are one lever, since two speeds settle the rest.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import combinations, starmap
from math import gcd, lcm

from ..base.brief import Brief, Several
from ..base.cone import narrowed, primitive, unit_lines
from ..base.frozenmap import FrozenMap
from ..base.numerals import listed, number
from ..train.meshes import mesh_law, meshes
from ..train.train import CASE, a_train


@dataclass(frozen=True, kw_only=True)
class Node:
    """A body on a lever: its members there, and its position."""

    body: str  # a shaft, a member or "case"
    members: tuple[str, ...]  # of the lever's sets, in file order
    position: Fraction


@dataclass(frozen=True, kw_only=True, repr=False)
class Lever(Brief):
    """The gear sets that are one lever, and its nodes by position, from 0 up.

    Positions are the smallest whole numbers that keep the distances. Planets between
    other gears are left out.
    """

    sets: tuple[str, ...]
    nodes: tuple[Node, ...]

    _heads = ("position", "body", "members")

    @property
    def _brief(self):
        bodies = [f"{node.body} {number(node.position)}" for node in self.nodes]
        return f"{listed(self.sets, '')}: {', '.join(bodies)}"

    @property
    def _lead(self):
        return f"Lever of the {listed(self.sets, '')} set{'s' if self.sets[1:] else ''}"

    @property
    def _rows(self):
        return [
            (number(node.position), node.body, listed(node.members, ""))
            for node in self.nodes
        ]

    @cached_property
    def position(self):
        """``{body: position}``."""
        return FrozenMap((node.body, node.position) for node in self.nodes)

    def totals(self, values):
        """``{body: sum of its members' values}``, None where one of them is None.

        `values` are torques or powers, as :mod:`gearlab.solve.loads` gives them.
        """
        found = {}
        for node in self.nodes:
            own = [values[member] for member in node.members]
            found[node.body] = None if None in own else sum(own, Fraction(0))
        return FrozenMap(found)

    def torques(self, values):
        """``{body: torque}`` that shafts and case bring to the lever's sets.

        In each set the torques sum to 0. A mesh on an axle in the case has no member
        there, so the case's torque is what the others leave.
        """
        found = dict(self.totals(values))
        if CASE in found:
            others = [torque for body, torque in found.items() if body != CASE]
            found[CASE] = None if None in others else -sum(others, Fraction(0))
        return FrozenMap(found)


def levers(train):
    """The levers of a train, those that share two bodies made one.

    Parameters
    ----------
    train : Train

    Returns
    -------
    tuple of :class:`Lever`, in the order of the file. A set is on none where its
    members leave other than two free motions, or where shafts lock it.

    Raises
    ------
    ValueError
        Something that is no train.

    >>> import gearlab
    >>> front, rear = levers(gearlab.load_train("five-range"))
    >>> {node.body: int(node.position) for node in front.nodes}
    {'front sun': 0, 'input shaft': 2, 'intermediate shaft': 3}
    >>> rear.sets, len(rear.nodes)
    (('middle', 'rear'), 4)
    """
    return _levers(a_train(train))


@lru_cache(maxsize=512)
def _levers(train):
    found = [set_lever(train, one.name) for one in train.sets]
    found = [lever for lever in found if lever]
    while True:
        merged = next(filter(None, starmap(_merged, combinations(found, 2))), None)
        if merged is None:
            return Several(found)
        # It takes the place of the first of the two.
        joined = [lever for lever in found if set(lever.sets) <= set(merged.sets)]
        found[found.index(joined[0])] = merged
        found.remove(joined[1])


@lru_cache(maxsize=512)
def set_lever(train, set_name):
    """The :class:`Lever` of one gear set by itself, or None if it has none.

    Raises ValueError, with the nearest name, for a set that is not there.

    >>> import gearlab
    >>> lever = set_lever(gearlab.load_train("six-range"), "rear")
    >>> [f"{node.members[0]} {node.position}" for node in lever.nodes]
    ['rear small sun 0', 'rear ring 4', 'rear carrier 6', 'rear large sun 11']
    """
    one = a_train(train).set(set_name)
    laws = [_on_bodies(train, one, mesh) for mesh in meshes(one)]
    bodies = list(dict.fromkeys(body for law in laws for body in law))
    rows = [[law.get(body, 0) for body in bodies] for law in laws]
    motions, _ = narrowed(unit_lines(len(bodies)), rows)
    between = _between(train, one, bodies)
    shown = [i for i, body in enumerate(bodies) if body not in between]
    # All turning as one is always a motion; what is left must be one motion more.
    apart = {
        primitive([motion[i] - motion[shown[0]] for i in shown]) for motion in motions
    }
    apart = [motion for motion in apart if any(motion)]
    if len({max(motion, _flipped(motion)) for motion in apart}) != 1:
        return None
    members = {
        bodies[i]: tuple(
            one.member(short)
            for short in one.members
            if train.body_of[one.member(short)] == bodies[i]
        )
        for i in shown
    }
    places = dict(zip(members, map(Fraction, apart[0]), strict=True))
    return _lever((set_name,), places, members)


def _on_bodies(train, one, mesh):
    """The law of a mesh as ``{body: coefficient}``; the case is a body too."""
    law = {}
    for short, coefficient in mesh_law(mesh).items():
        body = train.body_of[one.member(short)]
        law[body] = law.get(body, 0) + coefficient
    return law


def _between(train, one, bodies):
    """Planets: bodies of gears of this set alone, which only pass motion on.

    They mesh with two gears or more, and nothing outside the set touches them.
    """
    count = {}
    carriers = set()
    for mesh in meshes(one):
        carriers.add(train.body_of[one.member(mesh.carrier)])
        for gear in mesh.gears:
            body = train.body_of[one.member(gear)]
            count[body] = count.get(body, 0) + 1
    own = {one.member(short) for short in one.members}
    touched = {train.body_of[end] for end in (train.input, train.output)}
    for part in train.by_name.values():
        touched |= {train.body_of[side] for side in part.sides}
    return {
        body
        for body in bodies
        if count.get(body, 0) > 1
        and body not in carriers | touched | {CASE}
        and own.issuperset(train.members_of(body))
    }


def _flipped(vector):
    return tuple([-entry for entry in vector])


def _lever(sets, places, members):
    """A lever with its first body's side up, from 0, in smallest whole numbers."""
    first = next(iter(places))
    up = 1 if 2 * places[first] <= min(places.values()) + max(places.values()) else -1
    least = min(up * place for place in places.values())
    places = {body: up * place - least for body, place in places.items()}
    unit = Fraction(
        gcd(*[place.numerator for place in places.values()]),
        lcm(*[place.denominator for place in places.values()]),
    )
    nodes = [
        Node(body=body, members=members[body], position=place / unit)
        for body, place in places.items()
    ]
    nodes.sort(key=lambda node: node.position)
    return Lever(sets=sets, nodes=tuple(nodes))


def _merged(one, other):
    """Two levers as one, or None unless they share two bodies apart, and agree."""
    a, b = one.position, other.position
    shared = [body for body in a if body in b]
    apart = next((p for p in combinations(shared, 2) if a[p[0]] != a[p[1]]), None)
    if apart is None or b[apart[0]] == b[apart[1]]:
        return None
    first, second = apart
    stretch = (a[second] - a[first]) / (b[second] - b[first])
    moved = {body: a[first] + (b[body] - b[first]) * stretch for body in b}
    if any(moved[body] != a[body] for body in shared):
        # Three bodies in unlike proportions can only turn as one.
        return None
    members = {node.body: node.members for node in one.nodes}
    for node in other.nodes:
        members[node.body] = members.get(node.body, ()) + node.members
    return _lever(one.sets + other.sets, {**a, **moved}, members)
