"""What is taken for what in a log's file: columns and units, and a preview of it."""

import re
from dataclasses import dataclass
from math import pi

from ...base import checks
from ...base.brief import Brief
from ...base.numerals import listed
from ...base.reading import UNITS
from ...base.textfile import blamed
from .table import SEPARATOR_WORDS, read_rows

# What a column is called, the surest name first; capitals, "_" and "-" do not matter.
NAMES = {
    "time": ("time", "t", "timestamp", "elapsed time", "elapsed", "clock"),
    "input": (
        "input speed", "input shaft speed", "turbine speed", "input shaft", "n input",
        "n in", "nin", "speed in", "input", "turbine", "turbine shaft speed",
    ),
    "output": (
        "output speed", "output shaft speed", "output shaft", "n output", "n out",
        "nout", "speed out", "output",
    ),
    "range": (
        "commanded range", "commanded gear", "target range", "target gear", "range",
        "gear", "selected range", "selected gear", "gear commanded",
    ),
    "torque": ("input torque", "turbine torque", "torque", "engine torque"),
}  # fmt: skip
WHAT = {
    "time": "the time",
    "input": "the input speed",
    "output": "the output speed",
    "range": "the commanded range",
    "torque": "the input torque",
}
NEEDED = ("time", "input", "output")
_SPEEDS = dict.fromkeys(UNITS["rev/min"][1], 1.0)
_TORQUES = dict.fromkeys(UNITS["N·m"][1], 1.0)
# {unit as people write it: how many of ours it is}; ours are s, rev/min and N·m.
_KNOWN = {
    "time": {
        "s": 1.0, "sec": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "msec": 1e-3,
        "milliseconds": 1e-3, "µs": 1e-6, "us": 1e-6, "min": 60.0, "minutes": 60.0,
    },
    "speed": _SPEEDS
    | {"min-1": 1.0, "min^-1": 1.0, "rev/s": 60.0, "rps": 60.0, "1/s": 60.0}
    | {"hz": 60.0, "rad/s": 30 / pi, "°/s": 1 / 6, "deg/s": 1 / 6},
    "torque": _TORQUES
    | {"kn·m": 1e3, "knm": 1e3, "lb·ft": 1.355818, "lbf·ft": 1.355818}
    | {"lb ft": 1.355818, "ft lb": 1.355818, "%": 1.0, "percent": 1.0},
}  # fmt: skip
OURS = {"time": "s", "speed": "rev/min", "torque": "N·m"}
KIND = {"time": "time", "input": "speed", "output": "speed", "torque": "torque"}


@dataclass(frozen=True, kw_only=True, repr=False)
class Taken(Brief):
    """One column of a file and what it is taken for.

    `what` is "time", "input", "output", "range" or "torque"; `number` counts the
    columns from 1; `factor` turns its numbers into s, rev/min or N·m.
    """

    what: str
    column: str
    number: int
    unit: str
    factor: float
    why: str
    first: tuple[str, ...]

    _columns = ("taken for", "column of the file", "unit", "why", "first rows")

    @property
    def _cells(self):
        column = f"{self.number}: {self.column}"
        return WHAT[self.what], column, self.unit, self.why, "  ".join(self.first)

    @property
    def words(self):
        """What it is taken for, in one sentence."""
        unit = f" in {self.unit}" if self.unit else ""
        return f'Column {self.number}, "{self.column}", is {WHAT[self.what]}{unit}.'


@dataclass(frozen=True, kw_only=True, repr=False)
class Preview(Brief):
    """What is taken for what in a file, with its first rows, to look at and correct."""

    taken: tuple[Taken, ...]
    left: tuple[str, ...]  # columns that are passed over
    rows: int
    separator: str
    notes: tuple[str, ...]

    _heads = Taken._columns

    @property
    def _brief(self):
        return f"{self.rows} rows, {len(self.taken)} columns taken"

    @property
    def _lead(self):
        lines = [
            f"{self.rows:,} rows; cells are apart by {SEPARATOR_WORDS[self.separator]}."
        ]
        if self.left:
            lines.append(f"Passed over: {checks.quoted(self.left)}.")
        if self.notes:
            lines.append(f"It says: {checks.shortened(' '.join(self.notes), 300)}")
        lines.append(
            'Not right? columns={"input": "its name or number"}, units={"time": "ms"}'
        )
        return "\n".join(lines)

    @property
    def _rows(self):
        return [one._cells for one in self.taken]

    def of(self, what):
        """The column that is taken for something, or None."""
        return next((one for one in self.taken if one.what == what), None)


def preview_log(path, *, columns=None, units=None):
    """What :func:`gearlab.read_log` takes for what in a file: a :class:`Preview`.

    Parameters
    ----------
    path : the file, CSV as of :func:`gearlab.read_log`, or what it takes for one
    columns : {"time", "input", "output", "range" or "torque": the name of its column,
        or its number from 1; None for none}
    units : {the same: its unit}, such as {"input": "rad/s"}

    Raises
    ------
    ValueError
        The file cannot be used: missing columns, units that are not known or told for
        one of two speeds alone, or no text, too large, empty.
    """
    with blamed(path, "log"):
        return previewed(read_rows(path), columns, units)


