"""Lab 5, second, fifth and the shifts: the front set on top of the rear section.

The front set gears up what the rear section does; a shift is asked for what goes off
and on, for its step, and for who is early. What no tooth count changes is asked of the
unit as it is shipped.
"""

from fractions import Fraction
from functools import lru_cache, partial
from itertools import pairwise

from ...ask.shifts import early_late, shift
from ...base.numerals import listed, number
from ...solve.powerflow import power_flow
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Choice, Number, Order
from ..question.slips import another_range, lost_sign, reciprocal, slip, without_the_one
from .common import (
    another,
    by_sign,
    flow_in,
    range_count,
    ratio_under_power,
    ratios_of,
    unit_of,
)
from .five_range import (
    COUNTED,
    FORWARDS,
    FRONT,
    LOW,
    PACES,
    another_unit,
    draw,
    draw_failed,
    elements_of,
    shipped,
    train,
    what_is_left,
)
from .shifting import SIDES, moment_of_shift, moved_told, side_of_shift

UPSHIFTS = tuple(pairwise(FORWARDS))
DOWN = tuple((high, low) for low, high in UPSHIFTS)
# Downshifts, and shifts that leave a range out: the notebook shows the others.
NOT_SHOWN = (*DOWN, ("1", "3"), ("2", "4"), ("3", "5"), ("5", "3"))
EARLY = (*(pair for pair in UPSHIFTS if pair != ("2", "3")), *DOWN, ("2", "4"))
_APART = Fraction(1, 50)  # what keeps two steps apart when ratios are rounded
# What a state between two ranges is, as an answer, by the word of a MidShift.
MIDWAY = {
    "tie-up": "the unit ties up",
    "flare": "the input races up",
    "higher range": "a higher range for a moment",
    "as before": "the old range goes on",
    "as after": "the new range is there already",
}
# What revision 1 called the input.
MIDWAY_BEFORE = MIDWAY | {"flare": "the engine races up"}
# (its sides turn alike before, and after): what a one-way clutch does by itself.
BY_ITSELF = {
    (True, False): "it lets go",
    (False, True): "it catches",
    (True, True): "neither: its sides turn alike in both ranges",
    (False, False): "it overruns all the time",
}
BY_ITSELF_BEFORE = BY_ITSELF | {(True, True): "it stays at rest"}
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
topic = Topics()


@topic("front set held", prediction=True)
def front_set_held(given):
    """A prediction: how fast the intermediate shaft turns, with the front sun held."""
    speed = flow_in(shipped(), "2").speeds["intermediate shaft"]
    return by_sign(
        "The overdrive brake holds the front sun, and the front carrier drives."
        " How fast does the intermediate shaft turn?",
        PACES,
        speed - 1,
        "A carrier that drives gears up, as with one set by hand.",
    )


def _factor(one):
    """Input turns for one turn of the intermediate shaft, with the front sun held."""
    return 1 / flow_in(one, "2").speeds["intermediate shaft"]


@topic("front factor", draw=another_unit)
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


