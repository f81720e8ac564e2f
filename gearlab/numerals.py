"""Numbers and lists as a class reads them: decimals, fractions, counts, "a and b"."""

import re
from decimal import Decimal
from fractions import Fraction

_DECIMAL = r"(\d{1,12}(?:[.,]\d{1,12})?)"
_DEGREES = rf"{_DECIMAL} ?(?:°|deg|degrees)"
_ANGLE = re.compile(rf"([-+])? ?{_DEGREES}")
_TURNS = re.compile(rf"([-+])? ?{_DECIMAL} ?turns?(?: ?(?:\+|and)? ?{_DEGREES})?")
_PLAIN = re.compile(rf"([-+])? ?{_DECIMAL}(?: ?[:/] ?{_DECIMAL})?")


def number(value):
    """A number to three decimals, or whole; a minus sign is a real one.

    >>> number(Fraction(41, 13)), number(Fraction(-3)), number(Fraction(1, 25000))
    ('3.154', '−3', '0.00004')
    """
    value = Fraction(value)
    size = abs(value)
    if value.denominator == 1 and size < 10**9:
        return str(value.numerator).replace("-", "−")
    power = len(str(size.numerator)) - len(str(size.denominator))
    if -6 < power < 9:
        digits = 3 if size >= Fraction(1, 10) else 4 - power
        text = f"{float(value):.{digits}f}".rstrip("0").rstrip(".")
    else:
        decimal = Decimal(value.numerator) / value.denominator
        mantissa, power = f"{decimal:.3E}".split("E")
        text = f"{mantissa} × 10^{int(power)}"
    return text.replace("-", "−")


def listed(names, article="the "):
    """Names in a sentence: ``"the a, the b and the c"``."""
    words = [f"{article}{name}" for name in names]
    if len(words) < 2:
        return "".join(words)
    return ", ".join(words[:-1]) + " and " + words[-1]


def exactly(value):
    """A number with its fraction if it has one: ``"3.154 (41/13)"``."""
    value = Fraction(value)
    if value.denominator == 1:
        return number(value)
    return f"{number(value)} ({fraction(value)})"


def fraction(value):
    """A fraction, shortened in words where its digits would fill the line."""
    value = Fraction(value)
    parts = [_digits(value.numerator), _digits(value.denominator)]
    return "/".join(parts[: 1 if value.denominator == 1 else 2]).replace("-", "−")


def turns(value):
    """A count as the eye reads it at a paint mark.

    >>> turns(Fraction(41, 13)), turns(Fraction(1)), turns(Fraction(-1, 2))
    ('3 turns + 55°', '1 turn', '−180°')
    """
    value = Fraction(value)
    degrees = round(abs(value) * 360)
    whole, angle = divmod(degrees, 360)
    count = "1 turn" if whole == 1 else f"{number(whole)} turns"
    rest = f"{angle}°" if angle or not whole else ""
    text = " + ".join(part for part in (count if whole else "", rest) if part)
    return f"−{text}" if value < 0 and degrees else text


def turn_count(value):
    """A count with its decimals: ``"3 turns + 55° (3.154)"``."""
    text = turns(value)
    return text if Fraction(value).denominator == 1 else f"{text} ({number(value)})"


def _digits(whole):
    text = str(whole)
    return text if len(text) <= 12 else f"{text[:5]}… ({len(text)} digits)"


def read_number(text):
    """The number that a person wrote, as a Fraction.

    Point or comma, a fraction, ``3.15:1``, ``3 turns 55°`` and any minus sign.
    Raises ValueError, with the way out, for anything else.

    >>> read_number("3,15"), read_number("−41/13"), read_number("3 turns + 55°")
    (Fraction(63, 20), Fraction(-41, 13), Fraction(227, 72))
    """
    plain = text.strip().lower()
    for minus in "−–—‐‑":
        plain = plain.replace(minus, "-")
    if match := _ANGLE.fullmatch(plain):
        sign, angle = match.groups()
        value = _decimal(angle) / 360
        return -value if sign == "-" else value
    if match := _TURNS.fullmatch(plain):
        sign, whole, angle = match.groups()
        value = _decimal(whole) + _decimal(angle or "0") / 360
        return -value if sign == "-" else value
    if match := _PLAIN.fullmatch(plain):
        sign, above, below = match.groups()
        if below is None or _decimal(below):
            value = _decimal(above) / _decimal(below or "1")
            return -value if sign == "-" else value
    raise ValueError(
        f'"{text.strip()[:40]}" is no number that can be read; write it like 3.15,'
        " 41/13 or 3 turns 55°, without thousands marks"
    )


def _decimal(text):
    return Fraction(text.replace(",", "."))
