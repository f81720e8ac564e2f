"""Lab 1, one set by hand: who is held, who drives, which way and how fast.

A set is held, driven and watched: six cases, two members joined, and nothing held.
"""

from fractions import Fraction

from ...base.numerals import number
from ...solve.powerflow import power_flow
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Choice, Number, Order, Row
from ..question.slips import lost_sign, reciprocal, slip, without_the_one
from .common import (
    BACKWARD,
    FORWARD,
    NOT_DRIVEN,
    STILL,
    WAYS,
    another,
    by_sign,
    flow_in,
    one_of,
    other_teeth,
    ratio_under_power,
    ratios_of,
    way_of,
)
from .lone_set import CASES, draw, parts_of, train

# The same case, had somebody taken the ring for the sun.
_SWAPPED = {"sun": "ring", "ring": "sun", "carrier": "carrier"}
CARRIER_DRIVEN = ("sun to carrier", "ring to carrier")
# Without what the notebook shows: sun and ring joined; the sun turned, nothing held.
JOINED = tuple(case for case in CASES if "carrier" in case)
LOOSE = tuple(case for case in CASES if case != "sun to carrier")
# The lone set of the worked case, and its planet: a hint counts it.
EXAMPLE = "Say sun 30, ring 70, planets 20. The carrier turns once forward."
topic = Topics()


@topic("which way first", prediction=True)
def which_way_first(given):
    """A prediction: which way the carrier goes."""
    return by_sign(
        "The ring is held and the sun turns forward. Which way does the carrier turn?",
        WAYS,
        flow_in(train(given), "sun to carrier").speeds["single carrier"],
        "The planets roll on inside the held ring and take the carrier along.",
    )


def draw_case(cases):
    """What a topic draws: a case, and other teeth than the panel shows."""

    def draw_it(random, given):
        return other_teeth(draw, random) | {"case": random.choice(cases)}

    return draw_it


def set_of(given):
    """The tooth counts of a set, and whether they are its own, in sentences."""
    sun, ring = given["single sun"], given["single ring"]
    return f"{another(given, 'set')}Sun {sun}, ring {ring}."


def _slips(one, case):
    ratios = ratios_of(one, CASES)
    ratio = ratios[case]
    drives, held, driven = parts_of(case)
    swapped = " to ".join(_SWAPPED[member] for member in case.split(" to "))
    yield reciprocal(ratio, driven, drives)
    yield lost_sign(ratio)
    if driven == "carrier":
        yield without_the_one(ratio - 1, held, drives)
    elif drives == "carrier":
        yield without_the_one(1 / (1 / ratio - 1), driven, held)
    else:
        yield slip("one added to a held carrier", ratio - 1)
        yield slip("one added to a held carrier", 1 - ratio)
    if ratios[swapped] != 1 / ratio:
        yield slip("ring and sun swapped", ratios[swapped])
    name = "the ratio of another range"
    for other in CASES:
        if other not in (case, swapped) and ratios[other] != 1 / ratio:
            words = f"that is the case {other}. Which member is held here?"
            yield slip(name, ratios[other], words)


def count_of_case(within, hints, reason):
    """What asks how many turns of the driving member make one of the driven one."""

    def ask(given):
        drives, held, driven = parts_of(given["case"])
        return Number(
            text=f"{set_of(given)} The {held} is held and the {drives} drives. How many"
            f" {drives} turns make one {driven} turn? Write a minus for backward.",
            answer=ratio_under_power(train(given), given["case"]),
            within=within,
            slips=tuple(_slips(train(given), given["case"])),
            hints=hints,
            reason=reason,
        )

    return ask


topic(
    "first reduction",
    count_of_case(
        Fraction(1, 20),
        (
            "Ride on the carrier. You see sun and ring turn past the planets.",
            "Divide ring by sun. Then add the turn of the carrier itself.",
        ),
        "The held ring over the sun, and one for the carrier.",
    ),
    draw=one_of(case=("sun to carrier",)),
)


