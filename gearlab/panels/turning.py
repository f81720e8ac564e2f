"""Controls that turn the input: a slider, steps, and continuous turning."""

from fractions import Fraction
from time import monotonic

import ipywidgets as widgets

from ..base.numerals import number
from . import parts

RATE = Fraction(1, 2)  # turns a second of continuous turning
TICK = 5  # degrees of one slider step
SLIDER_TURNS = 10


class TurnControls:
    """The crank. `on_turns` is called with the input turns that are asked for.

    `on_output` is called to go on by one output turn, and `on_spin` when continuous
    turning starts or stops.
    """

    def __init__(self, on_turns, on_output, on_spin):
        self._on_turns, self._on_spin = on_turns, on_spin
        self.to_one_output_turn = on_output
        self._busy, self._turns, self._since = False, Fraction(0), None
        self.slider = widgets.IntSlider(
            min=0,
            max=SLIDER_TURNS * 360,
            step=TICK,
            readout=False,
            layout={"width": "auto", "flex": "1 1 100px", "max_width": "260px"},
        )
        self.box = parts.entry("turn the input to", "0")
        parts.on_value(self.slider, self._slid)
        parts.on_value(self.box, self._typed)
        steps = [("− 1 turn", -1), ("− ¼ turn", "-1/4"), ("+ ¼ turn", "1/4")]
        steps += [("+ 1 turn", 1)]
        self.steps = [
            parts.button(label, lambda by=Fraction(by): self.step(by))
            for label, by in steps
        ]
        self.to_output = parts.button("to one output turn", self.to_one_output_turn)
        self.zero = parts.button("marks to the top", lambda: on_turns(Fraction(0)))
        self.spin = parts.button("start turning", self.toggle_spin)
        self.box_row = parts.row(self.box, self.slider, self.spin, self.zero)
        self.button_row = parts.row(*self.steps, self.to_output)
        self.all = [self.slider, self.box, *self.steps, self.to_output, self.zero]
        self.all += [self.spin]

    @property
    def spinning(self):
        """Whether the input turns by itself."""
        return self._since is not None

    def now(self):
        """The input turns at this moment."""
        if not self.spinning:
            return self._turns
        # To the degree: a clock reading has no exact fraction worth keeping.
        run = Fraction(round((monotonic() - self._since) * RATE * 360), 360)
        return self._turns + run

    def step(self, by):
        """Turn the input by some turns."""
        self._on_turns(self.now() + by)

    def toggle_spin(self):
        """Start or stop turning continuously."""
        turns = self.now()
        self._since = None if self.spinning else monotonic()
        self.show(turns)
        self._on_spin()

    def stop(self):
        """Stop turning; nothing is called back."""
        self._turns, self._since = self.now(), None

    def show(self, turns):
        """Set the controls to so many turns, without calling back."""
        if self.spinning and turns != self._turns:
            self._since = monotonic()
        self._turns, self._busy = turns, True
        try:
            degrees = round(turns * 360 / TICK) * TICK
            self.slider.value = min(degrees, self.slider.max)
            self.box.value = number(turns)
            self.spin.description = "stop turning" if self.spinning else "start turning"
        finally:
            self._busy = False

    def allow(self, turning, one_output):
        """Switch the controls on or off."""
        for control in self.all:
            control.disabled = not turning
        self.to_output.disabled = not (turning and one_output)

    def _slid(self, degrees):
        if not self._busy:
            self._on_turns(Fraction(degrees, 360))

    def _typed(self, written):
        if not self._busy:
            self._on_turns(written)
