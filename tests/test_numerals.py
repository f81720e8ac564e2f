"""Numbers as a class reads and writes them."""

import re
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction as F
from time import perf_counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearlab.base.numerals import (
    decimals,
    exactly,
    fraction,
    number,
    percent,
    rounded,
    turn_count,
    turns,
)
from gearlab.base.reading import UNITS, read_number, thousands

HUGE = 10**400


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (F(41, 13), "3.154"),
        (F(492, 221), "2.226"),
        (F(-3), "−3"),
        (F(-1, 3), "−0.333"),
        (F(1, 2), "0.5"),
        (0, "0"),
        (F(999_999, 10**6), "1"),
        (F(1, 25_000), "0.00004"),
        (F(123_456_789, 10), "12345678.9"),
        (10**9 - 1, "999999999"),
        (10**9, "1.000 × 10^9"),
        (-3 * HUGE, "−3.000 × 10^400"),
        (F(7, HUGE), "7.000 × 10^−400"),
        (F(5, 16), "0.313"),
        (F(-5, 16), "−0.313"),
        (F(1, 16), "0.0625"),
        (F(17, 16), "1.063"),
        (F(5, 2**15) * 1000, "0.153"),
        (F(10_001_500_000, 1), "1.000 × 10^10"),
        (F(10_005_000_000, 1), "1.001 × 10^10"),
    ],
)
def test_number(value, text):
    assert number(value) == text


@given(st.fractions(min_value=-(10**6), max_value=10**6))
def test_number_is_near(value):
    text = number(value)
    assert "-" not in text
    read = re.fullmatch(r"(−?)(\d+(?:\.\d+)?)(?: × 10\^(−?\d+))?", text)
    power = int((read.group(3) or "0").replace("−", "-"))
    size = F(read.group(2)) * F(10) ** power
    assert abs(size - abs(value)) <= max(F(1, 1999), abs(value) / 1999)
    assert (read.group(1) == "−") == (value < 0) or size == 0


@pytest.mark.parametrize("value", [F(10**11 - 1, 10), F(10**9, 3), F(10**10 + 1, 10)])
def test_large_numbers_have_one_figure_before_the_point(value):
    shown = re.fullmatch(r"(\d+)(?:\.(\d+))?(?: × 10\^(\d+))?", number(value))
    assert len(shown.group(1)) == 1 or not shown.group(3)
    assert shown.group(1) != "0"


@given(st.integers(min_value=1), st.integers(min_value=0, max_value=3000))
def test_no_number_is_long(above, power):
    for value in (F(above, 7) * 10**power, F(above, 7) / 10**power):
        assert len(number(value)) <= 20
        assert len(fraction(value)) <= 55
        assert len(turn_count(value)) <= 60


@given(st.integers(-(10**9), 10**9), st.integers(0, 6), st.integers(0, 4))
def test_halves_are_rounded_away_from_zero(whole, places, digits):
    """As in school, and as the decimal module's rule of that name does it."""
    written = Decimal(whole).scaleb(-places)
    step = Decimal(1).scaleb(-digits)
    expected = written.quantize(step, rounding=ROUND_HALF_UP)
    assert rounded(F(written), digits) == F(expected)
    plain = decimals(F(written), digits).replace("−", "-")
    assert F(plain) == F(expected)
    assert len(plain.partition(".")[2]) == digits


def test_percent():
    assert percent(F(5, 12)) == "41.7 %"
    assert percent(F(9, 4000), 2) == "0.23 %"
    assert percent(F(1)) == "100 %"


def test_exactly_and_fraction():
    assert exactly(F(41, 13)) == "3.154 (41/13)"
    assert exactly(F(-1, 3)) == "−0.333 (−1/3)"
    assert exactly(4) == "4"
    assert fraction(F(-41, 13)) == "−41/13"
    assert fraction(12) == "12"
    assert fraction(F(HUGE, 3)) == "10000… (401 digits)/3"
    assert fraction(F(-1, HUGE)) == "−1/10000… (401 digits)"


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (F(41, 13), "3 turns + 55°"),
        (F(17, 12), "1 turn + 150°"),
        (F(12, 17), "254°"),
        (F(1), "1 turn"),
        (F(2), "2 turns"),
        (F(-1, 2), "180° backward"),
        (F(-7, 2), "3 turns + 180° backward"),
        (F(-2), "2 turns backward"),
        (0, "0°"),
        # 359.6° is nearer to a whole turn than to 359°.
        (F(3596, 3600), "1 turn"),
        (F(1) + F(3596, 3600), "2 turns"),
        (F(-3596, 3600), "1 turn backward"),
        # A half degree is rounded away from zero, as in school.
        (F(1, 720), "1°"),
        (F(-5, 720), "3° backward"),
        (F(3594, 3600), "359°"),
        (F(-1, 1000), "0°"),
        (F(10**12), "1.000 × 10^12 turns"),
    ],
)
def test_turns(value, text):
    assert turns(value) == text


