"""The lines of a stick diagram: each body's tree as chains of points."""

from functools import lru_cache

_BRIDGE = 7.0  # half the gap in a line where another one passes [u]


@lru_cache(maxsize=1024)
def chains(placed, body):
    """The lines of a body as corners [px], broken where another line passes."""
    return tuple(_chains(placed, body))


def _chains(placed, body):
    layout = placed.layout
    near = layout.edges_at(body)
    under = {spot for spot, _, across in layout.bridges if across == body}
    ends = {spot for spot, others in near.items() if len(others) != 2 or spot in under}
    done = set()
    for start in sorted(ends):
        for other in sorted(near[start]):
            if (start, other) in done:
                continue
            chain = [start, other]
            while chain[-1] not in ends:
                chain += [spot for spot in near[chain[-1]] if spot != chain[-2]]
            done |= {tuple(chain[:2]), tuple(chain[:-3:-1])}
            yield _corners(placed, chain, under)


def _corners(placed, chain, under):
    """A chain's corners, drawn back from where it passes under a line."""
    points = [placed.at(spot) for spot in chain]
    if chain[0] in under:
        points[0] = _back(points[0], points[1], placed.u)
    if chain[-1] in under:
        points[-1] = _back(points[-1], points[-2], placed.u)
    kept = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        if (before[0] == here[0]) != (here[0] == after[0]):
            kept.append(here)
    return (*kept, points[-1])


def _back(point, towards, u):
    way = 1 if towards[1] > point[1] else -1
    return point[0], point[1] + way * _BRIDGE * u
