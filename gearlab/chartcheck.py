"""An apply chart that somebody wrote, checked row by row against the train.

What a row gives is computed. It is compared with the ratio published beside it and,
where the train has a range of that name, with what the train's own elements give.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import chain
from numbers import Rational

from . import checks
from .equilibrium import DRIVES, NEUTRAL, OUTPUT_LOCKED, TIED_UP
from .frozenmap import FrozenMap
from .motion import exact
from .numerals import exactly, number, read_number
from .powerflow import load_flows
from .train import CASE

CORRECT, REMARK, WRONG = "correct", "remark", "wrong"
KEYS = ("applied", "one-way", "released", "published", "after")
# What rows of these names are for, where the train has no range of the name.
_STILL = {"N": NEUTRAL, "P": OUTPUT_LOCKED}
_WORDS = {
    DRIVES: ("drives", "drive"),
    NEUTRAL: ("is neutral", "be neutral"),
    OUTPUT_LOCKED: ("locks the output", "lock the output"),
}


@dataclass(frozen=True, kw_only=True)
class ChartFinding:
    """One thing found in one row.

    `level` is "wrong", "remark" or "correct"; a row without a wrong finding has
    exactly one that says it is correct. `kind` is what was found, in a word or three.
    """

    range: str
    level: str
    kind: str
    words: str


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A row as it was written; `one_way` is None where nothing is marked at all."""

    name: str
    applied: tuple
    one_way: tuple | None = None
    released: tuple = ()
    published: tuple[Fraction, Fraction] | None = None  # the ratio, give or take
    after: str | None = None


def check_chart(train, chart):
    """Check an apply chart, row by row.

    Parameters
    ----------
    train : Train
    chart : ``{range: row}``. A row is a list of element names, or a table with
        ``"applied"`` and, if wanted, ``"one-way"`` (one-way clutches marked as holding
        under power), ``"released"`` (elements named as released in this step),
        ``"published"`` (a ratio, which counts as ± half its last digit; a fraction is
        exact) and ``"after"`` (the range that the step starts from; else it is the one
        that the train says, or the row before).

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
    >>> row = {"applied": ["small-sun clutch", "carrier clutch"], "published": "1.60"}
    >>> for finding in check_chart(train, {"3": row}):
    ...     print(finding.level, finding.kind, finding.words, sep=": ")
    wrong: another ratio: range 3 gives 1.173 (224/191), but 1.6 is published
    """
    if not isinstance(chart, Mapping):
        raise ValueError(
            f"the chart is {checks.shortened(chart)}, but it must be a table of ranges;"
            ' write {"1": ["forward clutch"]}'
        )
    rows = {}
    for name, row in chart.items():
        if str(name) in rows:
            raise ValueError(
                f'two rows are named "{name}", but a row stands for one range; rename'
                " one of them"
            )
        rows[str(name)] = _row(str(name), row)
    return tuple(chain.from_iterable(_of_row(train, rows, row) for row in rows.values()))


def own_chart(train, *, backing_up=False):
    """The train's own chart, in the form that :func:`check_chart` reads.

    One-way clutches are marked where they hold and, with `backing_up`, where they back
    up an applied element. A ratio is the published one, else the computed one.

    >>> import gearlab
    >>> own_chart(gearlab.load_train("five-range"))["2"]["released"]
    ('front lock clutch',)
    """
    chart = {}
    for one in train.ranges:
        flow = load_flows(train, one.applied)["drive"]
        marked = flow.holding | (flow.backing_up if backing_up else frozenset())
        row = {"applied": one.applied, "one-way": train.in_order(marked)}
        if one.after is not None:
            gone = set(train.range(one.after).applied) - set(one.applied)
            row |= {"after": one.after, "released": train.in_order(gone)}
        ratio = flow.ratio if one.published is None else one.published
        if ratio is not None:
            row["published"] = ratio
        chart[one.name] = FrozenMap(row)
    return FrozenMap(chart)


