"""A train: gear sets, shafts, holding elements, one-way clutches and ranges.

Everything here is frozen and checked when it is made. Members are named
``"<set> <member>"``; a shaft is a name for members that are one piece.
"""

from copy import copy
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from ..base import checks
from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from .gearset import GearSet

CASE = "case"
# Far above any unit; up to here every answer comes in two seconds.
MOST_SETS, MOST_ELEMENTS, MOST_ONE_WAYS, MOST_RANGES = 20, 40, 16, 100


@dataclass(frozen=True, kw_only=True)
class Brake:
    """A band or disc pack that holds `member` to the case; a lock is one too."""

    name: str
    member: str

    @property
    def sides(self):
        """The side on which its torque is counted, and the other."""
        return self.member, CASE


@dataclass(frozen=True, kw_only=True)
class Clutch:
    """Joins two members; its torque is counted on the second."""

    name: str
    first: str
    second: str

    @property
    def sides(self):
        """The side on which its torque is counted, and the other."""
        return self.second, self.first


@dataclass(frozen=True, kw_only=True)
class OneWayClutch:
    """Never lets `member` turn slower than `against` (which may be the case)."""

    name: str
    member: str
    against: str

    @property
    def sides(self):
        """The side on which its torque is counted, and the other."""
        return self.member, self.against


@dataclass(frozen=True, kw_only=True)
class Range:
    """One row of the apply chart, with the ratio that somebody published for it."""

    name: str
    applied: tuple[str, ...]
    published: Decimal | None = None
    after: str | None = None


