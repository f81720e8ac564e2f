"""Panels: controls joined to results and drawings, for Jupyter."""

from .bench import Bench
from .desk import Desk
from .progress import Progress

__all__ = ["Bench", "Desk", "Progress"]
