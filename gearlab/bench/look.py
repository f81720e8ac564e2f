"""The pictures of a flow as pieces of SVG, each kept once under its own name.

An end view comes in two pieces: outlines that stay while a flow changes, and the signs
and words over them. So a train has far fewer pieces than it has states.
"""

from dataclasses import dataclass, field, replace
from hashlib import sha256

from ..base import checks
from ..base.frozenmap import FrozenMap
from ..draw.charts.applychart import chart_sheet
from ..draw.charts.classchart import class_chart_sheet
from ..draw.endview import end_view_sheet
from ..draw.endview.crank import handled
from ..draw.kit.layers import layers
from ..draw.kit.svg import to_svg
from ..draw.kit.view import COLOURINGS, ENDS
from ..draw.kit.view import View as SetView
from ..draw.levers import levers_sheet
from ..draw.stick import has_stick, stick_sheet
from ..solve.equilibrium import DRIVES
from ..solve.powerflow import PowerFlow, power_flow

PATH, LEVERS, CHART, SET = "path", "levers", "chart", "set:"
# Letters: the context of every picture, and whether end views are for the back row.
LETTERS = {
    "screen": ("screen", False),
    "projector": ("projector", False),
    "class": ("class", True),
}


@dataclass(frozen=True, kw_only=True)
class View:
    """How pictures are looked at; nothing here changes what a train does."""

    end: str = "input"
    letters: str = "screen"
    colours: str = "part"
    circulating: bool = False

    def __post_init__(self):
        checks.known(self.end, ENDS, "end")
        checks.known(self.letters, LETTERS, "kind of letters")
        checks.known(self.colours, COLOURINGS, "colouring")

    @property
    def key(self):
        """Its key in a book.

        >>> View(end="output", circulating=True).key
        'output/screen/part/1'
        """
        return f"{self.end}/{self.letters}/{self.colours}/{int(self.circulating)}"

    @property
    def context(self):
        """The context of every picture."""
        return LETTERS[self.letters][0]

    @property
    def big(self):
        """Whether end views are for the back row."""
        return LETTERS[self.letters][1]


def view_of(key):
    """The :class:`View` of a key; ValueError if it is none."""
    parts = key.split("/") if isinstance(key, str) else ()
    if len(parts) != 4 or parts[3] not in ("0", "1"):
        raise ValueError(
            f"{checks.shortened(key)} is no view; write it like input/screen/part/0"
        )
    end, letters, colours, circulating = parts
    return View(
        end=end, letters=letters, colours=colours, circulating=circulating == "1"
    )


def flow_look(flow, view, pieces, *, words=FrozenMap()):
    """The pictures of a flow: ``{picture: where its pieces are and what they say}``.

    Parameters
    ----------
    flow : PowerFlow
    view : View
    pieces : dict to which the pieces of SVG are added by their names
    words : what is written instead of an English text

    Raises
    ------
    ValueError
        A train too large for a diagram; words that are no such mapping.
    """
    return Draughtsman(flow=flow, pieces=pieces, words=words).look(view)


def hidden_look(train, view, pieces, *, words=FrozenMap()):
    """The pictures of a train at rest, without a word that tells an answer.

    Parameters are as of :func:`flow_look`; there are no levers and no chart.
    """
    flow = power_flow(train, applied=())
    return Draughtsman(flow=flow, pieces=pieces, words=words).hidden_look(view)


