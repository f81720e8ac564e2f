"""What several labs share: teeth drawn for a student, and flows that are kept.

Drawn teeth are a flat dict that JSON can hold: ``{"front sun": 30, "front ring": 72}``.
"""

from dataclasses import replace
from functools import lru_cache, partial
from itertools import pairwise, product
from math import gcd

from ...ask.assembly import FITS, assembly_verdicts
from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.equilibrium import Situation
from ...solve.powerflow import power_flow
from ...train.catalogue import load_train
from ...train.gearset import GearSet
from ...train.kinds import KINDS
from ...train.train import CASE, Brake, Clutch, OneWayClutch
from ..question.question import Choice, Number
from ..question.slips import another_range, lost_sign, reciprocal, slip

FORWARD, BACKWARD, STILL = "forward", "backward", "it stands still"
NOT_DRIVEN = "nothing drives it"
WAYS = {1: FORWARD, -1: BACKWARD, 0: STILL}  # by the sign of a speed
# What a unit does, as an answer, by the state of its PowerFlow.
UNDER_POWER = {
    "drives": "it drives the output",
    "neutral": "nothing drives the output",
    "tied up": "the input cannot turn",
    "output locked": "the output is locked",
}
COASTING = {
    "drives": "the engine brakes",
    "freewheels": "the unit freewheels",
    "tied up": "the input cannot turn",
}
# The same, and how fast the input turns where the vehicle turns it.
MORE, LESS = (
    f"the engine brakes, and one output turn gives {size} than one input turn"
    for size in ("more", "less")
)
COAST_TURNS = (MORE, LESS, COASTING["freewheels"], COASTING["tied up"])
# What a lab says that has to do with a vehicle on the road or on a hoist.
ROAD_CAUTION = (
    "A running vehicle on a hoist can kill, and the parking pawl is no brake to work"
    " under. Real diagnosis follows the vehicle maker's procedure, and a qualified"
    " person does it."
)
# A letter leaves out which part it is, and not what its symbol shows.
KINDS_OF_PART = {Brake: "brake", Clutch: "clutch", OneWayClutch: "one-way clutch"}
# Gears as they are seen on a cutaway: smaller ones cannot be counted by eye.
SUNS, RINGS, LEAST_PLANET = range(20, 51), range(56, 111), 12
LETTERS = "BCDEFGHKLM"  # in a diagram: none that is a word, or like a figure


@lru_cache(maxsize=64)
def possible_teeth(planets, suns=SUNS, rings=RINGS):
    """All (sun, ring) of a simple set that goes together without any trick."""
    pairs = [(sun, ring) for sun in suns for ring in rings]
    return tuple(
        (sun, ring)
        for sun, ring in pairs
        if ring - sun >= 2 * LEAST_PLANET
        and (ring - sun) % 2 == 0
        and (ring + sun) % planets == 0
        and _goes_together(sun, ring, planets)
    )


def _goes_together(sun, ring, planets):
    teeth = FrozenMap({"sun": sun, "ring": ring})
    try:
        one = GearSet(name="one", kind="simple", teeth=teeth, planets=planets)
    except ValueError:
        return False
    return all(verdict.level == FITS for verdict in assembly_verdicts(one))


@lru_cache
def possible_two_suns(planets):
    """Teeth of two-sun sets that go together, in the order of their train file."""
    found = []
    for small, apart, ring in product(range(26, 39), range(6, 15), range(78, 103)):
        teeth = {
            "small-sun": small,
            "large-sun": small + apart,
            "short-planet": (ring - small) * 2 // 5,
            "ring": ring,
        }
        spacing = KINDS["two-sun"].spacing(teeth)
        if gcd(*spacing) % planets == 0 and _has_room(teeth, planets):
            found.append(tuple(teeth.values()))
    return tuple(found)


def _has_room(teeth, planets):
    teeth = FrozenMap(teeth)
    try:
        one = GearSet(name="one", kind="two-sun", teeth=teeth, planets=planets)
    except ValueError:
        return False
    return one.all_teeth["long-planet"] >= LEAST_PLANET and one.neighbour_gap >= 1


def draw_teeth(random, name, suns=SUNS, rings=RINGS):
    """Teeth for every set of a shipped train of simple and two-sun sets.

    Raises ValueError for a set in proportion to the shipped one, whose numbers stand
    in every notebook as the worked case.
    """
    drawn = {}
    for one in load(name).sets:
        possible = (
            possible_two_suns(one.planets)
            if one.kind == "two-sun"
            else possible_teeth(one.planets, suns, rings)
        )
        teeth = random.choice(possible)
        if in_proportion(one, teeth):
            raise ValueError(f"{one.name} is in proportion to the worked case")
        drawn |= zip(_gears(one), teeth, strict=True)
    return drawn


