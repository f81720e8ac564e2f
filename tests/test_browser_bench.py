"""The bench panel in JupyterLab, under real keys and a real pointer."""

import ast
import json
from fractions import Fraction
from math import cos, hypot, pi, sin

import bench_page
import browser_lab as lab
import pytest

import gearlab as gl
from gearlab.base.numerals import turns
from gearlab.bench.texts import TEXTS
from gearlab.say.describe import sentences

SET_UP = "import gearlab as gl\nfrom gearlab.panels import Bench"
MAKE = 'bench = Bench(gl.load_train("five-range"), "1")'
CELLS = (SET_UP, MAKE, "bench", "bench", 'other = Bench(gl.load_train("four-range"))')
VIEWS = ("bench", "bench", "other")  # the cells that show a panel
TRAIN = gl.load_train("five-range")
ASK = """async code => {
  const {kernel} = window.jupyterapp.shell.currentWidget.context.sessionContext.session
  const asked = {code: '', store_history: false, user_expressions: {asked: code}}
  const {content} = await kernel.requestExecute(asked).done
  return content.user_expressions.asked.data['text/plain']
}"""
RUN_CELL = """async at => {
  const {content} = window.jupyterapp.shell.currentWidget
  content.activeCellIndex = at
  await window.jupyterapp.commands.execute('notebook:run-cell')
}"""
RESET = """bench.set_teeth({"front": {"sun": 36}, "rear": {"ring": 70}})
bench.reveal()
bench.state = {**bench.state, "predict": False, "shown": "", "answer": ""}
bench.choose_range("1"), bench.set_load("drive"), bench.turn_to(0)
bench.set_look(end="input", letters="screen", colours="part", exact=False, alone="")
bench.set_look(circulating=False, pictures=["power path", "end views", "words"])"""
LIT = """bench => [bench.querySelectorAll('figure:has(.gl-lit):not([hidden])').length,
  bench.querySelectorAll('.gl-words[role=group] .gl-lit').length,
  [...new Set([...bench.querySelectorAll('.gl-lit')].map(one => one.dataset.of))],
  bench.querySelector('.gl-told').innerText]"""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A page with two views of one bench and another bench, and its complaints."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    lab.write_notebook(folder / "bench.ipynb", *CELLS, "other")
    with lab.lab_server(folder) as address:
        size = {"width": 1920, "height": 1080}
        with lab.browser_page(**size, has_touch=True) as page:
            wrong = []
            page.on("pageerror", lambda error: wrong.append(str(error)))
            lab.open_notebook(page, address, "bench.ipynb")
            page.wait_for_function(
                "document.querySelectorAll('.gl-bench figure svg').length >= 12"
            )
            yield page, address, wrong


@pytest.fixture
def page(served):
    return served[0]


@pytest.fixture
def bench(page):
    """The first view of the bench, as it was when it was opened."""
    lab.execute(page, RESET)
    one = page.locator(".gl-bench").first
    one.scroll_into_view_if_needed()
    agree(one)
    page.mouse.move(0, 0)
    return one


def told(page, what):
    """What the kernel says; it may be hearing something yet."""
    return json.loads(
        ast.literal_eval(page.evaluate(ASK, f"__import__('json').dumps({what})"))
    )


def waited(page, found, wanted):
    """What is found, as soon as that is what is wanted; or else what it was at last."""
    for _ in range(100):
        if (now := found()) == wanted:
            break
        page.wait_for_timeout(50)
    return now


def agree(bench, name="bench"):
    """Wait until page and kernel have the same state; that state."""
    for _ in range(100):
        state, seen = (
            told(bench.page, f"{name}.state"),
            bench.evaluate(bench_page.STATE),
        )
        count, at = bench.locator(".gl-count").inner_text(), Fraction(*state["turns"])
        wanted = {key: state[key] for key in seen} | {"turns": f"{float(at):.3f}"}
        if wanted == seen and (f"input {turns(at)} ·" in count or "input" not in count):
            return state
        bench.page.wait_for_timeout(50)
    raise AssertionError(f"the page has {seen}, the kernel {wanted}")


