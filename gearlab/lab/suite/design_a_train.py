"""Lab 12, design a train: teeth and a chart for a job, within what can be assembled.

Which set decides which range, suns for a wanted ratio, spread and steps, and one range
more from the same parts.
"""

from fractions import Fraction
from functools import lru_cache
from itertools import combinations, pairwise
from math import sqrt
from operator import itemgetter
from random import Random

from ...base.numerals import listed, number
from ...solve.powerflow import power_flow
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import WHOLE, Choice, Number, Order, Row
from ..question.slips import another_range, reciprocal, slip
from .assembling import troubles
from .common import (
    by_sign,
    flow_in,
    load,
    one_of,
    planets_of,
    possible_teeth,
    ratios_of,
    suns_own,
    teeth_of,
)
from .five_range import FORWARDS, TRAIN, draw, train
from .proportions import (
    CHANGES,
    ratio_with,
    suns_for,
    teeth_in_words,
    whole,
    with_more_teeth,
)

SHIFTS = tuple(f"{one} to {other}" for one, other in pairwise(FORWARDS))
_CLEAR = Fraction(1, 20)  # what keeps a slip apart from the answer
LARGEST, SMALLEST = "largest", "smallest"
# Ratios that a job may ask for.
REVERSES = [Fraction(tenths, 10) for tenths in range(18, 41)]
THIRDS = [Fraction(percent, 100) for percent in range(130, 166)]
topic = Topics()


@topic("a larger rear sun", prediction=True)
def larger_rear_sun(given):
    """A prediction: what a larger rear sun does to reverse."""
    less, more = with_more_teeth("R", "rear")
    return by_sign(
        "The rear sun gets more teeth, and its ring stays. What happens to the"
        " size of the reverse ratio?",
        CHANGES,
        abs(more) - abs(less),
        "Reverse is ring over sun of the rear set.",
    )


def draw_odd_one(random, given):
    """Three sets that go together with so many planets, and one that does not."""
    planets = random.choice((3, 4))
    good = random.sample(possible_teeth(planets), 3)
    sun, ring = random.choice(possible_teeth(planets))
    sun += 2 * random.choice((-1, 1))  # whole planets still, but at no equal angles
    pairs = random.sample([*good, (sun, ring)], 4)
    return {"planets": planets, "pairs": [list(pair) for pair in pairs]}


@topic("cannot go together", draw=draw_odd_one)
def cannot_go_together(given):
    """Which set cannot be put together with its planets equally spaced."""
    planets, pairs = given["planets"], given["pairs"]
    odd = [pair for pair in pairs if troubles(*pair, planets)]
    if len(odd) != 1:
        raise ValueError(f"{len(odd)} of {pairs} cannot be put together")
    return Choice(
        text=f"Four sets are proposed, each with {planets} planets, equally spaced."
        " Which one cannot be put together so?",
        options=tuple(teeth_in_words(*pair) for pair in pairs),
        answer=teeth_in_words(*odd[0]),
        slips=tuple(
            slip(
                "a set that goes together",
                teeth_in_words(sun, ring),
                f"{sun} and {ring} together share out among {planets}. Try the others.",
            )
            for sun, ring in pairs
            if [sun, ring] not in odd
        ),
        hints=(
            "The planets must find a tooth gap at equal angles, on sun and on ring.",
            "Add sun and ring. Does it share out among the planets?",
        ),
        reason="Sun plus ring must be a whole multiple of the number of planets.",
    )


@lru_cache(maxsize=4096)
def by_nearness(range, set_name, ring, planets, wish):
    """(sun, how far it misses a wanted ratio) of all that fit, the nearest first."""
    off = [
        (sun, abs(abs(ratio_with(range, set_name, sun, ring)) - wish))
        for sun in suns_for(planets, ring)
    ]
    return tuple(sorted(off, key=itemgetter(1)))


