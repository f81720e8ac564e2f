"""Lab 8, teeth: which counts go together, how many planets, when marks meet again.

The numbers are small enough to be checked at the panel, tooth by tooth.
"""

from fractions import Fraction

from ...ask.assembly import whole_planet
from ...ask.hunting import hunting, marks_together
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import WHOLE, Choice, Number, Row
from ..question.slips import slip
from .assembling import HALF, TOUCH, UNEVEN, troubles
from .common import (
    LEAST_PLANET,
    RINGS,
    SUNS,
    flow_in,
    in_proportion,
    load,
    one_of,
    possible_teeth,
    with_drawn_teeth,
)

GOES = "it goes together"
TRAIN, DRIVE = "lone-set", "sun to carrier"
# All marks of a set meet again within so many turns of the crank.
FEWEST, MOST = 8, 240
COUNTS = tuple(range(2, 9))  # of planets
LARGEST = 12  # planets in any set that is drawn


def train(given):
    """The lone set with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def _flow(given):
    return flow_in(train(given), DRIVE)


def draw(random):
    """Teeth of a set that goes together, and whose marks meet again."""
    sun, ring = random.choice(possible_teeth(4))
    drawn = {"single sun": sun, "single ring": ring}
    if in_proportion(load(TRAIN).set("single"), (sun, ring)):
        raise ValueError(f"{drawn} is in proportion to the worked case")
    if not FEWEST <= marks_together(_flow(drawn)) <= MOST:
        raise ValueError(f"the marks of {drawn} meet too seldom or too soon")
    return drawn


topic = Topics()


def _teeth(given):
    return f"Sun {given['single sun']}, ring {given['single ring']}."


def _counts(given):
    one = train(given).set("single").all_teeth
    return one["sun"], one["planet"], one["ring"]


@topic("one tooth more", prediction=True)
def one_tooth_more(given):
    """A prediction: a sun with one tooth more."""
    sun, _, ring = _counts(given)
    options = ("yes", "no, half a tooth is left over")
    fits = whole_planet(sun + 1, ring) is None
    return Choice(
        text=f"{_teeth(given)} The sun gets one tooth more. Does a planet of whole"
        " teeth still fit exactly?",
        options=options,
        answer=options[0] if fits else options[1],
        reason="Ring less sun must be even, and one tooth more makes it odd.",
    )


@topic("planet teeth")
def planet_teeth(given):
    """The planet between sun and ring."""
    sun, planet, ring = _counts(given)
    return Number(
        text=f"{_teeth(given)} How many teeth has a planet that fits between them?",
        answer=Fraction(planet),
        within=WHOLE,
        unit="teeth",
        slips=(
            slip("two gaps taken for one", Fraction(ring - sun)),
            slip("added for taken off", Fraction(ring + sun, 2)),
        ),
        hints=(
            "Go straight across: planet, sun, planet, and the ring around.",
            "What does the ring have more than the sun? Two planets share it.",
        ),
        reason="Ring = sun + 2 × planet, or the axes do not meet.",
    )


@topic("another planet count", prediction=True, draw=one_of(count=(3, 5, 6, 7, 8)))
def another_planet_count(given):
    """A prediction: another number of planets, spaced equally."""
    sun, _, ring = _counts(given)
    fits = UNEVEN not in troubles(sun, ring, given["count"])
    return Choice(
        text=f"{_teeth(given)} Could it have {given['count']} planets at equal angles?"
        " Leave aside whether they touch.",
        options=("yes", "no"),
        answer="yes" if fits else "no",
        reason="Sun and ring together must share out among the planets.",
    )


@topic("places for a planet")
def mesh_places(given):
    """The angle between two places where a planet fits."""
    sun, planet, ring = _counts(given)
    places = train(given).set("single").planet_places
    return Number(
        text=f"{_teeth(given)} Both stand still, and one planet is put in. What is the"
        " least angle to the next place where a planet fits?",
        answer=Fraction(360, places),
        within=Fraction(1, 20),
        unit="degrees",
        slips=(
            slip("only one gear counted", Fraction(360, ring)),
            slip("only one gear counted", Fraction(360, sun)),
            slip("only one gear counted", Fraction(360, planet)),
            slip("taken off for added", Fraction(360, ring - sun)),
        ),
        hints=(
            "Roll the planet on. It must find a tooth gap in both gears.",
            "In one round there are as many places as both have teeth together.",
        ),
        reason="There are sun + ring places in one round.",
    )


def _planets(count):
    return f"{count} planets"


@topic("equal spacing")
def equal_spacing(given):
    """The planet counts with whole places between them."""
    sun, _, ring = _counts(given)

    def dividing(teeth):
        return frozenset(_planets(n) for n in COUNTS if teeth % n == 0)

    fitting = [n for n in COUNTS if UNEVEN not in troubles(sun, ring, n)]
    return Row(
        text=f"{_teeth(given)} With how many planets can they stand at equal angles?"
        " Leave aside whether they touch.",
        options=tuple(_planets(n) for n in COUNTS),
        answer=frozenset(map(_planets, fitting)),
        slips=(
            slip("only one gear counted", dividing(ring)),
            slip("only one gear counted", dividing(sun)),
            slip("taken off for added", dividing(ring - sun)),
        ),
        hints=(
            "How many places are there in one round? They are shared out.",
            "The share of each planet must be a whole number of places.",
        ),
        reason="The sum of sun and ring is shared out without a rest.",
    )


def without(kind, sun, ring, counts):
    """The planet counts that go together, were it not for one kind of trouble."""
    return [n for n in counts if troubles(sun, ring, n) <= {kind}]


@topic("most planets")
def most_planets(given):
    """The most planets that go together."""
    sun, _, ring = _counts(given)
    counts = range(2, LARGEST + 1)
    found = {
        None: max(without(None, sun, ring, counts)),
        "the neighbours forgotten": max(without(TOUCH, sun, ring, counts)),
        "the spacing forgotten": max(without(UNEVEN, sun, ring, counts)),
    }
    answer = found.pop(None)
    return Number(
        text=f"{_teeth(given)} How many planets can it have at the most? They stand at"
        " equal angles, and half a module is left between the tips.",
        answer=Fraction(answer),
        within=WHOLE,
        unit="planets",
        slips=tuple(slip(name, Fraction(count)) for name, count in found.items()),
        hints=(
            "Begin with the counts that can be spaced equally.",
            "Try them on the panel, under teeth. Begin with the largest.",
        ),
        reason="Spacing and room must both be right.",
    )


def _two_marks(flow):
    """After how many input turns the marks of input and output are back."""
    return flow.speeds[flow.train.output].denominator


@topic("the planet's mark", prediction=True)
def planet_mark_too(given):
    """A prediction: whether the planets' marks come back with the others."""
    flow = _flow(given)
    options = ("yes", "no, it takes more turns")
    same = marks_together(flow) == _two_marks(flow)
    return Choice(
        text=f"{_teeth(given)} The ring is held and the sun drives. The marks of sun"
        " and carrier meet again at the top. Are the planets' marks back too?",
        options=options,
        answer=options[0] if same else options[1],
        reason="The planets have turns of their own, which must be whole as well.",
    )


