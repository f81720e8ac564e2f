"""The answer desk and its questions in JupyterLab, in a real browser."""

import shutil
from pathlib import Path
from random import Random

import browser_lab as lab
import pytest
import small_lab
from browser_lab import CUT, look, says, wait

from gearlab.lab.question.checking import check
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.sheet.sheet import read_sheet, sheet_path

BENCHES = """made = [desk.bench(), desk.bench()]
print("benches:", len(list(desk._benches)))"""
RUN_LAST = """() => {
  const book = window.jupyterapp.shell.currentWidget.content
  book.activeCellIndex = book.widgets.length - 1
  return window.jupyterapp.commands.execute('notebook:run-cell')
}"""
SET_UP = "import small_lab\nfrom gearlab.panels import Desk\ndesk = Desk(small_lab.LAB)"
ASK = "desk.ask({!r})"
TOPICS = tuple(small_lab.FORMS)
FOCUS = """() => {
  const one = document.activeElement
  return [one.closest('.jp-OutputArea') ? one.type : '',
    (one.ariaLabel || (one.labels?.[0] || one).innerText).trim()]
}"""
TARGETS = """[...panel.querySelectorAll('button, select, textarea, input')]
  .filter(one => one.offsetParent)
  .map(one => (/radio|checkbox/.test(one.type) && one.closest('label')) || one)
  .filter(one => one.getBoundingClientRect().height < 24
    || one.getBoundingClientRect().width < 24)
  .map(one => one.outerHTML)"""


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A page with a desk and every form of question, and what it complained about."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    shutil.copy(Path(small_lab.__file__), folder / "small_lab.py")
    questions = [ASK.format(topic) for topic in TOPICS]
    lab.write_notebook(folder / "lab.ipynb", SET_UP, "desk", *questions, BENCHES)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GEARLAB_ANSWERS", str(folder / "answers"))
        with lab.lab_server(folder) as address, lab.browser_page(height=1600) as page:
            complaints = []
            page.on("pageerror", lambda error: complaints.append(str(error)))
            lab.open_notebook(page, address, "lab.ipynb")
            panels(page)
            yield page, complaints


def panels(page):
    page.wait_for_function(
        f"document.querySelectorAll('.gl-panel').length === {len(TOPICS) + 1}"
    )


@pytest.fixture
def page(opened):
    return opened[0]


@pytest.fixture
def desk(page):
    """The desk, with somebody signed in for whom nothing is answered."""
    panel = page.locator(".gl-panel").first
    sign_in(panel, "nobody yet")
    return panel


@pytest.fixture
def ask(page, desk):
    """The panel of a question."""
    return lambda topic: page.locator(".gl-panel").nth(1 + TOPICS.index(topic))


def sign_in(desk, ids):
    box = desk.get_by_label("student id, or several")
    box.fill("")
    box.press_sequentially(ids)
    box.press("Enter")
    says(desk, f"{ids}, form A")
    # Every panel has other controls now; until then the old ones are on the page.
    desk.page.wait_for_function(f"{lab.KERNEL} === 'idle'")
    desk.page.wait_for_timeout(200)


def reached(page, first, count):
    """Type and label of what Tab reaches from a control on."""
    first.focus()
    found = []
    for _ in range(count):
        found.append(tuple(page.evaluate(FOCUS)))
        page.keyboard.press("Tab")
    return found


def test_signing_in_by_keyboard_and_tab_order(page, desk):
    box = desk.get_by_label("student id, or several")
    assert reached(page, box, 4) == [
        ("text", "student id, or several"),
        ("select-one", "form"),
        ("submit", "sign in"),
        ("submit", "sign out"),
    ]
    sign_in(desk, "ana")
    says(desk, "Signed in: ana, form A.")
    said = desk.get_by_role("status").inner_text()
    assert said.startswith("“ana” is new here: no answers yet. The questions")


