"""Drawings: a flow becomes a :class:`Scene`, and a scene becomes a picture."""

from importlib import import_module

from .bench import draw_bench
from .chart import draw_apply_chart
from .endview import draw_end_view
from .folded import folded
from .layers import paint_layers
from .levers import draw_lever, draw_lever_ranges, draw_levers
from .producttable import draw_product_table
from .scene import Scene
from .shiftstrip import draw_shift_strip
from .speeds import draw_speed_chart
from .stick import draw_half_section, draw_stick
from .svg import TURNS_PROPERTY, spin_css, to_img, to_svg, turns_css
from .view import COLOURINGS

# Loaded when they are first asked for, because matplotlib takes its time.
_LATER = {
    "draw_summary": "summary",
    "plot_ratios": "plots",
    "save": "mpl",
    "to_figure": "mpl",
}

__all__ = [
    "COLOURINGS",
    "TURNS_PROPERTY",
    "Scene",
    "draw_apply_chart",
    "draw_bench",
    "draw_end_view",
    "draw_half_section",
    "draw_lever",
    "draw_lever_ranges",
    "draw_levers",
    "draw_product_table",
    "draw_shift_strip",
    "draw_speed_chart",
    "draw_stick",
    "folded",
    "paint_layers",
    "spin_css",
    "to_img",
    "to_svg",
    "turns_css",
    *_LATER,
]


def __getattr__(name):
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f".{_LATER[name]}", __name__), name)
    globals()[name] = value
    return value


def __dir__():
    return __all__
