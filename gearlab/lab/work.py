"""The work of one student, or one group, in a lab: signed in, asked, answered, kept.

Nobody signed in is practice: everything is judged, and nothing is written.
"""

from contextlib import suppress
from dataclasses import replace

from ..checks import known
from .checking import Verdict, check
from .labs import find_lab
from .papers import FORMS, draw_paper, is_marked
from .reading import read_answer
from .sheet import (
    AnswerSheet,
    Attempt,
    as_begun,
    as_kept,
    load_sheet,
    record,
    sheet_path,
)
from .signin import forget_sign_in, keep_sign_in, last_sign_in
from .students import read_students

NOT_TRIED, TRIED, KEPT, RIGHT = STANDINGS = ("not tried", "tried", "kept", "right")
NO_HINTS = "No more hints."
_PREDICTED = "Now turn it and see."
_PRACTICE = "Not kept: sign in first."


class Work:
    """What somebody does in a lab; who signed in last on this machine is signed in.

    Parameters
    ----------
    lab : name of a lab of the suite, or a Lab

    Attributes
    ----------
    lab : Lab
    paper : Paper; the practice paper while nobody is signed in
    notice : a sentence about an answer sheet that could not be read, or ""
    """

    def __init__(self, lab):
        self.lab = find_lab(lab) if isinstance(lab, str) else lab
        self._unwritten = []
        self._begin(draw_paper(self.lab), None)
        if last := last_sign_in():
            try:
                self._take(*last)
            except ValueError as error:
                self.notice = f"Nobody is signed in: {error}."

    def _begin(self, paper, sheet, notice=""):
        if sheet is None:
            sheet = AnswerSheet(students=(), lab=paper.lab.name, form=paper.form)
        self.paper, self._sheet, self.notice = as_begun(paper, sheet), sheet, notice
        self._hints, self._judged = {}, {}

    # Who --------------------------------------------------------------------------

    @property
    def students(self):
        """The ids of who is signed in; () for nobody."""
        return self.paper.students

    @property
    def who(self):
        """Whose paper it is, in words."""
        if not self.students:
            return "practice paper"
        return f"{', '.join(self.students)}, form {self.paper.form}"

    @property
    def path(self):
        """Where the answer sheet lies; None for nobody's."""
        if not self.students:
            return None
        return sheet_path(self.students, self.lab.name, self.paper.form)

    def sign_in(self, text, form="A"):
        """Take the paper and the answer sheet of some ids, separated by commas.

        Raises ValueError for ids, a form or a sheet that cannot be used, and while
        earlier answers wait for the disk.
        """
        self._take(text, form)
        keep_sign_in(self.students, form)

    def _take(self, text, form):
        students = read_students(text)
        known(form, FORMS, "form")
        if (students, form) != (self.students, self.paper.form):
            self._leave()
        paper = draw_paper(self.lab, students, form)
        self._begin(paper, *load_sheet(paper))
        self._write()

    def sign_out(self):
        """Go back to the practice paper; ValueError while answers wait for the disk."""
        self._leave()
        self._begin(draw_paper(self.lab), None)
        forget_sign_in()

    def _leave(self):
        """Nobody is left whose answers are not written."""
        if why := self._write():
            raise ValueError(
                f"{len(self._unwritten)} of your answers could not be written: {why}"
            )

    # What is asked ----------------------------------------------------------------

    @property
    def topics(self):
        """The names of the lab's questions, in order."""
        return tuple(topic.name for topic in self.lab.topics)

    def asked(self, topic):
        """The Asked of a topic; ValueError names the nearest topic."""
        return self.paper.asked[known(topic, self.topics, "question")]

    def question(self, topic):
        """The Question of a topic, as this student meets it."""
        return self.asked(topic).question

    # Answers ----------------------------------------------------------------------

    @property
    def sheet(self):
        """The AnswerSheet with what waits for the disk; in practice, a draft."""
        return replace(self._sheet, attempts=(*self._sheet.attempts, *self._unwritten))

    def answer(self, topic, given):
        """The Verdict on an answer, which is written to the sheet at once.

        An answer that cannot be read is not kept, and one that says the same as the
        last is no new try. A prediction is kept and not judged.
        """
        try:
            asked = self.asked(topic)
        except ValueError as error:
            words = f"There is {error}"
            stop = "" if words.endswith("?") else "."
            return Verdict(words=f"{words}{stop}", read=False)
        verdict = check(asked.question, given)
        if not verdict.read:
            return verdict
        if not self._repeats(topic, given):
            self._keep(topic, given)
        if asked.topic.prediction:
            verdict = Verdict(words=_PREDICTED)
        if not self.students:
            heard = is_marked(asked) or asked.topic.prediction
            words = f"{verdict.words} {_PRACTICE}" if heard else _PRACTICE
            return replace(verdict, words=words)
        words = f"Kept. {_PREDICTED}" if asked.topic.prediction else verdict.words
        if why := self._write():
            waits = any(one.question == topic for one in self._unwritten)
            what = "It" if waits else "An earlier answer"
            words += (
                f" {what} is not on the disk yet: {why}. The next answer tries again."
            )
        return replace(verdict, words=words)

    def _keep(self, topic, given):
        attempt = Attempt(
            id="",
            question=topic,
            answer=as_kept(self.question(topic), given),
            when="",
            hints=self.hints_seen(topic),
        )
        if self.students:
            self._unwritten.append(attempt)
        else:
            drafts = (*self._sheet.attempts, attempt)
            self._sheet = replace(self._sheet, attempts=drafts)

    def _repeats(self, topic, given):
        """Whether it says the same as the last try: its cell or button ran twice."""
        question, tries = self.question(topic), self.tries(topic)
        with suppress(ValueError):  # a sheet may hold anything
            last = read_answer(question, tries[-1].answer) if tries else None
            return last == read_answer(question, given)
        return False

    def _write(self):
        """Write what waits; "" or the reason why some of it still waits."""
        why, refused, waiting = "", False, []
        for one in self._unwritten:
            if refused:  # by the disk, which would refuse the others as well
                waiting.append(one)
                continue
            try:
                self._sheet, notice = record(
                    self.paper, one.question, one.answer, hints=one.hints
                )
            except ValueError as error:
                why = why or str(error)
                refused = isinstance(error.__cause__, OSError)
                waiting.append(one)
            else:
                self.notice = notice or self.notice
        self._unwritten = waiting
        return why

    # Looking back -----------------------------------------------------------------

    def tries(self, topic):
        """The attempts at a topic, in order."""
        return self.sheet.tries(self.asked(topic).topic.name)

    def verdict(self, topic, attempt):
        """The Verdict on an earlier attempt; a prediction has none, so None."""
        asked = self.asked(topic)
        if asked.topic.prediction:
            return None
        key = asked.topic.name, attempt.answer
        if key not in self._judged:  # a page asks again after each answer
            self._judged[key] = check(asked.question, attempt.answer)
        return self._judged[key]

    def standing(self, topic):
        """How a topic stands: one of STANDINGS; what nobody judges is "kept"."""
        tries = self.tries(topic)
        if not tries:
            return NOT_TRIED
        if not is_marked(self.asked(topic)):
            return KEPT
        right = any(self.verdict(topic, one).right for one in tries)
        return RIGHT if right else TRIED

    @property
    def full(self):
        """The marks that can be had here without the instructor."""
        return sum(one.topic.marks for one in self._marked)

    @property
    def best(self):
        """The marks of the best tries."""
        names = [(one.topic.name, one.topic.marks) for one in self._marked]
        return sum(marks for name, marks in names if self.standing(name) == RIGHT)

    @property
    def _marked(self):
        return [asked for asked in self.paper.asked.values() if is_marked(asked)]

    # Hints ------------------------------------------------------------------------

    def hints_seen(self, topic):
        """How many hints of a topic have been taken, now or before a restart."""
        before = max((one.hints for one in self.tries(topic)), default=0)
        seen = max(before, self._hints.get(topic, 0))
        return min(seen, len(self.question(topic).hints))

    def hint(self, topic):
        """The next hint, which is counted with the next answer; or NO_HINTS."""
        seen, hints = self.hints_seen(topic), self.question(topic).hints
        if seen == len(hints):
            return NO_HINTS
        self._hints[topic] = seen + 1
        return hints[seen]
