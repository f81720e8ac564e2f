"""Plain data packed as text for a page, each part of it once; `unpack.js` unpacks it.

Pages and pictures of a train say the same again and again, often far apart, where
zipping does not see it. So every text and number stands once, and lists and tables that
are the same are one; what lists hold is told as places, and places that were told
before in the same order are not told again. What zips well is kept together: the texts
in order, and the digits of numbers, all lowest ones first.
"""

import gzip
import json
from array import array
from base64 import b85encode

# Signs that stand for themselves in JSON; unpack.js counts with the same ones.
DIGITS = "".join(chr(code) for code in range(35, 127) if chr(code) != "\\")
# Five signs are four bytes; a page would take one of them for the start of a tag.
_PLAIN = str.maketrans("<", ",")
LEAST = 6  # places that are worth a look back


def packed(data):
    """Plain data as text: JSON, zipped, in signs that stand in any page.

    Parameters
    ----------
    data : dicts with texts as keys, lists, texts, numbers, True, False and None; a
        list or dict

    Returns
    -------
    str, the same for the same data
    """
    text = json.dumps(parts(data), ensure_ascii=False, separators=(",", ":"))
    # No time stamp: what is the same is the same file.
    return (
        b85encode(gzip.compress(text.encode(), 9, mtime=0)).decode().translate(_PLAIN)
    )


def parts(data):
    """What some data are made of, as texts and numbers in digits.

    Scalars have the first places, None place 0. Then come the lists, each after those
    that it holds; the last one is the whole. Of each list its length is told and the
    places that it holds: it begins with 0, and what was a table with the place of the
    list of its keys. The places are told as :func:`told_once` has them.

    >>> parts(["b", {"a": 1}])["scalars"]
    [None, 1, 'a', 'b']
    """
    texts, others = _scalars(data)
    scalars = [others[kind] for kind in sorted(others)] + sorted(texts)
    lists = _Lists(scalars)
    lists.place(data)
    told = told_once([one for held in lists.found for one in held])
    return {
        "scalars": scalars,
        "lengths": digits([len(held) for held in lists.found]),
        **{name: digits(numbers) for name, numbers in told.items()},
    }


def told_once(numbers):
    """Numbers without those that came before in the same order.

    Returns
    -------
    dict of lists: `new` numbers, and by turns how many of them come now (`fresh`), how
    many are then `copied`, and how far `back` they begin; `fresh` has one more, for the
    end

    >>> told_once([1, 2, 3, 4, 5, 6, 7, 1, 2, 3, 4, 5, 6, 9])
    {'new': [1, 2, 3, 4, 5, 6, 7, 9], 'fresh': [7, 1], 'copied': [6], 'back': [7]}
    """
    new, fresh, copied, back, seen = [], [], [], [], {}
    cells = array("L", numbers)
    written, size = cells.tobytes(), cells.itemsize
    at = told = 0
    while at + LEAST <= len(numbers):
        next_ones = written[at * size : (at + LEAST) * size]
        start = seen.get(next_ones)
        if start is None:
            seen[next_ones] = at
            at += 1
            continue
        count = LEAST
        while numbers[at + count : at + count + 1] == [numbers[start + count]]:
            count += 1
        new += numbers[told:at]
        fresh.append(at - told)
        copied.append(count)
        back.append(at - start)
        for place in range(at, at + count):  # the last of several is the nearest
            seen[written[place * size : (place + LEAST) * size]] = place
        at = told = at + count
    new += numbers[told:]
    fresh.append(len(numbers) - told)
    return {"new": new, "fresh": fresh, "copied": copied, "back": back}


def digits(numbers):
    """Numbers as their digits: a text of all lowest ones, then of the next.

    >>> digits([0, 1, 91])
    ['#$#', '##$']
    """
    texts = []
    while any(numbers) or not texts:
        texts.append("".join([DIGITS[one % len(DIGITS)] for one in numbers]))
        numbers = [one // len(DIGITS) for one in numbers]
    return texts


def _scalars(data):
    """The texts in some data, and ``{kind: scalar}`` of all else, None among them."""
    texts, others, walked, left = set(), {_kind(None): None}, {}, [data]
    while left:
        value = left.pop()
        if isinstance(value, str):
            texts.add(value)
        elif not isinstance(value, dict | list | tuple):
            others[_kind(value)] = value
        elif id(value) not in walked:
            walked[id(value)] = value
            left.extend(value.values() if isinstance(value, dict) else ())
            if set(map(type, value)) == {str}:
                texts.update(value)
            else:
                left += value
    return texts, others


def _kind(scalar):
    """What tells a scalar from all others: 1, 1.0 and True are three."""
    return type(scalar).__name__, str(scalar)


class _Lists:
    """The lists of some data, each once, as the places of what they hold."""

    def __init__(self, scalars):
        self.found, self._first = [], len(scalars)
        self._texts, self._others, self._lists, self._walked = {}, {}, {}, {}
        for place, one in enumerate(scalars):
            if isinstance(one, str):
                self._texts[one] = place
            else:
                self._others[_kind(one)] = place

    def place(self, value):
        """The place of a value, which is put with the others if it is a new list."""
        if isinstance(value, str):
            return self._texts[value]
        if not isinstance(value, dict | list | tuple):
            return self._others[_kind(value)]
        # An object that many lists hold is walked through once.
        if id(value) not in self._walked:
            held = tuple(self._held(value))
            if held not in self._lists:
                self._lists[held] = self._first + len(self.found)
                self.found.append(held)
            self._walked[id(value)] = self._lists[held], value
        return self._walked[id(value)][0]

    def _held(self, value):
        if isinstance(value, dict):
            return [self.place(list(value)), *map(self.place, value.values())]
        try:
            return [0, *map(self._texts.__getitem__, value)]
        except (KeyError, TypeError):  # not only texts
            return [0, *map(self.place, value)]
