"""The speed chart: how fast every member turns in every range, as bars."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import partial

from ...base.checks import known, one_line, shortened
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, listed
from ...solve.facts import body_speeds, roles
from ...solve.powerflow import LOADS, PowerFlow, range_flows
from ...train.train import a_train
from ..kit.page import PITCH, Page, centred, folded, high, signed, width_of, written
from ..kit.shapes import Group, Line, Polygon, Text, ground
from ..kit.table import Column, table
from ..kit.textwidth import text_width
from .applychart import LOAD_WORDS

_PAGE = 50.0  # how wide the chart likes to be, in letter sizes
_NAME, _LEAST, _MOST = 5.0, 5.2, 9.0  # of columns, in letter sizes
_BAR, _HIGH = 0.6, 2.9  # of a bar and a row, in letter sizes


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A range with the speeds of its bodies and what each does."""

    range: str
    flow: PowerFlow
    speeds: dict
    does: dict


@dataclass(frozen=True, kw_only=True)
class _Scale:
    """Where speeds lie in a cell that is `width` px wide, its middle at 0."""

    low: float
    high: float
    width: float

    def at(self, speed):
        """The place of a speed [px]."""
        part = (float(speed) - self.low) / (self.high - self.low)
        return (part - 0.5) * self.width


def draw_speed_chart(
    train, *, load="drive", ranges=None, context="screen", words=FrozenMap()
):
    """The speed of every member in every range, in turns per input turn.

    Parameters
    ----------
    train : Train
    load : "drive" or "coast"
    ranges : names of ranges, in the order of the rows; all of them if left out
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene; members that are one piece have one column

    Raises
    ------
    ValueError
        An unknown load, range or context, or no range at all.
    """
    a_train(train)
    page = Page(context=context, words=words)
    known(load, LOADS, "load")
    rows = [_row(flow) for flow in chosen(train, ranges, load).values()]
    font = page.font
    columns, titles = _columns(rows, page)
    heights = [
        max(_HIGH * font, high(title[0] + title[1], font) + 0.5 * font)
        for title in titles
    ]
    cells = table(page, columns, range(len(rows)), heights)
    room = max(cells[1], 24 * font)
    what = f"{page.say('speeds')}, {page.say(LOAD_WORDS[load])}"
    what = [f"{what}: {page.say('turns per input turn')}"]
    parts = (
        page.caption(page.say(train.name), what, room),
        cells,
        page.key(_key(rows, page), room),
    )
    head = f"{train.name}: speeds in turns per input turn, {LOAD_WORDS[load]}"
    alt = " ".join([f"{head}.", *map(_said_row, rows)])
    return page.stacked(parts, alt)


def chosen(train, ranges, load):
    """``{range: flow}`` of the ranges asked for; ValueError if there is none."""
    flows = {name: both[load] for name, both in range_flows(train).items()}
    if isinstance(ranges, str) or not isinstance(ranges, Iterable | None):
        raise ValueError(
            f"ranges is {shortened(ranges)}, but it must be a list of names; write"
            f' ["{one_line(str(ranges), 60)}"]'
        )
    names = flows if ranges is None else [str(name) for name in ranges]
    for name in names:
        known(name, flows, "range")
    if not names:
        raise ValueError(
            f'no range of "{train.name}" is asked for, but the picture needs one; name'
            " one that the train file has under [ranges]"
        )
    return {name: flows[name] for name in names}


def _row(flow):
    speeds, ends = body_speeds(flow), []
    for end in (flow.train.input, flow.train.output):
        ends.append(flow.train.body_of[end])
    # As the power comes: the input first, the output last.
    first, last = ends
    order = [first, *(body for body in speeds if body not in ends), last]
    speeds = {body: speeds[body] for body in order}
    does = {body: roles(flow)[body] for body in speeds}
    return _Row(range=flow.range, flow=flow, speeds=speeds, does=does)


