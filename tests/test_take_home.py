"""A bench in one file: all that it needs is in it, and nothing from elsewhere."""

import base64
import gzip
import hashlib
import json
import re
import subprocess
import sys
from html import unescape
from html.parser import HTMLParser
from itertools import combinations

import browser_lab as lab
import pytest
from hypothesis import given
from hypothesis import strategies as st
from loops import each
from test_book import DIFFERENTIAL, HOSTILE, MANY, MARKUP, NO_RANGES, WRITTEN_OUT
from trains import make_train, simple

import gearlab as gl
from gearlab.__main__ import main
from gearlab.bench.book import HIDDEN, cover, flow_of, key_of, usable_names
from gearlab.bench.look import View, flow_look, hidden_look, view_of
from gearlab.bench.packing import packed, told_once
from gearlab.bench.page import flow_page, hidden_page
from gearlab.bench.state import opened
from gearlab.bench.telling import told
from gearlab.bench.texts import FILE_TEXTS

PLAIN = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
SIGNS = "".join(chr(code) for code in range(35, 127) if code != ord("\\"))


def numbers(texts):
    """Numbers from their digits, the lowest ones first."""
    return [
        sum(SIGNS.index(sign) * 91**power for power, sign in enumerate(one))
        for one in zip(*texts, strict=True)
    ]


def unpacked(text):
    """What was packed: the inverse, as the file's own script has it."""
    parts = json.loads(
        gzip.decompress(base64.b85decode(text.strip().replace(",", "<")))
    )
    new, places = iter(numbers(parts["new"])), []
    copied, back = numbers(parts["copied"]), numbers(parts["back"])
    for turn, fresh in enumerate(numbers(parts["fresh"])):
        places += [next(new) for _ in range(fresh)]
        for _ in range(copied[turn] if turn < len(copied) else 0):
            places.append(places[-back[turn]])
    found, places = parts["scalars"], iter(places)
    for length in numbers(parts["lengths"]):
        keys, *held = [next(places) for _ in range(length)]
        values = [found[place] for place in held]
        found.append(dict(zip(found[keys], values, strict=True)) if keys else values)
    return found[-1]


