"""Lab 9, torque and power: who takes how much, which way it goes, what is lost.

The five-range unit: the case gives what the output gets beyond the input, and what is
held has torque but no power.
"""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import combinations

from ...base.numerals import number, rounded
from ...solve.paths import power_paths
from ...solve.powerflow import LOAD_WORDS, power_flow
from ...train.train import Brake
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Also, Choice, Number, Order, Row
from ..question.slips import lost_sign, slip
from .common import CONVENTION, by_sign, flow_in, one_of
from .five_range import draw as draw_unit
from .five_range import elements_of, shipped, train

NEAR = Fraction(1)  # of torques [N·m] and of shares [%]
# Members on the way, and some that are not, by the range that is asked.
PARTS = (
    "front carrier",
    "front ring",
    "forward clutch",
    "direct clutch",
    "middle ring",
    "middle carrier",
    "rear sun",
    "rear carrier",
    "rear ring",
)
WAYS = tuple((name, load) for name in ("3", "R") for load in ("drive", "coast"))
TOGETHER, HALVES = "only their sum is known", "each takes half"
ONE_ALL, OTHER_ALL = "the first takes all", "the second takes all"
INPUTS = (80, 100, 120, 150, 200)  # input torques [N·m]
EXTERNAL, INTERNAL = (960, 965, 970, 975), (980, 985, 990)
LARGER, SMALLER = "larger than the input torque", "smaller than the input torque"
JUST = "just as large"
FAST, LOADED = "with more turns", "with as many turns, but less torque"
LESS_OF_BOTH = "with more turns and less torque"


def draw(random):
    """Teeth, an input torque [N·m], and what each kind of mesh passes on [‰]."""
    return draw_unit(random) | {
        "torque": random.choice(INPUTS),
        "external": random.choice(EXTERNAL),
        "internal": random.choice(INTERNAL),
    }


topic = Topics()


@topic("reaction in first", prediction=True)
def reaction_in_first(given):
    """A prediction: how large the reaction in first is."""
    torque = flow_in(train(given), "1").torques["low one-way clutch"]
    return by_sign(
        "Range 1, under power. The low one-way clutch holds the rear carrier. How"
        " large is its torque?",
        {1: LARGER, -1: SMALLER, 0: JUST},
        torque - 1,
        "The case gives what the output gets beyond the input.",
    )


@topic("brake in third")
def brake_in_third(given):
    """What the common-sun brake takes, by the balance of the whole unit."""
    flow, torque = flow_in(train(given), "3"), given["torque"]
    return Number(
        text=f"Range 3 has the ratio {number(flow.ratio)}. The input torque is {torque}"
        " N·m, and the output torque is the ratio times that. How much does the"
        " common-sun brake take?",
        answer=flow.torques["common-sun brake"] * torque,
        within=NEAR,
        unit="N·m",
        slips=(
            slip("the output torque", flow.ratio * torque),
            slip("the input torque", Fraction(torque)),
            slip("input and case counted together", (flow.ratio + 1) * torque),
        ),
        hints=(
            "The turns go down, the torque goes up: work the output torque out first.",
            "Input and case give it together. What is missing to the input?",
        ),
        reason="Input and case together balance the output.",
    )


@topic("brake in reverse")
def brake_in_reverse(given):
    """What the low brake takes in reverse, with its direction."""
    flow, torque = flow_in(train(given), "R"), given["torque"]
    answer = flow.torques["low brake"] * torque
    out = flow.ratio * torque
    return Number(
        text=f"Range R has the ratio {number(flow.ratio)}. The input torque is {torque}"
        " N·m. With how much does the low brake hold the rear carrier? Write a minus"
        " if it pushes backward.",
        answer=answer,
        within=NEAR,
        unit="N·m",
        slips=(
            lost_sign(answer),
            slip("the output torque", out),
            slip("the output torque", -out),
            slip("the input taken off in reverse", out + torque),
            slip("the input taken off in reverse", -out - torque),
        ),
        hints=(
            "The output gets its torque backward, the input gives its own forward.",
            "The case must make up for both. Do they add or not?",
        ),
        reason="In reverse the case makes up for output and input.",
    )


def teeth_of_sets(given, *names):
    """The tooth counts of some sets, in sentences."""
    return " ".join(
        f"{name.capitalize()} set: sun {given[f'{name} sun']},"
        f" ring {given[f'{name} ring']}."
        for name in names
    )


