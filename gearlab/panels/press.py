"""Fields and buttons whose presses are all answered, each by what it was pressed on.

With stock widgets a click can overtake what was typed or chosen: a second change of a
control waits in the page until the kernel has taken the first, and a click does not
wait. So fields and buttons are one widget, of any form of question, and a press is one
message with all that stands in the fields.
"""

from pathlib import Path

import anywidget
from traitlets import Dict, List, Unicode

from . import parts

_HERE = Path(__file__)
GONE = "That button is gone meanwhile; press one of those that are there."


def line(label, unit="", wide=False):
    """A field of one line; its value is text. Enter in it presses the first button."""
    return {"kind": "line", "label": label, "unit": unit, "wide": wide}


def lines(label, longest):
    """A field of several lines, whose letters are counted."""
    return {"kind": "lines", "label": label, "longest": longest}


def one(label, options):
    """One of some options; "" while none is chosen."""
    return {"kind": "one", "label": label, "options": list(options)}


def some(label, options):
    """Any of some options; its value is a list of them."""
    return {"kind": "any", "label": label, "options": list(options)}


def choice(label, options, within=""):
    """A list to choose from; `options` are (shown, value).

    Neighbours that stand `within` the same are one group of that name, a line each.
    """
    options = [list(option) for option in options]
    return {"kind": "list", "label": label, "options": options, "within": within}


def empty(field):
    """The value of a field before anybody touched it."""
    if field["kind"] == "list":
        return field["options"][0][1]
    return [] if field["kind"] == "any" else ""


class PressBox(anywidget.AnyWidget):
    """Fields, buttons below them, and a line that answers each press.

    Parameters
    ----------
    fields : what :func:`line` and its neighbours made
    about : what they are for, a name of the whole for whoever does not see it
    actions : {name of a button: (what stands on it, what it does)}

    Attributes
    ----------
    values : what stands in the fields, one value each
    said : the answer to the last press: its name, the words, and their kind
    hints : sentences that stay below the answer
    """

    _esm = _HERE.with_suffix(".js")
    _css = _HERE.with_suffix(".css")
    fields = List().tag(sync=True)
    # Not echoed: what somebody typed meanwhile would be written over.
    values = List().tag(sync=True, echo_update=False)
    buttons = List().tag(sync=True)
    said = Dict().tag(sync=True)
    hints = List().tag(sync=True)
    about = Unicode().tag(sync=True)

    def __init__(self, fields, about, **actions):
        super().__init__(about=about, layout={"width": parts.AUTO})
        self._pressing = False
        self.ask(fields)
        self.act(**actions)
        self.on_msg(lambda _, content, buffers: self._heard(content))

    def ask(self, fields, values=()):
        """Put other fields in place of these, with what stands in them."""
        with self.hold_sync():  # one message, so that each value meets its field
            self.fields = fields
            self.values = list(values) or [empty(field) for field in fields]

    def act(self, **actions):
        """Put other buttons in place of these."""
        self._actions = {name: action for name, (_, action) in actions.items()}
        self.buttons = [[name, label] for name, (label, _) in actions.items()]

    @property
    def labels(self):
        """What stands on the buttons."""
        return [label for _, label in self.buttons]

    def press(self, *values, button=None):
        """Press a button, the first by itself, with these values in the fields."""
        if values:
            self.values = list(values)
        button = button or next(iter(self._actions))
        self._heard({"press": "", "button": button})

    def say(self, words, kind="result"):
        """Say something below the buttons; within a press, it is its answer."""
        self._words = {"words": words, "kind": kind}
        if not self._pressing:
            self.said = {"press": "", **self._words}

    def complain(self, sentence):
        """Say what could not be done."""
        self.say(sentence, "fault")

    @property
    def status(self):
        """What is said, as HTML; "" if there is nothing to say."""
        words = self.said.get("words", "")
        return parts.status(words, self.said["kind"]) if words else ""

    def _heard(self, content):
        if not isinstance(content, dict) or "press" not in content:
            return
        values = content.get("values")
        if isinstance(values, list) and len(values) == len(self.fields):
            # As the page says it, so that nothing is sent back to it.
            self.set_state({"values": values})
        self._words, self._pressing = {"words": "", "kind": "result"}, True
        try:
            action = self._actions.get(str(content.get("button")))
            parts.guarded(action or (lambda: self.complain(GONE)), self.complain)
        finally:
            self._pressing = False
            self.said = {"press": content["press"], **self._words}
