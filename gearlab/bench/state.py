"""The state of a bench, and how each thing that a person does changes it."""

from dataclasses import dataclass, replace
from fractions import Fraction

from ..ask.faults.fault import Fault
from ..base import checks
from ..base.reading import exact, read_number
from ..lab.question.prediction import COUNTED_SENSES, Prediction, judge
from ..solve.powerflow import LOADS, PowerFlow, power_flow
from ..train.train import Train, a_train
from .book import key_of, usable_names
from .fault import VEIL, acting, some_fault
from .teeth import named_teeth

MOST_TURNS = 1_000_000
# A count of turns stays a pair of numbers that a page can hold exactly.
FINEST_TURN = 1_000_000_000


@dataclass(frozen=True, kw_only=True)
class BenchState:
    """A train on the bench: what is applied, how far it turned, and what is hidden.

    `position` and `range` are None where the elements were set by hand and no range
    of the apply chart is like it. `turns` are input turns, negative backward. `filed`
    is the train with the teeth of its file.
    `sentence` can stand over the answer, and does while it is `covered`. `shown` is the
    key of the flow whose answer was shown after a prediction, `answer` what was said
    then. With a `fault` in the train, `flow` is what the controls ask for; `veil` is ""
    once the fault was told.
    """

    train: Train
    flow: PowerFlow
    filed: Train
    position: str | None
    turns: Fraction = Fraction(0)
    predict: bool = False
    sentence: str = ""
    covered: bool = False
    shown: str = ""
    answer: str = ""
    fault: Fault | None = None
    veil: str = ""

    @property
    def acting(self):
        """The flow as it is in truth, with the fault if there is one."""
        return acting(self.flow, self.fault) if self.fault else self.flow

    @property
    def range(self):
        """The range that the applied elements make, or None."""
        return self.flow.range

    @property
    def key(self):
        """The key of the flow in a book."""
        return key_of(self.flow) + self.veil

    @property
    def hidden(self):
        """Whether the answer waits for a prediction, or lies under its cover."""
        return self.covered or (self.predict and self.shown != self.key)

    @property
    def can_turn(self):
        """Whether the input turns at all."""
        return self.acting.state != "tied up"


def opened(train, name=None, *, predict=False, covered="", fault=None):
    """The state that a panel opens with: a range, or the first that drives forward.

    ValueError names the nearest range if there is none of that name, and says what
    `predict`, the sentence `covered` and `fault` must be.
    """
    if not isinstance(covered, str):
        raise ValueError(
            f"covered is {covered!r}, but it must be the sentence that stands over the"
            ' answer; write it like "Answer question 2 first."'
        )
    if not isinstance(predict, bool):
        raise ValueError(
            f"predict is {checks.shortened(predict)}, but it must be True or False;"
            " write predict=True to have the answer hidden"
        )
    flow = None if name is None else power_flow(train, name)
    if flow is None:
        flows = [power_flow(train, row) for row in a_train(train).range_names]
        forward = [one for one in flows if one.ratio and one.ratio > 0]
        flow = next(iter(forward or flows), None) or power_flow(train, applied=())
    return BenchState(
        train=train,
        flow=flow,
        filed=train,
        position=position_of(train, flow.range),
        predict=predict,
        sentence=covered,
        covered=bool(covered),
        fault=None if fault is None else some_fault(train, fault),
        veil="" if fault is None else VEIL,
    )


# What a person does ---------------------------------------------------------------


def to_range(state, name):
    """The state in another range."""
    flow = power_flow(state.train, name, load=state.flow.load)
    return _with_flow(state, flow)


def stepped(state, by):
    """The state some ranges further in the apply chart, if there are as many."""
    names = state.train.range_names
    if not names:
        raise ValueError("the train has no ranges; write them under [ranges]")
    at = names.index(state.range) + by if state.range else 0
    name = names[min(max(at, 0), len(names) - 1)]
    return state if name == state.range else to_range(state, name)


def to_position(state, position):
    """The state in a selector position: its first range, or the present one."""
    allowed = state.train.selector[
        checks.known(position, state.train.selector, "selector position")
    ]
    name = state.range if state.range in allowed else allowed[0]
    return replace(to_range(state, name), position=position)


def with_element(state, name, on):
    """The state with one element applied or released."""
    checks.known(name, usable_names(state.train), "element")
    applied = state.flow.applied | {name} if on else state.flow.applied - {name}
    return _refigured(state, state.train, applied, state.flow.load)


def with_load(state, load):
    """The state under another load."""
    checks.known(load, LOADS, "load")
    return _refigured(state, state.train, state.flow.applied, load)


def with_teeth(state, changes):
    """The state with other tooth counts; ValueError if a set cannot have them."""
    return _on_train(state, state.train.with_teeth(changes))


