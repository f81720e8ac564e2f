"""The end view: one gear set face on, with its real teeth, ready to be turned."""

from fractions import Fraction
from functools import lru_cache
from math import cos, pi, sin

from . import gears, labels
from .scene import Arrow, Circle, Group, Line, Polygon, Scene, Text
from .style import CONTEXTS, LETTERS

ENDS = ("input", "output")
WIDTH = {"screen": 400.0, "projector": 620.0, "print": 330.0}
BIG = 720.0, 600.0  # the back row's picture
_USUAL_PLANETS = 3  # drawn where a file does not say how many


def draw_end_view(
    flow,
    set_name,
    *,
    end="input",
    context="screen",
    labels_shown=True,
    big=False,
    colour_by="part",
):
    """One gear set seen face on, with a paint mark on every part at 12 o'clock."""
