"""Where Python runs: on a machine of its own, or in a browser."""

import sys


def in_browser():
    """Whether a browser runs Python: no threads, no processes, nothing to install."""
    return sys.platform == "emscripten"
