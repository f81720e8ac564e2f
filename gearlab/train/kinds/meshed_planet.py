"""The meshed-planet set: inner planets on the sun drive outer ones on the ring."""

from .kind import (
    INNER,
    LEFT,
    PLANET,
    SMALL,
    Arm,
    Face,
    FreeTeeth,
    Gear,
    HalfSection,
    Kind,
    Pin,
    Planet,
    Port,
    Wheel,
    ring_port,
    sun_port,
    web_exits,
)
from .rules import clear_of, corner

_INNER, _PLANET = (0, INNER), (0, PLANET)


def _rules(name, teeth):
    """Inner planets on the sun reach outer planets on the ring."""
    sun, ring = teeth["sun"], teeth["ring"]
    inner, outer = teeth["inner-planet"], teeth["outer-planet"]
    if ring > sun + 2 * (inner + outer):
        raise ValueError(
            f"{name} ring {ring} is out of reach: sun {sun} and planets of {inner} and"
            f" {outer} reach {sun + 2 * (inner + outer)} teeth at most; take a smaller"
            " ring or larger planets"
        )
    clear_of(name, "outer planet", outer, "sun", sun, ring)
    clear_of(name, "inner planet", inner, "sun", sun, ring)
    return {}


def _others(np, low, gears):
    """The smallest planets that reach: the ratio does not tell them."""
    sun, ring = gears["sun"], gears["ring"]
    planet = np.maximum(low, (ring - sun + 3) // 4)
    return dict.fromkeys(("inner-planet", "outer-planet"), planet), (
        sun + 2 * planet + 2 <= ring
    )


def _face(teeth):
    sun, ring = teeth["sun"], teeth["ring"]
    inner, outer = teeth["inner-planet"], teeth["outer-planet"]
    wheels = {
        "sun": Wheel(teeth=sun, pitch=sun / 2),
        "inner planet": Wheel(teeth=inner, pitch=inner / 2),
        "outer planet": Wheel(teeth=outer, pitch=outer / 2),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    near, far = (sun + inner) / 2, (ring - outer) / 2
    beside = corner(near, far, (inner + outer) / 2)
    axes = {"outer planet": (far, 0.0), "inner planet": (near, beside)}
    return Face(wheels=wheels, axes=axes, together=((1.0, tuple(wheels)),))


MESHED_PLANET = Kind(
    teeth=("sun", "inner-planet", "outer-planet", "ring"),
    members=("sun", "inner planet", "outer planet", "ring", "carrier"),
    meshes=(
        ("external", "sun", "inner planet"),
        ("external", "inner planet", "outer planet"),
        ("internal", "outer planet", "ring"),
    ),
    rules=_rules,
    spacing=lambda teeth: (teeth["ring"] - teeth["sun"],),
    neighbours=(("sun", "inner-planet"),),
    free_teeth=FreeTeeth(suns=("sun",), others=_others),
    face=_face,
    section=HalfSection(
        width=2,
        ports=(
            sun_port(),
            ring_port(),
            Port(
                short="carrier",
                cells=(_INNER, (1, INNER), (1, PLANET), _PLANET),
                exits=((_INNER, LEFT), (_PLANET, LEFT), *web_exits(1)),
            ),
        ),
        pieces=(
            Planet(columns=(0, 0)),
            Planet(columns=(0, 0), row=INNER, half=SMALL),
            Pin(columns=(0, 0), row=INNER),
            Arm(start=_INNER, end=(1, INNER)),
            Pin(columns=(0, 0)),
            Arm(start=_PLANET, end=(1, PLANET)),
            Arm(start=(1, INNER), end=(1, PLANET)),
            Gear(short="sun", columns=(0,), row=INNER, half=SMALL),
            Gear(short="ring", columns=(0,), outside=True),
        ),
        narrow_end=True,
    ),
)
