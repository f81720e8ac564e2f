"""Panels: controls joined to results and drawings, for Jupyter."""

from .bench import Bench

__all__ = ["Bench"]
