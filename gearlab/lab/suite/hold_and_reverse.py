"""Lab 4, third, fourth and reverse: what is held, what is joined, and what backs out.

Third holds the suns, fourth joins two members, reverse drives the suns; why reverse
needs a brake, what a slope does, and what is left when a part fails.
"""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache, partial

from ...ask.rollback import BACKWARD as INPUT_BACKWARD
from ...ask.rollback import FORWARD as INPUT_FORWARD
from ...ask.rollback import FREE, HELD, roll_back
from ...solve.facts import body_speeds, element_states
from ...solve.powerflow import LOAD_WORDS
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Choice, Number, Order
from ..question.slips import slip, without_the_one
from .common import (
    BACKWARD,
    FORWARD,
    UNDER_POWER,
    flow_in,
    one_of,
    range_count,
    ratio_under_power,
    ratios_of,
    way_of,
)
from .failing import flow_left
from .five_range import (
    COUNTED,
    FAILING,
    LOW,
    another_unit,
    draw,
    draw_failed,
    draw_lost,
    parts_of,
    ranges_lost,
    shipped,
    train,
    what_is_left,
    with_the_input,
)

KNOWN = ("1", "1 low", "3", "4", "R")  # the ranges that are known by now
DOES = {
    "holds": "it holds the rear carrier",
    "overruns": "it overruns",
    "backs up": "it backs up a brake",
    "at rest": "it is at rest: it cannot hold this way",
}
ROLLS = {
    HELD: "the unit holds the output",
    FREE: "the vehicle rolls free",
    INPUT_BACKWARD: "it turns the input shaft backward",
    INPUT_FORWARD: "it turns the input shaft forward",
}
# What revision 1 called the input shaft.
ROLLS_BEFORE = {
    way: does.replace("input shaft", "engine") for way, does in ROLLS.items()
}
FAILURES = (  # without the common-sun brake in 3, which the notebook tells
    ("front lock clutch", "3"),
    ("front lock clutch", "4"),
    ("direct clutch", "4"),
    ("direct clutch", "R"),
    ("low brake", "R"),
)
topic = Topics()


@topic("one-way in third", prediction=True)
def one_way_in_third(given):
    """A prediction: what the low one-way clutch does in third."""
    return Choice(
        text="Range 3 holds the common-sun shaft. The low brake is off. What does the"
        f" {LOW} do under power?",
        options=tuple(DOES.values()),
        answer=DOES[element_states(flow_in(shipped(), "3"))[LOW]],
        reason="The rear carrier runs along forward, and the clutch lets it.",
    )


@topic("third count", draw=another_unit)
def third_count(given):
    """The ratio of third, where the middle set works alone."""
    one = train(given)
    ratio = ratio_under_power(one, "3")
    return range_count(
        one,
        given,
        "3",
        COUNTED,
        within=Fraction(1, 20),
        slips=(
            without_the_one(ratio - 1, "sun", "ring"),
            slip("ring and sun swapped", 1 + 1 / (ratio - 1)),
        ),
        hints=(
            "One set makes the ratio, one only turns along. Which holds a member?",
            "Its ring drives and its sun is held. You know this case.",
        ),
        reason="The middle set works alone: held sun over driving ring, and one.",
    )


topic("with the input", with_the_input, draw=one_of(range=("1 low", "R")))


# Reverse is taught by then.
@topic("speeds in order", draw=one_of(range=("1", "R"), first=("fastest", "slowest")))
def speeds_in_order(given):
    """The parts that turn slower than the input, by speed."""
    one, range, first = train(given), given["range"], given.get("first", "fastest")
    speeds = body_speeds(flow_in(one, range))
    slower = sorted(
        (part for part in speeds if speeds[part] < 1), key=speeds.get, reverse=True
    )
    if len({speeds[part] for part in slower}) < len(slower):
        raise ValueError(f"two parts turn alike in range {range}")
    by_size = sorted(slower, key=lambda part: abs(speeds[part]), reverse=True)
    if first == "slowest":
        slower, by_size = slower[::-1], by_size[::-1]
    return Order(
        text=f"Range {range}, under power. Put the parts that turn slower than the"
        " input in order. Backward is slower than standing still.",
        options=parts_of(one),
        answer=tuple(slower),
        order=f"the {first} first",
        slips=(
            slip("size taken for speed", tuple(by_size)),
            slip("the order turned round", tuple(reversed(slower))),
        ),
        hints=(
            "Leave out all that turns with the input. Then find what is held.",
            "Look at each part that is left. Is it ahead of the held one?",
        ),
        reason="Seen from the held part, the others go forward or backward.",
    )


@topic("reverse without brake", prediction=True)
def reverse_without_brake(given):
    """A prediction: reverse with nothing but the one-way clutch on the carrier."""
    flow = flow_left(shipped(), "R", "low brake")
    return Choice(
        text="Range R, but the low brake stays off. The low one-way clutch sits on the"
        " same carrier. What happens under power?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[flow.state],
        reason="The carrier is pushed forward, the way that the clutch lets it go.",
    )


