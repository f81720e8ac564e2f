"""Plots of many results, in matplotlib: ratios over tooth counts."""

from base64 import b64encode
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from io import BytesIO
from math import nan

import matplotlib
from matplotlib.figure import Figure

from ...ask.teeth.sweep import sweep
from ...base import checks
from ...base.frozenmap import FrozenMap
from ...base.numerals import listed, number
from ...train.train import a_train
from ..kit.mpl import POINT, PX_PER_INCH
from ..kit.page import Page
from ..kit.spread import spread
from ..kit.style import (
    BLACK,
    BLUE,
    CONTEXTS,
    GREEN,
    GREY,
    INK,
    PURPLE,
    VERMILION,
    WHITE,
)
from ..kit.textwidth import text_width
from .speedchart import chosen

WIDTHS = {"screen": 720.0, "projector": 1200.0, "print": 640.0, "class": 2200.0}
MOST_COUNTS = 1000
_SHAPE = 0.62  # height over width
_COLOURS = (VERMILION, BLUE, BLACK, GREEN, PURPLE, GREY)
_DASHES = ("-", (0, (5, 2)), (0, (7, 2, 1.5, 2)), (0, (1.5, 1.5)))
_MARKERS = "osD^vP"
_FONTS = {"font.family": "DejaVu Sans", "axes.unicode_minus": True}


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


@dataclass(frozen=True, kw_only=True)
class _Curve:
    """Ranges of one ratio: a value for each count, None where nothing drives."""

    ranges: tuple[str, ...]
    ratios: tuple

    @property
    def backward(self):
        """Whether the output turns backward."""
        return any(ratio is not None and ratio < 0 for ratio in self.ratios)

    def points(self, counts):
        """(count, ratio) where it drives."""
        pairs = zip(counts, self.ratios, strict=True)
        return [(count, ratio) for count, ratio in pairs if ratio is not None]


def plot_ratios(
    train, set_name, gear, counts, *, ranges=None, context="screen", words=FrozenMap()
):
    """The ratio of each range over the tooth counts of one gear.

    Ranges of reverse are drawn by the size of their ratio and say so. Counts that the
    set cannot have are left out and marked with a cross.

    Parameters
    ----------
    train : Train
    set_name, gear : the gear whose teeth change; the others stay as they are
    counts : whole numbers, such as ``range(18, 43)``
    ranges : names of ranges; all that have a ratio if left out
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Plot, with its `figure` and its `alt` text

    Raises
    ------
    ValueError
        An unknown set, gear, range or context, counts that are no whole numbers, or
        none with which the set fits and a range drives.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> plot_ratios(train, "front", "sun", [24, 25, 36], ranges=["2", "5"]).alt
    'Five-range bench unit: ratio over the teeth of the front sun, 24 to 36. Range 2: 2.125 at 24, 1.889 at 36. Range 5: 0.75 at 24, 0.667 at 36. Left out, since the set cannot have them: 25.'
    """  # noqa: E501
    a_train(train)
    page = Page(context=context, words=words)
    gear, member = _gear(train.set(set_name), gear)
    counts = _counted(counts, member)
    fitting, left_out = _fitting(train.set(set_name), gear, counts)
    names = list(chosen(train, ranges, "drive"))
    curves = _curves(train, set_name, gear, fitting, names)
    if not curves:
        raise ValueError(
            f"none of the ranges {checks.quoted(names)} drives with these teeth, but a"
            " plot of ratios needs one; name another"
        )
    labels = [_label(curve, page) for curve in curves]
    with matplotlib.rc_context(_FONTS):
        figure = _figure(train, member, labels, page)
        axes = figure.axes[0]
        axes.set_xlim(min(counts) - 0.5, max(counts) + 0.5)
        sizes = [abs(ratio) for one in curves for _, ratio in one.points(fitting)]
        axes.set_ylim(0, 1.08 * max(sizes))
        _draw(axes, curves, labels, fitting, context)
        if left_out:
            _cross(axes, left_out, page)
    alt = _alt(f"{train.name}: ratio over the teeth of the {member}", curves, fitting)
    odd = [str(count) for count in left_out]
    if odd:
        few = listed(odd, "") if len(odd) <= 12 else f"{len(odd)} counts"
        alt += f" Left out, since the set cannot have them: {few}."
    return Plot(figure=figure, alt=alt)


def _gear(one, gear):
    """The gear by its key in a train file, and the member by its name."""
    keys = {key.replace("-", " "): key for key in one.all_teeth}
    gear = keys.get(gear, gear) if isinstance(gear, str) else gear
    checks.known(gear, one.all_teeth, f"{one.name} gear")
    spoken = gear.replace("-", " ")
    return gear, one.member(spoken if spoken in one.members else gear)


def _counted(counts, what):
    """The counts in order, each once; ValueError if they are no counts."""
    if isinstance(counts, (str, bytes)) or not isinstance(counts, Iterable):
        raise ValueError(
            f"the counts are {checks.shortened(counts)}, but a plot needs several;"
            " give a list or a range of whole numbers"
        )
    whole = sorted({checks.teeth(count, what) for count in counts})
    if not 2 <= len(whole) <= MOST_COUNTS:
        raise ValueError(
            f"{len(whole)} different counts are given for the {what}, but a plot needs"
            f" 2 to {MOST_COUNTS}; give others"
        )
    return whole


