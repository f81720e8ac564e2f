"""Controls for how a bench is looked at: pictures, what colours say, how large."""

from ..draw.kit.view import ENDS
from . import parts
from .bench_views import ALL_SETS, PICTURES

COLOUR_WORDS = {
    "part": "by part",
    "role": "by what it does",
    "paint": "as painted",
}


class LookControls:
    """The switches above the pictures; `on_change` is called with what changes."""

    def __init__(self, train, look, on_change):
        sets = [one.name for one in train.sets]
        colours = [way for way in COLOUR_WORDS if way != "paint" or train.paint]
        self.shown = parts.dropdown("gear set", [ALL_SETS, *sets], look.shown, "auto")
        self.colours = parts.dropdown(
            "colours",
            [(COLOUR_WORDS[way], way) for way in colours],
            look.colours,
            "auto",
        )
        self.pictures = {name: parts.checkbox(name) for name in PICTURES}
        self.large = parts.checkbox("large print")
        self.other_end = parts.checkbox("see it from the output end")
        self.exact = parts.checkbox("exact fractions")
        self.circulating = parts.checkbox("power that goes round")
        self.switches = [self.large, self.other_end, self.exact, self.circulating]
        self._busy = False

        def changes(control, change):
            def act(value):
                if not self._busy:
                    on_change(**change(value))

            parts.on_value(control, act)

        changes(self.shown, lambda value: {"shown": value})
        changes(self.colours, lambda value: {"colours": value})
        changes(self.large, lambda value: {"large": value})
        changes(self.other_end, lambda value: {"end": ENDS[value]})
        changes(self.exact, lambda value: {"exact": value})
        changes(self.circulating, lambda value: {"circulating": value})
        for box in self.pictures.values():
            changes(box, lambda _: {"pictures": self._ticked()})

    def _ticked(self):
        return frozenset(name for name, box in self.pictures.items() if box.value)

    def show(self, look):
        """Let every switch say what is; nothing is called back."""
        self._busy = True
        try:
            self.shown.value, self.colours.value = look.shown, look.colours
            self.large.value, self.exact.value = look.large, look.exact
            self.circulating.value = look.circulating
            self.other_end.value = look.end == ENDS[1]
            for name, box in self.pictures.items():
                box.value = name in look.pictures
        finally:
            self._busy = False
