"""Panels: controls joined to results and drawings, for Jupyter."""

from .bench import Bench
from .classwalk import ClassWalk
from .desk import Desk
from .feedback import Feedback
from .preparing import Prepare
from .progress import Progress
from .roadlog import LogPanel
from .ticking import Ticking

__all__ = [
    "Bench",
    "ClassWalk",
    "Desk",
    "Feedback",
    "LogPanel",
    "Prepare",
    "Progress",
    "Ticking",
]
