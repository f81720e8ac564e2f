"""What a road test showed, as a table on paper: ranges, under power and coasting."""

from ...base.frozenmap import FrozenMap
from ...base.numerals import listed
from ...solve.powerflow import LOAD_WORDS, LOADS
from ..kit.page import Page, centred, high, width_of, wrapped
from ..kit.table import Column, table

_NAME, _SEEN = 5.0, 14.0  # room for a range, and for what was seen, in letter sizes


def road_test_table(observations, *, context="screen", words=FrozenMap()):
    """What was seen in each range, under power and coasting.

    Parameters
    ----------
    observations : {(range, load): text}
    context : "screen", "projector", "print" or "class" (for the back row)
    words : what is written instead of an English text

    Returns
    -------
    Scene
    """
    page = Page(context=context, words=words)
    font, names = page.font, list(dict.fromkeys(name for name, _ in observations))
    lines = {
        key: wrapped(page.say(seen), font, (_SEEN - 1) * font)
        for key, seen in observations.items()
    }
    tall = [
        max(high(lines[name, load], font) for load in LOADS) + 0.6 * font
        for name in names
    ]
    width = max(width_of([*map(page.say, names), page.say("range")], font), _NAME)
    columns = [
        Column(
            heading="range",
            width=max(width, _NAME * font),
            cell=lambda name: centred([page.say(name)], font, bold=True),
        )
    ]
    for load in LOADS:
        columns.append(
            Column(
                heading=LOAD_WORDS[load],
                width=_SEEN * font,
                cell=lambda name, load=load: centred(lines[name, load], font),
                ruled=True,
            )
        )
    said = [
        f"range {name} {LOAD_WORDS[load]} {seen}"
        for (name, load), seen in observations.items()
    ]
    alt = f"Road test: {listed(said, '')}."
    return page.stacked([table(page, columns, names, tall)], alt)