def applied(state):
    names = [*TRAIN.element_names, *(one.name for one in TRAIN.locks)]
    return {names[place] for place in state["applied"]}


def middle(control):
    box = control.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def symbol(bench, name):
    """A name in the power path, in the middle of its letters."""
    return bench.locator(f'[data-id=path] [data-of="element:{name}"] text').first


def test_an_element_is_pressed_by_its_box_its_symbol_and_a_finger(page, bench):
    before = applied(agree(bench))
    bench.get_by_role("checkbox", name="low brake").click()
    assert applied(agree(bench)) == before | {"low brake"}
    page.mouse.click(*middle(symbol(bench, "direct clutch")))
    assert applied(agree(bench)) == before | {"low brake", "direct clutch"}
    for name in ("direct clutch", "low brake"):
        page.touchscreen.tap(*middle(symbol(bench, name)))
    assert applied(agree(bench)) == before
    bench.get_by_role("checkbox", name="overdrive brake").tap()
    assert applied(agree(bench)) == before | {"overdrive brake"}
    page.keyboard.press("Space")
    assert applied(agree(bench)) == before


def test_a_range_is_chosen_by_button_by_arrows_by_selector_and_in_the_chart(
    page, bench
):
    bench.get_by_role("radio", name="3", exact=True).click()
    assert agree(bench)["range"] == "3"
    for key, wanted in (("ArrowRight", "4"), ("ArrowLeft", "3"), ("Home", "P")):
        page.keyboard.press(key)
        assert agree(bench)["range"] == wanted
    bench.get_by_label("selector").select_option("L")
    state = agree(bench)
    assert state["position"] == "L" and state["range"] in TRAIN.selector["L"]
    bench.get_by_role("button", name="apply chart").click()
    row = bench.locator('[data-id=chart] [data-of="range:5"] text').first
    page.mouse.click(*middle(row))
    assert agree(bench)["range"] == "5"


def test_the_load_is_changed(bench):
    bench.get_by_role("radio", name="coasting").click()
    state = agree(bench)
    flow = gl.power_flow(TRAIN, "1", load="coast")
    assert state["load"] == "coast"
    lines = bench.locator(".gl-words[role=group] li")
    assert lines.all_inner_texts() == sentences(flow)


VIEW = """bench => {
  const on = [...bench.querySelectorAll('.gl-view :checked')]
  return Object.fromEntries(on.map(one => one.dataset.what
    ? [one.dataset.what, one.value] : [one.value, true]))
}"""


def test_how_it_is_looked_at_is_told_too(bench):
    bench.get_by_role("button", name="view", exact=True).click()
    for choice in ("output end", "for a projector", "by what it does"):
        bench.get_by_label(choice, exact=True).check()
    bench.get_by_label("exact fractions").check()
    bench.get_by_label("power that goes round").check()
    chosen = {"end": "output", "letters": "projector", "colours": "role"}
    chosen |= {"exact": True, "circulating": True}

    def heard():
        view = told(bench.page, "bench.view")
        return {key: view[key] for key in chosen}

    assert waited(bench.page, heard, chosen) == chosen == bench.evaluate(VIEW)
    assert "seen from the output end" in bench.locator(".gl-gives").inner_text()
    bench.page.keyboard.press("Escape")
    assert not bench.locator(".gl-view").is_visible()