@topic("two marks")
def two_marks(given):
    """When the marks of input and output meet again."""
    sun, _, ring = _counts(given)
    flow = _flow(given)
    return Number(
        text=f"{_teeth(given)} The ring is held and the sun drives. Sun and carrier"
        " have a mark each, at the top. After how many sun turns are both there again?",
        answer=Fraction(_two_marks(flow)),
        within=WHOLE,
        unit="turns",
        slips=(
            slip("output turns for input turns", Fraction(flow.ratio.denominator)),
            slip("a common divisor forgotten", Fraction(sun + ring)),
            slip(
                "the tooth ratio without the one", Fraction((flow.ratio - 1).numerator)
            ),
        ),
        hints=(
            "Write the ratio as a fraction of teeth. Make it as small as you can.",
            "Which of its two numbers counts the input turns?",
        ),
        reason="The upper number of the shortened ratio.",
    )


@topic("same teeth again")
def same_teeth_again(given):
    """Hunting: when the same two teeth of sun and planet meet again."""
    sun, planet, _ = _counts(given)
    pair = hunting(sun, planet)
    return Number(
        text=f"The carrier is held. Sun {sun}, planets of {planet}. A tooth of the sun"
        " stands in a marked gap of a planet. After how many sun turns does it first do"
        " so again?",
        answer=Fraction(pair.first_turns),
        within=WHOLE,
        unit="turns",
        slips=(
            slip("turns of the other gear", Fraction(pair.second_turns)),
            slip("a common divisor forgotten", Fraction(planet)),
            slip("teeth counted for turns", Fraction(pair.engagements)),
        ),
        hints=(
            "By how many teeth have both moved on? By the same number.",
            "That number goes into both tooth counts. Take the smallest one.",
        ),
        reason="The planet's teeth, without what both counts have in common.",
    )


@topic("all marks")
def all_marks(given):
    """When all marks of the set, planets too, are back where they were."""
    flow = _flow(given)
    parts = flow.speeds["single carrier"], flow.speeds["single planet"]
    carrier, planet = (speed.denominator for speed in parts)
    return Number(
        text=f"{_teeth(given)} The ring is held and the sun drives. Now look at the"
        " planets' marks too, from the bench. After how many sun turns are all as they"
        " were?",
        answer=Fraction(marks_together(flow)),
        within=WHOLE,
        unit="turns",
        slips=(
            slip("the planets forgotten", Fraction(carrier)),
            slip("multiplied, not shared", Fraction(carrier * planet)),
        ),
        hints=(
            "How far does the planet turn for one sun turn, from the bench?",
            "Find the least number that makes carrier and planet turns whole.",
        ),
        reason="It is the least count that makes every turn whole.",
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


def _ring(count):
    return f"ring {count}"


@topic("rings that fit", draw=draw_rings)
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


@topic("what is wrong", draw=draw_trouble)
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


topic.explain(
    "why whole",
    "Sun and ring are shared out among the planets, and the share must be"
    " whole. Explain why.",
    "A planet goes in only where both gears have a gap for it.",
    "In one round there are as many such places as sun and ring have teeth.",
    "Equal angles need a whole number of places between two planets.",
)


LAB = Lab(
    name="count-the-teeth",
    title="Count the teeth",
    level=2,
    core=False,
    minutes=40,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
