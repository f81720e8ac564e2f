"""Pieces that panels are built from: a scope for styles, labelled controls, a guard."""

from html import escape
from pathlib import Path
from secrets import token_hex

import ipywidgets as widgets

from .front import Front

AUTO = "auto"

_HERE = Path(__file__)
_STYLE = "".join(
    path.read_text(encoding="utf-8")
    for path in (
        _HERE.parents[1] / "bench" / "tokens.css",
        _HERE.with_name("panel.css"),
    )
)


def scope():
    """A class name of its own for one panel, and the widget that makes it a panel.

    The panel has this class and ``gl-panel``, and the widget is its first child: it
    brings the style of panels, and keeps the keys that are pressed in them.
    """
    # By chance, since panels of several kernels can stand on one page.
    name = f"gl-scope-{token_hex(4)}"
    style = f"<style>{_STYLE}</style>"
    css, front = widgets.HTML(style, layout={"display": "none"}), Front()
    front.add_class("gl-front")
    return name, widgets.Box((css, front), layout={"display": "contents"})


def text(content):
    """Text from a file or a person, escaped for a page."""
    return escape(str(content))


def quiet(content):
    """Words that stand back, as HTML."""
    return f'<span class="gl-quiet">{text(content)}</span>'


def status(sentence, kind="fault"):
    """A sentence on a "fault" or a "result", announced by screen readers."""
    classes = f"gl-status gl-{kind}"
    return f'<div class="{classes}" role="status">{text(sentence)}</div>'


def guarded(change, complain):
    """Carry out a change, or say why not: a callback's traceback would be swallowed."""
    try:
        change()
    except ValueError as error:
        complain(str(error))
    except Exception as error:
        complain(
            f"The panel met a fault of its own ({type(error).__name__}: {error});"
            " the last picture stays. Please report it."
        )


def in_words(bundle, words, **stored):
    """A widget's mime bundle with words, and more, where panels are not shown."""
    shown = {**stored, "text/plain": words}
    if isinstance(bundle, tuple):
        return {**bundle[0], **shown}, bundle[1]
    return {**bundle, **shown}


def checkbox(label, value=False):
    """A labelled switch; a checkbox says by itself whether it is on."""
    return widgets.Checkbox(
        description=label, value=value, indent=False, layout={"width": AUTO}
    )


def on_value(control, action):
    """Call `action` with each new value of a control."""
    control.observe(lambda change: action(change["new"]), names="value")


def row(*children, **layout):
    """Children side by side, wrapped where the page is narrow."""
    return widgets.HBox(children, layout={"flex_flow": "row wrap", **layout})


def line_up(look, *children):
    """Children side by side, as the class `look` has it."""
    made = widgets.HBox(children)
    made.add_class(look)
    return made
