"""The matplotlib painter: a scene as a figure of one's own, or as a file.

It paints the same shapes and boxes as the SVG painter: 96 px are an inch, and the
figure's one axes counts in px with y downward, so that notes can be added to it.
"""

from functools import lru_cache
from io import BytesIO
from math import atan2, degrees
from os import PathLike
from pathlib import Path

import matplotlib
from matplotlib import font_manager
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch
from matplotlib.path import Path as Outline

from ...base import checks
from ...base.filewriter import write_file
from .given import a_scene, some_turns
from .shapes import Arrow, Circle, Hatch, Line, Polygon, Text, placed, walk
from .style import FONT, WHITE, style
from .svg import to_svg

PX_PER_INCH = 96
POINT = 72 / PX_PER_INCH  # a px, in points
SUFFIXES = (".png", ".pdf", ".svg")
_FAMILY = FONT.split(",")[0]
# What a person has set for figures of their own must not change a drawing.
_SETTINGS = {
    "lines.scale_dashes": True,
    "path.sketch": None,
    "path.effects": [],
    "pdf.fonttype": 42,
    "savefig.bbox": "standard",
    "text.hinting": "no_hinting",  # hinted letters of this size look like another font
    "text.usetex": False,
}
# A file says nothing of when and by what it was made, so it comes out the same again.
_UNDATED = {
    ".png": {"Software": None},
    ".pdf": {"CreationDate": None, "Creator": None, "Producer": None},
}


def to_figure(scene, turns=0):
    """The scene as a matplotlib figure, at so many input turns.

    Parameters
    ----------
    scene : Scene
    turns : the input turns at which it is painted

    Returns
    -------
    matplotlib.figure.Figure, of the scene's size and with one axes in px

    Raises
    ------
    ValueError
        Letters that no font of this machine has.

    >>> from gearlab.draw.kit.scene import Scene
    >>> from gearlab.draw.kit.shapes import Circle
    >>> dot = Circle(x=24, y=24, r=20, role="case")
    >>> scene = Scene(width=48, height=96, alt="a dot", shapes=(dot,))
    >>> figure = to_figure(scene)
    >>> [float(inches) for inches in figure.get_size_inches()], len(figure.axes)
    ([0.5, 1.0], 1)
    """
    a_scene(scene)
    turns = some_turns(turns)
    size = scene.width / PX_PER_INCH, scene.height / PX_PER_INCH
    with matplotlib.rc_context(_SETTINGS):
        figure = Figure(figsize=size, dpi=PX_PER_INCH, facecolor=WHITE, layout="none")
        axes = figure.add_axes((0, 0, 1, 1), facecolor=WHITE)
        axes.set(xlim=(0, scene.width), ylim=(scene.height, 0))
        axes.set_axis_off()
        for shape, place in walk(scene.shapes, turns):
            for artist in _PAINT[type(shape)](axes, shape, place, scene.context):
                # Later shapes cover earlier ones, whatever they are.
                artist.set(zorder=len(axes.get_children()), snap=False)
    return figure


def save(scene, path, turns=0, dpi=192):
    """Write the scene to a picture file, the same bytes for the same scene.

    Parameters
    ----------
    scene : Scene, or what :func:`gearlab.draw.plot_log` returns
    path : where to; its end says the kind: .png, .pdf or .svg
    turns : the input turns at which it is painted
    dpi : px an inch of a .png; 96 has the scene's own size

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        Another kind of file, a folder that is not there, a dpi that cannot be, letters
        that no font of this machine has, or a disk that refuses. A file that was there
        is then as it was.
    """
    plot = getattr(scene, "figure", None)
    if not isinstance(plot, Figure):
        a_scene(scene)
    if not isinstance(path, str | PathLike):
        raise ValueError(
            f"the picture is to be written to {checks.shortened(path)}, but a path is a"
            ' text; write it in quotation marks, such as "picture.png"'
        )
    path, kind = Path(path), Path(path).suffix.lower()
    if kind not in SUFFIXES:
        raise ValueError(
            f"the picture {checks.shortened(str(path))} is to be"
            f" {f'a {kind} file' if kind else 'a file of no kind'}, but it must be"
            " .png, .pdf or .svg; give the name one of these ends"
        )
    dpi = checks.whole_number(dpi, "dpi", 24, 1200)
    if kind == ".svg" and not plot:
        return write_file(path, to_svg(scene, turns), "picture")
    about = "Subject" if kind == ".pdf" else "Description"
    figure, file = plot or to_figure(scene, turns), BytesIO()
    with matplotlib.rc_context(_SETTINGS):
        figure.savefig(
            file,
            format=kind[1:],
            dpi=dpi,
            facecolor=WHITE,
            transparent=False,
            metadata={about: scene.alt, **_UNDATED[kind]},
        )
    return write_file(path, file.getvalue(), "picture")


