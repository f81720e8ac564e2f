"""The stick diagram: the upper half section of a train, and the power on its way."""

from dataclasses import dataclass, replace
from functools import cached_property

from ...base.frozenmap import FrozenMap
from ...solve.equilibrium import DRIVES
from ...solve.powerflow import a_flow
from ...train.train import CASE
from ..kit.page import below
from ..kit.shapes import Arrow, Group, Line
from ..kit.view import Look, View
from . import symbols
from .bands import bands, marks, percents, pieces
from .elements import element_shapes, label_shapes
from .grid import is_box
from .key import key_rows
from .lines import chains
from .names import LINE
from .place import place
from .power import line_power
from .words import alt, heading


def draw_stick(
    flow,
    *,
    end="input",
    context="screen",
    colour_by="part",
    power=True,
    circulating=False,
    labels=True,
    words=FrozenMap(),
):
    """The stick diagram of a whole train, laid out from how it is joined.

    Parameters
    ----------
    flow : PowerFlow
    end : "input" has the input at the left, "output" the output (mirrored)
    context : "screen", "projector" or "print"
    colour_by : "part", "role" for what a body does, or "paint"
    power : False draws the plain diagram, which does not tell what is applied
    circulating : True draws, striped, also the power that goes round in a circle and
        the power that only holds locked parts together
    labels : False leaves out the names of elements, shafts and sets
    words : what is written instead of an English name

    Returns
    -------
    Scene. Bands along the lines are as wide as the power that goes through them.

    Raises
    ------
    ValueError
        An unknown end, context or colouring; a train too large for one diagram.

    >>> import gearlab
    >>> flow = gearlab.power_flow(gearlab.load_train("five-range"), "4")
    >>> draw_stick(flow, power=False).alt[:54]
    'Stick diagram of the Five-range bench unit, the input '
    """
    a_flow(flow)
    stick = Stick(
        flow=flow,
        end=end,
        context=context,
        colour_by=colour_by,
        power=bool(power),
        circulating=bool(circulating),
        labels=bool(labels),
        words=words,
    )
    return stick.drawn()


@dataclass(frozen=True, kw_only=True)
class Stick(Look):
    """One drawing."""

    power: bool
    circulating: bool
    labels: bool

    @cached_property
    def placed(self):
        """Where all stands [px]."""
        return place(self.flow.train, self.context, self.words, self.labels)

    @cached_property
    def powers(self):
        """The power in every line, None where none is on its way."""
        drives = self.power and self.flow.state == DRIVES
        if not drives:
            return None
        return line_power(self.flow, self.placed.layout, self.circulating)

    @cached_property
    def pieces(self):
        """The straight pieces of the power's path."""
        return pieces(self)

    @cached_property
    def doing(self):
        """{body: what it does}, as a part of :data:`gearlab.draw.kit.style.PARTS`."""
        found = {}
        for body, edges in self.placed.layout.lines.items():
            role = self.does[body]
            if self.powers and self.powers.carries(body, edges) and role == "turns":
                role = "drives"
            found[body] = _DOING.get(role, role)
        return found

    # Roles -----------------------------------------------------------------------

    def line_of(self, body):
        """The role of a body's lines."""
        if body == CASE:
            return "case"
        if not self.power:
            return "other line"
        if self.colour_by != "role" and self.doing[body] != "held":
            unknown = self.flow.speeds[body] is None
            return "other line?" if unknown else "other line"
        return f"{self.doing[body]} line"

    def band_part(self, body):
        """The part in whose colour the power through a body is drawn."""
        if self.colour_by != "role":
            return "path"
        return "driven" if self.doing.get(body) == "driven" else "drives"

    def member_role(self, one):
        """The roles of a set's members, as the symbols ask for them."""
        view = View(gear_set=one, **self.asked)

        def role(short, what):
            if short == "planet":
                return f"planet {what}"
            if self.colour_by != "role":
                found = view.role(short, what)
                return found if self.power else found.removesuffix("?")
            if not self.power:
                return f"other {what}"
            body = self.flow.train.body_of[one.member(short)]
            return f"held {what}" if body == CASE else f"{self.doing[body]} {what}"

        return role

    # The whole -------------------------------------------------------------------

    def drawn(self):
        """The finished picture."""
        placed, font, column = self.placed, self.font, self.column
        least = placed.width + 1.2 * font
        width = next((n * column for n in (1, 2) if n * column >= least), round(least))
        head, y = heading(self, width)
        dx = (width - placed.width) / 2
        y += 0.5 * font
        section = self.section()
        shapes = [*head, Group(x=dx, y=y, shapes=section)]
        y += placed.height + 0.4 * font
        key, y = key_rows(self, section, width, y)
        return self.scene(width, y + 0.5 * font, (*shapes, *key), alt(self))

    def section(self):
        """The half section, with the end that is asked for at the left."""
        shapes = self._drawing()
        if self.end == "input":
            return tuple(shapes)
        return tuple(_mirror(shape, self.placed.width) for shape in shapes)

    def _drawing(self):
        flow, placed = self.flow, self.placed
        shapes = symbols.case_shapes(placed)
        if self.powers:
            shapes += bands(self)
        shapes += self._lines()
        if self.powers:
            shapes += marks(self)
        for one, block in zip(flow.train.sets, placed.layout.blocks, strict=True):
            shapes += symbols.set_shapes(placed, block, self.member_role(one))
            if is_box(block.kind):
                shapes += self._ports(one, block)
            shapes += symbols.fixed(placed, one, block)
        shapes += [*element_shapes(self), *self._ends(), *label_shapes(self)]
        if self.powers:
            shapes += percents(self)
        return shapes

    def _lines(self):
        placed, shapes = self.placed, []
        for body in placed.layout.lines:
            role = self.line_of(body)
            for points in chains(placed, body):
                shapes.append(Line(points=points, role=role))
        return shapes

    def _ports(self, one, block):
        """The names of a box's ports, written in it."""
        placed, font = self.placed, self.placed.font
        for short, column in zip(block.shorts, block.columns, strict=False):
            lines = self.say(short).split(" ")
            middle = (placed.y[block.rows[0]] + placed.y[block.rows[3]]) / 2
            top = middle - LINE * font * len(lines) / 2
            x, y = placed.x[column], top + (0.9 - LINE) * font
            yield from below(y, lines, font, LINE, x=x, anchor="middle")[0]

    def _ends(self):
        """The arrows of input and output, the way the power goes."""
        placed, u, shapes = self.placed, self.placed.u, []
        for which, spot in placed.layout.ends.items():
            x, y = placed.at(spot)
            out = -22 * u if which == "input" else 22 * u
            ends = ((x + out, y), (x, y))
            inward = (which == "input") == (self.flow.load == "drive" or not self.power)
            if not inward:
                ends = ends[::-1]
            if self.powers and self.powers.ends[which]:
                continue
            body = self.flow.train.body_of[getattr(self.flow.train, which)]
            role = self.line_of(body) if self.power else "turning"
            shapes.append(Arrow(points=ends, role=role, head=12 * u))
        return shapes


_DOING = {"turns": "free", "not determined": "unknown", "still": "still"}


def _mirror(shape, width):
    """A shape of the drawing mirrored left to right; texts stay readable."""
    if hasattr(shape, "points"):
        points = tuple((width - x, y) for x, y in shape.points)
        return replace(shape, points=points)
    if hasattr(shape, "lines"):
        lines = tuple(tuple((width - x, y) for x, y in line) for line in shape.lines)
        return replace(shape, lines=lines)
    if isinstance(shape, Group):
        shape = replace(shape, start=-shape.start)
    return replace(shape, x=width - shape.x)
