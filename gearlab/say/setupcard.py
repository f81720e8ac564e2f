"""The set-up card: how a range is set up by hand on a cutaway, with its cautions."""

from textwrap import fill

from ..base.numerals import listed
from ..solve.powerflow import power_flow
from ..train.train import CASE, Brake, a_train

CAUTION = (
    "Switch off, chock and clear the bench first. Turn by hand only, slowly. Never"
    " wedge a train that somebody turns: a wedge flies. A qualified instructor is"
    " present; the school's rules and the maker's instructions come first."
)
# The one rule for whoever holds or releases a drum; notebooks and labs say it too.
DRUM_RULE = (
    "Stop turning. Nobody's hand on a drum that a one-way clutch can catch. Hold with a"
    " tool or strap fixed to the bench. Release it, hands clear, then turn again by the"
    " input alone."
)
_HELD = "to the case, with a tool or strap fixed to the bench"
COUNT = (
    "input turns until the output mark is at the top again: five times, then the mean"
)
# Of a range that does not drive, by the state of its flow.
_NO_COUNT = {
    "neutral": "nothing: the input turns, and does not drive the output",
    "tied up": "nothing: the input cannot turn",
    "output locked": "nothing: the output cannot turn",
}
_ORDER = (
    *("hold", "join", "mark", "look", "load", "count", "fingers"),
    *("fixed", "drums", "caution"),
)


def set_up_card(train, range):
    """What to hold, join, mark and load for a range, as plain text in short lines.

    At its end stands the caution; where there are one-way clutches, the rule for drums
    that they can catch comes before it.

    What the train file does not say follows from the apply chart.

    Parameters
    ----------
    train : Train
    range : the name of a range of the train

    Raises
    ------
    ValueError
        Something that is no train, or an unknown range; the nearest one is named.
    """
    a_train(train)
    row = train.range(str(range))
    lines = [_line(key, words) for key, words in set_up_rows(train, row.name)]
    return "\n".join([f"Set-up card, range {row.name}", *lines])


def set_up_rows(train, range):
    """The lines of a :func:`set_up_card` as pairs: what it is about, and what to do."""
    row = train.range(range)
    parts = [train.by_name[name] for name in row.applied]
    held = [part.member for part in parts if isinstance(part, Brake)]
    joined = [part.sides for part in parts if not isinstance(part, Brake)]
    clutches = train.one_way_clutches
    catching = ", or one-way clutches do not catch" if clutches else " lightly"
    card = {
        "hold": f"{listed(held)}, {_HELD}" if held else "nothing",
        "join": "; ".join(f"{b} to {a}" for a, b in joined) or "nothing",
        "mark": "a paint mark on the input and one on the output, both at the top",
        "look": "from the input end",
        "load": f"one hand drags the output{catching}",
        "count": _NO_COUNT.get(power_flow(train, row.name).state, COUNT),
        "fingers": "keep off the planets and every opening in a carrier",
        **train.set_up.get(row.name, {}),
    }
    # What is fixed for good needs no hand, but a class asks.
    if fixed := train.shafts.get(CASE, ()):
        card["fixed"] = f"{listed(fixed)}, by the case"
    if clutches:
        card["drums"] = DRUM_RULE
    card["caution"] = CAUTION
    return tuple((key, card[key]) for key in _ORDER if key in card)


def _line(key, words):
    # JupyterLab breaks a line that is too long anywhere, within a word too.
    return fill(f"  {key:<8} {words}", 88, subsequent_indent=11 * " ")
