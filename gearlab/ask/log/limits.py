"""The windows and thresholds of a road log, each with its source, and all to choose."""

from dataclasses import dataclass

from ...base import checks
from ...base.brief import Brief
from ...base.frozenmap import FrozenMap
from ...base.numerals import number
from ...base.reading import read_number

COMMON, OURS = "common practice, no source", "our own choice"
# {name: (value, its unit, what it is, where it comes from)}
LIMITS = {
    "band": (0.05, "", "how far a ratio may be from a range's, as a part", COMMON),
    "outside": (2.5, "s", "how long it must be outside to be judged", COMMON),
    "least output": (200, "rev/min", "output speed below which nothing is judged",
                     COMMON),
    "stopped": (15, "rev/min", "output speed below which the output stands", OURS),
    "racing": (500, "rev/min", "input speed that is no drive if the output stands",
               OURS),
    "settle": (0.3, "s", "how long a ratio must stay to be steady", OURS),
    "longest shift": (3, "s", "between two steady ratios that one shift joins", OURS),
    "flare": (0.05, "", "ratio above both ranges of a shift that is a flare", OURS),
    "dip": (0.05, "", "loss of output speed in a shift that is a tie-up", OURS),
    "smooth": (0.1, "s", "width of the median that finds the range", OURS),
    "spike": (0.2, "", "how far one reading may jump, as a part", OURS),
    "gap": (0.5, "s", "time without a reading that cuts a stretch", OURS),
}  # fmt: skip


@dataclass(frozen=True, kw_only=True, repr=False)
class Limits(Brief):
    """The limits that a log was judged by: `values`, and which of them were given."""

    values: FrozenMap
    given: frozenset = frozenset()

    _heads = ("limit", "value", "what it is", "source")

    @property
    def _brief(self):
        return f"{len(self.values)}, {len(self.given)} of them given"

    @property
    def _rows(self):
        for name, value in self.values.items():
            _, unit, what, source = LIMITS[name]
            said = f"{number(value)} {unit}".strip()
            yield name, said, what, "given" if name in self.given else source

    def __getitem__(self, name):
        return self.values[name]


def chosen_limits(given=None):
    """The :class:`Limits`: those that are given, and the usual ones.

    Parameters
    ----------
    given : {name: number} with names of :data:`LIMITS`, or None

    Raises
    ------
    ValueError
        An unknown name, or a value that is no number above 0.

    >>> chosen_limits({"band": "0.04"})["band"], chosen_limits()["outside"]
    (0.04, 2.5)
    """
    given = {} if given is None else given
    checks.given(given, dict, "a table of limits", 'write it like {"band": 0.04}')
    values = {name: value for name, (value, *_) in LIMITS.items()}
    for name, value in given.items():
        checks.known(name, LIMITS, "limit")
        try:
            values[name] = float(read_number(value, ""))
        except ValueError as error:
            raise ValueError(f'the limit "{name}": {error}') from None
        if values[name] <= 0:
            raise ValueError(
                f'the limit "{name}" is {checks.shortened(value)}, but it must be'
                " above 0; give another, or leave it out"
            )
    return Limits(values=FrozenMap(values), given=frozenset(given))
