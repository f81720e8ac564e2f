"""A road log as a matplotlib figure: speeds, the ratio among the ranges, and slip."""

from base64 import b64encode
from bisect import bisect_left
from dataclasses import dataclass
from html import escape
from io import BytesIO

import matplotlib
from matplotlib.figure import Figure
from matplotlib.ticker import FixedLocator, NullLocator, PercentFormatter

from ...base.frozenmap import FrozenMap
from ...base.numerals import number
from ..kit.mpl import POINT, PX_PER_INCH
from ..kit.page import Page
from ..kit.spread import spread
from ..kit.style import BLUE, CONTEXTS, INK, VERMILION, WHITE
from ..kit.textwidth import fitted, text_width
from .logtrace import asked_in, told_shifts, told_trace, trace

_WIDTHS = {"screen": 720.0, "projector": 1200.0, "print": 640.0, "class": 2200.0}
_FONTS = {"font.family": "DejaVu Sans", "axes.unicode_minus": True}
_HEIGHTS = (3.0, 4.6, 2.2)  # of the three axes, one to another
_SHAPE = 0.95  # height over width
_MOST_SLIP = 0.25  # of the scale of slip, as a part
_ROUND = (0.5, 0.7, 1, 1.5, 2, 3, 4, 5, 7, 10, 15, 20)
_NAMES = 11.0  # room for the names at the right, in letter sizes


@dataclass(frozen=True, kw_only=True)
class Plot:
    """A matplotlib figure with `alt`, the sentences that carry its numbers."""

    figure: Figure
    alt: str

    def _repr_mimebundle_(self, include=None, exclude=None):
        width = round(self.figure.get_figwidth() * PX_PER_INCH)
        data = b64encode(_png(self.figure)).decode()
        picture = (
            f'<img alt="{escape(self.alt)}"'
            f' style="width:{width}px;max-width:min(100%,720px)"'
            f' src="data:image/png;base64,{data}">'
        )
        return {"text/html": picture, "text/plain": self.alt}


def plot_log(log, *, since=None, until=None, context="screen", words=FrozenMap()):
    """The speeds of a log, the ratio among the ranges, and the slip, over time.

    Grey bands are as wide as a ratio may be off; where it is outside, the slip has
    crosses. Dotted lines mark where shifts begin and end, bars what is wrong.

    Parameters
    ----------
    log : RoadLog, or MadeLog
    since, until : the part of it [s]; all of it if left out
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Plot, with its `figure` and its `alt` text

    Raises
    ------
    ValueError
        What is no log, ends that are not in it, or an unknown context.
    """
    page, found = Page(context=context, words=words), trace(log, since, until)
    with matplotlib.rc_context(_FONTS):
        figure, axes = _figure(found, page)
        _speeds(axes[0], found, page)
        _ratios(axes[1], found, page)
        _slip(axes[2], found, page)
        for one in axes:
            _shifts(one, found)
        _above(axes[1], found, page)
    alt = [*told_trace(found), *told_shifts(found)]
    return Plot(figure=figure, alt=" ".join(alt))


def _figure(found, page):
    """A figure with three axes over one time, and its title."""
    font, width = page.font, _WIDTHS[page.context]
    height = _SHAPE * width
    figure = Figure(
        figsize=(width / PX_PER_INCH, height / PX_PER_INCH),
        dpi=PX_PER_INCH,
        facecolor=WHITE,
    )
    left, right, foot = 6.4 * font, (_NAMES + 1.0) * font, 3.6 * font
    gaps = (2.6 * font, 4.2 * font, 1.6 * font)  # above each axes
    room = height - foot - sum(gaps)
    axes, top = [], height
    for gap, part in zip(gaps, _HEIGHTS, strict=True):
        tall = room * part / sum(_HEIGHTS)
        top -= gap + tall
        box = (left / width, top / height, 1 - (left + right) / width, tall / height)
        one = figure.add_axes(box, facecolor=WHITE, sharex=axes[0] if axes else None)
        one.tick_params(labelsize=font * POINT, colors=INK, labelbottom=len(axes) == 2)
        one.spines[["top", "right"]].set_visible(False)
        one.set_axisbelow(True)
        axes.append(one)
    title = f"{page.say(found.train.name)}: {page.say(found.name)}"
    title = fitted(title, font, width - font, True)
    figure.text(0.5 * font / width, 1 - 1.4 * font / height, title,
                size=font * POINT, weight="bold", color=INK)  # fmt: skip
    axes[0].set_xlim(found.start, found.end)
    most = max(2, int((width - left - right) / (5 * font)))
    axes[2].xaxis.get_major_locator().set_params(nbins=most)
    axes[2].set_xlabel(page.say("time [s]"), size=font * POINT, color=INK)
    return figure, axes


