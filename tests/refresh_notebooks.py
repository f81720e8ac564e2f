"""Run every notebook from top to bottom and store what it shows.

Run it from the folder with README.md: ``python tests/refresh_notebooks.py``. Widget
views and run times are not stored; an error stops it and the old file stays. Nobody
is signed in, so that every lab shows its practice paper.
"""

import os
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import nbformat
from nbclient import NotebookClient

FOLDER = Path(__file__).resolve().parents[1] / "notebooks"
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
METADATA = {
    "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
    "language_info": {"name": "python"},
}


def refreshed(path):
    """The notebook, run where it lies, in the form in which it is stored."""
    book = nbformat.read(path, as_version=4)
    client = NotebookClient(
        book,
        timeout=60,
        kernel_name="python3",
        store_widget_state=False,
        record_timing=False,
        resources={"metadata": {"path": str(path.parent)}},
    )
    client.execute()
    book.metadata = nbformat.from_dict(METADATA)
    for cell in book.cells:
        if cell.cell_type == "code":
            cell.metadata.pop("execution", None)
            for output in cell.outputs:
                output.get("data", {}).pop(WIDGET_VIEW, None)
    nbformat.validate(book)
    return book


def main():
    with TemporaryDirectory() as answers:
        os.environ["GEARLAB_ANSWERS"] = answers
        for path in sorted(FOLDER.rglob("*.ipynb")):
            if ".ipynb_checkpoints" in path.parts:
                continue
            nbformat.write(refreshed(path), path)
            sys.stdout.write(f"{path.relative_to(FOLDER)}: run and stored\n")


if __name__ == "__main__":
    main()
