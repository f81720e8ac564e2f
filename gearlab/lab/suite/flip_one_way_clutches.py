"""Lab 2, one-way clutches: which holds, which overruns, and where the engine brakes.

One clutch on the rear carrier of the three-range unit, under power and coasting, put in
the right way round, the wrong way round, and worn out.
"""

from fractions import Fraction

from ...solve.facts import element_states, held_by
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Also, Choice, Number, Point, Row
from ..question.slips import (
    each_option,
    lost_sign,
    reciprocal,
    slip,
    without_the_one,
)
from .common import (
    COAST_TURNS,
    COASTING,
    CONVENTION,
    LESS,
    MORE,
    UNDER_POWER,
    coasting,
    flipped,
    flow_in,
    lettered,
    not_in_state,
    one_of,
    pointed_at,
    range_count,
    ratio_under_power,
    state_in,
    suns_own,
    unit_of,
)
from .failing import without
from .three_range import LOW, RANGES, another_unit, draw, train

# What the one-way clutch does, as an answer, by the words of its state.
STATES = {
    "holds": "it holds the rear carrier",
    "overruns": "it overruns",
    "backs up": "it backs up the low brake",
    "at rest": "it is at rest: it cannot hold this way",
}
topic = Topics()


@topic("who holds", prediction=True)
def who_holds(given):
    """A prediction: what holds the rear carrier in first range."""
    (holder,) = held_by(flow_in(train(given), "1"))["rear carrier"]
    return Choice(
        text="Range 1, under power: only the forward clutch is applied, and the output"
        " is loaded. What keeps the rear carrier from turning?",
        options=("the low brake", "the common-sun brake", f"the {LOW}", "nothing"),
        answer=f"the {holder}",
        reason="The carrier is pushed backward, and the one-way clutch holds that way.",
    )


def _parts(one):
    return (*one.element_names, *(part.name for part in one.one_way_clutches))


def draw_letters(random, given):
    """A letter for every part, in any order."""
    count = len(_parts(train(given)))
    return {"letters": "".join(random.sample("ABCDEFGH"[:count], count))}


@topic("find it", draw=draw_letters)
def find_it(given):
    """The one-way clutch in the stick diagram, where parts go by letters."""
    one = train(given)
    letters = dict(zip(_parts(one), given["letters"], strict=True))
    return Point(
        text=f"The stick diagram names its parts by letters. Which part is the {LOW}?",
        options=tuple(sorted(letters.values())),
        answer=letters[LOW],
        slips=each_option(pointed_at(one, letters), "another part pointed at"),
        hints=(
            "Find the rear carrier first. What stands between it and the case?",
            "Two parts can hold the rear carrier. One of them has a free way.",
        ),
        reason="It stands between the rear carrier and the case, beside the brake.",
        picture=lettered(one, letters, end="output"),
    )


@topic("first count")
def first_count(given):
    """The count of first range, on the panel or at the bench."""
    one = train(given)
    ratio = ratio_under_power(one, "1")
    return range_count(
        one,
        given,
        "1",
        ("1", "2", "3", "R"),
        within=Fraction(1, 8),
        slips=(
            slip("the start mark counted", ratio + 1),
            *suns_own(one, "1", "common-sun shaft"),
        ),
        hints=(
            "Set range 1 on the panel. Bring the marks to the top.",
            "Turn on to one output turn. Read the whole turns and the rest.",
        ),
        reason="The one-way clutch holds, so first range has a ratio at all.",
    )


@topic("what it does", draw=one_of(range=("2", "3", "1 low", "R")))
def what_it_does(given):
    """The state of the one-way clutch in another range, under power."""
    flow = flow_in(train(given), given["range"])
    state = element_states(flow)[LOW]
    first = element_states(flow_in(train(given), "1"))[LOW]
    words = "that is how it is in range 1. What is different here?"
    return Choice(
        text=f"Range {given['range']}, under power. What does the {LOW} do?",
        options=tuple(STATES.values()),
        answer=STATES[state],
        also=(Also(answer=STATES["holds"], words=CONVENTION),)
        if state == "backs up"
        else (),
        slips=(
            slip("first range everywhere", STATES[first], words),
            *not_in_state(flow, STATES),
        ),
        hints=(
            "Look at the rear carrier. Does it turn, and which way?",
            "If it stands still beside a brake: which way is it pushed?",
        ),
        reason="What the carrier does settles it, and which way it is pushed.",
    )


