"""Lab 10, recover the teeth: from counted turns to proportions and tooth counts.

Which counts to make, what each says of which set, and what no count can tell.
"""

from fractions import Fraction
from itertools import combinations

from ...numerals import listed, number, turns
from ..papers import Lab, Topic
from ..question import Choice, Explanation, Number, Row
from ..slips import reciprocal, slip
from .common import flow_in, load, one_of, possible_teeth
from .count_and_compare import least_turns
from .mishaps import READ, read_off
from .proportions import (
    COUNTED,
    LARGER,
    SAME,
    SMALLER,
    change_of,
    moves_in,
    ranges_with,
    ratio_with,
    sets_in,
    settles,
    suns_for,
    teeth_in_words,
    whole,
)
from .unit import TRAIN, draw, train

SETS = ("front", "middle", "rear")
PLANS = tuple(combinations(COUNTED, 3))
OVER = {"R": 10, "3": 10, "5": 20}  # output turns, so that reading hardly matters


def fourth_tells(given):
    """A prediction: what the count of fourth range says of the teeth."""
    told = [f"the {name} set's teeth" for name in SETS if name in sets_in("4")]
    options = ("nothing", *(f"the {name} set's teeth" for name in SETS))
    return Choice(
        text="You count range 4. What does that count tell you of the teeth?",
        options=options,
        answer=told[0] if told else options[0],
    )


def larger_middle_sun(given):
    """A prediction: what a larger middle sun does to third range."""
    less, more = (
        ratio_with("3", "middle", sun, 78) for sun in suns_for("middle", 78)[:2]
    )
    return Choice(
        text="The middle sun gets more teeth, and its ring stays. What happens to the"
        " ratio of range 3?",
        options=(LARGER, SMALLER, SAME),
        answer=change_of(less, more),
    )


def two_units_alike(given):
    """A prediction: whether equal counts mean equal teeth."""
    options = ("yes", "no, others may fit too")
    other = {each: ratio_with(each, "rear", 28, 84) for each in COUNTED}
    alike = all(flow_in(load(TRAIN), each).ratio == other[each] for each in COUNTED)
    return Choice(
        text="Two units give the same count in every range. Must they have the same"
        " teeth?",
        options=options,
        answer=options[1] if alike else options[0],
    )


def ranges_that_tell(given):
    """The ranges whose counts depend on the teeth of a set."""
    mine = given["set"]
    return Row(
        text=f"Other teeth are put into the {mine} set, and nothing else changes. Which"
        " ranges now count otherwise?",
        options=COUNTED,
        answer=ranges_with(mine),
        slips=(
            slip("turning taken for deciding", moves_in(mine)),
            *(
                slip("another set taken", ranges_with(name))
                for name in SETS
                if name != mine
            ),
        ),
        hints=(
            "Take the table of products. Which of its factors hold that set's teeth?",
            "A set decides where it carries torque. It may turn along and carry none.",
        ),
        reason="A set decides a range only where its teeth carry the power.",
    )


def draw_plans(random, given):
    """One plan that settles all sets, and three that do not."""
    good = random.choice([plan for plan in PLANS if settles(plan)])
    bad = [plan for plan in PLANS if not settles(plan)]
    # One plan sees every set, and yet one of its counts follows from the others.
    sly = random.choice([plan for plan in bad if not _left_out(plan)])
    others = random.sample([plan for plan in bad if plan != sly], 2)
    plans = [good, sly, *others]
    random.shuffle(plans)
    return {"plans": [list(plan) for plan in plans]}


def _left_out(plan):
    return set(SETS) - frozenset().union(*map(sets_in, plan))


def plan_of_counts(given):
    """Which three counts settle the proportions of all three sets."""
    plans = {listed(plan, article=""): tuple(plan) for plan in given["plans"]}
    good = [words for words, plan in plans.items() if settles(plan)]
    if len(good) != 1:
        raise ValueError(f"of the plans {list(plans)}, {len(good)} settle all sets")
    return Choice(
        text="You may count three ranges. Which three settle sun to ring in all three"
        " sets?",
        options=tuple(plans),
        answer=good[0],
        slips=tuple(
            slip("a set left out", words, "one set stands in none of these counts.")
            if _left_out(plan)
            else slip(
                "a count that follows",
                words,
                "one of these counts follows from the two others.",
            )
            for words, plan in plans.items()
            if words != good[0]
        ),
        hints=(
            "Write beside each range which sets decide it.",
            "Each set must be seen. And no count may follow from the two others.",
        ),
        reason="Three unknown proportions need three counts that say different things.",
    )


