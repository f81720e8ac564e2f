"""Tooth-count rules as verdicts: coaxial, equally spaced, clear of the neighbours.

What cannot be put together at all is refused when a gear set is made; these verdicts
say what fits, and what fits only with care.
"""

from dataclasses import dataclass
from fractions import Fraction

from ..base.brief import Brief, Several
from ..base.numerals import number, rounded

FITS, WARNS = "fits", "warns"


@dataclass(frozen=True, kw_only=True, repr=False)
class AssemblyVerdict(Brief):
    """One rule for one gear set, with what it says of the teeth."""

    set: str
    rule: str  # "coaxial", "equal spacing" or "neighbours"
    level: str  # "fits" or "warns"
    words: str

    _columns = ("set", "rule", "level", "what the teeth say")

    @property
    def _brief(self):
        return f"{self.set}, {self.level}: {self.words}"

    @property
    def _cells(self):
        return self.set, self.rule, self.level, self.words


def assembly_verdicts(gear_set):
    """The verdicts on a gear set, in the order of :class:`AssemblyVerdict.rule`.

    >>> from gearlab.train.gearset import GearSet
    >>> from gearlab.base.frozenmap import FrozenMap
    >>> teeth = FrozenMap({"sun": 30, "ring": 72})
    >>> for verdict in assembly_verdicts(
    ...     GearSet(name="front", kind="simple", teeth=teeth, planets=3)):
    ...     print(verdict.words)
    ring 72 = sun 30 + 2 × planet 21: coaxial
    (30 + 72) / 3 = 34 is whole: planets every 120°
    the planet tips stay 21.2 modules apart
    """
    verdicts = []
    if gear_set.record.between:
        verdicts.append(("coaxial", *_coaxial(gear_set)))
    if gear_set.planet_places and (gear_set.planets or 1) > 1:
        verdicts.append(("equal spacing", *_spacing(gear_set)))
    if (gap := gear_set.neighbour_gap) is not None:
        # Half a module between the tips: a general trade article on epicyclic gears.
        close = gap < 0.5 - 1e-9  # the sine of a half is not exact
        words = f"the planet tips stay {gap:.1f} modules apart"
        if close:
            words = f"only {gap:.2f} modules are left between the planet tips, and half"
            words += " a module is usual"
        verdicts.append(("neighbours", WARNS if close else FITS, words))
    return Several(
        AssemblyVerdict(set=gear_set.name, rule=rule, level=level, words=words)
        for rule, level, words in verdicts
    )


def whole_planet(sun, ring):
    """The planet teeth to give between a sun and a ring: None if they follow.

    An odd difference leaves half a tooth over; the smaller planet then meshes with
    profile-shifted teeth.

    >>> whole_planet(30, 72), whole_planet(31, 72)
    (None, 20)
    """
    return (ring - sun) // 2 if (ring - sun) % 2 else None


def _coaxial(gear_set):
    keys = gear_set.record.between
    sun, ring, planet = (gear_set.all_teeth[key] for key in keys)
    sun_key, _, planet_key = (key.replace("-", " ") for key in keys)
    sum_of = f"{sun_key} {sun} + 2 × {planet_key} {planet}"
    if ring == sun + 2 * planet:
        return FITS, f"ring {ring} = {sum_of}: coaxial"
    return WARNS, (
        f"ring {ring} is not {sum_of} = {sun + 2 * planet}: legal, but only with"
        " profile-shifted teeth"
    )


def _spacing(gear_set):
    places, planets = gear_set.planet_places, gear_set.planets
    counted = f"{places} places"
    if gear_set.kind == "simple":
        counted = "({sun} + {ring})".format(**gear_set.all_teeth)
    whole, rest = divmod(places, planets)
    if not rest:
        return FITS, (
            f"{counted} / {planets} = {whole} is whole:"
            f" planets every {_degrees(Fraction(1, planets))}"
        )
    angles = ", ".join(_degrees(a) for a in gear_set.planet_angles)
    return WARNS, (
        f"{counted} / {planets} is not whole: the planets cannot be spaced"
        f" equally, but they fit at {angles}"
    )


def _degrees(turn):
    return f"{number(rounded(360 * turn, 1))}°"
