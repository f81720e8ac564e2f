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

from ..base import checks
from ..base.brief import Brief, Several
from ..base.frozenmap import FrozenMap
from ..base.numerals import exactly
from ..base.reading import read_number
from ..solve.equilibrium import DRIVES, FREEWHEELS, NEUTRAL, OUTPUT_LOCKED, TIED_UP
from ..solve.powerflow import load_flows
from ..train.train import a_train

CORRECT, REMARK, WRONG = "correct", "remark", "wrong"
OTHER_ELEMENTS = "other elements"
KEYS = ("applied", "one-way", "released", "published", "after")
# What rows of these names are for, where the train has no range of the name.
_STILL = {"N": NEUTRAL, "P": OUTPUT_LOCKED}


@dataclass(frozen=True, kw_only=True, repr=False)
class ChartFinding(Brief):
    """One thing found in one row.

    `level` is "wrong", "remark" or "correct"; a row without a wrong finding has exactly
    one that says it is correct. `kind` is what was found, in a word or three.
    """

    range: str
    level: str
    kind: str
    words: str

    _columns = ("range", "level", "found")

    @property
    def _cells(self):
        return self.range, self.level, self.words


@dataclass(frozen=True, kw_only=True)
class _Row:
    """A row as it was written; `one_way` is None where nothing is marked."""

    name: str
    applied: tuple
    one_way: tuple | None
    released: tuple
    published: tuple[Fraction, Fraction, str] | None  # give or take; as written
    after: str | None


def check_chart(train, chart):
    """Check an apply chart, row by row.

    Parameters
    ----------
    train : Train
    chart : ``{range: row}``. A row is a list of element names, or a table with
        ``"applied"`` and, if wanted, ``"one-way"`` (one-way clutches marked as holding
        under power), ``"released"`` (elements named as released in this step),
        ``"published"`` (a ratio, which counts as ± half its last digit; a fraction is
        exact) and ``"after"`` (the row that the step starts from; else it is the one
        that the train says, or the row before).

    Returns
    -------
    tuple of ChartFinding, in the order of the chart

    Raises
    ------
    ValueError
        The chart or a row has another form. Names that the train lacks are findings.

    >>> import gearlab
    >>> train = gearlab.load_train("six-range")
    >>> row = {"applied": ["small-sun clutch", "carrier clutch"], "published": "1.33"}
    >>> for finding in check_chart(train, {"3": row}):
    ...     print(finding.level, finding.kind, finding.words, sep=": ")
    wrong: another ratio: range 3 gives 1.091 (12/11), but 1.33 is published
    """
    a_train(train)
    if not isinstance(chart, Mapping):
        raise ValueError(
            f"the chart is {checks.shortened(chart)}, but it must be a table of ranges;"
            ' write {"1": ["forward clutch"]}'
        )
    rows = {str(name): _row(str(name), row) for name, row in chart.items()}
    if len(rows) < len(chart):
        rule = "but each range has one row; rename one of them"
        raise ValueError(f"the rows are {checks.quoted(chart)}, {rule}")
    return Several(chain(*(_of_row(train, rows, row) for row in rows.values())))


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
        marked = flow.holding | (flow.backing_up.keys() if backing_up else set())
        row = {"applied": one.applied, "one-way": train.in_order(marked)}
        if one.after is not None:
            gone = set(train.range(one.after).applied) - set(one.applied)
            row |= {"after": one.after, "released": train.in_order(gone)}
        ratio = flow.ratio if one.published is None else one.published
        if ratio is not None:
            row["published"] = ratio
        chart[one.name] = FrozenMap(row)
    return FrozenMap(chart)


def _row(name, row):
    """The row as a :class:`_Row`; ValueError where it has another form."""
    table = row if isinstance(row, Mapping) else {"applied": row}
    try:
        for key in table:
            checks.known(key, KEYS, "key of a chart row")
        published, after = table.get("published"), table.get("after")
        return _Row(
            name=name,
            applied=_names(table, "applied"),
            one_way=_names(table, "one-way") if "one-way" in table else None,
            released=_names(table, "released") if "released" in table else (),
            published=None if published is None else _published(published),
            after=None if after is None else str(after),
        )
    except ValueError as error:
        raise ValueError(f"range {name}: {error}") from None


def _names(table, key):
    names = table.get(key)
    if isinstance(names, (list, tuple, set, frozenset)):
        return tuple(names)
    raise ValueError(
        f"{key} is {checks.shortened(names)}, but it must be a list of names; write"
        ' ["forward clutch"]'
    )


def _published(ratio):
    """A published ratio, half its last digit, and how it was written."""
    if isinstance(ratio, Fraction):
        return ratio, Fraction(0), exactly(ratio)
    if isinstance(ratio, bool) or not isinstance(ratio, (str, int, float, Decimal)):
        rule = "but it must be a ratio; write it like 3.15"
        raise ValueError(f"published is {checks.shortened(ratio)}, {rule}")
    # A Decimal keeps its zeros, and a float is taken as it is written.
    text = ratio if isinstance(ratio, str) else f"{Decimal(str(ratio)):f}"
    value, counted = read_number(text), text.partition(":")[0].strip().lower()
    if "/" in counted:
        return value, Fraction(0), text
    if any(mark in counted for mark in ("°", "deg", "turn", "rev")):
        return value, Fraction(1, 720), text
    digits = re.search(r"[.,](\d+)", counted)
    return value, Fraction(1, 2 * 10 ** (len(digits[1]) if digits else 0)), text


def _before(train, rows, row):
    """The row that a step starts from, or None for the first."""
    after = row.after
    if after is None and row.name in train.range_names:
        after = train.range(row.name).after
    if after in rows:
        return rows[after]
    place = list(rows).index(row.name)
    return list(rows.values())[place - 1] if place else None


