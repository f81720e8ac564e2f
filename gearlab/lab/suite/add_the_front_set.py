"""Lab 5, second, fifth and the shifts: the front set on top of the rear section.

The front set gears up what the rear section does. What is asked of the shifts stands in
:mod:`gearlab.lab.suite.shifting`.
"""

from fractions import Fraction
from functools import lru_cache, partial

from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.powerflow import power_flow
from ..question.papers import Lab, Topic, drawn_anew
from ..question.question import Choice, Number
from ..question.slips import another_range, lost_sign, reciprocal, slip, without_the_one
from .common import another, flow_in, ratios_of, unit_of
from .shifting import (
    BY_ITSELF_BEFORE,
    MIDWAY_BEFORE,
    by_itself,
    draw_alone,
    draw_early,
    draw_side,
    draw_steps,
    early_first,
    early_or_late,
    equal_steps,
    off_and_on,
    step_before,
    steps_in_order,
    why_it_is_hard,
)
from .unit import (
    ALIKE,
    COUNTED,
    FASTER,
    SLOWER,
    another_unit,
    draw,
    draw_failed,
    pace_of,
    shipped,
    train,
    what_is_left,
)

# What a range would be with the overdrive brake in place of the front lock clutch.
LEFT_OUT = {
    "3": ("overdrive brake", "common-sun brake", "forward clutch"),
    "R": ("overdrive brake", "low brake", "direct clutch"),
}
FAILURES = (  # without the overdrive brake in 2, which the notebook tells
    ("overdrive brake", "5"),
    ("direct clutch", "5"),
    ("forward clutch", "2"),
)


def front_set_held(given):
    """A prediction: how fast the intermediate shaft turns, with the front sun held."""
    speed = flow_in(shipped(), "2").speeds["intermediate shaft"]
    return Choice(
        text="The overdrive brake holds the front sun, and the front carrier drives."
        " How fast does the intermediate shaft turn?",
        options=(FASTER, ALIKE, SLOWER),
        answer=pace_of(speed),
        reason="A carrier that drives gears up, as with one set by hand.",
    )


def _factor(one):
    """Input turns for one turn of the intermediate shaft, with the front sun held."""
    return 1 / flow_in(one, "2").speeds["intermediate shaft"]


def front_factor(given):
    """The ratio of the front set alone."""
    one = train(given)
    factor, front = _factor(one), one.set("front").all_teeth
    return Number(
        text=f"{another(given, 'unit')}Front set: sun {front['sun']}, ring"
        f" {front['ring']}. The front sun is"
        " held and the front carrier drives. How many input turns make one turn of the"
        " intermediate shaft?",
        answer=factor,
        within=Fraction(1, 50),
        slips=(
            reciprocal(factor, "intermediate shaft"),
            slip("ring and sun swapped", 1 - factor),
            without_the_one(1 / (1 / factor - 1), "ring", "sun"),
            without_the_one(1 / factor - 1, "sun", "ring"),
            slip("the front set forgotten", Fraction(1)),
        ),
        hints=(
            "The lone set had this case: the carrier drives, the sun is held.",
            "Find the ratio for the ring driving. Then turn it over.",
        ),
        reason="A driving carrier gears up: ring over ring and sun together.",
    )


def second_count(given):
    """The ratio of second: the front set on top of first."""
    one = train(given)
    ratios, factor = ratios_of(one, COUNTED), _factor(one)
    ratio, first = ratios.pop("2"), ratios.pop("1")
    rear = ratios["3"] * abs(ratios["R"])
    return Number(
        text=f"{unit_of(one, given)}"
        " Take range 2 under power. How many input turns make one"
        " output turn? Write a minus for backward.",
        answer=ratio,
        within=Fraction(1, 10),
        unit="turns",
        slips=(
            slip("the front set forgotten", first),
            slip("the front set turned over", first / factor),
            slip("the rear sets multiplied", factor * rear),
            reciprocal(ratio),
            lost_sign(ratio),
            *another_range(ratios),
        ),
        hints=(
            "What would it be with the front set locked? You know that range.",
            "Front set and rear section work in series. So its ratio is a factor.",
        ),
        reason="Sections in series are multiplied: front set times first range.",
    )


