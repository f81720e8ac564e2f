"""A road log as a picture: speeds, the ratio among the ranges, and the shifts."""

import re
from itertools import pairwise

from ...ask.log.changes import CLEAN
from ...base.frozenmap import FrozenMap
from ...base.numerals import decimals, number
from ..kit.page import Page, written
from ..kit.shapes import Line, Text
from ..kit.spread import spread
from ..kit.textwidth import fitted, text_width
from .logaxes import Frame, ticks
from .logtrace import asked_in, time_in, told_shifts, told_trace, trace

_WIDE = {"screen": 47.0, "projector": 47.0, "print": 50.0, "class": 42.0}
_LEFT, _RIGHT_MOST = 4.6, 11.0  # beside the frames, in letter sizes
_SPEEDS, _RATIOS, _BACK_ROW = 9.0, 14.0, 8.6  # heights of frames, in letter sizes
_ROUND = (0.5, 0.7, 1, 1.5, 2, 3, 4, 5, 7, 10, 15, 20)  # ratios that are marked


def draw_log(
    log,
    *,
    since=None,
    until=None,
    at=None,
    plain=False,
    context="screen",
    words=FrozenMap(),
):
    """The speeds of a log over time and the ratio among those of the ranges.

    Grey bands are as wide as a ratio may be off. Dotted lines mark where a shift begins
    and ends; its ranges stand above, and what is wrong with it.

    Parameters
    ----------
    log : RoadLog, or MadeLog
    since, until : the part of it [s]; all of it if left out
    at : a moment to mark [s], or None
    plain : draw the speeds alone, for somebody who is to read the log
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene

    Raises
    ------
    ValueError
        What is no log, ends or a moment that are not in it, or an unknown context.

    >>> import gearlab
    >>> made = gearlab.make_log(gearlab.load_train("six-range"), rate=10)
    >>> draw_log(made, since=4, until=7).alt[:69]
    'Six-range bench unit, an invented log, 4.0 s to 7.0 s. Input speed: 1'
    """
    page, found = Page(context=context, words=words), trace(log, since, until)
    marked = None if at is None else time_in(found, at)
    font = page.font
    levels = [] if plain else _levels(found)
    names = [page.say("input"), page.say("output")]
    names += [_level_name(level, page) for level in levels]
    room = min(_RIGHT_MOST, max(text_width(name, font) for name in names) / font + 1.4)
    width = _WIDE[context] * font
    frame = {"left": _LEFT * font, "width": width - (_LEFT + room) * font}
    frame["x"] = (found.start, found.end)
    shapes, y = _caption(found, page, width)
    frames = []
    if plain or not page.frame:
        tall = (_RATIOS if plain else _SPEEDS) * font
        frames.append(
            _speed_frame(found, frame | {"top": y + 2.0 * font, "height": tall})
        )
        shapes += _speeds(frames[0], found, page)
        y = frames[0].foot + 0.4 * font
    if not plain:
        if any(found.commanded):
            y += 1.4 * font
            row = y
        y += (2.3 + 0.9 * bool(found.marks)) * font
        tall = (_BACK_ROW if page.frame else _RATIOS) * font
        frames.append(_ratio_frame(levels, frame | {"top": y, "height": tall}))
        shapes += _ratios(frames[-1], levels, found, page)
        if any(found.commanded):
            shapes += _asked_row(frames[-1], found, page, row)
        shapes += _marks(frames[-1], found, page, y - 0.8 * font)
    shapes += frames[-1].scale_below(font, page.say("time [s]"))
    for one in frames if marked is not None else ():
        x = one.across(marked)
        shapes.append(Line(points=((x, one.top), (x, one.foot)), role="moment"))
    last = frames[-1]
    said = [*_told(found, levels, plain, marked), *_told_scales(shapes)]
    alt = " ".join(said)
    return page.scene(width, last.foot + 3.5 * font, shapes, alt)


def _caption(found, page, width):
    """The name of the train and of the log, and where they end [px]."""
    font, room = page.font, width - 1.0 * page.font
    texts = [fitted(page.say(found.train.name), font, room, True)]
    shapes = list(written(texts, font, top=0.4 * font, x=0.5 * font, bold=True))
    if page.frame:
        return shapes, 1.7 * font
    line = [fitted(page.say(found.name), font, room)]
    shapes += written(line, font, top=1.6 * font, x=0.5 * font)
    return shapes, 2.9 * font


def _speed_frame(found, frame):
    most = max(
        (v for some in (found.input, found.output) for v in some if v is not None),
        default=1.0,
    )
    top = ticks(0, max(most, 1.0) * 1.25, 4)[-1]
    return Frame(**frame, y=(0.0, float(max(top, most, 1.0))))


