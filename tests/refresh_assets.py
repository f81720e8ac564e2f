"""Take the pictures of ``assets/`` anew: the bench panel, and the contact sheets.

The panel is taken in an installed Chromium.

Run it from the folder with README.md: ``python tests/refresh_assets.py``.
"""

import sys
import tempfile
from pathlib import Path

import contact_sheet
from browser_lab import browser_page, lab_server, open_notebook, write_notebook

ASSETS = Path(__file__).resolve().parents[1] / "assets"
CELLS = (
    "import gearlab as gl\nfrom gearlab.panels import Bench",
    'Bench(gl.load_train("five-range"), "2")',
)


def main():
    with tempfile.TemporaryDirectory() as folder:
        write_notebook(Path(folder) / "panel.ipynb", *CELLS)
        with lab_server(folder) as address, browser_page(1600, 1000) as page:
            open_notebook(page, address, "panel.ipynb")
            page.locator("[data-do=to]").fill("2.5")
            page.keyboard.press("Enter")
            page.wait_for_timeout(1000)
            page.locator(".gl-bench").screenshot(path=ASSETS / "panel.png")
    sys.stdout.write("assets/panel.png: taken\n")
    contact_sheet.main(ASSETS)


if __name__ == "__main__":
    main()
