"""The whole bench in one picture: every set's end view, and what is applied."""

from ..describe import element_states, title
from ..numerals import exactly
from .endview import draw_end_view
from .scene import Group, Scene, Text
from .style import CONTEXTS, WIDTH
from .textwidth import wrapped

COLUMNS = 2


def draw_bench(flow, *, end="input", context="print"):
    """The end views of all sets beside a list of what is applied, for a printed page.

    Parameters
    ----------
    flow : PowerFlow
    end : "input" or "output", the end it is looked at from
    context : "screen", "projector" or "print"

    Returns
    -------
    Scene, whose groups turn with the input turns

    Raises
    ------
    ValueError
        An unknown end or context.
    """
    views = [
        draw_end_view(flow, one.name, end=end, context=context)
        for one in flow.train.sets
    ]
    panels = [(view.shapes, view.height) for view in views] + [_legend(flow, context)]
    width, top, shapes = WIDTH[context], 0.0, []
    for start in range(0, len(panels), COLUMNS):
        beside = panels[start : start + COLUMNS]
        for column, (panel, _) in enumerate(beside):
            shapes.append(Group(x=column * width, y=top, shapes=tuple(panel)))
        top += max(height for _, height in beside)
    return Scene(
        width=COLUMNS * width,
        height=top,
        shapes=tuple(shapes),
        alt=f"{_headline(flow)}. {' '.join(view.alt for view in views)}",
        context=context,
    )


def _headline(flow):
    load = "under power" if flow.load == "drive" else "coasting"
    ratio = f"ratio {exactly(flow.ratio)}" if flow.ratio is not None else flow.state
    return f"{title(flow)}, {load}: {ratio}"


def _legend(flow, context):
    """The headline and the state of every element, as shapes with their height."""
    font = CONTEXTS[context].font
    room = WIDTH[context] - 3 * font
    lines = [(line, True) for line in wrapped(_headline(flow), font, room, bold=True)]
    for name, state in element_states(flow).items():
        text = f"{name}: {state}"
        bold = state not in ("released", "carries nothing")
        lines += [(line, bold) for line in wrapped(text, font, room, bold)]
    shapes = [
        Text(x=2 * font, y=(2 + 1.7 * i) * font, text=line, size=font, bold=bold)
        for i, (line, bold) in enumerate(lines)
    ]
    return shapes, (3 + 1.7 * len(lines)) * font
