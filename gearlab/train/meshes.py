"""The one law, and which meshes a gear set is made of.

Where gear *a* (Za teeth) meshes with gear *b* (Zb teeth) on carrier *c*::

    Za (ωa − ωc) = ∓ Zb (ωb − ωc)      minus: external mesh, plus: internal mesh

Nothing else in the library knows a ratio formula.
"""

from .gearset import Mesh


def meshes(gear_set):
    """The meshes of a gear set, with its short member names."""
    kind = gear_set.record
    if kind.written_out:
        return gear_set.meshes
    teeth = gear_set.all_teeth
    return tuple(
        Mesh(
            gears=(a, b),
            teeth=(teeth[kind.key(a)], teeth[kind.key(b)]),
            mesh=mesh,
            carrier="carrier",
        )
        for mesh, a, b in kind.meshes
    )


def mesh_law(mesh):
    """The law as ``{gear or carrier: coefficient}``, whose sum of ω × coefficient is 0.

    >>> pair = {"gears": ("sun", "planet"), "teeth": (30, 21), "mesh": "external"}
    >>> mesh_law(Mesh(**pair, carrier="carrier"))
    {'sun': 30, 'planet': 21, 'carrier': -51}
    """
    (a, b), (teeth_a, teeth_b) = mesh.gears, mesh.teeth
    if mesh.mesh == "internal":
        teeth_b = -teeth_b
    return {a: teeth_a, b: teeth_b, mesh.carrier: -(teeth_a + teeth_b)}
