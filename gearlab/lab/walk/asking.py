"""The steps of a class: what is asked of a range, a load, a shift, and what is so."""

from ...ask.rollback import BACKWARD, FORWARD, FREE, HELD, roll_back
from ...ask.shifts import shift
from ...base.numerals import exactly, listed, turn_count
from ...say.describe import sentences
from ...solve.equilibrium import NEUTRAL, OUTPUT_LOCKED, TIED_UP
from ...solve.powerflow import power_flow
from ..question.slips import slip
from . import notes
from .claims import (
    choices,
    says,
    sentence,
    true_choice,
    wrong_choices,
    wrong_when_coasting,
)
from .step import Choice, Step

LONGEST_NAME = 12  # letters that are seen from the back row in a corner of the screen
BOTH_ROWS = {
    "one side forgotten": "put the two rows under each other. Is that all of it?",
    "another element moved": "is that one in both rows, or in neither?",
}
ROLLS = {
    HELD: (
        "the output is held",
        "what is applied holds both ways",
        "held taken for locked",
    ),
    FREE: ("it rolls free", "nothing holds it back", "a path taken for cut"),
    BACKWARD: (
        "the input is turned backward",
        "what is applied joins them",
        "the one-way clutch forgotten",
    ),
    FORWARD: (
        "the input is turned forward",
        "the set turns it round",
        "the lost sign",
    ),
}


def applied_told(train, names):
    """What is applied, in a short sentence."""
    if not names:
        return "Nothing is applied."
    return f"Applied: {listed(train.in_order(names))}."


def range_step(train, name, like):
    """What a range does under power; `like` is a range it is told against, or None."""
    flow = power_flow(train, name)
    other = None if like is None else power_flow(train, like)
    found = choices(true_choice(flow), wrong_choices(flow, other))
    why = sentence(true_choice(flow).words)
    if flow.ratio is not None:
        why += f" One output turn takes {turn_count(abs(flow.ratio))} of the input."
    return Step(
        topic="ranges" if flow.ratio is not None else "neutral",
        name=name,
        before=flow,
        flow=flow,
        asked=f"Range {name}, under power. {applied_told(train, flow.applied)} What"
        " does the output do, and why? (Input turns to one output turn.)",
        choices=found,
        why=why,
        turns=flow.state != TIED_UP,
        notes=notes.of_range(flow, other, found),
    )


def coasting_step(train, name):
    """What a range does when the vehicle drives the output."""
    flow, driving = power_flow(train, name, load="coast"), power_flow(train, name)
    true = true_choice(flow)
    found = choices(true, wrong_when_coasting(flow, driving))
    return Step(
        topic="coasting",
        name=name,
        before=flow,
        flow=flow,
        asked=f"Range {name}, coasting: the vehicle drives the output."
        f" {applied_told(train, flow.applied)} What happens, and why?",
        choices=found,
        why=sentence(true.words),
        turns=flow.ratio is not None,
        notes=notes.of_coasting(flow, driving, found),
    )


def tie_up_step(train, names):
    """A range in which one element more ties the train up; None if there is none."""
    for name in names:
        before = power_flow(train, name)
        for extra in train.element_names:
            flow = power_flow(train, applied=before.applied | {extra})
            if flow.state == TIED_UP:
                return _tied_up(before, extra, flow, names)
    return None


def _tied_up(before, extra, flow, names):
    train = flow.train
    found = choices(true_choice(flow), _not_tied_up(before, extra, names))
    return Step(
        topic="tie-up",
        name=before.range,
        before=before,
        flow=flow,
        asked=f"Range {before.range} is set. {applied_told(train, before.applied)} Now"
        f" the {extra} is applied as well. What happens, and why?",
        choices=found,
        why=" ".join(sentences(flow)[1:]),
        turns=False,
        notes=notes.of_tie_up(flow, found),
    )


