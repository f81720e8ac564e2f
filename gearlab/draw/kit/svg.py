"""The SVG painter.

A picture is painted once; its turning groups follow the CSS property ``--turns``,
the input turns, which a page sets above them. Every text and attribute is
escaped, because names come from files.
"""

from base64 import b64encode
from functools import lru_cache
from html import escape

from .given import a_scene, some_turns
from .shapes import Arrow, Circle, Group, Hatch, Line, Polygon, Text, short
from .style import FONT, WHITE, style

_UNSEEN = 'aria-hidden="true"'
TURNING = "gl-turn"
TOUCH = "gl-touch"  # what paints nothing; a page's style says that it can be touched


def to_svg(scene, turns=None, ground=True):
    """The scene as one SVG element; without an alt sentence it is hidden from readers.

    Parameters
    ----------
    scene : Scene
    turns : None for a picture that follows ``--turns``, whose groups say in
        ``data-of`` whose they are; else the input turns at which it is painted, without
        any of that, as stored pictures need it
    ground : False leaves the ground open, for a picture that lies over another

    >>> from gearlab.draw.kit.scene import Scene
    >>> from gearlab.draw.kit.shapes import Circle
    >>> dot = Circle(x=4, y=4, r=3, role="case")
    >>> scene = Scene(width=9, height=9, alt="a dot", shapes=(dot,))
    >>> "<circle" in to_svg(scene, turns=0)
    True
    """
    a_scene(scene)
    painter = _Painter(scene.context, None if turns is None else some_turns(turns))
    body = painter.paint(scene.shapes)
    width, height = short(scene.width), short(scene.height)
    size = f'width="{width}" height="{height}"'
    paper = f'<rect {size} fill="{WHITE}"/>'
    label = f'role="img" aria-label="{escape(scene.alt)}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg"'
        f" {label if scene.alt else _UNSEEN}"
        f' viewBox="0 0 {width} {height}" {size}'
        f' style="width:{width}px;max-width:100%;height:auto" font-family="{FONT}">'
        f"{paper if ground else ''}{body}</svg>"
    )


def to_img(scene, turns=0):
    """The scene as an ``<img>`` that carries its picture.

    Parameters
    ----------
    scene : Scene
    turns : how far the input has turned [turns]
    """
    data = b64encode(to_svg(scene, turns).encode()).decode()
    width = short(scene.width)
    return (
        f'<img alt="{escape(scene.alt)}"'
        f' style="width:{width}px;max-width:min(100%,720px)"'
        f' src="data:image/svg+xml;base64,{data}">'
    )


class _Painter:
    """One painting, for a context and at some input turns.

    Every outline is written out where it stands: a reference to it is shorter, but a
    browser takes longer for it. So a picture has no id that could clash with another's.
    """

    def __init__(self, context, turns):
        self.context, self.turns = context, turns

    def paint(self, shapes):
        return "".join([_PAINT[type(shape)](self, shape) for shape in shapes])

    def polygon(self, shape):
        return f'<path d="{shape.path}"{_look(shape.role, self.context)}/>'

    def line(self, shape):
        look = _look(shape.role, self.context, filled=False)
        return f'<polyline points="{_points(shape.points)}"{look}/>'

    def hatch(self, shape):
        look = _look(shape.role, self.context, filled=False)
        return f'<path d="{_strokes(shape.lines)}"{look}/>'

    def circle(self, shape):
        return (
            f'<circle cx="{short(shape.x)}" cy="{short(shape.y)}"'
            f' r="{short(shape.r)}"{_look(shape.role, self.context)}/>'
        )

    def arrow(self, shape):
        line = _look(shape.role, self.context, filled=False)
        return (
            f'<polyline points="{_points(shape.shaft_points)}"{line}/>'
            f'<polygon points="{_points(shape.head_points)}"'
            f' fill="{style(shape.role, self.context).stroke}"/>'
        )

    def text(self, shape):
        anchor = "" if shape.anchor == "start" else f' text-anchor="{shape.anchor}"'
        bold = ' font-weight="bold"' if shape.bold else ""
        fill = style(shape.role, self.context).fill
        return (
            f'<text x="{short(shape.x)}" y="{short(shape.y)}"'
            f' font-size="{short(shape.size)}"{anchor}{bold}'
            f' fill="{fill}">{escape(shape.text)}</text>'
        )

    def group(self, shape):
        inner = self.paint(shape.shapes)
        moves = []
        if shape.x or shape.y:
            moves.append(f"translate({short(shape.x)},{short(shape.y)})")
        if shape.turn is None:
            inner = _turning(
                f"{TURNING} gl-{shape.part}", "var(--rate,0)*1deg", shape, inner
            )
        elif self.turns is not None or not shape.turn:
            angle = shape.angle(self.turns or 0) % 360
            if angle:
                moves.append(f"rotate({_long(angle)})")
        else:
            rate = f"{_long(360 * float(shape.turn))}deg"
            inner = _turning(TURNING, rate, shape, inner)
        # Only what is live on a page can be touched.
        of = f' data-of="{escape(shape.of)}"' if shape.of and self.turns is None else ""
        moved = f' transform="{" ".join(moves)}"' if moves else ""
        return f"<g{of}{moved}>{inner}</g>" if of or moved else inner


_PAINT = {
    Polygon: _Painter.polygon,
    Line: _Painter.line,
    Hatch: _Painter.hatch,
    Circle: _Painter.circle,
    Arrow: _Painter.arrow,
    Text: _Painter.text,
    Group: _Painter.group,
}


@lru_cache(maxsize=1024)
def _look(role, context, filled=True):
    look = style(role, context)
    parts = [f' fill="{look.fill if filled and look.fill else "none"}"']
    if look == style("touch"):
        parts.append(f' class="{TOUCH}"')
    if look.stroke:
        parts.append(f' stroke="{look.stroke}" stroke-width="{short(look.width)}"')
        parts.append(' stroke-linejoin="round"')
        if look.dash:
            parts.append(f' stroke-dasharray="{" ".join(map(short, look.dash))}"')
    return "".join(parts)


def _turning(classes, rate, shape, inner):
    turned = f"var(--turns,0)*{rate} + {_long(shape.start)}deg"
    return f'<g class="{classes}" style="transform:rotate(calc({turned}))">{inner}</g>'


@lru_cache(maxsize=256)
def _strokes(lines):
    return "".join([f"M{_points(line)}" for line in lines])


@lru_cache(maxsize=2048)
def _points(points):
    return " ".join([f"{short(x)},{short(y)}" for x, y in points])


def _long(number):
    """A number that is multiplied by many turns, so with more digits."""
    return f"{float(number):.6f}".rstrip("0").rstrip(".")
