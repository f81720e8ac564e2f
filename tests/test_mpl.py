"""The matplotlib painter: the same picture as the SVG, whole and reproducible."""

import io
import os
import re
import subprocess
import sys
import warnings
from base64 import b64encode
from dataclasses import replace
from math import cos, radians, sin
from pathlib import Path
from tempfile import TemporaryDirectory

import matplotlib
import numpy as np
import pytest
from browser_lab import browser_page, find_browser
from matplotlib import colors
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.image import imread
from PIL import Image, ImageFilter
from PIL.PngImagePlugin import PngImageFile

import gearlab
from gearlab.draw import draw_bench, draw_end_view, draw_lever, save, to_figure, to_svg
from gearlab.draw.kit import style, textwidth
from gearlab.draw.kit.scene import Scene
from gearlab.draw.kit.shapes import (
    Arrow,
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

TRAIN = gearlab.load_train("five-range")
FLOW = gearlab.power_flow(TRAIN, "2")
NEUTRAL = gearlab.power_flow(TRAIN, "N")
SCENES = {
    "end view": draw_end_view(FLOW, "front"),
    "dotted": draw_end_view(NEUTRAL, "rear", end="output", context="projector"),
    "lever": draw_lever(gearlab.power_flow(TRAIN, "R"), "rear", context="projector"),
    "bench": draw_bench(FLOW),
    "turned text": Scene(
        width=200,
        height=150,
        alt="texts turned by 0, −90 and 30 degrees",
        shapes=(
            Text(x=20, y=30, text="level text", size=15),
            Group(
                x=40,
                y=130,
                start=-90,
                shapes=(Text(x=0, y=0, text="upright", size=15),),
            ),
            Group(
                x=120,
                y=90,
                start=30,
                turn=1,
                shapes=(
                    Text(x=0, y=0, text="aslant", size=18, anchor="middle", bold=True),
                    Arrow(points=((0, 10), (40, 10)), role="turning"),
                    Circle(x=0, y=30, r=20, role="carrier rim"),
                ),
            ),
        ),
    ),
}
TURNS = 0.1


def pixels(scene, turns=TURNS, dpi=96):
    """What the matplotlib painter paints, as an array of rows, columns and RGBA."""
    with TemporaryDirectory() as folder:
        path = save(scene, Path(folder, "a.png"), turns, dpi)
        return np.round(255 * imread(path))


def blurred(rgb):
    image = Image.fromarray(np.asarray(rgb)[..., :3].astype(np.uint8))
    return np.asarray(image.filter(ImageFilter.GaussianBlur(1.5)), dtype=float)


def off(one, other):
    """How far two blurred pictures are apart: the mean, and the part far apart."""
    apart = np.abs(blurred(one) - blurred(other)).max(axis=-1)
    return apart.mean(), (apart > 70).mean()


def artists(figure):
    (axes,) = figure.axes
    drawn = [*axes.patches, *axes.texts]
    return sorted(drawn, key=lambda artist: artist.get_zorder())


@pytest.mark.parametrize("name", SCENES)
def test_every_shape_has_its_artist(name):
    scene = SCENES[name]
    left = iter(artists(to_figure(scene, TURNS)))
    for shape, place in walk(scene.shapes, TURNS):
        look = style.style(shape.role, scene.context)
        artist = next(left)
        if isinstance(shape, Text):
            assert artist.get_text() == shape.text
            assert artist.get_fontsize() == pytest.approx(shape.size * 72 / 96)
            assert colors.to_hex(artist.get_color()).upper() == look.fill
            assert artist.get_position() == pytest.approx(
                placed(((shape.x, shape.y),), place)[0]
            )
            continue
        assert artist.get_linewidth() == pytest.approx(look.width * 72 / 96)
        stroke = colors.to_hex(artist.get_edgecolor(), keep_alpha=True).upper()
        assert stroke == (f"{look.stroke}FF" if look.stroke else "#00000000")
        fill = colors.to_hex(artist.get_facecolor(), keep_alpha=True).upper()
        filled = isinstance(shape, (Polygon, Circle)) and look.fill
        assert fill == (f"{look.fill}FF" if filled else "#00000000")
        found = artist.get_path().vertices
        if isinstance(shape, Circle):
            ((x, y),) = placed(((shape.x, shape.y),), place)
            box = artist.get_path().get_extents()
            assert (box.x0, box.y0) == pytest.approx(
                (x - shape.r, y - shape.r), abs=0.01
            )
            assert (box.x1, box.y1) == pytest.approx(
                (x + shape.r, y + shape.r), abs=0.01
            )
            # The dashes of a circle begin where it has turned to.
            assert tuple(found[0]) == pytest.approx(
                (x + shape.r * place[0], y + shape.r * place[1]), abs=0.01
            )
            continue
        if isinstance(shape, Hatch):
            points = [point for line in shape.lines for point in line]
        elif isinstance(shape, Arrow):
            points = shape.shaft_points
            head = next(left)
            assert colors.to_hex(head.get_facecolor()).upper() == look.stroke
            corners = placed(shape.head_points, place)
            assert head.get_path().vertices[:3] == pytest.approx(np.array(corners))
        else:
            points = shape.points
        expected = np.array(placed(points, place))
        assert found[: len(points)] == pytest.approx(expected)
    assert next(left, None) is None


@pytest.mark.parametrize("name", SCENES)
def test_texts_keep_within_the_boxes_of_the_scene(name):
    scene = SCENES[name]
    figure = to_figure(scene, TURNS)
    renderer = FigureCanvasAgg(figure).get_renderer()
    texts = [one for one in artists(figure) if hasattr(one, "get_text")]
    for artist, (text, (left, top, right, bottom)) in zip(
        texts, text_boxes(scene, TURNS), strict=True
    ):
        assert artist.get_text() == text
        box = artist.get_window_extent(renderer)
        assert left - 1 <= box.x0 and box.x1 <= right + 1
        assert top - 1 <= scene.height - box.y1
        assert scene.height - box.y0 <= bottom + 1


@pytest.mark.parametrize("context", ["print", "screen", "projector"])
@pytest.mark.parametrize("role", ["carrier line", "ring line", "lever?"])
def test_dashes_are_as_long_as_in_the_svg(role, context):
    look = style.style(role, context)
    run = sum(look.dash)
    line = Line(points=((0.0, 10.0), (10 * run, 10.0)), role=role)
    scene = Scene(width=10 * run, height=20, alt="", shapes=(line,), context=context)
    dark = pixels(scene, dpi=960)[100, :, :3].sum(axis=-1) < 600
    runs = np.diff(np.flatnonzero(np.diff(dark.astype(int)))) / 10
    wanted = [length for _ in range(10) for length in look.dash][1 : len(runs) + 1]
    assert len(runs) >= 9 * len(look.dash)
    # Agg itself rounds dashes to whole points of the picture.
    assert runs == pytest.approx(np.array(wanted), abs=0.25)


@pytest.fixture(scope="module")
def browser():
    pytest.importorskip("playwright")
    if not find_browser():
        pytest.skip("no Chromium is installed")
    with browser_page(900, 1200) as page:
        yield page


def in_browser(page, scene, turns=TURNS):
    """The SVG as the browser shows it, with the fonts that matplotlib brings."""
    faces = ""
    for weight, file in (("normal", "DejaVuSans"), ("bold", "DejaVuSans-Bold")):
        path = Path(matplotlib.get_data_path(), "fonts", "ttf", f"{file}.ttf")
        data = b64encode(path.read_bytes()).decode()
        faces += (
            f'@font-face{{font-family:"DejaVu Sans";font-weight:{weight};'
            f"src:url(data:font/ttf;base64,{data})}}"
        )
    page.set_content(
        f"<style>{faces}body{{margin:0}}svg{{display:block}}</style>"
        f"{to_svg(scene, turns)}"
    )
    page.evaluate("() => document.fonts.ready")
    return np.round(255 * imread(io.BytesIO(page.locator("svg").screenshot())))


@pytest.mark.parametrize("name", SCENES)
def test_same_picture_as_the_svg(browser, name):
    scene = SCENES[name]
    mean, far = off(in_browser(browser, scene), pixels(scene))
    assert mean < 2
    assert far < 1e-4


def test_another_picture_is_seen(browser):
    scene = SCENES["end view"]
    shown = in_browser(browser, scene)
    *others, last = scene.shapes
    moved = replace(scene, shapes=(*others, replace(last, x=last.x + 12)))
    for other in (moved, replace(scene, shapes=scene.shapes[1:])):
        assert off(shown, pixels(other))[1] > 2e-4
    assert off(shown, pixels(scene, TURNS + 0.02))[1] > 2e-4


def test_groups_turn_as_much_as_asked():
    dot = Circle(x=0, y=-40, r=5, role="turning")
    group = Group(x=50, y=50, turn=0.5, start=10, shapes=(dot,))
    scene = Scene(width=100, height=100, alt="", shapes=(group,))
    for turns in (0, 0.25, 1):
        (artist,) = artists(to_figure(scene, turns))
        box, angle = artist.get_path().get_extents(), radians(10 + 180 * turns)
        middle = (box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2
        assert middle == pytest.approx((50 + 40 * sin(angle), 50 - 40 * cos(angle)))


def test_every_letter_is_painted_without_a_warning():
    letters = "".join(textwidth._WIDTHS) + "ω₁−×·²½⅛→↻↺←″′…√Δ€"
    shapes = tuple(
        Text(x=5, y=20, text=letters, size=15, bold=bold) for bold in (False, True)
    )
    scene = Scene(width=100, height=30, alt="letters", shapes=shapes)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        pixels(scene)


def test_a_dollar_is_a_letter_and_no_formula():
    scene = Scene(
        width=99, height=30, alt="", shapes=(Text(x=5, y=20, text="$x$ \\a", size=15),)
    )
    (artist,) = artists(to_figure(scene))
    assert not artist.get_parse_math()
    pixels(scene)


def test_letters_that_no_font_has(tmp_path):
    text = Text(x=5, y=20, text="sun \U0010fffd", size=15)
    scene = Scene(width=99, height=30, alt="", shapes=(text,))
    with pytest.raises(ValueError, match="no font here has all of"):
        save(scene, tmp_path / "a.png")
    assert save(scene, tmp_path / "a.svg").is_file()


@pytest.mark.parametrize("dpi", [96, 150, 192])
@pytest.mark.parametrize("name", SCENES)
def test_png_is_opaque_and_of_the_scene_size(name, dpi, tmp_path):
    scene = SCENES[name]
    path = save(scene, tmp_path / "a.png", TURNS, dpi=dpi)
    with PngImageFile(path) as image:
        assert image.size == pytest.approx(
            (scene.width * dpi / 96, scene.height * dpi / 96), abs=1
        )
        found = np.asarray(image.convert("RGBA"))
        assert image.text == {"Description": scene.alt}
    assert found[..., 3].min() == 255
    assert (found[0, 0] == 255).all()


ODD_SETTINGS = {
    "lines.scale_dashes": False,
    "text.hinting": "force_autohint",
    "figure.facecolor": "black",
    "axes.facecolor": "black",
    "text.color": "white",
    "savefig.transparent": True,
    "savefig.bbox": "tight",
    "savefig.dpi": 20,
    "figure.constrained_layout.use": True,
    "font.family": ["serif"],
    "pdf.fonttype": 3,
    "path.sketch": (1, 100, 2),
}


@pytest.mark.parametrize("kind", ["png", "pdf", "svg"])
def test_same_bytes_whatever_a_person_has_set(kind, tmp_path):
    scene = SCENES["lever"]
    one = save(scene, tmp_path / f"one.{kind}").read_bytes()
    with matplotlib.rc_context(ODD_SETTINGS):
        two = save(scene, tmp_path / f"two.{kind.upper()}").read_bytes()
    assert one == two


@pytest.mark.parametrize("kind", ["png", "pdf"])
def test_same_bytes_in_another_process(kind, tmp_path):
    code = (
        "import sys, gearlab as gl\n"
        "from gearlab.draw import draw_lever, save\n"
        'flow = gl.power_flow(gl.load_train("five-range"), "R")\n'
        'save(draw_lever(flow, "rear"), sys.argv[1])\n'
    )
    found = []
    for seed in "12":
        path = tmp_path / f"{seed}.{kind}"
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        subprocess.run([sys.executable, "-c", code, path], env=environment, check=True)
        found.append(path.read_bytes())
    assert found[0] == found[1]


def test_pdf_embeds_its_fonts_and_bears_no_date(tmp_path):
    with matplotlib.rc_context({"pdf.compression": 0}):
        data = save(SCENES["end view"], tmp_path / "a.pdf").read_bytes()
    assert b"/FontFile2" in data and b"/Type3" not in data
    assert b"/CreationDate" not in data and b"/Producer" not in data
    assert b"Front set seen from the input end" in data
    box = re.search(rb"/MediaBox \[ *0 0 ([\d.]+) ([\d.]+) *\]", data)
    assert [float(side) for side in box.groups()] == pytest.approx(
        [380 * 0.75, SCENES["end view"].height * 0.75], abs=0.1
    )


def test_svg_file_is_the_svg(tmp_path):
    path = save(SCENES["lever"], tmp_path / "a.svg", TURNS)
    assert path.read_text(encoding="utf-8") == to_svg(SCENES["lever"], TURNS)


@pytest.mark.parametrize(
    "name, said",
    [
        ("a.jpg", "a .jpg file, but it must be .png, .pdf or .svg"),
        ("a", "a file of no kind, but"),
        ("nowhere/a.png", "there is no such folder; make it first"),
    ],
)
def test_what_cannot_be_saved(name, said, tmp_path):
    with pytest.raises(ValueError, match=re.escape(said)):
        save(SCENES["lever"], tmp_path / name)


@pytest.mark.parametrize("dpi", [0, -3, 96.5, 10**6])
def test_dpi_that_cannot_be(dpi, tmp_path):
    with pytest.raises(ValueError, match=r"dpi is .* whole number from 24 to 1200"):
        save(SCENES["lever"], tmp_path / "a.png", dpi=dpi)
