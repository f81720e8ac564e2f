"""The bench panel: a train on screen, to be turned, held and counted.

One way round: a control changes the state, the state is shown. Nothing here knows
mechanics; :mod:`gearlab.panels.bench_state` asks the library.
"""

from dataclasses import replace

import ipywidgets as widgets

from ..describe import describe, element_states
from ..draw import spin_css, turns_css
from ..powerflow import LOAD_WORDS
from . import bench_state as states
from . import bench_views as views
from . import parts
from .looking import LookControls
from .predict import PredictControls
from .teeth import TeethControls
from .turning import RATE, TurnControls

BY_HAND = "by hand"


class Bench(widgets.VBox):
    """A panel for one train, opened in a range.

    Parameters
    ----------
    train : Train
    range : the range to begin with; the first forward one if it is left out
    set : the gear set to show alone, large; all sets if it is left out
    predict : begin with the answer hidden until a prediction is made
    pictures : which of ``bench_views.PICTURES`` to begin with

    Raises
    ------
    ValueError
        An unknown range, gear set or picture.
    """

    def __init__(self, train, range=None, *, set=None, predict=False, pictures=None):
        self.state = states.opened(train, range)
        self._filed, self._busy, self._before, self._revealed = train, False, None, None
        self._scope, style = parts.scope()
        shown = train.set(set).name if set else views.ALL_SETS
        self.look = views.Look(scope=self._scope, shown=shown)
        if pictures is not None:
            self.look = views.changed(self.look, pictures=pictures)
        # Outlines of gears stay on the page; what a flow changes lies over them.
        self._kept, self._sheet = widgets.HTML(), widgets.HTML()
        self._pictures = parts.stack(self._kept, self._sheet)
        self._one_ways = widgets.HTML()
        self._meter, self._status = widgets.HTML(), widgets.HTML()
        self._angle = widgets.HTML(layout={"display": "contents"})
        self._turning = TurnControls(self.turn_to, self.turn_output_once, self._spun)
        self._predict = PredictControls(self.say_prediction)
        self._teeth = TeethControls(train, self.set_teeth)
        self._make_controls(train)
        self.predicting.value = predict
        super().__init__([style, *self._arranged()])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self._show_all()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the flow in words where panels are not shown."""
        words = "The answer is hidden until a prediction is made."
        if not self.hidden:
            words = describe(self.state.flow, self._before)
        words = f"Bench panel of {self.state.train.name}. {words}"
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    # Controls -----------------------------------------------------------------

    def _make_controls(self, train):
        self.position = parts.dropdown(
            "selector", [*train.selector, BY_HAND], self.state.position or BY_HAND
        )
        self.range = parts.dropdown(
            "range", [*train.range_names, BY_HAND], self.state.range or BY_HAND
        )
        self.elements = {
            part.name: parts.checkbox("") for part in (*train.elements, *train.locks)
        }
        self.load = widgets.RadioButtons(
            options=[(words, load) for load, words in LOAD_WORDS.items()],
            value=self.state.flow.load,
            description="load",
            style=parts.LABEL,
            layout={"width": "auto"},
        )
        self.steps = [
            parts.button(label, lambda by=by: self.step_range(by))
            for label, by in (("range before", -1), ("range after", 1))
        ]
        self.looks = LookControls(train, self.look, self.set_look)
        self.predicting = parts.checkbox("predict first")
        self.show_teeth = parts.checkbox("tooth counts")
        parts.on_value(self.position, self._act(self.choose_position))
        parts.on_value(self.range, self._act(self.choose_range))
        parts.on_value(self.load, self._act(self.set_load))
        for name, box in self.elements.items():
            act = self._act(lambda on, name=name: self.apply(name, on))
            parts.on_value(box, act)
        parts.on_value(self.predicting, lambda _: self._try(lambda: self.state, True))
        parts.on_value(self.show_teeth, self._fold_teeth)
        self._teeth.box.layout.display = "none"

    def _arranged(self):
        heading = widgets.HTML(f"<h4>{parts.text(self._filed.name)}</h4>")
        held = widgets.HTML("<h4>clutches and brakes</h4>")
        left = parts.column(
            heading,
            *([self.position] if self._filed.selector else []),
            self.range,
            parts.row(*self.steps),
            held,
            *self.elements.values(),
            self._one_ways,
            self.load,
        )
        left.add_class("gl-left")
        right = parts.column(
            self._predict.box,
            self._predict.answer,
            self._turning.box_row,
            self._turning.button_row,
            self._angle,
            self._meter,
            self._pictures,
            flex="1 1 520px",
            min_width="320px",
        )
        looks = self.looks
        options = parts.row(
            looks.shown,
            looks.colours,
            *looks.pictures.values(),
            *looks.switches,
            self.predicting,
            self.show_teeth,
        )
        options.add_class("gl-options")
        return (
            options,
            self._status,
            parts.row(left, right),
            self._teeth.box,
        )

    def _act(self, method):
        """A handler that is deaf while the panel sets its own controls."""
        return lambda value: None if self._busy else method(value)

    # What a person can do -------------------------------------------------------

    def choose_position(self, position):
        """Move the selector."""
        if position == BY_HAND:
            self._show_controls()
        else:
            self._try(lambda: states.to_position(self.state, position))

    def choose_range(self, name):
        """Go to a range of the apply chart."""
        if name == BY_HAND:
            self._show_controls()
        else:
            self._try(lambda: states.to_range(self.state, name))

    def step_range(self, by):
        """Go on by some ranges in the order of the apply chart."""
        self._try(lambda: states.stepped(self.state, by))

    def apply(self, name, on=True):
        """Apply or release one element."""
        self._try(lambda: states.with_element(self.state, name, on))

    def set_load(self, load):
        """Drive, or coast."""
        self._try(lambda: states.with_load(self.state, load))

    def set_teeth(self, changes):
        """Change tooth counts; teeth that cannot be leave the last picture."""
        self._try(lambda: states.with_teeth(self.state, changes))

    def take_train(self, train):
        """Put a train with the same parts on the bench, as the one that is filed."""

        def taken():
            state = states.with_train(self.state, train)
            self._filed = train
            self._teeth.file(train)
            return state

        self._try(taken)

    def turn_to(self, turns):
        """Turn the input to so many turns: a number, or text as people write it."""

        def turned():
            state = states.turned_to(self.state, turns)
            self._turning.stop()
            return state

        self._try(turned)

    def turn_output_once(self):
        """Turn the input until the output has made one turn more."""
        self._try(
            lambda: states.turned_to(
                self._now(), self._now().turns + states.one_output_turn(self.state)
            )
        )

    def set_look(self, **changes):
        """Change how the bench is shown: a field of :class:`bench_views.Look`."""

        def looked():
            if changes.get("shown", views.ALL_SETS) != views.ALL_SETS:
                self.state.train.set(changes["shown"])
            self.look = views.changed(self.look, **changes)
            return self.state

        self._try(looked, again=True)

    def say_prediction(self):
        """Judge the prediction and show the answer."""

        def said():
            self._predict.answer.value = parts.status(
                self._predict.judged(self.state.flow), "result"
            )
            self._revealed = self.state.flow
            return self.state

        self._try(said, again=True)

    # Showing ------------------------------------------------------------------

    @property
    def hidden(self):
        """Whether the answer waits for a prediction."""
        return self.predicting.value and self._revealed is not self.state.flow

    @property
    def status(self):
        """The sentence of the status line, as HTML; "" if all is well."""
        return self._status.value

    def _try(self, change, again=False):
        """Carry out a change; what cannot be is said, and the last picture stays."""
        parts.guarded(lambda: self._changed(change(), again), self._complain)

    def _complain(self, sentence):
        self._pictures.add_class("gl-old")
        self._status.value = parts.status(sentence)

    def _now(self):
        """The state, with the turns of this moment if the input turns by itself."""
        return replace(self.state, turns=self._turning.now())

    def _changed(self, state, again=False):
        if self._turning.spinning and state.flow is not self.state.flow:
            state = replace(state, turns=self._turning.now())
        before, self.state = self.state, state
        if state.flow.applied != before.flow.applied:
            self._before = before.flow
        if again or self._status.value or state.flow is not before.flow:
            self._show_all()
            self._status.value = ""
        else:
            self._show_turns()

    def _spun(self):
        self._try(self._now)

    def _fold_teeth(self, shown):
        self._teeth.box.layout.display = "" if shown else "none"

    def _show_all(self):
        if self._turning.spinning and (self.hidden or not self.state.can_turn):
            self._turning.stop()
            self.state = self._now()
        # What the eye waits for goes first: each value is a message to the page.
        hidden, state = self.hidden, self.state
        self._sheet.value, self._kept.value = (
            views.blank_sheet(state.train, self.look)
            if hidden
            else views.sheet(state.flow, self._before, self.look)
        )
        self._one_ways.value = "" if hidden else views.one_way_lines(state.flow)
        self._pictures.remove_class("gl-old")
        self._show_controls()
        self._teeth.show(self.state.train)
        (self.add_class if self.look.large else self.remove_class)("gl-large")
        self._predict.box.layout.display = "" if hidden else "none"
        if hidden or not self.predicting.value:
            self._predict.answer.value = ""
        self._show_turns()

    def _show_controls(self):
        """Let every control say what is; nothing is called back."""
        self._busy = True
        try:
            flow = self.state.flow
            self.position.value = self.state.position or BY_HAND
            self.range.value = self.state.range or BY_HAND
            self.load.value = flow.load
            self.looks.show(self.look)
            words = element_states(flow)
            for name, box in self.elements.items():
                with box.hold_sync():  # one message for both
                    box.value = name in flow.applied
                    box.description = f"{name}: {words[name]}"
            turning = self.state.can_turn and not self.hidden
            self._turning.allow(turning, self.state.flow.ratio is not None)
        finally:
            self._busy = False

    def _show_turns(self):
        turns, spinning = self.state.turns, self._turning.spinning
        selector = f".{self._scope}"
        self._turning.show(turns)
        # Apart from the counters: a new style costs the page more than a new text.
        if self.hidden:
            self._angle.value, self._meter.value = turns_css(selector, 0), ""
            return
        self._angle.value = (
            spin_css(selector, turns, RATE) if spinning else turns_css(selector, turns)
        )
        self._meter.value = views.counters(self.state.flow, turns, self.look, spinning)
