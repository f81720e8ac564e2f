"""Questions about one range of any unit: what is applied, held, driven, and how far.

No sentence on a unit is written beforehand: each is worked out, as the answers are.
"""

from fractions import Fraction

from ...base.numerals import listed, number
from ...solve.facts import body_speeds, held_by
from ...solve.powerflow import LOAD_WORDS
from ...train.train import CASE
from ..question.question import Also, Choice, Number, Row
from ..question.slips import another_range, lost_sign, reciprocal, slip
from .any_unit import (
    UnitTopics,
    applied_told,
    driving,
    each_range,
    holders,
    other_unit,
    parts_of,
    teeth_told,
    train_of,
)
from .common import BACKWARD, FORWARD, STILL, WAYS, flow_in, way_of

topic = UnitTopics()


def other_ranges(train, name):
    """The other ranges that drive."""
    return tuple(each for each in driving(train) if each != name)


def rows_of_others(train, name, what, key):
    """Slips for the rows of other ranges, each named; `what` gives a row's answer."""
    words = "that is so in range {}. Which range is asked?"
    return tuple(
        slip(key, what(each), words.format(each)) for each in other_ranges(train, name)
    )


def _applied(train, name):
    return frozenset(train.range(name).applied)


# What a range is made of ----------------------------------------------------------


@topic.of("way first", each_range, "a range that drives", prediction=True)
def way_first(given):
    """A prediction: which way the output turns."""
    train, name = train_of(given), given["range"]
    flow = flow_in(train, name)
    return Choice(
        text=f"Range {name}, under power. Which way does the output turn?",
        options=tuple(WAYS.values()),
        answer=way_of(flow.ratio),
        reason=f"One output turn takes {number(abs(flow.ratio))} input turns.",
    )


@topic.of("applied elements", each_range, "a range that drives")
def applied_elements(given):
    """The elements that a range applies."""
    train, name = train_of(given), given["range"]
    flow, answer = flow_in(train, name), _applied(train, name)
    idle = [part.name for part in train.one_way_clutches]
    return Row(
        text=f"Range {name} is set. Which elements are applied?",
        options=parts_of(train),
        answer=answer,
        slips=(
            slip("a one-way clutch applied", answer | flow.holding),
            slip("a one-way clutch applied", answer | frozenset(idle)),
            *rows_of_others(
                train,
                name,
                lambda each: _applied(train, each),
                "the row of another range",
            ),
        ),
        hints=(
            "Find the row of this range in the apply chart.",
            "Count what is applied by command only. What holds by itself is no part.",
        ),
        reason="These are applied by command; anything else follows from them.",
    )


def _row_cases(train):
    found = [name for name in driving(train) if train.range(name).applied]
    return tuple({"range": name} for name in found) if len(found) > 1 else ()


@topic.of("row from the count", _row_cases, "a second range to tell it from")
def row_from_count(given):
    """A row of the apply chart from a count and a way."""
    train, name = train_of(given), given["range"]
    ratio, answer = flow_in(train, name).ratio, _applied(train, name)
    alike = [each for each in other_ranges(train, name)
             if flow_in(train, each).ratio == ratio]  # fmt: skip
    words = "range {} has that count too."
    return Row(
        text=f"Your own unit. One output turn takes {number(abs(ratio))} input turns."
        f" The output turns {way_of(ratio)}. What does that row of the apply chart"
        " apply?",
        options=parts_of(train),
        answer=answer,
        also=tuple(
            Also(answer=_applied(train, each), words=words.format(each))
            for each in alike
        ),
        slips=tuple(
            slip("the row of another range", _applied(train, each),
                 f"those give range {each}. Does its output turn so far?")
            for each in other_ranges(train, name) if each not in alike
        ),
        hints=(
            "Which way does the output turn, and is it slower than the input?",
            "Leave out the rows that are too low or too high. Try those left.",
        ),
        reason="With these applied the unit gives that count.",
    )  # fmt: skip


# What holds -----------------------------------------------------------------------


