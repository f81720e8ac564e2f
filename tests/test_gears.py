"""Gears in mesh: outlines, places and phases, tried on the outlines themselves."""

import random
from math import pi

import numpy as np
import pytest
from loops import each
from overlap import area, overlap, teeth_in, tooth_area, turned

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw.endview.gears import (
    ADDENDUM,
    BACKLASH,
    PRESSURE,
    give_teeth,
    mesh_inside,
    mesh_outside,
    outline,
)
from gearlab.draw.endview.places import places
from gearlab.train.gearset import GearSet
from gearlab.train.kinds.kind import Wheel
from gearlab.train.meshes import meshes

RADIUS, MOST = 150.0, 0.01  # of a ring's root [px]; overlap as a part of a tooth


def gear_set(kind, planets=None, **teeth):
    counts = {key.replace("_", "-"): count for key, count in teeth.items()}
    return GearSet(name="one", kind=kind, teeth=FrozenMap(counts), planets=planets)


def shipped():
    """Every gear set of every shipped train, with each of its named tooth sets."""
    for name in gearlab.train_names():
        train = gearlab.load_train(name)
        for teeth in ({}, *train.tooth_sets.values()):
            for one in train.with_teeth(teeth).sets:
                if not teeth or one.name in teeth:
                    yield pytest.param(one, id=f"{name} {one.name} {len(teeth)}")


SETS = [
    gear_set("simple", 3, sun=31, planet=20, ring=72),
    gear_set("simple", 4, sun=30, planet=22, ring=72),
    gear_set("simple", 3, sun=30, planet=20, ring=72),
    gear_set("simple", 3, sun=12, ring=48),
    gear_set("simple", 1, sun=4, ring=12),
    gear_set("simple", 2, sun=4, ring=84),
    gear_set("simple", 3, sun=60, planet=4, ring=70),
    gear_set("meshed-planet", 3, sun=30, inner_planet=18, outer_planet=20, ring=90),
    gear_set("meshed-planet", 2, sun=12, inner_planet=7, outer_planet=9, ring=36),
    gear_set("meshed-planet", None, sun=20, inner_planet=12, outer_planet=12, ring=68),
    gear_set("two-sun", 3, small_sun=24, large_sun=38, short_planet=20, ring=86),
    gear_set("two-sun", 2, small_sun=20, large_sun=22, short_planet=14, ring=54),
    gear_set("two-sun", 1, small_sun=9, large_sun=14, short_planet=8, long_planet=9,
             ring=31),
    gear_set("stepped-planet", 3, sun=24, sun_planet=30, ring_planet=18, ring=72),
    gear_set("stepped-planet", 3, sun=40, sun_planet=18, ring_planet=30, ring=90),
    gear_set("stepped-planet", 1, sun=20, sun_planet=14, ring_planet=20, ring=21),
]  # fmt: skip


def numbers(one):
    return f"{one.kind} {' '.join(map(str, one.all_teeth.values()))}"


def rates(one):
    """How fast each gear turns on a carrier that stands still, the first sun at 1."""
    found = {"small sun" if one.kind == "two-sun" else "sun": 1.0}
    pairs = list(meshes(one))
    while pairs:
        mesh = pairs.pop(0)
        (a, b), (teeth_a, teeth_b) = mesh.gears, mesh.teeth
        if a not in found and b not in found:
            if one.kind == "stepped-planet":
                found["ring planet"] = found["sun planet"]
            pairs.append(mesh)
            continue
        ratio = (1 if mesh.mesh == "internal" else -1) * teeth_a / teeth_b
        if a in found:
            found[b] = found[a] * ratio
        else:
            found[a] = found[b] / ratio
    return found


