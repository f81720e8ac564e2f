"""What a browser that runs Python lacks, and that nothing of the suite needs it."""

import json
import os
import pickle
import subprocess
import sys
from pathlib import Path

import pytest

from gearlab import Count, identify, load_train, make_log, read_log, sweep
from gearlab.ask.teeth.sweep import MOST_ALONE

HERE = Path(__file__).resolve().parent
FIVE = load_train("five-range")
NOTEBOOKS = [
    path
    for path in sorted((HERE.parent / "notebooks").rglob("*.ipynb"))
    if ".ipynb_checkpoints" not in path.parts
]


def test_every_cell_of_every_notebook_runs(tmp_path):
    environment = dict(os.environ, GEARLAB_ANSWERS=str(tmp_path / "answers"))
    done = subprocess.run(
        [sys.executable, HERE / "as_in_browser.py", *NOTEBOOKS],
        cwd=HERE.parent,
        env=environment,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    ran = json.loads(done.stdout)
    assert len(ran) == len(NOTEBOOKS)
    faults = {
        f"{Path(path).name}, cell {number}: {error}"
        for path, cells in ran.items()
        for number, error, _ in cells
        if error
    }
    assert not faults
    told = [text for cells in ran.values() for _, _, text in cells]
    assert sum("all is well, in this browser" in text for text in told) == len(ran)


READ = """
import pickle, sys
from pathlib import Path
from as_in_browser import take_away
take_away()
import gearlab as gl
from gearlab import draw
from gearlab.panels import LogPanel
log = gl.read_log(sys.argv[1], gl.load_train("five-range"))
Path(sys.argv[2]).write_bytes(pickle.dumps(log))
print(draw.to_svg(draw.draw_log(log, at=12))[:4], LogPanel(log, at=12).status)
try:
    draw.plot_log(log)
except ValueError as error:
    print(error)
"""


def test_a_road_log_is_read_and_looked_at(tmp_path):
    """The same log, to the last bit, as where numpy is at hand."""
    made = make_log(FIVE, flares=[("2", "3", 0.15)], tie_ups=[("3", "4", 0.12)])
    path, kept = made.write(tmp_path / "drive.csv"), tmp_path / "log.pickle"
    done = subprocess.run(
        [sys.executable, "-c", READ, path, kept],
        env=dict(os.environ, PYTHONPATH=os.pathsep.join([str(HERE), *sys.path])),
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    log = read_log(path, FIVE)
    assert [one.kind for one in log.shifts] == ["clean", "flare", "tie-up", "clean"]
    assert pickle.loads(kept.read_bytes()) == log
    assert "<svg" in done.stdout and str(log.at(12)) in done.stdout
    told = done.stdout.splitlines()[-1]
    assert "plot_log paints with matplotlib" in told and "draw_log" in told


# The exact ways beside those with numpy --------------------------------------------

COUNTS = [
    Count(range="R", count="-35", error="1/8", over=10),
    Count(range="3", count="14 turns 45°", error="1/8", over=10),
    Count(range="3", count="14", error="1/4", over=10),
    Count(range="5", count="13 turns 135°", error="1/8", over=20),
]


@pytest.fixture
def bare(monkeypatch):
    """A process without numpy, as far as the two questions know."""

    def lack():
        for name in ("identify", "sweep"):
            module = sys.modules[f"gearlab.ask.teeth.{name}"]
            monkeypatch.setattr(module, "has_numpy", lambda: False)

    return lack


@pytest.mark.parametrize("counts", [COUNTS[:1], COUNTS[:3], COUNTS])
def test_teeth_are_recovered_alike(bare, counts):
    with_numpy = identify(FIVE, counts, low=20, high=100)
    bare()
    found = identify(FIVE, counts, low=20, high=100)
    assert found.agreeing == with_numpy.agreeing
    assert found.open_sets == with_numpy.open_sets
    assert found.residuals == pytest.approx(with_numpy.residuals, abs=1e-6)
    assert sorted(c.misfit for c in found.candidates) == pytest.approx(
        sorted(c.misfit for c in with_numpy.candidates)
    )
    assert [str(c.choices) for c in found.candidates[:1]] == [
        str(c.choices) for c in with_numpy.candidates[:1]
    ]
    for name, ratios in with_numpy.ratios.items():
        for what, one in ratios.items():
            other = found.ratios[name][what]
            assert (one is None) == (other is None)
            if one:
                assert other.value == pytest.approx(one.value, rel=1e-6)
                assert other.error == pytest.approx(one.error, rel=1e-5)


def test_the_count_that_is_off_is_named_alike(bare):
    wrong = [*COUNTS, Count(range="R", count="-2", error="1/80")]
    with pytest.raises(ValueError) as first:
        identify(FIVE, wrong)
    bare()
    with pytest.raises(ValueError) as second:
        identify(FIVE, wrong)
    assert str(second.value) == str(first.value)


def test_a_search_that_takes_too_long_is_refused_in_a_sentence(bare):
    bare()
    with pytest.raises(ValueError, match="count a range that tells one set alone"):
        identify(FIVE, [Count(range="1", count="2 7/8", error="1/8")])


def test_ratios_are_swept_alike(bare):
    teeth = {"rear": {"sun": [20, 26, 32], "ring": 70}}
    with_numpy = sweep(FIVE, teeth)
    bare()
    found = sweep(FIVE, teeth)
    assert str(found) == str(with_numpy)
    for name, ratios in with_numpy.items():
        assert list(found[name]) == pytest.approx(ratios.tolist(), nan_ok=True)
    wrong = (
        {"rear": {"sun": [20.5]}},
        {"rear": {"snu": [20]}},
        {"rear": {"sun": [20, 21], "ring": [70, 72, 74]}},
        {"rear": {"sun": [20, 21]}},
        {"rear": {"sun": range(20, 20 + 2 * MOST_ALONE, 2), "ring": 9000}},
    )
    for teeth in wrong:
        with pytest.raises(ValueError) as error:
            sweep(FIVE, teeth)
        assert "\n" not in str(error.value)
