"""Any train as a lab asks about it: kept in the drawn numbers, and what it has.

An answer sheet keeps the whole train, so that it is marked without the train file.
"""

import json
from contextlib import suppress
from dataclasses import replace
from functools import lru_cache
from itertools import permutations, product
from random import Random

from ...ask.assembly import FITS, assembly_verdicts
from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.powerflow import power_flow
from ...train.train import CASE, a_train
from ...train.trainfile import read_train, write_train
from ..question.papers import Topics
from .common import flow_in, possible_teeth, possible_two_suns
from .failing import result, without

PIECE = 1000  # letters of a piece of a unit's text; a sheet takes no longer ones
MOST_LETTERS = 30_000  # of a unit's text, which every question of a sheet keeps
OTHERS, TRIES = 60, 400  # units with other teeth, and how often some are tried
NEAR = 3  # teeth more or less, of a set of a rarer kind
STEEPEST = 15  # input turns for one output turn that anybody wants to work out
MOST_LOST = 200  # elements times ranges of which all failures are tried


class UnitTopics(Topics):
    """Topics that are asked of any train that has a case of them."""

    def __init__(self):
        super().__init__()
        self.needs = {}

    def of(self, name, cases, lacks, *, teeth=False, **how):
        """Take the `ask` of a topic, which gets the unit and a case.

        Parameters
        ----------
        name : of the topic
        cases : takes a train and gives the dicts of which one is drawn, as a tuple
        lacks : what a train lacks that has no case, as the end of a sentence
        teeth : whether it asks of the other teeth that were drawn too
        how : what a Topic has besides
        """

        def draw(random, given):
            return dict(random.choice(_cases(cases, train_of(given))))

        def take(ask):
            self(name, _once(ask, teeth), draw=draw, **how)
            return ask

        self.needs[name] = cases, lacks
        return take

    def on(self, train):
        """(the topics that a train has, {topic name: what it lacks for the others})."""
        lacking = {
            name: lacks for name, (cases, lacks) in self.needs.items()
            if not cases(train)
        }  # fmt: skip
        topics = tuple(each for each in self if each.name not in lacking)
        return topics, FrozenMap(lacking)


def _once(ask, teeth):
    """An `ask` that makes a question once for all who drew the same case."""

    @lru_cache(maxsize=512)
    def question(unit, case):
        return ask(json.loads(case) | {"unit": unit})

    left = {"unit"} if teeth else {"unit", "teeth"}

    def asked(given):
        case = {key: value for key, value in given.items() if key not in left}
        return question(pieces_of(given), json.dumps(case))

    return asked


# Of a class that walks one unit, each student draws from the same cases.
@lru_cache(maxsize=1024)
def _cases(cases, train):
    return cases(train)


# The unit in the drawn numbers ----------------------------------------------------


def kept_unit(train):
    """The text of a train in pieces, without what no question is about.

    Raises ValueError for a train too large for a sheet, for one without a range that
    drives, and for names that differ in capitals only.
    """
    nothing = FrozenMap()
    bare = replace(
        a_train(train),
        about="",
        selector=nothing,
        solenoids=nothing,
        tooth_sets=nothing,
        set_up=nothing,
        paint=nothing,
    )
    _check_capitals(bare)
    text = write_train(bare)
    if len(text) > MOST_LETTERS:
        raise ValueError(
            f'"{train.name}" takes {len(text)} letters, but an answer sheet keeps'
            f" {MOST_LETTERS}; leave out ranges that the class does not walk"
        )
    if not driving(bare):
        raise ValueError(
            f'"{train.name}" has no range that drives the output, so there is nothing'
            " to walk through; write its rows under [ranges], and check them with"
            " check_chart"
        )
    return tuple(text[n : n + PIECE] for n in range(0, len(text), PIECE))


def _check_capitals(train):
    """Refuse names that an answer, which is read without capitals, cannot tell."""
    for names in (train.by_name, train.range_names, train.body_of):
        seen = {}
        for name in names:
            other = seen.setdefault(name.casefold(), name)
            if other != name:
                raise ValueError(
                    f'"{other}" and "{name}" differ in capitals only, but answers are'
                    " read without them; rename one of them"
                )


def pieces_of(given):
    """The text of the unit in drawn numbers; ValueError where they hold none."""
    pieces = given.get("unit")
    if not isinstance(pieces, (list, tuple)) or not all(
        isinstance(piece, str) for piece in pieces
    ):
        raise ValueError("the drawn numbers hold no unit")
    return tuple(pieces)


def train_of(given):
    """The train that drawn numbers keep; ValueError where they hold none."""
    return _read(pieces_of(given))


@lru_cache(maxsize=64)
def _read(pieces):
    return read_train("".join(pieces), "the unit of a sheet")


def draw_unit(unit, random):
    """What the lab draws: the unit, and other teeth for it, {} where none will do."""
    others = _other_teeth(train_of({"unit": unit}))
    return {"unit": list(unit), "teeth": random.choice(others) if others else {}}


def other_unit(given):
    """The train with the other teeth that were drawn."""
    return _with_teeth(
        train_of(given),
        FrozenMap({name: FrozenMap(teeth) for name, teeth in given["teeth"].items()}),
    )


