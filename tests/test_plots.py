"""Ratio plots: the curves are the ratios, labels apart, a sentence with the numbers."""

import pytest
from scene_checks import CHECKS

import gearlab
from gearlab import load_train, power_flow
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import plot_ratios
from gearlab.draw.kit.shapes import Line, Text, walk
from gearlab.draw.kit.style import CONTEXTS, style

FIVE = load_train("five-range")
GEARS = {
    "five-range": ("front", "sun", range(18, 43)),
    "six-range": ("rear", "small sun", range(20, 41)),
    "three-range": ("rear", "ring", range(60, 90, 2)),
    "four-range": ("double", "large sun", range(28, 45)),
    "lone-set": ("single", "sun", range(18, 49)),
}
each_context = pytest.mark.parametrize("context", CONTEXTS)
each_train = pytest.mark.parametrize("name", gearlab.train_names())


def lines(scene, role):
    """The points of all lines whose role begins so, in order."""
    shapes = [shape for shape, _ in walk(scene.shapes)]
    return [s.points for s in shapes if isinstance(s, Line) and s.role.startswith(role)]


def texts(scene):
    return [shape.text for shape, _ in walk(scene.shapes) if isinstance(shape, Text)]


def scale(scene):
    """Of the whole ratios with a line across: how many px one is, and where 0 is."""
    ys = sorted((points[0][1] for points in lines(scene, "scale")), reverse=True)
    shown = [int(text) for text in texts(scene) if text.isdigit()][: len(ys)]
    return (ys[0] - ys[1]) / (shown[1] - shown[0]), ys[0]


def test_every_shipped_train_is_tried():
    assert set(GEARS) == set(gearlab.train_names())


@each_train
def test_curves_are_the_ratios(name):
    train = load_train(name)
    set_name, gear, counts = GEARS[name]
    plot = plot_ratios(train, set_name, gear, counts)
    px, zero = scale(plot)
    said = {row for row in train.range_names if power_flow(train, row).ratio}
    ends = {}
    for place in (0, -1):
        fits = []
        for count in counts:
            try:
                teeth = {set_name: {gear.replace(" ", "-"): count}}
                fits.append(train.with_teeth(teeth))
            except ValueError:
                continue
        ends[place] = {
            round(float(abs(power_flow(fits[place], row).ratio)), 6)
            for row in said
            if power_flow(fits[place], row).ratio
        }
    drawn = {
        place: {
            round((zero - points[place][1]) / px, 6) for points in lines(plot, "curve")
        }
        for place in ends
    }
    assert {p: sorted(v) for p, v in drawn.items()} == {
        place: pytest.approx(sorted(ratios), abs=1e-5) for place, ratios in ends.items()
    }
    for row in said:
        assert row in " ".join(texts(plot)), row


@each_context
@each_train
def test_plots_can_be_read(name, context):
    plot = plot_ratios(load_train(name), *GEARS[name], context=context)
    assert not [fault for check in CHECKS for fault in check(plot)]


@each_train
def test_curves_differ_by_more_than_colour(name):
    plot = plot_ratios(load_train(name), *GEARS[name])
    roles = {s.role for s, _ in walk(plot.shapes) if s.role.startswith("curve")}
    looks = {(style(role).stroke, style(role).dash) for role in roles}
    assert len(looks) == len(roles) == len(lines(plot, "curve"))
    assert len({dash for _, dash in looks}) > 1


def test_counts_that_cannot_be_are_marked_and_told():
    plot = plot_ratios(FIVE, "front", "sun", range(18, 43))
    # Sun and ring are both even or both odd: a coaxial set needs a whole planet.
    assert len(lines(plot, "ground")) == 2 * len(range(19, 43, 2))
    assert "teeth: front sun (× cannot be)" in texts(plot)
    assert plot.alt.endswith("cannot have them: 19, 21, 23, 25, 27, 29, 31, 33, 35, 37,"
                             " 39 and 41.")  # fmt: skip
    even = plot_ratios(FIVE, "front", "sun", range(18, 43, 2))
    assert "teeth: front sun" in texts(even)
    assert not lines(even, "ground")
    assert "Left out" not in even.alt


def test_the_sentence_is_the_text_form():
    plot = plot_ratios(FIVE, "rear", "sun", [20, 28, 30], ranges=["R", 4])
    assert plot.alt == (
        "Five-range bench unit: ratio over the teeth of the rear sun, 20 to 30. Range"
        " R: −3.5 at 20, −2.333 at 30. Range 4: 1 throughout."
    )
    assert plot._repr_mimebundle_()["text/plain"] == plot.alt


def test_other_words_are_written():
    words = FrozenMap({"ratio": "Übersetzung", "sun": "Sonne", "1": "G1"})
    plot = plot_ratios(FIVE, "front", "sun", [24, 30], words=words)
    assert {"Übersetzung", "teeth: front Sonne"} <= set(texts(plot))
    assert any(text.startswith("G1, 1 low") for text in texts(plot))


@pytest.mark.parametrize(
    ("given", "message"),
    [
        (("frnt", "sun", [24, 30]), 'no gear set "frnt"; did you mean "front"'),
        (("front", "snu", [24, 30]), 'no front gear "snu"; did you mean "sun"'),
        (("front", "sun", [24.5, 30]), "front sun is 24.5, but it must be a whole"),
        (("front", "sun", [30]), "1 different counts are given for the front sun"),
        (("front", "sun", 30), "the counts are 30, but a plot needs several"),
        (("front", "sun", "24"), 'the counts are "24", but a plot needs several'),
        (("front", "sun", [31, 33]), "none of the 2 counts fits; the first: front sun"),
    ],
)
def test_what_is_wrong_is_said(given, message):
    with pytest.raises(ValueError, match=message):
        plot_ratios(FIVE, *given)


def test_wrong_ranges_and_contexts_are_named():
    given = (FIVE, "front", "sun", [24, 30])
    with pytest.raises(ValueError, match='no range "22"; did you mean "2"'):
        plot_ratios(*given, ranges=["22"])
    with pytest.raises(ValueError, match='none of the ranges "N" drives'):
        plot_ratios(*given, ranges=["N"])
    with pytest.raises(ValueError, match='no context "page"'):
        plot_ratios(*given, context="page")