def test_what_is_pointed_at_lights_up_everywhere(page, bench):
    of = "body:common-sun shaft"
    bench.get_by_label("light up").select_option(of)
    pictures, words, lit, said = bench.evaluate(LIT)
    assert pictures >= 3 and words >= 1 and lit == [of]
    assert said == "common-sun shaft: turns backward, 1.235 per input turn"
    bench.get_by_label("light up").select_option("")
    assert bench.evaluate(LIT) == [0, 0, [], ""]
    named = bench.locator(f'.gl-words[role=group] [data-of="{of}"]')
    page.mouse.move(*middle(named.first))
    assert bench.evaluate(LIT) == [pictures, words, lit, said]
    page.mouse.move(*middle(bench.locator("[data-do=to]")))
    assert bench.evaluate(LIT) == [0, 0, [], ""]
    ring = bench.locator('[data-id="set:rear"] .gl-kept [data-of="body:output shaft"]')
    box = ring.first.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 0.98 * box["height"])
    of = ["body:output shaft"]
    assert waited(page, lambda: bench.evaluate(LIT)[2], of) == of
    assert "0.353 per input turn" in bench.locator(".gl-tag").inner_text()


def drag(page, centre, start, by, steps=24):
    """Turn with the pointer round a centre, from where it takes hold."""
    x, y = start[0] - centre[0], start[1] - centre[1]
    page.mouse.move(*start)
    page.mouse.down()
    for step in range(1, round(abs(by) * steps) + 1):
        angle = 2 * pi * by * step / round(abs(by) * steps)
        page.mouse.move(
            centre[0] + x * cos(angle) - y * sin(angle),
            centre[1] + x * sin(angle) + y * cos(angle),
        )


def at(bench):
    return Fraction(*agree(bench)["turns"])


def test_the_wheel_turns_the_input_to_the_degree(page, bench):
    x, y = middle(bench.get_by_role("slider"))
    drag(page, (x, y), (x, y - 18), 1.25)
    assert "input 1 turn + 90° · output 159°" in bench.inner_text()
    page.mouse.up()
    assert at(bench) == Fraction(5, 4)
    drag(page, (x, y), (x + 18, y), -2)
    page.mouse.up()
    assert at(bench) == Fraction(-3, 4)
    assert "input 270° backward · output 95° backward" in bench.inner_text()


def test_the_crank_in_a_picture_clicks_into_place_at_a_whole_output_turn(page, bench):
    picture = bench.locator('[data-id="set:front"] .gl-pic')
    box = picture.bounding_box()
    knob = middle(picture.locator('[data-of="crank"]').first)
    centre = box["x"] + box["width"] / 2, box["y"] + box["width"] / 2
    assert hypot(knob[0] - centre[0], knob[1] - centre[1]) > 30
    drag(page, centre, knob, 17 / 6 + 3 / 360, steps=36)
    assert "· output 1 turn" in bench.locator(".gl-count").inner_text()
    page.mouse.up()
    assert at(bench) == Fraction(17, 6)


def test_the_crank_turns_by_keys(page, bench):
    bench.get_by_role("slider").focus()
    for key in ("ArrowRight", "ArrowUp", "ArrowRight", "ArrowLeft"):
        page.keyboard.press(key)
    assert at(bench) == Fraction(2, 72)
    page.keyboard.press("Home")
    for _ in range(3):
        page.keyboard.press("ArrowDown")
    assert at(bench) == Fraction(-3, 72)
    box = bench.get_by_label("turn to")
    box.fill("1234.5")
    box.press("Enter")
    assert at(bench) == Fraction("1234.5")
    assert turns(Fraction(6, 17) * Fraction("1234.5")) in bench.inner_text()


def test_what_is_tied_up_does_not_turn_and_it_is_said_who_fights(page, bench):
    bench.get_by_role("checkbox", name="overdrive brake").click()
    state = agree(bench)
    flow = gl.power_flow(TRAIN, applied=applied(state))
    x, y = middle(bench.get_by_role("slider"))
    drag(page, (x, y), (x, y - 18), 1)
    page.mouse.up()
    note = bench.locator(".gl-note")
    assert note.inner_text() == " ".join(sentences(flow)[1:])
    assert "the overdrive brake and the front lock clutch fight" in note.inner_text()
    assert agree(bench)["turns"] == [0, 1]
    fighting = bench.locator("aside .gl-fights")
    names = [one.split("\n")[0] for one in fighting.all_inner_texts()]
    assert names == ["overdrive brake", "front lock clutch"]
    bench.get_by_role("checkbox", name="overdrive brake").click()
    assert not note.is_visible()


