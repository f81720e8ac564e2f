"""What may be wrong with a scene: each check yields sentences."""

import re
from itertools import combinations

import numpy as np
from matplotlib.path import Path
from test_scene import contrast

from gearlab.draw.kit.shapes import (
    Circle,
    Group,
    Hatch,
    Line,
    Polygon,
    Text,
    placed,
    text_boxes,
    walk,
)
from gearlab.draw.kit.style import CONTEXTS, PARTS, WHITE, style
from gearlab.draw.kit.textwidth import MARGIN

TURNS = 0.13  # besides 0; a turn at which no part stands as it began
RIM = np.stack(
    [wave(np.linspace(0, 2 * np.pi, 49)) for wave in (np.cos, np.sin)], axis=1
)
PAGE = 760  # a wider picture is scaled down in a notebook [px]


def overlaps(scene):
    """Two texts that take the same room."""
    for turns in (0, TURNS):
        for (one, a), (two, b) in combinations(text_boxes(scene, turns), 2):
            across = min(a[2], b[2]) - max(a[0], b[0])
            down = min(a[3], b[3]) - max(a[1], b[1])
            if across > 0.01 and down > 0.01:
                yield f'"{one}" and "{two}" overlap'


def small_letters(scene):
    """A text below the letter size of the context."""
    for shape, _ in walk(scene.shapes):
        if isinstance(shape, Text) and shape.size < CONTEXTS[scene.context].font:
            yield f'"{shape.text}" is {shape.size} px'


def outside(scene):
    """A text that leaves the picture."""
    for turns in (0, TURNS):
        for text, (left, top, right, bottom) in text_boxes(scene, turns):
            if left < 0 or top < 0 or right > scene.width or bottom > scene.height:
                yield f'"{text}" is outside'


def too_wide(scene):
    """A picture that a page shows smaller than it is."""
    if scene.context == "screen" and scene.width > PAGE:
        yield f"the picture is {scene.width} px wide"


def cut_words(scene):
    """A word that is cut in the middle."""
    for text, _ in text_boxes(scene):
        if re.search(r"\w…", text):
            yield f'"{text}" is cut'


def faint(scene):
    """A line below 3:1, or a text below 4.5:1 on what lies under it."""
    looks = {shape.role for shape, _ in walk(scene.shapes)}
    for role in looks - {shape.role for shape, _ in texts_of(scene)}:
        look = style(role, scene.context)
        if {look.stroke, look.fill} <= {None, WHITE}:
            continue  # it clears the ground for something else
        lined = look.stroke not in (None, WHITE)
        if contrast(look.stroke if lined else look.fill, WHITE) < 3:
            yield f"{role} is faint on white"
        edged = lined and look.fill not in (None, look.stroke)
        if edged and contrast(look.stroke, look.fill) < 3:
            yield f"the edge of {role} is faint on its fill"
    for shape, ground in texts_of(scene):
        if contrast(style(shape.role, scene.context).fill, ground) < 4.5:
            yield f'"{shape.text}" is faint on {ground}'


def texts_of(scene):
    """(text, colour under it) at three places of every text."""
    filled = []
    for shape, place in walk(scene.shapes):
        if isinstance(shape, (Circle, Polygon)):
            if fill := style(shape.role, scene.context).fill:
                x, y, reach = around(shape)
                filled.insert(
                    0, (*placed(((x, y),), place)[0], reach, shape, place, fill)
                )
        elif isinstance(shape, Text):
            left, top, right, bottom = shape.box
            for part in (0.1, 0.5, 0.9):
                at = left + part * (right - left), (top + bottom) / 2
                (point,) = placed((at,), place)
                yield shape, under(filled, *point)


def under(filled, x, y):
    """The colour of the topmost fill at a point of the scene."""
    for near_x, near_y, reach, shape, place, fill in filled:
        near = abs(x - near_x) <= reach and abs(y - near_y) <= reach
        if near and covers(shape, place, (x, y)):
            return fill
    return WHITE


def around(shape):
    """(x, y, radius) of a circle that holds the shape, where it is at home."""
    if isinstance(shape, Circle):
        return shape.x, shape.y, shape.r
    (left, top), (right, low) = outline_of(shape)[1]
    reach = ((right - left) ** 2 + (low - top) ** 2) ** 0.5 / 2
    return (left + right) / 2, (top + low) / 2, reach


def covers(shape, place, point):
    """Whether a circle or polygon covers a point of the scene."""
    cosine, sine, left, top = place
    x, y = point[0] - left, point[1] - top
    u, v = x * cosine + y * sine, y * cosine - x * sine
    if isinstance(shape, Circle):
        return (u - shape.x) ** 2 + (v - shape.y) ** 2 <= shape.r**2
    return outline_of(shape)[0].contains_point((u, v))


