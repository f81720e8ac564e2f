"""Trains for the tests, and the mesh equations of a train in words of their own."""

from dataclasses import replace
from fractions import Fraction

from gearlab import load_train
from gearlab.base.frozenmap import FrozenMap
from gearlab.train.gearset import GearSet, Mesh
from gearlab.train.motion import free_motions
from gearlab.train.train import Brake, Clutch, OneWayClutch, Range, Train

# A train file: a ring that is fixed for good, so 1 + 72/30 = 3.4 (derived).
LONE_TEXT = """
name = "Lone set"
input = "bench sun"
output = "bench carrier"

[sets.bench]
kind = "simple"
sun = 30
ring = 72

[shafts]
case = ["bench ring"]
"""


def simple(name, sun, ring, planet=None):
    teeth = {"sun": sun, "ring": ring}
    if planet is not None:
        teeth["planet"] = planet
    return GearSet(name=name, kind="simple", teeth=FrozenMap(teeth))


def external(a, teeth_a, b, teeth_b, carrier="arm"):
    return Mesh(
        gears=(a, b), teeth=(teeth_a, teeth_b), mesh="external", carrier=carrier
    )


def internal(a, teeth_a, b, teeth_b, carrier="arm"):
    return Mesh(
        gears=(a, b), teeth=(teeth_a, teeth_b), mesh="internal", carrier=carrier
    )


def gears(*meshes, name="gears"):
    return GearSet(name=name, kind="meshes", meshes=meshes)


def make_train(
    *sets, input, output, shafts=(), brakes=(), clutches=(), locks=(), one_way=(),
    ranges=(), name="Test train",
):  # fmt: skip
    """A train; parts as {name: member}, {name: (first, second)}, {name: elements}."""
    return Train(
        name=name,
        input=input,
        output=output,
        sets=tuple(sets),
        shafts=FrozenMap({key: tuple(row) for key, row in dict(shafts).items()}),
        brakes=tuple(Brake(name=n, member=m) for n, m in dict(brakes).items()),
        clutches=tuple(
            Clutch(name=n, first=a, second=b) for n, (a, b) in dict(clutches).items()
        ),
        locks=tuple(Brake(name=n, member=m) for n, m in dict(locks).items()),
        one_way_clutches=tuple(
            OneWayClutch(name=n, member=m, against=a)
            for n, (m, a) in dict(one_way).items()
        ),
        ranges=tuple(
            Range(name=n, applied=tuple(names)) for n, names in dict(ranges).items()
        ),
    )


def one_set(sun=30, ring=72, input="front sun", output="front carrier", **parts):
    """A lone simple set with a brake on each member and a clutch between each two."""
    parts.setdefault(
        "brakes",
        {
            "sun brake": "front sun",
            "carrier brake": "front carrier",
            "ring brake": "front ring",
        },
    )
    parts.setdefault(
        "clutches",
        {
            "sun-carrier clutch": ("front sun", "front carrier"),
            "carrier-ring clutch": ("front carrier", "front ring"),
            "sun-ring clutch": ("front sun", "front ring"),
        },
    )
    return make_train(simple("front", sun, ring), input=input, output=output, **parts)


FIVE_RANGES = {
    "P": ["front lock clutch", "parking pawl"],
    "R": ["front lock clutch", "direct clutch", "low brake"],
    "N": ["front lock clutch"],
    "1": ["front lock clutch", "forward clutch"],
    "2": ["overdrive brake", "forward clutch"],
    "3": ["front lock clutch", "forward clutch", "common-sun brake"],
    "4": ["front lock clutch", "forward clutch", "direct clutch"],
    "5": ["overdrive brake", "forward clutch", "direct clutch"],
    "1 low": ["front lock clutch", "forward clutch", "low brake"],
}


