"""Hunting teeth and paint marks: after how long things come together again."""

from dataclasses import dataclass
from math import gcd, lcm

from ..base import checks
from ..solve.powerflow import a_flow


@dataclass(frozen=True, kw_only=True)
class Hunting:
    """When the same two teeth of a pair of gears meet again.

    `engagements` counts teeth that pass the mesh; the two gears turn `first_turns` and
    `second_turns` whole turns meanwhile, on a carrier at rest.
    """

    teeth: tuple[int, int]
    common: int  # the largest common divisor of the two tooth counts
    engagements: int
    first_turns: int
    second_turns: int

    @property
    def hunts(self):
        """Whether each tooth meets every tooth of the other gear: no common divisor."""
        return self.common == 1

    @property
    def meets(self):
        """How many teeth of the second gear one tooth of the first one meets."""
        return self.teeth[1] // self.common


def hunting(first, second):
    """The :class:`Hunting` of two gears in mesh, from their tooth counts [teeth].

    engagements = lcm(Za, Zb); turns of *a* = Zb / gcd, turns of *b* = Za / gcd
    (*Encyclopædia Britannica*, 11th edition, "Mechanics", equations 20 to 22).
    ValueError for what is no tooth count.

    >>> pair = hunting(11, 25)
    >>> pair.engagements, pair.first_turns, pair.second_turns, pair.hunts
    (275, 25, 11, True)
    """
    first = checks.teeth(first, "the first gear")
    second = checks.teeth(second, "the second gear")
    common = gcd(first, second)
    return Hunting(
        teeth=(first, second),
        common=common,
        engagements=lcm(first, second),
        first_turns=second // common,
        second_turns=first // common,
    )


def marks_together(flow):
    """After how many input turns all paint marks are back where they started [turns].

    Marks of suns, rings, carriers and planets, seen from the ground: a planet's mark
    is back when its carrier is at the start and the planet stands as it stood. It is
    the lowest common multiple of the denominators of all speeds. None where a speed
    is not determined, or the input cannot turn.

    Parameters
    ----------
    flow : PowerFlow

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> marks_together(gearlab.power_flow(train, "4"))
    1
    """
    a_flow(flow)
    speeds = flow.speeds.values()
    if None in speeds or not flow.speeds[flow.train.input]:
        return None
    return lcm(*(speed.denominator for speed in speeds))
