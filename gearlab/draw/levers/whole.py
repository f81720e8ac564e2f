"""The levers of a whole train in one picture, one above the other on one case line."""

from dataclasses import dataclass, replace
from functools import cached_property

from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly
from ...say.describe import title
from ...solve.levers import levers
from ...solve.powerflow import LOAD_WORDS, a_flow
from ...train.train import CASE
from ..kit.owner import of_body, of_element
from ..kit.page import signed
from ..kit.shapes import Circle, Group, Line, Text, ground
from ..kit.sheet import MARGIN, Sheet, cropped
from ..kit.spread import spread
from ..kit.textwidth import ASCENT, fitted
from .frame import heading, label_column, lever_title, without_lever
from .look import INDENT, LINE, LeverLook
from .parts import (
    SPEEDS,
    SpeedScale,
    foot,
    forces,
    label_lines,
    labels,
    reach,
    rows_of,
    scale_numbers,
    scales,
    sign,
    speeds,
    stops,
)

_LENGTH = 10.0  # of a lever, in letter sizes
_TORQUES = ("torque per input torque", "torque not determined")
_LANE, _LANES = 0.9, 6.0  # from link to link, and of all links, in letter sizes
_SHORTER = (8.0, 6.0, 5.0, 4.0, 3.0)  # levers that are to keep to a frame


def draw_levers(
    flow,
    *,
    torques=False,
    end="input",
    context="screen",
    colour_by="part",
    words=FrozenMap(),
):
    """All levers of a train, sets that share two shafts merged into one.

    Speeds are lengths from the case line, to one scale. Dashed links join what turns
    as one on two levers: a common shaft, or two nodes of a closed clutch.

    Parameters
    ----------
    flow : PowerFlow
    torques : whether the torques that the shafts bring to each lever stand beside it
        as arrows; forces and, without losses, moments sum to 0 on each lever
    end : "input" (forward is to the right) or "output" (mirrored)
    context : "screen", "projector", "print" or "class" (for the back row)
    colour_by : "part", "role" (what it does for the lever) or "paint"
    words : ``{English text: what is written instead}``

    Raises
    ------
    ValueError
        An unknown end, context or colouring.
    """
    a_flow(flow)
    look = LeverLook(
        flow=flow, end=end, context=context, colour_by=colour_by, words=words
    )
    what = f"{look.say('Levers')}, {_flow_words(look)}"
    head, y = heading(look, what, 2 * look.column, flow.state)
    return _drawn(look, head, y, torques)


def levers_sheet(
    flow, *, end="input", context="screen", colour_by="part", words=FrozenMap()
):
    """All levers of a train in parts; see :func:`draw_levers`.

    Returns
    -------
    Sheet. What the lengths are stands in the picture, the signs of parts in the key.
    For the back row it keeps to the frame of its context, and has few labels.

    Raises
    ------
    ValueError
        An unknown end, context or colouring.
    """
    a_flow(flow)
    look = LeverLook(
        flow=flow, end=end, context=context, colour_by=colour_by, words=words
    )
    items = list(_key(look))
    return Sheet(
        body=_drawn(
            look,
            [],
            (MARGIN + ASCENT - LINE) * look.font,
            brief=look.frame is not None,
        ),
        key=cropped(look, look.key(items, 2 * look.column)[0]) if items else None,
        title=look.say("Levers"),
        font=look.font,
    )


def _key(look):
    """The signs of the nodes with what they mean, as far as they are drawn."""
    nodes = [node for lever in levers(look.flow.train) for node in lever.nodes]
    kinds = {kind for node in nodes for kind in look.parts(node)}
    for kind in ("sun", "carrier", "ring"):
        if kind in kinds:
            part = kind if look.colour_by == "part" else "other"
            shape = sign(kind, 0.0, 0.0, 0.36 * look.font, f"{part} tip")
            yield (shape,), look.font, look.say(kind)
    if any(look.held(node) for node in nodes):
        yield (ground(1.2 * look.font),), 1.2 * look.font, look.say("held")


def _drawn(look, shapes, y, torques=False, brief=False):
    """The picture with the levers below what there is already, down to `y` px.

    A brief one keeps to its frame, with one name a node.
    """
    found, font = levers(look.flow.train), look.font
    width = look.frame[0] if brief else 2 * look.column
    if found:
        picture = {"levers": found, "width": width, "torques": torques}
        more, y = _within(look, _Picture(look=look, brief=brief, **picture), y)
        shapes += more
    without, y = without_lever(look, found, width, y - 0.4 * font)
    shapes += without
    return look.scene(width, y + 0.8 * font, shapes, _alt(look, found, torques))


def _within(look, picture, top):
    """The picture below `top` with its levers so long that it keeps to its frame."""
    painted = picture.painted(top)
    if picture.brief:
        for length in _SHORTER:
            if painted[1] + 0.8 * look.font <= look.frame[1]:
                break
            painted = replace(picture, length=length).painted(top)
    return painted


