"""Shifts: what goes off and on, what happens by itself, and the steps of a train.

A vehicle does not change its speed during a shift, so the speeds before and after are
told at one output speed.
"""

from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, pairwise

from ..base import checks
from ..base.brief import Brief, Several
from ..base.frozenmap import FrozenMap
from ..base.numerals import exactly, listed
from ..solve.equilibrium import DRIVES, NEUTRAL, TIED_UP
from ..solve.powerflow import PowerFlow, power_flow
from ..train.train import CASE, Train, a_train

MOST_CHANGES = 10


@dataclass(frozen=True, kw_only=True, repr=False)
class Shift(Brief):
    """A shift between two flows of a train.

    Speeds are per input speed before, at one output speed; `slips` are the speed of the
    side on which an element's torque is counted, less the other side's. All of them,
    `step` and `input_change` are None after the shift where one of the flows has no
    ratio or the two turn the output opposite ways: that is no shift on the move.
    """

    train: Train
    before: PowerFlow
    after: PowerFlow
    off: frozenset  # elements that are released
    on: frozenset  # elements that are applied
    kind: str  # "none", "single" (at most one off and one on) or "double"
    by_itself: FrozenMap  # {one-way clutch that carries: "lets go" or "catches"}
    backed_up: FrozenMap  # the same of those that back up an applied element
    step: Fraction | None  # ratio before / ratio after
    input_change: Fraction | None  # input speed after / before
    speeds: FrozenMap  # {member or shaft: (before, after)}
    slips: FrozenMap  # {element, lock or one-way clutch: (before, after)}

    @property
    def words(self):
        """The shift in one sentence."""
        said = [f"the {name} goes off" for name in self.train.in_order(self.off)]
        said += [f"the {name} comes on" for name in self.train.in_order(self.on)]
        said += [f"the {one} {does} by itself" for one, does in self.by_itself.items()]
        said += [
            f"the {name} {does} beside an applied element"
            for name, does in self.backed_up.items()
        ]
        what = {"none": "the same elements"}.get(self.kind, f"a {self.kind} shift")
        step = f"; step {exactly(self.step)}" if self.step is not None else ""
        done = f": {', '.join(said)}" if said else ""
        ends = f"{_title(self.before)} to {_title(self.after)}"
        return f"{ends[:1].upper()}{ends[1:]}, {what}{done}{step}."


@dataclass(frozen=True, kw_only=True, repr=False)
class MidShift(Brief):
    """What happens while some elements of a shift have moved and others have not.

    `word` is "tie-up", "output locked", "flare" (a ratio above both, or neutral),
    "lower range" (a ratio above both, on coast), "higher range" (below both),
    "between", "as before", "as after", "other way" (the output turns against both),
    "freewheels" (on coast), or "drives" (neither end of the shift does).
    """

    early: frozenset  # elements that have moved
    late: frozenset  # elements that have not
    flow: PowerFlow
    word: str
    like: tuple  # ranges with the same ratio

    _columns = ("already moved", "still to move", "gives", "what that is")

    @property
    def _cells(self):
        return *(listed(names, "") for names in self._sides), self._gives, self.word

    @property
    def words(self):
        """What happens, in one sentence."""
        said = "" if self.word in (self.flow.state, "tie-up") else f": {self.word}"
        early, late = map(listed, self._sides)
        return f"Already moved: {early}; still to move: {late}; {self._gives}{said}."

    @property
    def _sides(self):
        return map(self.flow.train.in_order, (self.early, self.late))

    @property
    def _gives(self):
        ratio = self.flow.ratio
        what = self.flow.state if ratio is None else f"ratio {exactly(ratio)}"
        return what + (f", like range {' and '.join(self.like)}" if self.like else "")


