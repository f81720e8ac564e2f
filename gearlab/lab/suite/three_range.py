"""The three-range unit as several labs share it, with the student's teeth."""

from .common import draw_falling, other_teeth, with_drawn_teeth

TRAIN, LOW = "three-range", "low one-way clutch"
RANGES = ("1", "2", "3", "1 low", "R")


def draw(random):
    """Teeth with which three ranges fall, and can be told apart by counting."""
    return draw_falling(random, TRAIN, ("1", "2", "3"), least=1.25)


def another_unit(random, given):
    """What a topic draws that has other teeth than the student's own panel shows."""
    return other_teeth(draw, random)


def train(given):
    """The three-range unit with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)
