"""Speaker notes in words, for the instructor alone: they hold the answers."""

from textwrap import fill

from ...draw.kit.sheet import capital
from .notes import miscounts
from .step import LETTERS

WIDE = 88  # letters in a line


def notes_told(plan):
    """The notes of each step as a text of short lines.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    list of texts, one a step: what is asked and what is right, what to say, what to ask
    next, what is often said wrong and what helps, what is often counted, and how it is
    set up
    """
    return [_told(n, step) for n, step in enumerate(plan.steps, 1)]


def heading(place, step):
    """Which step it is, of what, and how long it takes."""
    return f"{place}. {capital(step.title)}, {step.notes.minutes} minutes"


def answer(step):
    """What is right, with its letter."""
    return f"{LETTERS[step.right]}: {step.choices[step.right].words}"


def _told(place, step):
    notes = step.notes
    rows = [
        ("asked", step.asked),
        ("right", answer(step)),
        *(("say", words) for words in notes.say),
        *(("ask", f"{asked} {right}") for asked, right in notes.ask),
        *(("wrong", f"“{said}” – {helps}") for said, helps in notes.wrong),
        *(("count", words) for words in miscounts(step)),
        *(("set up", f"{key}: {words}") for key, words in notes.card),
    ]
    lines, last = [heading(place, step)], ""
    for name, words in rows:
        lead = f"  {name if name != last else '':<7} "
        lines.append(fill(lead + words, WIDE, subsequent_indent=10 * " "))
        last = name
    return "\n".join(lines)
