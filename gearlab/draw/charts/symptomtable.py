"""The symptom table as a picture: what each fault shows in each range."""

from dataclasses import dataclass

from ...ask.faults.fault import ELSEWHERE, LOOSE
from ...ask.faults.said import USUAL
from ...ask.faults.seen import BRAKES, NO_BRAKING, NO_DRIVE, SLIPS, TIES_UP
from ...ask.faults.table import symptoms
from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.equilibrium import OUTPUT_LOCKED
from ...solve.powerflow import LOAD_WORDS, LOADS
from ...train.train import a_train
from ..kit.page import PAD, PITCH, Page, folded, high, width_of, written
from ..kit.shapes import Polygon, letter
from ..kit.table import Column, table
from ..kit.textwidth import text_width

_FAULTS, _CELL = 21.0, 2.5  # room for faults, and for a range, in letter sizes
_TURNED = 3.2  # a range with a longer word is read upward, in letter sizes
# What is seen goes by a letter; a range and a number stand for themselves.
LETTERS = {
    NO_DRIVE: "N",
    TIES_UP: "T",
    SLIPS: "S",
    OUTPUT_LOCKED: "L",
    BRAKES: "B",
    NO_BRAKING: "F",
    USUAL: "–",
}
_OTHER = " in another ratio, "
_RANGE, _RATIO = "a range: as in that", "a number: that ratio"
_HOW = (
    "bold: under power; plain: coasting, where that is another",
    "empty: as the chart has it",
    "faults in one row: no road test parts them",
)


def draw_symptom_table(train, *, blank=False, context="screen", words=FrozenMap()):
    """What each fault of a train shows in each range, faults that look alike in a row.

    Parameters
    ----------
    train : Train
    blank : leave the cells empty, for a worksheet
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene; a train with many ranges makes it wider than a page

    Raises
    ------
    ValueError
        An unknown context, or a train without ranges.
    """
    page, found = Page(context=context, words=words), symptoms(a_train(train))
    if not train.ranges:
        raise ValueError(
            f'the train "{train.name}" has no ranges, but symptoms are told by range;'
            " write them under [ranges]"
        )
    blank, told = bool(blank), _every(found)
    cells = _cells(found, told, page, blank)
    room = max(cells[1], 24 * page.font)
    what = [page.say("symptom table"), *(() if blank else map(page.say, _HOW))]
    parts = [
        page.caption(page.say(train.name), what, room),
        cells,
        page.key(_key(told, page), room),
    ]
    return page.stacked(parts, _alt(found, blank))


def _every(found):
    """``{(group, range): observations under power and coasting}`` that are not usual.

    Coasting is left out where it is as under power, and under power where it is usual.
    """
    told = {}
    for group in found.groups:
        row = found.rows[found.in_order(group)[0]]
        for name in found.train.range_names:
            drive, coast = (
                USUAL if row[name, load] == found.sound[name, load] else row[name, load]
                for load in LOADS
            )
            if not drive == coast == USUAL:
                told[group, name] = (drive, coast)
    return told


def _key(told, page):
    """Letters with their words, as far as they are written."""
    font = page.font
    seen = [one for pair in told.values() for one in pair]
    words = {_word(one) for one in seen}
    for word, sign in LETTERS.items():
        if word in words:
            yield (letter(page.say(sign), font),), 1.2 * font, page.say(word)
    for sign, meant in ((" like range ", _RANGE), (_OTHER, _RATIO)):
        if any(sign in one for one in seen):
            yield (), 0.0, page.say(meant)


def _word(observation):
    """What is seen, without the ratio that it goes with."""
    return "" if " like " in observation or _OTHER in observation else observation


