"""The levers of a train without a speed, for whoever draws the speeds by hand."""

from itertools import chain
from math import ceil, floor

from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.levers import levers
from ...solve.powerflow import power_flow, range_flows
from ...train.train import a_train
from ..kit.shapes import Circle
from .frame import heading, label_column, lever_title, without_lever
from .look import INDENT, LINE, LeverLook
from .parts import SPEEDS, SpeedScale, foot, label_lines, labels, reach, rows_of, scales
from .parts import scale_numbers as numbers

_LENGTH = 13.0  # of a lever, in letter sizes
_MOST = 9  # lines of speeds that are told apart
_STEPS = (1, 2, 5, 10, 20, 50, 100)  # between two of them


def draw_blank_levers(train, *, end="input", context="screen", words=FrozenMap()):
    """The levers of a train with their members and a scale, and no speed on them.

    The scale has room for every range, so it tells of none.

    Parameters
    ----------
    train : Train
    end : "input" (forward is to the right) or "output" (mirrored)
    context : "screen", "projector", "print" or "class" (for the back row)
    words : ``{English text: what is written instead}``

    Raises
    ------
    ValueError
        Something that is no train, or an unknown end or context.
    """
    rest = power_flow(a_train(train), applied=())
    look = LeverLook(flow=rest, end=end, context=context, words=words)
    found, font, width = levers(train), look.font, 2 * look.column
    shapes, y = heading(look, look.say("Levers"), width)
    plot = _plot(look, found, width)
    for lever in found:
        more, y = _lever(look, lever, plot, found, y)
        shapes += more
    if found:
        more, y = foot(look, SPEEDS, False, plot.right, y, plot.right - 0.8 * font)
        shapes += more
    without, y = without_lever(look, found, width, y)
    alt = " ".join([f"Levers of {train.name} to fill in, without speeds.",
                    *map(_told, found)])  # fmt: skip
    return look.scene(width, y + 0.8 * font, shapes + without, alt)


def _told(lever):
    nodes = listed([listed(node.members, "") or node.body for node in lever.nodes], "")
    return f"Lever of {listed(lever.sets, '')}, in this order: {nodes}."


def _plot(look, found, width):
    """The scale from the slowest to the fastest that a member turns in any range."""
    flows = chain.from_iterable(
        row.values() for row in range_flows(look.flow.train).values()
    )
    bodies = {node.body for lever in found for node in lever.nodes}
    speeds = [
        flow.speeds[body] for flow in flows for body in bodies if body in flow.speeds
    ]
    slowest, fastest = reach([0, *(one for one in speeds if one is not None)])
    return SpeedScale(
        left=label_column(look, found) + 1.9 * look.font,
        right=width - 1.6 * look.font,
        slowest=min(-1, floor(slowest)),
        fastest=max(2, ceil(fastest)),
        hand=look.hand,
    )


def _lever(look, lever, plot, found, y):
    """A lever below `y`, a dot for each of its nodes, and where it ends."""
    font = look.font
    column = label_column(look, found)
    shapes, y = lever_title(look, lever, column, y)
    room = column - INDENT * font
    blocks = [label_lines(look, node, room, value=False) for node in lever.nodes]
    rows = rows_of(lever, blocks, y, font, _LENGTH)
    high, low = rows.nodes[0] - 0.9 * font, rows.nodes[-1] + 0.9 * font
    marks = _marks(plot)
    shapes += scales(plot, marks, high, low)
    axis = plot.across(0)
    ends = [axis - 0.4 * font] * len(blocks)
    shapes += labels(look, lever, blocks, rows, column, ends)
    shapes += [Circle(x=axis, y=at, r=0.22 * font, role="turning") for at in rows.nodes]
    y = max(rows.end, low) + 1.1 * font
    shapes += numbers(plot, marks, y, font)
    return shapes, y + LINE * font


def _marks(plot):
    """The whole speeds that have a line."""
    span = plot.fastest - plot.slowest
    step = next((one for one in _STEPS if span / one < _MOST), int(span))
    first = -(-plot.slowest // step) * step
    return [
        int(first + step * n) for n in range(int((plot.fastest - first) // step) + 1)
    ]
