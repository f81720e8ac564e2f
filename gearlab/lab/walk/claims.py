"""What a flow comes to, why, and what a class usually says instead.

Each wrong reason is carried out: the train is changed as the mistake has it, and the
library says what that would give. What is usual is common practice, no source.
"""

from contextlib import suppress
from dataclasses import replace
from hashlib import sha256

from ...base.numerals import listed, number
from ...draw.kit.sheet import capital
from ...solve.equilibrium import DRIVES, FREEWHEELS, NEUTRAL, OUTPUT_LOCKED, TIED_UP
from ...solve.facts import body_speeds, held_by
from ...solve.powerflow import power_flow
from ...train.train import CASE, Brake, Clutch
from ..question.slips import slip
from .step import LETTERS, Choice

SAYS = {
    "drive": {
        NEUTRAL: "nothing drives the output",
        OUTPUT_LOCKED: "the output stands still",
        TIED_UP: "the input cannot turn",
    },
    "coast": {
        NEUTRAL: "nothing turns the input",
        FREEWHEELS: "no engine braking, it freewheels",
        OUTPUT_LOCKED: "the output cannot turn",
        TIED_UP: "the output cannot turn, nor the input",
    },
}
MOST_BODIES = 2  # that are held, in a reason


def says(load, state, ratio):
    """What happens, in a few words.

    >>> from fractions import Fraction
    >>> says("drive", "drives", Fraction(-7, 2))
    'backward, 3.5 to 1'
    """
    if ratio is None:
        return SAYS[load][state]
    if load == "coast":
        return f"the engine brakes, {number(abs(ratio))} to 1"
    return f"{'forward' if ratio > 0 else 'backward'}, {number(abs(ratio))} to 1"


def sentence(words):
    """A few words as a sentence."""
    return f"{capital(words)}."


def claim_of(flow):
    """What is said of a flow, to be compared."""
    return flow.load, flow.state, flow.ratio


def true_choice(flow):
    """What is so, and why."""
    return Choice(
        says=says(*claim_of(flow)), because=reason(flow), claim=claim_of(flow)
    )


def reason(flow):
    """Why a flow is as it is, in a few words."""
    if flow.state == TIED_UP:
        fight = flow.train.in_order(flow.conflict)
        return f"{listed(fight)} {'fight' if fight[1:] else 'keeps it from turning'}"
    if flow.state == OUTPUT_LOCKED:
        holders = held_by(flow).get(flow.train.body_of[flow.train.output])
        return f"{_hold(holders)} it" if holders else "what is applied stops it"
    if flow.state == NEUTRAL:
        return "nothing passes the power on"
    if flow.state == FREEWHEELS:
        free = flow.train.in_order(flow.overrunning)
        verb = "overruns" if len(free) == 1 else "overrun"
        return f"{listed(free)} {verb}" if free else "nothing pushes back"
    held = [*_held(flow)]
    if held:
        return " and ".join(held[:MOST_BODIES])
    whole = all(speed == 1 for speed in body_speeds(flow).values())
    return "all turns as one piece" if whole else "no part is held"


def _hold(names):
    return f"{listed(names)} {'hold' if names[1:] else 'holds'}"


def _held(flow):
    """What is held by what, of all that takes torque; the case only where it alone."""
    found = held_by(flow)
    fixed = found.pop(CASE, None)
    for body, names in found.items():
        if working := [name for name in names if flow.torques.get(name) != 0]:
            yield f"{_hold(working)} the {body}"
    if fixed and not found:
        yield f"the case holds {listed(flow.train.shafts[CASE])}"


# What is often said instead ---------------------------------------------------------


def choices(true, wrong):
    """The true choice among the first three wrong ones, in an order that tells nothing.

    Wrong ones that say what is true, or what another one says, are left out; of those
    with one mistake behind them the first comes, the others only where more are needed.
    """
    found, wrong = [true], list(wrong)
    for again in (False, True):
        for one in wrong:
            known = [each for each in found if _alike(each, one)]
            made = [each for each in found if each.slip == one.slip]
            if len(found) < len(LETTERS) and not known and (again or not made):
                found.append(one)
    if len(found) < len(LETTERS):
        raise ValueError(f"no three other answers than “{true.words}” are known")
    return tuple(sorted(found, key=lambda one: sha256(one.words.encode()).digest()))


def _alike(one, other):
    return one.claim == other.claim or one.says == other.says


