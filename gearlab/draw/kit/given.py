"""What a drawing or painter is given: a scene, words; else one sentence."""

from collections.abc import Mapping

from ...base.checks import one_line, shortened
from ...base.reading import read_number
from .shapes import Picture


def a_scene(value):
    """Return a scene as it is given, else raise ValueError with the way out."""
    if isinstance(value, Picture):
        return value
    raise ValueError(
        f"a picture is painted from a drawing, but was given {_what(value)}; give what"
        " a draw_… function returns"
    )


def some_turns(value):
    """Return a number of turns as a float, however it is written, else raise."""
    try:
        return float(read_number(value))
    except ValueError as error:
        raise ValueError(f"turns: {error}") from None


def some_words(value):
    """Return ``{English text: text}`` as it is given, else raise ValueError."""
    if isinstance(value, Mapping) and all(
        isinstance(text, str) for pair in value.items() for text in pair
    ):
        return value
    raise ValueError(
        f"words is {one_line(repr(value), 60)}, but it maps English texts to those of"
        " another language; give what gearlab.read_words(path) returns, or leave it out"
    )


def _what(value):
    """A value with its kind, short enough for a sentence."""
    if value is None:
        return "nothing (None)"
    if isinstance(value, str):
        return f"the text {shortened(value)}"
    kind = type(value).__name__
    return f"{one_line(repr(value), 60)}, of the kind {kind}"
