"""All pages and pictures that a file of a bench can show, each piece of them once."""

import re
from itertools import chain, combinations, product

from ..solve.powerflow import load_flows
from .book import HIDDEN, cover, key_of, usable_names
from .fault import REVEAL, VEIL, acting, fault_page
from .look import Draughtsman, View, hidden_look
from .page import flow_page, hidden_page

MOST_WHOLE = 9  # elements of which a file has every combination
_PARTS = ("kept", "live", "key")  # of a picture
# Where a piece is cut: its tags come again and again, a text with its end.
_TAGS = re.compile("<(?!/text>)")


def whole_book(train, offered, words, progress=None, fault=None):
    """The book of a train with all its pages.

    Parameters
    ----------
    train : Train
    offered : ``{"ends", "letters", "colours"}``, what there is to choose from
    words : what is written instead of an English text
    progress : called now and then with how many flows are drawn, and of how many
    fault : a fault that is hidden in the train, or None

    Returns
    -------
    ``{"book", "pages", "looks", "pieces"}``; a piece is a row of texts, its SVG where
    they are joined by ``<``
    """
    views = [
        View(end=end, letters=kind, colours=colours, circulating=circulating)
        for end, kind, colours, circulating in product(*offered.values(), (False, True))
    ]
    pages, rows = {}, {view.key: {} for view in views}
    pieces, drawn, flows = _Pieces(), {}, list(_flows(train))
    for count, flow in enumerate(flows, 1):
        key = key_of(flow)
        true = acting(flow, fault) if fault else flow
        pages[key] = fault_page(flow, fault, False) if fault else flow_page(flow)
        artist = Draughtsman(flow=true, pieces=pieces, words=words, drawn=drawn)
        for view in views:
            rows[view.key][key] = artist.look(view)
        if fault:
            reveal = words.get(REVEAL, REVEAL)
            pages[key + VEIL] = fault_page(flow, fault, True, reveal)
        if progress:
            progress(count, len(flows))
    pages[HIDDEN] = hidden_page(train)
    for view in views:
        hidden = hidden_look(train, view, pieces, words=words)
        rows[view.key] |= {key: hidden for key in pages if key not in rows[view.key]}
    book = cover(train, **offered, words=words, whole=True)
    numbers = _numbers(book, rows)
    return {
        "book": book,
        "pages": pages,
        "looks": _looks(rows, numbers),
        "pieces": {number: pieces[name] for name, number in numbers.items()},
    }


class _Pieces(dict):
    """Pieces in tags, each tag once in memory: there are a few thousand of each."""

    def __init__(self):
        self._tags = {}

    def __setitem__(self, name, svg):
        tags = [self._tags.setdefault(tag, tag) for tag in _TAGS.split(svg)]
        super().__setitem__(name, tuple(tags))


def _flows(train):
    """The flows that a file has, under both loads."""
    for applied in _combinations(train):
        named = [row.name for row in train.ranges if set(row.applied) == applied]
        for name in named or [None]:
            yield from load_flows(train, applied, range=name).values()


def _combinations(train):
    """What may be applied together in a file, each combination once."""
    names = usable_names(train)
    if len(names) <= MOST_WHOLE:
        counts = range(len(names) + 1)
        every = chain.from_iterable(combinations(names, count) for count in counts)
    else:
        ranges = [set(), *(set(row.applied) for row in train.ranges)]
        singles = [set(), *({name} for name in names)]
        every = (row ^ single for row, single in product(ranges, singles))
    return dict.fromkeys(map(frozenset, every))


def _numbers(book, rows):
    """``{piece: its number}``, those of a picture together: so they pack smaller."""
    used = {
        look[picture["id"]][part]: None
        for picture in book["pictures"]
        for row in rows.values()
        for look in row.values()
        if picture["id"] in look
        for part in _PARTS
    }
    return {name: str(number) for number, name in enumerate(filter(None, used))}


def _looks(rows, numbers):
    """The looks by the keys of flow and view, with the numbers of their pieces."""
    found = {}

    def numbered(picture):
        """The same picture; what many looks share, they go on sharing."""
        if id(picture) not in found:
            named = {part: picture[part] for part in _PARTS}
            parts = {part: name and numbers[name] for part, name in named.items()}
            found[id(picture)] = picture | parts
        return found[id(picture)]

    return {
        f"{key}|{view}": {name: numbered(picture) for name, picture in look.items()}
        for view, row in rows.items()
        for key, look in row.items()
    }
