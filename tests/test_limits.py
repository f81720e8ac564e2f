"""Limits far above any unit: refused above in a sentence, and no long wait below."""

from fractions import Fraction as F
from itertools import combinations
from random import Random
from time import process_time

import pytest
from loops import each
from test_one_way import at, null_space
from trains import external, gears, make_train, one_set, simple

import gearlab as gl
from gearlab.ask.teeth.identify import MOST_COUNTS
from gearlab.base import checks
from gearlab.base.cone import Cone, half_cone, unit_lines
from gearlab.train.motion import free_motions
from gearlab.train.train import (
    MOST_ELEMENTS,
    MOST_ONE_WAYS,
    MOST_RANGES,
    MOST_SETS,
)

WAIT = 2.0  # seconds of computing


def chain(count, *, brakes=True, output_brake=False):
    """Sets one behind the other, each with its ring on a brake or a one-way clutch."""
    sets = [simple(f"s{i}", 30 + 2 * (i % 9), 72 + 2 * (i % 9)) for i in range(count)]
    shafts = {
        f"shaft {i}": [f"s{i} carrier", f"s{i + 1} sun"] for i in range(count - 1)
    }
    rings = [f"s{i} ring" for i in range(count)]
    last = {"output brake": f"s{count - 1} carrier"} if output_brake else {}
    held = {f"hold {i}": ring for i, ring in enumerate(rings)}
    return make_train(
        *sets,
        shafts=shafts,
        brakes=held | last if brakes else last,
        one_way={} if brakes else {n: (ring, "case") for n, ring in held.items()},
        input="s0 sun",
        output=f"s{count - 1} carrier",
    )


def in_time(question):
    """The answer to a question, which must come in time."""
    start = process_time()
    answer = question()
    assert process_time() - start < WAIT
    return answer


def low(train):
    ratio = F(1)
    for one in train.sets:
        ratio *= 1 + F(one.all_teeth["ring"], one.all_teeth["sun"])
    return ratio


def test_as_many_sets_as_are_taken():
    train = in_time(lambda: chain(MOST_SETS))
    names = train.element_names
    flow = in_time(lambda: gl.power_flow(train, applied=names))
    assert flow.ratio == low(train)
    lossy = in_time(lambda: gl.power_flow(train, applied=names, losses={}))
    assert 0 < lossy.efficiency < 1
    in_time(lambda: gl.member_loads(flow))
    # So lossy that it cannot drive back: many directions are tried.
    etas = {"external": "0.5", "internal": "0.5"}
    question = {"applied": names, "load": "coast", "losses": etas}
    assert in_time(lambda: gl.power_flow(train, **question)).efficiency is not None


def test_a_train_that_locks_itself_among_as_many_sets_as_are_taken():
    # The nearly equal wheels lock behind their arm; every mesh behind them is loaded.
    nearly = gears(
        external("fixed", 100, "planet", 20), external("planet", 20, "out", 99)
    )
    plain = chain(MOST_SETS - 1)
    train = make_train(
        nearly,
        *plain.sets,
        shafts=dict(plain.shafts)
        | {"case": ["gears fixed"], "middle": ["gears out", "s0 sun"]},
        brakes={name: plain.by_name[name].member for name in plain.element_names},
        input="middle",
        output="gears arm",
    )
    for load, locked in (("drive", True), ("coast", False)):
        question = {"applied": [], "load": load, "losses": {"external": "0.9"}}
        flow = in_time(lambda asked=question: gl.power_flow(train, **asked))
        assert (flow.efficiency == 0) == locked


def test_a_tie_up_that_takes_every_element():
    train = chain(MOST_SETS, output_brake=True)
    applied = train.element_names
    flow = in_time(lambda: gl.power_flow(train, applied=applied))
    assert flow.conflict == set(applied)


def test_a_smallest_conflict_among_as_many_elements_as_are_taken():
    rng = Random("many elements")
    members = [f"s{i} {m}" for i in range(10) for m in ("sun", "ring", "carrier")]
    pairs = rng.sample(list(combinations(members, 2)), MOST_ELEMENTS)
    sets = [simple(f"s{i}", 30 + 2 * i, 72 + 2 * i) for i in range(10)]
    clutches = {f"clutch {i}": pair for i, pair in enumerate(pairs)}
    train = make_train(*sets, input="s0 sun", output="s9 carrier", clutches=clutches)
    assert in_time(lambda: gl.power_flow(train, applied=clutches)).ratio == 1


@pytest.mark.parametrize("load", ["drive", "coast"])
def test_as_many_one_way_clutches_as_are_taken(load):
    train = chain(MOST_ONE_WAYS, brakes=False)
    flow = in_time(lambda: gl.power_flow(train, load=load))
    if load == "drive":
        assert flow.ratio == low(train)
        assert len(flow.holding) == MOST_ONE_WAYS
        in_time(lambda: gl.power_flow(train, losses={}))
    else:
        assert flow.state == "freewheels"
    assert in_time(lambda: gl.roll_back(train)).holding == {
        part.name for part in train.one_way_clutches
    }
    tied = chain(MOST_ONE_WAYS, brakes=False, output_brake=True)
    flow = in_time(lambda: gl.power_flow(tied, applied=["output brake"], load=load))
    assert len(flow.conflict) == MOST_ONE_WAYS + 1


