"""The bench panel and the notebooks in JupyterLab, in a real browser."""

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
SET_UP = "import gearlab as gl\nfrom gearlab.panels import Bench"
PANEL = 'Bench(gl.load_train("five-range"))'
OTHER = 'Bench(gl.load_train("five-range").with_teeth({"front": {"sun": 42}}))'
TURNS = "getComputedStyle(panel.querySelector('.gl-turn')).getPropertyValue('--turns')"
GROUP = """[...panel.querySelectorAll('svg g[style*=turns]')].filter(one =>
  !one.style.transform.includes('rate')
  || getComputedStyle(one).getPropertyValue('--rate') !== '0')"""
RATES = """[...panel.querySelectorAll('.gl-kept .gl-turn')].map(one =>
  getComputedStyle(one).getPropertyValue('--rate'))"""
IDS = "[...document.querySelectorAll('.gl-panel [id]')].map(one => one.id)"
CUT = """[...panel.querySelectorAll(
  'label, button, select, h4, p, li, .widget-label, .widget-checkbox, .widget-radio')]
  .filter(one => one.offsetParent && (one.scrollWidth > one.clientWidth + 1
    || (one.tagName === 'BUTTON' && one.scrollHeight > one.clientHeight + 1)))
  .map(one => one.innerText)"""
SAMPLE = """async (panel, [seconds, group]) => {
  const seen = new Set(), end = performance.now() + 1000 * seconds
  const one = panel.querySelector(group)
  while (performance.now() < end) {
    await new Promise(requestAnimationFrame)
    seen.add(getComputedStyle(one).transform)
  }
  return seen.size
}"""
FOCUS = """() => {
  const one = document.activeElement
  const first = document.querySelector('.gl-panel')
  return one.closest('.gl-panel') === first && [one.type || one.getAttribute('role'),
    (one.labels?.[0] || one).innerText.trim()]
}"""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A page of JupyterLab, the address, and what the browser complained about."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    lab.write_notebook(folder / "bench.ipynb", SET_UP, PANEL, PANEL)
    lab.write_notebook(folder / "other.ipynb", SET_UP, OTHER)
    shutil.copytree(NOTEBOOKS, folder / "notebooks")
    with lab.lab_server(folder) as address, lab.browser_page() as page:
        complaints = []
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "console",
            lambda line: complaints.append(line.text) if line.type == "error" else None,
        )
        yield page, address, complaints


@pytest.fixture(scope="module")
def opened(served):
    """The page with two panels of one train on it."""
    page, address, _ = served
    lab.open_notebook(page, address, "bench.ipynb")
    page.wait_for_function("document.querySelectorAll('.gl-panel svg').length === 14")
    return page


@pytest.fixture
def panel(opened):
    """The first of the two panels, as it was when it was opened."""
    one = opened.locator(".gl-panel").first
    choose(one, "range", "1")
    one.get_by_role("button", name="marks to the top").click()
    wait(one, f"{TURNS} === '0'")
    return one


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


def choose(panel, label, option):
    panel.get_by_label(label, exact=True).select_option(option)


def switch(panel, label):
    panel.get_by_label(label).focus()
    panel.page.keyboard.press("Space")


def says(panel, words):
    wait(panel, f"panel.innerText.includes({words!r})")


def test_everything_is_reached_with_tab(panel):
    panel.get_by_label("gear set", exact=True).focus()
    reached = []
    for _ in range(60):
        focus = panel.page.evaluate(FOCUS)
        if not focus:
            break
        reached.append(focus)
        panel.page.keyboard.press("Tab")
    names = [name for _, name in reached]
    for name in ("selector", "range", "low brake: released", "turn the input to"):
        assert name in names
    for name in ("start turning", "to one output turn", "large print", "tooth counts"):
        assert name in names
    kinds = [kind for kind, _ in reached]
    assert kinds.count("checkbox") == 17 and kinds.count("submit") == 9
    assert "radio" in kinds and "slider" in kinds and len(reached) < 40
    assert names.count("") <= 1, "only the slider, whose box beside it is labelled"


def test_the_slider_turns_by_keyboard(panel):
    before = look(panel, f"{GROUP}.map(one => getComputedStyle(one).transform)")
    panel.get_by_role("slider").first.focus()
    panel.page.keyboard.press("ArrowRight")
    wait(panel, f"{TURNS} === '0.013889'")
    says(panel, "input 5° (")
    after = look(panel, f"{GROUP}.map(one => getComputedStyle(one).transform)")
    assert len(before) > 10
    assert all(a != b for a, b in zip(before, after, strict=True))


def test_the_range_list_works_by_keyboard(panel):
    panel.get_by_label("range", exact=True).focus()
    for key in ("Space", "ArrowDown", "Enter"):
        panel.page.keyboard.press(key)
    says(panel, "ratio 1.889")
    assert panel.get_by_label("range", exact=True).input_value() == "2"


def test_a_checkbox_works_by_keyboard(panel):
    switch(panel, "low brake: released")
    says(panel, "low brake: applied")
    says(panel, "Since range 1, the low brake was applied.")
    value = panel.get_by_label("range", exact=True).input_value()
    assert value.replace("\xa0", " ") == "1 low"
    switch(panel, "low brake: applied")
    says(panel, "low brake: released")