def struck(scene):
    """A text with a line through its letters that nothing covers."""
    shapes = list(walk(scene.shapes))
    strokes = strokes_of(scene, shapes)
    for at, (text, text_place) in enumerate(shapes):
        if not isinstance(text, Text):
            continue
        for below, middle in crossings(strokes, letters_of(text, text_place)):
            if not any(
                covers(*fill, middle)
                for fill in shapes[below + 1 : at]
                if isinstance(fill[0], (Circle, Polygon))
                and style(fill[0].role, scene.context).fill
            ):
                yield f'"{text.text}" has {shapes[below][0].role} through it'
                break


def letters_of(text, place):
    """The box of a text's small letters, without the margin for other fonts."""
    left, _, right, _ = text.box
    width = (right - left) / MARGIN
    left += {"start": 0, "middle": 0.5, "end": 1}[text.anchor] * (right - left - width)
    top, low = text.y - 0.62 * text.size, text.y - 0.1 * text.size
    corners = ((left + 1, top), (left + width - 1, low), (left + 1, low))
    xs, ys = zip(*placed((*corners, (left + width - 1, top)), place), strict=True)
    return min(xs), min(ys), max(xs), max(ys)


def crossings(strokes, box):
    """(number of the shape, middle) of each piece of a line that lies in a box."""
    starts, ends, numbers = strokes
    low, high = np.array(box[:2]), np.array(box[2:])
    near = (np.minimum(starts, ends) <= high) & (np.maximum(starts, ends) >= low)
    near = near.all(axis=1)
    for start, end, at in zip(starts[near], ends[near], numbers[near], strict=True):
        way = np.where(end == start, 1e-12, end - start)
        sides = np.sort(((low - start) / way, (high - start) / way), axis=0)
        enters, leaves = max(0.0, *sides[0]), min(1.0, *sides[1])
        if enters < leaves:
            yield at, tuple(start + (end - start) * (enters + leaves) / 2)


def strokes_of(scene, shapes):
    """(starts, ends, numbers of their shapes) of the straight pieces of all lines."""
    starts, ends, numbers = [np.empty((0, 2))], [np.empty((0, 2))], []
    for at, (shape, (cosine, sine, *by)) in enumerate(shapes):
        if isinstance(shape, Text):
            continue
        if style(shape.role, scene.context).stroke in (None, WHITE):
            continue
        turn = np.array(((cosine, sine), (-sine, cosine)))
        start, end = (points @ turn + by for points in pieces_of(shape))
        starts.append(start)
        ends.append(end)
        numbers += [at] * len(start)
    return np.concatenate(starts), np.concatenate(ends), np.array(numbers, dtype=int)


def pieces_of(shape):
    """(starts, ends) of the straight pieces of a shape's line, where it is at home."""
    if isinstance(shape, Hatch):
        pieces = np.array(shape.lines)
        return pieces[:, 0], pieces[:, 1]
    if isinstance(shape, Circle):
        points = np.array((shape.x, shape.y)) + shape.r * RIM
    elif isinstance(shape, Polygon):
        points = outline_of(shape)[0].vertices
    else:
        points = np.array(shape.points)
    return points[:-1], points[1:]


def outline_of(polygon):
    """Its closed outline, and the two corners of the box round it."""
    if id(polygon) in OUTLINES:
        return OUTLINES[id(polygon)][1:]
    outline = Path((*polygon.points, polygon.points[0]))
    corners = outline.vertices.min(axis=0), outline.vertices.max(axis=0)
    found = outline, [tuple(map(float, corner)) for corner in corners]
    if len(polygon.points) > 100:
        # A gear's is kept, as it is long, and with it the gear, whose id it goes by.
        OUTLINES[id(polygon)] = polygon, *found
    return found


OUTLINES = {}


def wordless(scene):
    """A picture whose sentence is none, or lacks a number that is drawn."""
    if not re.fullmatch(r"[A-Z].*\.", scene.alt, re.DOTALL):
        yield f'"{scene.alt}" is no sentence'
    if "  " in scene.alt or "Fraction" in scene.alt or "None" in scene.alt:
        yield f'"{scene.alt}" is not for people'
    told = {float(one) for one in re.findall(r"\d+(?:\.\d+)?", scene.alt)}
    for text, _ in text_boxes(scene):
        for one in re.findall(r"\d+\.\d+", text):
            # A drawing without room rounds further.
            digits = len(one.split(".")[1])
            if float(one) not in {round(number, digits) for number in told}:
                yield f'{one} of "{text}" is not in "{scene.alt}"'


def beyond(scene):
    """A line or an outline that leaves the picture."""
    for turns in (0, TURNS):
        for shape, place in walk(scene.shapes, turns):
            if isinstance(shape, Text):
                continue
            if isinstance(shape, Hatch):
                points = [end for ends in shape.lines for end in ends]
            elif isinstance(shape, Circle):
                points = np.array((shape.x, shape.y)) + shape.r * RIM
            else:
                points = shape.points
            xs, ys = np.array(placed(points, place)).T
            if min(xs.min(), ys.min(), scene.width - xs.max()) < -0.5:
                yield f"{shape.role} leaves the picture"
            elif ys.max() > scene.height + 0.5:
                yield f"{shape.role} leaves the picture below"


