"""All ranges of a train as lines across its levers, for comparison."""

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from math import ceil, floor

from ...base.checks import known
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, number
from ...solve.levers import levers
from ...solve.powerflow import LOAD_WORDS, LOADS, range_flows
from ...train.train import a_train
from ..kit.shapes import Circle, Line, Text
from ..kit.spread import spread
from ..kit.style import RANGE_LINES
from ..kit.textwidth import wrapped
from .ends import end_names, end_width
from .frame import heading, label_column, lever_title, without_lever
from .look import INDENT, LINE, LeverLook
from .parts import (
    SpeedScale,
    label_lines,
    labels,
    pointed,
    reach,
    rows_of,
    scale_numbers,
    scales,
)

_LENGTH, _BEYOND, _LEAD = 13.0, 1.6, 1.5  # in letter sizes


def draw_lever_ranges(
    train, *, load="drive", end="input", context="screen", words=FrozenMap()
):
    """Every range that drives as a line across the levers of a train.

    Where a line crosses a node's row is the node's speed. Ranges that are alike on a
    lever share a line; its name, and on the output's lever the ratio, is at its end.

    Parameters
    ----------
    train : Train, with ranges
    load : "drive" or "coast"
    end : "input" (forward is to the right) or "output" (mirrored)
    context : "screen", "projector", "print" or "class" (for the back row)
    words : ``{English text: what is written instead}``

    Raises
    ------
    ValueError
        An unknown load, end or context, or a train without ranges.
    """
    a_train(train)
    known(load, LOADS, "load")
    flows = {name: row[load] for name, row in range_flows(train).items()}
    if not flows:
        raise ValueError(
            f'the train "{train.name}" has no ranges, but each range is a line of this'
            " drawing; add [ranges], or draw one flow with draw_levers"
        )
    looks = {
        name: LeverLook(flow=flow, end=end, context=context, words=words)
        for name, flow in flows.items()
    }
    picture = _Picture(
        looks={name: look for name, look in looks.items() if _drives(look)},
        left_out={name: look for name, look in looks.items() if not _drives(look)},
        levers=levers(train),
    )
    return picture.scene()


def _drives(look):
    return look.flow.state == "drives"


@dataclass(frozen=True, kw_only=True)
class _Bundle:
    """Ranges that are one line of a lever, with the speeds of its end nodes."""

    names: tuple[str, ...]
    ends: tuple
    role: str


