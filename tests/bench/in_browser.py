"""Measure the bench in JupyterLab against an empty widget's round trip, and as a file.

A press is timed in the page: from the event to the first frame painted after what is
watched has changed. The empty widget and the bench are pressed in turn, in blocks, so
that a busy machine slows both.
"""

import sys
from pathlib import Path
from random import Random
from statistics import median, quantiles
from tempfile import TemporaryDirectory
from time import monotonic

import gearlab as gl

BLOCKS, PRESSES, WALK, CHANGES, PANELS = 5, 12, 200, 1000, 20
SET_UP = """
import ipywidgets as widgets
import gearlab as gl
from gearlab.panels import Bench

key = widgets.IntSlider(max=1000, readout=False)
shown = widgets.HTML("<p>0</p>")
key.observe(lambda change: setattr(shown, "value", f"<p>{change['new']}</p>"), "value")
empty = widgets.VBox([key, shown])
empty.add_class("gl-empty")
train = gl.load_train("five-range")
"""
MANY = f"widgets.VBox([Bench(train, '3') for _ in range({PANELS})])"
EMPTY = ".gl-empty .noUi-handle", ("ArrowRight",), ".gl-empty .widget-html-content"
KNOWN = {
    "a toggle": (".gl-elements input >> nth=5", ("Space",), ".gl-board"),
    "a range": (".gl-ranges [tabindex='0']", ("ArrowRight", "ArrowLeft"), ".gl-board"),
    "a load": ("[data-do=load]:checked", ("ArrowDown",), ".gl-board"),
}
TIMER = """place => {
  const one = document.querySelector(place)
  let start
  window.pressed = new Promise((resolve, reject) => {
    setTimeout(() => reject(new Error(`unchanged: ${place}`)), 10000)
    new MutationObserver((_, watch) => {
      watch.disconnect()
      requestAnimationFrame(() => {
        const painted = new MessageChannel()
        painted.port1.onmessage = () => resolve(performance.now() - start)
        painted.port2.postMessage(0)
      })
    }).observe(one, {childList: true, subtree: true, characterData: true})
  })
  for (const type of ['keydown', 'input']) {
    document.addEventListener(type, () => { start ??= performance.now() },
      {capture: true, once: true})
  }
}"""
# Presses an element; whether its page was here at once.
STEP = """(root, index) => {
  root.querySelectorAll('.gl-elements input')[index].click()
  return !root.classList.contains('gl-waiting')
}"""
# One press after the other, each to the painted frame [ms].
TOGGLES = """async ([root, count, pause]) => {
  const boxes = root.querySelectorAll('.gl-elements input'), took = []
  for (let i = 0; i < count; i++) {
    await new Promise(done => setTimeout(done, pause))
    const start = performance.now(), painted = new MessageChannel()
    boxes[(3 * i) % boxes.length].click()
    await new Promise(requestAnimationFrame)
    await new Promise(done => {
      painted.port1.onmessage = done
      painted.port2.postMessage(0)
    })
    took.push(performance.now() - start)
  }
  return took
}"""
# The crank is held; a hand moves it in every frame.
DRAG = """async ([root, moves]) => {
  const {left, top, width} = root.querySelector('.gl-wheel').getBoundingClientRect()
  const board = root.querySelector('.gl-board'), seen = new Set()
  const start = performance.now()
  for (let i = 1; i <= moves; i++) {
    await new Promise(requestAnimationFrame)
    const [x, y] = [Math.sin(i / 9), -Math.cos(i / 9)]
    root.dispatchEvent(new PointerEvent('pointermove', {
      clientX: left + width / 2 + 20 * x, clientY: top + width / 2 + 20 * y}))
    seen.add(board.style.getPropertyValue('--turns'))
  }
  return 1000 * seen.size / (performance.now() - start)
}"""
POSITIONS = """async root => {
  const board = root.querySelector('.gl-board'), seen = new Set()
  const end = performance.now() + 1500
  while (performance.now() < end) {
    await new Promise(requestAnimationFrame)
    seen.add(board.style.getPropertyValue('--turns'))
  }
  return seen.size / 1.5
}"""
NEXT = "window.jupyterapp.commands.execute('notebook:run-cell-and-select-next')"


def spread(times):
    """The middle and the slow end of some times [ms]."""
    return median(times), quantiles(times, n=20)[-1]


def press(page, place, keys, watched, turn):
    """Press a key once and return how long it took to be seen [ms]."""
    page.locator(place).first.focus()
    page.evaluate(TIMER, watched)
    page.keyboard.press(keys[turn % len(keys)])
    took = page.evaluate("window.pressed")
    # Not in step with the frames, so that the wait for one is as random as a hand.
    page.wait_for_timeout(300 + 7 * (turn % 9))
    return took


def measure(report):
    """Report every figure of the bench in the browser."""
    sys.path.insert(0, str(Path(__file__).parents[1]))
    import browser_lab as lab

    with TemporaryDirectory() as folder:
        cells = (SET_UP, "empty", "bench = Bench(train, '2'); bench", MANY)
        lab.write_notebook(Path(folder) / "bench.ipynb", *cells)
        with lab.lab_server(folder) as address, lab.browser_page(1366, 768) as page:
            lab.open_notebook(page, address, "bench.ipynb", run=False)
            page.evaluate(NEXT)
            page.evaluate(NEXT)
            page.wait_for_selector(".gl-empty")
            start = monotonic()
            page.evaluate(NEXT)
            page.wait_for_selector(".gl-bench .gl-live svg")
            took = monotonic() - start
            report("cell to first picture", "1.0 s", f"{took:.2f} s")
            page.wait_for_timeout(2000)
            root = page.locator(".gl-bench").first
            _presses(page, report)
            _walk(page, root, report)
            _crank(page, root, report)
            _memory(page, root, report)
            _many(page, root, report)
        _file(lab, Path(folder), report)


