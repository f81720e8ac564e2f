"""The one law, and which meshes a gear set is made of.

Where gear *a* (Za teeth) meshes with gear *b* (Zb teeth) on carrier *c*::

    Za (ωa − ωc) = ∓ Zb (ωb − ωc)      minus: external mesh, plus: internal mesh

Nothing else in the library knows a ratio formula.
"""

from .gearset import Mesh


def meshes(gear_set):
    """The meshes of a gear set, with its short member names."""
    if gear_set.kind == "meshes":
        return gear_set.meshes
    if gear_set.kind == "differential":
        # The planets between them only turn the sense round: as one external mesh.
        sides = gear_set.all_teeth["side"]
        teeth = {"left": sides, "right": sides}
        return (_mesh("external", teeth, "left", "right"),)
    teeth = gear_set.all_teeth
    return tuple(_mesh(kind, teeth, a, b) for kind, a, b in _MESHES[gear_set.kind])


def mesh_law(mesh):
    """The law as ``{gear or carrier: coefficient}``, whose sum of ω × coefficient is 0.

    >>> mesh_law(_mesh("external", {"sun": 30, "planet": 21}, "sun", "planet"))
    {'sun': 30, 'planet': 21, 'carrier': -51}
    """
    (a, b), (teeth_a, teeth_b) = mesh.gears, mesh.teeth
    if mesh.mesh == "internal":
        teeth_b = -teeth_b
    return {a: teeth_a, b: teeth_b, mesh.carrier: -(teeth_a + teeth_b)}


def _mesh(kind, teeth, a, b):
    """Two members of a set in mesh on its carrier; `teeth` has the keys of a file."""
    counts = tuple(teeth[member.replace(" ", "-")] for member in (a, b))
    return Mesh(gears=(a, b), teeth=counts, mesh=kind, carrier="carrier")


# What meshes with what in a set of each kind.
_MESHES = {
    "simple": (("external", "sun", "planet"), ("internal", "planet", "ring")),
    "meshed-planet": (
        ("external", "sun", "inner planet"),
        ("external", "inner planet", "outer planet"),
        ("internal", "outer planet", "ring"),
    ),
    "two-sun": (
        ("external", "small sun", "short planet"),
        ("external", "short planet", "long planet"),
        ("external", "large sun", "long planet"),
        ("internal", "long planet", "ring"),
    ),
    "stepped-planet": (
        ("external", "sun", "sun planet"),
        ("internal", "ring planet", "ring"),
    ),
}
