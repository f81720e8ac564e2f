"""The whole bench in one picture: every set's end view, and what is applied."""

from ..base.frozenmap import FrozenMap
from ..solve.facts import element_states
from ..solve.powerflow import a_flow
from .endview.drawing import draw_end_view
from .kit.given import some_words
from .kit.scene import Scene
from .kit.shapes import Group, Text
from .kit.style import CONTEXTS, WIDTH
from .kit.textwidth import wrapped
from .kit.view import headline, said

COLUMNS = 2


def draw_bench(
    flow, *, end="input", context="print", colour_by="part", words=FrozenMap()
):
    """The end views of all sets beside a list of what is applied, for a printed page.

    Parameters
    ----------
    flow : PowerFlow
    end : "input" or "output", the end it is looked at from
    context : "screen", "projector" or "print"
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
    a_flow(flow), some_words(words)
    look = {"end": end, "context": context, "colour_by": colour_by, "words": words}
    views = [draw_end_view(flow, one.name, **look) for one in flow.train.sets]
    panels = [(view.shapes, view.height) for view in views]
    panels.append(_legend(flow, context, words))
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
        alt=f"{headline(flow)}. {' '.join(view.alt for view in views)}",
        context=context,
    )


def _legend(flow, context, words):
    """The headline and the state of every element, as shapes with their height."""
    font = CONTEXTS[context].font
    room = WIDTH[context] - 3 * font
    headlines = wrapped(headline(flow, words), font, room, bold=True)
    lines = [(line, True) for line in headlines]
    for name, state in element_states(flow).items():
        text = f"{said(words, name)}: {said(words, state)}"
        bold = state not in ("released", "at rest", "carries nothing")
        lines += [(line, bold) for line in wrapped(text, font, room, bold)]
    shapes = [
        Text(x=2 * font, y=(2 + 1.7 * i) * font, text=line, size=font, bold=bold)
        for i, (line, bold) in enumerate(lines)
    ]
    return shapes, (3 + 1.7 * len(lines)) * font
