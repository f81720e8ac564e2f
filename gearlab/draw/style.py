"""How a role looks, per context.

Colour is never alone: a role has a colour, a line style and, in the drawings, a
letter. Lines keep 3:1 on white, text 4.5:1. The colours are those of the
Okabe–Ito palette (values from memory); the light fills are tints of them, with an
outline round each.
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
