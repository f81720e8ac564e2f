"""The end view: one gear set face on, with its real teeth, ready to be turned.

Places are clockwise from 12 o'clock. From the output end everything is mirrored:
places change sides, and what turned clockwise turns the other way.
"""

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
    context : "screen", "projector" or "print"
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
    a_flow(flow)
    view = View(
        flow=flow,
        gear_set=flow.train.set(set_name),
        end=end,
        context=context,
        labels=labels,
        big=big and has_picture(flow.train.set(set_name)),
        colour_by=colour_by,
        words=words,
    )
    if row_of(view.gear_set):
        return _in_a_row(view)
    if not has_picture(view.gear_set):
        return speeds_only(view, "Its file does not say where its gears stand.")
    if view.big:
        return _back_row(view)
    width, font = view.column, view.font
    shapes = heading(view, *titles(view))
    radius = width / 2 - 1.6 * font
    y = 3.8 * font + radius
    shapes.append(Group(x=width / 2, y=y, shapes=_picture(view, radius)))
    shapes += _in_corner(view, 4.3 * font)
    y += radius + 1.1 * font
    for note in _notes(view, radius):
        more, y = paragraph(view, y, note)
        shapes += more
    if labels:
        rows, height = legend(view, _members(view), y)
        shapes += rows
        y += height
    return view.scene(width, y + 0.8 * font, shapes, view.alt())


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


def _picture(view, radius):
    if view.gear_set.record.bevels:
        return draw_bevels(view, radius)
    return draw_gears(view, radius)


def _members(view):
    """The members in rows: suns, carrier, ring, and planets where there is room."""
    order = ("sun", "carrier", "ring") + (() if view.few else ("planet",))
    members = view.gear_set.members
    return [short for part in order for short in members if view.part(short) == part]


def _in_corner(view, y):
    """The ring's speed, beside the ring, where few labels are not asked for."""
    if view.few or not view.labels:
        return
    font = view.font
    for short in view.gear_set.members:
        if view.part(short) == "ring" and view.speed(short):
            text = f"{view.letter(short)} {signed(view.speed(short))}"
            if text_width(text, font) < 6.4 * font:
                x = view.column - EDGE * font
                yield Text(x=x, y=y, text=text, size=font, anchor="end")


def _notes(view, radius):
    """What the picture cannot show as it is."""
    if view.gear_set.record.bevels:
        return ["The right gear is drawn larger."]
    found, notes = places(view.gear_set, room(view, radius), view.hand), []
    planes = (*found.middle, *found.bunches[0])
    if any(gear.behind for gear in planes) and not view.few:
        notes.append("A gear with a thin outline lies behind.")
    if found.left_out:
        touching = view.say("Planets left out, because they would touch")
        notes.append(f"{touching}: {found.left_out}")
    return notes


def _back_row(view):
    """Rims with large wedges, and at most seven labels."""
    font = view.font
    title = f"{view.shown_title}, {view.say(f'{view.end} end')}"
    shapes = [
        Text(
            x=20,
            y=40,
            text=fitted(title, font, BIG_WIDTH - 40, True),
            size=font,
            bold=True,
        ),
        Group(x=246, y=296, shapes=_picture(view, BIG_RADIUS)),
    ]
    for row, short in enumerate(_members(view) if view.labels else ()):
        speed, y, name = view.speed(short), 200 + 90 * row, view.letter(short)
        room = BIG_WIDTH - 505 - text_width(f"{name} ", font, True)
        value = view.say("held") if view.held(short) else "?"
        if speed is not None and not view.held(short):
            value = signed(speed, font, room, True)
        text = f"{name} {value}"
        sample = ((500, y + 14), (610, y + 14))
        shapes += [
            Text(x=500, y=y, text=text, size=font, bold=True),
            Line(points=sample, role=view.role(short, "line")),
        ]
    return view.scene(BIG_WIDTH, BIG_HEIGHT, shapes, view.alt())