def _named(axes, text, page):
    """Say at the left what an axes shows; how many numbers there is room for."""
    look = CONTEXTS[page.context]
    box = axes.get_window_extent()
    axes.set_ylabel(text, size=look.font * POINT, color=INK)
    axes.yaxis.set_label_coords(-4.9 * look.font / box.width, 0.5)
    return max(2, int(box.height / (2.2 * look.font)))


def _speeds(axes, found, page):
    line = CONTEXTS[page.context].line
    most = _named(axes, page.say("rev/min"), page)
    ends = []
    for name, values, look in (
        ("input", found.input, {"color": INK}),
        ("output", found.output, {"color": BLUE, "linestyle": (0, (6, 1.5))}),
    ):
        axes.plot(found.time, _with_nan(values), linewidth=1.5 * line, **look)
        known = [value for value in values if value is not None]
        if known:
            ends.append((page.say(name), known[-1]))
    axes.set_ylim(bottom=0)
    axes.yaxis.get_major_locator().set_params(nbins=most)
    axes.grid(color="#D0D0D0", linewidth=0.6, axis="y")
    _labels(axes, ends, page)


def _ratios(axes, found, page):
    line = CONTEXTS[page.context].line
    _named(axes, page.say("ratio"), page)
    known = [value for value in found.ratio if value is not None]
    levels = [(level, float(abs(level.ratio))) for level in found.levels]
    ends = (min(known, default=0.5), max(known, default=5.0))
    asked = set(found.commanded)
    levels = [
        (level, size)
        for level, size in levels
        if ends[0] / 1.2 <= size <= 1.2 * ends[1] or asked & set(level.ranges)
    ]
    sizes = [size for _, size in levels] or [0.5, 5.0]
    axes.set_yscale("log")
    axes.set_ylim(0.8 * min(sizes), 1.3 * max(sizes))
    axes.yaxis.set_major_locator(FixedLocator(_ROUND))
    axes.yaxis.set_minor_locator(NullLocator())
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    names = []
    for level, size in levels:
        band = (size / (1 + found.band), size * (1 + found.band))
        axes.axhspan(*band, color="#E0E0E0", linewidth=0, zorder=0)
        said = page.say(level.ranges[0])
        names.append((f"{said}  {number(abs(level.ratio))}", size))
    axes.plot(found.time, _with_nan(found.ratio), color=INK, linewidth=1.2 * line)
    _labels(axes, names, page)


