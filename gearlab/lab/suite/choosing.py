"""Teeth chosen for a job, as questions: what goes together, and what comes nearest.

Of the teeth that would give a wanted ratio, assembly leaves few.
"""

from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from operator import itemgetter

from ...base.numerals import number
from ..question.papers import Topic
from ..question.question import WHOLE, Choice, Number, Order
from ..question.slips import slip
from .assembling import troubles
from .common import load, planets_of, possible_teeth
from .proportions import (
    LARGER,
    SAME,
    SMALLER,
    change_of,
    ratio_with,
    suns_for,
    teeth_in_words,
    whole,
    with_more_teeth,
)
from .unit import TRAIN


def larger_rear_sun(given):
    """A prediction: what a larger rear sun does to reverse."""
    less, more = with_more_teeth("R", "rear")
    return Choice(
        text="The rear sun gets more teeth, and its ring stays. What happens to the"
        " size of the reverse ratio?",
        options=(LARGER, SMALLER, SAME),
        answer=change_of(less, more),
        reason="Reverse is ring over sun of the rear set.",
    )


def larger_front_sun(given):
    """A prediction: what a larger front sun does to the spread."""
    firsts, fifths = with_more_teeth("1", "front"), with_more_teeth("5", "front")
    less, more = (first / fifth for first, fifth in zip(firsts, fifths, strict=True))
    return Choice(
        text="The front sun gets more teeth, and its ring stays. What happens to the"
        " spread, first over fifth?",
        options=(LARGER, SMALLER, SAME),
        answer=change_of(less, more),
        reason="Fifth gets smaller by it, and first stays.",
    )


def draw_odd_one(random, given):
    """Three sets that go together with so many planets, and one that does not."""
    planets = random.choice((3, 4))
    good = random.sample(possible_teeth(planets), 3)
    sun, ring = random.choice(possible_teeth(planets))
    sun += 2 * random.choice((-1, 1))  # whole planets still, but at no equal angles
    pairs = random.sample([*good, (sun, ring)], 4)
    return {"planets": planets, "pairs": [list(pair) for pair in pairs]}


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
    """The sun that comes nearest to a wanted ratio, with a given ring.

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

    return Topic(name=name, ask=ask, draw=draw)


def rear_by_hand(ring, wish):
    """Sun teeth from ring / sun = wish, and two slips: (name, teeth)."""
    return (
        ring / wish,
        ("one added to a held carrier", ring / (wish - 1)),
        ("ring and sun swapped", ring * wish),
    )


def middle_by_hand(ring, wish):
    """Sun teeth from 1 + sun / ring = wish, and two slips: (name, teeth)."""
    return (
        ring * (wish - 1),
        ("the one not taken off", ring / wish),
        ("ring and sun swapped", ring / (wish - 1)),
    )


def draw_fronts(random, given):
    """Four front sets that fifth range tells apart."""
    possible = possible_teeth(load(TRAIN).set("front").planets)
    while True:
        pairs = random.sample(possible, 4)
        parts = sorted(sun / ring for sun, ring in pairs)
        if min(high - low for low, high in pairwise(parts)) > 0.04:
            return {"pairs": [list(pair) for pair in pairs]}


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