def with_named_teeth(state, name):
    """The state with teeth that have a name; ValueError names the nearest one."""
    return _on_train(state, named_teeth(state.filed, name))


def with_train(state, train):
    """The state of another train that has the same parts and ranges, as filed.

    If it is another one than was filed, the answer is covered again.
    """
    if _controlled(a_train(train)) != _controlled(state.train):
        raise ValueError(
            f'"{train.name}" has other parts than the train of this panel, so it does'
            " not fit; run the cell of the panel again"
        )
    covered = state.covered or (train != state.filed and bool(state.sentence))
    return replace(_on_train(state, train), filed=train, covered=covered)


def turned_to(state, turns):
    """The state with the input at so many turns; it stops at the last it counts.

    `turns` is a number, or text as people write it. ValueError if it is neither, or
    if the train is tied up.
    """
    if not state.can_turn:
        raise ValueError(
            "the train is tied up, so the crank does not turn; release one of the"
            " elements that fight"
        )
    if isinstance(turns, str):
        turns = read_number(turns)
    turns = exact(turns, "the input", "count of turns")
    turns = min(max(turns, Fraction(-MOST_TURNS)), Fraction(MOST_TURNS))
    return replace(state, turns=turns.limit_denominator(FINEST_TURN))


def one_output_turn(state):
    """The input turns that make one output turn; ValueError if nothing drives it."""
    if state.acting.ratio is None:
        raise ValueError(
            f"the train is {state.acting.state}, so no count of input turns makes one"
            " output turn; take a range that drives"
        )
    return abs(state.acting.ratio)


def predicted(state, sense, count=None):
    """The state after a prediction: it is judged, and the answer shown.

    Parameters
    ----------
    state : BenchState
    sense : one of ``SENSES`` of the load, :mod:`gearlab.lab.question.prediction`
    count : input turns for one output turn, a number or text as people write it; it is
        not read where nothing turns

    Raises
    ------
    ValueError
        Nothing, or nothing of this load, is predicted; no count can be read.
    """
    counted = sense in COUNTED_SENSES and count not in (None, "")
    said = Prediction(sense=sense, count=read_number(count) if counted else None)
    return replace(state, shown=state.key, answer=judge(state.acting, said))


def revealed(state, words=""):
    """The state with the answer in the open; `words` say what was predicted."""
    if not isinstance(words, str):
        raise ValueError(
            f"{checks.shortened(words)} was given, but words belong here, of what was"
            " predicted; leave them out"
        )
    return replace(state, covered=False, shown=state.key, answer=words)


def fault_told(state):
    """The state with the fault that was hidden told; ValueError where none is."""
    if state.fault is None:
        raise ValueError(
            "no fault is hidden in this bench; write Bench(train, fault=...) with one"
            " of gl.faults(train)"
        )
    return replace(state, veil="", shown="", answer="")


def covered_again(state):
    """The state with the answer hidden as it was when the panel was made."""
    return replace(state, covered=bool(state.sentence), shown="", answer="")


# What follows from a change ---------------------------------------------------------


def flow_with(train, name, applied, load):
    """The flow of applied elements, in the range that they make if it has a name."""
    if name is None:
        return power_flow(train, applied=applied, load=load)
    return power_flow(train, name, load=load)


def _refigured(state, train, applied, load):
    """The state of changed elements, teeth or load, with the range it makes."""
    name = range_of(train, applied, state.range)
    return _with_flow(state, flow_with(train, name, applied, load))


def _on_train(state, train):
    """The state on another train; an answer that was shown was that of the last."""
    if train == state.train:
        return state
    if state.fault:
        raise ValueError(
            "a fault is in this unit, so its teeth stay; make another bench without"
            " it, or with other teeth"
        )
    changed = _refigured(state, train, state.flow.applied, state.flow.load)
    return replace(changed, train=train, shown="", answer="")


def _with_flow(state, flow):
    """The state with another flow; what was said of the last is no longer said."""
    position = position_of(flow.train, flow.range, state.position)
    changed = replace(state, flow=flow, position=position)
    return changed if changed.key == state.key else replace(changed, answer="")


def _controlled(train):
    """What the controls of a panel are made for."""
    return (
        [(one.name, one.kind, one.planets is None) for one in train.sets],
        usable_names(train),
        train.range_names,
        train.selector,
    )


def range_of(train, applied, present):
    """The range with just these elements; the present one if it has them."""
    names = [row.name for row in train.ranges if set(row.applied) == applied]
    return present if present in names else next(iter(names), None)


def position_of(train, name, present=None):
    """A selector position that allows a range; the present one if it does."""
    allowing = [place for place, names in train.selector.items() if name in names]
    return present if present in allowing else next(iter(allowing), None)
