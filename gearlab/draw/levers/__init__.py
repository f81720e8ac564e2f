"""Lever diagrams: of one set, of a whole train, and of all its ranges."""

from .lever import draw_lever
from .ranges import draw_lever_ranges
from .whole import draw_levers, levers_sheet

__all__ = ["draw_lever", "draw_lever_ranges", "draw_levers", "levers_sheet"]
