"""Controls that say what is applied and who drives, with the state of each in words."""

import ipywidgets as widgets

from ..solve.facts import element_states
from ..solve.powerflow import LOAD_WORDS
from . import parts
from .bench_views import one_way_lines

BY_HAND = "by hand"


class ApplyControls:
    """Selector, range, a switch for each element, and the load.

    `bench` has a method for each of them: ``choose_position``, ``choose_range``,
    ``step_range``, ``apply`` and ``set_load``.
    """

    def __init__(self, train, state, bench):
        self._busy = False
        self.position = parts.dropdown(
            "selector", [*train.selector, BY_HAND], state.position or BY_HAND
        )
        self.range = parts.dropdown(
            "range", [*train.range_names, BY_HAND], state.range or BY_HAND
        )
        self.elements = {
            part.name: parts.checkbox("") for part in (*train.elements, *train.locks)
        }
        self.one_ways = widgets.HTML()
        self.load = widgets.RadioButtons(
            options=[(words, load) for load, words in LOAD_WORDS.items()],
            value=state.flow.load,
            description="load",
            style=parts.LABEL,
            layout={"width": "auto"},
        )
        self.steps = [
            parts.button(label, lambda by=by: bench.step_range(by))
            for label, by in (("range before", -1), ("range after", 1))
        ]
        self._on(self.position, bench.choose_position)
        self._on(self.range, bench.choose_range)
        self._on(self.load, bench.set_load)
        for name, box in self.elements.items():
            self._on(box, lambda on, name=name: bench.apply(name, on))
        self.box = parts.column(
            widgets.HTML(f"<h4>{parts.text(train.name)}</h4>"),
            *([self.position] if train.selector else []),
            self.range,
            parts.row(*self.steps),
            widgets.HTML("<h4>clutches and brakes</h4>"),
            *self.elements.values(),
            self.one_ways,
            self.load,
        )
        self.box.add_class("gl-left")

    def _on(self, control, method):
        """Call a method with each new value, deaf to those that `show` sets."""
        parts.on_value(control, lambda value: None if self._busy else method(value))

    def show(self, state, hidden):
        """Let every control say what is; nothing is called back."""
        self._busy = True
        try:
            flow = state.flow
            self.position.value = state.position or BY_HAND
            self.range.value = state.range or BY_HAND
            self.load.value = flow.load
            words = element_states(flow)
            for name, box in self.elements.items():
                with box.hold_sync():  # one message for both
                    box.value = name in flow.applied
                    box.description = f"{name}: {words[name]}"
            self.one_ways.value = "" if hidden else one_way_lines(flow)
        finally:
            self._busy = False
