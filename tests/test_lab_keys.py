"""Keys of the labs against another way: closed forms, and the count explained."""

import re
from fractions import Fraction as F
from itertools import count, pairwise
from math import pi, sin

import pytest

import gearlab as gl
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.suite.five_range import DRUMS, elements_of
from gearlab.lab.suite.labs import find_lab
from gearlab.lab.suite.read_the_log import log_of

ELEMENTS = elements_of(gl.load_train("five-range"))
# A mishap of the lab on counting, and what the library calls it.
EXPLAINED = {
    "the start mark was counted as one": "start mark",
    "the output was turned, not the input": "turned over",
    "it was seen from the other end": "other end",
    "five output turns were counted": "five turns",
    "another range was set up": "another range",
}


def papers(name, count=12):
    lab = find_lab(name)
    return [draw_paper(lab, (f"key {n}",)) for n in range(count)]


def answer(paper, topic):
    return paper.asked[topic].question.answer


def teeth(paper, topic, *names):
    """Sun and ring teeth of some sets as a question has them, as fractions."""
    given = paper.asked[topic].given
    return [F(given[f"{name} {part}"]) for name in names for part in ("sun", "ring")]


@pytest.mark.parametrize("paper", papers("turn-one-set"), ids=lambda p: p.students[0])
def test_one_set(paper):
    def by_hand(topic):
        sun, ring = teeth(paper, topic, "single")
        return {
            "sun to carrier": 1 + ring / sun,
            "ring to carrier": 1 + sun / ring,
            "carrier to sun": sun / (sun + ring),
            "carrier to ring": ring / (sun + ring),
            "sun to ring": -ring / sun,
            "ring to sun": -sun / ring,
        }

    for topic in ("first reduction", "ring drives", "carrier held", "carrier drives"):
        assert answer(paper, topic) == by_hand(topic)[paper.asked[topic].given["case"]]
    sun, ring = teeth(paper, "planet on its pin", "single")
    planet = (ring - sun) / 2
    case = paper.asked["planet on its pin"].given["case"]
    on_pin = -ring / planet if case == "sun to carrier" else sun / planet
    assert answer(paper, "planet on its pin") == on_pin
    assert answer(paper, "two joined") == "it stands on its pin"
    assert answer(paper, "nothing held") == "nothing drives it"
    ratios = by_hand("forward in order")
    order = sorted((r for r in ratios if ratios[r] > 0), key=ratios.get)
    if paper.asked["forward in order"].given["first"] == "most":
        order.reverse()
    assert answer(paper, "forward in order") == tuple(order)


@pytest.mark.parametrize(
    "paper", papers("flip-one-way-clutches"), ids=lambda p: p.students[0]
)
def test_one_way_clutches(paper):
    sf, rf, sr, rr = teeth(paper, "first count", "front", "rear")
    # The output turns once and the rear carrier stands, so the suns turn −rr / sr.
    first = (sf + rf + sf * rr / sr) / rf
    assert answer(paper, "first count") == first
    torque = paper.asked["reaction torque"].given["torque"]
    assert answer(paper, "reaction torque") == (first - 1) * torque
    sr, rr = teeth(paper, "overrun speed", "rear")
    assert answer(paper, "overrun speed") == rr / (rr + sr)
    assert answer(paper, "engine braking") == {"2", "3", "1 low", "R"}
    assert answer(paper, "if it fails") == {"1"}
    does = paper.asked["what it does"]
    assert does.question.answer == {
        "1 low": "it backs up the low brake",
        "R": "it is at rest: it cannot hold this way",
    }.get(does.given["range"], "it overruns")
    assert answer(paper, "coasting in first") == "the unit freewheels"
    flipped = paper.asked["flipped in range"]
    forward = flipped.given["range"] in ("2", "3")  # the carrier must run forward
    assert flipped.question.answer == (
        "the input cannot turn" if forward else "it drives the output"
    )
    assert answer(paper, "flip it") == "nothing drives the output"
    assert first > 1
    assert answer(paper, "flipped and coasting") == (
        "the engine brakes, and one output turn gives more than one input turn"
    )


