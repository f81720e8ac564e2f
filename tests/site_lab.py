"""The site of the suite in a headless browser, for its test and the benchmark."""

import json
import os
import threading
from contextlib import contextmanager
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest
from browser_lab import KERNEL, RUNNING, command

from gearlab.site.building import build_site

NO_SITE = "the site cannot be built here:"
OUTPUTS = """() => [...window.jupyterapp.shell.currentWidget.context.model.cells]
  .flatMap(cell => cell.type === 'code' ? cell.outputs.toJSON() : [])"""


class Quiet(SimpleHTTPRequestHandler):
    """Serves files, and says nothing of it."""

    extensions_map = SimpleHTTPRequestHandler.extensions_map | {
        ".mjs": "text/javascript",
        ".wasm": "application/wasm",
    }

    def log_message(self, format, *args):
        pass


def built(folder, **how):
    """The site, built into a folder; where that cannot be done skip, or fail in CI."""
    try:
        return build_site(folder, say=lambda line: None, **how)
    except ValueError as error:
        (pytest.fail if os.environ.get("CI") else pytest.skip)(f"{NO_SITE} {error}")


@contextmanager
def served(folder, port=0):
    """A folder on a web server of this machine; yields its address."""
    server = ThreadingHTTPServer(("127.0.0.1", port), partial(Quiet, directory=folder))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{server.server_port}"
    finally:
        server.shutdown()
        server.server_close()


def kept_in(context, address):
    """Let a browser reach this address alone; the list of what else it asked for."""
    outside = []

    def judge(route):
        url = route.request.url
        if url.startswith((address, "data:", "blob:")):
            route.continue_()
        else:
            outside.append(url)
            route.abort()

    context.route("**/*", judge)
    return outside


def open_site(page, address, whole=True):
    """Open the start page, and wait until all of the site is in the browser."""
    page.goto(f"{address}/")
    if whole:
        page.wait_for_function(
            "document.getElementById('offline').innerText.includes('without a network')"
            " && !document.getElementById('offline').innerText.includes('fetched')"
        )


def open_page(page, address, path, view="notebooks"):
    """Open a notebook of the site; its kernel is not waited for."""
    page.goto(f"{address}/{view}/index.html?path=notebooks/{path}", wait_until="commit")
    page.wait_for_selector(".jp-Notebook .jp-Cell")


def open_notebook(page, address, path, run=True, view="notebooks"):
    """Open a notebook of the site and, unless told otherwise, run all its cells."""
    open_page(page, address, path, view)
    page.wait_for_function(f"window.jupyterapp && {KERNEL} === 'idle'")
    if run:
        run_all(page)


def run_all(page):
    """Run all cells of the open notebook, once its kernel is there."""
    page.wait_for_function(f"window.jupyterapp && {KERNEL} === 'idle'")
    command(page, "notebook:run-all-cells")
    page.wait_for_function(RUNNING)
    page.wait_for_function(f"{KERNEL} === 'idle' && !{RUNNING}")


def outputs(page):
    """What the cells of the open notebook put out, in the format of notebooks."""
    return page.evaluate(OUTPUTS)


def errors(page):
    """What the cells of the open notebook failed with."""
    found = [one for one in outputs(page) if one["output_type"] == "error"]
    return [f"{one['ename']}: {one['evalue']}" for one in found]


def show_first(page, selector):
    """Scroll from the top until something is shown; it is not drawn before."""
    page.evaluate(
        "window.jupyterapp.shell.currentWidget.content.scrollToItem(5, 'start')"
    )
    found = page.locator(selector).first
    found.wait_for()
    return found


def asked(page, code):
    """Run some code in the kernel; what it printed, read as JSON."""
    printed = page.evaluate(
        """async code => {
          const kernel = window.jupyterapp.shell.currentWidget.context.sessionContext
            .session.kernel
          let text = ''
          const future = kernel.requestExecute({code})
          future.onIOPub = message => {
            if (message.header.msg_type === 'stream') text += message.content.text
            if (message.header.msg_type === 'error') text += message.content.evalue
          }
          await future.done
          return text
        }""",
        code,
    )
    try:
        return json.loads(printed)
    except ValueError:
        raise AssertionError(printed) from None