def coasting_in_first_before(given):
    """What revision 1 asked: not how far the input turns."""
    return Choice(
        text="Range 1. The vehicle drives the output. What happens?",
        options=tuple(COASTING.values()),
        answer=COASTING[state_in(train(given), "1", "coast")],
    )


@topic("coasting in first", prediction=True, earlier=[coasting_in_first_before])
def coasting_in_first(given):
    """A prediction: range 1, coasting."""
    return Choice(
        text="Range 1. The engine idles now and the vehicle drives the output. What"
        " happens, and how far does the input turn?",
        options=COAST_TURNS,
        answer=coasting(flow_in(train(given), "1", "coast")),
        reason="The carrier is pushed forward, and the one-way clutch overruns.",
    )


def _where(one, state, load):
    """The ranges in which a train is in some state."""
    return frozenset(r for r in RANGES if state_in(one, r, load) == state)


@topic("engine braking")
def engine_braking(given):
    """The ranges in which the engine brakes the vehicle."""
    one = train(given)
    with_brake = frozenset(r for r in RANGES if "low brake" in one.range(r).applied)
    free = "a free one-way clutch does not always free the output. Trace the path."
    return Row(
        text="The vehicle drives the output. In which ranges does the engine brake?",
        options=RANGES,
        answer=_where(one, "drives", "coast"),
        slips=(
            slip("drive taken for coasting", _where(one, "drives", "drive")),
            slip("a free clutch taken for a free output", with_brake, free),
        ),
        hints=(
            "Ask in each range which part takes the reaction.",
            "Only a range that needs the one-way clutch can lose its braking.",
        ),
        reason="A range brakes if brakes and clutches alone make its path.",
    )


@topic("overrun speed", draw=another_unit)
def overrun_speed(given):
    """How fast the rear carrier turns in second range."""
    one = train(given)
    flow = flow_in(one, "2")
    carrier = flow.speeds["rear carrier"]
    turns = carrier / flow.speeds[one.output]
    return Number(
        text=f"{unit_of(one, given)}"
        " Range 2: the sun shaft is held. How many turns does the"
        " rear carrier make for one output turn? Write a minus for backward.",
        answer=turns,
        within=Fraction(1, 20),
        slips=(
            reciprocal(turns, "output", "rear carrier"),
            lost_sign(turns),
            slip("counted for one input turn", carrier),
            without_the_one(1 / (1 / turns - 1), "ring", "sun"),
        ),
        hints=(
            "Only the rear set matters. Its ring turns with the output.",
            "It is the case from the lone set: ring drives, sun held.",
        ),
        reason="The carrier runs forward, so the one-way clutch lets it.",
    )


@topic("reaction torque", draw=one_of(torque=(60, 80, 120)))
def reaction(given):
    """The torque on the one-way clutch in first range."""
    torque, flow = given["torque"], flow_in(train(given), "1")
    held = torque * flow.torques[LOW]
    return Number(
        text=f"Range 1 again, with your own count. The input gets {torque} N·m; leave"
        " losses out. The output torque is the ratio times the input torque. How much"
        f" torque does the {LOW} take?",
        answer=held,
        within=Fraction(torque, 8),
        unit="N·m",
        slips=(
            slip("the output torque", torque * flow.ratio),
            slip("the input torque", Fraction(torque)),
            slip("input and case counted together", held + 2 * torque),
        ),
        hints=(
            "Work out the output torque first, with your own count.",
            "Input and case push together. What does the input not give?",
        ),
        reason="Input and case together give the output torque.",
    )


@topic("flip it", prediction=True)
def flip_it(given):
    """A prediction: the clutch put in the wrong way round."""
    state = flow_in(flipped(train(given), LOW), "1").state
    return Choice(
        text=f"Somebody put the {LOW} in the wrong way round. Range 1, under power."
        " What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[state],
        reason="The carrier runs off backward, the way that the clutch now lets it.",
    )