@pytest.mark.parametrize(
    "paper", papers("count-and-compare", 6), ids=lambda p: p.students[0]
)
def test_counts(paper):
    asked = paper.asked["what went wrong"]
    told = gl.explain_count(
        paper.train,
        asked.given["range"],
        F(asked.given["eighths"], 8),
        error=F(1, 8),
    )
    assert not told.agrees
    assert EXPLAINED[asked.question.answer] in {f.kind for f in told.fitting}
    others = set(EXPLAINED.values()) - {EXPLAINED[asked.question.answer]}
    assert not others & {found.kind for found in told.fitting}

    mine = paper.given["mine"]
    assert answer(paper, "count five") == 5 * gl.power_flow(paper.train, mine).ratio
    counted = paper.asked["ratio from a count"]
    count = gl.Count(
        range=counted.given["range"],
        count=counted.question.answer * counted.given["over"],
        error=F(1, 8),
        over=counted.given["over"],
    )
    true = gl.power_flow(paper.train, counted.given["range"]).ratio
    assert abs(count.per_turn - true) * counted.given["over"] <= F(1, 16)
    assert answer(paper, "drag needed") == {"1", "2"}


@pytest.mark.parametrize(
    "paper", papers("count-and-compare"), ids=lambda p: p.students[0]
)
def test_turns_that_decide(paper):
    """One output turn fewer may leave both ranges possible; that many never do."""
    asked = paper.asked["turns that decide"]
    one, other = (gl.power_flow(paper.train, r).ratio for r in asked.given["pair"])
    error, least = F(1, asked.given["error"]), asked.question.answer
    gap = abs(one - other)
    assert least * gap > 2 * error >= (least - 1) * gap


# The five-range unit ---------------------------------------------------------------


def by_hand(paper, topic):
    """The ratios of a question's unit from its teeth, with a pencil."""
    sf, rf, sm, rm, sr, rr = teeth(paper, topic, "front", "middle", "rear")
    factor, third, reverse = rf / (rf + sf), 1 + sm / rm, -rr / sr
    first = third + sm / rm * rr / sr
    return {
        "front": factor,
        "1": first,
        "2": factor * first,
        "3": third,
        "4": F(1),
        "5": factor,
        "R": reverse,
    }


@pytest.mark.parametrize("paper", papers("know-the-unit"), ids=lambda p: p.students[0])
def test_know_the_unit(paper):
    assert answer(paper, "first count") == by_hand(paper, "first count")["1"]
    turns = by_hand(paper, "common-sun turns")["R"]
    assert answer(paper, "common-sun turns") == turns
    failed = paper.asked["if it fails"].given["failed"]
    assert (
        answer(paper, "if it fails")
        == {
            "low one-way clutch": {"1", "2"},
            "low brake": {"R"},
            "forward clutch": {"1", "2", "3", "4", "5", "1 low"},
        }[failed]
    )
    shaft = paper.asked["one piece"].given["shaft"]
    assert (
        answer(paper, "one piece")
        == {
            "output shaft": {"middle carrier", "rear ring"},
            "common-sun shaft": {"middle sun", "rear sun"},
            "intermediate shaft": {"front ring"},
        }[shaft]
    )
    held = paper.asked["who holds"].given
    assert (
        answer(paper, "who holds")
        == {
            ("1 low", "drive"): {"low brake", "low one-way clutch"},
            ("1 low", "coast"): {"low brake"},
            ("2", "drive"): {"low one-way clutch"},
            ("2", "coast"): set(),
        }[held["range"], held["load"]]
    )
    for topic, parts, of in (
        ("drum of a brake", DRUMS, "front sun, common-sun shaft, rear carrier"),
        (
            "element between",
            ELEMENTS,
            "front lock clutch, forward clutch, direct clutch",
        ),
    ):
        letters = paper.asked[topic].given["letters"]
        assert parts[letters.index(answer(paper, topic))] in of.split(", ")


