"""The book of a bench: its pages say what the library says, and no more."""

import json
import re
from fractions import Fraction as F
from itertools import combinations
from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from loops import each
from trains import (
    PAIRS,
    THREE_ON_ONE,
    five_range,
    gears,
    make_train,
    one_set,
    other_five_range,
    simple,
)

import gearlab as gl
from gearlab.base.frozenmap import FrozenMap
from gearlab.bench.book import colourings, cover, flow_of, key_of, usable_names
from gearlab.bench.look import (
    LETTERS,
    Draughtsman,
    View,
    flow_look,
    hidden_look,
    view_of,
)
from gearlab.bench.page import bodies, flow_page, hidden_page, segments
from gearlab.bench.texts import COLOUR_WORDS, FILE_TEXTS, TEXTS, texts
from gearlab.draw.kit.view import COLOURINGS, ENDS
from gearlab.solve.facts import element_states
from gearlab.train.gearset import GearSet

FIVE = gl.load_train("five-range")
BENCH = Path(gl.__file__).parent / "bench"
DIFFERENTIAL = make_train(
    GearSet(name="axle", kind="differential", teeth=FrozenMap({"side": 16})),
    input="axle carrier",
    output="axle right",
    brakes={"left brake": "axle left"},
    ranges={"turn": ["left brake"]},
)
WRITTEN_OUT = make_train(
    gears(*THREE_ON_ONE, name="bank"),
    input="bank a",
    output="bank b",
    brakes={"arm brake": "bank arm"},
)
CHAIN = make_train(
    gears(*PAIRS, name="pairs"),
    input="pairs one",
    output="pairs four",
    shafts={"lay shaft": ["pairs two", "pairs three"], "loose shaft": []},
    brakes={"arm brake": "pairs arm"},
)
MARKUP = '</script><img src=x onerror="alert(1)"> & <b>'
HOSTILE = make_train(
    simple("front", 30, 72),
    name=f"Train {MARKUP}",
    input="front sun",
    output=f"out {MARKUP}",
    shafts={f"out {MARKUP}": ["front carrier"]},
    brakes={f"brake {MARKUP}": "front ring"},
    one_way={f"one-way {MARKUP}": ("front ring", "case")},
    ranges={f"range {MARKUP}": [f"brake {MARKUP}"]},
)
MANY = make_train(
    simple("front", 30, 72),
    simple("rear", 30, 72),
    input="front sun",
    output="rear carrier",
    shafts={"middle shaft": ["front carrier", "rear sun"]},
    brakes={f"brake {i}": "front ring" for i in range(10)},
    clutches={f"clutch {i}": ("rear ring", "rear carrier") for i in range(10)},
    ranges={"1": ["brake 0", "clutch 0"]},
)
NO_RANGES = one_set()
ODD = (DIFFERENTIAL, WRITTEN_OUT, CHAIN, HOSTILE, MANY, NO_RANGES)
SHIPPED = [gl.load_train(name) for name in gl.train_names()]


def every_flow(train):
    """The flows of all combinations, under both loads, as ranges where they are."""
    names = usable_names(train)
    for count in range(len(names) + 1):
        for applied in combinations(names, count):
            rows = [r.name for r in train.ranges if set(r.applied) == set(applied)]
            for load in ("drive", "coast"):
                for row in rows:
                    yield gl.power_flow(train, row, load=load)
                if not rows:
                    yield gl.power_flow(train, applied=applied, load=load)


def some_flows(train):
    """A few flows of any train."""
    names = usable_names(train)
    some = [(), names[:1], names[:2], names[-1:], names]
    for load in ("drive", "coast"):
        for applied in some:
            yield gl.power_flow(train, applied=applied, load=load)
        for row in train.range_names:
            yield gl.power_flow(train, row, load=load)


# Pages ----------------------------------------------------------------------------


@pytest.mark.parametrize("train", SHIPPED, ids=gl.train_names())
def test_pages_say_what_the_library_says(train):
    for flow in every_flow(train):
        page = flow_page(flow)
        assert page["range"] == flow.range and page["state"] == flow.state
        assert (page["ratio"] and F(*page["ratio"])) == flow.ratio
        assert page["rates"].keys() == set(train.body_of.values()) - {"case"}
        for body, rate in page["rates"].items():
            assert (rate and F(*rate)) == flow.speeds[body]
        said = ["".join(piece[0] for piece in one) for one in page["says"]]
        assert " ".join(said) == gl.describe(flow)
        states = element_states(flow)
        assert page["elements"] == [states[name] for name in usable_names(train)]
        for part, (state, backs) in zip(
            train.one_way_clutches, page["one_ways"], strict=True
        ):
            assert state == states[part.name]
            backed = flow.backing_up.get(part.name, ())
            assert (state == "backs up") == bool(backed)
            assert all(name in backs for name in backed)
        assert set(page["fights"]) == set(flow.conflict or ())
        assert bool(page["stuck"]) == (flow.state == "tied up")
        assert page["gives"].endswith(flow.gives)
        json.dumps(page, allow_nan=False)


