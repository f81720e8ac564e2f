"""An apply chart that somebody wrote, checked row by row against the train.

What a row gives is computed. It is compared with the ratio published beside it and,
where the train has a range of that name, with what the train's own elements give.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from itertools import chain

from . import checks
from .chartrow import chart_row, range_before
from .equilibrium import DRIVES, NEUTRAL, OUTPUT_LOCKED, TIED_UP
from .frozenmap import FrozenMap
from .numerals import exactly
from .powerflow import load_flows

CORRECT, REMARK, WRONG = "correct", "remark", "wrong"
# What rows of these names are for, where the train has no range of the name.
_STILL = {"N": NEUTRAL, "P": OUTPUT_LOCKED}


@dataclass(frozen=True, kw_only=True)
class ChartFinding:
    """One thing found in one row.

    `level` is "wrong", "remark" or "correct"; a row without a wrong finding has
    exactly one that says it is correct.
    """

    range: str
    level: str
    kind: str
    words: str


def check_chart(train, chart):
    """Check an apply chart, row by row.

    Parameters
    ----------
    train : Train
    chart : ``{range: row}``. A row is a list of element names, or a table with
        ``"applied"`` and, if wanted, ``"one-way"`` (one-way clutches marked as holding
        under power), ``"released"`` (elements named as released in this step),
        ``"published"`` (a ratio, which counts as ± half its last digit) and
        ``"after"`` (the range of the chart that the step starts from; the row before,
        if the train's range does not say).

    Returns
    -------
    tuple of ChartFinding, in the order of the chart

    Raises
    ------
    ValueError
        The chart or a row is no table of this form. Names that the train lacks are
        findings.

    >>> import gearlab
    >>> train = gearlab.load_train("six-range")
    >>> chart = {"3": {"applied": ["small-sun clutch", "carrier clutch"],
    ...                "published": 1.6}}
    >>> for finding in check_chart(train, chart):
    ...     print(finding.level, finding.kind, finding.words, sep=": ")
    wrong: another ratio: range 3 gives 1.173 (224/191), but 1.6 is published
    """
    if not isinstance(chart, Mapping):
        raise ValueError(
            f"the chart is {checks.shortened(chart)}, but it must be a table of ranges;"
            ' write {"1": ["forward clutch"], ...}'
        )
    rows = {str(name): chart_row(str(name), row) for name, row in chart.items()}
    return tuple(chain(*(_of_row(train, rows, row) for row in rows.values())))


def own_chart(train, *, backing_up=False):
    """The train's own chart, in the form that :func:`check_chart` reads.

    One-way clutches are marked where they hold and, with `backing_up`, where they
    back up an applied element. Ratios are the exact ones.

    >>> import gearlab
    >>> own_chart(gearlab.load_train("three-range"))["2"]["released"]
    ()
    """
    chart = {}
    for one in train.ranges:
        flow = load_flows(train, one.applied)["drive"]
        marked = flow.holding | (flow.backing_up if backing_up else frozenset())
        before = () if one.after is None else train.range(one.after).applied
        row = {
            "applied": one.applied,
            "one-way": train.in_order(marked),
            "released": train.in_order(set(before) - set(one.applied)),
        }
        published = flow.ratio if one.published is None else one.published
        if published is not None:
            row["published"] = published
        if one.after is not None:
            row["after"] = one.after
        chart[one.name] = FrozenMap(row)
    return FrozenMap(chart)


def planted_slips(train):
    """The train's own chart with one element name swapped in one row, every way.

    Yields ``(range, name that belongs there, name put instead, chart)``; one chosen at
    random is an exercise.

    >>> import gearlab
    >>> train = gearlab.load_train("three-range")
    >>> sum(1 for slip in planted_slips(train))
    30
    """
    chart = own_chart(train)
    for one in train.ranges:
        for place, given in enumerate(one.applied):
            for instead in train.element_names:
                if instead in one.applied:
                    continue
                applied = [*one.applied]
                applied[place] = instead
                row = {**chart[one.name], "applied": tuple(applied)}
                slipped = {**chart, one.name: FrozenMap(row)}
                yield one.name, given, instead, FrozenMap(slipped)


def _of_row(train, rows, row):
    """The findings of a row, with the one that says it is correct."""
    names = list(_names(train, rows, row))
    if any(kind == "unknown name" for _, kind, _ in names):
        found = names
    else:
        # One-way clutches are known, but nothing applies them.
        applied = [name for name in row.applied if not _is_one_way(train, name)]
        flows = load_flows(train, applied)
        found = [*names, *_result(train, row, flows), *_one_ways(row, flows["drive"])]
        found += _idle(train, rows, row, flows)
    if all(level != WRONG for level, _, _ in found):
        found.insert(0, (CORRECT, CORRECT, _praise(row, flows["drive"])))
    return [
        ChartFinding(range=row.name, level=level, kind=kind, words=words)
        for level, kind, words in found
    ]


def _is_one_way(train, name):
    return name in {part.name for part in train.one_way_clutches}


def _names(train, rows, row):
    """What is wrong with the names of a row, and with what it says was released."""
    usable = [part.name for part in (*train.elements, *train.locks)]
    one_ways = [part.name for part in train.one_way_clutches]
    for names, known, what in (
        (row.applied, (*usable, *one_ways), "element"),
        (row.released, (*usable, *one_ways), "element"),
        (row.one_way, one_ways, "one-way clutch"),
        ((row.after,) if row.after is not None else (), rows, "range"),
    ):
        for name in names:
            try:
                checks.known(name, known, what)
            except ValueError as error:
                yield WRONG, "unknown name", f"range {row.name}: {error}"
    for name in row.applied:
        if name in one_ways:
            words = (
                f'"{name}" is a one-way clutch: nothing applies it, it holds by itself;'
                ' mark it under "one-way" instead'
            )
            yield WRONG, "one-way applied", f"range {row.name}: {words}"
    before = range_before(train, rows, row)
    for name in row.released:
        if name in row.applied:
            words = f'"{name}" is named as released, but this row applies it'
        elif before is None:
            words = (
                f'"{name}" is named as released, but no range comes before; say which'
                ' under "after"'
            )
        elif name not in before.applied:
            words = (
                f'"{name}" is named as released, but it was not applied in range'
                f" {before.name}"
            )
        else:
            continue
        yield WRONG, "not released", f"range {row.name}: {words}"


def _result(train, row, flows):
    """State, ratio and coast against what is published and the train's own range."""
    flow = flows["drive"]
    own = own_flows(train, row)
    meant = own["drive"].state if own else _STILL.get(row.name, DRIVES)
    if flow.state == TIED_UP:
        fight = checks.quoted(train.in_order(flow.conflict))
        verb = "fight each other" if len(flow.conflict) > 1 else "alone stops the input"
        yield WRONG, TIED_UP, f"range {row.name} ties up: {fight} {verb}"
    elif flow.state != meant:
        verb = "" if flow.state == DRIVES else "is "
        words = f"range {row.name} {verb}{flow.state}"
        yield WRONG, flow.state, f"{words}, but it should be one that is {meant}"
    elif flow.ratio is not None and row.published is not None:
        yield from _against_published(row, flow.ratio)
    elif own and flow.ratio != own["drive"].ratio:
        words = (
            f"range {row.name} gives {exactly(flow.ratio)}, but"
            f" {exactly(own['drive'].ratio)} with the train's own elements,"
            f" {_applied(train, own)}"
        )
        yield WRONG, "another ratio", words
    if not own or flow.state != meant or flow.applied == own["drive"].applied:
        return
    coast, right = flows["coast"], own["coast"]
    if flow.ratio == own["drive"].ratio and coast.state != right.state:
        words = (
            f"range {row.name} drives as it should, but coasting it {_state(coast)},"
            f" and with the train's own elements, {_applied(train, own)}, it"
            f" {_state(right)}"
        )
        yield WRONG, "another coast", words
    else:
        words = f"the train's own range {row.name} applies {_applied(train, own)}"
        yield REMARK, "other elements", words


def own_flows(train, row):
    """The flows of the train's own range of a row's name, or None."""
    if row.name not in train.range_names:
        return None
    return load_flows(train, train.range(row.name).applied)
