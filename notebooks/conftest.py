"""What a stored picture shows is compared by its sentence, not by its drawing.

Nobody is signed in: what is stored are the questions of the practice paper.
"""

import os
from tempfile import TemporaryDirectory

ANSWERS = TemporaryDirectory()  # goes away with the test run
os.environ["GEARLAB_ANSWERS"] = ANSWERS.name


def pytest_collectstart(collector):
    if hasattr(collector, "skip_compare"):
        collector.skip_compare += ("text/html", "image/svg+xml")