def test_a_page_in_full():
    page = flow_page(gl.power_flow(FIVE, "1"))
    assert page["title"] == "Range 1, under power"
    assert page["gives_exact"] == "ratio 2.833 (17/6)"
    assert page["bodies"]["rear carrier"] == (
        "rear carrier: held by the low one-way clutch"
    )
    assert page["bodies"]["common-sun shaft"] == (
        "common-sun shaft: turns backward, 1.235 per input turn"
    )
    assert page["on"] == [
        "front lock clutch",
        "forward clutch",
        "low one-way clutch holds",
    ]
    assert page["one_ways"] == [["backs up", "front lock clutch"], ["holds", ""]]


def test_where_it_is_stuck_it_is_said_who_fights():
    page = flow_page(gl.power_flow(FIVE, applied=["overdrive brake", "parking pawl"]))
    assert page["stuck"] == ""  # the rear section is not driven
    applied = ["overdrive brake", "front lock clutch"]
    page = flow_page(gl.power_flow(FIVE, applied=applied))
    assert page["fights"] == applied
    assert page["stuck"].startswith(
        "Tied up: the overdrive brake and the front lock clutch fight each other. The"
        " input cannot turn; do not force it."
    )


def test_what_is_not_determined_is_not_told_as_a_number():
    page = flow_page(gl.power_flow(FIVE, applied=()))
    assert page["rates"]["rear carrier"] is None
    assert page["bodies"]["rear carrier"] == "rear carrier: not determined"


def test_numbers_that_a_page_would_round_are_told_as_text():
    sets = [simple(f"set {n}", 30, 73, 21) for n in range(20)]
    shafts = {f"shaft {n}": [f"set {n} carrier", f"set {n + 1} sun"] for n in range(19)}
    train = make_train(
        *sets, input="set 0 sun", output="set 19 carrier", shafts=shafts,
        brakes={f"brake {n}": f"set {n} ring" for n in range(20)},
    )  # fmt: skip
    flow = gl.power_flow(train, applied=train.element_names)
    page = flow_page(flow)
    assert [type(one) for one in page["ratio"]] == [str, str]
    assert F(*map(int, page["ratio"])) == flow.ratio == F(103, 30) ** 20
    assert page["rates"]["shaft 0"] == [30, 103]


@each("train", ODD)
def test_pages_of_odd_trains(train):
    for flow in some_flows(train):
        page = flow_page(flow)
        said = ["".join(piece[0] for piece in one) for one in page["says"]]
        assert " ".join(said) == gl.describe(flow)
        json.dumps(page, allow_nan=False)


def test_a_hidden_page_has_the_shape_of_a_page_and_tells_nothing():
    for train in (*SHIPPED, *ODD):
        flow = gl.power_flow(train, applied=())
        told, hidden = flow_page(flow), hidden_page(train)
        assert hidden.keys() == told.keys()
        for name, value in hidden.items():
            if isinstance(value, list | dict):
                assert len(value) in (0, len(told[name]))
        words = json.dumps(hidden)
        assert "ratio 1" not in words and "turns" not in words


# Names in sentences ---------------------------------------------------------------


def test_a_name_within_another_name_or_word_is_none():
    train = one_set(
        brakes={"sun": "front sun", "front ring brake": "front ring"}, clutches={}
    )
    found = segments(train, "The front ring brake holds; sun-wise, sunny, sun; front.")
    named = [piece for piece in found if piece[1:]]
    assert named == [
        ["front ring brake", "element:front ring brake"],
        ["sun", "element:sun"],
    ]


def test_a_member_names_its_shaft():
    found = segments(FIVE, "the rear ring, the output shaft and the low brake")
    assert [piece[1] for piece in found if piece[1:]] == [
        "body:output shaft",
        "body:output shaft",
        "element:low brake",
    ]


@given(st.lists(st.sampled_from([*FIVE.by_name, *FIVE.body_of, "x", ",", "-", "a b"])))
def test_pieces_joined_are_the_sentence(words):
    sentence = " ".join(words)
    found = segments(FIVE, sentence)
    assert "".join(piece[0] for piece in found) == sentence
    owners = {f"body:{body}" for body in bodies(FIVE)}
    owners |= {f"element:{name}" for name in FIVE.by_name}
    assert all(piece[1] in owners for piece in found if piece[1:])


# Keys -----------------------------------------------------------------------------


@pytest.mark.parametrize("train", SHIPPED, ids=gl.train_names())
def test_a_key_leads_back_to_its_flow(train):
    seen = set()
    for flow in every_flow(train):
        key = key_of(flow)
        again = flow_of(train, key)
        seen.add(key)
        assert (again.load, again.range) == (flow.load, flow.range)
        assert again.applied == flow.applied and again.speeds == flow.speeds
    assert len(seen) == sum(1 for _ in every_flow(train))


