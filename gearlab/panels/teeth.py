"""Controls for tooth counts, with the verdict on what was chosen."""

import ipywidgets as widgets

from ..ask.assembly import WARNS, assembly_verdicts, whole_planet
from . import parts

AS_FILED, OTHERS = "as in the train file", "others"
TO_OTHERS = "Write a count into a box, and the list says “others” by itself."


class TeethControls:
    """A slider and a box for each tooth count and planet count of a train.

    `on_teeth` is called with ``{set: {key: count or text}}`` of everything that the
    boxes hold, and with what to say if the train has these teeth already.
    """

    def __init__(self, train, on_teeth):
        self._on_teeth, self._filed = on_teeth, train
        self._rows, self._busy, self._shown = {}, False, None
        columns = []
        for gear_set in train.sets:
            if gear_set.record.written_out:
                continue
            keys = list(gear_set.record.teeth)
            keys += ["planets"] if gear_set.planets else []
            title = widgets.HTML(f"<h4>{parts.text(gear_set.name)} set</h4>")
            rows = [self._row(gear_set.name, key) for key in keys]
            columns.append(parts.column(title, *rows, margin="0 16px 0 0"))
        self.verdicts = widgets.HTML()
        self.named = parts.dropdown(
            "named teeth", [AS_FILED, *train.tooth_sets, OTHERS], AS_FILED, "300px"
        )
        parts.on_value(self.named, self._take_named)
        self.box = parts.column(self.named, parts.row(*columns), self.verdicts)
        self.show(train)

    def _row(self, set_name, key):
        high = 12 if key == "planets" else 120
        slider = widgets.IntSlider(
            min=1 if key == "planets" else 12,
            max=high,
            readout=False,
            layout={"width": "150px"},
        )
        box = parts.entry(f"{set_name} {key}")
        self._rows[set_name, key] = slider, box
        parts.on_value(slider, lambda value: self._changed(set_name, key, value))
        parts.on_value(box, lambda value: self._changed(set_name, key, value))
        return parts.row(box, slider)

    def _changed(self, set_name, key, value):
        if self._busy:
            return
        self._set(self._rows[set_name, key], value)
        self._take()

    def _take_named(self, name):
        if self._busy:
            return
        if name != OTHERS:
            train = self._filed
            if name != AS_FILED:
                train = train.with_teeth(train.tooth_sets[name])
            self.show(train)
        self._take(TO_OTHERS if name == OTHERS else f"The teeth are {name}.")

    def _take(self, idle=""):
        """Ask for what the boxes hold; until it is shown, they hold other teeth."""
        self._shown = None
        self._show_name(OTHERS)
        self._on_teeth(self._wanted(), idle)

    def _wanted(self):
        """What the boxes hold, with planets that fit where a half tooth is over."""
        wanted = {}
        for (set_name, key), (_, box) in self._rows.items():
            wanted.setdefault(set_name, {})[key] = _count(box.value)
        for counts in wanted.values():
            if all(isinstance(counts.get(key), int) for key in ("sun", "ring")):
                counts["planet"] = whole_planet(counts["sun"], counts["ring"])
        return wanted

    def file(self, train):
        """Take a train as the one that *as in the train file* brings back."""
        self._filed = train

    def show(self, train):
        """Set every control to a train's teeth, without calling back."""
        if train is self._shown:
            return
        self._shown = train
        for (set_name, key), controls in self._rows.items():
            one = train.set(set_name)
            count = one.planets if key == "planets" else one.all_teeth[key]
            self._set(controls, count)
        self._show_name(self._name_of(train))
        self._show_verdicts(train)

    def _show_name(self, name):
        self._busy = True
        try:
            self.named.value = name
        finally:
            self._busy = False

    def _name_of(self, train):
        """The name of the tooth set that a train has."""
        named = {AS_FILED: self._filed, OTHERS: train}
        for name, teeth in self._filed.tooth_sets.items():
            named.setdefault(name, self._filed.with_teeth(teeth))
        known = [name for name, one in named.items() if one.sets == train.sets]
        return known[0] if known[0] != OTHERS else known[-1]

    def _show_verdicts(self, train):
        """Say what the teeth that are drawn mean for putting the sets together."""
        lines = []
        for gear_set in train.sets:
            for verdict in assembly_verdicts(gear_set):
                mark = "⚠" if verdict.level == WARNS else "✓"
                said = parts.text(f"{verdict.set} {verdict.level}: {verdict.words}")
                lines.append(f"<p>{mark} {said}</p>")
        self.verdicts.value = "".join(lines)

    def _set(self, controls, value):
        slider, box = controls
        self._busy = True
        try:
            box.value = str(value)
            if isinstance(count := _count(value), int):
                slider.value = min(max(count, slider.min), slider.max)
        finally:
            self._busy = False


def _count(value):
    """A whole number if that is what was written, else the text as it is."""
    try:
        return int(str(value).strip())
    except ValueError:
        return value
