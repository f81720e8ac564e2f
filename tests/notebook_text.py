"""How the tests read the notebooks: paths, cells, prose, and what is folded."""

import json
import re
from functools import cache
from pathlib import Path

from gearlab.lab.question.papers import draw_paper
from gearlab.lab.suite.labs import CORE, LAB_NAMES, find_lab, notebook_of

FOLDER = Path(__file__).resolve().parents[1] / "notebooks"
PATHS = [
    path
    for path in sorted(FOLDER.rglob("*.ipynb"))
    if ".ipynb_checkpoints" not in path.parts
]
START, GLOSSARY = FOLDER / "00_start_here.ipynb", "13_look_up_words.ipynb"
LABS = {name: FOLDER / notebook_of(name) for name in LAB_NAMES}
CORE_PATHS = [START, *(LABS[name] for name in CORE)]
FOLD = re.compile(r"<details><summary>(.*?)</summary>\n\n(.*?)\n\n</details>", re.S)
ASK = re.compile(r"desk\.ask\((.*)\)", re.S)


@cache
def cells(path):
    """``[(kind, source)]`` of a notebook."""
    book = json.loads(path.read_text(encoding="utf-8"))
    return [(one["cell_type"], "".join(one["source"])) for one in book["cells"]]


def asked(source):
    """The topics that a code cell asks."""
    found = ASK.search(source)
    return re.findall('"([^"]+)"', found[1]) if found else []


@cache
def practice(lab):
    """What everybody meets who is not signed in: ``{topic: Asked}``."""
    return draw_paper(find_lab(lab)).asked


def sections(text, head):
    """The parts of a text from a heading to the next one."""
    return re.findall(rf"^## {head}\n(.*?)(?=^## |\Z)", text, re.S | re.M)
