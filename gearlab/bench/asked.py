"""What a front end asks of one train: its pages, each piece of a picture only once."""

from .book import HIDDEN, cover, flow_of
from .look import Draughtsman, hidden_look, view_of
from .page import flow_page, hidden_page


class Pages:
    """The pages of a train for one front end, and what it has of them.

    Parameters
    ----------
    train : Train
    filed : the train as its file has it, if this one has other teeth

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

    def __init__(self, train, filed=None):
        self.train, self.book = train, cover(train, filed=filed)
        self._drawn, self._pieces, self._sent = {}, {}, set()

    def opening(self, key, view):
        """What a front end begins with: the page of a flow, and the hidden one."""
        first, hidden = self.asked(key, view), self.asked(HIDDEN, view)
        return {
            what: {**first[what], **hidden[what]}
            for what in ("pages", "looks", "pieces")
        }

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

    def forget(self):
        """Take it that the front end has nothing."""
        self._sent = set()


def _pieces_of(look):
    """The names of all pieces of a look."""
    layers = ("live", "kept", "key")
    return {one[layer] for one in look.values() for layer in layers} - {None}