def count_that_follows(given):
    """The count of one range worked out from those of two others."""
    asked = given["asked"]
    ratios = {each: flow_in(train(given), each).ratio for each in ("1", "2", "5")}
    key = ratios.pop(asked)
    (first, one), (second, other) = ratios.items()
    return Number(
        text=f"By count, range {first} is {number(one)} and range {second} is"
        f" {number(other)}. What must range {asked} come to?",
        answer=key,
        within=Fraction(1, 50),
        slips=(
            slip("multiplied, not divided", one * other),
            slip("divided the wrong way round", one / other),
            slip("divided the wrong way round", other / one),
            slip("the difference taken", abs(one - other)),
        ),
        hints=(
            "The front set multiplies what the rear section gives.",
            "In two of the three ranges the rear section does the same.",
        ),
        reason="The front set is one factor, so one of the three counts tells no more.",
    )


def _count(given, range):
    """What is read over some output turns of the student's own unit."""
    return read_off(OVER[range] * abs(flow_in(train(given), range).ratio))


def _counted(given, range, way=""):
    return (
        f"Range {range}: the output made {OVER[range]} turns{way}. The input made"
        f" {turns(_count(given, range))}."
    )


def _teeth(given, name):
    teeth = train(given).set(name).all_teeth
    return Fraction(teeth["sun"]), Fraction(teeth["ring"])


def rear_from_reverse(given):
    """Ring over sun of the rear set from the count of reverse."""
    sun, ring = _teeth(given, "rear")
    count = _count(given, "R")
    return Number(
        text=f"{_counted(given, 'R', ' backward')} How large is ring over sun in the"
        " rear set?",
        answer=ring / sun,
        within=Fraction(1, 50),
        slips=(
            reciprocal(ring / sun),
            slip("the turns not shared out", count),
            slip("the start mark counted", (count + 1) / OVER["R"]),
            slip("one added to a held carrier", ring / sun + 1),
            slip("one added to a held carrier", ring / sun - 1),
        ),
        hints=(
            "What drives the rear set in reverse, and what is held?",
            "Share the count by the output turns. Nothing comes on top.",
        ),
        reason="With its carrier held, the rear set is ring over sun and nothing else.",
    )


def middle_from_third(given):
    """Sun over ring of the middle set from the count of third."""
    sun, ring = _teeth(given, "middle")
    return Number(
        text=f"{_counted(given, '3')} How large is sun over ring in the middle set?",
        answer=sun / ring,
        within=Fraction(1, 50),
        slips=(
            slip("the one not taken off", sun / ring + 1),
            slip("ring and sun swapped", ring / sun),
            slip("the turns not shared out", _count(given, "3")),
        ),
        hints=(
            "In third the sun is held. What does the carrier add to sun over ring?",
            "Share the count first. Then take off the turn of the carrier.",
        ),
        reason="Ring in, sun held, carrier out: one, and sun over ring on top.",
    )


def front_from_fifth(given):
    """Sun over ring of the front set from the count of fifth."""
    sun, ring = _teeth(given, "front")
    return Number(
        text=f"{_counted(given, '5')} How large is sun over ring in the front set?",
        answer=sun / ring,
        within=Fraction(1, 40),
        slips=(
            slip("the one not taken off", sun / ring + 1),
            slip("ring and sun swapped", ring / sun),
            slip(
                "divided the wrong way round",
                sun / (sun + ring),
                "take the output turns for one input turn first. Then take off the one.",
            ),
        ),
        hints=(
            "The carrier drives here. Turn the ratio over first.",
            "Then it is the case with a held sun. Take off the turn of the carrier.",
        ),
        reason="Turned over, it is third's case: one, and sun over ring.",
    )


def draw_ring(random, given):
    """A count of reverse that leaves one ring for the student's rear sun."""
    sun, ring = given["rear sun"], given["rear ring"]
    found = []
    for over in (2, 3, 4):
        exact = over * abs(flow_in(train(given), "R").ratio) / READ
        for eighths in {int(exact), int(exact) + 1}:
            if _rings(sun, eighths * READ, over) == [ring]:
                found.append({"over": over, "eighths": eighths})
    if not found:
        raise ValueError(f"the counts leave more than ring {ring} for sun {sun}")
    # Where the nearest whole number is no ring that fits, there is more to think of.
    hard = [
        one
        for one in found
        if whole(sun * one["eighths"] * READ / one["over"]) != ring
    ]
    return random.choice(hard or found)


def _rings(sun, count, over):
    """The rings that go with a rear sun and agree with a count of reverse."""
    planets = load(TRAIN).set("rear").planets
    return [
        ring
        for other, ring in possible_teeth(planets)
        if other == sun
        and abs(over * abs(ratio_with("R", "rear", sun, ring)) - count) <= READ
    ]


