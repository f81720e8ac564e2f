"""Figures of the web site in a headless browser, beside their goals.

Run it from the folder with README.md: ``python tests/bench/web_site.py`` with one of:

    --first     first panel, cold and warm: the stored one, and that of the kernel
    --pressed   a toggle to the painted frame, before the kernel and with it
    --memory    the memory of one notebook beside that of a blank page
    --all       every notebook, then every notebook with the server gone
    --tabs N    N answers in two tabs, half of them in turn and half at once
    --http      over plain http, as on a class network
"""

import argparse
import os
import re
import sys
import tempfile
import time
from contextlib import contextmanager
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent))

import browser_lab  # noqa: E402
import site_lab  # noqa: E402
from in_browser import TOGGLES, spread  # noqa: E402

from gearlab.site.building import build_site  # noqa: E402

NOTEBOOKS = HERE.parents[1] / "notebooks"
LAB = "01_turn_one_set.ipynb"
LIVES = ".gl-bench .gl-live svg"
INSECURE = "class.test"  # a name that means this machine, and is no secure place


def say(*words):
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


@contextmanager
def window(site):
    """(address, a context of a fresh browser that reaches it alone, what else)."""
    with browser_lab.browser() as chromium, site_lab.served(site) as address:
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        context.set_default_timeout(180_000)
        yield address, context, site_lab.kept_in(context, address)


def first(site):
    """How long it takes from an address to a panel that lives, by itself and whole."""
    for by_start in (False, True):
        with window(site) as (address, context, outside):
            page = context.new_page()
            if by_start:
                site_lab.open_site(page, address)
            for what in ("cold", "warm", "warm"):
                came = "after the start page" if by_start else what
                say(f"first panel, {came}: {_first(page, address)}")
                if by_start:
                    break
                page.wait_for_timeout(20_000)  # all of the site is fetched meanwhile
            say("requests outside:", len(outside), "(goal 0)")


def _first(page, address):
    start = time.monotonic()
    took = lambda: f"{time.monotonic() - start:.1f} s"  # noqa: E731
    site_lab.open_page(page, address, LAB)
    page.wait_for_selector(LIVES, state="attached")
    stored = took()
    page.wait_for_function(f"window.jupyterapp && {browser_lab.KERNEL} === 'idle'")
    kernel = took()
    browser_lab.command(page, "notebook:run-all-cells")
    page.wait_for_selector(".gl-panel .gl-press input")
    panel = took()
    page.wait_for_function(f"{browser_lab.KERNEL} === 'idle' && !{browser_lab.RUNNING}")
    return f"stored {stored} (goal 3), kernel {kernel}, its panel {panel} (goal 20, 12)"


def pressed(site):
    """A toggle of the first bench to the painted frame: stored, then with a kernel."""
    with window(site) as (address, context, _):
        page = context.new_page()
        site_lab.open_notebook(page, address, LAB, run=False)
        page.wait_for_timeout(3000)
        for what in ("stored", "with a kernel"):
            bench = page.locator(".gl-bench").first
            bench.scroll_into_view_if_needed()
            if what == "stored":
                bench.get_by_role("button", name="show it anyway").click()
            took = page.evaluate(TOGGLES, [bench.element_handle(), 100, 97])
            p50, p95 = spread(took)
            say(f"toggle, {what}: p50 {p50:.0f} ms, p95 {p95:.0f} ms (goal 30)")
            site_lab.run_all(page)
            page.wait_for_timeout(3000)


def memory(site):
    """All that the browser holds, of a blank page and then of one notebook."""
    with window(site) as (address, context, _):
        page = context.new_page()
        site_lab.open_site(page, address)  # so that fetching is over
        page.goto("about:blank")
        before = _held(page)
        site_lab.open_notebook(page, address, LAB)
        after = _held(page)
        more = f"{before:.0f} MB, one notebook {after:.0f} MB"
        say(f"blank {more}: {after - before:+.0f} MB (goal +350)")


