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
PROMPTS = (
    "[...document.querySelectorAll('.jp-InputPrompt')].map(prompt => prompt.innerText)"
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
def browser_page(width=1280, height=800):
    """A page of the installed Chromium."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=find_browser(), args=FLAGS, headless=True
        )
        page = browser.new_page(viewport={"width": width, "height": height})
        page.set_default_timeout(60_000)
        yield page
        browser.close()


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
    page.wait_for_function(f"{PROMPTS}.some(text => text.includes('*'))")
    page.wait_for_function(
        f"{KERNEL} === 'idle' && !{PROMPTS}.some(text => text.includes('*'))"
    )


def kill_kernel(page):
    """End the kernel from within, and wait until another one stands ready."""
    page.evaluate(
        "() => { window.jupyterapp.shell.currentWidget.context.sessionContext.session"
        ".kernel.requestExecute({code: 'import os; os._exit(1)'}) }"
    )
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
