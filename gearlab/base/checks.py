"""Checks of what a person wrote, with one pattern of message.

Every message says what was given, the rule and the way out.
"""

import re
from difflib import get_close_matches
from operator import index

from .brief import Brief
from .numerals import listed

MIN_TEETH, MAX_TEETH = 4, 10_000
MAX_PLANETS = 60
MOST_LETTERS = 100  # of a name
COLOURS = {
    "black": "#1a1a1a",
    "grey": "#808080",
    "white": "#ffffff",
    "red": "#d22630",
    "orange": "#f08c00",
    "yellow": "#f7d417",
    "light green": "#97d077",
    "green": "#2e8b3d",
    "light blue": "#7cc4ef",
    "blue": "#1f5fbf",
    "purple": "#7b3fa0",
    "pink": "#f19ab8",
    "brown": "#7a4a21",
}


def quoted(names):
    """The names as a list in words: ``"a", "b" and "c"``."""
    return listed([f'"{name}"' for name in names], article="")


def visible(text, but=""):
    """A text in which every sign can be seen; those of `but` stay as they are.

    A line's end in a name, or a sign that a terminal obeys, could pass for other words.

    >>> print(visible("ana\\nbob \\x1b[2J"))
    ana\\nbob \\x1b[2J
    """
    return "".join(
        one if one.isprintable() or one in but else repr(one)[1:-1] for one in text
    )


def shortened(value, limit=60):
    """What was given, as a short text that fits a sentence."""
    if isinstance(value, int) and abs(value) >= 10**limit:
        return f"a number of more than {limit} digits"
    if isinstance(value, str):
        return one_line(f'"{value}"', limit)
    text = repr(value) if isinstance(value, Brief) else str(value)
    return one_line(text, limit)


def one_line(text, limit):
    """A text on one line, with every sign in sight, and no longer than the limit."""
    line = visible(" ".join(text.split()))
    return line if len(line) <= limit else line[: limit - 1] + "…"


def known(name, names, what):
    """Return `name` if it is one of `names`, else raise with the nearest one.

    >>> known("middel sun", ["middle sun", "rear sun"], "member")
    Traceback (most recent call last):
    ValueError: no member "middel sun"; did you mean "middle sun"?
    """
    names = list(names)
    if isinstance(name, str) and name in names:
        return name
    near = get_close_matches(str(name), names, n=1, cutoff=0.5)
    if near:
        way_out = f'did you mean "{near[0]}"?'
    elif names:
        way_out = f"known: {quoted(names[:20])}"
    else:
        way_out = f"there is no {what} at all"
    raise ValueError(f"no {what} {shortened(name)}; {way_out}")


def given(value, kind, what, way_out):
    """Return `value` if it is of a class `kind`, else raise with how to get one.

    >>> given("five-range", dict, "a table", "write it in braces")
    Traceback (most recent call last):
    ValueError: "five-range" was given, but a table belongs here; write it in braces
    """
    if isinstance(value, kind):
        return value
    raise ValueError(
        f"{shortened(value)} was given, but {what} belongs here; {way_out}"
    )


def name_list(value, what):
    """Return names that are given in a list, or as another row of names, else raise.

    >>> name_list("low brake", "applied")
    Traceback (most recent call last):
    ValueError: applied is the text "low brake", but it must be a list of names; write \
["low brake"]
    """
    if isinstance(value, str):
        raise ValueError(
            f'{what} is the text "{value}", but it must be a list of names; write'
            f' ["{value}"]'
        )
    try:
        return list(value)
    except TypeError:
        raise ValueError(
            f"{what} is {shortened(value)}, but it must be a list of names"
        ) from None


def callback(value, what):
    """Raise unless what is called now and then can be called, or is None."""
    if value is not None and not callable(value):
        raise ValueError(
            f"{what} is {shortened(value)}, but it must be something to call, like"
            " print; leave it out"
        )


def whole_number(value, what, low, high):
    """Return `value` as an int between `low` and `high`, else raise.

    >>> whole_number(30.5, "front sun", 4, 10_000)
    Traceback (most recent call last):
    ValueError: front sun is 30.5, but it must be a whole number from 4 to 10000
    """
    rule = f"but it must be a whole number from {low} to {high}"
    if isinstance(value, bool):
        raise ValueError(f"{what} is {value!r}, {rule}")
    try:
        number = index(value)
    except TypeError:
        raise ValueError(f"{what} is {shortened(value)}, {rule}") from None
    if not low <= number <= high:
        raise ValueError(f"{what} is {shortened(number)}, {rule}")
    return number


def at_most(things, most, what):
    """Raise if there are more things than can be worked with in good time.

    >>> at_most(range(21), 20, "gear sets")
    Traceback (most recent call last):
    ValueError: 21 gear sets are given, but 20 are the most; leave some of them out
    """
    if len(things) > most:
        raise ValueError(
            f"{len(things)} {what} are given, but {most} are the most; leave some of"
            " them out"
        )


def teeth(value, what):
    """Return a tooth count as an int, else raise ValueError."""
    return whole_number(value, what, MIN_TEETH, MAX_TEETH)


def name(value, what):
    """Return a usable name (text, not empty, one line), else raise ValueError."""
    if not isinstance(value, str) or not value.strip() or not value.isprintable():
        raise ValueError(
            f"{what} is named {shortened(value)}, but a name is one line of text"
            " and not empty"
        )
    if len(value) > MOST_LETTERS:
        raise ValueError(
            f"{what} is named {shortened(value)}, of {len(value)} letters, but a name"
            f" has at most {MOST_LETTERS}; write a shorter one"
        )
    return value


def colour(value, what):
    """Return a colour as "#rrggbb", else raise ValueError.

    >>> colour("red", "front sun"), colour("#1F5FBF", "front sun")
    ('#d22630', '#1f5fbf')
    >>> colour("reddish", "front sun")
    Traceback (most recent call last):
    ValueError: no colour "reddish" for front sun; did you mean "red"?
    """
    if isinstance(value, str):
        plain = " ".join(value.lower().split())
        if re.fullmatch("#[0-9a-f]{6}", plain):
            return plain
        if plain in COLOURS:
            return COLOURS[plain]
    near = get_close_matches(str(value).lower(), COLOURS, n=1, cutoff=0.5)
    raise ValueError(
        f"no colour {shortened(value)} for {what}; "
        + (
            f'did you mean "{near[0]}"?'
            if near
            else f'write it as "#rrggbb" or as one of {quoted(COLOURS)}'
        )
    )
