"""Gear sets: their kind, their tooth counts and their planets.

Whether planets can be spaced equally or touch their neighbours is asked in
:mod:`gearlab.ask.assembly`; here are only the rules without which a set is no set.
"""

from dataclasses import dataclass, field, replace
from fractions import Fraction
from math import gcd

from ..base import checks
from ..base.frozenmap import FrozenMap
from .kinds import KINDS
from .kinds.rules import tip_gap

MESHES = ("external", "internal")


@dataclass(frozen=True, kw_only=True)
class Mesh:
    """Two gears in mesh on a carrier; names are members of the set or "case"."""

    gears: tuple[str, str]
    teeth: tuple[int, int]
    mesh: str
    carrier: str

    def __post_init__(self):
        if len(self.gears) != 2 or len(self.teeth) != 2:
            raise ValueError(
                f"a mesh of {list(self.gears)} with teeth {list(self.teeth)} was given,"
                " but a mesh is of two gears with a tooth count each"
            )
        checks.known(self.mesh, MESHES, "kind of mesh")
        a, b = self.gears
        if a == b or self.carrier in self.gears:
            raise ValueError(
                f'the mesh of "{a}" with "{b}" on "{self.carrier}" names one part'
                " twice, but two gears and their carrier are three parts"
            )
        if self.mesh == "internal" and self.teeth[0] == self.teeth[1]:
            raise ValueError(
                f'"{a}" and "{b}" have {self.teeth[0]} teeth each, but inside a ring'
                " gear turns a gear with fewer teeth; change one of them"
            )