def _cells(found, told, page, blank):
    """The table itself, a row a group."""
    font, train = page.font, found.train
    names = [_names(found, group, page) for group in found.groups]
    lines = {
        place: _lines(drive, coast, page) for place, (drive, coast) in told.items()
    }
    tall = [
        max(
            high(names[at], font),
            *(high(lines.get((group, name), ()), font) for name in train.range_names),
        )
        + 0.6 * font
        for at, group in enumerate(found.groups)
    ]
    wide = max(_FAULTS * font, width_of([one for row in names for one in row], font))
    columns = [Column(heading="fault", width=wide, cell=_Names(names, wide, font))]
    for name in train.range_names:
        column = [lines.get((group, name), ()) for group in found.groups]
        texts = [text for cell in column for text, _ in cell]
        head = width_of([page.say(name)], font)
        turned = head > _TURNED * font
        width = max(
            [text_width(text, font, bold=True) + 2 * PAD * font for text in texts]
            + [_CELL * font, 0.0 if turned else head]
        )
        columns.append(
            Column(
                heading=name,
                width=width,
                cell=_Cells(column, tall, width, font, blank),
                turned=turned,
                ruled=name == train.range_names[0],
            )
        )
    return table(page, columns, range(len(names)), tall)


def _lines(drive, coast, page):
    """(text, whether it is bold) of each line of a cell."""
    first, then = _short(drive, page), _short(coast, page)
    lines = [(line, True) for line in first.split()] if drive != USUAL else []
    if then != first or drive == USUAL:
        lines += [(line, False) for line in then.split()]
    return tuple(lines)


def _short(observation, page):
    """An observation in a letter: a range is one that it is like, a number a ratio."""
    _, like, name = observation.partition(" like range ")
    if like:
        return page.say(name)
    _, other, ratio = observation.partition(_OTHER)
    return ratio.split(" ")[0] if other else page.say(LETTERS[observation])


@dataclass(frozen=True)
class _Names:
    """The faults of each row, as their column is drawn."""

    names: list
    width: float
    font: float

    def __call__(self, at):
        """The shapes of a row."""
        lines = self.names[at]
        top, left = -high(lines, self.font) / 2, PAD * self.font - self.width / 2
        return written(lines, self.font, top=top, x=left)


@dataclass(frozen=True)
class _Cells:
    """The cells of a range, as its column is drawn."""

    lines: list
    tall: list
    width: float
    font: float
    blank: bool

    def __call__(self, at):
        """The shapes of a row, on a ground where anything is seen."""
        lines = self.lines[at]
        if self.blank or not lines:
            return
        font = self.font
        x, y = self.width / 2 - 0.15 * font, self.tall[at] / 2 - 0.15 * font
        yield Polygon(points=((-x, -y), (x, -y), (x, y), (-x, y)), role="used cell")
        top = -high(lines, font) / 2
        for place, (line, bold) in enumerate(lines):
            y = top + PITCH * place * font
            yield from written([line], font, top=y, anchor="middle", bold=bold)


def _names(found, group, page):
    """The faults of a group, each in its lines."""
    lines = []
    for fault in found.in_order(group):
        text = page.say(fault.kind)
        if fault.kind != ELSEWHERE:
            text = f"{page.say(fault.about)}: {text}"
        if fault.kind == LOOSE:
            text += f" ({page.say(fault.shaft)})"
        lines += folded(text, page.font, (_FAULTS - 2 * PAD) * page.font)
    return lines


def _alt(found, blank):
    head = f"{found.train.name}: symptom table"
    if blank:
        faults = [fault.clause for fault in found.rows]
        names = listed([f'"{name}"' for name in found.train.range_names], "")
        return f"{head}, left blank: ranges {names}; {'; '.join(faults)}."
    return f"{head}. {' '.join(_said(found, group) for group in found.groups)}"


def _said(found, group):
    """A row in a sentence."""
    row = found.rows[found.in_order(group)[0]]
    odd = [
        f"range {name} {LOAD_WORDS[load]} {told}"
        for (name, load), told in row.items()
        if told != found.sound[name, load]
    ]
    names = " or ".join(fault.clause for fault in found.in_order(group))
    return f"{names}: {', '.join(odd) or 'as the chart has it'}."
