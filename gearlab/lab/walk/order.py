"""The order in which the ranges of a train are taught."""

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
    if order is not None:
        left = _given(order, ratios)
        return {name: _nearest(train, name, left[:n]) for n, name in enumerate(left)}
    left = [name for name, ratio in ratios.items() if ratio is not None]
    if not left:
        raise ValueError(
            f'"{train.name}" has no range that drives the output, so there is nothing'
            " to walk through; write its rows under [ranges]"
        )
    taught = {}
    while left:
        following = min(left, key=lambda name: _cost(train, ratios, name, [*taught]))
        left.remove(following)
        taught[following] = _nearest(train, following, [*taught])
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


def _row(train, name):
    return frozenset(train.range(name).applied)


def _changes(train, name, other):
    return len(_row(train, name) ^ _row(train, other))


def _nearest(train, name, taught):
    """The taught range that changes least into this one; of several, the last."""
    least = min((_changes(train, name, other) for other in taught), default=None)
    alike = [other for other in taught if _changes(train, name, other) == least]
    return alike[-1] if alike else None


def _cost(train, ratios, name, taught):
    """What makes a range come later: the smallest is taught next."""
    backward, size = ratios[name] < 0, abs(ratios[name])
    if not taught:
        return backward, -size
    nearest = _nearest(train, name, taught)
    known = frozenset().union(*(_row(train, other) for other in taught))
    new = len(_row(train, name) - known)
    return _changes(train, name, nearest), new, backward, -size
