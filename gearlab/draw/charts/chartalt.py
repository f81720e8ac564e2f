"""The sentences of an apply chart, which carry its numbers for who cannot see it."""

from ...ask.applychart import IDLE
from ...base.numerals import exactly, listed
from ...solve.powerflow import LOAD_WORDS


def alt(chart):
    """Every range in a sentence, with its exact ratio and step."""
    rows = [_row_words(row) for row in chart.rows]
    return f"{_head(chart)}. {' '.join(rows)}"


def blank_alt(chart):
    """What a chart that is left blank is about."""
    names = listed([f'"{row.range}"' for row in chart.rows], "")
    return (
        f"{_head(chart)}, left blank: ranges {names}; elements"
        f" {listed(list(chart.train.by_name), '')}."
    )


def _head(chart):
    return f"{chart.train.name}: apply chart, {LOAD_WORDS[chart.load]}"


def _row_words(row):
    """A row in a sentence, with its exact ratio and step."""
    doing = {}
    for name, state in row.states.items():
        if state not in IDLE:
            doing.setdefault(state, []).append(name)
    said_of = [f"{listed(names, '')} {state}" for state, names in doing.items()]
    gives = row.gives if row.ratio is None else f"ratio {exactly(row.ratio)}"
    said_of = [*said_of, gives] if said_of else ["nothing applied", gives]
    if row.step is not None:
        said_of.append(f"step {exactly(row.step)} from {row.before}")
    if row.coasting and row.ratio is not None:
        said_of.append(row.coasting)
    return f"Range {row.range}: {'; '.join(said_of)}."
