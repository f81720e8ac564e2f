"""What a person says of a road test, and whether a fault would give it."""

import re
from fractions import Fraction
from typing import NamedTuple

from ...base import checks
from ...base.numerals import exactly
from ...base.reading import read_number
from ...solve.equilibrium import DRIVES, OUTPUT_LOCKED
from ...solve.powerflow import LOAD_WORDS, LOADS
from .offroad import SHOWS, place_of, read_shown, tested_parts
from .seen import BRAKES, MOVING, NO_BRAKING, NO_DRIVE, SLIPS, TIES_UP, chart, seen_row

# How good a ratio is of which no error is told (common practice, no source).
READING = Fraction(1, 50)
USUAL = "as usual"
_USUAL = (USUAL, "fine", "ok", "normal", "as the chart")
_SPELT = {
    **dict.fromkeys((DRIVES, "drives as usual"), DRIVES),
    **dict.fromkeys((NO_DRIVE, "does not drive", "neutral"), NO_DRIVE),
    **dict.fromkeys((TIES_UP, "tied up", "tie-up"), TIES_UP),
    **dict.fromkeys((OUTPUT_LOCKED, "locked"), OUTPUT_LOCKED),
    **dict.fromkeys((BRAKES, "brakes"), BRAKES),
    **dict.fromkeys((NO_BRAKING, "freewheels"), NO_BRAKING),
    **dict.fromkeys((SLIPS, "slips under load", "flares"), SLIPS),
}
_LIKE = re.compile(
    r"(?:(?:drives|engine braking|starts|starts in) +)?(?:like +)?range +(.+)", re.I
)
_OTHER = re.compile(
    r"(?:(?:drives|engine braking) )?in another ratio(?:,? (?P<near>[^(]+?))?"
    r"(?: ?\((?P<exact>.+)\))?"
)
_MEASURED = re.compile(r"([^±]*?\d[^±]*?)(?: ?(?:±|\+/-|\+-) ?(.+))?")


class Said(NamedTuple):
    """What was said of a range and a load.

    `words` are those of :class:`Seen` that fit; `low` and `high` bound the ratio, None
    where it was not told, and `other` says that it is not the usual one. `given` is
    what was written.
    """

    words: tuple
    low: Fraction | None = None
    high: Fraction | None = None
    other: bool = False
    given: object = None

    def explained(self, train, fault, key):
        """Whether a fault explains it, in a range and load of a train."""
        return self.fits(seen_row(train, fault)[key], chart(train).usual[key])

    def fits(self, seen, usual):
        """Whether that can be said of what is seen."""
        if seen.word == SLIPS and SLIPS not in self.words:
            return self._may_slip(seen)
        if seen.word not in self.words:
            return False
        if self.other and seen.ratio == usual:
            return False
        return self.low is None or (
            seen.ratio is not None and self.low <= seen.ratio <= self.high
        )

    def _may_slip(self, seen):
        """Whether a ratio was measured that a slipping element can give.

        Slipping, it lies between that of the range and what is left without the
        element; where nothing is left, on that side of the range's.
        """
        measured = self.low is not None and self.low != self.high
        if not measured or not set(MOVING.values()) & set(self.words):
            return False
        start, end = seen.ratio, seen.slipped
        if end is not None and end * start > 0:
            return self.low <= max(start, end) and self.high >= min(start, end)
        if self.words == (DRIVES,):  # the input runs away
            return self.high >= start if start > 0 else self.low <= start
        near = (self.low, self.high) if start > 0 else (-self.high, -self.low)
        return near[0] <= abs(start) and near[1] >= 0


def read_observations(train, observations):
    """``{(range, load): Said}`` in the order of the chart, then what else was tested.

    A key may be the name of a range alone, under power. Raises ValueError with what was
    given, the rule and the way out.
    """
    if not hasattr(observations, "items"):
        raise ValueError(
            f"the observations are {checks.shortened(observations)}, but they are told"
            ' by range and load; write {("1", "drive"): "no drive"}'
        )
    read = {}
    for name, observation in observations.items():
        key = read_key(train, name)
        if key[1] in SHOWS:
            said = read_shown(key, observation)
        else:
            said = _read(train, key, observation)
        if key in read and read[key][:-1] != said[:-1]:
            raise ValueError(
                f"{place(key)} is given twice, as"
                f" {checks.shortened(read[key].given)} and as"
                f" {checks.shortened(observation)}; leave one of them out"
            )
        read[key] = said
    road = {key: read[key] for key in chart(train).sound if key in read}
    return road | read


