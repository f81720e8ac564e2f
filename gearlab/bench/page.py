"""The page of a flow: its numbers and words as plain data; it solves nothing."""

import re
from functools import lru_cache

from ..base.numerals import exactly, listed, number
from ..lab.question.prediction import ASKS, COUNTED_SENSES, SENSES, verdicts
from ..say.describe import sentences, title, way
from ..solve.facts import element_states, held_by
from ..solve.powerflow import LOAD_WORDS, a_flow
from ..train.train import CASE

_EXACT = 2**53  # up to here a page's numbers are whole


def pair(value):
    """A number as ``[numerator, denominator]``, or None.

    What a page would round is told as text: ``BigInt`` of it is the same.

    >>> from fractions import Fraction
    >>> pair(Fraction(-5, 3)), pair(Fraction(10**20))
    ([-5, 3], ['100000000000000000000', 1])
    """
    if value is None:
        return None
    whole = value.numerator, value.denominator
    return [one if abs(one) <= _EXACT else str(one) for one in whole]


def flow_page(flow):
    """What there is to say of a flow, but for pictures, as plain data.

    Parameters
    ----------
    flow : PowerFlow

    Returns
    -------
    dict; speeds are pairs in turns per input turn, the ratio is a pair in input turns
    per output turn

    Raises
    ------
    ValueError
        Something that is no flow.

    >>> import gearlab
    >>> flow = gearlab.power_flow(gearlab.load_train("five-range"), "3")
    >>> page = flow_page(flow)
    >>> page["title"], page["ratio"], page["on"][0]
    ('Range 3, under power', [38, 27], 'common-sun brake')
    """
    train, said = a_flow(flow).train, sentences(flow)
    states = element_states(flow)
    tied = flow.state == "tied up"
    drives = flow.ratio is not None
    return {
        "range": flow.range,
        "title": f"{title(flow)}, {LOAD_WORDS[flow.load]}",
        "state": flow.state,
        "ratio": pair(flow.ratio),
        "gives": f"ratio {number(flow.ratio)}" if drives else flow.state,
        "gives_exact": f"ratio {exactly(flow.ratio)}" if drives else flow.state,
        "says": [segments(train, sentence) for sentence in said],
        "rates": {body: pair(flow.speeds[body]) for body in bodies(train)},
        "bodies": _body_words(flow),
        "fights": list(train.in_order(flow.conflict or ())),
        # What fights, and that nobody is to force it; what is applied is seen.
        "stuck": " ".join(said[1:]) if tied else "",
        "elements": [states[part.name] for part in (*train.elements, *train.locks)],
        "one_ways": [
            [states[part.name], listed(flow.backing_up.get(part.name, ()), "")]
            for part in train.one_way_clutches
        ],
        "on": [
            *train.in_order(flow.applied),
            *(f"{name} holds" for name in train.in_order(flow.holding)),
        ],
        "judge": _judging(flow),
    }


def hidden_page(train):
    """A page of the same shape that tells nothing, for an answer that is hidden."""
    parts = (*train.elements, *train.locks)
    return {
        "range": None,
        "title": "",
        "state": "hidden",
        "ratio": None,
        "gives": "",
        "gives_exact": "",
        "says": [],
        "rates": dict.fromkeys(bodies(train)),
        "bodies": {body: body for body in bodies(train)},
        "fights": [],
        "stuck": "",
        "elements": ["" for _ in parts],
        "one_ways": [["", ""] for _ in train.one_way_clutches],
        "on": [],
        "judge": None,
    }


@lru_cache(maxsize=16)
def bodies(train):
    """``{body: its members}`` of all that can turn, in the order of the sets.

    A shaft without members comes last. Planets are among them.
    """
    found = {}
    for one in train.sets:
        for short in one.members:
            member = one.member(short)
            found.setdefault(train.body_of[member], []).append(member)
    for shaft in train.shafts:
        found.setdefault(shaft, [])
    found.pop(CASE, None)
    return found


def segments(train, sentence):
    """A sentence in pieces: ``[text]``, or ``[name, what it names]``.

    A shaft or member names ``"body:…"``, a holding element, lock or one-way clutch
    ``"element:…"``. Joined, the texts are the sentence.

    >>> import gearlab
    >>> segments(gearlab.load_train("five-range"), "It holds the rear carrier.")
    [['It holds the '], ['rear carrier', 'body:rear carrier'], ['.']]
    """
    pattern, meant = _named(train)
    pieces, at = [], 0
    for found in pattern.finditer(sentence):
        if found.start() > at:
            pieces.append([sentence[at : found.start()]])
        pieces.append([found[0], meant[found[0]]])
        at = found.end()
    if at < len(sentence):
        pieces.append([sentence[at:]])
    return pieces


@lru_cache(maxsize=16)
def _named(train):
    """(a pattern of every name, longer ones first; ``{name: what it names}``)."""
    meant = {name: f"element:{name}" for name in train.by_name}
    for name, body in train.body_of.items():
        if body != CASE:
            meant[name] = f"body:{body}"
    names = sorted(meant, key=len, reverse=True)
    # A name within another word, or within one with a hyphen, is no name.
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, names))})(?![\w-])"), (
        meant
    )


def _body_words(flow):
    """``{body: what it does, in a line}``."""
    holders, said = held_by(flow), {}
    for body in bodies(flow.train):
        speed = flow.speeds[body]
        if speed is None:
            does = "not determined"
        elif body in holders:
            does = f"held by {listed(holders[body])}"
        elif not speed:
            does = "stands still"
        else:
            does = f"turns {way(speed)}, {number(abs(speed))} per input turn"
        said[body] = f"{body}: {does}"
    return said


def _judging(flow):
    """What is asked before the answer is shown, and what is said to each prediction."""
    cases = {}
    for sense, found in verdicts(flow).items():
        cases[sense] = found[0].words
        if found[1:]:
            cases[sense] = [
                {"from": pair(one.low), "to": pair(one.high), "words": one.words}
                for one in found
            ]
    senses = [
        {"value": sense, "counted": sense in COUNTED_SENSES}
        for sense in SENSES[flow.load]
    ]
    return {"asks": ASKS[flow.load], "senses": senses, "cases": cases}