def _bodies(train, name, load="drive"):
    """{part that turns as one piece: its speed}, where that is settled."""
    speeds = body_speeds(flow_in(train, name, load))
    return {body: speed for body, speed in speeds.items() if speed is not None}


def _still(train, name, load="drive"):
    return frozenset(b for b, speed in _bodies(train, name, load).items() if not speed)


def _still_cases(train):
    return tuple(
        {"range": name} for name in driving(train) if len(_bodies(train, name)) > 2
    )


@topic.of("what stands still", _still_cases, "a third part that could stand still")
def what_stands_still(given):
    """The parts that stand still in a range, under power."""
    train, name = train_of(given), given["range"]
    options, answer = tuple(_bodies(train, name)), _still(train, name)
    joined = frozenset(
        train.body_of[side]
        for part in train.clutches if part.name in train.range(name).applied
        for side in part.sides
    )  # fmt: skip
    flow = flow_in(train, name)
    held = [
        f"The {body} is held by {listed(names)}."
        for body, names in held_by(flow).items()
        if body in answer
    ]
    return Row(
        text=f"Range {name}, under power, the output loaded."
        f" {applied_told(train, flow.applied)} Which parts stand still?",
        options=options,
        answer=answer,
        slips=(
            slip("a clutch taken for a held member", joined & frozenset(options)),
            slip("coasting taken for drive",
                 _still(train, name, "coast") & frozenset(options)),
            *rows_of_others(
                train, name, lambda each: _still(train, each) & frozenset(options),
                "the held parts of another range",
            ),
        ),
        hints=(
            "Go along the applied brakes. Which drum does each one hold?",
            "Then look for a part that something else keeps from turning.",
        ),
        reason=" ".join(held) or "No brake and no one-way clutch holds a part here.",
    )  # fmt: skip


def _holder_cases(train):
    brakes = [part.name for part in (*train.brakes, *train.locks)]
    if len(brakes) + len(train.one_way_clutches) < 2:
        return ()
    return tuple(
        {"range": name, "load": load, "part": body}
        for name in driving(train)
        for load in LOAD_WORDS
        if flow_in(train, name, load).state == "drives"
        for body in held_by(flow_in(train, name, load))
        if body != CASE and holders(train, name, load, body)
    )


@topic.of("what holds it", _holder_cases, "two brakes or one-way clutches to tell")
def what_holds_it(given):
    """What could hold a part alone, each tried with the others let go."""
    train, name, load = train_of(given), given["range"], given["load"]
    part, answer = given["part"], holders(train, name, load, given["part"])
    flow = flow_in(train, name, load)
    one_ways = frozenset(each.name for each in train.one_way_clutches)
    beside = frozenset(
        each.name for each in train.one_way_clutches
        if {train.body_of.get(side, side) for side in each.sides} == {part, CASE}
    )  # fmt: skip
    options = [each.name for each in (*train.brakes, *train.locks)]
    others = held_by(flow)
    return Row(
        text=f"Range {name}, {LOAD_WORDS[load]}. {applied_told(train, flow.applied)}"
        f" The {part} stands still. Which of these can hold it so? Tick each that"
        " could do it alone.",
        options=(*options, *train.in_order(one_ways)),
        answer=answer,
        slips=(
            slip("what backs up forgotten", answer - one_ways),
            slip("a push the other way", answer | beside),
            slip("what is released counted", answer | _brakes_at(train, part),
                 "one of these is not applied. What does it hold then?"),
            *(
                slip("another held part", frozenset(names) & {*options, *one_ways},
                     f"that is about the {body}. Which part is asked?")
                for body, names in others.items()
                if body not in (part, CASE)
            ),
        ),
        hints=(
            "An applied brake holds both ways. Which one is on this part?",
            "A one-way clutch holds one way. Which way is the part pushed?",
        ),
        reason="Let go of the others: each of these alone keeps it still.",
    )  # fmt: skip


def _brakes_at(train, part):
    brakes = (*train.brakes, *train.locks)
    return frozenset(b.name for b in brakes if train.body_of[b.member] == part)


