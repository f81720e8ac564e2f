"""Which tooth counts go together, and what is wrong with others.

What goes together is asked of :mod:`gearlab.ask.assembly`: whole planets on both
circles, equal spacing, and room between the tips.
"""

from functools import lru_cache

from ...ask.assembly import FITS, assembly_verdicts, whole_planet
from ...base.frozenmap import FrozenMap
from ...train.gearset import GearSet

HALF, UNEVEN, TOUCH = (
    "half a tooth is left over",
    "the planets cannot be spaced equally",
    "the planets come too near to each other",
)
TROUBLES = {"coaxial": HALF, "equal spacing": UNEVEN, "neighbours": TOUCH}


@lru_cache(maxsize=4096)
def troubles(sun, ring, planets):
    """What keeps a set from going together, as options of a question."""
    teeth = {"sun": sun, "ring": ring, "planet": whole_planet(sun, ring)}
    teeth = FrozenMap((key, count) for key, count in teeth.items() if count)
    bare = GearSet(name="single", kind="simple", teeth=teeth)
    try:
        verdicts = assembly_verdicts(
            GearSet(name="single", kind="simple", teeth=teeth, planets=planets)
        )
    except ValueError:  # the planets would lie in each other
        uneven = {UNEVEN} if bare.planet_places % planets else set()
        odd = {TROUBLES[v.rule] for v in assembly_verdicts(bare) if v.level != FITS}
        return frozenset({TOUCH} | uneven | odd)
    return frozenset(TROUBLES[v.rule] for v in verdicts if v.level != FITS)