def in_proportion(one, teeth):
    """Whether sun and ring are those of a simple set, give or take a factor."""
    shipped = one.all_teeth
    return one.kind == "simple" and teeth[0] * shipped["ring"] == (
        teeth[1] * shipped["sun"]
    )


def other_teeth(draw, random):
    """Teeth for one question alone, so that no panel shows its answer.

    They are what `draw` gives at the first try that raises no ValueError.
    """
    while True:
        try:
            return draw(random) | {"other": True}
        except ValueError:
            continue


def another(given, what):
    """What says that a question has teeth of its own: "Another set. ", or nothing."""
    return f"Another {what}. " if given.get("other") else ""


def _gears(one):
    """The gears of a set that teeth are drawn for, as members."""
    return [one.member(key.replace("-", " ")) for key in one.record.teeth]


def draw_falling(random, name, ranges, least=1.12):
    """Teeth with which the ranges fall upward, each step `least` at the least.

    Raises ValueError for teeth that do otherwise, so that others are drawn.
    """
    drawn = draw_teeth(random, name)
    train = with_drawn_teeth(name, drawn)
    # Most teeth are not taken, so no more is worked out of them than their ratios.
    ratios = (ratio_under_power(train, each) for each in ranges)
    if any(high < least * low for high, low in pairwise(ratios)):
        raise ValueError(f"the ranges of {drawn} lie too near to each other")
    return drawn


def with_drawn_teeth(name, given):
    """A shipped train with the teeth that were drawn for a student."""
    gears = [gear for one in load(name).sets for gear in _gears(one)]
    return _with_teeth(name, tuple(given[gear] for gear in gears))


@lru_cache(maxsize=256)
def _with_teeth(name, counts):
    train, left = load(name), iter(counts)
    teeth = [(one, tuple(next(left) for _ in one.record.teeth)) for one in train.sets]
    try:
        return train.with_sets([_set_with(one, some) for one, some in teeth])
    except ValueError:
        # Drawn when the train had other numbers of planets, which no ratio depends on.
        bare = [_set_with(replace(one, planets=None), some) for one, some in teeth]
        return train.with_sets(bare)


# Of all the units that are drawn, the sets are some hundreds.
@lru_cache(maxsize=2048)
def _set_with(one, counts):
    """A gear set with other teeth, in the order of its kind."""
    return one.with_teeth(dict(zip(one.record.teeth, counts, strict=True)))


def planets_of(given):
    """How many planets a topic asks of; older sheets do not say, and asked of four."""
    return given.get("planets", 4)


def one_of(**options):
    """What a topic draws that needs one of some options: ``one_of(case=CASES)``."""

    def draw(random, given):
        return {key: random.choice(some) for key, some in options.items()}

    return draw


@lru_cache
def load(name):
    """A shipped train, read once."""
    return load_train(name)


@lru_cache(maxsize=256)
def flipped(train, name):
    """The train with one of its one-way clutches put in the wrong way round."""
    turned = [
        replace(part, member=part.against, against=part.member)
        if part.name == name
        else part
        for part in train.one_way_clutches
    ]
    return replace(train, one_way_clutches=tuple(turned))


@lru_cache(maxsize=1024)
def flow_in(train, range, load="drive"):
    """The power flow of a range, worked out once."""
    return power_flow(train, range, load=load)


@lru_cache(maxsize=1024)
def ratio_under_power(train, range):
    """The ratio of a range alone, or None; it takes a fifth as long as its flow."""
    return _situation(train, range).ratio()


@lru_cache(maxsize=1024)
def state_in(train, range, load="drive"):
    """The state of a range alone, as a word; it takes half as long as its flow."""
    found = _situation(train, range)
    settled = found.drive()
    return (settled if load == "drive" else found.coast(settled))[0]


@lru_cache(maxsize=256)
def _situation(train, range):
    return Situation(train, train.range(range).applied)


def ratios_of(train, ranges):
    """``{range: ratio}`` of some ranges under power."""
    return {each: ratio_under_power(train, each) for each in ranges}


def unit_of(train, given):
    """The tooth counts of a unit, and whether they are its own, in sentences."""
    return f"{another(given, 'unit')}{teeth_of(train)}"


def teeth_of(train):
    """The tooth counts of a train of simple sets, in sentences."""
    return " ".join(
        f"{one.name.capitalize()} set: sun {one.all_teeth['sun']},"
        f" ring {one.all_teeth['ring']}."
        for one in train.sets
    )


def lettered(train, letters, end="input"):
    """What draws the plain stick diagram with letters in place of some names."""
    return partial(_stick, train, FrozenMap(letters), end)