def _slip(axes, found, page):
    """How far the ratio is above the nearest range's, but for shifts.

    Outside the band it has crosses.
    """
    look = CONTEXTS[page.context]
    most = _named(axes, page.say("slip"), page)
    slips = _without_shifts(found)
    axes.axhspan(-found.band, found.band, color="#E0E0E0", linewidth=0, zorder=0)
    axes.plot(found.time, slips, color=INK, linewidth=1.2 * look.line)
    outside = [
        (time, min(max(slip, -_MOST_SLIP), _MOST_SLIP))
        for time, slip in zip(found.time, slips, strict=True)
        if abs(slip) > found.band
    ]
    if outside:
        every = max(1, len(outside) // 150)
        axes.plot(*zip(*outside[::every], strict=True), linestyle="", marker="x",
                  color=VERMILION, markersize=0.3 * look.font)  # fmt: skip
    axes.set_ylim(-_MOST_SLIP, _MOST_SLIP)
    axes.yaxis.get_major_locator().set_params(nbins=min(most, 5))
    axes.yaxis.set_major_formatter(PercentFormatter(1.0, decimals=0, symbol=" %"))
    _labels(axes, [(page.say("nearest range"), 0.0)], page)


def _labels(axes, ends, page):
    """Names at the right of an axes, each led to where it belongs."""
    look = CONTEXTS[page.context]
    box = axes.get_window_extent()
    wanted = [axes.transData.transform((0, value))[1] - box.y0 for _, value in ends]
    sizes = [1.3 * look.font] * len(ends)
    middles = spread(wanted, sizes, -0.4 * look.font, box.height + 0.6 * look.font)
    for (name, _), want, middle in zip(ends, wanted, middles, strict=True):
        axes.annotate(
            fitted(name, look.font, (_NAMES - 1.5) * look.font),
            xy=(1, want / box.height),
            xycoords="axes fraction",
            xytext=(1 + 1.3 * look.font / box.width, middle / box.height),
            textcoords="axes fraction",
            size=look.font * POINT,
            color=INK,
            va="center",
            annotation_clip=False,
            arrowprops={
                "arrowstyle": "-",
                "color": "#8A8A8A",
                "linewidth": 0.8 * look.line,
                "shrinkA": 1,
                "shrinkB": 1,
            },
        )


def _shifts(axes, found):
    """Dotted lines where shifts begin and end, unless there are too many."""
    if len(found.shifts) > 40:
        return
    for one in found.shifts:
        for time in (one.start, one.end):
            if found.start <= time <= found.end:
                axes.axvline(time, color=INK, linewidth=0.8, linestyle=(0, (1, 2)))


def _above(axes, found, page):
    """What was asked, and what is wrong, above the ratio."""
    look = CONTEXTS[page.context]
    box = axes.get_window_extent()
    wide = box.width / (found.end - found.start)
    rows = [(2.6, [(a, b, name, "normal") for name, a, b in asked_in(found)])]
    rows.append((0.9, [(a, b, kind, "bold") for a, b, kind in found.marks]))
    if rows[0][1]:
        axes.text(-6.0 * look.font / box.width, 1 + 2.6 * look.font / box.height,
                  page.say("asked"), size=look.font * POINT, color=INK, va="center",
                  transform=axes.transAxes)  # fmt: skip
    for height, parts in rows:
        free = 0.0
        for start, end, name, weight in parts:
            text = page.say(name)
            half = text_width(text, look.font, weight == "bold") / 2
            middle = ((start + end) / 2 - found.start) * wide
            middle = min(max(middle, half), box.width - half)
            bar = weight == "bold"
            if middle - half < free or (not bar and 2 * half > (end - start) * wide):
                continue
            free = middle + half + 0.5 * look.font
            at = 1 + height * look.font / box.height
            axes.text(middle / box.width, at, text, size=look.font * POINT,
                      weight=weight, color=INK, ha="center", va="center",
                      transform=axes.transAxes)  # fmt: skip
            if bar:
                axes.plot([start, end], [1.01, 1.01], color=VERMILION,
                          linewidth=3 * look.line, clip_on=False,
                          transform=axes.get_xaxis_transform())  # fmt: skip


def _without_shifts(found):
    """The slip of each moment, nan in a shift, which passes between ranges."""
    slips, place = _with_nan(found.slip), 0
    for one in found.shifts:
        place = bisect_left(found.time, one.start, place)
        while place < len(slips) and found.time[place] <= one.end:
            slips[place] = float("nan")
            place += 1
    return slips


def _with_nan(values):
    return [float("nan") if value is None else value for value in values]


def _png(figure):
    file = BytesIO()
    figure.savefig(file, format="png", dpi=1.5 * PX_PER_INCH, facecolor=WHITE,
                   metadata={"Software": None})  # fmt: skip
    return file.getvalue()
