"""What every panel has in common in JupyterLab: its keys, its colours, its kernel."""

import shutil
from pathlib import Path

import browser_lab as lab
import nbformat
import pytest
import small_lab
from test_folded import SCENE

from gearlab.bench.texts import TEXTS
from gearlab.draw import folded

SET_UP = """from tempfile import mkdtemp
import small_lab
import gearlab as gl
from gearlab.lab.mark.example import example_class
from gearlab.panels import Bench, Desk, LogPanel, Progress, Ticking
sheets, listed = example_class(mkdtemp())
desk = Desk(small_lab.LAB)
train = gl.load_train("five-range")
log = gl.read_log(gl.make_log(train, rate=10), train)"""
ASKED = tuple(small_lab.FORMS)
BENCH, DESK, PROGRESS, FIRST = 0, 1, 2, 3
TICKING = FIRST + len(ASKED)
ROAD, LOG = TICKING + 1, TICKING + 2
CELLS = [
    SET_UP,
    'bench = Bench(gl.load_train("five-range"), predict=True)\nbench',
    "desk",
    "Progress()",
    *(f"desk.ask({topic!r})" for topic in ASKED),
    'Ticking(sheets, "ticks.csv", listed)',
    'Desk("find-the-fault").road_test("find the fault")',
    "LogPanel(log)",
    "1",
]
PANELS = ".gl-panel, .gl-bench"
CONTROLS = "button, select, textarea, input, [role=slider]"
# One control of each kind that a panel shows; a kind is how it looks to a keyboard.
KINDS = f"""panel => {{
  const kinds = new Map()
  for (const one of panel.querySelectorAll('{CONTROLS}')) {{
    if (one.disabled || !one.getClientRects().length) continue
    const kind = [one.tagName, one.type, one.getAttribute('role')].join(' ')
    if (!kinds.has(kind)) kinds.set(kind, one)
  }}
  window.kinds = [...kinds.values()]
  return [...kinds.keys()]
}}"""
FOCUS = f"""([nth, kind]) => {{
  const panel = document.querySelectorAll('{PANELS}')[nth]
  if (window.kinds[kind].isConnected) window.kinds[kind].focus()
  return panel.contains(document.activeElement)
}}"""

# Every word and edge of a panel that is too faint: [what, its contrast, the least].
FAINT = """panel => {
  const numbers = text => text.match(/[\\d.]+/g).map(Number)
  const over = ([r, g, b, a = 1], [x, y, z]) =>
    [r * a + x * (1 - a), g * a + y * (1 - a), b * a + z * (1 - a)]
  const ground = one => {
    if (!one) return [255, 255, 255]
    const own = numbers(getComputedStyle(one).backgroundColor)
    return over(own, own[3] < 1 ? ground(one.parentElement) : own)
  }
  const light = colour => {
    const [r, g, b] = colour.map(part => part / 255).map(
      part => part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b
  }
  const veil = one => one === panel ? 1
    : Number(getComputedStyle(one).opacity) * veil(one.parentElement)
  const contrast = (ink, paper, seen = 1) => {
    const [r, g, b, a = 1] = numbers(ink)
    const both = [over([r, g, b, a * seen], paper), paper].map(light)
    return (Math.max(...both) + 0.05) / (Math.min(...both) + 0.05)
  }
  const faint = [], shown = one => one.getClientRects().length
  let seen = 0
  const judge = (one, what, ratio, least) => {
    seen += 1
    if (ratio < least) faint.push([what, one.outerHTML.slice(0, 80), ratio])
  }
  const words = document.createTreeWalker(panel, NodeFilter.SHOW_TEXT)
  for (let node; (node = words.nextNode());) {
    const one = node.parentElement
    if (!node.data.trim() || one.closest('svg, style') || !shown(one)) continue
    judge(one, 'words', contrast(
      getComputedStyle(one).color, ground(one), veil(one)), 4.5)
  }
  for (const one of panel.querySelectorAll('input, select, textarea, button')) {
    if (!shown(one)) continue
    const look = getComputedStyle(one), native = /checkbox|radio/.test(one.type)
    if (native && look.colorScheme !== 'light') faint.push(['scheme', one.outerHTML])
    if (native) continue
    judge(one, 'typed', contrast(look.color, ground(one), veil(one)), 4.5)
    const faded = getComputedStyle(one, '::placeholder')
    judge(one, 'placeholder', contrast(
      faded.color, ground(one), faded.opacity * veil(one)), 4.5)
    // A button is known by its words, a field by its edge; if it is off, by nothing.
    if (one.matches('button, [type=range], :disabled')) continue
    judge(one, 'edge', contrast(
      look.borderTopColor, ground(one.parentElement), veil(one)), 3)
  }
  return [seen, faint]
}"""
THEME = """theme =>
  window.jupyterapp.commands.execute('apputils:change-theme', {theme})"""


