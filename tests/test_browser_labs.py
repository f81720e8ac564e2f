"""The answer desk and its questions in JupyterLab, in a real browser."""

import shutil
from pathlib import Path

import browser_lab as lab
import pytest
import small_lab
from test_browser import CUT, look, says, wait

SET_UP = "import small_lab\nfrom gearlab.panels import Desk\ndesk = Desk(small_lab.LAB)"
ASK = "desk.ask({!r})"
TOPICS = tuple(small_lab.FORMS)
FOCUS = """() => {
  const one = document.activeElement
  return [one.closest('.jp-OutputArea') ? one.type : '', (one.labels?.[0] || one)
    .innerText.trim()]
}"""
TARGETS = """[...panel.querySelectorAll('button, select, textarea, input')]
  .filter(one => one.offsetParent)
  .map(one => one.closest('.widget-checkbox, .widget-radio-box label') || one)
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
    lab.write_notebook(folder / "lab.ipynb", SET_UP, "desk", *questions)
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
    assert desk.get_by_role("status").inner_text().startswith("The questions")


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


def test_a_mouse_click_is_one_try(ask, desk):
    sign_in(desk, "mouse")
    panel = ask("what ratio")
    panel.get_by_label("your answer").fill("2.5")
    panel.get_by_role("button", name="check").click()
    says(panel, "1 try · last answer: 2.5")


@pytest.mark.parametrize("topic", ["what is held", "where is the sun", "which way"])
def test_radio_buttons_by_keyboard(page, ask, topic):
    panel = ask(topic)
    options = panel.get_by_role("radio").all()
    names = [name for _, name in reached(page, options[0], len(options) + 1)]
    assert names[-1] == ("keep" if topic == "which way" else "check")
    assert names[:-1] == list(small_lab.LAB.topic(topic).ask({}).options)
    options[1].focus()
    page.keyboard.press("Space")
    wait(panel, "panel.querySelectorAll('input:checked').length === 1")
    panel.get_by_role("button", name=names[-1]).press("Enter")
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
    assert len(found) == len(set(found)) > 0


def test_a_killed_kernel_loses_no_answer(page, desk, ask):
    sign_in(desk, "kept")
    panel = ask("what ratio")
    panel.get_by_label("your answer").fill("41/13")
    panel.get_by_label("your answer").press("Enter")
    says(panel, "1 try")
    lab.kill_kernel(page)
    lab.run_all(page)
    panels(page)
    says(page.locator(".gl-panel").first, "Signed in: kept, form A.")
    wait(ask("what ratio"), "panel.querySelector('input[type=text]').value === '41/13'")
    says(ask("what ratio"), "1 try · last answer: 41/13")


def test_the_page_complained_about_nothing(opened):
    assert opened[1] == []
