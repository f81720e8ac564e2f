"""JupyterLab in a headless browser, for the browser tests and the benchmark."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from contextlib import contextmanager
from pathlib import Path
from string import ascii_lowercase, digits

import pytest

MISSING = "the browser tests need playwright and Chromium:"
MISSING += ' pip install "gearlab[browser]", and install the package chromium'
TOKEN = "for-this-run-only"
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run"]
FLAGS += ["--disable-background-networking", "--disable-component-update"]
FLAGS += ["--disable-sync", "--enable-precise-memory-info"]
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "chrome")
KERNEL = (
    "window.jupyterapp.shell.currentWidget?.context?.sessionContext?.session?.kernel"
    "?.status"
)
# Of the model, since a cell whose code is folded shows no prompt.
RUNNING = (
    "[...window.jupyterapp.shell.currentWidget.context.model.cells]"
    ".some(cell => cell.executionState === 'running')"
)
QUIET = {"fetchNews": "false", "checkForUpdates": False}


def find_browser():
    """The path of an installed Chromium, or None; GEARLAB_BROWSER overrides."""
    named = os.environ.get("GEARLAB_BROWSER")
    return named or next(filter(None, map(shutil.which, BROWSERS)), None)


def need_browser():
    """Skip where playwright or Chromium is not installed; in CI, fail."""
    try:
        import playwright  # noqa: F401
    except ImportError:
        found = False
    else:
        found = find_browser() is not None
    if not found:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(MISSING)


@contextmanager
def lab_server(folder):
    """JupyterLab serving a folder; yields its address."""
    settings = Path(folder) / ".settings"
    quiet = settings / "@jupyterlab" / "apputils-extension"
    quiet.mkdir(parents=True)
    (quiet / "notification.jupyterlab-settings").write_text(
        json.dumps(QUIET), encoding="utf-8"
    )
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root"]
    command += [f"--port={port}", "--ip=127.0.0.1", f"--ServerApp.root_dir={folder}"]
    command += [f"--IdentityProvider.token={TOKEN}", "--LabApp.expose_app_in_browser=1"]
    environment = dict(os.environ, JUPYTERLAB_SETTINGS_DIR=str(settings))
    log = Path(folder) / "server.log"
    with log.open("w", encoding="utf-8") as out:
        server = subprocess.Popen(
            command, stdout=out, stderr=subprocess.STDOUT, env=environment
        )
        try:
            address = f"http://127.0.0.1:{port}"
            _wait_for(f"{address}/api/status?token={TOKEN}", server, log)
            yield address
        finally:
            server.terminate()
            server.wait(20)


def _wait_for(address, server, log):
    for _ in range(240):
        try:
            with urllib.request.urlopen(address, timeout=2):
                return
        except (urllib.error.URLError, OSError):
            if server.poll() is not None:
                break
            time.sleep(0.25)
    raise RuntimeError(f"no server: {log.read_text(encoding='utf-8')[-2000:]}")


@contextmanager
def browser():
    """The installed Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        chromium = playwright.chromium.launch(
            executable_path=find_browser(), args=FLAGS, headless=True
        )
        yield chromium
        chromium.close()


@contextmanager
def browser_page(width=1280, height=800, **settings):
    """A page of the installed Chromium; settings are those of a browser context."""
    with browser() as chromium:
        page = chromium.new_page(
            viewport={"width": width, "height": height}, **settings
        )
        page.set_default_timeout(60_000)
        yield page


def open_notebook(page, address, name, run=True):
    """Open a notebook and, unless told otherwise, run all its cells."""
    page.goto(f"{address}/lab/tree/{name}?token={TOKEN}&reset")
    page.wait_for_selector(".jp-Notebook .jp-Cell")
    page.wait_for_function(f"window.jupyterapp && {KERNEL} === 'idle'")
    command(page, "application:toggle-left-area")
    if run:
        run_all(page)


def run_all(page):
    """Run every cell and wait until the kernel is idle again."""
    command(page, "notebook:run-all-cells")
    page.wait_for_function(RUNNING)
    page.wait_for_function(f"{KERNEL} === 'idle' && !{RUNNING}")


def execute(page, code):
    """Let the kernel run some code beside the notebook; it is not waited for."""
    page.evaluate(
        "code => { window.jupyterapp.shell.currentWidget.context.sessionContext.session"
        ".kernel.requestExecute({code}) }",
        code,
    )


