"""Lab 1, one set by hand: who is held, who drives, which way and how fast.

A set is held, driven and watched: six cases, direct and neutral.
"""

from fractions import Fraction

from ...catalogue import load_train
from ...powerflow import power_flow
from ..papers import Lab, Topic
from ..question import Choice, Number
from ..slips import lost_sign, reciprocal, slip, without_the_one

TRAIN = load_train("lone-set")


def draw(random):
    """Teeth of a set with four planets that can be spaced equally."""
    sun = random.choice(range(20, 41))
    ring = random.choice([n for n in range(56, 97) if (sun + n) % 4 == 0])
    return {"sun": sun, "ring": ring}


def train(given):
    """The lone set with the student's teeth."""
    teeth = {"sun": given["sun"], "ring": given["ring"]}
    return TRAIN.with_teeth({"single": teeth})


def first_reduction(given):
    """Sun drives, ring held: the ratio to the carrier."""
    ratio = power_flow(train(given), "sun to carrier").ratio
    return Number(
        text=f"Sun {given['sun']}, ring {given['ring']}. The ring is held, the sun"
        " drives. How many turns of the sun make one turn of the carrier?",
        answer=ratio,
        within=Fraction(1, 20),
        slips=(
            reciprocal(ratio),
            without_the_one(ratio),
            lost_sign(ratio),
            slip("ring and sun swapped", 1 + 1 / (ratio - 1)),
        ),
        hints=(
            "Turn the sun once. How far does the carrier come?",
            "The ratio is 1 + ring / sun.",
        ),
        reason="The ring is held, so it is 1 + ring / sun.",
    )


def which_way_first(given):
    """A prediction: which way the carrier goes."""
    return Choice(
        text="The ring is held and the sun turns forward. Which way does the carrier"
        " turn?",
        options=("forward", "backward", "it stands still"),
        answer="forward",
    )


LAB = Lab(
    name="turn-one-set",
    title="Turn one set by hand",
    level=1,
    core=True,
    minutes=40,
    draw=draw,
    train=train,
    topics=(
        Topic(name="which way first", ask=which_way_first, prediction=True),
        Topic(name="first reduction", ask=first_reduction),
    ),
)