def draw_speed(random, given):
    """An input speed, second or fifth range, and a unit of its own."""
    return another_unit(random, given) | {
        "range": random.choice(("2", "5")),
        "speed": random.choice((1200, 1800, 2400)),
    }


def output_speed(given):
    """How fast the output turns at an input speed."""
    one, range, speed = train(given), given["range"], given["speed"]
    ratios = ratios_of(one, COUNTED)
    ratio = ratios.pop(range)
    locked = {"2": "1", "5": "4"}[range]
    speeds = {each: speed / r for each, r in ratios.items() if each != locked}
    return Number(
        text=f"{unit_of(one, given)}"
        f" Range {range}. The input turns at {speed} rev/min. How"
        " fast does the output turn?",
        answer=speed / ratio,
        within=Fraction(speed, 50),
        unit="rev/min",
        slips=(
            slip("the speed multiplied", speed * ratio),
            slip("the front set forgotten", speed / ratios[locked]),
            *another_range(speeds),
        ),
        hints=(
            "Find the ratio first: front set times rear section.",
            "Is the output faster or slower than the input? Then divide.",
        ),
        reason="The ratio is input turns for one output turn, so you divide.",
    )


def draw_left_out(random, given):
    """A cell that the chart leaves out, of a unit of its own."""
    return another_unit(random, given) | {"instead": random.choice(tuple(LEFT_OUT))}


def left_out(given):
    """The ratio of a cell that the chart leaves out."""
    one, locked = train(given), given["instead"]
    applied = LEFT_OUT[locked]
    ratio, plain = _ratio(one, applied), flow_in(one, locked).ratio
    others = ratios_of(one, [r for r in COUNTED if r != locked])
    return Number(
        text=f"{unit_of(one, given)}"
        f" {listed(applied).capitalize()} are applied; no range of"
        " the chart does that. What ratio would it give? Write a minus for backward.",
        answer=ratio,
        within=Fraction(1, 50),
        slips=(
            slip("the front set forgotten", plain),
            slip("the front set turned over", plain / _factor(one)),
            reciprocal(ratio),
            lost_sign(ratio),
            *another_range(others),
        ),
        hints=(
            "What does the front set do? What does the rear section do?",
            "Find the range with the same rear section. Then put the front set on.",
        ),
        reason="The product table has a cell for it, though no range uses it.",
    )


@lru_cache(maxsize=256)
def _ratio(one, applied):
    return power_flow(one, applied=applied).ratio


LAB = Lab(
    name="add-the-front-set",
    title="Add the front set",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(
        Topic(name="front set held", ask=front_set_held, prediction=True),
        Topic(name="front factor", ask=front_factor, draw=another_unit),
        Topic(name="second count", ask=second_count, draw=another_unit),
        Topic(name="output speed", ask=output_speed, draw=draw_speed),
        Topic(
            name="left-out cell",
            ask=left_out,
            draw=draw_left_out,
        ),
        Topic(name="equal steps", ask=equal_steps, prediction=True),
        Topic(name="off and on", ask=off_and_on, draw=draw_side),
        Topic(
            name="by itself",
            ask=by_itself,
            draw=draw_alone,
            revision=2,
            earlier=FrozenMap({1: partial(by_itself, does=BY_ITSELF_BEFORE)}),
        ),
        Topic(
            name="step",
            ask=steps_in_order,
            draw=draw_steps,
            revision=2,
            earlier=FrozenMap({1: step_before}),
        ),
        Topic(
            name="early first",
            ask=early_first,
            prediction=True,
            revision=2,
            earlier=FrozenMap({1: partial(early_first, midway=MIDWAY_BEFORE)}),
        ),
        Topic(
            name="early or late",
            ask=early_or_late,
            draw=draw_early,
            revision=2,
            earlier=FrozenMap({1: partial(early_or_late, midway=MIDWAY_BEFORE)}),
        ),
        Topic(name="if it fails", ask=what_is_left, draw=draw_failed(FAILURES)),
        Topic(name="why it is hard", ask=why_it_is_hard, marks=3),
    ),
)
