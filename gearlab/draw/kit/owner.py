"""Whose a shape is: by what a page calls it where it is touched or pointed at."""

from itertools import groupby
from operator import itemgetter

from .shapes import Group, Polygon

CRANK = "crank"  # the handle on what the input turns


def of_body(train, name):
    """The owner of what is drawn of a member or shaft: its body, or the case.

    >>> import gearlab
    >>> of_body(gearlab.load_train("five-range"), "rear ring")
    'body:output shaft'
    """
    return f"body:{train.body_of[name]}"


def of_element(name):
    """The owner of what is drawn of an element, a lock or a one-way clutch."""
    return f"element:{name}"


def of_range(name):
    """The owner of what is drawn of a range."""
    return f"range:{name}"


def owned(pairs):
    """Shapes of (owner, shape) as groups; neighbours of one owner are in one group."""
    for of, run in groupby(pairs, key=itemgetter(0)):
        shapes = tuple([shape for _, shape in run])
        if of:
            yield Group(shapes=shapes, of=of)
        else:
            yield from shapes


def all_of(of, shapes):
    """Shapes as (owner, shape), all of one owner."""
    return [(of, shape) for shape in shapes]


def touch_area(left, top, right, low):
    """A rectangle that paints nothing and can be touched."""
    corners = (left, top), (right, top), (right, low), (left, low)
    return Polygon(points=corners, role="touch")