def wrong_choices(flow, like=None):
    """What a class says of a flow under power, what is most usual first.

    Parameters
    ----------
    flow : PowerFlow
    like : the flow of another range, which it may be taken for
    """
    train = flow.train
    for name in train.in_order(flow.holding):
        yield _otherwise(
            "the one-way clutch forgotten",
            f"nobody applies the {name}",
            power_flow(_without(train, name), applied=flow.applied),
        )
    for name, part in _free_ones(flow):
        with suppress(ValueError):
            held = power_flow(_held_there(train, part), applied=flow.applied | {name})
            yield _otherwise("turning taken for held", f"the {name} holds", held)
    yield from _clutches_as_brakes(flow)
    if like is not None:
        yield _otherwise(
            "the ratio of another range", f"it is as in range {like.range}", like
        )
    yield from _counted_wrong(flow)
    for name in train.in_order(flow.applied):
        left = power_flow(train, applied=flow.applied - {name})
        yield _otherwise(
            "the failed part forgotten", f"the {name} has no work here", left
        )
    yield from _no_drive(flow.load)


def _otherwise(name, because, flow):
    """What somebody says who makes a mistake, and what that would give."""
    return _wrong(name, because, *claim_of(flow))


def _wrong(name, because, load, state, ratio):
    return Choice(
        says=says(load, state, ratio),
        because=because,
        claim=(load, state, ratio),
        slip=name,
        helps=slip(name, None).words,
    )


def _without(train, name):
    left = tuple(one for one in train.one_way_clutches if one.name != name)
    return replace(train, one_way_clutches=left)


def _free_ones(flow):
    """(name, one-way clutch) of those that overrun beside the case."""
    for part in flow.train.one_way_clutches:
        if part.name in flow.overrunning and part.against == CASE:
            yield part.name, part


def _held_there(train, part):
    """The train with a brake in place of a one-way clutch."""
    brake = Brake(name=part.name, member=part.member)
    return replace(_without(train, part.name), brakes=(*train.brakes, brake))


def _clutches_as_brakes(flow):
    """What it would be if a clutch held its part to the case."""
    train = flow.train
    ends = {train.body_of[train.input], train.body_of[train.output]}
    for part in train.clutches:
        if part.name not in flow.applied or not isinstance(part, Clutch):
            continue
        others = tuple(one for one in train.clutches if one != part)
        for side in part.sides:
            body = train.body_of[side]
            if body in ends:
                continue
            with suppress(ValueError):
                brake = Brake(name=part.name, member=side)
                changed = replace(train, clutches=others, brakes=(*train.brakes, brake))
                yield _otherwise(
                    "a clutch taken for a held member",
                    f"the {part.name} holds the {body}",
                    power_flow(changed, applied=flow.applied),
                )


def _counted_wrong(flow):
    """The right way or size, and the other one wrong."""
    if flow.ratio is None:
        return
    round_ = "the planets turn it round" if flow.ratio > 0 else "nothing turns it round"
    yield _wrong("the lost sign", round_, flow.load, DRIVES, -flow.ratio)
    over = 1 / flow.ratio
    geared = "it is geared up" if abs(over) < 1 else "it is geared down"
    yield _wrong("input and output swapped", geared, flow.load, DRIVES, over)


def _no_drive(load):
    yield _wrong("held taken for locked", "a held part stops it",
                 load, OUTPUT_LOCKED, None)  # fmt: skip
    if load == "drive":
        yield _wrong("a path taken for cut", "the path of the power is cut",
                     load, NEUTRAL, None)  # fmt: skip
    yield _wrong("too few taken for too many", "too much is applied",
                 load, TIED_UP, None)  # fmt: skip
    if load == "drive":
        yield _wrong("a path that is cut", "input and output are joined",
                     load, DRIVES, 1)  # fmt: skip


def wrong_when_coasting(flow, driving):
    """What a class says of a range when the vehicle drives the output.

    Parameters
    ----------
    flow, driving : the PowerFlow of the range coasting, and under power
    """
    yield _wrong("drive taken for coasting", "what is applied stays applied",
                 "coast", DRIVES, driving.ratio)  # fmt: skip
    free = [part.name for part in flow.train.one_way_clutches]
    let_go = f"the {free[0]} lets go" if free else "nothing pushes back"
    yield _wrong("a path taken for cut", let_go, "coast", FREEWHEELS, None)
    geared = "it is geared the other way"
    yield _wrong("input and output swapped", geared, "coast", DRIVES,
                 1 / driving.ratio)  # fmt: skip
    yield from _no_drive("coast")
