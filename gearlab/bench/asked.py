"""What a front end asks of one train: its pages, each piece of a picture only once."""

from .book import HIDDEN, cover, flow_of
from .fault import VEIL, acting, fault_page
from .look import Draughtsman, hidden_look, view_of
from .page import flow_page, hidden_page


class Pages:
    """The pages of a train for one front end, and what it has of them.

    Parameters
    ----------
    train : Train
    filed : the train as its file has it, if this one has other teeth
    fault : a fault in the train that the front end does not know, or None
    before : the pages that the front end had before, of other teeth; what their opening
        needed is not sent again

    Attributes
    ----------
    train : Train
    book : what the front end knows from the beginning

    >>> import gearlab
    >>> pages = Pages(gearlab.load_train("lone-set"))
    >>> first = pages.asked("hidden", "input/screen/part/0")
    >>> list(first["looks"]), len(first["pieces"]) > 0
    (['hidden|input/screen/part/0'], True)
    >>> pages.asked("hidden", "input/screen/part/0")["pieces"]
    {}
    """

    def __init__(self, train, filed=None, *, before=None, fault=None):
        self.train, self.book = train, cover(train, filed=filed)
        self.fault = fault
        if fault:  # its pages are not those of the sound train
            self.book["train"] += VEIL
        self._drawn, self._pieces, self._needed = {}, {}, set()
        self._sent = set(before._needed) if before else set()

    def opening(self, keys, view):
        """What a front end begins with: the pages of some keys.

        It leaves out pieces, too, where there were pages before: a front end that has
        not got them asks for the page.
        """
        found = {"pages": {}, "looks": {}, "pieces": {}}
        for key in keys:
            sent = self.asked(key, view)
            for what, kept in found.items():
                kept.update(sent[what])
        self._needed = set().union(*map(_pieces_of, found["looks"].values()))
        return found

    def asked(self, key, view):
        """The page of a flow, or the hidden one, in a view, as plain data.

        Parameters
        ----------
        key : of a flow, or "hidden"
        view : key of a view

        Returns
        -------
        ``{"train", "pages", "looks", "pieces"}``; pieces that were sent before are left
        out

        Raises
        ------
        ValueError
            A key that is none; a train too large for a diagram.
        """
        wanted = view_of(view)
        if key == HIDDEN:
            page = hidden_page(self.train)
            look = hidden_look(self.train, wanted, self._pieces)
        elif self.fault and isinstance(key, str):
            page, look = self._faulty(key, wanted)
        else:
            flow = flow_of(self.train, key)
            page = flow_page(flow)
            artist = Draughtsman(flow=flow, pieces=self._pieces, drawn=self._drawn)
            look = artist.look(wanted)
        new = _pieces_of(look) - self._sent
        self._sent |= new
        return {
            "train": self.book["train"],
            "pages": {key: page},
            "looks": {f"{key}|{view}": look},
            "pieces": {name: self._pieces[name] for name in new},
        }

    def _faulty(self, key, view):
        """The page and the pictures of a key, with the fault hidden or told."""
        veiled = key.endswith(VEIL)
        flow = flow_of(self.train, key.removesuffix(VEIL))
        page = fault_page(flow, self.fault, veiled)
        if veiled:
            return page, hidden_look(self.train, view, self._pieces)
        true = acting(flow, self.fault)
        artist = Draughtsman(flow=true, pieces=self._pieces, drawn=self._drawn)
        return page, artist.look(view)

    def forget(self):
        """Take it that the front end has nothing."""
        self._sent = set()


def _pieces_of(look):
    """The names of all pieces of a look."""
    layers = ("live", "kept", "key")
    return {one[layer] for one in look.values() for layer in layers} - {None}