def write_stored(path):
    """A notebook that nobody here has run, so that it is not trusted."""
    data = folded([SCENE, "words"])._repr_mimebundle_()
    cell = nbformat.v4.new_code_cell("shown", execution_count=1)
    cell.outputs = [nbformat.v4.new_output("execute_result", data, execution_count=1)]
    book = nbformat.v4.new_notebook(cells=[cell])
    book.metadata.kernelspec = {"name": "python3", "display_name": "Python 3"}
    nbformat.write(book, path)


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A page with a bench, a desk, a progress page and every form of question."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    shutil.copy(Path(small_lab.__file__), folder / "small_lab.py")
    lab.write_notebook(folder / "panels.ipynb", *CELLS)
    write_stored(folder / "stored.ipynb")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GEARLAB_ANSWERS", str(folder / "answers"))
        with lab.lab_server(folder) as address, lab.browser_page() as page:
            complaints = []
            page.on("pageerror", lambda error: complaints.append(str(error)))
            lab.open_notebook(page, address, "panels.ipynb")
            yield page, complaints, address


@pytest.fixture(scope="module")
def page(served):
    page = served[0]
    page.wait_for_function(
        f"document.querySelectorAll('{PANELS}').length === {LOG + 1}"
    )
    return page


@pytest.fixture
def panels(page):
    return page.locator(PANELS)


def test_no_key_pressed_in_a_panel_changes_the_notebook(page, panels):
    pressed = {}
    for nth in range(panels.count()):
        for place, kind in enumerate(panels.nth(nth).evaluate(KINDS)):
            assert page.evaluate(FOCUS, [nth, place])
            before = page.evaluate(lab.BOOK)
            for key in lab.KEYS:
                if page.evaluate(FOCUS, [nth, place]):
                    page.keyboard.press(key)
                    pressed.setdefault(kind, set()).add(key)
            page.wait_for_timeout(30)
            assert page.evaluate(lab.BOOK) == before, (nth, kind)
    assert len(pressed) >= 7, sorted(pressed)
    assert all(keys == set(lab.KEYS) for keys in pressed.values())


def test_no_key_after_a_click_with_the_mouse_changes_the_notebook(page, panels):
    bench = panels.nth(BENCH)
    places = [bench.get_by_role("radio", name="2", exact=True), bench.locator("h3")]
    for place in (*places, bench.locator("figure:visible").first):
        place.click()
        before = page.evaluate(lab.BOOK)
        for key in "xabmyd":
            page.keyboard.press(key)
        page.wait_for_timeout(100)
        assert page.evaluate(lab.BOOK) == before


def test_letters_are_written_and_lists_are_chosen_from(page, panels):
    ids = panels.nth(DESK).get_by_label("student id, or several")
    ids.fill("")
    ids.press_sequentially("bad xyz")
    assert ids.input_value() == "bad xyz"
    bench = panels.nth(BENCH)
    bench.get_by_role("radio", name="1", exact=True).press("Home")
    chosen = bench.locator(".gl-ranges [aria-checked=true]")
    assert chosen.inner_text() == "P"
    page.keyboard.press("ArrowDown")
    assert chosen.inner_text() == "R"


