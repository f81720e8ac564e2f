"""The pieces of lever drawings: rows, labels, speeds as lengths, signs, forces."""

from dataclasses import dataclass
from itertools import pairwise

from ..kit.owner import of_body
from ..kit.shapes import Arrow, Circle, Group, Line, Polygon, Text, ground
from ..kit.spread import spread
from ..kit.textwidth import wrapped
from .look import INDENT, LINE

_LEAST_ROW = 1.1  # between two nodes where that can be had, in letter sizes
_LONGEST = 24.0  # a lever for the sake of that, in letter sizes
SPEEDS = ("turns per input turn, forward", "dotted: one of many motions")


@dataclass(frozen=True, kw_only=True)
class SpeedScale:
    """Where speeds are drawn: from `left` to `right` [px], mirrored for `hand` −1."""

    left: float
    right: float
    slowest: float
    fastest: float
    hand: int

    @property
    def unit(self):
        """The length of the input's speed [px]."""
        return (self.right - self.left) / (self.fastest - self.slowest)

    def across(self, speed):
        """Where a speed is."""
        x = self.left + (float(speed) - self.slowest) * self.unit
        return x if self.hand > 0 else self.left + self.right - x


@dataclass(frozen=True, kw_only=True)
class Rows:
    """The heights of a lever's nodes and of their labels [px]; `end` is below all."""

    nodes: tuple[float, ...]
    labels: tuple[float, ...]
    end: float


def reach(speeds):
    """The slowest and fastest of some speeds, with the case and the input."""
    return float(min(0, *speeds)), float(max(1, *speeds))


def rows_of(lever, labels, top, font, least, longest=_LONGEST):
    """The :class:`Rows` of a lever below `top`, its distances in proportion.

    `labels` are the lines of each node's label, `least` the least length of the lever
    in letter sizes, and `longest` what it may be for nodes that stand apart.
    """
    sizes = [(LINE * len(lines) + 0.5) * font for lines in labels]
    parts = [float(node.position / lever.nodes[-1].position) for node in lever.nodes]
    gaps = [b - a for a, b in pairwise(parts) if b > a]
    length = max(
        least * font,
        sum(sizes) - (sizes[0] + sizes[-1]) / 2,
        min(_LEAST_ROW * font / min(gaps), longest * font),
    )
    first = top + sizes[0] / 2
    nodes = tuple(first + part * length for part in parts)
    end = nodes[-1] + sizes[-1] / 2
    return Rows(nodes=nodes, labels=tuple(spread(nodes, sizes, top, end)), end=end)


def label_lines(look, node, room, names=None, value=True):
    """The lines of a node's label: (letter, text, bold), in `room` px.

    `names` are what is written for its members; without them a shaft's name stands
    above theirs.
    """
    font, lines = look.font, []
    shaft = look.heading(node)
    # Where labels are few, the value says what is input and output.
    brief = look.few and value and node.members
    if names is None and shaft and not brief:
        lines += [("", line, False) for line in wrapped(look.say(shaft), font, room)]
    if not node.members and not lines:
        lines.append(("", look.say(node.body), False))
    shown = names or [look.say(member) for member in node.members]
    for member, name in zip(node.members, shown, strict=True):
        first, *rest = wrapped(name, font, room)
        lines += [(look.letter(member), first, False)]
        lines += [("", line, False) for line in rest]
    if value:
        # In a picture of one set there is no room for a word on input and output.
        ends = names is None
        texts = [look.value(node, room, ends), *look.value_samples(ends)]
        text, *samples = [wrapped(one, font, room, True) for one in texts]
        # The page must not jump: as many lines in every state.
        text += [""] * (max(map(len, samples)) - len(text))
        lines += [("", line, True) for line in text]
    return lines


def labels(look, lever, blocks, rows, edge, ends):
    """Labels up to `edge` px, each led to its row, and on to where `ends` say."""
    places = zip(lever.nodes, blocks, rows.labels, rows.nodes, ends, strict=True)
    for node, lines, middle, y, end in places:
        shapes = tuple(_label(look, lines, middle, y, edge, end))
        yield Group(shapes=shapes, of=_of(look, node))


def _of(look, node):
    """The owner of what is drawn of a node."""
    return of_body(look.flow.train, node.body)


def _label(look, lines, middle, y, edge, end):
    """The lines of one label, and the line that leads from it."""
    font, widest = look.font, 0.0
    base = middle - LINE * font * (len(lines) - 1) / 2 + 0.36 * font
    for k, (letter, text, bold) in enumerate(lines):
        at = base + k * LINE * font
        if not text:
            continue
        if letter:
            yield Text(x=0.7 * font, y=at, text=letter, size=font, bold=True)
        line = Text(x=INDENT * font, y=at, text=text, size=font, bold=bold)
        widest = max(widest, line.box[2])
        yield line
    start, turn = widest + 0.3 * font, edge + 0.7 * font
    points = (min(start, edge), middle), (edge, middle), (turn, y)
    yield Line(points=(*points, (max(end, turn), y)), role="leader")


