"""What stands round the levers of a train: headings, titles, the width of labels."""

from ..kit.shapes import Text
from ..kit.textwidth import text_width, wrapped
from .look import INDENT, LINE

_COLUMN = 16.5  # of labels at most, in letter sizes


def heading(look, words, width, state="drives"):
    """The texts at the top of a wide drawing, and the height below them [px]."""
    font = look.font
    room, y, shapes = width - 1.6 * font, 0.2 * font, []
    for line in wrapped(words, 1.1 * font, room, True):
        y += 1.4 * font
        shapes.append(Text(x=0.8 * font, y=y, text=line, size=1.1 * font, bold=True))
    seen = look.said(f"seen from the {look.end} end")
    if state != "drives":
        seen += f" · {look.said(state)}"
    y += 1.5 * font
    shapes.append(Text(x=0.8 * font, y=y, text=seen, size=font))
    return shapes, y + 0.6 * font


def lever_title(look, lever, room, y):
    """Which sets a lever is of, and the height below the words [px]."""
    font, shapes = look.font, []
    names = " + ".join(look.said(name) for name in lever.sets)
    for line in wrapped(f"{look.said('Lever')}: {names}", font, room, True):
        y += LINE * font
        shapes.append(Text(x=0.8 * font, y=y, text=line, size=font, bold=True))
    return shapes, y + 0.4 * font


def without_lever(look, found, width, y):
    """Lines that name the sets without a lever, below `y`."""
    drawn = {name for lever in found for name in lever.sets}
    names = [one.name for one in look.flow.train.sets if one.name not in drawn]
    if not names:
        return []
    font = look.font
    names = ", ".join(look.said(name) for name in names)
    lines = wrapped(f"{look.said('No lever')}: {names}", font, width - 1.6 * font)
    return [
        Text(x=0.8 * font, y=y + LINE * font * i, text=line, size=font)
        for i, line in enumerate(lines)
    ]


def label_column(look, found):
    """How wide the labels of levers are [px], whatever the state."""
    font = look.font
    texts = look.value_samples()
    for lever in found:
        for node in lever.nodes:
            texts += [look.said(name) for name in (node.body, *node.members)]
    widest = max(text_width(text, font, True) for text in texts)
    return min(widest + (INDENT + 0.3) * font, _COLUMN * font)