def worst(one, angles, bunches=None, hand=1, off=0.0):
    """The largest overlap of any two gears in mesh, as a part of the smaller tooth.

    `off` turns the planets out of mesh, by so many of their teeth.
    """
    found, speed = places(one, RADIUS, hand), rates(one)
    central = {gear.short: gear for gear in (found.ring, *found.middle)}
    points = {
        gear.short: np.array(outline(gear.teeth, "other body").points)
        for gear in (*central.values(), *found.bunches[0])
    }
    most = 0.0
    for bunch in found.bunches[:bunches]:
        gears = central | {gear.short: gear for gear in bunch}
        for mesh in meshes(one):
            a, b = (gears[short] for short in mesh.gears)
            tooth = min(tooth_area(points[a.short]), tooth_area(points[b.short]))
            for angle in angles:
                drawn = []
                for gear in (a, b):
                    start = gear.turned + (gear in bunch) * off / gear.teeth.count
                    middle = np.array([gear.x, gear.y])
                    turn = start + speed[gear.short] * angle
                    drawn += [turned(points[gear.short], turn, middle), middle]
                most = max(most, overlap(*drawn, b.teeth.inward) / tooth)
    return most


EVERY_DEGREE = [k / 360 for k in range(360)]


@pytest.mark.parametrize("one", list(shipped()))
def test_shipped_gears_never_overlap(one):
    assert worst(one, EVERY_DEGREE, bunches=1) < MOST


@pytest.mark.parametrize("one", SETS, ids=numbers)
def test_other_gears_never_overlap(one):
    assert worst(one, EVERY_DEGREE, bunches=1) < MOST


@each("hand", [1, -1])
@pytest.mark.parametrize("one", SETS, ids=numbers)
def test_every_planet_is_in_phase(one, hand):
    assert worst(one, [0.0, 0.0137, 0.377], hand=hand) < MOST


def random_set(rng):
    kind = rng.choice(("simple", "meshed-planet", "two-sun", "stepped-planet"))
    few, some = (lambda: rng.randrange(4, 40)), rng.randrange(4, 60)
    shift = rng.choice((0, 0, 1, -1, 2, -2))
    if kind == "simple":
        planet = few()
        teeth = {"sun": some, "planet": planet, "ring": some + 2 * planet + shift}
    elif kind == "meshed-planet":
        inner, outer = few(), few()
        ring = some + 2 * (inner + outer) - rng.randrange(40)
        teeth = {"sun": some, "inner_planet": inner, "outer_planet": outer}
        teeth["ring"] = ring
    elif kind == "two-sun":
        large, long = some + rng.randrange(2, 20), few()
        teeth = {"small_sun": some, "large_sun": large, "short_planet": few()}
        teeth |= {"long_planet": long, "ring": large + 2 * long + shift}
    else:
        planet = few()
        teeth = {"sun": some, "sun_planet": few(), "ring_planet": planet}
        teeth["ring"] = planet + rng.randrange(1, 80)
    return gear_set(kind, rng.choice((None, 1, 2, 3)), **teeth)


def test_random_gears_never_overlap():
    rng, tried = random.Random(7), set()
    while len(tried) < 40:
        try:
            one = random_set(rng)
        except ValueError:
            continue  # teeth that no set can have
        tried.add(one)
        angles = [k / 11 for k in range(11)]
        assert worst(one, angles, bunches=2) < MOST, numbers(one)
    assert len({one.kind for one in tried}) == 4


@pytest.mark.parametrize("one", [SETS[0], SETS[7], SETS[10], SETS[13]], ids=numbers)
def test_gears_out_of_phase_are_seen(one):
    assert worst(one, [0.1], bunches=1, off=0.5) > 0.3


def test_overlap_is_measured_rightly():
    square = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * 10.0
    beside, zero = np.array([15.0, 5.0]), np.zeros(2)
    assert overlap(square, zero, square + beside, beside, False) == pytest.approx(75)
    assert overlap(square + beside, beside, square, zero, True) == pytest.approx(325)
    far = np.array([25.0, 0.0])
    assert overlap(square, zero, square + far, far, False) == 0


def test_outlines_have_the_teeth_of_the_set():
    for one in (SETS[0], SETS[9], SETS[14]):
        found = places(one, RADIUS, 1)
        for gear in (found.ring, *found.middle, *found.bunches[0]):
            points = outline(gear.teeth, "other body").points
            count = one.all_teeth[gear.short.replace(" ", "-")]
            assert teeth_in(points) == count
            low, high = sorted((gear.teeth.root, gear.teeth.tip))
            assert pi * low**2 < area(points) < pi * high**2


