"""A bench that a notebook stores, so that it can live on a page without a kernel.

The notebook has what the bench began with. All pages of its train are in a book of
their own, as text, which a page finds by the mark of the train.
"""

from functools import lru_cache

from .packing import packed
from .telling import told
from .whole import whole_book

MIME = "application/vnd.gearlab.bench+json"
# What is seen at first; for anything else the kernel is asked, once it is there.
_OFFERED = {"ends": ["input"], "letters": ["screen"], "colours": ["part", "role"]}


def stored_bench(book, state, view):
    """What a notebook stores of a bench, as plain data.

    Parameters
    ----------
    book : as :func:`gearlab.bench.book.cover` makes it
    state : BenchState, of a train without a fault
    view : as :func:`gearlab.bench.view.opening_view` makes it
    """
    return {"train": book["train"], "state": told(state), "view": view}


@lru_cache(maxsize=32)
def stored_book(train):
    """(the mark of a train, all its pages packed as text)."""
    data = whole_book(train, _OFFERED, {})
    return data["book"]["train"], packed(data)
