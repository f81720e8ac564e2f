"""Where a picture of gears leaves room for letters, arrows and a handle."""

from functools import lru_cache
from math import acos, atan2, hypot, pi, sin

from .parts import point


def covered_to(found, gear):
    """The radius up to which a gear in the middle is covered by one before it."""
    before = [sun.teeth.tip for sun in found.middle if gear.behind > sun.behind]
    return max(before, default=0.0)


def plate_of(found):
    """The radius of the carrier plate."""
    planets = found.bunches[0]
    reach = max(gear.far + 0.45 * gear.teeth.pitch for gear in planets)
    smallest = min(gear.teeth.pitch for gear in planets)
    return min(reach, found.ring.teeth.tip - 0.1 * smallest)


def gaps_of(found, hand):
    """Where there is room between the planets: (radius, [(place, half of it)]).

    There are three gaps or more, clockwise from 12 o'clock, mirrored the other way;
    wide ones are halved for that, the last one first.
    """
    suns = max(sun.teeth.tip for sun in found.middle)
    # Where suns cover each other the gaps are wider further out.
    outer = found.ring.teeth.tip if found.middle[1:] else plate_of(found)
    middle = (outer + suns) / 2
    taken = []
    for gear in sum(found.bunches, ()):
        near = (middle**2 + gear.far**2 - gear.teeth.tip**2) / (2 * middle * gear.far)
        if -1 < near < 1:
            half, at = acos(near), atan2(hand * gear.x, -gear.y) % (2 * pi)
            half, at = half / (2 * pi), at / (2 * pi)
            taken.append((at - half, at + half))
    taken.sort()
    gaps, end = [], taken[0][1] if taken else 0.0
    for low, high in [*taken[1:], (taken[0][0] + 1 if taken else 1.0, 0.0)]:
        if low > end:
            gaps.append(((low + end) / 2, (low - end) / 2))
        end = max(end, high)
    while gaps and len(gaps) < 3:
        at, half = max(gaps, key=lambda gap: (round(gap[1], 6), gap[0]))
        gaps.remove((at, half))
        gaps += [(at - half / 2, half / 2), (at + half / 2, half / 2)]
    return middle, [(hand * at, half) for at, half in sorted(gaps)]


def between(found, hand, size):
    """What stands between planets where a gear is covered, as (x, y, radius).

    It is the letter of that gear in the last gap, `size` in radius, and the carrier's
    arrow in the second one.
    """
    if not any(covered_to(found, gear) for gear in found.middle):
        return ()
    middle, gaps = gaps_of(found, hand)
    return tuple((*point(middle, gaps[i][0]), size) for i in (1, -1))


@lru_cache(maxsize=128)
def roomiest(found, limit, taken, hand):
    """The point within a circle that is furthest from gears, and how far it is.

    Parameters
    ----------
    found : Places
    limit : the radius of the circle [px]
    taken : what else keeps its room, as (x, y, radius)
    hand : 1, or −1 for the mirrored picture

    Returns
    -------
    (x, y, room) [px]
    """
    gears = [(gear.x, gear.y, gear.teeth.tip) for gear in sum(found.bunches, ())]
    gears += [(0.0, 0.0, sun.teeth.tip) for sun in found.middle]
    least = min(reach for *_, reach in (*gears, *taken))
    spots = [
        (limit * (i + 1) / 24, hand * j / 96)
        for i in range(23)
        for j in range(96)
        if limit * (i + 1) / 24 > 0.5 * least
    ]

    def free(spot):
        x, y = point(*spot)
        clear = [hypot(x - u, y - v) - reach for u, v, reach in (*gears, *taken)]
        return min(*clear, limit - spot[0])

    best = max(spots, key=free)
    return *point(*best), free(best)


def carrier_spot(found, font, hand):
    """Where the carrier's letter is and the room round it: (x, y, radius) [px].

    It is in the first gap, or elsewhere, with no more room than for itself (0), where
    no gap is wide where its middle is.
    """
    middle, gaps = gaps_of(found, hand)
    if gaps:
        # What is written must not reach the carrier's own rim.
        half = middle * sin(2 * pi * min(0.25, gaps[0][1]))
        room = min(plate_of(found) - middle, half)
        if room > 0.55 * font:
            return *point(middle, gaps[0][0]), room
    signs = between(found, hand, round(1.5 * font, 1))
    return *roomiest(found, plate_of(found), signs, hand)[:2], 0.0
