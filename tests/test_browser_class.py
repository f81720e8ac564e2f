"""A class is led by keys: next, reveal, next; nothing is told before that."""

import access
import bench_page
import browser_lab as lab
import pytest

import gearlab as gl
from gearlab.base.numerals import number
from gearlab.bench.lesson import asked_state, told_plan
from gearlab.bench.state import opened
from gearlab.bench.telling import told
from gearlab.lab.walk.plan import class_plan

LAPTOP, SIZES = (1366, 768), ((1280, 800), (1920, 1080))
FEWEST = 25  # letters of that size, one above the other, are as high as the screen
# All that can be read or heard on the page, but for the choices themselves.
HEARD = """bench => [...bench.querySelectorAll('*')].filter(one =>
  !one.closest('.gl-votes p') && one.checkVisibility()).flatMap(one =>
  [...[...one.childNodes].filter(node => node.nodeType === 3).map(node => node.data),
    one.getAttribute('aria-label') ?? '', one.getAttribute('title') ?? ''])
  .filter(text => text.trim())"""
# How each choice is drawn, without what it says.
DRAWN = """bench => [...bench.querySelectorAll('.gl-votes .gl-sense')].map(one => {
  const copy = one.cloneNode(true)
  copy.querySelector('p').textContent = ''
  for (const box of copy.querySelectorAll('input')) box.removeAttribute('aria-label')
  return copy.outerHTML})"""
LETTERS = """bench => [...bench.querySelectorAll('*')].filter(one =>
  !one.closest('svg, .gl-unseen') && one.checkVisibility()
  && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
  .map(one => innerHeight / parseFloat(getComputedStyle(one).fontSize))"""


@pytest.fixture(scope="module")
def browser():
    lab.need_browser()
    with lab.browser() as chromium:
        yield chromium


@pytest.fixture(scope="module")
def addresses(tmp_path_factory):
    """A page with the whole walk of each shipped train."""
    lab.need_browser()
    folder, found = tmp_path_factory.mktemp("class"), {}
    for name in gl.train_names():
        plan = class_plan(gl.load_train(name))
        first = plan.steps[0]
        state = told(asked_state(opened(plan.train, first.before.range), first))
        flows = {flow for step in plan.steps for flow in (step.before, step.flow)}
        where, views = folder / f"{name}.html", (bench_page.CLASS, bench_page.SCREEN)
        found[name] = (
            plan,
            bench_page.put_page(
                where, plan.train, flows, views, state, plan, **{"class": True}
            ),
        )
    return found


@pytest.fixture
def walked(browser, addresses):
    """Opens the walk of a train; what the page complains about is an error."""
    pages, wrong = [], []

    def opened_page(name="five-range", size=LAPTOP, **settings):
        plan, address = addresses[name]
        width, height = size
        page = browser.new_page(viewport={"width": width, "height": height}, **settings)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda one: one.type == "error" and wrong.append(one.text))
        page.goto(address)
        page.locator(".gl-votes").wait_for()
        page.evaluate("bench.root.focus()")
        pages.append(page)
        return plan, page, page.locator(".gl-bench")

    yield opened_page
    for page in pages:
        page.close()
    assert wrong == []


def test_next_reveal_next_by_the_keys_of_a_clicker(walked):
    plan, page, bench = walked(reduced_motion="reduce")
    for place, (step, data) in enumerate(
        zip(plan.steps, told_plan(plan)["steps"], strict=True)
    ):
        assert bench.locator(".gl-progress").inner_text() == (
            f"{place + 1} of {len(plan.steps)}"
        )
        assert bench.locator(".gl-big").inner_text() == step.name
        assert bench.locator(".gl-asked").inner_text() == data["asks"]
        heard = "\n".join(bench.evaluate(HEARD))
        for told_then in (data["told"], data["why"], "✓"):
            assert told_then not in heard, step.name
        if step.flow.ratio is not None and step.topic != "shifts":
            assert f"ratio {number(step.flow.ratio)}" not in heard
        assert len(set(bench.evaluate(DRAWN))) == 1, "no choice looks another way"
        page.keyboard.press(".")  # the clicker's black-screen key
        if step.turns:
            page.locator("figure:visible").first.wait_for()
            assert bench.locator(".gl-gives").inner_text() == data["told"]
            page.keyboard.press("b")
        right = bench.locator(".gl-right")
        assert right.count() == 1 and "✓" in right.inner_text()
        assert step.choices[step.right].words in right.inner_text()
        assert bench.locator(".gl-asked").inner_text() == data["why"]
        assert page.evaluate("bench.root.contains(document.activeElement)")
        page.keyboard.press("PageDown")
    assert bench.locator(".gl-right").count() == 1, "after the last one it stays"