@pytest.mark.parametrize(
    "paper", papers("hold-and-reverse"), ids=lambda p: p.students[0]
)
def test_hold_and_reverse(paper):
    third = by_hand(paper, "third count")["3"]
    assert answer(paper, "third count") == third
    reverse = by_hand(paper, "reverse count")["R"]
    assert answer(paper, "reverse count") == reverse
    torque = paper.asked["brake torque"].given["torque"]
    own = by_hand(paper, "brake torque")["R"]
    assert answer(paper, "brake torque") == torque * (1 - own)
    failed = paper.asked["if it fails"].given["failed"]
    assert (
        answer(paper, "if it fails")
        == {
            "low brake": {"R"},
            "common-sun brake": {"3"},
            "forward clutch": {"1", "1 low", "3", "4"},
            "direct clutch": {"4", "R"},
        }[failed]
    )
    asked = paper.asked["speeds in order"].given
    slower = {
        "1": ("output shaft", "rear carrier", "common-sun shaft"),
        "R": ("rear carrier", "output shaft", "middle ring"),
    }[asked["range"]]
    slower = slower if asked["first"] == "fastest" else slower[::-1]
    assert answer(paper, "speeds in order") == slower
    assert answer(paper, "third on a slope") == "the unit holds the output"
    assert (
        answer(paper, "on a slope")
        == {
            "N": "the vehicle rolls free",
            "1 low": "it turns the input shaft backward",
            "4": "the unit holds the output",
        }[paper.asked["on a slope"].given["range"]]
    )
    assert answer(paper, "reverse without brake") == "nothing drives the output"
    pushed = paper.asked["carrier pushed"].given
    assert pushed["load"] == "coast"
    way = "backward" if pushed["range"] == "R" else "forward"
    assert answer(paper, "carrier pushed") == way
    left = paper.asked["what is left"].given
    assert answer(paper, "what is left") == {
        ("direct clutch", "4"): "it runs in range 1",
        ("front lock clutch", "3"): "it drives as before",
        ("front lock clutch", "4"): "it drives as before",
    }.get((left["failed"], left["range"]), "nothing drives the output")


@pytest.mark.parametrize(
    "paper", papers("add-the-front-set"), ids=lambda p: p.students[0]
)
def test_add_the_front_set(paper):
    assert answer(paper, "front factor") == by_hand(paper, "front factor")["front"]
    assert answer(paper, "second count") == by_hand(paper, "second count")["2"]
    asked = paper.asked["output speed"].given
    ratio = by_hand(paper, "output speed")[asked["range"]]
    assert answer(paper, "output speed") == asked["speed"] / ratio
    instead = paper.asked["left-out cell"].given["instead"]
    ratios = by_hand(paper, "left-out cell")
    assert answer(paper, "left-out cell") == ratios["front"] * ratios[instead]
    ratios = by_hand(paper, "step")
    steps = {
        f"from {low} to {high}": ratios[low] / ratios[high]
        for low, high in ("12", "23", "34")
    }
    order = sorted(steps, key=steps.get, reverse=True)
    assert answer(paper, "step") == tuple(order)
    assert answer(paper, "equal steps") == "both are the same"
    assert answer(paper, "early first") == "the input races up"
    failed = paper.asked["if it fails"].given
    assert (
        answer(paper, "if it fails")
        == {
            ("overdrive brake", "5"): "it runs in range 4",
            ("direct clutch", "5"): "it runs in range 2",
            ("forward clutch", "2"): "nothing drives the output",
        }[failed["failed"], failed["range"]]
    )


@pytest.mark.parametrize(
    "paper", papers("add-the-front-set", 4), ids=lambda p: p.students[0]
)
def test_what_no_tooth_count_changes(paper):
    """These labs ask some things of the unit as it is shipped; they hold for all."""

    def told(train):
        for row in train.ranges:
            for load in ("drive", "coast"):
                flow = gl.power_flow(train, row.name, load=load)
                yield flow.state, flow.holding, flow.overrunning, flow.backing_up
                yield [
                    (name, s and (s > 0) - (s < 0)) for name, s in flow.speeds.items()
                ]
                yield {name for name, s in flow.speeds.items() if s == 1}
            yield flow.torques["low brake"] is None or flow.torques["low brake"] > 0
            yield gl.roll_back(train, row.name).state
            for name in row.applied:
                left = gl.power_flow(train, applied=set(row.applied) - {name})
                yield left.state, left.holding, like(train, left.ratio)
        for before, after in pairwise("12345"):
            passing = gl.shift(train, before, after)
            yield passing.by_itself, passing.backed_up
            yield [(mid.early, mid.word) for mid in gl.early_late(passing)]

    def like(train, ratio):
        flows = (gl.power_flow(train, row.name) for row in train.ranges)
        return [flow.range for flow in flows if ratio and flow.ratio == ratio]

    assert list(told(paper.train)) == list(told(gl.load_train("five-range")))


