"""What an instructor has at hand in a step: to say, to ask, and what helps whom.

What a class usually says, and how long a step takes, is common practice, no source; all
else is worked out on the train.
"""

from ...ask.explain import explain_count
from ...ask.rollback import roll_back
from ...ask.shifts import early_late
from ...base.numerals import listed
from ...say.describe import sentences
from ...say.setupcard import set_up_rows
from ...solve.powerflow import power_flow
from .claims import claim_of, says, sentence
from .step import Notes

MINUTES = {
    "range": 4,
    "coasting": 3,
    "neutral": 2,
    "tie-up": 3,
    "roll-back": 3,
    "shift": 3,
}
MISCOUNTS = ("turned over", "start mark", "other end")
MOST_MOVING = 4  # elements in a shift of which early and late are told


def of_range(flow, like, found):
    """Notes on a range under power, told against the flow of another one."""
    drives = flow.ratio is not None
    return Notes(
        minutes=MINUTES["range" if drives else "neutral"],
        say=tuple(sentences(flow, like)),
        ask=(*_let_go(flow), *(_other_loads(flow) if drives else ())),
        wrong=_wrong(found),
        card=set_up_rows(flow.train, flow.range),
    )


def of_coasting(flow, driving, found):
    """Notes on a range when it coasts."""
    return Notes(
        minutes=MINUTES["coasting"],
        say=tuple(sentences(flow, driving)),
        ask=_let_go(flow),
        wrong=_wrong(found),
    )


def of_tie_up(flow, found):
    """Notes on a tie-up."""
    return Notes(
        minutes=MINUTES["tie-up"],
        say=tuple(sentences(flow)),
        ask=_let_go(flow),
        wrong=_wrong(found),
    )


def of_roll_back(rolls, name, found):
    """Notes on rolling back; the other ranges are what to ask of."""
    others = tuple(
        (f"And in range {other}?", roll.words)
        for other, roll in rolls.items()
        if other != name
    )
    return Notes(
        minutes=MINUTES["roll-back"],
        say=(rolls[name].words,),
        ask=others,
        wrong=_wrong(found),
    )


def of_shift(passing, found):
    """Notes on a shift; what comes early is what to ask of."""
    asked = ()
    if len(passing.off | passing.on) <= MOST_MOVING:
        asked = tuple(
            (f"If {listed(passing.train.in_order(row.early))} moved first?", row.words)
            for row in early_late(passing)
            if len(row.early) == 1
        )
    return Notes(
        minutes=MINUTES["shift"],
        say=(passing.words, *sentences(passing.after, passing.before)),
        ask=asked,
        wrong=_wrong(found),
    )


def miscounts(step):
    """What the usual slips at the mark would count, in sentences.

    It takes much longer than all else in a step, so it stands in none.
    """
    flow = step.flow
    if step.topic != "ranges":
        return ()
    told = explain_count(flow.train, flow.range, flow.ratio).findings
    firsts = (next((n for n in told if n.kind == kind), None) for kind in MISCOUNTS)
    return tuple(one.words for one in firsts if one)


def _wrong(found):
    """What is said wrong, and what helps."""
    return tuple((one.words, one.helps) for one in found if one.slip)


def _let_go(flow):
    """What each applied element is for: what the train does without it."""
    for name in flow.train.in_order(flow.applied):
        left = power_flow(flow.train, applied=flow.applied - {name}, load=flow.load)
        same = claim_of(left) == claim_of(flow)
        gives = "the same" if same else says(*claim_of(left))
        yield f"Without the {name}?", sentence(gives)


def _other_loads(flow):
    """How a range coasts, and what it does on a hill."""
    coast = power_flow(flow.train, flow.range, load="coast")
    yield "And coasting?", sentence(says(*claim_of(coast)))
    yield "And on a hill?", roll_back(flow.train, flow.range).words