@dataclass(frozen=True, kw_only=True, eq=False)
class Draughtsman:
    """Draws a flow in any view; see :func:`flow_look`.

    `drawn` is what was drawn so far, for other flows of the same train in the same
    words: a picture is not drawn again for one of which it reads the same.
    """

    flow: PowerFlow
    pieces: dict
    words: FrozenMap = FrozenMap()
    drawn: dict = field(default_factory=dict)
    _read: dict = field(default_factory=dict, init=False)

    def look(self, view):
        """All pictures of the flow."""
        look = {PATH: self._path(view)} if has_stick(self.flow.train) else {}
        for one in self.flow.train.sets:
            look[SET + one.name] = self._end_view(view, one)
        look[LEVERS] = self._levers(view)
        if self.flow.train.ranges:
            look[CHART] = self._chart(view)
        return look

    def hidden_look(self, view):
        """The pictures that tell no answer, of a flow with nothing applied."""
        drawn = has_stick(self.flow.train)
        look = {PATH: self._path(view, power=False)} if drawn else {}
        for one in self.flow.train.sets:
            look[SET + one.name] = self._end_view(view, one, labels=False)
        return look

    def _path(self, view, power=True):
        """The stick diagram with the power on its way."""
        # Where nothing is driven, no power goes round either.
        circulating = view.circulating and self.flow.state == DRIVES
        asked = {**self._asked(view), "power": power, "circulating": circulating}
        return self._once((PATH, *self._stands), asked, stick_sheet, self.flow)

    def _end_view(self, view, one, labels=True):
        """The end view of a gear set."""
        asked = {**self._asked(view), "labels": labels, "big": view.big}
        reads = SET + one.name, self._reads(one, view.colours)
        return self._once(reads, asked, end_view_sheet, self.flow, one.name)

    def _levers(self, view):
        """The levers of all sets."""
        reads = LEVERS, *self._stands
        return self._once(reads, self._asked(view), levers_sheet, self.flow)

    def _chart(self, view):
        """The apply chart, with the row of the range marked."""
        asked = {"context": view.context, "words": self.words}
        asked |= {"load": self.flow.load, "current": self.flow.range}
        draw = class_chart_sheet if view.big else chart_sheet
        return self._once((CHART,), asked, draw, self.flow.train)

    def _asked(self, view):
        return {
            "end": view.end,
            "context": view.context,
            "colour_by": view.colours,
            "words": self.words,
        }

    @property
    def _stands(self):
        """What tells one flow of a train from all others."""
        return self.flow.load, self.flow.applied, self.flow.range

    def _reads(self, one, colours):
        """A number for all that the end view of a set reads from the flow."""
        if (one.name, colours) not in self._read:
            asked = {"colour_by": colours, "crank": True}
            seen = SetView(flow=self.flow, gear_set=one, **asked)
            reads = one.name, handled(seen), seen.reads
            number = self.drawn.setdefault(reads, len(self.drawn))
            self._read[one.name, colours] = number
        return self._read[one.name, colours]

    def _once(self, reads, asked, draw, *given):
        """A picture as its look; it is drawn unless one that reads the same was."""
        key = (*reads, *(value for name, value in asked.items() if name != "words"))
        if key not in self.drawn:
            self.drawn[key] = self._laid(draw(*given, **asked))
        return self.drawn[key]

    def _laid(self, sheet):
        """A picture as its look, its pieces put with the others."""
        body, key = sheet.body, sheet.key
        found = layers(body) if sheet.centre else None
        return {
            "live": self._put(found.live if found else body, ground=not found),
            "kept": found and self._put(found.kept),
            "rates": {part: round(rate, 6) for part, rate in found.rates.items()}
            if found
            else {},
            "key": key and self._put(key),
            "w": _px(body.width),
            "h": _px(body.height),
            "kw": _px(key.width) if key else 0,
            "kh": _px(key.height) if key else 0,
            "font": _px(sheet.font),
            "title": sheet.title,
            "alt": body.alt,
            "centre": sheet.centre and [_px(at) for at in sheet.centre],
        }

    def _put(self, scene, ground=True):
        # The sentence stands in the look: a page says it once, over all pieces.
        svg = to_svg(replace(scene, alt=""), ground=ground)
        name = sha256(svg.encode()).hexdigest()[:12]
        if name not in self.pieces:
            self.pieces[name] = svg
        return name


def _px(length):
    """A length for a page [px], a whole one without a point."""
    length = round(length, 2)
    return int(length) if length == int(length) else length