@dataclass(frozen=True, kw_only=True)
class _Link:
    """Two nodes that may turn as one, with the places of their levers."""

    levers: tuple[int, int]
    bodies: tuple[str, str]
    clutch: str  # "" for a common shaft


def links_of(train, found):
    """Every link that there can be between the levers of a train."""
    links = []
    for i, one in enumerate(found):
        for j, other in enumerate(found[i + 1 :], i + 1):
            for body in one.position:
                if body in other.position and body != CASE:
                    links.append(_Link(levers=(i, j), bodies=(body, body), clutch=""))
            for name, part in train.by_name.items():
                a, b = (train.body_of[side] for side in part.sides)
                if b in one.position and a in other.position:
                    a, b = b, a
                apart = a in one.position and b in other.position
                if apart and CASE not in (a, b):
                    links.append(_Link(levers=(i, j), bodies=(a, b), clutch=name))
    return links


@dataclass(frozen=True, kw_only=True)
class _Picture:
    """The levers below each other, with the room that the train asks for."""

    look: LeverLook
    levers: tuple
    width: float
    torques: bool
    brief: bool = False  # for the back row: one name a node, no clutches and no titles
    length: float = _LENGTH

    def painted(self, y):
        """The shapes below `y`, and where they end."""
        look, font = self.look, self.look.font
        links = links_of(look.flow.train, self.levers)
        column = label_column(look, self.levers)
        lane = min(_LANE, _LANES / max(1, len(links))) * font
        plot, middle = self._plot(column, lane * len(links))
        shapes, placed = [], []
        for i, lever in enumerate(self.levers):
            more, y = self._title(lever, column - 0.8 * font, y)
            room = column - INDENT * font
            blocks = [self._label(node, room) for node in lever.nodes]
            longest = {"longest": self.length} if self.brief else {}
            rows = rows_of(lever, blocks, y, font, self.length, **longest)
            high, low = rows.nodes[0] - 0.9 * font, rows.nodes[-1] + 0.9 * font
            shapes += [*more, *scales(plot, (1, 0), high, low)]
            ends = stops(look, lever, plot)
            shapes += labels(look, lever, blocks, rows, column, ends)
            shapes += speeds(look, lever, rows, plot)
            if self.torques:
                shapes += self._torques(lever, rows, middle)
            placed.append(rows)
            y = max(rows.end, low)
            # Room for the names of the clutches that may join it to the next ones.
            names = [
                link
                for link in links
                if link.clutch and link.levers[0] == i and not self.brief
            ]
            y += LINE * font * len(names) + 0.4 * font
        y = placed[-1].nodes[-1] + 2.1 * font
        links = [link for link in links if self._closed(link)]
        shapes = [*self._links(links, placed, plot, lane), *shapes]
        shapes += scale_numbers(plot, (0, 1), y, font)
        y = max(y, placed[-1].end - 0.3 * font)
        more, y = self._foot(plot, y)
        return shapes + more, y

    def _title(self, lever, room, y):
        """What stands above a lever, and where it begins."""
        if self.brief:  # its names say of which sets it is
            return [], y + 0.4 * self.look.font
        return lever_title(self.look, lever, room, y)

    def _label(self, node, room):
        """The lines of a node's label."""
        look = self.look
        if not self.brief:
            return label_lines(look, node, room)
        name = node.members[0] if node.body == CASE and node.members else node.body
        letter = look.letter(node.members[0]) if node.members[:1] == (name,) else ""
        return [(letter, fitted(look.say(name), look.font, room), False)]

    def _closed(self, link):
        flow = self.look.flow
        return not link.clutch or link.clutch in flow.applied | flow.holding

    def _plot(self, column, lanes):
        """The :class:`SpeedScale` of speeds, and the middle of the torques [px]."""
        look, font = self.look, self.look.font
        slowest, fastest = reach(
            [look.drawn_speed(n) for lever in self.levers for n in lever.nodes]
        )
        left, right = column + 1.9 * font, self.width - 1.6 * font
        middle = None
        if self.torques:
            right = left + 0.5 * (right - left)
            middle = (right + self.width - 6.0 * font) / 2 + 0.8 * font
        # Links run on the side where forward speeds point to.
        left, right = (left, right - lanes) if look.hand > 0 else (left + lanes, right)
        plot = SpeedScale(
            left=left, right=right, slowest=slowest, fastest=fastest, hand=look.hand
        )
        return plot, middle

    def _links(self, links, placed, plot, lane):
        """The dashed links, each on a lane of its own beside the speeds."""
        look, hand, train = self.look, self.look.hand, self.look.flow.train
        edge = plot.right if hand > 0 else plot.left
        named = dict.fromkeys(range(len(placed)), 0)
        for place, link in enumerate(links):
            x = edge + (place + 0.7) * lane * hand
            ends = []
            for i, body in zip(link.levers, link.bodies, strict=True):
                lever = self.levers[i]
                at = [node.body for node in lever.nodes].index(body)
                tip = plot.across(look.drawn_speed(lever.nodes[at]))
                ends.append((tip, placed[i].nodes[at]))
            (x0, y0), (x1, y1) = ends
            points = (x0, y0), (x, y0), (x, y1), (x1, y1)
            of, shapes = of_body(train, link.bodies[0]), ()
            if link.clutch:
                of = of_element(link.clutch)
            if link.clutch and not self.brief:
                i = link.levers[0]
                named[i] += 1
                shapes = self._name(link.clutch, placed[i], named[i], edge, x)
            yield Group(shapes=(Line(points=points, role="link"), *shapes), of=of)

    def _name(self, clutch, rows, place, edge, x):
        """The name of a clutch below a lever, led to its link at `x`."""
        look, font, hand = self.look, self.look.font, self.look.hand
        low = max(rows.end, rows.nodes[-1] + 0.9 * font)
        y = low + LINE * font * place - 0.3 * font
        start = edge - 0.6 * font * hand
        anchor = "end" if hand > 0 else "start"
        room = (start if hand > 0 else self.width - start) - 0.8 * font
        name = fitted(look.say(clutch), font, room)
        yield Text(x=start, y=y, text=name, size=font, anchor=anchor)
        y -= 0.33 * font
        points = ((start + 0.3 * font * hand, y), (x, y))
        yield Line(points=points, role="leader")
        yield Circle(x=x, y=y, r=0.16 * font, role="turning")

    @cached_property
    def _forces(self):
        """{lever's sets: its torques}."""
        return {one.sets: self.look.torques(one) for one in self.levers}

    def _torques(self, lever, rows, middle):
        """The torques on a lever as arrows, their numbers in a column at the right."""
        font, torques = self.look.font, self._forces[lever.sets]
        right = self.width - 6.0 * font
        known = [abs(t) for row in self._forces.values() for t in row.values() if t]
        longest, most = right - middle - 0.6 * font, max(known, default=1)
        yield from forces(
            self.look, lever, torques, rows, middle, longest / float(most)
        )
        heights = spread(rows.nodes, [LINE * font] * len(rows.nodes))
        for node, y, at in zip(lever.nodes, rows.nodes, heights, strict=True):
            torque = torques[node.body]
            text = "?" if torque is None else signed(torque, font, 5 * font, True)
            if abs(at - y) > 1:
                points = ((right - 0.1 * font, y), (right + 0.5 * font, at))
                yield Line(points=points, role="leader")
            x, base = right + 0.7 * font, at + 0.36 * font
            yield Text(x=x, y=base, text=text, size=font, bold=True)

    def _foot(self, plot, y):
        """What the lengths mean, and where it ends."""
        look, font = self.look, self.look.font
        dotted = any(look.dotted(n) for lever in self.levers for n in lever.nodes)
        right = plot.right
        shapes, low = foot(look, SPEEDS, dotted, right, y, right - 0.8 * font)
        if self.torques:
            unsure = any(None in row.values() for row in self._forces.values())
            end = self.width - 0.8 * font
            more, y = foot(look, _TORQUES, unsure, end, y, end - right - font)
            shapes += more
        return shapes, max(low, y) + 0.3 * font


