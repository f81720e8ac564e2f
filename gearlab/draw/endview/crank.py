"""The crank's handle: a knob on what turns with the input, for a page to turn it by.

It is drawn over all gears, in a group that turns as its member does, at a place where
the member has neither its mark nor its arrow.
"""

from ...train.train import CASE
from ..kit.owner import CRANK
from ..kit.shapes import Circle, Group
from .gaps import between, carrier_spot, covered_to, gaps_of, roomiest
from .parts import point

_SIZE, _LEAST = 0.83, 0.5  # of a knob where there is room, and anywhere [letter sizes]
_REACH = 1.5  # of the area round it that is touched, in knobs
_ASIDE = 0.125  # from the mark of a sun, where a standing letter is not [turns]
_OPPOSITE = 0.2  # from the mark of a ring, away from its letter [turns]
_PARTS = ("ring", "carrier", "sun", "other")  # the best to turn first


def handled(view):
    """The member that carries the handle; None where none turns with the input.

    A member of the input itself comes before one that a closed clutch joins to it.
    """
    bodies, train = _with_input(view.flow), view.flow.train
    found = [
        (bodies.index(body), _PARTS.index(view.part(short)), short)
        for short in view.gear_set.members
        if view.part(short) in _PARTS
        and (body := train.body_of[view.gear_set.member(short)]) in bodies
    ]
    return min(found)[2] if found and view.crank else None


def _with_input(flow):
    """The bodies that turn as one with the input, that of the input first."""
    train = flow.train
    found = [train.body_of[train.input]]
    closed = train.in_order(flow.applied | flow.holding)
    pairs = [[train.body_of[side] for side in train.by_name[n].sides] for n in closed]
    for body in found:
        for pair in pairs:
            if body in pair and CASE not in pair:
                found += [other for other in pair if other not in found]
    return found


def knob(view, short, at, room):
    """The handle on a member at a point of it; `room` is round that point [px]."""
    x, y = at
    r = max(_LEAST * view.font, min(_SIZE * view.font, room))
    shapes = tuple(
        Circle(x=0.0, y=0.0, r=round(part * r, 2), role=role)
        for part, role in ((_REACH, "touch"), (1.0, "knob"), (0.42, "knob ring"))
    )
    handle = Group(x=x, y=y, shapes=shapes, of=CRANK)
    part = short.replace(" ", "-")
    return Group(turn=view.turn(short), part=part, shapes=(handle,))


def on_disc(view, short, outer, inner=0.0, turn=-_ASIDE):
    """The handle on a gear, between what lies on it in the middle and its body's edge.

    Where it has no room there it reaches beyond the edge.
    """
    r = max(_LEAST * view.font, min(_SIZE * view.font, 0.36 * outer))
    letter = (0.65 + 0.3 * len(view.letter(short))) * view.font
    at = point(max(outer - r, inner + r, letter + r), turn * view.hand)
    return knob(view, short, at, r)


def on_rim(view, short, low, high):
    """The handle on a ring between two radii, as wide as it is or a little wider."""
    at = point((low + high) / 2, -_OPPOSITE * view.hand)
    return knob(view, short, at, 0.6 * (high - low))


def on_gears(view, found, radius):
    """The handle in a picture of gears whose ring has an outer radius."""
    short = handled(view)
    if short is None:
        return
    if view.part(short) == "ring":
        ring = found.ring.teeth
        yield on_rim(view, short, ring.pitch if view.big else ring.root, radius)
    elif view.part(short) == "carrier":
        *at, room = _on_plate(view, found)
        yield knob(view, short, at, room)
    else:
        gear = next(gear for gear in found.middle if gear.short == short)
        turn, (_, gaps) = -_ASIDE, gaps_of(found, 1)
        if found.middle[1:]:
            # The letter of the sun behind is on that side.
            turn = gaps[0][0] if gaps and gear.behind else _ASIDE
        yield on_disc(view, short, gear.teeth.root, covered_to(found, gear), turn)


def _on_plate(view, found):
    """Where a carrier has room besides its letter and its arrow: (x, y, room)."""
    font, (middle, gaps) = view.font, gaps_of(found, view.hand)
    signs = between(found, view.hand, round(1.5 * font, 1))
    *at, room = carrier_spot(found, font, view.hand)
    # The letter of a gear that is covered, and its own.
    taken = [*signs[1:], (*at, round(1.2 * font if room else font, 1))]
    if gaps:
        at, half = gaps[1 if signs else -1]
        turns = [at + min(0.21, half) * part / 3 for part in range(-3, 4)]
        taken += [(*point(middle, turn), round(0.4 * font, 1)) for turn in turns]
    return roomiest(found, found.ring.teeth.tip, tuple(taken), view.hand)
