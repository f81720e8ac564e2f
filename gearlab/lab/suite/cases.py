"""The six cases of one set: who drives, who is held, who is driven, and the ratio."""

from ..question.papers import Topic
from ..question.question import Number
from ..question.slips import lost_sign, reciprocal, slip, without_the_one
from .common import (
    another,
    draw_teeth,
    flow_in,
    one_of,
    other_teeth,
    ratios_of,
    with_drawn_teeth,
)

TRAIN = "lone-set"
MEMBERS = ("sun", "carrier", "ring")
CASES = tuple(f"{a} to {b}" for a in MEMBERS for b in MEMBERS if a != b)
# The same case, had somebody taken the ring for the sun.
_SWAPPED = {"sun": "ring", "ring": "sun", "carrier": "carrier"}


def draw(random):
    """Teeth of a set that goes together."""
    return draw_teeth(random, TRAIN)


def draw_case(cases):
    """What a topic draws: a case, and other teeth than the panel shows."""

    def draw_it(random, given):
        return other_teeth(draw, random) | {"case": random.choice(cases)}

    return draw_it


def train(given):
    """The lone set with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def parts_of(case):
    """The member that drives, the one that is held and the driven one of a case."""
    drives, driven = case.split(" to ")
    return drives, next(m for m in MEMBERS if m not in (drives, driven)), driven


def set_of(given):
    """The tooth counts of a set, and whether they are its own, in sentences."""
    sun, ring = given["single sun"], given["single ring"]
    return f"{another(given, 'set')}Sun {sun}, ring {ring}."


def ratio_topic(name, cases, within, hints, reason, draw=draw_case):
    """How many turns of the driving member make one turn of the driven one.

    `draw` makes what the topic draws, from the cases.
    """

    def ask(given):
        drives, held, driven = parts_of(given["case"])
        return Number(
            text=f"{set_of(given)} The {held} is held and the {drives} drives. How many"
            f" {drives} turns make one {driven} turn? Write a minus for backward.",
            answer=flow_in(train(given), given["case"]).ratio,
            within=within,
            slips=tuple(_slips(train(given), given["case"])),
            hints=hints,
            reason=reason,
        )

    return Topic(name=name, ask=ask, draw=draw(cases))


def own_teeth(cases):
    """What a topic draws: a case of the very set that the panel shows."""
    return one_of("case", cases)


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
