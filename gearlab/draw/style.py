"""How a role looks, per context, and which role and words a member has.

Colour is never alone: a role has a colour, a line style and, in the drawings, a
letter. Lines keep 3:1 on white, text 4.5:1. The colours are those of the
Okabe–Ito palette (values from memory); the light fills are tints of them, with an
outline round each.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property, lru_cache
from math import inf

from ..checks import known
from ..describe import roles
from ..gearset import GearSet
from ..numerals import exactly, number
from ..powerflow import PowerFlow
from .textwidth import fitted, text_width

ENDS = ("input", "output")
COLOURINGS = ("part", "role")

FONT = "DejaVu Sans, Verdana, sans-serif"
WHITE = "#FFFFFF"
INK = "#1A1A1A"

VERMILION = "#D55E00"
BLUE = "#0072B2"
BLACK = "#000000"
GREEN = "#00805E"
PURPLE = "#A0447A"
GREY = "#6B6B6B"

SOLID, DASHED, DASH_DOT, DOTTED = (), (6, 3.5), (9, 3, 2, 3), (1.5, 3)


@dataclass(frozen=True, kw_only=True)
class Context:
    """Where a picture is looked at: letter size [px] and a factor for line widths."""

    font: float
    line: float
    few_labels: bool = False


# 11, 18 and 9 point, at 96 px an inch.
CONTEXTS = {
    "screen": Context(font=11 * 4 / 3, line=1.0),
    "projector": Context(font=18 * 4 / 3, line=1.9, few_labels=True),
    "print": Context(font=9 * 4 / 3, line=0.8),
}


# Drawings of one context are equally wide, so that they stand in columns [px].
WIDTH = {"screen": 380.0, "projector": 600.0, "print": 320.0}
BIG_FONT = 30.0  # of the picture for the back row [px]


@dataclass(frozen=True, kw_only=True)
class Style:
    """Colours (None: not drawn), line width [px] and dashes [px] of a shape."""

    stroke: str | None = None
    width: float = 0.0
    dash: tuple[float, ...] = ()
    fill: str | None = None


# What a part is drawn in: line colour, line style, light fill.
PARTS = {
    "sun": (VERMILION, SOLID, "#FFEBDC"),
    "carrier": (BLUE, DASHED, "#E4F2FB"),
    "ring": (BLACK, DASH_DOT, "#EEEEEE"),
    "planet": ("#4D4D4D", SOLID, "#FFF9D6"),
    "drives": (GREEN, SOLID, "#DDF3EB"),
    "held": (BLACK, DASH_DOT, "#DCDCDC"),
    "driven": (PURPLE, DASHED, "#F9E6F0"),
    "free": (GREY, (12, 4), "#F7F7F7"),
    "other": (INK, SOLID, "#F4F4F4"),
}
LETTERS = {"sun": "S", "carrier": "C", "ring": "R", "planet": "P"}
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")

_FIXED = {
    "text": Style(fill=INK),
    "case": Style(stroke=BLACK, width=2.0),
    "hatch": Style(stroke=INK, width=1.0),
    "ground": Style(stroke=BLACK, width=1.5),
    "key": Style(stroke=WHITE, width=0.8, fill=BLACK),
    "axis": Style(stroke=BLACK, width=1.6),
    "scale": Style(stroke="#8A8A8A", width=1.0),
    "leader": Style(stroke="#8A8A8A", width=0.8),
    "lever": Style(stroke=INK, width=2.6),
    "lever?": Style(stroke=INK, width=2.2, dash=DOTTED),
    "clearing": Style(stroke=WHITE, width=6.0),
    "bore": Style(stroke="#4D4D4D", width=0.9, fill=WHITE),
    "bore?": Style(stroke=GREY, width=1.1, dash=DOTTED, fill=WHITE),
    "turning": Style(stroke=INK, width=1.5, fill=INK),
}


@lru_cache(maxsize=512)
def style(role, context="screen"):
    """The :class:`Style` of a role.

    A role is a name of this module, or a part or doing with what is drawn of it:
    ``"sun body"``, ``"ring rim"``, ``"carrier mark"``, ``"sun line"``. A ``"?"`` at
    its end means not determined, and is drawn dotted.
    """
    scale = CONTEXTS[context].line
    found = _FIXED.get(role) or _part_style(role)
    return Style(
        stroke=found.stroke,
        width=round(found.width * scale, 2),
        dash=tuple(round(length * (0.4 + 0.6 * scale), 1) for length in found.dash),
        fill=found.fill,
    )


def _part_style(role):
    part, what = role.rstrip("?").split(" ")
    colour, dash, tint = PARTS[part]
    if role.endswith("?"):
        dash = DOTTED
    unknown = role.endswith("?")
    if what == "mark":
        return Style(fill=colour, stroke=WHITE, width=0.8)
    if what == "line":
        return Style(stroke=colour, width=2.4, dash=dash)
    if what == "tip":
        if unknown:
            return Style(stroke=colour, width=1.6, fill=WHITE)
        return Style(stroke=WHITE, width=1.0, fill=colour)
    if what == "pin":
        return Style(stroke=colour, width=1.6, fill=WHITE)
    if what == "rim":
        return Style(stroke=colour, width=1.8, dash=dash, fill=tint)
    # Teeth are small: dashes would eat them, so only "not determined" breaks the line.
    return Style(stroke=colour, width=1.0, dash=(2, 1.6) if unknown else (), fill=tint)


@dataclass(frozen=True, kw_only=True)
class View:
    """What a drawing of one set was asked for, and what it says of each member.

    Members go by their short names here. It reads the flow and solves nothing.
    """

    flow: PowerFlow
    gear_set: GearSet
    end: str = "input"
    context: str = "screen"
    labels: bool = True
    big: bool = False
    colour_by: str = "part"

    def __post_init__(self):
        known(self.end, ENDS, "end")
        known(self.context, CONTEXTS, "context")
        known(self.colour_by, COLOURINGS, "colouring")

    @property
    def font(self):
        """The letter size [px]."""
        return BIG_FONT if self.big else CONTEXTS[self.context].font

    @property
    def few(self):
        """Whether only the most needed labels are drawn."""
        return self.big or CONTEXTS[self.context].few_labels

    @property
    def hand(self):
        """1, or −1 where the picture is mirrored."""
        return 1 if self.end == "input" else -1

    @property
    def title(self):
        """What the set is called at the top: "Front set"."""
        name = self.gear_set.name[:1].upper() + self.gear_set.name[1:]
        return name if name.lower().endswith("set") else f"{name} set"

    @cached_property
    def _does(self):
        return roles(self.flow)

    def speed(self, short):
        """Turns per input turn, or None."""
        return self.flow.speeds[self.gear_set.member(short)]

    def turn(self, short):
        """Turns on the screen per input turn, clockwise."""
        return self.hand * float(self.flow.one_motion[self.gear_set.member(short)])

    def held(self, short):
        """Whether the case, a brake or a one-way clutch keeps it still."""
        return self._does[self.gear_set.member(short)] == "held"

    def dotted(self, short):
        """The end of its role: a "?" where its speed is not determined."""
        return "?" if self.speed(short) is None else ""

    def role(self, short, what):
        """The role of something drawn of a member."""
        part = short if short in PARTS else "other"
        if self.colour_by == "role" and short != "planet":
            does = self._does[self.gear_set.member(short)]
            part = does if does in PARTS else "free"
        return f"{part} {what}{self.dotted(short)}"

    def word(self, short):
        """How it turns, or what it does where colours say that, in a word or two."""
        does = self._does[self.gear_set.member(short)]
        speed = self.speed(short)
        if speed is None:
            return "not determined"
        if does == "held":
            return "held"
        if not speed:
            return "stands still"
        if self.colour_by == "role" and short != "planet":
            return does
        return "forward" if speed > 0 else "backward"

    def phrase(self, short, many=False):
        """How it turns, for an alt sentence, with its exact speed."""
        speed = self.speed(short)
        if speed is None:
            return f"{'have' if many else 'has'} no determined speed"
        if not speed:
            still = "stand still" if many else "stands still"
            return still + (" (held)" if self.held(short) else "")
        way = "forward" if speed > 0 else "backward"
        turns = "turn" if many else "turns"
        return f"{turns} {way} {exactly(abs(speed))} per input turn"

    def alt(self, what="", planets=True):
        """The sentence that carries the numbers, for a drawing named `what`."""
        one, parts = self.gear_set, []
        simple = one.kind == "simple"
        for short in ("sun", "carrier", "ring") if simple else one.members:
            teeth = one.all_teeth.get(short)
            having = f" with {teeth} teeth" if teeth else ""
            parts.append(f"{short}{having} {self.phrase(short)}")
        text = f"{self.title}{what} seen from the {self.end} end: {', '.join(parts)}"
        if simple and planets:
            count = one.planets
            number = _COUNTS[count] if count and count < len(_COUNTS) else count
            words = "planet" if count == 1 else "planets"
            words += f" with {one.all_teeth['planet']} teeth"
            words = f"{number} {words}" if count else words
            text += f"; {words} {self.phrase('planet', many=count != 1)}"
        if self.flow.state != "drives":
            text += f". The train: {self.flow.state}"
        return text + "."


def signed(value, size=1.0, room=inf, bold=False):
    """A number with its sign shown, rounded until it fits into `room` px.

    >>> signed(Fraction(17, 12)), signed(Fraction(-5, 3), 10, 30), signed(Fraction(0))
    ('+1.417', '−1.7', '0')
    """
    sign = "+" if value > 0 else ""
    text = sign + number(value)
    for digits in (2, 1, 0):
        if text_width(text, size, bold) <= room:
            return text
        text = sign + number(round(Fraction(value), digits))
    return fitted(text, size, room, bold)
