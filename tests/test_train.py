"""Trains and gear sets, the checks they are made with, and the frozen mapping."""

import pickle
from dataclasses import FrozenInstanceError, replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from loops import each

from gearlab.base import checks
from gearlab.base.frozenmap import FrozenMap
from gearlab.train import trainfile
from gearlab.train.gearset import GearSet, Mesh
from gearlab.train.train import Brake, Clutch, OneWayClutch, Range, Train

FIVE = trainfile.read_train_file(
    Path(trainfile.__file__).parent / "shipped" / "five-range.toml"
)


def simple(name="front", sun=30, ring=72, planets=None, **more):
    teeth = FrozenMap({"sun": sun, "ring": ring, **more})
    return GearSet(name=name, kind="simple", teeth=teeth, planets=planets)


def written_out(*meshes):
    return GearSet(name="gears", kind="meshes", meshes=meshes)


def mesh(gears=("a", "b"), teeth=(10, 61), kind="external", carrier="arm"):
    return Mesh(gears=gears, teeth=teeth, mesh=kind, carrier=carrier)


# The frozen mapping

ITEMS = st.dictionaries(st.text(max_size=5), st.integers())


@given(ITEMS)
def test_frozen_map_is_a_mapping_that_hashes_and_pickles(items):
    frozen = FrozenMap(items)
    backward = FrozenMap(reversed(items.items()))
    assert frozen == items == backward
    assert hash(frozen) == hash(backward)
    assert list(frozen) == list(items)
    assert pickle.loads(pickle.dumps(frozen)) == frozen


def test_frozen_map_does_not_change():
    source = {"sun": 4}
    frozen = FrozenMap(source)
    source["sun"] = 5
    assert frozen["sun"] == 4
    with pytest.raises(TypeError):
        frozen["sun"] = 5
    with pytest.raises(AttributeError, match="make a new one"):
        frozen.sun = 5
    assert repr(frozen) == "FrozenMap({'sun': 4})"


def test_frozen_map_differs_where_an_item_does():
    assert FrozenMap({"sun": 4}) != FrozenMap({"sun": 5})
    assert FrozenMap({"sun": 4}) != FrozenMap({"ring": 4})


# Checks


@pytest.mark.parametrize(
    "names, words",
    [([], ""), (["a"], '"a"'), (["a", "b", "c"], '"a", "b" and "c"')],
)
def test_quoted(names, words):
    assert checks.quoted(names) == words


def test_shortened_fits_a_sentence():
    assert checks.shortened("sun") == '"sun"'
    assert len(checks.shortened("s" * 200)) == 60
    assert checks.shortened("s" * 200).endswith("…")


@pytest.mark.parametrize(
    "name, names, way_out",
    [
        ("snu", ["sun", "ring"], 'no gear "snu"; did you mean "sun"?'),
        ("xyz", ["sun", "ring"], 'no gear "xyz"; known: "sun" and "ring"'),
        ("xyz", [], 'no gear "xyz"; there is no gear at all'),
        (3, ["sun"], 'no gear 3; known: "sun"'),
    ],
)
def test_known_gives_the_way_out(name, names, way_out):
    with pytest.raises(ValueError) as caught:
        checks.known(name, names, "gear")
    assert str(caught.value).startswith(way_out)


@each("value", [True, 30.0, Decimal(30), "30", None, 3, 10_001, [30]])
def test_teeth_are_whole_numbers_in_bounds(value):
    with pytest.raises(ValueError, match=r"^front sun is .*, but it must be a whole"):
        checks.teeth(value, "front sun")


@pytest.mark.parametrize("value", [4, 10_000])
def test_teeth_at_the_bounds(value):
    assert checks.teeth(value, "front sun") == value


@pytest.mark.parametrize("value", ["", "  ", "two\nlines", "bell\x07", None, 3])
def test_names_are_one_line(value):
    with pytest.raises(ValueError, match=r"^a shaft is named (?s:.*)one line of"):
        checks.name(value, "a shaft")


# Gear sets


