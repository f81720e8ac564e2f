"""The one law, and which meshes a gear set is made of.

Where gear *a* (Za teeth) meshes with gear *b* (Zb teeth) on carrier *c*::

    Za (ωa − ωc) = ∓ Zb (ωb − ωc)      minus: external mesh, plus: internal mesh

Nothing else in the library knows a ratio formula.
"""

from .gearset import Mesh


def meshes(gear_set):
    """The meshes of a gear set, with its short member names."""
    return _CONSTRUCTORS[gear_set.kind](gear_set)


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
    return Mesh(gears=(a, b), teeth=(teeth[a], teeth[b]), mesh=kind, carrier="carrier")


def _simple(gear_set):
    teeth = gear_set.all_teeth
    return (
        _mesh("external", teeth, "sun", "planet"),
        _mesh("internal", teeth, "planet", "ring"),
    )


def _written_out(gear_set):
    return gear_set.meshes


_CONSTRUCTORS = {"simple": _simple, "meshes": _written_out}
