"""Plots of road logs: letters that are read, the numbers of the log, what is told."""

import warnings
from io import BytesIO

import logs
import pytest
from matplotlib.image import imread
from matplotlib.text import Text

from gearlab import load_train
from gearlab.draw import plot_log
from gearlab.draw.kit.style import CONTEXTS

LOGS = logs.road_logs()


def painted(plot):
    """The picture of a plot, painted with every warning an error."""
    file = BytesIO()
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        plot.figure.savefig(file, format="png")
    file.seek(0)
    return imread(file)


@pytest.mark.parametrize("context", CONTEXTS)
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
        plot_log(load_train("five-range"))
