"""Trains that are sections in a row: the ratio is the product of their factors.

The sections are found, not told: a shaft splits a train if, without it, the gear sets
fall apart into a part with the input and a part with the output.
"""

from dataclasses import dataclass, replace
from fractions import Fraction

from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..base.numerals import exactly, listed
from ..solve.equilibrium import DRIVES
from ..solve.powerflow import power_flow
from ..train.motion import free_motions
from ..train.train import CASE, Train, a_train
from .survey import survey


@dataclass(frozen=True, kw_only=True)
class Factor:
    """A ratio of one section, and the sets of its elements that give it.

    Those that a range of the chart applies come first.
    """

    ratio: Fraction
    applied: tuple[frozenset, ...]


@dataclass(frozen=True, kw_only=True)
class ProductCell:
    """A ratio of the train, and the ranges that use it; () if the chart leaves it out.

    `ratio` is None if one of the sections keeps the other from driving.
    """

    ratio: Fraction | None
    ranges: tuple[str, ...]

    @property
    def range(self):
        """The first range that uses it, or None."""
        return self.ranges[0] if self.ranges else None

    @property
    def use(self):
        """The ranges that use it, in words."""
        return listed(self.ranges, "") if self.ranges else "left out"


@dataclass(frozen=True, kw_only=True, repr=False)
class ProductTable(Brief):
    """Factors of the section before a shaft, times factors of the section after it.

    `rows` are the factors of the section with the input, `columns` of the section with
    the output; ``cells[i][j]`` belongs to ``rows[i]`` and ``columns[j]``.
    """

    train: Train
    shaft: str
    sections: tuple[Train, Train]
    rows: tuple[Factor, ...]
    columns: tuple[Factor, ...]
    cells: tuple[tuple[ProductCell, ...], ...]

    @property
    def _brief(self):
        size = f"{len(self.rows)} × {len(self.columns)} ratios"
        return f"{self.train.name}, {size} at the {self.shaft}"

    @property
    def _lead(self):
        return f"split at the {self.shaft}"

    @property
    def _heads(self):
        return ["", *(f"× {_shown(column.ratio)}" for column in self.columns)]

    @property
    def _rows(self):
        return [
            (_shown(row.ratio), *(f"{_shown(one.ratio)}: {one.use}" for one in cells))
            for row, cells in zip(self.rows, self.cells, strict=True)
        ]

    @property
    def words(self):
        """The table as lines of text: a row of ``ratio × factor`` for each factor."""
        lines = [self._lead]
        for row, cells in zip(self.rows, self.cells, strict=True):
            lines.append(f"{_shown(row.ratio)}: {listed(sorted(row.applied[0]))}")
            for column, cell in zip(self.columns, cells, strict=True):
                product = f"{_shown(column.ratio)} = {_shown(cell.ratio)}"
                lines.append(f"    × {product}: {cell.use}")
        return "\n".join(lines)


def _shown(ratio):
    return "no drive" if ratio is None else exactly(ratio)


def product_table(train):
    """The :class:`ProductTable` of a train, or None if it is no product.

    Both sections must have more than one factor. Where several shafts split a train,
    the one nearest to the input is taken.

    Parameters
    ----------
    train : Train

    Raises
    ------
    ValueError
        Something that is no train.

    >>> import gearlab
    >>> table = product_table(gearlab.load_train("five-range"))
    >>> print(table.shaft, *(str(row.ratio) for row in table.rows))
    intermediate shaft 1 2/3
    >>> for row in table.cells:
    ...     print(*(f"{cell.range}: {cell.ratio}" for cell in row), sep="  ")
    1: 17/6  3: 38/27  4: 1  R: -7/2
    2: 17/9  None: 76/81  5: 2/3  None: -7/3
    """
    for shaft, sections in _splits(a_train(train)):
        first, second = sections
        rows, ways = _factors(train, first), [second]
        if second.one_way_clutches and any(row.ratio < 0 for row in rows):
            ways.append(_turned_backward(second))
        columns = _factors(train, *ways)
        if len(rows) < 2 or len(columns) < 2:
            continue
        cells = [[_cell(train, row, column) for column in columns] for row in rows]
        return ProductTable(
            train=train,
            shaft=shaft,
            sections=sections,
            rows=rows,
            columns=columns,
            cells=tuple(map(tuple, cells)),
        )
    return None


# Sections -------------------------------------------------------------------------


