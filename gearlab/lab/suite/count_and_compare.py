"""Lab 6, count and compare: a count at the paint mark, its error, and a disagreement.

How many output turns decide between two ranges, what the usual slips do to a count, and
what to check before the chart is doubted.
"""

from dataclasses import replace
from fractions import Fraction
from itertools import combinations

from ...base.numerals import number, turn_count, turns
from ...solve.speeds import solve_speeds
from ...train.train import Brake
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import WHOLE, Choice, Number, Row
from ..question.slips import another_range, reciprocal, slip
from .common import (
    FORWARD,
    flow_in,
    one_of,
    ratio_under_power,
    ratios_of,
    teeth_of,
    way_of,
)
from .counting import LARGER, READ, SAME, SMALLER, least_turns, read_off
from .five_range import COUNTED, FORWARDS, train
from .five_range import draw as draw_unit

FIVE = 5
OTHER_RANGE = "another range was set up"
RANGES = (*COUNTED, "1 low")
CLOCKWISE, ANTICLOCKWISE = "clockwise", "anticlockwise"


def draw(random):
    """Teeth with which every range is another one, and the range of one's own count."""
    drawn = draw_unit(random)
    return drawn | {"mine": random.choice(("1", "2", "3"))}


topic = Topics()


@topic("one turn enough", prediction=True)
def one_turn_enough(given):
    """A prediction: whether one output turn tells two ranges apart."""
    one, error = train(given), Fraction(1, 4)
    options = ("yes", "no, more turns are needed")
    enough = least_turns(*ratios_of(one, ("4", "5")).values(), error) == 1
    return Choice(
        text="You turn the output once in range 4, and once in range 5. You read each"
        " count to a quarter of a turn. Does that always tell the two apart?",
        options=options,
        answer=options[0] if enough else options[1],
        reason="The two counts must lie more than both errors of reading apart.",
    )


@topic("count five")
def count_five(given):
    """The student's own count, over five output turns."""
    one, mine = train(given), given["mine"]
    totals = {r: FIVE * ratio for r, ratio in ratios_of(one, COUNTED).items()}
    total = totals.pop(mine)
    return Number(
        text=f"{teeth_of(one)} Set range {mine} and drag the output. Count the input"
        " turns for five output turns. Write the whole count.",
        answer=total,
        within=READ,
        unit="turns",
        slips=(
            slip("one turn for five", total / FIVE),
            slip("the start mark counted", total + 1),
            slip("the reciprocal", FIVE * FIVE / total,
                 "that is output turns for five input turns. Turn it over."),
            *another_range(totals),
        ),
        hints=(
            "Both marks stand at the top. That is nought, not one.",
            "Turn until the output mark was at the top five times more.",
        ),
        reason="Five turns share out the error of reading.",
    )  # fmt: skip


def spared(given, ranges):
    """The ranges without the student's own, whose count no text gives away."""
    return [each for each in ranges if each != given["mine"]]


def draw_reading(random, given):
    """How many output turns somebody counted, in which range."""
    ranges = spared(given, ("1", "2", "3", "5"))
    return {"over": random.choice((4, 5, 8)), "range": random.choice(ranges)}


def _counted(given):
    """What was read in some range over some output turns."""
    return read_off(given["over"] * ratio_under_power(train(given), given["range"]))


@topic("ratio from a count", draw=draw_reading)
def ratio_from_count(given):
    """A count over several turns becomes a ratio."""
    over, counted = given["over"], _counted(given)
    whole, rest = divmod(counted, 1)
    degrees = str(int(rest * 360))
    as_decimals = whole + Fraction(int(degrees), 10 ** len(degrees))
    return Number(
        text=f"Somebody turned the output {over} times. The input made"
        f" {turns(counted)}. What ratio is that?",
        answer=counted / over,
        within=Fraction(1, 100),
        slips=(
            reciprocal(counted / over),
            slip("the turns not shared out", counted),
            slip("degrees taken for decimals", as_decimals / over),
            slip("the start mark counted", (counted + 1) / over),
        ),
        hints=(
            "Write the degrees as a part of a turn first: divide by 360.",
            "The ratio is for one output turn. How many were counted?",
        ),
        reason="Degrees are parts of 360, and the count is shared by the output turns.",
    )


@topic("how sure", draw=one_of(over=(4, 5, 10)))
def sure_to(given):
    """How far the ratio may be off."""
    over = given["over"]
    return Number(
        text=f"A count over {over} output turns is sure to an eighth of a turn. How far"
        " may the ratio be off?",
        answer=READ / over,
        within=Fraction(1, 500),
        slips=(
            slip("the turns not shared out", READ),
            slip("the error multiplied", READ * over),
            slip("divided the wrong way round", over / READ),
        ),
        hints=(
            "The reading is off once, at the end. Not at every turn.",
            "One error is shared by all the output turns.",
        ),
        reason="The error is shared out like the count itself.",
    )