@each(
    "key",
    [
        "", "drive", "drive:0", "drive:0:1:2", "push:0:", "drive:9:", "drive:-1:",
        "drive:0.0:", "drive:1.0:", "drive:x:", "drive: 0:", "drive:3.4:2", "drive::1",
        "drive:3.4:9", "drive:²:", None, 3, ["drive::"], "drive:" + "9" * 5000 + ":",
    ],
)  # fmt: skip
def test_a_key_that_is_none_gets_a_sentence(key):
    with pytest.raises(ValueError, match=r"no (state of the train|range)") as caught:
        flow_of(FIVE, key)
    assert len(str(caught.value)) < 200 and "\n" not in str(caught.value)


def test_views_lead_back_to_themselves():
    for end in ENDS:
        for letters in LETTERS:
            for colours in COLOURINGS:
                view = View(end=end, letters=letters, colours=colours, circulating=True)
                assert view_of(view.key) == view


@each(
    "key",
    ["", "input", "input/screen/part/2", "in/screen/part/0", "input/huge/part/0",
     "input/screen/pink/0", "input/screen/part/0/0", None, 7],
)  # fmt: skip
def test_a_view_that_is_none_gets_a_sentence(key):
    with pytest.raises(ValueError, match=r"no (view|end|kind|colouring)"):
        view_of(key)


# The cover ------------------------------------------------------------------------


@each("train", [*SHIPPED, *ODD])
def test_a_cover_names_all_that_there_is(train):
    book = cover(train)
    assert json.loads(json.dumps(book, allow_nan=False)) == book
    assert [one["name"] for one in book["elements"]] == usable_names(train)
    turning = [one["body"] for one in book["bodies"]]
    assert sorted(turning) == sorted(set(train.body_of.values()) - {"case"})
    assert book["input"] in turning and book["output"] in turning
    rows = {one["name"]: one["applied"] for one in book["ranges"]}
    assert tuple(rows) == train.range_names
    for row in train.ranges:
        names = [usable_names(train)[place] for place in rows[row.name]]
        assert set(names) == set(row.applied) and rows[row.name] == sorted(
            rows[row.name]
        )
    assert ("chart" in [one["id"] for one in book["pictures"]]) == bool(train.ranges)
    assert {one["name"] for one in book["positions"]} == set(train.selector)


def test_each_train_and_each_tooth_count_has_a_mark_of_its_own():
    trains = [*SHIPPED, *ODD, five_range(), other_five_range()]
    trains.append(FIVE.with_teeth({"front": {"planets": 3}}))
    assert len({cover(train)["train"] for train in trains}) == len(trains)
    assert cover(gl.load_train("five-range"))["train"] == cover(FIVE)["train"]


def test_what_elements_are_between():
    book = cover(FIVE)
    what = {one["name"]: one["what"] for one in book["elements"] + book["one_ways"]}
    assert what["low brake"] == "brake: holds the rear carrier to the case"
    assert what["forward clutch"] == (
        "clutch: joins the intermediate shaft and the middle ring"
    )
    assert what["front one-way clutch"] == (
        "one-way clutch: the front carrier never turns slower than the front sun"
    )
    assert what["low one-way clutch"] == (
        "one-way clutch: the rear carrier never turns backward"
    )
    names = {one["body"]: one["name"] for one in book["bodies"]}
    assert names["output shaft"] == "output shaft: middle carrier and rear ring"
    assert names["front planet"] == "front planet"


def test_paint_is_offered_where_there_is_some():
    assert set(colourings(FIVE)) == set(COLOUR_WORDS) == set(COLOURINGS)
    assert "paint" not in colourings(NO_RANGES)


# Texts ----------------------------------------------------------------------------


def scripts():
    return [path.read_text(encoding="utf-8") for path in BENCH.glob("*.js")]


def test_the_front_end_has_every_text_that_it_asks_for_and_no_other():
    script = "\n".join(scripts())
    asked = set(re.findall(r"\bT\.(\w+)|\btexts\??\.(\w+)\b(?!\()", script))
    asked = {one or other for one, other in asked}
    assert "T[" not in script  # or a text could be asked for unseen
    shell = (BENCH / "takehome.py").read_text(encoding="utf-8")
    written = set(re.findall(r'said\["(\w+)"\]', shell))
    assert asked | written == TEXTS.keys() | FILE_TEXTS.keys()
    assert written < FILE_TEXTS.keys()


