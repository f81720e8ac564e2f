"""Controls for a prediction that comes before the answer."""

import ipywidgets as widgets

from ..lab.prediction import BACKWARD, FORWARD, SENSES, Prediction, judge
from ..numerals import read_number
from . import parts


class PredictControls:
    """Asks what the output will do; `on_predicted` is called when it was said."""

    def __init__(self, on_predicted):
        self.sense = parts.dropdown("the output turns", SENSES, FORWARD, "360px")
        self.count = parts.entry("input turns for one output turn")
        self.say = parts.button("say it, then see", on_predicted)
        self.answer = widgets.HTML()
        ask = widgets.HTML(
            "<h4>Predict first</h4><p>Ratio, directions and words stay hidden until"
            " you say what the output will do.</p>"
        )
        self.box = parts.column(
            ask, parts.row(self.sense, self.count, self.say), display="none"
        )
        parts.on_value(self.sense, self._sense_chosen)

    def _sense_chosen(self, sense):
        self.count.disabled = sense not in (FORWARD, BACKWARD)

    def judged(self, flow):
        """The verdict on what the controls say; ValueError if no count is readable."""
        count = None
        if self.sense.value in (FORWARD, BACKWARD):
            count = read_number(self.count.value)
        return judge(flow, Prediction(sense=self.sense.value, count=count))
