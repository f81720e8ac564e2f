"""A count that does not agree with the chart: what would have given it.

Each possible slip is worked out on the train itself, and those that fit the count
come first. Only when none does is the chart to be doubted.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from ..base.brief import Brief
from ..base.numerals import exactly, listed, turn_count
from ..base.reading import exact
from ..solve.equilibrium import FREEWHEELS, NEUTRAL, OUTPUT_LOCKED
from ..solve.powerflow import PowerFlow, power_flow
from ..train.train import CASE, Train, a_train
from .assembly import whole_planet

# What may be behind a count, likeliest first (experience, no source).
KINDS = (
    "agrees", "no ratio", "other end", "turned over", "another range", "start mark",
    "turns missed", "another part", "output not loaded", "one-way backward",
    "turned backward", "element let go", "element too many", "five turns",
    "tooth count", "other teeth", "chart",
)  # fmt: skip
# What to ask at the bench, in that order, and what to say if nothing comes of it.
QUESTIONS = (
    ("five turns", "Did you turn it five times?", ""),
    ("turned over", "Were you turning the input?", ""),
    ("turned backward", "Did you turn it forward?", ""),
    ("start mark", "Did you count the start mark as one?", ""),
    ("other end", "Did you look from the right end?", ""),
    ("element let go", "Did the held part creep?", ""),
    ("output not loaded", "Was the output loaded?", "no one-way clutch carries here"),
    ("another range", "Does the count equal another range?", ""),
    ("one-way backward", "Is a one-way clutch in backward?", ""),
    ("tooth count", "Is a tooth count off by one to three?", ""),
    ("other teeth", "Are there parts of another variant?", "no named set changes it"),
    ("chart", "Does none of that fit? Only then doubt the chart.", ""),
)
_ALWAYS = ("agrees", "no ratio", "chart")  # no slips, so told in any case
_ANY_COUNT = "nothing drives the output, so friction may give any count"


@dataclass(frozen=True, kw_only=True, repr=False)
class Finding(Brief):
    """One possible slip; `would_give` is the count [input turns per output turn]."""

    kind: str  # one of KINDS
    about: str | None  # the gear, element, part, range or tooth set that it is about
    words: str
    would_give: Fraction | None  # None where it gives no count, or any
    fits: bool  # would_give is within the error of the count

    @property
    def _brief(self):
        return f"{self.kind}, {self.words}"


@dataclass(frozen=True, kw_only=True, repr=False)
class CountExplained(Brief):
    """A count beside what the train gives, and what may have come between the two."""

    train: Train
    range: str
    load: str
    count: Fraction
    error: Fraction
    ratio: Fraction | None  # what the train gives
    findings: tuple[Finding, ...]  # those that fit first, then likeliest first
    questions: tuple[Finding, ...]  # what to ask at the bench, in that order

    _heads = ("what may be behind it", "fits the count")

    @property
    def _lead(self):
        given = "no ratio" if self.ratio is None else exactly(self.ratio)
        near = f"give or take {exactly(self.error)}"
        counted = f"Range {self.range}: {exactly(self.count)} counted, {near}"
        return f"{counted}; the train gives {given}."

    @property
    def _rows(self):
        """What fits the count, or where nothing does, what to ask at the bench."""
        shown = self.fitting or self.questions
        return [(one.words, "yes" if one.fits else "no") for one in shown]

    @property
    def agrees(self):
        """Whether count and train agree within the error."""
        return self.findings[0].kind == "agrees" and self.findings[0].fits

    @property
    def fitting(self):
        """The findings that fit the count."""
        return tuple(finding for finding in self.findings if finding.fits)


def explain_count(train, range, count, *, error=Fraction(1, 8), load="drive"):
    """The :class:`CountExplained` of a count at the paint mark.

    Parameters
    ----------
    train : Train
    range : the name of the range that was set up
    count : input turns per output turn, negative if the output turned backward; a
        number, or text as people write it (``"3 turns 55°"``)
    error : how far the reading may be off [turns], above 0
    load : "drive" (the input was turned) or "coast"

    Raises
    ------
    ValueError
        An unknown range or load, a count that is no number or 0, an error not above 0.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> print(explain_count(train, "1", "3.875").findings[0].words)
    The start mark was counted as one: the count would be 3.833 (23/6).
    """
    a_train(train)
    count = exact(count, f"range {range}", "count", "turns")
    error = exact(error, f"range {range}", "error", "turns")
    if not count:
        raise ValueError(
            "count is 0, but an output turn takes some turning of the input; count"
            " the input turns again"
        )
    if error <= 0:
        raise ValueError(
            f"error is {error}, but a reading is never without one; give the part of a"
            " turn to which it was read, like 1/8"
        )
    flow = power_flow(train, train.range(str(range)).name, load=load)
    tried = [
        _finding(kind, about, lead, result, count, error)
        for slips in _SLIPS
        for kind, about, lead, result in slips(flow)
        if kind in _ALWAYS
        or (result is not None and _outcome(result) != _outcome(flow))
    ]
    tried.sort(key=lambda pair: (pair[1], _place(pair[0], count)))
    findings, gears = [], set()
    for finding, _ in tried:
        if finding.kind != "tooth count" or finding.about not in gears:
            findings.append(finding)
        if finding.kind == "tooth count":
            gears.add(finding.about)
    return CountExplained(
        train=train,
        range=flow.range,
        load=load,
        count=count,
        error=error,
        ratio=flow.ratio,
        findings=tuple(findings),
        questions=tuple(_question(*asked, findings) for asked in QUESTIONS),
    )


# From slips to findings -----------------------------------------------------------


def _finding(kind, about, lead, result, count, error):
    """A finding and its rank: 0 it fits, 1 it may give any count, 2 no, 3 the chart."""
    value, what = _outcome(result)
    fits = value is not None and abs(value - count) <= error
    rank = 3 if kind == "chart" else 0 if fits else 1 if what == _ANY_COUNT else 2
    finding = Finding(
        kind=kind,
        about=about,
        words=f"{lead}: {what}.",
        would_give=value,
        fits=fits,
    )
    return finding, rank


def _outcome(result):
    """The count that a flow gives, or None, and in words; a count stands for itself."""
    if not isinstance(result, PowerFlow):
        return result, f"the count would be {exactly(result)}"
    if result.ratio is not None:
        return _outcome(result.ratio)
    if result.state in (NEUTRAL, FREEWHEELS):
        return None, _ANY_COUNT
    if result.state == OUTPUT_LOCKED:
        return None, "the output would stand still"
    return None, "the input could not be turned"


def _place(finding, count):
    """Likelier kinds first; within one, what is nearer to the count."""
    off = None if finding.would_give is None else abs(finding.would_give - count)
    return KINDS.index(finding.kind), off is None, off or 0


def _question(kind, asked, nothing, findings):
    """A question of the bench, with the likeliest of what it asks for."""
    best = next((finding for finding in findings if finding.kind == kind), None)
    if best is not None:
        return replace(best, words=f"{asked} {best.words}")
    nothing = nothing or "nothing of the kind would change the count here"
    words = f"{asked} {nothing[0].upper()}{nothing[1:]}."
    return Finding(kind=kind, about=None, words=words, would_give=None, fits=False)


# The slips: (kind, about, what happened, the flow or count it gives; None: cannot be)


def _as_asked(flow):
    if flow.ratio is None:
        lead = f"Range {flow.range} itself is {flow.state}"
        yield "no ratio", flow.range, lead, flow
    else:
        yield "agrees", flow.range, f"The train itself in range {flow.range}", flow


def _counting(flow):
    """Slips of the one who counts."""
    ratio = flow.ratio
    if ratio is None:
        return
    sign, half = (1 if ratio > 0 else -1), Fraction(1, 2)
    lead = "The output was seen from the other end, or its direction was left out"
    yield "other end", None, lead, -ratio
    lead = "The output was turned and the input counted for it"
    yield "turned over", None, lead, 1 / ratio
    yield "start mark", None, "The start mark was counted as one", ratio + sign
    for part, name in ((half, "half a turn"), (1, "one turn")):
        if abs(ratio) > part:
            lead = f"It was counted {name} too few"
            yield "turns missed", None, lead, ratio - sign * part
    lead = "It was counted half a turn too many"
    yield "turns missed", None, lead, ratio + sign * half
    lead = f"Five output turns take {turn_count(abs(5 * ratio))} of the input"
    yield "five turns", None, lead, 5 * ratio


def _parts(flow):
    """Another part than the input or the output was watched."""
    train = flow.train
    ends = {train.body_of[train.input], train.body_of[train.output], CASE}
    for body in dict.fromkeys(train.body_of.values()):
        speed = None if body in ends else flow.speeds[body]
        if flow.ratio and speed and "planet" not in body:
            lead = f"The {body} was watched for the output"
            yield "another part", body, lead, 1 / speed
            lead = f"The {body} was counted for the input"
            yield "another part", body, lead, speed * flow.ratio


def _ranges(flow):
    for row in flow.train.ranges:
        other = power_flow(flow.train, row.name, load=flow.load)
        if other.ratio is not None:
            parts = listed(flow.train.in_order(row.applied)) if row.applied else "none"
            lead = f"Range {row.name} was set up ({parts})"
            yield "another range", row.name, lead, other


def _one_ways(flow):
    """One-way clutches that did not catch, or that were put in the wrong way round."""
    one_ways = flow.train.one_way_clutches
    holding = flow.train.in_order(flow.holding)
    for names in dict.fromkeys([*((name,) for name in holding), holding]):
        rest = tuple(part for part in one_ways if part.name not in names)
        if names:
            lead = f"The output was not loaded, and {listed(names)} did not catch"
            gives = _again(flow, one_way_clutches=rest)
            yield "output not loaded", " and ".join(names), lead, gives
    turned = tuple(replace(p, member=p.against, against=p.member) for p in one_ways)
    for at, part in enumerate(one_ways):
        one_turned = (*one_ways[:at], turned[at], *one_ways[at + 1 :])
        lead = f"The {part.name} is in backward"
        gives = _again(flow, one_way_clutches=one_turned)
        yield "one-way backward", part.name, lead, gives
    # Turned backward, every one-way clutch does what it would do the other way round.
    gives = _again(flow, one_way_clutches=turned)
    yield "turned backward", None, "The input was turned backward", gives


def _elements(flow):
    for name in flow.train.in_order(flow.applied):
        lead = f"The {name} slipped or did not hold"
        yield "element let go", name, lead, _again(flow, flow.applied - {name})
    for name in flow.train.element_names:
        if name not in flow.applied:
            lead = f"The {name} was applied as well"
            yield "element too many", name, lead, _again(flow, flow.applied | {name})


def _teeth(flow):
    """Each gear with up to three teeth more or fewer, where such teeth can be."""
    for one in flow.train.sets:
        for key, teeth in one.all_teeth.items():
            gear = one.member(key.replace("-", " "))
            for off in (1, -1, 2, -2, 3, -3):
                changes = {key: teeth + off}
                sun, ring, planet = one.record.between or (None, None, None)
                if key in (sun, ring):
                    counts = {**one.all_teeth, **changes}
                    changes[planet] = whole_planet(counts[sun], counts[ring])
                lead = f"The {gear} has {teeth + off} teeth, not {teeth}"
                gives = _again(flow, teeth={one.name: changes})
                yield "tooth count", gear, lead, gives


def _variants(flow):
    for name, teeth in flow.train.tooth_sets.items():
        lead = f'It has the teeth "{name}"'
        yield "other teeth", name, lead, _again(flow, teeth=teeth)


def _chart(flow):
    published = flow.train.range(flow.range).published
    if published is None:
        yield "chart", None, "The chart is computed from the tooth counts", flow
    else:
        yield "chart", None, "The published chart", Fraction(published)


_SLIPS = (
    _as_asked, _counting, _parts, _ranges, _one_ways, _elements, _teeth, _variants,
    _chart,
)  # fmt: skip


def _again(flow, applied=None, *, teeth=(), **changes):
    """The flow of a changed train, or with other elements; None if it cannot be."""
    applied = flow.applied if applied is None else applied
    try:
        train = replace(flow.train, **changes).with_teeth(dict(teeth))
        return power_flow(train, applied=applied, load=flow.load)
    except ValueError:
        return None
