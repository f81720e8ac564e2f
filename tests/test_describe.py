"""The narration: short plain sentences that say what the flow says."""

import re
from fractions import Fraction

import pytest
from loops import each
from trains import one_set

import gearlab as gl
from gearlab.say.describe import describe, kind_of_ratio, listed, sentences, title, way
from gearlab.solve.facts import body_speeds, element_states, held_by, roles
from gearlab.solve.powerflow import LOADS

FIVE = gl.load_train("five-range")
FLOWS = {
    (row, load): gl.power_flow(FIVE, row, load=load)
    for row in FIVE.range_names
    for load in LOADS
}
FIGHT = ["overdrive brake", "front lock clutch"]
STOPPED = ["front lock clutch", "common-sun brake", "low brake"]
FRONT, LOW = "front one-way clutch", "low one-way clutch"


def said_of(text):
    """The sentences of a narration, by their full stops."""
    return re.split(r"(?<=\.) (?=[A-Z])", text)


def lone(applied=(), load="drive", **parts):
    """The narration of one simple set, sun 30 and ring 72, sun in and carrier out."""
    return describe(gl.power_flow(one_set(**parts), applied=applied, load=load))


def told_speeds(text):
    """{body: speed} as the sentence on the turning says it."""
    turning = re.search(r"While the input turns once: (.*?)\.(?= [A-Z]|$)", text)
    told = {}
    for part in turning.group(1).split("; ") if turning else ():
        names, size, sense = re.fullmatch(
            r"the (.*) ([\d.]+) (forward|backward)", part
        ).groups()
        for name in re.split(", the | and the ", names):
            assert name not in told
            told[name] = float(size) * (1 if sense == "forward" else -1)
    return told


def test_a_narration_word_for_word():
    flow = gl.power_flow(FIVE, "2")
    before = gl.power_flow(FIVE, "1")
    assert said_of(gl.describe(flow, before=before)) == [
        "Range 2, under power: the overdrive brake and the forward clutch are applied.",
        "Since range 1, the front lock clutch was released and the overdrive brake was"
        " applied.",
        "The input shaft (front carrier) turns and drives the output shaft (middle"
        " carrier and rear ring).",
        "The overdrive brake holds the front sun.",
        "The front one-way clutch overruns: the input shaft turns ahead of the front"
        " sun by 1.",
        "The low one-way clutch holds the rear carrier, so it cannot turn backward.",
        "While the input turns once: the intermediate shaft and the middle ring 1.5"
        " forward; the output shaft 0.529 forward; the common-sun shaft 1.853"
        " backward.",
        "Turn the input 1 turn + 320° (1.889) for one output turn, the same way as the"
        " input: ratio 1.889 (17/9), a reduction.",
    ]


@each("flow", FLOWS.values())
def test_sentences_are_few_and_short(flow):
    for before in (None, *FLOWS.values()):
        text = describe(flow, before)
        told = said_of(text)
        most = 8 if flow.state == "drives" else 9
        assert (5 if flow.state == "drives" else 4) <= len(told) <= most
        assert max(len(sentence.split()) for sentence in told) <= 40
        assert " ".join(sentences(flow, before)) == text
        assert all(re.fullmatch(r"[A-Z].*[^.]\.", sentence) for sentence in told)
        assert not re.search(r"[<>*_`$\\#\n]|  |None|Fraction|\.\.|-\d", text)


@each("flow", FLOWS.values())
def test_it_opens_with_what_is_applied(flow):
    opening = said_of(describe(flow))[0]
    load = {"drive": "under power", "coast": "coasting"}[flow.load]
    assert opening.startswith(f"Range {flow.range}, {load}: ")
    for name in (*FIVE.element_names, "parking pawl"):
        assert (f"the {name}" in opening) == (name in flow.applied)


