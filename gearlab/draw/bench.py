"""The whole bench in one picture: every set's end view, and what is applied."""

from ..base.frozenmap import FrozenMap
from ..solve.facts import element_states
from ..solve.powerflow import a_flow
from .endview.drawing import draw_end_view
from .kit.page import Page, headline
from .kit.shapes import Group
from .kit.textwidth import wrapped

COLUMNS = 2
LINE = 1.7  # from one line of the list to the next, in letter sizes


def draw_bench(
    flow, *, end="input", context="print", colour_by="part", words=FrozenMap()
):
    """The end views of all sets beside a list of what is applied, for a printed page.

    Parameters
    ----------
    flow : PowerFlow
    end : "input" or "output", the end it is looked at from
    context : "screen", "projector", "print" or "class" (for the back row)
    colour_by : "part", "role" (what a member does in its set) or "paint"
    words : what is written instead of an English text

    Returns
    -------
    Scene, whose groups turn with the input turns

    Raises
    ------
    ValueError
        An unknown end, context or colouring.
    """
    a_flow(flow)
    page = Page(context=context, words=words)
    look = {"end": end, "context": context, "colour_by": colour_by, "words": words}
    views = [draw_end_view(flow, one.name, **look) for one in flow.train.sets]
    panels = [(view.shapes, view.height) for view in views]
    panels.append(_legend(flow, page))
    width, top, shapes = page.column, 0.0, []
    for start in range(0, len(panels), COLUMNS):
        beside = panels[start : start + COLUMNS]
        for column, (panel, _) in enumerate(beside):
            shapes.append(Group(x=column * width, y=top, shapes=tuple(panel)))
        top += max(height for _, height in beside)
    alt = f"{headline(flow)}. {' '.join(view.alt for view in views)}"
    return page.scene(COLUMNS * width, top, shapes, alt)


def _legend(flow, page):
    """The headline and the state of every element, as shapes with their height."""
    font, room = page.font, page.column - 3 * page.font
    headlines = wrapped(headline(flow, page.words), font, room, bold=True)
    lines = [(line, True) for line in headlines]
    for name, state in element_states(flow).items():
        text = f"{page.say(name)}: {page.say(state)}"
        bold = state not in ("released", "at rest", "carries nothing")
        lines += [(line, bold) for line in wrapped(text, font, room, bold)]
    shapes, y = [], 0.3 * font
    for line, bold in lines:
        more, y = page.below(y, [line], LINE, x=2 * font, bold=bold)
        shapes += more
    return shapes, y + 2.7 * font
