"""Lab 2, one-way clutches: which holds, which overruns, and where the engine brakes.

One clutch on the rear carrier of the three-range unit, under power and coasting, put in
the right way round, the wrong way round, and worn out.
"""

from fractions import Fraction

from ...describe import element_states, held_by
from ..papers import Lab, Topic
from ..question import Choice, Explanation, Number, Point, Row
from ..slips import another_range, lost_sign, reciprocal, slip
from .common import (
    COASTING,
    UNDER_POWER,
    draw_falling,
    flipped,
    flow_in,
    lettered,
    one_of,
    ratios_of,
    teeth_of,
    with_drawn_teeth,
    without,
)

TRAIN, LOW = "three-range", "low one-way clutch"
RANGES = ("1", "2", "3", "1 low", "R")
# What a unit does, as an answer; the states are those of a PowerFlow.
STATES = {
    "holds": "it holds the rear carrier",
    "overruns": "it overruns",
    "backs up": "it backs up the low brake",
}


def draw(random):
    """Teeth with which three ranges fall, and can be told apart by counting."""
    return draw_falling(random, TRAIN, ("1", "2", "3"), least=1.25)


def train(given):
    """The three-range unit with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def who_holds(given):
    """A prediction: what holds the rear carrier in first range."""
    (holder,) = held_by(flow_in(train(given), "1"))["rear carrier"]
    return Choice(
        text="Range 1: only the forward clutch is applied. The engine drives, the"
        " output is loaded. What keeps the rear carrier from turning?",
        options=("the low brake", "the common-sun brake", f"the {LOW}", "nothing"),
        answer=f"the {holder}",
    )


def find_it(given):
    """The one-way clutch in the stick diagram, where parts go by letters."""
    one = train(given)
    letters = dict(zip(_parts(one), given["letters"], strict=True))
    no_symbol = "look at the symbol. Which one shows a free way round?"
    return Point(
        text=f"The stick diagram names its parts by letters. Which part is the {LOW}?",
        options=tuple(sorted(letters.values())),
        answer=letters[LOW],
        slips=tuple(
            slip("another part pointed at", letter, no_symbol)
            for letter in letters.values()
        ),
        hints=(
            "Find the rear carrier first. What stands between it and the case?",
            "Two parts can hold the rear carrier. One of them has a free way.",
        ),
        reason="It stands between the rear carrier and the case, beside the brake.",
        picture=lettered(one, letters, end="output"),
    )


def draw_letters(random, given):
    """A letter for every part, in any order."""
    count = len(_parts(train(given)))
    return {"letters": "".join(random.sample("ABCDEFGH"[:count], count))}


def _parts(one):
    return (*one.element_names, *(part.name for part in one.one_way_clutches))


def first_count(given):
    """The count of first range, on the panel or at the bench."""
    one = train(given)
    ratios = ratios_of(one, ("1", "2", "3", "R"))
    ratio = ratios.pop("1")
    return Number(
        text=f"{teeth_of(one)} Take range 1 under power. How many input turns make one"
        " output turn? Write a minus for backward.",
        answer=ratio,
        within=Fraction(1, 8),
        unit="turns",
        slips=(
            reciprocal(ratio),
            lost_sign(ratio),
            slip("the start mark counted", ratio + 1),
            *another_range(ratios),
        ),
        hints=(
            "Set range 1 on the panel. Bring the marks to the top.",
            "Turn on to one output turn. Read the whole turns and the rest.",
        ),
        reason="The one-way clutch holds, so first range has a ratio at all.",
    )


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
        slips=(slip("first range everywhere", STATES[first], words),),
        hints=(
            "Look at the rear carrier. Does it turn, and which way?",
            "If the carrier stands still, ask whether a brake holds it too.",
        ),
        reason="What the carrier does settles it, and what else holds the carrier.",
    )


def coasting_in_first(given):
    """A prediction: range 1 on the overrun."""
    state = flow_in(train(given), "1", "coast").state
    return Choice(
        text="Range 1. The engine idles now and the vehicle drives the output. What"
        " happens?",
        options=tuple(COASTING.values()),
        answer=COASTING[state],
    )


def _where(one, state, load):
    """The ranges in which a train is in some state."""
    return frozenset(r for r in RANGES if flow_in(one, r, load).state == state)


def engine_braking(given):
    """The ranges in which the vehicle drives the engine."""
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


def overrun_speed(given):
    """How fast the rear carrier turns in second range."""
    one = train(given)
    flow = flow_in(one, "2")
    carrier = flow.speeds["rear carrier"]
    turns = carrier / flow.speeds[one.output]
    return Number(
        text=f"{teeth_of(one)} Range 2: the sun shaft is held. How many turns does the"
        " rear carrier make for one output turn? Write a minus for backward.",
        answer=turns,
        within=Fraction(1, 20),
        slips=(
            reciprocal(turns),
            lost_sign(turns),
            slip("counted for one input turn", carrier),
            slip("the tooth ratio without the one", 1 / (1 / turns - 1)),
        ),
        hints=(
            "Only the rear set matters. Its ring turns with the output.",
            "It is the case from the lone set: ring drives, sun held.",
        ),
        reason="The carrier runs forward, so the one-way clutch lets it.",
    )


def reaction(given):
    """The torque on the one-way clutch in first range."""
    torque, flow = given["torque"], flow_in(train(given), "1")
    held = torque * flow.torques[LOW]
    return Number(
        text=f"Range 1 again, with your own count. The engine gives {torque} N·m; leave"
        f" losses out. How much torque does the {LOW} take?",
        answer=held,
        within=Fraction(torque, 8),
        unit="N·m",
        slips=(
            slip("the output torque", torque * flow.ratio),
            slip("the input torque", Fraction(torque)),
            slip("input and case counted together", held + 2 * torque),
        ),
        hints=(
            "The output torque is the ratio times the input torque.",
            "Input and case push together. What does the input not give?",
        ),
        reason="Input and case together give the output torque.",
    )


def flip_it(given):
    """A prediction: the clutch put in the wrong way round."""
    state = flow_in(flipped(train(given), LOW), "1").state
    return Choice(
        text=f"Somebody put the {LOW} in the wrong way round. Range 1, under power."
        " What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[state],
    )


def flipped_range(given):
    """Another range with the clutch in the wrong way round, under power."""
    one = train(given)
    right, wrong = (flow_in(t, given["range"]).state for t in (one, flipped(one, LOW)))
    first = flow_in(flipped(one, LOW), "1").state
    other = "that is how it goes in range 1. What does the carrier do here?"
    return Choice(
        text=f"The {LOW} is in the wrong way round. Range {given['range']} is set,"
        " under power. What happens?",
        options=tuple(UNDER_POWER.values()),
        answer=UNDER_POWER[wrong],
        slips=(
            slip("the clutch not flipped", UNDER_POWER[right]),
            slip("first range everywhere", UNDER_POWER[first], other),
        ),
        hints=(
            "Flipped, it lets the rear carrier turn backward only.",
            "Which way must the rear carrier turn in this range, if at all?",
        ),
        reason="Flipped, it stops a carrier that must run forward, and no other.",
    )


def flipped_coasting(given):
    """Range 1 with the clutch in the wrong way round, coasting."""
    one = train(given)
    right, wrong = (flow_in(t, "1", "coast").state for t in (one, flipped(one, LOW)))
    return Choice(
        text=f"The {LOW} is still in the wrong way round. Range 1 again, but the"
        " vehicle drives. What happens?",
        options=tuple(COASTING.values()),
        answer=COASTING[wrong],
        slips=(slip("the clutch not flipped", COASTING[right]),),
        hints=(
            "Which way does the vehicle push the rear carrier?",
            "Does the flipped clutch let the carrier turn that way?",
        ),
        reason="Flipped, it holds the carrier against the vehicle, not the engine.",
    )


def if_it_fails(given):
    """The ranges that are lost when the one-way clutch no longer catches."""
    one = train(given)
    worn = without(one, LOW)
    lost = frozenset(
        r for r in RANGES if flow_in(one, r).state != flow_in(worn, r).state
    )
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


def why_it_freewheels(given):
    """An explanation of engine braking in first range and in 1 low."""
    return Explanation(
        text="On the overrun range 1 gives no engine braking, and 1 low does. Explain"
        " why.",
        answer=None,
        points=(
            "Under power the rear carrier is pushed backward, and the clutch holds.",
            "Coasting pushes the carrier forward. The clutch overruns, nothing holds.",
            "The low brake holds the carrier both ways.",
        ),
    )


LAB = Lab(
    name="flip-one-way-clutches",
    title="Flip the one-way clutches",
    level=1,
    core=True,
    minutes=35,
    draw=draw,
    train=train,
    topics=(
        Topic(name="who holds", ask=who_holds, prediction=True),
        Topic(name="find it", ask=find_it, draw=draw_letters),
        Topic(name="first count", ask=first_count),
        Topic(
            name="what it does",
            ask=what_it_does,
            draw=one_of("range", ("2", "3", "1 low")),
        ),
        Topic(name="coasting in first", ask=coasting_in_first, prediction=True),
        Topic(name="engine braking", ask=engine_braking),
        Topic(name="overrun speed", ask=overrun_speed),
        Topic(
            name="reaction torque", ask=reaction, draw=one_of("torque", (60, 80, 120))
        ),
        Topic(name="flip it", ask=flip_it, prediction=True),
        Topic(
            name="flipped in range",
            ask=flipped_range,
            draw=one_of("range", ("2", "3", "1 low", "R")),
        ),
        Topic(name="flipped and coasting", ask=flipped_coasting),
        Topic(name="if it fails", ask=if_it_fails),
        Topic(name="why it freewheels", ask=why_it_freewheels, marks=3),
    ),
)