@dataclass(frozen=True, kw_only=True, repr=False)
class ShiftTable(Brief):
    """The forward ranges of a train with their shifts, lowest range first."""

    ranges: tuple[str, ...]
    ratios: tuple[Fraction, ...]
    shifts: tuple[Shift, ...]
    spread: Fraction  # first ratio / last ratio

    _heads = ("shift", "ratio before", "ratio after", "step", "kind")

    @property
    def _brief(self):
        return f"ranges {', '.join(self.ranges)}, spread {self.spread}"

    @property
    def _lead(self):
        return f"Ranges {', '.join(self.ranges)}: spread {exactly(self.spread)}."

    @property
    def _rows(self):
        return [
            (
                f"{made.before.range} to {made.after.range}",
                exactly(made.before.ratio),
                exactly(made.after.ratio),
                exactly(made.step),
                made.kind,
            )
            for made in self.shifts
        ]

    @property
    def steps(self):
        """Ratio before / ratio after, for each shift."""
        return tuple(shift.step for shift in self.shifts)


def shift(train, before, after, *, load="drive"):
    """The :class:`Shift` from one range to another.

    Parameters
    ----------
    train : Train
    before, after : the name of a range, or the names of the applied elements
    load : "drive" (the input drives) or "coast" (the output drives)

    Raises
    ------
    ValueError
        An unknown range, element or load.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> hard = shift(train, "2", "3")
    >>> hard.kind, hard.step, dict(hard.by_itself)
    ('double', Fraction(51, 38), {'low one-way clutch': 'lets go'})
    """
    a_train(train)
    return shift_of(*(_flow(train, given, load) for given in (before, after)))


def shift_of(first, second):
    """The :class:`Shift` from one flow to another of the same train and load."""
    off, on = first.applied - second.applied, second.applied - first.applied
    most = max(len(off), len(on))
    ratios = first.ratio, second.ratio
    moving = None not in ratios and ratios[0] * ratios[1] > 0
    change = ratios[1] / ratios[0] if moving else None
    after_speeds = {
        name: None if None in (change, speed) else speed * change
        for name, speed in second.speeds.items()
    }
    by_itself, backed_up = _passing(first, second)
    slips = {
        name: (_slip(part, first.speeds), _slip(part, after_speeds))
        for name, part in first.train.by_name.items()
    }
    return Shift(
        train=first.train,
        before=first,
        after=second,
        off=off,
        on=on,
        kind="double" if most > 1 else "single" if most else "none",
        by_itself=FrozenMap(by_itself),
        backed_up=FrozenMap(backed_up),
        step=1 / change if moving else None,
        input_change=change,
        speeds=FrozenMap(
            (name, (speed, after_speeds[name])) for name, speed in first.speeds.items()
        ),
        slips=FrozenMap(slips),
    )


def early_late(shift):
    """A tuple of :class:`MidShift`: each way in which elements can be early or late.

    Those where the fewest elements have moved come first.

    Parameters
    ----------
    shift : Shift

    Raises
    ------
    ValueError
        Something that is no shift, or one in which more than 10 elements change.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> for row in early_late(shift(train, "1", "2")):
    ...     print(row.words)  # doctest: +ELLIPSIS
    Already moved: the overdrive brake; still to move: ...; tied up.
    Already moved: the front lock clutch; ...; ratio 2.833 (17/6), like ...: as before.
    """
    checks.given(shift, Shift, "a shift", 'write gl.shift(train, "1", "2")')
    train, load = shift.train, shift.before.load
    changing = train.in_order(shift.off | shift.on)
    if len(changing) > MOST_CHANGES:
        raise ValueError(
            f"{len(changing)} elements change in this shift, but early and late are"
            f" told for {MOST_CHANGES} at most; take two ranges that are more alike"
        )
    ratios = {
        row.name: power_flow(train, row.name, load=load).ratio for row in train.ranges
    }
    rows = []
    for count in range(1, len(changing)):
        for names in combinations(changing, count):
            early = frozenset(names)
            flow = power_flow(train, applied=shift.before.applied ^ early, load=load)
            like = [
                name
                for name, ratio in ratios.items()
                if ratio is not None and ratio == flow.ratio
            ]
            rows.append(
                MidShift(
                    early=early,
                    late=frozenset(changing) - early,
                    flow=flow,
                    word=word_of(shift, flow),
                    like=tuple(like),
                )
            )
    return Several(rows)


