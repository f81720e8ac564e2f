"""The commented train file that shows every key: all of them, and nothing wrong."""

import re
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest

import gearlab as gl
from gearlab.ask.chartcheck import check_chart, own_chart
from gearlab.draw import draw_end_view, draw_stick
from gearlab.train import trainfile
from gearlab.train.trainfile import KINDS, SET_UP_KEYS, read_train, write_train

ROOT = Path(__file__).resolve().parents[1]
PATH = ROOT / "assets" / "every-key.toml"
TEXT = PATH.read_text(encoding="utf-8")
DATA = tomllib.loads(TEXT)
TRAIN = gl.load_train(PATH)


def missing():
    """The keys that the reader knows and the file does not show, with their place."""
    yield from (key for key in trainfile._document.keys if key not in DATA)
    sets = list(DATA["sets"].values())
    for kind, known in KINDS.items():
        shown = {key for one in sets if one["kind"] == kind for key in one}
        needed = {*known.teeth, *known.optional} or {"meshes"}
        yield from (f"{kind}: {key}" for key in needed - shown)
    if not any("planets" in one for one in sets):
        yield "sets: planets"
    tables = (
        (
            "mesh",
            trainfile._mesh.keys,
            next(s for s in sets if "meshes" in s)["meshes"],
        ),
        ("one-way clutch", trainfile._catch.keys, DATA["one-way-clutches"].values()),
        ("range", trainfile._range_row.keys, DATA["ranges"].values()),
        ("set-up", SET_UP_KEYS, DATA["set-up"].values()),
    )
    for what, keys, rows in tables:
        shown = {key for row in rows for key in row}
        yield from (f"{what}: {key}" for key in keys if key not in shown)
    if "case" not in DATA["shafts"]:
        yield "shafts: case"


def test_every_key_is_shown():
    assert list(missing()) == []


@pytest.mark.parametrize(
    "line", ["published = 35.25", 'about = "', "long-planet =", "[paint]", "look ="]
)
def test_a_key_that_is_left_out_is_missed(line, monkeypatch):
    at = TEXT.index(line)
    if line.startswith("["):
        short = TEXT[:at]
    elif line.startswith("published"):
        short = TEXT.replace(f", {line}", "")
    else:
        short = TEXT[:at] + TEXT[TEXT.index("\n", at) + 1 :]
    monkeypatch.setitem(globals(), "DATA", tomllib.loads(short))
    assert any(re.search(r"[a-z-]+", line).group() in key for key in missing())


def test_every_table_and_kind_is_explained():
    """By a comment in its line or just above; so are keys that do not say it all."""
    lines = [line for line in TEXT.splitlines() if line]
    tables = {key for key, value in DATA.items() if isinstance(value, dict)}
    explained = set()
    for above, line in pairwise(lines):
        key = re.match(r"\[?([a-z-]*)", line).group(1)
        if "#" in line or above.startswith("#"):
            explained.add(key)
        assert key != "kind" or "  # " in line, line
    alone = ("name", "about", "input", "output", "planets", "long-planet", "side")
    assert tables | {*alone} <= explained
    for key in ("after", "published", "mesh is"):
        assert re.search(rf"^ *# {key}", TEXT, re.MULTILINE), key


def test_it_is_a_train_like_any_other():
    assert "every-key" not in gl.train_names()
    assert read_train(write_train(TRAIN)) == TRAIN
    findings = check_chart(TRAIN, own_chart(TRAIN))
    assert {finding.level for finding in findings} == {"correct"}
    assert len(TRAIN.sets) == len(KINDS) == len({one.kind for one in TRAIN.sets})
    for name in TRAIN.range_names:
        assert gl.describe(gl.power_flow(TRAIN, name))
        assert gl.set_up_card(TRAIN, name)
    flow = gl.power_flow(TRAIN, "1")
    assert flow.holding == {"low one-way clutch"}
    for one in TRAIN.sets:
        assert draw_end_view(flow, one.name, colour_by="paint").alt
    assert draw_stick(flow).alt


def test_the_input_is_no_engine(tmp_path):
    """A converter stands between the two: the file and its reader say input."""
    path = tmp_path / "bare.toml"
    path.write_text(TEXT.replace('input = "input shaft"', "", 1), encoding="utf-8")
    with pytest.raises(ValueError, match="the member where power comes in"):
        gl.load_train(path)
    assert "engine" not in TEXT