@pytest.mark.parametrize("paper", papers("read-the-lever"), ids=lambda p: p.students[0])
def test_levers(paper):
    sf, rf, sr, rr = (
        F(paper.given[f"{name} {part}"])
        for name in ("front", "rear")
        for part in ("sun", "ring")
    )
    assert answer(paper, "nearer node") == "the ring"
    assert answer(paper, "place of the carrier") == 200 * rf / (sf + rf)
    assert answer(paper, "tip in second") == 100 * rf / (sf + rf)
    assert answer(paper, "reverse with a ruler") == -rr / sr
    # One line through nought at the rear carrier: sun at 0, ring at 1 of the lever.
    output, carrier = rf / (sf + rf), rf / (sf + rf) * rr / (sr + rr)
    assert answer(paper, "first with a ruler") == (1 - carrier) / (output - carrier)
    assert answer(paper, "sun in first") == -carrier / (1 - carrier)
    order = answer(paper, "order of the tips")
    along = ("front ring", "output shaft", "rear carrier", "common-sun shaft")
    reverse = paper.asked["order of the tips"].given["range"] == "R"
    assert order == (along[::-1] if reverse else along)
    driven = paper.asked["held and driven"].given["case"]
    assert (
        answer(paper, "held and driven")
        == {
            "sun to carrier": "slower, forward",
            "ring to carrier": "slower, forward",
            "carrier to sun": "faster, forward",
            "carrier to ring": "faster, forward",
            "sun to ring": "slower, backward",
            "ring to sun": "faster, backward",
        }[driven]
    )


@pytest.mark.parametrize(
    "paper", papers("count-the-teeth"), ids=lambda p: p.students[0]
)
def test_teeth(paper):
    sun, ring = paper.given["single sun"], paper.given["single ring"]
    planet = (ring - sun) // 2

    def goes(sun, ring, n):
        """Worked out from the three rules, with floats for the room between tips."""
        planet = (ring - sun) / 2
        room = (sun + planet) * sin(pi / n) - planet - 2
        even, whole = (ring - sun) % 2 == 0, (ring + sun) % n == 0
        return even and whole and room >= 0.5 - 1e-9

    assert answer(paper, "planet teeth") == planet
    assert answer(paper, "places for a planet") == F(360, sun + ring)
    assert answer(paper, "equal spacing") == {
        f"{n} planets" for n in range(2, 9) if (sun + ring) % n == 0
    }
    most = max(n for n in range(2, 13) if goes(sun, ring, n))
    assert answer(paper, "most planets") == most
    rings = paper.asked["rings that fit"].given
    assert answer(paper, "rings that fit") == {
        f"ring {r}" for r in rings["rings"] if goes(sun, r, rings["planets"])
    }
    wrong = paper.asked["what is wrong"]
    drawn = [wrong.given[key] for key in ("sun", "ring", "planets")]
    assert goes(*drawn) == (wrong.question.answer == "it goes together")
    odd = (drawn[1] - drawn[0]) % 2 == 1
    assert odd == (wrong.question.answer == "half a tooth is left over")
    # Turn on by whole turns until everything is whole.
    carrier = F(sun, sun + ring)
    turning = [carrier, carrier * (1 - F(ring, planet))]
    counts = [
        next(n for n in count(1) if all((n * speed).denominator == 1 for speed in some))
        for some in (turning[:1], turning)
    ]
    assert answer(paper, "two marks") == counts[0]
    assert answer(paper, "all marks") == counts[1]
    again = next(n for n in count(1) if n * sun % planet == 0)
    assert answer(paper, "same teeth again") == again