def test_a_number_by_keyboard(page, ask, desk):
    sign_in(desk, "number")
    panel = ask("what ratio")
    box = panel.get_by_label("your answer")
    assert reached(page, box, 3) == [
        ("text", "your answer"),
        ("submit", "check"),
        ("submit", "hint 1 of 2"),
    ]
    box.focus()
    page.keyboard.type("3,1")
    page.keyboard.press("Enter")
    says(panel, "Not yet")
    says(panel, "last answer: 3,1")
    assert tuple(page.evaluate(FOCUS))[1] == "your answer", "the focus stays"
    page.keyboard.type("5")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    says(panel, "2 tries · last answer: 3,15")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    says(panel, "Hint 1: Turn it once.")
    panel.get_by_label("earlier answers").press("Space")
    says(panel, "3,15 · not yet")
    says(desk, "what ratio: ◐ not right yet")


PACES = (0, 0, 0, 1, 5, 20, 60, 150, None)  # ms


def test_every_check_is_answered_at_any_pace(ask, desk):
    sign_in(desk, "in a hurry")
    random, panel = Random(2), ask("what ratio")
    pauses = [random.choice(PACES) for _ in range(110)]
    numbers, unanswered = lab.press_checks(panel, pauses)
    assert len(numbers) > 200 and unanswered == 0
    path = sheet_path(("in a hurry",), small_lab.LAB.name, "A")
    kept = [attempt.answer for attempt in read_sheet(path).attempts]
    assert kept == [str(number) for number in numbers], "judged as it stood"
    says(panel, f"{len(numbers)} tries")
    said = panel.locator(".gl-answer").inner_text()
    last = check(ask_of("in a hurry", "what ratio"), numbers[-1])
    assert said.strip() in (last.words, f"✓ {last.words}", f"{last.words} ")


def ask_of(student, topic):
    """The question as a student meets it."""
    return draw_paper(small_lab.LAB, (student,)).asked[topic].question


def test_each_answer_is_to_what_was_just_written(page, ask, desk):
    sign_in(desk, "careful")
    panel, right = ask("what ratio"), ask_of("careful", "what ratio").answer
    box, status = panel.get_by_label("your answer"), panel.locator(".gl-answer")
    written = {f"{float(right):.3f}": "✓ Right.", "0.1": "Not yet", "abc": '"abc" is'}
    for text, words in [*written.items()] * 3:
        box.fill(text)
        panel.get_by_role("button", name="check").click()
        page.wait_for_function(
            "one => one.innerText !== '…'", arg=status.element_handle()
        )
        assert status.inner_text().startswith((words, "The same answer as bef"))
    box.fill("0.2")
    box.press("Enter")
    says(panel, "last answer: 0.2")
    box.press("Enter")
    says(panel, "The same answer as before. Not yet")


SLOW = """import time
box = desk.ask('what ratio').box
heard = box._heard
box._heard = lambda content: (time.sleep(6), heard(content))"""


def test_a_kernel_that_does_not_answer_is_said_and_waited_for(page, ask, desk):
    sign_in(desk, "patient")
    panel = ask("what ratio")
    status = panel.locator(".gl-answer")
    lab.execute(page, SLOW)
    panel.get_by_label("your answer").fill("77")
    panel.get_by_role("button", name="check").click()
    assert status.inner_text() == "…"
    says(panel, "Run → Run All Cells")
    says(panel, "last answer: 77")
    wait(panel, "!panel.innerText.includes('Run All Cells')")
    assert status.inner_text().startswith("Not yet")
    lab.execute(page, "del box._heard")


def test_what_is_half_written_is_seen_in_another_view_of_it(page, ask, desk):
    sign_in(desk, "half")
    panel = ask("why one")
    panel.get_by_label("your answer").fill("The pins")
    cell = panel.locator("xpath=ancestor::*[contains(@class, 'jp-Cell')][1]")
    cell.click(button="right")
    page.get_by_text("Create New View for Cell Output").click()
    other = page.locator(".jp-LinkedOutputView")
    assert other.get_by_label("your answer").input_value() == "The pins"
    other.get_by_label("your answer").fill("The pins move.")
    other.get_by_role("button", name="keep").click()
    says(other, "Kept for your instructor.")
    assert panel.get_by_label("your answer").input_value() == "The pins move."
    lab.command(page, "application:close")


def test_a_mouse_click_is_one_try(ask, desk):
    sign_in(desk, "mouse")
    panel = ask("what ratio")
    panel.get_by_label("your answer").fill("2.5")
    panel.get_by_role("button", name="check").click()
    says(panel, "1 try · last answer: 2.5")


