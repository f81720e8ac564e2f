"""The words of the glossary as a table for a page: what one kind of picture shows."""

from dataclasses import dataclass
from html import escape

from . import checks
from .frozenmap import FrozenMap
from .glossary import PICTURES, Entry, glossary

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


def look_up(*pictures, words=FrozenMap()):
    """The :class:`WordTable` of the words that some kinds of picture show.

    Parameters
    ----------
    pictures : of ``gearlab.glossary.PICTURES``, and "" for the words that no picture
        shows; without one, all words
    words : English → another language, from :func:`gearlab.glossary.read_words`

    Raises
    ------
    ValueError
        An unknown kind of picture.

    >>> print(look_up("set-up card").text)  # doctest: +ELLIPSIS
    set-up card: ...
    """
    for picture in pictures:
        checks.known(picture, (*PICTURES, NO_PICTURE), "kind of picture")
    shown = pictures or (*PICTURES, NO_PICTURE)
    return WordTable(
        entries=tuple(one for one in glossary() if one.picture in shown), words=words
    )
