"""Lab 3, know the unit: its drums and elements, first range and 1 low.

Drums are traced to members on the real part or the stick diagram; then what is applied,
what holds, how both rear sets give first range, and what is lost without one clutch.
"""

from fractions import Fraction

from ...base.numerals import listed
from ...solve.facts import held_by
from ...solve.powerflow import LOAD_WORDS
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Also, Choice, Number, Point, Row
from ..question.slips import each_option, lost_sign, reciprocal, slip
from .common import (
    CONVENTION,
    WAYS,
    by_sign,
    draw_letters,
    flow_in,
    lettered,
    one_of,
    pointed_at,
    range_count,
    ratios_of,
    suns_own,
    unit_of,
)
from .counting import LARGER, SAME, SMALLER
from .five_range import (
    BRAKES,
    COUNTED,
    DRUMS,
    FRONT,
    LOW,
    PACES,
    RANGES,
    another_unit,
    draw,
    draw_lost,
    elements_of,
    members_of,
    parts_of,
    ranges_lost,
    shipped,
    train,
    with_the_input,
)

CLUTCHES = ("front lock clutch", "forward clutch", "direct clutch")
TRACED = ("output shaft", "common-sun shaft", "intermediate shaft")
topic = Topics()


@topic("front set locked", prediction=True)
def front_set_locked(given):
    """A prediction: how fast the intermediate shaft turns."""
    speed = flow_in(shipped(), "1").speeds["intermediate shaft"]
    return by_sign(
        "Range 1: the front lock clutch joins front sun and front carrier. How"
        " fast does the intermediate shaft turn?",
        PACES,
        speed - 1,
        "Two joined members turn the whole front set as one piece.",
    )


@topic("one piece", draw=one_of(shaft=TRACED))
def one_piece(given):
    """The members that are always one piece with a shaft."""
    one, shaft = shipped(), given["shaft"]
    members = members_of(one)
    pieces = {
        body: frozenset(m for m in members if one.body_of[m] == body)
        for body in parts_of(one)
    }
    joined = [
        frozenset().union(*(pieces[one.body_of[side]] for side in clutch.sides))
        for clutch in one.clutches
        if shaft in {one.body_of[side] for side in clutch.sides}
    ]
    other = "follow the line of that shaft again, to both of its ends."
    return Row(
        text="Trace the unit, on the real part or in the picture. Which members are"
        f" always one piece with the {shaft}?",
        options=members,
        answer=pieces[shaft],
        slips=(
            *(slip("joined by a clutch only", each) for each in joined),
            *(
                slip("another shaft traced", piece, other)
                for body, piece in pieces.items()
                if body != shaft
            ),
        ),
        hints=(
            "Put a finger on the shaft. Go along it to each gear or carrier.",
            "Stop at every clutch. What lies behind it is another piece.",
        ),
        reason="Only what is joined for good turns as one piece in every range.",
        picture=lettered(one, {}),
    )


def _pieces(one, body):
    """The members that are one piece with a shaft or member."""
    return [member for member in members_of(one) if one.body_of[member] == body]


@topic("drum of a brake", draw=draw_letters(len(DRUMS), "brake", BRAKES))
def drum_of_brake(given):
    """The drum that a brake holds, in the stick diagram with letters on drums."""
    one = shipped()
    letters = dict(zip(DRUMS, given["letters"], strict=True))
    drum = one.body_of[one.by_name[given["brake"]].member]
    again = {
        letter: f"{letter} is on {listed(_pieces(one, body))}. Follow the brake's line."
        for body, letter in letters.items()
    }
    return Point(
        text=f"Drums go by letters here. Which drum does the {given['brake']} hold?",
        options=tuple(sorted(letters.values())),
        answer=letters[drum],
        slips=each_option(again, "another drum pointed at"),
        hints=(
            "Find the brake at the case. It is two plates on a line.",
            "Follow its line to a gear or carrier. Which letter is on that line?",
        ),
        reason="A brake holds a drum, and all that is one piece with it.",
        picture=lettered(one, letters),
    )


@topic("element between", draw=draw_letters(8, "clutch", CLUTCHES))
def element_between(given):
    """The clutch between two parts, in the stick diagram with letters on elements."""
    one, clutch = shipped(), given["clutch"]
    letters = dict(zip(elements_of(one), given["letters"], strict=True))
    first, second = one.by_name[clutch].sides
    free = {letters[name] for name in (FRONT, LOW)}
    return Point(
        text=f"Elements go by letters here. Which one joins the {first} and the"
        f" {second} when it is applied?",
        options=tuple(sorted(letters.values())),
        answer=letters[clutch],
        slips=tuple(
            slip("a one-way clutch applied", letter, words)
            if letter in free
            else slip("another part pointed at", letter, words)
            for letter, words in pointed_at(one, letters).items()
        ),
        hints=(
            "A clutch stands between two lines, away from the case.",
            "Find the two parts first. Then look where their lines come near.",
        ),
        reason="A clutch makes two parts turn as one while it is applied.",
        picture=lettered(one, letters),
    )


