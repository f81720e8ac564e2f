"""What a drawing of one gear set reads from a flow: roles, words and the alt text."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import inf

from ..checks import known
from ..describe import roles
from ..gearset import GearSet
from ..numerals import exactly, number
from ..powerflow import PowerFlow
from .style import BIG_FONT, CONTEXTS, PARTS
from .textwidth import fitted, text_width

ENDS = ("input", "output")
COLOURINGS = ("part", "role")
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


@dataclass(frozen=True, kw_only=True)
class View:
    """What a drawing of one set was asked for, and what it says of each member.

    Members go by their short names here. It reads the flow and solves nothing.
    """

    flow: PowerFlow
    gear_set: GearSet
    end: str = "input"
    context: str = "screen"
    labels: bool = True
    big: bool = False
    colour_by: str = "part"

    def __post_init__(self):
        known(self.end, ENDS, "end")
        known(self.context, CONTEXTS, "context")
        known(self.colour_by, COLOURINGS, "colouring")

    @property
    def font(self):
        """The letter size [px]."""
        return BIG_FONT if self.big else CONTEXTS[self.context].font

    @property
    def few(self):
        """Whether only the most needed labels are drawn."""
        return self.big or CONTEXTS[self.context].few_labels

    @property
    def hand(self):
        """1, or −1 where the picture is mirrored."""
        return 1 if self.end == "input" else -1

    @property
    def title(self):
        """What the set is called at the top: "Front set"."""
        name = self.gear_set.name[:1].upper() + self.gear_set.name[1:]
        return name if name.lower().endswith("set") else f"{name} set"

    @cached_property
    def _does(self):
        return roles(self.flow)

    def speed(self, short):
        """Turns per input turn, or None."""
        return self.flow.speeds[self.gear_set.member(short)]

    def turn(self, short):
        """Turns on the screen per input turn, clockwise."""
        return self.hand * float(self.flow.one_motion[self.gear_set.member(short)])

    def held(self, short):
        """Whether the case, a brake or a one-way clutch keeps it still."""
        return self._does[self.gear_set.member(short)] == "held"

    def dotted(self, short):
        """The end of its role: a "?" where its speed is not determined."""
        return "?" if self.speed(short) is None else ""

    def role(self, short, what):
        """The role of something drawn of a member."""
        part = short if short in PARTS else "other"
        if self.colour_by == "role" and short != "planet":
            does = self._does[self.gear_set.member(short)]
            part = does if does in PARTS else "free"
        return f"{part} {what}{self.dotted(short)}"

    def word(self, short):
        """How it turns, or what it does where colours say that, in a word or two."""
        does = self._does[self.gear_set.member(short)]
        speed = self.speed(short)
        if speed is None:
            return "not determined"
        if does == "held":
            return "held"
        if not speed:
            return "stands still"
        if self.colour_by == "role" and short != "planet":
            return does
        return "forward" if speed > 0 else "backward"

    def phrase(self, short, many=False):
        """How it turns, for an alt sentence, with its exact speed."""
        speed = self.speed(short)
        if speed is None:
            return f"{'have' if many else 'has'} no determined speed"
        if not speed:
            still = "stand still" if many else "stands still"
            return still + (" (held)" if self.held(short) else "")
        way = "forward" if speed > 0 else "backward"
        turns = "turn" if many else "turns"
        return f"{turns} {way} {exactly(abs(speed))} per input turn"

    def alt(self, what="", planets=True):
        """The sentence that carries the numbers, for a drawing named `what`."""
        one, parts = self.gear_set, []
        simple = one.kind == "simple"
        for short in ("sun", "carrier", "ring") if simple else one.members:
            teeth = one.all_teeth.get(short)
            having = f" with {teeth} teeth" if teeth else ""
            parts.append(f"{short}{having} {self.phrase(short)}")
        text = f"{self.title}{what} seen from the {self.end} end: {', '.join(parts)}"
        if simple and planets:
            count = one.planets
            number = _COUNTS[count] if count and count < len(_COUNTS) else count
            words = "planet" if count == 1 else "planets"
            words += f" with {one.all_teeth['planet']} teeth"
            words = f"{number} {words}" if count else words
            text += f"; {words} {self.phrase('planet', many=count != 1)}"
        if self.flow.state != "drives":
            text += f". The train: {self.flow.state}"
        return text + "."


def signed(value, size=1.0, room=inf, bold=False):
    """A number with its sign shown, rounded until it fits into `room` px.

    >>> signed(Fraction(17, 12)), signed(Fraction(-5, 3), 10, 30), signed(Fraction(0))
    ('+1.417', '−1.7', '0')
    """
    sign = "+" if value > 0 else ""
    text = sign + number(value)
    for digits in (2, 1, 0):
        if text_width(text, size, bold) <= room:
            return text
        text = sign + number(round(Fraction(value), digits))
    return fitted(text, size, room, bold)
