"""From counts to tooth counts, as questions: the rule of assembly, and what is open.

A count sees the proportion of a set only, and it sees it through the error of reading.
"""

from fractions import Fraction
from functools import lru_cache

from ...base.numerals import turns
from ..question.question import WHOLE, Choice, Number
from ..question.slips import WORDS, slip
from .common import flow_in, load, planets_of, possible_teeth
from .count_and_compare import least_turns
from .mishaps import READ
from .proportions import ratio_with, teeth_in_words, whole
from .unit import TRAIN, train


def draw_ring(random, given):
    """A count of reverse that leaves one ring for the student's rear sun."""
    sun, ring = given["rear sun"], given["rear ring"]
    planets, found = load(TRAIN).set("rear").planets, []
    for over in (2, 3, 4):
        exact = over * abs(flow_in(train(given), "R").ratio) / READ
        for eighths in {int(exact), int(exact) + 1}:
            if _rings(sun, planets, eighths * READ, over) == [ring]:
                found.append({"over": over, "eighths": eighths, "planets": planets})
    if not found:
        raise ValueError(f"the counts leave more than ring {ring} for sun {sun}")
    # Where the nearest whole number is no ring that fits, there is more to think of.
    hard = [
        one for one in found if whole(sun * one["eighths"] * READ / one["over"]) != ring
    ]
    return random.choice(hard or found)


def _rings(sun, planets, count, over):
    """The rings that go with a rear sun and agree with a count of reverse."""
    return [
        ring
        for other, ring in possible_teeth(planets)
        if other == sun
        and abs(over * abs(ratio_with("R", "rear", sun, ring)) - count) <= READ
    ]


def ring_that_fits(given):
    """The ring teeth from a rough count and the rule of assembly."""
    sun, over, count = given["rear sun"], given["over"], given["eighths"] * READ
    planets = planets_of(given)
    (ring,) = _rings(sun, planets, count, over)
    return Number(
        text=f"The rear sun has {sun} teeth, as you counted. Its {planets} planets are"
        f" equally spaced. Range R: the output made {over} turns backward. The input"
        f" made {turns(count)}, give or take an eighth. How many teeth has the rear"
        " ring?",
        answer=Fraction(ring),
        within=WHOLE,
        unit="teeth",
        slips=(
            slip("the rule of assembly forgotten", whole(sun * count / over)),
            slip("the turns not shared out", whole(sun * count)),
            slip("ring and sun swapped", whole(sun * over / count)),
        ),
        hints=(
            "Ring over sun is about the count. Between which ring counts must it lie?",
            "Sun and ring together must share out among the planets.",
        ),
        reason="The count leaves a few rings, and assembly leaves one of them.",
    )


@lru_cache
def _lookalikes():
    """For each front set with a twin: the twins, and what only looks like one.

    What looks like one has the same difference or the same sum of teeth.
    """
    possible = possible_teeth(load(TRAIN).set("front").planets)
    found = []
    for sun, ring in possible:
        alike = [one for one in possible if _near(one, (sun, ring))]
        twins = [one for one in alike if one[0] * ring == one[1] * sun]
        apart = [one for one in possible if one not in alike]
        adding = [one for one in apart if one[1] - one[0] == ring - sun]
        summing = [one for one in apart if one[1] + one[0] == ring + sun]
        if len(twins) > 1 and adding and summing:
            twins.remove((sun, ring))
            found.append(((sun, ring), twins, adding, summing, apart))
    return tuple(found)


def _near(one, other):
    """Whether a count over a few turns would not tell two sets apart."""
    return abs(one[0] / one[1] - other[0] / other[1]) < 0.02


def draw_twins(random, given):
    """A front set, one with the same proportion, and three that only look like it."""
    fits, *kinds = random.choice(_lookalikes())
    pairs = {random.choice(kind) for kind in kinds}
    while len(pairs) < 4:
        pairs.add(random.choice(kinds[-1]))
    shuffled = random.sample([list(pair) for pair in sorted(pairs)], 4)
    return {"fits": list(fits), "pairs": shuffled}


def same_counts(given):
    """Which other teeth give just the same counts."""
    fits, pairs = given["fits"], given["pairs"]
    ratio = ratio_with("5", "front", *fits)
    same = [p for p in pairs if ratio_with("5", "front", *p) == ratio]
    if len(same) != 1:
        raise ValueError(f"{len(same)} of {pairs} give the same counts")

    def named(name, alike):
        rest = [p for p in pairs if p not in same and alike(p)]
        return [
            slip(name, teeth_in_words(*p), f"{p[0]} and {p[1]}: {WORDS[name]}")
            for p in rest
        ]

    return Choice(
        text=f"A front set with {teeth_in_words(*fits)} agrees with all your counts."
        " Which other front set agrees just as well?",
        options=tuple(teeth_in_words(*pair) for pair in pairs),
        answer=teeth_in_words(*same[0]),
        slips=(
            *named(
                "the same added to both", lambda p: p[1] - p[0] == fits[1] - fits[0]
            ),
            *named("the same sum kept", lambda p: p[1] + p[0] == fits[1] + fits[0]),
            *(
                slip("another proportion", teeth_in_words(*pair),
                     f"{pair[0]} over {pair[1]} is another proportion.")
                for pair in pairs
            ),
        ),
        hints=(
            "A count sees one thing of a set only. Which one?",
            "Divide sun by ring for each of them.",
        ),
        reason="Counts see the proportion. A common factor leaves no trace in them.",
    )  # fmt: skip


def draw_two(random, given):
    """Two rear sets that one turn cannot tell apart, but a few can."""
    possible = possible_teeth(load(TRAIN).set("rear").planets)
    while True:
        pair = random.sample(possible, 2)
        ratios = [Fraction(ring, sun) for sun, ring in pair]
        if ratios[0] != ratios[1] and 1 < least_turns(*ratios, READ) < 10:
            return {"two": [list(one) for one in pair]}


def turns_that_tell(given):
    """The fewest output turns of reverse that tell two rear sets apart."""
    one, other = given["two"]
    ratios = [abs(ratio_with("R", "rear", *teeth)) for teeth in (one, other)]
    return Number(
        text=f"Two rear sets are in question. One has {teeth_in_words(*one)}, the other"
        f" {teeth_in_words(*other)}. You count range R, and read to an eighth of a"
        " turn. After how many output turns, at the least, are you sure which it is?",
        answer=Fraction(least_turns(*ratios, READ)),
        within=WHOLE,
        unit="turns",
        slips=(
            slip(
                "only one of two errors",
                Fraction(least_turns(*ratios, READ / 2)),
            ),
            slip("the reading taken as sure", Fraction(1)),
        ),
        hints=(
            "How far apart are the two counts after one output turn?",
            "The gap grows with each turn. It must exceed both errors together.",
        ),
        reason="The gap grows turn by turn, and the error of reading does not.",
    )
