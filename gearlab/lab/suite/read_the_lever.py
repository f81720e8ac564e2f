"""Lab 7, levers: ratio and direction of a range with a ruler, without algebra.

Two simple sets on one sun shaft are one lever with four nodes; each range is a line.
"""

from fractions import Fraction

from ..question.papers import Lab, Topic, drawn_anew
from ..question.question import Choice, Explanation, Number, Order, Row
from ..question.slips import another_range, lost_sign, reciprocal, slip
from .arms import held_and_driven, nearer_node, place_of_carrier, tip_in_second
from .cases import CASES
from .common import (
    BACKWARD,
    FORWARD,
    STILL,
    draw_falling,
    flow_in,
    one_of,
    ratios_of,
    suns_own,
    teeth_of,
    way_of,
)
from .three_range import RANGES, TRAIN, train

FORWARDS = ("1", "2", "3")
NODES = ("common-sun shaft", "rear carrier", "output shaft", "front ring")
LARGER, SMALLER, SAME = "more input turns", "fewer input turns", "just as many"


def draw(random):
    """Teeth with which the forward ranges lie apart."""
    return draw_falling(random, TRAIN, FORWARDS)


def way_in_reverse(given):
    """A prediction: on which side of the case line the output is."""
    return Choice(
        text="Range R holds the rear carrier and turns the rear sun forward. Which way"
        " does the rear ring turn?",
        options=(FORWARD, BACKWARD, STILL),
        answer=way_of(flow_in(train(given), "R").speeds["rear ring"]),
        reason="Sun and ring lie on two sides of the held node.",
    )


def reverse_ratio(given):
    """The ratio of reverse, from one set."""
    ratio = flow_in(train(given), "R").ratio
    return Number(
        text=f"Rear set: sun {given['rear sun']}, ring {given['rear ring']}. In range R"
        " its carrier is held and its sun drives. Its ring is the output. What ratio do"
        " you read? Write a minus for backward.",
        answer=ratio,
        within=Fraction(1, 10),
        slips=(
            reciprocal(ratio),
            lost_sign(ratio),
            slip("one added to a held carrier", ratio - 1),
            slip("one added to a held carrier", 1 - ratio),
        ),
        hints=(
            "The ruler goes through the carrier's node, on the case line.",
            "Compare the two lengths on your drawing. The longer arm goes farther.",
        ),
        reason="Sun and ring lie on two sides of the held node.",
    )


def more_ring_teeth(given):
    """A prediction: what a larger ring does to range 2."""
    # As many teeth as planets more leave the planets where they are.
    more = train(given).set("front").planets
    grown = {**given, "front ring": given["front ring"] + more}
    before, after = (flow_in(train(g), "2").ratio for g in (given, grown))
    options = (LARGER, SMALLER, SAME)
    return Choice(
        text=f"The front ring gets {more} teeth more. What does one output turn take in"
        " range 2 then?",
        options=options,
        answer=LARGER if after > before else SMALLER if after < before else SAME,
        reason="Range 2 is one, and sun over ring of the front set.",
    )


def first_ratio(given):
    """The ratio of first, from the lever of both sets."""
    one = train(given)
    ratios = ratios_of(one, ("1", "2", "R"))
    ratio = ratios.pop("1")
    return Number(
        text=f"{teeth_of(one)} Both sets are one lever. In range 1 the rear carrier"
        " stands and the front ring drives. What ratio do you read?",
        answer=ratio,
        within=Fraction(1, 20),
        slips=(
            reciprocal(ratio),
            *suns_own(one, "1", "common-sun shaft"),
            *another_range(ratios),
            slip(
                "the rear sets multiplied",
                ratios["2"] * abs(ratios["R"]),
                "the sets do not work in series. They share two shafts.",
            ),
        ),
        hints=(
            "Sun and output stand on both levers. Draw them equally far apart.",
            "Lay the ruler on the held node and on the input's tip.",
        ),
        reason="Two nodes settle the line, and the line settles the rest.",
    )


