"""What the instructor needs beside the sheets: plan, roll, and what absent ones do."""

from dataclasses import dataclass

from ..base.numerals import listed
from ..lab.sheet.told import quoted
from .blocks import (
    Blanks,
    Break,
    Caution,
    Heading,
    Points,
    Table,
    Words,
    kept,
)
from .stations import ON_SCREEN

SHORTEST, LONGEST = 25, 240  # a period [min]
_LEAST_TURN = 8  # of a group at a cutaway, below which it counts nothing [min]
# What every period has besides the work at the stations [min], for a short one and
# for one of 50 minutes or more.
_FIXED = {
    "arrive": (2, 3),
    "care": (2, 3),
    "predict": (3, 5),
    "compare": (4, 8),
    "close": (2, 3),
}


@dataclass(frozen=True, kw_only=True)
class Step:
    """A part of a lesson: from when to when [min], what is done, and by whom."""

    start: int
    end: int
    what: str
    who: str


def steps_of(period, turns, lab):
    """The steps of a lesson in order, without a gap, from 0 to the period's end.

    Parameters
    ----------
    period : how long it is [min], :data:`SHORTEST` at least
    turns : how many turns the stations take
    lab : Lab
    """
    long = period >= 50
    fixed = {what: minutes[long] for what, minutes in _FIXED.items()}
    work = period - sum(fixed.values())
    held = min(turns, max(1, work // _LEAST_TURN))
    predictions = sum(topic.prediction for topic in lab.topics)
    rows = [
        (fixed["arrive"], "Roll, worksheets and groups. Forms as on the roll.",
         "instructor"),
        (fixed["care"], "Read the cautions aloud; everybody says where the hands are"
         " while it turns.", "all"),
        (fixed["predict"], f"Predict, on paper: the {predictions} predictions of the"
         f" sheet “{lab.title}”. No answer is told.", "each alone"),
    ]  # fmt: skip
    for turn in range(held):
        minutes = work * (turn + 1) // held - work * turn // held
        rows.append(
            (minutes, f"Turn {turn + 1}: at the cutaways or at {ON_SCREEN}: set up,"
             " predict, turn five times, write the count; then the questions of the"
             " sheet. Roles move on with each range.", "groups")
        )  # fmt: skip
    rows += [
        (fixed["compare"], "Compare counts on the board. Where one is not the chart's,"
         " go down the page for that. Ask for the why, not for the number.", "all"),
        (fixed["close"], "Clear the benches, everything released. Collect the sheets.",
         "all"),
    ]  # fmt: skip
    steps, now = [], 0
    for minutes, what, who in rows:
        steps.append(Step(start=now, end=now + minutes, what=what, who=who))
        now += minutes
    return tuple(steps)


def lesson_plans(labs, rotated, period, caution):
    """The blocks of the plans: a page for each lab, minute by minute."""
    for lab in labs:
        steps = steps_of(period, rotated.turns, lab)
        yield Heading(text=f"Lesson plan: {lab.title}", level=1)
        yield Words(text=f"{period} minutes; {_groups(rotated)}.")
        held = sum(step.who == "groups" for step in steps)
        if held < rotated.turns:
            yield Words(
                text=f"{rotated.turns} turns do not fit into {period} minutes:"
                f" {held} are held, and the others in the next period. Predictions stay"
                " with who made them.",
                lead="Too short.",
            )
        yield Caution(text=caution)
        yield Table(
            head=("minutes", "what", "who"),
            rows=tuple((f"{s.start}–{s.end}", s.what, s.who) for s in steps),
            parts=(1, 6, 1),
        )
        yield from kept([Heading(text="Asked in this lab"), _asked(lab)])
        yield Break()


def _asked(lab):
    kinds = {True: " (prediction)", False: ""}
    return Points(items=tuple(t.name + kinds[t.prediction] for t in lab.topics))


def _groups(rotated):
    count = len(rotated.groups)
    groups = "1 group" if count == 1 else f"{count} groups"
    turns = "1 turn" if rotated.turns == 1 else f"{rotated.turns} turns"
    return f"{groups}, {turns}"


# Who was absent -------------------------------------------------------------------


def catch_up(labs, train, caution):
    """The blocks of the sheet for somebody who was not there, a page for each lab."""
    for lab in labs:
        yield Heading(text=f"You were absent: {lab.title}", level=1)
        yield Blanks(labels=("Name", "Absent on", "To hand in by"))
        yield Words(
            text="Your worksheet has numbers of your own, so nobody else's answers fit"
            " it. Do it in this order."
        )
        predictions = [topic.name for topic in lab.topics if topic.prediction]
        yield Points(
            items=(
                "Alone, at home: make the predictions of your worksheet first"
                f" ({quoted(predictions) or 'there are none here'}).",
                "On a screen: open the notebook of the lab, or the page of the bench"
                " that your instructor gives you, and turn what you predicted. Sign in"
                " with the id on your worksheet, and your numbers are the same.",
                "Answer the other questions on the worksheet. Show your working.",
                "Write down one prediction that was wrong, and why you had made it.",
                "At the bench, with a group, in your next period: turn one range, load"
                " the output, and count to an eighth of a turn.",
            ),
            mark="number",
        )
        yield Caution(text=f"Never turn a cutaway alone. {caution}")
        yield Table(
            head=("range", "I predicted", "on the screen", "at the bench"),
            rows=tuple((name, "", "", "") for name in train.range_names),
            parts=(1, 2, 2, 2),
            tall=True,
        )
        yield Blanks(labels=("Seen by", "Date"))
        yield Break()


# The roll -------------------------------------------------------------------------

ROLL_HEAD = ("id", "name", "form", "group", "worksheet")


def roll_rows(students, groups, forms, files):
    """A row for each student: id, name, form, group and the file of the worksheet.

    `forms` and `files` are by id.
    """
    group_of = {one.id: group.name for group in groups for one in group.students}
    return tuple(
        (one.id, one.name, forms[one.id], group_of[one.id], files[one.id])
        for one in students
    )


def roll(rows, labs):
    """The blocks of the roll: who gets which form, with room for a tick."""
    yield Heading(text="Roll: who gets which form", level=1)
    titles = listed([f"“{lab.title}”" for lab in labs], "")
    yield Words(text=f"Labs: {titles}. The id is what a student signs in with.")
    yield Table(
        head=("id", "name", "form", "group", "here", "handed in"),
        rows=tuple(
            (id, name, form, group, "", "") for id, name, form, group, _ in rows
        ),
        parts=(4, 6, 1, 2, 1, 2),
    )