@topic("common-sun way", prediction=True)
def common_sun_way(given):
    """A prediction: which way the common-sun shaft turns in first."""
    return by_sign(
        "Range 1, under power, the output loaded. Which way does the common-sun"
        " shaft turn?",
        WAYS,
        flow_in(shipped(), "1").speeds["common-sun shaft"],
        "The loaded output holds the middle carrier back, so its sun reverses.",
    )


topic("with the input", with_the_input, draw=one_of(range=("1 low", "3")))


@topic("common-sun turns", draw=another_unit)
def common_sun_turns(given):
    """How far the common-sun shaft turns for one output turn in first."""
    flow = flow_in(train(given), "1")
    sun = flow.speeds["common-sun shaft"]
    turns = sun * flow.ratio
    return Number(
        text=f"{unit_of(flow.train, given)} Range 1, under power. The output turns once"
        " forward. How many turns does the common-sun shaft make? Write a minus for"
        " backward.",
        answer=turns,
        within=Fraction(1, 20),
        slips=(
            reciprocal(turns, "output", "sun shaft"),
            lost_sign(turns),
            slip("counted for one input turn", sun),
            slip("one added to a held carrier", turns - 1),
            slip("one added to a held carrier", 1 - turns),
        ),
        hints=(
            "Only the rear set matters. Which of its members stands still?",
            "Its ring is the output. Its sun is on the common-sun shaft.",
        ),
        reason="With the rear carrier held, ring over sun gives it.",
    )


@topic("first count", draw=another_unit)
def first_count(given):
    """The ratio of first range, from both rear sets."""
    one = train(given)
    first, third, reverse = ratios_of(one, ("1", "3", "R")).values()
    return range_count(
        one,
        given,
        "1",
        COUNTED,
        within=Fraction(1, 8),
        slips=(
            slip("the start mark counted", first + 1),
            slip("the rear sets multiplied", third * abs(reverse)),
            *suns_own(one, "1", "common-sun shaft"),
        ),
        hints=(
            "Begin at the output and let it turn once. What must the sun shaft do?",
            "Now the middle set: carrier once, sun as found. What must its ring do?",
        ),
        reason="One output turn settles the sun shaft, and both settle the input.",
    )


@topic("low brake added", prediction=True)
def low_brake_added(given):
    """A prediction: what the low brake does to the count."""
    first, low = ratios_of(shipped(), ("1", "1 low")).values()
    return by_sign(
        "Range 1 low adds the low brake to range 1. What does that do to the count"
        " under power, for one output turn?",
        {1: LARGER, 0: SAME, -1: SMALLER},
        low - first,
        "The rear carrier stands still in both.",
    )


def holders_of(range, load):
    """What holds the rear carrier, and what backs that up."""
    flow = flow_in(shipped(), range, load)
    names = frozenset(held_by(flow).get("rear carrier", ()))
    return names.union(
        *({name} for name, backed in flow.backing_up.items() if names & set(backed))
    )


def who_holds_before(given):
    """What revision 1 asked: one answer, though two may stand there."""
    found = holders_of(given["range"], given["load"])
    brake, one_way, nothing = "the low brake", f"the {LOW}", "nothing"
    answer = brake if "low brake" in found else one_way if LOW in found else nothing
    return Choice(
        text=f"Range {given['range']}, {LOAD_WORDS[given['load']]}. What holds the rear"
        " carrier?",
        options=(brake, "the common-sun brake", one_way, nothing),
        answer=answer,
        also=(Also(answer=one_way, words=CONVENTION),) if LOW in found else (),
    )


# Of ranges that the notebook does not show in this respect.
@topic(
    "who holds",
    draw=one_of(range=("1 low", "2"), load=tuple(LOAD_WORDS)),
    earlier=[who_holds_before],
)
def who_can_hold(given):
    """What can hold the rear carrier the way that it is pushed, each of it alone."""
    range, load = given["range"], given["load"]
    other = "coast" if load == "drive" else "drive"
    mixed = (
        "coasting taken for drive" if load == "drive" else "drive taken for coasting"
    )
    answer = holders_of(range, load)
    applied = listed(shipped().range(range).applied)
    return Row(
        text=f"Range {range}, {LOAD_WORDS[load]}: {applied} are applied. Which of these"
        " can hold the rear carrier against the way that it is pushed? Tick each that"
        " could do it alone.",
        options=(*BRAKES, LOW, FRONT),
        answer=answer,
        slips=(
            slip(mixed, holders_of(range, other)),
            slip("what backs up forgotten", answer - {LOW}),
            slip("a push the other way", answer | {LOW}),
        ),
        hints=(
            "A brake holds both ways, if it is applied.",
            "A one-way clutch holds one way. Which way is the carrier pushed now?",
        ),
        reason="An applied brake holds both ways, a one-way clutch the way it blocks.",
    )


topic(
    "if it fails",
    ranges_lost,
    draw=draw_lost((LOW, "low brake", "forward clutch"), RANGES),
)


topic.explain(
    "why not multiplied",
    "In range 1 middle and rear set both work. Explain how, and why their"
    " ratios are not multiplied.",
    "The loaded output holds the middle carrier back; its sun goes backward.",
    "The rear sun drives the rear ring forward, as the rear carrier is held.",
    "Both sets drive the output side by side; none drives the other.",
)


LAB = Lab(
    name="know-the-unit",
    title="Know the unit",
    level=2,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