def _of_row(train, rows, row):
    """The findings of a row, with the one that says it is correct.

    A row that gives what it should with other elements is told by that remark alone.
    """
    found, flow = list(_unknown(train, rows, row)), None
    if not found:
        one_ways = {part.name for part in train.one_way_clutches}
        flows = load_flows(train, set(row.applied) - one_ways)
        flow = flows["drive"]
        found = [*_misplaced(train, rows, row), *_result(train, row, flows)]
        if flow.state != TIED_UP:
            found += _marks(row, flow)
        if flow.state == DRIVES or all(level != WRONG for level, _, _ in found):
            found += _idle(train, rows, row, flows)
    if all(level != WRONG and kind != OTHER_ELEMENTS for level, kind, _ in found):
        found.insert(0, (CORRECT, CORRECT, _praise(row, flow)))
    for level, kind, words in found:
        words = f"range {row.name} {words}"
        yield ChartFinding(range=row.name, level=level, kind=kind, words=words)


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
                yield WRONG, "unknown name", f"cannot be checked: {error}"


def _misplaced(train, rows, row):
    """One-way clutches among the applied, and what was not released in this step."""
    for part in train.one_way_clutches:
        if part.name in row.applied:
            words = f'applies "{part.name}", but a one-way clutch holds by itself'
            yield WRONG, "one-way applied", f'{words}; mark it under "one-way"'
    before = _before(train, rows, row)
    for name in row.released:
        if name in row.applied:
            why = "this row applies it"
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
        should = "drive" if meant == DRIVES else f"be {meant}"
        yield WRONG, flow.state, f"{_does(flow)}, but it should {should}"
    elif row.published is not None and not _agrees(row, flow.ratio):
        words = f"{_does(flow)}, but {row.published[2]} is published"
        backward = not own or own["drive"].ratio is None or own["drive"].ratio < 0
        if flow.ratio < 0 and backward and _agrees(row, -flow.ratio):
            yield REMARK, "no sign", f"{words}, without the minus of a reverse"
        else:
            yield WRONG, "another ratio", words
    elif own and flow.applied != own["drive"].applied:
        yield _against_own(row, flows, own)


def _agrees(row, ratio):
    value, margin, _ = row.published
    return abs(value - ratio) <= margin


def _against_own(row, flows, own):
    """What differs from the train's own range, which has the same state."""
    flow, coast, own_flow, own_coast = *flows.values(), *own.values()
    order = own_flow.train.in_order
    applied = checks.quoted(order(own_flow.applied)) or "nothing"
    against = f"the train's own range applies {applied}"
    if flow.ratio != own_flow.ratio:
        level = WRONG if row.published is None else REMARK
        words = f"{_does(flow)}, but {against}: {_does(own_flow)}"
        return level, "another ratio", words
    if _gives(flows) != _gives(own):
        words = f"{_does(coast)} coasting, but {against} and then {_does(own_coast)}"
        return WRONG, "another coast", words
    differs = {
        "lacks": order(own_flow.applied - flow.applied),
        "adds": order(flow.applied - own_flow.applied),
    }
    what = " and ".join(
        f"{does} {checks.quoted(n)}" for does, n in differs.items() if n
    )
    return REMARK, OTHER_ELEMENTS, f"gives what it should, but {what}: {against}"


def _gives(flows):
    """What must be the same for two rows to do the same."""
    return [(flow.state, flow.ratio) for flow in flows.values()]


def _does(flow):
    """What a flow does, as the rest of a sentence."""
    if flow.ratio is not None:
        return f"gives {exactly(flow.ratio)}"
    words = {OUTPUT_LOCKED: "locks the output", FREEWHEELS: "freewheels"}
    return words.get(flow.state, f"is {flow.state}")


def _marks(row, flow):
    """One-way clutches marked that do not hold, and holding ones not marked."""
    for name in row.one_way or ():
        if name in flow.overrunning:
            yield WRONG, "overruns", f'marks "{name}", but it overruns'
        elif name not in flow.holding | flow.backing_up.keys():
            yield WRONG, "carries nothing", f'marks "{name}", but it carries nothing'
    if row.one_way is not None:
        for name in flow.train.in_order(flow.holding - set(row.one_way)):
            yield WRONG, "not marked", f'does not mark "{name}", which holds'


def _idle(train, rows, row, flows):
    """Elements without which the row would give the same."""
    flow = flows["drive"]
    before = _before(train, rows, row)
    beside = [one for one in rows.values() if row is _before(train, rows, one)]
    beside += [before] if before else []
    for name in train.in_order(flow.applied):
        without = load_flows(train, flow.applied - {name})
        if _gives(without) != _gives(flows):
            continue
        words = f'would do the same without "{name}"'
        instead = train.in_order(without["drive"].holding - flow.holding)
        near = [one.name for one in beside if name in one.applied]
        if instead:
            words += f": {checks.quoted(instead)} would hold instead"
        elif near:
            words += f", which is applied in range {near[-1]} too"
        level = REMARK if instead or near or flow.state != DRIVES else WRONG
        yield level, "does nothing", words


def _praise(row, flow):
    """The sentence on a row that is correct."""
    words = f"is correct: it {_does(flow)}"
    if row.published is not None and _agrees(row, flow.ratio):
        words += ", as published"
    idle = flow.train.in_order(flow.backing_up.keys() & set(row.one_way or ()))
    if idle:
        verb = "backs" if len(idle) == 1 else "back"
        words += f"; {checks.quoted(idle)} only {verb} up what is applied"
    return words