def planted_slips(train):
    """The train's own chart with one element swapped for another in one row, every way.

    Yields ``(range, element that belongs there, element put instead, chart)``; one of
    them is an exercise.

    >>> import gearlab
    >>> train = gearlab.load_train("three-range")
    >>> range, given, instead, chart = next(planted_slips(train))
    >>> range, given, instead, chart[range]["applied"]
    ('P', 'parking pawl', 'common-sun brake', ('common-sun brake',))
    """
    chart = own_chart(train)
    for one in train.ranges:
        for given in one.applied:
            for instead in train.element_names:
                if instead not in one.applied:
                    names = [instead if name == given else name for name in one.applied]
                    row = {**chart[one.name], "applied": tuple(names)}
                    slipped = {**chart, one.name: FrozenMap(row)}
                    yield one.name, given, instead, FrozenMap(slipped)


# Reading a row ------------------------------------------------------------------


def _row(name, row):
    """The row as a :class:`_Row`; ValueError where it has another form."""
    table = row if isinstance(row, Mapping) else {"applied": row}
    try:
        for key in table:
            checks.known(key, KEYS, "key of a chart row")
        if "applied" not in table:
            raise ValueError('nothing says what is applied; add "applied"')
        published, after = table.get("published"), table.get("after")
        marked = table.get("one-way")
        return _Row(
            name=name,
            applied=_names(table["applied"], "applied"),
            one_way=None if marked is None else _names(marked, "one-way"),
            released=_names(table.get("released", ()), "released"),
            published=None if published is None else _published(published),
            after=None if after is None else str(after),
        )
    except ValueError as error:
        raise ValueError(f"range {name}: {error}") from None


def _names(names, key):
    if isinstance(names, (list, tuple, set, frozenset)):
        return tuple(names)
    raise ValueError(
        f"{key} is {checks.shortened(names)}, but it must be a list of names; write"
        ' ["forward clutch"]'
    )


def _published(ratio):
    """A published ratio and half its last digit; a fraction as written is exact."""
    if isinstance(ratio, Rational) and not isinstance(ratio, (int, bool)):
        return Fraction(ratio), Fraction(0)
    text = ratio if isinstance(ratio, str) else str(exact(ratio, "the published ratio"))
    if not isinstance(ratio, str):
        # A Decimal keeps its zeros, and a float is taken as it is written.
        text = f"{Decimal(repr(ratio) if isinstance(ratio, float) else ratio):f}"
    value = read_number(text)
    if "/" in text:
        return value, Fraction(0)
    if re.search("[a-z°]", text.lower()):
        return value, Fraction(1, 720)
    digits = re.search(r"[.,](\d+)", text.partition(":")[0])
    return value, Fraction(1, 2 * 10 ** len(digits[1] if digits else ""))


def _before(train, rows, row):
    """The row that a step starts from, or None for the first."""
    after = row.after
    if after is None and row.name in train.range_names:
        after = train.range(row.name).after
    if after in rows:
        return rows[after]
    names = [*rows]
    place = names.index(row.name)
    return rows[names[place - 1]] if place else None


# What is found in a row -----------------------------------------------------------


def _of_row(train, rows, row):
    """The findings of a row, with the one that says it is correct."""
    found, flow = list(_unknown(train, rows, row)), None
    if not found:
        one_ways = {part.name for part in train.one_way_clutches}
        applied = [name for name in row.applied if name not in one_ways]
        flows = load_flows(train, applied)
        flow = flows["drive"]
        found += _never_applied(row, one_ways)
        found += _not_released(train, rows, row)
        found += _result(train, row, flows)
        if flow.state != TIED_UP:
            found += _marks(row, flow)
            found += _idle(train, rows, row, flows)
    if all(level != WRONG for level, _, _ in found):
        found.insert(0, (CORRECT, CORRECT, _praise(row, flow)))
    return [
        ChartFinding(
            range=row.name, level=level, kind=kind, words=f"range {row.name} {words}"
        )
        for level, kind, words in found
    ]


def _unknown(train, rows, row):
    one_ways = [part.name for part in train.one_way_clutches]
    for names, known, what in (
        (row.applied, train.by_name, "element"),
        (row.released, train.by_name, "element"),
        (row.one_way or (), one_ways, "one-way clutch"),
        (() if row.after is None else (row.after,), rows, "row of this chart"),
    ):
        for name in names:
            try:
                checks.known(name, known, what)
            except ValueError as error:
                yield WRONG, "unknown name", f"names what is not there: {error}"