def _not_tied_up(before, extra, names):
    """What a class says of one element too many."""
    train, many = before.train, slip("too few taken for too many", None).words
    rows = [name for name in names if extra in train.range(name).applied]
    said = [(f"the {extra} has no work here", before)]
    said += [(f"the {extra} makes it range {n}", power_flow(train, n)) for n in rows]
    for because, flow in said:
        yield Choice(
            says=says(flow.load, flow.state, flow.ratio),
            because=because,
            claim=(flow.load, flow.state, flow.ratio),
            slip="too many taken for enough",
            helps=many,
        )
    for state, because in (
        (OUTPUT_LOCKED, "a held part stops it"),
        (NEUTRAL, "they let go of each other"),
    ):
        yield Choice(
            says=says("drive", state, None),
            because=because,
            claim=("drive", state, None),
            slip="too many taken for enough",
            helps=many,
        )


def roll_back_step(train, names):
    """A range against which the vehicle rolls; one in which it is held, if any."""
    rolls = {name: roll_back(train, name) for name in names}
    held = [name for name, roll in rolls.items() if roll.state == HELD]
    name = (held or names)[0]
    roll, flow = rolls[name], power_flow(train, name)
    way = "forward" if roll.way > 0 else "backward"
    holders = train.in_order(roll.held_by)
    does = "hold" if roll.state == HELD else "pass"
    verb = f"{does}{'' if holders[1:] else 's' if does == 'hold' else 'es'}"
    on = "it" if roll.state == HELD else "it on"
    true = f"{listed(holders) or 'the train itself'} {verb} {on}"
    if roll.state == FREE:
        true = ROLLS[FREE][1]
    found = tuple(
        Choice(
            says=words,
            because=true if state == roll.state else because,
            claim=state,
            slip="" if state == roll.state else named,
            helps="" if state == roll.state else slip(named, None).words,
        )
        for state, (words, because, named) in ROLLS.items()
    )
    return Step(
        topic="roll-back",
        name=name,
        before=flow,
        flow=flow,
        asked=f"Range {name} is set. {applied_told(train, flow.applied)} The vehicle"
        f" rolls {way} on a hill. What happens, and why?",
        choices=found,
        why=roll.words,
        turns=False,
        notes=notes.of_roll_back(rolls, name, found),
    )


def shift_step(train, before, after):
    """What goes off and comes on between two ranges."""
    passing = shift(train, before, after)
    names = f"{before} → {after}", f"→ {after}", after
    fitting = [name for name in names if len(name) <= LONGEST_NAME]
    found = choices(_moved(passing.off, passing.on, train), _moved_wrong(passing))
    return Step(
        topic="shifts",
        name=(*fitting, after)[0],
        before=passing.before,
        flow=passing.after,
        asked=f"Shift from range {before} to range {after}, under power. What goes off,"
        " and what comes on, by command?",
        choices=found,
        why=_besides(passing),
        turns=True,
        notes=notes.of_shift(passing, found),
    )


def _besides(passing):
    """What a shift does besides what is applied and released."""
    alone = [f"the {name} {does} by itself" for name, does in passing.by_itself.items()]
    alone += [
        f"the {name} {does} beside an applied element"
        for name, does in passing.backed_up.items()
    ]
    said = listed(alone, "") or "nothing lets go or catches by itself"
    return f"{sentence(said)} Step {exactly(passing.step)}."


def _moved(off, on, train, name=""):
    """A choice that says what goes off and what comes on."""
    sides = [
        f"{side}: {listed(train.in_order(names), '') or 'nothing'}"
        for side, names in (("off", off), ("on", on))
    ]
    return Choice(
        says=", ".join(sides),
        because="",
        claim=(frozenset(off), frozenset(on)),
        slip=name,
        helps=slip(name, None, BOTH_ROWS.get(name)).words if name else "",
    )


def _moved_wrong(passing):
    """What a class says of a shift instead."""
    train, off, on = passing.train, passing.off, passing.on
    yield _moved(on, off, train, "off and on swapped")
    alone = {**passing.by_itself, **passing.backed_up}
    lets_go = {name for name, does in alone.items() if does == "lets go"}
    catches = alone.keys() - lets_go
    yield _moved(off | lets_go, on | catches, train, "a one-way clutch applied")
    rows = passing.before.applied, passing.after.applied
    yield _moved(*rows, train, "all that is applied")
    yield _moved((), on, train, "one side forgotten")
    yield _moved(off, (), train, "one side forgotten")
    yield _moved((), off | on, train, "off and on swapped")
    yield _moved(off | on, (), train, "off and on swapped")
    for name in train.element_names:
        yield _moved(off ^ {name}, on, train, "another element moved")
