"""Which tooth counts go together, and what is wrong with others, as questions.

What goes together is asked of :mod:`gearlab.ask.assembly`: whole planets on both
circles, equal spacing, and room between the tips.
"""

from functools import lru_cache

from ...ask.assembly import FITS, assembly_verdicts, whole_planet
from ...base.frozenmap import FrozenMap
from ...train.gearset import GearSet
from ..question.question import Choice, Row
from ..question.slips import slip
from .common import LEAST_PLANET, RINGS, SUNS

GOES = "it goes together"
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


def without(kind, sun, ring, counts):
    """The planet counts that go together, were it not for one kind of trouble."""
    return [n for n in counts if troubles(sun, ring, n) <= {kind}]


def draw_trouble(random, given):
    """A set with one trouble, or with none."""
    wanted = random.choice((HALF, UNEVEN, TOUCH, GOES))
    while True:
        sun, ring = random.choice(SUNS), random.choice(RINGS)
        planets = random.choice((3, 4, 5, 6))
        if ring - sun < 2 * LEAST_PLANET:
            continue
        if troubles(sun, ring, planets) == {wanted} - {GOES}:
            return {"sun": sun, "ring": ring, "planets": planets}


def what_is_wrong(given):
    """What keeps three to six planets from going into a set."""
    found = troubles(given["sun"], given["ring"], given["planets"])
    (answer,) = found or {GOES}
    options = (GOES, HALF, UNEVEN, TOUCH)
    words = {
        GOES: "one rule is broken. Go through all three.",
        HALF: "sun and ring leave an even number. What else can be wrong?",
        UNEVEN: "share sun and ring out among the planets once more.",
        TOUCH: "there is room enough between the tips.",
    }
    names = {
        GOES: "a rule forgotten",
        HALF: "an even rest taken for odd",
        UNEVEN: "the spacing miscounted",
        TOUCH: "neighbours that do not touch",
    }
    return Choice(
        text=f"Sun {given['sun']}, ring {given['ring']}, {given['planets']} planets at"
        " equal angles, with usual teeth. What is wrong with it?",
        options=options,
        answer=answer,
        slips=tuple(
            slip(names[one], one, words[one]) for one in options if one != answer
        ),
        hints=(
            "Three rules: the planet's teeth, the angles, the room between tips.",
            "Take ring less sun first. Then share out their sum.",
        ),
        reason="All three rules must hold at once.",
    )


def draw_rings(random, given):
    """A sun, a number of planets, and rings of which one or more go together."""
    sun, planets = given["single sun"], random.choice((3, 4, 5))
    while True:
        least = random.choice(RINGS)
        rings = list(range(least, least + 7))
        if least - sun < 2 * LEAST_PLANET:
            continue
        if any(not troubles(sun, ring, planets) for ring in rings):
            return {"planets": planets, "rings": rings}


def rings_that_fit(given):
    """Which rings go with a sun and a number of planets."""
    sun = given["single sun"]
    found = {ring: troubles(sun, ring, given["planets"]) for ring in given["rings"]}

    def those(*allowed):
        return frozenset(_ring(r) for r in found if found[r] <= {*allowed})

    return Row(
        text=f"Sun {sun}, {given['planets']} planets at equal angles. Which rings fit"
        " with usual teeth?",
        options=tuple(map(_ring, given["rings"])),
        answer=those(),
        slips=(
            slip("the half tooth forgotten", those(HALF)),
            slip("the spacing forgotten", those(UNEVEN)),
            slip("the neighbours forgotten", those(TOUCH)),
        ),
        hints=(
            "Strike out every ring that leaves half a tooth.",
            "Of the others, share out sun and ring among the planets.",
        ),
        reason="Whole planets, equal angles, and room between the tips.",
    )


def _ring(count):
    return f"ring {count}"
