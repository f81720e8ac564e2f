"""What drawings read from a flow: the looks that were asked for, roles and words."""

from dataclasses import dataclass, replace
from functools import cached_property

from ...base.checks import colour, known
from ...base.numerals import exactly
from ...solve.facts import member_roles, roles
from ...solve.powerflow import PowerFlow
from ...train.gearset import GearSet
from .owner import of_body
from .page import Page
from .style import BIG_FONT, LETTERS, PARTS

ENDS = ("input", "output")
COLOURINGS = ("part", "role", "paint")
# What a member is drawn as; those of a differential by where the picture has them.
_LIKE = {"left": "sun", "right": "ring"}
_COUNTS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight")


@dataclass(frozen=True, kw_only=True)
class Look(Page):
    """What a drawing of a flow was asked for; it reads the flow and solves nothing."""

    flow: PowerFlow
    end: str = "input"
    colour_by: str = "part"

    def __post_init__(self):
        super().__post_init__()
        known(self.end, ENDS, "end")
        known(self.colour_by, COLOURINGS, "colouring")

    @property
    def hand(self):
        """1, or −1 where the picture is mirrored."""
        return 1 if self.end == "input" else -1

    @property
    def seen(self):
        """The line at the top that says from which end the train is looked at."""
        return self.say(f"seen from the {self.end} end")

    @property
    def asked(self):
        """The looks, for another drawing of the same flow."""
        names = ("flow", "end", "context", "colour_by", "words")
        return {name: getattr(self, name) for name in names}

    @cached_property
    def does(self):
        """{body or member: what it does}, as :func:`gearlab.solve.facts.roles`."""
        return roles(self.flow)

    def dotted(self, what):
        """The end of its role: a "?" where its `speed` is not determined."""
        return "?" if self.speed(what) is None else ""

    def scene(self, width, height, shapes, alt):
        """The finished picture, of whole pixels."""
        return super().scene(width, round(height), shapes, alt)


@dataclass(frozen=True, kw_only=True)
class View(Look):
    """What a drawing of one set was asked for, and what it says of each member.

    Members go by their short names here.
    """

    gear_set: GearSet
    labels: bool = True
    big: bool = False
    crank: bool = False  # whether what turns with the input carries a handle

    @property
    def font(self):
        """The letter size [px]."""
        return BIG_FONT if self.big and not self.frame else super().font

    @property
    def times(self):
        """How many times as large as needed the picture for the back row is drawn."""
        return self.font / BIG_FONT

    @property
    def few(self):
        """Whether only the most needed labels are drawn."""
        return self.big or super().few

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

    def of(self, short):
        """The owner of what is drawn of a member; see :mod:`gearlab.draw.kit.owner`."""
        return of_body(self.flow.train, self.gear_set.member(short))

    def speed(self, short):
        """Turns per input turn, or None."""
        return self.flow.speeds[self.gear_set.member(short)]

    def turn(self, short):
        """Turns on the screen per input turn, clockwise."""
        return self.hand * float(self.flow.one_motion[self.gear_set.member(short)])

    def held(self, short):
        """Whether the case, a brake or a one-way clutch keeps it still."""
        return self.does[self.gear_set.member(short)] == "held"

    @property
    def reads(self):
        """All that a picture of the set reads from its flow: one picture for each."""
        train, one = self.flow.train, self.gear_set
        role = member_roles(self.flow) if self.colour_by == "role" else {}
        painted = self.colour_by == "paint"
        rows = [(short, one.member(short)) for short in one.members]
        return self.flow.state, tuple(
            (
                self.flow.speeds[member],
                self.flow.one_motion[member],
                self.does[member],
                role.get(member),
                train.body_of[member],
                self._paint(short) if painted else "",
            )
            for short, member in rows
        )

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
        does = self.does[self.gear_set.member(short)]
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

    def scene(self, width, height, shapes, alt):
        """The finished picture; that for the back row has thick lines."""
        scene = super().scene(width, height, shapes, alt)
        thin = self.big and not self.frame
        return replace(scene, context="projector") if thin else scene
