"""When the vehicle rolls against its range: what holds it, or how the input turns."""

from dataclasses import dataclass
from fractions import Fraction

from ..base.brief import Brief
from ..base.cone import Cone, dot, half_cone
from ..base.numerals import exactly, listed
from ..base.smallest import smallest_sets
from ..solve.equilibrium import Situation
from ..solve.powerflow import power_flow
from ..train.train import Train, a_train

HELD, FREE = "held", "rolls free"
BACKWARD, FORWARD = "turns the input backward", "turns the input forward"


@dataclass(frozen=True, kw_only=True, repr=False)
class RollBack(Brief):
    """What a train does when its output is turned against its range.

    `input_turns` are the input turns nearest to rest that one output turn in the
    direction of `way` allows, positive forward: 0 where the vehicle rolls free, None
    where it is held. `held_by` is a smallest set of elements and one-way clutches that
    makes it so, `holding` the one-way clutches among them.
    """

    train: Train
    range: str | None
    applied: frozenset
    way: int  # −1: the vehicle rolls backward; +1: forward, where it is in reverse
    state: str  # "held", "rolls free", "turns the input backward" or "... forward"
    input_turns: Fraction | None
    held_by: frozenset
    holding: frozenset

    @property
    def words(self):
        """What happens, in one sentence."""
        vehicle = f"rolls {'forward' if self.way > 0 else 'backward'}"
        names = self.train.in_order(self.held_by)
        hold = listed(names) if names else "the train itself"
        verb = "hold" if len(names) > 1 else "holds"
        shaft = f"the {self.train.body_of[self.train.input]}"
        if self.state == HELD:
            return f"If the vehicle {vehicle}, {hold} {verb} the output."
        if self.state == FREE:
            return f"If the vehicle {vehicle}, it rolls free and {shaft} can rest."
        where = "forward" if self.state == FORWARD else "backward"
        size = abs(self.input_turns)
        least = f"{exactly(size)} turn{'' if size == 1 else 's'}"
        return (
            f"If the vehicle {vehicle}, each output turn turns {shaft} {where},"
            f" {least} at the least, through {hold}."
        )


def roll_back(train, range=None, *, applied=None):
    """The :class:`RollBack` of a range, or of any applied elements.

    The output turns against its direction under drive; where nothing drives it, it
    turns backward. What can happen is read from the cone of allowed motions: if none
    of them turns the output that way, it is held; if one does with the input at rest,
    the vehicle rolls free; else each of them turns the input, all the same way.

    Parameters
    ----------
    train : Train
    range : the name of a range of the train; or leave it out and give
    applied : names of holding elements and locks

    Raises
    ------
    ValueError
        An unknown range or element, or both a range and elements.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> roll_back(train, "4").words
    ... # doctest: +NORMALIZE_WHITESPACE
    'If the vehicle rolls backward, the forward clutch, the direct clutch and the
    low one-way clutch hold the output.'
    >>> roll_back(train, "1 low").input_turns
    Fraction(-17, 6)
    """
    a_train(train)
    driving = power_flow(train, range, applied=applied)
    situation = Situation(train, driving.applied)
    way = 1 if driving.ratio is not None and driving.ratio < 0 else -1
    turns = _nearest_to_rest(situation, situation.cone, way)
    held_by = frozenset() if turns == 0 else _smallest(situation, way, turns)
    return RollBack(
        train=train,
        range=driving.range,
        applied=driving.applied,
        way=way,
        state=_state(turns),
        input_turns=turns,
        held_by=held_by,
        holding=frozenset(held_by & situation.one_way.keys()),
    )


def _state(turns):
    if turns is None:
        return HELD
    return FREE if not turns else FORWARD if turns > 0 else BACKWARD


def _nearest_to_rest(situation, cone, way):
    """The least input turns, with their sign, for an output turn that way, or None.

    What a cone allows for one output turn is an interval of input turns: its rays that
    turn the output give points, the others and its lines say where it has no end.
    """
    row = tuple([way * entry for entry in situation.output])
    lines, rays, _ = half_cone(cone, row)
    shadows = [(dot(situation.input, ray), dot(row, ray)) for ray in rays]
    points = [Fraction(turned, out) for turned, out in shadows if out]
    if not points:
        return None
    endless = [turned for turned, out in shadows if not out]
    if any(dot(situation.input, line) for line in lines):
        return Fraction(0)
    if min(points) > 0 and min(endless, default=0) >= 0:
        return min(points)
    if max(points) < 0 and max(endless, default=0) <= 0:
        return max(points)
    return Fraction(0)


def _smallest(situation, way, turns):
    """The first by size, then file order, that alone leaves the same input turns."""

    def open_way(cone):
        return _nearest_to_rest(situation, cone, way) != turns

    found = smallest_sets(Cone(situation.free.lines), situation.parts(), open_way)
    return frozenset(found[0])
