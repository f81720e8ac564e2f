"""Ratio plots: the curves are the ratios, labels apart, a sentence with the numbers."""

import warnings
from io import BytesIO
from itertools import combinations

import logs
import pytest
from matplotlib.colors import to_hex
from matplotlib.image import imread
from matplotlib.text import Text
from test_scene import contrast

import gearlab
from gearlab import load_train, power_flow
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import plot_log, plot_ratios
from gearlab.draw.charts.plots import Plot
from gearlab.draw.kit.style import CONTEXTS

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


def painted(plot):
    """The picture of a plot, painted with every warning an error."""
    file = BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        plot.figure.savefig(file, format="png")
    file.seek(0)
    return imread(file)


def curves(plot):
    """The lines of a plot that join points."""
    return [
        line for line in plot.figure.axes[0].lines if line.get_linestyle() != "None"
    ]


def test_every_shipped_train_is_tried():
    assert set(GEARS) == set(gearlab.train_names())


@each_train
def test_curves_are_the_ratios(name):
    train = load_train(name)
    set_name, gear, counts = GEARS[name]
    plot = plot_ratios(train, set_name, gear, counts)
    labels = [text.get_text() for text in plot.figure.axes[0].texts]
    assert len(labels) == len(curves(plot))
    told = set()
    for label, line in zip(labels, curves(plot), strict=True):
        ranges = label.removesuffix(" (backward)").split(", ")
        told |= set(ranges)
        for at in (0, len(line.get_xdata()) // 2, -1):
            count, size = int(line.get_xdata()[at]), line.get_ydata()[at]
            changed = train.with_teeth({set_name: {gear.replace(" ", "-"): count}})
            for row in ranges:
                ratio = power_flow(changed, row).ratio
                assert float(abs(ratio)) == pytest.approx(size, abs=1e-8)
                assert label.endswith(" (backward)") == (ratio < 0)
    drive = {row for row in train.range_names if power_flow(train, row).ratio}
    assert told == drive


@each_context
@each_train
def test_plots_can_be_read(name, context):
    plot = plot_ratios(load_train(name), *GEARS[name], context=context)
    image = painted(plot)
    assert (image[:, :, 3] == 1).all()
    figure, axes = plot.figure, plot.figure.axes[0]
    texts = [*axes.texts, *figure.texts, axes.xaxis.label, axes.yaxis.label]
    for axis in (axes.xaxis, axes.yaxis):
        low, high = axis.get_view_interval()
        ticks = axis.get_major_ticks()
        texts += [tick.label1 for tick in ticks if low <= tick.get_loc() <= high]
    least = CONTEXTS[context].font * 72 / 96
    width, height = figure.get_size_inches() * figure.dpi
    boxes = []
    for text in texts:
        assert text.get_fontsize() >= least - 1e-9
        assert text.get_fontname() == "DejaVu Sans"
        box = Text.get_window_extent(text)  # without the line that leads to it
        assert box.x0 >= 0 and box.y0 >= 0 and box.x1 <= width and box.y1 <= height
        boxes.append((text.get_text(), box))
    for (one, a), (other, b) in combinations(boxes, 2):
        across, down = (
            min(a.x1, b.x1) - max(a.x0, b.x0),
            min(a.y1, b.y1) - max(a.y0, b.y0),
        )
        assert min(across, down) <= 0, (one, other)
    for text in axes.texts:
        box = Text.get_window_extent(text)
        x, y = axes.transData.transform(text.xy)
        for part in range(50):
            at_x = x + (box.x0 - x) * part / 50
            at_y = y + ((box.y0 + box.y1) / 2 - y) * part / 50
            for other, label in boxes:
                if other != text.get_text():
                    assert not label.contains(at_x, at_y), (text.get_text(), other)


@each_train
def test_curves_differ_by_more_than_colour(name):
    lines = curves(plot_ratios(load_train(name), *GEARS[name]))
    looks = {(line.get_marker(), line.get_markerfacecolor()) for line in lines}
    assert len(looks) == len(lines)
    assert len({line.get_linestyle() for line in lines}) > 1
    for line in lines:
        assert contrast(to_hex(line.get_color()), "#FFFFFF") >= 3


def test_counts_that_cannot_be_are_marked_and_told():
    plot = plot_ratios(FIVE, "front", "sun", range(18, 43))
    (crosses,) = [
        line for line in plot.figure.axes[0].lines if line not in curves(plot)
    ]
    # Sun and ring are both even or both odd: a coaxial set needs a whole planet.
    assert list(crosses.get_xdata()) == list(range(19, 43, 2))
    assert plot.figure.axes[0].get_xlabel() == "teeth: front sun   (× cannot be)"
    assert plot.alt.endswith("cannot have them: 19, 21, 23, 25, 27, 29, 31, 33, 35, 37,"
                             " 39 and 41.")  # fmt: skip
    even = plot_ratios(FIVE, "front", "sun", range(18, 43, 2))
    assert even.figure.axes[0].get_xlabel() == "teeth: front sun"
    assert "Left out" not in even.alt


def test_the_sentence_is_the_text_form_and_the_alt_text():
    plot = plot_ratios(FIVE, "rear", "sun", [20, 28, 30], ranges=["R", 4])
    assert plot.alt == (
        "Five-range bench unit: ratio over the teeth of the rear sun, 20 to 30. Range"
        " R: −3.5 at 20, −2.333 at 30. Range 4: 1 throughout."
    )
    bundle = plot._repr_mimebundle_()
    assert bundle["text/plain"] == plot.alt
    assert f'alt="{plot.alt}"' in bundle["text/html"]
    assert 'src="data:image/png;base64,' in bundle["text/html"]
    assert isinstance(plot, Plot)


def test_the_same_plot_has_the_same_bytes():
    one, other = (
        plot_ratios(FIVE, "front", "sun", [24, 30])._repr_mimebundle_()["text/html"]
        for _ in range(2)
    )
    assert one == other


def test_other_words_are_written():
    words = FrozenMap({"ratio": "Übersetzung", "sun": "Sonne", "1": "G1"})
    plot = plot_ratios(FIVE, "front", "sun", [24, 30], words=words)
    axes = plot.figure.axes[0]
    assert axes.get_ylabel() == "Übersetzung"
    assert axes.get_xlabel() == "teeth: front Sonne"
    assert "G1, 1 low" in [text.get_text() for text in axes.texts]


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


# Road logs --------------------------------------------------------------------------

LOGS = logs.road_logs()


@each_context
@pytest.mark.parametrize("name", ["flares", "slips", "tied"])
def test_a_plot_of_a_log_can_be_read(name, context):
    plot = plot_log(LOGS[name], context=context)
    image = painted(plot)
    assert (image[:, :, 3] == 1).all()
    figure, least = plot.figure, CONTEXTS[context].font * 72 / 96
    width, height = figure.get_size_inches() * figure.dpi
    boxes = []
    for text in figure.findobj(Text):
        box = Text.get_window_extent(text)
        if text.get_text() and text.get_visible() and box.width:
            boxes.append((text.get_text(), box))
    shown = [one for one in boxes if one[1].y0 >= 0 and one[1].y1 <= height]
    for text, box in shown:
        assert box.x0 >= 0 and box.x1 <= width, text
    for text in figure.findobj(Text):
        assert not text.get_text() or text.get_fontsize() >= least - 1e-9
    words = {text for text, _ in shown}
    assert {"input", "output", "ratio", "slip", "nearest range"} <= words


def test_a_plot_of_a_log_shows_its_numbers():
    log = LOGS["slips"]
    speeds, ratios, slips = plot_log(log, since=2, until=22).figure.axes
    times = list(log.column("time"))
    first, last = times.index(2), times.index(22)
    for axes, name, line in ((speeds, "input", 0), (speeds, "output", 1)):
        drawn = list(axes.lines[line].get_ydata())
        assert drawn == list(log.column(name)[first : last + 1])
    assert list(ratios.lines[0].get_ydata()) == list(
        log.column("ratio")[first : last + 1]
    )
    crosses = slips.lines[1].get_xdata()
    assert min(crosses) > 15  # where range 4 begins to slip
    bands = [patch.get_extents() for patch in ratios.patches]
    assert len(bands) >= 5
    looks = {line.get_linestyle() for line in speeds.lines[:2]}
    assert len(looks) == 2


def test_a_plot_of_a_log_tells_what_is_wrong():
    assert "2 to 3 from 10.0" in plot_log(LOGS["flares"]).alt
    assert ", flare." in plot_log(LOGS["flares"]).alt
    assert "possible slip." in plot_log(LOGS["slips"]).alt
    for given in ({"since": 30}, {"until": -1}, {"since": "x"}, {"context": "x"}):
        with pytest.raises(ValueError):
            plot_log(LOGS["slips"], **given)
    with pytest.raises(ValueError, match=r"gl\.read_log"):
        plot_log(FIVE)