def _columns(rows, page):
    """The columns, and the lines of each row's title: its name, and its state."""
    font = page.font
    titles = [_title(row, page) for row in rows]
    names = [
        text_width(line, font, bold)
        for title in titles
        for lines, bold in zip(title, (True, False), strict=True)
        for line in lines
    ]
    first = max([*names, width_of([page.say("range")], font)]) + 0.6 * font

    def name_of(row):
        name, state = titles[row]
        top = -high([*name, *state], font) / 2
        low = top + PITCH * len(name) * font
        yield from written(name, font, top=top, anchor="middle", bold=True)
        yield from written(state, font, top=low, anchor="middle")

    speeds = [speed for row in rows for speed in row.speeds.values()]
    reach = [float(speed) for speed in speeds if speed is not None]
    needs = {
        body: max(_LEAST * font, width_of([page.say(body)], font))
        for body in rows[0].speeds
    }
    widths = _widened(needs, min(_PAGE * font - first, _MOST * font * len(needs)))
    scale = _Scale(
        low=min(0.0, *reach),
        high=max(1.0, *reach),
        width=min(widths.values()) - 1.7 * font,
    )
    columns = [Column(heading="range", width=first, cell=name_of)]
    for body, width in widths.items():
        cell = partial(_cell, rows=rows, body=body, scale=scale, page=page)
        columns.append(Column(heading=body, width=width, cell=cell, ruled=True))
    return columns, titles


def _widened(needs, room):
    """The widths that columns need, the narrow ones widened alike to fill `room`."""
    narrow, level = sorted(needs.values()), 0.0
    for count in range(len(narrow), 0, -1):
        level = (room - sum(narrow[count:])) / count
        if level >= narrow[count - 1]:
            break
    return {body: max(need, level) for body, need in needs.items()}


def _title(row, page):
    font = page.font
    name = folded(page.say(row.range), font, _NAME * font, bold=True)
    if row.flow.state == "drives":
        return name, []
    return name, folded(page.say(row.flow.state), font, font)


def _cell(row, *, rows, body, scale, page):
    """A speed as a number, and below it as a bar from zero."""
    font = page.font
    speed, does = rows[row].speeds[body], rows[row].does[body]
    if speed is None:
        yield from centred(["?"], font)
        return
    text = signed(speed, font, scale.width + font)
    if does == "held":
        full = f"{text} ({page.say('held')})"
        text = full if text_width(full, font) <= scale.width + font else text
    yield Text(x=0.0, y=-0.2 * font, text=text, size=font, anchor="middle")
    middle, half = 0.75 * font, _BAR / 2 * font
    zero, tip = scale.at(0), scale.at(speed)
    if speed:
        corners = ((zero, -half), (tip, -half), (tip, half), (zero, half))
        role = "forward bar" if speed > 0 else "backward bar"
        shape = Polygon(points=tuple((x, middle + y) for x, y in corners), role=role)
        yield shape
    low, top = middle + 1.4 * half, middle - 1.4 * half
    yield Line(points=((zero, top), (zero, low)), role="axis")
    if does == "held":
        yield Group(x=zero, y=middle, shapes=(ground(0.95 * font),))
    if scale.at(1) != tip:
        yield Line(points=((scale.at(1), top), (scale.at(1), low)), role="scale")


def _key(rows, page):
    """What the bars and signs mean, as far as they are drawn."""
    font = page.font
    speeds = [speed for row in rows for speed in row.speeds.values()]
    half, box = _BAR / 2 * font, 1.6 * font
    for role, meaning, way in (
        ("forward bar", "forward", 1),
        ("backward bar", "backward", -1),
    ):
        if any(speed is not None and speed * way > 0 for speed in speeds):
            zero, tip = -way * box / 2, way * box / 2
            corners = ((zero, -half), (tip, -half), (tip, half), (zero, half))
            ends = ((zero, -1.4 * half), (zero, 1.4 * half))
            sign = (Polygon(points=corners, role=role), Line(points=ends, role="axis"))
            yield sign, box, page.say(meaning)
    if any("held" in row.does.values() for row in rows):
        yield (ground(0.95 * font),), font, page.say("held")
    if any(speed not in (None, 1) for speed in speeds):
        tick = (Line(points=((0.0, -1.4 * half), (0.0, 1.4 * half)), role="scale"),)
        yield tick, 0.3 * font, page.say("as fast as the input")
    if None in speeds:
        yield centred(["?"], font), font, page.say("not determined")


def _said_row(row):
    """A range in a sentence, with its exact speeds."""
    alike = {}
    for body, speed in row.speeds.items():
        alike.setdefault(speed, []).append(body)
    parts = [
        f"{listed(bodies, '')} {'?' if speed is None else exactly(speed)}"
        for speed, bodies in alike.items()
    ]
    state = "" if row.flow.state == "drives" else f" ({row.flow.state})"
    return f"Range {row.range}{state}: {'; '.join(parts)}."
