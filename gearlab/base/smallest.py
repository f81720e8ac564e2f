"""The smallest sets of parts that close a way, among all that hold.

Whatever closes a way must take in one of the parts that are left out of any set that
leaves it open. So a set is only ever grown by parts that a largest open set around it
leaves out, which are few, and not by all.
"""

from .cone import dot


def moves(row):
    """Whether a cone holds a motion on which a row is above 0, as a question."""

    def open_way(cone):
        return any(dot(row, line) for line in cone.lines) or any(
            dot(row, ray) > 0 for ray in cone.rays
        )

    return open_way


def smallest_sets(cone, parts, open_way):
    """All the smallest sets of parts that close a way, in order; () if none does.

    Parameters
    ----------
    cone : Cone with none of the parts
    parts : [(name, row, null_cone or half_cone)], in order; each narrows the cone
    open_way : whether a cone leaves the way open; a narrower one only if it does too
    """
    level = {(): cone}
    while level:
        closed = sorted(chosen for chosen, left in level.items() if not open_way(left))
        if closed:
            return tuple(tuple(parts[at][0] for at in chosen) for chosen in closed)
        level = {
            tuple(sorted((*chosen, at))): _narrowed(left, parts[at])
            for chosen, left in level.items()
            for at in _left_out(left, parts, open_way)
        }
    return ()


def _left_out(cone, parts, open_way):
    """The parts that a largest set leaves out that keeps the way open."""
    for at, part in enumerate(parts):
        narrower = _narrowed(cone, part)
        if open_way(narrower):
            cone = narrower
        else:
            yield at


def _narrowed(cone, part):
    _, row, narrow = part
    return narrow(cone, row)