class Tags(HTMLParser):
    """The tags of a page, and the texts of those that are asked for."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.texts, self.within = [], {}, None
        self.feed(html)
        self.close()

    def handle_starttag(self, tag, attrs):
        attrs = dict(attrs)
        self.tags.append((tag, attrs))
        self.within = attrs.get("id") or attrs.get("type") or tag

    def handle_endtag(self, tag):
        self.within = None

    def handle_data(self, data):
        self.texts[self.within] = self.texts.get(self.within, "") + data

    def of(self, name):
        return [attrs for tag, attrs in self.tags if tag == name]


def written(train, path, **given):
    text = gl.take_home(train, path, **given).read_text(encoding="utf-8")
    return text, Tags(text)


def data_of(tags):
    data = unpacked(tags.texts["bench-data"])
    data["pieces"] = {name: "<".join(one) for name, one in data["pieces"].items()}
    return data


@pytest.fixture(scope="module")
def five(tmp_path_factory):
    path = tmp_path_factory.mktemp("home") / "five.html"
    return written(gl.load_train("five-range"), path, **PLAIN)


# What is in it --------------------------------------------------------------------


def plain(value):
    return json.loads(json.dumps(value))


def shown(look, pieces):
    """A look with its pieces in place of their names."""
    return {
        name: picture
        | {part: pieces.get(picture[part]) for part in ("live", "kept", "key")}
        for name, picture in look.items()
    }


@pytest.mark.parametrize("train", [gl.load_train("three-range"), NO_RANGES])
def test_the_file_holds_every_page_and_picture(train, tmp_path):
    options = {"ends": ["output"], "letters": ["class"], "colours": ["role"]}
    _, tags = written(train, tmp_path / "x.html", **options)
    data, names = data_of(tags), usable_names(train)
    assert data["book"] == plain(cover(train, **options, whole=True))
    assert data["state"] == plain(told(opened(train)))
    sets = [set(some) for n in range(len(names) + 1) for some in combinations(names, n)]
    flows = {key: flow_of(train, key) for key in data["pages"].keys() - {HIDDEN}}
    for load in ("drive", "coast"):
        there = [set(flow.applied) for flow in flows.values() if flow.load == load]
        assert all(one in there for one in sets)
    assert {flow.range for flow in flows.values()} == {None, *train.range_names}
    assert data["pages"] == plain(
        {key: flow_page(flow) for key, flow in flows.items()}
        | {HIDDEN: hidden_page(train)}
    )
    views = [view_of(f"output/class/role/{n}") for n in "01"]
    assert data["looks"].keys() == {
        f"{key}|{view.key}" for key in data["pages"] for view in views
    }
    for key in sorted(flows)[::9]:
        for view in views:
            pieces = {}
            look = flow_look(flows[key], view, pieces)
            found = shown(data["looks"][f"{key}|{view.key}"], data["pieces"])
            assert found == plain(shown(look, pieces))
    pieces = {}
    look = hidden_look(train, views[0], pieces)
    found = shown(data["looks"][f"{HIDDEN}|{views[0].key}"], data["pieces"])
    assert found == plain(shown(look, pieces))


def test_of_many_elements_it_has_every_range_and_each_single_change(tmp_path):
    _, tags = written(MANY, tmp_path / "x.html", **PLAIN)
    data = data_of(tags)
    found = [flow_of(MANY, key) for key in data["pages"].keys() - {HIDDEN}]
    there = {(flow.load, flow.applied) for flow in found}
    wanted = set()
    changes = [frozenset(), *(frozenset([name]) for name in usable_names(MANY))]
    for row in (frozenset(), frozenset(MANY.ranges[0].applied)):
        for change in changes:
            wanted |= {("drive", row ^ change), ("coast", row ^ change)}
    assert there == wanted
    assert data["book"]["all"] is True
    assert "single change" in data["book"]["texts"]["not_in_file"]


def test_it_begins_where_it_is_told_to(tmp_path):
    given = {"range": "turn", "predict": True, **PLAIN}
    _, tags = written(DIFFERENTIAL, tmp_path / "x.html", **given)
    state = data_of(tags)["state"]
    assert (state["range"], state["predict"]) == ("turn", True)
    _, tags = written(WRITTEN_OUT, tmp_path / "x.html", **PLAIN)
    state = data_of(tags)["state"]
    assert (state["applied"], state["range"], state["predict"]) == ([], None, False)


def test_what_is_hidden_is_not_on_paper_either(tmp_path):
    train = gl.load_train("three-range")
    text, tags = written(train, tmp_path / "x.html", predict=True, **PLAIN)
    for flow in (gl.power_flow(train, name) for name in train.range_names):
        if flow.ratio is not None and flow.ratio.denominator != 1:
            assert flow.gives not in text.replace(tags.texts["bench-data"], "")
    shows, _ = written(train, tmp_path / "y.html", **PLAIN)
    assert gl.power_flow(train, "1").gives in shows


def test_it_says_how_far_it_is(tmp_path):
    told = []
    given = {"progress": lambda *counts: told.append(counts), **PLAIN}
    _, tags = written(DIFFERENTIAL, tmp_path / "x.html", **given)
    count = len(data_of(tags)["pages"]) - 1
    assert told == [(n, count) for n in range(1, count + 1)]


# What it is -----------------------------------------------------------------------


def test_the_same_call_writes_the_same_file(five, tmp_path):
    code = (
        "import sys, gearlab as gl;"
        "gl.take_home(gl.load_train('five-range'), sys.argv[1], ends=['input'],"
        " letters=['screen'], colours=['part'])"
    )
    path = tmp_path / "again.html"
    subprocess.run([sys.executable, "-c", code, str(path)], check=True)
    assert path.read_text(encoding="utf-8") == five[0]


def test_it_needs_no_numpy_matplotlib_or_widgets(tmp_path):
    code = (
        "import sys, gearlab as gl;"
        "gl.take_home(gl.load_train(sys.argv[1]), sys.argv[2]);"
        "print(*{name.split('.')[0] for name in sys.modules})"
    )
    train = tmp_path / "my.toml"
    train.write_text(TRAIN, encoding="utf-8")
    found = subprocess.run(
        [sys.executable, "-c", code, str(train), str(tmp_path / "x.html")],
        check=True, capture_output=True, text=True,
    )  # fmt: skip
    loaded = set(found.stdout.split())
    assert "gearlab" in loaded
    assert not loaded & {"numpy", "matplotlib", "ipywidgets", "anywidget", "IPython"}


def test_its_policy_lets_in_nothing_but_its_own_script(five):
    text, tags = five
    meta = {one.get("http-equiv"): one.get("content") for one in tags.of("meta")}
    policy = meta["Content-Security-Policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    digest = hashlib.sha256(tags.texts["module"].encode()).digest()
    assert rules["script-src"] == f"'sha256-{base64.b64encode(digest).decode()}'"
    # Names of standards are no addresses that are asked.
    links = set(re.findall(r"https?://[^\s\"']+", text))
    assert links <= {"http://www.w3.org/2000/svg"}
    for tag in ("link", "img", "iframe", "object", "embed", "base", "form", "a"):
        assert tags.of(tag) == []
    assert not re.search(r"url\(|@import|\bsrc=|\bon[a-z]+=", text)


def test_its_head_says_what_it_is(five):
    text, tags = five
    assert text.startswith('<!doctype html>\n<html lang="en">')
    assert {"charset": "utf-8"} in tags.of("meta")
    assert any(one.get("name") == "viewport" for one in tags.of("meta"))
    assert tags.texts["title"] == "Bench: Five-range bench unit"


def test_it_is_small_enough_to_be_mailed(five, tmp_path):
    assert len(five[0].encode()) <= 200_000
    train = gl.load_train("five-range")
    colours = ["part", "role", "paint"]
    path = gl.take_home(train, tmp_path / "x.html", colours=colours)
    assert path.stat().st_size <= 600_000


# Names of people ------------------------------------------------------------------


def test_names_from_a_file_are_text(tmp_path):
    _, tags = written(HOSTILE, tmp_path / "x.html", words={"clutches": MARKUP})
    assert len(tags.of("script")) == 2 and tags.of("img") == [] == tags.of("b")
    assert unescape(tags.texts["title"]) == f"Bench: Train {MARKUP}"
    data = data_of(tags)
    assert data["book"]["elements"][0]["name"] == f"brake {MARKUP}"
    assert not any("<img" in piece for piece in data["pieces"].values())
    assert not [name for _, attrs in tags.tags for name in attrs if name[:2] == "on"]


def test_texts_of_the_file_can_be_of_another_language(tmp_path):
    words = {text: f"</script>{n}" for n, text in enumerate(FILE_TEXTS.values())}
    words |= {"Bench: {name}": "Prüfstand {name} {0} {"}
    text, tags = written(NO_RANGES, tmp_path / "x.html", words=words, **PLAIN)
    assert len(tags.of("script")) == 2
    assert tags.texts["title"] == f"Prüfstand {NO_RANGES.name} {{0}} {{"
    for said in FILE_TEXTS.values():
        assert said not in text


# Packing --------------------------------------------------------------------------

VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text()
    | st.floats(allow_nan=False, allow_infinity=False),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(), inner),
    max_leaves=40,
)  # fmt: skip


@given(st.lists(VALUES, min_size=1))
def test_what_is_packed_comes_out_again(data):
    again = unpacked(packed(data))
    assert again == data and repr(again) == repr(data)


def test_what_comes_again_costs_little():
    rows = [[f"{n} {m}" for n in range(40)] for m in range(4)]
    once, often = packed(rows), packed([[row, *row] for row in rows])
    assert len(often) < 1.2 * len(once)


@given(st.lists(st.integers(0, 3), max_size=120))
def test_numbers_told_once_can_be_told_again(told):
    found, all_of = told_once(told), []
    new = iter(found["new"])
    for fresh, copied, back in zip(
        found["fresh"], [*found["copied"], 0], [*found["back"], 1], strict=True
    ):
        all_of += [next(new) for _ in range(fresh)]
        for _ in range(copied):
            all_of.append(all_of[-back])
    assert all_of == told


# What cannot be -------------------------------------------------------------------


@each(
    "wrong, words",
    [
        ({"ends": "input"}, 'end is the text "input", but it must be a list'),
        ({"ends": ["top"]}, 'no end "top"'),
        ({"ends": []}, "no end is given"),
        ({"letters": ["big"]}, 'no kind of letters "big"'),
        ({"letters": None}, "must be a list of names"),
        ({"colours": ["pink"]}, 'no colouring "pink"'),
        ({"colours": ["paint"]}, 'no colouring "paint"'),
        ({"range": "9"}, "no range"),
        ({"predict": "yes"}, "predict is"),
        ({"words": ["a"]}, "words is"),
        ({"progress": 3}, "progress is 3"),
    ],
)
def test_what_is_no_choice_gets_a_sentence(wrong, words, tmp_path_factory):
    folder = tmp_path_factory.mktemp("wrong")
    with pytest.raises(ValueError, match=re.escape(words)) as caught:
        gl.take_home(NO_RANGES, folder / "x.html", **wrong)
    assert "\n" not in str(caught.value) and not list(folder.iterdir())


def test_what_is_no_train_gets_a_sentence(tmp_path):
    with pytest.raises(ValueError, match="a train belongs here"):
        gl.take_home("five-range", tmp_path / "x.html")


def test_a_place_where_nothing_can_be_written_gets_a_sentence(tmp_path):
    with pytest.raises(ValueError, match="there is no such folder"):
        gl.take_home(WRITTEN_OUT, tmp_path / "none" / "x.html", **PLAIN)
    with pytest.raises(ValueError, match="cannot be written"):
        gl.take_home(WRITTEN_OUT, tmp_path, **PLAIN)


# The command ----------------------------------------------------------------------


def test_the_command_writes_it(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    words = "take-home three-range --ends input --letters screen --colours part role"
    assert main(words.split()) == 0
    assert capsys.readouterr().out == "Written: three-range.html\n"
    text = (tmp_path / "three-range.html").read_text(encoding="utf-8")
    book = data_of(Tags(text))["book"]
    offers = {
        name: [one["value"] for one in book["offers"][name]]
        for name in ("end", "letters", "colours")
    }
    assert offers.pop("colours") == ["part", "role"]
    assert offers == {"end": ["input"], "letters": ["screen"]}


def test_the_command_takes_a_train_file(tmp_path, capsys):
    path = tmp_path / "my train.toml"
    path.write_text(TRAIN, encoding="utf-8")
    out = tmp_path / "out.html"
    given = ["take-home", str(path), "--out", str(out), "--range", "2", "--predict"]
    assert main(given) == 0 and str(out) in capsys.readouterr().out
    state = data_of(Tags(out.read_text(encoding="utf-8")))["state"]
    assert (state["range"], state["predict"]) == ("2", True)


TRAIN = """
name = "My train"
input = "only sun"
output = "only carrier"
[sets.only]
kind = "simple"
sun = 30
ring = 72
[brakes]
brake = "only ring"
[clutches]
clutch = ["only sun", "only carrier"]
[ranges]
1 = ["brake"]
2 = ["clutch"]
"""


@each(
    "given, words",
    [
        (["six"], 'no shipped train "six"'),
        (["none.toml"], "none.toml"),
        (["five-range", "--letters", "huge"], "no kind of letters"),
        (["five-range", "--colours", "pink"], "no colouring"),
        (["five-range", "--range", "9"], "no range"),
        (["lone-set", "--out", "no/such/folder/x.html"], "no such folder"),
    ],
)
def test_a_command_that_cannot_be_gets_a_sentence(given, words, capsys, tmp_path):
    assert main(["take-home", *given]) == 2
    said = capsys.readouterr()
    assert said.out == "" and said.err.startswith("Not done: ") and words in said.err
    assert said.err.count("\n") == 1


# Without a script -----------------------------------------------------------------


def test_without_a_script_it_is_a_page_of_paper(tmp_path):
    lab.need_browser()
    path = gl.take_home(gl.load_train("three-range"), tmp_path / "x.html", **PLAIN)
    with lab.browser_page(java_script_enabled=False) as page:
        page.goto(path.as_uri())
        said = page.inner_text("body")
        assert FILE_TEXTS["file_no_script"] in said
        assert FILE_TEXTS["file_opening"] not in said
        alts = [one.get_attribute("aria-label") for one in page.locator("svg").all()]
        assert [alt.split(" ")[0] for alt in alts] == ["Three-range", "Stick"]
        assert all(one.is_visible() for one in page.locator("svg").all())
        sizes = page.locator("svg text").evaluate_all(
            "all => all.map(one => getComputedStyle(one).fontSize)"
        )
        assert set(sizes) == {"12px"}


def test_a_train_too_large_for_a_stick_diagram_has_its_other_pictures(tmp_path):
    sets = [simple(f"set {n}", 30, 72) for n in range(20)]
    shafts = {f"shaft {n}": [f"set {n} carrier", f"set {n + 1} sun"] for n in range(19)}
    train = make_train(
        *sets, input="set 0 sun", output="set 19 carrier", shafts=shafts,
        brakes={f"brake {n}": f"set {n} ring" for n in range(20)},
        ranges={"1": [f"brake {n}" for n in range(20)]},
    )  # fmt: skip
    _, tags = written(train, tmp_path / "x.html", **PLAIN)
    data = data_of(tags)
    ids = [one["id"] for one in data["book"]["pictures"]]
    key = f"{key_of(gl.power_flow(train, '1'))}|{View().key}"
    assert list(data["looks"][key]) == ids
