"""What stands above an answer that is hidden: a prediction to make, or a sentence."""

import ipywidgets as widgets

from ..base.reading import read_number
from ..lab.question.prediction import COUNTED_SENSES, SENSES, Prediction, judge
from . import parts

CHOOSE = ("choose", "")
ASKS = {
    "drive": "What will the output do, and how many input turns make one turn of it?",
    "coast": "The vehicle turns the output. Does the engine brake, and how many turns"
    " does the input make for one output turn?",
}
LABELS = {"drive": "the output turns", "coast": "while it coasts"}


class PredictControls:
    """Asks what a train will do; `on_predicted` is called when it was said.

    Each load has a question and a list of its own; nothing is chosen at first.
    """

    def __init__(self, on_predicted):
        self._asked = widgets.HTML()
        self.senses = {
            load: parts.dropdown(
                LABELS[load], [CHOOSE, *zip(ways, ways, strict=True)], "", "auto"
            )
            for load, ways in SENSES.items()
        }
        self.count = parts.entry("input turns for one output turn")
        self.say = parts.button("say it, then see", on_predicted)
        row = parts.row(*self.senses.values(), self.count, self.say)
        self.box = parts.column(self._asked, row, display="none")
        for sense in self.senses.values():
            parts.on_value(sense, lambda _: self._allow_count())
        self.show("drive")

    @property
    def sense(self):
        """The list that is shown."""
        return self.senses[self._load]

    def show(self, load):
        """Ask what is asked under a load."""
        self._load = load
        self._asked.value = (
            f"<h4>Predict first</h4><p>{ASKS[load]} Ratio, directions and words stay"
            " hidden until you say it.</p>"
        )
        for one, sense in self.senses.items():
            sense.layout.display = "" if one == load else "none"
        self._allow_count()

    def _allow_count(self):
        self.count.disabled = self.sense.value not in ("", *COUNTED_SENSES)

    def judged(self, flow):
        """The verdict on what the controls say, which are then empty again.

        ValueError if nothing is chosen, or no count is readable.
        """
        sense, count = self.sense.value, None
        if sense in COUNTED_SENSES:
            count = read_number(self.count.value)
        verdict = judge(flow, Prediction(sense=sense, count=count))
        self.sense.value, self.count.value = "", ""
        return verdict


class Cover:
    """A sentence over an answer, and a button that shows the answer all the same.

    `sentence` says what comes first; "" for no cover at all.
    """

    def __init__(self, sentence, on_lifted):
        if not isinstance(sentence, str):
            raise ValueError(
                f"covered is {sentence!r}, but it must be the sentence that stands over"
                ' the answer; write it like "Answer question 2 first."'
            )
        self.sentence = sentence
        self.lift = parts.button("show it anyway", on_lifted)
        words = widgets.HTML(
            "<h4>The answer is hidden</h4>"
            f'<p class="gl-asked">{parts.text(sentence)}</p>'
        )
        self.box = parts.column(words, parts.row(self.lift))
        self.lay(bool(sentence))

    def lay(self, closed):
        """Lay it over the answer, or lift it."""
        self.closed = closed
        self.box.layout.display = "" if closed else "none"
