"""The log panel: a road log to be scrubbed, beside a picture of the range it is in."""

from functools import lru_cache

import ipywidgets as widgets

from ..ask.log.roadlog import RoadLog
from ..base import checks
from ..base.numerals import decimals
from ..base.reading import read_number
from ..draw import draw_end_view, draw_log, draw_stick, to_svg
from ..solve.powerflow import power_flow
from . import parts
from .press import PressBox, choice, line

STEP = 0.1  # of the slider [s]
SPANS = (10, 30, 120)  # how much of a log may be shown at once [s]
PATH = "power path"
OUTSIDE = "No range is near: the picture beside is left out."
_BESIDE, _BELOW = "1 1 300px", "1 1 600px"
NO_MORE = "Up to its end, this log has no more of that."


class LogPanel(widgets.VBox):
    """A panel for one road log: go through it by time, from shift to shift.

    Arrow keys move the slider, *Enter* in the box goes to a time, and every button goes
    somewhere: a second on or back, to the next shift, to what is wrong next.

    Parameters
    ----------
    log : RoadLog
    at : the time to begin with [s]; the first moment if left out
    covered : a sentence that says what comes first; all is hidden under it until
        :meth:`reveal` is called or "show it anyway" is pressed

    Raises
    ------
    ValueError
        What is no road log, or a time that is not in it.
    """

    def __init__(self, log, *, at=None, covered=""):
        checks.given(log, RoadLog, "a road log", "write gl.read_log(path, train)")
        self.road, self._covered = log, covered
        self._time = (log.at(log.start if at is None else at)).time
        self._scope, style = parts.scope()
        self._slider = widgets.IntSlider(
            min=0,
            max=max(1, round((log.end - log.start) / STEP)),
            readout=False,
            description="time",
            layout={"width": "100%"},
        )
        self._chart, self._beside = widgets.HTML(), widgets.HTML()
        self.box = PressBox((), "the road log")
        seconds = [(f"{span} s", str(span)) for span in SPANS]
        sets = [(f"{one.name} set", one.name) for one in log.train.sets]
        self._fields = [
            line("time", "s"),
            choice("shown at once", [*seconds, ("all of it", "")]),
            choice("the range as", [(PATH, ""), *sets]),
        ]
        pictures = parts.line_up("gl-beside", self._chart, self._beside)
        super().__init__([style, self.box, self._slider, pictures])
        self.add_class("gl-panel")
        self.add_class(self._scope)
        self.box.ask(self._fields)
        self._show()
        parts.on_value(self._slider, self._slid)

    def _repr_mimebundle_(self, **kwargs):
        """The panel, in words where panels are not shown."""
        words = f"Log panel of {self.road.train.name}. {self.words}"
        return parts.in_words(super()._repr_mimebundle_(**kwargs), words)

    # What a person can do ---------------------------------------------------------

    def go_to(self, time):
        """Go to the moment nearest to a time [s]."""
        parts.guarded(lambda: self._go(self.road.at(time).time), self.box.complain)

    def move(self, seconds):
        """Go on by some seconds, or back; no further than the ends of the log."""
        wanted = self._time + float(read_number(seconds, ""))
        self.go_to(min(max(wanted, self.road.start), self.road.end))

    def next_shift(self):
        """Go to the start of the next shift."""
        self._go_next([one.start for one in self.road.shifts])

    def next_fault(self):
        """Go to the next shift that is not clean, or stretch that is not as asked."""
        odd = [one.start for one in self.road.shifts if one.kind != "clean"]
        self._go_next([*odd, *(one.start for one in self.road.bad)])

    def cover(self):
        """Hide all again, as it was at first."""
        self._covered = self._covered or "This is covered."
        self._show()

    def reveal(self, words=""):
        """Take the cover off, and say what was predicted and what is true."""
        self._covered = ""
        self._show(words)

    # What is seen -----------------------------------------------------------------

    @property
    def time(self):
        """The moment that is shown [s]."""
        return self._time

    @property
    def status(self):
        """The sentence below the buttons, as HTML."""
        return self.box.status

    @property
    def words(self):
        """The moment in words, or what comes first."""
        if self._covered:
            return self._covered
        said = [str(self.road.at(self._time))]
        for one in (*self.road.shifts, *self.road.bad):
            # A shift begins between two rows.
            if one.start - self.road.step <= self._time <= one.end:
                said.append(one.words)
        return " ".join(said)

    def _slid(self, value):
        """The slider was moved; not by the panel itself."""
        time = min(self.road.start + value * STEP, self.road.end)
        if abs(time - self._time) > STEP / 2 + 1e-9:
            parts.guarded(lambda: self._go(self.road.at(time).time), self.box.complain)

    def _go(self, time):
        self._time = time
        self._show()

    def _go_next(self, times):
        later = [time for time in times if time > self._time + STEP]
        if later:
            self.go_to(min(later))
        else:
            self.box.say(NO_MORE)

    def _show(self, *said):
        """Show the moment in both pictures, in the fields and in words."""
        if self._covered:
            self._chart.value = self._beside.value = ""
            self.box.act(anyway=("show it anyway", self.reveal))
        else:
            span, name = self.box.values[1:]
            self._chart.value = self._drawn(span)
            self._beside.value = self._range_drawn(name)
            # What is as wide as the log goes below it, so that its letters stay large.
            self._beside.layout.flex = _BESIDE if name else _BELOW
            self.box.act(**self._actions())
        self._slider.layout.visibility = "hidden" if self._covered else "visible"
        self._slider.value = round((self._time - self.road.start) / STEP)
        self.box.values = [decimals(self._time, 2), *self.box.values[1:]]
        self.box.say(" ".join(filter(None, [*said, self.words])))

    def _actions(self):
        """The buttons, each with what it does."""
        return {
            "show": ("show", lambda: self.go_to(self.box.values[0])),
            "back": ("1 s back", lambda: self.move(-1)),
            "on": ("1 s on", lambda: self.move(1)),
            "shift": ("next shift", self.next_shift),
            "fault": ("what is wrong next", self.next_fault),
        }

    def _drawn(self, span):
        """The part of the log that the moment is in, as SVG."""
        ends = {}
        if span and self.road.end - self.road.start > float(span):
            # Pages, so that the line moves over a picture that stays.
            page = int((self._time - self.road.start) / float(span))
            since = self.road.start + page * float(span)
            since = min(since, self.road.end - float(span))
            ends = {"since": since, "until": since + float(span)}
        return to_svg(draw_log(self.road, **ends, at=self._time))

    def _range_drawn(self, name):
        """The nearest range of the moment, as SVG, or a sentence without one."""
        moment = self.road.at(self._time)
        if not moment.range:
            return f"<p>{OUTSIDE}</p>"
        return _picture(self.road.train, moment.range, name)


@lru_cache(maxsize=64)
def _picture(train, range, name):
    """A range under power: its power path, or one gear set seen face on; as SVG."""
    flow = power_flow(train, range)
    return to_svg(draw_end_view(flow, name) if name else draw_stick(flow))
