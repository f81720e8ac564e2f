"""Drawings: a flow becomes a :class:`Scene`, and a scene becomes a picture."""

from importlib import import_module
from importlib.util import find_spec

from .bench import draw_bench
from .charts.applychart import draw_apply_chart
from .charts.logchart import draw_log
from .charts.producttable import draw_product_table
from .charts.ratioplot import plot_ratios
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
    "plot_ratios",
    "to_img",
    "to_svg",
    *_LATER,
]


def __getattr__(name):
    if name not in _LATER:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    if find_spec("matplotlib") is None:
        return _without(name)
    value = getattr(import_module(f".{_LATER[name]}", __name__), name)
    globals()[name] = value
    return value


def _without(name):
    """What stands in for a painter where matplotlib is not installed."""
    way_out = (
        "draw.draw_log(log) shows that log without it"
        if name == "plot_log"
        else "show the picture in a notebook, or write draw.to_svg(...) to a file"
    )

    def refuse(*given, **more):
        raise ValueError(
            f"{name} paints with matplotlib, which is not installed here; {way_out}"
        )

    return refuse


def __dir__():
    return __all__
