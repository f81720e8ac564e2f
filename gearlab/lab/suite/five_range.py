"""The five-range unit as several labs share it: its parts, and what is left of it.

What no tooth count changes is asked of the unit as it is shipped. A part that fails is
released, or, if it is a one-way clutch, never catches.
"""

from ...base.numerals import listed
from ...solve.facts import body_speeds
from ..question.question import Choice, Row
from ..question.slips import slip
from .common import (
    UNDER_POWER,
    draw_falling,
    flow_in,
    load,
    other_teeth,
    with_drawn_teeth,
)
from .failing import AS_BEFORE, flow_left, lost_ranges, not_like, result

TRAIN, LOW, FRONT = "five-range", "low one-way clutch", "front one-way clutch"
FORWARDS = ("1", "2", "3", "4", "5")
COUNTED = (*FORWARDS, "R")  # every ratio once
RANGES = (*FORWARDS, "1 low", "R")
BRAKES = ("overdrive brake", "common-sun brake", "low brake")
# What hangs between two elements, so that it has no name but on its drum.
DRUMS = (
    "front sun",
    "intermediate shaft",
    "middle ring",
    "common-sun shaft",
    "rear carrier",
)
FAILING = (LOW, "low brake", "common-sun brake", "forward clutch", "direct clutch")
PACES = {  # by the sign of what a speed is beyond the input's
    1: "faster than the input",
    0: "as fast as the input",
    -1: "slower than the input",
}


def draw(random):
    """Teeth with which the five ranges fall, and can be told apart by counting."""
    return draw_falling(random, TRAIN, FORWARDS)


def another_unit(random, given):
    """What a topic draws that has other teeth than the student's own panel shows."""
    return other_teeth(draw, random)


def train(given):
    """The five-range unit with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def shipped():
    """The unit as it is shipped."""
    return load(TRAIN)


def members_of(one):
    """Suns, rings and carriers, set by set."""
    return tuple(
        gears.member(short)
        for gears in one.sets
        for short in gears.members
        if short != "planet"
    )


def parts_of(one):
    """What turns as one piece, by name, without the planets."""
    return tuple(body_speeds(flow_in(one, "N")))


def elements_of(one):
    """Brakes, clutches and one-way clutches."""
    return (*one.element_names, *(part.name for part in one.one_way_clutches))


# What turns with the input --------------------------------------------------------


def with_the_input(given):
    """The parts that turn as fast as the input in some range."""
    one, mine = shipped(), given["range"]
    parts = tuple(part for part in parts_of(one) if part != one.input)
    found = {each: _as_the_input(one, each, parts) for each in ("N", *RANGES)}
    other = "that is so in range {}. Which elements are applied here?"
    return Row(
        text=f"Range {mine}, under power: {listed(one.range(mine).applied)} are"
        " applied. Which parts turn as fast as the input, and the same way?",
        options=parts,
        answer=found[mine],
        slips=tuple(
            slip("another range taken", parts, other.format(each))
            for each, parts in found.items()
            if each != mine
        ),
        hints=(
            "Start at the input. Which clutch joins it to what?",
            "Two joined members turn a whole set. What do the other clutches add?",
        ),
        reason="What applied clutches join to the input turns with it.",
    )


def _as_the_input(one, range, parts):
    speeds = flow_in(one, range).speeds
    return frozenset(part for part in parts if speeds[part] == 1)


# If this element fails ------------------------------------------------------------


def ranges_lost(given):
    """The ranges that change when a part no longer holds."""
    failed, ranges = given["failed"], tuple(given["ranges"])
    return lost_ranges(
        f"The {failed} no longer holds. Which of these ranges are not what they"
        " were, under power?",
        shipped(),
        failed,
        ranges,
        [part for part in FAILING if part != failed],
    )


def draw_lost(parts, ranges):
    """What a topic draws that takes a part out of all ranges."""

    def draw(random, given):
        return {"failed": random.choice(parts), "ranges": list(ranges)}

    return draw


def draw_failed(pairs):
    """What a topic draws that takes a part out of a range: (part, range)."""

    def draw(random, given):
        failed, range = random.choice(pairs)
        return {"failed": failed, "range": range}

    return draw


def what_is_left(given):
    """What a range becomes when one of its parts no longer holds."""
    one, mine, failed = shipped(), given["range"], given["failed"]
    flow = flow_left(one, mine, failed)
    as_range = {r: f"it runs in range {r}" for r in FORWARDS if r != mine}
    nothing = UNDER_POWER["neutral"]
    answer = UNDER_POWER[flow.state]
    if result(flow) == result(flow_in(one, mine)):
        answer = AS_BEFORE
    elif flow.ratio is not None:
        (like,) = (r for r in as_range if flow_in(one, r).ratio == flow.ratio)
        answer = as_range[like]
    return Choice(
        text=f"Range {mine} is set, under power, but the {failed} no longer holds. What"
        " does the unit do?",
        options=(AS_BEFORE, *as_range.values(), nothing, UNDER_POWER["tied up"]),
        answer=answer,
        slips=(
            slip("the failed part forgotten", AS_BEFORE),
            slip("the one-way clutch forgotten", nothing)
            if flow.holding
            else slip("a path taken for cut", nothing),
            *(
                slip("a path that is cut", words, not_like(flow, each))
                for each, words in as_range.items()
            ),
            slip("too few taken for too many", UNDER_POWER["tied up"],
                 "one element less cannot make the others fight."),
        ),
        hints=(
            "Cross it out in the chart. What is left applied?",
            "Does a one-way clutch take over? Turn it on the panel.",
        ),
        reason="What is left applied, and what catches by itself, decide.",
    )  # fmt: skip