@each("flow", FLOWS.values())
def test_numbers_in_words_are_those_of_the_flow(flow):
    text = describe(flow)
    engine = FIVE.body_of[FIVE.input]
    bodies = {
        name: speed
        for name, speed in flow.speeds.items()
        if FIVE.body_of[name] == name and "planet" not in name
    }
    told = told_speeds(text)
    assert told == {
        name: pytest.approx(float(speed), abs=0.0006)
        for name, speed in bodies.items()
        if speed and name != engine
    }
    free = [name for name, speed in bodies.items() if speed is None]
    last = re.search(r"Not determined: (.*?)\.", text)
    names = re.split(", | and ", last.group(1)) if last else []
    assert sorted(names) == sorted(f"the {name}" for name in free)
    assert ("ratio" in text) == (flow.ratio is not None)
    if flow.ratio is not None:
        shown = re.search(r"ratio (−?)([\d.]+)( \(−?(\d+)/(\d+)\))?", text)
        sign = -1 if shown.group(1) else 1
        assert sign * float(shown.group(2)) == pytest.approx(
            float(flow.ratio), abs=0.0006
        )
        if flow.ratio.denominator > 1:
            told = Fraction(int(shown.group(4)), int(shown.group(5)))
            assert sign * told == flow.ratio
        assert ("the same way as the input" in text) == (flow.ratio > 0)
        assert ("against the input" in text) == (flow.ratio < 0)


@each("flow", FLOWS.values())
def test_each_one_way_clutch_is_told(flow):
    told = [s for s in said_of(describe(flow)) if "one-way clutch" in s]
    for name in (FRONT, LOW):
        mine = [sentence for sentence in told if sentence.startswith(f"The {name} ")]
        verbs = {
            "holds": flow.holding,
            "overruns": flow.overrunning,
            "backs up": flow.backing_up,
            "is at rest": flow.at_rest,
        }
        verbs = [verb for verb, names in verbs.items() if name in names]
        assert len(mine) == len(verbs) <= 1
        assert not mine or mine[0].startswith(f"The {name} {verbs[0]}")


SAID = [
    ("1 low", "drive", "The low one-way clutch backs up the low brake."),
    ("1", "drive", "The front one-way clutch backs up the front lock clutch."),
    ("1", "coast", f"The {FRONT} is at rest: it cannot hold this way."),
    ("R", "drive", "The low one-way clutch is at rest: it cannot hold this way."),
    ("N", "drive", "The front one-way clutch is at rest: nothing loads it."),
    ("P", "drive", "The front one-way clutch is at rest: nothing loads it."),
    ("3", "drive", "overruns: the rear carrier turns forward by 0.553."),
    ("1", "coast", "overruns: the rear carrier turns forward."),
    ("1", "coast", "The vehicle drives the output shaft, but that does not turn the"),
    ("1", "coast", "Nothing holds it back, so there is no engine braking."),
    ("1 low", "coast", "drives the output shaft (middle carrier and rear ring): the"),
    ("N", "drive", "Neutral: nothing drives the output shaft; at a bench, friction"),
    ("P", "drive", "The output stands still: the parking pawl holds it."),
    ("5", "drive", "Turn the input 240° (0.667) for one output turn, the same way as"),
    ("5", "drive", "ratio 0.667 (2/3), an overdrive."),
    ("R", "drive", "Turn the input 3 turns + 180° (3.5) for one output turn, against"),
    ("R", "drive", "ratio −3.5 (−7/2), a reduction in reverse."),
    ("4", "drive", "Turn the input 1 turn for one output turn, the same way as the"),
    ("4", "drive", "ratio 1, direct."),
]


@each("row, load, words", SAID)
def test_what_is_said_where(row, load, words):
    assert words in describe(FLOWS[row, load])


def test_coast_words_are_told_only_on_coast():
    for (_, load), flow in FLOWS.items():
        text, braking = describe(flow), load == "coast" and flow.state == "drives"
        assert ("the engine brakes" in text) == braking
        assert ("no engine braking" in text) == (flow.state == "freewheels")


