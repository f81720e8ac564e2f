"""Tooth counts as a page shows them, with the verdict on them, and as it tells them."""

from ..ask.assembly import WARNS, assembly_verdicts, whole_planet
from ..base import checks

AS_FILED, OTHERS = "as in the train file", "others"
# What a slider goes over; a count that is written may be any.
TEETH, PLANETS = (12, 120), (1, 12)


def teeth_block(filed, train, *, fixed=False):
    """The tooth counts of a train, how they may be changed, and what they mean.

    Parameters
    ----------
    filed : the train as its file has it
    train : the train with the teeth that it has now
    fixed : whether they are only told

    Returns
    -------
    dict, plain data; None for a train whose sets have no tooth counts to change
    """
    sets = [
        {"name": one.name, "counts": [_count(one, key) for key in _keys(one)]}
        for one in train.sets
        if _keys(one)
    ]
    if not sets:
        return None
    named = _named(filed)
    chosen = [name for name, one in named.items() if one.sets == train.sets]
    return {
        "sets": sets,
        "named": [*named, OTHERS],
        "chosen": chosen[0] if chosen else OTHERS,
        "verdicts": [
            f"{'⚠' if one.level == WARNS else '✓'} {one.set} {one.level}: {one.words}"
            for gear_set in train.sets
            for one in assembly_verdicts(gear_set)
        ],
        "fixed": fixed,
    }


def named_teeth(filed, name):
    """The train with the teeth of a name; ValueError names the nearest one."""
    named = _named(filed)
    return named[checks.known(name, named, "named set of teeth")]


def counted(train, given):
    """The tooth counts that a page tells, for ``Train.with_teeth``.

    What a set is not told of stays, and its planets fit where a half tooth is over.

    Parameters
    ----------
    train : Train; the present one
    given : ``{set: {key: text}}``; anything at all

    Raises
    ------
    ValueError
        Something else, or a set or count that the train has not. What is no whole
        number is left to the train to refuse.

    >>> import gearlab
    >>> train = gearlab.load_train("five-range")
    >>> counted(train, {"front": {"sun": " 33 "}})["front"]
    {'sun': 33, 'ring': 72, 'planets': 4, 'planet': 19}
    """
    if not isinstance(given, dict) or not all(
        isinstance(counts, dict) for counts in given.values()
    ):
        raise ValueError(
            f"{checks.shortened(given)} was given, but tooth counts belong here; write"
            ' them like {"front": {"sun": 36}}'
        )
    wanted = {}
    for name, written in given.items():
        one = train.set(name)
        counts = {key: _value(one, key) for key in _keys(one)}
        for key, text in written.items():
            checks.known(key, counts, f"tooth count of the {name} set")
            counts[key] = _whole(text)
        wanted[name] = counts | _planet(one, counts)
    return wanted


def _keys(gear_set):
    """The counts of a gear set that can be changed."""
    if gear_set.record.written_out:
        return []
    return [*gear_set.record.teeth, *(["planets"] if gear_set.planets else [])]


def _value(gear_set, key):
    return gear_set.planets if key == "planets" else gear_set.all_teeth[key]


def _planet(gear_set, counts):
    """The planets that fit between a sun and a ring, where a kind has them."""
    if not gear_set.record.between:
        return {}
    sun, ring, planet = gear_set.record.between
    if not all(isinstance(counts[key], int) for key in (sun, ring)):
        return {}
    return {planet: whole_planet(counts[sun], counts[ring])}


def _count(gear_set, key):
    low, high = PLANETS if key == "planets" else TEETH
    name, value = key.replace("-", " "), _value(gear_set, key)
    return {"key": key, "name": name, "value": value, "min": low, "max": high}


def _named(filed):
    """``{name: the train with the teeth of that name}``."""
    return {AS_FILED: filed} | {
        name: filed.with_teeth(teeth) for name, teeth in filed.tooth_sets.items()
    }


def _whole(written):
    """A whole number if that is what was written, else what was written as it is."""
    try:
        return int(written.strip()) if isinstance(written, str) else written
    except ValueError:
        return written