def draw_pair(random, given):
    """Two ranges and an error with which one output turn is not enough."""
    ratios = ratios_of(train(given), spared(given, FORWARDS))
    found = [
        {"pair": [one, other], "error": error}
        for one, other in combinations(ratios, 2)
        for error in (4, 2)
        if 1 < least_turns(ratios[one], ratios[other], Fraction(1, error)) < 10
    ]
    if not found:
        raise ValueError("one turn decides between any two ranges")
    return random.choice(found)


@topic("turns that decide", draw=draw_pair)
def turns_that_decide(given):
    """The fewest output turns that tell two ranges apart."""
    error = Fraction(1, given["error"])
    (one, first), (other, second) = ratios_of(train(given), given["pair"]).items()
    part = {2: "half a turn", 4: "a quarter of a turn"}[given["error"]]
    least = least_turns(first, second, error)
    return Number(
        text=f"By the chart range {one} is {number(first)} and range {other} is"
        f" {number(second)}. You read to {part}. After how many output turns, at the"
        " least, can you be sure which it is?",
        answer=Fraction(least),
        within=WHOLE,
        unit="turns",
        slips=(
            slip(
                "only one of two errors",
                Fraction(least_turns(first, second, error / 2)),
            ),
            slip("the reading taken as sure", Fraction(1)),
        ),
        hints=(
            "With each output turn the two counts move farther apart.",
            "Each count may be off, one up, one down. How wide a gap is safe?",
        ),
        reason="The gap grows with each turn; it must exceed both errors together.",
    )


def creeping(one, range):
    """The ratio where the held member creeps a little, the way that it is pushed."""
    flow = flow_in(one, range)
    (brake,) = (
        one.by_name[name]
        for name in flow.applied
        if isinstance(one.by_name[name], Brake)
    )
    # The brake pushes the member one way, so the train pushes it the other.
    speed = Fraction(-1 if flow.torques[brake.name] > 0 else 1, 20)
    given = {one.input: 1, brake.member: speed}
    speeds = solve_speeds(one, given, applied=flow.applied - {brake.name})
    return brake, 1 / speeds[one.output]


def held_part_creeps(given):
    """What a brake that slips a little does to the count."""
    one = train(given)
    brake, crept = creeping(one, given["range"])
    more = abs(crept) - abs(ratio_under_power(one, given["range"]))
    return Choice(
        text=f"Range {given['range']}. The strap on the {brake.member} lets it creep"
        " the way that it is pushed. What happens to the count for one output turn?",
        options=(LARGER, SMALLER, SAME),
        answer=LARGER if more > 0 else SMALLER if more < 0 else SAME,
        slips=(
            slip("the creep turned round", SMALLER if more > 0 else LARGER),
            slip("the creep taken to cost nothing", SAME,
                 "the held part turns now. Whose turns are those?"),
        ),
        hints=(
            "Which way is the held member pushed? Let it go that way.",
            "What if it ran quite free? Would the output still turn?",
        ),
        reason="What creeps takes turns that the output does not get.",
    )  # fmt: skip


@topic("creep first", prediction=True, draw=one_of(range=("3",)))
def creep_first(given):
    """A prediction: what the creep does to the count."""
    return replace(held_part_creeps(given), slips=(), hints=())


topic("held part creeps", held_part_creeps, draw=one_of(range=("5", "R")))


@topic("drag needed")
def drag_needed(given):
    """The ranges in which a one-way clutch must be loaded to catch."""
    flows = {each: flow_in(train(given), each) for each in RANGES}
    return Row(
        text="At the bench a one-way clutch catches only if the output is dragged. In"
        " which ranges must a hand drag it?",
        options=RANGES,
        answer=frozenset(r for r in RANGES if flows[r].holding),
        slips=(
            slip(
                "a free clutch taken for one that holds",
                frozenset(r for r in RANGES if flows[r].overrunning),
            ),
        ),
        hints=(
            "Find the ranges that need a one-way clutch.",
            "In which ranges does nothing applied hold what must be held?",
        ),
        reason="A one-way clutch that must hold catches by the drag alone.",
    )


@topic("from the output end", draw=one_of(range=COUNTED))
def from_the_output_end(given):
    """The way of the output as it is seen from the other end."""
    forward = way_of(ratio_under_power(train(given), given["range"])) == FORWARD
    ways = (ANTICLOCKWISE, CLOCKWISE) if forward else (CLOCKWISE, ANTICLOCKWISE)
    return Choice(
        text="Seen from the input end, the input turns clockwise. Range"
        f" {given['range']} is set. You stand at the output end. Which way does the"
        " output turn for you?",
        options=(CLOCKWISE, ANTICLOCKWISE, "not at all"),
        answer=ways[0],
        slips=(
            slip("the other end forgotten", ways[1]),
            slip("the view taken for the motion", "not at all",
                 "where you stand does not stop it. How does it look from behind?"),
        ),
        hints=(
            "First say how it turns from the input end.",
            "Walk round the unit. What does a clock look like from behind?",
        ),
        reason="From the other end every way is turned round.",
    )  # fmt: skip