@topic("brake on the front set")
def brake_on_front_set(given):
    """What the overdrive brake takes, by the balance of the front set."""
    flow, torque = flow_in(train(given), "2"), given["torque"]
    held = flow.torques["overdrive brake"]
    sun, ring = given["front sun"], given["front ring"]
    return Number(
        text=f"{teeth_of_sets(given, 'front')} Range 2. The input turns the front"
        f" carrier with {torque} N·m. With how much does the overdrive brake hold the"
        " sun? Write a minus for backward.",
        answer=held * torque,
        within=NEAR,
        unit="N·m",
        slips=(
            lost_sign(held * torque),
            slip("ring and sun swapped", (-1 - held) * torque),
            slip(
                "the tooth ratio without the one",
                -Fraction(sun, ring) * torque,
                "the ring does not get the whole input torque. It is shared out.",
            ),
        ),
        hints=(
            "The planet pushes sun and ring with equal force at the teeth.",
            "So the carrier's torque is shared out as the teeth are.",
        ),
        reason="The carrier's torque goes to sun and ring by their teeth.",
    )


@topic("a held part", prediction=True)
def held_part(given):
    """A prediction: whether a held part has power."""
    flow = flow_in(train(given), "3")
    options = ("torque and power", "torque, but no power", "power, but no torque")
    torque = flow.torques["common-sun brake"]
    power = torque * flow.speeds["common-sun shaft"]
    return Choice(
        text="Range 3. The common-sun brake holds the common-sun shaft. What does it"
        " put on the shaft?",
        options=options,
        answer=options[0] if power else options[1] if torque else options[2],
        reason="Power is torque times speed, and a held part has no speed.",
    )


def draw_way(random, given):
    """A range with one path only, and who drives."""
    return {"way": list(random.choice(WAYS))}


@lru_cache
def _way(range, load):
    """The parts that all the power takes, in order; ends and shafts left out."""
    ((_, links),) = power_paths(flow_in(shipped(), range, load)).paths
    return tuple(link.through for link in links if link.through in PARTS)


@topic("way through", draw=draw_way)
def way_through(given):
    """The path of the power, in order."""
    name, load = given["way"]
    answer, other = _way(name, load), _way("R" if name == "3" else "3", load)
    return Order(
        text=f"Range {name}, {LOAD_WORDS[load]}. Which parts does the power go through,"
        " one after the other?",
        options=PARTS,
        answer=answer,
        slips=(
            slip("the order turned round", answer[::-1]),
            slip("the path of another range", other),
        ),
        hints=(
            "Look on the stick diagram for the clutch that is applied.",
            "Power leaves a set through a member that turns and carries torque.",
        ),
        reason="Held members and free ones are no part of the path.",
    )


def _share(flow, part):
    """How much of the power goes through a part [%]."""
    paths = power_paths(flow).paths
    return 100 * sum(
        share for share, links in paths if part in {link.through for link in links}
    )


@topic("share in fourth")
def share_in_fourth(given):
    """Split power where the unit turns as one."""
    share = _share(flow_in(train(given), "4"), "direct clutch")
    sun, ring = given["middle sun"], given["middle ring"]
    return Number(
        text=f"{teeth_of_sets(given, 'middle')} Range 4 turns as one piece. The forward"
        " clutch takes power to the ring. The direct clutch takes power to the sun."
        " What part of the whole goes through the direct clutch?",
        answer=share,
        within=NEAR,
        unit="percent",
        slips=(
            slip("the other branch", 100 - share),
            slip(
                "the tooth ratio without the one",
                100 * Fraction(sun, ring),
                "that is one gear over the other. What is the whole?",
            ),
        ),
        hints=(
            "All turn alike, so the power is shared as the torque is.",
            "The carrier gathers the torque of both gears, by their teeth.",
        ),
        reason="Sun over sun and ring: torque is shared by teeth.",
    )


@topic("share in first")
def share_in_first(given):
    """Split power where the parts turn unlike."""
    flow = flow_in(train(given), "1")
    share = _share(flow, "middle carrier")
    return Number(
        text=f"{teeth_of_sets(given, 'middle', 'rear')} Range 1 has the ratio"
        f" {number(flow.ratio)}. A part of the power goes straight out at the middle"
        " carrier. What part of the whole is it?",
        answer=share,
        within=NEAR,
        unit="percent",
        slips=(
            slip("the other branch", 100 - share),
            slip(
                "torque taken for power",
                share * flow.ratio,
                "that compares torques. How fast does the carrier turn?",
            ),
        ),
        hints=(
            "The middle ring gets the input torque. What does its carrier get?",
            "Power is torque times speed. The carrier turns with the output.",
        ),
        reason="Torque times speed at the carrier; the sun takes the rest.",
    )


@lru_cache
def _rubbing():
    """Reverse with the losses of a handbook."""
    return power_flow(shipped(), "R", losses={})


