"""Measure the bench panel in JupyterLab against an empty widget's round trip.

A press is timed in the page: from the keydown event to the first frame painted after
everything that is watched has changed. The empty widget and the panel are pressed in
turn, in blocks, so that a busy machine slows both.
"""

import os
import sys
from pathlib import Path
from statistics import median, quantiles
from tempfile import TemporaryDirectory

BLOCKS, PRESSES = 6, 12
CHANGES = 1000
SET_UP = """
import time
import ipywidgets as widgets
import gearlab as gl
from gearlab.panels import Bench

key = widgets.IntSlider(max=1000, readout=False)
shown = widgets.HTML("<p>0</p>")
key.observe(lambda change: setattr(shown, "value", f"<p>{change['new']}</p>"), "value")
empty = widgets.VBox([key, shown])
empty.add_class("gl-empty")
bench = Bench(gl.load_train("five-range"))
bench.show_teeth.value = True
"""
CHANGE = f"""
for i in range({CHANGES // 4}):
    bench.turn_to(i / 36)
    bench.apply("direct clutch", i % 2 == 0)
    bench.turn_to(i / 36 + 0.01)
    bench.set_teeth({{"rear": {{"ring": 72 + 2 * (i % 20)}}}})
    time.sleep(0.04)
print(bench.status or "all done")
"""
# What is pressed: where the focus is, the keys in turn, and what must have changed.
EMPTY = (".gl-empty .noUi-handle", ("ArrowRight",), (".gl-empty .widget-html p",))
LIVE = ".gl-panel :not(.gl-kept) > .gl-pictures"  # outlines below it may stay
WORDS, OUTLINES = ".gl-panel .gl-words", ".gl-panel .gl-kept"
TURN = ".gl-panel .noUi-handle", ("ArrowRight",), (".gl-panel .gl-count",)
TOGGLE = "direct clutch", ("Space",), (LIVE, WORDS)
HALF = BLOCKS * PRESSES // 2  # each tooth count up, then down again
UP_DOWN = ("ArrowRight",) * HALF + ("ArrowLeft",) * HALF
TEETH = "rear ring", UP_DOWN, (LIVE, WORDS, OUTLINES)
TIMER = """watched => {
  let start, left = new Set(watched)
  const boxes = watched.map(one => document.querySelector(one)
    .closest('.widget-html-content'))
  window.pressed = new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error(`unchanged: ${[...left]}`)), 10000)
    const watch = new MutationObserver(changes => {
      for (const change of changes)
        boxes.forEach((box, i) => {
          if (box.contains(change.target)) left.delete(watched[i])
        })
      if (left.size || start === undefined) return
      watch.disconnect()
      requestAnimationFrame(() => {
        const painted = new MessageChannel()
        painted.port1.onmessage = () => resolve(performance.now() - start)
        painted.port2.postMessage(0)
      })
    })
    for (const box of boxes) watch.observe(box, {childList: true, subtree: true})
  })
  document.addEventListener('keydown', () => { start = performance.now() },
    {capture: true, once: true})
}"""
POSITIONS = """async () => {
  const one = document.querySelector('.gl-panel svg g[style*=turns]')
  const seen = new Set(), end = performance.now() + 3000
  let frames = 0
  while (performance.now() < end) {
    await new Promise(requestAnimationFrame)
    frames += 1
    seen.add(getComputedStyle(one).transform)
  }
  return [seen.size / 3, frames / 3]
}"""
NEXT = "window.jupyterapp.commands.execute('notebook:run-cell-and-select-next')"
LAST = "window.jupyterapp.shell.currentWidget.content.activeCellIndex = 3"
DONE = "[...document.querySelectorAll('.jp-OutputArea-output pre')].at(-1)?.innerText"


class Traffic:
    """What comes from the kernel: messages and bytes."""

    def __init__(self, page):
        self.count = self.size = 0
        page.on("websocket", lambda socket: socket.on("framereceived", self._received))

    def _received(self, frame):
        self.count += 1
        self.size += len(frame)


def press(page, target, turn):
    """Press a key once and return how long it took to be seen [ms]."""
    _, keys, watched = target
    page.evaluate(TIMER, list(watched))
    page.keyboard.press(keys[turn % len(keys)])
    took = page.evaluate("window.pressed")
    # Not in step with the frames, so that the wait for one is as random as a hand.
    page.wait_for_timeout(40 + 7 * (turn % 9))
    return took


def focus(page, place):
    """Put the keyboard on what is pressed."""
    panel = page.locator(".gl-panel")
    if place.startswith("."):
        page.locator(place).first.focus()
    elif place == TEETH[0]:
        row = panel.get_by_label(place).locator("xpath=ancestor::*[3]")
        row.locator(".noUi-handle").first.focus()
    else:
        panel.get_by_label(place).focus()


def heap(page, session):
    """Used memory of the page's scripts after a clean-up, and of its process [MB]."""
    for _ in range(3):
        session.send("HeapProfiler.collectGarbage")
        page.wait_for_timeout(300)
    used = page.evaluate("performance.memory.usedJSHeapSize") / 2**20
    return used, max(_renderers(), default=0.0)


