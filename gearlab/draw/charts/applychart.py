"""The apply chart as a picture: a sign and a letter for what each element does."""

from dataclasses import replace
from functools import lru_cache, partial

from ...ask.applychart import AT_REST, FIGHTS, IDLE, OFF, ON, OTHER, SIGNS, apply_chart
from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...base.numerals import number
from ...solve.powerflow import LOAD_WORDS, LOADS
from ...train.train import a_train
from ..kit.given import some_words
from ..kit.owner import of_element, of_range
from ..kit.page import Page, centred, high, width_of
from ..kit.shapes import Circle, Group, Polygon, Text, letter
from ..kit.sheet import MARGIN, Sheet, capital, cropped
from ..kit.table import Column, table
from ..kit.textwidth import text_width, wrapped
from .chartalt import alt, blank_alt

# Square: it stands still; round: it turns; sharp: it fights. At rest is no doing, so it
# has a small sign and no letter.
LETTERS = {
    "applied": "A",
    "holds": "H",
    "overruns": "O",
    "backs up": "B",
    FIGHTS: "F",
}
_R = 0.74  # of a sign, in letter sizes
_CELL, _HIGH = 2.85, 2.65  # an element's column and a row, in letter sizes
_NAME = 5.0  # room for a range's name where no word is longer, in letter sizes
_MEANT = {"+": (ON, "catches"), "−": (OFF, "lets go"), "≠": (OTHER,)}


def draw_apply_chart(
    train, *, load="drive", current=None, blank=False, context="screen",
    words=FrozenMap(),
):  # fmt: skip
    """The apply chart of a train: ranges by elements, with ratio and step.

    Parameters
    ----------
    train : Train
    load : "drive", or "coast", which tells how each range coasts and no solenoids
    current : the name of a range whose row is marked, or None
    blank : leave every cell, ratio and step empty, for a worksheet
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene; a train with many elements makes it wider than a page

    Raises
    ------
    ValueError
        An unknown load, range or context, or a train without ranges.
    """
    page = Page(context=context, words=words)
    chart = chart_of(a_train(train), known(load, LOADS, "load"))
    blank = bool(blank)
    cells = _cells(chart, page, current, blank)
    room = max(cells[1], 24 * page.font)
    what = what_shown(load, page)
    # A worksheet is as large as its solution, so that one lies over the other.
    keys = [page.key(_key(chart, empty, page), room) for empty in (False, True)]
    shapes, tall = keys[blank][0], max(height for *_, height in keys)
    parts = (
        page.caption(page.say(train.name), [what], room),
        cells,
        (shapes, room, tall),
    )
    return page.stacked(parts, blank_alt(chart) if blank else alt(chart))


def chart_sheet(
    train, *, load="drive", current=None, context="screen", words=FrozenMap()
):
    """The apply chart of a train in parts; see :func:`draw_apply_chart`.

    Returns
    -------
    Sheet, equally large under both loads. Its shapes say whose they are.

    Raises
    ------
    ValueError
        An unknown load, range or context, or a train without ranges.
    """
    page = Page(context=context, words=FrozenMap(some_words(words)))
    current = None if current is None else str(current)
    return _sheet(a_train(train), known(load, LOADS, "load"), current, page)


@lru_cache(maxsize=128)
def _sheet(train, load, current, page):
    chart = chart_of(train, load)
    cells, *_ = _cells(chart, page, current, touched=True)
    width, height = _largest(train, page)
    margin = MARGIN * page.font
    return Sheet(
        body=page.scene(
            round(width + 2 * margin),
            round(height + 2 * margin),
            (Group(x=margin, y=margin, shapes=cells),),
            alt(chart),
        ),
        key=cropped(
            page, page.key(_key(chart, False, page), max(width, 24 * page.font))[0]
        ),
        title=capital(what_shown(load, page)),
        font=page.font,
    )


@lru_cache(maxsize=32)
def _largest(train, page):
    """The width and height that the table of a train takes under either load."""
    tables = [_cells(chart_of(train, load), page) for load in LOADS]
    return max(wide for _, wide, _ in tables), max(tall for *_, tall in tables)


@lru_cache(maxsize=32)
def chart_of(train, load):
    """The chart of a train that has ranges."""
    chart = apply_chart(train, load=load)
    if not chart.rows:
        raise ValueError(
            f'the train "{train.name}" has no ranges, but an apply chart has a row for'
            " each; write them under [ranges]"
        )
    return chart


def _cells(chart, page, current=None, blank=False, touched=False):
    """The table of a chart, with the row of a range marked: (shapes, width, height)."""
    names = [row.range for row in chart.rows]
    if current is not None:
        current = names.index(known(str(current), names, "range"))
    titles = _titles(chart, page)
    columns = _columns(chart, titles, page)
    if blank:
        columns = [columns[0], *map(_emptied, columns[1:])]
    heights = _heights(chart, titles, page)
    owners = [*map(of_range, names)] if touched else None
    return table(page, columns, chart.rows, heights, current, owners)


def what_shown(load, page):
    """What is shown, under which load."""
    return f"{page.say('apply chart')}, {page.say(LOAD_WORDS[load])}"


def _shape(state, font):
    """The sign of a state round (0, 0), without its letter: () for one that is off."""
    r = (0.3 if state == AT_REST else _R) * font
    if state in IDLE:
        return ()
    if state in ("applied", "overruns"):
        return (Circle(x=0.0, y=0.0, r=r, role=state),)
    if state == FIGHTS:
        far = 1.15 * r
        corners = ((0.0, -far), (far, 0.0), (0.0, far), (-far, 0.0))
        return (Polygon(points=corners, role=state),)
    s = 0.92 * r
    return (Polygon(points=((-s, -s), (s, -s), (s, s), (-s, s)), role=state),)


