"""What is seen only when it is asked for, as an answer below its own question."""

from dataclasses import dataclass
from html import escape


@dataclass(frozen=True, kw_only=True)
class Folded:
    """Pictures and words under a line that opens them; made by :func:`folded`."""

    shown: tuple[object, ...]  # texts, and pictures: what has `alt` and shows itself
    summary: str

    def _repr_mimebundle_(self, include=None, exclude=None):
        inner = "".join([_html(one) for one in self.shown])
        summary = f"<summary>{escape(self.summary)}</summary>"
        words = [one if isinstance(one, str) else one.alt for one in self.shown]
        return {
            "text/html": f"<details>{summary}{inner}</details>",
            "text/plain": "\n".join(words),
        }


def folded(what, summary="show what we saw"):
    """Pictures and words that stay folded until the line above them is chosen.

    It needs no kernel: what a notebook has stored opens and closes, too.

    Parameters
    ----------
    what : a picture (a Scene or a plot), a text, or a list of them
    summary : the line that opens them

    Returns
    -------
    an object that a notebook shows; as plain text it is the sentences of the pictures
    and the texts

    Raises
    ------
    ValueError
        Something that is neither a picture nor a text, or nothing at all.

    >>> folded("The output turned backward.")._repr_mimebundle_()["text/plain"]
    'The output turned backward.'
    """
    shown = tuple(what) if isinstance(what, list | tuple) else (what,)
    for one in shown:
        if not isinstance(one, str) and not hasattr(one, "alt"):
            raise ValueError(
                f"a {type(one).__name__} is given to be folded, but it must be a"
                " picture or a text; give what a drawing function returns, or words"
            )
    if not shown:
        raise ValueError("nothing is to be folded; give a picture, a text, or some")
    return Folded(shown=shown, summary=str(summary))


def _html(one):
    if isinstance(one, str):
        return f"<pre>{escape(one)}</pre>"
    return f"<div>{one._repr_mimebundle_()['text/html']}</div>"