def sun_topic(name, range, set_name, wishes, by_hand, hints, reason):
    """Add a topic: the sun that comes nearest to a wanted ratio, with a given ring.

    `by_hand` gives what people work out: the sun teeth before any rule of assembly, and
    two slips. One wish is drawn that one sun meets best beyond doubt.
    """

    def draw(random, given):
        planets = load(TRAIN).set(set_name).planets
        ring, found = given[f"{set_name} ring"], []
        for wish in wishes:
            nearest = by_nearness(range, set_name, ring, planets, wish)
            (best, first), (_, second) = nearest[:2]
            if second > 2 * first and whole(by_hand(ring, wish)[0]) != best:
                found.append(str(wish))
        if not found:
            raise ValueError(f"{set_name} ring {ring} has no sun for any wish")
        return {"wish": random.choice(found), "planets": planets}

    def ask(given):
        ring, wish = given[f"{set_name} ring"], Fraction(given["wish"])
        planets = planets_of(given)
        nearest = by_nearness(range, set_name, ring, planets, wish)
        suns = [sun for sun, _ in nearest]
        plain, *others = by_hand(ring, wish)
        return Number(
            text=f"The {set_name} ring has {ring} teeth. The set takes {planets}"
            f" planets, equally spaced. Range {range} shall come nearest to"
            f" {number(wish)}{' backward' if range == 'R' else ''}. How many teeth has"
            " the sun?",
            answer=Fraction(suns[0]),
            within=WHOLE,
            unit="teeth",
            slips=(
                slip("the rule of assembly forgotten", whole(plain)),
                *(slip(what, whole(teeth)) for what, teeth in others),
                *(
                    slip(
                        "another sun comes nearer",
                        Fraction(sun),
                        "that set goes together. But another sun comes nearer.",
                    )
                    for sun in suns[1:]
                ),
            ),
            hints=hints,
            reason=reason,
        )

    topic(name, ask, draw=draw)


def rear_by_hand(ring, wish):
    """Sun teeth from ring / sun = wish, and two slips: (name, teeth)."""
    return (
        ring / wish,
        ("one added to a held carrier", ring / (wish - 1)),
        ("ring and sun swapped", ring * wish),
    )


sun_topic(
    "rear sun for reverse",
    "R",
    "rear",
    REVERSES,
    rear_by_hand,
    (
        "Reverse is ring over sun of the rear set. Which sun would do?",
        "Sun and ring together must share out among the planets.",
    ),
    "Of the suns that can be assembled, this one comes nearest.",
)


def middle_by_hand(ring, wish):
    """Sun teeth from 1 + sun / ring = wish, and two slips: (name, teeth)."""
    return (
        ring * (wish - 1),
        ("the one not taken off", ring / wish),
        ("ring and sun swapped", ring / (wish - 1)),
    )


sun_topic(
    "middle sun for third",
    "3",
    "middle",
    THIRDS,
    middle_by_hand,
    (
        "Third is sun over ring of the middle set, and one on top.",
        "Which suns near that can be assembled? Try each of them.",
    ),
    "Assembly leaves few suns, so a wish is met only nearly.",
)


@topic("a larger front sun", prediction=True)
def larger_front_sun(given):
    """A prediction: what a larger front sun does to the spread."""
    firsts, fifths = with_more_teeth("1", "front"), with_more_teeth("5", "front")
    less, more = (first / fifth for first, fifth in zip(firsts, fifths, strict=True))
    return by_sign(
        "The front sun gets more teeth, and its ring stays. What happens to the"
        " spread, first over fifth?",
        CHANGES,
        abs(more) - abs(less),
        "Fifth gets smaller by it, and first stays.",
    )


@topic("first follows")
def first_follows(given):
    """What first range comes to, once reverse and third are chosen."""
    one = train(given)
    ratios = ratios_of(one, (*FORWARDS, "R"))
    first = ratios.pop("1")
    return Number(
        text=f"Your design. {teeth_of(one)} What ratio has range 1?",
        answer=first,
        within=Fraction(1, 20),
        slips=(
            slip("the rear sets multiplied", ratios["3"] * abs(ratios["R"])),
            reciprocal(first),
            *suns_own(one, "1", "common-sun shaft"),
            *another_range(ratios),
        ),
        hints=(
            "Let the output turn once. What must the sun shaft do, by the rear set?",
            "Take sun shaft and carrier to the middle set. What must its ring do?",
        ),
        reason="Middle and rear set decide it together, so it is chosen with them.",
    )


