"""A road test on the screen: range and load are chosen, and what is seen is listed."""

import ipywidgets as widgets

from ..base.checks import quoted
from ..lab.sheet.told import RIGHT
from ..lab.suite.find_the_fault import fewest, positions, road_test
from ..solve.powerflow import LOAD_WORDS
from . import parts, press

LOADS = {words: load for load, words in LOAD_WORDS.items()}
NONE_YET = "No test yet."
NO_ROAD = '"{}" has no road test, but {} have one; name one of those'
CHOOSE = "Choose a range and a load first."


class RoadTest(widgets.VBox):
    """The road test of a question; made by ``Desk.road_test``.

    What failed is never told to the page, only what each test shows.

    Parameters
    ----------
    work : Work
    topic : name of a question that has a road test
    on_answer : never called, as nothing is answered here
    """

    def __init__(self, work, topic, on_answer):
        tried = [one for one in work.topics if work.question(one).on_paper]
        if work.asked(topic).topic.name not in tried:
            raise ValueError(NO_ROAD.format(topic, quoted(tried)))
        self._work, self._topic = work, topic
        scope, style = parts.scope()
        heading = widgets.HTML(f"<h3>road test {parts.quiet(f'· {topic}')}</h3>")
        self._table, self._count = widgets.HTML(), widgets.HTML()
        self._places = positions(self._unit())
        fields = [press.one("range", self._places), press.one("load", LOADS)]
        self.box = press.PressBox(
            fields,
            f"road test for {topic}",
            drive=("drive", self._driven),
            again=("begin again", self._begun),
        )
        super().__init__([style, heading, self.box, self._table, self._count])
        self.add_class("gl-panel")
        self.add_class(scope)
        self.renew()

    def _repr_mimebundle_(self, **kwargs):
        """The panel, in words where panels are not shown."""
        return parts.in_words(super()._repr_mimebundle_(**kwargs), self.words)

    @property
    def words(self):
        """What was tried, and what it showed."""
        seen = [f"{where}: {what}" for where, what in self._rows()]
        return f"Road test for '{self._topic}'. {'; '.join(seen) or NONE_YET}"

    @property
    def status(self):
        """What the last test showed, as HTML; "" before there is any."""
        return self.box.status

    def drive(self, range, load):
        """Make a test, as a press of the button does."""
        self.box.press(range, load, button="drive")

    def _unit(self):
        return self._work.lab.train(self._given())

    def _given(self):
        return dict(self._work.asked(self._topic).given)

    def _driven(self):
        where, load = self.box.values
        if where not in self._places or load not in LOADS:
            raise ValueError(CHOOSE)
        key = self._places[where], LOADS[load]
        again = key in self._made
        if not again:
            self._made[key] = where, load
        seen = road_test(self._given())[key]
        self.box.say(f"{where}, {load}: {seen}." + " You tried that before." * again)
        self.refresh()

    def _begun(self):
        self._made = {}
        self.box.say("")
        self.refresh()

    def _rows(self):
        shown = road_test(self._given()) if self._made else {}
        for key, told in self._made.items():
            yield ", ".join(told), shown[key]

    def renew(self):
        """Begin anew, for whoever is signed in."""
        self._begun()

    def refresh(self):
        """List the tests, and once the answer is right, how many would have done."""
        rows = "".join(
            f'<tr><th scope="row">{place}. {parts.text(where)}</th>'
            f"<td>{parts.text(seen)}</td></tr>"
            for place, (where, seen) in enumerate(self._rows(), 1)
        )
        head = '<tr><th scope="col">test</th><th scope="col">what is seen</th></tr>'
        table = (
            f'<table class="gl-seen"><thead>{head}</thead><tbody>{rows}</tbody></table>'
        )
        self._table.value = table if rows else f"<p>{NONE_YET}</p>"
        self._count.value = f"<p>{parts.text(self._counted())}</p>" if rows else ""

    def _counted(self):
        count = len(self._made)
        said = f"{count} test{'s' * (count != 1)} so far."
        if self._work.standing(self._topic) != RIGHT:
            return said
        return f"{said} With the best test each time: {fewest(self._given())}."