def _flow_words(look):
    """What the flow is of: "range 1, under power"."""
    flow = look.flow
    if flow.range is None:
        what = look.say(_name(flow))
    else:
        what = f"{look.say('range')} {look.say(flow.range)}"
    load = LOAD_WORDS[flow.load]
    return f"{what}, {look.say(load)}"


def _name(flow):
    """The name of a flow within a line: "range 1"."""
    name = title(flow)
    return name[:1].lower() + name[1:]


def _alt(look, found, torques):
    """The sentences that carry the numbers."""
    flow = look.flow
    load = LOAD_WORDS[flow.load]
    text = f"Levers of {flow.train.name}, {_name(flow)}, {load}"
    said = [f"{text}, seen from the {look.end} end, in turns per input turn"]
    for lever in found:
        parts = []
        forces = look.torques(lever) if torques else {}
        for node in lever.nodes:
            phrase = look.phrase(node)
            if node.body in forces:
                force = forces[node.body]
                shown = "not determined" if force is None else exactly(force)
                phrase += f" with torque {shown}"
            parts.append(phrase)
        said.append(f"lever of {' and '.join(lever.sets)}: {', '.join(parts)}")
    if flow.state != "drives":
        said.append(f"the train: {flow.state}")
    text = ". ".join(one[:1].upper() + one[1:] for one in said)
    return text + "."
