"""The set-up card: how a range is set up by hand on a cutaway, with its cautions."""

from textwrap import fill

from .numerals import listed
from .train import CASE, Brake

CAUTION = (
    "Switch off, chock and clear the bench first. Turn by hand only, slowly. Never"
    " wedge a train that somebody turns: a wedge flies. A qualified instructor is"
    " present; the school's rules and the maker's instructions come first."
)
COUNT = (
    "input turns until the output mark is at the top again: five times, then the mean"
)
_ORDER = ("hold", "join", "mark", "look", "load", "count", "fingers")


def set_up_card(train, range):
    """What to hold, join, mark and load for a range, one line each, plain text.

    The caution at its end takes several lines.

    What the train file does not say follows from the apply chart. ValueError names
    the nearest range if there is none of that name.
    """
    row = train.range(range)
    parts = [train.by_name[name] for name in row.applied]
    held = [part.member for part in parts if isinstance(part, Brake)]
    joined = [part.sides for part in parts if not isinstance(part, Brake)]
    card = {
        "hold": f"{listed(held)}, to the case" if held else "nothing",
        "join": "; ".join(f"{b} to {a}" for a, b in joined) or "nothing",
        "mark": "a paint mark on the input and one on the output, both at the top",
        "look": "from the input end",
        "load": "one hand drags the output, or one-way clutches do not catch",
        "count": COUNT,
        "fingers": "keep off the planets and every opening in a carrier",
        **train.set_up.get(row.name, {}),
    }
    # What is fixed for good needs no hand, but a class asks.
    fixed = train.shafts.get(CASE, ())
    lines = [f"Set-up card, range {row.name}"]
    lines += [f"  {key:<8} {card[key]}" for key in _ORDER]
    lines += [f"  {'fixed':<8} {listed(fixed)}, by the case"] if fixed else []
    # JupyterLab breaks a line that is too long anywhere, within a word too.
    caution = fill(f"  {'caution':<8} {CAUTION}", 88, subsequent_indent=11 * " ")
    return "\n".join([*lines, caution])
