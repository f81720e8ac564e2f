"""Ratios of the shipped trains by closed formulas, for any teeth."""

from fractions import Fraction as F


def teeth(train, set_name):
    """{gear: teeth} of a set, as fractions."""
    counts = train.set(set_name).all_teeth
    return {key.replace("-", "_"): F(count) for key, count in counts.items()}


def lone_set(train):
    """Formulas: "Epicyclic gearing", English Wikipedia, "Fixed carrier train ratio",
    and tec-science.com, "Transmission ratios of planetary gears (Willis equation)".
    """
    sun, ring = (teeth(train, "single")[key] for key in ("sun", "ring"))
    return {
        "sun to carrier": 1 + ring / sun,
        "ring to carrier": 1 + sun / ring,
        "direct": F(1),
        "carrier to ring": ring / (sun + ring),
        "carrier to sun": sun / (sun + ring),
        "sun to ring": -ring / sun,
        "ring to sun": -sun / ring,
    }


def three_range(train, sets=("front", "rear")):
    """Derived for any teeth. For two equal sets it is standard textbook matter, such
    as L.-W. Tsai, Mechanism Design, 2001, from memory, to be checked against a copy.
    """
    front, rear = (teeth(train, name) for name in sets)
    first, second = front["sun"] / front["ring"], rear["ring"] / rear["sun"]
    low = 1 + first + first * second
    return {"1": low, "2": 1 + first, "3": F(1), "1 low": low, "R": -second}


def four_range(train):
    """Derived, and confirmed by a second method."""
    double = teeth(train, "double")
    small, large, ring = (double[k] for k in ("small_sun", "large_sun", "ring"))
    return {
        "1": ring / small,
        "2": ring * (small + large) / (small * (large + ring)),
        "3": F(1),
        "4": ring / (ring + large),
        "R": -ring / large,
    }


def five_range(train):
    """Derived: the overdrive of the front set times the three-range train behind it."""
    front = teeth(train, "front")
    overdrive = front["ring"] / (front["sun"] + front["ring"])
    behind = three_range(train, ("middle", "rear"))
    return {
        "1": behind["1"],
        "2": overdrive * behind["1"],
        "3": behind["2"],
        "4": behind["3"],
        "5": overdrive,
        "1 low": behind["1"],
        "R": behind["R"],
    }


def six_range(train):
    """Derived: the front carrier gives the reduced speed, X = ring / (sun + ring)."""
    front, rear = teeth(train, "front"), teeth(train, "rear")
    za, zb = front["sun"], front["ring"]
    z1, z2, zr = (rear[key] for key in ("small_sun", "large_sun", "ring"))
    both = za + zb
    return {
        "1": zr * both / (z1 * zb),
        "2": zr * (z1 + z2) * both / (z1 * zb * (z2 + zr)),
        "3": both / zb,
        "4": zr * both / (zr * both - z1 * za),
        "5": zr * both / (zr * both + z2 * za),
        "6": zr / (z2 + zr),
        "R": -zr * both / (z2 * zb),
    }


FORMULAS = {
    "five-range": five_range,
    "four-range": four_range,
    "lone-set": lone_set,
    "six-range": six_range,
    "three-range": three_range,
}
