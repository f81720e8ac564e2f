"""Lab 10, recover the teeth: from counted turns to proportions and tooth counts.

Which counts to make, what each says of which set, and what no count can tell.
"""

from fractions import Fraction
from functools import lru_cache
from itertools import combinations

from ...base.numerals import listed, number, turns
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import WHOLE, Choice, Number, Row
from ..question.slips import WORDS, slip
from .common import (
    by_sign,
    flow_in,
    load,
    one_of,
    planets_of,
    possible_teeth,
    ratio_under_power,
)
from .counting import READ, least_turns, read_off
from .five_range import TRAIN, draw, train
from .proportions import (
    CHANGES,
    COUNTED,
    moves_in,
    ranges_with,
    ratio_with,
    sets_in,
    settles,
    teeth_in_words,
    whole,
    with_more_teeth,
)

SETS = ("front", "middle", "rear")
PLANS = tuple(combinations(COUNTED, 3))
OVER = {"R": 10, "3": 10, "5": 20}  # output turns, so that reading hardly matters
topic = Topics()


@topic("what fourth tells", prediction=True)
def fourth_tells(given):
    """A prediction: what the count of fourth range says of the teeth."""
    told = [f"the {name} set's teeth" for name in SETS if name in sets_in("4")]
    options = ("nothing", *(f"the {name} set's teeth" for name in SETS))
    return Choice(
        text="You count range 4. What does that count tell you of the teeth?",
        options=options,
        answer=told[0] if told else options[0],
        reason="In fourth all turns as one piece, whatever the teeth.",
    )


@topic("ranges that tell", draw=one_of(set=SETS))
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


def _left_out(plan):
    return set(SETS) - frozenset().union(*map(sets_in, plan))


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


def _none_of(words, sets):
    name = next(name for name in SETS if name in sets)
    return f"the {name} set stands in none of {words}."


@topic("plan of counts", draw=draw_plans)
def plan_of_counts(given):
    """Which three counts settle the proportions of all three sets."""
    plans = {listed(plan, article=""): tuple(plan) for plan in given["plans"]}
    good = [words for words, plan in plans.items() if settles(plan)]
    if len(good) != 1:
        raise ValueError(f"of the plans {list(plans)}, {len(good)} settle all sets")
    return Choice(
        text="You may count three ranges. Which plan settles the proportion of sun to"
        " ring in all three sets?",
        options=tuple(plans),
        answer=good[0],
        slips=tuple(
            slip("a set left out", words, _none_of(words, _left_out(plan)))
            if _left_out(plan)
            else slip(
                "a count that follows",
                words,
                f"of {words}, one count says nothing that the two others do not.",
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


@topic("count that follows", draw=one_of(asked=("1", "2", "5")))
def count_that_follows(given):
    """The count of one range worked out from those of two others."""
    asked = given["asked"]
    ratios = {each: ratio_under_power(train(given), each) for each in ("1", "2", "5")}
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
        ),
        hints=(
            "The front set multiplies what the rear section gives.",
            "In two of the three ranges the rear section does the same.",
        ),
        reason="The front set is one factor, so one of the three counts tells no more.",
    )


@topic("a larger middle sun", prediction=True)
def larger_middle_sun(given):
    """A prediction: what a larger middle sun does to third range."""
    less, more = with_more_teeth("3", "middle")
    return by_sign(
        "The middle sun gets more teeth, and its ring stays. What happens to the"
        " ratio of range 3?",
        CHANGES,
        abs(more) - abs(less),
        "Third is one, and sun over ring of the middle set.",
    )


def _count(given, range):
    """What is read over some output turns of the student's own unit."""
    return read_off(OVER[range] * abs(ratio_under_power(train(given), range)))


def _counted(given, range, way=""):
    return (
        f"Range {range}: the output made {OVER[range]} turns{way}. The input made"
        f" {turns(_count(given, range))}."
    )


def _teeth(given, name):
    teeth = train(given).set(name).all_teeth
    return Fraction(teeth["sun"]), Fraction(teeth["ring"])


@topic("rear from reverse")
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
            slip("ring and sun swapped", sun / ring),
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


@topic("middle from third")
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


@topic("front from fifth")
def front_from_fifth(given):
    """Sun over ring of the front set from the count of fifth."""
    sun, ring = _teeth(given, "front")
    return Number(
        text=f"{_counted(given, '5')} How large is sun over ring in the front set?",
        answer=sun / ring,
        within=Fraction(3, 200),
        slips=(
            slip("the one not taken off", sun / ring + 1),
            slip("ring and sun swapped", ring / sun),
            slip(
                "divided the wrong way round",
                sun / (sun + ring),
                "take the output turns for one input turn. Then take off the one.",
            ),
        ),
        hints=(
            "The carrier drives here. Turn the ratio over first.",
            "Then it is the case with a held sun. Take off the turn of the carrier.",
        ),
        reason="Turned over, it is third's case: one, and sun over ring.",
    )


@topic("two units alike", prediction=True)
def two_units_alike(given):
    """A prediction: whether equal counts mean equal teeth."""
    options = ("yes", "no, others may fit too")
    return Choice(
        text="Two units give the same count in every range. Must they have the same"
        " teeth?",
        options=options,
        answer=options[1] if _counted_alike() else options[0],
        reason="Counts see the proportion of a set, and other teeth may have it too.",
    )


@lru_cache
def _counted_alike():
    """Whether other rear teeth give the shipped unit's count in every range."""
    one = load(TRAIN)
    rear, planets = one.set("rear").all_teeth, one.set("rear").planets
    others = set(possible_teeth(planets)) - {(rear["sun"], rear["ring"])}
    return any(
        all(flow_in(one, r).ratio == ratio_with(r, "rear", *other) for r in COUNTED)
        for other in others
    )


def _rings(sun, planets, count, over):
    """The rings that go with a rear sun and agree with a count of reverse."""
    return [
        ring
        for other, ring in possible_teeth(planets)
        if other == sun
        and abs(over * abs(ratio_with("R", "rear", sun, ring)) - count) <= READ
    ]


def draw_ring(random, given):
    """A count of reverse that leaves one ring for the student's rear sun."""
    sun, ring = given["rear sun"], given["rear ring"]
    planets, found = load(TRAIN).set("rear").planets, []
    for over in (2, 3, 4):
        exact = over * abs(ratio_under_power(train(given), "R")) / READ
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


@topic("ring that fits", draw=draw_ring)
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


def _near(one, other):
    """Whether a count over a few turns would not tell two sets apart."""
    return abs(one[0] / one[1] - other[0] / other[1]) < 0.02


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


def draw_twins(random, given):
    """A front set, one with the same proportion, and three that only look like it."""
    fits, *kinds = random.choice(_lookalikes())
    pairs = {random.choice(kind) for kind in kinds}
    while len(pairs) < 4:
        pairs.add(random.choice(kinds[-1]))
    shuffled = random.sample([list(pair) for pair in sorted(pairs)], 4)
    return {"fits": list(fits), "pairs": shuffled}


@topic("same counts", draw=draw_twins)
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


@topic("turns that tell", draw=draw_two)
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


topic.explain(
    "what counts cannot tell",
    "All your counts are right. What can they still not tell you of the teeth?"
    " How do you find that out?",
    "Counts give proportions only: a common factor of sun and ring stays open.",
    "A set that decides no counted range stays quite open.",
    "One gear counted by eye, and the rule of assembly, leave few teeth.",
)


LAB = Lab(
    name="recover-the-teeth",
    title="Recover the teeth",
    level=3,
    core=False,
    minutes=50,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
