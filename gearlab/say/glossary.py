"""The glossary, and drawings in another language.

An instructor writes the list, fills in its second column in a spreadsheet, and gives
what is read from it to any drawing as ``words``::

    python -c "import gearlab as gl; gl.word_list('words.csv')"
    python -c "import gearlab as gl; print(gl.read_words('words.csv'))"
"""

import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from pathlib import Path

from ..base import checks
from ..base.brief import Brief, Several
from ..base.csvtext import SEPARATORS, csv_rows, plain_cell, safe_cell, write_csv
from ..base.filewriter import is_filled
from ..base.frozenmap import FrozenMap
from ..train.train import CASE, a_train

PICTURES = (
    "end view", "lever diagram", "stick diagram", "apply chart", "product table",
    "symptom table", "speed chart", "shift strip", "set-up card",
)  # fmt: skip
HEADER = ("English word", "other language", "meaning")
IN_DRAWINGS = "written in drawings"
_NAME_IN = "a name in the "
_FILE = Path(__file__).with_name("glossary.toml")


@dataclass(frozen=True, kw_only=True, repr=False)
class Entry(Brief):
    """A word of the trade; `picture` is one of PICTURES, or "" where none shows it."""

    word: str
    meaning: str
    synonyms: tuple[str, ...] = ()
    picture: str = ""

    _columns = ("word", "meaning", "also")

    @property
    def words(self):
        """The word, its meaning, and what else it is called, in one line."""
        also = f" Also: {', '.join(self.synonyms)}." if self.synonyms else ""
        return f"{self.word}: {self.meaning}{also}"

    @property
    def _cells(self):
        return self.word, self.meaning, ", ".join(self.synonyms)


class Translation(Brief, FrozenMap):
    """``{English word: word of another language}``."""

    __slots__ = ()
    _heads = HEADER[:2]

    @property
    def _brief(self):
        return ", ".join(f"{english} = {other}" for english, other in self.items())

    @property
    def _rows(self):
        return list(self.items())


@lru_cache(maxsize=1)
def glossary():
    """The words of the trade, as a tuple of :class:`Entry`.

    >>> next(one.synonyms for one in glossary() if one.word == "planet")
    ('pinion', 'planet pinion', 'planet gear', 'P')
    """
    return Several(
        Entry(
            word=word,
            meaning=row["meaning"],
            synonyms=tuple(row["synonyms"]),
            picture=row["picture"],
        )
        for word, row in _read()["words"].items()
    )


def entries_called(name):
    """The entries that are called `name`, the word itself first; () if none is.

    Another name will do, and so will a plural, capitals or another way to write it.

    >>> [one.word for one in entries_called("Pinions")]
    ['planet']
    """
    asked = _forms(name)
    of_words = [one for one in glossary() if asked & _forms(one.word)]
    of_synonyms = [
        one for one in glossary() if any(asked & _forms(name) for name in one.synonyms)
    ]
    return tuple(dict.fromkeys([*of_words, *of_synonyms]))


def names_in_glossary():
    """Every word of the glossary and every other name, each once."""
    names = ((one.word, *one.synonyms) for one in glossary())
    return tuple(dict.fromkeys(chain.from_iterable(names)))


@lru_cache(maxsize=1024)
def _forms(name):
    """A name as people write it: one case, no hyphens, with and without its plural."""
    plain = " ".join(name.casefold().replace("-", " ").split())
    endings = [end for end in ("s", "es") if plain.endswith(end)]
    return frozenset([plain, *(plain.removesuffix(end) for end in endings)])


@lru_cache(maxsize=1)
def phrases():
    """What drawings write beside the words of the glossary and the names of a train."""
    return tuple(_read()["phrases"])


def train_words(train):
    """The names of a train that drawings write, in file order, each once."""
    a_train(train)
    shafts = [shaft for shaft in train.shafts if shaft != CASE]
    names = [train.name, *(one.name for one in train.sets), *shafts, *train.by_name]
    shorts = [short for one in train.sets for short in one.members]
    # "R" and "2" are the same in every language, "1 low" is not.
    ranges = [row for row in train.range_names if re.search(r"[^\W\d_]{2}", row)]
    return tuple(dict.fromkeys([*names, *shorts, *ranges, *train.solenoids]))


