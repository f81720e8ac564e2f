"""An end view in parts: the gears, the rows that explain them, the title."""

from dataclasses import dataclass, field
from functools import lru_cache

from ...base.frozenmap import FrozenMap
from ..kit.setpage import PITCH, legend, listed, paragraph, titles
from ..kit.shapes import Group
from ..kit.sheet import MARGIN, Sheet, cropped
from ..kit.textwidth import ASCENT
from ..kit.view import View
from .crank import handled
from .drawing import (
    NOT_DRAWN,
    has_picture,
    in_corner,
    members,
    notes,
    picture,
    radius_of,
    values,
    view_of,
)
from .row import draw_row, row_of


def end_view_sheet(
    flow,
    set_name,
    *,
    end="input",
    context="screen",
    labels=True,
    big=False,
    colour_by="part",
    words=FrozenMap(),
):
    """One gear set seen face on, in parts; see :func:`draw_end_view`.

    Returns
    -------
    Sheet. Its body has the gears alone, with the crank's handle on what turns with the
    input, and its key a row for each member. Where a set is not drawn its body has
    these rows, and there is no key and no centre.

    Raises
    ------
    ValueError
        An unknown set, end, context or colouring.
    """
    look = {"end": end, "context": context, "colour_by": colour_by, "words": words}
    view = view_of(flow, set_name, labels=bool(labels), big=big, crank=True, **look)
    return _sheet(_Asked(key=_key_of(view), view=view))


@dataclass(frozen=True, kw_only=True)
class _Asked:
    """A view, told by what its picture depends on: many flows have one picture."""

    key: tuple
    view: View = field(compare=False)


def _key_of(view):
    """What the parts of an end view depend on."""
    look = view.end, view.context, view.colour_by, view.labels, view.big
    words = FrozenMap(view.words)
    return view.gear_set, *look, words, handled(view), view.reads


@lru_cache(maxsize=512)
def _sheet(asked):
    view = asked.view
    body, centre = _body(view)
    return Sheet(
        body=body,
        key=_key(view),
        title=titles(view)[0],
        font=view.font,
        centre=centre,
    )


def _body(view):
    """The picture alone, and where its axis is."""
    if row_of(view.gear_set):
        return _in_a_row(view)
    if not has_picture(view.gear_set):
        shapes, y = listed(view, _FIRST * view.font, NOT_DRAWN)
        return view.scene(view.column, y + 0.6 * view.font, shapes, view.alt()), None
    margin, radius = MARGIN * view.font, radius_of(view)
    middle = round(radius + margin)
    shapes = [
        Group(x=middle, y=middle, shapes=picture(view, radius)),
        *in_corner(view, 2 * middle - 0.1 * view.font, 0.8 * view.font),
    ]
    # A held ring has its sign below it.
    height = middle + radius + 1.1 * view.font
    return view.scene(2 * middle, height, shapes, view.alt()), (middle, middle)


def _in_a_row(view):
    """A chain of gears alone, and the axis of the one with the handle, or the first."""
    margin = MARGIN * view.font
    width = view.column - 2 * view.font
    gears, half = draw_row(view, width)
    at = margin, round(half + margin)
    shapes = (Group(x=at[0], y=at[1], shapes=tuple(gears)),)
    body = view.scene(round(width + 2 * margin), 2 * at[1], shapes, view.alt())
    axes = {gear.part.replace("-", " "): gear.x for gear in gears if gear.part}
    axis = axes.get(handled(view), gears[0].x)
    return body, (round(at[0] + axis, 2), at[1])


def _key(view):
    """What the letters and lines are of, with the speeds; None if nothing is to say."""
    one = view.gear_set
    if row_of(one):
        rows = legend(view, one.members, 0.0)[0] if view.labels else ()
        return cropped(view, rows)
    if not has_picture(one):
        return None
    if view.big:
        return cropped(view, list(values(view, 0.0, 0.0)))
    shapes, y = [], 0.0
    for note in notes(view, radius_of(view)):
        more, y = paragraph(view, y, note)
        shapes += more
    if view.labels:
        shapes += legend(view, members(view), y)[0]
    return cropped(view, shapes)


_FIRST = ASCENT - PITCH + MARGIN  # above the first line of a body [letter sizes]
