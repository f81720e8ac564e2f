"""A mapping that cannot change, hashes and pickles: what results are made of."""

from collections.abc import Mapping


class FrozenMap(Mapping):
    """An immutable mapping; equal to any mapping with the same items.

    >>> speeds = FrozenMap({"sun": 4, "carrier": 1})
    >>> speeds["sun"], speeds == {"carrier": 1, "sun": 4}
    (4, True)
    """

    __slots__ = ("_items",)

    def __init__(self, items=()):
        object.__setattr__(self, "_items", dict(items))

    def __getitem__(self, key):
        return self._items[key]

    def __iter__(self):
        return iter(self._items)

    def __len__(self):
        return len(self._items)

    def __hash__(self):
        return hash(frozenset(self._items.items()))

    def __setattr__(self, name, value):
        raise AttributeError("a FrozenMap does not change; make a new one")

    def __reduce__(self):
        return type(self), (self._items,)

    def __repr__(self):
        return f"FrozenMap({self._items!r})"
