"""Lab 11, meet another train: the six-range unit, from its stick diagram alone.

The parts by their lines, the rows of a blank chart, ratios, a step, a torque, and what
is lost: the same way of looking, on a train not seen before.
"""

from fractions import Fraction

from ..question.papers import Lab, Topic, drawn_anew
from ..question.question import Choice, Explanation, Number
from ..question.slips import another_range, lost_sign, reciprocal, slip, without_the_one
from .blank_chart import (
    ELEMENTS,
    LOW,
    RANGES,
    REDUCED,
    applied_words,
    draw,
    find_the_part,
    front_words,
    lost_ranges,
    rear_words,
    row_from_count,
    row_from_lines,
    train,
)
from .common import flow_in, one_of, ratios_of
from .unit import draw_letters

FASTER, SAME, SLOWER = "faster than the input", "as fast", "slower than the input"


def _teeth(given):
    return f"{front_words(given)} {rear_words(given)}"


def both_suns_alike(given):
    """A prediction: what the rear set does with both suns on the reduced shaft."""
    flow = flow_in(train(given), "3")
    gears = train(given).set("rear")
    speeds = {flow.speeds[gears.member(short)] for short in gears.members}
    options = ("it turns as one piece", "it stands still", "its ring turns backward")
    if len(speeds) == 1:
        answer = options[0] if speeds != {0} else options[1]
    else:
        answer = options[2]
    return Choice(
        text="Both rear suns are joined to the reduced shaft. What does the rear set"
        " do?",
        options=options,
        answer=answer,
        reason="Two members that turn alike take the whole set along.",
    )


def sun_for_reverse(given):
    """A prediction: which sun turns the output backward."""
    ratios = ratios_of(train(given), LOW)
    suns = {"the small sun": ratios["1"], "the large sun": ratios["R"]}
    back = [sun for sun, ratio in suns.items() if ratio < 0]
    both, none = "each of them", "none of them"
    return Choice(
        text="The rear carrier is held, and one rear sun is driven forward. Which sun"
        " turns the output backward?",
        options=(*suns, both, none),
        answer={0: none, 1: back[0] if back else none, 2: both}[len(back)],
        reason="One external mesh on the way turns it round; two turn it back.",
    )


def carrier_with_input(given):
    """A prediction: how fast the output is in fourth."""
    speed = flow_in(train(given), "4").speeds["output shaft"]
    return Choice(
        text="The rear carrier turns with the input. The small sun turns with the"
        " reduced shaft. How fast is the output?",
        options=(FASTER, SAME, SLOWER),
        answer=FASTER if speed > 1 else SAME if speed == 1 else SLOWER,
        reason="Seen from the carrier the small sun lags, and it takes the ring back.",
    )


def reduced_shaft(given):
    """Input turns for one turn of the reduced shaft."""
    one = train(given)
    answer = 1 / flow_in(one, "3").speeds[REDUCED]
    return Number(
        text=f"{front_words(given)} Its sun is fixed to the case. The input drives its"
        " ring. How many input turns make one turn of the reduced shaft?",
        answer=answer,
        within=Fraction(1, 50),
        slips=(
            reciprocal(answer, "reduced shaft"),
            without_the_one(answer - 1, "sun", "ring"),
            slip("ring and sun swapped", 1 + 1 / (answer - 1)),
        ),
        hints=(
            "You know this case from one set by hand. Which member is held?",
            "The carrier turns too. What does that add?",
        ),
        reason="A held sun gives sun over ring, and one for the carrier.",
    )


def low_range(given):
    """The ratio of first or of reverse."""
    one, mine = train(given), given["low"]
    ratios = ratios_of(one, RANGES)
    ratio = ratios.pop(mine)
    front = 1 / flow_in(one, "3").speeds[REDUCED]
    (other,) = (ratios.pop(each) for each in LOW if each != mine)
    return Number(
        text=f"{_teeth(given)} {applied_words(one, mine)} How many input turns"
        " make one output turn? Write a minus for backward.",
        answer=ratio,
        within=Fraction(1, 20),
        slips=(
            lost_sign(ratio),
            reciprocal(ratio),
            slip("the front set forgotten", ratio / front),
            slip("the other sun taken", other),
            slip("the other sun taken", -other),
            *another_range(ratios),
        ),
        hints=(
            "The carrier is held. So the planets only pass the motion on.",
            "Count the meshes from sun to ring. Then put the front set on top.",
        ),
        reason="Ring over the driven sun, times the front set.",
    )