def five_range(front=(36, 72), middle=(33, 81), rear=(20, 70), order=(0, 1, 2)):
    """A front set that is locked or in overdrive, and two sets on a common sun."""
    sets = [simple("front", *front), simple("middle", *middle), simple("rear", *rear)]
    return make_train(
        *(sets[i] for i in order),
        name="Five-range bench unit",
        input="input shaft",
        output="output shaft",
        shafts={
            "input shaft": ["front carrier"],
            "intermediate shaft": ["front ring"],
            "common-sun shaft": ["middle sun", "rear sun"],
            "output shaft": ["middle carrier", "rear ring"],
        },
        brakes={
            "overdrive brake": "front sun",
            "common-sun brake": "common-sun shaft",
            "low brake": "rear carrier",
        },
        clutches={
            "front lock clutch": ("front sun", "front carrier"),
            "forward clutch": ("intermediate shaft", "middle ring"),
            "direct clutch": ("intermediate shaft", "common-sun shaft"),
        },
        locks={"parking pawl": "output shaft"},
        one_way={
            "front one-way clutch": ("front carrier", "front sun"),
            "low one-way clutch": ("rear carrier", "case"),
        },
        ranges=FIVE_RANGES,
    )


# The same trains with teeth that no shipped one has: the checks of many tests hang on
# their numbers, and show that nothing hangs on the teeth of the shipped ones.


def other_five_range():
    """1 41/13, 2 492/221, 3 20/13, 4 1, 5 12/17, R -3."""
    teeth = {
        "front": {"sun": 30, "ring": 72, "planets": 3},
        "middle": {"sun": 42, "ring": 78, "planets": 4},
        "rear": {"sun": 24, "ring": 72, "planets": 4},
    }
    return _other("five-range", teeth)


def other_six_range():
    """1 224/55, 2 80/33, 3 8/5, 4 224/191, 5 16/19, 6 2/3, R -16/5."""
    teeth = {"small-sun": 33, "large-sun": 42, "short-planet": 20, "ring": 84}
    return _other("six-range", {"front": {"sun": 45, "ring": 75}, "rear": teeth})


def other_four_range():
    """1 41/14, 2 451/280, 3 1, 4 41/60, R -41/19."""
    teeth = {"small-sun": 28, "large-sun": 38, "short-planet": 18, "ring": 82}
    return _other("four-range", {"double": teeth})


def other_three_range():
    """1 653/245, 2 52/35, 3 1, R -17/7."""
    teeth = {"front": {"sun": 34, "ring": 70}, "rear": {"sun": 28, "ring": 68}}
    return _other("three-range", teeth)


def _other(name, teeth):
    return replace(load_train(name).with_teeth(teeth), name="Test train")


def three_range(first=(57, 28, 14), second=(80, 37, 21), low=None):
    """Two simple sets on a common sun shaft; (ring, sun, planet) teeth of each."""
    (ring_1, sun_1, planet_1), (ring_2, sun_2, planet_2) = first, second
    return make_train(
        simple("first", sun_1, ring_1, planet_1),
        simple("second", sun_2, ring_2, planet_2),
        name="Common-sun bench unit",
        input="input shaft",
        output="output shaft",
        shafts={
            "input shaft": [],
            "sun shaft": ["first sun", "second sun"],
            "output shaft": ["first carrier", "second ring"],
        },
        brakes={"sun brake": "sun shaft", "carrier brake": "second carrier"},
        clutches={
            "forward clutch": ("input shaft", "first ring"),
            "sun clutch": ("input shaft", "sun shaft"),
        },
        one_way={"low one-way clutch": ("second carrier", "case")},
        ranges={
            "1": ["forward clutch"],
            "1 low": ["forward clutch", "carrier brake"],
            "2": ["forward clutch", "sun brake"],
            "3": ["forward clutch", "sun clutch"],
            "R": ["sun clutch", "carrier brake"],
        },
    )


# Meshes of published trains; their sources are beside the values.

