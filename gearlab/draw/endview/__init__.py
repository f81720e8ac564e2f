"""End views: one gear set face on, of every kind whose gears have a place."""

from .drawing import draw_end_view
from .sheet import end_view_sheet

__all__ = ["draw_end_view", "end_view_sheet"]
