"""What was answered before anybody signed in, and what of it can become theirs."""

from ..question.papers import plain_given


class Practice:
    """The practice paper of a lab, and the sheet of what was answered to it.

    Attributes
    ----------
    paper : Paper
    sheet : AnswerSheet, or None if there is nothing to take over
    """

    def __init__(self, paper):
        self.paper, self.sheet = paper, None

    def shared(self, paper):
        """The Attempts at questions that another paper asks in the very same way."""
        return tuple(one for one in self._attempts if self._same(one.question, paper))

    def apart(self, paper):
        """The names of the answered questions that another paper asks otherwise."""
        names = dict.fromkeys(one.question for one in self._attempts)
        return tuple(name for name in names if not self._same(name, paper))

    @property
    def _attempts(self):
        return self.sheet.attempts if self.sheet else ()

    def _same(self, topic, paper):
        one, other = self.paper.asked[topic], paper.asked[topic]
        if one.question.picture and plain_given(one.given) != plain_given(other.given):
            return False  # it may show other numbers
        return one.question == other.question