REVERTED = (external("b", 75, "e", 45), external("c", 30, "d", 90))
INTERNAL_WHEELS = (
    external("c", 28, "e", 18),
    internal("e", 18, "a", 64),
    external("d", 26, "f", 28),
    internal("f", 28, "b", 82),
)
TWO_RINGS = (
    external("a", 18, "b", 45),
    internal("c", 21, "d", 84),
    internal("b", 45, "e", 108),
)
TWO_RINGS_SMALL = (
    external("a", 12, "b", 30),
    internal("c", 14, "d", 56),
    internal("b", 30, "e", 72),
)
PLANET_ON_FIXED = (external("c", 30, "e", 21), external("b", 27, "d", 24))
PAIRS = (external("one", 15, "two", 45), external("three", 20, "four", 40))
THREE_ON_ONE = (
    external("a", 30, "b", 30),
    external("e", 20, "f", 19),
    external("g", 20, "h", 20),
    external("i", 20, "k", 21),
)
PARADOX = (
    external("a", 20, "idler", 24),
    external("idler", 24, "f", 20),
    external("idler", 24, "e", 21),
    external("idler", 24, "g", 19),
)
THREE_WHEELS = (
    external("fixed", 100, "planet", 20),
    external("planet", 20, "fewer", 99),
    external("planet", 20, "more", 101),
)
BEVEL_PLANETS = (
    external("two", 20, "four", 56),
    internal("four", 56, "seven", 76),
    internal("five", 24, "six", 35),
)
DIFFERENTIAL = (
    external("left", 16, "pinion", 10),
    external("pinion", 10, "other pinion", 10),
    external("other pinion", 10, "right", 16),
)


def side_by_side(**elements):
    """Two sets between one input and one output; the elements act on their rings."""
    return make_train(
        simple("first", 30, 72),
        simple("second", 30, 60),
        input="input shaft",
        output="output shaft",
        shafts={
            "input shaft": ["first sun", "second sun"],
            "output shaft": ["first carrier", "second carrier"],
        },
        **elements,
    )


def random_set(rng, name):
    if rng.random() < 0.75:
        sun = rng.randrange(15, 60)
        return simple(name, sun, sun + 2 * rng.randrange(12, 40))
    teeth = [rng.randrange(12, 70) for _ in range(5)]
    meshes = [external("sun", teeth[0], "planet", teeth[1], "carrier")]
    if rng.random() < 0.5:
        ring = teeth[1] + teeth[2]
        meshes.append(internal("planet", teeth[1], "ring", ring, "carrier"))
    else:
        meshes.append(external("planet", teeth[1], "ring", teeth[3], "carrier"))
    if rng.random() < 0.3:
        meshes.append(external("ring", meshes[1].teeth[1], "idler", teeth[4], "case"))
    return gears(*meshes, name=name)


def random_train(rng, one_ways=0):
    """A train of one to three sets, and some elements; refused ones are drawn again."""
    while True:
        sets = [random_set(rng, f"set {i}") for i in range(rng.choice((1, 2, 2, 3)))]
        free = [f"{one.name} {m}" for one in sets for m in ("sun", "ring", "carrier")]
        rng.shuffle(free)
        shafts = {}
        for i in range(rng.choice((0, 1, 2, 2, 3)) if len(sets) > 1 else 0):
            shafts[f"shaft {i}"] = [free.pop(), free.pop()]
        if len(free) > 2 and rng.random() < 0.3:
            shafts["case"] = [free.pop()]
        if rng.random() < 0.2:
            shafts["race"] = []
        ends = [name for name in shafts if name != "case"] + free
        first, last = rng.sample(ends, 2)
        brakes = {f"brake {i}": m for i, m in enumerate(rng.sample(ends, 2))}
        clutches = {f"clutch {i}": rng.sample(ends, 2) for i in range(3)}
        sides = [*ends, *ends, "case"]
        one_way = {f"one-way {i}": rng.sample(sides, 2) for i in range(one_ways)}
        try:
            train = make_train(
                *sets,
                input=first,
                output=last,
                shafts=shafts,
                brakes=brakes,
                clutches=clutches,
                one_way=one_way,
            )
            free_motions(train)
        except ValueError:
            continue
        count = rng.randrange(0, len(train.elements) + 1)
        return train, rng.sample(list(train.element_names), count)


# Equations of a train, apart from the library's ---------------------------------


def laws(train):
    """Every mesh as {member: teeth, ..., carrier: -sum}; the case stands still."""
    for one in train.sets:
        if one.kind == "simple":
            sun, ring = one.all_teeth["sun"], one.all_teeth["ring"]
            planet = one.all_teeth["planet"]
            pairs = [
                ("sun", sun, "planet", planet, "carrier"),
                ("ring", ring, "planet", -planet, "carrier"),
            ]
        else:
            pairs = [
                (*sum(zip(m.gears, _signed(m), strict=True), ()), m.carrier)
                for m in one.meshes
            ]
        for a, teeth_a, b, teeth_b, carrier in pairs:
            law = {a: teeth_a, b: teeth_b, carrier: -teeth_a - teeth_b}
            yield {one.member(key): value for key, value in law.items()}


