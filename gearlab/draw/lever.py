"""The lever diagram: a lever a gear set, its nodes apart as the tooth counts.

Sun and carrier are as far apart as the ring has teeth, carrier and ring as the sun
has; then the mesh law says that the tips of the three speeds lie on one line.
"""

from .endview import heading, speeds_only
from .scene import Circle, Group, Line, Polygon, Scene, Text, ground
from .style import LETTERS, WIDTH
from .view import View, signed

NODES = ("sun", "carrier", "ring")
_LENGTH = 12.0  # of a lever, in letter sizes
_LEAST_GAP = 2.6  # between two labels, in letter sizes


def draw_lever(flow, set_name, *, end="input", context="screen"):
    """The lever of one simple set; speeds are lengths from the case line.

    Parameters
    ----------
    flow : PowerFlow
    set_name : the name of a gear set of its train
    end : "input" (forward is to the right) or "output" (mirrored)
    context : "screen", "projector" or "print"

    Returns
    -------
    Scene. All sets of a train are drawn to one scale. Where a speed is not determined
    the lever is dotted: one motion of many.

    Raises
    ------
    ValueError
        An unknown set, end or context.
    """
    gear_set = flow.train.set(set_name)
    view = View(flow=flow, gear_set=gear_set, end=end, context=context)
    if gear_set.kind != "simple":
        return speeds_only(view, "No lever is drawn for this set.")
    font, width = view.font, WIDTH[context]
    left, right = 12.3 * font, width - 1.2 * font
    slowest, fastest = _reach(flow)
    scale = (right - left) / (fastest - slowest)

    def across(speed):
        x = left + (float(speed) - slowest) * scale
        return x if end == "input" else left + right - x

    top = 4.9 * font
    sun, ring = gear_set.all_teeth["sun"], gear_set.all_teeth["ring"]
    tooth = _LENGTH * font / (sun + ring)
    heights = [top, top + tooth * ring, top + tooth * (sun + ring)]
    bottom = heights[-1] + 0.9 * font
    shapes = heading(view, f"{view.title}: lever")
    shapes += _scales(view, across, top - 0.9 * font, bottom, scale)
    tips = []
    for short, y in zip(NODES, heights, strict=True):
        tip = across(flow.one_motion[gear_set.member(short)])
        tips.append((tip, y))
        shapes += _speed(view, short, across(0), tip, y)
    dotted = any(view.dotted(short) for short in NODES)
    lever = tips[0], tips[-1]
    if dotted:
        # Dots on the case line would be lost on it.
        shapes.append(Line(points=lever, role="clearing"))
    shapes.append(Line(points=lever, role="lever?" if dotted else "lever"))
    for short, tip in zip(NODES, tips, strict=True):
        shapes.append(_tip(short, *tip, 0.36 * font, view.role(short, "tip")))
    for short, y, at in zip(NODES, heights, _apart(heights, font), strict=True):
        shapes += _label(view, short, y, at)
    words = "one motion of many, dotted" if dotted else "turns per input turn, forward"
    words = f"{words} →" if end == "input" else f"← {words}"
    shapes.append(
        Text(x=right, y=bottom + 2.7 * font, text=words, size=font, anchor="end")
    )
    return Scene(
        width=width,
        height=round(bottom + 3.3 * font),
        shapes=tuple(shapes),
        alt=view.alt(", lever diagram,", planets=False),
        context=context,
    )


def _reach(flow):
    """The slowest and fastest speed that any lever of the train must show."""
    speeds = [
        flow.one_motion[one.member(short)]
        for one in flow.train.sets
        if one.kind == "simple"
        for short in NODES
    ]
    return float(min(0, *speeds)), float(max(1, *speeds))


def _scales(view, across, top, bottom, scale):
    """The case line at speed 0 and the light line at the input's speed."""
    font = view.font
    yield Line(points=((across(1), top), (across(1), bottom)), role="scale")
    yield Line(points=((across(0), top), (across(0), bottom)), role="axis")
    y = bottom + 1.2 * font
    yield Text(x=across(0), y=y, text="0", size=font, anchor="middle")
    if scale > 1.2 * font:
        yield Text(x=across(1), y=y, text="1", size=font, anchor="middle")


def _speed(view, short, start, tip, y):
    """A speed as a length from the case line; the ground sign where it is held."""
    if tip != start:
        yield Line(points=((start, y), (tip, y)), role=view.role(short, "line"))
    if view.held(short):
        # Turned so that it hangs on the side where backward speeds would be.
        sign = (ground(1.2 * view.font),)
        x = start - 0.72 * view.font * view.hand
        yield Group(x=x, y=y, start=90.0 * view.hand, shapes=sign)


def _tip(short, x, y, r, role):
    """The node's sign: a disc for the sun, a square carrier, a diamond ring."""
    if short == "sun":
        return Circle(x=x, y=y, r=r, role=role)
    if short == "carrier":
        s = 0.88 * r
        corners = ((x - s, y - s), (x + s, y - s), (x + s, y + s), (x - s, y + s))
    else:
        s = 1.25 * r
        corners = ((x, y - s), (x + s, y), (x, y + s), (x - s, y))
    return Polygon(points=corners, role=role)


def _apart(heights, font):
    """The heights of the labels: the nodes' own, moved apart where they are close."""
    low, middle, high = heights
    least = _LEAST_GAP * font
    return low, min(max(middle, low + least), high - least), high


def _label(view, short, y, at):
    """A node's name and speed left of the drawing."""
    font, speed, word = view.font, view.speed(short), view.word(short)
    teeth = view.gear_set.all_teeth.get(short)
    value = word if speed is None else signed(speed) if speed else f"0 ({word})"
    if abs(at - y) > 1:
        yield Line(points=((11.3 * font, at), (12.0 * font, y)), role="leader")
    name, line = f"{short} {teeth}" if teeth else short, at - 0.2 * font
    yield Text(x=0.8 * font, y=line, text=LETTERS[short], size=font, bold=True)
    yield Text(x=2.2 * font, y=line, text=name, size=font)
    yield Text(x=2.2 * font, y=at + 1.05 * font, text=value, size=font)