def test_it_turns_to_the_next_whole_output_turn_and_stops_there(page, bench):
    bench.get_by_role("radio", name="5", exact=True).click()
    ratio = gl.power_flow(TRAIN, "5").ratio
    bench.get_by_role("button", name="turn", exact=True).click()
    bench.get_by_role("button", name="stop", exact=True).wait_for()
    bench.get_by_role("button", name="turn", exact=True).wait_for()
    assert at(bench) == ratio and "output 1 turn" in bench.inner_text()
    bench.get_by_role("button", name="turn", exact=True).click()
    page.wait_for_timeout(300)
    bench.get_by_role("button", name="stop", exact=True).click()
    stopped = at(bench)
    assert ratio < stopped < 2 * ratio and stopped.denominator <= 360
    page.emulate_media(reduced_motion="reduce")
    try:
        bench.get_by_role("button", name="turn", exact=True).click()
        assert bench.get_by_role("button", name="stop", exact=True).count() == 0
        assert at(bench) == 2 * ratio
    finally:
        page.emulate_media(reduced_motion="no-preference")


def test_two_views_of_a_bench_agree_and_another_bench_is_left_alone(page, bench):
    twin, other = page.locator(".gl-bench").nth(1), page.locator(".gl-bench").nth(2)
    before = agree(other, "other")
    bench.get_by_role("radio", name="2", exact=True).click()
    bench.get_by_role("button", name="+ ¼").click()
    assert agree(bench) == agree(twin)
    twin.get_by_role("radio", name="coasting").click()
    assert agree(twin) == agree(bench)
    assert agree(other, "other") == before
    ids = "[...document.querySelectorAll('.gl-bench [id]')].map(one => one.id)"
    found = page.evaluate(ids)
    assert len(found) == len(set(found))


def test_an_answer_that_was_not_asked_for_ahead_can_be_predicted(page, bench):
    bench.get_by_role("radio", name="P", exact=True).click()
    agree(bench)
    bench.get_by_role("button", name="view", exact=True).click()
    bench.get_by_label("predict first").check()
    page.keyboard.press("Escape")
    bench.get_by_role("radio", name="5", exact=True).click()
    assert bench.locator(".gl-count").inner_text() == TEXTS["not_told"]
    bench.get_by_role("radio", name="forward, like the input").check()
    bench.get_by_label("turns", exact=True).fill("0")
    bench.get_by_label("degrees").fill("265")
    bench.get_by_role("button", name="say it, then see").click()
    state = agree(bench)
    assert state["answer"] == bench.locator(".gl-answer").inner_text()
    assert "ratio" in bench.locator(".gl-gives").inner_text()


def test_teeth_are_changed_and_what_cannot_be_leaves_the_last_picture(page, bench):
    bench.get_by_role("button", name="teeth", exact=True).click()
    box = bench.get_by_role("spinbutton", name="front sun")
    title = bench.locator("figure[data-id='set:front'] b")
    box.fill("100")
    note = bench.locator(".gl-note")
    note.wait_for()
    said = note.inner_text()
    assert box.input_value() == "100" and "sun 36, ring 72" in title.inner_text()
    assert len(said) > 40
    assert waited(page, lambda: told(page, "bench.note['words']"), said) == said
    box.fill("42")
    page.wait_for_function(
        "one => one.innerText.includes('sun 42')", arg=title.element_handle()
    )
    assert not note.is_visible()
    slider = bench.get_by_role("slider", name="rear ring")
    slider.focus()
    for _ in range(2):
        page.keyboard.press("ArrowRight")
    rear = bench.locator("figure[data-id='set:rear'] b")
    page.wait_for_function(
        "one => one.innerText.includes('ring 72')", arg=rear.element_handle()
    )
    train = TRAIN.with_teeth({"front": {"sun": 42}, "rear": {"ring": 72}})
    ratio = gl.power_flow(train, "1").ratio
    assert waited(page, lambda: told(page, "str(bench.flow.ratio)"), str(ratio)) == str(
        ratio
    )
    bench.get_by_label("named teeth").select_option("as in the train file")
    page.wait_for_function(
        "one => one.innerText.includes('sun 36')", arg=title.element_handle()
    )
    bench.get_by_role("button", name="teeth", exact=True).click()