@topic("second count", draw=another_unit)
def second_count(given):
    """The ratio of second: the front set on top of first."""
    one = train(given)
    factor = _factor(one)
    first, third, reverse = ratios_of(one, ("1", "3", "R")).values()
    return range_count(
        one,
        given,
        "2",
        [each for each in COUNTED if each != "1"],
        within=Fraction(1, 10),
        slips=(
            slip("the front set forgotten", first),
            slip("the front set turned over", first / factor),
            slip("the rear sets multiplied", factor * third * abs(reverse)),
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


@topic("output speed", draw=draw_speed)
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


@lru_cache(maxsize=256)
def _ratio(one, applied):
    return power_flow(one, applied=applied).ratio


@topic("left-out cell", draw=draw_left_out)
def left_out(given):
    """The ratio of a cell that the chart leaves out."""
    one, locked = train(given), given["instead"]
    applied = LEFT_OUT[locked]
    ratio, plain = _ratio(one, applied), ratio_under_power(one, locked)
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


@lru_cache
def _shift(before, after):
    return shift(shipped(), before, after)


@topic("equal steps", prediction=True)
def equal_steps(given):
    """A prediction: whether the front set makes two equal steps."""
    low, high = (_shift(*pair).step for pair in (("1", "2"), ("4", "5")))
    options = ("from 1 to 2", "from 4 to 5", "both are the same")
    return Choice(
        text="From 1 to 2 and from 4 to 5 the overdrive brake comes on."
        " Which one has the larger step?",
        options=options,
        answer=options[2] if low == high else options[0 if low > high else 1],
        reason="The front set alone makes both, so they are the same factor.",
    )


def draw_side(random, given):
    """A shift, and whether what goes off or what comes on is asked."""
    return {
        "pair": list(random.choice(NOT_SHOWN)),
        "side": random.choice(SIDES),
    }


@topic("off and on", draw=draw_side)
def off_and_on(given):
    """The elements that go off or come on in a shift."""
    before, after = given["pair"]
    passing = _shift(before, after)
    free = {"go off": "lets go", "come on": "catches"}[given["side"]]
    alone = {**passing.by_itself, **passing.backed_up}
    return side_of_shift(
        f"Shift from {before} to {after}. Which elements {given['side']}, by"
        " command and not by themselves?",
        passing,
        given["side"],
        elements_of(shipped()),
        [name for name, does in alone.items() if does == free],
    )


def draw_alone(random, given):
    """A shift and a one-way clutch."""
    return {
        "pair": list(random.choice(NOT_SHOWN)),
        "clutch": random.choice((FRONT, LOW)),
    }


def _misread(said, rest, pair):
    """Which range somebody has not looked at, who says what a one-way clutch does."""
    wrong = [each for each, a, b in zip(pair, said, rest, strict=True) if a != b]
    where = " and ".join(f"range {each}" for each in wrong)
    return f"look at {where}. Do its two sides turn alike there?"


def by_itself(given, does=BY_ITSELF):
    """What a one-way clutch does in a shift."""
    one, clutch = shipped(), given["clutch"]
    rest = tuple(
        clutch not in flow_in(one, range).overrunning for range in given["pair"]
    )
    before, after = given["pair"]
    return Choice(
        text=f"Shift from {before} to {after}, under power. What does the {clutch} do"
        " by itself?",
        options=tuple(does.values()),
        answer=does[rest],
        slips=(
            slip("the shift turned round", does[rest[::-1]]),
            *(
                slip("one range misread", words, _misread(alike, rest, given["pair"]))
                for alike, words in does.items()
                if alike != rest
            ),
        ),
        hints=(
            "Do its two sides turn alike in the first range? And in the second?",
            "Where its member runs ahead it overruns. Where does it?",
        ),
        reason="It overruns where its member runs ahead; elsewhere its sides agree.",
    )


topic(
    "by itself",
    by_itself,
    draw=draw_alone,
    earlier=[partial(by_itself, does=BY_ITSELF_BEFORE)],
)


def draw_steps(random, given):
    """A unit of its own whose steps up to fourth lie apart."""
    while True:
        other = another_unit(random, given)
        ratios = ratios_of(train(other), FORWARDS[:4])
        steps = sorted(ratios[low] / ratios[high] for low, high in pairwise(ratios))
        if min(high - low for low, high in pairwise(steps)) > _APART:
            return other


def step_before(given):
    """What revision 1 asked: one step, from the two ratios."""
    (before, high), (after, low) = ratios_of(train(given), given["pair"]).items()
    return Number(
        text=f"By the chart range {before} is {number(high)} and range {after} is"
        f" {number(low)}. What is the step of this shift?",
        answer=high / low,
        within=Fraction(1, 50),
        slips=(
            slip("the step turned over", low / high),
            slip("a ratio for a step", high),
            slip("a ratio for a step", low),
            slip("the ratios subtracted", high - low),
        ),
    )


def _in_order(ratios, size):
    pairs = list(pairwise(ratios))
    pairs.sort(key=lambda pair: size(ratios[pair[0]], ratios[pair[1]]), reverse=True)
    return tuple(f"from {low} to {high}" for low, high in pairs)


@topic("step", draw=draw_steps, earlier=[step_before])
def steps_in_order(given):
    """The upshifts to fourth in the order of their steps."""
    ratios = ratios_of(train(given), FORWARDS[:4])
    told = listed([f"{each} is {number(ratio)}" for each, ratio in ratios.items()], "")
    answer = _in_order(ratios, lambda low, high: low / high)
    return Order(
        text=f"{another(given, 'unit')}Its chart says: range {told}. Put the three"
        " shifts up in order by their steps.",
        options=tuple(f"from {low} to {high}" for low, high in pairwise(ratios)),
        answer=answer,
        order="the largest step first",
        what="shifts",
        slips=(
            slip("the order turned round", answer[::-1]),
            slip(
                "the ratios subtracted", _in_order(ratios, lambda low, high: low - high)
            ),
        ),
        hints=(
            "The vehicle keeps its speed. By what factor must the input slow down?",
            "Put one ratio over the other, the earlier one on top.",
        ),
        reason="The step is the ratio before over the ratio after.",
    )


@lru_cache
def _midway(before, after):
    return early_late(_shift(before, after))


def early_first(given, midway=MIDWAY):
    """A prediction: the overdrive brake lets go too early, from 2 to 3."""
    rows = _midway("2", "3")
    (row,) = (row for row in rows if row.early == {"overdrive brake"})
    return Choice(
        text="Shift from 2 to 3. The overdrive brake is off already; the two elements"
        " that come on are late. What happens?",
        options=tuple(midway.values()),
        answer=midway[row.word],
        reason="The front one-way clutch locks the front set: back in first.",
    )


topic(
    "early first",
    early_first,
    prediction=True,
    earlier=[partial(early_first, midway=MIDWAY_BEFORE)],
)


def draw_early(random, given):
    """A shift that the notebook does not show, and the elements that move early."""
    pair = random.choice(EARLY)
    row = random.choice(_midway(*pair))
    return {"pair": list(pair), "early": list(row.flow.train.in_order(row.early))}


def early_or_late(given, midway=MIDWAY):
    """What happens while some elements have moved and others have not."""
    before, after = given["pair"]
    return moment_of_shift(
        f"Shift from {before} to {after}. Too early:"
        f" {moved_told(_shift(before, after), given['early'])}. The rest"
        " has not moved yet. What happens?",
        {row.early: row for row in _midway(before, after)},
        given["early"],
        midway,
        "What is applied at that moment decides, with the one-way clutches.",
    )


topic(
    "early or late",
    early_or_late,
    draw=draw_early,
    earlier=[partial(early_or_late, midway=MIDWAY_BEFORE)],
)


topic("if it fails", what_is_left, draw=draw_failed(FAILURES))


topic.explain(
    "why it is hard",
    "From 2 to 3 is the hard shift of this unit. Explain why, and what helps.",
    "Two elements come on while one goes off; both sections change at once.",
    "Brake off early is a flare; front lock clutch early is a tie-up.",
    "The one-way clutches let go and catch by themselves, at the right time.",
)


LAB = Lab(
    name="add-the-front-set",
    title="Add the front set",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