topic(
    "ring drives",
    count_of_case(
        Fraction(1, 20),
        (
            "Do it as before. Now the sun is the held gear.",
            "Divide the held gear by the driving gear. What comes on top?",
        ),
        "The held gear over the driving gear, and one for the carrier.",
    ),
    draw=draw_case(("ring to carrier",)),
)


topic(
    "carrier drives",
    count_of_case(
        Fraction(1, 50),
        (
            "Turn it round in your mind. What if the output drove the carrier?",
            "Find that ratio first. Then turn it over.",
        ),
        "The carrier drives, so the output is faster than the input.",
    ),
    draw=draw_case(("carrier to sun", "carrier to ring")),
)


@topic("which way, carrier held", prediction=True)
def which_way_held_carrier(given):
    """A prediction: which way the ring goes."""
    return by_sign(
        "The carrier is held and the sun turns forward. Which way does the ring turn?",
        WAYS,
        flow_in(train(given), "sun to ring").speeds["single ring"],
        "A planet on a pin that stands still reverses the sun once.",
    )


topic(
    "carrier held",
    count_of_case(
        Fraction(1, 50),
        (
            "The carrier stands still. So the planets only pass the motion on.",
            "Divide driven teeth by driving teeth. Then look which way it turns.",
        ),
        "With the carrier held, only the two tooth counts decide.",
    ),
    draw=draw_case(("sun to ring", "ring to sun")),
)


# Held gear: the worked case with the other gear held, so that no answer stands in it.
_PIN_CASE = {
    "ring": "With the sun held, 30 teeth pass. The planet makes 30/20 turns forward.",
    "sun": "With the ring held, 70 teeth pass. The planet makes 70/20 turns backward.",
}


@topic("planet on its pin", draw=draw_case(CARRIER_DRIVEN))
def planet_on_pin(given):
    """How often a planet turns on its pin for one turn of the carrier."""
    one, (_, held, _) = train(given), parts_of(given["case"])
    counts = {}
    for case in CARRIER_DRIVEN:
        speeds = flow_in(one, case).speeds
        counts[case] = speeds["single planet"] / speeds["single carrier"] - 1
    answer = counts.pop(given["case"])
    (other,) = counts.values()
    planet = one.set("single").all_teeth["planet"]
    return Number(
        text=f"{set_of(given)} The planets have {planet} teeth. The {held} is held."
        " The carrier turns once forward. How often does a planet turn on its pin, seen"
        " from the carrier? Write a minus for backward.",
        answer=answer,
        within=Fraction(1, 20),
        slips=(
            slip("the planet from the ground", answer + 1),
            lost_sign(answer),
            reciprocal(answer, "carrier", "planet"),
            slip("ring and sun swapped", other),
        ),
        hints=(
            "Ride on the carrier. The held gear turns once backward past you.",
            f"{EXAMPLE} {_PIN_CASE[held]}",
        ),
        reason="Seen from the carrier, the held gear turns and the planet follows.",
    )


@topic("sun and ring joined", prediction=True)
def what_joined(given):
    """A prediction: two members joined."""
    ratio = ratio_under_power(train(given), "direct")
    options = ("faster than the sun", "as fast as the sun", "slower than the sun")
    return Choice(
        text="Sun and ring are pinned together, and the sun turns. How fast does the"
        " carrier turn?",
        options=options,
        answer=options[(ratio > 1) + (ratio >= 1)],
        reason="No tooth can move past another, so the set turns as one piece.",
    )


@topic("two joined", draw=one_of(joined=JOINED))
def joined(given):
    """Two members joined: what the planets do on their pins."""
    one, third, other = parts_of(given["joined"])
    applied = [f"{one} input clutch", f"{other} input clutch", f"{third} output clutch"]
    flow = power_flow(train(given), applied=applied)
    seen = "it turns {} on its pin"
    options = (seen.format(FORWARD), seen.format(BACKWARD), "it stands on its pin")
    planet, carrier = (flow.speeds[f"single {m}"] for m in ("planet", "carrier"))
    ways = {FORWARD: options[0], BACKWARD: options[1], STILL: options[2]}
    return Choice(
        text=f"{one.capitalize()} and {other} are pinned together and turned forward."
        " What does each planet do, seen from the carrier?",
        options=options,
        answer=ways[way_of(planet - carrier)],
        slips=(
            slip("the planet from the ground", ways[way_of(planet)]),
            slip("a planet taken to roll", ways[BACKWARD],
                 "a planet rolls where teeth move past it. Do they here?"),
        ),
        hints=(
            "Two members turn alike. Can the teeth move past each other?",
            "The teeth cannot move past each other. Look at the third member.",
        ),
        reason="The set turns as one piece, so nothing moves within it.",
    )  # fmt: skip