# Which way and how far ------------------------------------------------------------


@topic.of("direction", each_range, "a range that drives")
def direction(given):
    """The way of the output with some elements applied."""
    train, name = train_of(given), given["range"]
    ratio = flow_in(train, name).ratio
    wrong = BACKWARD if ratio > 0 else FORWARD
    return Choice(
        text=f"{applied_told(train, train.range(name).applied)} The input turns"
        " forward, the output is loaded. Which way does the output turn?",
        options=tuple(WAYS.values()),
        answer=way_of(ratio),
        slips=(
            slip("the wrong way", wrong,
                 "turn the input a little. Which way does the mark set off?"),
            slip("held taken for locked", STILL,
                 "a held part does not stop the output. Where does its motion go?"),
        ),
        hints=(
            "Find what is held, and what turns with the input.",
            "Go from set to set. Does a gear turn the motion round?",
        ),
        reason=f"This is range {name}.",
    )  # fmt: skip


def _count_cases(train):
    """Ranges that are not direct, where there are some."""
    found = each_range(train)
    slow = [one for one in found if abs(flow_in(train, one["range"]).ratio) != 1]
    return tuple(slow) or found


@topic.of("count", _count_cases, "a range that drives", teeth=True, marks=2)
def count(given):
    """How many input turns make one output turn, with other teeth."""
    train, name = train_of(given), given["range"]
    other = other_unit(given)
    ratios = {each: flow_in(other, each).ratio for each in driving(train)}
    answer, own = ratios.pop(name), flow_in(train, name).ratio
    within = Fraction(1, 50) if abs(answer) < 2 else Fraction(1, 20)
    said = f"Another unit, built alike. {teeth_told(other, given['teeth'])}"
    slips = (
        reciprocal(answer),
        lost_sign(answer),
        slip("the teeth of another unit", own,
             "that is the unit on the panel. Which teeth are asked?"),
        *another_range(ratios),
    )  # fmt: skip
    return Number(
        text=f"{said if given['teeth'] else 'Your own unit.'} Take range {name} under"
        " power. How many input turns make one output turn? Write a minus for"
        " backward.",
        answer=answer,
        within=within,
        unit="turns",
        # Another unit may bring a slip so near to the answer that it is none.
        slips=tuple(s for s in slips if abs(s.answer - answer) > 2 * within),
        hints=(
            "Find what is held, and which sets work. Leave out the others.",
            "Turn the output once in your mind, and go back to the input.",
        ),
        reason="The teeth of the sets that work give it.",
    )


def _turning_back(train, name):
    speeds = _bodies(train, name)
    return frozenset(body for body, speed in speeds.items() if speed < 0)


def _reverse_cases(train):
    return tuple(
        {"range": name} for name in driving(train) if flow_in(train, name).ratio < 0
    )


@topic.of("reverse", _reverse_cases, "a reverse")
def reverse(given):
    """The parts that turn backward in a reverse range."""
    train, name = train_of(given), given["range"]
    options, answer = tuple(_bodies(train, name)), _turning_back(train, name)
    others = [
        slip("another range taken", _turning_back(train, each) & frozenset(options),
             f"that is so in range {each}. Which range is asked?")
        for each in other_ranges(train, name)
    ]  # fmt: skip
    return Row(
        text=f"Range {name}, under power."
        f" {applied_told(train, train.range(name).applied)} Which parts turn backward,"
        " against the input?",
        options=options,
        answer=answer,
        slips=(
            slip("forward and backward swapped",
                 frozenset(options) - answer - _still(train, name),
                 "those turn with the input. The others are asked."),
            slip("held taken for turning", answer | _still(train, name),
                 "one of these stands still. Which one?"),
            *others,
        ),
        hints=(
            "Begin at the input, and go to the first part that is held.",
            "At each working set ask: does its output turn round?",
        ),
        reason=f"The {train.body_of[train.output]} is one of them: that is reverse.",
    )  # fmt: skip
