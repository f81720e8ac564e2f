"""Speaker notes of a class that is led through a train, for the instructor's hand."""

from ..lab.walk.notes import miscounts
from ..lab.walk.plan import class_plan
from ..lab.walk.told import answer, heading
from .blocks import Heading, Points, Words, kept
from .unitsheets import driving


def class_notes(train):
    """The blocks of the notes: what to say and ask in each step, and what is right."""
    yield Heading(text=f"{train.name}: speaker notes", level=1)
    if not driving(train):
        yield Words(text="No range of this unit drives the output: nothing to walk.")
        return
    plan = class_plan(train)
    yield Words(
        text=f"{len(plan.steps)} steps, about {plan.minutes} minutes. They hold the"
        " answers: not for the screen."
    )
    for place, step in enumerate(plan.steps, 1):
        yield from kept(_step(place, step))


def _step(place, step):
    notes = step.notes
    yield Heading(text=heading(place, step))
    yield Words(text=step.asked, lead="Asked:")
    yield Words(text=answer(step), lead="Right:")
    yield Words(text=" ".join(notes.say), lead="Say:")
    if notes.ask:
        asked = (f"{asked} {right}" for asked, right in notes.ask)
        yield Words(text="", lead="Ask next:")
        yield Points(items=tuple(asked))
    yield Words(text="", lead="Often said wrong, and what helps:")
    wrong = tuple(f"“{said}” – {helps}" for said, helps in notes.wrong)
    yield Points(items=(*wrong, *miscounts(step)))