def test_a_road_test_is_driven_by_the_keyboard_alone(page, panels):
    panel = panels.nth(ROAD)
    panel.get_by_role("radio", name="P", exact=True).focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")  # under power
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    panel.get_by_text("1 test so far.").wait_for()
    assert panel.locator("tbody tr").count() == 1
    assert "P, under power: " in panel.get_by_role("status").first.inner_text()


def test_a_log_is_gone_through_by_the_keyboard_alone(page, panels):
    panel = panels.nth(LOG)
    said = panel.locator("[role=status]").last
    time = panel.get_by_label("time", exact=False).first
    time.fill("7,2")
    time.press("Enter")
    said.get_by_text("At 7.20 s:").wait_for()
    assert "Nearest is range 2" in said.inner_text()
    panel.get_by_role("slider").focus()
    for _ in range(3):
        page.keyboard.press("ArrowRight")
    said.get_by_text("At 7.50 s:").wait_for()
    panel.get_by_role("button", name="next shift").press("Enter")
    said.get_by_text("At 10.00 s:").wait_for()
    assert panel.locator("svg").count() == 2
    chart = panel.locator("svg").first.get_attribute("aria-label")
    assert "Marked: 10.00 s." in chart


def test_explanations_are_ticked_and_kept_by_the_keyboard_alone(page, panels):
    panel = panels.nth(TICKING)
    texts = panel.locator("fieldset")
    assert texts.count() == 3
    texts.first.get_by_role("checkbox").first.focus()
    page.keyboard.press("Space")
    page.keyboard.press("Tab")
    page.keyboard.press("Space")
    boxes = texts.first.get_by_role("checkbox")
    assert [boxes.nth(n).is_checked() for n in range(4)] == [True, True, False, False]
    for _ in range(2 + 2 * 4 + 1):  # the boxes that are left, and the button
        page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "keep, and go on"
    page.keyboard.press("Enter")
    panel.get_by_text("To be ticked: 2.").wait_for()
    assert [boxes.nth(n).is_checked() for n in range(4)] == [True, True, False, False]


def test_the_application_still_gets_the_keys_that_run_and_save(page, panels):
    cell = page.locator(".jp-CodeCell", has_text="Progress()").last
    ran = cell.locator(".jp-InputPrompt")
    for keys in ("Control+Enter", "Shift+Enter"):
        before = ran.inner_text()
        cell.get_by_role("button", name="show", exact=True).focus()
        page.keyboard.press(keys)
        page.wait_for_function(
            "([one, before]) => ![before, '[*]:'].includes(one.innerText)",
            arg=[ran.element_handle(), before],
        )
    page.evaluate("window.jupyterapp.shell.currentWidget.context.model.dirty = true")
    panels.nth(BENCH).get_by_label("selector").focus()
    page.keyboard.press("Control+s")
    page.wait_for_function("!window.jupyterapp.shell.currentWidget.context.model.dirty")


# Counts what goes to the kernel from widgets.
COUNT = """() => {
  const send = WebSocket.prototype.send
  window.sent = 0
  WebSocket.prototype.send = function (data) {
    const text = typeof data === 'string' ? data : new TextDecoder().decode(data)
    if (text.includes('comm_msg')) window.sent += 1
    return send.call(this, data)
  }
}"""


def test_a_key_that_does_nothing_sends_nothing(page, panels):
    desk = panels.nth(DESK)
    page.evaluate(COUNT)
    desk.get_by_role("textbox").first.focus()
    page.keyboard.type("ana")
    assert page.evaluate("window.sent") == 0
    desk.get_by_role("button").first.focus()  # what was typed is told now
    page.evaluate("window.sent = 0")
    for key in ("x", "ArrowDown", "Home", "Shift"):
        page.keyboard.press(key)
    assert page.evaluate("window.sent") == 0
    desk.get_by_role("button", name="sign out").focus()
    page.keyboard.press("Space")
    page.wait_for_function("window.sent > 0")


