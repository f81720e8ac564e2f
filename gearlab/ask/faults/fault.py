"""What can fail in a gear train: each single fault, and two at once."""

from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

from ...base import checks
from ...base.brief import Brief, Several
from ...train.train import CASE, a_train

APPLY, SLIP, HOLD = "fails to apply", "slips", "fails to hold"
RELEASE, SEIZE, LOOSE = "fails to release", "seizes", "comes loose"
BACKWARD, ELSEWHERE = "wrong way round", "not in the gear train"
TWO = "two at once"
# What is told of each kind, the commonest first (common practice, no source).
_SENTENCES = {
    APPLY: "The {about} fails to apply.",
    SLIP: "The {about} slips above some torque.",
    HOLD: "The {about} fails to hold.",
    RELEASE: "The {about} fails to release.",
    SEIZE: "The {about} seizes and holds both ways.",
    LOOSE: "The {about} comes loose from the {shaft}.",
    BACKWARD: "The {about} is fitted the wrong way round.",
    ELSEWHERE: "It is not in the gear train: pump, converter, final drive, parking"
    " pawl or controls; or nothing is wrong.",
}
KINDS = tuple(_SENTENCES)


@dataclass(frozen=True, kw_only=True, repr=False)
class Fault(Brief):
    """What failed: one thing, or two at once.

    `about` is the brake, clutch, one-way clutch or member that it concerns, and `shaft`
    the shaft (or the case) from which a member came loose. `parts` are the two
    faults where there are two.
    """

    kind: str  # one of KINDS, or "two at once"
    about: str | None = None
    shaft: str | None = None
    parts: tuple = ()

    @property
    def words(self):
        """The fault in one sentence."""
        if self.parts:
            first, second = (part.clause for part in self.parts)
            return f"{first}, and {second[:1].lower()}{second[1:]}."
        return _SENTENCES[self.kind].format(about=self.about, shaft=self.shaft)

    @property
    def clause(self):
        """Its words in the middle of a sentence, or in a table."""
        return self.words.rstrip(".")

    @property
    def singles(self):
        """The single faults that it is made of: itself, if it is one."""
        return self.parts or (self,)


# It changes no ratio, so no pattern of them clears it.
STANDING = Fault(kind=ELSEWHERE)


def faults(train, *, together=1):
    """Every single fault of a train as a tuple of :class:`Fault`; pairs on request.

    Each brake and clutch can fail to apply, fail to release, or slip; each one-way
    clutch can fail to hold, seize, or be fitted the wrong way round; each member that
    is joined to a shaft, or to the case, can come loose from it. Last of the singles
    stands that it is not in the gear train.

    Parameters
    ----------
    train : Train
    together : 1, or 2 for the pairs of faults too, behind the singles. Two faults of
        one part are no pair.

    Raises
    ------
    ValueError
        Something that is no train, or another number than 1 or 2.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> print(faults(train)[0])
    The overdrive brake fails to apply.
    >>> len(faults(train)), len(faults(train, together=2))
    (31, 442)
    """
    a_train(train)
    return _every(train, checks.whole_number(together, "together", 1, 2))


@lru_cache(maxsize=64)
def _every(train, together):
    singles = [
        Fault(kind=kind, about=name)
        for name in train.element_names
        for kind in (APPLY, RELEASE, SLIP)
    ]
    singles += [
        Fault(kind=kind, about=part.name)
        for part in train.one_way_clutches
        for kind in (HOLD, SEIZE, BACKWARD)
    ]
    singles += [
        Fault(kind=LOOSE, about=member, shaft=shaft)
        for shaft, members in train.shafts.items()
        for member in members
        if _holds_something(train, shaft, member)
    ]
    pairs = [
        Fault(kind=TWO, parts=pair)
        for pair in combinations(singles if together == 2 else (), 2)
        if pair[0].about != pair[1].about
    ]
    return Several([*singles, STANDING, *pairs])


def a_fault(fault, train):
    """Return what is given as a fault of a train if it is one, else raise ValueError.

    >>> import gearlab
    >>> a_fault("low brake", gearlab.load_train("five-range"))
    Traceback (most recent call last):
    ValueError: "low brake" was given, but a fault belongs here; take one of \
gl.faults(train)
    """
    checks.given(fault, Fault, "a fault", "take one of gl.faults(train)")
    known = set(faults(train))
    for one in fault.singles:
        if one not in known:
            raise ValueError(
                f"{checks.shortened(fault.words)} was given, but {train.name} has"
                " nothing of that kind to fail; take one of gl.faults(train)"
            )
    return fault


def pieces_of(train, member):
    """The members that are one piece with one of a gear set by its making."""
    return {member} | {
        one.member(other)
        for one in train.sets
        for pair in one.record.one_piece
        for this, other in (pair, pair[::-1])
        if one.member(this) == member
    }


def _holds_something(train, shaft, member):
    """Whether there is anything else on a shaft that a member could come loose from."""
    if shaft == CASE:
        return True
    loose = pieces_of(train, member)
    named = [*train.shafts[shaft], train.input, train.output]
    named += [side for part in train.by_name.values() for side in part.sides]
    return any(train.body_of[name] == shaft and name not in loose for name in named)
