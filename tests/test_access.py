"""Every panel is for everybody, in both themes: axe, names, targets, the way of Tab."""

import re
import shutil
from pathlib import Path

import access
import browser_lab as lab
import pytest
import small_lab

import gearlab

PANELS = Path(gearlab.__file__).parent / "panels"
SET_UP = """import small_lab
from IPython.display import HTML
from tempfile import mkdtemp
import gearlab as gl
from gearlab.lab.mark.example import example_class
from gearlab.panels import Bench, Desk, Progress, Ticking
sheets, listed = example_class(mkdtemp())
desk = Desk(small_lab.LAB)
desk.sign_in("ana")
HTML("<h1>A lab</h1><h2>A part of it</h2>")"""
# What a panel is called: the cell that shows it.
SHOWN = {
    "desk": "desk",
    **{topic: f"desk.ask({topic!r})" for topic in small_lab.FORMS},
    "truth": "desk.truth('which way')",
    "finish": "desk.finish()",
    "progress": "Progress()",
    "ticking": 'Ticking(sheets, "ticks.csv", listed)',
    "bench": "Bench(gl.load_train('five-range'), '3')",
    "bench that hides": "Bench(gl.load_train('six-range'), predict=True)",
}
# The states that a panel can be in: not tried, wrong, right, not read, with hints.
AT_WORK = """desk.put_down("which way", "backward")
desk.ask("what is held").press("sun")
desk.ask("where is the sun").press("B")
ratio = desk.ask("what ratio")
ratio.press("3")
ratio.hint()
ratio.press("three")
ratio.earlier.value = True
desk.finish().hand_in()
desk.sign_in("anna")"""
PLACES = ".gl-panel, .gl-bench"
THEMES = ("JupyterLab Light", "JupyterLab Dark")
CHANGE = """async theme => {
  await window.jupyterapp.commands.execute('apputils:change-theme', {theme})
}"""


@pytest.fixture(scope="module")
def page(tmp_path_factory):
    """A notebook with every panel, each in a state in which it says something."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("served")
    shutil.copy(Path(small_lab.__file__), folder / "small_lab.py")
    lab.write_notebook(folder / "panels.ipynb", SET_UP, *SHOWN.values(), AT_WORK)
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("GEARLAB_ANSWERS", str(folder / "answers"))
        with lab.lab_server(folder) as address, lab.browser_page(height=6000) as page:
            lab.open_notebook(page, address, "panels.ipynb")
            page.wait_for_function(
                f"document.querySelectorAll('{PLACES}').length === {len(SHOWN)}"
            )
            page.get_by_text("did you mean").wait_for()
            yield page


@pytest.fixture(params=SHOWN)
def place(request, page):
    """One panel after the other."""
    return page.locator(PLACES).nth([*SHOWN].index(request.param))


@pytest.mark.parametrize("theme", THEMES)
def test_axe_finds_nothing(page, theme):
    page.evaluate(CHANGE, theme)
    page.wait_for_function(
        "theme => document.body.dataset.jpThemeName === theme"
        " && !document.querySelector('#jupyterlab-splash')",
        arg=theme,
    )
    assert access.violations(page, PLACES) == []


def test_what_belongs_together_is_a_group_and_what_is_said_a_status(place):
    assert access.loose(place) == []


def test_every_control_is_easy_to_hit(place):
    assert access.small(place) == []


def test_tab_reaches_everything_as_the_eye_goes(place):
    stops, count = access.walked(place)
    assert len(stops) == count
    assert all(stop["name"] for stop in stops)
    assert access.against_the_eye(stops) == []


@pytest.fixture(scope="module")
def narrow(page):
    """The page as a window of 360 px has it, or a wide one at four times the size."""
    before = page.viewport_size
    page.set_viewport_size({"width": 360, "height": 12_000})
    yield
    page.set_viewport_size(before)


def test_nothing_is_cut_where_there_is_little_room(narrow, place):
    assert place.bounding_box()["width"] < 360
    assert access.cut(place) == []


def test_every_colour_stands_in_one_place():
    for style in (*PANELS.glob("*.css"), PANELS.parent / "bench" / "bench.css"):
        assert not re.findall("#[0-9a-f]{3}|rgb|hsl", style.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def file(tmp_path_factory):
    """A bench in one file."""
    path = tmp_path_factory.mktemp("file") / "bench.html"
    return gearlab.take_home(gearlab.load_train("lone-set"), path, letters=["screen"])


@pytest.mark.parametrize("doing", ["range", "view", "teeth", "class view"])
def test_a_bench_in_a_file_is_for_everybody_too(page, file, doing):
    page = page.context.browser.new_page(bypass_csp=True)
    page.goto(file.as_uri())
    if doing == "range":
        page.locator(".gl-elements input").nth(1).check()
    else:
        page.get_by_role("button", name=doing.split(" ")[-1], exact=True).click()
    if doing == "class view":
        page.get_by_role("button", name=doing).click()
    assert access.violations(page, "html") == []
    assert access.small(page.locator(".gl-bench")) == []
    page.close()


BAD = """<html lang="en"><title>bad</title><main class="bad">
  <p style="color: #ddd">faint</p><input><div class="gl-status">said</div>
  <button style="position: absolute; left: 50px; top: 114px; padding: 0; border: 0;
    width: 9px; height: 9px">one</button>
  <button style="position: absolute; left: 9px; top: 90px">two</button>
  <div style="width: 90px; overflow: hidden"><p style="width: 99px">wide</p></div>
  <input type="radio" aria-label="three">
</main>"""


def test_what_is_bad_is_found(page):
    page = page.context.browser.new_page()
    page.set_content(BAD)
    bad = page.locator(".bad")
    broken = {rule for rule, _ in access.violations(page, ".bad")}
    assert broken == {"color-contrast", "label", "target-size"}
    assert "three" in access.loose(bad)[0] and "said" in access.loose(bad)[1]
    assert "one" in "".join(access.small(bad)) and "wide" in "".join(access.cut(bad))
    stops, count = access.walked(bad)
    assert len(stops) == count == 4
    assert ("one", "two") in access.against_the_eye(stops)
    page.close()
