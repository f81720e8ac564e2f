"""Lab 7, levers: ratio and direction of a range with a ruler, without algebra.

Two simple sets on one sun shaft are one lever with four nodes; each range is a line.
"""

from fractions import Fraction

from ...solve.levers import set_lever
from ..question.papers import Lab, Topics, drawn_anew
from ..question.question import Choice, Number, Order, Row
from ..question.slips import another_range, lost_sign, reciprocal, slip
from .common import (
    BACKWARD,
    FORWARD,
    STILL,
    WAYS,
    by_sign,
    draw_falling,
    flow_in,
    one_of,
    ratio_under_power,
    ratios_of,
    suns_own,
    teeth_of,
    way_of,
    with_drawn_teeth,
)
from .counting import LARGER, SAME, SMALLER
from .lone_set import CASES, MEMBERS
from .three_range import RANGES, TRAIN, train

LEVER_LONG, INPUT_LONG = 200, 100  # millimetres on the student's drawing
FORWARDS = ("1", "2", "3")
NODES = ("common-sun shaft", "rear carrier", "output shaft", "front ring")


def draw(random):
    """Teeth with which the forward ranges lie apart."""
    return draw_falling(random, TRAIN, FORWARDS)


topic = Topics()


def _front(given):
    return f"Front set: sun {given['front sun']}, ring {given['front ring']}."


def _places(given):
    """Where sun, carrier and ring of the front set stand on its lever."""
    places = {
        member.removeprefix("front "): node.position
        for node in set_lever(train(given), "front").nodes
        for member in node.members
    }
    return [places[member] for member in MEMBERS]


@topic("nearer node", prediction=True)
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


@topic("place of the carrier")
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


@topic("tip in second")
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


@topic("way in reverse", prediction=True)
def way_in_reverse(given):
    """A prediction: on which side of the case line the output is."""
    return by_sign(
        "Range R holds the rear carrier and turns the rear sun forward. Which way"
        " does the rear ring turn?",
        WAYS,
        flow_in(train(given), "R").speeds["rear ring"],
        "Sun and ring lie on two sides of the held node.",
    )


@topic("reverse with a ruler")
def reverse_ratio(given):
    """The ratio of reverse, from one set."""
    ratio = ratio_under_power(train(given), "R")
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


def _ways(forward, faster):
    return f"{'faster' if faster else 'slower'}, {forward}"


def _lone(given):
    """The front set by itself; it has as many planets as the lone set."""
    teeth = {f"single {m}": given[f"front {m}"] for m in ("sun", "ring")}
    return with_drawn_teeth("lone-set", teeth)


def _seen(ratio):
    return _ways(FORWARD if ratio > 0 else BACKWARD, abs(ratio) < 1)


@topic("held and driven", draw=one_of(case=CASES))
def held_and_driven(given):
    """From the place of the nodes to size and direction, for one set alone."""
    drives, driven = given["case"].split(" to ")
    (held,) = (member for member in MEMBERS if member not in (drives, driven))
    found = {
        each: _seen(ratio_under_power(_lone(given), each))
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


@topic("more ring teeth", prediction=True)
def more_ring_teeth(given):
    """A prediction: what a larger ring does to range 2."""
    # As many teeth as planets more leave the planets where they are.
    more = train(given).set("front").planets
    grown = {**given, "front ring": given["front ring"] + more}
    before, after = (ratio_under_power(train(g), "2") for g in (given, grown))
    return by_sign(
        f"The front ring gets {more} teeth more. What does one output turn take in"
        " range 2 then?",
        {1: LARGER, -1: SMALLER, 0: SAME},
        after - before,
        "Range 2 is one, and sun over ring of the front set.",
    )


@topic("first with a ruler")
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


@topic("sun in first")
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


@topic("ranges at a node", draw=draw_crossing)
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


@topic("order of the tips", draw=one_of(range=("1", "2", "R")))
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


topic.explain(
    "why a straight line",
    "Explain why a lever tells the speeds of a simple set. Why is the sun's"
    " arm as long as the ring has teeth? Ride on the carrier.",
    "Seen from the carrier, sun and ring turn opposite ways.",
    "The one with fewer teeth turns more, in proportion.",
    "The carrier's own turn moves all three tips alike.",
)


LAB = Lab(
    name="read-the-lever",
    title="Read the lever",
    level=2,
    core=False,
    minutes=40,
    draw=draw,
    train=train,
    topics=drawn_anew(*topic),
)
