"""Pieces that panels are built from: a scope for styles, labelled controls, a guard."""

from html import escape
from secrets import token_hex

import ipywidgets as widgets

from ..draw import TURNS_PROPERTY

LABEL = {"description_width": "initial"}
AUTO = "auto"

_CSS = """
.gl-panel{background:#fff;color:#111;padding:8px;max-width:1240px;--jp-widgets-font-size:15px;
 overflow-wrap:anywhere}
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
.gl-panel button.jupyter-button,.gl-panel .widget-dropdown,.gl-panel select,
.gl-panel .widget-text,.gl-panel .widget-text input{height:auto!important;
 min-height:30px}
.gl-panel button.jupyter-button{background:#eee;border:1px solid #555;padding:2px 10px;
 line-height:1.5}
.gl-panel select,.gl-panel input[type=text]{background-color:#fff;border:1px solid #555}
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
.gl-one-ways{display:flex;flex-wrap:wrap;gap:2px 24px}
.gl-pictures{display:grid;gap:4px;justify-items:center;align-items:start}
.gl-pictures.gl-old{opacity:.45}
.gl-pictures>div{width:100%}
.gl-pictures svg{width:100%!important;height:auto;display:block}
"""


def scope():
    """A class name of its own for one panel, and a widget with the panels' style."""
    # By chance, since panels of several kernels can stand on one page.
    name = f"gl-scope-{token_hex(4)}"
    css = f"<style>{TURNS_PROPERTY}{_CSS}</style>"
    return name, widgets.HTML(css, layout={"display": "contents"})


def text(content):
    """Text from a file or a person, escaped for a page."""
    return escape(str(content))


def status(sentence, kind="fault"):
    """A sentence on a "fault" or a "result", announced by screen readers."""
    classes = f"gl-status gl-{kind}"
    return f'<div class="{classes}" role="status">{text(sentence)}</div>'


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