def word_list(path, train=None, *, separator=None):
    """Write the list that an instructor fills in with another language.

    A list that is there already keeps every row, with all that was filled in, and gets
    the words at its end that it has not yet.

    Parameters
    ----------
    path : the file to write, best named .csv; it opens in any spreadsheet
    train : a train whose names are listed as well
    separator : "," or ";", as some countries' spreadsheets want it; None for the one
        that the file has, or ","

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        A separator that is neither, a folder that is not there, a file of that name
        that is no such list, or a disk that refuses. The file is then as it was.
    """
    path, old, own = Path(path), [HEADER], SEPARATORS[0]
    if separator is not None:
        checks.known(separator, SEPARATORS[:2], "separator")
    is_there = is_filled(path)
    if is_there:
        own, rows = _table(path)
        old = [cells for _, cells in rows]
    listed = {plain_cell(cells[0]) for cells in old if cells}
    new = [
        (safe_cell(word), "", safe_cell(about))
        for word, about in _rows(train).items()
        if word not in listed
    ]
    separator = separator or own
    if is_there and not new and separator == own:
        return path
    return write_csv(path, [*old, *new], separator, "list of words")


def read_words(path, train=None):
    """Read a list that was filled in: English → the other language.

    Parameters
    ----------
    path : a file of :func:`word_list`; what is left empty stays English
    train : the train whose names may stand in the list without a meaning

    Returns
    -------
    Translation, a map that every drawing takes as `words`

    Raises
    ------
    ValueError
        No such file, another header, a word that is not in the list, one that is
        there twice.
    """
    path = Path(path)
    known, found = _rows(train), {}
    _, rows = _table(path)
    for number, cells in rows[1:]:
        english, other, about = (*map(plain_cell, cells), "", "", "")[:3]
        if not english and not other:
            continue
        where = f"{path.name}, line {number}"
        if train is None and english not in known:
            where += ", read without a train's names"
        try:
            # One list may serve several trains; the names of all of them can be used.
            if not about.startswith(_NAME_IN):
                checks.known(english, known, "word in the list")
            if other:
                checks.name(other, f'"{english}"')
        except ValueError as error:
            raise ValueError(f"{where}: {error}") from None
        if english in found:
            raise ValueError(
                f'{where}: "{english}" is there a second time, but a word stands in'
                " the list once; take one of the two out"
            )
        found[english] = other
    return Translation({english: other for english, other in found.items() if other})


def _rows(train):
    """{English: what it is}, in the order of the list."""
    rows = {one.word: one.meaning for one in glossary()}
    rows |= {phrase: IN_DRAWINGS for phrase in phrases() if phrase not in rows}
    for name in train_words(train) if train else ():
        rows.setdefault(name, f"{_NAME_IN}{train.name}")
    return rows


def _table(path):
    """(separator, [(line number, cells)]) of a list, its header first."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except OSError as error:
        raise ValueError(
            f"{path.name} cannot be read ({error.strerror}); write a list with"
            " word_list and give its path"
        ) from None
    except UnicodeDecodeError:
        raise ValueError(
            f"{path.name} is not in UTF-8; save it from the spreadsheet as CSV UTF-8"
        ) from None
    try:
        separator, rows = csv_rows(text)
    except ValueError as error:
        raise ValueError(
            f"{path.name} cannot be read ({error}); save it from the spreadsheet anew"
        ) from None
    if not rows or len(rows[0][1]) < 2 or rows[0][1][0].strip() != HEADER[0]:
        first = next(iter(text.splitlines()), "").strip()
        raise ValueError(
            f"{path.name} begins with {checks.shortened(first)}, but its first"
            f' line names the columns, "{HEADER[0]}" first; put that line back'
        )
    return separator, rows


@lru_cache(maxsize=1)
def _read():
    return tomllib.loads(_FILE.read_text(encoding="utf-8"))
