"""A picture in two layers: what stays when a flow changes, and what comes anew.

The outlines of turning parts are most of an end view. They stay on the page; a new flow
sends how fast each of them turns, and the words and signs that lie over them.
"""

from dataclasses import dataclass, replace

from .given import a_scene
from .scene import Scene
from .shapes import Group

# What a turning part carries that belongs to the flow, not to the part.
_OF_THE_FLOW = {"text", "ground", "held hatch", "turning", "leader", "badge"}


@dataclass(frozen=True, kw_only=True)
class Layers:
    """The outlines that stay, what lies over them, and degrees a turn by part."""

    kept: Scene
    live: Scene
    rates: dict[str, float]


def layers(scene):
    """The :class:`Layers` of a scene; painted over each other they are the scene.

    >>> from gearlab.draw.kit.shapes import Circle
    >>> rim = Circle(x=0, y=0, r=9, role="ring rim")
    >>> ring = Group(shapes=(rim,), turn=0.5, part="ring")
    >>> found = layers(Scene(width=20, height=20, alt="a ring", shapes=(ring,)))
    >>> found.rates, found.live.shapes
    ({'ring': 180.0}, ())
    """
    rates = {}
    kept = _layer(a_scene(scene).shapes, True, False, rates)
    live = _layer(scene.shapes, False, False, {})
    return Layers(
        kept=replace(scene, shapes=kept, alt=""),
        live=replace(scene, shapes=live),
        rates=rates,
    )


def _layer(shapes, keep, within, rates):
    chosen = []
    for shape in shapes:
        if isinstance(shape, Group):
            inner = _layer(shape.shapes, keep, within or bool(shape.part), rates)
            if not inner:
                continue
            shape = replace(shape, shapes=inner)
            if keep and shape.part:
                rates[shape.part] = 360 * float(shape.turn)
                shape = replace(shape, turn=None)
            chosen.append(shape)
        elif keep == (within and shape.role not in _OF_THE_FLOW):
            chosen.append(shape)
    return tuple(chosen)