def stops(look, lever, plot):
    """Where the line from each label ends: short of what is drawn of its node."""
    for node in lever.nodes:
        left = min(plot.across(0), plot.across(look.drawn_speed(node)))
        # Room for the ground sign, or for the sign of the node.
        room = 1.5 if look.held(node) and look.hand > 0 else 0.6
        yield left - room * look.font


def scales(plot, speeds, top, bottom):
    """The case line at speed 0, and light lines at other speeds."""
    for speed in speeds:
        x = plot.across(speed)
        role = "scale" if speed else "axis"
        yield Line(points=((x, top), (x, bottom)), role=role)


def scale_numbers(plot, speeds, y, font):
    """The numbers below the lines of :func:`scales`, where they have room."""
    for speed in speeds:
        if not speed or plot.unit > 1.4 * font:
            number = str(speed).replace("-", "−")
            x = plot.across(speed)
            yield Text(x=x, y=y, text=number, size=font, anchor="middle")


def speeds(look, lever, rows, plot):
    """A lever with its speeds as lengths from the case line."""
    font, tips = look.font, []
    for node, y in zip(lever.nodes, rows.nodes, strict=True):
        start, tip = plot.across(0), plot.across(look.drawn_speed(node))
        tips.append((tip, y))
        shapes = []
        if tip != start:
            points = (start, y), (tip, y)
            shapes.append(Line(points=points, role=look.role(node, "line")))
        if look.held(node):
            # Turned so that it hangs on the side where backward speeds would be.
            sign = (ground(1.2 * font),)
            x = start - 0.72 * font * look.hand
            shapes.append(Group(x=x, y=y, start=90.0 * look.hand, shapes=sign))
        if shapes:
            yield Group(shapes=tuple(shapes), of=_of(look, node))
    dotted = any(look.dotted(node) for node in lever.nodes)
    ends = tips[0], tips[-1]
    if dotted:
        # Dots on the case line would be lost on it.
        yield Line(points=ends, role="clearing")
    yield Line(points=ends, role="lever?" if dotted else "lever")
    for node, (x, y) in zip(lever.nodes, tips, strict=True):
        shapes = tuple(signs(node, x, y, font, look))
        yield Group(shapes=shapes, of=_of(look, node))


def signs(node, x, y, font, look):
    """The signs of a node's parts, the later ones inside the first."""
    kinds = look.parts(node)
    for i, kind in enumerate(kinds):
        size = 0.36 if len(kinds) == 1 else 0.5 - 0.24 * i
        role = look.role(node, "tip", kind)
        yield sign(kind, x, y, max(size, 0.2) * font, role)


def sign(kind, x, y, r, role):
    """The sign of a part: a disc sun, a square carrier, a diamond ring."""
    if kind == "sun":
        return Circle(x=x, y=y, r=r, role=role)
    if kind == "carrier":
        s = 0.88 * r
        corners = ((x - s, y - s), (x + s, y - s), (x + s, y + s), (x - s, y + s))
    elif kind == "ring":
        s = 1.25 * r
        corners = ((x, y - s), (x + s, y), (x, y + s), (x - s, y))
    else:
        s = 1.15 * r
        corners = ((x, y - s), (x + s, y + 0.8 * s), (x - s, y + 0.8 * s))
    return Polygon(points=corners, role=role)


def foot(look, sentences, unsure, x, y, room):
    """What the lengths are, in lines that end at `x`, and where those end [px].

    The first of the `sentences` is for what is determined; there is room for both.
    """
    font = look.font
    texts = [wrapped(pointed(look, look.say(text)), font, room) for text in sentences]
    shapes, _ = look.below(y, texts[unsure], LINE, x=x, anchor="end")
    return shapes, y + LINE * font * max(map(len, texts))


def pointed(look, words):
    """Words with an arrow that shows which way is forward."""
    return f"{words} →" if look.hand > 0 else f"← {words}"


def forces(look, lever, torques, rows, middle, scale):
    """The lever with its torques as arrows, `scale` px for the input's torque."""
    ends = (middle, rows.nodes[0]), (middle, rows.nodes[-1])
    yield Line(points=ends, role="lever")
    for node, y in zip(lever.nodes, rows.nodes, strict=True):
        if torque := torques[node.body]:
            length = float(torque) * scale * look.hand
            head = min(0.9 * look.font, 0.6 * abs(length))
            points = ((middle, y), (middle + length, y))
            shape = Arrow(points=points, role="force", head=head)
        else:
            shape = Circle(x=middle, y=y, r=0.22 * look.font, role="turning")
        yield Group(shapes=(shape,), of=_of(look, node))
