"""A small lab of every form of question, and answer sheets as students leave them."""

import json
from fractions import Fraction

from gearlab.lab.mark import gradebook, marking
from gearlab.lab.question.papers import Lab, Topic, draw_paper
from gearlab.lab.question.question import (
    Choice,
    Explanation,
    Number,
    Order,
    Row,
)
from gearlab.lab.question.slips import lost_sign, reciprocal
from gearlab.lab.sheet.sheet import record, sheet_path
from gearlab.lab.suite.labs import find_lab

NAME = "turn-one-set"  # marking finds labs by the names of the suite
WAYS = ("forward", "backward", "it stands still")


def draw(random):
    """Numbers as a lab draws them."""
    return {"sun": random.randrange(20, 41), "ring": random.randrange(60, 97)}


def ratio(given):
    """A number, with slips and hints."""
    answer = 1 + Fraction(given["ring"], given["sun"])
    return Number(
        text="How many turns?",
        answer=answer,
        slips=(reciprocal(answer), lost_sign(answer)),
        hints=("Turn the sun once.", "Do not forget the one."),
    )


def ring_over_sun(given):
    """What revision 1 of "ratio" asked."""
    return Number(text="Ring over sun?", answer=Fraction(given["ring"], given["sun"]))


def way(given):
    """A choice."""
    return Choice(text="Which way?", answer="forward", options=WAYS)


def row(given):
    """A row of a chart."""
    options = ("low brake", "forward clutch", "direct clutch")
    answer = frozenset(options[:2])
    return Row(text="Which are applied?", answer=answer, options=options)


def order(given):
    """An order."""
    options = ("sun", "planet", "carrier", "ring")
    return Order(text="The power?", answer=options[:3], options=options)


def why(given):
    """An explanation."""
    return Explanation(text="Why?", points=("held", "rolls", "one more"))


TOPICS = (
    Topic(name="way first", ask=way, prediction=True),
    Topic(name="ratio", ask=ratio, marks=2),
    Topic(name="way", ask=way),
    Topic(name="row", ask=row),
    Topic(name="order", ask=order),
    Topic(name="why", ask=why, marks=3),
)


def make_lab(topics=TOPICS, draw=draw):
    """A lab of these topics under a name of the suite."""
    return Lab(
        name=NAME,
        title="Turn it",
        level=1,
        core=True,
        minutes=40,
        draw=draw,
        train=lambda given: None,
        topics=topics,
    )


LAB = make_lab()


def stand_in(monkeypatch, lab=LAB):
    """Let a lab be marked, and be in gradebooks, in place of the one of its name."""
    for module in (marking, gradebook):
        monkeypatch.setattr(
            module, "find_lab", lambda name: lab if name == lab.name else find_lab(name)
        )


def paper_of(*students, form="A", lab=LAB):
    """The paper of some students."""
    return draw_paper(lab, students, form)


def right_answer(paper, question):
    """The key, as a student might give it."""
    key = paper.asked[question].question.answer
    return "The ring is held." if key is None else key


def sheet_file(folder, *students, form="A", answers=(), lab=LAB):
    """The file of a sheet; `answers` are (question, answer), None for the right one."""
    paper = paper_of(*students, form=form, lab=lab)
    for question, answer in answers:
        given = right_answer(paper, question) if answer is None else answer
        record(paper, question, given, folder=folder)
    return sheet_path(students, lab.name, form, folder)


def changed(path, change):
    """Change the data in a sheet's file by hand; `change` takes the data."""
    data = json.loads(path.read_text(encoding="utf-8"))
    change(data)
    path.write_text(json.dumps(data), encoding="utf-8")
