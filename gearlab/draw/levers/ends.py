"""Names at the ends of lines: broken to stand side by side, or letters with a key."""

from string import ascii_lowercase

from ..kit.textwidth import text_width, wrapped

_WIDTHS = (11.0, 8.0, 6.0, 4.5)  # of a name, in letter sizes
_MOST_LINES = 4  # of a name with its ratio


def end_names(names, ratios, font, room, word):
    """The lines at each end, and the key where names do not fit side by side.

    Parameters
    ----------
    names, ratios : a text for each line; a ratio may be empty
    font : letter size [px]
    room : for all ends together [px]
    word : what stands before a ratio in the key

    Returns
    -------
    list of lines (text, bold) for each end, and a list of sentences, empty if the names
    themselves are at the ends
    """
    for width in _WIDTHS:
        found = [
            [(line, True) for line in _broken(name, font, width * font)]
            + [(ratio, False)] * bool(ratio)
            for name, ratio in zip(names, ratios, strict=True)
        ]
        most = max(map(len, found), default=0)
        if most <= _MOST_LINES and sum(end_width(one, font) for one in found) <= room:
            return found, []
    letters = [_letter(i) for i in range(len(names))]
    key = [
        f"{letter}: {name}" + f", {word} {ratio}" * bool(ratio)
        for letter, name, ratio in zip(letters, names, ratios, strict=True)
    ]
    return [[(letter, True)] for letter in letters], key


def end_width(lines, font):
    """How much room the lines at an end take beside their neighbours."""
    return max(text_width(line, font, bold) for line, bold in lines) + 0.5 * font


def _broken(text, font, room):
    """The text in lines, never cut through a word."""
    words = [text_width(word, font, True) for word in text.split()]
    return wrapped(text, font, max(room, *words), True)


def _letter(place):
    """a to z, then aa to zz."""
    again, place = divmod(place, len(ascii_lowercase))
    return ascii_lowercase[place] * (again + 1)
