"""Drawings: a flow becomes a :class:`Scene`, and a scene becomes a picture."""

from .bench import draw_bench
from .endview import draw_end_view
from .lever import draw_lever
from .scene import Scene
from .svg import TURNS_PROPERTY, spin_css, to_img, to_svg, turns_css

__all__ = [
    "TURNS_PROPERTY",
    "Scene",
    "draw_bench",
    "draw_end_view",
    "draw_lever",
    "spin_css",
    "to_img",
    "to_svg",
    "turns_css",
]