@dataclass(frozen=True, kw_only=True)
class GearSet:
    """A gear set: its kind, its tooth counts and how many planets it carries.

    `teeth` holds the counts as given; :attr:`all_teeth` adds those that follow.
    A set of kind ``"meshes"`` has `meshes` written out and no planets.
    """

    name: str
    kind: str
    teeth: FrozenMap = FrozenMap()
    planets: int | None = None
    meshes: tuple[Mesh, ...] = ()
    all_teeth: FrozenMap = field(init=False, compare=False, repr=False)

    def __post_init__(self):
        checks.name(self.name, "a gear set")
        checks.known(self.kind, KINDS, "kind of gear set")
        kind = self.record
        if self.planets is not None:
            most = checks.MAX_PLANETS
            count = checks.whole_number(self.planets, f"{self.name} planets", 1, most)
            object.__setattr__(self, "planets", count)
        if kind.written_out and self.planets is not None:
            raise ValueError(
                f"{self.name} is written out by its meshes, so it has no planets to"
                " count; leave planets out"
            )
        if not kind.written_out and self.meshes:
            raise ValueError(
                f'{self.name} is of kind "{self.kind}", whose meshes follow from its'
                ' teeth; leave meshes out, or take kind "meshes"'
            )
        if kind.written_out:
            teeth = self._teeth_of_meshes()
            object.__setattr__(self, "teeth", FrozenMap(teeth))
        else:
            for key in self.teeth:
                checks.known(key, kind.teeth + kind.optional, f"{self.name} gear")
            for key in kind.teeth:
                if key not in self.teeth:
                    raise ValueError(
                        f"{self.name} {key} has no tooth count, but a {self.kind} set"
                        f" needs {checks.quoted(kind.teeth)}; add it"
                    )
            given = {
                key: checks.teeth(count, f"{self.name} {key}")
                for key, count in self.teeth.items()
            }
            object.__setattr__(self, "teeth", FrozenMap(given))
            teeth = {**given, **kind.rules(self.name, given)}
        object.__setattr__(self, "all_teeth", FrozenMap(teeth))
        self._check_neighbours()

    def _teeth_of_meshes(self):
        if not self.meshes:
            raise ValueError(f"{self.name} has no meshes; write at least one")
        counts, carriers = {}, set()
        for mesh in self.meshes:
            carriers.add(mesh.carrier)
            for gear, count in zip(mesh.gears, mesh.teeth, strict=True):
                checks.teeth(count, f"{self.name} {gear}")
                if counts.setdefault(gear, count) != count:
                    raise ValueError(
                        f"{self.name} {gear} has {counts[gear]} teeth in one mesh and"
                        f" {count} in another, but a gear has one tooth count; give"
                        " the second gear a name of its own and join the two in a shaft"
                    )
        both = sorted(carriers & set(counts) - {"case"})
        if both:
            raise ValueError(
                f"{self.name} {both[0]} is a gear in one mesh and a carrier in another;"
                " give the carrier a name of its own and join the two in a shaft"
            )
        return counts

    @property
    def record(self):
        """The :class:`gearlab.train.kinds.Kind` that it is of."""
        return KINDS[self.kind]

    @property
    def planet_places(self):
        """At how many places round the carrier a planet fits; None without planets."""
        spacing = self.record.spacing
        return gcd(*spacing(self.all_teeth)) if spacing else None

    @property
    def planet_angles(self):
        """Where the planets sit, in turns from the first; () if none are counted.

        Planets fit at multiples of the least mesh angle; the ones nearest to equal
        spacing are taken.
        """
        places, n = self.planet_places, self.planets
        if not places or not n:
            return ()
        return tuple(
            Fraction((2 * k * places + n) // (2 * n), places) for k in range(n)
        )

    @property
    def neighbour_gap(self):
        """Room between the tips of neighbouring planets, in modules; None for one."""
        angles = self.planet_angles
        if len(angles) < 2 or not self.record.neighbours:
            return None
        gap = min(b - a for a, b in zip(angles, (*angles[1:], 1), strict=True))
        return min(
            tip_gap(self.all_teeth[sun], self.all_teeth[planet], gap)
            for sun, planet in self.record.neighbours
        )

    def _check_neighbours(self):
        gap = self.neighbour_gap
        if len(set(self.planet_angles)) < len(self.planet_angles):
            raise ValueError(
                f"{self.name} has {self.planets} planets, but its teeth leave only"
                f" {self.planet_places} places for them; take fewer planets, or teeth"
                " that leave more places"
            )
        if gap is not None and gap <= 0:
            sun, planet = (self.all_teeth[k] for k in self.record.neighbours[0])
            raise ValueError(
                f"{self.planets} planets of {planet} teeth on {self.name} sun {sun}"
                f" touch each other: {gap:.1f} modules are left between their tips, but"
                " more than 0 are needed; take fewer planets or a larger sun"
            )

    @property
    def members(self):
        """The short names of the set's members, gears first."""
        if not self.record.written_out:
            return self.record.members
        names = {gear: None for mesh in self.meshes for gear in mesh.gears}
        names |= {mesh.carrier: None for mesh in self.meshes}
        return tuple(name for name in names if name != "case")

    def member(self, short):
        """The full name of a member, ``"<set> <member>"``; the case is the case."""
        return short if short == "case" else f"{self.name} {short}"

    def with_teeth(self, changes):
        """A copy with other tooth counts or planets; ``planet=None`` follows again."""
        changes = dict(changes)
        planets = changes.pop("planets", self.planets)
        if self.record.written_out:
            for gear in changes:
                checks.known(gear, self.all_teeth, f"{self.name} gear")
            counts = {**self.all_teeth, **changes}
            meshes = tuple(
                replace(mesh, teeth=tuple(counts[gear] for gear in mesh.gears))
                for mesh in self.meshes
            )
            return GearSet(
                name=self.name, kind=self.kind, planets=planets, meshes=meshes
            )
        counts = {**self.teeth, **changes}
        for key in self.record.optional:
            if counts.get(key, 0) is None:
                del counts[key]
        return GearSet(
            name=self.name, kind=self.kind, teeth=FrozenMap(counts), planets=planets
        )