# One control of a kind has the focus again after each key, as long as it is seen; what
# keys it heard is kept.
HOLD = """(bench, act) => {
  window.held ??= new AbortController()
  window.held.abort()
  window.held = new AbortController()
  window.keys = new Set()
  const one = [...bench.querySelectorAll('[data-do]')].find(
    one => one.dataset.do === act && !one.disabled && one.checkVisibility())
  const hold = () => one.checkVisibility() && !one.disabled && one.focus()
  const {signal} = window.held
  document.addEventListener('keydown', ({key, target}) =>
    bench.contains(target) && window.keys.add(key), {capture: true, signal})
  document.addEventListener('keyup', hold, {capture: true, signal})
  hold()
}"""
ACTS = """(bench, place) => [...new Set([...bench.querySelectorAll(`${place}[data-do]`)]
  .filter(one => !one.disabled && one.checkVisibility()).map(one => one.dataset.do))]"""


def drawer(name):
    """Opens a drawer, unless it is."""

    def opened(bench):
        if not bench.locator(f".gl-{name}").is_visible():
            bench.get_by_role("button", name=name, exact=True).click()

    return opened


def in_class(bench):
    if not bench.locator(".gl-class-bar").is_visible():
        drawer("view")(bench)
        bench.get_by_role("button", name="class view").click()


def leave_class(bench):
    if bench.locator(".gl-class-bar").is_visible():
        bench.get_by_role("button", name="leave").click()


PLACES = {
    "": lambda bench: None,
    ".gl-view ": drawer("view"),
    ".gl-teeth ": drawer("teeth"),
    ".gl-class-bar ": in_class,
}


@pytest.mark.parametrize("place", PLACES)
def test_no_key_on_any_control_changes_the_notebook(page, bench, place):
    PLACES[place](bench)
    acts = bench.evaluate(ACTS, place)
    assert len(acts) >= 2
    for act in acts:
        PLACES[place](bench)
        bench.evaluate(HOLD, act)
        before = page.evaluate(lab.BOOK)
        page.keyboard.type("".join(key for key in lab.KEYS if len(key) == 1))
        for key in lab.KEYS:
            if len(key) > 1:
                page.keyboard.press(key)
        assert page.evaluate(lab.BOOK) == before, act
        missed = set(lab.KEYS) - set(page.evaluate("[...window.keys]"))
        assert missed <= {"Escape"}, (act, "a list that is open keeps its own")
        if act in ("class", "fill"):
            page.evaluate("document.fullscreenElement && document.exitFullscreen()")
            leave_class(bench)
    page.evaluate("window.held.abort()")
    leave_class(bench)


