"""Shifts as several labs ask of them: what goes off and on, and who is early."""

from ...base.numerals import listed
from ..question.question import Choice, Row
from ..question.slips import slip

SIDES = ("go off", "come on")
# The slip of whoever takes a moment between two ranges for what it is not, by the word
# of a MidShift, and what helps.
_NOT_SO = {
    "tie-up": ("too few taken for too many", None),
    "output locked": (
        "held taken for locked",
        "which parts keep the output from turning, at that moment?",
    ),
    "flare": (
        "the ratio not looked at",
        "does what is applied let the input run ahead of both ranges?",
    ),
    "higher range": (
        "the ratio not looked at",
        "work out the ratio of that moment. Is it below both?",
    ),
    "between": (
        "the ratio not looked at",
        "work out the ratio of that moment. Does it lie there?",
    ),
    "as before": (
        "nothing taken to change",
        "something has moved. Does that change a speed?",
    ),
    "as after": (
        "all taken to have moved",
        "something has not moved yet. Does it matter?",
    ),
    "other way": (
        "the wrong way",
        "set what is applied at that moment. Which way does the mark go?",
    ),
}


def side_of_shift(text, passing, side, options, alone):
    """What asks which elements go off, or come on, in a shift.

    Parameters
    ----------
    text : the question
    passing : from :func:`gearlab.ask.shifts.shift`
    side : one of :data:`SIDES`
    options : the names to tick
    alone : the one-way clutches that do it without a command
    """
    sides = dict(zip(SIDES, (passing.off, passing.on), strict=True))
    answer = sides.pop(side)
    (other,) = sides.values()
    end = passing.before if side == SIDES[0] else passing.after
    both = "these are both sides of the shift together."
    return Row(
        text=text,
        options=options,
        answer=answer,
        slips=(
            slip("off and on swapped", other),
            slip("all that is applied", end.applied),
            slip("a one-way clutch applied", answer | frozenset(alone)),
            slip("off and on swapped", answer | other, both),
        ),
        hints=(
            "Put the two rows of the chart under each other.",
            "Strike out what is in both rows. One-way clutches need no command.",
        ),
        reason="What stands in one row only must change.",
    )


def moved_told(passing, early):
    """The elements that have moved by then, in words."""
    moved = [f"{name} {'off' if name in passing.off else 'on'}" for name in early]
    return listed(moved)


def moment_of_shift(text, rows, early, midway, reason):
    """What asks what a unit does while some elements have moved and others have not.

    Parameters
    ----------
    text : the question
    rows : {elements that have moved: MidShift}
    early : the elements that have moved
    midway : {word of a MidShift: option}
    reason : what is said once the answer is right
    """
    row = rows[frozenset(early)]
    return Choice(
        text=text,
        options=tuple(midway.values()),
        answer=midway[row.word],
        slips=(
            slip("early taken for late", midway[rows[row.late].word]),
            *(
                slip(name, midway[word], words)
                for word, (name, words) in _NOT_SO.items()
                if word in midway
            ),
        ),
        hints=(
            "Write down what is applied at that moment. Is it a row of the chart?",
            "Too many hold, or too few? A one-way clutch may hold as well.",
        ),
        reason=reason,
    )
