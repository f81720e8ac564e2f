"""What stands round the levers of a train: headings, titles, the width of labels."""

from ..kit.textwidth import text_width, wrapped
from .look import INDENT, LINE

_COLUMN = 16.5  # of labels at most, in letter sizes


def heading(look, words, width, state="drives"):
    """The texts at the top of a wide drawing, and the height below them [px]."""
    font, seen = look.font, look.seen
    lines = wrapped(words, 1.1 * font, look.room(width), True)
    shapes, y = look.below(0.2 * font, lines, 1.4, size=1.1, bold=True)
    if state != "drives":
        seen += f" · {look.say(state)}"
    more, y = look.below(y, [seen], 1.5)
    return shapes + more, y + 0.6 * font


def lever_title(look, lever, room, y):
    """Which sets a lever is of, and the height below the words [px]."""
    names = " + ".join(look.say(name) for name in lever.sets)
    lines = wrapped(f"{look.say('Lever')}: {names}", look.font, room, True)
    shapes, y = look.below(y, lines, LINE, bold=True)
    return shapes, y + 0.4 * look.font


def without_lever(look, found, width, y):
    """Lines that name the sets without a lever, and where the last is [px]."""
    drawn = {name for lever in found for name in lever.sets}
    names = [one.name for one in look.flow.train.sets if one.name not in drawn]
    if not names:
        return [], y
    names = ", ".join(look.say(name) for name in names)
    lines = wrapped(f"{look.say('No lever')}: {names}", look.font, look.room(width))
    return look.below(y, lines, LINE)


def label_column(look, found):
    """How wide the labels of levers are [px], whatever the state."""
    font = look.font
    texts = look.value_samples()
    for lever in found:
        for node in lever.nodes:
            texts += [look.say(name) for name in (node.body, *node.members)]
    widest = max(text_width(text, font, True) for text in texts)
    return min(widest + (INDENT + 0.3) * font, _COLUMN * font)
