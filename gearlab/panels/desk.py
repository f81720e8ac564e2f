"""The answer desk on top of a lab: who answers, the questions, and how they stand."""

from dataclasses import dataclass

import ipywidgets as widgets

from ..base.machine import in_browser
from ..lab.question.checking import Verdict
from ..lab.sheet.newcomers import newcomers
from ..lab.sheet.students import read_students
from ..lab.sheet.told import BEST_COUNTS, left_out_told, marks_told, quoted
from ..lab.sheet.work import Work
from ..lab.suite.labs import find_lab
from . import parts
from .asking import QuestionPanel, Questions, sign
from .bench import Bench
from .cells import MadeByCells
from .closing import Finish, LeftOut, Truth
from .keeping import Keeping
from .press import PressBox
from .roadlog import LogPanel
from .roadtest import RoadTest
from .signing import signing_fields

PRACTICE = "Practice: nothing is kept. Sign in to get numbers of your own."
YOURS = "The questions below have your numbers now."
NOTHING_GIVEN = "No answer is given: write it after the name of the question."
AGAIN = "Run the cells with code below again."
LEFT = "The practice answers are left behind."
SAY_FIRST = "Say your prediction first: “{}”, above."


@dataclass
class _Waits:
    """The prediction that a bench waits for, if any, and whether it told the truth.

    `is_own` is False for a train that is everybody's.
    """

    topic: str | None
    is_own: bool
    told: bool = False


