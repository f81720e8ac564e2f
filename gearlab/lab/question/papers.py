"""A lab as data, and the paper of one student: every question with its own numbers.

Numbers are drawn from student ids, lab and form, so the same student meets the same
questions again, and another form is another paper. The key is worked out from the drawn
numbers, never stored.
"""

import json
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from hashlib import sha256
from random import Random

from ...base.frozenmap import FrozenMap
from ...train.train import Train
from .question import Explanation, Question

FORMS = tuple("ABCDEFGH")
_TRIES = 400


def nothing(random, given):
    """What a topic draws that has no numbers of its own."""
    return {}


@dataclass(frozen=True, kw_only=True)
class Topic:
    """One question of a lab, for whatever numbers are drawn.

    `ask` makes the Question from the drawn numbers, a dict that JSON can hold: those of
    the lab and those that `draw` adds. When what is asked or drawn changes, `revision`
    goes up and the old `ask` moves to `earlier`, so that old answer sheets are marked
    as asked, and their numbers are not taken for another's.
    A prediction is kept and not marked.
    """

    name: str
    ask: Callable[[dict], Question]
    draw: Callable[[Random, dict], dict] = nothing
    revision: int = 1
    marks: int = 1
    prediction: bool = False
    earlier: FrozenMap = FrozenMap()

    def as_asked(self, revision, given):
        """The question of some revision; KeyError if that is not known."""
        ask = self.ask if revision == self.revision else self.earlier[revision]
        return ask(given)


class Topics(list):
    """The topics of a lab in their order, each declared where its `ask` is written.

    >>> topic = Topics()
    >>> @topic("one and one", marks=2)
    ... def one_and_one(given): ...
    >>> [(each.name, each.marks) for each in topic]
    [('one and one', 2)]
    """

    def __call__(self, name, ask=None, *, earlier=(), **how):
        """Add a topic, and give back its `ask`; without one, what takes it.

        `earlier` are the asks of the revisions before, the oldest first; `how` is what
        a Topic has besides.
        """
        if ask is None:
            return partial(self, name, earlier=earlier, **how)
        how["revision"] = len(earlier) + 1
        how["earlier"] = FrozenMap(enumerate(earlier, 1))
        self.append(Topic(name=name, ask=ask, **how))
        return ask

    def explain(self, name, text, *points):
        """Add an Explanation that is the same for all, with a mark for each point."""

        def ask(given):
            return Explanation(text=text, points=points)

        self(name, ask, marks=len(points))


def drawn_anew(*topics):
    """The topics a revision later, since their numbers are drawn otherwise.

    What was asked of the numbers drawn before is asked as now. A topic that has a later
    revision already is left alone.
    """
    return tuple(
        topic
        if topic.revision > 1
        else replace(topic, revision=2, earlier=FrozenMap({1: topic.ask}))
        for topic in topics
    )


@dataclass(frozen=True, kw_only=True)
class Lab:
    """A graded lab: its place in the suite, its topics, and the numbers they share.

    A lab that is asked of any unit has the `unit`, as the drawn numbers keep it, and
    `refit`, which makes the lab on the unit of some drawn numbers; `left_out` are the
    topics that this unit has no question for.
    """

    name: str  # as its notebook's, with hyphens: "turn-one-set"
    title: str
    level: int  # 1 to 3 stars
    core: bool
    minutes: int
    topics: tuple[Topic, ...]
    draw: Callable[[Random], dict]
    train: Callable[[dict], Train]  # the student's own train, from the drawn numbers
    caution: str = ""  # what else keeps people from harm, printed on its worksheets
    unit: tuple[str, ...] = ()
    left_out: FrozenMap = FrozenMap()  # {topic name: what the unit lacks}
    refit: Callable[[dict], "Lab"] | None = None

    def topic(self, name):
        """The topic of that name; KeyError without one."""
        return next(t for t in self.topics if t.name == name)