def test_what_cannot_be_read_is_said_in_a_status_line(panel):
    box = panel.get_by_label("turn the input to")
    box.fill("abc")
    box.press("Enter")
    panel.get_by_role("status").filter(has_text='"abc" is no number').wait_for()
    box.fill("1/4")
    box.press("Enter")
    wait(panel, "!panel.querySelector('[role=status]')")
    wait(panel, f"{TURNS} === '0.25'")


def test_continuous_turning_moves_and_stops(panel):
    group = "svg g[style*=turns]"
    button = panel.get_by_role("button", name="start turning")
    button.focus()
    panel.page.keyboard.press("Enter")
    says(panel, "Stop to read the counters")
    assert panel.evaluate(SAMPLE, [1, group]) >= 10
    panel.get_by_role("button", name="stop turning").click()
    says(panel, "start turning")
    wait(panel, f"!{TURNS}.startsWith('0.0') && panel.innerText.includes('· output')")
    assert panel.evaluate(SAMPLE, [0.5, group]) == 1


def test_nothing_moves_where_reduced_motion_is_asked_for(panel):
    panel.page.emulate_media(reduced_motion="reduce")
    try:
        panel.get_by_role("button", name="start turning").click()
        says(panel, "stop turning")
        assert panel.evaluate(SAMPLE, [0.7, "svg g[style*=turns]"]) == 1
        panel.get_by_role("button", name="stop turning").click()
        says(panel, "start turning")
    finally:
        panel.page.emulate_media(reduced_motion="no-preference")


def test_one_panel_leaves_the_other_alone(opened, panel):
    other = opened.locator(".gl-panel").nth(1)
    before = look(other, "panel.innerText"), look(other, TURNS), look(other, RATES)
    assert look(panel, RATES) == before[2] != []
    panel.get_by_role("button", name="+ ¼ turn").click()
    wait(panel, f"{TURNS} === '0.25'")
    choose(panel, "range", "R")
    says(panel, "ratio −3.5")
    after = look(other, "panel.innerText"), look(other, TURNS), look(other, RATES)
    assert after == before
    assert look(panel, RATES) != before[2]
    ids = opened.evaluate(IDS)
    assert len(ids) == len(set(ids)) > 0


@pytest.mark.parametrize("large", [False, True])
def test_nothing_is_cut_and_nothing_overflows(panel, large):
    switched = ["tooth counts"] + ["large print"] * large
    for label in switched:
        switch(panel, label)
    wait(panel, f"panel.classList.contains('gl-large') === {str(large).lower()}")
    panel.get_by_label("front sun").wait_for()
    panel.page.wait_for_timeout(200)
    try:
        assert look(panel, "panel.scrollWidth <= panel.clientWidth + 1")
        assert look(
            panel,
            "panel.getBoundingClientRect().right <="
            " panel.closest('.jp-OutputArea').getBoundingClientRect().right + 1",
        )
        assert look(panel, CUT) == []
    finally:
        for label in switched:
            switch(panel, label)
        wait(panel, "!panel.classList.contains('gl-large')")


def test_every_picture_has_a_sentence(panel):
    says(panel, "ratio 2.833")
    found = look(
        panel,
        "[...panel.querySelectorAll('svg:not([aria-hidden])')].map("
        "one => [one.getAttribute('role'), one.getAttribute('aria-label')])",
    )
    assert len(found) == 4
    assert all(role == "img" and len(words) > 40 for role, words in found)
    assert any("0.353 (6/17) per input turn" in words for _, words in found)


def test_a_killed_kernel_is_no_harm(opened):
    old = opened.evaluate("window.jupyterapp.shell.currentWidget.id")
    lab.kill_kernel(opened)
    lab.run_all(opened)
    opened.wait_for_function("document.querySelectorAll('.gl-panel svg').length === 14")
    assert opened.evaluate("window.jupyterapp.shell.currentWidget.id") == old
    panel = opened.locator(".gl-panel").first
    choose(panel, "range", "3")
    says(panel, "ratio 1.407")


def test_panels_of_two_notebooks_leave_each_other_alone(opened):
    opened.evaluate(
        "() => { window.jupyterapp.commands.execute("
        "'docmanager:open', {path: 'other.ipynb'}) }"
    )
    opened.wait_for_function(
        "window.jupyterapp.shell.currentWidget?.title?.label === 'other.ipynb'"
        f" && {lab.KERNEL} === 'idle'"
    )
    lab.command(opened, "notebook:run-all-cells")
    opened.wait_for_function("document.querySelectorAll('.gl-panel').length === 3")
    shown = (
        "[...document.querySelectorAll('.gl-panel')].filter(one => one.offsetParent)"
    )
    opened.wait_for_function(f"{shown}.length === 1")
    ids = opened.evaluate(IDS)
    assert len(ids) == len(set(ids)) > 0
    scopes = "one => [...one.classList].find(name => name.startsWith('gl-scope'))"
    named = opened.evaluate(
        f"[...document.querySelectorAll('.gl-panel')].map({scopes})"
    )
    assert len(set(named)) == 3


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