@topic("spread")
def spread_of_design(given):
    """First over fifth."""
    one = train(given)
    first, fifth = ratios_of(one, ("1", "5")).values()
    return Number(
        text=f"Your design. {teeth_of(one)} How large is its spread, first over fifth?",
        answer=first / fifth,
        within=Fraction(1, 10),
        slips=(
            slip("multiplied, not divided", first * fifth),
            slip("the difference taken", first - fifth),
            slip("divided the wrong way round", fifth / first),
            slip("a ratio for a step", first),
        ),
        hints=(
            "Fifth comes from the front set alone. Is it above or below one?",
            "How many times as large is first?",
        ),
        reason="The spread is a ratio of ratios, like a step over all the shifts.",
    )


def _steps(one):
    ratios = ratios_of(one, FORWARDS)
    return {
        f"{low} to {high}": ratios[low] / ratios[high]
        for low, high in pairwise(FORWARDS)
    }


@lru_cache
def _drawn_design(number):
    """One of some designs that fall; it costs less than one for each student."""
    random = Random(number)
    while True:
        try:
            return draw(random)
        except ValueError:
            continue


def draw_design(random, given):
    """Another design, and the step that stands out in it."""
    other = dict(_drawn_design(random.randrange(16)))
    steps = _steps(train(other))
    found = [
        end
        for end, step in (
            (LARGEST, max(steps.values())),
            (SMALLEST, min(steps.values())),
        )
        if list(steps.values()).count(step) == 1
    ]
    return {"other": other, "end": random.choice(found)}


def _design(given):
    ratios = ratios_of(train(given["other"]), FORWARDS)
    told = listed([f"{each}: {number(ratio)}" for each, ratio in ratios.items()], "")
    return ratios, f"Another design has the ratios {told}."


@topic("step that stands out", draw=draw_design)
def step_that_stands_out(given):
    """The largest or the smallest step of another design."""
    ratios, told = _design(given)
    steps, end = _steps(train(given["other"])), given["end"]
    gaps = {
        f"{low} to {high}": ratios[low] - ratios[high]
        for low, high in pairwise(FORWARDS)
    }
    pick, opposite = (max, min) if end == LARGEST else (min, max)
    return Choice(
        text=f"{told} Which shift has the {end} step?",
        options=SHIFTS,
        answer=pick(steps, key=steps.get),
        slips=(
            slip("the difference taken", pick(gaps, key=gaps.get)),
            slip(
                "the other end of the row",
                opposite(steps, key=steps.get),
                f"is that the {end} one, or the other end of the list?",
            ),
            *(
                slip("a step not worked out", shift,
                     f"the step {shift} is {number(step)}. Work out the others too.")
                for shift, step in steps.items()
            ),
        ),
        hints=(
            "A step is not a gap. Divide, do not subtract.",
            "Divide each ratio by the next one up.",
        ),
        reason="What counts is how many times the input speed falls.",
    )  # fmt: skip


def even_between(low, high):
    """The ratio between two others with which both steps are equal."""
    return Fraction(sqrt(low * high)).limit_denominator(10**6)


def draw_middle(random, given):
    """Another design, and a range between two others of it."""
    other = dict(_drawn_design(random.randrange(16, 32)))
    ratios, found = ratios_of(train(other), FORWARDS), []
    for low, middle, high in zip(FORWARDS, FORWARDS[1:], FORWARDS[2:], strict=False):
        first, last = ratios[low], ratios[high]
        slips = (first + last) / 2, first / last
        if all(abs(each - even_between(first, last)) > _CLEAR for each in slips):
            found.append([low, middle, high])
    if not found:
        raise ValueError(f"the ranges of {other} lie too near to each other")
    return {"other": other, "three": random.choice(found)}


@topic("even step", draw=draw_middle)
def even_step(given):
    """The ratio that makes two steps equal."""
    ratios = ratios_of(train(given["other"]), FORWARDS)
    low, middle, high = given["three"]
    first, second = ratios[low], ratios[high]
    return Number(
        text=f"In a design range {low} is {number(first)} and range {high} is"
        f" {number(second)}. Whatever teeth can do: which ratio of range {middle} makes"
        " the steps below and above it equal?",
        answer=even_between(first, second),
        within=Fraction(1, 50),
        slips=(
            slip("the mean taken", (first + second) / 2),
            slip(
                "the whole step taken",
                first / second,
                "that is both steps in one. How do two equal steps share it?",
            ),
        ),
        hints=(
            "Both steps together are the first ratio over the last one.",
            "Which number, multiplied by itself, gives both steps together?",
        ),
        reason="Equal steps multiply alike, so each is the root of both together.",
    )


