"""The stick diagram: the upper half section of a train, and the power on its way."""

from dataclasses import dataclass, replace
from functools import cached_property

from ...base.frozenmap import FrozenMap
from ...solve.equilibrium import DRIVES
from ...solve.powerflow import a_flow
from ...train.train import CASE
from ..kit.owner import all_of, of_body, owned
from ..kit.page import below
from ..kit.shapes import Arrow, Group, Line
from ..kit.sheet import Sheet, cropped
from ..kit.view import Look, View
from . import symbols
from .bands import bands, marks, percents, pieces
from .elements import element_shapes, label_shapes
from .grid import is_box
from .key import key, key_rows
from .lines import chains
from .names import LINE
from .place import place
from .power import line_power
from .touch import touch_areas
from .words import alt, heading, title


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
    context : "screen", "projector", "print" or "class" (for the back row)
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


def stick_sheet(
    flow,
    *,
    end="input",
    context="screen",
    colour_by="part",
    power=True,
    circulating=False,
    words=FrozenMap(),
):
    """The stick diagram of a whole train in parts; see :func:`draw_stick`.

    Returns
    -------
    Sheet. Its shapes say whose they are.

    Raises
    ------
    ValueError
        An unknown end, context or colouring; a train too large for one diagram.
    """
    a_flow(flow)
    stick = Stick(
        flow=flow,
        end=end,
        context=context,
        colour_by=colour_by,
        power=bool(power),
        circulating=bool(circulating),
        labels=True,
        words=words,
    )
    return stick.sheet()


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

    def sheet(self):
        """The picture in parts."""
        placed, section = self.placed, self.section(touched=True)
        margin = placed.margin
        body = self.scene(
            round(placed.width + 2 * margin),
            placed.height + 2 * margin,
            (Group(x=margin, y=margin, shapes=section),),
            alt(self),
        )
        room = max(body.width, self.column)
        return Sheet(
            body=body,
            key=cropped(self, key(self, section, room)),
            title=title(self),
            font=self.font,
        )

    def section(self, touched=False):
        """The half section, with the end that is asked for at the left.

        Where it is to be `touched` there is an area round the symbol of each element.
        """
        drawn = [*self._drawing(), *(touch_areas(self.placed) if touched else ())]
        if self.end == "output":
            drawn = [(of, _mirror(shape, self.placed.width)) for of, shape in drawn]
        return tuple(owned(drawn))

    def _drawing(self):
        """(owner, shape) of all that is drawn, what lies behind first."""
        train, placed = self.flow.train, self.placed
        shapes = all_of(of_body(train, CASE), symbols.case_shapes(placed))
        shapes.append(("", symbols.axis(placed)))
        if self.powers:
            shapes += bands(self)
        shapes += self._lines()
        if self.powers:
            shapes += marks(self)
        for one, block in zip(train.sets, placed.layout.blocks, strict=True):
            shapes += self._set(one, block)
        shapes += [*element_shapes(self), *self._ends(), *label_shapes(self)]
        if self.powers:
            shapes += percents(self)
        return shapes

    def _lines(self):
        placed = self.placed
        for body in placed.layout.lines:
            role, of = self.line_of(body), of_body(self.flow.train, body)
            for points in chains(placed, body):
                yield of, Line(points=points, role=role)

    def _set(self, one, block):
        """The gears of a set, or its box, and what of it is fixed for good."""
        train, placed = self.flow.train, self.placed
        for short, shape in symbols.set_shapes(placed, block, self.member_role(one)):
            yield of_body(train, one.member(short)) if short else "", shape
        if is_box(block.kind):
            for short, column in zip(block.shorts, block.columns, strict=False):
                name = self._port(short, block.rows, placed.x[column])
                yield from all_of(of_body(train, one.member(short)), name)
        yield from all_of(of_body(train, CASE), symbols.fixed(placed, one, block))

    def _port(self, short, rows, x):
        """The name of a box's port, written in it."""
        placed, font = self.placed, self.placed.font
        lines = self.say(short).split(" ")
        middle = (placed.y[rows[0]] + placed.y[rows[3]]) / 2
        top = middle - LINE * font * len(lines) / 2
        y = top + (0.9 - LINE) * font
        return below(y, lines, font, LINE, x=x, anchor="middle")[0]

    def _ends(self):
        """The arrows of input and output, the way the power goes."""
        placed, u = self.placed, self.placed.u
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
            arrow = Arrow(points=ends, role=role, head=12 * u)
            yield of_body(self.flow.train, body), arrow


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