@dataclass(frozen=True, kw_only=True, repr=False)
class Train(Brief):
    """A gear train with its apply chart.

    Raises ValueError, with what was given, the rule and the way out, for names that
    are not there or used twice, members joined twice, and tooth counts that no set
    can have. Train files are read by :mod:`gearlab.train.trainfile`.
    """

    name: str
    input: str
    output: str
    sets: tuple[GearSet, ...]
    about: str = ""
    shafts: FrozenMap = FrozenMap()  # shaft or "case": tuple of members
    brakes: tuple[Brake, ...] = ()
    clutches: tuple[Clutch, ...] = ()
    locks: tuple[Brake, ...] = ()
    one_way_clutches: tuple[OneWayClutch, ...] = ()
    ranges: tuple[Range, ...] = ()
    selector: FrozenMap = FrozenMap()  # position: tuple of range names
    solenoids: FrozenMap = FrozenMap()  # solenoid: ranges in which it is on
    tooth_sets: FrozenMap = FrozenMap()  # name: {set: {key: count}}
    set_up: FrozenMap = FrozenMap()  # range: {key: text}
    paint: FrozenMap = FrozenMap()  # member or shaft: colour
    body_of: FrozenMap = field(init=False, compare=False, repr=False)

    def __post_init__(self):
        checks.name(self.name, "the train")
        _check_sizes(self)
        _check_names(self)
        object.__setattr__(self, "body_of", FrozenMap(_bodies(self)))
        for which in ("input", "output"):
            try:
                where = getattr(self, which)
                a_member(where, self.body_of)
            except ValueError as error:
                raise ValueError(f"{which}: {error}") from None
            if self.body_of[where] == CASE:
                raise ValueError(
                    f'the {which} is "{where}", which is fixed to the case, but it must'
                    " be able to turn; take it out of [shafts] case"
                )
        if self.body_of[self.input] == self.body_of[self.output]:
            raise ValueError(
                f'input "{self.input}" and output "{self.output}" are one piece, but a'
                " train needs two; name another output"
            )
        for element in (*self.elements, *self.locks, *self.one_way_clutches):
            _check_sides(self, element)
        _check_ranges(self)

    # A train is the key of every cache, so its hash is worked out once; text hashes
    # differ between processes, so it is not pickled.
    @cached_property
    def _hash(self):
        return hash((self.name, self.sets, self.shafts, self.elements, self.ranges))

    def __hash__(self):
        return self._hash

    @property
    def _brief(self):
        return f"{self.name}, {len(self.sets)} sets, {len(self.ranges)} ranges"

    @property
    def words(self):
        """What it is made of: its gear sets with their teeth, elements and ranges."""
        said = [f"{self.name}. {self.about}".strip()]
        for one in self.sets:
            teeth = [f"{key} {count}" for key, count in one.all_teeth.items()]
            said.append(f"{one.name} set, {one.kind}: {', '.join(teeth)}")
        for what, names in (
            ("brakes", [part.name for part in self.brakes]),
            ("clutches", [part.name for part in self.clutches]),
            ("locks", [part.name for part in self.locks]),
            ("one-way clutches", [part.name for part in self.one_way_clutches]),
            ("ranges", self.range_names),
        ):
            if names:
                said.append(f"{what}: {', '.join(names)}")
        return "\n".join(said)

    def __getstate__(self):
        return {key: value for key, value in vars(self).items() if key != "_hash"}

    @property
    def elements(self):
        """The holding elements in file order, brakes first."""
        return self.brakes + self.clutches

    @property
    def element_names(self):
        """The names of the holding elements, in file order."""
        return tuple(element.name for element in self.elements)

    @cached_property
    def by_name(self):
        """Every element, lock and one-way clutch by its name, in file order."""
        parts = (*self.elements, *self.locks, *self.one_way_clutches)
        return {part.name: part for part in parts}

    @property
    def range_names(self):
        """The ranges in the order of the apply chart."""
        return tuple(row.name for row in self.ranges)

    def range(self, name):
        """The :class:`Range` of that name; ValueError names the nearest one."""
        checks.known(name, self.range_names, "range")
        return next(row for row in self.ranges if row.name == name)

    def set(self, name):
        """The :class:`GearSet` of that name; ValueError names the nearest one."""
        checks.known(name, [one.name for one in self.sets], "gear set")
        return next(one for one in self.sets if one.name == name)

    def members_of(self, body):
        """The members that are one piece with a shaft or member, in file order."""
        body = self.body_of[body]
        return tuple(
            one.member(short)
            for one in self.sets
            for short in one.members
            if self.body_of[one.member(short)] == body
        )

    def in_order(self, names):
        """Names of elements, locks and one-way clutches, put in file order."""
        names = set(names)
        return tuple(name for name in self.by_name if name in names)

    def with_teeth(self, changes):
        """A copy with other tooth counts.

        `changes` is ``{set: {"sun": count, "planets": count, ...}}``; a named tooth
        set of the train can be given as it is. ValueError if the teeth cannot be.

        >>> import gearlab
        >>> train = gearlab.load_train("five-range")
        >>> train.with_teeth({"front": {"sun": 36}}).set("front").all_teeth["planet"]
        18
        """
        for name in changes:
            self.set(name)
        sets = tuple(
            one.with_teeth(changes[one.name]) if one.name in changes else one
            for one in self.sets
        )
        return self.with_sets(sets)

    def with_sets(self, sets):
        """A copy with other sets of the same names and members, in the same order.

        Raises ValueError for sets of other names or members.
        """
        for one, other in zip(self.sets, sets, strict=True):
            if (one.name, one.members) != (other.name, other.members):
                raise ValueError(
                    f"{other.name} was given for {one.name}, but a set in its place has"
                    " its name and members; build another Train"
                )
        # Names, and what is joined, stay as they were checked, so no more is made anew.
        changed = copy(self)
        object.__setattr__(changed, "sets", tuple(sets))
        return changed


def a_train(train):
    """Return what is given as a train if it is one, else raise ValueError."""
    named = train if isinstance(train, str) else "five-range"
    way_out = f"write gl.load_train({checks.shortened(named)})"
    return checks.given(train, Train, "a train", way_out)


def a_member(name, names, what="member or shaft"):
    """Return `name` if it is one of `names`, else raise ValueError.

    Of a member without its set, such as "sun", the sentence says which there are.
    """
    whole = [one for one in names if isinstance(name, str) and one.endswith(f" {name}")]
    if name not in names and len(whole) > 1:
        raise ValueError(
            f"no {what} {checks.shortened(name)}; a member goes by its set too, so"
            f" write one of {checks.quoted(whole[:20])}"
        )
    return checks.known(name, names, what)