@given(st.integers(4, 200), st.integers(4, 200))
def test_planet_follows_from_sun_and_ring(sun, planet):
    one = simple(sun=sun, ring=sun + 2 * planet)
    assert one.all_teeth == {"sun": sun, "ring": sun + 2 * planet, "planet": planet}
    assert "planet" not in one.teeth


@given(st.integers(4, 200), st.integers(4, 200), st.integers(-6, 6))
def test_planet_given_may_miss_by_two_teeth_of_shift(sun, planet, miss):
    ring = max(sun + 2 * planet + miss, sun + 8)
    miss = ring - sun - 2 * planet
    if abs(miss) <= 2:
        assert simple(sun=sun, ring=ring, planet=planet).all_teeth["planet"] == planet
    else:
        with pytest.raises(ValueError, match="a coaxial set needs ring = sun"):
            simple(sun=sun, ring=ring, planet=planet)


def test_what_a_simple_set_refuses():
    with pytest.raises(ValueError, match="take a ring of 38 or more"):
        simple(sun=30, ring=37)
    with pytest.raises(ValueError, match="make the sun 29 or 31, or give planet = 20"):
        simple(sun=30, ring=71)
    with pytest.raises(ValueError, match='no front gear "rng"; did you mean "ring"'):
        simple(rng=72)
    with pytest.raises(ValueError, match="front planets is 0"):
        simple(planets=0)
    with pytest.raises(ValueError, match="front ring has no tooth count"):
        GearSet(name="front", kind="simple", teeth=FrozenMap({"sun": 30}))
    with pytest.raises(ValueError, match='no kind of gear set "simpel"'):
        GearSet(name="front", kind="simpel")


def test_members_of_a_simple_set():
    one = simple()
    assert one.members == ("sun", "planet", "ring", "carrier")
    assert one.member("sun") == "front sun"
    assert one.member("case") == "case"


def test_with_teeth_keeps_what_is_not_changed():
    one = simple(planets=3)
    changed = one.with_teeth({"sun": 36, "planets": 4})
    assert changed.all_teeth == {"sun": 36, "ring": 72, "planet": 18}
    assert changed.planets == 4
    assert one == simple(planets=3)
    assert one.with_teeth({}) == one


def test_planet_none_follows_again():
    one = simple(sun=30, ring=71, planet=20)
    assert one.with_teeth({"ring": 72, "planet": None}).all_teeth["planet"] == 21
    with pytest.raises(ValueError, match="planet = 20 or 21"):
        one.with_teeth({"planet": None})


def test_meshes_give_teeth_and_members():
    one = written_out(
        mesh(), mesh(("b", "case"), (61, 132), "internal"), mesh(("c", "d"), (20, 30))
    )
    assert one.members == ("a", "b", "c", "d", "arm")
    assert one.teeth == {"a": 10, "b": 61, "case": 132, "c": 20, "d": 30}
    changed = one.with_teeth({"b": 60})
    assert [pair.teeth for pair in changed.meshes] == [(10, 60), (60, 132), (20, 30)]
    with pytest.raises(ValueError, match='no gears gear "z"'):
        one.with_teeth({"z": 60})


@pytest.mark.parametrize(
    "change, message",
    [
        ({"gears": ("a", "a")}, "names one part twice"),
        ({"carrier": "b"}, "names one part twice"),
        ({"kind": "inside"}, 'no kind of mesh "inside"'),
        ({"kind": "internal", "teeth": (30, 30)}, "fewer teeth"),
        ({"gears": ("a", "b", "c")}, "two gears with a tooth count each"),
        ({"teeth": (10,)}, "two gears with a tooth count each"),
    ],
)
def test_what_a_mesh_refuses(change, message):
    with pytest.raises(ValueError, match=message):
        mesh(**change)


