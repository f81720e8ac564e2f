"""A class is led through a train on one panel: ask, vote, reveal, go on."""

from traitlets import Any, Dict

from ..bench import lesson
from ..lab.walk.plan import TOPICS, class_plan
from ..lab.walk.told import notes_told
from ..train.catalogue import load_train
from ..train.train import Train
from . import parts
from .bench import Bench


class ClassWalk(Bench):
    """A bench in class view that follows a plan, a question a step.

    Parameters
    ----------
    train : Train, a shipped name, or the path of a train file
    order, topics : as :func:`gearlab.lab.walk.plan.class_plan` takes them

    Attributes
    ----------
    plan : the steps, as plain data
    walk : ``{"step": its place, "hands": {its place as text: hands a choice}}``

    Raises
    ------
    ValueError
        A train that cannot be used, or no range of which drives; a range or topic that
        there is not.
    """

    plan = Dict().tag(sync=True)
    walk = Any().tag(sync=True)
    _theirs = ("state", "view", "walk")
    _in_class = True

    def __init__(self, train, *, order=None, topics=TOPICS):
        train = train if isinstance(train, Train) else load_train(train)
        self.course = class_plan(train, order=order, topics=topics)
        first, self._walk = self.course.steps[0], lesson.FIRST
        super().__init__(self.course.train, first.before.range, predict=True)
        self._pages.book["teeth"] = None  # the plan is made for those of the train
        with self.hold_sync():
            self.book = dict(self._pages.book)
            self.plan, self.walk = lesson.told_plan(self.course), self._walk
            self.to_step(0)
        self.observe(lambda change: self._walk_heard(change["new"]), names="walk")

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with its steps in words where panels are not shown."""
        names = "; ".join(step.title for step in self.course.steps)
        words = f"Class walk of {self.train.name}, step by step: {names}."
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    def _stored(self):
        """Nothing: a page without a kernel has no plan."""
        return {}

    @property
    def notes(self):
        """The speaker notes, a text a step; they hold the answers."""
        return notes_told(self.course)

    @property
    def step(self):
        """The step that the class has come to, with its question."""
        return self.course.steps[self._walk["step"]]

    def to_step(self, place):
        """Go to a step, the first one being 0; its answer is hidden.

        Raises nothing: a step that there is not is said in the status line.
        """
        self._guard(lambda: self._went({**self._walk, "step": place}))

    def next_step(self):
        """Go on to the next step, if there is one."""
        self.to_step(min(self._walk["step"] + 1, len(self.course.steps) - 1))

    def reveal(self, words=""):
        """Show the answer of the step; `words` say what was predicted, if given."""
        self._try(lambda: lesson.told_state(self._now, self.step))

    def _changed(self, new, idle):
        if new.train != self._now.train:
            raise ValueError(
                "teeth were changed, but the plan of a class is made for those of its"
                " train; make another panel with train.with_teeth(...)"
            )
        super()._changed(new, idle)

    def _went(self, walk):
        self._walk = lesson.heard_walk(self.course, walk)
        with self.hold_sync():
            self.walk = dict(self._walk)
            self._changed(lesson.asked_state(self._now, self.step), "")

    def _walk_heard(self, given):
        """Take where the page says the class is; its state it tells itself."""
        if given == self._walk:
            return

        def heard():
            self._walk = lesson.heard_walk(self.course, given)

        self._guard(heard)
        self.walk = dict(self._walk)