def _fitting(one, gear, counts):
    """The counts that a set can have, and those that it cannot."""
    fitting, left_out, why = [], [], None
    for count in counts:
        try:
            one.with_teeth({gear: count})
            fitting.append(count)
        except ValueError as error:
            left_out.append(count)
            why = why or error
    if not fitting:
        raise ValueError(f"none of the {len(counts)} counts fits; the first: {why}")
    return fitting, left_out


def _curves(train, set_name, gear, counts, names):
    """A curve for each ratio; ranges that always agree share one."""
    swept, alike = sweep(train, {set_name: {gear: counts}}), {}
    for name in names:
        ratios = [ratio if ratio == ratio else None for ratio in swept[name].tolist()]
        if any(ratio is not None for ratio in ratios):
            rounded = tuple(ratio and round(ratio, 9) for ratio in ratios)
            alike.setdefault(rounded, []).append(name)
    return [_Curve(ranges=tuple(name), ratios=key) for key, name in alike.items()]


# The figure -----------------------------------------------------------------------


def _figure(train, what, labels, page):
    """An empty figure with its axes, title and words, room for labels at the right."""
    font, width = page.font, WIDTHS[page.context]
    height, points = _SHAPE * width, font * POINT
    figure = Figure(
        figsize=(width / PX_PER_INCH, height / PX_PER_INCH),
        dpi=PX_PER_INCH,
        facecolor=WHITE,
    )
    right = max(text_width(label, font, bold=True) for label in labels) + 2.4 * font
    left, foot, top = 4.0 * font, 4.6 * font, 2.4 * font
    box = (left / width, foot / height, 1 - (left + right) / width,
           1 - (foot + top) / height)  # fmt: skip
    axes = figure.add_axes(box, facecolor=WHITE)
    named = page.say(train.name)
    figure.text(0.6 * font / width, 1 - 1.3 * font / height, named, size=points,
                weight="bold", color=INK)  # fmt: skip
    teeth = f"{page.say('teeth')}: {page.say(what)}"
    axes.set_xlabel(teeth, size=points, color=INK)
    axes.set_ylabel(page.say("ratio"), size=points, color=INK)
    axes.tick_params(labelsize=points, labelfontfamily="DejaVu Sans", colors=INK)
    axes.xaxis.get_major_locator().set_params(integer=True)
    axes.grid(color="#D0D0D0", linewidth=0.6)
    axes.set_axisbelow(True)
    axes.spines[["top", "right"]].set_visible(False)
    return figure


def _draw(axes, curves, labels, counts, context):
    """The curves, each with its label at the right, led to its last point."""
    look, line = CONTEXTS[context], CONTEXTS[context].line
    box = axes.get_window_extent()
    most = axes.get_ylim()[1]
    ends = [curve.points(counts)[-1] for curve in curves]
    wanted = [abs(ratio) / most * box.height for _, ratio in ends]
    middles = spread(wanted, [1.3 * look.font] * len(curves), 0, box.height)
    for place, (curve, label, end, middle) in enumerate(
        zip(curves, labels, ends, middles, strict=True)
    ):
        colour = _COLOURS[place % len(_COLOURS)]
        axes.plot(
            counts,
            [nan if ratio is None else abs(ratio) for ratio in curve.ratios],
            color=colour,
            linestyle=_DASHES[place % len(_DASHES)],
            linewidth=1.6 * line,
            marker=_MARKERS[place % len(_MARKERS)],
            markersize=0.36 * look.font,
            markevery=max(1, len(counts) // 8),
            markerfacecolor=WHITE if curve.backward else colour,
            clip_on=False,
        )
        axes.annotate(
            label,
            xy=(end[0], abs(end[1])),
            xytext=(1 + 1.4 * look.font / box.width, middle / box.height),
            textcoords="axes fraction",
            size=look.font * POINT,
            weight="bold",
            color=INK,
            va="center",
            annotation_clip=False,
            arrowprops={
                "arrowstyle": "-",
                "color": "#8A8A8A",
                "linewidth": 0.8 * line,
                "shrinkA": 1,
                "shrinkB": 0.3 * look.font,
            },
        )


def _cross(axes, left_out, page):
    """A cross on the axis at each count that the set cannot have."""
    font = page.font
    axes.plot(left_out, [0] * len(left_out), color=INK, linestyle="", marker="x",
              markersize=0.4 * font, clip_on=False)  # fmt: skip
    text = f"{axes.get_xlabel()}   (× {page.say('cannot be')})"
    axes.set_xlabel(text, size=font * POINT, color=INK)


def _png(figure):
    file = BytesIO()
    figure.savefig(file, format="png", dpi=1.5 * PX_PER_INCH, facecolor=WHITE,
                   metadata={"Software": None})  # fmt: skip
    return file.getvalue()


# Words ----------------------------------------------------------------------------


def _label(curve, page):
    names = ", ".join(page.say(name) for name in curve.ranges)
    return f"{names} ({page.say('backward')})" if curve.backward else names


def _alt(head, curves, counts):
    said_of = [f"{head}, {counts[0]} to {counts[-1]}."]
    for curve in curves:
        names, points = f"Range {listed(curve.ranges, '')}", curve.points(counts)
        if len({ratio for _, ratio in points}) == 1:
            said_of.append(f"{names}: {number(points[0][1])} throughout.")
        else:
            ends = [f"{number(r)} at {count}" for count, r in (points[0], points[-1])]
            said_of.append(f"{names}: {', '.join(ends)}.")
    return " ".join(said_of)