def test_what_written_out_meshes_refuse():
    with pytest.raises(ValueError, match="no meshes; write at least one"):
        written_out()
    with pytest.raises(ValueError, match="b has 61 teeth in one mesh and 60"):
        written_out(mesh(), mesh(("b", "c"), (60, 20)))
    with pytest.raises(
        ValueError, match="gears arm is a gear in one mesh and a carrier"
    ):
        written_out(mesh(), mesh(("arm", "c"), (60, 20), carrier="other"))
    with pytest.raises(ValueError, match="gears a is 3, but"):
        written_out(mesh(teeth=(3, 61)))


# Trains


def lone(**changes):
    fields = {
        "name": "Lone set",
        "input": "front sun",
        "output": "front carrier",
        "sets": (simple(),),
    }
    return Train(**fields | changes)


def test_a_train_is_frozen_hashes_and_pickles():
    with pytest.raises(FrozenInstanceError):
        FIVE.name = "other"
    assert hash(FIVE) == hash(replace(FIVE))
    again = pickle.loads(pickle.dumps(FIVE))
    assert again == FIVE
    assert hash(again) == hash(FIVE)
    assert "_hash" not in vars(pickle.loads(pickle.dumps(FIVE)))


def test_bodies_join_members_and_fix_them():
    train = lone(
        sets=(simple(), simple("rear")),
        shafts=FrozenMap({"drum": ("front ring", "rear sun"), "case": ("rear ring",)}),
    )
    assert train.body_of["rear sun"] == train.body_of["drum"] == "drum"
    assert train.body_of["rear ring"] == "case"
    assert train.body_of["front planet"] == "front planet"
    assert train.members_of("rear sun") == ("front ring", "rear sun")
    assert train.members_of("case") == ("rear ring",)


def test_names_are_found_in_file_order():
    assert FIVE.element_names[:2] == ("overdrive brake", "common-sun brake")
    assert FIVE.element_names[-1] == "direct clutch"
    assert list(FIVE.by_name)[-2:] == ["front one-way clutch", "low one-way clutch"]
    assert FIVE.in_order(["parking pawl", "low brake"]) == ("low brake", "parking pawl")
    assert FIVE.range("3").applied[2] == "common-sun brake"
    assert FIVE.set("rear").planets == 3
    with pytest.raises(ValueError, match='no range "1 lwo"; did you mean "1 low"'):
        FIVE.range("1 lwo")
    with pytest.raises(ValueError, match='no gear set "raer"; did you mean "rear"'):
        FIVE.set("raer")


def test_brakes_hold_to_the_case():
    assert Brake(name="b", member="front sun").sides == ("front sun", "case")
    assert OneWayClutch(name="w", member="m", against="a").sides == ("m", "a")
    assert set(Clutch(name="c", first="f", second="s").sides) == {"f", "s"}


def test_other_sets_are_those_of_a_train_made_anew():
    """What is not checked again is what was checked: nothing of the copy is stale."""
    other = [one.with_teeth({"planets": None}) for one in FIVE.sets]
    other[0] = other[0].with_teeth({"sun": 30})
    changed, anew = FIVE.with_sets(other), replace(FIVE, sets=tuple(other))
    assert changed == anew and hash(changed) == hash(anew) != hash(FIVE)
    assert changed.body_of == anew.body_of and changed.by_name == anew.by_name
    assert pickle.loads(pickle.dumps(changed)) == anew
    for wrong in (other[::-1], [replace(other[0], name="frnt"), *other[1:]]):
        with pytest.raises(ValueError, match="has its name and members"):
            FIVE.with_sets(wrong)


def test_with_teeth_changes_a_copy():
    changed = FIVE.with_teeth(FIVE.tooth_sets["easy-count"])
    assert changed.set("rear").all_teeth["ring"] == 84
    assert changed.set("rear").planets == 3
    assert (FIVE.set("front").planets, changed.set("front").planets) == (4, 3)
    assert changed.ranges == FIVE.ranges
    assert changed != FIVE
    assert FIVE.set("rear").all_teeth["ring"] == 70
    with pytest.raises(ValueError, match='no gear set "frnt"; did you mean "front"'):
        FIVE.with_teeth({"frnt": {"sun": 30}})
    with pytest.raises(ValueError, match="leave 35 teeth"):
        FIVE.with_teeth({"front": {"ring": 71}})