@topic("nothing held", draw=one_of(case=LOOSE))
def nothing_held(given):
    """No member is held: neutral."""
    drives, _, watched = parts_of(given["case"])
    applied = [f"{drives} input clutch", f"{watched} output clutch"]
    flow = power_flow(train(given), applied=applied)
    driven = {FORWARD: "it is driven forward", BACKWARD: "it is driven backward"}
    options = (*driven.values(), NOT_DRIVEN)
    way = way_of(flow.speeds["output shaft"])
    return Choice(
        text=f"No member is held. You turn the {drives} forward. What does that do to"
        f" the {watched}?",
        options=options,
        answer=driven.get(way, way),
        slips=(
            slip("nothing held taken for a drive", driven[FORWARD]),
            slip("nothing held taken for a drive", driven[BACKWARD],
                 "the carrier is not held either. What would reverse it?"
                 if "carrier" not in (drives, watched)
                 else "what holds still, so that it could be driven back?"),
        ),
        hints=(
            "Where could the set push against the case?",
            "Hold back the member that you watch. Which one turns instead?",
        ),
        reason="Nothing gives a reaction, so the free member turns away.",
    )  # fmt: skip


@topic("case by count", draw=draw_case(CASES))
def case_by_count(given):
    """From teeth and a count to the elements that are applied."""
    one, case = train(given), given["case"]
    ratio = ratio_under_power(one, case)
    turned = " to ".join(reversed(case.split(" to ")))
    slips = [slip("input and output swapped", frozenset(one.range(turned).applied))]
    slips += [
        slip(
            "the ratio of another range",
            frozenset(one.range(other).applied),
            "that set-up turns, but with another count. Which member must be held?",
        )
        for other in CASES
        if other not in (case, turned)
    ]
    return Row(
        text=f"{set_of(given)} One output turn takes {number(abs(ratio))} input turns,"
        f" and the output turns {way_of(ratio)}. Which elements are applied?",
        options=one.element_names,
        answer=frozenset(one.range(case).applied),
        slips=tuple(slips),
        hints=(
            "Which way it turns, and whether it is faster, leave few cases.",
            "One brake, one input clutch and one output clutch are applied.",
        ),
        reason="Held, driving and driven member settle the count.",
    )


@topic("forward in order", draw=one_of(first=("most", "fewest")))
def forward_in_order(given):
    """The four forward cases by their ratios."""
    ratios = ratios_of(train(given), CASES)
    forward = [case for case in CASES if ratios[case] > 0]
    forward.sort(key=ratios.get, reverse=given["first"] == "most")
    return Order(
        text=f"{set_of(given)} In four cases the output turns forward. Put them in"
        " order by input turns for one output turn.",
        options=CASES,
        answer=tuple(forward),
        order=f"the one with the {given['first']} input turns first",
        what="cases",
        slips=(slip("the order turned round", tuple(reversed(forward))),),
        hints=(
            "First find the two in which the carrier drives. They gear up.",
            "Work out each ratio with your teeth.",
        ),
        reason="A driven carrier gears down, a driving carrier gears up.",
    )


topic.explain(
    "why the one",
    "The ring is held and the sun drives the carrier. Ring over sun is not the"
    " ratio yet. Explain what must be added, and why.",
    "Ring over sun counts the sun's turns as seen from the carrier.",
    "The carrier itself turns once, the same way as the sun.",
    "So the sun turns once more than it seems from the carrier.",
)


LAB = Lab(
    name="turn-one-set",
    title="Turn one set by hand",
    level=1,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