# Levers are straight, and so is what crosses them.
STRAIGHT = re.compile(r"range \d+|lever\??|track \d|(drives|driven) line")


def kinked(scene):
    """A line across a lever or a strip that is not straight."""
    if not {"axis", "scale"} & {shape.role for shape, _ in walk(scene.shapes)}:
        return
    if "centre line" in {shape.role for shape, _ in walk(scene.shapes)}:
        return  # a stick diagram, whose lines have corners
    for shape, _ in walk(scene.shapes):
        if isinstance(shape, Line) and STRAIGHT.fullmatch(shape.role):
            points = np.array(shape.points)
            way = points[-1] - points[0]
            (dx, dy), (xs, ys) = way, (points - points[0]).T
            if np.abs(dx * ys - dy * xs).max() > 0.5 * np.hypot(dx, dy):
                yield f"{shape.role} has a kink"


# What a picture says by its look alone, unless the word itself stands beside it.
SPEAKING = re.compile(
    r"applied|holds|overruns|backs up|at rest|fights|fights ring|open|stripe"
    r"|(forward|backward) bar|\w+ band|(drives|driven|held|free|still|unknown) line"
    r"|other line\?"
)
SIGN = re.compile(r"[+−≠?]")


def split_by_key(shapes, within=False):
    """(shape, whether it is in a key), groups opened."""
    for shape in shapes:
        if isinstance(shape, Group):
            yield from split_by_key(shape.shapes, within or shape.key)
        else:
            yield shape, within


def odd_key(scene):
    """A key that explains what is not drawn, or lacks what is."""
    looks, signs = ({False: set(), True: set()} for _ in range(2))
    for shape, within in split_by_key(scene.shapes):
        if isinstance(shape, Text):
            signs[within].add(shape.text)
        else:
            looks[within].add(shape.role)
    if not looks[True]:
        return
    for role in looks[True] - looks[False]:
        yield f"the key explains {role}, which is not drawn"
    bands = {role.split(" band")[0] for role in looks[True] if role.endswith(" band")}
    for role in looks[False] - looks[True] - signs[False]:
        # The sample of a band is that of its line too.
        if SPEAKING.fullmatch(role) and role.split(" line")[0] not in bands:
            yield f"the key lacks {role}"
    for text in signs[True] - signs[False]:
        if SIGN.fullmatch(text):
            yield f'the key explains "{text}", which is not written'
    for text in signs[False] - signs[True]:
        if SIGN.fullmatch(text):
            yield f'the key lacks "{text}"'


def touching(scene):
    """A sign of change that is nearly as near to a neighbour's badge as to its own."""
    font = CONTEXTS[scene.context].font
    badges, changes = [], []
    for shape, place in walk(scene.shapes):
        if isinstance(shape, Text) and SIGN.fullmatch(shape.text) and shape.text != "?":
            (at,) = placed(((shape.x, shape.y - 0.36 * font),), place)
            changes.append((shape.text, at))
        elif shape.role in ("applied", "holds", "overruns", "backs up", "fights"):
            x, y, _ = around(shape)
            wide = shape.r if isinstance(shape, Circle) else shape.points[1][0]
            badges.append((*placed(((x, y),), place)[0], wide))
    for text, (x, y) in changes:
        near = [
            abs(x - u) - wide - 0.42 * font
            for u, v, wide in badges
            if abs(y - v) < font and u > x
        ]
        if min(near, default=font) < 0.4 * font:
            yield f'"{text}" touches the next sign'


def one_look_each(scene):
    """A line that looks like that of another role, also of another picture.

    Members may be painted alike on the bench.
    """
    drawn = {shape.role for shape, _ in walk(scene.shapes) if "#" not in shape.role}
    of = {}
    for part in PARTS:
        look = style(f"{part} line", scene.context)
        of.setdefault((look.stroke, look.dash, look.width), []).append(part)
    for parts in of.values():
        if len(parts) > 1 and any(f"{part} line" in drawn for part in parts):
            yield f"{' and '.join(parts)} look alike"


CHECKS = (
    overlaps, small_letters, outside, too_wide, cut_words, struck, faint, wordless,
    beyond, kinked, odd_key, touching, one_look_each,
)  # fmt: skip


def legible(scene, *more):
    """Assert that texts are apart, inside and large enough; return them.

    `more` are other checks that it must pass.
    """
    checks = overlaps, outside, small_letters, *more
    assert not [fault for check in checks for fault in check(scene)]
    return [text for text, _ in text_boxes(scene)]