@pytest.mark.parametrize("theme", ["Light", "Dark"])
def test_everything_on_a_panel_is_legible_in_both_themes(page, panels, theme):
    page.evaluate(THEME, f"JupyterLab {theme}")
    page.wait_for_function(
        "dark => (document.body.dataset.jpThemeLight === 'false') === dark",
        arg=theme == "Dark",
    )
    bench = panels.nth(BENCH)
    if not bench.get_by_role("spinbutton", name="front sun").is_visible():
        bench.get_by_role("button", name="teeth", exact=True).click()
    bench.get_by_role("spinbutton", name="front sun").fill("100")
    bench.locator(".gl-note").wait_for()
    for nth in range(panels.count()):
        panel = panels.nth(nth)
        for state in ("", "focused"):
            if state:
                panel.locator("input, select, textarea, button").last.focus()
            seen, faint = panel.evaluate(FAINT)
            assert faint == [] and seen > 4, (nth, theme, state)
    page.evaluate(THEME, "JupyterLab Light")


def test_what_is_folded_opens_in_a_notebook_that_is_not_trusted(served):
    page, _, address = served
    lab.open_notebook(page, address, "stored.ipynb", run=False)
    folds = page.locator(".jp-OutputArea details")
    folds.wait_for()
    picture = folds.locator("img")
    assert not picture.is_visible() and not folds.locator("pre").is_visible()
    folds.get_by_text("show what we saw").click()
    picture.wait_for()
    assert picture.get_attribute("alt") == SCENE.alt
    assert picture.evaluate("one => one.naturalWidth") > 100
    assert folds.locator("pre").inner_text() == "words"
    trusted = "window.jupyterapp.shell.currentWidget.model.cells.get(0).trusted"
    assert page.evaluate(trusted) is False


def test_the_browser_complained_about_nothing(served):
    assert served[1] == []


# Last, since a page whose kernel goes has reason to complain.

LOST = "This panel has lost its kernel: choose Run → Run All Cells."
SESSION = "window.jupyterapp.shell.currentWidget.context.sessionContext"
LOSSES = {
    "restarted": lambda page: page.evaluate(f"() => {{ {SESSION}.restartKernel() }}"),
    "killed": lab.kill_kernel,
    "shut down": lambda page: page.evaluate(f"() => {SESSION}.shutdown()"),
}


@pytest.mark.parametrize("loss", LOSSES)
def test_a_panel_that_lost_its_kernel_says_so_when_it_is_pressed(served, loss):
    page, _, address = served
    lab.open_notebook(page, address, "panels.ipynb")
    bench, desk = page.locator(PANELS).nth(BENCH), page.locator(PANELS).nth(DESK)
    bench.get_by_role("button", name="+ ¼").click()
    desk.get_by_role("button").first.click()
    page.wait_for_function(f"{lab.KERNEL} === 'idle'")
    assert page.get_by_text(LOST).count() == 0
    LOSSES[loss](page)
    page.wait_for_timeout(1000)
    bench.get_by_role("radio", name="2", exact=True).click()
    desk.get_by_role("button", name="sign in").click()
    for panel, lost in ((bench, TEXTS["gone"]), (desk, LOST)):
        status = panel.get_by_role("status").filter(has_text=lost)
        status.wait_for()
        assert status.count() == 1
    assert desk.get_by_text(LOST).evaluate(
        "one => one.getBoundingClientRect().top < innerHeight"
    )


def test_a_panel_that_is_run_again_has_a_kernel(served):
    page, _, address = served
    lab.open_notebook(page, address, "panels.ipynb")
    page.evaluate(f"() => {{ {SESSION}.restartKernel() }}")
    page.get_by_text(LOST).first.wait_for()
    page.wait_for_function(f"{lab.KERNEL} === 'idle'")
    lab.run_all(page)
    panel = page.locator(PANELS).nth(BENCH)
    panel.get_by_role("radio", name="2", exact=True).click()
    page.wait_for_timeout(500)
    for lost in (LOST, TEXTS["gone"]):
        assert page.get_by_text(lost).count() == 0