@dataclass(frozen=True, kw_only=True)
class _Picture:
    """The ranges that drive, the others, and where all is put."""

    looks: dict
    left_out: dict
    levers: tuple

    @property
    def look(self):
        """Any look: what does not depend on the range."""
        return next(iter((*self.looks.values(), *self.left_out.values())))

    @property
    def width(self):
        """Of the whole picture [px]."""
        return 2 * self.look.column

    def scene(self):
        """The drawing."""
        look, font = self.look, self.look.font
        load = LOAD_WORDS[look.flow.load]
        words = f"{look.say('Ranges on the levers')}, {look.say(load)}"
        shapes, y = heading(look, words, self.width)
        for lever in self.levers if self.looks else ():
            more, y = self._lever(lever, y)
            shapes += more
        more, y = look.below(y, self._notes(), LINE)
        without, y = without_lever(look, self.levers, self.width, y)
        shapes += more + without
        return look.scene(self.width, y + 0.8 * font, shapes, self._alt())

    def _bundles(self, lever):
        """The lines of a lever; ranges alike on every lever have one role on all."""
        first, last = lever.nodes[0], lever.nodes[-1]
        found, everywhere = {}, {}
        for name, look in self.looks.items():
            ends = look.speed(first), look.speed(last)
            if None not in ends:
                found.setdefault(ends, []).append(name)
            nodes = [node for one in self.levers for node in one.nodes]
            everywhere.setdefault(tuple(map(look.speed, nodes)), []).append(name)
        place = {name: i for i, row in enumerate(everywhere.values()) for name in row}
        for ends, names in found.items():
            places = {place[name] for name in names}
            # A line that is several others elsewhere is in ink.
            number = min(places) % len(RANGE_LINES)
            role = "lever" if len(places) > 1 else f"range {number}"
            yield _Bundle(names=tuple(names), ends=ends, role=role)

    def _lever(self, lever, y):
        """One lever with its ranges below `y`, and where it ends."""
        look, font = self.look, self.look.font
        shapes, y = lever_title(look, lever, self.width - 1.6 * font, y)
        plot = self._plot
        bundles = list(self._bundles(lever))
        names, keys = self._names(lever, bundles, plot.right - plot.left)
        room = (max(map(len, names), default=0) * LINE + _LEAD + 0.3) * font
        room += (_BEYOND - 0.9) * font
        above = self._above(lever, bundles)
        blocks = self._blocks(lever)
        top = y + (room if above else LINE * font)
        rows = rows_of(lever, blocks, top, font, _LENGTH)
        first, last = rows.nodes[0], rows.nodes[-1]
        high, low = first - 0.9 * font, last + 0.9 * font
        speeds = self._scale(plot)
        shapes += scales(plot, speeds, high, low)
        edge = label_column(look, self.levers)
        shapes += labels(look, lever, blocks, rows, edge, [plot.right] * len(blocks))
        shapes += self._lines(lever, bundles, names, (first, last), above)
        shapes += self._dots(lever, bundles, rows)
        at = low + 1.2 * font if above else high - 0.4 * font
        shapes += scale_numbers(plot, speeds, at, font)
        y = max(at, rows.end) if above else max(low + room, rows.end)
        lines = wrapped("; ".join(keys), font, look.room(self.width))
        more, y = look.below(y, lines, LINE)
        return shapes + more, y + 0.4 * font

    def _blocks(self, lever):
        """The labels of a lever's nodes."""
        look, font = self.look, self.look.font
        room = label_column(look, self.levers) - INDENT * font
        return [label_lines(look, node, room, value=False) for node in lever.nodes]

    def _ends(self, lever, bundle):
        """The speeds where a line ends, beyond the first and the last node."""
        font = self.look.font
        nodes = rows_of(lever, self._blocks(lever), 0, font, _LENGTH).nodes
        first, last = map(float, bundle.ends)
        beyond = (last - first) * _BEYOND * font / (nodes[-1] - nodes[0])
        return first - beyond, last + beyond

    @cached_property
    def _plot(self):
        """The :class:`SpeedScale` that has room for every range on every lever."""
        font, look = self.look.font, self.look
        speeds = [
            speed
            for lever in self.levers
            for bundle in self._bundles(lever)
            for speed in self._ends(lever, bundle)
        ]
        slowest, fastest = reach(speeds)
        return SpeedScale(
            left=label_column(look, self.levers) + 1.9 * font,
            right=self.width - 1.6 * font,
            slowest=slowest,
            fastest=fastest,
            hand=look.hand,
        )

    def _scale(self, plot):
        """The speeds that have a line, the case line last."""
        if plot.unit < 2 * self.look.font:
            return (1, 0)
        whole = range(ceil(plot.slowest), floor(plot.fastest) + 1)
        return (*[speed for speed in whole if speed], 0)

    def _above(self, lever, bundles):
        """Whether the lines are named above the lever: where they are further apart."""
        gaps = []
        for i in (0, 1):
            ends = sorted(self._ends(lever, bundle)[i] for bundle in bundles)
            gaps.append(min((b - a for a, b in pairwise(ends)), default=0))
        return gaps[0] >= 0.7 * gaps[1]

    def _names(self, lever, bundles, room):
        """The lines of text at each line's end, and what letters there stand for."""
        font, look = self.look.font, self.look
        names = [", ".join(map(look.say, bundle.names)) for bundle in bundles]
        ratios = [self._ratio(lever, bundle) for bundle in bundles]
        return end_names(names, ratios, font, room, look.say("ratio"))

    def _ratio(self, lever, bundle):
        """The ratio of a line's ranges, on the output's lever; else nothing."""
        train = self.look.flow.train
        body = train.body_of[train.output]
        homes = [one for one in self.levers if body in one.position]
        ratios = {self.looks[name].flow.ratio for name in bundle.names}
        if lever is (homes or self.levers)[-1] and len(ratios) == 1:
            return number(ratios.pop())
        return ""

    def _lines(self, lever, bundles, names, ends, above):
        """The lines of the ranges, each led to its name."""
        font, plot, way = self.look.font, self._plot, -1 if above else 1
        tips = [
            plot.across(self._ends(lever, bundle)[0 if above else 1])
            for bundle in bundles
        ]
        order = sorted(range(len(tips)), key=tips.__getitem__)
        pairs = [(bundles[i], names[i]) for i in order]
        wanted = [tips[i] for i in order]
        sizes = [end_width(lines, font) for _, lines in pairs]
        middles = spread(wanted, sizes, plot.left, plot.right)
        near, far = ends if above else ends[::-1]
        end = near + way * _BEYOND * font
        lead = end + way * _LEAD * font
        for (bundle, lines), x, at in zip(pairs, wanted, middles, strict=True):
            other = plot.across(bundle.ends[1 if above else 0])
            yield Line(points=((x, end), (other, far)), role=bundle.role)
            gap = 0.3 * font * way
            yield Line(points=((x, end + gap), (at, lead)), role="leader")
            base = lead - (LINE * len(lines) - LINE + 0.35) * font
            if not above:
                base = lead + 0.95 * font
            for i, (line, bold) in enumerate(lines):
                y = base + i * LINE * font
                yield Text(x=at, y=y, text=line, size=font, bold=bold, anchor="middle")

    def _dots(self, lever, bundles, rows):
        """Dots where a node is settled from outside: two of them make the line."""
        height = dict(zip(lever.nodes, rows.nodes, strict=True))
        places = {
            (self._plot.across(speed), height[node])
            for bundle in bundles
            for node, speed in self._settled(lever, bundle)
        }
        for x, y in sorted(places):
            yield Circle(x=x, y=y, r=0.24 * self.look.font, role="turning")

    def _settled(self, lever, bundle):
        """{(node, its speed)} where a node of a line is settled from outside."""
        looks = [self.looks[name] for name in bundle.names]
        return {
            (node, look.speed(node))
            for look in looks
            for node in lever.nodes
            if look.settled(node)
        }

    def _notes(self):
        """What is below the levers: the scale, the ratios, and what is not drawn."""
        look = self.look
        notes = []
        if self.looks and self.levers:
            notes.append(pointed(look, look.say("turns per input turn, forward")))
            bundles = [(on, b) for on in self.levers for b in self._bundles(on)]
            if any(self._ratio(on, bundle) for on, bundle in bundles):
                notes.append(look.say("at the line ends: range and ratio"))
            if any(self._settled(on, bundle) for on, bundle in bundles):
                notes.append(
                    look.say("dots: a speed set by the case, the input or a clutch")
                )
        out = [
            f"{look.say(name)} ({look.say(one.flow.state)})"
            for name, one in self.left_out.items()
        ]
        if out:
            notes.append(f"{look.say('left out')}: {', '.join(out)}")
        for lever in self.levers:
            drawn = {n for bundle in self._bundles(lever) for n in bundle.names}
            missing = [look.say(name) for name in self.looks if name not in drawn]
            if missing:
                sets = " + ".join(map(look.say, lever.sets))
                words = look.say("not determined")
                notes.append(f"{sets}: {words}: {', '.join(missing)}")
        room = look.room(self.width)
        return [line for note in notes for line in wrapped(note, look.font, room)]

    def _alt(self):
        """The sentences that carry the numbers."""
        flow = self.look.flow
        load = LOAD_WORDS[flow.load]
        text = f"Ranges of {flow.train.name} on its levers, {load}"
        said = [f"{text}, seen from the {self.look.end} end, in turns per input turn"]
        nodes = {node.body: node for lever in self.levers for node in lever.nodes}
        for name, look in self.looks.items():
            phrases = ", ".join(map(look.phrase, nodes.values()))
            said.append(f"Range {name}, ratio {exactly(look.flow.ratio)}: {phrases}")
        out = [f"{name} ({one.flow.state})" for name, one in self.left_out.items()]
        if out:
            said.append(f"Left out: {', '.join(out)}")
        return ". ".join(said) + "."
