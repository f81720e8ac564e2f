"""Sweeps of tooth counts: each variant is what the exact library says of it."""

import random
import subprocess
import sys
import time

import numpy as np
import pytest
from trains import external, gears, make_train, random_train, simple, three_range

from gearlab import load_train, power_flow
from gearlab.ask.teeth.batch import ratios_of
from gearlab.ask.teeth.sweep import sweep
from gearlab.base.frozenmap import FrozenMap
from gearlab.train.gearset import GearSet
from gearlab.train.motion import free_motions


def drawn(seed, size, **low_suns):
    """Teeth of simple sets that can be, with `size` variants."""
    rng = np.random.default_rng(seed)
    teeth = {}
    for name, low in low_suns.items():
        sun = rng.integers(low, low + 25, size)
        teeth[name] = {"sun": sun, "ring": sun + 2 * rng.integers(14, 25, size)}
    return teeth


def variant(train, teeth, place):
    return train.with_teeth(
        {
            name: {key: int(array[place]) for key, array in row.items()}
            for name, row in teeth.items()
        }
    )


def agree(train, teeth, ratios, places):
    """Compare some variants with the exact answer; the states that were seen."""
    states = set()
    for place in places:
        one = variant(train, teeth, place)
        for name in train.range_names:
            flow = power_flow(one, name)
            states.add((name, flow.state, flow.holding))
            ratio = float(ratios[name][place])
            if flow.ratio is None:
                assert np.isnan(ratio), (name, place)
            else:
                assert ratio == pytest.approx(float(flow.ratio), rel=1e-12)
    return states


def test_five_range_variants_are_exact():
    train = load_train("five-range")
    teeth = drawn(1, 20_000, front=25, middle=30, rear=20)
    ratios = sweep(train, teeth)
    assert set(ratios) == set(train.range_names)
    assert all(row.shape == (20_000,) for row in ratios.values())
    agree(train, teeth, ratios, range(0, 20_000, 1000))


def test_six_range_variants_are_exact():
    train = load_train("six-range")
    rng = np.random.default_rng(2)
    small = rng.integers(28, 34, 3000)
    large = small + rng.integers(6, 10, 3000)
    teeth = {
        "front": {"sun": rng.integers(20, 25, 3000) * 2, "ring": np.full(3000, 76)},
        "rear": {
            "small-sun": small,
            "large-sun": large,
            "short-planet": np.full(3000, 19),
            "ring": large + 2 * rng.integers(21, 24, 3000),
            "planets": np.ones(3000, dtype=int),
        },
    }
    agree(train, teeth, sweep(train, teeth), range(0, 3000, 100))


def racing():
    """Two sets side by side whose sums decide which one-way clutch takes the load.

    The input drives both suns; the first ring or the second may be the one that is
    kept from turning backward, as the teeth have it.
    """
    return make_train(
        simple("first", 30, 72),
        simple("second", 30, 60),
        input="input shaft",
        output="output shaft",
        shafts={
            "input shaft": ["first sun", "second sun"],
            "output shaft": ["first carrier", "second carrier"],
        },
        one_way={
            "first one-way": ("first ring", "case"),
            "second one-way": ("second ring", "case"),
        },
        ranges={"both": []},
    )


def test_one_way_clutches_change_within_a_sweep():
    train = racing()
    suns, rings = np.meshgrid(np.arange(20, 40, 2), np.arange(66, 90, 2))
    teeth = {"first": {"sun": suns.ravel(), "ring": rings.ravel()}}
    states = agree(train, teeth, sweep(train, teeth), range(suns.size))
    assert {holding for _, _, holding in states} >= {
        frozenset({"first one-way"}),
        frozenset({"second one-way"}),
    }


def test_where_some_variants_do_not_drive():
    # Locked at the same proportion the two sets agree; else they fight.
    train = make_train(
        simple("first", 30, 72),
        simple("second", 30, 60),
        input="input shaft",
        output="output shaft",
        shafts={
            "input shaft": ["first sun", "second sun"],
            "output shaft": ["first carrier", "second carrier"],
        },
        brakes={"first brake": "first ring", "second brake": "second ring"},
        ranges={"both": ["first brake", "second brake"]},
    )
    teeth = {"first": {"sun": np.array([30, 36, 30]), "ring": np.array([60, 72, 72])}}
    ratios = sweep(train, teeth)["both"]
    states = agree(train, teeth, {"both": ratios}, range(3))
    assert {state for _, state, _ in states} == {"drives", "tied up"}


@pytest.mark.parametrize("seed", [0, 9, 47])
def test_random_trains_under_both_loads(seed):
    rng = random.Random(f"sweep {seed}")
    driven = compared = 0
    while compared < 1500 or not driven:
        train, applied = random_train(rng, one_ways=rng.choice((2, 3, 4)))
        trains = []
        for _ in range(8):
            changes = {}
            for one in train.sets:
                if one.kind == "simple":
                    sun = rng.randrange(15, 60)
                    ring = sun + 2 * rng.choice((12, 15, 20, 30, 39))
                    changes[one.name] = {"sun": sun, "ring": ring}
            trains.append(train.with_teeth(changes))
        teeth = {
            (one.name, gear): np.array(
                [float(made.set(one.name).all_teeth[gear]) for made in trains]
            )
            for one in train.sets
            for gear in one.all_teeth
        }
        loads = ("drive", "coast")
        found = ratios_of(train, [(applied, load) for load in loads], teeth, 8)
        for place, made in enumerate(trains):
            try:
                free_motions(made)
            except ValueError:
                continue
            for load, ratios in zip(loads, found, strict=True):
                ratio = power_flow(made, applied=applied, load=load).ratio
                compared += 1
                if ratio is None:
                    assert np.isnan(ratios[place])
                else:
                    driven += 1
                    assert ratios[place] == pytest.approx(float(ratio), rel=1e-10)


