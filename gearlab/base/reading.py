"""The one reader of numbers: of people, files, arrays and counts."""

import re
from decimal import Decimal
from fractions import Fraction
from numbers import Rational, Real

_LARGEST = 10**12  # a number with no more digits than are read from text
_MOST_DECIMALS = 1000  # of a Decimal
_LARGEST_OF_OURS = 10**1000  # of the numerator and the denominator of an exact number
_LONGEST = 80  # letters of a text that can be a number
# What a number can be counted in: what it is then, and how people write it.
UNITS = {
    "turns": (
        "a number of turns",
        ("turn", "turns", "rev", "revs", "revolution", "revolutions"),
    ),
    "degrees": ("an angle in degrees", ("°", "deg", "degree", "degrees")),
    "N·m": (
        "a torque in N·m",
        ("n·m", "nm", "n m", "newton metre", "newton metres", "newton meters"),
    ),
    "rev/min": (
        "a speed in rev/min",
        ("rev/min", "revs/min", "rpm", "r/min", "1/min", "rev per min"),
    ),
    "mm": ("a length in mm", ("mm", "millimetre", "millimetres", "millimeters")),
    "percent": ("a part in percent", ("%", "percent", "per cent")),
    "teeth": ("a number of teeth", ("tooth", "teeth")),
    "planets": ("a number of planets", ("planet", "planets")),
}
_ANY, _TURNS = "", "turns"  # where a ratio or turns are asked, an angle is read too
_UNIT_OF = {spelt: unit for unit, (_, all) in UNITS.items() for spelt in all}


def _spelt(*units):
    """A pattern of all that such units are called, the longest first."""
    names = [name for name, unit in _UNIT_OF.items() if unit in units]
    return "|".join(map(re.escape, sorted(names, key=len, reverse=True)))


# Decimals may be as many as a calculator or a Python cell shows.
_DECIMAL, _WHOLE = r"\d{1,12}(?:[.,]\d{1,24})?", r"\d{1,12}"
_SIGN, _WAY = r"(?P<sign>[-+])? ?", r"(?P<way>,? ?(?:back|for)wards?)?"
_UNIT = rf"(?: ?(?P<unit>{_spelt(*UNITS)}))?"
# 3.15, 41/13, 3.15:1, 2 1/3, 1 + 104/24 or 104/24 + 1, with a unit or without.
_NUMBER = re.compile(
    rf"{_SIGN}(?:(?P<whole>{_WHOLE})(?: (?={_WHOLE} ?/)| ?(?P<plus>\+) ?))?"
    rf"(?P<above>{_DECIMAL})(?: ?[:/] ?(?P<below>{_DECIMAL}))?"
    rf"(?(plus)|(?: ?(?P<sum>\+) ?(?P<after>{_WHOLE}))?){_UNIT}{_WAY}"
)
_TURNS_AND_ANGLE = re.compile(
    rf"{_SIGN}(?P<turns>{_DECIMAL}) ?(?:{_spelt('turns')})(?: ?\+| and)? ?"
    rf"(?P<angle>{_DECIMAL}) ?(?:{_spelt('degrees')}){_WAY}"
)
# Thousands set off by spaces or apostrophes, by several marks, or by another mark
# than the decimal one; then by one mark alone, which may be a decimal point as well.
_THOUSANDS = re.compile(
    r"[-+]? ?(?P<whole>[1-9]\d{0,2}(?:(?:[ '’_]\d{3})+|(?:,\d{3})+(?=\.)"
    r"|(?:\.\d{3})+(?=,)|(?:,\d{3}){2,}|(?:\.\d{3}){2,}))(?:[.,](?P<rest>\d{1,12}))?"
    rf"{_UNIT}"
)
_ONE_MARK = re.compile(rf"([-+])? ?([1-9]\d{{0,2}})[.,](\d{{3}}){_UNIT}")