def previewed(table, columns=None, units=None):
    """The :class:`Preview` of a table."""
    columns = _asked(columns, "columns")
    units = _asked(units, "units")
    found = _found(table, columns)
    missing = [what for what in NEEDED if what not in found]
    if missing:
        raise ValueError(
            f"it has no column for {listed([WHAT[each] for each in missing], '')}"
            f" among {checks.shortened(', '.join(table.heads), 120)}; name it, like"
            f' columns={{"{missing[0]}": "{_some_head(table, found)}"}}'
        )
    first = table.first_rows()
    taken = [
        _taken(table, what, number, columns, units, first)
        for what, number in found.items()
    ]
    _speeds_agree(taken)
    used = set(found.values())
    left = [head for at, head in enumerate(table.heads) if at not in used and head]
    return Preview(
        taken=tuple(taken),
        left=tuple(left),
        rows=len(table.lines),
        separator=table.separator,
        notes=table.notes,
    )


def _asked(given, what):
    given = {} if given is None else given
    example = {"columns": '{"input": "n1"}', "units": '{"input": "rad/s"}'}[what]
    checks.given(given, dict, f"a table of {what}", f"write it like {example}")
    for name in given:
        checks.known(name, NAMES, "column to be taken")
    return given


def _found(table, columns):
    """{what: place of its column}, as it is given or guessed from the names."""
    plain = [_parts(head)[0] for head in table.heads]
    found = {}
    for what, names in NAMES.items():
        if what in columns:
            place = _place(table, columns[what], what)
        else:
            place = next((plain.index(name) for name in names if name in plain), None)
        if place is not None:
            found[what] = place
    return found


def _place(table, given, what):
    """The place of a column that somebody named or counted."""
    if given is None:
        return None
    if isinstance(given, int) and not isinstance(given, bool):
        number = checks.whole_number(
            given, f"the column of {WHAT[what]}", 1, len(table.heads)
        )
        return number - 1
    return table.heads.index(checks.known(given, table.heads, "column"))


def _taken(table, what, place, columns, units, first):
    head, kind = table.heads[place], KIND.get(what)
    unit, why = "", "given" if what in columns else "its name"
    if kind:
        unit = units.get(what) or _parts(head)[1] or _below(table, place)
        why += ", unit given" if what in units else "" if unit else ", unit assumed"
    factor = _factor(unit, kind, what) if kind else 1.0
    return Taken(
        what=what,
        column=head,
        number=place + 1,
        unit=unit or OURS.get(kind, ""),
        factor=factor,
        why=why,
        first=tuple(row[place] if place < len(row) else "" for row in first),
    )


def _parts(head):
    """The plain name in a head, and its unit or "".

    >>> _parts("Input_Speed [rpm]"), _parts("t ms"), _parts("n out")
    (('input speed', 'rpm'), ('t', 'ms'), ('n out', ''))
    """
    match = re.fullmatch(r"(.*?)[\s_]*[\[(]([^\])]*)[\])]\s*", head)
    name, unit = match.groups() if match else (head, "")
    words = [word for word in re.split(r"[\s_\-.,]+", name.casefold()) if word]
    known = any(words[-1] in units for units in _KNOWN.values()) if words else False
    if not unit and known and len(words) > 1:
        unit = words.pop()
    return " ".join(words), unit.strip()


def _below(table, place):
    """The unit in the line below the names, or ""."""
    cell = table.units[place] if place < len(table.units) else ""
    return cell.strip("[]() ")


def _factor(unit, kind, what):
    if not unit:
        return 1.0
    plain = re.sub("[⋅∙•*]", "·", str(unit).casefold().strip().replace("μ", "µ"))
    if plain not in _KNOWN[kind]:
        raise ValueError(
            f"{WHAT[what]} is in {checks.shortened(unit, 30)}, which is no unit of"
            f" {kind} that is known; it can be {', '.join(_usual(kind))}"
        )
    return _KNOWN[kind][plain]


def _usual(kind):
    """One name of each unit."""
    return {factor: unit for unit, factor in reversed(_KNOWN[kind].items())}.values()


def _speeds_agree(taken):
    """ValueError if one speed tells its unit, another than ours, and the other none."""
    told = {one.what: one for one in taken if KIND.get(one.what) == "speed"}
    for one, other in (
        (told["input"], told["output"]),
        (told["output"], told["input"]),
    ):
        if "assumed" in other.why and one.factor != 1 and "assumed" not in one.why:
            raise ValueError(
                f"{WHAT[one.what]} is in {one.unit}, but {WHAT[other.what]} tells no"
                f' unit; say it: units={{"{other.what}": "{one.unit}"}}'
            )


def _some_head(table, found):
    """The name of a column that is taken for nothing yet, for an example."""
    free = (head for at, head in enumerate(table.heads) if at not in found.values())
    return next(filter(None, free), "its name")[:40]
