"""Pieces that panels are built from: a scope for styles, labelled controls, a guard."""

from html import escape
from secrets import token_hex

import ipywidgets as widgets

from ..draw.kit.svg import TURNS_PROPERTY
from .front import Front

LABEL = {"description_width": "initial"}
AUTO = "auto"

# Pictures are dark on white, so a panel is, whatever theme the page has: every colour
# that a theme gives to a control is given anew.
_CSS = """
.gl-panel{background:#fff;color:#111;padding:8px;max-width:1240px;overflow-wrap:anywhere;
 color-scheme:light;accent-color:#0072B2;--jp-widgets-font-size:15px;
 --jp-widgets-color:#111;--jp-widgets-label-color:#111;--jp-widgets-input-color:#111;
 --jp-widgets-input-background-color:#fff;--jp-widgets-input-border-color:#555;
 --jp-widgets-input-focus-border-color:#0072B2;--jp-widgets-disabled-opacity:1;
 --jp-ui-font-color1:#111}
.gl-panel .widget-slider .noUi-target{opacity:1!important;background:#e4e4e4;
 border:1px solid #767676}
.gl-panel .widget-slider .noUi-handle{background:#fff;border:2px solid #555!important}
.gl-panel .widget-slider [disabled] .noUi-handle{background:#eee;
 border-color:#767676!important}
.gl-panel ::placeholder{color:#595959!important;opacity:1}
.gl-panel :disabled{color:#595959!important;background-color:#eee!important;
 border-color:#767676!important}
.gl-panel .jupyter-widgets-disconnected::before{display:none!important}
.gl-panel .widget-html,.gl-panel .widget-html-content{overflow:visible;height:auto;
 line-height:1.35;color:#111;font-size:var(--gl-text,15px)}
.gl-panel .widget-label,.gl-panel label,.gl-panel select,.gl-panel input,
.gl-panel button.jupyter-button{font-size:var(--gl-text,15px)!important;color:#111}
.gl-panel .widget-checkbox,.gl-panel .widget-checkbox label{height:auto;min-height:26px;
 white-space:normal;line-height:1.25;min-width:24px}
.gl-panel .widget-checkbox label{display:flex;align-items:center;gap:6px}
.gl-panel .widget-checkbox input,.gl-panel .widget-radio input{width:20px;height:20px;
 flex:none;margin:2px}
.gl-options>*{margin-right:14px}
.gl-options select{width:auto;flex:none}
.gl-large .gl-wide{max-width:none}
.gl-panel button.jupyter-button,.gl-panel .widget-dropdown,.gl-panel select,
.gl-panel .widget-text,.gl-panel .widget-text input{height:auto!important;
 min-height:30px}
.gl-panel button.jupyter-button{background:#eee;border:1px solid #555;padding:2px 10px;
 line-height:1.5}
.gl-panel :focus-visible{outline:3px solid #0072B2!important;outline-offset:1px}
.gl-panel .widget-text{width:auto;max-width:100%}
.gl-panel .widget-text input{width:6em;flex:none}
.gl-panel .widget-radio label,.gl-panel .widget-radio-box label{height:auto;
 min-height:26px;line-height:26px}
.gl-panel .widget-radio-box{gap:4px}
.gl-panel.gl-large{--gl-text:24px;max-width:none}
.gl-left{width:256px;flex:0 0 auto}
.gl-large .gl-left{width:330px}
@media (max-width:1400px){.gl-panel.gl-large{--gl-text:20px}
 .gl-large .gl-left{width:290px}}
.gl-panel h4{margin:2px 0;font-size:1em}
.gl-panel p{margin:2px 0}
.gl-panel .gl-words{margin:0;padding-left:20px}
.gl-count{font-size:1.25em;font-weight:bold}
.gl-status:empty{display:none}
.gl-status{border-left:6px solid #0072B2;padding:2px 8px;background:#f0f7fc}
.gl-status.gl-fault{border-color:#b00020;background:#fff3f3}
.gl-status.gl-right{border-color:#1b7a3d;background:#eefaf1}
.gl-status.gl-not-yet{border-color:#8a5a00;background:#fff8e6}
.gl-panel .widget-radio,.gl-panel .widget-radio-box{height:auto;width:auto;
 max-width:100%}
.gl-panel .widget-radio-box label{white-space:normal;line-height:1.25;display:flex;
 flex-direction:row-reverse;justify-content:flex-end;align-items:center;gap:6px}
.gl-panel ol.gl-words{padding-left:30px}
.gl-asked{max-width:46em;white-space:pre-line}
.gl-one-ways{display:flex;flex-wrap:wrap;gap:2px 24px}
.gl-pictures{display:grid;gap:4px;justify-items:center;align-items:start}
.gl-stack.gl-old{opacity:.45}
.gl-stack{display:grid;overflow:visible}
.gl-stack>*{grid-area:1/1;min-width:0}
.gl-wide{max-width:860px;margin:0 auto}
.gl-wide svg{width:100%!important;height:auto;display:block}
.gl-pictures>div{width:100%}
.gl-pictures svg{width:100%!important;height:auto;display:block}
"""


def scope():
    """A class name of its own for one panel, and the widget that makes it a panel.

    The panel has this class and ``gl-panel``, and the widget is its first child: it
    brings the style of panels, and keeps the keys that are pressed in them.
    """
    # By chance, since panels of several kernels can stand on one page.
    name = f"gl-scope-{token_hex(4)}"
    unseen = {"display": "contents"}
    css = widgets.HTML(f"<style>{TURNS_PROPERTY}{_CSS}</style>", layout=unseen)
    return name, widgets.Box((css, Front()), layout=unseen)


def text(content):
    """Text from a file or a person, escaped for a page."""
    return escape(str(content))


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


def in_words(bundle, words):
    """A widget's mime bundle with words where panels are not shown."""
    if isinstance(bundle, tuple):
        return {**bundle[0], "text/plain": words}, bundle[1]
    return {**bundle, "text/plain": words}


def dropdown(label, options, value, width="236px"):
    """A labelled list to choose one from."""
    layout = {"width": width, "max_width": "100%"}
    return widgets.Dropdown(
        description=label, options=options, value=value, style=LABEL, layout=layout
    )


def checkbox(label, value=False):
    """A labelled switch; a checkbox says by itself whether it is on."""
    return widgets.Checkbox(
        description=label, value=value, indent=False, layout={"width": AUTO}
    )


def button(label, action):
    """A button; `action` takes no argument."""
    made = widgets.Button(description=label, layout={"width": AUTO})
    made.on_click(lambda _: action())
    return made


def entry(label, value=""):
    """A labelled box for text that counts when it is left or Enter is pressed."""
    return widgets.Text(
        description=label, value=value, style=LABEL, continuous_update=False
    )


def on_value(control, action):
    """Call `action` with each new value of a control."""
    control.observe(lambda change: action(change["new"]), names="value")


def row(*children, **layout):
    """Children side by side, wrapped where the page is narrow."""
    return widgets.HBox(children, layout={"flex_flow": "row wrap", **layout})


def column(*children, **layout):
    """Children below each other."""
    return widgets.VBox(children, layout=layout)


def stack(*children):
    """Children over each other, the last on top."""
    box = widgets.Box(children, layout={"display": "grid"})
    box.add_class("gl-stack")
    return box