def test_variants_do_not_hang_on_each_other():
    train = load_train("five-range")
    teeth = drawn(3, 9000, front=25, middle=30, rear=20)
    whole = sweep(train, teeth)
    part = sweep(
        train,
        {n: {k: a[8000:8500] for k, a in row.items()} for n, row in teeth.items()},
    )
    for name in train.range_names:
        np.testing.assert_allclose(whole[name][8000:8500], part[name], rtol=1e-13)


def test_shapes_are_broadcast():
    train = load_train("five-range")
    suns, rings = np.arange(20, 27, 2)[:, None], np.arange(68, 73, 2)
    ratios = sweep(train, {"rear": {"sun": suns, "ring": rings}})
    assert ratios["R"].shape == (4, 3)
    np.testing.assert_allclose(ratios["R"], -rings / suns)
    alone = sweep(train, {"rear": {"sun": 28}})
    assert alone["R"].tolist() == pytest.approx([-2.5])
    assert sweep(train, {})["R"].tolist() == pytest.approx([-3.5])
    none = sweep(train, {"rear": {"sun": np.zeros(0, dtype=int)}})
    assert none["R"].shape == (0,)


def test_given_planets_and_planet_counts():
    train = three_range()
    ratios = sweep(train, {"first": {"planet": [14, 15], "planets": 3}})
    for place, planet in enumerate((14, 15)):
        one = train.with_teeth({"first": {"planet": planet, "planets": 3}})
        assert ratios["1"][place] == pytest.approx(float(power_flow(one, "1").ratio))


def test_a_differential_and_written_meshes():
    differential = make_train(
        GearSet(name="rear", kind="differential", teeth=FrozenMap({"side": 16})),
        input="rear carrier",
        output="rear left",
        brakes={"brake": "rear right"},
        ranges={"1": ["brake"]},
    )
    assert sweep(differential, {"rear": {"side": [16, 40]}})["1"].tolist() == [0.5, 0.5]
    pair = make_train(
        gears(external("pinion", 10, "wheel", 61)),
        input="gears pinion",
        output="gears wheel",
        shafts={"case": ["gears arm"]},
        ranges={"1": []},
    )
    np.testing.assert_allclose(
        sweep(pair, {"gears": {"wheel": [20, 35]}})["1"], [-2.0, -3.5]
    )


@pytest.mark.parametrize(
    ("teeth", "words"),
    [
        ({"rare": {"sun": [24]}}, 'no gear set "rare"; did you mean "rear"'),
        ({"rear": {"son": [24]}}, 'no rear gear "son"; did you mean "sun"'),
        ({"rear": {"sun": [24.5]}}, "needs whole numbers"),
        ({"rear": {"sun": [[24], [24, 25]]}}, "needs whole numbers"),
        ({"rear": {"sun": [True]}}, "needs whole numbers"),
        (
            {"rear": {"sun": [24, 26], "ring": [70, 72, 74]}},
            r"do not go together \(rear sun \(2,\), rear ring \(3,\)\)",
        ),
        (
            {"rear": {"sun": [24, 25, 26, 27], "ring": 72}},
            "2 of 4 variants have teeth that cannot be; the first is variant 1,"
            " counted from 0: rear sun 25 and ring 72",
        ),
        ({"rear": {"sun": [24, 2]}}, "1 of 2 variants has .*variant 1.*from 4 to"),
        ({"rear": {"planets": [4, 0]}}, "1 of 2 variants has .*rear planets is 0"),
        ({"rear": {"planets": [4, 12]}}, "touch each other"),
    ],
)
def test_bad_teeth_are_refused(teeth, words):
    with pytest.raises(ValueError, match=words):
        sweep(load_train("five-range"), teeth)


@pytest.mark.parametrize("kind", ["simple", "two-sun"])
def test_what_is_refused_is_what_the_exact_rules_refuse(kind):
    name = "five-range" if kind == "simple" else "six-range"
    train = load_train(name)
    rng = np.random.default_rng(5)
    refused = 0
    for _ in range(400):
        if kind == "simple":
            keys, low = ("sun", "ring", "planets"), (4, 20, 1)
        else:
            keys = ("small-sun", "large-sun", "short-planet", "ring")
            low = (10, 14, 4, 60)
        spread = rng.integers(0, 30, len(keys)).tolist()
        teeth = {k: a + b for k, a, b in zip(keys, low, spread, strict=True)}
        if kind == "simple":
            teeth["planets"] = min(teeth["planets"], 8)
        try:
            train.set("rear").with_teeth(teeth)
        except ValueError as error:
            refused += 1
            with pytest.raises(ValueError) as caught:
                sweep(train, {"rear": teeth})
            assert str(caught.value).endswith(str(error))
        else:
            sweep(train, {"rear": teeth})
    assert 50 < refused < 395


def test_a_large_sweep_is_quick():
    # A second is the goal on a quiet machine; ten here, for a busy one.
    train = load_train("five-range")
    teeth = drawn(4, 100_000, front=25, middle=30, rear=20)
    start = time.perf_counter()
    sweep(train, teeth)
    assert time.perf_counter() - start < 10


@pytest.mark.parametrize("module", ["sweep", "identify"])
def test_import_loads_no_numpy(module):
    code = f"import sys, gearlab.ask.teeth.{module}; print('numpy' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True
    )
    assert done.stdout.strip() == "False"