def _splits(train):
    """``(shaft, (section with the input, section with the output))``, input first."""
    ends = [train.body_of[train.input], train.body_of[train.output]]
    found = []
    for shaft in dict.fromkeys(train.body_of.values()):
        if shaft in (*ends, CASE):
            continue
        before = _reached(train, ends[0], shaft)
        if ends[1] in before:
            continue
        after = {body for body in train.body_of.values() if body not in before}
        sections = (
            _section(train, before, input=train.input, output=shaft),
            _section(train, after, input=shaft, output=train.output),
        )
        if all(section is not None for section in sections):
            found.append((len(sections[0].sets), shaft, sections))
    return [split[1:] for split in sorted(found, key=lambda split: split[0])]


def _reached(train, start, without):
    """Bodies that sets and elements join to `start`, leaving out one body."""
    joins = [
        {train.body_of[one.member(short)] for short in one.members}
        for one in train.sets
    ]
    joins += [
        {train.body_of[side] for side in part.sides}
        for part in (*train.clutches, *train.one_way_clutches)
    ]
    joins = [join - {without, CASE} for join in joins]
    reached, grown = {start}, True
    while grown:
        near = set().union(*(join for join in joins if join & reached))
        grown = not near <= reached
        reached |= near
    return reached


def _section(train, bodies, *, input, output):
    """The sets and elements on some bodies as a train, or None if that is no train.

    What acts on the shaft between two sections alone belongs to the second.
    """
    ends = {train.body_of[input], train.body_of[output]}

    def within(names):
        touched = {train.body_of[name] for name in names} - {CASE}
        return touched <= bodies | ends and touched & bodies

    def inside(parts):
        return tuple(_on_bodies(train, part) for part in parts if within(part.sides))

    sets = [one for one in train.sets if within(map(one.member, one.members))]
    members = {one.member(short) for one in sets for short in one.members}
    # A body that goes by the name of a member of the other section becomes a shaft.
    shafts = {
        body: tuple(name for name in train.shafts.get(body, ()) if name in members)
        for body in train.body_of.values()
        if body in {*bodies, *ends, CASE} - members
    }
    try:
        section = Train(
            name=train.name,
            input=train.body_of[input],
            output=train.body_of[output],
            sets=tuple(sets),
            shafts=FrozenMap(shafts),
            brakes=inside(train.brakes),
            clutches=inside(train.clutches),
            one_way_clutches=inside(train.one_way_clutches),
        )
        free_motions(section)
    except ValueError:
        # It has no gear set, or shafts alone lock it: there is nothing to choose.
        return None
    return section


def _on_bodies(train, part):
    """The element between bodies, whatever members of theirs it was written with."""
    sides = {
        key: train.body_of[getattr(part, key)]
        for key in ("member", "first", "second", "against")
        if hasattr(part, key)
    }
    return replace(part, **sides)


# Factors --------------------------------------------------------------------------


def _turned_backward(section):
    """A section as it is for an input that turns backward: clutches catch otherwise."""
    clutches = (
        replace(part, member=part.against, against=part.member)
        for part in section.one_way_clutches
    )
    return replace(section, one_way_clutches=tuple(clutches))


def _factors(train, *ways):
    """The :class:`Factor` of every ratio: forward, the slowest first, then reverse.

    `ways` are a section and, where its input may turn backward, what it is then.
    """
    names = frozenset(ways[0].element_names)
    charted = {frozenset(one.applied) & names for one in train.ranges}
    sets = {}
    for row in (row for section in ways for row in survey(section).driving):
        found = sets.setdefault(row.drive.ratio, [])
        if row.applied not in found:
            found.append(row.applied)
    return tuple(
        Factor(
            ratio=ratio,
            applied=tuple(sorted(sets[ratio], key=lambda s: s not in charted)),
        )
        for ratio in sorted(sets, key=lambda ratio: (ratio < 0, -abs(ratio)))
    )


def _cell(train, row, column):
    """What two factors give together.

    A section that turns backward may leave the one-way clutches of the next without
    work, so the product is asked of the train and not taken for granted.
    """
    product = row.ratio * column.ratio
    together = [first | last for first in row.applied for last in column.applied]
    return ProductCell(
        ratio=product if any(_gives(train, one, product) for one in together) else None,
        ranges=tuple(
            one.name
            for one in train.ranges
            if frozenset(one.applied) in together
            and _gives(train, one.applied, product)
        ),
    )


def _gives(train, applied, ratio):
    flow = power_flow(train, applied=applied)
    return flow.state == DRIVES and flow.ratio == ratio