def kill_kernel(page):
    """End the kernel from within, and wait until another one stands ready."""
    execute(page, "import os; os._exit(1)")
    page.wait_for_function(f"!['idle', 'busy'].includes({KERNEL})")
    page.wait_for_function(f"{KERNEL} === 'idle'")
    while page.locator(".jp-Dialog").count():
        page.locator(".jp-Dialog .jp-mod-accept").first.click()
        page.wait_for_timeout(100)


def command(page, name):
    """Start a command of JupyterLab; it is not waited for, as a dialog may hold it."""
    page.evaluate("name => { window.jupyterapp.commands.execute(name) }", name)


def write_notebook(path, *cells):
    """A notebook of code cells, to be opened."""
    import nbformat

    book = nbformat.v4.new_notebook(
        cells=[nbformat.v4.new_code_cell(source) for source in cells]
    )
    book.metadata.kernelspec = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(book, path)


KEYS = (
    *ascii_lowercase,
    "d",
    *digits,
    *(f"Arrow{way}" for way in ("Down", "Up", "Left", "Right")),
    "Delete",
    "Backspace",
    "Home",
    "End",
    "PageUp",
    "PageDown",
    "Enter",
    "Escape",
)
# What a key could change: the cells, their kinds and texts, and which one is active.
BOOK = """() => {
  const book = window.jupyterapp.shell.currentWidget
  return [book.content.activeCell.model.id, book.content.mode,
    ...book.context.model.toJSON().cells.map(
      one => [one.id, one.cell_type, one.source])]
}"""
# Words and buttons of a panel that are cut.
CUT = """[...panel.querySelectorAll(
  'label, button, select, h4, p, li, .widget-label, .widget-checkbox, .widget-radio')]
  .filter(one => one.offsetParent && (one.scrollWidth > one.clientWidth + 1
    || (one.tagName === 'BUTTON' && one.scrollHeight > one.clientHeight + 1)))
  .map(one => one.innerText)"""


def look(panel, script):
    """What a script says of a panel."""
    return panel.evaluate(f"panel => {script}")


def wait(panel, script):
    """Wait until a script is true of a panel."""
    for _ in range(200):
        if look(panel, script):
            return
        panel.page.wait_for_timeout(25)
    raise AssertionError(f"never true: {script}; {panel.inner_text()[:600]}")


def says(panel, words):
    """Wait until a panel says something."""
    wait(panel, f"panel.innerText.includes({words!r})")


BURST = """(panel, numbers) => {
  const box = panel.querySelector('input[type=text]')
  const button = [...panel.querySelectorAll('button')]
    .find(one => one.innerText === 'check')
  for (const number of numbers) {
    box.value = number
    box.dispatchEvent(new Event('input', {bubbles: true}))
    button.click()
  }
}"""
ANSWERED = """panel => {
  const {pressed, answered} = panel.querySelector('.gl-answer').dataset
  return [Number(pressed), Number(answered)]
}"""


def press_checks(panel, pauses):
    """Write 1, 2, 3, … into the box of a question, and press "check" after each.

    Parameters
    ----------
    panel : the panel of a question that asks for a number
    pauses : [ms] after each press; 0 is no pause, and None is no hand at all: the page
        itself presses ten times in a row

    Returns
    -------
    (numbers in the order in which they were pressed, presses that were not answered)
    """
    keyboard, mouse = panel.page.keyboard, panel.page.mouse
    panel.scroll_into_view_if_needed()
    before, numbers = panel.evaluate(ANSWERED), []
    for turn, pause in enumerate(pauses):
        if pause is None:
            burst = range(len(numbers) + 1, len(numbers) + 11)
            panel.evaluate(BURST, [str(number) for number in burst])
            numbers += burst
            continue
        numbers.append(len(numbers) + 1)
        mouse.click(*_middle(panel.get_by_label("your answer")))
        keyboard.press("Control+a")
        keyboard.type(str(numbers[-1]))
        if turn % 3:
            mouse.click(*_middle(panel.get_by_role("button", name="check")))
        else:
            keyboard.press("Enter")
        if pause:
            panel.page.wait_for_timeout(pause)
    return numbers, len(numbers) - _answered(panel, before, len(numbers))


def _middle(control):
    box = control.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _answered(panel, before, count):
    """How many of these presses the kernel has answered, once it answers no more."""
    found, silent = 0, 0
    while found < count and silent < 60_000:  # ms
        panel.page.wait_for_timeout(100)
        pressed, answered = panel.evaluate(ANSWERED)
        silent = silent + 100 if answered - before[1] == found else 0
        found = answered - before[1]
    assert pressed - before[0] == count, "a press was lost on the page"
    return found
