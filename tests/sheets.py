"""The parts of drawings that a page puts together, and whose their shapes are."""

import random
from dataclasses import replace
from functools import lru_cache
from itertools import product

import gearlab as gl
from gearlab.draw.charts.applychart import chart_sheet
from gearlab.draw.endview import end_view_sheet
from gearlab.draw.kit.shapes import Circle, Group, Polygon, Text, placed, walk
from gearlab.draw.levers import levers_sheet
from gearlab.draw.stick import stick_sheet

POINT = Circle(x=0, y=0, r=1, role="case")


@lru_cache(maxsize=64)
def states(train, more=6):
    """Flows of every range and load, of nothing, of everything, and of some more."""
    rng = random.Random(7)
    names = [*train.element_names, *(lock.name for lock in train.locks)]
    some = [rng.sample(names, rng.randint(1, len(names))) for _ in range(more)]
    found = []
    for load in ("drive", "coast"):
        found += [gl.power_flow(train, row, load=load) for row in train.range_names]
        for applied in ((), names, *some):
            found.append(gl.power_flow(train, applied=applied, load=load))
    return tuple(found)


def sheets(flow, **look):
    """(name, sheet) of every picture of a flow."""
    chart = {"context": look.get("context", "screen"), "words": look.get("words", {})}
    yield "stick", stick_sheet(flow, **look)
    yield "plain", stick_sheet(flow, power=False, **look)
    yield "levers", levers_sheet(flow, **look)
    yield "chart", chart_sheet(flow.train, load=flow.load, current=flow.range, **chart)
    for one in flow.train.sets:
        for big, labels in product((False, True), repeat=2):
            sheet = end_view_sheet(flow, one.name, big=big, labels=labels, **look)
            yield f"{one.name} {big} {labels}", sheet


def with_owners(shapes, of="", place=(1.0, 0.0, 0.0, 0.0)):
    """(owner, shape, place) of every shape; the nearest group with an owner counts."""
    for shape in shapes:
        if not isinstance(shape, Group):
            yield of, shape, place
            continue
        still = replace(shape, turn=0.0, shapes=(POINT,))
        ((_, here),) = walk((still,), 0, place)
        yield from with_owners(shape.shapes, shape.of or of, here)


def by_owner(scene):
    """``{owner: its shapes}``."""
    found = {}
    for of, shape, _ in with_owners(scene.shapes):
        found.setdefault(of, []).append(shape)
    return found


def areas(scene):
    """(owner, (left, top, right, bottom)) of every area that is there to be touched."""
    for of, shape, place in with_owners(scene.shapes):
        if shape.role == "touch" and isinstance(shape, Polygon):
            xs, ys = zip(*placed(shape.points, place), strict=True)
            yield of, (min(xs), min(ys), max(xs), max(ys))


def shared(one, other):
    """How much two boxes have in common, the narrower way."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    return min(across, min(one[3], other[3]) - max(one[1], other[1]))


def is_text(shape):
    return isinstance(shape, Text)
