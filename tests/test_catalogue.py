"""The shipped trains, and loading one by its name or its file."""

from fractions import Fraction
from pathlib import Path

import pytest
from trains import LONE_TEXT

import gearlab as gl
from gearlab.ask.assembly import assembly_verdicts
from gearlab.train import catalogue
from gearlab.train.train import Train

FOLDER = Path(catalogue.__file__).with_name("shipped")
NAMES = gl.train_names()
LONE = LONE_TEXT + "\n[ranges]\nonly = {{ applied = [], published = {published} }}\n"
LONE_FILE = LONE.format(published="3.40")


def within_half_a_digit(published, ratio):
    """Whether a published ratio agrees with a computed one to its last digit."""
    half = Fraction(1, 2) * Fraction(10) ** published.as_tuple().exponent
    return ratio is not None and abs(Fraction(published) - ratio) <= half


def test_names_are_the_files_with_the_five_range_unit_first():
    assert sorted(NAMES) == sorted(path.stem for path in FOLDER.glob("*.toml"))
    assert NAMES[0] == "five-range"
    assert NAMES[1:] == sorted(NAMES[1:])


def test_a_train_by_name_and_by_path():
    by_name = gl.load_train("five-range")
    path = FOLDER / "five-range.toml"
    assert isinstance(by_name, Train)
    assert by_name == gl.load_train(path) == gl.load_train(str(path))


def test_a_file_of_ones_own(tmp_path, monkeypatch):
    path = tmp_path / "lone.toml"
    path.write_text(LONE_FILE, encoding="utf-8")
    train = gl.load_train(path)
    assert gl.power_flow(train, "only").ratio == Fraction(17, 5)
    monkeypatch.chdir(tmp_path)
    assert gl.load_train("lone.toml") == gl.load_train(Path("lone.toml")) == train


@pytest.mark.parametrize("name", ["five range", "Five-Range", "fiverange"])
def test_an_unknown_name_gets_the_nearest(name):
    with pytest.raises(ValueError) as caught:
        gl.load_train(name)
    expected = f'no shipped train "{name}"; did you mean "five-range"?'
    assert str(caught.value) == expected


@pytest.mark.parametrize("name", ["", "zzz", 7])
def test_a_name_like_none_gets_the_list(name):
    with pytest.raises(ValueError) as caught:
        gl.load_train(name)
    assert str(caught.value).startswith("no shipped train ")
    assert all(f'"{known}"' in str(caught.value) for known in NAMES)


def test_a_missing_file_is_named(tmp_path):
    for name in (tmp_path / "lost.toml", str(tmp_path / "lost.toml")):
        with pytest.raises(ValueError, match=r"^lost\.toml: "):
            gl.load_train(name)


@pytest.mark.parametrize(
    ("old", "new", "rule"),
    [
        (
            'case = ["bench ring"]',
            'case = ["bench ring", "bench planet"]',
            'the input "bench sun" cannot turn',
        ),
        (
            'case = ["bench ring"]',
            'drum = ["bench ring", "bench planet"]',
            "always turn as one",
        ),
        ("ring = 72", "ring = 30", "does not fit"),
    ],
)
def test_a_file_that_is_no_train_is_named(tmp_path, old, new, rule):
    path = tmp_path / "stuck.toml"
    path.write_text(LONE_FILE.replace(old, new), encoding="utf-8")
    with pytest.raises(ValueError) as caught:
        gl.load_train(path)
    assert str(caught.value).startswith("stuck.toml: ")
    assert rule in str(caught.value)
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_train_is_whole(name):
    train = gl.load_train(name)
    assert len(train.about.split()) >= 10
    assert train.ranges
    flows = gl.range_flows(train)
    assert tuple(flows) == train.range_names
    assert "drives" in {row["drive"].state for row in flows.values()}
    for row in train.ranges:
        flow = flows[row.name]["drive"]
        assert flow == gl.power_flow(train, row.name)
        assert flow.state != "tied up"
        assert flow.state == "drives" or row.name in ("P", "N")
        if row.published is not None:
            assert within_half_a_digit(row.published, flow.ratio), row.name
    listed = [row for rows in train.selector.values() for row in rows]
    assert not train.selector or set(listed) == set(train.range_names)


@pytest.mark.parametrize("name", NAMES)
def test_every_tooth_set_keeps_every_range(name):
    train = gl.load_train(name)
    flows = gl.range_flows(train)
    for change in ({}, *train.tooth_sets.values()):
        changed = train.with_teeth(change)
        verdicts = [v for one in changed.sets for v in assembly_verdicts(one)]
        assert {verdict.level for verdict in verdicts} <= {"fits"}
        for row, rows in gl.range_flows(changed).items():
            for load, flow in rows.items():
                before = flows[row][load]
                assert (flow.state, flow.holding) == (before.state, before.holding)
                if before.ratio is not None:
                    assert (flow.ratio > 0) == (before.ratio > 0)


@pytest.mark.parametrize(
    ("published", "agrees"),
    [("3.4", 1), ("3.40", 1), ("3", 1), ("3.44", 0), ("3.41", 0), ("3.5", 0)],
)
def test_published_ratios_are_compared_to_half_their_last_digit(
    tmp_path, published, agrees
):
    path = tmp_path / "lone.toml"
    path.write_text(LONE.format(published=published), encoding="utf-8")
    train = gl.load_train(path)
    said = train.range("only").published
    assert within_half_a_digit(said, gl.power_flow(train, "only").ratio) == agrees