CHANGES = [
    (
        {"range": "2"},
        {"range": "3"},
        "Since range 2, the overdrive brake was released and the common-sun brake and"
        " the front lock clutch were applied.",
    ),
    (
        {"range": "R"},
        {"range": "N"},
        "Since range R, the low brake and the direct clutch were released.",
    ),
    ({"range": "N"}, {"range": "1"}, "Since range N, the forward clutch was applied."),
    (
        {"range": "1"},
        {"range": "1", "load": "coast"},
        "The same elements are applied as in range 1.",
    ),
    (
        {"applied": FIGHT},
        {"range": "2"},
        "Since the last step, the front lock clutch was released and the forward"
        " clutch was applied.",
    ),
]


@pytest.mark.parametrize(("before", "now", "sentence"), CHANGES)
def test_what_changed_since(before, now, sentence):
    before, now = gl.power_flow(FIVE, **before), gl.power_flow(FIVE, **now)
    assert said_of(describe(now, before))[1] == sentence
    assert sentence not in describe(now)


def test_tied_up_names_the_fighters_only():
    flow = gl.power_flow(FIVE, applied=[*FIGHT, "direct clutch"])
    told = said_of(describe(flow))
    assert told[1:] == [
        "Tied up: the overdrive brake and the front lock clutch fight each other.",
        "The input cannot turn; do not force it.",
        "Release one element.",
        "The output can still turn.",
    ]
    stuck = gl.power_flow(FIVE, applied=[*FIVE.range("4").applied, "low brake"])
    assert "can still turn" not in describe(stuck)
    assert "the sun brake alone keeps the input from turning" in lone(["sun brake"])


def test_output_locked_with_one_two_or_no_holder():
    one = lone(["carrier brake"])
    assert "The output stands still: the carrier brake holds it." in one
    two = lone(["a", "b"], brakes={"a": "front carrier", "b": "front carrier"})
    assert "The output stands still: the a and the b hold it." in two
    together = describe(gl.power_flow(FIVE, applied=STOPPED))
    assert "stands still: the applied elements stop it together." in together
    assert not re.search("holds? it", together)


def test_nothing_applied_and_undetermined_members():
    nothing = gl.power_flow(FIVE, applied=[])
    assert said_of(describe(nothing)) == [
        "Nothing applied, under power: no clutch or brake is applied.",
        "The input shaft (front carrier) turns.",
        "Neutral: nothing drives the output shaft; at a bench, friction may drag it"
        " round.",
        "Not determined: the front sun, the intermediate shaft, the common-sun shaft,"
        " the middle ring, the output shaft and the rear carrier.",
    ]


def test_shared_elements_are_told():
    brakes = {"band": "front ring", "disc": "front ring"}
    text = lone(["band", "disc"], brakes=brakes)
    # By the closed form, a held ring takes ring/sun of the input's torque (derived).
    assert (
        "The band and the disc share their torque, 2.4 of the input's in all; how much"
        " each takes is not determined."
    ) in text
    assert "The band and the disc hold the front ring." in text
    locked = lone(["sun-carrier clutch", "carrier-ring clutch", "sun-ring clutch"])
    assert (
        "The sun-carrier clutch, the carrier-ring clutch and the sun-ring clutch share"
        " their torque; how much each takes is not determined."
    ) in locked
    assert "share" not in lone(["ring brake"])


def test_fixed_for_good_and_engine_braking_alone():
    parts = {"shafts": {"case": ["front ring"]}, "brakes": {}, "clutches": {}}
    assert "The case holds the front ring." in lone(**parts)
    parts = {"brakes": {}, "clutches": {}}
    parts["one_way"] = {"odd one-way clutch": ("front sun", "front carrier")}
    # The sun may not fall behind the carrier, so only the carrier can take it along.
    assert (
        "The vehicle drives the front carrier: the engine brakes, though under power"
        " nothing drives the output. The odd one-way clutch holds: the front carrier"
        " drives the front sun with it."
    ) in lone(load="coast", **parts)