@pytest.mark.parametrize(
    "paper", papers("follow-the-power", 8), ids=lambda p: p.students[0]
)
def test_power(paper):
    sf, rf, sm, rm, sr, rr = (
        F(paper.given[f"{name} {part}"])
        for name in ("front", "middle", "rear")
        for part in ("sun", "ring")
    )
    torque = paper.given["torque"]
    assert answer(paper, "brake in third") == torque * sm / rm
    assert answer(paper, "brake in reverse") == -torque * (1 + rr / sr)
    assert answer(paper, "brake on the front set") == -torque * sf / (sf + rf)
    assert answer(paper, "share in fourth") == 100 * sm / (sm + rm)
    # Straight out: all but the sun's part, which comes back through the rear ring.
    straight, round_about = (rm + sm) / rm, sm / rm * rr / sr
    share = straight / (straight + round_about)
    assert answer(paper, "share in first") == 100 * share
    passed = F(paper.given["external"] * paper.given["internal"], 10**6)
    assert answer(paper, "torque with losses") == torque * rr / sr * passed
    assert answer(paper, "two brakes") == "only their sum is known"
    flow = gl.power_flow(paper.train, paper.asked["who carries"].given["range"])
    assert answer(paper, "who carries") == {
        name for name in paper.train.by_name if flow.torques[name]
    }
    name, load = paper.asked["way through"].given["way"]
    paths = gl.power_paths(gl.power_flow(paper.train, name, load=load)).paths
    through = [link.through for link in paths[0][1]]
    assert len(paths) == 1
    assert set(answer(paper, "way through")) <= set(through)
    held = ("common-sun brake", "low brake", "rear carrier", "middle sun")
    assert not set(answer(paper, "way through")) & set(held)


@pytest.mark.parametrize("paper", papers("read-the-log"), ids=lambda p: p.students[0])
def test_read_the_log(paper):
    """By the ratios with a pencil, and by reading the log as a file is read."""
    ratios = by_hand(paper, "range at a moment")
    log = gl.read_log(log_of(paper.given), paper.train)

    def row(topic):
        """The input and the output speed that a question tells."""
        text = paper.asked[topic].question.text
        return re.search(r"turns at (\d+) rev/min, the output at (\d+) rev", text)

    def time(topic):
        return re.search(r"At ([\d.]+) s", paper.asked[topic].question.text)[1]

    ahead, out = map(int, row("ratio at a moment").groups())
    assert answer(paper, "ratio at a moment") == F(ahead, out)
    moment = log.at(time("ratio at a moment"))
    assert abs(moment.ratio - F(ahead, out)) < 0.01
    assert answer(paper, "range at a moment") == log.at(time("range at a moment")).range
    told = re.search(r"at (\d+) rev.* from (\d+) to (\d+) rev",
                     paper.asked["which shift"].question.text)  # fmt: skip
    out, *ends = map(int, told.groups())
    names = [min("12345", key=lambda r: abs(ratios[r] - F(one, out))) for one in ends]
    assert answer(paper, "which shift") == f"from {names[0]} to {names[1]}"
    for topic in ("flare or tie-up", "how long it takes"):
        text = paper.asked[topic].question.text
        pair = re.search(r"shift from (\w) to (\w)", text).groups()
        (one,) = [s for s in log.shifts if (s.before, s.after) == pair]
        if topic == "how long it takes":
            assert abs(one.seconds - answer(paper, topic)) < 0.15
        else:
            assert answer(paper, topic).split()[-1] in (one.kind, "neither")
            assert (answer(paper, topic) == "neither") == (one.kind == "clean")
    mine = paper.asked["slip in percent"].given["range"]
    ahead, out = map(int, row("slip in percent").groups())
    slip = answer(paper, "slip in percent")
    assert slip == 100 * (ahead / (ratios[mine] * out) - 1)
    found = {one.range: one for one in log.bad}
    assert {one.kind for one in log.bad} == {"possible slip"}
    measured, _ = found[mine].observation
    assert abs(100 * (measured / float(ratios[mine]) - 1) - slip) < 2
    part = {"3": "common-sun brake", "45": "direct clutch", "25": "overdrive brake"}
    assert answer(paper, "who could slip") == {part["".join(sorted(found))]}
    told = [one for one in log.suspects.explain_all if one.kind == "slips"]
    assert {one.about for one in told} == answer(paper, "who could slip")
    case = paper.asked["above or below"].given["case"]
    assert (
        answer(paper, "above or below")
        == {
            ("above", "drive"): "an element may slip",
            ("below", "drive"): "no slip does that: doubt the readings first",
            ("below", "coast"): "the input runs free: no engine braking",
        }[tuple(case)]
    )
