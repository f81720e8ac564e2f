"""What a drawing of one gear set reads from a flow: roles, words and the alt text."""

from dataclasses import dataclass
from functools import cached_property, lru_cache
from math import inf

from ...base.checks import colour, known
from ...base.frozenmap import FrozenMap
from ...base.numerals import exactly, number, rounded
from ...say.describe import title
from ...solve.facts import member_roles, roles
from ...solve.powerflow import LOAD_WORDS, PowerFlow
from ...train.gearset import GearSet
from ...train.kinds import KINDS
from .style import BIG_FONT, CONTEXTS, LETTERS, PARTS
from .textwidth import fitted, text_width

ENDS = ("input", "output")
LONGEST_WORD = 30  # letters; names of many words are broken between them
COLOURINGS = ("part", "role", "paint")
# What a member is drawn as; those of a differential by where the picture has them.
_LIKE = {"left": "sun", "right": "ring"}
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
    words: FrozenMap = FrozenMap()

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

    @property
    def shown_title(self):
        """The title as it is written; the set's name alone may have another word."""
        name = self.words.get(self.gear_set.name, "")
        return name[:1].upper() + name[1:] or self.say(self.title)

    def say(self, text):
        """What is written instead of an English text."""
        return said(self.words, text)

    def part(self, short):
        """What a member is drawn as: "sun", "planet", "ring", "carrier" or "other"."""
        part = _LIKE.get(short, short.rsplit(" ", 1)[-1])
        return part if part in LETTERS else "other"

    def letter(self, short):
        """The letter of a member, or the first letters of its words.

        Members of a set written out by its meshes have more where they begin alike.
        """
        if self.gear_set.record.written_out:
            others = [name for name in self.gear_set.members if name != short]
            for count in (1, 2, 3):
                start = short[:count]
                if not any(name.startswith(start) for name in others):
                    break
            return self.say(start[:1].upper() + start[1:])
        return self.say("".join([word[0] for word in short.split(" ")]).upper())

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
        part = self.part(short)
        if self.colour_by == "paint":
            part = f"{part}#{self._paint(short)}"
        if self._tells(short):
            does = member_roles(self.flow)[self.gear_set.member(short)]
            part = does if does in PARTS else "free"
        return f"{part} {what}{self.dotted(short)}"

    def _tells(self, short):
        """Whether the colour of a member says what it does; a planet only passes on."""
        return self.colour_by == "role" and self.part(short) != "planet"

    def _paint(self, short):
        """The six digits of a member's colour on the bench; "" if it has none."""
        train, member = self.flow.train, self.gear_set.member(short)
        given = train.paint.get(member) or train.paint.get(train.body_of[member])
        return colour(given, member)[1:] if given else ""

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
        if self._tells(short):
            does = member_roles(self.flow)[self.gear_set.member(short)]
            if does != "turns":
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
        simple = set(one.members) == {"sun", "planet", "ring", "carrier"}
        for short in ("sun", "carrier", "ring") if simple else one.members:
            teeth = one.all_teeth.get(one.record.key(short))
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


def said(words, text):
    """What is written instead of an English text: `words` maps one to the other.

    A name of several words is looked up whole; else its end, if that is a member's
    short name, and what stands before it. A word longer than a picture has room for
    is cut; the alt sentence has it whole.

    >>> said({"sun": "Sonne", "rear": "hinten:"}, "rear sun"), said({}, "low brake")
    ('hinten: Sonne', 'low brake')
    """
    return " ".join(map(_cut, _worded(words, text).split(" ")))


def _worded(words, text):
    if not words or text in words:
        return words.get(text, text)
    parts = text.split(" ")
    for cut in range(1, len(parts)):
        before, after = " ".join(parts[:cut]), " ".join(parts[cut:])
        if after in words and _is_member(after):
            return f"{_worded(words, before)} {words[after]}"
    return text


def _is_member(short):
    return any(short in kind.members for kind in KINDS.values())


def _cut(word):
    return word if len(word) <= LONGEST_WORD else word[: LONGEST_WORD - 1] + "…"


def headline(flow, words=FrozenMap()):
    """What a flow is called and what it gives, as it is written.

    >>> import gearlab
    >>> headline(gearlab.power_flow(gearlab.load_train("five-range"), "3"))
    'Range 3, under power: ratio 1.407 (38/27)'
    """
    load = LOAD_WORDS[flow.load]
    if flow.range is None:
        name = title(flow)
        what = said(words, name[:1].lower() + name[1:])
    else:
        what = f"{said(words, 'range')} {said(words, flow.range)}"
    gives = said(words, flow.state)
    if flow.ratio is not None:
        gives = f"{said(words, 'ratio')} {exactly(flow.ratio)}"
    text = f"{what}, {said(words, load)}: {gives}"
    return text[:1].upper() + text[1:]


@lru_cache(maxsize=1024)
def signed(value, size=1.0, room=inf, bold=False):
    """A number with its sign shown, rounded until it fits into `room` px.

    >>> from fractions import Fraction
    >>> signed(Fraction(17, 12)), signed(Fraction(-5, 3), 10, 30), signed(Fraction(0))
    ('+1.417', '−1.7', '0')
    """
    sign = "+" if value > 0 else ""
    text = sign + number(value)
    for digits in (2, 1, 0):
        if text_width(text, size, bold) <= room:
            return text
        text = sign + number(rounded(value, digits))
    return fitted(text, size, room, bold)
