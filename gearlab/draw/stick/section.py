"""The half section of one gear set with its parts named, to learn reading from."""

from functools import cached_property

from ...base.frozenmap import FrozenMap
from ...solve.powerflow import power_flow
from ...train.gearset import GearSet
from ...train.kinds.kind import LARGE, PLANET
from ...train.train import CASE, Brake, Clutch, OneWayClutch, Train
from ..kit.shapes import Group, Hatch, Line, letter
from ..kit.style import CONTEXTS, LETTERS
from ..kit.textwidth import wrapped
from .diagram import Stick
from .key import AHEAD, wedge
from .names import LINE
from .place import place
from .symbols import rectangle

# Elements and shafts are called by what they are, so that their names explain them.
TRAIN = Train(
    name="Gear set for reading",
    input="input shaft",
    output="output shaft",
    sets=(
        GearSet(
            name="gear",
            kind="simple",
            teeth=FrozenMap({"sun": 30, "ring": 70}),
            planets=4,
        ),
    ),
    shafts=FrozenMap(
        {
            "input shaft": (),
            "output shaft": ("gear carrier",),
            "drum": ("gear ring",),
        }
    ),
    brakes=(Brake(name="brake", member="drum"),),
    clutches=(Clutch(name="clutch", first="input shaft", second="gear sun"),),
    one_way_clutches=(
        OneWayClutch(name="one-way clutch", member="drum", against=CASE),
    ),
)
_TITLE = "How to read a stick diagram"
_CUT = "The train is cut open along its axis. Its upper half is drawn."
_SCALE = 1.6  # larger than in a whole train, for the planet's letter
_ALT = (
    "Half section of one gear set with its parts named, the {end} at the left. The"
    " planet is the box. The ring is the bar above it, the carrier the line through"
    " it, the sun the bar below it. The ring has a drum: a line to a brake and to a"
    " one-way clutch, which both have their other side on the hatched case. A clutch"
    " joins the input shaft to the sun. The carrier turns the output shaft."
)


def draw_half_section(*, end="input", context="screen", words=FrozenMap()):
    """One gear set as a stick diagram shows it, with each part named.

    Parameters
    ----------
    end : "input" has the input at the left, "output" the output (mirrored)
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene: planet, ring, carrier and sun, a drum, a brake, a clutch, a one-way clutch
    and the case, with a sentence for each

    Raises
    ------
    ValueError
        An unknown end or context.
    """
    section = _Section(
        flow=power_flow(TRAIN, applied=()),
        end=end,
        context=context,
        power=False,
        circulating=False,
        labels=True,
        words=words,
    )
    return section.drawn()


class _Section(Stick):
    """A plain diagram of one set with a letter on each member."""

    @cached_property
    def placed(self):
        names = {f"gear {part}": self.say(LETTERS[part]) for part in LETTERS}
        names["drum"] = self.say("drum")
        words = FrozenMap({**self.words, **names})
        return place(self.flow.train, self.context, words, True, _SCALE)

    def drawn(self):
        """The section at the left, and the sentences beside it."""
        placed, font, column = self.placed, self.font, self.column
        width = max(2 * column, round(column + placed.width + 2 * font))
        head, top = self._heading(self.room(width))
        across = width - column
        key, low = self._key(across, width - 0.8 * font, top)
        spare = max(0.0, low - top - placed.height)
        at = (across - placed.width) / 2, top + spare / 2
        section = Group(x=at[0], y=at[1], shapes=(*self.section(), *self._planet()))
        low = max(low, top + placed.height)
        shapes = (*head, section, *key)
        return self.scene(width, low + 0.6 * font, shapes, _ALT.format(end=self.end))

    def _planet(self):
        """The planet's letter, over its carrier's line."""
        placed, (block,) = self.placed, self.placed.layout.blocks
        x, y = placed.at((block.columns[0], block.rows[PLANET]))
        x = x if self.end == "input" else placed.width - x
        yield letter(
            self.say(LETTERS["planet"]), placed.font, x, y - LARGE / 2 * placed.u
        )

    def _heading(self, room):
        """What the picture is for, and where that ends."""
        y, shapes = 0.2 * self.font, []
        for text, bold in ((_TITLE, True), (_CUT, False)):
            lines = wrapped(self.say(text), self.font, room, bold)
            more, y = self.below(y, lines, LINE, bold=bold)
            shapes += more
        return shapes, y + 0.6 * self.font

    def _key(self, left, right, y):
        """A sign and a sentence for each part, and where they end."""
        font = self.font
        u = font / CONTEXTS["screen"].font
        sample, shapes = 30 * u, []
        at = left + sample + 0.8 * font
        for picture, sentence in self._parts():
            y += 0.45 * font
            signs = tuple(picture(u, sample))
            shapes.append(Group(x=left, y=y + 0.64 * font, shapes=signs))
            lines = wrapped(self.say(sentence), font, right - at)
            more, y = self.below(y - 0.25 * font, lines, LINE, x=at)
            shapes += more
            y += 0.25 * font
        return shapes, y

    def _parts(self):
        planet = "planet: the box, with teeth on its upper and lower edge"
        yield self._letter("planet"), planet
        yield self._letter("ring"), "ring: the bar above the planet"
        yield self._letter("carrier"), "carrier: the line through the planet"
        yield self._letter("sun"), "sun: the bar below the planet"
        yield _drum, "drum: a line from a member to a brake or a clutch"
        yield _brake, "brake: two plates, one of them fixed to the case"
        yield _clutch, "clutch: two plates that can both turn"
        yield wedge, AHEAD
        yield _case, "case: the hatched line, which never turns"

    def _letter(self, part):
        def draw(u, wide):
            size = self.font
            yield letter(self.say(LETTERS[part]), size, wide / 2, 0)

        return draw


def _drum(u, wide):
    yield Line(points=((0, 0), (wide, 0)), role="other line")


def _clutch(u, wide):
    for side in (-8, 4):
        x = wide / 2 + side * u
        yield rectangle(x, -9 * u, x + 4 * u, 9 * u, "open")
    for start, end in ((0, wide / 2 - 8 * u), (wide / 2 + 8 * u, wide)):
        yield Line(points=((start, 0), (end, 0)), role="other line")


def _brake(u, wide):
    yield from _clutch(u, wide)
    strokes = tuple(((wide, y * u), (wide + 4 * u, (y - 4) * u)) for y in (-4, 0, 4, 8))
    yield Hatch(lines=strokes, role="hatch")
    yield Line(points=((wide, -8 * u), (wide, 8 * u)), role="case")


def _case(u, wide):
    starts = [8 * u * i for i in range(round(wide / u) // 8)]
    strokes = tuple(((x, 3 * u), (x + 6.4 * u, -5 * u)) for x in starts)
    yield Hatch(lines=strokes, role="hatch")
    yield Line(points=((0, 3 * u), (wide, 3 * u)), role="case")
