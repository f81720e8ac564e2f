"""Lab 14, walk a unit: the questions of the range labs, asked of any train file.

Without a train it is the five-range unit. The drawn numbers keep the unit, so that a
sheet is marked without its train file.
"""

from functools import lru_cache, partial

from ...base.frozenmap import FrozenMap
from ..question.papers import Lab
from . import unit_changes, unit_loads, unit_ranges
from .any_unit import draw_unit, kept_unit, pieces_of, train_of
from .common import load

TRAIN, TITLE = "five-range", "Walk your unit"


def on_unit(train):
    """The :class:`Lab` on a train.

    Topics that the train has no question for are left out, and said.

    Raises
    ------
    ValueError
        Something that is no train, one too large for a sheet, or one without a range
        that drives.
    """
    return _lab(kept_unit(train), train)


def on_kept(given):
    """The :class:`Lab` on the unit that drawn numbers keep; ValueError if none is."""
    return _lab_of(pieces_of(given))


@lru_cache(maxsize=64)
def _lab_of(pieces):
    kept = train_of({"unit": pieces})
    return _lab(kept_unit(kept), kept)


@lru_cache(maxsize=64)
def _lab(unit, shown):
    kept = train_of({"unit": unit})
    topics, lacking = [], {}
    for asked in (unit_ranges.topic, unit_loads.topic, unit_changes.topic):
        found, lacks = asked.on(kept)
        topics += found
        lacking |= lacks
    own = kept == train_of({"unit": kept_unit(load(TRAIN))})
    return Lab(
        name="walk-a-unit",
        title=TITLE if own else f"{TITLE}: {shown.name}",
        level=2,
        core=False,
        minutes=70,
        draw=partial(draw_unit, unit),
        train=partial(_shown, shown),
        topics=tuple(topics),
        unit=unit,
        left_out=FrozenMap(lacking),
        refit=on_kept,
    )


def _shown(train, given):
    """The unit itself, with its paint and cards; other teeth are for one question."""
    return train


LAB = on_unit(load(TRAIN))