def fitted(lab, questions):
    """The lab on the unit that an answer sheet is about.

    Parameters
    ----------
    lab : Lab
    questions : {topic name: (revision, drawn numbers)}, as a sheet keeps them

    Raises
    ------
    ValueError
        The drawn numbers hold no unit that could be asked about.
    """
    if lab.refit is None or not questions:
        return lab
    _, given = next(iter(questions.values()))
    return lab.refit(given)


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A question as one student meets it; `given` are its drawn numbers."""

    topic: Topic
    given: FrozenMap
    question: Question


@dataclass(frozen=True, kw_only=True)
class Paper:
    """Everything that one student, or one group, is asked in a lab."""

    lab: Lab
    students: tuple[str, ...]
    form: str
    given: FrozenMap
    asked: FrozenMap  # {topic name: Asked}

    @property
    def train(self):
        """The student's own train."""
        return self.lab.train(self.given)


def draw_paper(lab, students=(), form="A"):
    """The :class:`Paper` of a student or group; without an id, the practice paper.

    Parameters
    ----------
    lab : Lab
    students : normalised ids, see :mod:`gearlab.lab.sheet.students`
    form : a letter; a retake is another form

    Raises
    ------
    RuntimeError
        No clear question was found, which is a fault of the lab.
    """
    why = None
    for attempt in range(_TRIES):
        try:
            given, numbers = draw_numbers(lab, students, form, attempt)
            asked = {t.name: _asked(t, numbers[t.name]) for t in lab.topics}
        except ValueError as error:  # teeth that no set can have, or an unclear slip
            why = error
            continue
        return Paper(
            lab=lab,
            students=tuple(students),
            form=form,
            given=FrozenMap(given),
            asked=FrozenMap(asked),
        )
    raise RuntimeError(f"no clear paper of {lab.name} in {_TRIES} draws: {why}")


def draw_numbers(lab, students, form, attempt=0):
    """The lab's own numbers of one draw, and {topic name: its numbers}.

    Nearly always the first draw is the paper's; :func:`draw_paper` goes on to others
    where a question would not be clear. Raises ValueError for teeth that cannot be.
    """
    given = lab.draw(_random(students, lab.name, form, attempt))
    numbers = {}
    for topic in lab.topics:
        random = _random(students, lab.name, form, attempt, topic.name)
        numbers[topic.name] = {**given, **topic.draw(random, given)}
    return given, numbers


def same_given(one, other):
    """Whether two drawings of numbers are one, as a file would give them back."""
    return dict(one) == dict(other) or plain_given(one) == plain_given(other)


def plain_given(given):
    """Drawn numbers as a file gives them back: plain dicts and lists."""
    return json.loads(json.dumps(dict(given)))


def _asked(topic, given):
    question = topic.ask(given)
    if question.faults:
        raise ValueError(f"{topic.name}: {question.faults[0]}")
    return Asked(topic=topic, given=FrozenMap(given), question=question)


def _random(*parts):
    # hash() differs between processes, so the seed comes from a digest.
    digest = sha256(repr(parts).encode("utf-8")).digest()
    return Random(int.from_bytes(digest[:8], "big"))


def marked_questions(paper):
    """What the library marks in a paper: no predictions and no explanations."""
    return [asked for asked in paper.asked.values() if is_marked(asked)]


def all_marks(lab):
    """The marks of a lab, with those that only an instructor can give."""
    return sum(topic.marks for topic in lab.topics if not topic.prediction)


@lru_cache(maxsize=64)
def full_marks(lab):
    """The marks that the library can give in a lab; those of explanations are apart."""
    # Which questions are marked is the same on every paper.
    return sum(asked.topic.marks for asked in marked_questions(draw_paper(lab)))


def is_marked(asked):
    """Whether the library marks this question: no prediction and no explanation."""
    return not asked.topic.prediction and not isinstance(asked.question, Explanation)
