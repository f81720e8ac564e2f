"""Results in words: what a good instructor says of a range.

Everything here reads a finished flow (:mod:`gearlab.solve.powerflow`); nothing solves.
"""

from ..base.brief import words_of
from ..base.numerals import exactly, listed, number, turn_count
from ..solve.facts import body_speeds, held_by
from ..solve.powerflow import LOAD_WORDS, PowerFlow, a_flow
from ..train.train import CASE
from .onewaywords import named, one_way_sentences


@words_of.register(PowerFlow)
def describe(flow, before=None):
    """The narration of a flow, plain text in short sentences; also ``str(flow)``.

    Parameters
    ----------
    flow : PowerFlow
    before : a flow that came before; it is told what was released and applied since

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> print(describe(gearlab.power_flow(train, "4")))  # doctest: +ELLIPSIS
    Range 4, under power: the front lock clutch, ... ratio 1, direct.
    """
    return " ".join(sentences(flow, before))


def sentences(flow, before=None):
    """The sentences of :func:`describe`, as a list."""
    a_flow(flow)
    if before is not None:
        a_flow(before)
    said = [_opening(flow), _since(flow, before)]
    if flow.state == "tied up":
        said += _tied_up(flow)
    else:
        said += [
            _input(flow),
            _output(flow),
            _held(flow),
            *one_way_sentences(flow),
            _turning(flow),
            _undetermined(flow),
            _count(flow),
            _shared(flow),
        ]
    return [sentence for sentence in said if sentence]


def title(flow):
    """What a flow is called: its range, or its elements."""
    if flow.range is not None:
        return f"Range {flow.range}"
    return "This combination" if flow.applied else "Nothing applied"


def kind_of_ratio(ratio):
    """A reduction, direct, an overdrive, and whether it is in reverse."""
    size = abs(ratio)
    kind = "a reduction" if size > 1 else "an overdrive" if size < 1 else "direct"
    if ratio < 0:
        return "reverse, one to one" if size == 1 else f"{kind} in reverse"
    return kind


def way(speed):
    """The direction of a speed in words; forward is with the input."""
    return "forward" if speed > 0 else "backward" if speed < 0 else "at rest"


def _opening(flow):
    head = f"{title(flow)}, {LOAD_WORDS[flow.load]}"
    applied = flow.train.in_order(flow.applied)
    if not applied:
        return f"{head}: no clutch or brake is applied."
    return f"{head}: {listed(applied)} {'are' if applied[1:] else 'is'} applied."


def _since(flow, before):
    if before is None:
        return ""
    then = f"range {before.range}" if before.range is not None else "the last step"
    released = flow.train.in_order(before.applied - flow.applied)
    added = flow.train.in_order(flow.applied - before.applied)
    if not released and not added:
        return f"The same elements are applied as in {then}." if before.range else ""
    parts = []
    if released:
        parts.append(f"{listed(released)} {_was(released)} released")
    if added:
        parts.append(f"{listed(added)} {_was(added)} applied")
    return f"Since {then}, {' and '.join(parts)}."


def _was(names):
    return "was" if len(names) == 1 else "were"


def _tied_up(flow):
    fight = flow.train.in_order(flow.conflict)
    if len(fight) == 1:
        words = f"Tied up: {listed(fight)} alone keeps the input from turning."
    else:
        words = f"Tied up: {listed(fight)} fight each other."
    said = [words, "The input cannot turn; do not force it. Release one element."]
    if flow.speeds[flow.train.output] is None:
        said.append("The output can still turn.")
    return said


def _input(flow):
    train = flow.train
    if flow.state == "drives" and flow.load == "coast":
        braking = "the engine brakes"
        if flow.braking_only:
            braking += ", though under power nothing drives the output"
        return f"The vehicle drives {_pieces(train, train.output)}: {braking}."
    if flow.state == "freewheels":
        ends = named(train, train.output), named(train, train.input)
        return (
            f"The vehicle drives {ends[0]}, but that does not turn {ends[1]}: the train"
            " freewheels."
        )
    driven = " and drives " + _pieces(train, train.output)
    turns = f"{_capital(_pieces(train, train.input))} turns"
    return f"{turns}{driven if flow.state == 'drives' else ''}."


def _output(flow):
    end = named(flow.train, flow.train.output)
    if flow.state == "neutral":
        return f"Neutral: nothing drives {end}; at a bench, friction may drag it round."
    if flow.state == "freewheels":
        return "Nothing holds it back, so there is no engine braking."
    if flow.state == "output locked":
        holders = held_by(flow).get(flow.train.body_of[flow.train.output], [])
        if holders:
            return f"The output stands still: {listed(holders)} {_holds(holders)} it."
        if flow.applied:
            return "The output stands still: the applied elements stop it together."
        return "The output stands still whatever the input does."
    return ""


def _holds(names):
    return "holds" if len(names) == 1 else "hold"


def _held(flow):
    train, parts = flow.train, []
    for body, names in held_by(flow).items():
        names = [name for name in names if name not in flow.holding]
        if not names:
            continue
        if body == CASE:
            parts.append(f"the case holds {listed(train.shafts[CASE])}")
        elif body != train.body_of[train.output] or flow.state != "output locked":
            parts.append(f"{listed(names)} {_holds(names)} {named(train, body)}")
    return _capital("; ".join(parts) + ".") if parts else ""


def _turning(flow):
    """Who turns which way, shafts before members, in turns per input turn."""
    train, alike = flow.train, {}
    for body, speed in body_speeds(flow).items():
        if speed and body != train.body_of[train.input]:
            alike.setdefault(speed, []).append(body)
    parts = [
        f"{listed(bodies)} {number(abs(speed))} {way(speed)}"
        for speed, bodies in sorted(alike.items(), reverse=True)
    ]
    return f"While the input turns once: {'; '.join(parts)}." if parts else ""


def _undetermined(flow):
    free = [body for body, speed in body_speeds(flow).items() if speed is None]
    return f"Not determined: {listed(free)}." if free else ""


def _count(flow):
    if flow.ratio is None:
        return ""
    sense = "the same way as" if flow.ratio > 0 else "against"
    return (
        f"Turn the input {turn_count(abs(flow.ratio))} for one output turn,"
        f" {sense} the input: ratio {exactly(flow.ratio)}, {kind_of_ratio(flow.ratio)}."
    )


def _shared(flow):
    said = []
    for group, total in flow.shared.items():
        names = flow.train.in_order(group)
        words = f"{_capital(listed(names))} share their torque"
        if total is not None:
            words += f", {number(total)} of the input's in all"
        said.append(f"{words}; how much each takes is not determined.")
    return " ".join(said)


def _pieces(train, name):
    """A shaft in words, with the members that are one piece with it."""
    body = train.body_of[name]
    members = [member for member in train.members_of(body) if member != body]
    return f"the {body}" + (f" ({listed(members, '')})" if members else "")


def _capital(text):
    return text[:1].upper() + text[1:]