@topic("with friction", prediction=True)
def more_turns(given):
    """A prediction: what friction at the teeth changes."""
    free, real = flow_in(shipped(), "R"), _rubbing()
    turns, torque = real.ratio != free.ratio, real.torque_ratio != free.torque_ratio
    answer = LESS_OF_BOTH if turns and torque else FAST if turns else LOADED
    return Choice(
        text="Every mesh loses a little by friction. How does the output turn then, for"
        " one input turn and torque?",
        options=(FAST, LOADED, LESS_OF_BOTH),
        answer=answer,
        reason="Teeth settle the turns whatever the friction; the torque gets less.",
    )


@topic("torque with losses")
def with_losses(given):
    """The output torque in reverse with losses."""
    torque = given["torque"]
    passed = {kind: Fraction(given[kind], 1000) for kind in ("external", "internal")}
    flow = power_flow(train(given), "R", losses=passed)
    out = abs(flow.torque_ratio) * torque
    shown = [
        f"An {kind} mesh passes on {number(100 * part)} % of the power."
        for kind, part in passed.items()
    ]
    return Number(
        text=f"Range R has the ratio {number(flow.ratio)}. The input torque is {torque}"
        f" N·m. {' '.join(shown)} How large is the output torque?",
        answer=out,
        within=NEAR,
        unit="N·m",
        slips=(
            slip("the losses forgotten", abs(flow.ratio) * torque),
            slip("a loss that drives", abs(flow.ratio) * torque / flow.efficiency),
            slip("one mesh forgotten", out / passed["external"]),
            slip("one mesh forgotten", out / passed["internal"]),
        ),
        hints=(
            "The front set turns as one piece: no tooth moves past another.",
            "In the rear set the power goes through two meshes, one after the other.",
        ),
        reason="Each mesh takes its part of what is left.",
    )


@topic("who carries", draw=one_of(range=("1", "2", "3", "4", "5", "R", "1 low")))
def who_carries(given):
    """The elements that carry torque in a range."""
    one = shipped()
    flow = flow_in(one, given["range"])
    carrying = frozenset(name for name in one.by_name if flow.torques[name])
    beside = frozenset(flow.backing_up)
    return Row(
        text=f"Range {given['range']}, under power. Which clutches, brakes and one-way"
        " clutches carry torque? Beside a one-way clutch that backs it up, we say that"
        " the applied element carries; that is a convention.",
        options=elements_of(one),
        answer=carrying,
        also=tuple(
            Also(answer=carrying | set(names), words=CONVENTION)
            for count in range(1, len(beside) + 1)
            for names in combinations(one.in_order(beside), count)
        ),
        slips=(
            slip("the one-way clutch forgotten", frozenset(flow.applied)),
            slip("an idle clutch counted", carrying | beside | flow.at_rest),
            slip("a free clutch taken for one that holds", carrying | flow.overrunning),
        ),
        hints=(
            "Take the applied elements first. Does each have work to do?",
            "Which one-way clutch holds with nothing applied beside it?",
        ),
        reason="What is applied carries, and a one-way clutch where it holds alone.",
    )


@lru_cache
def _who_takes():
    """What two brakes on the rear carrier take in 1 low, as an option."""
    one, second = shipped(), Brake(name="second low brake", member="rear carrier")
    both = replace(one, brakes=(*one.brakes, second))
    flow = power_flow(both, applied=(*one.range("1 low").applied, second.name))
    taken = [flow.torques[name] for name in ("low brake", second.name)]
    if None in taken:
        return TOGETHER
    return HALVES if taken[0] == taken[1] else ONE_ALL if taken[0] else OTHER_ALL


@topic("two brakes")
def two_brakes(given):
    """Shared load, which counts and teeth cannot settle."""
    # What the case gives in first, whoever holds.
    held = flow_in(train(given), "1").torques["low one-way clutch"]
    torque = number(rounded(held * given["torque"]))
    return Choice(
        text=f"In 1 low the rear carrier must be held with {torque} N·m. Say two brakes"
        " hold it, both applied. How much does each take?",
        options=(TOGETHER, HALVES, ONE_ALL, OTHER_ALL),
        answer=_who_takes(),
        slips=(
            slip("shared out by guess", HALVES),
            slip("shared out by guess", ONE_ALL, "what if the second one grips too?"),
            slip("shared out by guess", OTHER_ALL, "what if the first one grips too?"),
        ),
        hints=(
            "The balance gives one number for both. How many are asked?",
            "What if one brake grips a little harder than the other?",
        ),
        reason="Who takes how much depends on play and pressure, not on teeth.",
    )


topic.explain(
    "where torque comes from",
    "In first the output gets more torque than the input gives. No power is"
    " made. Explain where the torque comes from, and why it costs no power.",
    "The case gives the rest, through the held member.",
    "The held member stands still: torque, but no power.",
    "The output turns slower by as much as its torque is larger.",
)


LAB = Lab(
    name="follow-the-power",
    title="Follow the power",
    level=3,
    core=False,
    minutes=45,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