@pytest.mark.parametrize("seed", range(6))
def test_one_way_clutches_anywhere(seed):
    rng = Random(f"one-way clutches {seed}")
    members = [f"s{i} {m}" for i in range(5) for m in ("sun", "ring", "carrier")]
    members.append("case")
    one_way = {f"roller {i}": rng.sample(members, 2) for i in range(MOST_ONE_WAYS)}
    sets = [simple(f"s{i}", 30 + 2 * i, 72 + 2 * i) for i in range(5)]
    brakes = {f"brake {i}": f"s{i} ring" for i in range(5)}
    train = make_train(
        *sets, input="s0 sun", output="s4 carrier", brakes=brakes, one_way=one_way
    )
    free_motions(train)
    for applied in ((), ("brake 1",), ("brake 0", "brake 4")):
        for load in ("drive", "coast"):
            for losses in (None, {"external": "0.5", "internal": "0.5"}):
                question = {"applied": applied, "load": load, "losses": losses}
                in_time(lambda asked=question: gl.power_flow(train, **asked))
        in_time(lambda names=applied: gl.roll_back(train, applied=names))


COUNTS = {
    "sets": (lambda n: chain(n), MOST_SETS, "gear sets"),
    "elements": (
        lambda n: one_set(
            brakes={f"b{i}": "front ring" for i in range(n)}, clutches={}
        ),
        MOST_ELEMENTS,
        "brakes, clutches and locks",
    ),
    "one-ways": (
        lambda n: one_set(one_way={f"o{i}": ("front ring", "case") for i in range(n)}),
        MOST_ONE_WAYS,
        "one-way clutches",
    ),
    "ranges": (
        lambda n: one_set(ranges={str(i): ["ring brake"] for i in range(n)}),
        MOST_RANGES,
        "ranges",
    ),
}


@pytest.mark.parametrize("made, most, what", COUNTS.values(), ids=COUNTS)
def test_more_is_refused_at_once(made, most, what):
    made(most)
    with pytest.raises(
        ValueError, match=f"{most + 1} {what} are given, but {most} are"
    ):
        made(most + 1)
    start = process_time()
    with pytest.raises(ValueError, match=f"300 {what} are given"):
        made(300)
    assert process_time() - start < 0.5


def test_names_have_an_end():
    longest = "a" * checks.MOST_LETTERS
    assert one_set(shafts={longest: []}).shafts == {longest: ()}
    for length in (checks.MOST_LETTERS + 1, 100_000):
        with pytest.raises(ValueError) as refused:
            one_set(shafts={"a" * length: []})
        words = str(refused.value)
        most = f"but a name has at most {checks.MOST_LETTERS};"
        assert f"of {length} letters, {most}" in words
        assert len(words) < 200


def test_counts_of_a_whole_school_come_in_time():
    train = gl.load_train("five-range")
    rng = Random("counts")
    ratios = {name: gl.power_flow(train, name).ratio for name in "12345R"}

    def counted(name):
        count = round(80 * ratios[name] + rng.choice((-1, 0, 1))) / 8
        return gl.Count(range=name, count=count, error=F(1, 4), over=10)

    counts = [counted(name) for name in rng.choices("12345R", k=MOST_COUNTS)]
    found = in_time(lambda: gl.identify(train, counts))
    assert len(found.residuals) == len(found.candidates[0].misfits) == MOST_COUNTS
    assert max(map(abs, found.candidates[0].misfits)) <= 2
    with pytest.raises(
        ValueError, match="1001 counts are given, but 1000 are the most"
    ):
        gl.identify(train, [*counts, counts[0]])


def test_repeated_counts_say_what_one_of_their_mean_says():
    train = gl.load_train("five-range")
    each = [F(17, 2) + F(i, 8) for i in (-1, 0, 0, 1)]
    four = [gl.Count(range="1", count=c, error=F(1, 4), over=3) for c in each]
    one = [gl.Count(range="1", count=sum(each) / 4, error=F(1, 8), over=3)]
    many, few = gl.identify(train, four), gl.identify(train, one)
    assert many.candidates[0].teeth == few.candidates[0].teeth
    assert many.agreeing > few.agreeing > 0  # within 1/4 + 1/8 or 1/4 of the mean
    assert len(many.residuals) == 4


@each("seed", range(30))
def test_rays_of_a_cone_are_its_edges(seed):
    """Against all edges, found by trying which rows may be 0 together."""
    rng = Random(f"cone {seed}")
    size = rng.choice((3, 4, 5))
    rows = [tuple(rng.randrange(-3, 4) for _ in range(size)) for _ in range(9)]
    cone = Cone(unit_lines(size))
    for row in rows:
        cone = half_cone(cone, row)
    if cone.lines:
        return
    edges = set()
    for chosen in combinations(rows, size - 1):
        span = null_space([list(map(F, row)) for row in chosen], size)
        for way in (span[0], [-x for x in span[0]]) if len(span) == 1 else ():
            if all(at(row, way) >= 0 for row in rows):
                longest = max(map(abs, way))
                edges.add(tuple(x / longest for x in way))
    found = {tuple(F(x, max(map(abs, ray))) for x in ray) for ray in cone.rays}
    assert edges <= found
    for ray in found:
        assert all(at(row, ray) >= 0 for row in rows)
    assert len(found) <= 3 * len(edges) + 8