def upper_range(given):
    """The ratio of a range in which the carrier turns with the input."""
    one, mine = train(given), given["upper"]
    ratios = ratios_of(one, RANGES)
    ratio = ratios.pop(mine)
    return Number(
        text=f"{_teeth(given)} {applied_words(one, mine)} How many input turns"
        " make one output turn?",
        answer=ratio,
        within=Fraction(1, 40),
        slips=(reciprocal(ratio), *another_range(ratios)),
        hints=(
            "Ride on the carrier, which turns with the input. What does the sun do?",
            "Pass that on to the ring by the teeth. Then add the carrier's turn.",
        ),
        reason="What the sun does past the carrier goes on to the ring, sign and all.",
    )


def step_between(given):
    """The step between two ranges."""
    ratios = ratios_of(train(given), given["pair"])
    (before, first), (after, second) = ratios.items()
    return Number(
        text=f"{_teeth(given)} How large is the step from range {before}"
        f" to range {after}?",
        answer=first / second,
        within=Fraction(1, 40),
        slips=(
            slip("divided the wrong way round", second / first),
            slip("the difference taken", first - second),
            slip("a ratio for a step", first),
            slip("a ratio for a step", second),
        ),
        hints=(
            "Work out both ratios. Which elements are applied in each?",
            "A step says how many times as large one ratio is.",
        ),
        reason="The input speed falls by that factor while the output keeps its speed.",
    )


def draw_torque(random, given):
    """A range with a held carrier, and what the input brings."""
    return {
        "range": random.choice(LOW),
        "torque": random.choice((50, 80, 100, 150, 200)),
    }


def brake_torque(given):
    """What the low-reverse brake takes in first or reverse."""
    one, mine, input = train(given), given["range"], given["torque"]
    flow = flow_in(one, mine)
    answer = abs(flow.torques["low-reverse brake"]) * input
    return Number(
        text=f"{_teeth(given)} {applied_words(one, mine)} The input brings"
        f" {input} N·m, without losses. How much torque does the low-reverse brake"
        " take, whichever way?",
        answer=answer,
        within=Fraction(input, 50),
        unit="N·m",
        slips=(
            slip("the output torque", abs(flow.ratio) * input),
            slip("the fixed sun forgotten", abs(1 - flow.ratio) * input),
            slip("the input torque", Fraction(input)),
        ),
        hints=(
            "What torque does the front carrier bring to the rear set?",
            "What goes in, out and to the brake balances, for the rear set alone.",
        ),
        reason="The front sun takes its own part; the rear set balances by itself.",
    )


def first_and_reverse(given):
    """An explanation of how to find two rows in a train not seen before."""
    return Explanation(
        text="You meet a train that you never saw. You have its stick diagram and a"
        " blank chart. How do you find the rows of first and reverse?",
        answer=None,
        points=(
            "Find what can be held and what can be driven, with how fast each turns.",
            "A held carrier with a slow sun gives the largest reduction.",
            "Count the external meshes on the way: their number gives the direction.",
        ),
    )


LAB = Lab(
    name="meet-another-train",
    title="Meet another train",
    level=3,
    core=False,
    minutes=50,
    draw=draw,
    train=train,
    topics=drawn_anew(
        Topic(name="both suns alike", ask=both_suns_alike, prediction=True),
        Topic(
            name="find the part",
            ask=find_the_part,
            draw=draw_letters(len(ELEMENTS), "part", ELEMENTS),
        ),
        Topic(name="reduced shaft", ask=reduced_shaft),
        Topic(
            name="row from its lines",
            ask=row_from_lines,
            draw=one_of("range", ("3", "4", "5", "6")),
        ),
        Topic(name="sun for reverse", ask=sun_for_reverse, prediction=True),
        Topic(name="low range", ask=low_range),
        Topic(name="row from the count", ask=row_from_count),
        Topic(name="carrier with the input", ask=carrier_with_input, prediction=True),
        Topic(name="upper range", ask=upper_range),
        Topic(
            name="step between",
            ask=step_between,
            draw=one_of("pair", (["3", "4"], ["4", "5"], ["5", "6"])),
        ),
        Topic(
            name="brake torque",
            ask=brake_torque,
            draw=draw_torque,
        ),
        Topic(name="what is lost", ask=lost_ranges, draw=one_of("failed", ELEMENTS)),
        Topic(name="first and reverse", ask=first_and_reverse, marks=3),
    ),
)
