"""What several labs share: teeth drawn for a student, and flows that are kept.

Drawn teeth are a flat dict that JSON can hold: ``{"front sun": 30, "front ring": 72}``.
"""

from dataclasses import replace
from functools import lru_cache, partial
from itertools import pairwise, product

from ...assembly import FITS, assembly_verdicts
from ...catalogue import load_train
from ...frozenmap import FrozenMap
from ...gearset import KINDS, GearSet
from ...numerals import listed
from ...powerflow import power_flow
from ...toothrules import PLACES
from ...train import CASE, Brake, Clutch, OneWayClutch

FORWARD, BACKWARD, STILL = "forward", "backward", "it stands still"
NOT_DRIVEN = "nothing drives it"
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
# A letter leaves out which part it is, and not what its symbol shows.
KINDS_OF_PART = {Brake: "brake", Clutch: "clutch", OneWayClutch: "one-way clutch"}
# Gears as they are seen on a cutaway: smaller ones cannot be counted by eye.
SUNS, RINGS, LEAST_PLANET = range(20, 51), range(56, 111), 12


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
        if PLACES["two-sun"](teeth) % planets == 0 and _has_room(teeth, planets):
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
    """Teeth for every set of a shipped train of simple and two-sun sets."""
    drawn = {}
    for one in load(name).sets:
        possible = (
            possible_two_suns(one.planets)
            if one.kind == "two-sun"
            else possible_teeth(one.planets, suns, rings)
        )
        drawn |= zip(_gears(one), random.choice(possible), strict=True)
    return drawn


def _gears(one):
    """The gears of a set that teeth are drawn for, as members."""
    return [one.member(key.replace("-", " ")) for key in KINDS[one.kind].teeth]


def draw_falling(random, name, ranges, least=1.12):
    """Teeth with which the ranges fall upward, each step `least` at the least.

    Raises ValueError for teeth that do otherwise, so that others are drawn.
    """
    drawn = draw_teeth(random, name)
    train = with_drawn_teeth(name, drawn)
    ratios = (flow_in(train, each).ratio for each in ranges)
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
    return train.with_teeth(
        {
            one.name: {key: next(left) for key in KINDS[one.kind].teeth}
            for one in train.sets
        }
    )


def one_of(key, options):
    """What a topic draws that needs one of some options: ``one_of("case", CASES)``."""

    def draw(random, given):
        return {key: random.choice(options)}

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


@lru_cache(maxsize=256)
def without(train, name):
    """The train with one of its one-way clutches worn out: it never catches."""
    left = [part for part in train.one_way_clutches if part.name != name]
    return replace(train, one_way_clutches=tuple(left))


@lru_cache(maxsize=1024)
def flow_in(train, range, load="drive"):
    """The power flow of a range, worked out once."""
    return power_flow(train, range, load=load)


def ratios_of(train, ranges):
    """``{range: ratio}`` of some ranges under power."""
    return {each: flow_in(train, each).ratio for each in ranges}


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


def _stick(train, letters, end):
    from ...draw import draw_stick  # marking draws nothing, so it need not wait for it

    scene = draw_stick(flow_in(train, "N"), end=end, power=False, words=letters)
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


def way_of(speed):
    """The option that says which way something turns; None is not driven."""
    if speed is None:
        return NOT_DRIVEN
    return FORWARD if speed > 0 else BACKWARD if speed < 0 else STILL