def test_everything_stays_inside_the_circle():
    for one in SETS:
        found = places(one, RADIUS, 1)
        assert found.ring.teeth.root <= RADIUS + 1e-3
        for gear in (*found.middle, *sum(found.bunches, ())):
            assert gear.far + gear.teeth.tip <= RADIUS + 1e-3


def test_planets_stand_where_they_fit():
    one = gear_set("simple", 4, sun=31, planet=20, ring=72)
    found = places(one, RADIUS, 1)
    assert found.at == tuple(map(float, one.planet_angles))
    assert found.at != (0, 0.25, 0.5, 0.75)
    assert places(one, RADIUS, -1).at == tuple(-place for place in found.at)


def test_planets_that_would_touch_are_left_out():
    teeth = {"sun": 30, "inner_planet": 18, "outer_planet": 20, "ring": 90}
    crowded = places(gear_set("meshed-planet", 6, **teeth), RADIUS, 1)
    assert len(crowded.at) + crowded.left_out == 6
    assert crowded.left_out > 0
    roomy = places(gear_set("meshed-planet", 3, **teeth), RADIUS, 1)
    assert roomy.left_out == 0
    tips = [
        (gear, other)
        for bunch in crowded.bunches
        for rest in crowded.bunches
        if rest is not bunch
        for gear in bunch
        for other in rest
    ]
    for gear, other in tips:
        apart = np.hypot(gear.x - other.x, gear.y - other.y)
        assert apart > gear.teeth.tip + other.teeth.tip


def test_stepped_planets_are_alike():
    """The two gears of a planet are set to each other the same way on every planet."""
    one = gear_set("stepped-planet", 3, sun=40, sun_planet=18, ring_planet=30, ring=90)
    offsets = []
    for bunch in places(one, RADIUS, 1).bunches:
        gears = {gear.short: gear for gear in bunch}
        between = gears["sun planet"].turned - gears["ring planet"].turned
        offsets.append(between * 90 % 1)  # 90 = lcm(18, 30): all ways to say the same
    for offset in offsets[1:]:
        assert min((offset - offsets[0]) % 1, (offsets[0] - offset) % 1) < 1e-6


def test_gears_behind_others_are_the_larger_ones():
    for one in SETS:
        found = places(one, RADIUS, 1)
        for group in (found.middle, *found.bunches):
            tips = [gear.teeth.tip for gear in group if gear.behind]
            fronts = [gear.teeth.tip for gear in group if not gear.behind]
            if tips and fronts:
                assert max(tips) > max(fronts)


def test_teeth_share_the_pitch():
    """On the pitch circles a tooth and its mate fill a pitch, but for the play."""
    wheels = {"a": Wheel(teeth=20, pitch=10.0), "b": Wheel(teeth=30, pitch=15.0)}
    teeth = give_teeth(wheels, [("a", "b", 25.0)])
    flank = np.tan(PRESSURE) - PRESSURE
    thick = [2 * one.pitch * (one.half - flank) for one in teeth.values()]
    assert sum(thick) == pytest.approx(pi - 2 * BACKLASH)
    assert teeth["b"].tip == 15 + ADDENDUM > 15 > teeth["b"].root


def test_gears_that_pass_each_other_are_kept_apart():
    wheels = {
        "sun": Wheel(teeth=20, pitch=10.0),
        "planet": Wheel(teeth=18, pitch=9.0),
        "idler": Wheel(teeth=16, pitch=8.0),
    }
    chain = [("sun", "planet", 19.0), ("planet", "idler", 17.0)]
    free = give_teeth(wheels, chain)
    assert free["idler"].tip + free["sun"].tip > 19.0
    apart = give_teeth(wheels, chain, [("idler", "sun", 19.0)])
    assert apart["idler"].tip + apart["sun"].tip < 19.0


def test_phases_repeat_with_the_teeth():
    for mesh in (mesh_outside, mesh_inside):
        one = mesh(20, 0.013, 30, 0.2)
        assert 0 <= one < 1 / 30
        assert mesh(20, 0.013 + 1 / 20, 30, 0.2) == pytest.approx(one)