def _signed(mesh):
    a, b = mesh.teeth
    return (a, b) if mesh.mesh == "external" else (a, -b)


def names_of(train):
    """Every member and shaft."""
    members = {name: None for law in laws(train) for name in law}
    shafts = dict.fromkeys(train.shafts)
    return [name for name in {**members, **shafts} if name != "case"]


def pieces(train):
    """{member or shaft: the name of the piece that it belongs to}."""
    piece = {name: name for name in names_of(train)} | {"case": "case"}
    for shaft, members in train.shafts.items():
        piece |= dict.fromkeys(members, shaft)
    return piece


def relative(train, part):
    """The speed that an element or one-way clutch sees, as {piece: coefficient}."""
    first, second = map(pieces(train).get, sides(part))
    return {} if first == second else {first: 1, second: -1}


def rows(train, equations, bodies):
    """Equations as rows over bodies; members are put into their pieces."""
    piece, place = pieces(train), {body: i for i, body in enumerate(bodies)}
    made = []
    for equation in equations:
        row = [Fraction(0)] * len(bodies)
        for name, value in equation.items():
            if piece[name] != "case":
                row[place[piece[name]]] += value
        made.append(row)
    return made


def bodies_of(train):
    """The pieces that may turn."""
    return [body for body in dict.fromkeys(pieces(train).values()) if body != "case"]


def sides(part):
    """The pair of names between which an element or one-way clutch acts."""
    if isinstance(part, Brake):
        return part.member, "case"
    if isinstance(part, Clutch):
        return part.second, part.first
    return part.member, part.against


# Trains to be drawn, of all kinds and larger ------------------------------------

DRAWN_TEETH = {
    "simple": {"sun": 30, "ring": 72},
    "meshed-planet": {"sun": 30, "inner-planet": 16, "outer-planet": 17, "ring": 72},
    "two-sun": {"small-sun": 33, "large-sun": 42, "short-planet": 20, "ring": 84},
    "stepped-planet": {"sun": 30, "sun-planet": 24, "ring-planet": 16, "ring": 70},
    "differential": {"side": 16},
}
_ENDS = {
    "two-sun": ("small sun", "large sun", "ring", "carrier"),
    "differential": ("left", "right", "carrier"),
}


def random_drawn_train(rng):
    """A train of two to six sets of all kinds with up to ten elements."""
    while True:
        sets, free = [], []
        for i in range(rng.randrange(2, 7)):
            kind = rng.choice(("simple", "simple", "simple", "meshes", *DRAWN_TEETH))
            name = f"set {i}"
            if kind == "meshes":
                sets.append(
                    gears(
                        external("sun", 30, "planet", 21, "carrier"),
                        internal("planet", 21, "ring", 72, "carrier"),
                        name=name,
                    )
                )
            else:
                teeth = FrozenMap(DRAWN_TEETH[kind])
                sets.append(GearSet(name=name, kind=kind, teeth=teeth))
            shorts = _ENDS.get(kind, ("sun", "ring", "carrier"))
            free += [f"{name} {short}" for short in shorts]
        rng.shuffle(free)
        shafts = {}
        for i in range(rng.randrange(1, 2 * len(sets))):
            if len(free) > 4:
                count = rng.choice((2, 2, 2, 3))
                shafts[f"shaft {i}"] = [free.pop() for _ in range(count)]
        if rng.random() < 0.3:
            shafts["case"] = [free.pop()]
        if rng.random() < 0.2:
            shafts["race"] = []
        bodies = [name for name in shafts if name != "case"] + free
        first, last = rng.sample(bodies, 2)
        count, clutches, brakes = rng.randrange(3, 11), {}, {}
        for i in range(count - 1):
            if rng.random() < 0.5:
                brakes[f"brake {i}"] = rng.choice(bodies)
            else:
                clutches[f"clutch {i}"] = rng.sample(bodies, 2)
        one_way = {"one-way clutch": (rng.choice(bodies), "case")}
        try:
            train = make_train(
                *sets, input=first, output=last, shafts=shafts, brakes=brakes,
                clutches=clutches, one_way=one_way,
            )  # fmt: skip
            free_motions(train)
        except ValueError:
            continue
        return train
