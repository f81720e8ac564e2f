"""The plot of ratios over tooth counts: a curve for each range, named at its end."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from ...ask.teeth.sweep import sweep
from ...base import checks
from ...base.frozenmap import FrozenMap
from ...base.numerals import listed, number
from ...train.train import a_train
from ..kit.page import Page, high, written
from ..kit.shapes import Circle, Group, Line, Text
from ..kit.spread import spread
from ..kit.style import RANGE_LINES
from ..kit.textwidth import text_width, wrapped
from .speedchart import chosen

MOST_COUNTS = 1000
# In letter sizes: the axes, the margin at their left, and the labels at their right.
_WIDE, _HIGH, _LEFT, _LABEL, _LEAD = 34.0, 22.0, 3.2, 11.0, 1.6
_STEPS = [part * 10**power for power in range(9) for part in (1, 2, 5)]


@dataclass(frozen=True, kw_only=True)
class _Curve:
    """Ranges of one ratio: (count, ratio) in order, None where nothing drives."""

    ranges: tuple[str, ...]
    ratios: tuple

    @property
    def backward(self):
        """Whether the output turns backward."""
        return any(ratio < 0 for _, ratio in self.points)

    @property
    def points(self):
        """(count, ratio) where it drives."""
        return [point for point in self.ratios if point[1] is not None]


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
    Scene

    Raises
    ------
    ValueError
        An unknown set, gear, range or context, counts that are no whole numbers, more
        than can be computed without numpy where that is not installed, or none with
        which the set fits and a range drives.

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
    alt = _alt(f"{train.name}: ratio over the teeth of the {member}", curves)
    odd = [str(count) for count in left_out]
    if odd:
        few = listed(odd, "") if len(odd) <= 12 else f"{len(odd)} counts"
        alt += f" Left out, since the set cannot have them: {few}."
    teeth = f"{page.say('teeth')}: {page.say(member)}"
    if left_out:
        teeth += f"   (× {page.say('cannot be')})"
    shapes, width, height = _plot(curves, left_out, page)
    below = wrapped(teeth, page.font, width - _LEFT * page.font)
    foot = written(below, page.font, x=_LEFT * page.font)
    parts = (
        page.caption(page.say(train.name), [page.say("ratio")], width),
        (shapes, width, height),
        (foot, width, high(below, page.font)),
    )
    return page.stacked(parts, alt)


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
    return [
        _Curve(ranges=tuple(names), ratios=tuple(zip(counts, ratios, strict=True)))
        for ratios, names in alike.items()
    ]


# The picture ----------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Axes:
    """Where counts and sizes of ratios lie, with the corner of the axes at (0, 0)."""

    first: int
    last: int
    most: float
    width: float
    height: float

    def at(self, count, size=0.0):
        """The place (x, y) of a count and the size of a ratio [px]."""
        part = (count - self.first + 0.5) / (self.last - self.first + 1)
        return part * self.width, (1 - float(size) / self.most) * self.height

    def place(self, point):
        """The place of a point of a curve [px]."""
        return self.at(point[0], abs(point[1]))


def _plot(curves, left_out, page):
    """The axes with the curves and their labels, as shapes, a width and a height."""
    font = page.font
    labels = [_label(curve, page) for curve in curves]
    tall = [high(lines, font) + 0.3 * font for lines in labels]
    counts = [*left_out, *(count for curve in curves for count, _ in curve.points)]
    sizes = [abs(ratio) for curve in curves for _, ratio in curve.points]
    axes = _Axes(
        first=min(counts),
        last=max(counts),
        most=1.06 * max([*sizes, 1.0]),
        width=_WIDE * font,
        height=max(_HIGH * font, sum(tall)),
    )
    inner = [*_ruled(axes, font), *_crosses(axes, left_out, font)]
    inner += [
        shape for at, curve in enumerate(curves) for shape in _drawn(axes, curve, at)
    ]
    inner += _named(axes, curves, labels, tall, font)
    widest = max(text_width(line, font, True) for lines in labels for line in lines)
    width = (_LEFT + _LEAD + 0.5) * font + axes.width + widest
    top = 0.6 * font
    return (
        (Group(x=_LEFT * font, y=top, shapes=tuple(inner)),),
        width,
        top + axes.height + 1.8 * font,
    )


def _ruled(axes, font):
    """The two axes, with lines across at whole ratios and the counts below."""
    foot = axes.height
    up = next(step for step in _STEPS if axes.most / step <= 8)
    for ratio in range(0, int(axes.most) + 1, up):
        _, y = axes.at(axes.first, ratio)
        yield Line(points=((0.0, y), (axes.width, y)), role="scale")
        yield Text(x=-0.5 * font, y=y + 0.36 * font, text=str(ratio), size=font,
                   anchor="end")  # fmt: skip
    room = 1.6 * text_width(str(axes.last), font)
    pitch = axes.width / (axes.last - axes.first + 1)
    along = next(step for step in _STEPS if step * pitch >= room)
    for count in range(-(-axes.first // along) * along, axes.last + 1, along):
        x, _ = axes.at(count)
        yield Line(points=((x, foot), (x, foot + 0.4 * font)), role="axis")
        yield Text(x=x, y=foot + 1.5 * font, text=str(count), size=font,
                   anchor="middle")  # fmt: skip
    yield Line(points=((0.0, 0.0), (0.0, foot), (axes.width, foot)), role="axis")


def _crosses(axes, left_out, font):
    """A cross on the axis at each count that the set cannot have."""
    half = 0.22 * font
    for count in left_out:
        x, y = axes.at(count)
        for way in (half, -half):
            yield Line(points=((x - half, y - way), (x + half, y + way)), role="ground")


def _drawn(axes, curve, at):
    """A curve, broken where nothing drives; a dot where one count stands alone."""
    role = f"curve {at % len(RANGE_LINES)}"
    for drives, run in groupby(curve.ratios, lambda point: point[1] is not None):
        points = tuple(axes.place(point) for point in run) if drives else ()
        if len(points) > 1:
            yield Line(points=points, role=role)
        elif points:
            ((x, y),) = points
            yield Circle(x=x, y=y, r=0.004 * axes.width, role=role)


def _named(axes, curves, labels, tall, font):
    """The names of the curves at the right, each led to the end of its curve."""
    ends = [axes.place(curve.points[-1]) for curve in curves]
    middles = spread([y for _, y in ends], tall, 0.0, axes.height)
    x = axes.width + _LEAD * font
    for end, lines, middle in zip(ends, labels, middles, strict=True):
        to = (x - 0.3 * font, middle)
        yield Line(points=(end, (axes.width, end[1]), to), role="leader")
        top = middle - high(lines, font) / 2
        yield Group(x=x, shapes=written(lines, font, top=top, bold=True))


def _label(curve, page):
    """The lines of a curve's name."""
    names = ", ".join(page.say(name) for name in curve.ranges)
    if curve.backward:
        names += f" ({page.say('backward')})"
    words = [text_width(word, page.font, True) for word in names.split()]
    return wrapped(names, page.font, max([_LABEL * page.font, *words]), bold=True)


# Words ----------------------------------------------------------------------------


def _alt(head, curves):
    first, last = (curves[0].ratios[at][0] for at in (0, -1))
    said_of = [f"{head}, {first} to {last}."]
    for curve in curves:
        names, points = f"Range {listed(curve.ranges, '')}", curve.points
        if len({ratio for _, ratio in points}) == 1:
            said_of.append(f"{names}: {number(points[0][1])} throughout.")
        else:
            ends = [f"{number(r)} at {count}" for count, r in (points[0], points[-1])]
            said_of.append(f"{names}: {', '.join(ends)}.")
    return " ".join(said_of)