def _stick(train, letters, end, context="screen"):
    from ...draw import draw_stick  # marking draws nothing, so it need not wait for it

    # Colours by part, and their key, would tell what the letters ask for.
    plain = {"power": False, "colour_by": "role"}
    look = {"end": end, "context": context, "words": letters}
    scene = draw_stick(flow_in(train, "N"), **look, **plain)
    return replace(scene, alt=lines_told(train, letters))


def lines_told(train, letters):
    """The lines of a stick diagram in words, for whoever cannot see its letters."""

    def called(name):
        if name == CASE:
            return "the case"
        body = train.body_of.get(name, name)
        return letters.get(name) or letters.get(body) or f"the {body}"

    said = []
    for one in train.sets:
        members = [short for short in one.members if "planet" not in short]
        parts = [f"{m} on {called(one.member(m))}" for m in members]
        said.append(f"{one.name} set: {listed(parts, '')}.")
    for name, part in train.by_name.items():
        first, second = part.sides
        kind = KINDS_OF_PART[type(part)]
        said.append(
            f"{letters.get(name, name)}: {kind} from {called(first)} to"
            f" {called(second)}."
        )
    return f"Stick diagram, with letters. {' '.join(said)}"


def pointed_at(train, letters):
    """``{letter: what that element joins or holds}``, for whoever points at it."""
    said = {}
    for name, letter in letters.items():
        part = train.by_name[name]
        first, second = part.sides
        if isinstance(part, OneWayClutch):
            said[letter] = f"{letter} lets the {first} turn one way. Nobody applies it."
        elif isinstance(part, Brake):
            said[letter] = f"{letter} is two plates at the case. It holds the {first}."
        else:
            said[letter] = f"{letter} is a clutch between the {first} and the {second}."
    return said


def suns_own(train, range, shaft):
    """Slips in a count: how far the sun shaft turns for one output turn."""
    turns = flow_in(train, range).speeds[shaft] * ratio_under_power(train, range)
    return tuple(slip("the sun shaft's own turns", each) for each in (turns, -turns))


def coasting(flow):
    """What coasting does, and how fast the input turns, as one of COAST_TURNS."""
    if flow.ratio is None:
        return COASTING[flow.state]
    return MORE if abs(flow.ratio) > 1 else LESS


# Said where an applied element and a one-way clutch beside it could both hold.
CONVENTION = (
    "both stand there. We say that the applied one holds and the one-way clutch backs"
    " it up; that is a convention. How they share the load, no tooth count tells."
)


def not_in_state(flow, states):
    """Slips for what a one-way clutch on a carrier does not do; `states` are options.

    A flow without a state of its own stands still, beside an applied element.
    """
    turning = bool(flow.overrunning)
    pushed = "a brake keeps the carrier. Which way is it pushed, and can this hold so?"
    words = {
        "holds": slip("turning taken for held", states["holds"])
        if turning
        else slip("a push the other way", states["holds"], pushed),
        "overruns": slip("held taken for turning", states["overruns"]),
        "backs up": slip("turning taken for held", states["backs up"],
                         "the carrier turns here. What is there to back up?")
        if turning
        else slip("a push the other way", states["backs up"]),
        "at rest": slip("turning taken for held", states["at rest"],
                        "is the carrier still here? Watch its paint mark.")
        if turning
        else slip("a push the other way", states["at rest"],
                  "which way is the carrier pushed? That is the way to look at."),
    }  # fmt: skip
    return tuple(words.values())


def by_sign(text, said, difference, reason):
    """A prediction that a sign answers, as that of a speed or of what is gained.

    `said` are the options in their order: ``{1: "more", -1: "less", 0: "as much"}``.
    """
    sign = (difference > 0) - (difference < 0)
    options = tuple(said.values())
    return Choice(text=text, options=options, answer=said[sign], reason=reason)


def range_count(one, given, range, among, within, slips, hints, reason):
    """How many input turns make one output turn in a range, under power.

    `slips` are those of this range; turned over, without its sign, and the ratios of
    the other ranges `among` which it stands are slips of any.
    """
    ratios = ratios_of(one, among)
    ratio = ratios.pop(range)
    return Number(
        text=f"{unit_of(one, given)} Take range {range} under power. How many input"
        " turns make one output turn? Write a minus for backward.",
        answer=ratio,
        within=within,
        unit="turns",
        slips=(reciprocal(ratio), lost_sign(ratio), *slips, *another_range(ratios)),
        hints=hints,
        reason=reason,
    )


def way_of(speed):
    """The option that says which way something turns; None is not driven."""
    if speed is None:
        return NOT_DRIVEN
    return WAYS[(speed > 0) - (speed < 0)]


def draw_letters(count, key, options):
    """What a topic draws whose parts go by letters: as many, in any order.

    And one of some options, as :func:`one_of` draws it.
    """

    def draw(random, given):
        letters = "".join(random.sample(LETTERS[:count], count))
        return {"letters": letters, key: random.choice(options)}

    return draw
