"""What a log says of the train: what is as the chart has it, and what is not."""

from dataclasses import dataclass
from math import copysign

from ...base.brief import Brief
from ...base.frozenmap import FrozenMap
from ...base.numerals import decimals, exactly, percent
from ...solve.powerflow import LOAD_WORDS
from ..faults.seen import MOVING, NO_BRAKING, NO_DRIVE, TIES_UP, chart
from .levels import ratio_of
from .stretches import IN_RANGE, STOPPED, said_slip

AS_ASKED, OTHER_RANGE, SLIPPING = "as asked", "another range", "possible slip"
TOO_SLOW = "input too slow"


@dataclass(frozen=True, kw_only=True, repr=False)
class Finding(Brief):
    """What a stretch of a log shows, beside what its range should be.

    `kind` is "as asked", "another range", "possible slip", "no drive", "ties up", "no
    engine braking" or "input too slow", which no slip gives. `observation` is what
    :func:`gearlab.suspects` is told of it, None where it tells nothing of the train.
    """

    range: str
    load: str
    kind: str
    start: float
    end: float
    observation: object
    detail: str

    _columns = ("range", "load", "what", "from", "to", "detail")

    @property
    def _cells(self):
        ends = (f"{decimals(time, 1)} s" for time in (self.start, self.end))
        return self.range, LOAD_WORDS[self.load], self.kind, *ends, self.detail

    @property
    def words(self):
        """The finding in one sentence."""
        ends = f"{decimals(self.start, 1)} s to {decimals(self.end, 1)} s"
        return (
            f"Range {self.range}, {LOAD_WORDS[self.load]}, {ends}: {self.kind};"
            f" {self.detail}."
        )


def findings_of(train, stretches, limits, signed):
    """A finding for each stretch that is long and fast enough to be judged."""
    return [
        _finding(train, one, limits, signed)
        for one in stretches
        if _is_judged(train, one, limits)
    ]


def observations_of(findings):
    """``{(range, load): observation}``; what was seen last of one counts.

    What has failed stays so, and what was seen before is of the train as it was.
    """
    seen = {}
    for one in sorted(findings, key=lambda one: one.start):
        if one.observation is not None:
            seen[one.range, one.load] = one.observation
    return FrozenMap(seen)


def _is_judged(train, one, limits):
    """Whether a stretch says anything: by its range, its length and its speed."""
    if not (one.commanded or one.range) or one.seconds < limits["outside"]:
        return False
    if one.what == STOPPED:
        # Nobody sees a fault in an output that is not to be driven, or stands in gear.
        driven = one.commanded and ratio_of(train, one.commanded) is not None
        return bool(driven) and one.input >= limits["racing"]
    asked = one.commanded or one.range
    return ratio_of(train, asked) is not None and (
        abs(one.output) >= limits["least output"]
    )


def _finding(train, one, limits, signed):
    asked = one.commanded or one.range
    kind, observation, detail = _judged(train, one, asked, limits, signed)
    return Finding(
        range=asked,
        load=one.load,
        kind=kind,
        start=one.start,
        end=one.end,
        observation=observation,
        detail=detail,
    )


def _judged(train, one, asked, limits, signed):
    """(kind, observation, detail) of a stretch in which a range is asked for."""
    usual = ratio_of(train, asked)
    moving = MOVING[one.load]
    if one.what == STOPPED:
        return NO_DRIVE, NO_DRIVE, "the input turns, and the output stands"
    if one.what == IN_RANGE and _is_own(train, one.range, usual, signed):
        said = f"the ratio is {exactly(usual)}, slip {said_slip(one.slip)}"
        return AS_ASKED, moving, said
    if one.what == IN_RANGE and not _runs_free(train, one, asked, usual):
        said = f"the ratio is that of range {one.range}"
        return OTHER_RANGE, f"{moving} like range {one.range}", said
    return _between(one, usual, limits)


def _runs_free(train, one, asked, usual):
    """Whether a slow input just idles, coasting in a range that freewheels."""
    freewheels = chart(train).sound[asked, "coast"].word == NO_BRAKING
    return one.load == "coast" and freewheels and abs(one.ratio) < abs(usual)


def _is_own(train, name, usual, signed):
    ratio = ratio_of(train, name)
    return ratio == usual or (not signed and abs(ratio) == abs(usual))


def _between(one, usual, limits):
    """What a stretch shows whose ratio is no range's."""
    coast, sign, usual = one.load == "coast", float(usual), abs(float(usual))
    if one.ratio is None:
        return _no_ratio(one, usual, limits)
    slip = abs(one.ratio) / usual - 1
    way = "above" if slip > 0 else "below"
    said = f"the ratio stays at {decimals(one.ratio, 3)}, {percent(abs(slip))} {way}"
    # Only an input that runs ahead of the output it drives can be slipping on it.
    if slip > limits["band"] and not coast:
        ratio = copysign(round(abs(one.ratio), 4), sign)
        return SLIPPING, (ratio, max(round(one.error, 4), 0.001)), f"{said} the range's"
    if slip < 0 and coast:
        return NO_BRAKING, NO_BRAKING, f"{said} the range's"
    return TOO_SLOW, None, f"{said} the range's, which no slip does"


def _no_ratio(one, usual, limits):
    """What a stretch shows in which no ratio stays."""
    if one.load == "coast":
        return NO_BRAKING, NO_BRAKING, "the output turns on, free of the input"
    if abs(one.input) < limits["least output"]:
        return TIES_UP, TIES_UP, "the input hardly turns while the output does"
    if abs(one.input) > usual * abs(one.output):
        return NO_DRIVE, NO_DRIVE, "the input runs free of the output"
    return TOO_SLOW, None, "no ratio stays, and the input is slow, which no slip does"


def told_badly(findings):
    """The findings that are not as asked."""
    return [one for one in findings if one.kind != AS_ASKED]