def test_a_one_way_clutch_with_the_case_as_its_member():
    """It keeps the ring from turning forward, so it is what holds the ring."""
    one_way = {"odd one-way clutch": ("case", "front ring")}
    flow = gl.power_flow(one_set(one_way=one_way), applied=[], load="coast")
    assert flow.holding == {"odd one-way clutch"}
    assert "drives the case" not in describe(flow)
    assert held_by(flow) == {"front ring": ["odd one-way clutch"]}
    assert roles(flow)["front ring"] == "held"


def test_names_are_left_as_they_are():
    name = "<b>low</b> & wide *brake*"
    text = lone([name], brakes={name: "front ring"})
    assert f"The {name} holds the front ring." in text
    assert f"under power: the {name} is applied." in text


def test_roles_of_members_and_shafts():
    drive, coast = roles(FLOWS["3", "drive"]), roles(FLOWS["3", "coast"])
    assert drive.keys() == FLOWS["3", "drive"].speeds.keys()
    for name in ("input shaft", "front carrier"):
        assert (drive[name], coast[name]) == ("drives", "driven")
    for name in ("output shaft", "middle carrier", "rear ring"):
        assert (drive[name], coast[name]) == ("driven", "drives")
    for name in ("common-sun shaft", "middle sun", "rear sun"):
        assert drive[name] == coast[name] == "held"
    assert drive["rear carrier"] == drive["middle planet"] == "turns"
    assert roles(FLOWS["P", "drive"])["output shaft"] == "held"
    assert roles(FLOWS["P", "drive"])["input shaft"] == "turns"
    assert roles(FLOWS["N", "drive"])["output shaft"] == "not determined"
    assert roles(FLOWS["2", "drive"])["rear carrier"] == "held"
    assert roles(FLOWS["1", "coast"])["rear carrier"] == "not determined"
    stopped = roles(gl.power_flow(FIVE, applied=STOPPED))
    assert stopped["output shaft"] == stopped["rear planet"] == "still"


def test_holders_states_and_bodies():
    flow = FLOWS["2", "drive"]
    assert held_by(flow) == {"front sun": ["overdrive brake"], "rear carrier": [LOW]}
    assert held_by(FLOWS["1 low", "drive"]) == {"rear carrier": ["low brake"]}
    assert held_by(FLOWS["P", "drive"]) == {"output shaft": ["parking pawl"]}
    assert held_by(FLOWS["4", "drive"]) == {}
    fixed = one_set(shafts={"case": ["front ring"]}, brakes={}, clutches={})
    assert held_by(gl.power_flow(fixed, applied=[])) == {"case": ["case"]}
    applied = {"overdrive brake", "forward clutch"}
    states = dict.fromkeys(FIVE.by_name, "released") | dict.fromkeys(applied, "applied")
    assert element_states(flow) == states | {FRONT: "overruns", LOW: "holds"}
    assert element_states(FLOWS["1 low", "drive"])[LOW] == "backs up"
    assert element_states(FLOWS["R", "drive"])[LOW] == "at rest"
    assert element_states(FLOWS["N", "drive"])[LOW] == "carries nothing"
    assert body_speeds(flow) == {
        "input shaft": 1,
        "front sun": 0,
        "intermediate shaft": Fraction(3, 2),
        "middle ring": Fraction(3, 2),
        "output shaft": Fraction(9, 17),
        "common-sun shaft": Fraction(-63, 34),
        "rear carrier": 0,
    }


def test_small_words():
    assert listed([]) == ""
    assert listed(["a", "b", "c"]) == "the a, the b and the c"
    assert listed(["a", "b"], "") == "a and b"
    assert [way(n) for n in (2, -2, 0)] == ["forward", "backward", "at rest"]
    assert title(FLOWS["1 low", "drive"]) == "Range 1 low"
    kinds = [kind_of_ratio(Fraction(ratio)) for ratio in ("3/2", "1", "2/3")]
    assert kinds == ["a reduction", "direct", "an overdrive"]
    assert kind_of_ratio(Fraction(-1)) == "reverse, one to one"
    assert kind_of_ratio(Fraction(-1, 2)) == "an overdrive in reverse"