def _held(page):
    """Memory of this browser's processes, what they share counted once [MB]."""
    session = page.context.new_cdp_session(page)
    for _ in range(3):
        session.send("HeapProfiler.collectGarbage")
        page.wait_for_timeout(1000)
    parents, held = {}, {}
    for folder in Path("/proc").glob("[0-9]*"):
        try:
            fields = (
                (folder / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()
            )
            rolled = (folder / "smaps_rollup").read_text(encoding="utf-8")
        except OSError:  # it has ended
            continue
        parents[folder.name] = fields[1]
        held[folder.name] = sum(map(int, re.findall(r"^Pss:\s+(\d+)", rolled, re.M)))
    ours = {str(os.getpid())}
    while more := {one for one, of in parents.items() if of in ours} - ours:
        ours |= more
    return sum(held[one] for one in ours - {str(os.getpid())}) / 1024


def everything(site):
    """Every cell of every notebook, then once more with the server gone."""
    with browser_lab.browser() as chromium:
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        context.set_default_timeout(180_000)
        paths = sorted(
            path.relative_to(NOTEBOOKS).as_posix()
            for path in NOTEBOOKS.rglob("*.ipynb")
            if ".ipynb_checkpoints" not in path.parts
        )
        with site_lab.served(site) as address:
            outside = site_lab.kept_in(context, address)
            site_lab.open_site(context.new_page(), address)
            _each(context, address, paths, "served")
        _each(context, address, paths, "server gone")
        say("requests outside:", len(outside), outside[:3], "(goal 0)")


def _each(context, address, paths, how):
    faults = 0
    for path in paths:
        page, start = context.new_page(), time.monotonic()
        site_lab.open_notebook(page, address, path)
        found = site_lab.errors(page)
        faults += len(found)
        say(f"{how}: {path}: {time.monotonic() - start:.0f} s {found or ''}")
        page.close()
    say(f"{how}: {len(paths)} notebooks, {faults} cells failed (goal 0)")


PUT_DOWN = """
import json
for number in range({first}, {first} + {count}):
    desk.put_down("first reduction", "{tab}" + str(number))
print(json.dumps(len(desk.work.tries("first reduction"))))
"""
ALL = """
import json
from gearlab.panels import Desk
print(json.dumps([one.answer for one in Desk("turn-one-set").work.sheet.attempts]))
"""


def tabs(site, count):
    """Answers in two tabs, in turn and at once: how many of them are lost."""
    with window(site) as (address, context, _):
        pages = [context.new_page() for _ in range(2)]
        for page in pages:
            site_lab.open_notebook(page, address, LAB)
            site_lab.asked(page, 'desk.sign_in("ana", sure=True); print(0)')
        start = time.monotonic()
        turns = count // 4
        for number in range(turns):
            for tab, page in enumerate(pages, start=1):
                code = PUT_DOWN.format(first=number, count=1, tab=tab)
                site_lab.asked(page, code)
        say(f"in turn: {2 * turns} answers, {time.monotonic() - start:.0f} s")
        start = time.monotonic()
        for tab, page in enumerate(pages, start=1):
            code = PUT_DOWN.format(first=turns, count=turns, tab=tab)
            browser_lab.execute(page, code)
        for page in pages:
            site_lab.asked(page, "print(0)")  # comes after what was asked before
        say(f"at once: {2 * turns} answers, {time.monotonic() - start:.0f} s")
        found = site_lab.asked(pages[0], ALL)
        wanted = {f"{tab}{number}" for tab in (1, 2) for number in range(2 * turns)}
        say(f"{len(wanted)} answers, {len(wanted - set(found))} lost (goal 0)")
        say(f"{len(found) - len(set(found))} twice")


TOLD = """
import json
print(json.dumps([desk.keeping.told, str(desk.work.path)]))
"""


def plain_http(site):
    """What a class sees that reaches a laptop over plain http."""
    rules = f"--host-resolver-rules=MAP {INSECURE} 127.0.0.1"
    browser_lab.FLAGS.append(rules)
    with browser_lab.browser() as chromium, site_lab.served(site) as address:
        address = address.replace("127.0.0.1", INSECURE)
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        context.set_default_timeout(180_000)
        page = context.new_page()
        site_lab.open_site(page, address, whole=False)
        page.wait_for_timeout(1000)
        say("start page:", page.inner_text("[role=status]"))
        site_lab.open_notebook(page, address, LAB)
        say("cells failed:", site_lab.errors(page))
        site_lab.asked(page, 'desk.sign_in("ana", sure=True); print(0)')
        site_lab.asked(page, PUT_DOWN.format(first=0, count=3, tab=1))
        told = (
            "import json; print(json.dumps([desk.keeping.told, str(desk.work.path)]))"
        )
        say("desk:", site_lab.asked(page, told))


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--first", action="store_true")
    parser.add_argument("--pressed", action="store_true")
    parser.add_argument("--memory", action="store_true")
    parser.add_argument("--all", action="store_true")
    parser.add_argument("--tabs", type=int, metavar="N")
    parser.add_argument("--http", action="store_true")
    wanted = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        start = time.monotonic()
        built = build_site(Path(folder) / "site", say=say)
        say(f"built in {time.monotonic() - start:.0f} s: {built.files} files,")
        say(f"{built.size / 1e6:.1f} MB (goal 60)")
        if wanted.first:
            first(built.folder)
        if wanted.pressed:
            pressed(built.folder)
        if wanted.memory:
            memory(built.folder)
        if wanted.all:
            everything(built.folder)
        if wanted.tabs:
            tabs(built.folder, wanted.tabs)
        if wanted.http:
            plain_http(built.folder)


if __name__ == "__main__":
    main()
