"""Scenes, styles, text widths and the SVG painter."""

import pickle
import re
import xml.etree.ElementTree as ElementTree
from base64 import b64decode
from dataclasses import replace

import pytest
from matplotlib import font_manager, ft2font

import gearlab
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw import (
    Scene,
    draw_end_view,
    draw_lever,
    to_img,
    to_svg,
)
from gearlab.draw.kit.shapes import Circle, Group, Text, text_boxes, walk
from gearlab.draw.kit.style import CONTEXTS, PARTS, WHITE, style
from gearlab.draw.kit.textwidth import fitted, text_width

TRAIN = gearlab.load_train("five-range")
SVG = "{http://www.w3.org/2000/svg}"
MARKUP = "<b id=\"x\">&'quote'</b>"


def scenes(train=TRAIN):
    """One flow's end views and levers."""
    flow = gearlab.power_flow(train, "2")
    for one in train.sets:
        yield draw_end_view(flow, one.name)
        yield draw_lever(flow, one.name)


def contrast(a, b):
    """The contrast of two colours, as web access rules define it (from memory)."""

    def light(colour):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        parts = [
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4
            for part in parts
        ]
        return 0.2126 * parts[0] + 0.7152 * parts[1] + 0.0722 * parts[2]

    low, high = sorted((light(a), light(b)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_known_colours():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.01)


@pytest.mark.parametrize("part", PARTS)
@pytest.mark.parametrize("end", ["", "?"])
def test_lines_and_marks_stand_out(part, end):
    tint = PARTS[part][2]
    assert contrast(style(f"{part} line{end}").stroke, WHITE) >= 3
    assert contrast(style(f"{part} mark{end}").fill, tint) >= 3
    assert contrast(style("text").fill, tint) >= 4.5


@pytest.mark.parametrize("role", ["case", "hatch", "ground", "axis", "lever", "scale"])
def test_fixed_lines_stand_out(role):
    assert contrast(style(role).stroke, WHITE) >= 3


@pytest.mark.parametrize(
    "colouring", [("sun", "carrier", "ring"), ("drives", "held", "driven", "free")]
)
def test_colour_is_never_alone(colouring):
    looks = [style(f"{part} line") for part in colouring]
    assert len({look.dash for look in looks}) == len(looks)
    assert len({look.stroke for look in looks}) == len(looks)


def test_projector_lines_are_thick():
    widths = [
        style("sun line", name).width for name in ("print", "screen", "projector")
    ]
    assert widths == sorted(set(widths))


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize(
    "text",
    [
        "Front set: sun 30, ring 72",
        "not determined",
        "−1.348",
        "dotted: one of many motions →",
        "from the output end · freewheels",
        "Größe ½ × ω²",
    ],
)
def test_width_covers_the_real_one(text, bold):
    weight = "bold" if bold else "normal"
    path = font_manager.findfont(
        font_manager.FontProperties(family="DejaVu Sans", weight=weight)
    )
    font = ft2font.FT2Font(path)
    font.set_size(20, 72)
    font.set_text(text, 0.0)
    real = font.get_width_height()[0] / 64
    assert 1.02 * real <= text_width(text, 20, bold) <= 1.3 * real


def test_fitted_text_fits():
    long = "a very long name of a gear set"
    assert text_width(fitted(long, 12, 90), 12) <= 90
    assert fitted(long, 12, 90).endswith("…")
    assert fitted(long, 12, 900) == long


def test_scenes_are_frozen_hashable_and_picklable():
    for scene in scenes():
        assert hash(scene) == hash(pickle.loads(pickle.dumps(scene)))
        with pytest.raises(AttributeError):
            scene.alt = "other"


def test_groups_turn_with_the_input():
    dot = Circle(x=0, y=-10, r=1, role="case")
    inner = Group(x=0, y=-50, turn=-1, shapes=(dot,))
    ((shape, place),) = walk((Group(x=100, y=100, turn=1, shapes=(inner,)),), 0.25)
    c, s, x, y = place
    assert (x, y) == pytest.approx((150, 100))
    assert (x + shape.x * c - shape.y * s, y + shape.x * s + shape.y * c) == (
        pytest.approx((150, 90))
    )


def test_text_box_of_a_turned_text():
    text = Text(x=0, y=0, text="abc", size=10)
    scene = Scene(width=9, height=9, alt="", shapes=(Group(start=90, shapes=(text,)),))
    ((_, (x0, y0, x1, y1)),) = text_boxes(scene)
    left, top, right, bottom = text.box
    assert (x1 - x0, y1 - y0) == pytest.approx((bottom - top, right - left))


def test_svg_is_xml_with_a_name():
    for scene in scenes():
        root = ElementTree.fromstring(to_svg(scene))
        assert root.get("role") == "img"
        assert root.get("aria-label") == scene.alt
        assert root[0].get("fill") == WHITE


def test_a_picture_has_no_id_that_could_clash():
    for scene in scenes():
        root = ElementTree.fromstring(to_svg(scene))
        assert not [one for one in root.iter() if one.get("id")]


def test_live_picture_follows_one_number():
    flow = gearlab.power_flow(TRAIN, "2")
    svg = to_svg(draw_end_view(flow, "front"))
    assert "var(--turns,0)*540deg" in svg  # the ring turns 3/2
    assert "var(--turns,0)*360deg" in svg


def test_stored_picture_has_no_css_turning():
    flow = gearlab.power_flow(TRAIN, "2")
    svg = to_svg(draw_end_view(flow, "front"), turns=0.5)
    assert "var(" not in svg
    assert "rotate(270)" in svg


def test_img_carries_the_picture_and_the_sentence():
    scene = next(scenes())
    img = to_img(scene, turns=1)
    assert f'alt="{scene.alt}"' in img
    data = re.search(r"base64,([^\"]+)", img)[1]
    assert b64decode(data).decode() == to_svg(scene, 1)


def test_scene_shows_itself_by_its_sentence():
    scene = next(scenes())
    bundle = scene._repr_mimebundle_()
    assert bundle == {"text/html": to_img(scene), "text/plain": scene.alt}


def test_markup_in_names_is_escaped():
    named = [replace(TRAIN.sets[0], name=MARKUP), *TRAIN.sets[1:]]
    shafts = {
        shaft: tuple(m.replace("front ", f"{MARKUP} ") for m in members)
        for shaft, members in TRAIN.shafts.items()
    }
    brakes = (replace(TRAIN.brakes[0], member=f"{MARKUP} sun"), *TRAIN.brakes[1:])
    clutches = (
        replace(TRAIN.clutches[0], first=f"{MARKUP} sun", second=f"{MARKUP} carrier"),
        *TRAIN.clutches[1:],
    )
    ways = (
        replace(
            TRAIN.one_way_clutches[0],
            member=f"{MARKUP} carrier",
            against=f"{MARKUP} sun",
        ),
        *TRAIN.one_way_clutches[1:],
    )
    train = replace(
        TRAIN,
        sets=tuple(named),
        shafts=FrozenMap(shafts),
        brakes=brakes,
        clutches=clutches,
        one_way_clutches=ways,
        tooth_sets=FrozenMap(),
        paint=FrozenMap(),
    )
    for scene in list(scenes(train))[:2]:
        for painted in (to_svg(scene), to_img(scene)):
            assert "<b" not in painted.replace("<bdi", "")
        root = ElementTree.fromstring(to_svg(scene))
        assert root.get("aria-label") == scene.alt
        assert MARKUP in scene.alt
        texts = [one.text for one in root.iter(f"{SVG}text")]
        assert any(text.startswith("<b id") for text in texts)


def test_context_letter_sizes():
    points = {name: context.font * 3 / 4 for name, context in CONTEXTS.items()}
    least = {"screen": 11, "projector": 18, "print": 9, "class": 32.4}
    assert points == pytest.approx(least)