def test_turn_count():
    assert turn_count(F(41, 13)) == "3 turns + 55° (3.154)"
    assert turn_count(F(12, 17)) == "254° (0.706)"
    assert turn_count(3) == "3 turns"
    assert turn_count(F(-1582, 1000)) == "1 turn + 210° backward (−1.582)"
    assert turn_count(F(-296, 100)) == "2 turns + 346° backward (−2.96)"


@given(st.fractions(min_value=-(10**5), max_value=-1))
def test_whole_turns_and_angle_of_a_count_have_one_sign(value):
    """−1.582 is 1 turn and 210° backward: never "−1 turn + 210°", which is −0.417."""
    assert "−" not in turns(value)
    assert turns(value) == f"{turns(-value)} backward"


@given(st.fractions(min_value=-(10**5), max_value=10**5))
def test_a_count_reads_back_within_half_a_degree(value):
    assert abs(read_number(turns(value)) - value) <= F(1, 720)


@given(st.fractions(min_value=-(10**5), max_value=10**5, max_denominator=10**5))
def test_a_fraction_reads_back_exactly(value):
    assert read_number(fraction(value)) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("3.15", F(63, 20)),
        ("3,15", F(63, 20)),
        ("3.15:1", F(63, 20)),
        ("3,15 : 1", F(63, 20)),
        ("41/13", F(41, 13)),
        (" 3 ", F(3)),
        ("+3", F(3)),
        ("3 turns", F(3)),
        ("1 turn", F(1)),
        ("3.5 turns", F(7, 2)),
        ("3 turns 55°", F(227, 72)),
        ("3 turns + 55°", F(227, 72)),
        ("3 Turns and 55 degrees", F(227, 72)),
        ("3turns 55 deg", F(227, 72)),
        ("90°", F(1, 4)),
        ("0/5", F(0)),
        *((f"{minus}3", F(-3)) for minus in "-−–—‐‑"),
        ("− 3", F(-3)),
        ("−41/13", F(-41, 13)),
        ("−3 turns + 90°", F(-13, 4)),
        ("–90 deg", F(-1, 4)),
        ("1 turn + 209° backward", F(-569, 360)),
        ("3.5 backward", F(-7, 2)),
        ("3.5, backwards", F(-7, 2)),
        ("3 turns forward", F(3)),
        ("2 1/3", F(7, 3)),
        ("−2 1/3", F(-7, 3)),
        ("2 1/3 turns", F(7, 3)),
        ("1+104/24", F(16, 3)),
        ("1 + 104/24", F(16, 3)),
        ("104/24 + 1", F(16, 3)),
        ("1 + 0.35", F(27, 20)),
        ("3\N{NO-BREAK SPACE}turns 55°", F(227, 72)),
        (3, F(3)),
        (3.15, F(63, 20)),
        (F(41, 13), F(41, 13)),
        (Decimal("3.15"), F(63, 20)),
        (np.float64(3.15), F(63, 20)),
        (np.float32(3.15), F(63, 20)),
        (np.int64(-3), F(-3)),
        (np.mean([3.125, 3.175]), F(63, 20)),
    ],
)
def test_read_number(text, value):
    for unit in ("", "turns"):
        read = read_number(text, unit)
        assert read == value
        assert isinstance(read, F)
        assert type(read.numerator) is int


@pytest.mark.parametrize(
    "value", [16 / 3, -21 / 17, 202.4858757062147, 1 / 3, 0.1 + 0.2, 1 / 30000]
)
def test_what_a_python_cell_or_a_calculator_shows_is_read(value):
    shown = f"{value:.20f}".rstrip("0")[:24] if abs(value) < 0.001 else repr(value)
    assert read_number(shown) == F(shown)
    assert read_number(f"{shown} Nm", "N·m") == F(shown)


def test_a_decimal_that_would_fill_the_memory_is_refused_at_once():
    start = perf_counter()
    with pytest.raises(ValueError, match="at most 12 digits"):
        read_number(Decimal("1e-9999999"))
    assert perf_counter() - start < 0.1
    assert read_number(Decimal("1e-30")) == F(1, 10**30)


UNITS_WRITTEN = [
    ("102 N·m", "N·m", F(102)),
    ("102 Nm", "N·m", F(102)),
    ("102nm", "N·m", F(102)),
    ("102 N m", "N·m", F(102)),
    ("102 N*m", "N·m", F(102)),
    ("−102.5 N⋅m", "N·m", F(-205, 2)),
    ("2324 rpm", "rev/min", F(2324)),
    ("2324 rev/min", "rev/min", F(2324)),
    ("2324 1/min", "rev/min", F(2324)),
    ("41/13 rpm", "rev/min", F(41, 13)),
    ("12°", "degrees", F(12)),
    ("12.5 degrees", "degrees", F(25, 2)),
    ("34 %", "percent", F(34)),
    ("34 percent", "percent", F(34)),
    ("67 mm", "mm", F(67)),
    ("22 teeth", "teeth", F(22)),
    ("4 planets", "planets", F(4)),
]


@pytest.mark.parametrize(("text", "unit", "value"), UNITS_WRITTEN)
def test_the_unit_that_is_asked_is_read(text, unit, value):
    assert read_number(text, unit) == value
    bare = re.match(r"[−-]?[\d.,/]+", text)[0]
    assert read_number(bare, unit) == value