def read_number(given, unit="turns"):
    """The number that a person gave, as a Fraction in some unit.

    Parameters
    ----------
    given : a number (whole, float, Decimal, Fraction, numpy's), or text: point or
        comma, a fraction, ``2 1/3``, ``1 + 104/24``, ``3.15:1``, ``3 turns 55°``, any
        minus sign or "backward", and the unit
    unit : what it is counted in, a key of :data:`UNITS`, or "" for a ratio. For a ratio
        or turns, an angle is a part of a turn.

    Raises
    ------
    ValueError
        What was given, the rule and the way out: another unit is named, a mark for
        thousands is recognised.

    >>> read_number("3,15"), read_number("−2 1/3"), read_number("3 turns + 55°")
    (Fraction(63, 20), Fraction(-7, 3), Fraction(227, 72))
    >>> read_number("102 Nm", "N·m")
    Fraction(102, 1)
    """
    if not isinstance(given, str):
        return _exact(given)
    plain = _plain(given)
    if match := _TURNS_AND_ANGLE.fullmatch(plain):
        _check_unit(given, _TURNS, unit)
        value = _decimal(match["turns"]) + _decimal(match["angle"]) / 360
    elif match := _THOUSANDS.fullmatch(plain):
        meant = re.sub(r"\D", "", match["whole"])
        meant += f".{match['rest']}" if match["rest"] else ""
        raise ValueError(
            f"{_shown(given)} is no number that can be read: it has marks for"
            f" thousands; write it like {meant}"
        )
    elif match := _NUMBER.fullmatch(plain):
        value = _value(given, match)
        found = _UNIT_OF.get(match["unit"], unit)
        _check_unit(given, found, unit)
        value = value / 360 if found == "degrees" != unit else value
    else:
        raise _unread(given)
    back = match["way"] and "back" in match["way"]
    return -value if back or match["sign"] == "-" else value


def thousands(given):
    """What a text means if its one point or comma marks thousands; None if it can't.

    >>> thousands("2.324 rev/min"), thousands("2.32")
    (Fraction(2324, 1), None)
    """
    match = isinstance(given, str) and _ONE_MARK.fullmatch(_plain(given))
    if not match:
        return None
    value = Fraction(match[2] + match[3])
    return -value if match[1] == "-" else value


def _plain(text):
    plain = text.strip().lower()
    if len(plain) > _LONGEST:
        return ""
    plain = re.sub("[ \N{NO-BREAK SPACE}\N{NARROW NO-BREAK SPACE}]+", " ", plain)
    return re.sub("[⋅∙•*]", "·", re.sub("[−–—‐‑﹣－]", "-", plain))


def _exact(given):
    """A number as it is, whatever its type."""
    if isinstance(given, (Real, Decimal)) and not isinstance(given, bool):
        try:
            small = abs(given) < _LARGEST and not _is_endless(given)
        except ArithmeticError:  # a signalling nan
            small = False
        if small and isinstance(given, Rational):
            # numpy's whole numbers overflow, so they are not kept as they are.
            return Fraction(int(given.numerator), int(given.denominator))
        if small:
            # A float is taken as it is written: 3.15 means 63/20.
            return Fraction(str(given))
    raise _unread(given)


def _is_endless(given):
    """Whether writing a Decimal out would take longer than anybody waits."""
    return isinstance(given, Decimal) and given.as_tuple().exponent < -_MOST_DECIMALS


def _value(given, match):
    """The size of a number, of its whole part, fraction and sum."""
    if (match["plus"] or match["sum"]) and match["sign"] == "-":
        raise ValueError(
            f"{_shown(given)} can be read in two ways; write one number, like −3.15"
            " or −41/13"
        )
    below = _decimal(match["below"] or "1")
    if not below:
        raise _unread(given)
    whole = int(match["whole"] or 0) + int(match["after"] or 0)
    return whole + _decimal(match["above"]) / below


def _check_unit(given, found, unit):
    """ValueError if a number is in another unit than the one that is asked."""
    turning = found in (_TURNS, "degrees") and unit in (_ANY, _TURNS)
    if found != unit and not turning:
        asked = UNITS[unit][0] if unit else "a ratio"
        raise ValueError(
            f"{_shown(given)} is {UNITS[found][0]}, but {asked} is asked; work that"
            " out, or leave the unit away"
        )


def _unread(given):
    return ValueError(
        f"{_shown(given)} is no number that can be read; write it like 3.15, 41/13 or"
        " 3 turns 55°, at most 12 digits before the point"
    )


def _shown(given):
    if isinstance(given, str):
        return f'"{given.strip()[:40]}"'
    if isinstance(given, Rational) and abs(given) >= _LARGEST:
        return "a number of more than 12 digits"
    return str(given)[:60]


def _decimal(text):
    return Fraction(text.replace(",", "."))


def exact(value, name, what="speed", unit=""):
    """A number as a Fraction, whatever its type; text is read as people write it.

    What the library itself works out may have more digits than people write.
    """
    whole = isinstance(value, (int, Fraction)) and not isinstance(value, bool)
    if whole and max(abs(value.numerator), value.denominator) < _LARGEST_OF_OURS:
        return Fraction(value)
    try:
        return read_number(value, unit)
    except ValueError as error:
        raise ValueError(f"the {what} of {name}: {error}") from None
