"""How a role looks, per context.

Colour is never alone: a role has a colour, a line style and, in the drawings, a
letter. Lines keep 3:1 on white, text 4.5:1. The colours are those of a public palette
that stays apart in the common colour-vision deficiencies (values from memory); the
light fills are tints of them, with an outline round each.
"""

from dataclasses import dataclass
from functools import lru_cache

FONT = "DejaVu Sans, Verdana, sans-serif"
WHITE = "#FFFFFF"
INK = "#1A1A1A"

VERMILION = "#D55E00"
BLUE = "#0072B2"
BLACK = "#000000"
GREEN = "#00805E"
PURPLE = "#A0447A"
GREY = "#6B6B6B"
SKY, ORANGE, YELLOW = "#56B4E9", "#E69F00", "#F0E442"  # fills with an outline only

SOLID, DASHED, DASH_DOT, DOTTED = (), (6, 3.5), (9, 3, 2, 3), (1.5, 3)
BARRED = (1.8, 2.4)  # with a thick line: bars side by side, as in the hatched case


@dataclass(frozen=True, kw_only=True)
class Context:
    """Where a picture is looked at: letter size [px] and a factor for line widths.

    `frame` is the width and height that a picture alone is to keep to [px]; its symbols
    are drawn smaller for that.
    """

    font: float
    line: float
    few_labels: bool = False
    frame: tuple[float, float] | None = None


# 11, 18 and 9 point, at 96 px an inch. The last one is for the back row: a letter is
# 1/25 as high as a screen of 1920 × 1080 px on which a picture fills its frame.
CONTEXTS = {
    "screen": Context(font=11 * 4 / 3, line=1.0),
    "projector": Context(font=18 * 4 / 3, line=1.9, few_labels=True),
    "print": Context(font=9 * 4 / 3, line=0.8),
    "class": Context(font=1080 / 25, line=2.4, few_labels=True, frame=(1860.0, 800.0)),
}


