"""Words of the glossary as a table for a page: some words, or what a picture shows."""

from dataclasses import dataclass
from html import escape
from itertools import chain

from ..base import checks
from ..base.frozenmap import FrozenMap
from .glossary import PICTURES, Entry, entries_called, glossary, names_in_glossary

NO_PICTURE = ""
_LEFT = 'style="text-align:left"'  # a notebook's own tables are set to the right


@dataclass(frozen=True, kw_only=True)
class WordTable:
    """Entries of the glossary; `words` adds a column in another language."""

    entries: tuple[Entry, ...]
    words: FrozenMap = FrozenMap()

    @property
    def text(self):
        """A line a word: the word, its meaning, and what else it is called."""
        return "\n".join(map(self._line, self.entries))

    def _line(self, one):
        other = self.words.get(one.word)
        name = f"{one.word} ({other})" if other else one.word
        also = f" Also: {', '.join(one.synonyms)}." if one.synonyms else ""
        return f"{name}: {one.meaning}{also}"

    def _repr_mimebundle_(self, include=None, exclude=None):
        heads = ["word", *(["other language"] if self.words else []), "meaning"]
        rows = [self._cells(one) for one in self.entries]
        body = "".join(f"<tr>{''.join(cells)}</tr>" for cells in rows)
        head = "".join(
            f'<th scope="col" {_LEFT}>{name}</th>' for name in [*heads, "also"]
        )
        table = f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"
        return {"text/html": table, "text/plain": self.text}

    def _cells(self, one):
        yield f'<th scope="row">{escape(one.word)}</th>'
        texts = [one.meaning, ", ".join(one.synonyms)]
        if self.words:
            texts.insert(0, self.words.get(one.word, ""))
        for text in texts:
            yield f"<td {_LEFT}>{escape(text)}</td>"


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

    >>> print(look_up("Annulus").text)
    ring: The outer gear of a gear set, with its teeth on the inside. Its letter is R. \
Also: annulus, ring gear, internal gear, R.
    >>> print(look_up("set-up card").text)  # doctest: +ELLIPSIS
    set-up card: ...
    """
    found = [_entries(one) for one in asked] or [glossary()]
    chosen = dict.fromkeys(chain.from_iterable(found))
    return WordTable(entries=tuple(chosen), words=words)


def _entries(asked):
    kinds = (*PICTURES, NO_PICTURE)
    if asked in kinds:
        return [one for one in glossary() if one.picture == asked]
    if isinstance(asked, str) and (called := entries_called(asked)):
        return called
    return checks.known(
        asked, (*kinds, *names_in_glossary()), "word or kind of picture"
    )