# Columns --------------------------------------------------------------------------


def _columns(chart, titles, page):
    font = page.font
    train, cell = chart.train, _CELL * font
    lines = [line for title in titles.values() for line in title]
    widest = max(text_width(line, font, bold=True) for line in lines)
    rows = chart.rows
    columns = [
        Column(
            heading="range",
            width=max(widest + 1.7 * font, width_of([page.say("range")], font)),
            cell=lambda row: centred(titles[row.range], font, bold=True),
        )
    ]
    groups = (train.brakes, train.clutches, train.locks, train.one_way_clutches)
    for group in groups:
        for part in group:
            columns.append(
                Column(
                    heading=part.name,
                    of=of_element(part.name),
                    width=cell,
                    cell=partial(_element, name=part.name, page=page),
                    turned=True,
                    ruled=part is group[0],
                )
            )
    columns += [
        _written("ratio", partial(_gives, page=page), rows, page, ruled=True),
        _written("step", _step, rows, page),
    ]
    if chart.load == "coast":
        column = partial(_coasting, page=page)
        columns.append(_written("coasting", column, rows, page))
    if train.selector:
        column = partial(_positions, page=page)
        columns.append(_written("selector", column, rows, page, turned=True))
    solenoids = train.solenoids if chart.load == "drive" else ()
    for place, solenoid in enumerate(solenoids):
        column = partial(_switched, solenoid=solenoid, page=page)
        columns.append(
            _written(solenoid, column, rows, page, turned=True, ruled=not place)
        )
    return columns


def _written(heading, text, rows, page, *, turned=False, ruled=False):
    """A column of text, a line for each word; a turned heading may be long."""
    font = page.font
    head, texts = page.say(heading), [text(row) for row in rows]
    width = width_of(texts if turned else [*texts, head], font)
    return Column(
        heading=heading,
        width=max(width, (2.7 if turned and " " in head else 1.7) * font),
        cell=lambda row: centred(text(row).split(), font),
        turned=turned,
        ruled=ruled,
    )


def _emptied(column):
    """The same column without what is in its cells; the selector's stay."""
    if column.heading == "selector":
        return column
    return replace(column, cell=lambda row: ())


def _titles(chart, page):
    """``{range: lines}``: its name, and what it is told against if not the row above.

    A name of several words is broken, so that the column stays narrow.
    """
    font = page.font
    texts = {row.range: page.say(row.range) for row in chart.rows}
    parts = [word for text in texts.values() for word in text.split()]
    room = max(text_width(part, font, bold=True) for part in parts)
    room = max(room, _NAME * font)
    lines = {name: wrapped(text, font, room, bold=True) for name, text in texts.items()}
    for above, row in zip((None, *chart.rows), chart.rows, strict=False):
        if row.before is not None and (above is None or row.before != above.range):
            lines[row.range].append(f"{page.say('after')} {texts[row.before]}")
    return lines


def _heights(chart, titles, page):
    """The height of each row; no row tells by its height what it gives."""
    font = page.font
    rows = chart.rows
    texts = [_gives(row, page) for row in rows] + [_coasting(r, page) for r in rows]
    texts += [_positions(row, page) for row in rows]
    tall = [high(text.split(), font) + 0.5 * font for text in texts]
    least = max(_HIGH * font, *tall)
    return [max(least, high(titles[r.range], font) + 0.5 * font) for r in rows]


def _gives(row, page):
    if row.ratio is None and row.coasting:
        return "–"
    return page.say(row.gives) if row.ratio is None else row.gives


def _coasting(row, page):
    return page.say(row.coasting) if row.coasting else ""


def _positions(row, page):
    return " ".join(page.say(position) for position in row.selector)


def _switched(row, solenoid, page):
    return page.say("on" if row.solenoids[solenoid] else "off")


def _step(row):
    return "" if row.step is None else number(row.step)


def _element(row, *, name, page):
    """What an element does in a range, and a sign if that has changed.

    The sign stands beside what the element does, or in its place if it does nothing.
    """
    font = page.font
    state, x = row.states[name], -0.45 * font
    if sign := stated(state, page):
        yield Group(x=x, shapes=sign)
    if name in row.changes:
        at = 0.8 * font if sign else x
        change = SIGNS[row.changes[name]]
        yield Text(x=at, y=0.36 * font, text=change, size=font, anchor="middle")


def stated(state, page):
    """The sign of a state with its letter, round (0, 0)."""
    font = page.font
    sign = _shape(state, font)
    if not sign or state not in LETTERS:
        return sign
    return (*sign, letter(page.say(LETTERS[state]), font))


# Key ----------------------------------------------------------------------------


def _key(chart, blank, page):
    """Signs and letters with their words, as far as they are drawn.

    A blank chart shows no sign, and every letter that may be written into it.
    """
    font = page.font
    seen = {state for row in chart.rows for state in row.states.values()}
    states = [state for state in (*LETTERS, AT_REST) if state in seen]
    if blank:
        one_way = ("holds", "overruns", "backs up")
        ways = one_way if chart.train.one_way_clutches else ()
        states = ["applied", *ways, FIGHTS]
    for state in states:
        sign = stated(state, page)
        if blank:
            sign = (letter(page.say(LETTERS[state]), font),)
        yield sign, 2.2 * _R * font, page.say(state)
    if blank:
        return
    done = {did for row in chart.rows for did in row.changes.values()}
    for sign, meaning in _MEANT.items():
        if meant := [page.say(did) for did in meaning if did in done]:
            yield centred([sign], font), font, " / ".join(meant)
