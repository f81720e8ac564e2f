"""Press "check" 2,000 times in JupyterLab, at any pace, and count what is lost."""

import os
import shutil
import sys
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from time import perf_counter

PRESSES = 2000
PACES = (0, 0, 0, 0, 1, 5, 20, 60, 150, None)  # ms; None is ten in a row by the page
STUDENT = "in a hurry"
CELLS = (
    "import small_lab\nfrom gearlab.panels import Desk\ndesk = Desk(small_lab.LAB)\n"
    f"desk.sign_in('{STUDENT}')\ndesk",
    "desk.ask('what ratio')",
)


def measure(report):
    """Report how many presses the kernel did not answer, or took for another text."""
    sys.path.insert(0, str(Path(__file__).parents[1]))
    import browser_lab as lab
    import small_lab

    with TemporaryDirectory() as folder:
        os.environ["GEARLAB_ANSWERS"] = str(Path(folder) / "answers")
        shutil.copy(small_lab.__file__, folder)
        lab.write_notebook(Path(folder) / "lab.ipynb", *CELLS)
        with lab.lab_server(folder) as address, lab.browser_page(height=1200) as page:
            lab.open_notebook(page, address, "lab.ipynb")
            panel = page.locator(".gl-panel").nth(1)
            start = perf_counter()
            numbers, unanswered = lab.press_checks(panel, _pauses())
            took = perf_counter() - start
        other = _taken_for_another(numbers, small_lab.LAB.name)
    report(
        f"{len(numbers)} presses of check, typed and pressed at any pace",
        "0 lost",
        f"{unanswered} unanswered, {other} judged by another text; {took:.0f} s",
    )


def _pauses():
    """Pauses for as many presses as are wanted."""
    random, pauses, count = Random(1), [], 0
    while count < PRESSES:
        pauses.append(random.choice(PACES))
        count += 1 if pauses[-1] is not None else 10
    return pauses


def _taken_for_another(numbers, lab_name):
    """How many presses have not left just what was typed in the answer sheet."""
    from gearlab.lab.sheet.sheet import read_sheet, sheet_path

    sheet = read_sheet(sheet_path((STUDENT,), lab_name, "A"))
    kept = [attempt.answer for attempt in sheet.attempts]
    pairs = zip(numbers, kept, strict=False)
    wrong = sum(str(number) != answer for number, answer in pairs)
    return wrong + abs(len(numbers) - len(kept))
