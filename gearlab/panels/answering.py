"""The controls that take an answer, one class for each form of question.

Each has `box`, the widget; `given`, what was answered, as
:func:`gearlab.lab.reading.read_answer` takes it; and `show`, which sets it to an
earlier answer. Options are never changed: another question gets other controls.
"""

import ipywidgets as widgets

from ..lab.question import Choice, Explanation, Number, Order, Row
from ..lab.reading import LONGEST, read_answer
from . import parts

YOURS = "your answer"
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
EMPTY = "—"


class NumberControl:
    """A box for a number; `on_enter` is called when Enter is pressed in it."""

    def __init__(self, question, on_enter):
        self.entry = parts.entry(YOURS)
        self.entry.add_class("gl-number")
        parts.on_enter(self.entry, on_enter)
        unit = widgets.HTML(parts.text(question.unit))
        self.box = parts.row(self.entry, unit, align_items="center", grid_gap="6px")

    @property
    def given(self):
        """What is written in the box."""
        return self.entry.value

    def show(self, answer):
        """Write an earlier answer as it was given."""
        self.entry.value = answer


class ChoiceControl:
    """One of the options, as radio buttons; none is chosen at first."""

    def __init__(self, question, on_enter):
        self._question = question
        self.box = self.radio = widgets.RadioButtons(
            options=question.options,
            value=None,
            description=YOURS,
            tooltip=YOURS,  # else the page shows "null" there
            style=parts.LABEL,
            layout={"width": parts.AUTO},
        )

    @property
    def given(self):
        """The option chosen, or None."""
        return self.radio.value

    def show(self, answer):
        """Choose an earlier answer."""
        self.radio.value = read_answer(self._question, answer)


class RowControl:
    """Any of the options, a checkbox each."""

    def __init__(self, question, on_enter):
        self._question = question
        self.ticks = {name: parts.checkbox(name) for name in question.options}
        self.box = parts.column(*self.ticks.values())

    @property
    def given(self):
        """The names ticked."""
        return frozenset(name for name, tick in self.ticks.items() if tick.value)

    def show(self, answer):
        """Tick an earlier answer."""
        names = read_answer(self._question, answer)
        for name, tick in self.ticks.items():
            tick.value = name in names


class OrderControl:
    """A list of the options for each place."""

    def __init__(self, question, on_enter):
        self._question = question
        options = [(EMPTY, ""), *((name, name) for name in question.options)]
        places = range(len(question.answer))
        self.places = [parts.dropdown(_place(n), options, "", "340px") for n in places]
        self.box = parts.column(*self.places)
        self.box.add_class("gl-places")

    @property
    def given(self):
        """The parts in their order; ValueError while a place is empty."""
        names = tuple(place.value for place in self.places)
        if "" in names:
            empty = self.places[names.index("")].description
            raise ValueError(
                f'the place "{empty}" is empty, but each place has a part; choose one'
            )
        return names

    def show(self, answer):
        """Choose the parts of an earlier answer."""
        names = read_answer(self._question, answer)
        for n, place in enumerate(self.places):
            place.value = names[n] if n < len(names) else ""


class TextControl:
    """A box for a few sentences, with the letters counted."""

    def __init__(self, question, on_enter):
        self.area = widgets.Textarea(description=YOURS, style=parts.LABEL)
        self.count = widgets.HTML()
        parts.on_value(self.area, self._counted)
        self._counted("")
        self.box = parts.column(self.area, self.count)

    def _counted(self, written):
        self.count.value = f"<p>{len(written)} of {LONGEST} letters</p>"

    @property
    def given(self):
        """The text."""
        return self.area.value

    def show(self, answer):
        """Write an earlier text."""
        self.area.value = answer


CONTROLS = {
    Number: NumberControl,
    Choice: ChoiceControl,
    Row: RowControl,
    Order: OrderControl,
    Explanation: TextControl,
}


def controls_for(question, on_enter):
    """The controls for a question of any form; `on_enter` as if "check" was pressed."""
    made = next(one for form, one in CONTROLS.items() if isinstance(question, form))
    return made(question, on_enter)


def _place(n):
    return PLACES[n] if n < len(PLACES) else f"place {n + 1}"
