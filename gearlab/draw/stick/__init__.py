"""Stick diagrams: the half section of any train, laid out by the program."""

from .diagram import draw_stick

__all__ = ["draw_stick"]
