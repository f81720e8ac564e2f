"""Where the power goes: its path, its branches, and a load that two parts share."""

from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from ...base.numerals import number, rounded
from ...solve.paths import power_paths
from ...solve.powerflow import LOAD_WORDS, power_flow
from ...train.train import Brake
from ..question.question import Choice, Number, Order
from ..question.slips import slip
from .common import flow_in
from .unit import shipped, train

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


def teeth_of_sets(given, *names):
    """The tooth counts of some sets, in sentences."""
    return " ".join(
        f"{name.capitalize()} set: sun {given[f'{name} sun']},"
        f" ring {given[f'{name} ring']}."
        for name in names
    )


@lru_cache
def _way(range, load):
    """The parts that all the power takes, in order; ends and shafts left out."""
    ((_, links),) = power_paths(flow_in(shipped(), range, load)).paths
    return tuple(link.through for link in links if link.through in PARTS)


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


def draw_way(random, given):
    """A range with one path only, and who drives."""
    return {"way": list(random.choice(WAYS))}


def _share(flow, part):
    """How much of the power goes through a part [%]."""
    paths = power_paths(flow).paths
    return 100 * sum(
        share for share, links in paths if part in {link.through for link in links}
    )


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
def _who_takes():
    """What two brakes on the rear carrier take in 1 low, as an option."""
    one, second = shipped(), Brake(name="second low brake", member="rear carrier")
    both = replace(one, brakes=(*one.brakes, second))
    flow = power_flow(both, applied=(*one.range("1 low").applied, second.name))
    taken = [flow.torques[name] for name in ("low brake", second.name)]
    if None in taken:
        return TOGETHER
    return HALVES if taken[0] == taken[1] else ONE_ALL if taken[0] else OTHER_ALL


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
