"""Labels in a row, moved apart where they would overlap."""

from math import inf


def spread(wanted, sizes, low=-inf, high=inf):
    """Where the middles of labels go, as near to where they belong as room allows.

    Parameters
    ----------
    wanted : where each label belongs, in any order [px]
    sizes : the room that each label takes [px]
    low, high : the ends of the row, which labels keep within if they fit [px]

    Returns
    -------
    list of middles in the order given; labels keep the order in which they belong

    >>> spread([50, 52, 90], [10, 10, 10], 0, 100)
    [46.0, 56.0, 90.0]
    """
    order = sorted(range(len(wanted)), key=lambda at: wanted[at])
    blocks = []  # [where its top wants to be, its labels], in order
    for at in order:
        blocks.append([_top([at], wanted, sizes), [at]])
        while len(blocks) > 1 and _foot(blocks[-2], sizes, low, high) > _start(
            blocks[-1], sizes, low, high
        ):
            _, last = blocks.pop()
            labels = blocks[-1][1] + last
            blocks[-1] = [_top(labels, wanted, sizes), labels]
    middles = [0.0] * len(wanted)
    for block in blocks:
        top = _start(block, sizes, low, high)
        for at in block[1]:
            middles[at] = top + sizes[at] / 2
            top += sizes[at]
    return middles


def _top(labels, wanted, sizes):
    """Where a block of touching labels starts, to be nearest to where they belong."""
    above, tops = 0.0, []
    for at in labels:
        tops.append(wanted[at] - above - sizes[at] / 2)
        above += sizes[at]
    return sum(tops) / len(tops)


def _start(block, sizes, low, high):
    top, labels = block
    return max(low, min(top, high - sum(sizes[at] for at in labels)))


def _foot(block, sizes, low, high):
    return _start(block, sizes, low, high) + sum(sizes[at] for at in block[1])
