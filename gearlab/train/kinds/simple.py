"""The simple set: a sun, planets on a carrier, and a ring round them."""

from .kind import (
    INNER,
    LEFT,
    PLANET,
    RIGHT,
    Face,
    FreeTeeth,
    Gear,
    HalfSection,
    Kind,
    Pin,
    Planet,
    Wheel,
    port,
    ring_port,
    sun_port,
)
from .rules import planet_between


def _rules(name, teeth):
    """The planet teeth, checked against sun and ring."""
    return {"planet": planet_between(name, "sun", "ring", "planet", teeth)}


def _others(np, low, gears):
    planet = (gears["ring"] - gears["sun"]) // 2
    return {"planet": planet}, planet > 0


def _face(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    wheels = {
        "sun": Wheel(teeth=sun, pitch=sun / 2),
        "planet": Wheel(teeth=teeth["planet"], pitch=(ring - sun) / 4),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    axes = {"planet": ((sun + ring) / 4, 0.0)}
    return Face(wheels=wheels, axes=axes, together=((1.0, tuple(wheels)),))


SIMPLE = Kind(
    teeth=("sun", "ring"),
    optional=("planet",),
    members=("sun", "planet", "ring", "carrier"),
    meshes=(("external", "sun", "planet"), ("internal", "planet", "ring")),
    rules=_rules,
    # "Epicyclic Gearing: A Handbook", Gear Solutions, September 2008; the spacing of
    # the other kinds follows from the phases of their meshes.
    spacing=lambda teeth: (teeth["sun"] + teeth["ring"],),
    neighbours=(("sun", "planet"),),
    between=("sun", "ring", "planet"),
    free_teeth=FreeTeeth(suns=("sun",), others=_others, even=True),
    face=_face,
    section=HalfSection(
        ports=(
            sun_port(),
            ring_port(),
            port("carrier", (0, PLANET), LEFT, RIGHT),
        ),
        pieces=(
            Planet(columns=(0, 0)),
            Pin(columns=(0, 0)),
            Gear(short="sun", columns=(0,)),
            Gear(short="ring", columns=(0,), outside=True),
        ),
        solid=((0, INNER),),
        mirrors=False,
    ),
)
