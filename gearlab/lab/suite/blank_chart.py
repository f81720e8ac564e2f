"""The six-range unit and its blank chart: the parts by their lines, and its rows.

No range of it is told beforehand; a row is found from lines, from a count, or is lost.
"""

from functools import lru_cache

from ...base.numerals import listed, number
from ...solve.powerflow import power_flow
from ...train.train import Brake
from ..question.question import Point, Row
from ..question.slips import each_option, slip
from .common import (
    draw_falling,
    flow_in,
    lettered,
    load,
    pointed_at,
    way_of,
    with_drawn_teeth,
)

TRAIN = "six-range"
FORWARDS = ("1", "2", "3", "4", "5", "6")
RANGES = (*FORWARDS, "R")
LOW, UPPER = ("1", "R"), ("4", "5", "6")
ELEMENTS = load(TRAIN).element_names
REDUCED = "reduced shaft"


def draw(random):
    """Teeth with which six ranges fall, and which ranges are asked about."""
    drawn = draw_falling(random, TRAIN, FORWARDS)
    low, upper = random.choice(LOW), random.choice(UPPER)
    # The row that is asked for by its count is of a range whose ratio is not asked.
    rows = [one for one in ("2", *LOW, *UPPER) if one not in (low, upper)]
    return drawn | {"low": low, "upper": upper, "row": random.choice(rows)}


def train(given):
    """The six-range unit with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def front_words(given):
    """The teeth of the front set, in a sentence."""
    return f"Front set: sun {given['front sun']}, ring {given['front ring']}."


def rear_words(given):
    """The teeth of the rear set, in a sentence."""
    return (
        f"Rear set: small sun {given['rear small sun']}, large sun"
        f" {given['rear large sun']}, ring {given['rear ring']}."
    )


def applied_words(one, range):
    """The applied elements of a range, in a sentence."""
    words = listed(one.range(range).applied)
    return f"{words[0].upper()}{words[1:]} are applied."


def find_the_part(given):
    """An element by what it does, in the stick diagram with letters."""
    one, asked = train(given), given["part"]
    letters = dict(zip(ELEMENTS, given["letters"], strict=True))
    part = one.by_name[asked]
    if isinstance(part, Brake):
        does = f"holds the {part.member} to the case"
    else:
        does = "joins the {} and the {}".format(*part.sides)
    return Point(
        text="You never saw this train. Its brakes and clutches go by letters. Which"
        f" letter {does}?",
        options=tuple(sorted(letters.values())),
        answer=letters[asked],
        slips=each_option(pointed_at(one, letters), "another part pointed at"),
        hints=(
            "A brake goes to the hatched case. A clutch stands between two lines.",
            "Find the gear or carrier first. Then follow its line to its end.",
        ),
        reason="What an element does is where its two lines end.",
        picture=lettered(one, letters),
    )


def _others(one, mine):
    """The rows of the other ranges, each as a slip."""
    return tuple(
        slip(
            "another row filled",
            frozenset(one.range(each).applied),
            f"that is the row of range {each}. What is driven here, what is held?",
        )
        for each in RANGES
        if each != mine
    )


def row_from_lines(given):
    """A row of the chart from what the members do."""
    one, mine = train(given), given["range"]
    parts = [one.by_name[name] for name in one.range(mine).applied]
    does = [
        f"The {part.member} stands still."
        if isinstance(part, Brake)
        else "The {} turns with the {}.".format(*part.sides)
        for part in parts
    ]
    return Row(
        text=f"Fill a row of the blank chart. {' '.join(does)} Which elements are"
        " applied?",
        options=ELEMENTS,
        answer=frozenset(one.range(mine).applied),
        slips=_others(one, mine),
        hints=(
            "Take one sentence at a time. Which element makes it so?",
            "What stands still is held. What turns alike is joined.",
        ),
        reason="Each applied element settles one of the free speeds.",
    )


def row_from_count(given):
    """A row of the chart from a count."""
    one, mine = train(given), given["row"]
    ratio = flow_in(one, mine).ratio
    return Row(
        text=f"{front_words(given)} {rear_words(given)} Two elements are applied. The"
        f" output turns {way_of(ratio)}. One output turn takes"
        f" {number(abs(ratio))} input turns. Which two?",
        options=ELEMENTS,
        answer=frozenset(one.range(mine).applied),
        slips=_others(one, mine),
        hints=(
            "Is it slower than the reduced shaft, between, or faster than the input?",
            "Which member turns with what, then? Work out the one that fits.",
        ),
        reason="Only this pair gives that count and that way.",
    )


@lru_cache
def lost_without(failed):
    """The ranges that are not what they were without an element, whatever the teeth."""
    one = load(TRAIN)
    left = {
        each: power_flow(one, applied=set(one.range(each).applied) - {failed})
        for each in RANGES
    }
    return frozenset(r for r in RANGES if left[r].ratio != flow_in(one, r).ratio)


def lost_ranges(given):
    """The ranges that are lost without one element."""
    failed = given["failed"]
    lost = {each: lost_without(each) for each in ELEMENTS}
    return Row(
        text=f"The {failed} no longer holds. Which ranges are lost?",
        options=RANGES,
        answer=lost[failed],
        slips=(
            slip(
                "lost and kept swapped",
                frozenset(RANGES) - lost[failed],
                "those are left. The others are asked.",
            ),
            *(
                slip("another element crossed out", ranges)
                for each, ranges in lost.items()
                if each != failed
            ),
        ),
        hints=(
            "Go down its column of the chart that you filled.",
            "In each range two elements are needed. What does one alone do?",
        ),
        reason="Two elements make a range here, and no one-way clutch stands in.",
    )