def test_texts_can_be_of_another_language():
    words = {text: text.upper() for text in TEXTS.values()}
    assert texts(words) == {key: text.upper() for key, text in TEXTS.items()}
    words |= {"input end": "Eingang", "power path": "Kraftfluss", "under power": "Zug"}
    book = cover(FIVE, words=words)
    assert book["texts"]["stop"] == "STOP"
    assert book["offers"]["end"][0] == {"value": "input", "name": "Eingang"}
    assert book["pictures"][0]["name"] == "Kraftfluss"
    assert book["loads"][0]["name"] == "Zug"
    with pytest.raises(ValueError, match="words is"):
        cover(FIVE, words="Deutsch")


# Pictures -------------------------------------------------------------------------


def look_and_pieces(flow, view, **given):
    pieces = {}
    look = flow_look(flow, view, pieces, **given)
    return {
        name: {
            part: pieces[one] if part in ("live", "kept", "key") and one else one
            for part, one in picture.items()
        }
        for name, picture in look.items()
    }


def test_a_look_has_every_picture_of_the_cover_and_all_its_pieces():
    for train in (*SHIPPED, DIFFERENTIAL, WRITTEN_OUT, CHAIN, HOSTILE, NO_RANGES):
        ids = [one["id"] for one in cover(train)["pictures"]]
        for flow in list(some_flows(train))[:4]:
            pieces = {}
            look = flow_look(flow, View(), pieces)
            assert list(look) == ids
            used = {
                picture[part] for picture in look.values() for part in ("live", "kept")
            }
            used |= {picture["key"] for picture in look.values()}
            assert used - {None} == pieces.keys()
            assert all(piece.startswith("<svg ") for piece in pieces.values())
            json.dumps(look, allow_nan=False)


def test_pieces_say_nothing_aloud_and_looks_do():
    look = look_and_pieces(gl.power_flow(FIVE, "1"), View())
    for picture in look.values():
        assert picture["alt"].endswith(".")
        for part in ("live", "kept", "key"):
            assert picture[part] is None or "aria-label" not in picture[part]


def test_end_views_turn_by_their_parts():
    flow = gl.power_flow(FIVE, "1")
    picture = look_and_pieces(flow, View())["set:middle"]
    assert set(picture["rates"]) == {"sun", "ring", "carrier", "planet"}
    assert picture["rates"]["sun"] == round(360 * float(flow.speeds["middle sun"]), 6)
    assert all(f"gl-{part}" in picture["kept"] for part in picture["rates"])
    mirrored = look_and_pieces(flow, View(end="output"))["set:middle"]
    assert mirrored["rates"]["sun"] == -picture["rates"]["sun"]
    x, y = picture["centre"]
    assert 0 < x < picture["w"] and 0 < y < picture["h"]


@pytest.mark.parametrize("train", SHIPPED, ids=gl.train_names())
def test_what_was_drawn_before_is_what_would_be_drawn(train):
    """Pictures are taken over from flows of which they read the same."""
    views = [View(), View(end="output", letters="class", colours="role")]
    drawn, pieces = {}, {}
    flows = list(every_flow(train))
    flows = Random(4).sample(flows, min(48, len(flows)))
    for flow in flows:
        shared = Draughtsman(flow=flow, pieces=pieces, drawn=drawn)
        for view in views:
            assert shared.look(view) == flow_look(flow, view, {})
    shown = len(flows) * len(views) * (len(train.sets) + 3)
    assert len(drawn) < 0.9 * shown


def test_states_of_a_train_have_pictures_equally_large():
    for view in (View(), View(end="output", letters="class")):
        sizes = {}
        for flow in every_flow(gl.load_train("three-range")):
            for name, picture in flow_look(flow, view, {}).items():
                sizes.setdefault(name, set()).add((picture["w"], picture["h"]))
        assert all(len(found) == 1 for found in sizes.values()), sizes


def test_a_hidden_look_tells_no_answer():
    pieces = {}
    look = hidden_look(FIVE, View(), pieces)
    assert set(look) == {"path", "set:front", "set:middle", "set:rear"}
    for picture in look.values():
        assert not re.search(r"\d\.\d|ratio", picture["alt"].split(":")[0])
    texts_of = re.findall(r"<text[^>]*>([^<]*)<", "".join(pieces.values()))
    assert not [text for text in texts_of if re.search(r"\d\.\d|%", text)]


def test_markup_in_names_is_text():
    pieces = {}
    flow = gl.power_flow(HOSTILE, HOSTILE.range_names[0])
    for view in (View(), View(letters="class")):
        flow_look(flow, view, pieces)
    for piece in pieces.values():
        assert "<img" not in piece and "<b>" not in piece and "</script" not in piece


def test_drawings_take_words_of_another_language():
    words = {"low brake": "Bremse", "Power path": "Kraftfluss"}
    look = look_and_pieces(gl.power_flow(FIVE, "1"), View(), words=words)
    for picture in ("path", "chart"):
        assert ">Bremse</text>" in look[picture]["live"]