def _polygon(axes, shape, place, context):
    yield _patch(axes, _closed(placed(shape.points, place)), style(shape.role, context))


def _line(axes, shape, place, context):
    points = Outline(placed(shape.points, place))
    yield _patch(axes, points, style(shape.role, context), filled=False)


def _hatch(axes, shape, place, context):
    points = [point for line in shape.lines for point in placed(line, place)]
    codes = [Outline.MOVETO, Outline.LINETO] * len(shape.lines)
    strokes = Outline(points, codes)
    yield _patch(axes, strokes, style(shape.role, context), filled=False)


def _circle(axes, shape, place, context):
    # An arc begins where SVG begins a circle, so dashes fall on the same places.
    arc = Outline.arc(0, 360)
    points = [(shape.x + shape.r * u, shape.y + shape.r * v) for u, v in arc.vertices]
    points = placed(points, place)
    codes = [*arc.codes, Outline.CLOSEPOLY]
    round_one = Outline([*points, points[0]], codes)
    yield _patch(axes, round_one, style(shape.role, context))


def _arrow(axes, shape, place, context):
    look = style(shape.role, context)
    shaft = Outline(placed(shape.shaft_points, place))
    yield _patch(axes, shaft, look, filled=False)
    head = _closed(placed(shape.head_points, place))
    yield axes.add_patch(PathPatch(head, facecolor=look.stroke, edgecolor="none"))


def _text(axes, shape, place, context):
    ((x, y),) = placed(((shape.x, shape.y),), place)
    cosine, sine = place[:2]
    yield axes.text(
        x,
        y,
        shape.text,
        color=style(shape.role, context).fill,
        family=_families(frozenset(shape.text)),
        size=shape.size * POINT,
        weight="bold" if shape.bold else "normal",
        ha={"start": "left", "middle": "center", "end": "right"}[shape.anchor],
        va="baseline",
        rotation=-degrees(atan2(sine, cosine)),  # counter-clockwise is positive here
        rotation_mode="anchor",
        parse_math=False,
    )


@lru_cache(maxsize=1024)
def _families(letters):
    """The fonts that have these letters: ours, and another for what it lacks."""
    ours = _codes(font_manager.findfont(_FAMILY))
    missing = {ord(letter) for letter in letters} - ours
    if not missing:
        return [_FAMILY]
    for entry in font_manager.fontManager.ttflist:
        # The font of last resort has every letter, as a box.
        if not entry.name.startswith("Last Resort") and missing <= _codes(entry.fname):
            return [_FAMILY, entry.name]
    lacking = "".join(map(chr, sorted(missing)))
    raise ValueError(
        f'no font here has all of "{lacking}", so they cannot be painted; install a'
        " font that does, or save the picture as .svg"
    )


@lru_cache(maxsize=1024)
def _codes(path):
    return frozenset(font_manager.get_font(path).get_charmap())


_PAINT = {
    Polygon: _polygon,
    Line: _line,
    Hatch: _hatch,
    Circle: _circle,
    Arrow: _arrow,
    Text: _text,
}


def _closed(points):
    return Outline([*points, points[0]], closed=True)


def _patch(axes, outline, look, filled=True):
    """An outline on the axes; dashes are counted in line widths there."""
    dashes = [length / look.width for length in look.dash] if look.width else []
    return axes.add_patch(
        PathPatch(
            outline,
            facecolor=look.fill if filled and look.fill else "none",
            edgecolor=look.stroke or "none",
            linewidth=look.width * POINT,
            linestyle=(0, dashes) if dashes else "solid",
            joinstyle="round",
            capstyle="butt",
        )
    )
