"""Words of the glossary as a table for a page: some words, or what a picture shows."""

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import chain

from ..base import checks
from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..base.numerals import listed
from .glossary import PICTURES, Entry, entries_called, glossary, names_in_glossary

NO_PICTURE = ""


@dataclass(frozen=True, kw_only=True, repr=False)
class WordTable(Brief):
    """Entries of the glossary; `translated` adds a column in another language."""

    entries: tuple[Entry, ...]
    translated: FrozenMap = FrozenMap()

    @property
    def _brief(self):
        return listed([one.word for one in self.entries], "")

    @property
    def words(self):
        """A line a word: the word, its meaning, and what else it is called."""
        return "\n".join(map(self._line, self.entries))

    def _line(self, one):
        other = self.translated.get(one.word)
        return (
            one.words.replace(one.word, f"{one.word} ({other})", 1)
            if other
            else one.words
        )

    @property
    def _heads(self):
        word, *rest = Entry._columns
        return [word, *(["other language"] if self.translated else []), *rest]

    @property
    def _rows(self):
        for one in self.entries:
            word, *rest = one._cells
            other = [self.translated.get(word, "")] if self.translated else []
            yield word, *other, *rest


def look_up(*asked, words=FrozenMap()):
    """The :class:`WordTable` of some words, or of what some kinds of picture show.

    Parameters
    ----------
    asked : words, or what else they are called, in any case and number; kinds of
        picture, of ``gearlab.say.glossary.PICTURES``; and "" for the words that no
        picture shows; without any, all words
    words : English → another language, from :func:`gearlab.say.glossary.read_words`

    Raises
    ------
    ValueError
        A word that is not in the glossary; the nearest one is named.

    >>> print(look_up("Annulus"))
    ring: The outer gear of a gear set, with its teeth on the inside. Its letter is R. \
Also: annulus, ring gear, internal gear, R.
    >>> print(look_up("set-up card"))  # doctest: +ELLIPSIS
    set-up card: ...
    """
    way_out = "give what gearlab.read_words(path) returns"
    checks.given(words, Mapping, "a map of words", way_out)
    found = [_entries(one) for one in asked] or [glossary()]
    chosen = dict.fromkeys(chain.from_iterable(found))
    return WordTable(entries=tuple(chosen), translated=words)


def _entries(asked):
    kinds = (*PICTURES, NO_PICTURE)
    if asked in kinds:
        return [one for one in glossary() if one.picture == asked]
    if isinstance(asked, str) and (called := entries_called(asked)):
        return called
    return checks.known(
        asked, (*kinds, *names_in_glossary()), "word or kind of picture"
    )
