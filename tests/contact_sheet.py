"""Paint a contact sheet of the drawings, and the same as other eyes see it.

Run it from the folder with README.md: ``python tests/contact_sheet.py``. It writes
``assets/contact-sheet.png``, and ``assets/contact-sheet-colours.png``: some of the
drawings as they are, in grey, and in simulated colour-vision deficiency.
"""

import sys
from pathlib import Path

import numpy as np
from matplotlib.image import imread
from PIL import Image

import gearlab as gl
from gearlab import draw
from gearlab.draw.kit.scene import Scene
from gearlab.draw.kit.shapes import Group, Text
from gearlab.draw.kit.style import CONTEXTS, WIDTH

ASSETS = Path(__file__).resolve().parents[1] / "assets"
GAP = 24.0  # between two drawings [px]
FONT = CONTEXTS["screen"].font

# What an eye without the long-, middle- or short-wave cones makes of linear RGB:
# G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
# Simulation of Color Vision Deficiency", 2009, severity 1.0. Values from memory, to be
# checked against a copy; the rows of each add up to 1, as they must.
EYES = {
    "protanopia": (
        (0.152286, 1.052583, -0.204868),
        (0.114503, 0.786281, 0.099216),
        (-0.003882, -0.048116, 1.051998),
    ),
    "deuteranopia": (
        (0.367322, 0.860646, -0.227968),
        (0.280085, 0.672501, 0.047413),
        (-0.011820, 0.042940, 0.968881),
    ),
    "tritanopia": (
        (1.255528, -0.076749, -0.178779),
        (-0.078411, 0.930809, 0.147602),
        (0.004733, 0.691367, 0.303900),
    ),
    # How bright a colour is, in all three: ITU-R BT.709, from memory.
    "grey": ((0.2126, 0.7152, 0.0722),) * 3,
}


FEW = (2, 3, 1)  # of the drawings, on the second sheet


def drawings():
    """(caption, scene) of the drawings on the sheet, in order."""
    five, six = gl.load_train("five-range"), gl.load_train("six-range")
    four = gl.load_train("four-range")
    second, third = gl.power_flow(five, "2"), gl.power_flow(five, "3")
    view = draw.draw_end_view
    return (
        ("Apply chart", draw.draw_apply_chart(five, current="3")),
        ("Stick diagram with the power path", draw.draw_stick(third)),
        ("End view, by part", view(second, "front")),
        ("End view, by what a member does", view(second, "rear", colour_by="role")),
        ("Levers, merged where sets share two shafts", draw.draw_levers(third)),
        (
            "Where power goes round, by what a body does",
            draw.draw_stick(
                gl.power_flow(six, "5"), circulating=True, colour_by="role"
            ),
        ),
        ("Two suns in one set", view(gl.power_flow(six, "4"), "rear")),
        ("Neutral: dotted where unknown", view(gl.power_flow(five, "N"), "rear")),
        ("Levers with torques", draw.draw_levers(third, torques=True)),
        ("All ranges on the levers", draw.draw_lever_ranges(six)),
        ("Speed chart", draw.draw_speed_chart(five)),
        ("Shift strip", draw.draw_shift_strip(five, "2", "3")),
        ("Product table", draw.draw_product_table(five)),
        ("A half section to learn reading from", draw.draw_half_section()),
        (
            "Plain stick diagram, for a worksheet",
            draw.draw_stick(gl.power_flow(four, applied=()), power=False),
        ),
    )


def sheet(named, columns=2, title=""):
    """One scene of many, each below the others in the shortest column.

    Two narrow ones that follow each other stand side by side.
    """
    column = 2 * WIDTH["screen"] + GAP
    ends, shapes, told = [2.2 * FONT if title else 0.0] * columns, [], []
    for block in blocks(named):
        at = ends.index(min(ends))
        x, y = GAP + at * (column + GAP), ends[at] + GAP
        for caption, scene in block:
            shapes.append(Text(x=x, y=y + FONT, text=caption, size=FONT, bold=True))
            shapes.append(Group(x=x, y=y + 1.6 * FONT, shapes=scene.shapes))
            told.append(f"{caption}: {scene.alt}")
            x += scene.width + GAP
        ends[at] = y + max(scene.height for _, scene in block) + 1.6 * FONT
    if title:
        size = 1.4 * FONT
        shapes.append(Text(x=GAP, y=GAP + FONT, text=title, size=size, bold=True))
    return Scene(
        width=GAP + columns * (column + GAP),
        height=round(max(ends) + GAP),
        shapes=tuple(shapes),
        alt=" ".join(told),
    )


def blocks(named):
    """The scenes in order, two narrow neighbours as one block."""
    narrow = WIDTH["screen"]
    found = []
    for caption, scene in named:
        before = found[-1] if found else []
        if len(before) == 1 and max(scene.width, before[0][1].width) <= narrow:
            before.append((caption, scene))
        else:
            found.append([(caption, scene)])
    return found


def seen(pixels, eye):
    """How an eye sees an 8-bit RGB picture (an array of rows, columns and colours)."""
    light = pixels / 255
    light = np.where(light <= 0.04045, light / 12.92, ((light + 0.055) / 1.055) ** 2.4)
    light = np.clip(light @ np.array(EYES[eye]).T, 0, 1)
    back = np.where(
        light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055
    )
    return np.round(255 * back).astype(np.uint8)


def paint(scene, path, dpi=96):
    """Save a scene as a PNG and give its pixels."""
    draw.save(scene, path, turns=0.08, dpi=dpi)
    return np.round(255 * imread(path)[..., :3]).astype(np.uint8)


def store(pixels, path):
    """Write pixels as a PNG, in 32 steps of each colour: small, and looks the same."""
    steps = np.round(pixels / 255 * 31) / 31 * 255
    Image.fromarray(steps.round().astype(np.uint8)).save(path, optimize=True)


def main(folder=ASSETS):
    """Write both sheets."""
    named = drawings()
    whole = folder / "contact-sheet.png"
    store(paint(sheet(named), whole), whole)
    colours = folder / "contact-sheet-colours.png"
    few = [named[at] for at in FEW]
    views = [paint(sheet(few, title="as it is"), colours, dpi=64)]
    for eye in EYES:
        views.append(seen(paint(sheet(few, title=eye), colours, dpi=64), eye))
    store(np.concatenate(views), colours)
    for path in (whole, colours):
        sys.stdout.write(f"assets/{path.name}: {path.stat().st_size // 1024} kB\n")


if __name__ == "__main__":
    main()
