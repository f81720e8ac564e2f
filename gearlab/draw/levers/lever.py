"""The lever diagram of one gear set, its nodes apart as the tooth counts.

Of a simple set, sun and carrier are as far apart as the ring has teeth, carrier and
ring as the sun has; then the mesh law says that the tips of the speeds lie on one line.
"""

from ...base.frozenmap import FrozenMap
from ...solve.levers import set_lever
from ...solve.powerflow import a_flow
from ..kit.setpage import heading, speeds_only
from ..kit.view import View
from .look import INDENT, LeverLook
from .parts import (
    SPEEDS,
    SpeedScale,
    foot,
    label_lines,
    labels,
    reach,
    rows_of,
    scale_numbers,
    scales,
    speeds,
    stops,
)

_LENGTH, _COLUMN = 12.0, 12.8  # of a lever, of the labels, in letter sizes


def draw_lever(
    flow,
    set_name,
    *,
    end="input",
    context="screen",
    colour_by="part",
    words=FrozenMap(),
):
    """The lever of one gear set; speeds are lengths from the case line.

    Parameters
    ----------
    flow : PowerFlow
    set_name : the name of a gear set of its train
    end : "input" (forward is to the right) or "output" (mirrored)
    context : "screen", "projector", "print" or "class" (for the back row)
    colour_by : "part", "role" (what it does for the set) or "paint"
    words : ``{English text: what is written instead}``

    Returns
    -------
    Scene. All sets of a train are drawn to one scale. Where a speed is not determined
    the lever is dotted: one motion of many. A set that is no lever has its speeds only.

    Raises
    ------
    ValueError
        An unknown set, end, context or colouring.
    """
    a_flow(flow)
    view = View(
        flow=flow,
        gear_set=flow.train.set(set_name),
        end=end,
        context=context,
        colour_by=colour_by,
        words=words,
    )
    look = LeverLook(**view.asked)
    lever = set_lever(flow.train, set_name)
    if lever is None:
        return speeds_only(view, "No lever is drawn for this set.")
    font, width = view.font, view.column
    slowest, fastest = reach(_all_speeds(look))
    plot = SpeedScale(
        left=(_COLUMN + 1.7) * font,
        # Room for the sign of a held node, which hangs on the backward side.
        right=width - (0.9 if end == "input" else 1.6) * font,
        slowest=slowest,
        fastest=fastest,
        hand=view.hand,
    )
    blocks = [
        label_lines(look, node, (_COLUMN - INDENT) * font, _names(view, node))
        for node in lever.nodes
    ]
    rows = rows_of(lever, blocks, 3.9 * font, font, _LENGTH)
    top, bottom = rows.nodes[0] - 0.9 * font, rows.nodes[-1] + 0.9 * font
    shapes = heading(view, f"{view.shown_title}: {look.say('lever')}")
    # The input's line first, then the case line, which must not be hidden.
    shapes += scales(plot, (1, 0), top, bottom)
    shapes += scale_numbers(plot, (0, 1), bottom + 1.2 * font, font)
    shapes += speeds(look, lever, rows, plot)
    shapes += labels(
        look, lever, blocks, rows, _COLUMN * font, stops(look, lever, plot)
    )
    dotted = any(map(look.dotted, lever.nodes))
    low = max(bottom + 1.4 * font, rows.end - 0.3 * font)
    more, low = foot(look, SPEEDS, dotted, plot.right, low, plot.right - 0.8 * font)
    return look.scene(width, low + 0.6 * font, (*shapes, *more), _alt(view, lever))


def _all_speeds(look):
    """The speeds that any lever of the train must show."""
    found = [set_lever(look.flow.train, one.name) for one in look.flow.train.sets]
    return [look.drawn_speed(n) for lever in found if lever for n in lever.nodes]


def _short(view, member):
    return member.removeprefix(f"{view.gear_set.name} ")


def _teeth(view, short):
    return view.gear_set.all_teeth.get(short.replace(" ", "-"))


def _names(view, node):
    """The members of a node as they are called in their set, with their teeth."""
    shorts = [_short(view, member) for member in node.members]
    return [f"{view.say(s)} {_teeth(view, s) or ''}".strip() for s in shorts]


def _alt(view, lever):
    """The sentence that carries the numbers."""
    parts = []
    for node in lever.nodes:
        for member in node.members:
            short = _short(view, member)
            teeth = _teeth(view, short)
            having = f" with {teeth} teeth" if teeth else ""
            parts.append(f"{short}{having} {view.phrase(short)}")
    text = f"{view.title}, lever diagram, seen from the {view.end} end"
    text = f"{text}: {', '.join(parts)}"
    if view.flow.state != "drives":
        text += f". The train: {view.flow.state}"
    return text + "."
