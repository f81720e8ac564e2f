"""The differential: two side gears of one size, with bevel planets between them."""

from .kind import (
    DOWN,
    INNER,
    LEFT,
    PLANET,
    RIGHT,
    RING,
    SUN,
    UP,
    Bevels,
    HalfSection,
    Kind,
    Port,
    port,
)

_PIN, _TOP = (1, PLANET), (1, RING)

DIFFERENTIAL = Kind(
    teeth=("side",),
    members=("left", "right", "carrier"),
    # The planets between them only turn the sense round: as one external mesh.
    meshes=(("external", "left", "right"),),
    counted_as={"left": "side", "right": "side"},
    bevels=True,
    section=HalfSection(
        width=3,
        ports=(
            port("left", (0, SUN), LEFT, DOWN),
            port("right", (2, SUN), RIGHT, DOWN),
            Port(
                short="carrier",
                cells=(_PIN, _TOP),
                exits=((_TOP, LEFT), (_TOP, RIGHT), (_TOP, UP)),
            ),
        ),
        pieces=(Bevels(left="left", right="right"),),
        solid=(
            (0, INNER),
            (1, INNER),
            (2, INNER),
            (1, SUN),
            (0, PLANET),
            (2, PLANET),
        ),
    ),
)
