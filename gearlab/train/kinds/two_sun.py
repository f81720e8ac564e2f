"""The two-sun set: short planets on a small sun, long ones on a large."""

from .kind import (
    DOWN,
    INNER,
    LEFT,
    PLANET,
    RIGHT,
    SMALL,
    SUN,
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
    port,
    ring_port,
    web_exits,
)
from .rules import clear_of, corner, planet_between

_PINS = (0, PLANET), (1, PLANET), (2, PLANET)


def _rules(name, teeth):
    """Long planets mesh with the large sun and the ring, short ones reach them."""
    small, large, short = (teeth[k] for k in ("small-sun", "large-sun", "short-planet"))
    long = planet_between(name, "large-sun", "ring", "long-planet", teeth)
    if large < small + 2:
        raise ValueError(
            f"{name} large sun {large} is not larger than small sun {small} by 2 teeth,"
            " so the long planets would touch both; take a larger large sun"
        )
    if large + long > small + 2 * short + long:
        raise ValueError(
            f"{name} short planet {short} does not reach the long planets from small"
            f" sun {small}; take at least {(large - small + 1) // 2} teeth"
        )
    clear_of(name, "short planet", short, "small sun", small, teeth["ring"])
    return {"long-planet": long}


def _others(np, low, gears):
    """The smallest short planets that reach: the ratio does not tell them."""
    small, large, ring = gears["small-sun"], gears["large-sun"], gears["ring"]
    short = np.maximum(low, (large - small + 1) // 2)
    fits = (large >= small + 2) & (small + 2 * short + 2 <= ring)
    return {"long-planet": (ring - large) // 2, "short-planet": short}, fits


def _face(teeth):
    small, large, ring = teeth["small-sun"], teeth["large-sun"], teeth["ring"]
    short, long = teeth["short-planet"], teeth["long-planet"]
    wheels = {
        "small sun": Wheel(teeth=small, pitch=small / 2),
        "large sun": Wheel(teeth=large, pitch=large / 2),
        "short planet": Wheel(teeth=short, pitch=short / 2),
        "long planet": Wheel(teeth=long, pitch=(ring - large) / 4),
        "ring": Wheel(teeth=ring, pitch=ring / 2, inward=True),
    }
    near, far = (small + short) / 2, (large + ring) / 4
    beside = corner(near, far, (short + long) / 2)
    return Face(
        wheels=wheels,
        axes={"long planet": (far, 0.0), "short planet": (near, beside)},
        together=((1.0, tuple(wheels)),),
        behind=frozenset({"large sun"}),
        long=frozenset({"long planet", "ring"}),
    )


TWO_SUN = Kind(
    teeth=("small-sun", "large-sun", "short-planet", "ring"),
    optional=("long-planet",),
    members=(
        "small sun",
        "large sun",
        "short planet",
        "long planet",
        "ring",
        "carrier",
    ),
    meshes=(
        ("external", "small sun", "short planet"),
        ("external", "short planet", "long planet"),
        ("external", "large sun", "long planet"),
        ("internal", "long planet", "ring"),
    ),
    rules=_rules,
    spacing=lambda teeth: (
        teeth["large-sun"] + teeth["ring"],
        teeth["ring"] - teeth["small-sun"],
    ),
    neighbours=(("large-sun", "long-planet"), ("small-sun", "short-planet")),
    between=("large-sun", "ring", "long-planet"),
    free_teeth=FreeTeeth(suns=("small-sun", "large-sun"), others=_others, even=True),
    face=_face,
    section=HalfSection(
        width=3,
        ports=(
            port("small sun", (1, SUN), RIGHT, DOWN),
            port("large sun", (0, SUN), LEFT, DOWN),
            ring_port(),
            Port(
                short="carrier",
                cells=(*_PINS, (2, INNER), (1, INNER)),
                exits=((_PINS[0], LEFT), *web_exits(2)),
            ),
        ),
        pieces=(
            Planet(columns=(0, 1)),
            Planet(columns=(1, 1), row=INNER, half=SMALL),
            Pin(columns=(0, 1)),
            Pin(columns=(1, 1), row=INNER),
            Arm(start=(1, INNER), end=(2, INNER)),
            Arm(start=(1, PLANET), end=(2, PLANET)),
            Arm(start=(2, INNER), end=(2, PLANET)),
            Gear(short="small sun", columns=(1,), row=INNER, half=SMALL),
            Gear(short="large sun", columns=(0,)),
            Gear(short="ring", columns=(0, 1), outside=True),
        ),
        solid=((0, INNER),),
        narrow_end=True,
    ),
)