def read_key(train, given):
    """A range and a load as ``(range, load)``, else ValueError."""
    pair = (given, "drive") if isinstance(given, (str, int)) else given
    if not isinstance(pair, tuple) or len(pair) != 2:
        raise ValueError(
            f"{checks.shortened(given)} was given, but an observation is of a range"
            ' and a load; write ("1", "drive") or ("1", "coast")'
        )
    name, load = (str(part).strip() for part in pair)
    if load.casefold() in SHOWS:
        test = load.casefold()
        return checks.known(name, tested_parts(train, test), "part to test"), test
    return _range(train, name), checks.known(load.casefold(), LOADS, "load")


def _range(train, name):
    """The name of a range, in any case unless there is one of just that name."""
    if name not in train.range_names:
        by_case = {_plain(one): one for one in train.range_names}
        name = by_case.get(_plain(name), name)
    return checks.known(name, train.range_names, "range")


def _plain(text):
    return " ".join(text.casefold().split())


def place(key):
    """Where something was seen, in words."""
    if key[1] in SHOWS:
        return place_of(key)
    return f"range {key[0]} {LOAD_WORDS[key[1]]}"


def _read(train, key, given):
    where = f"range {key[0]}, {key[1]}"
    try:
        if isinstance(given, str):
            said = _text(train, key, given.strip())
        elif isinstance(given, (tuple, list)):
            given = tuple(given)
            said = _pair(key, given)
        else:
            said = _ratio(key, read_number(given, ""))
        return said._replace(given=given)
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from None


def _pair(key, given):
    if len(given) != 2:
        raise ValueError(
            f"{checks.shortened(given)} was given, but a measured ratio is a pair of"
            " the ratio and its error; write (3.1, 0.05)"
        )
    ratio, error = (read_number(one, "") for one in given)
    return _ratio(key, ratio, error)


def _ratio(key, ratio, error=None):
    """A measured ratio; without an error it is good to a fiftieth."""
    if not ratio:
        raise ValueError(
            'the ratio is 0, but the input turns where the output does; write "no'
            ' drive" where it does not'
        )
    if error is None:
        error = abs(ratio) * READING
    if error <= 0:
        raise ValueError(
            f"the error of the ratio is {exactly(error)}, but a reading is never"
            " perfect; give a number above 0"
        )
    return Said((MOVING[key[1]],), ratio - error, ratio + error)


def _text(train, key, text):
    sound, usual = chart(train).sound[key], chart(train).usual[key]
    plain = _plain(text)
    if plain in _USUAL:
        return Said((sound.word,), sound.ratio, sound.ratio)
    if plain in _SPELT:
        return _word(train, key, _SPELT[plain], usual)
    if match := _LIKE.fullmatch(text):
        ratio = chart(train).sound[_range(train, match[1]), "drive"].ratio
        if ratio is None:
            raise ValueError(
                f'"{text}" was given, but that range drives in no ratio; write what is'
                ' seen, like "no drive"'
            )
        return Said((MOVING[key[1]],), ratio, ratio)
    if match := _OTHER.fullmatch(plain):
        return _other(key, match)
    if match := _MEASURED.fullmatch(plain):
        return _pair(key, match.groups()) if match[2] else _number(key, match[1])
    return checks.known(plain, [*_SPELT, *_USUAL, "drives like range 1"], "observation")


def _number(key, text):
    return _ratio(key, read_number(text, ""))


def _word(train, key, word, usual):
    """One word, in the sense that it has under the load, and in this range."""
    if key[1] == "coast":
        word = {DRIVES: BRAKES, NO_DRIVE: NO_BRAKING}.get(word, word)
    else:
        word = {BRAKES: DRIVES, NO_BRAKING: NO_DRIVE}.get(word, word)
    if word in MOVING.values():
        return Said((word,), usual, usual)
    # Whoever says of park that it does not drive has said nothing against it.
    locks = {part.name for part in train.locks}
    parked = locks & set(train.range(key[0]).applied)
    still = parked and word in (NO_DRIVE, NO_BRAKING)
    return Said((word, OUTPUT_LOCKED) if still else (word,))


def _other(key, match):
    """Another ratio than the usual, which may be told as the table tells it."""
    words = (MOVING[key[1]],)
    if match["exact"] and "…" not in match["exact"]:
        ratio = read_number(match["exact"], "")
        return Said(words, ratio, ratio)
    if match["near"]:
        said = _number(key, match["near"])
        return said._replace(other=True)
    return Said(words, other=True)
