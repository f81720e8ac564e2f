"""A lab with one question of each form, for the tests of what shows any lab."""

from fractions import Fraction

from gearlab import load_train, power_flow
from gearlab.draw import draw_end_view
from gearlab.lab.question.papers import Lab, Topic
from gearlab.lab.question.question import (
    Choice,
    Explanation,
    Number,
    Order,
    Point,
    Row,
)
from gearlab.lab.question.slips import reciprocal

TRAIN = load_train("lone-set")
CASE = "sun to carrier"


def draw(random):
    """A sun and a ring that four planets fit."""
    return {"sun": random.choice(range(20, 61, 4)), "ring": 100}


def train(given):
    """The lone set with these teeth."""
    return TRAIN.with_teeth({"single": {"sun": given["sun"], "ring": given["ring"]}})


def number(given):
    ratio = power_flow(train(given), CASE).ratio
    return Number(
        text=f"Sun {given['sun']}, ring {given['ring']}, the ring held: what ratio?",
        answer=ratio,
        within=Fraction(1, 20),
        unit="turns",
        slips=(reciprocal(ratio),),
        hints=("Turn it once.", "Count the ring as well."),
        reason="One is added for the carrier.",
    )


def choice(given):
    return Choice(
        text="Which member is <held>?",
        options=("sun", "ring", "carrier & pins"),
        answer="ring",
    )


def point(given):
    return Point(
        text="Which letter is the sun?",
        options=("A", "B", "C"),
        answer="B",
        picture=lambda **look: draw_end_view(
            power_flow(train(given), CASE), "single", **look
        ),
    )


def row(given):
    return Row(
        text="Which elements are applied?",
        options=("low brake", "forward clutch", "direct clutch"),
        answer=frozenset({"low brake", "forward clutch"}),
    )


def order(given):
    return Order(
        text="Which way does the power go?",
        options=("sun", "planet", "ring", "carrier"),
        answer=("sun", "planet", "carrier"),
    )


def explanation(given):
    return Explanation(text="Why one?", points=("the pins", "the sum", "the ring"))


def prediction(given):
    return Choice(text="Which way?", options=("forward", "backward"), answer="forward")


FORMS = {
    "which way": Topic(name="which way", ask=prediction, prediction=True),
    "what ratio": Topic(name="what ratio", ask=number, marks=2),
    "what is held": Topic(name="what is held", ask=choice),
    "where is the sun": Topic(name="where is the sun", ask=point),
    "what is applied": Topic(name="what is applied", ask=row),
    "which order": Topic(name="which order", ask=order),
    "why one": Topic(name="why one", ask=explanation, marks=3),
}
LAB = Lab(
    name="turn-one-set",
    title="A lab <for> trying",
    level=1,
    core=True,
    minutes=10,
    topics=tuple(FORMS.values()),
    draw=draw,
    train=train,
)
RIGHT = {
    "what is held": "ring",
    "where is the sun": "B",
    "what is applied": ["forward clutch", "low brake"],
    "which order": ("sun", "planet", "carrier"),
}
WRONG = {
    "what is held": "sun",
    "where is the sun": "C",
    "what is applied": [],
    "which order": ("sun", "carrier", "planet"),
}
