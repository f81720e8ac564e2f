"""Lab 11, meet another train: the six-range unit, from its stick diagram alone.

The parts by their lines, the rows of a blank chart, ratios, a step, a torque, and what
is lost: the same way of looking, on a train not seen before.
"""

from fractions import Fraction

from ...base.numerals import listed, number
from ...train.train import Brake
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Choice, Number, Point, Row
from ..question.slips import (
    another_range,
    each_option,
    lost_sign,
    reciprocal,
    slip,
    without_the_one,
)
from .common import (
    by_sign,
    draw_falling,
    draw_letters,
    flow_in,
    lettered,
    load,
    one_of,
    pointed_at,
    ratio_under_power,
    ratios_of,
    way_of,
    with_drawn_teeth,
)
from .failing import lost

TRAIN = "six-range"
FORWARDS = ("1", "2", "3", "4", "5", "6")
RANGES = (*FORWARDS, "R")
LOW, UPPER = ("1", "R"), ("4", "5", "6")
ELEMENTS = load(TRAIN).element_names
REDUCED = "reduced shaft"
FASTER, SAME, SLOWER = "faster than the input", "as fast", "slower than the input"


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


topic = Topics()


@topic("both suns alike", prediction=True)
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


@topic("find the part", draw=draw_letters(len(ELEMENTS), "part", ELEMENTS))
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


def front_words(given):
    """The teeth of the front set, in a sentence."""
    return f"Front set: sun {given['front sun']}, ring {given['front ring']}."


@topic("reduced shaft")
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


@topic("row from its lines", draw=one_of(range=("3", "4", "5", "6")))
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


@topic("sun for reverse", prediction=True)
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


def applied_words(one, range):
    """The applied elements of a range, in a sentence."""
    words = listed(one.range(range).applied)
    return f"{words[0].upper()}{words[1:]} are applied."


def rear_words(given):
    """The teeth of the rear set, in a sentence."""
    return (
        f"Rear set: small sun {given['rear small sun']}, large sun"
        f" {given['rear large sun']}, ring {given['rear ring']}."
    )


def _teeth(given):
    return f"{front_words(given)} {rear_words(given)}"


@topic("low range")
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


@topic("row from the count")
def row_from_count(given):
    """A row of the chart from a count."""
    one, mine = train(given), given["row"]
    ratio = ratio_under_power(one, mine)
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


@topic("carrier with the input", prediction=True)
def carrier_with_input(given):
    """A prediction: how fast the output is in fourth."""
    speed = flow_in(train(given), "4").speeds["output shaft"]
    return by_sign(
        "The rear carrier turns with the input. The small sun turns with the"
        " reduced shaft. How fast is the output?",
        {1: FASTER, 0: SAME, -1: SLOWER},
        speed - 1,
        "Seen from the carrier the small sun lags, and it takes the ring back.",
    )


@topic("upper range")
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


@topic("step between", draw=one_of(pair=(["3", "4"], ["4", "5"], ["5", "6"])))
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


@topic("brake torque", draw=one_of(range=LOW, torque=(50, 80, 100, 150, 200)))
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


@topic("what is lost", draw=one_of(failed=ELEMENTS))
def lost_ranges(given):
    """The ranges that are lost without one element."""
    failed = given["failed"]
    without = {each: lost(load(TRAIN), each, RANGES) for each in ELEMENTS}
    return Row(
        text=f"The {failed} no longer holds. Which ranges are lost?",
        options=RANGES,
        answer=without[failed],
        slips=(
            slip(
                "lost and kept swapped",
                frozenset(RANGES) - without[failed],
                "those are left. The others are asked.",
            ),
            *(
                slip("another element crossed out", ranges)
                for each, ranges in without.items()
                if each != failed
            ),
        ),
        hints=(
            "Go down its column of the chart that you filled.",
            "In each range two elements are needed. What does one alone do?",
        ),
        reason="Two elements make a range here, and no one-way clutch stands in.",
    )


topic.explain(
    "first and reverse",
    "You meet a train that you never saw. You have its stick diagram and a"
    " blank chart. How do you find the rows of first and reverse?",
    "Find what can be held and what can be driven, with how fast each turns.",
    "A held carrier with a slow sun gives the largest reduction.",
    "Count the external meshes on the way: their number gives the direction.",
)


LAB = Lab(
    name="meet-another-train",
    title="Meet another train",
    level=3,
    core=False,
    minutes=50,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
