"""What a lever drawing reads from a flow: of each node its speed, roles and words."""

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from ...base.numerals import exactly
from ...solve.facts import member_roles
from ...solve.loads import member_loads
from ...train.train import CASE
from ..kit.page import signed
from ..kit.style import PARTS
from ..kit.view import Look, View

LINE = 1.3  # from one line of text to the next, in letter sizes
INDENT = 2.6  # of the names in a label, in letter sizes


@dataclass(frozen=True, kw_only=True)
class LeverLook(Look):
    """What a drawing of levers was asked for, and what it says of each node."""

    @cached_property
    def _loads(self):
        return member_loads(self.flow)

    @cached_property
    def _joined(self):
        """{body: "input" or "output"}: what a closed clutch makes one with an end."""
        train = self.flow.train
        found = {train.body_of[train.output]: "output"}
        found[train.body_of[train.input]] = "input"
        names = train.in_order(self.flow.applied | self.flow.holding)
        pairs = [tuple(map(train.body_of.get, train.by_name[n].sides)) for n in names]
        for _ in pairs:
            for one, other in (*pairs, *(pair[::-1] for pair in pairs)):
                if one in found and other != CASE:
                    found.setdefault(other, found[one])
        return found

    def speed(self, node):
        """Turns per input turn, or None."""
        return Fraction(0) if node.body == CASE else self.flow.speeds[node.body]

    def drawn_speed(self, node):
        """The speed that is drawn: where it is not determined, one of many."""
        return Fraction(0) if node.body == CASE else self.flow.one_motion[node.body]

    def torques(self, lever):
        """``{body: torque}`` that the shafts bring to a lever; see its `torques`."""
        return lever.torques(self._loads.torques)

    def held(self, node):
        """Whether the case, a brake or a one-way clutch keeps it still."""
        return node.body == CASE or self.does[node.body] == "held"

    def settled(self, node):
        """Whether the case, the input or a closed element but the output's has it."""
        flow, body_of = self.flow, self.flow.train.body_of
        if node.body in (CASE, body_of[flow.train.input]):
            return True
        for name in flow.applied | flow.holding:
            bodies = {body_of[side] for side in flow.train.by_name[name].sides}
            if node.body in bodies and body_of[flow.train.output] not in bodies:
                return True
        return False

    def doing(self, node):
        """What it does for the lever: "drives", "driven", "held", "turns free" …"""
        if self.held(node):
            return "held"
        found = {member_roles(self.flow)[member] for member in node.members}
        if len(found) == 1:
            return found.pop()
        # A shaft that only passes on what its members bring and take just turns.
        powers = [self._loads.powers[member] for member in node.members]
        power = 0 if None in powers else sum(powers)
        return "drives" if power > 0 else "driven" if power else "turns"

    @cached_property
    def _home(self):
        """{member: the view of its set, its short name there}."""
        home = {}
        for one in self.flow.train.sets:
            view = View(gear_set=one, **self.asked)
            home |= {one.member(short): (view, short) for short in one.members}
        return home

    def letter(self, member):
        """The letter that stands beside a member's name."""
        view, short = self._home[member]
        return view.letter(short) if view.part(short) != "other" else ""

    def parts(self, node):
        """The parts that a node is made of, each once, for its signs."""
        homes = [self._home[member] for member in node.members]
        parts = [view.part(short) for view, short in homes] or ["other"]
        return tuple(dict.fromkeys(parts))

    def role(self, node, what, part=None):
        """The role of something drawn of a node, or of one of its parts."""
        parts = self.parts(node)
        part = part or (parts[0] if len(parts) == 1 else "other")
        if self.colour_by == "role":
            does = self.doing(node)
            part = does if does in PARTS else "free"
        if self.colour_by == "paint":
            paint = ""
            if node.members:
                view, short = self._home[node.members[0]]
                paint = view.role(short, what).split(" ")[0].partition("#")[2]
            part = f"{part}#{paint}"
        return f"{part} {what}{self.dotted(node)}"

    def value(self, node, room, ends=True):
        """Its speed in a label, at most `room` px wide, with a word on it.

        With `ends` it says which nodes turn with the input and the output.
        """
        speed = self.speed(node)
        if speed is None:
            return self.say("not determined")
        word = self._joined.get(node.body, "") if ends else ""
        if self.held(node):
            word = "held"
        elif not speed:
            word = "stands still"
        elif self.colour_by == "role":
            does = self.doing(node)
            word = does if does != "turns" else ""
        text = signed(speed, self.font, room, True)
        return f"{text} ({self.say(word)})" if word else text

    def value_samples(self, ends=True):
        """The longest that :meth:`value` is in a usual train."""
        words = ("input", "output") if ends else ()
        if self.colour_by == "role":
            words = ("drives", "driven", "turns free")
        return [
            self.say("not determined"),
            *[f"0 ({self.say(word)})" for word in ("held", "stands still")],
            *[f"+0.000 ({self.say(word)})" for word in words],
        ]

    def heading(self, node):
        """The name of a node that is a shaft, "" for a lone member."""
        return "" if node.members == (node.body,) else node.body

    def phrase(self, node):
        """A node in an alt sentence, with its exact speed."""
        speed = self.speed(node)
        name = node.body
        members = [member for member in node.members if member != node.body]
        if members:
            name += f" ({', '.join(members)})"
        if speed is None:
            return f"{name} not determined"
        held = " (held)" if not speed and self.held(node) else ""
        return f"{name} {exactly(speed)}{held}"
