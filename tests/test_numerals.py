"""Numbers as a class reads and writes them."""

import re
from fractions import Fraction as F

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gearlab.numerals import exactly, fraction, number, read_number, turn_count, turns

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
        (F(-1, 2), "−180°"),
        (F(-7, 2), "−3 turns + 180°"),
        (0, "0°"),
        # 359.6° is nearer to a whole turn than to 359°.
        (F(3596, 3600), "1 turn"),
        (F(1) + F(3596, 3600), "2 turns"),
        (F(-3596, 3600), "−1 turn"),
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
    ],
)
def test_read_number(text, value):
    read = read_number(text)
    assert read == value
    assert isinstance(read, F)


@pytest.mark.parametrize(
    "text",
    [
        "1.000,5", "1,000.5", "1 000", "1'000", "1_000", "three", "", "  ", "1/0",
        "0/0", "3:0.0", "nan", "inf", "1e5", "0x10", "--3", "3-", "3..1", "3,", "/3",
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
        "write it like 3.15, 41/13 or 3 turns 55°, without thousands marks"
    )
    assert len(message) < 160


@given(st.text(max_size=12) | st.from_regex(r"[-−]?\d+[.,/: ]?\d* ?(turns|°)?"))
def test_any_text_gives_a_number_or_a_sentence(text):
    try:
        read = read_number(text)
    except ValueError as error:
        assert "is no number that can be read" in str(error)
    else:
        assert isinstance(read, F)
        assert any(mark.isdigit() for mark in text)