@lru_cache(maxsize=256)
def _with_teeth(train, teeth):
    return train.with_teeth(teeth)


@lru_cache(maxsize=16)
def _other_teeth(train):
    """Teeth with which the unit does the same in other ratios, some of them."""
    random, found = Random(0), []
    for _ in range(TRIES):
        teeth = {}
        for one in train.sets:
            if possible := _possible(one):
                teeth[one.name] = random.choice(possible)
        if len(found) < OTHERS and teeth and teeth not in found:
            found += [teeth] if _does_the_same(train, teeth) else []
    return tuple(found)


@lru_cache(maxsize=64)
def _possible(one):
    """Teeth of a set that go together, as changes of it.

    Of the rarer kinds they lie near its own; a differential, and a set that is written
    out by its meshes, keeps what it has.
    """
    planets = one.planets or 3
    if one.kind == "simple":
        return tuple(
            {"sun": sun, "ring": ring, "planet": None}
            for sun, ring in possible_teeth(planets)
        )
    if one.kind == "two-sun":
        found = possible_two_suns(planets)
        return tuple(dict(zip(one.record.teeth, row, strict=True)) for row in found)
    return () if one.record.bevels or one.record.written_out else _near(one)


def _near(one):
    keys, found = one.record.teeth, []
    follows = dict.fromkeys(one.record.optional)
    counts = [range(one.all_teeth[k] - NEAR, one.all_teeth[k] + NEAR + 1) for k in keys]
    for row in product(*counts):
        teeth = dict(zip(keys, row, strict=True)) | follows
        with suppress(ValueError):
            changed = one.with_teeth(teeth)
            if all(each.level == FITS for each in assembly_verdicts(changed)):
                found.append(teeth)
    return tuple(found)


def _does_the_same(train, teeth):
    """Whether each range turns the same way with other teeth, and not too slowly."""
    try:
        other = train.with_teeth(teeth)
    except ValueError:
        return False
    changed = False
    for name in driving(train):
        flow, like = flow_in(other, name), flow_in(train, name)
        if flow.ratio is None or flow.ratio * like.ratio < 0:
            return False
        if (
            abs(flow.ratio) > max(STEEPEST, 2 * abs(like.ratio))
            or flow.holding != like.holding
        ):
            return False
        changed |= flow.ratio != like.ratio
    return changed


def teeth_told(train, teeth):
    """The teeth of a unit that was drawn, set by set, in sentences."""
    return " ".join(
        f"{one.name.capitalize()} set: {_counts(one)}."
        if one.name in teeth
        else f"{one.name.capitalize()} set: as in your unit."
        for one in train.sets
    )


def _counts(one):
    keys = one.record.teeth
    return ", ".join(f"{key.replace('-', ' ')} {one.all_teeth[key]}" for key in keys)


# What a train has -----------------------------------------------------------------


@lru_cache(maxsize=64)
def driving(train):
    """The ranges that drive the output under power, in the order of the chart."""
    return tuple(
        name for name in train.range_names if flow_in(train, name).state == "drives"
    )


def each_range(train):
    """A case for each range that drives."""
    return tuple({"range": name} for name in driving(train))


def parts_of(train):
    """All that is applied, holds by itself or locks, by name."""
    return tuple(train.by_name)


def members_of(train):
    """Suns, rings and carriers, set by set, without the planets."""
    return tuple(
        one.member(short)
        for one in train.sets
        for short in one.members
        if "planet" not in short and one.member(short) != CASE
    )


def applied_told(train, names):
    """What is applied, in a short sentence."""
    return f"Applied: {listed(train.in_order(names))}."


@lru_cache(maxsize=1024)
def holders(train, range, load, body):
    """The parts that could keep a body still alone, each tried without the others.

    Only those between the body and the case are tried, and that a part holds means
    that the unit does what it did.
    """
    flow = flow_in(train, range, load)
    beside = [
        name for name, part in train.by_name.items()
        if {_side(train, side) for side in part.sides} == {body, CASE}
        and (name in flow.applied or name not in (*train.element_names, *locks(train)))
    ]  # fmt: skip
    return frozenset(name for name in beside if _holds_alone(flow, body, name, beside))


def locks(train):
    """The names of the locks."""
    return tuple(part.name for part in train.locks)


def _side(train, side):
    return CASE if side == CASE else train.body_of[side]


def _holds_alone(flow, body, name, beside):
    train, others = flow.train, frozenset(beside) - {name}
    for one in others - flow.applied:
        train = without(train, one)
    alone = power_flow(train, applied=flow.applied - others, load=flow.load)
    return result(alone) == result(flow) and alone.speeds[body] == 0


@lru_cache(maxsize=64)
def neighbours(train):
    """The pairs of forward ranges between which one shifts, up and down."""
    ratios = {}
    for name in driving(train):
        ratio = flow_in(train, name).ratio
        if ratio > 0:
            ratios.setdefault(ratio, name)
    order = [ratios[ratio] for ratio in sorted(ratios, reverse=True)]
    return tuple(
        pair
        for pair in permutations(order, 2)
        if abs(order.index(pair[0]) - order.index(pair[1])) == 1
    )