def _speeds(frame, found, page):
    font = page.font
    steps = ticks(*frame.y, frame.height / (2.4 * font))
    shapes = [*frame.scale_left(font, steps), frame.edges()]
    shapes += frame.curve(found.time, found.input, "input curve")
    shapes += frame.curve(found.time, found.output, "output curve")
    ends = []
    for name, values in (("input", found.input), ("output", found.output)):
        known = [value for value in values if value is not None]
        if known:
            last = known[-max(1, len(known) // 50) :]
            ends.append((page.say(name), sum(last) / len(last)))
    shapes += _labels(frame, ends, font)
    shapes.append(_unit(frame, page.say("speed [rev/min]"), font))
    return shapes


def _unit(frame, text, font):
    y = frame.top - 0.9 * font
    return Text(x=0.5 * font, y=y, text=text, size=font)


def _labels(frame, ends, font):
    """Names at the right of a frame, each by the height that it stands for."""
    wanted = [frame.up(value) for _, value in ends]
    low, foot = frame.top - 0.4 * font, frame.foot + 0.6 * font
    middles = spread(wanted, [1.25 * font] * len(ends), low, foot)
    for (name, _), want, middle in zip(ends, wanted, middles, strict=True):
        text = fitted(name, font, (_RIGHT_MOST - 1.4) * font)
        x = frame.right + 1.1 * font
        line = ((frame.right + 0.15 * font, want), (x - 0.25 * font, middle))
        yield Line(points=line, role="leader")
        yield Text(x=x, y=middle + 0.36 * font, text=text, size=font)


def _levels(found):
    """The ranges that are drawn: those that the log comes near to, or asks for."""
    asked = set(found.commanded)
    known = sorted(value for value in found.ratio if value is not None)
    wide = 1.2
    ends = (known[0] / wide, known[-1] * wide) if known else (0.0, 1e9)
    return [
        level
        for level in found.levels
        if asked & set(level.ranges) or ends[0] <= abs(level.ratio) <= ends[1]
    ]


def _level_name(level, page):
    return f"{page.say(level.ranges[0])}  {number(abs(level.ratio))}"


def _ratio_frame(levels, frame):
    sizes = [float(abs(level.ratio)) for level in levels] or [1.0]
    return Frame(**frame, y=(0.8 * min(sizes), 1.3 * max(sizes)), grows=True)


def _ratios(frame, levels, found, page):
    font, shapes = page.font, []
    for level in levels:
        size = float(abs(level.ratio))
        low, top = size / (1 + found.band), size * (1 + found.band)
        shapes.append(frame.box(low, top, "range band"))
    marks = [value for value in _ROUND if frame.y[0] <= value <= frame.y[1]]
    while len(marks) > 1 and any(
        abs(frame.up(a) - frame.up(b)) < 1.3 * font for a, b in pairwise(marks)
    ):
        marks = marks[::2]
    shapes += frame.scale_left(font, marks, 1 if any(m % 1 for m in marks) else 0)
    shapes += [frame.edges(), _unit(frame, page.say("ratio"), font)]
    shapes += _shift_ends(frame, found, font)
    shapes += frame.curve(found.time, found.ratio, "input curve")
    ends = [(_level_name(level, page), float(abs(level.ratio))) for level in levels]
    return [*shapes, *_labels(frame, ends, font)]


def _shift_ends(frame, found, font):
    """Dotted lines where shifts begin and end; of many, only where it is not clean."""
    crowded = len(found.shifts) > frame.width / (4 * font)
    for one in found.shifts:
        if crowded and one.kind == CLEAN:
            continue
        for time in (one.start, one.end):
            if found.start <= time <= found.end:
                x = frame.across(time)
                ends = ((x, frame.top), (x, frame.foot))
                yield Line(points=ends, role="shift end")


def _asked_row(frame, found, page, y):
    """The ranges that were asked for, each over its time."""
    font, parts = page.font, asked_in(found)
    rooms = [frame.across(until) - frame.across(since) for _, since, until in parts]
    yield Text(x=0.5 * font, y=y, text=page.say("asked"), size=font)
    for (name, since, until), room in zip(parts, rooms, strict=True):
        text = page.say(name)
        if text_width(text, font, True) < room:
            x = frame.across((since + until) / 2)
            yield Text(x=x, y=y, text=text, size=font, anchor="middle", bold=True)


def _marks(frame, found, page, y):
    """What is wrong, with a bar over its time, as far as there is room for words."""
    font, free = page.font, frame.left
    for start, end, kind in found.marks:
        ends = [frame.across(time) for time in (start, end)]
        text = page.say(kind)
        half = text_width(text, font, True) / 2
        x = min(max(sum(ends) / 2, free + half), frame.right - half)
        if x - half < free:
            continue
        yield Text(x=x, y=y, text=text, size=font, anchor="middle", bold=True)
        bar = ((ends[0], y + 0.5 * font), (ends[1], y + 0.5 * font))
        yield Line(points=bar, role="fault bar")
        free = x + half + 0.6 * font


def _told(found, levels, plain, marked):
    yield from told_trace(found)
    if not plain:
        if levels:
            named = "; ".join(
                f"{' and '.join(level.ranges)} {number(abs(level.ratio))}"
                for level in levels
            )
            yield f"Ratios of the ranges: {named}."
        yield from told_shifts(found)
    if marked is not None:
        yield f"Marked: {decimals(marked, 2)} s."


def _told_scales(shapes):
    """The numbers between whole ones that stand at the scales."""
    texts = [shape.text for shape in shapes if isinstance(shape, Text)]
    parts = dict.fromkeys(one for one in texts if re.fullmatch(r"\d+\.\d+", one))
    if parts:
        yield f"Marked at the scales: {', '.join(parts)}."
