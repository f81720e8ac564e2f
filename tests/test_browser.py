"""The notebooks in JupyterLab, in a real browser: each opens and runs to its end."""

import shutil
from pathlib import Path

import browser_lab as lab
import pytest

NOTEBOOKS = Path(__file__).parents[1] / "notebooks"
BOOKS = [
    str(book.relative_to(NOTEBOOKS))
    for book in NOTEBOOKS.rglob("[0-9]*.ipynb")
    if book.parent.name != ".ipynb_checkpoints"
]

# It serves the web site alone, but its package offers it to every JupyterLab.
NOT_OURS = "@jupyterlite/pyodide-kernel-extension"


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A page of JupyterLab, the address, and what the browser complained about."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    shutil.copytree(NOTEBOOKS, folder / "notebooks")
    with lab.lab_server(folder) as address, lab.browser_page() as page:
        complaints = []

        def heard(line):
            if line.type == "error" and NOT_OURS not in line.text:
                complaints.append(line.text)

        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", heard)
        yield page, address, complaints


@pytest.mark.parametrize("book", sorted(BOOKS))
def test_a_shipped_notebook_opens_and_runs(served, book):
    page, address, _ = served
    lab.open_notebook(page, address, f"notebooks/{book}")
    cells = page.evaluate(
        "window.jupyterapp.shell.currentWidget.context.model.toJSON().cells"
    )
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    assert code and all(cell["execution_count"] for cell in code)
    kinds = [out["output_type"] for cell in code for out in cell["outputs"]]
    assert "error" not in kinds
    assert page.locator(".jp-Dialog").count() == 0


def test_the_browser_complained_about_nothing(served):
    assert served[2] == []
