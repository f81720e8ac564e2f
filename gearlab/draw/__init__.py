"""Drawings: a flow becomes a :class:`Scene`, and a scene becomes a picture."""

from importlib import import_module

from .bench import draw_bench
from .charts.applychart import draw_apply_chart
from .charts.logchart import draw_log
from .charts.producttable import draw_product_table
from .charts.shiftstrip import draw_shift_strip
from .charts.speedchart import draw_speed_chart
from .charts.symptomtable import draw_symptom_table
from .endview import draw_end_view
from .kit.folded import folded
from .kit.scene import Scene
from .kit.svg import to_img, to_svg
from .levers import draw_lever, draw_lever_ranges, draw_levers
from .stick import draw_half_section, draw_stick

# Loaded when they are first asked for, because matplotlib takes its time.
_LATER = {
    "plot_log": "charts.logplot",
    "plot_ratios": "charts.plots",
    "save": "kit.mpl",
    "to_figure": "kit.mpl",
}

__all__ = [
    "Scene",
    "draw_apply_chart",
    "draw_bench",
    "draw_end_view",
    "draw_half_section",
    "draw_lever",
    "draw_lever_ranges",
    "draw_levers",
    "draw_log",
    "draw_product_table",
    "draw_shift_strip",
    "draw_speed_chart",
    "draw_stick",
    "draw_symptom_table",
    "folded",
    "to_img",
    "to_svg",
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
