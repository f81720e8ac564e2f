"""Lab 10, recover the teeth: from counted turns to proportions and tooth counts.

Which counts to make, what each says of which set, and what no count can tell.
"""

from fractions import Fraction
from itertools import combinations

from ...base.numerals import listed, number, turns
from ..question.papers import Lab, Topic, drawn_anew
from ..question.question import Choice, Explanation, Number, Row
from ..question.slips import slip
from .common import flow_in, load, one_of, possible_teeth
from .mishaps import read_off
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
    with_more_teeth,
)
from .toothcounts import (
    draw_ring,
    draw_twins,
    draw_two,
    ring_that_fits,
    same_counts,
    turns_that_tell,
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
        reason="In fourth all turns as one piece, whatever the teeth.",
    )


def larger_middle_sun(given):
    """A prediction: what a larger middle sun does to third range."""
    less, more = with_more_teeth("3", "middle")
    return Choice(
        text="The middle sun gets more teeth, and its ring stays. What happens to the"
        " ratio of range 3?",
        options=(LARGER, SMALLER, SAME),
        answer=change_of(less, more),
        reason="Third is one, and sun over ring of the middle set.",
    )


def two_units_alike(given):
    """A prediction: whether equal counts mean equal teeth."""
    options, one = ("yes", "no, others may fit too"), load(TRAIN)
    rear, planets = one.set("rear").all_teeth, one.set("rear").planets
    others = set(possible_teeth(planets)) - {(rear["sun"], rear["ring"])}
    alike = any(
        all(flow_in(one, r).ratio == ratio_with(r, "rear", *other) for r in COUNTED)
        for other in others
    )
    return Choice(
        text="Two units give the same count in every range. Must they have the same"
        " teeth?",
        options=options,
        answer=options[1] if alike else options[0],
        reason="Counts see the proportion of a set, and other teeth may have it too.",
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


def _none_of(words, sets):
    name = next(name for name in SETS if name in sets)
    return f"the {name} set stands in none of {words}."


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


def what_counts_cannot_tell(given):
    """An explanation of what no count says of the teeth."""
    return Explanation(
        text="All your counts are right. What can they still not tell you of the teeth?"
        " How do you find that out?",
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
    topics=drawn_anew(
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
