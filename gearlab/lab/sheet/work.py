"""The work of one student, or one group, in a lab: signed in, asked, answered, kept.

Nobody signed in is practice: everything is judged, and nothing is written. Practice
answers are held for whoever signs in, since some of them can become that student's.
"""

from contextlib import suppress
from dataclasses import replace

from ...base.checks import known
from ..question.checking import Verdict, check
from ..question.papers import FORMS, draw_paper, full_marks, is_marked, marked_questions
from ..question.reading import read_answer
from ..suite.labs import find_lab
from .practice import Practice
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
from .told import (
    BEST_COUNTS,
    KEPT,
    NOT_TRIED,
    PRACTISED,
    RIGHT,
    TRIED,
    key_told,
    quoted,
    shown,
)

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
        self._practice = Practice(draw_paper(self.lab))
        self._begin(self._practice.paper, None)
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
            return "practice"
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
        sheet, notice = load_sheet(paper)
        if not self.students:
            self._practice.sheet = self._sheet
        self._begin(paper, sheet, notice)
        self._write()

    def sign_out(self):
        """Go back to the practice paper; ValueError while answers wait for the disk."""
        self._leave()
        self._begin(self._practice.paper, self._practice.sheet)
        forget_sign_in()

    def _leave(self):
        """Nobody is left whose answers are not written."""
        if why := self._write():
            raise ValueError(
                f"{len(self._unwritten)} of your answers could not be written: {why}"
            )

    # Practice -------------------------------------------------------------------

    @property
    def practised(self):
        """The practice answers that can become those of who signed in, as Attempts.

        They are those to questions that do not hang on drawn numbers. () in practice,
        and once they were taken over or left.
        """
        return self._practice.shared(self.paper) if self.students else ()

    @property
    def only_practised(self):
        """The questions whose practice answers were about the practice numbers."""
        return self._practice.apart(self.paper) if self.students else ()

    def take_over(self):
        """Keep the practice answers that can be kept; "" or why they still wait."""
        self._unwritten += self.practised
        self.leave_practice()
        return self._write()

    def leave_practice(self):
        """Let the practice answers go."""
        self._practice.sheet = None

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
        repeats = self._repeats(topic, given)
        try:
            if not repeats:
                self._keep(topic, given)
        except ValueError as error:  # it could not be read back
            return Verdict(words=f"{error}.", read=False)
        if asked.topic.prediction:
            verdict = Verdict(words=_PREDICTED)
        words = self._told(asked, verdict)
        if repeats:
            words = f"The same answer as before. {words}"
        return replace(verdict, words=words + self._disk(topic))

    def _told(self, asked, verdict):
        """A verdict in words, with what counts for the mark, and whether it is kept."""
        words = verdict.words
        best = self.counting(asked.topic.name)
        if verdict.right is False and best:
            words += f" Your right answer {shown(best)} still counts. {BEST_COUNTS}"
        if not self.students:
            heard = is_marked(asked) or asked.topic.prediction
            return f"{words} {_PRACTICE}" if heard else _PRACTICE
        return f"Kept. {words}" if asked.topic.prediction else words

    def _disk(self, topic):
        """What to say of answers that are not on the disk; "" if all are."""
        why = self._write()
        if not why:
            return ""
        waits = any(one.question == topic for one in self._unwritten)
        what = "It" if waits else "An earlier answer"
        return f" {what} is not on the disk yet: {why}. The next answer tries again."

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

    def counting(self, topic):
        """The right attempt at a topic that counts for the mark, the first; or None."""
        if not is_marked(self.asked(topic)):
            return None
        tries = self.tries(topic)
        return next((one for one in tries if self.verdict(topic, one).right), None)

    def standing(self, topic):
        """How a topic stands: one of told.STANDINGS; what nobody judges is "kept".

        In practice it is "practised" instead.
        """
        if not self.tries(topic):
            return NOT_TRIED
        if not is_marked(self.asked(topic)):
            return KEPT if self.students else PRACTISED
        return RIGHT if self.counting(topic) else TRIED

    @property
    def full(self):
        """The marks of the questions that are marked here, without the instructor."""
        return full_marks(self.lab)

    @property
    def best(self):
        """The marks of the best tries."""
        marked = (one.topic for one in marked_questions(self.paper))
        return sum(one.marks for one in marked if self.standing(one.name) == RIGHT)

    # Predictions ------------------------------------------------------------------

    def prediction(self, topic):
        """The name of a prediction; ValueError for a question that is marked."""
        asked = self.asked(topic)
        if not asked.topic.prediction:
            all_of_them = [one.name for one in self.lab.topics if one.prediction]
            raise ValueError(
                f'"{asked.topic.name}" is no prediction, so its answer is not told;'
                f" name one: {quoted(all_of_them)}"
            )
        return asked.topic.name

    def truth(self, topic):
        """What was predicted first, what is true and why; "" before a prediction."""
        asked = self.paper.asked[self.prediction(topic)]
        tries = self.tries(topic)
        if not tries:
            return ""
        # A later one may have been made with the answer in sight.
        told = f"You said: {shown(tries[0])}. In truth: {key_told(asked.question)}."
        return f"{told} {asked.question.reason}".strip()

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
