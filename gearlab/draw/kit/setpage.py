"""The page of a drawing of one gear set: what it shows, and a row a member below."""

from .page import EDGE, signed
from .shapes import Group, Line, Polygon, Text, ground, round_arrow
from .textwidth import fitted, text_width, wrapped

PITCH = 1.4  # from one line of text to the next, in letter sizes
_ROW = 1.6  # from row to row of the legend, in letter sizes
COLOURS = {
    "role": "Colours: what each does in this set.",
    "paint": "Colours: as painted on the bench.",
}


def heading(view, *titles):
    """The two texts at the top of a drawing: what it shows, and from which end.

    Of the `titles` the first one that fits is taken.
    """
    font, room, seen = view.font, view.room(view.column), view.seen
    if view.labels and view.flow.state != "drives":
        ends = view.say(f"from the {view.end} end"), view.say(f"{view.end} end")
        ways = [f"{end} · {view.say(view.flow.state)}" for end in ends]
        seen = ways[0] if text_width(ways[0], font) <= room else ways[1]
    fitting = [t for t in titles if text_width(t, 1.1 * font, True) <= room]
    title = fitting[0] if fitting else fitted(titles[-1], 1.1 * font, room, True)
    shapes, y = view.below(0.0, [title], 1.5, size=1.1, bold=True)
    return shapes + view.below(y, [fitted(seen, font, room)], 1.5)[0]


def titles(view):
    """What a set is called, with its tooth counts where there is room."""
    counts, title = view.gear_set.all_teeth, view.shown_title
    if alike := view.gear_set.record.counted_as:
        sides = [f"{view.say(side)} {counts[key]}" for side, key in alike.items()]
        return f"{title}: {', '.join(sides)}", title
    named = [key for key in counts if key.endswith(("sun", "ring"))]
    if not named:
        return (title,)
    said = [f"{view.say(key.replace('-', ' '))} {counts[key]}" for key in named]
    short = ", ".join(str(counts[key]) for key in named[:-1])
    short = f"{view.say('suns' if named[1:-1] else 'sun')} {short}, {said[-1]}"
    return (
        f"{view.shown_title}: {', '.join(said)}",
        f"{view.shown_title}: {short}",
        view.shown_title,
    )


def legend(view, shorts, y):
    """A row a member: letter, line sample, name, speed, which way, word.

    Returns
    -------
    (the shapes, the height that they take)
    """
    font, names = view.font, {short: _name(view, short) for short in shorts}
    wide = any(text_width(view.letter(n), font, True) > font for n in shorts)
    at_sample = (2.7 if wide else 1.8) * font
    at_name = at_sample + (1.9 if wide else 2.2) * font
    longest = max(text_width(name, font) for name in names.values()) + 0.5 * font
    usual = (4.1 if view.few else 7.1) * font
    long = longest > usual or wide
    most = view.column - at_name - 7.4 * font
    at_speed = at_name + (min(longest, most) if long else usual)
    at = at_speed + (4.6 if long else 5.9) * font
    shapes, start = [], y
    for short, name in names.items():
        y += _ROW * font
        room = at_speed - at_name - 0.2 * font
        texts = [
            (EDGE * font, view.letter(short), True),
            (at_name, fitted(name, font, room), False),
        ]
        sample = (at_sample, at_sample + (1.5 if wide else 1.8) * font)
        row = [
            Text(x=x, y=y, text=text, size=font, bold=bold) for x, text, bold in texts
        ]
        row += [_sample(view, short, sample, y - 0.35 * font)]
        row += _how(view, short, at_speed, at, y)
        shapes.append(Group(shapes=tuple(row), of=view.of(short)))
    if view.colour_by in COLOURS and not view.few:
        more, y = paragraph(view, y, COLOURS[view.colour_by], _ROW)
        shapes += more
    return shapes, y - start


def _name(view, short):
    """A member's name; the planets of a simple set with their teeth."""
    if short == "planet" and "planet" in view.gear_set.all_teeth:
        counted = f"{view.say('planets')} {view.gear_set.all_teeth[short]}"
        fits = text_width(counted, view.font) <= 6.9 * view.font
        return counted if fits else view.say("planets")
    return view.say(short)


def _sample(view, short, across, level):
    """A line as the member is drawn, or a patch of its paint."""
    left, right = across
    if view.colour_by != "paint":
        points = (left, level), (right, level)
        return Line(points=points, role=view.role(short, "line"))
    low, high = level - 0.36 * view.font, level + 0.36 * view.font
    corners = (left, low), (right, low), (right, high), (left, high)
    return Polygon(points=corners, role=view.role(short, "rim"))


def _how(view, short, at_speed, at, y):
    """Speed, sign and word of a row; the word is left out where it has no room."""
    font, speed = view.font, view.speed(short)
    word = view.say(view.word(short))
    if speed is None:
        fits = at_speed + text_width(word, font) <= view.column - 0.2 * font
        yield Text(x=at_speed, y=y, text=word if fits else "?", size=font)
        return
    value = signed(speed, font, at - at_speed)
    yield Text(x=at, y=y, text=value, size=font, anchor="end")
    x = at + (1.8 if at - at_speed < 5 * font else 2.0) * font
    if x + text_width(word, font) <= view.column:
        yield Text(x=x, y=y, text=word, size=font)
    sign = ground(0.9 * font) if view.held(short) else None
    if view.turn(short):
        sign = round_arrow(0.42 * font, 1 if view.turn(short) > 0 else -1)
    if sign:
        yield Group(x=(at + x) / 2, y=y - 0.35 * font, shapes=(sign,))


def paragraph(view, y, sentence, pitch=PITCH):
    """A sentence in lines below `y`, and where the last of them is [px]."""
    lines = wrapped(view.say(sentence), view.font, view.room(view.column))
    return view.below(y, lines, pitch)


def speeds_only(view, sentence):
    """A picture of a set that is not drawn: its speeds in rows."""
    shapes, y = listed(view, (4.7 - PITCH) * view.font, sentence)
    shapes = heading(view, view.shown_title) + shapes
    return view.scene(view.column, y + view.font, shapes, view.alt())


def listed(view, y, sentence):
    """A sentence below `y` and the speeds of all members, and where they end [px]."""
    shapes, y = paragraph(view, y, sentence)
    if view.labels:
        rows, height = legend(view, view.gear_set.members, y)
        shapes += rows
        y += height
    return shapes, y
