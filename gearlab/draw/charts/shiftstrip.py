"""The shift strip: every member's speed before and after a shift, joined by a line."""

from dataclasses import dataclass
from fractions import Fraction

from ...ask.shifts import shift as shift_between
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, listed, number
from ...solve.facts import body_speeds
from ...train.train import CASE, a_train
from ..kit.page import PITCH, Page, folded, high, signed, width_of, written
from ..kit.shapes import Circle, Line, Text
from ..kit.spread import spread
from .applychart import LOAD_WORDS

STILL = "No shift on the move: both must drive, and the same way."
_TALL, _BETWEEN, _ROOM = 14.0, 9.0, 11.4  # strip, scales, names; in letter sizes
_VALUE, _GAP = 5.0, 1.4  # a number's room, and from a scale to it
_TRACKS = ("track 1", "track 2", "track 3", "track 4")


@dataclass(frozen=True, kw_only=True)
class _Track:
    """Bodies that turn alike before and after, as one line."""

    names: tuple[str, ...]
    speeds: tuple[Fraction, Fraction]
    role: str


def draw_shift_strip(
    train, before, after, *, load="drive", context="screen", words=FrozenMap()
):
    """The speeds of members before and after a shift, at one output speed.

    Parameters
    ----------
    train : Train
    before, after : the name of a range, or the names of the applied elements
    load : "drive" or "coast"
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene; for two flows between which nothing shifts on the move it says so

    Raises
    ------
    ValueError
        An unknown range, element, load or context.
    """
    a_train(train)
    page = Page(context=context, words=words)
    font = page.font
    shift = shift_between(train, before, after, load=load)
    tracks, loose = _tracks(shift)
    names = [page.say(body) for body in body_speeds(shift.before)]
    longest = max(_ROOM * font, width_of(names, font))
    room = 2 * longest + (2 * (_VALUE + _GAP) + _BETWEEN) * font
    ends = [_end(flow, page) for flow in (shift.before, shift.after)]
    what = [f"{' → '.join(ends)}, {page.say(LOAD_WORDS[load])}"]
    if shift.step is not None:
        what[0] += f": {page.say('step')} {number(shift.step)}"
        what.append(page.say("one output speed before and after; input before = 1"))
    else:
        what.append(page.say(STILL))
    parts = [page.caption(page.say(train.name), what, room)]
    if shift.step is not None:
        parts.append(_strip(tracks, room, page))
    lines = [line for text in _notes(shift, loose, page)
             for line in folded(text, font, room)]  # fmt: skip
    parts.append((written(lines, font), room, high(lines, font)))
    alt = f"{train.name}, {LOAD_WORDS[load]}. {_alt(shift, tracks, loose)}"
    return page.stacked(parts, alt)


def _tracks(shift):
    """The lines of a strip, and the bodies that have no speed at one of its ends."""
    train, alike, loose = shift.train, {}, []
    for body in body_speeds(shift.before):
        speeds = shift.speeds[body]
        if None in speeds:
            loose.append(body)
        else:
            alike.setdefault(speeds, []).append(body)
    ends = [train.body_of[train.input], train.body_of[train.output]]
    doing = ("drives line", "driven line")
    if shift.before.load == "coast":
        doing = doing[::-1]
    tracks, plain = [], 0
    for speeds, names in sorted(alike.items(), reverse=True):
        held = [role for end, role in zip(ends, doing, strict=True) if end in names]
        if not held:
            held, plain = [_TRACKS[plain % len(_TRACKS)]], plain + 1
        tracks.append(_Track(names=tuple(names), speeds=speeds, role=held[0]))
    return tracks, loose


def _end(flow, page):
    if flow.range is not None:
        return f"{page.say('range')} {page.say(flow.range)}"
    names = [page.say(name) for name in flow.train.in_order(flow.applied)]
    return " + ".join(names) or page.say("nothing applied")


# The strip ------------------------------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Strip:
    """The two scales: where they stand, and which speeds lie at their ends."""

    left: float
    right: float
    top: float
    foot: float
    low: float
    high: float
    font: float

    def at(self, speed):
        """The height of a speed [px]."""
        part = (float(speed) - self.low) / (self.high - self.low)
        return self.foot - 0.5 * self.font - part * (self.foot - self.top - self.font)


