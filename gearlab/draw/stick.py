"""The stick diagram: the upper half section of a train, and the power on its way."""

from dataclasses import dataclass
from functools import cached_property

from ..checks import colour, known
from ..describe import element_states, roles
from ..equilibrium import DRIVES
from ..frozenmap import FrozenMap
from ..numerals import listed
from ..paths import power_paths
from ..powerflow import PowerFlow
from ..train import CASE
from . import sticksymbols as symbols
from .scene import Arrow, Group, Line, Scene, Text
from .stickbands import bands, percent, percents, pieces
from .stickelements import element_shapes, label_shapes
from .stickkey import key_rows
from .sticklines import chains
from .sticknames import LINE
from .stickplace import place
from .stickpower import line_power
from .style import CONTEXTS, PARTS, WIDTH
from .textwidth import wrapped
from .view import COLOURINGS, ENDS, headline, said

_PARTS_OF = {"small sun": "sun", "large sun": "sun", "left": "sun", "right": "ring"}


def draw_stick(
    flow,
    *,
    end="input",
    context="screen",
    colour_by="role",
    power=True,
    labels=True,
    words=FrozenMap(),
):
    """The stick diagram of a whole train, laid out from how it is joined.

    Parameters
    ----------
    flow : PowerFlow
    end : "input" has the input at the left, "output" the output (mirrored)
    context : "screen", "projector" or "print"
    colour_by : "role" for what a body does, "part" or "paint"
    power : False draws the plain diagram, which does not tell what is applied
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
    stick = _Stick(
        flow=flow,
        end=known(end, ENDS, "end"),
        context=known(context, CONTEXTS, "context"),
        colour_by=known(colour_by, COLOURINGS, "colouring"),
        power=bool(power),
        labels=bool(labels),
        words=FrozenMap(words),
    )
    return stick.scene()


@dataclass(frozen=True, kw_only=True)
class _Stick:
    """One drawing; it reads the flow and solves nothing."""

    flow: PowerFlow
    end: str
    context: str
    colour_by: str
    power: bool
    labels: bool
    words: FrozenMap

    @cached_property
    def placed(self):
        return place(self.flow.train, self.context, self.words, self.labels)

    @cached_property
    def powers(self):
        """The power in every line, None where none is on its way."""
        drives = self.power and self.flow.state == DRIVES
        return line_power(self.flow, self.placed.layout) if drives else None

    @cached_property
    def doing(self):
        """{body: what it does}, as a part of :data:`gearlab.draw.style.PARTS`."""
        does, found = roles(self.flow), {}
        for body, edges in self.placed.layout.lines.items():
            role = does[body]
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
        if self.colour_by != "role":
            unknown = self.flow.speeds[body] is None
            return "other line?" if unknown else "other line"
        return f"{self.doing[body]} line"

    def band_part(self, body):
        """The part in whose colour the power through a body is drawn."""
        if self.colour_by != "role" or body == CASE:
            return "other"
        return "driven" if self.doing[body] == "driven" else "drives"

    def member_role(self, one):
        """The roles of a set's members, as the symbols ask for them."""
        train = self.flow.train

        def role(short, what):
            body = train.body_of.get(one.member(short), CASE)
            if self.colour_by == "role" or short == "planet":
                if short == "planet" or not self.power:
                    return f"planet {what}" if short == "planet" else f"other {what}"
                return f"held {what}" if body == CASE else f"{self.doing[body]} {what}"
            part = _PARTS_OF.get(short, short)
            part = part if part in PARTS else "other"
            if self.colour_by == "paint":
                part += f"#{self._paint(one.member(short))}"
            unknown = self.power and self.flow.speeds[one.member(short)] is None
            return f"{part} {what}{'?' if unknown else ''}"

        return role

    def _paint(self, member):
        train = self.flow.train
        given = train.paint.get(member) or train.paint.get(train.body_of[member])
        return colour(given, member)[1:] if given else ""

    def say(self, text):
        """A text as `words` has it."""
        return said(self.words, text)

    # The whole -------------------------------------------------------------------

    def scene(self):
        placed, font = self.placed, self.placed.font
        column = WIDTH[self.context]
        least = placed.width + 1.2 * font
        width = next((n * column for n in (1, 2) if n * column >= least), round(least))
        head, y = self._head(width)
        dx = (width - placed.width) / 2
        y += 0.5 * font
        body = self._mirrored(self._drawing())
        shapes = [*head, Group(x=dx, y=y, shapes=tuple(body))]
        y += placed.height + 0.4 * font
        key, y = key_rows(self, width, y)
        return Scene(
            width=width,
            height=round(y + 0.5 * font),
            shapes=(*shapes, *key),
            alt=self._alt(),
            context=self.context,
        )

    def _head(self, width):
        """What it shows and how it stands, at the top; always as many lines."""
        font, left = self.placed.font, 0.8 * self.placed.font
        room, lines = width - 2 * left, []
        first = headline(self.flow, self.words) if self.power else self.flow.train.name
        lines += wrapped(self.say(first), font, room, bold=True)
        narrow = width < 2 * WIDTH[self.context]
        lines += [""] * (1 + narrow - len(lines))
        bold = len(lines)
        lines += wrapped(self.say(_SEEN[self.end]), font, room)
        if self.power:
            states = [wrapped(text, font, room) for text in self._possible_states()]
            told = wrapped(self._state(), font, room)
            most = max(len(state) for state in (*states, told))
            lines += told + [""] * (most - len(told))
        shapes = [
            Text(
                x=left, y=(1.45 + LINE * i) * font, text=text, size=font, bold=i < bold
            )
            for i, text in enumerate(lines)
            if text
        ]
        return shapes, (0.8 + LINE * len(lines)) * font

    def _state(self):
        """What the state means for the power, as it is written."""
        flow = self.flow
        if flow.state == "tied up":
            return self._fight(flow.train.in_order(flow.conflict))
        if flow.state != DRIVES:
            return self.say(_STILL)
        if self.powers.circulating is None:
            return self.say(_SHARED)
        if self.powers.circulating:
            return f"{percent(self.powers.circulating)} {self.say(_CIRCLE)}"
        return self.say(_TOGETHER) if self.powers.round else ""

    def _fight(self, names):
        return f"{self.say('fights')}: {', '.join(map(self.say, names))}"

    def _possible_states(self):
        """What may be written of a state, so that all pictures are equally high."""
        names = sorted(map(self.say, self.flow.train.by_name), key=len)
        yield self._fight(names[-2:])
        yield from map(self.say, (_STILL, _SHARED, _TOGETHER))
        yield f"126.3 % {self.say(_CIRCLE)}"

    def _alt(self):
        flow = self.flow
        words = f"Stick diagram of the {flow.train.name}, the {self.end} at the left"
        if not self.power:
            return f"{words}: {_joined(flow.train)}."
        states = element_states(flow)
        busy = [
            f"{name} {state}"
            for name, state in states.items()
            if state not in ("released", "carries nothing")
        ]
        text = f"{words}. {headline(flow)}. {'; '.join(busy) or 'nothing applied'}."
        if flow.state != DRIVES:
            fight = flow.train.in_order(flow.conflict or ())
            told = f" {listed(fight).capitalize()} fight." if fight else ""
            return f"{text}{told} No power goes through."
        parts = sorted({one.power for one in pieces(self)} - {1}, reverse=True)
        shown = (
            f" Parts in the lines: {', '.join(map(percent, parts))}." if parts else ""
        )
        return f"{text} {power_paths(flow).words}{shown}"

    def _mirrored(self, shapes):
        if self.end == "input":
            return shapes
        return [_mirror(shape, self.placed.width) for shape in shapes]

    def _drawing(self):
        flow, placed = self.flow, self.placed
        shapes = symbols.case_shapes(placed)
        if self.powers:
            shapes += bands(self)
        shapes += self._lines()
        for one, block in zip(flow.train.sets, placed.layout.blocks, strict=True):
            shapes += symbols.set_shapes(placed, block, self.member_role(one))
            if block.kind == "meshes":
                shapes += self._ports(one, block)
        for member, (column, row) in placed.layout.grounds:
            x, y = placed.at((column, row))
            way = -1 if member.endswith("ring") else 1
            shapes.append(symbols.ground_at(x, y, 0, way, placed.u))
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
            for i, line in enumerate(lines):
                yield Text(
                    x=placed.x[column],
                    y=top + (0.9 + LINE * i) * font,
                    text=line,
                    size=font,
                    anchor="middle",
                )

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
_SEEN = {
    "input": "input at the left, output at the right",
    "output": "output at the left, input at the right",
}
_STILL = "no power goes through"
_SHARED = "how the power is shared is not determined"
_CIRCLE = "goes round in a circle"
_TOGETHER = "what goes round only holds locked parts together"


def _joined(train):
    """What every element joins, in words."""
    parts = []
    for name, part in train.by_name.items():
        member, other = part.sides
        if other == CASE:
            parts.append(f"{name} on the {member}")
        else:
            parts.append(f"{name} between the {other} and the {member}")
    sets = listed([f"{one.name} ({one.kind})" for one in train.sets], "")
    return f"sets {sets}; {'; '.join(parts) or 'no elements'}"


def _mirror(shape, width):
    """A shape of the drawing mirrored left to right; texts stay readable."""
    if isinstance(shape, Text):
        return Text(**{**vars(shape), "x": width - shape.x})
    if isinstance(shape, Group):
        return Group(
            x=width - shape.x,
            y=shape.y,
            start=-shape.start,
            shapes=shape.shapes,
        )
    if hasattr(shape, "points"):
        points = tuple((width - x, y) for x, y in shape.points)
        kept = {key: value for key, value in vars(shape).items() if key != "path"}
        return type(shape)(**{**kept, "points": points})
    if hasattr(shape, "lines"):
        lines = tuple(tuple((width - x, y) for x, y in line) for line in shape.lines)
        return type(shape)(lines=lines, role=shape.role)
    return type(shape)(**{**vars(shape), "x": width - shape.x})