def _slipped(ratios, range):
    """``{what happened: the counts that it gives}`` for one output turn."""
    ratio = ratios[range]
    return {
        "the start mark was counted as one": [ratio + (1 if ratio > 0 else -1)],
        "the output was turned, not the input": [1 / ratio],
        "it was seen from the other end": [-ratio],
        "five output turns were counted": [FIVE * ratio],
        OTHER_RANGE: [other for each, other in ratios.items() if each != range],
    }


def _near(count, counts):
    return any(abs(count - each) <= 2 * READ for each in counts)


@topic("one turn too many", prediction=True)
def one_too_many(given):
    """A prediction: what is behind a count that is one turn too high."""
    ratios = ratios_of(train(given), COUNTED)
    slipped = _slipped(ratios, given["mine"])
    suspects = [w for w in slipped if _near(ratios[given["mine"]] + 1, slipped[w])]
    return Choice(
        text=f"Range {given['mine']} came out one whole turn too high, for one output"
        " turn. What do you suspect first?",
        options=tuple(slipped),
        answer=suspects[0],
        reason="The mark at the top is nought, so one whole turn is too many.",
    )


def draw_which(random, given):
    """A range that was counted over five output turns."""
    return {"over": FIVE, "range": random.choice(spared(given, FORWARDS))}


@topic("which range", draw=draw_which)
def which_range(given):
    """From a count to the range."""
    ratios, counted = ratios_of(train(given), FORWARDS), _counted(given)
    fits = [r for r in FORWARDS if abs(FIVE * ratios[r] - counted) <= 2 * READ]
    if fits != [given["range"]]:
        raise ValueError(f"{turns(counted)} may be of {fits}")

    def nearest(count):
        return min(FORWARDS, key=lambda each: abs(ratios[each] - count))

    return Choice(
        text=f"{teeth_of(train(given))} Somebody turned the output five times"
        f" forward. The input made {turns(counted)}. Which range was set up?",
        options=FORWARDS,
        answer=given["range"],
        slips=(
            slip("the turns not shared out", nearest(counted)),
            slip("the reciprocal", nearest(FIVE / counted),
                 "is that input turns for one output turn, or the other way round?"),
            *(
                slip("the count of another range", each,
                     f"five turns in range {each} take"
                     f" {'more' if FIVE * ratios[each] > counted else 'fewer'} input"
                     " turns than that.")
                for each in FORWARDS
            ),
        ),
        hints=(
            "What is the count for one output turn?",
            "Work out the ranges with the front set locked, then with it geared up.",
        ),
        reason="Only one range lies within the error of the count.",
    )  # fmt: skip


def draw_wrong(random, given):
    """What went wrong in which range, where the count leaves no doubt of it."""
    ratios = ratios_of(train(given), COUNTED)
    found = []
    for each in spared(given, ("1", "2", "3", "5", "R")):
        slipped = _slipped(ratios, each)
        for what, counts in slipped.items():
            for count in map(read_off, counts):
                fits = [w for w in slipped if _near(count, slipped[w])]
                if fits == [what] and not _near(count, [ratios[each]]):
                    eighths = int(count / READ)
                    found.append({"range": each, "what": what, "eighths": eighths})
    return random.choice(found)


@topic("what went wrong", draw=draw_wrong)
def what_went_wrong(given):
    """From a count that does not agree with the chart to what happened."""
    ratios = ratios_of(train(given), COUNTED)
    slipped, count = _slipped(ratios, given["range"]), given["eighths"] * READ
    slips = [
        slip("another mishap taken", what, f"that would give {turn_count(counts[0])}.")
        for what, counts in slipped.items()
        if what != OTHER_RANGE
    ]
    other = slip(
        "another mishap taken", OTHER_RANGE, "no other range gives that count."
    )
    return Choice(
        text=f"By the chart range {given['range']} is"
        f" {number(ratios[given['range']])}. The count for one output turn was"
        f" {turns(abs(count))}. The output went {way_of(count)}. What happened?",
        options=tuple(slipped),
        answer=given["what"],
        slips=tuple(one for one in (*slips, other) if one.answer != given["what"]),
        hints=(
            "Work out what each mishap would have given.",
            "Compare each with the count. An eighth of a turn may be lost.",
        ),
        reason="Only this mishap gives that count.",
    )


topic.explain(
    "before the chart",
    "Your count and the chart do not agree. What do you check, in which order,"
    " before you doubt the chart? Say why.",
    "Count again, five turns: input turned, forward, start mark nought.",
    "Then the set-up: right range, output loaded, held part does not creep.",
    "The teeth come next. The chart is computed from them, so it is last.",
)


LAB = Lab(
    name="count-and-compare",
    title="Count and compare",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