@topic("flipped in range", draw=one_of(range=("2", "3", "1 low", "R")))
def flipped_range(given):
    """Another range with the clutch in the wrong way round, under power."""
    one = train(given)
    right, wrong = (state_in(t, given["range"]) for t in (one, flipped(one, LOW)))
    first = state_in(flipped(one, LOW), "1")
    other = "that is how it goes in range 1. What does the carrier do here?"
    return Choice(
        text=f"The {LOW} is in the wrong way round. Range {given['range']} is set,"
        " under power. What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[wrong],
        slips=(
            slip("the clutch not flipped", UNDER_POWER[right]),
            slip("first range everywhere", UNDER_POWER[first], other),
            slip("held taken for free", UNDER_POWER["drives"],
                 "flipped, it stops forward. Must the carrier run forward here?"),
            slip("free taken for held", UNDER_POWER["tied up"],
                 "flipped, it stops forward only. Is the carrier to run forward?"),
            slip("the wrong end taken for stuck", UNDER_POWER["output locked"],
                 "begin at the other end. Can you turn the crank?"),
        ),
        hints=(
            "Flipped, it lets the rear carrier turn backward only.",
            "Which way must the rear carrier turn in this range, if at all?",
        ),
        reason="Flipped, it stops a carrier that must run forward, and no other.",
    )  # fmt: skip


def flipped_coasting_before(given):
    """What revision 1 asked: not how far the input turns."""
    return Choice(
        text=f"The {LOW} is in the wrong way round. Range 1, coasting. What happens?",
        options=tuple(COASTING.values()),
        answer=COASTING[flow_in(flipped(train(given), LOW), "1", "coast").state],
    )


@topic("flipped and coasting", earlier=[flipped_coasting_before])
def flipped_coasting(given):
    """Range 1 with the clutch in the wrong way round, coasting."""
    one = train(given)
    flows = [flow_in(t, "1", "coast") for t in (one, flipped(one, LOW))]
    right, wrong = map(coasting, flows)
    return Choice(
        text=f"The {LOW} is still in the wrong way round. Range 1 again, but the"
        " vehicle drives. What happens, and how far does the input turn?",
        options=COAST_TURNS,
        answer=wrong,
        slips=(
            slip("the clutch not flipped", right),
            slip("the count turned over", LESS if wrong == MORE else MORE,
                 "the way is right. Who drives, and is the count of range 1 changed?"),
            slip("one held part taken for two", COASTING["tied up"],
                 "one held carrier stops nothing. Where does the motion go?"),
        ),
        hints=(
            "Which way does the vehicle push the rear carrier?",
            "Does the flipped clutch let the carrier turn that way?",
        ),
        reason="Flipped, it holds the carrier when the vehicle pushes it.",
    )  # fmt: skip


@topic("if it fails")
def if_it_fails(given):
    """The ranges that are lost when the one-way clutch no longer catches."""
    one = train(given)
    worn = without(one, LOW)
    lost = frozenset(r for r in RANGES if state_in(one, r) != state_in(worn, r))
    at_rest = frozenset(
        r for r in RANGES if flow_in(one, r).speeds["rear carrier"] == 0
    )
    beside = "does another part hold the carrier in one of these?"
    return Row(
        text=f"The {LOW} no longer catches. Which ranges drive no more under power?",
        options=RANGES,
        answer=lost,
        slips=(slip("the brake beside it forgotten", at_rest, beside),),
        hints=(
            "In which ranges does the rear carrier stand still?",
            "In which of these does nothing else hold it?",
        ),
        reason="Only a range that needs it is lost.",
    )


topic.explain(
    "why it freewheels",
    "Coasting, range 1 gives no engine braking, and 1 low does. Explain why.",
    "Under power the rear carrier is pushed backward, and the clutch holds.",
    "Coasting pushes the carrier forward. The clutch overruns, nothing holds.",
    "The low brake holds the carrier both ways.",
)


LAB = Lab(
    name="flip-one-way-clutches",
    title="Flip the one-way clutches",
    level=1,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
