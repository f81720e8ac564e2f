"""The stepped-planet set: two planet gears in one piece."""

from math import gcd

from .kind import (
    INNER,
    LEFT,
    PLANET,
    RIGHT,
    STEP,
    Face,
    FreeTeeth,
    Gear,
    HalfSection,
    Hub,
    Kind,
    Pin,
    Planet,
    Port,
    Wheel,
    ring_port,
    sun_port,
)

_LEFT, _RIGHT = (0, PLANET), (1, PLANET)
_STEPS = "sun-planet", "ring-planet"


def _rules(name, teeth):
    """The two planet gears may have two modules, so nothing must add up."""
    if teeth["ring"] <= teeth["ring-planet"]:
        raise ValueError(
            f"{name} ring planet {teeth['ring-planet']} does not turn inside ring"
            f" {teeth['ring']}; take a larger ring"
        )
    return {}


def _spacing(teeth):
    on_sun, on_ring = (teeth[key] for key in _STEPS)
    whole = teeth["sun"] * on_ring + teeth["ring"] * on_sun
    return (whole // gcd(on_sun, on_ring),)


def _others(np, low, gears):
    return {}, gears["ring"] > gears["ring-planet"]


def _face(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    on_sun, on_ring = (teeth[key] for key in _STEPS)
    # The two pairs share the centre distance; the ring's module is taken as 1.
    far = (ring - on_ring) / 2
    module = 2 * far / (sun + on_sun)
    wheels = {
        "sun": Wheel(teeth=sun, pitch=module * sun / 2),
        "sun planet": Wheel(teeth=on_sun, pitch=module * on_sun / 2),
        "ring planet": Wheel(teeth=on_ring, pitch=on_ring / 2),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    pairs = (module, ("sun planet", "sun")), (1.0, ("ring planet", "ring"))
    # The smaller planet gear is in front, so that both are seen.
    larger = wheels["sun planet"].pitch > wheels["ring planet"].pitch
    return Face(
        wheels=wheels,
        axes={"sun planet": (far, 0.0), "ring planet": (far, 0.0)},
        together=pairs,
        behind=frozenset(pairs[0 if larger else 1][1]),
    )


STEPPED_PLANET = Kind(
    teeth=("sun", *_STEPS, "ring"),
    members=("sun", "sun planet", "ring planet", "ring", "carrier"),
    one_piece=(("sun planet", "ring planet"),),
    meshes=(("external", "sun", "sun planet"), ("internal", "ring planet", "ring")),
    rules=_rules,
    spacing=_spacing,
    neighbours=(("sun", "sun-planet"),),
    # The ratio does not tell the steps alone, so a search takes the set's own.
    free_teeth=FreeTeeth(suns=("sun",), others=_others, as_filed=_STEPS),
    face=_face,
    section=HalfSection(
        width=2,
        ports=(
            sun_port(),
            ring_port(column=1),
            Port(
                short="carrier",
                cells=(_LEFT, _RIGHT),
                exits=((_LEFT, LEFT), (_RIGHT, RIGHT)),
            ),
        ),
        pieces=(
            Hub(columns=(0, 1)),
            Planet(columns=(0, 0)),
            Planet(columns=(1, 1), half=STEP),
            Pin(columns=(0, 1)),
            Gear(short="sun", columns=(0,)),
            Gear(short="ring", columns=(1,), half=STEP, outside=True),
        ),
        solid=((0, INNER), (1, INNER)),
    ),
)
