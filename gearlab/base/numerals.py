"""Numbers and lists as they are written: decimals, fractions, counts, "a and b"."""

from fractions import Fraction


def rounded(value, digits=0):
    """A number to so many decimals, halves away from zero as in school; a Fraction.

    >>> rounded(Fraction(5, 16), 3), rounded(Fraction(-5, 2))
    (Fraction(313, 1000), Fraction(-3, 1))
    """
    value, scale = Fraction(value), Fraction(10) ** digits
    whole = (abs(value) * scale * 2 + 1) // 2
    return (whole if value >= 0 else -whole) / scale


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
        text = decimals(value, digits)
        return text.rstrip("0").rstrip(".") if "." in text else text
    if size < Fraction(10) ** power:
        power -= 1
    mantissa = rounded(value / Fraction(10) ** power, 3)
    if abs(mantissa) == 10:
        mantissa, power = mantissa / 10, power + 1
    return f"{decimals(mantissa, 3)} × 10^{power}".replace("-", "−")


def decimals(value, digits):
    """A number with just so many decimals, halves away from zero.

    >>> decimals(Fraction(5, 16), 3), decimals(Fraction(-3), 1)
    ('0.313', '−3.0')
    """
    scaled = rounded(Fraction(value) * 10**digits)
    figures = str(abs(scaled.numerator)).rjust(digits + 1, "0")
    text = f"{figures[:-digits]}.{figures[-digits:]}" if digits else figures
    return f"−{text}" if scaled < 0 else text


def percent(part, digits=1):
    """A part of one, in percent.

    >>> percent(Fraction(5, 12))
    '41.7 %'
    """
    return f"{number(rounded(100 * Fraction(part), digits))} %"


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
    """A count as the eye reads it at a paint mark; a negative one is backward.

    >>> turns(Fraction(41, 13)), turns(Fraction(1)), turns(Fraction(-3, 2))
    ('3 turns + 55°', '1 turn', '1 turn + 180° backward')
    """
    value = Fraction(value)
    degrees = int(rounded(abs(value) * 360))
    whole, angle = divmod(degrees, 360)
    count = "1 turn" if whole == 1 else f"{number(whole)} turns"
    rest = f"{angle}°" if angle or not whole else ""
    text = " + ".join(part for part in (count if whole else "", rest) if part)
    return f"{text} backward" if value < 0 and degrees else text


def turn_count(value):
    """A count with its decimals: ``"3 turns + 55° (3.154)"``."""
    text = turns(value)
    return text if Fraction(value).denominator == 1 else f"{text} ({number(value)})"


def _digits(whole):
    text = str(whole)
    return text if len(text) <= 12 else f"{text[:5]}… ({len(text)} digits)"