def test_it_turns_by_itself_once_it_is_revealed(walked):
    _, page, bench = walked()
    page.keyboard.press(".")
    count = bench.locator(".gl-count")
    page.wait_for_function(
        "document.querySelector('.gl-count').innerText.match(/[1-9]/)"
    )
    page.keyboard.press("PageDown")
    assert "hidden" in count.inner_text() and page.evaluate("!bench.moving")


def test_hands_are_bars_and_stay_with_their_step(walked):
    _, page, _ = walked()
    boxes = page.get_by_label("hands for:")
    boxes.first.focus()
    for hands in ("12", "6", "0", "3"):
        page.keyboard.press("Control+a")
        page.keyboard.type(hands)
        page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.dataset.do") == "reveal"
    page.keyboard.press("PageDown")
    assert [box.input_value() for box in boxes.all()] == ["0"] * 4
    page.keyboard.press("PageUp")
    assert [box.input_value() for box in boxes.all()] == ["12", "6", "0", "3"]
    bars = page.locator(".gl-tally i").all()
    widths = [bar.bounding_box()["width"] for bar in bars]
    assert widths[0] > 100
    assert [one / widths[0] for one in widths] == pytest.approx(
        [1, 0.5, 0, 0.25], abs=0.02
    )


def test_the_question_the_pictures_and_the_question_again(walked):
    plan, page, _ = walked()
    seen = []
    for _ in range(len(plan.train.sets) + 3):
        figures = page.locator("figure:visible")
        seen.append(figures.first.get_attribute("data-id") if figures.count() else "?")
        page.keyboard.press("ArrowDown")
    assert seen == ["?", "path", *(f"set:{one.name}" for one in plan.train.sets), "?"]


@pytest.mark.parametrize("name", gl.train_names())
def test_every_step_is_seen_whole_from_the_back_row(walked, name):
    for size in SIZES if name == "five-range" else SIZES[:1]:
        plan, page, bench = walked(name, size, reduced_motion="reduce")
        for step in plan.steps:
            for press in (None, ".", "."):
                if press:
                    page.keyboard.press(press)
                room = bench.evaluate(bench_page.ROOM)
                assert room["found"] == [], (size, step.name, press)
                assert max(bench.evaluate(LETTERS)) <= FEWEST, (size, step.name)
            page.keyboard.press("PageDown")
        page.close()


def test_a_pointer_that_rests_dims_no_picture_that_comes_under_it(walked):
    _, page, bench = walked(reduced_motion="reduce")
    page.keyboard.press(".")
    name = page.locator("figure:visible .gl-live [data-of^=element] text").first
    box = name.bounding_box()
    page.keyboard.press(".")
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.keyboard.press(".")
    page.locator("figure:visible").wait_for()
    page.wait_for_timeout(200)
    assert bench.locator(".gl-dim, .gl-lit").count() == 0
    page.mouse.move(5, 5)
    name.hover(force=True)
    bench.locator("figure .gl-lit").first.wait_for()


def test_levers_and_chart_are_read_from_the_back_row(walked):
    _, page, bench = walked(size=(1920, 1080), reduced_motion="reduce")
    page.keyboard.press(".")
    for picture in ("levers", "chart", "path"):
        page.evaluate("id => bench.look({pictures: [id, 'words'], alone: ''})", picture)
        assert page.locator("figure:visible").get_attribute("data-id") == picture
        room = bench.evaluate(bench_page.ROOM)
        assert room["found"] == [] and room["letters"][0] >= 1080 / FEWEST - 0.1


@pytest.mark.parametrize("in_class", [True, False])
def test_it_is_for_everybody(walked, in_class):
    _, page, bench = walked(reduced_motion="reduce", bypass_csp=True)
    if not in_class:
        page.keyboard.press("Escape")
    for _ in range(3):  # asked, turned, the votes again
        assert access.violations(page, ".gl-bench") == []
        assert access.small(bench) == [] and access.loose(bench) == []
        bench.locator("[data-do=reveal]").click()


def test_out_of_class_the_whole_bench_is_there_and_tells_nothing(walked):
    plan, page, bench = walked()
    page.keyboard.press("Escape")
    assert page.evaluate("bench.view.class") is False
    assert bench.locator(".gl-asked").is_visible()
    heard = "\n".join(bench.evaluate(HEARD))
    assert number(plan.steps[0].flow.ratio) not in heard
    bench.get_by_role("button", name="reveal").click()
    assert number(plan.steps[0].flow.ratio) in "\n".join(bench.evaluate(HEARD))
    bench.get_by_role("button", name="next", exact=True).click()
    assert bench.locator(".gl-asked").inner_text() == plan.steps[1].asked