DRUM = FrozenMap({"drum": ("front sun", "front ring")})
BRAKE = (Brake(name="ring brake", member="front ring"),)


@each(
    "changes, message",
    [
        ({"name": ""}, "the train is named"),
        ({"sets": ()}, "no gear set; write at least one"),
        ({"sets": (simple(), simple())}, '"front" names a gear set and a gear set'),
        ({"input": "front snu"}, 'no member or shaft "front snu"; did you mean'),
        ({"output": "front"}, 'no member or shaft "front"'),
        ({"input": "case"}, "fixed to the case, but it must be able to turn"),
        ({"output": "front sun"}, "are one piece, but a train needs two"),
        ({"shafts": FrozenMap({"case": ("front sun",)})}, "take it out of"),
        ({"shafts": FrozenMap({"drum": ("front rnig",)})}, 'shafts."drum": no member'),
        ({"shafts": DRUM, "output": "front ring"}, "are one piece"),
        (
            {"shafts": FrozenMap({"a": ("front ring",), "b": ("front ring",)})},
            'shafts."b": "front ring" is already part of "a"',
        ),
        ({"shafts": FrozenMap({"front sun": ()})}, "a name stands for one thing"),
        ({"shafts": FrozenMap({"input": ()})}, '"input" names the input and a shaft'),
        ({"brakes": BRAKE, "locks": BRAKE}, '"ring brake" names an element and'),
        ({"brakes": BRAKE * 2}, '"ring brake" names an element and'),
        (
            {"brakes": (Brake(name="b", member="front rign"),)},
            'no member or shaft "front rign"; did you mean "front ring"',
        ),
        ({"brakes": (Brake(name="b", member="case"),)}, "which are one piece"),
        (
            {
                "shafts": DRUM,
                "clutches": (Clutch(name="c", first="front sun", second="front ring"),),
            },
            "which are one piece",
        ),
        (
            {"one_way_clutches": (OneWayClutch(name="w", member="a", against="case"),)},
            'no member or shaft "a"',
        ),
        (
            {"brakes": BRAKE, "ranges": (Range(name="1", applied=("rnig brake",)),)},
            'ranges."1": no element "rnig brake"; did you mean "ring brake"',
        ),
        (
            {"ranges": (Range(name="1", applied=(), after="2"),)},
            'ranges."1": no range "2"',
        ),
        ({"ranges": (Range(name="", applied=()),)}, "a range is named"),
        ({"selector": FrozenMap({"D": ("1",)})}, 'selector."D": no range "1"'),
        ({"set_up": FrozenMap({"1": FrozenMap()})}, 'set-up."1": no range "1"'),
        ({"solenoids": FrozenMap({"valve": ("1",)})}, 'solenoids."valve": no range'),
        ({"solenoids": FrozenMap({"front sun": ()})}, "a member and a solenoid"),
        ({"paint": FrozenMap({"front snu": "red"})}, "paint"),
        (
            {"paint": FrozenMap({"front sun": "rde"})},
            'paint: no colour "rde" for front sun; did you mean "red"?',
        ),
        ({"paint": FrozenMap({"front sun": "#12"})}, 'write it as "#rrggbb"'),
    ],
)
def test_what_a_train_refuses(changes, message):
    with pytest.raises(ValueError) as caught:
        lone(**changes)
    assert message in str(caught.value)


def test_a_one_way_clutch_is_not_applied():
    way = OneWayClutch(name="way", member="front ring", against="case")
    with pytest.raises(ValueError, match="holds by itself and is never applied"):
        lone(one_way_clutches=(way,), ranges=(Range(name="1", applied=("way",)),))


def test_a_shaft_with_no_member_carries_clutches_alone():
    train = lone(
        shafts=FrozenMap({"race": ()}),
        clutches=(Clutch(name="c", first="front ring", second="race"),),
    )
    assert train.members_of("race") == ()