@topic("equal steps", prediction=True)
def equal_steps(given):
    """A prediction: which two steps are equal whatever the teeth."""
    steps = [_steps(one) for one in (load(TRAIN), train(given))]
    options = {
        f"{one} and {other}": all(each[one] == each[other] for each in steps)
        for one, other in (SHIFTS[:2], SHIFTS[1:3], (SHIFTS[0], SHIFTS[3]))
    }
    alike = [words for words, same in options.items() if same]
    none = "no two of them"
    return Choice(
        text="Four shifts go up from range 1 to range 5. Which two have equal steps,"
        " whatever the teeth?",
        options=(*options, none),
        answer=alike[0] if alike else none,
        reason="The front set alone makes both of them.",
    )


def draw_fronts(random, given):
    """Four front sets that fifth range tells apart."""
    possible = possible_teeth(load(TRAIN).set("front").planets)
    while True:
        pairs = random.sample(possible, 4)
        parts = sorted(sun / ring for sun, ring in pairs)
        if min(high - low for low, high in pairwise(parts)) > 0.04:
            return {"pairs": [list(pair) for pair in pairs]}


@topic("fronts in order", draw=draw_fronts)
def fronts_in_order(given):
    """Front sets in the order of the fifth range that they give."""
    by_fifth = sorted(given["pairs"], key=lambda pair: ratio_with("5", "front", *pair))
    by_sun = sorted(given["pairs"], key=lambda pair: -pair[0])

    def words(pairs):
        return tuple(teeth_in_words(*pair) for pair in pairs)

    return Order(
        text="Four front sets are proposed for range 5. Put them in order by output"
        " speed, for the same input speed.",
        options=words(given["pairs"]),
        answer=words(by_fifth),
        order="the fastest output first",
        what="sets",
        slips=(
            slip("the order turned round", words(reversed(by_fifth))),
            slip("the sun alone compared", words(by_sun)),
        ),
        hints=(
            "In fifth the front sun is held, and its carrier drives.",
            "Compare sun over ring. Which way does it change the output?",
        ),
        reason="The larger sun over ring is, the faster the front ring turns.",
    )


@lru_cache
def elements_for(ratio):
    """The three elements that give a ratio in the shipped unit."""
    one = load(TRAIN)
    found = [
        frozenset(applied)
        for applied in combinations(one.element_names, 3)
        if power_flow(one, applied=applied).ratio == ratio
    ]
    if len(found) != 1:
        raise ValueError(f"{len(found)} sets of three elements give {ratio}")
    return found[0]


@topic("one range more", draw=one_of(like=("3", "R")))
def one_range_more(given):
    """The row of a range that the chart does not use."""
    one, like = load(TRAIN), given["like"]
    fifth = flow_in(one, "5").ratio
    rows = {each: frozenset(one.range(each).applied) for each in (*FORWARDS, "R")}
    other = "that is the row of range {}. What does the front set do there?"
    return Row(
        text="One range more is wanted, with the same parts. The rear section shall"
        f" work as in range {like}, and the front set in overdrive. Which elements"
        " are applied?",
        options=one.element_names,
        answer=elements_for(flow_in(one, like).ratio * fifth),
        slips=tuple(
            slip("another row filled", row, other.format(each))
            for each, row in rows.items()
        ),
        hints=(
            "Which elements make the rear section do that?",
            "Which element goes off, and which comes on, from 4 to 5?",
        ),
        reason="Front set and rear section are two factors with elements of their own.",
    )


topic.explain(
    "order of choice",
    "You choose the teeth of this unit for a job. In which order do you choose"
    " the three sets? Why can you not have every step as you like?",
    "Reverse settles the rear set, and third settles the middle set.",
    "First follows from these two, so it is not free any more.",
    "The front set gives two steps alike, and assembly allows few teeth.",
)


LAB = Lab(
    name="design-a-train",
    title="Design a train",
    level=3,
    core=False,
    minutes=50,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