def _strip(tracks, room, page):
    """Two scales with a line for each track, and labels on both sides."""
    font = page.font
    names = [
        [line for name in track.names
         for line in folded(page.say(name), font, _ROOM * font)]
        for track in tracks
    ]  # fmt: skip
    speeds = [float(speed) for track in tracks for speed in track.speeds]
    needed = sum(_size(lines, font) for lines in names) + _size([], font)
    strip = _Strip(
        left=(room - _BETWEEN * font) / 2,
        right=(room + _BETWEEN * font) / 2,
        top=1.7 * font,
        foot=1.7 * font + max(_TALL * font, needed),
        low=min(0.0, *speeds),
        high=max(1.0, *speeds),
        font=font,
    )
    shapes = [*_scales(strip, page), *(_line(strip, track) for track in tracks)]
    for side, (x, hand) in enumerate(((strip.left, -1), (strip.right, 1))):
        labels = [
            (track.speeds[side], lines)
            for track, lines in zip(tracks, names, strict=True)
        ]
        if not side and all(speed for speed, _ in labels):
            labels.append((Fraction(0), [page.say(CASE)]))
        for track in tracks:
            place = strip.at(track.speeds[side])
            shapes.append(Circle(x=x, y=place, r=0.28 * font, role="turning"))
        shapes += _labels(strip, labels, x, hand)
    return shapes, room, strip.foot


def _scales(strip, page):
    """Both scales with their words, and the light line at speed 0."""
    font, zero = strip.font, strip.at(0)
    yield Line(points=((strip.left, zero), (strip.right, zero)), role="scale")
    for x, word, anchor in (
        (strip.left, "before", "end"),
        (strip.right, "after", "start"),
    ):
        yield Line(points=((x, strip.top), (x, strip.foot)), role="scale")
        text = page.say(word)
        yield Text(x=x, y=0.9 * font, text=text, size=font, anchor=anchor)


def _line(strip, track):
    before, after = (strip.at(speed) for speed in track.speeds)
    points = ((strip.left, before), (strip.right, after))
    return Line(points=points, role=track.role)


def _size(lines, font):
    """The height that a label takes, with some room [px]."""
    return (PITCH * max(1, len(lines)) + 0.35) * font


def _labels(strip, labels, x, hand):
    """The labels of one side, moved apart."""
    wanted = [strip.at(speed) for speed, _ in labels]
    sizes = [_size(lines, strip.font) for _, lines in labels]
    middles = spread(wanted, sizes, strip.top, strip.foot)
    for (speed, lines), y, middle in zip(labels, wanted, middles, strict=True):
        yield from _label(speed, lines, x, y, middle, hand, strip.font)


def _label(speed, lines, x, y, middle, hand, font):
    """A number beside the scale and names beyond it, led to their point."""
    near, far = x + hand * _GAP * font, x + hand * (_GAP + _VALUE) * font
    anchor = "end" if hand < 0 else "start"
    start = x + hand * 0.35 * font
    yield Line(points=((start, y), (near - hand * 0.2 * font, middle)), role="leader")
    text = signed(speed, font, _VALUE * font, bold=True)
    yield Text(x=near, y=middle + 0.36 * font, text=text, size=font, anchor=anchor,
               bold=True)  # fmt: skip
    top = middle - high(lines, font) / 2 + 0.1 * font
    yield from written(lines, font, x=far, top=top, anchor=anchor)


# Words ----------------------------------------------------------------------------


def _notes(shift, loose, page):
    """What goes off, comes on and passes by itself, a line each."""
    train = shift.train
    did = dict.fromkeys(shift.off, "goes off")
    did |= dict.fromkeys(shift.on, "comes on")
    did |= dict(shift.by_itself) | dict(shift.backed_up)
    for doing, sign in (
        ("goes off", "−"),
        ("lets go", "−"),
        ("comes on", "+"),
        ("catches", "+"),
    ):
        for name in train.in_order({one for one in did if did[one] == doing}):
            yield f"{sign} {page.say(name)}: {page.say(doing)}"
    if loose and shift.step is not None:
        names = ", ".join(page.say(name) for name in loose)
        yield f"{page.say('not determined')}: {names}"


def _alt(shift, tracks, loose):
    if shift.step is None:
        return f"{shift.words} {STILL}"
    speeds = "; ".join(
        f"{listed(track.names, '')} {exactly(track.speeds[0])} to"
        f" {exactly(track.speeds[1])}"
        for track in tracks
    )
    free = f" Not determined: {listed(loose, '')}." if loose else ""
    return f"{shift.words} Speeds at one output speed, input before 1: {speeds}.{free}"
