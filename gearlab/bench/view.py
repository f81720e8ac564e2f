"""How a bench is looked at, as plain data: which pictures, from where, in what letters.

A view has the pictures that are wanted, in order; the page shows as many as it has room
for. What there is to choose from stands in the book.
"""

from ..base import checks
from .look import CHART, LEVERS, PATH, SET, View

WORDS = "words"  # the narration, which stands among the pictures
END_VIEWS = "end views"  # those of all sets
# What pictures are called by themselves, outside a bench.
DRAWN = {"stick diagram": PATH, "lever diagrams": LEVERS, "apply chart": CHART}
_CHOICES = ("end", "letters", "colours")
_SWITCHES = ("circulating", "exact", "class", "given")


def opening_view(book, last=None, *, pictures=None, alone=None):
    """The view that a bench opens with.

    Parameters
    ----------
    book : as :func:`gearlab.bench.book.cover` makes it
    last : what :func:`remembered` kept of another bench, if anything
    pictures : names of the pictures that the caller wants
    alone : name of a gear set that the caller wants alone

    Raises
    ------
    ValueError
        A picture that the train has not, named with the nearest one.
    """
    ids = _ids(book)
    view = {
        **{name: _offered(book, name)[0] for name in _CHOICES},
        **dict.fromkeys(_SWITCHES, False),
        "pictures": [one for one in ids if one in (PATH, WORDS) or _is_set(one)],
        "alone": "",
    }
    if last:
        view |= {name: last[name] for name in _SWITCHES}
        for name in _CHOICES:
            if last[name] in _offered(book, name):
                view[name] = last[name]
    if pictures is not None or alone is not None:
        view["given"] = True
        view["alone"] = "" if alone is None else SET + alone
        if pictures is not None:
            named = checks.name_list(pictures, "pictures")
            view["pictures"] = picture_ids(book, [*named, WORDS])
    elif last and last["pictures"] is not None:
        names = _names(book)
        known = [name for name in last["pictures"] if name in names]
        view["pictures"] = picture_ids(book, known) or view["pictures"]
    return view


def heard_view(book, given):
    """The view that a page tells; ValueError for anything that is none."""
    names = {*_CHOICES, *_SWITCHES, "pictures", "alone"}
    _check(isinstance(given, dict) and given.keys() == names, "a view", given)
    for name in _CHOICES:
        _check(
            given[name] in _offered(book, name), f"the {name} of a view", given[name]
        )
    for name in _SWITCHES:
        _check(isinstance(given[name], bool), f"“{name}” of a view", given[name])
    ids, pictures = _ids(book), given["pictures"]
    fits = isinstance(pictures, list) and all(one in ids for one in pictures)
    fits = fits and len(pictures) <= len(ids)
    _check(fits, "the pictures of a view", pictures)
    _check(given["alone"] in ["", *ids], "the picture that is alone", given["alone"])
    return {**given, "pictures": list(dict.fromkeys(pictures))}


def changed_view(book, view, **changes):
    """A view with something changed, as a person writes it.

    Raises
    ------
    ValueError
        A name or a value that there is not, with the nearest one; no True or False.
    """
    new = dict(view)
    for name, value in changes.items():
        checks.known(name, view, "setting of the view")
        if name in _CHOICES:
            new[name] = checks.known(value, _offered(book, name), name)
        elif name == "pictures":
            new[name] = picture_ids(book, value)
        elif name == "alone":
            new[name] = value and picture_ids(book, [value])[0]
        else:
            new[name] = checks.given(value, bool, "True or False", "write one of them")
    return new


def picture_ids(book, names):
    """The ids of pictures that a person names, each once.

    A picture goes by its name in the book, by its id, or by what the drawing is called
    by itself; "end views" are those of all sets. ValueError names the nearest one.
    """
    known, found = _names(book), []
    for name in checks.name_list(names, "pictures"):
        found += known[checks.known(name, known, "picture")]
    return list(dict.fromkeys(found))


def remembered(book, view):
    """What a bench of any train can open with, after this view.

    Pictures that the caller chose are those of one bench; `pictures` is None then.
    """
    sets = [one for one in _ids(book) if _is_set(one)]
    pictures = view["pictures"]
    if set(sets) <= set(pictures):
        pictures = [END_VIEWS if one in sets else one for one in pictures]
    kept = {name: view[name] for name in (*_CHOICES, *_SWITCHES)}
    return kept | {"given": False, "pictures": None if view["given"] else pictures}


def drawn_as(book, view):
    """The :class:`gearlab.bench.look.View` that its pictures are drawn in."""
    in_class = view["class"] and "class" in _offered(book, "letters")
    return View(
        end=view["end"],
        letters="class" if in_class else view["letters"],
        colours=view["colours"],
        circulating=view["circulating"],
    )


def _ids(book):
    return [*(one["id"] for one in book["pictures"]), WORDS]


def _is_set(picture):
    return picture.startswith(SET)


def _names(book):
    """``{what a picture or several are called: their ids}``."""
    ids = _ids(book)
    names = {name: [one] for name, one in DRAWN.items() if one in ids}
    names |= {one["name"]: [one["id"]] for one in book["pictures"]}
    names |= {one: [one] for one in ids}
    return names | {END_VIEWS: [one for one in ids if _is_set(one)]}


def _offered(book, name):
    return [one["value"] for one in book["offers"][name]]


def _check(fits, what, given):
    if not fits:
        raise ValueError(
            f"the page told {checks.shortened(given)} as {what}, but the bench has no"
            " such thing; choose again, or run its cell again"
        )