def shift_table(train, *, ranges=None):
    """The :class:`ShiftTable` of a train.

    Parameters
    ----------
    train : Train
    ranges : names of ranges that drive forward, in the order of shifting. Without it
        they are all forward ranges, from the largest ratio to the smallest; of those
        with one ratio the first in the apply chart.

    Raises
    ------
    ValueError
        No range drives forward, or one that is named does not.

    >>> import gearlab
    >>> table = shift_table(gearlab.load_train("five-range"))
    >>> table.ranges, [str(step) for step in table.steps], str(table.spread)
    (('1', '2', '3', '4', '5'), ['3/2', '51/38', '38/27', '3/2'], '17/4')
    """
    a_train(train)
    names = train.range_names
    if ranges is not None:
        names = tuple(map(str, checks.name_list(ranges, "ranges")))
    ratios = {name: power_flow(train, name).ratio for name in names}
    forward = [name for name in names if ratios[name] is not None and ratios[name] > 0]
    if ranges is None:
        firsts = {}
        for name in forward:
            firsts.setdefault(ratios[name], name)
        forward = [firsts[ratio] for ratio in sorted(firsts, reverse=True)]
    elif len(forward) < len(names):
        odd = next(name for name in names if name not in forward)
        raise ValueError(
            f'range "{odd}" does not drive the output forward, but steps are told'
            " between forward ranges; leave it out"
        )
    if not forward:
        raise ValueError(
            "no range that drives the output forward is given, but steps are told"
            " between such ranges; write them under [ranges]"
        )
    return ShiftTable(
        ranges=tuple(forward),
        ratios=tuple(ratios[name] for name in forward),
        shifts=tuple(shift(train, a, b) for a, b in pairwise(forward)),
        spread=ratios[forward[0]] / ratios[forward[-1]],
    )


def _flow(train, given, load):
    """The flow of a range by its name, or of applied elements."""
    if isinstance(given, (str, int)):
        return power_flow(train, given, load=load)
    names = checks.name_list(given, "a side of a shift")
    return power_flow(train, applied=names, load=load)


def _passing(before, after):
    """One-way clutches that pass between rest and overrunning: carrying, backed up."""
    by_itself, backed_up = {}, {}
    for part in before.train.one_way_clutches:
        for rest, free, does in (
            (before, after, "lets go"),
            (after, before, "catches"),
        ):
            if part.name in free.overrunning & rest.backing_up.keys():
                backed_up[part.name] = does
            elif part.name in free.overrunning & rest.holding:
                by_itself[part.name] = does
    return by_itself, backed_up


def _slip(part, speeds):
    """The speed of the side where torque is counted less the other's, or None."""
    first, second = (0 if side == CASE else speeds[side] for side in part.sides)
    return None if None in (first, second) else Fraction(first - second)


def word_of(shift, flow):
    """What a state between the two ends of a shift is."""
    for end, word in ((shift.before, "as before"), (shift.after, "as after")):
        if (flow.state, flow.ratio) == (end.state, end.ratio):
            return word
    driving = flow.load == "drive"
    if flow.state != DRIVES:
        loose = "flare" if driving else "freewheels"
        return {TIED_UP: "tie-up", NEUTRAL: loose}.get(flow.state, flow.state)
    ends = [end.ratio for end in (shift.before, shift.after) if end.ratio is not None]
    same_way = [abs(ratio) for ratio in ends if ratio * flow.ratio > 0]
    if not same_way:
        return "other way" if ends else "drives"
    if abs(flow.ratio) > max(same_way):
        return "flare" if driving else "lower range"
    return "higher range" if abs(flow.ratio) < min(same_way) else "between"


def _title(flow):
    if flow.range is not None:
        return f"range {flow.range}"
    names = flow.train.in_order(flow.applied)
    return checks.quoted(names) if names else "nothing applied"