@pytest.mark.parametrize("topic", ["what is held", "where is the sun", "which way"])
def test_radio_buttons_by_keyboard(page, ask, topic):
    panel = ask(topic)
    group = panel.get_by_role("group", name="your answer")
    options = small_lab.LAB.topic(topic).ask({}).options
    assert [one.inner_text() for one in group.locator("label").all()] == list(options)
    button = "keep" if topic == "which way" else "check"
    first, second = (
        panel.get_by_role("radio", name=name, exact=True) for name in options[:2]
    )
    wanted = [("radio", options[0]), ("submit", button)]
    assert reached(page, first, 2) == wanted, "arrows go from one to the next"
    first.focus()
    page.keyboard.press("ArrowDown")
    assert second.is_checked()
    panel.get_by_role("button", name=button).press("Enter")
    says(panel, "Kept." if topic == "which way" else "Right.")


def test_a_row_and_an_order_by_keyboard(page, ask):
    panel = ask("what is applied")
    for name in ("low brake", "forward clutch"):
        panel.get_by_label(name).press("Space")
    panel.get_by_role("button", name="check").press("Enter")
    says(panel, "✓ Right.")
    panel = ask("which order")
    order = {"first": "sun", "second": "planet", "third": "carrier"}
    for place, name in order.items():
        panel.get_by_label(place, exact=True).focus()
        for key in ("Space", *name, "Enter"):
            page.keyboard.press(key)
    panel.get_by_role("button", name="check").press("Enter")
    says(panel, "✓ Right.")


def test_an_explanation_by_keyboard(page, ask):
    panel = ask("why one")
    panel.get_by_label("your answer").focus()
    page.keyboard.type("The pins move.\nSo one.")
    says(panel, "22 of 2000 letters")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    says(panel, "Kept for your instructor.")


def test_nothing_is_cut_and_every_target_is_large(page, desk, ask):
    for panel in (desk, *(ask(topic) for topic in TOPICS)):
        assert look(panel, CUT) == []
        assert look(panel, TARGETS) == []
        assert look(panel, "panel.scrollWidth <= panel.clientWidth + 1")
    ids = "[...document.querySelectorAll('.gl-panel [id]')].map(one => one.id)"
    found = page.evaluate(ids)
    assert len(found) == len(set(found))


THEME = """async theme => {
  await window.jupyterapp.commands.execute('apputils:change-theme', {theme})
}"""


@pytest.mark.parametrize("theme", ["JupyterLab Dark", "JupyterLab Light"])
def test_names_roles_and_contrast_hold_in_both_themes(page, ask, desk, theme):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright")
    page.evaluate(THEME, theme)
    ask("what ratio").get_by_label("your answer").fill("x")
    ask("what ratio").get_by_role("button", name="check").click()
    says(ask("what ratio"), '"x" is no number')
    found = axe.Axe().run(page, context=".gl-press").response["violations"]
    told = [(one["id"], one["nodes"][0]["html"][:200]) for one in found]
    assert told == []


def test_a_killed_kernel_loses_no_answer(page, desk, ask):
    sign_in(desk, "kept")
    panel = ask("what ratio")
    panel.get_by_label("your answer").fill("41/13")
    panel.get_by_label("your answer").press("Enter")
    says(panel, "1 try")
    lab.kill_kernel(page)
    panel.get_by_label("your answer").press("Enter")
    panel.get_by_role("button", name="check").click()
    says(panel, "lost its kernel: choose Run → Run All Cells")
    lost = panel.get_by_text("kernel").locator("visible=true")
    assert lost.count() == 1, "once is enough"
    lab.run_all(page)
    panels(page)
    says(page.locator(".gl-panel").first, "Signed in: kept, form A.")
    wait(ask("what ratio"), "panel.querySelector('input[type=text]').value === '41/13'")
    says(ask("what ratio"), "1 try · last answer: 41/13")


def test_a_cell_that_runs_again_keeps_one_bench(page):
    for _ in range(4):
        page.evaluate(RUN_LAST)
        page.wait_for_function(f"{lab.KERNEL} === 'idle'")
        page.wait_for_timeout(300)
    says(page.locator(".jp-Notebook"), "benches: 2")


def test_the_page_complained_about_nothing(opened):
    assert opened[1] == []