def _never_applied(row, one_ways):
    for name in row.applied:
        if name in one_ways:
            words = (
                f'has "{name}" among the applied, but a one-way clutch holds by itself;'
                ' mark it under "one-way"'
            )
            yield WRONG, "one-way applied", words


def _not_released(train, rows, row):
    before = _before(train, rows, row)
    for name in row.released:
        if name in row.applied:
            why = "it is applied in this row"
        elif before is None:
            why = 'no range comes before; name one under "after"'
        elif name not in before.applied:
            why = f"it was not applied in range {before.name}"
        else:
            continue
        yield WRONG, "not released", f'names "{name}" as released, but {why}'


def _result(train, row, flows):
    """State, ratio and coast, against the published ratio and the train's own range."""
    flow, own = flows["drive"], None
    if row.name in train.range_names:
        own = load_flows(train, train.range(row.name).applied)
    meant = own["drive"].state if own else _STILL.get(row.name, DRIVES)
    if row.published is not None or meant == TIED_UP:
        meant = DRIVES
    if flow.state == TIED_UP:
        fight = checks.quoted(train.in_order(flow.conflict))
        alone = len(flow.conflict) == 1
        does = "alone keeps the input from turning" if alone else "fight each other"
        yield WRONG, TIED_UP, f"ties up: {fight} {does}"
    elif flow.state != meant:
        is_, should = _WORDS[flow.state][0], _WORDS[meant][1]
        yield WRONG, flow.state, f"{is_}, but it should {should}"
    elif row.published is not None and not _agrees(row.published, flow.ratio):
        ratio = own["drive"].ratio if own else None
        turned = flow.ratio < 0 and _agrees(row.published, -flow.ratio)
        gives = f"gives {exactly(flow.ratio)}, but {exactly(row.published[0])}"
        if turned and (ratio is None or ratio < 0):
            words = f"{gives} is published without the minus of a reverse"
            yield REMARK, "no sign", words
        else:
            yield WRONG, "another ratio", f"{gives} is published"
    elif own:
        yield from _against_own(train, row, flows, own)


def _agrees(published, ratio):
    value, margin = published
    return abs(value - ratio) <= margin


def _against_own(train, row, flows, own):
    """What differs from the train's own range of the name."""
    flow, right = flows["drive"], own["drive"]
    if flow.applied == right.applied:
        return
    applies = checks.quoted(train.in_order(right.applied)) or "nothing"
    if flow.ratio != right.ratio:
        words = (
            f"gives {exactly(flow.ratio)}, but the train's own range applies {applies}"
            f" and gives {exactly(right.ratio)}"
        )
        agreed = row.published is not None
        yield REMARK if agreed else WRONG, "another ratio", words
    elif (flows["coast"].state, flows["coast"].ratio) != (
        own["coast"].state,
        own["coast"].ratio,
    ):
        words = (
            f"{_coasts(flows['coast'])}, but the train's own range applies {applies}"
            f" and {_coasts(own['coast'])}"
        )
        yield WRONG, "another coast", words
    else:
        words = f"gives the same as the train's own range, which applies {applies}"
        yield REMARK, "other elements", words


def _coasts(flow):
    if flow.state == DRIVES:
        return f"brakes the engine at {number(flow.ratio)} when it coasts"
    return f"{'freewheels' if flow.state == 'freewheels' else _WORDS[flow.state][0]}"


def _marks(row, flow):
    """One-way clutches marked that do not hold, and holding ones not marked."""
    if row.one_way is None:
        return
    for name in row.one_way:
        if name in flow.overrunning:
            yield WRONG, "overruns", f'marks "{name}", but it overruns'
        elif name not in flow.holding | flow.backing_up:
            yield WRONG, "carries nothing", f'marks "{name}", but it carries nothing'
    for name in flow.train.in_order(flow.holding - set(row.one_way)):
        yield WRONG, "not marked", f'does not mark "{name}", which holds'
