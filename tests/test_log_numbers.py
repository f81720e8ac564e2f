"""The numbers behind a road log: by their definition, and as numpy has them."""

import warnings
from itertools import pairwise
from math import inf, isnan, nan
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

import gearlab as gl
from gearlab.ask.log.knots import fitted_line, fitted_times
from gearlab.ask.log.levels import levels_of, nearest_level
from gearlab.ask.log.measuring import running_median

SPEEDS = st.floats(-9999, 9999)
READINGS = st.lists(SPEEDS | st.just(nan), min_size=1, max_size=60)
LEVELS = (2.833, 1.889)


def middle_of(values, place, half):
    """The median of a window, by its definition: missing ones are the largest."""
    last = len(values) - 1
    rows = (values[min(max(n, 0), last)] for n in range(place - half, place + half + 1))
    return sorted(inf if isnan(value) else value for value in rows)[half]


@given(READINGS, st.integers(0, 25))
def test_a_running_median_is_the_middle_of_each_window(values, half):
    half = min(half, len(values))
    found = running_median(values, 2 * half + 1)
    for place, value in enumerate(values):
        middle = middle_of(values, place, half)
        if isnan(value):
            assert isnan(found[place])
        else:
            assert found[place] == (value if middle == inf else middle)


def test_a_window_wider_than_the_log_is_no_burden():
    found = running_median([3.0, 1.0, nan, 2.0], 2 * 10**12 + 1)
    assert len(found) == 4 and isnan(found[2])


@given(st.lists(st.tuples(st.integers(0, 90), SPEEDS), min_size=2, max_size=40))
def test_a_line_is_that_of_least_squares(points):
    xs, ys = zip(*points, strict=True)
    slope, foot = fitted_line(xs, ys)
    if len(set(xs)) == 1:
        assert (slope, foot) == (0, pytest.approx(np.mean(ys), abs=1e-6))
        return
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        own = np.polyfit(xs, ys, 1)
    assert (slope, foot) == pytest.approx(tuple(own), rel=1e-6, abs=1e-6)


@given(st.lists(st.floats(-20, 20) | st.just(nan), min_size=1, max_size=40))
def test_the_nearest_level_is_nearest_by_quotient_and_turns_alike(ratios):
    levels = levels_of(gl.load_train("five-range"), True)
    places, away = nearest_level(levels, ratios)
    for ratio, place, far in zip(ratios, places, away, strict=True):
        own = [
            (abs(np.log(ratio / float(level.ratio))), n)
            for n, level in enumerate(levels)
            if ratio * level.ratio > 0
        ]
        if not own:
            assert place == -1 and isnan(far)
        else:
            assert abs(far) == pytest.approx(min(own)[0], rel=1e-9, abs=1e-12)
            assert ratio / float(levels[place].ratio) == pytest.approx(np.exp(far))


def change(rate, bends, heights, noise=0.0):
    """(times, values) of straight lines between bends, a second round them."""
    random = Random(5)
    times = [n / rate for n in range(round((bends[-1] + 1) * rate))]
    values = np.interp(times, bends, heights)
    return times, [value * random.gauss(1, noise) for value in values.tolist()]


@pytest.mark.parametrize("rate", [5, 10, 50, 1000])
def test_a_change_is_found_where_its_lines_bend(rate):
    for start, takes in ((1.03, 0.4), (1.2, 0.55), (0.77, 1.0)):
        time, values = change(rate, (start, start + takes), LEVELS)
        found = fitted_times(time, values, values, LEVELS)
        least = 2e-3 if takes * rate > 2 else 1 / rate
        assert found == pytest.approx((start, start + takes), abs=least)


@pytest.mark.parametrize("rate", [10, 50, 1000])
def test_a_change_that_turns_back_is_found_where_its_lines_bend(rate):
    for start, takes in ((1.03, 0.5), (1.2, 0.65), (0.77, 1.0)):
        bends = (start, start + takes / 2, start + takes)
        time, values = change(rate, bends, (LEVELS[0], 3.3, LEVELS[1]))
        turn = values.index(max(values))
        found = fitted_times(time, values, values, LEVELS, turn)
        assert found == pytest.approx((bends[0], bends[2]), abs=4e-3)


@pytest.mark.parametrize("rows", [(), (2.4,), (2.4, 2.4)])
def test_a_change_between_two_rows_lies_between_them(rows):
    values = [LEVELS[0]] * 6 + list(rows) + [LEVELS[1]] * 6
    time = [n / 5 for n in range(len(values))]
    start, end = fitted_times(time, values, values, LEVELS)
    assert time[5] - 0.1 <= start < end <= time[6 + len(rows)] + 0.1


def test_a_change_to_the_same_size_is_told_all_the_same():
    """Reverse may be geared as far as the range before it, and has no sign here."""
    start, end = fitted_times([0.0, 0.1, 0.2, 0.3], [2.0] * 4, [2.0] * 4, (2.0, 2.0))
    assert 0 <= start < end < 0.5


@pytest.mark.parametrize(("rate", "worst"), [(10, 0.15), (20, 0.08), (50, 0.05)])
def test_flares_are_timed_at_any_rate(rate, worst):
    """Off by a row or so where rows are few: a flare's parts are straight lines."""
    train = gl.load_train("five-range")
    names = [*"1234554321"]
    pairs = [pair for pair in pairwise(names) if pair[0] != pair[1]]
    for seed, size in enumerate((0.1, 0.2, 0.3)):
        made = gl.make_log(
            train,
            drive=[(name, 4) for name in names],
            flares=[(*pair, size) for pair in pairs],
            rate=rate,
            seed=seed,
        )
        log = gl.read_log(made, train)
        assert [one.before for one in log.shifts] == [one.before for one in made.shifts]
        for one, true in zip(log.shifts, made.shifts, strict=True):
            assert one.start == pytest.approx(true.start, abs=worst)
            assert one.end == pytest.approx(true.end, abs=worst)
