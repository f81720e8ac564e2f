"""The order in which the ranges of a train are taught."""

from functools import partial

from ...base import checks
from ...solve.powerflow import power_flow
from ...train.train import a_train


def teaching_order(train, order=None):
    """The ranges that drive, so that each one changes as little as can be.

    The lowest forward range comes first. Each further one changes the fewest elements
    from some range that was taught; of several, one with the fewest elements that are
    new to the class; then the one with the largest ratio.

    Parameters
    ----------
    train : Train
    order : names of ranges, to be taught in that order; all others are left out

    Returns
    -------
    ``{range: the range before it that it is most like, or None}``, in the order

    Raises
    ------
    ValueError
        A range of `order` that there is not, that comes twice or drives nothing; a
        train without a range that drives.

    >>> import gearlab
    >>> list(teaching_order(gearlab.load_train("five-range")))
    ['1', '1 low', '3', '4', 'R', '2', '5']
    """
    ratios = {
        name: power_flow(train, name).ratio for name in a_train(train).range_names
    }
    rows = {name: frozenset(train.range(name).applied) for name in ratios}
    if order is not None:
        left = _given(order, ratios)
        return {name: _nearest(rows, name, left[:n]) for n, name in enumerate(left)}
    left = [name for name, ratio in ratios.items() if ratio is not None]
    if not left:
        raise ValueError(
            f'"{train.name}" has no range that drives the output, so there is nothing'
            " to walk through; write its rows under [ranges]"
        )
    taught = {}
    while left:
        before = [*taught]
        known = frozenset().union(*map(rows.get, before))
        following = min(left, key=partial(_cost, rows, ratios, before, known))
        left.remove(following)
        taught[following] = _nearest(rows, following, before)
    return taught


def _given(order, ratios):
    """The names of an order, each a range that drives and each once."""
    names = [*map(str, checks.name_list(order, "order"))]
    for n, name in enumerate(names):
        checks.known(name, ratios, "range")
        if ratios[name] is None or name in names[:n]:
            fault = "comes twice" if name in names[:n] else "drives nothing"
            raise ValueError(
                f'range "{name}" {fault} in the order, but each range in it is taught'
                " once, under power; leave it out"
            )
    if not names:
        raise ValueError("order is empty, but a class walks some ranges; leave it out")
    return names


def _nearest(rows, name, taught):
    """The taught range that changes least into this one; of several, the last."""
    return min(
        reversed(taught), key=lambda other: len(rows[name] ^ rows[other]), default=None
    )


def _cost(rows, ratios, taught, known, name):
    """What makes a range come later: the smallest is taught next.

    `known` are the elements of the ranges that were taught.
    """
    backward, size = ratios[name] < 0, abs(ratios[name])
    if not taught:
        return backward, -size
    changes = min(len(rows[name] ^ rows[other]) for other in taught)
    return changes, len(rows[name] - known), backward, -size