class Desk(widgets.VBox):
    """The desk of a lab. Whoever signed in last on this machine is signed in.

    Parameters
    ----------
    lab : name of a lab, or a Lab
    train : the unit that "walk-a-unit" is asked of; the five-range unit if left out

    Raises
    ------
    ValueError
        An unknown lab, one that has a unit of its own, or a train that no question can
        be asked of.
    """

    def __init__(self, lab, train=None):
        self.work = Work(lab if train is None else find_lab(lab, train))
        self._panels, self._benches = {}, MadeByCells()
        self._sure = set()  # new ids that were said to be meant
        self._meant = {}  # the buttons of a question who signs in, while it stands
        self._scope, style = parts.scope()
        self._who, self._questions = widgets.HTML(), widgets.HTML()
        self.box = PressBox(signing_fields(), "answer desk")
        lab = self.work.lab
        stars = parts.quiet("★" * lab.level)
        heading = widgets.HTML(f"<h3>{parts.text(lab.title)} {stars}</h3>")
        # A browser keeps no folder that anybody could open.
        self.keeping = Keeping(self.work, self._loaded) if in_browser() else None
        kept = [self.keeping] if self.keeping else []
        super().__init__([style, heading, self.box, self._who, *kept, self._questions])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self._type(self.work.paper)
        self._say()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the questions in words where panels are not shown."""
        work = self.work
        stand = [f"{topic}: {work.standing(topic)}" for topic in work.topics]
        words = f"Answer desk of '{work.lab.title}' ({work.who}). {'; '.join(stand)}."
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    # Who ------------------------------------------------------------------------

    def sign_in(self, text, form="A", sure=False):
        """Sign in one student, or a group with commas between the ids.

        An id that has no answers here and looks like one that has is asked about,
        unless it is `sure` or was so before.
        """
        parts.guarded(lambda: self._sign_in(text, form, sure), self.box.complain)

    def sign_out(self):
        """Go back to the practice paper."""
        parts.guarded(
            lambda: self._changed(self.work.sign_out, PRACTICE), self.box.complain
        )

    def take_over(self):
        """Keep the practice answers that can be those of who signed in."""
        parts.guarded(self._take_over, self.box.complain)

    def leave_practice(self):
        """Let the practice answers go."""
        self.work.leave_practice()
        self._say(LEFT)

    def _sign_in(self, text, form, sure):
        students = read_students(text)
        new = newcomers(students)
        near = {one: known for one, known in new.items() if known}
        if sure:
            self._sure.update(near)
        if near.keys() - self._sure:
            self._ask_who(students, near, form)
            return
        said = [f"{_new_here(new)}: no answers yet."] if new else []
        self._changed(lambda: self.work.sign_in(text, form), *said, YOURS)

    def _ask_who(self, students, near, form):
        """Ask whether an id was mistyped, with a button for either answer."""
        ids = ", ".join(students)
        meant = ", ".join(near.get(one, one) for one in students)
        self._meant = {
            "meant": (f"sign in as {meant}", lambda: self.sign_in(meant, form)),
            "new": (f"begin as {ids}", lambda: self.sign_in(ids, form, sure=True)),
        }
        self._show()
        asked = f"{_new_here(near)}; did you mean {quoted(near.values())}?"
        self.box.say(asked, "not-yet")

    def _changed(self, change, *said):
        before = self.work.paper
        change()
        self._meant = {}
        paper = self.work.paper
        self._type(paper)
        for panel in self._panels.values():
            panel.renew()
        for bench, waits in self._benches:
            if waits.is_own:
                bench.take_train(paper.train)
            if waits.topic:
                bench.cover()
            waits.told = False  # to whoever is signed in now
            self._uncover(bench, waits)
        again = [AGAIN] if paper.given != before.given else []
        self._say(*said, *again, *self._practised())

    def _type(self, paper):
        self.box.values = [", ".join(paper.students), paper.form]

    def _signing(self):
        """The buttons to sign in and out."""
        return {
            "sign_in": ("sign in", lambda: self.sign_in(*self.box.values)),
            "sign_out": ("sign out", self.sign_out),
        }

    def _loaded(self, whose):
        """Show what was loaded to whoever is signed in, or sign in whose it is."""
        mine = ", ".join(self.work.students) or (whose[0] if len(whose) == 1 else "")
        if mine in whose:
            form = self.work.paper.form if self.work.students else self.box.values[1]
            self.sign_in(mine, form, sure=True)

    # Practice -------------------------------------------------------------------

    def _practised(self):
        """What to say of practice answers to somebody who signs in."""
        can, cannot = self.work.practised, self.work.only_practised
        if can:
            yield f"Take over your {_count(can)}?"
        if cannot:
            yield (
                f"What you answered to {quoted(cannot)} was about the practice numbers"
                " and stays practice: answer with your own."
            )

    def _taking_over(self):
        """The buttons that decide on practice answers, while there are any."""
        can = self.work.practised
        if not can:
            return {}
        return {
            "take_over": (f"take over {_count(can)}", self.take_over),
            "leave": ("leave them", self.leave_practice),
        }

    def _take_over(self):
        count = _count(self.work.practised)
        why = self.work.take_over()
        for panel in self._panels.values():
            panel.renew()
        self._answered()
        said = f"Taken over: {count}."
        self._say(f"{said} Not on the disk yet: {why}." if why else said)

    # Questions --------------------------------------------------------------------

    def ask(self, topic, *more):
        """The panel of a question, or of several in one.

        Each question has one panel, however often it is asked. In place of one that
        the unit has not, the panel says what is lacking.
        """
        if more:
            return Questions([self.ask(one) for one in (topic, *more)])
        if topic in self.work.lab.left_out:
            return self._panel(LeftOut, topic)
        return self._panel(QuestionPanel, self.work.asked(topic).topic.name)

    def truth(self, topic):
        """What was predicted and what is true, once the prediction was said.

        Raises ValueError for a question that is no prediction.
        """
        return self._panel(Truth, self.work.prediction(topic))

    def road_test(self, topic):
        """The road test of a question: what each range and load shows.

        Raises ValueError for a question that has none.
        """
        return self._panel(RoadTest, self.work.asked(topic).topic.name)

    def finish(self):
        """What is done and what is left, where the answers lie, and the hand-in."""
        return self._panel(Finish)

    def _panel(self, kind, *topic):
        """The one panel of a kind, for a question or for the whole lab."""
        if (kind, *topic) not in self._panels:
            made = kind(self.work, *topic, on_answer=self._answered)
            self._panels[kind, *topic] = made
        return self._panels[kind, *topic]

    def put_down(self, topic, *given):
        """Put down an answer from code; the Verdict on it, also on a wrong one.

        Several values are several names in a list, or a decimal comma.
        """
        if not given:
            return Verdict(words=NOTHING_GIVEN, read=False)
        verdict = self.work.answer(topic, given[0] if len(given) == 1 else given)
        self._answered()
        return verdict

    def _answered(self):
        for panel in self._panels.values():
            panel.refresh()
        for bench, waits in self._benches:
            self._uncover(bench, waits)
        if self.work.notice:
            self.box.complain(self.work.notice)
        # Else what was said stays: below it all would move, away from the mouse.
        self._show()

    # The student's train ----------------------------------------------------------

    @property
    def train(self):
        """The student's own train."""
        return self.work.paper.train

    def bench(self, range=None, *, after=None, train=None, **options):
        """A bench panel, whose train follows who signs in unless one is given.

        Parameters
        ----------
        range : the range to begin with; the first forward one if it is left out
        train : a train for everybody, so that the panel tells nobody's own numbers;
            the student's own if it is left out
        after : a prediction; the answer is covered until it was said at the desk
        options : as :class:`gearlab.panels.Bench` takes them

        Raises
        ------
        ValueError
            An unknown range or question, or one that is no prediction.
        """
        asked = after not in self.work.lab.left_out
        topic = self.work.prediction(after) if after and asked else None
        if topic:
            options["covered"] = SAY_FIRST.format(topic)
        made = Bench(train or self.train, range, **options)
        waits = _Waits(topic, is_own=train is None)
        self._benches.add(made, waits, same_as=(range, topic, train, repr(options)))
        self._uncover(made, waits)
        return made

    def log(self, log, *, after=None, at=None):
        """A log panel, which is everybody's; covered until a prediction was said.

        Parameters
        ----------
        log : RoadLog
        after : a prediction of this lab, or None
        at : the time to begin with [s]

        Raises
        ------
        ValueError
            What is no road log, an unknown question, or one that is no prediction.
        """
        topic = self.work.prediction(after) if after else None
        covered = SAY_FIRST.format(topic) if topic else ""
        made = LogPanel(log, at=at, covered=covered)
        waits = _Waits(topic, is_own=False)
        self._benches.add(made, waits, same_as=("log", topic, log.name))
        self._uncover(made, waits)
        return made

    def _uncover(self, bench, waits):
        """Once it was predicted, show the answer, and say what was said and is."""
        truth = waits.topic and self.work.truth(waits.topic)
        if truth and not waits.told:
            bench.reveal(truth)
        waits.told = bool(truth)

    # Showing ----------------------------------------------------------------------

    @property
    def status(self):
        """The sentence of the status line, as HTML; "" if there is none."""
        return self.box.status

    def _say(self, *said):
        """Say what was done, behind the sheet's notice, and show how it is."""
        notice = self.work.notice
        words = " ".join(filter(None, [notice, *said]))
        self.box.say(words, "fault" if notice else "result")
        self._show()

    def _show(self):
        work = self.work
        # Behind the others, so that a second click on "sign in" decides nothing.
        self.box.act(**self._signing(), **self._taking_over(), **self._meant)
        self._who.value = self._whose()
        lines = [
            f"<li><span>{parts.text(topic)}:</span> {sign(work.standing(topic))}</li>"
            for topic in work.topics
        ]
        self._questions.value = (
            f'<ol class="gl-list gl-standings">{"".join(lines)}</ol>'
            f"<p>{parts.text(marks_told(work))} {BEST_COUNTS}</p>"
            f"{self._left_out()}"
        )

    def _left_out(self):
        """The questions that the unit has not, as HTML; "" if it has them all."""
        left = " ".join(left_out_told(self.work.lab).values())
        return f"<p>{parts.text(left)}</p>" if left else ""

    def _whose(self):
        work = self.work
        if not work.students:
            return f"<p>{PRACTICE}</p>"
        group = "Group" if len(work.students) > 1 else "Signed in"
        place = f"<p>Answers are kept in <code>{parts.text(work.path)}</code>.</p>"
        return (
            f"<p><b>{group}: {parts.text(work.who)}.</b> Not you? Sign in with your"
            f" own id.</p>{'' if self.keeping else place}"
        )


def _new_here(ids):
    return f"{quoted(ids)} {'are' if len(ids) > 1 else 'is'} new here"


def _count(attempts):
    return f"{len(attempts)} practice answer{'s' * (len(attempts) != 1)}"