def _check_sizes(train):
    """Refuse what is far larger than any unit and would be worked on for minutes."""
    for things, most, what in (
        (train.sets, MOST_SETS, "gear sets"),
        (train.elements + train.locks, MOST_ELEMENTS, "brakes, clutches and locks"),
        (train.one_way_clutches, MOST_ONE_WAYS, "one-way clutches"),
        (train.ranges, MOST_RANGES, "ranges"),
    ):
        checks.at_most(things, most, what)


def _check_names(train):
    """Refuse a name that stands for two things."""
    seen = {"case": "the case", "input": "the input", "output": "the output"}
    named = [(one.name, "a gear set") for one in train.sets]
    named += [
        (one.member(short), "a member") for one in train.sets for short in one.members
    ]
    named += [(shaft, "a shaft") for shaft in train.shafts if shaft != CASE]
    named += [(part.name, "an element") for part in (*train.elements, *train.locks)]
    named += [(part.name, "a one-way clutch") for part in train.one_way_clutches]
    named += [(solenoid, "a solenoid") for solenoid in train.solenoids]
    if not train.sets:
        raise ValueError("the train has no gear set; write at least one under [sets]")
    for name, what in named:
        checks.name(name, what)
        if name in seen:
            raise ValueError(
                f'"{name}" names {seen[name]} and {what}, but a name stands for one'
                " thing; rename one of them"
            )
        seen[name] = what


def _bodies(train):
    """{member or shaft: the body that it is a piece of}."""
    members = [one.member(short) for one in train.sets for short in one.members]
    body_of = {}
    for shaft, joined in train.shafts.items():
        for member in joined:
            try:
                a_member(member, members, "member")
            except ValueError as error:
                raise ValueError(f'shafts."{shaft}": {error}') from None
            if member in body_of:
                raise ValueError(
                    f'shafts."{shaft}": "{member}" is already part of'
                    f' "{body_of[member]}", but a member is part of one shaft; join'
                    " the two shafts in one line"
                )
            body_of[member] = shaft
    for one in train.sets:
        for first, second in one.record.one_piece:
            first, second = one.member(first), one.member(second)
            shafts = {body_of[name] for name in (first, second) if name in body_of}
            if len(shafts) > 1:
                raise ValueError(
                    f'"{first}" and "{second}" are one piece, but they are part of'
                    f" {checks.quoted(sorted(shafts))}; join the two in one line"
                )
            body = min(shafts, default=first)
            body_of |= {first: body, second: body}
    for member in members:
        body_of.setdefault(member, member)
    return body_of | {shaft: shaft for shaft in train.shafts} | {CASE: CASE}


def _check_sides(train, part):
    for side in part.sides:
        try:
            a_member(side, train.body_of)
        except ValueError as error:
            raise ValueError(f'"{part.name}": {error}') from None
    first, second = part.sides
    if train.body_of[first] == train.body_of[second]:
        raise ValueError(
            f'"{part.name}" is between "{first}" and "{second}", which are one piece,'
            " but it must be between two; name another member"
        )


def _check_ranges(train):
    usable = [part.name for part in (*train.elements, *train.locks)]
    for row in train.ranges:
        checks.name(row.name, "a range")
        if train.range_names.count(row.name) > 1:
            raise ValueError(
                f'two ranges are named "{row.name}", but a name stands for one range;'
                " rename one of them"
            )
        try:
            for name in row.applied:
                if name in [part.name for part in train.one_way_clutches]:
                    raise ValueError(
                        f'"{name}" is a one-way clutch, which holds by itself and is'
                        " never applied; take it out of the row"
                    )
                checks.known(name, usable, "element")
            if row.after is not None:
                checks.known(row.after, train.range_names, "range")
        except ValueError as error:
            raise ValueError(f'ranges."{row.name}": {error}') from None
    # Solenoids are told beside the chart and are no part of the gear train.
    tables = {"selector": train.selector, "solenoids": train.solenoids}
    for table, rows in (tables | {"set-up": train.set_up}).items():
        for key, value in rows.items():
            try:
                for name in value if table in tables else [key]:
                    checks.known(name, train.range_names, "range")
            except ValueError as error:
                raise ValueError(f'{table}."{key}": {error}') from None
    for name, colour in train.paint.items():
        try:
            checks.known(name, train.body_of, "member or shaft")
            checks.colour(colour, name)
        except ValueError as error:
            raise ValueError(f"paint: {error}") from None