@topic("reverse count", draw=another_unit)
def reverse_count(given):
    """The ratio of reverse, where the rear set works alone."""
    one = train(given)
    third, ratio = ratios_of(one, ("3", "R")).values()
    other_set = "that is the middle set. Which set has its carrier held?"
    return range_count(
        one,
        given,
        "R",
        COUNTED,
        within=Fraction(1, 20),
        slips=(
            slip("one added to a held carrier", ratio - 1),
            slip("one added to a held carrier", 1 - ratio),
            slip("another set taken", -1 / (third - 1), other_set),
        ),
        hints=(
            "The input goes to both suns. Which set has a held member?",
            "A held carrier: only two tooth counts matter. And which way?",
        ),
        reason="The rear set works alone, with its carrier held.",
    )


def draw_push(random, given):
    """A range with the low brake, coasting: the notebook shows it under power."""
    return {"range": random.choice(("R", "1 low")), "load": "coast"}


@topic("carrier pushed", draw=draw_push)
def carrier_pushed(given):
    """Which way the rear carrier is pushed while a brake holds it."""
    flow = flow_in(shipped(), given["range"], given["load"])
    push = -flow.torques["low brake"]  # the brake pushes back
    return Choice(
        text=f"Range {given['range']}, {LOAD_WORDS[given['load']]}. The low brake holds"
        " the rear carrier. Which way does the train push the carrier?",
        options=(FORWARD, BACKWARD, "neither way"),
        answer=way_of(push),
        slips=(
            slip("the brake's own push", way_of(-push)),
            slip("held taken for not pushed", "neither way",
                 "the brake has work to do. Let it go: does the carrier stay?"),
        ),
        hints=(
            "Let the brake go in your mind, with the output dragged or driving.",
            "The output end stays. Which way does the carrier run off?",
        ),
        reason="A one-way clutch takes one way only. A brake takes both.",
    )  # fmt: skip


@topic("brake torque", draw=one_of(torque=(60, 80, 120)))
def brake_torque(given):
    """The torque that the low brake takes in reverse."""
    flow, torque = flow_in(train(given), "R"), given["torque"]
    held = torque * abs(flow.torques["low brake"])
    size = abs(flow.ratio)
    return Number(
        text=f"Range R, on your own panel: count it. The input gets {torque} N·m; leave"
        " losses out. The output torque is the ratio times the input torque. How much"
        " torque does the low brake take?",
        answer=held,
        within=Fraction(torque, 8),
        unit="N·m",
        slips=(
            slip("the output torque", torque * size),
            slip("the input torque", Fraction(torque)),
            slip("as if the output turned forward", torque * (size - 1),
                 "the output goes backward here. Do input and output pull alike?"),
        ),
        hints=(
            "Work out the output torque first, with your own count.",
            "Input and output turn against each other. What must the case give?",
        ),
        reason="The output is turned round, so the brake takes it and the input's too.",
    )  # fmt: skip


@lru_cache
def _rolled(range):
    return roll_back(shipped(), range)


def rolling(given, rolls=ROLLS):
    """What happens when the vehicle rolls against its range."""
    told = _rolled(given["range"])
    way = FORWARD if told.way > 0 else BACKWARD
    words = "nothing is held here. What would stop the output?"
    words = words if told.state == FREE else None
    return Choice(
        text=f"Range {given['range']} is set, and the vehicle rolls {way} on a slope."
        " What happens?",
        options=tuple(rolls.values()),
        answer=rolls[told.state],
        slips=(
            slip("the one-way clutch forgotten", rolls[INPUT_BACKWARD])
            if told.state == HELD
            else slip("held taken for locked", rolls[HELD], words),
            slip("a path that is cut", rolls[INPUT_BACKWARD],
                 "does the motion reach the input at all? Trace it from the output."),
            slip("a path taken for cut", rolls[FREE],
                 "trace it from the output. What does the motion turn, or meet?"),
            slip("the way not turned round", rolls[INPUT_FORWARD],
                 "the output turns against its range. Which way goes the input then?"),
        ),
        hints=(
            "The output turns. What does that do to the rear carrier?",
            "Do a held part and a held carrier leave any motion? Trace it.",
        ),
        reason="Two held members of the rear section stop it; one leaves it a ratio.",
    )  # fmt: skip


def third_on_a_slope(given, rolls=ROLLS):
    """A prediction: the vehicle rolls backward in third."""
    return replace(rolling({**given, "range": "3"}, rolls), slips=(), hints=())


topic(
    "third on a slope",
    third_on_a_slope,
    prediction=True,
    earlier=[partial(third_on_a_slope, rolls=ROLLS_BEFORE)],
)


topic(
    "on a slope",
    rolling,
    draw=one_of(range=("N", "1 low", "4")),
    earlier=[partial(rolling, rolls=ROLLS_BEFORE)],
)


topic("if it fails", ranges_lost, draw=draw_lost(FAILING[1:], KNOWN))


topic("what is left", what_is_left, draw=draw_failed(FAILURES))


topic.explain(
    "why the low brake",
    "The low one-way clutch holds the rear carrier in range 1. Explain why"
    " range R needs the low brake.",
    "In range 1 the rear carrier is pushed backward; there the clutch holds.",
    "In R the sun drives forward and the ring is loaded: a push forward.",
    "The one-way clutch overruns forward; the brake holds both ways.",
)


LAB = Lab(
    name="hold-and-reverse",
    title="Hold and reverse",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