def _presses(page, report):
    page.get_by_role("button", name="teeth", exact=True).click()
    box = "[data-set=front][data-key=planets]"
    teeth = box, ("ArrowDown", "ArrowUp"), ".gl-verdicts"
    targets = KNOWN | {"new teeth": teeth}
    times = {"empty": []} | {what: [] for what in targets}
    for block in range(BLOCKS):
        for what, target in targets.items():
            for name, one in (("empty", EMPTY), (what, target)):
                for turn in range(PRESSES):
                    took = press(page, *one, PRESSES * block + turn)
                    if block or turn > 1:  # the first ones warm everything up
                        times[name].append(took)
    middle, slow = spread(times["empty"])
    for what, found in times.items():
        p50, p95 = spread(found)
        goal = {"empty": "–", "new teeth": "1.25×"}.get(what, "0.5×, 0.6×")
        over = f"{p50 / middle:.2f}×, {p95 / slow:.2f}× of the empty one"
        report(
            f"press to painted: {what} ({len(found)})",
            goal,
            f"p50 {p50:.0f} ms, p95 {p95:.0f} ms; {over}",
        )


def _walk(page, root, report):
    random, here = Random(1), 0
    for _ in range(WALK):
        here += root.evaluate(STEP, random.randrange(7))
        page.wait_for_timeout(500)
    share = f"{100 * here / WALK:.1f} %"
    report(f"in the book, of {WALK} presses, two a second", "95 %", share)


def _crank(page, root, report):
    sent, session = [], page.context.new_cdp_session(page)
    session.send("Network.enable")
    session.on("Network.webSocketFrameSent", lambda frame: sent.append(frame))
    root.get_by_role("radio", name="2", exact=True).click()
    page.wait_for_timeout(500)
    wheel = root.locator(".gl-wheel")
    wheel.scroll_into_view_if_needed()
    box = wheel.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 5)
    page.mouse.down()
    sent.clear()
    rate = page.evaluate(DRAG, [root.element_handle(), CHANGES])
    messages = len(sent)
    page.mouse.up()
    told = root.locator(".gl-count").inner_text()
    report("positions a second while dragging", "55", f"{rate:.0f}; then {told}")
    report("messages to the kernel while dragging", "0", messages)
    root.locator("footer [data-do=run]").click()
    turning = root.evaluate(POSITIONS)
    root.locator("footer [data-do=run]").click()
    report("positions a second while turning", "55", f"{turning:.0f}")


def _memory(page, root, report):
    session = page.context.new_cdp_session(page)

    def heap():
        for _ in range(3):
            session.send("HeapProfiler.collectGarbage")
            page.wait_for_timeout(300)
        return page.evaluate("performance.memory.usedJSHeapSize") / 2**20

    before = heap()
    page.evaluate(TOGGLES, [root.element_handle(), CHANGES, 30])
    more = heap() - before
    report(f"memory after {CHANGES} changes", "+60 MB", f"{more:+.0f} MB of scripts")


def _many(page, root, report):
    first = spread(page.evaluate(TOGGLES, [root.element_handle(), 40, 100]))
    page.locator(".jp-CodeCell .jp-InputPrompt").last.click()
    page.evaluate(NEXT)
    benches = page.locator(".gl-bench")
    benches.nth(PANELS).locator(".gl-live svg").first.wait_for()
    last = benches.nth(PANELS)
    last.scroll_into_view_if_needed()
    page.wait_for_timeout(3000)
    then = spread(page.evaluate(TOGGLES, [last.element_handle(), 40, 100]))
    report(
        f"a toggle of the first panel, and of the last of {PANELS} more",
        "as quick",
        f"p50 {first[0]:.0f} and {then[0]:.0f} ms",
    )


def _file(lab, folder, report):
    train = gl.load_train("five-range")
    small = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
    large = {"letters": ["screen", "projector", "class"]}
    for what, given, goal in (
        ("one end", small, "200 kB, 6 s"),
        ("both ends, large letters, all colours", large, "600 kB, 6 s"),
    ):
        start = monotonic()
        path = gl.take_home(train, folder / "bench.html", **given)
        took, size = monotonic() - start, path.stat().st_size / 1000
        report(f"take-home file: {what}", goal, f"{size:.0f} kB, {took:.1f} s")
    for slower, goal in ((1, "0.5 s; –"), (4, "1 s; 80 ms")):
        with lab.browser_page(1366, 768) as page:
            asked = []
            page.on("request", lambda request, asked=asked: asked.append(request))
            session = page.context.new_cdp_session(page)
            session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
            page.goto(path.as_uri())
            page.wait_for_selector(".gl-bench .gl-live svg")
            ready = page.evaluate("performance.now()") / 1000
            root = page.locator(".gl-bench").element_handle()
            p50, p95 = spread(page.evaluate(TOGGLES, [root, 60, 100]))
        report(
            f"  at a processor {slower} × slower: ready; a toggle; requests",
            goal,
            f"{ready:.2f} s; p50 {p50:.0f} ms, p95 {p95:.0f} ms; {len(asked) - 1}",
        )
