"""The lever of one gear set: how long its arms are, and what they say of a speed."""

from fractions import Fraction

from ...solve.levers import set_lever
from ..question.question import Choice, Number
from ..question.slips import slip
from .cases import MEMBERS
from .common import BACKWARD, FORWARD, flow_in, with_drawn_teeth
from .three_range import train

LEVER_LONG, INPUT_LONG = 200, 100  # millimetres on the student's drawing


def _front(given):
    return f"Front set: sun {given['front sun']}, ring {given['front ring']}."


def nearer_node(given):
    """A prediction: which outer node lies nearer to the carrier."""
    sun, carrier, ring = _places(given)
    return Choice(
        text=f"{_front(given)} On its lever the carrier stands between the other two."
        " Which of them is nearer?",
        options=("the sun", "the ring"),
        answer="the sun" if carrier - sun < ring - carrier else "the ring",
        reason="The arm to the ring is as long as the sun has teeth.",
    )


def _places(given):
    """Where sun, carrier and ring of the front set stand on its lever."""
    places = {
        member.removeprefix("front "): node.position
        for node in set_lever(train(given), "front").nodes
        for member in node.members
    }
    return [places[member] for member in MEMBERS]


def place_of_carrier(given):
    """Where the carrier stands on a lever that is drawn by hand."""
    sun, carrier, ring = _places(given)
    at = LEVER_LONG * (carrier - sun) / (ring - sun)
    teeth = given["front sun"], given["front ring"]
    return Number(
        text=f"{_front(given)} You draw its lever {LEVER_LONG} mm long, from the sun to"
        " the ring. How far from the sun do you draw the carrier?",
        answer=at,
        within=Fraction(2),
        unit="mm",
        slips=(
            slip(
                "ring and sun swapped",
                LEVER_LONG - at,
                "you have drawn it nearer to the sun. Which gear has more teeth?",
            ),
            slip("one arm over the other", LEVER_LONG * Fraction(*teeth)),
        ),
        hints=(
            "One arm is as long as the ring has teeth, the other as the sun.",
            "All teeth together are the whole length. What part is the first arm?",
        ),
        reason="From sun to carrier it is as far as the ring has teeth.",
    )


def tip_in_second(given):
    """How long the carrier's speed is, beside the input's."""
    speed = flow_in(train(given), "2").speeds["output shaft"]
    tip = INPUT_LONG * speed
    return Number(
        text=f"{_front(given)} Range 2 holds the sun and drives the ring. You draw the"
        f" ring's speed {INPUT_LONG} mm long, and lay the ruler on. How long is the"
        " carrier's speed?",
        answer=tip,
        within=Fraction(2),
        unit="mm",
        slips=(
            slip("measured from the wrong end", INPUT_LONG - tip),
            slip(
                "the reciprocal", INPUT_LONG / speed, "that is longer than the ring's."
            ),
        ),
        hints=(
            "The sun's tip is on the case line. The ring's is 100 mm to the right.",
            "The ruler joins both tips. Read it at the carrier's height.",
        ),
        reason="A speed is as long as it is far from the held node.",
    )


def _ways(forward, faster):
    return f"{'faster' if faster else 'slower'}, {forward}"


def held_and_driven(given):
    """From the place of the nodes to size and direction, for one set alone."""
    drives, driven = given["case"].split(" to ")
    (held,) = (member for member in MEMBERS if member not in (drives, driven))
    found = {
        each: _seen(flow_in(_lone(given), each).ratio)
        for each in (given["case"], f"{driven} to {drives}")
    }
    answer, turned = found.values()
    (size, way), (other_size, _) = answer.split(", "), turned.split(", ")
    other = BACKWARD if way == FORWARD else FORWARD
    return Choice(
        text=f"{_front(given)} Take it alone. The {held} is held and the {drives} turns"
        f" forward. How does the {driven} turn, beside the {drives}?",
        options=tuple(_ways(w, f) for w in (FORWARD, BACKWARD) for f in (False, True)),
        answer=answer,
        slips=(
            slip("input and output swapped", turned),
            slip("the lost sign", f"{size}, {other}"),
            slip("size and way both", f"{other_size}, {other}",
                 "neither size nor way fits. Where is the held node?"),
        ),
        hints=(
            "Put the ruler on the held node, and turn it there.",
            "Is the driven node on the driver's side? Is it farther out?",
        ),
        reason="The side gives the way, and the distance gives the size.",
    )  # fmt: skip


def _lone(given):
    """The front set by itself; it has as many planets as the lone set."""
    teeth = {f"single {m}": given[f"front {m}"] for m in ("sun", "ring")}
    return with_drawn_teeth("lone-set", teeth)


def _seen(ratio):
    return _ways(FORWARD if ratio > 0 else BACKWARD, abs(ratio) < 1)
