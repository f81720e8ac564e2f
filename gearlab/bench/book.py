"""The book of a train: all that a front end needs before it asks for a page."""

from dataclasses import fields
from hashlib import sha256

from ..base import checks
from ..base.frozenmap import FrozenMap
from ..base.numerals import listed
from ..draw.kit.given import some_words
from ..draw.kit.view import COLOURINGS, ENDS
from ..draw.stick import has_stick
from ..say.describe import sentences
from ..solve.powerflow import LOAD_WORDS, LOADS, power_flow, range_flows
from ..train.train import CASE, Brake, OneWayClutch, a_train
from .look import CHART, LETTERS, LEVERS, PATH, SET
from .page import bodies
from .teeth import teeth_block
from .texts import COLOUR_WORDS, END_WORDS, LETTER_WORDS, PICTURES, texts

VERSION = 1
HIDDEN = "hidden"
LINES = range(30, 170, 10)  # letters in a line of words, where they may stand


def key_of(flow):
    """The key of a flow in a book.

    >>> import gearlab
    >>> key_of(gearlab.power_flow(gearlab.load_train("five-range"), "1"))
    'drive:3.4:1'
    """
    usable = usable_names(flow.train)
    applied = [str(i) for i, name in enumerate(usable) if name in flow.applied]
    return f"{flow.load}:{'.'.join(applied)}:{flow.range or ''}"


def flow_of(train, key):
    """The flow of a key; ValueError if the train has none of that key."""
    load, applied, name = _parts(key)
    usable = usable_names(train)
    try:
        places = [int(place) for place in applied.split(".")] if applied else []
        names = [usable[place] for place in places]
    except (ValueError, IndexError):
        raise _no_key(key) from None
    if name:
        flow = power_flow(train, name, load=load)
    else:
        flow = power_flow(train, applied=names, load=load)
    if key_of(flow) != key:
        raise _no_key(key)
    return flow


def _parts(key):
    parts = key.split(":", 2) if isinstance(key, str) else ()
    if len(parts) != 3 or parts[0] not in LOADS:
        raise _no_key(key)
    return parts


def _no_key(key):
    return ValueError(
        f"{checks.shortened(key)} is no state of the train; write it like drive:0.2:"
    )


def cover(
    train,
    *,
    filed=None,
    ends=ENDS,
    letters=tuple(LETTERS),
    colours=None,
    words=FrozenMap(),
    whole=False,
):
    """The book of a train without its pages, as plain data.

    Parameters
    ----------
    train : Train
    filed : the train as its file has it, if this one has other teeth
    ends, letters, colours : what the book can show; all colourings of the train if
        `colours` is left out
    words : what is written instead of an English text
    whole : whether all pages come with it, so that there is nothing more to ask for

    Raises
    ------
    ValueError
        Something that is no train; words that are no such mapping.
    """
    a_train(train)
    some_words(words)

    def named(values, texts):
        return [
            {"value": value, "name": words.get(texts[value], texts[value])}
            for value in values
        ]

    return {
        "version": VERSION,
        "train": mark_of(train),
        "name": train.name,
        "input": train.body_of[train.input],
        "output": train.body_of[train.output],
        "elements": [
            {"name": name, "what": _what(train.by_name[name])}
            for name in usable_names(train)
        ],
        "one_ways": [
            {"name": part.name, "what": _what(part)} for part in train.one_way_clutches
        ],
        "ranges": [_range(train, row) for row in train.ranges],
        "positions": [
            {"name": name, "ranges": list(ranges)}
            for name, ranges in train.selector.items()
        ],
        "loads": named(LOADS, LOAD_WORDS),
        "bodies": [_body(body, members) for body, members in bodies(train).items()],
        "pictures": [
            {"id": picture, "name": words.get(name, name)}
            for picture, name in _pictures(train)
        ],
        "longest": _longest(train),
        "offers": {
            "end": named(ends, END_WORDS),
            "letters": named(letters, LETTER_WORDS),
            "colours": named(colours or colourings(train), COLOUR_WORDS),
            "circulating": [0, 1],
        },
        "teeth": teeth_block(filed or train, train, fixed=whole),
        "texts": texts(words),
        "all": whole,
    }


def colourings(train):
    """What the colours of a train's pictures can say."""
    return [way for way in COLOURINGS if way != "paint" or train.paint]


def usable_names(train):
    """The names of what can be applied, in file order: the places in a book."""
    return [part.name for part in (*train.elements, *train.locks)]


def mark_of(train):
    """A short text that is another one for any other train, and for other teeth."""
    parts = [getattr(train, one.name) for one in fields(train) if one.compare]
    return sha256(repr(parts).encode()).hexdigest()[:12]


def _what(part):
    """What an element, lock or one-way clutch is between, in a line."""
    first, second = part.sides
    if isinstance(part, OneWayClutch):
        if second == CASE:
            return f"one-way clutch: the {first} never turns backward"
        if first == CASE:
            return f"one-way clutch: the {second} never turns forward"
        return f"one-way clutch: the {first} never turns slower than the {second}"
    if isinstance(part, Brake):
        return f"brake: holds the {first} to the case"
    return f"clutch: joins the {second} and the {first}"


def _range(train, row):
    applied = [i for i, name in enumerate(usable_names(train)) if name in row.applied]
    return {"name": row.name, "applied": applied}


def _body(body, members):
    others = [member for member in members if member != body]
    name = f"{body}: {listed(others, '')}" if others else body
    return {"body": body, "name": name}


def _longest(train):
    """The sentences of the ranges that take the most lines: so all find room."""
    flows = [flow for both in range_flows(train).values() for flow in both.values()]
    told = [*map(sentences, flows or [power_flow(train, applied=())])]

    def lines(found, letters):
        return sum(-(-len(one) // letters) for one in found), len(found)

    most = [max(told, key=lambda one, n=n: lines(one, n)) for n in LINES]
    return [one for at, one in enumerate(most) if one not in most[:at]]


def _pictures(train):
    """(id, English name) of every picture that there is of a train."""
    if has_stick(train):
        yield PATH, PICTURES[PATH]
    for one in train.sets:
        named = one.name.lower().endswith("set")
        yield SET + one.name, one.name if named else f"{one.name} set"
    yield LEVERS, PICTURES[LEVERS]
    if train.ranges:
        yield CHART, PICTURES[CHART]