def _renderers():
    """The resident memory of this run's page processes [MB]; Linux only."""
    parents, sizes = {}, {}
    for entry in Path("/proc").glob("[0-9]*"):
        try:
            status = (entry / "status").read_text(encoding="utf-8")
            command = (entry / "cmdline").read_text(encoding="utf-8")
        except OSError:
            continue
        fields = dict(line.split(":", 1) for line in status.splitlines())
        parents[int(entry.name)] = int(fields["PPid"])
        if "--type=renderer" in command:
            sizes[int(entry.name)] = int(fields.get("VmRSS", "0 kB").split()[0]) / 1024
    for process, size in sizes.items():
        above = process
        while above in parents and above != os.getpid():
            above = parents[above]
        if above == os.getpid():
            yield size


def measure(report):
    """Report every figure of the panel in the browser."""
    sys.path.insert(0, str(Path(__file__).parents[1]))
    import browser_lab as lab

    with TemporaryDirectory() as folder:
        cells = (SET_UP, "empty", "bench", CHANGE)
        lab.write_notebook(Path(folder) / "bench.ipynb", *cells)
        with lab.lab_server(folder) as address, lab.browser_page() as page:
            traffic = Traffic(page)
            lab.open_notebook(page, address, "bench.ipynb", run=False)
            for _ in cells[:-1]:
                page.evaluate(NEXT)
            page.wait_for_selector(".gl-panel svg", timeout=15_000)
            page.wait_for_timeout(1500)
            _presses(page, traffic, report)
            _turning(page, report)
            _memory(page, lab, report)


def _presses(page, traffic, report):
    targets = {"turning": TURN, "a toggle": TOGGLE, "a tooth count": TEETH}
    times = {"empty": []} | {what: [] for what in targets}
    sent = {what: [0, 0] for what in times}
    spent = {what: {} for what in times}
    session = page.context.new_cdp_session(page)
    session.send("Performance.enable")
    for block in range(BLOCKS):
        for what, target in targets.items():
            for name, one in (("empty", EMPTY), (what, target)):
                focus(page, one[0])
                start, before = _metrics(session), (traffic.count, traffic.size)
                for turn in range(PRESSES):
                    took = press(page, one, PRESSES * block + turn)
                    if block or turn > 1:  # the first ones warm everything up
                        times[name].append(took)
                sent[name][0] += traffic.count - before[0]
                sent[name][1] += traffic.size - before[1]
                for key, value in _metrics(session).items():
                    spent[name][key] = spent[name].get(key, 0) + value - start[key]
    floor = times["empty"]
    for what, found in times.items():
        over = f"{median(found) / median(floor):.2f}×"
        tail = quantiles(found, n=20)[-1]
        over += f", {tail / quantiles(floor, n=20)[-1]:.2f}×"
        presses = BLOCKS * PRESSES * (len(targets) if what == "empty" else 1)
        count, size = (value / presses for value in sent[what])
        report(
            f"key to painted: {what} ({len(found)} presses)",
            "–" if what == "empty" else "1.25×",
            f"p50 {median(found):.0f} ms, p95 {tail:.0f} ms; {over} of the empty one",
        )
        parts = ", ".join(
            f"{key.removesuffix('Duration').lower()} {1e3 * value / presses:.1f}"
            for key, value in spent[what].items()
        )
        report(
            "  from the kernel; the page's own time",
            "–",
            f"{count:.0f} messages, {size / 1024:.0f} kB; {parts} ms",
        )


def _metrics(session):
    wanted = ("ScriptDuration", "LayoutDuration", "RecalcStyleDuration", "TaskDuration")
    found = session.send("Performance.getMetrics")["metrics"]
    return {one["name"]: one["value"] for one in found if one["name"] in wanted}


def _turning(page, report):
    page.get_by_role("button", name="start turning").click()
    page.wait_for_timeout(1000)
    positions, frames = page.evaluate(POSITIONS)
    page.get_by_role("button", name="stop turning").click()
    page.wait_for_timeout(500)
    report(
        "distinct positions a second while turning",
        "50",
        f"{positions:.0f} (of {frames:.0f} frames)",
    )


def _memory(page, lab, report):
    session = page.context.new_cdp_session(page)
    before = heap(page, session)
    page.evaluate(LAST)
    lab.command(page, "notebook:run-cell")
    page.wait_for_function(f"{DONE}?.trim()", timeout=120_000)
    said = page.evaluate(DONE).strip()
    page.wait_for_timeout(1500)
    after = heap(page, session)
    report(
        f"memory after {CHANGES} changes by kernel code: {said}",
        "+80 MB",
        f"{after[0] - before[0]:+.0f} MB of scripts (from {before[0]:.0f}),"
        f" {after[1] - before[1]:+.0f} MB of the process (from {before[1]:.0f})",
    )
