"""How a role looks, per context, and which role and words a member has.

Colour is never alone: a role has a colour, a line style and, in the drawings, a
letter. Lines keep 3:1 on white, text 4.5:1. The colours are those of the
Okabe–Ito palette (values from memory); the light fills are tints of them, with an
outline round each.
"""

from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from ..train import CASE

FONT = "DejaVu Sans, Verdana, sans-serif"
WHITE = "#FFFFFF"
INK = "#1A1A1A"
MUTED = "#555555"

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
    "free": (GREY, (2, 2), "#F7F7F7"),
    "other": (INK, SOLID, "#F4F4F4"),
}
LETTERS = {"sun": "S", "carrier": "C", "ring": "R", "planet": "P"}

_FIXED = {
    "text": Style(fill=INK),
    "muted": Style(fill=MUTED),
    "case": Style(stroke=BLACK, width=2.0),
    "hatch": Style(stroke=INK, width=1.0),
    "ground": Style(stroke=BLACK, width=1.6, fill=WHITE),
    "ground ink": Style(stroke=BLACK, width=1.4),
    "axis": Style(stroke=BLACK, width=1.6),
    "scale": Style(stroke="#8A8A8A", width=1.0),
    "leader": Style(stroke="#8A8A8A", width=0.8),
    "lever": Style(stroke=INK, width=2.6),
    "lever?": Style(stroke=INK, width=2.0, dash=DOTTED),
    "bore": Style(stroke="#4D4D4D", width=0.9, fill=WHITE),
    "bore?": Style(stroke=GREY, width=1.1, dash=DOTTED, fill=WHITE),
    "rule": Style(stroke="#8A8A8A", width=0.8),
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
        return Style(stroke=WHITE, width=1.0, fill=colour)
    if what == "bar":
        return Style(stroke=colour, width=2.4, dash=dash, fill=colour)
    if what == "pin":
        return Style(stroke=colour, width=1.6, fill=WHITE)
    if what == "rim":
        return Style(stroke=colour, width=1.8, dash=dash, fill=tint)
    # Teeth are small: dashes would eat them, so only "not determined" breaks the line.
    return Style(stroke=colour, width=1.0, dash=DOTTED if unknown else (), fill=tint)


def is_held(flow, member):
    """Whether a member is kept still by the case itself, a brake or a one-way clutch.

    A member that merely stands still, or is clutched to one that is held, is not.
    """
    train, body = flow.train, flow.train.body_of[member]
    if body == CASE:
        return True
    if flow.speeds[member] != 0:
        return False
    at_work = flow.applied | flow.holding
    return any(
        name in at_work and {train.body_of[side] for side in part.sides} == {body, CASE}
        for name, part in train.by_name.items()
    )


def doing(flow, member):
    """What a member does: "held", "drives", "driven" or "free".

    A member drives if it carries power into its set, and is driven if it takes power
    out; what carries no power (or is not determined) is free.
    """
    if is_held(flow, member):
        return "held"
    torque, speed = _set_torques(flow).get(member), flow.speeds[member]
    if not torque or not speed:
        return "free"
    return "drives" if torque * speed > 0 else "driven"


@lru_cache(maxsize=256)
def _set_torques(flow):
    """{member of a simple set: the torque that its shaft puts on it}, where it follows.

    The torques of a set's sun, ring and carrier are as its tooth counts; one shaft
    after the other gives those of a set once all its other torques are known.
    """
    train = flow.train
    if flow.state != "drives":
        return {}
    outside = {body: Fraction(0) for body in train.body_of.values()}
    for name, torque in flow.torques.items():
        for body, sign in _ends(train, name):
            if torque is None or outside[body] is None:
                outside[body] = None
            else:
                outside[body] += sign * torque
    pulls = {}  # body: {set: torque per unit of the set's torque}
    for one in train.sets:
        if one.kind != "simple":
            return {}
        sun, ring = one.all_teeth["sun"], one.all_teeth["ring"]
        for short, pull in (("sun", sun), ("ring", ring), ("carrier", -sun - ring)):
            row = pulls.setdefault(train.body_of[one.member(short)], {})
            row[one.name] = row.get(one.name, 0) + pull
    found = {}
    for _ in train.sets:
        for body, row in pulls.items():
            open_sets = [name for name in row if name not in found and row[name]]
            if len(open_sets) == 1 and body != CASE and outside[body] is not None:
                rest = sum(row[name] * found[name] for name in row if name in found)
                found[open_sets[0]] = (outside[body] - rest) / row[open_sets[0]]
    return {
        one.member(short): found[one.name] * pull
        for one in train.sets
        if one.name in found
        for short, pull in (
            ("sun", one.all_teeth["sun"]),
            ("ring", one.all_teeth["ring"]),
            ("carrier", -one.all_teeth["sun"] - one.all_teeth["ring"]),
        )
    }


def _ends(train, name):
    """The bodies that a torque acts on, each with its sign."""
    if name in ("input", "output"):
        return ((train.body_of[getattr(train, name)], 1),)
    part = train.by_name.get(name)
    if part is None:
        return ()
    first, second = (train.body_of[side] for side in part.sides)
    if second == CASE or part in train.one_way_clutches:
        return ((first, 1), (second, -1))
    return ((first, -1), (second, 1))


def number(value):
    """A speed as the eye reads it: three decimals at most, and a true minus sign.

    >>> number(Fraction(17, 12)), number(Fraction(-3, 2)), number(Fraction(1))
    ('1.417', '−1.5', '1')
    """
    value = Fraction(value)
    text = f"{float(abs(value)):.3f}".rstrip("0").rstrip(".")
    return ("−" if value < 0 else "") + text


def signed(value):
    """The number with its sign shown; 0 has none."""
    return ("+" if value > 0 else "") + number(value)


def motion_word(flow, member):
    """ "forward", "backward", "held", "stands still" or "not determined"."""
    speed = flow.speeds[member]
    if speed is None:
        return "not determined"
    if speed:
        return "forward" if speed > 0 else "backward"
    return "held" if is_held(flow, member) else "stands still"


def motion_phrase(flow, member, many=False):
    """What a member does, for an alt sentence, with its exact speed.

    ``"turns forward 1.417 (17/12) per input turn"``, ``"stands still (held)"``.
    """
    speed, word = flow.speeds[member], motion_word(flow, member)
    verb, still = ("turn", "stand still") if many else ("turns", "stands still")
    if speed is None:
        return f"{'have' if many else 'has'} no determined speed"
    if not speed:
        return still + (" (held)" if word == "held" else "")
    exact = "" if (speed * 1000).denominator == 1 else f" ({abs(speed)})"
    return f"{verb} {word} {number(abs(speed))}{exact} per input turn"