def ring_that_fits(given):
    """The ring teeth from a rough count and the rule of assembly."""
    sun, over, count = given["rear sun"], given["over"], given["eighths"] * READ
    (ring,) = _rings(sun, count, over)
    planets = load(TRAIN).set("rear").planets
    return Number(
        text=f"You counted {sun} teeth on the rear sun, and {planets} planets, equally"
        f" spaced. Range R: for {over} output turns the input made {turns(count)}, give"
        " or take an eighth. How many teeth has the rear ring?",
        answer=Fraction(ring),
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


def draw_twins(random, given):
    """A front set, one with the same proportion, and three that only look like it."""
    possible = possible_teeth(load(TRAIN).set("front").planets)
    sun, ring = random.choice([one for one in possible if _twins(one, possible)])
    twin = random.choice(_twins((sun, ring), possible))
    apart = [p for p in possible if not _alike(p, (sun, ring))]
    adding = [p for p in apart if p[1] - p[0] == ring - sun]
    summing = [p for p in apart if p[1] + p[0] == ring + sun]
    if not adding or not summing:
        raise ValueError(f"nothing looks like sun {sun} and ring {ring}")
    pairs = {twin, random.choice(adding), random.choice(summing), random.choice(apart)}
    if len(pairs) < 4:
        raise ValueError(f"too few sets beside sun {sun} and ring {ring}")
    return {
        "fits": [sun, ring],
        "pairs": random.sample([list(pair) for pair in sorted(pairs)], 4),
    }


def _twins(one, possible):
    return [p for p in possible if p != one and p[0] * one[1] == p[1] * one[0]]


def _alike(one, other):
    """Whether no count would tell two sets apart with ease."""
    return abs(Fraction(*one) - Fraction(*other)) < Fraction(1, 50)


def same_counts(given):
    """Which other teeth give just the same counts."""
    fits, pairs = given["fits"], given["pairs"]
    ratio = ratio_with("5", "front", *fits)
    same = [p for p in pairs if ratio_with("5", "front", *p) == ratio]
    if len(same) != 1:
        raise ValueError(f"{len(same)} of {pairs} give the same counts")

    def named(name, alike):
        rest = [p for p in pairs if p not in same]
        return [slip(name, teeth_in_words(*p)) for p in rest if alike(p)]

    return Choice(
        text=f"A front set with {teeth_in_words(*fits)} agrees with all your counts."
        " Which other front set agrees just as well?",
        options=tuple(teeth_in_words(*pair) for pair in pairs),
        answer=teeth_in_words(*same[0]),
        slips=(
            *named("the same added to both", lambda p: p[1] - p[0] == fits[1] - fits[0]),
            *named("the same sum kept", lambda p: p[1] + p[0] == fits[1] + fits[0]),
        ),
        hints=(
            "A count sees one thing of a set only. Which one?",
            "Divide sun by ring for each of them.",
        ),
        reason="Counts see the proportion. A common factor leaves no trace in them.",
    )


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
        f" {teeth_in_words(*other)}. You count range R, and read to an eighth of a turn."
        " After how many output turns, at the least, are you sure which it is?",
        answer=Fraction(least_turns(*ratios, READ)),
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


def what_counts_cannot_tell(given):
    """An explanation of what no count says of the teeth."""
    return Explanation(
        text="All your counts are right. What can they still not tell you of the teeth,"
        " and how do you find it out?",
        answer=None,
        points=(
            "Counts give proportions only: a common factor of sun and ring stays open.",
            "A set that decides no counted range stays quite open.",
            "One gear counted by eye, and the rule of assembly, leave few teeth.",
        ),
    )


LAB = Lab(
    name="recover-the-teeth",
    title="Recover the teeth",
    level=3,
    core=False,
    minutes=50,
    draw=draw,
    train=train,
    topics=(
        Topic(name="what fourth tells", ask=fourth_tells, prediction=True),
        Topic(
            name="ranges that tell",
            ask=ranges_that_tell,
            draw=one_of("set", SETS),
        ),
        Topic(name="plan of counts", ask=plan_of_counts, draw=draw_plans),
        Topic(
            name="count that follows",
            ask=count_that_follows,
            draw=one_of("asked", ("1", "2", "5")),
        ),
        Topic(name="a larger middle sun", ask=larger_middle_sun, prediction=True),
        Topic(name="rear from reverse", ask=rear_from_reverse),
        Topic(name="middle from third", ask=middle_from_third),
        Topic(name="front from fifth", ask=front_from_fifth),
        Topic(name="two units alike", ask=two_units_alike, prediction=True),
        Topic(name="ring that fits", ask=ring_that_fits, draw=draw_ring),
        Topic(name="same counts", ask=same_counts, draw=draw_twins),
        Topic(name="turns that tell", ask=turns_that_tell, draw=draw_two),
        Topic(name="what counts cannot tell", ask=what_counts_cannot_tell, marks=3),
    ),
)
