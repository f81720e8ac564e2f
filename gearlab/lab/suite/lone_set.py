"""The lone set as several labs share it: its six cases, with the student's teeth."""

from .common import draw_teeth, with_drawn_teeth

TRAIN = "lone-set"
MEMBERS = ("sun", "carrier", "ring")
CASES = tuple(f"{a} to {b}" for a in MEMBERS for b in MEMBERS if a != b)


def draw(random):
    """Teeth of a set that goes together."""
    return draw_teeth(random, TRAIN)


def train(given):
    """The lone set with the student's teeth."""
    return with_drawn_teeth(TRAIN, given)


def parts_of(case):
    """The member that drives, the one that is held and the driven one of a case."""
    drives, driven = case.split(" to ")
    return drives, next(m for m in MEMBERS if m not in (drives, driven)), driven
