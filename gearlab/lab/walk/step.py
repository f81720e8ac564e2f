"""What a class is led through: a plan of steps, as plain facts."""

from dataclasses import dataclass

from ...base.brief import Brief
from ...solve.powerflow import PowerFlow
from ...train.train import Train

LETTERS = "ABCD"
TITLES = {
    "ranges": "range {}",
    "coasting": "range {}, coasting",
    "neutral": "range {}",
    "tie-up": "range {} and one element more",
    "roll-back": "range {}, on a hill",
    "shifts": "shift {}",
}


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What can be predicted, with the reason that somebody gives for it.

    `claim` is what it says, so that it can be held against the library; `slip` is the
    mistake behind it, "" for what is true, and `helps` is what to answer to it.
    """

    says: str
    because: str
    claim: object
    slip: str = ""
    helps: str = ""

    @property
    def words(self):
        """What stands on the screen."""
        return f"{self.says}: {self.because}" if self.because else self.says


@dataclass(frozen=True, kw_only=True)
class Notes:
    """What the instructor has at hand in a step, and the class does not see."""

    minutes: int
    say: tuple[str, ...]  # what is so, in sentences
    ask: tuple[tuple[str, str], ...]  # what to ask next, and what is right
    wrong: tuple[tuple[str, str], ...]  # what is often said wrong, and what helps
    card: tuple[tuple[str, str], ...] = ()  # how it is set up on a cutaway


@dataclass(frozen=True, kw_only=True)
class Step:
    """One question to a class, and what is shown once it was voted on.

    `before` stands on the bench while it is asked, `flow` once it is revealed; it
    `turns` by itself then where there is something to see.
    """

    topic: str
    name: str  # short, in large letters
    before: PowerFlow
    flow: PowerFlow
    asked: str
    choices: tuple[Choice, ...]
    why: str
    turns: bool
    notes: Notes

    @property
    def title(self):
        """What it is about, in a few words that tell nothing."""
        return TITLES[self.topic].format(self.name)

    @property
    def right(self):
        """The place of the choice that is true."""
        return next(n for n, one in enumerate(self.choices) if not one.slip)

    def told(self, longest):
        """The answer in a line of so many letters, or at least which one it is."""
        letter, true = LETTERS[self.right], self.choices[self.right]
        ways = filter(None, (true.words, true.because, true.says))
        lines = [f"{letter}: {way}" for way in ways] + [f"{letter} is right"]
        return next((line for line in lines if len(line) <= longest), lines[-1])


@dataclass(frozen=True, kw_only=True, repr=False)
class Plan(Brief):
    """The steps of a class on one train, in their order."""

    train: Train
    steps: tuple[Step, ...]

    _heads = ("step", "what is asked", "minutes")

    @property
    def _brief(self):
        return f"{len(self.steps)} steps, {self.minutes} minutes, {self.train.name}"

    @property
    def _lead(self):
        return f"{self.train.name}: {len(self.steps)} steps, {self.minutes} minutes."

    @property
    def _rows(self):
        return [
            (f"{n}. {step.title}", step.asked, str(step.notes.minutes))
            for n, step in enumerate(self.steps, 1)
        ]

    @property
    def minutes(self):
        """How long all steps take [min]."""
        return sum(step.notes.minutes for step in self.steps)
