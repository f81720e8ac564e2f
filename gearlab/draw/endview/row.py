"""Gears that turn on fixed axes, each in mesh with the next, in a row.

A set written out by its meshes says what meshes with what, and not where it stands. On
fixed axes that is enough: the gears of a chain are drawn beside each other.
"""

from itertools import pairwise

from ...train.kinds.kind import Wheel
from ...train.train import CASE
from ..kit.shapes import Circle, Group, letter
from . import crank
from .gears import give_teeth, mesh_outside, outline
from .parts import hatch, hole, mark, mark_band, mark_hole, sense


def row_of(gear_set):
    """The gears of a chain on fixed axes, in order; () for any other set."""
    if any(mesh.carrier != CASE or mesh.mesh != "external" for mesh in gear_set.meshes):
        return ()
    mates = {}
    for mesh in gear_set.meshes:
        for gear, mate in (mesh.gears, mesh.gears[::-1]):
            mates.setdefault(gear, []).append(mate)
    ends = [gear for gear, others in mates.items() if len(others) == 1]
    if len(ends) != 2 or CASE in mates:
        return ()
    row = ends[:1]
    while row[-1] != ends[1]:
        row += [mate for mate in mates[row[-1]] if mate not in row[-2:]][:1]
    return tuple(row) if len(row) == len(mates) else ()


def draw_row(view, width):
    """The shapes of a chain of gears with their axes at y = 0, and their half height.

    They take `width` px to the right of (0, 0).
    """
    row, counts = row_of(view.gear_set), view.gear_set.all_teeth
    wheels = {
        short: Wheel(teeth=counts[short], pitch=counts[short] / 2) for short in row
    }
    pairs = [(a, b, wheels[a].pitch + wheels[b].pitch) for a, b in pairwise(row)]
    teeth = give_teeth(wheels, pairs)
    ends = teeth[row[0]].tip - wheels[row[0]].pitch
    ends += teeth[row[-1]].tip - wheels[row[-1]].pitch
    module = width / (sum(wheel.teeth for wheel in wheels.values()) + ends)
    teeth = {short: one.scaled(module) for short, one in teeth.items()}
    x, turned, before, shapes = teeth[row[0]].tip, 0.0, None, []
    towards = 0.25 * view.hand
    for short in row:
        one = teeth[short]
        if before:
            x += before.pitch + one.pitch
            turned = mesh_outside(before.count, turned, one.count, towards)
        at = x if view.hand > 0 else width - x
        shapes += _gear(view, short, one, turned, at)
        before = one
    return shapes, max(one.tip for one in teeth.values())


def _gear(view, short, teeth, turned, x):
    """A gear on its axis, with its mark, its arrow and its letter."""
    low, high = mark_band(view, teeth.root)
    turning = (
        Group(
            start=360 * turned,
            shapes=(outline(teeth, view.role(short, "body")),),
        ),
        mark(view, short, low, high),
        *sense(view, short, low, high),
    )
    part, of = short.replace(" ", "-"), view.of(short)
    yield Group(x=x, turn=view.turn(short), part=part, shapes=turning, of=of)
    if short == crank.handled(view):
        yield Group(x=x, shapes=(crank.on_disc(view, short, teeth.root),))
    holes = hole(view, 0.0, 0.0, 0.75 * view.font), mark_hole(view, low, high)
    hatching = tuple(hatch(view, short, teeth.root, holes=holes))
    yield Group(x=x, shapes=hatching, of=of)
    name, font = view.letter(short), view.font
    if view.labels and 0.57 * teeth.root > (0.5 + 0.4 * len(name)) * font:
        yield Group(x=x, shapes=(letter(name, font),), of=of)
    else:
        hub = Circle(x=x, y=0, r=min(0.2 * teeth.root, 0.4 * font), role="badge")
        yield Group(shapes=(hub,), of=of)