def kind(unit):
    return UNITS[unit][0] if unit else "a ratio"


@pytest.mark.parametrize(("text", "unit", "value"), UNITS_WRITTEN)
@pytest.mark.parametrize("asked", ["", *UNITS])
def test_another_unit_is_named(text, unit, value, asked):
    if asked == unit or (unit == "degrees" and asked in ("", "turns")):
        return
    with pytest.raises(ValueError) as caught:
        read_number(text, asked)
    assert str(caught.value) == (
        f'"{text}" is {kind(unit)}, but {kind(asked)} is asked; work that out, or leave'
        " the unit away"
    )


def test_turns_are_no_torque():
    with pytest.raises(ValueError, match="is a number of turns, but a torque in N·m"):
        read_number("3 turns 55°", "N·m")


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("1.000,5", "1000.5"),
        ("1,000.5", "1000.5"),
        ("1 000", "1000"),
        ("1'000", "1000"),
        ("1_000", "1000"),
        ("−1,234,567 rpm", "1234567"),
        ("1.234.567", "1234567"),
    ],
)
def test_marks_for_thousands_are_recognised(text, meant):
    with pytest.raises(ValueError) as caught:
        read_number(text, "rev/min")
    assert str(caught.value) == (
        f'"{text}" is no number that can be read: it has marks for thousands; write it'
        f" like {meant}"
    )


@pytest.mark.parametrize(
    ("given", "meant"),
    [
        *(("2.324", F(2324)), ("2,324 rpm", F(2324)), ("−2.324", F(-2324))),
        *(("2.32", None), ("0.324", None), ("2.3245", None), ("2324", None)),
        *(("2.324/3", None), ("2.324.111", None), (2.324, None), (None, None)),
    ],
)
def test_one_mark_may_be_one_for_thousands(given, meant):
    assert thousands(given) == meant


@pytest.mark.parametrize("text", ["−1 + 1/3", "-1+104/24", "−104/24 + 1"])
def test_a_minus_before_a_sum_is_not_guessed(text):
    with pytest.raises(ValueError, match="can be read in two ways; write one number"):
        read_number(text)


WAYS = st.sampled_from(["", "-", "−", "–", "+", "+ ", "− "])
SPACES = st.sampled_from(["", " ", "  ", "\N{NO-BREAK SPACE}"])


SPELT = [(spelt, unit) for unit, (_, names) in UNITS.items() for spelt in names]


@given(
    st.integers(0, 10**6), st.integers(0, 10**4), st.integers(1, 10**4), WAYS, SPACES,
    st.sampled_from(SPELT),
)  # fmt: skip
def test_every_form_of_a_number_reads_the_same(whole, above, below, sign, space, named):
    spelt, unit = named
    value = whole + F(above, below)
    back = sign.strip() in ("-", "−", "–")
    value = -value if back else value
    forms = [f"{sign}{whole} {above}/{below}", f"{sign}{whole * below + above}/{below}"]
    if not back:
        forms += [f"{sign}{whole}{space}+{space}{above}/{below}"]
        forms += [f"{sign}{above}/{below}{space}+{space}{whole}"]
    for form in forms:
        assert read_number(form, unit) == value
        assert read_number(f"{space}{form} {spelt}{space}", unit) == value


@pytest.mark.parametrize(
    "text",
    [
        "three", "", "  ", "1/0", "2 1/0", "1 + 1/0", "2 3", "1 + 2 + 3", "3 °C",
        "5 kg", "0/0", "3:0.0", "nan", "inf", "1e5", "0x10", "--3", "3-", "3..1", "3,",
        "/3",
        "3/", "1/2/3", "3 turns 55", "3 turns −5°", "turns", "°", "3 laps", "1" * 5000,
        "3\n4", "½", "(3, 2)", "3;4", "<b>3</b>", "-" * 5000,
    ],
)  # fmt: skip
def test_what_is_no_number_gets_a_sentence(text):
    with pytest.raises(ValueError) as caught:
        read_number(text)
    message = str(caught.value)
    assert message.startswith(f'"{text.strip()[:40]}" is no number that can be read; ')
    assert message.endswith(
        "write it like 3.15, 41/13 or 3 turns 55°, at most 12 digits before the point"
    )
    assert len(message) < 160


SENTENCES = (
    "is no number that can be read",
    "is asked; work that out",
    "can be read in two ways",
)


@given(
    st.text(max_size=12)
    | st.from_regex(r"[-−]?\d+[.,/: ]?\d*( ?\+ ?\d/?\d?)? ?(turns|°|rpm|Nm|%)?"),
    st.sampled_from(["", *UNITS]),
)
def test_any_text_gives_a_number_or_a_sentence(text, unit):
    thousands(text)
    try:
        read = read_number(text, unit)
    except ValueError as error:
        assert any(sentence in str(error) for sentence in SENTENCES)
    else:
        assert isinstance(read, F)
        assert any(mark.isdigit() for mark in text)
