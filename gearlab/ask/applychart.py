"""The apply chart of a train as rows: what every element does in every range.

Each row is read from a flow, so no cell is ever typed in.
"""

from dataclasses import dataclass
from fractions import Fraction

from ..base import checks
from ..base.brief import Brief
from ..base.frozenmap import FrozenMap
from ..base.numerals import number
from ..solve.equilibrium import DRIVES
from ..solve.facts import element_states
from ..solve.powerflow import LOAD_WORDS, LOADS, PowerFlow, range_flows
from ..train.train import Train, a_train
from .shifts import shift_of

RELEASED, FIGHTS, AT_REST = "released", "fights", "at rest"
IDLE = (RELEASED, "carries nothing")
ON, OFF, OTHER = "comes on", "goes off", "changes"
SIGNS = FrozenMap({ON: "+", OFF: "−", "catches": "+", "lets go": "−", OTHER: "≠"})


@dataclass(frozen=True, kw_only=True, repr=False)
class ChartRow(Brief):
    """One range of an apply chart.

    `states` are "applied", "released", and for one-way clutches "holds", "overruns",
    "backs up", "at rest" or "carries nothing"; what keeps a tied-up train "fights".
    `changes` has what differs from the range `before`: "comes on", "goes off",
    "catches", "lets go", or "changes" for a one-way clutch that does something else.
    """

    range: str
    flow: PowerFlow
    before: str | None  # the range that changes and step are told against
    states: FrozenMap  # {element, lock or one-way clutch: state}
    changes: FrozenMap  # {element, lock or one-way clutch: what it did}
    step: Fraction | None  # ratio before / ratio
    selector: tuple[str, ...]  # positions that allow the range
    solenoids: FrozenMap  # {solenoid: whether it is on}

    @property
    def _brief(self):
        return f"range {self.range}, {self.gives}"

    @property
    def words(self):
        """What the range gives, and what every element does, in one sentence."""
        does = [f"{name} {state}" for name, state in self.states.items()]
        gives = self.gives if self.ratio is None else f"ratio {self.gives}"
        return f"Range {self.range}, {gives}: {', '.join(does)}."

    @property
    def ratio(self):
        """Input turns per output turn, or None."""
        return self.flow.ratio

    @property
    def gives(self):
        """The ratio to three decimals, or what the train does instead."""
        return self.flow.gives

    @property
    def coasting(self):
        """How it coasts, in words; "" under power."""
        if self.flow.load == "drive":
            return ""
        return "drives back" if self.flow.state == DRIVES else self.flow.state


@dataclass(frozen=True, kw_only=True, repr=False)
class ApplyChart(Brief):
    """The rows of all ranges of a train, in file order, under one load."""

    train: Train
    load: str
    rows: tuple[ChartRow, ...]

    @property
    def _brief(self):
        return f"{self.train.name}, {LOAD_WORDS[self.load]}, {len(self.rows)} ranges"

    def row(self, name):
        """The :class:`ChartRow` of a range; ValueError names the nearest one."""
        checks.known(name, [row.range for row in self.rows], "range")
        return next(row for row in self.rows if row.range == name)

    @property
    def _heads(self):
        head = ["range", *self.train.by_name, "ratio", "step", "selector"]
        head += self.train.solenoids
        return [*head, "coasting"] if self.load == "coast" else head

    @property
    def _rows(self):
        """The cells as texts, with a sign at what has changed."""
        return [
            [
                row.range,
                *(_cell_text(row, name) for name in self.train.by_name),
                row.gives,
                "" if row.step is None else number(row.step),
                ", ".join(row.selector),
                *("on" if on else "off" for on in row.solenoids.values()),
                *([row.coasting] if self.load == "coast" else []),
            ]
            for row in self.rows
        ]


def apply_chart(train, *, load="drive"):
    """The :class:`ApplyChart` of a train, under "drive" or "coast".

    A row is told against the range that the train file names for it, else against the
    row above, unless the two turn the output opposite ways.

    Parameters
    ----------
    train : Train
    load : "drive" (the input drives) or "coast" (the output drives)

    Raises
    ------
    ValueError
        Something that is no train, or an unknown load.

    >>> import gearlab
    >>> chart = apply_chart(gearlab.load_train("three-range"))
    >>> row = chart.row("2")
    >>> row.gives, str(row.step), row.before, row.states["low one-way clutch"]
    ('1.385', '11/6', '1', 'overruns')
    >>> dict(row.changes)
    {'common-sun brake': 'comes on', 'low one-way clutch': 'lets go'}
    """
    a_train(train)
    checks.known(load, LOADS, "load")
    flows = {name: both[load] for name, both in range_flows(train).items()}
    return ApplyChart(
        train=train,
        load=load,
        rows=tuple(_row(train, flows, name) for name in flows),
    )


def _row(train, flows, name):
    flow = flows[name]
    states = _states(flow)
    before = _before(train, flows, name)
    moved = None if before is None else shift_of(flows[before], flow)
    earlier = states if before is None else _states(flows[before])
    return ChartRow(
        range=name,
        flow=flow,
        before=before,
        states=FrozenMap(states),
        changes=FrozenMap(_changes(moved, earlier, states)),
        step=None if moved is None else moved.step,
        selector=tuple(
            position for position, rows in train.selector.items() if name in rows
        ),
        solenoids=FrozenMap(
            (solenoid, name in rows) for solenoid, rows in train.solenoids.items()
        ),
    )


def _states(flow):
    fighting = dict.fromkeys(flow.conflict or (), FIGHTS)
    return element_states(flow) | fighting


def _before(train, flows, name):
    """The range that a row is told against, or None."""
    named = train.range(name).after
    if named is not None:
        return named
    place = train.range_names.index(name)
    above = train.range_names[place - 1] if place else None
    ratios = [flows[row].ratio for row in (above, name) if row is not None]
    opposite = None not in ratios and len(ratios) == 2 and ratios[0] * ratios[1] < 0
    return None if opposite else above


def _changes(moved, earlier, states):
    """``{name: what it did}``, in file order."""
    did = {}
    if moved is not None:
        did = dict(moved.by_itself) | dict(moved.backed_up)
        did |= dict.fromkeys(moved.off, OFF) | dict.fromkeys(moved.on, ON)
    return {
        name: did.get(name, OTHER)
        for name, state in states.items()
        if name in did or state != earlier[name]
    }


def _cell_text(row, name):
    state = "" if row.states[name] in IDLE else row.states[name]
    sign = SIGNS[row.changes[name]] if name in row.changes else ""
    return f"{sign} {state}".strip()
