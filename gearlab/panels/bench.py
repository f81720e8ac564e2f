"""The bench panel: a train on screen, to be turned, held and counted.

The front end shows a book of pages (:mod:`gearlab.bench`) and tells what a person does;
here that becomes a state, and what it asks for is answered. Nothing here knows
mechanics.
"""

import anywidget
from traitlets import Any, Dict

from ..base.numerals import turn_count
from ..bench import front
from ..bench import state as states
from ..bench import view as views
from ..bench.asked import Pages
from ..bench.book import HIDDEN
from ..bench.stored import MIME, stored_bench
from ..bench.teeth import OTHERS, counted
from ..bench.telling import heard, told
from ..say.describe import describe
from ..train.train import a_train
from . import parts

BY_HAND = "by hand"
TO_HAND = "Apply or release an element, and the list says “by hand” by itself."
TO_OTHERS = "Write a count into a box, and the list says “others” by itself."
MOST_ASKED = 32  # pages in one message


class Bench(anywidget.AnyWidget):
    """A panel for one train, opened in a range.

    Parameters
    ----------
    train : Train
    range : the range to begin with; the first forward one if it is left out
    set : the gear set to show alone, large; all sets if it is left out
    predict : begin with the answer hidden until a prediction is made
    covered : a sentence that says what comes first; the answer is hidden under it until
        :meth:`reveal` is called or "show it anyway" is pressed
    fault : a fault of ``gl.faults(train)`` that is hidden in the train, or "by chance";
        until :meth:`reveal_fault` or its button, only what a driver sees is told
    pictures : the pictures to begin with, by their names: "power path", that of a gear
        set as "front set", "levers", "apply chart"; "end views" are all sets

    Attributes
    ----------
    book, opening : what the front end knows of the train, and its first pages
    state, view : what stands on the bench and how it is looked at, as plain data; the
        page tells them too
    note : the status line, ``{"words", "kind", "nth"}``

    Raises
    ------
    ValueError
        An unknown range, gear set or picture; a cover that is no sentence.
    """

    _esm = front.script()
    _css = front.style()
    book = Dict().tag(sync=True)
    opening = Dict().tag(sync=True)
    note = Dict().tag(sync=True)
    # Whatever a page tells is judged here, and not refused by its type.
    state = Any().tag(sync=True)
    view = Any().tag(sync=True)
    _remembered = None  # how the last page was looked at, for the next bench
    _theirs = ("state", "view")  # what a page tells; the rest is ours to tell
    _in_class = False  # whether it opens in class view, whatever was chosen last

    def __init__(
        self,
        train,
        range=None,
        *,
        set=None,
        predict=False,
        covered="",
        pictures=None,
        fault=None,
    ):
        alone = None if set is None else a_train(train).set(set).name
        self._now = states.opened(
            train, range, predict=predict, covered=covered, fault=fault
        )
        self._before, self._said = None, 0
        self._pages = Pages(train, fault=self._now.fault)
        self._look = views.opening_view(
            self._pages.book, Bench._remembered, pictures=pictures, alone=alone
        )
        self._look["class"] |= self._in_class
        super().__init__(
            book=self._pages.book,
            opening=self._opening(self._pages, [self._now.key, HIDDEN]),
            state=told(self._now),
            view=self.look,
            note={"words": "", "kind": "", "nth": 0},
        )
        self.observe(lambda change: self._state_heard(change["new"]), names="state")
        self.observe(lambda change: self._view_heard(change["new"]), names="view")
        self.on_msg(lambda _, content, buffers: self._message_heard(content))

    def _repr_mimebundle_(self, **kwargs):
        """The panel, with the flow in words where panels are not shown."""
        if self._now.covered:
            words = f"The answer is hidden until it is asked for. {self._now.sentence}"
        elif self.hidden:
            words = "The answer is hidden until a prediction is made."
        elif self._now.veil:
            words = "A fault is hidden in it."
        else:
            words = describe(self.flow, self._before)
        words = f"Bench panel of {self.train.name}. {words}"
        bundle = super()._repr_mimebundle_(**kwargs)
        return parts.in_words(bundle, words, **self._stored())

    def _stored(self):
        """What a notebook stores, so that it lives before its kernel is there."""
        if self._now.fault:  # a book has none
            return {}
        return {MIME: stored_bench(self.book, self._now, self._look)}

    # What stands on it ----------------------------------------------------------

    @property
    def train(self):
        """The train, with the teeth that it has now."""
        return self._now.train

    @property
    def flow(self):
        """The power flow of what is applied now, with the fault if there is one."""
        return self._now.acting

    @property
    def turns(self):
        """How far the input is turned, in turns; negative backward."""
        return self._now.turns

    @property
    def hidden(self):
        """Whether the answer waits for a prediction, or lies under its cover."""
        return self._now.hidden

    @property
    def look(self):
        """How it is looked at, as :mod:`gearlab.bench.view` has it."""
        return dict(self._look)

    @property
    def status(self):
        """The sentence of the status line; "" if all is well."""
        return self.note["words"]

    # What a person can do -------------------------------------------------------

    def choose_position(self, position):
        """Move the selector."""
        if position == BY_HAND:
            self._try(lambda: self._now, idle=TO_HAND)
        else:
            self._try(lambda: states.to_position(self._now, position))

    def choose_range(self, name):
        """Go to a range of the apply chart."""
        if name == BY_HAND:
            self._try(lambda: self._now, idle=TO_HAND)
        else:
            self._try(lambda: states.to_range(self._now, name))

    def step_range(self, by):
        """Go on by some ranges in the order of the apply chart."""
        end = "first" if by < 0 else "last"
        idle = f"Range {self._now.range} is the {end} one of the list."
        self._try(lambda: states.stepped(self._now, by), idle=idle)

    def apply(self, name, on=True):
        """Apply or release one element."""
        self._try(lambda: states.with_element(self._now, name, on))

    def set_load(self, load):
        """Drive, or coast."""
        self._try(lambda: states.with_load(self._now, load))

    def set_teeth(self, changes):
        """Change tooth counts; teeth that cannot be leave the last picture."""
        self._try(lambda: states.with_teeth(self._now, changes))

    def take_train(self, train):
        """Put a train with the same parts on the bench, as the one that is filed."""
        self._try(lambda: states.with_train(self._now, train))

    def turn_to(self, turns):
        """Turn the input to so many turns: a number, or text as people write it."""
        self._try(lambda: states.turned_to(self._now, turns), idle=self._there())

    def turn_output_once(self):
        """Turn the input until the output has made one turn more."""
        self._try(
            lambda: states.turned_to(
                self._now, self.turns + states.one_output_turn(self._now)
            ),
            idle=self._there(),
        )

    def set_look(self, **changes):
        """Change how the bench is looked at.

        Parameters
        ----------
        changes : ``end``, ``letters``, ``colours``, ``circulating``, ``exact``,
            ``pictures``, ``alone`` (a picture, or "" for all that are wanted) or
            ``class``
        """
        self._guard(
            lambda: self._looked_at(
                views.changed_view(self.book, self._look, **changes)
            )
        )

    def say_prediction(self, sense, count=None):
        """Judge a prediction and show the answer.

        Parameters
        ----------
        sense : one of ``SENSES`` of the load, :mod:`gearlab.lab.question.prediction`
        count : input turns for one output turn, where they turn together
        """
        self._try(lambda: states.predicted(self._now, sense, count))

    def reveal(self, words=""):
        """Show an answer that is hidden; `words` say what was predicted, if given."""
        self._try(lambda: states.revealed(self._now, words))

    def reveal_fault(self):
        """Tell the fault that is hidden, and show the truth."""
        self._try(lambda: states.fault_told(self._now))

    def cover(self):
        """Hide the answer again, under the sentence that the panel was made with."""
        self._try(lambda: states.covered_again(self._now))

    def _there(self):
        where = f"input is at {turn_count(self.turns)}"
        return f"The {where if self.turns else 'marks are at the top'} already."

    # Changes --------------------------------------------------------------------

    def _guard(self, change):
        """Carry out a change, or say why not; whether it was carried out."""
        faults = []
        parts.guarded(change, faults.append)
        for sentence in faults:
            self._say(sentence, "fault")
        return not faults

    def _try(self, change, idle=""):
        """Carry out a change; what cannot be is said, and the last state stays.

        `idle` is what is said where nothing changes.
        """
        self._guard(lambda: self._changed(change(), idle))

    def _changed(self, new, idle):
        old, opening = self._now, self.opening
        if (new.train, new.filed) != (old.train, old.filed):
            pages = Pages(new.train, new.filed, before=self._pages)
            first = [HIDDEN] if new.hidden else [new.key]
            opening, self._pages = self._opening(pages, first), pages
        if new.flow.applied != old.flow.applied:
            self._before = old.flow
        self._now = new
        with self.hold_sync():  # one message: a page never has half of it
            self.book, self.opening = self._pages.book, opening
            self.state = told(new)
            self._say(idle if new == old else "")

    def _opening(self, pages, keys):
        """What a front end begins with, in the present view."""
        return pages.opening(keys, views.drawn_as(pages.book, self._look).key)

    def _looked_at(self, view):
        self._look = view
        with self.hold_sync():
            self.view = dict(view)
            self._say("")

    def _say(self, words, kind="result"):
        """Say something in the status line; a fault is news however often it is."""
        if words or self.status:
            self._said += 1
            kind = kind if words else ""
            self.note = {"words": words, "kind": kind, "nth": self._said}

    # What the page tells ----------------------------------------------------------

    def set_state(self, sync_data):
        """Take what a page may tell."""
        theirs = {*self._theirs} & sync_data.keys()
        super().set_state({name: sync_data[name] for name in theirs})

    def _state_heard(self, given):
        if given != told(self._now):
            self._try(lambda: heard(self._now, given))
            self.state = told(self._now)  # where it could not be as it was told

    def _view_heard(self, given):
        if given == self._look:
            return

        def looked():
            self._looked_at(views.heard_view(self.book, given))
            Bench._remembered = views.remembered(self.book, self._look)

        self._guard(looked)
        self.view = dict(self._look)

    def _message_heard(self, content):
        """Answer a message; one that says nothing only asks whether we are here."""
        if not isinstance(content, dict):
            return
        if "hello" in content:
            self._pages.forget()
        if "ask" in content:
            self._guard(lambda: self._answer(content["ask"], content.get("train")))
        if "teeth" in content:
            self._try(
                lambda: states.with_teeth(
                    self._now, counted(self.train, content["teeth"])
                )
            )
        if "named" in content:
            self._named(content["named"])

    def _named(self, name):
        """Take teeth that have a name."""
        if name == OTHERS:
            self._try(lambda: self._now, idle=TO_OTHERS)
        else:
            self._try(
                lambda: states.with_named_teeth(self._now, name),
                idle=f"The teeth are {name}.",
            )

    def _answer(self, asked, train):
        """Send the pages that are asked for, each as soon as it is made."""
        if train not in (None, self.book["train"]):
            return  # they are no longer wanted
        if not isinstance(asked, list):
            raise ValueError(
                "the page asked for something that is no list of pages; run the cell"
                " of the panel again"
            )
        for one in asked[:MOST_ASKED]:
            sent = self._guard(lambda one=one: self._send_page(one))
            if not sent and isinstance(one, list):  # it is not asked for in vain again
                failed = "|".join(map(str, one))
                self.send({"train": self.book["train"], "failed": failed})
        if len(asked) > MOST_ASKED:
            raise ValueError(
                f"the page asked for {len(asked)} pages at once, but {MOST_ASKED} are"
                " the most; ask for the others again"
            )

    def _send_page(self, asked):
        if not isinstance(asked, list) or len(asked) != 2:
            raise ValueError(
                "the page asked for a page without its two keys; run the cell of the"
                " panel again"
            )
        self.send(self._pages.asked(*asked))