def test_a_panel_is_one_screen_of_the_notebook(page, bench):
    for width, height in ((1366, 768), (1920, 1080)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(300)
        bench.scroll_into_view_if_needed()
        room = bench.evaluate(bench_page.ROOM)
        assert [one for one in room["found"] if "px: aside" not in one] == []
        assert room["letters"][0] >= 10.99
        assert bench.bounding_box()["height"] < height
        seen = bench.evaluate(
            "one => one.offsetHeight <= one.closest('.jp-WindowedPanel-outer,"
            " .jp-Notebook').clientHeight"
        )
        assert seen


def test_how_a_bench_is_looked_at_is_kept_for_the_next_and_over_a_reload(served, bench):
    page, address, _ = served
    bench.get_by_role("button", name="levers").click()
    bench.get_by_role("button", name="middle set", exact=True).click()
    wanted = ["levers", "path", "set:front", "set:rear", "words"]

    def heard():
        return sorted(told(page, "bench.view")["pictures"])

    assert waited(page, heard, wanted) == wanted
    page.evaluate(RUN_CELL, 1)
    page.evaluate(RUN_CELL, 2)
    page.wait_for_function(f"{lab.KERNEL} === 'idle'")
    assert waited(page, heard, wanted) == wanted
    lab.open_notebook(page, address, "bench.ipynb")
    one = page.locator(".gl-bench").first
    one.locator("figure[data-id=levers]").wait_for()
    assert waited(page, heard, wanted) == wanted


# What is new where the kernel does not answer ----------------------------------------


def test_cells_run_twice_and_out_of_order(served):
    page = served[0]
    for at_cell in (3, 1, 3, 2, 1, 2):
        page.evaluate(RUN_CELL, at_cell)
    page.wait_for_function(f"{lab.KERNEL} === 'idle'")
    second = page.locator(".jp-Cell").nth(2).locator(".gl-bench")
    second.get_by_role("radio", name="4", exact=True).click()
    assert agree(second)["range"] == "4"
    assert page.locator(".gl-note:visible").count() == 0


# A kernel hears panels while a cell sleeps, but not while it counts without a pause.
BUSY = "sum(range(5 * 10**8))"


def test_what_is_known_is_shown_at_once_while_the_kernel_is_busy(served):
    page = served[0]
    bench = page.locator(".jp-Cell").nth(2).locator(".gl-bench")
    bench.get_by_role("radio", name="1", exact=True).click()
    agree(bench)
    page.wait_for_timeout(600)  # what may come next is asked for
    lab.execute(page, BUSY)
    bench.get_by_role("radio", name="2", exact=True).click()
    assert "ratio 1.889" in bench.locator(".gl-gives").inner_text()
    bench.get_by_role("button", name="+ ¼").click()
    assert "input 90°" in bench.locator(".gl-count").inner_text()
    for name in ("low brake", "direct clutch", "common-sun brake"):
        bench.get_by_role("checkbox", name=name).click()
    bench.get_by_text(TEXTS["waiting"]).wait_for()
    bench.get_by_text(TEXTS["waiting"]).wait_for(state="hidden")
    state = agree(bench)
    flow = gl.power_flow(TRAIN, applied=applied(state))
    lines = bench.locator(".gl-words[role=group] li")
    assert lines.all_inner_texts() == sentences(flow)


def test_the_page_complained_about_nothing(served):
    assert served[2] == []


def test_without_a_kernel_what_is_known_still_works(served):
    page = served[0]
    bench = page.locator(".jp-Cell").nth(2).locator(".gl-bench")
    bench.get_by_role("radio", name="1", exact=True).click()
    agree(bench)
    page.wait_for_timeout(600)
    lab.kill_kernel(page)
    bench.get_by_role("radio", name="2", exact=True).click()
    assert "ratio 1.889" in bench.locator(".gl-gives").inner_text()
    note = bench.locator(".gl-note")
    assert note.inner_text() == TEXTS["gone"]
    bench.get_by_role("button", name="+ 1", exact=True).click()
    assert "input 1 turn" in bench.locator(".gl-count").inner_text()
    bench.get_by_role("radio", name="1", exact=True).click()
    assert "ratio 2.833" in bench.locator(".gl-gives").inner_text()
    assert note.inner_text() == TEXTS["gone"] and note.count() == 1
    lab.run_all(page)
    bench = page.locator(".gl-bench").first
    bench.get_by_role("radio", name="5", exact=True).click()
    agree(bench)
    assert not bench.locator(".gl-note").is_visible()
