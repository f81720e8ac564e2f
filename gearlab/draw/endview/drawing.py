"""The end view: one gear set face on, with its real teeth, ready to be turned.

Places are clockwise from 12 o'clock. From the output end everything is mirrored:
places change sides, and what turned clockwise turns the other way.
"""

from dataclasses import replace

from ...base.frozenmap import FrozenMap
from ...solve.powerflow import a_flow
from ..kit.page import EDGE, signed
from ..kit.setpage import heading, legend, paragraph, speeds_only, titles
from ..kit.shapes import Group, Line, Text
from ..kit.textwidth import fitted, text_width
from ..kit.view import View
from .bevels import draw_bevels
from .picture import draw_gears, room
from .places import places
from .row import draw_row, row_of

BIG_WIDTH, BIG_HEIGHT, BIG_RADIUS = 720.0, 560.0, 226.0
NOT_DRAWN = "Its file does not say where its gears stand."
_VALUE = 215.0  # room for a speed beside the picture for the back row [px]


def draw_end_view(
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
    """One gear set seen face on, its teeth in mesh, a paint mark on every part.

    Parameters
    ----------
    flow : PowerFlow
    set_name : the name of a gear set of its train
    end : "input" or "output", the end it is looked at from
    context : "screen", "projector", "print" or "class" (for the back row)
    labels : False leaves out letters, speeds and arrows, for a prediction
    big : True draws rims instead of teeth and at most seven labels, for the back row
    colour_by : "part"; "role" for what a member does in this set (drives, driven,
        held, turns free); "paint" for the colours of the train file
    words : ``{English text: what is written instead}``

    Returns
    -------
    Scene, whose groups turn with the input turns. A member whose speed is not
    determined is dotted, and turns as one motion that the train allows. The arrow of
    a member is the longer the faster it turns. Of a set written out by its meshes a
    chain on fixed axes is drawn, in a row; of any other the speeds are listed.

    Raises
    ------
    ValueError
        An unknown set, end, context or colouring.
    """
    look = {"end": end, "context": context, "colour_by": colour_by, "words": words}
    view = view_of(flow, set_name, labels=labels, big=big, **look)
    if row_of(view.gear_set):
        return _in_a_row(view)
    if not has_picture(view.gear_set):
        return speeds_only(view, NOT_DRAWN)
    if view.big:
        return _back_row(view)
    width, font = view.column, view.font
    shapes = heading(view, *titles(view))
    radius = radius_of(view)
    y = 3.8 * font + radius
    shapes.append(Group(x=width / 2, y=y, shapes=picture(view, radius)))
    shapes += in_corner(view, width - EDGE * font, 4.3 * font)
    y += radius + 1.1 * font
    for note in notes(view, radius):
        more, y = paragraph(view, y, note)
        shapes += more
    if labels:
        rows, height = legend(view, members(view), y)
        shapes += rows
        y += height
    return view.scene(width, y + 0.8 * font, shapes, view.alt())


def view_of(flow, set_name, *, big, **look):
    """What a picture of a set was asked for; ValueError for what there is not."""
    one = a_flow(flow).train.set(set_name)
    view = View(flow=flow, gear_set=one, **look)
    return replace(view, big=bool(big or view.frame) and has_picture(one))


def has_picture(gear_set):
    """Whether its kind says where its gears stand, seen face on."""
    return bool(gear_set.record.face or gear_set.record.bevels)


def _in_a_row(view):
    """A chain of gears on fixed axes."""
    font, width = view.font, view.column
    gears, half = draw_row(view, width - 2 * font)
    y = 4.0 * font + half
    shapes = [*heading(view, view.shown_title), Group(x=font, y=y, shapes=tuple(gears))]
    y += half + 0.6 * font
    if view.labels:
        rows, height = legend(view, view.gear_set.members, y)
        shapes += rows
        y += height
    return view.scene(width, y + 0.8 * font, shapes, view.alt())


def radius_of(view):
    """The outer radius of the gears [px]."""
    if view.big:
        return BIG_RADIUS * view.times
    return view.column / 2 - 1.6 * view.font


def picture(view, radius):
    """The gears of a set round (0, 0)."""
    if view.gear_set.record.bevels:
        return draw_bevels(view, radius)
    return draw_gears(view, radius)


def members(view):
    """The members in rows: suns, carrier, ring, and planets where there is room."""
    order = ("sun", "carrier", "ring") + (() if view.few else ("planet",))
    shorts = view.gear_set.members
    return [short for part in order for short in shorts if view.part(short) == part]


def in_corner(view, x, y):
    """The ring's speed, ending at a point beside the ring, unless labels are few."""
    if view.few or not view.labels:
        return
    font = view.font
    for short in view.gear_set.members:
        if view.part(short) == "ring" and view.speed(short):
            text = f"{view.letter(short)} {signed(view.speed(short))}"
            if text_width(text, font) < 6.4 * font:
                speed = Text(x=x, y=y, text=text, size=font, anchor="end")
                yield Group(shapes=(speed,), of=view.of(short))


def notes(view, radius):
    """What the picture cannot show as it is."""
    if view.gear_set.record.bevels:
        return ["The right gear is drawn larger."]
    found, told = places(view.gear_set, room(view, radius), view.hand), []
    planes = (*found.middle, *found.bunches[0])
    if any(gear.behind for gear in planes) and not view.few:
        told.append("A gear with a thin outline lies behind.")
    if found.left_out:
        touching = view.say("Planets left out, because they would touch")
        told.append(f"{touching}: {found.left_out}")
    return told


def _back_row(view):
    """Rims with large wedges, and at most seven labels."""
    font, k = view.font, view.times
    title = f"{view.shown_title}, {view.say(f'{view.end} end')}"
    title = fitted(title, font, (BIG_WIDTH - 40) * k, True)
    shapes = [
        Text(x=20 * k, y=40 * k, text=title, size=font, bold=True),
        Group(x=246 * k, y=296 * k, shapes=picture(view, radius_of(view))),
        *values(view, 500 * k, 200 * k),
    ]
    return view.scene(BIG_WIDTH * k, BIG_HEIGHT * k, shapes, view.alt())


def values(view, left, top):
    """The letters with their speeds, large, each over a sample of its line."""
    font, k = view.font, view.times
    for row, short in enumerate(members(view) if view.labels else ()):
        speed, y, name = view.speed(short), top + 90 * k * row, view.letter(short)
        room = _VALUE * k - text_width(f"{name} ", font, True)
        value = view.say("held") if view.held(short) else "?"
        if speed is not None and not view.held(short):
            value = signed(speed, font, room, True)
        text = f"{name} {value}"
        sample = ((left, y + 14 * k), (left + 110 * k, y + 14 * k))
        shapes = (
            Text(x=left, y=y, text=text, size=font, bold=True),
            Line(points=sample, role=view.role(short, "line")),
        )
        yield Group(shapes=shapes, of=view.of(short))
