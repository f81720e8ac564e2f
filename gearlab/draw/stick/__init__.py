"""Stick diagrams: the half section of any train, laid out by the program."""

from .diagram import draw_stick, stick_sheet
from .grid import has_stick
from .section import draw_half_section

__all__ = ["draw_half_section", "draw_stick", "has_stick", "stick_sheet"]