def sun_in_first(given):
    """How fast the common-sun shaft turns in first."""
    flow = flow_in(train(given), "1")
    speed = flow.speeds["common-sun shaft"]
    return Number(
        text=f"{teeth_of(train(given))} Range 1 again: read its line at the sun. How"
        " often does the common-sun shaft turn for one input turn? Write a minus for"
        " backward.",
        answer=speed,
        within=Fraction(1, 20),
        slips=(
            lost_sign(speed),
            slip("counted for one output turn", speed * flow.ratio),
            slip("the wrong node read", flow.speeds["output shaft"]),
        ),
        hints=(
            "The line goes on beyond the held node.",
            "Measure from the case line, and beside it the input's speed.",
        ),
        reason="The line crosses the case line at the held node.",
    )


def _at_a_node(given, node):
    """``{way: the ranges in which the node turns that way}``."""
    found = {}
    for each in RANGES:
        way = way_of(flow_in(train(given), each).speeds[node])
        found.setdefault(way, set()).add(each)
    return found


def draw_crossing(random, given):
    """A node, and one of the ways in which it turns."""
    node = random.choice(NODES)
    ways = sorted(_at_a_node(given, node))
    return {"node": node, "way": random.choice(ways)}


def ranges_at_a_node(given):
    """On which side of the case line the ranges cross a node."""
    found = _at_a_node(given, given["node"])
    does = "stand still" if given["way"] == STILL else f"turn {given['way']}"
    answer = frozenset(found.pop(given["way"]))
    others = [frozenset(ranges) for ranges in found.values()]
    return Row(
        text=f"On the lever, look across at the {given['node']}. In which ranges"
        f" does it {does}?",
        options=RANGES,
        answer=answer,
        slips=(
            *(slip("the wrong side of the case line", ranges) for ranges in others),
            slip("the one-way clutch forgotten", answer - {"1"}),
        ),
        hints=(
            "Draw one line for each range, through two nodes that you know.",
            "Held means on the case line. Joined to the input means one.",
        ),
        reason="The case line parts forward from backward.",
    )


def order_of_tips(given):
    """The nodes by their speeds, which is their order on the lever."""
    speeds = flow_in(train(given), given["range"]).speeds
    order = tuple(sorted(NODES, key=speeds.get, reverse=True))
    by_size = tuple(sorted(NODES, key=lambda node: abs(speeds[node]), reverse=True))
    return Order(
        text=f"Range {given['range']}, under power. Put the four nodes in order by"
        " speed. Backward counts as less than standing still.",
        options=NODES,
        answer=order,
        order="the fastest forward first",
        what="nodes",
        slips=(
            slip("the order turned round", order[::-1]),
            slip("size taken for speed", by_size),
        ),
        hints=(
            "One node is held. Which one turns with the input?",
            "The tips lie on a straight line. So what order can they have?",
        ),
        reason="On a straight line the tips keep the order of the nodes.",
    )


def why_a_straight_line(given):
    """An explanation of the arms."""
    return Explanation(
        text="Explain why a lever tells the speeds of a simple set. Why is the sun's"
        " arm as long as the ring has teeth? Ride on the carrier.",
        answer=None,
        points=(
            "Seen from the carrier, sun and ring turn opposite ways.",
            "The one with fewer teeth turns more, in proportion.",
            "The carrier's own turn moves all three tips alike.",
        ),
    )


LAB = Lab(
    name="read-the-lever",
    title="Read the lever",
    level=2,
    core=False,
    minutes=40,
    draw=draw,
    train=train,
    topics=drawn_anew(
        Topic(name="nearer node", ask=nearer_node, prediction=True),
        Topic(name="place of the carrier", ask=place_of_carrier),
        Topic(name="tip in second", ask=tip_in_second),
        Topic(name="way in reverse", ask=way_in_reverse, prediction=True),
        Topic(name="reverse with a ruler", ask=reverse_ratio),
        Topic(
            name="held and driven",
            ask=held_and_driven,
            draw=one_of("case", CASES),
        ),
        Topic(name="more ring teeth", ask=more_ring_teeth, prediction=True),
        Topic(name="first with a ruler", ask=first_ratio),
        Topic(name="sun in first", ask=sun_in_first),
        Topic(name="ranges at a node", ask=ranges_at_a_node, draw=draw_crossing),
        Topic(
            name="order of the tips",
            ask=order_of_tips,
            draw=one_of("range", ("1", "2", "R")),
        ),
        Topic(name="why a straight line", ask=why_a_straight_line, marks=3),
    ),
)
