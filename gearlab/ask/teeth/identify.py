"""Tooth ratios and tooth counts of a train from turns that were counted by hand."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from fractions import Fraction
from math import exp, inf
from types import SimpleNamespace

from ...base import checks
from ...base.brief import Brief
from ...base.frozenmap import FrozenMap
from ...base.numerals import number
from ...solve.equilibrium import DRIVES
from ...solve.powerflow import power_flow
from ...train.train import Train, a_train
from . import fit, search, small
from .batch import has_numpy
from .count import Count
from .fit import Model

# A count may be off by so many of its errors and still agree.
AGREES = 2
MOST_COUNTS = 1000
# Where the teeth are fitted and searched: many variants at once, or one by one.
_WITH_NUMPY = SimpleNamespace(fit=fit, search=search)
_WITHOUT = SimpleNamespace(fit=small, search=small)
# A proportion is open if its standard error is more than this part of it.
_OPEN = 0.5


@dataclass(frozen=True, kw_only=True)
class Estimate:
    """A proportion and its standard error, in the same unit."""

    value: float
    error: float


@dataclass(frozen=True, kw_only=True, repr=False)
class Candidate(Brief):
    """Tooth counts that agree with all counts.

    `choices` has all tooth counts of each set in this proportion, which no count can
    tell apart; `teeth` are the smallest of each, to give to ``train.with_teeth``.
    """

    teeth: FrozenMap  # {set: {gear: teeth}}
    choices: FrozenMap  # {set: tuple of {gear: teeth}}
    predicted: tuple[Fraction, ...]  # input turns per output turn, for each count
    misfits: tuple[float, ...]  # (counted − predicted) / error, for each count
    misfit: float  # root mean square of the misfits

    @property
    def _brief(self):
        return f"{self._sizes}, misfit {self.misfit:.2f}"

    @property
    def words(self):
        """Its teeth, and how far it misses the counts."""
        return f"{self._sizes}; off by {self.misfit:.2f} errors in the mean."

    @property
    def _sizes(self):
        return "; ".join(
            f"{name} {', '.join(f'{gear} {count}' for gear, count in teeth.items())}"
            for name, teeth in self.teeth.items()
        )


@dataclass(frozen=True, kw_only=True, repr=False)
class Identified(Brief):
    """What counted turns say of the teeth of a train."""

    train: Train
    counts: tuple[Count, ...]
    ratios: FrozenMap  # {set: {"ring / sun": Estimate, or None if it is open}}
    open_sets: tuple[str, ...]  # sets with a proportion that is left open
    residuals: tuple[float, ...]  # (counted − fitted) / error, for each count
    candidates: tuple[Candidate, ...]  # best first
    agreeing: int  # combinations of proportions that agree
    complete: bool  # False if there were too many to try, so some may be missing

    _heads = ("set", "proportion", "value", "standard error")

    @property
    def _brief(self):
        best = self.candidates[0]._sizes if self.candidates else "no teeth"
        return f"{self.agreeing} agree with what was counted, the best {best}"

    @property
    def _lead(self):
        said = [
            f"The best of {self.agreeing} that agree: {one.words}"
            for one in self.candidates[:1]
        ]
        if self.open_words:
            said.append(f"{self.open_words[:1].upper()}{self.open_words[1:]}.")
        return "\n".join(said)

    @property
    def _rows(self):
        return [
            (
                name,
                what,
                *(
                    ("open", "")
                    if one is None
                    else (f"{one.value:.4g}", f"{one.error:.2g}")
                ),
            )
            for name, ratios in self.ratios.items()
            for what, one in ratios.items()
        ]

    @property
    def open_words(self):
        """Which ratios the counts leave open, in a sentence; "" if none.

        >>> from gearlab import load_train
        >>> counts = [Count(range="R", count=-3, error="1/8")]
        >>> identify(load_train("five-range"), counts).open_words
        'this one count leaves the ratios of the front and middle sets open'
        """
        if not self.open_sets:
            return ""
        size = len(self.counts)
        words = ("two", "three", "four", "five", "six", "seven", "eight", "nine")
        many = words[size - 2] if 1 < size < 10 else str(size)
        start = "this one count leaves" if size == 1 else f"these {many} counts leave"
        *before, last = self.open_sets
        if not before:
            return f"{start} the {last} set's ratio open"
        return f"{start} the ratios of the {', '.join(before)} and {last} sets open"


def identify(train, counts, *, low=15, high=120, progress=None, most=20):
    """The proportions and tooth counts that turns counted by hand point to.

    Weighted least squares in the logarithms of ring teeth per sun tooth, then a search
    of all sets with coaxial, equally spaced and clear planets. The teeth of the train
    are a starting point; those of differentials, of sets written out by their meshes
    and of stepped planets are taken as they are.

    Parameters
    ----------
    train : Train
    counts : Counts, repeats welcome
    low, high : fewest and most teeth of a gear
    progress : called with lines of text while it searches, for instance ``print``
    most : how many candidates to list

    Returns
    -------
    Identified

    Raises
    ------
    ValueError
        No count, a range that is unknown or does not drive, counts that are the same
        whatever the teeth, or that no teeth agree with within 2 errors each: which one
        is worst off.

    >>> from gearlab import load_train
    >>> found = identify(load_train("five-range"),
    ...     [Count(range="R", count=-30, over=10, error="1/8")])
    >>> found.ratios["rear"]["ring / sun"]
    Estimate(value=3.0, error=0.0125)
    >>> found.candidates[0].teeth["rear"]
    FrozenMap({'sun': 15, 'ring': 45})
    """
    a_train(train)
    low = checks.whole_number(low, "low", checks.MIN_TEETH, 300)
    high = checks.whole_number(high, "high", low, 300)
    most = checks.whole_number(most, "most", 1, 1_000_000)
    checks.callback(progress, "progress")
    counts = (counts,) if isinstance(counts, Count) else counts
    counts = tuple(
        checks.given(counts, Iterable, "counts in a list", "write [Count(...)]")
    )
    # Named tooth sets are checked against all teeth, and candidates need not suit them.
    bare = replace(train, tooth_sets=FrozenMap())
    ways = _WITH_NUMPY if has_numpy() else _WITHOUT
    model = _model(bare, counts)
    cases = model.merged()
    logs = ways.fit.fitted(cases)
    jacobian, seen = ways.fit.slopes(cases, logs)
    choices = {
        one.name: ways.search.options(one, low, high)
        for one in train.sets
        if any(one.name in on for on in seen)
    }
    if not choices:
        raise ValueError(
            f"{counts[0].where} gives the same count whatever the teeth, and so do all"
            " that were counted; count another range too"
        )
    say = progress or (lambda line: None)
    found = ways.search.search(cases, logs, jacobian, seen, choices, say)
    if not len(found.places):
        raise ValueError(_worst_off(ways.fit, model, counts, logs, low, high))
    ratios, open_sets = _ratios(cases, logs, ways.fit.spreads(jacobian))
    best = [
        {
            name: choices[name].teeth(place)
            for name, place in zip(found.sets, row, strict=True)
        }
        for row in found.places[:most]
    ]
    return Identified(
        train=train,
        counts=counts,
        ratios=ratios,
        open_sets=open_sets,
        residuals=tuple(ways.fit.misfits_at(model, logs)),
        candidates=tuple(_candidate(bare, counts, teeth) for teeth in best),
        agreeing=len(found.places),
        complete=found.complete,
    )


def _model(train, counts):
    """The :class:`gearlab.ask.teeth.fit.Model` of checked counts."""
    checks.at_most(counts, MOST_COUNTS, "counts")
    if not counts:
        raise ValueError("no count was given, but teeth follow from counts; give one")
    flows, asked = {}, []
    for count in counts:
        if not isinstance(count, Count):
            raise ValueError(
                f"{checks.shortened(count)} is no count; write Count(range=...,"
                " count=..., error=...)"
            )
        if count.case not in flows:
            flows[count.case] = _flow(train, count.case)
        flow = flows[count.case]
        if flow.state != DRIVES:
            raise ValueError(
                f"{count.where} is {flow.state} under {count.load}, so its input and"
                " output turns have no ratio; leave this count out"
            )
        asked.append((flow.applied, flow.load))
    knobs = [(one.name, sun) for one in train.sets for sun in search.free_suns(one)]
    if not knobs:
        raise ValueError(
            "no set of the train has a sun and a ring, so there is no proportion to"
            " find; take a train with such a set"
        )
    return Model(
        train=train,
        asked=tuple(asked),
        counted=tuple(float(count.per_turn) for count in counts),
        errors=tuple(float(count.error_per_turn) for count in counts),
        least=(-float(AGREES),) * len(counts),
        most=(float(AGREES),) * len(counts),
        knobs=tuple(knobs),
    )


def _flow(train, case):
    """The flow of what was set up."""
    range, applied, load = case
    return power_flow(train, range, applied=applied, load=load)


def _ratios(model, logs, spread):
    """``{set: {"ring / sun": Estimate or None}}`` and the sets with one left open."""
    ratios, open_sets = {}, {}
    for (name, sun), one, error in zip(model.knobs, logs, spread, strict=True):
        value = exp(one)
        one = None
        if error <= _OPEN:
            one = Estimate(
                value=float(f"{value:.9g}"), error=float(f"{error * value:.9g}")
            )
        else:
            open_sets[name] = None
        ratios.setdefault(name, {})[f"ring / {sun.replace('-', ' ')}"] = one
    ratios = {name: FrozenMap(row) for name, row in ratios.items()}
    return FrozenMap(ratios), tuple(open_sets)


def _candidate(train, counts, choices):
    """One candidate; its counts are predicted exactly."""
    teeth = FrozenMap({name: rows[0] for name, rows in choices.items()})
    changed = train.with_teeth(teeth)
    ratios = {case: _flow(changed, case).ratio for case in {one.case for one in counts}}
    predicted = tuple(ratios[one.case] for one in counts)
    misfits = [
        float((one.per_turn - ratio) / one.error_per_turn)
        for one, ratio in zip(counts, predicted, strict=True)
    ]
    return Candidate(
        teeth=teeth,
        choices=FrozenMap(choices),
        predicted=predicted,
        misfits=tuple(misfits),
        misfit=(sum(off * off for off in misfits) / len(misfits)) ** 0.5,
    )


def _worst_off(fit, model, counts, logs, low, high):
    """Why no teeth agree: the count without which the others agree best."""
    off = fit.misfits_at(model, logs)
    if all(abs(one) <= AGREES for one in off):
        return (
            f"proportions agree with the counts, but no teeth from {low} to {high} that"
            " can be assembled have them; widen low and high, or check the planets"
        )
    fits = []
    for at in model.extremes(off):
        rest = model.without(at)
        best = fit.fitted(rest.merged()) if rest.asked else logs
        bad = sum(one * one for one in fit.misfits_at(rest, best)) if rest.asked else 0
        fits.append((bad if bad == bad else inf, at, best))
    _, at, best = min(fits, key=lambda one: one[:2])
    worst, off = counts[at], fit.misfits_at(model, best)[at]
    others = float(worst.per_turn) - off * float(worst.error_per_turn)
    return (
        f"no teeth agree with all counts: {worst.where} is worst off, with"
        f" {number(worst.per_turn)} turns counted where {number(others)} fits best,"
        f" {number(abs(off))} errors away, but a count must fit within {AGREES}; count"
        " it again, check its sign, or give it a larger error"
    )
