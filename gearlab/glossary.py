"""The glossary, and drawings in another language.

An instructor writes the list, fills in its second column in a spreadsheet, and gives
what is read from it to any drawing as ``words``::

    python -c "import gearlab as gl; gl.word_list('words.csv')"
    python -c "import gearlab as gl; print(gl.read_words('words.csv'))"
"""

import csv
import re
import tomllib
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from . import checks
from .frozenmap import FrozenMap
from .train import CASE

PICTURES = (
    "end view", "lever diagram", "stick diagram", "apply chart", "product table",
    "speed chart", "shift strip", "set-up card",
)  # fmt: skip
HEADER = ("English word", "other language", "meaning")
IN_DRAWINGS = "written in drawings"
_SEPARATORS = ",;\t"
_FILE = Path(__file__).with_name("glossary.toml")


@dataclass(frozen=True, kw_only=True)
class Entry:
    """A word of the trade; `picture` is one of PICTURES, or "" where none shows it."""

    word: str
    meaning: str
    synonyms: tuple[str, ...] = ()
    picture: str = ""


@lru_cache(maxsize=1)
def glossary():
    """The words of the trade, as a tuple of :class:`Entry`.

    >>> next(one.synonyms for one in glossary() if one.word == "planet")
    ('pinion', 'planet pinion', 'planet gear')
    """
    return tuple(
        Entry(
            word=word,
            meaning=row["meaning"],
            synonyms=tuple(row["synonyms"]),
            picture=row["picture"],
        )
        for word, row in _read()["words"].items()
    )


@lru_cache(maxsize=1)
def phrases():
    """What drawings write beside the words of the glossary and the names of a train."""
    return tuple(_read()["phrases"])


def train_words(train):
    """The names of a train that drawings write, in file order, each once."""
    shafts = [shaft for shaft in train.shafts if shaft != CASE]
    names = [train.name, *(one.name for one in train.sets), *shafts, *train.by_name]
    shorts = [short for one in train.sets for short in one.members]
    # "R" and "2" are the same in every language, "1 low" is not.
    ranges = [row for row in train.range_names if re.search(r"[^\W\d_]{2}", row)]
    return tuple(dict.fromkeys([*names, *shorts, *ranges, *train.solenoids]))


def word_list(path, train=None, separator=","):
    """Write the list that an instructor fills in with another language.

    Parameters
    ----------
    path : the file to write, best named .csv; it opens in any spreadsheet
    train : a train whose names are listed as well
    separator : "," or ";"; some countries' spreadsheets want ";"

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        A separator that is neither, or a folder that is not there.
    """
    checks.known(separator, _SEPARATORS[:2], "separator")
    path = Path(path)
    if not path.parent.is_dir():
        raise ValueError(
            f"the list is to be in {checks.shortened(str(path.parent))}, but there is"
            " no such folder; make it first"
        )
    # The mark at the file's start tells spreadsheets that it is UTF-8.
    with path.open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.writer(file, delimiter=separator)
        writer.writerow(HEADER)
        writer.writerows((word, "", about) for word, about in _rows(train).items())
    return path


def read_words(path, train=None):
    """Read a list that was filled in: English → the other language.

    Parameters
    ----------
    path : a file of :func:`word_list`; what is left empty stays English
    train : the train whose names may stand in the list

    Returns
    -------
    FrozenMap, which every drawing takes as `words`

    Raises
    ------
    ValueError
        No such file, another header, a word that is not in the list, one that is
        there twice.
    """
    path = Path(path)
    known, found = _rows(train), {}
    rows = _table(path)
    for number, cells in rows[1:]:
        english, other = (*(cell.strip() for cell in cells), "", "")[:2]
        if not english and not other:
            continue
        where = f"{path.name}, line {number}"
        if train is None and english not in known:
            where += ", read without a train's names"
        try:
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
    return FrozenMap({english: other for english, other in found.items() if other})


def _rows(train):
    """{English: what it is}, in the order of the list."""
    rows = {one.word: one.meaning for one in glossary()}
    rows |= {phrase: IN_DRAWINGS for phrase in phrases() if phrase not in rows}
    for name in train_words(train) if train else ():
        rows.setdefault(name, f"a name in the {train.name}")
    return rows


def _table(path):
    """[(line number, cells)] of a list, its header first."""
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
    lines = text.splitlines(keepends=True)
    first = lines[0] if lines else ""
    separator = max(_SEPARATORS, key=first.count)
    reader = csv.reader(lines, delimiter=separator)
    rows = [(reader.line_num, cells) for cells in reader]
    if not rows or len(rows[0][1]) < 2 or rows[0][1][0].strip() != HEADER[0]:
        raise ValueError(
            f"{path.name} begins with {checks.shortened(first.strip())}, but its first"
            f' line names the columns, "{HEADER[0]}" first; put that line back'
        )
    return rows


@lru_cache(maxsize=1)
def _read():
    return tomllib.loads(_FILE.read_text(encoding="utf-8"))