# Drawings of one context are equally wide, so that they stand in columns [px].
WIDTH = {"screen": 380.0, "projector": 600.0, "print": 320.0, "class": 1100.0}
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
    "held": (BLACK, BARRED, "#DCDCDC"),
    "driven": (PURPLE, DASHED, "#F9E6F0"),
    "free": (GREY, (12, 4), "#F7F7F7"),
    "still": (INK, (3, 2), "#ECECEC"),
    "unknown": (GREY, DOTTED, WHITE),
    "other": (INK, SOLID, "#F4F4F4"),
    "path": ("#777777", SOLID, "#EEEEEE"),
}
_LINES, _RIMS = {"held": 6.0}, {"held": 4.0}  # widths of what is barred
# Lines of ranges side by side: no two of 16 have both colour and dashes alike.
_LONG = (12, 4)
RANGE_LINES = tuple(
    (
        (BLUE, VERMILION, GREEN, PURPLE)[i % 4],
        (SOLID, DASHED, DASH_DOT, _LONG)[(i + i // 4) % 4],
    )
    for i in range(16)
)
LETTERS = {"sun": "S", "carrier": "C", "ring": "R", "planet": "P"}

_FIXED = {
    "text": Style(fill=INK),
    "touch": Style(),
    "case": Style(stroke=BLACK, width=2.0),
    "hatch": Style(stroke=INK, width=1.0),
    "held hatch": Style(stroke=INK, width=1.2),
    "ground": Style(stroke=BLACK, width=1.5),
    "axis": Style(stroke=BLACK, width=1.6),
    "scale": Style(stroke="#8A8A8A", width=1.0),
    "leader": Style(stroke="#8A8A8A", width=0.8),
    "lever": Style(stroke=INK, width=2.6),
    "lever?": Style(stroke=INK, width=2.2, dash=DOTTED),
    "clearing": Style(stroke=WHITE, width=6.0),
    "bore": Style(stroke="#4D4D4D", width=0.9, fill=WHITE),
    "bore?": Style(stroke=GREY, width=1.1, dash=DOTTED, fill=WHITE),
    "bevel tooth": Style(stroke="#4D4D4D", width=0.9),
    "badge": Style(stroke=INK, width=0.8, fill=WHITE),
    "centre line": Style(stroke=GREY, width=1.0, dash=(14, 3, 2, 3)),
    "thread": Style(stroke=WHITE, width=1.6),
    "stripe": Style(stroke=WHITE, width=2.0),
    "fights ring": Style(stroke=VERMILION, width=2.4),
    "turning": Style(stroke=INK, width=1.5, fill=INK),
    "force": Style(stroke=INK, width=3.4, fill=INK),
    "link": Style(stroke=GREY, width=1.6, dash=(7, 3)),
    "open": Style(stroke=INK, width=1.4, fill=WHITE),
    "applied": Style(stroke=INK, width=1.4, fill=SKY),
    "holds": Style(stroke=INK, width=1.4, fill=ORANGE),
    "overruns": Style(stroke=INK, width=1.4, fill=WHITE),
    "backs up": Style(stroke=INK, width=1.4, dash=(3, 2), fill=WHITE),
    "knob": Style(stroke=INK, width=2.2, fill=WHITE),
    "knob ring": Style(stroke=INK, width=1.4, fill="#C8C8C8"),
    "at rest": Style(stroke=GREY, width=1.4, fill=WHITE),
    "fights": Style(stroke=INK, width=2.2, fill=YELLOW),
    "used cell": Style(stroke=INK, width=1.4, fill="#FFF6CC"),
    "forward bar": Style(stroke=INK, width=1.2, fill=SKY),
    "backward bar": Style(stroke=INK, width=1.2, fill="#FFE0A3"),
    "track 1": Style(stroke=INK, width=1.8),
    "track 2": Style(stroke=INK, width=1.8, dash=DASHED),
    "track 3": Style(stroke=INK, width=1.8, dash=DASH_DOT),
    "track 4": Style(stroke=GREY, width=1.8, dash=DOTTED),
    "input curve": Style(stroke=INK, width=1.8),
    "output curve": Style(stroke=BLUE, width=2.2, dash=(9, 2.5)),
    "range band": Style(stroke="#707070", width=0.5, fill="#EAEAEA"),
    "grid": Style(stroke="#8A8A8A", width=0.4),
    "shift end": Style(stroke=INK, width=1.2, dash=DOTTED),
    "fault bar": Style(stroke=VERMILION, width=4.0),
    "moment": Style(stroke=VERMILION, width=2.2),
    "marked row": Style(stroke=INK, width=1.6, fill="#FFF6CC"),
}

_FIXED |= {
    f"{what} {i}": Style(stroke=colour, width=2.2, dash=dash)
    for what in ("range", "curve")  # a straight line across levers, a curve of a plot
    for i, (colour, dash) in enumerate(RANGE_LINES)
}


@lru_cache(maxsize=512)
def style(role, context="screen"):
    """The :class:`Style` of a role.

    A role is a name of this module, or a part or doing with what is drawn of it:
    ``"sun body"``, ``"ring rim"``, ``"carrier mark"``, ``"sun line"``. A ``"?"`` at
    its end means not determined, and is drawn dotted. A part may carry the paint of
    its own that it has on the bench, ``"ring#d22630 rim"``, or none, ``"ring# rim"``.
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
    part, painted, paint = part.partition("#")
    line, dash, tint = PARTS[part]
    edge = mark = line
    if painted:
        # Whatever the paint, an outline in ink stands out from it and from white.
        edge = mark = INK
        line, _, tint = PARTS["other"]
        if paint:
            line = _mixed(f"#{paint}", "#000000", lambda light: light <= 0.3)
            tint = _mixed(f"#{paint}", WHITE, lambda light: light >= 0.23)
    unknown = role.endswith("?")
    if unknown:
        dash = DOTTED
    if what == "mark":
        return Style(fill=mark, stroke=WHITE, width=0.8)
    if what == "line":
        return Style(stroke=line, width=_LINES.get(part, 2.4), dash=dash)
    if what == "band":
        return Style(fill=line)
    if what == "tip":
        if unknown:
            return Style(stroke=line, width=1.6, fill=WHITE)
        return Style(stroke=WHITE, width=1.0, fill=line)
    if what == "pin":
        return Style(stroke=edge, width=1.6, fill=WHITE)
    if what == "rim":
        return Style(stroke=edge, width=_RIMS.get(part, 1.8), dash=dash, fill=tint)
    # Teeth are small: dashes would eat them, so only "not determined" breaks the line.
    # A gear at the back has a thinner line than the one in front of it.
    dash, width = (2, 1.6) if unknown else (), 0.6 if what == "back" else 1.0
    return Style(stroke=edge, width=width, dash=dash, fill=tint)


def _mixed(colour, other, enough):
    """A colour with as little of another in it as its relative luminance asks for.

    Lines keep 3:1 on white up to a luminance of 0.3; ink keeps 4.5:1 from 0.23 on.
    """
    for part in range(21):
        ways = [
            round(a + (b - a) * part / 20)
            for a, b in zip(_channels(colour), _channels(other), strict=True)
        ]
        parts = [way / 255 for way in ways]
        parts = [
            way / 12.92 if way <= 0.04045 else ((way + 0.055) / 1.055) ** 2.4
            for way in parts
        ]
        if enough(0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]):
            break
    return "#" + "".join([f"{way:02x}" for way in ways])


def _channels(colour):
    return [int(colour[at : at + 2], 16) for at in (1, 3, 5)]
