"""The bench panel: a train on screen, to be turned, held and counted.

One way round: a control changes the state, the state is shown. Nothing here knows
mechanics; :mod:`gearlab.panels.bench_state` asks the library.
"""

from dataclasses import replace

import ipywidgets as widgets

from ..base.numerals import turn_count
from ..draw.kit.svg import spin_css, turns_css
from ..say.describe import describe
from . import bench_state as states
from . import bench_views as views
from . import parts
from .applying import BY_HAND, ApplyControls
from .looking import LookControls
from .predict import Cover, PredictControls
from .teeth import TeethControls
from .turning import RATE, TurnControls

TO_HAND = "Apply or release an element, and the list says “by hand” by itself."


class Bench(widgets.VBox):
    """A panel for one train, opened in a range.

    Parameters
    ----------
    train : Train
    range : the range to begin with; the first forward one if it is left out
    set : the gear set to show alone, large; all sets if it is left out
    predict : begin with the answer hidden until a prediction is made
    covered : a sentence that says what comes first; the answer is hidden under it until
        :meth:`reveal` is called or "show it anyway" is pressed
    pictures : which of ``bench_views.PICTURES`` to begin with

    Raises
    ------
    ValueError
        An unknown range, gear set or picture; a cover that is no sentence.
    """

    def __init__(
        self,
        train,
        range=None,
        *,
        set=None,
        predict=False,
        covered="",
        pictures=None,
    ):
        self.state = states.opened(train, range)
        self._filed, self._faulty = train, False
        self._before = self._revealed = None  # flows
        self._scope, style = parts.scope()
        shown = train.set(set).name if set else views.ALL_SETS
        self.look = views.Look(scope=self._scope, shown=shown)
        if pictures is not None:
            self.look = views.changed(self.look, pictures=pictures)
        # Outlines of gears stay on the page; what a flow changes lies over them.
        self._kept, self._sheet = widgets.HTML(), widgets.HTML()
        self._pictures = parts.stack(self._kept, self._sheet)
        self._meter, self._status = widgets.HTML(), widgets.HTML()
        self._angle = widgets.HTML(layout={"display": "contents"})
        self._turning = TurnControls(self.turn_to, self.turn_output_once, self._spun)
        self._predict = PredictControls(self.say_prediction)
        self._cover, self._answer = Cover(covered, self.reveal), widgets.HTML()
        self._teeth = TeethControls(train, self.set_teeth)
        self._applying = held = ApplyControls(train, self.state, self)
        self.position, self.range, self.load = held.position, held.range, held.load
        self.elements = held.elements
        self.looks = LookControls(train, self.look, self.set_look)
        self.predicting = parts.checkbox("predict first", predict)
        self.show_teeth = parts.checkbox("tooth counts")
        self._fold_teeth(False)
        parts.on_value(self.predicting, lambda _: self._try(lambda: self.state, True))
        parts.on_value(self.show_teeth, self._fold_teeth)
        super().__init__([style, *self._arranged()])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self._show_all()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the flow in words where panels are not shown."""
        if self._cover.closed:
            words = (
                f"The answer is hidden until it is asked for. {self._cover.sentence}"
            )
        elif self.hidden:
            words = "The answer is hidden until a prediction is made."
        else:
            words = describe(self.state.flow, self._before)
        words = f"Bench panel of {self.state.train.name}. {words}"
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    # Controls -----------------------------------------------------------------

    def _arranged(self):
        right = parts.column(
            self._cover.box,
            self._predict.box,
            self._answer,
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
            parts.row(self._applying.box, right),
            self._teeth.box,
        )

    # What a person can do -------------------------------------------------------

    def choose_position(self, position):
        """Move the selector."""
        if position == BY_HAND:
            self._try(lambda: self.state, idle=TO_HAND)
        else:
            self._try(lambda: states.to_position(self.state, position))

    def choose_range(self, name):
        """Go to a range of the apply chart."""
        if name == BY_HAND:
            self._try(lambda: self.state, idle=TO_HAND)
        else:
            self._try(lambda: states.to_range(self.state, name))

    def step_range(self, by):
        """Go on by some ranges in the order of the apply chart."""
        end = "first" if by < 0 else "last"
        idle = f"Range {self.state.range} is the {end} one of the list."
        self._try(lambda: states.stepped(self.state, by), idle=idle)

    def apply(self, name, on=True):
        """Apply or release one element."""
        self._try(lambda: states.with_element(self.state, name, on))

    def set_load(self, load):
        """Drive, or coast."""
        self._try(lambda: states.with_load(self.state, load))

    def set_teeth(self, changes, idle=""):
        """Change tooth counts; teeth that cannot be leave the last picture.

        `idle` is said where they are the teeth that it has.
        """
        self._try(lambda: states.with_teeth(self.state, changes), idle=idle)

    def take_train(self, train):
        """Put a train with the same parts on the bench, as the one that is filed."""

        def taken():
            state = states.with_train(self.state, train)
            if train != self._filed:
                self._cover.lay(bool(self._cover.sentence))
            self._filed = train
            self._teeth.file(train)
            return state

        self._try(taken)

    def turn_to(self, turns):
        """Turn the input to so many turns: a number, or text as people write it."""

        def turned():
            state = states.turned_to(self._now(), turns)
            self._turning.stop()
            return state

        self._try(turned, idle=self._there())

    def turn_output_once(self):
        """Turn the input until the output has made one turn more."""
        self._try(
            lambda: states.turned_to(
                self._now(), self._now().turns + states.one_output_turn(self.state)
            ),
            idle=self._there(),
        )

    def _there(self):
        at = self.state.turns
        where = f"input is at {turn_count(at)}" if at else "marks are at the top"
        return f"The {where} already."

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
            self._reveal(self._predict.judged(self.state.flow))
            return self.state

        self._try(said, again=True)

    def reveal(self, words=""):
        """Show an answer that is hidden; `words` say what was predicted, if given."""

        def revealed():
            self._cover.lay(False)
            self._reveal(words)
            return self.state

        self._try(revealed, again=True)

    def cover(self):
        """Hide the answer again, under the sentence that the panel was made with."""

        def covered():
            self._cover.closed = bool(self._cover.sentence)
            self._answer.value, self._revealed = "", None
            return self.state

        self._try(covered, again=True)

    def _reveal(self, words):
        self._answer.value = parts.status(words, "result") if words else ""
        self._revealed = self.state.flow

    # Showing ------------------------------------------------------------------

    @property
    def hidden(self):
        """Whether the answer waits for a prediction, or lies under its cover."""
        predicted = self._revealed is self.state.flow
        return self._cover.closed or (self.predicting.value and not predicted)

    @property
    def status(self):
        """The sentence of the status line, as HTML; "" if all is well."""
        return self._status.value

    def _try(self, change, again=False, idle=""):
        """Carry out a change; what cannot be is said, and the last picture stays.

        `idle` is what is said where nothing changes.
        """
        parts.guarded(lambda: self._changed(change(), again, idle), self._complain)

    def _complain(self, sentence):
        self._pictures.add_class("gl-old")
        self._faulty = True
        self._status.value = parts.status(sentence)

    def _now(self):
        """The state, with the turns of this moment if the input turns by itself."""
        turns = self._turning.now()
        same = turns == self.state.turns
        return self.state if same else replace(self.state, turns=turns)

    def _changed(self, state, again, idle):
        if self._turning.spinning and state.flow is not self.state.flow:
            state = replace(state, turns=self._turning.now())
        before, self.state = self.state, state
        if state.flow.applied != before.flow.applied:
            self._before = before.flow
        if again or self._faulty or state.flow is not before.flow:
            self._show_all()
        else:
            self._show_turns()
        self._faulty, said = False, ""
        if state is before and not again:
            self._show_controls()  # what was pressed says again what is
            said = idle and parts.status(idle, "result")
        self._status.value = said

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
        self._pictures.remove_class("gl-old")
        self._show_controls()
        (self.add_class if self.look.large else self.remove_class)("gl-large")
        self._predict.show(state.flow.load)
        asking = hidden and not self._cover.closed
        self._predict.box.layout.display = "" if asking else "none"
        if self._revealed is not state.flow:
            self._answer.value = ""
        self._show_turns()

    def _show_controls(self):
        """Let every control say what is; nothing is called back."""
        self._applying.show(self.state, self.hidden)
        self.looks.show(self.look)
        self._teeth.show(self.state.train)
        turning = self.state.can_turn and not self.hidden
        self._turning.allow(turning, self.state.flow.ratio is not None)

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
