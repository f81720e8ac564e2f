"""End views: one gear set face on, of every kind whose gears have a place."""

from .drawing import draw_end_view

__all__ = ["draw_end_view"]
