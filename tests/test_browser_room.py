"""One screen: where things stand on a bench, how large letters are, where Tab goes."""

import access
import bench_page
import browser_lab as lab
import pytest

import gearlab as gl

NAMES = gl.train_names()
SIZES = {
    "1024 × 700": (1024, 700),
    "1280 × 800": (1280, 800),
    "1366 × 768": (1366, 768),
    "1920 × 1080": (1920, 1080),
    "820 × 1180": (820, 1180),
    "930 × 600": (930, 600),
    "200 %": (683, 384),
}
SMALL = "930 × 600"  # too small for letters of a projector, and beside a drawer
NARROW = 1280  # in a window that is less wide, or large letters, elements are scrolled
DRESSES = {
    "as it opens": {},
    "large letters": {"letters": "projector"},
    "teeth": {"open": "teeth"},
    "large letters, teeth": {"letters": "projector", "open": "teeth"},
    "choices": {"open": "view"},
    "alone": {"alone": "path"},
}
REST = """() => new Promise(done =>
  requestAnimationFrame(() => requestAnimationFrame(done)))"""
# A bench in every dress and in some ranges, each once it has come to rest.
TRY = f"""async ([dresses, ranges]) => {{
  const room = {bench_page.ROOM}, rest = {REST}
  const found = {{}}
  for (const [name, dress] of Object.entries(dresses)) {{
    const {{open = '', ...view}} = dress
    bench.look({{letters: 'screen', alone: '', ...view}})
    if ((bench.open ?? '') !== open) bench.unfold(open || bench.open)
    found[name] = []
    for (const range of ranges) {{
      bench.toRange(range)
      await rest()
      found[name].push(room(bench.root))
    }}
  }}
  return found
}}"""


@pytest.fixture(scope="module")
def browser():
    lab.need_browser()
    with lab.browser() as chromium:
        yield chromium


@pytest.fixture(scope="module")
def addresses(tmp_path_factory):
    """Pages of every shipped train, with all its ranges, and others for a class."""
    lab.need_browser()
    folder, found = tmp_path_factory.mktemp("pages"), {}
    for name in NAMES:
        train = gl.load_train(name)
        flows, path = bench_page.ranges(train), folder / f"{name}.html"
        views = (bench_page.SCREEN, bench_page.PROJECTOR)
        found[name] = bench_page.put_page(path, train, flows, views)
        path, views = folder / f"{name} in class.html", (bench_page.CLASS,)
        view = {"class": True}
        found[name, "class"] = bench_page.put_page(path, train, flows, views, **view)
    return found


@pytest.fixture
def open_page(browser, addresses):
    """Opens the bench of a train in a window of some size."""
    pages, wrong = [], []

    def opened(name="five-range", size=(1366, 768), **settings):
        width, height = size
        page = browser.new_page(viewport={"width": width, "height": height}, **settings)
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(addresses[name])
        page.locator("figure").first.wait_for()
        pages.append(page)
        return page

    yield opened
    for page in pages:
        page.close()
    assert wrong == []


def some_ranges(name):
    names = gl.load_train(name).range_names
    return [names[0], names[len(names) // 2]]


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_cut_and_all_letters_can_be_read(open_page, name):
    page = open_page(name)
    for called, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        found = page.evaluate(TRY, [DRESSES, some_ranges(name)])
        for dress, rooms in found.items():
            for room in rooms:
                wrong = room["found"]
                if width < NARROW or "large" in dress:
                    wrong = [one for one in wrong if "px: aside" not in one]
                assert wrong == [], (called, dress)
                least = 6 if called == SMALL else 11
                assert room["letters"][0] >= least - 0.01, (called, dress)
                assert room["tiles"]


@pytest.mark.parametrize("size", ["1366 × 768", "1920 × 1080"])
def test_a_screen_shows_all_sets_the_power_path_and_the_words(open_page, size):
    page = open_page(size=SIZES[size])
    (room,) = page.evaluate(TRY, [{"": {}}, ["3"]])[""]
    assert len(room["tiles"]) == 5 and "words" in room["tiles"]


ALL = f"""async ranges => {{
  const room = {bench_page.ROOM}, rest = {REST}
  const places = new Set(), wrong = new Set()
  const loads = [...bench.root.querySelectorAll('[data-do=load]')]
  const boxes = [...bench.root.querySelectorAll('[data-do=element]')]
  for (const range of ranges)
    for (const load of loads) {{
      load.click()
      bench.toRange(range)
      if (bench.free) bench.turnTo({{n: -123456n, d: 10n}})
      await rest()
      const {{found, places: seen}} = room(bench.root)
      places.add(JSON.stringify(seen))
      found.forEach(one => wrong.add(one))
    }}
  return [[...places], [...wrong]]
}}"""


@pytest.mark.parametrize("name", NAMES)
def test_nothing_moves_when_something_is_shifted_or_turned(open_page, name):
    page = open_page(name)
    for size in ("1024 × 700", "1366 × 768", "1920 × 1080", "820 × 1180"):
        width, height = SIZES[size]
        page.set_viewport_size({"width": width, "height": height})
        names = list(gl.load_train(name).range_names)
        places, wrong = page.evaluate(ALL, names)
        assert len(places) == 1, size
        assert [one for one in wrong if "px: aside" not in one] == [], size


# What Tab reaches, and what is told ---------------------------------------------------

PARTS = ("header", "aside", ".gl-stage", "footer")  # of a bench, as the eye goes
ALL_CONTROLS = "button, input, select, [role=slider]"
NAME = "[one.dataset.do ?? one.getAttribute('role'), one.value ?? ''].join(' ')"
# What has the focus, in which part it stands, and where.
HELD = f"""() => {{
  const one = document.activeElement
  const {{left, top, right, bottom}} = (one.closest('label') ?? one)
    .getBoundingClientRect()
  return {{name: {NAME}, left, top, right, bottom,
    arrows: one.closest('[data-rove]') ? 'Home' : one.type === 'radio' ? 'Tab' : '',
    part: {list(PARTS)}.findIndex(part => one.closest(part)),
    within: Boolean(one.closest('.gl-bench'))}}
}}"""
CONTROLS = f"""bench => [...bench.querySelectorAll('{ALL_CONTROLS}')]
  .filter(one => !one.disabled && one.checkVisibility()).map(one => {NAME})"""


def walked(page):
    """What Tab reaches in the bench, from its beginning on."""
    page.evaluate("bench.root.tabIndex = -1; bench.root.focus()")
    for _ in range(80):
        page.keyboard.press("Tab")
        held = page.evaluate(HELD)
        if not held["within"]:
            return
        yield held
    raise AssertionError("Tab does not leave the bench")


def test_tab_goes_as_the_eye_does_and_the_crank_is_near(open_page):
    found = list(walked(open_page()))
    assert [one["name"].strip() for one in found].index("slider") < 10
    parts = [one["part"] for one in found]
    assert parts == sorted(parts) and set(parts) == set(range(len(PARTS)))
    for part, called in enumerate(PARTS):
        here = [one for one in found if one["part"] == part]
        assert access.against_the_eye(here) == [], called


@pytest.mark.parametrize("drawer", ["", "view", "teeth"])
def test_every_control_is_reached_by_tab_or_by_arrows(open_page, drawer):
    page = open_page(size=SIZES["1920 × 1080"])
    if drawer:
        page.evaluate("name => bench.unfold(name)", drawer)
    wanted = set(page.locator(".gl-bench").evaluate(CONTROLS))
    reached = set()
    for held in walked(page):
        if held["arrows"] == "Home":
            page.keyboard.press("Home")
            held = page.evaluate(HELD)
        while held["name"] not in reached:
            reached.add(held["name"])
            if held["arrows"]:
                page.keyboard.press("ArrowDown")
                held = page.evaluate(HELD)
    assert len(wanted) >= 40 and wanted - reached == set()


def test_every_picture_has_its_sentence(open_page):
    page = open_page(size=SIZES["1920 × 1080"])
    page.get_by_role("button", name="levers").click()
    page.get_by_role("button", name="apply chart").click()
    found = page.get_by_role("img")
    sentences = [one.get_attribute("aria-label") for one in found.all()]
    assert len(sentences) == 6 and all(len(words) > 40 for words in sentences)
    assert "ratio 2.833" in sentences[0]


def test_what_is_said_is_a_status_and_the_count_is_told_once_it_rests(open_page):
    page = open_page()
    statuses = page.locator(".gl-bench [role=status]")
    kinds = [one.get_attribute("class") for one in statuses.all()]
    assert kinds == ["gl-unseen", "gl-note", "gl-verdicts", "gl-told", "gl-progress"]
    told, count = page.locator(".gl-unseen"), page.locator(".gl-count")
    wheel = page.get_by_role("slider")
    for press in ("+ ¼", "+ 1", "− ¼"):
        page.get_by_role("button", name=press, exact=True).click()
        assert told.inner_text() == count.inner_text() != "input 0° · output 0°"
        assert wheel.get_attribute("aria-valuetext") == count.inner_text()
    before = told.inner_text()
    page.get_by_role("button", name="turn", exact=True).click()
    page.wait_for_function(
        "before => document.querySelector('.gl-count').innerText !== before", arg=before
    )
    assert told.inner_text() == before, "nobody is told every degree"
    page.keyboard.press("Escape")
    assert told.inner_text() == count.inner_text() != before


# In class -----------------------------------------------------------------------------

# All that is on screen, but for pictures: [words, height of the screen in letters].
WRITTEN = """bench => [...bench.querySelectorAll('*')].filter(one =>
  !one.closest('svg, .gl-unseen') && one.checkVisibility()
  && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim()))
  .map(one =>
    [one.innerText, innerHeight / parseFloat(getComputedStyle(one).fontSize)])"""
FEWEST = 25  # letters of that size, one above the other, are as high as the screen
WIDE = ("1366 × 768", "1920 × 1080")


@pytest.fixture
def in_class(open_page):
    """Opens a bench in class view."""

    def opened(name="five-range", size="1366 × 768"):
        return open_page((name, "class"), SIZES[size])

    return opened


@pytest.mark.parametrize("size", WIDE)
@pytest.mark.parametrize("name", NAMES)
def test_in_class_the_range_the_count_and_a_picture_are_seen_from_afar(
    in_class, name, size
):
    page = in_class(name, size)
    bench = page.locator(".gl-bench")
    for _ in gl.load_train(name).sets:
        written = bench.evaluate(WRITTEN)
        texts = [text for text, _ in written]
        assert len(texts) == 3 + 6, "range, count, what it gives, six buttons"
        assert page.locator("figure:visible").count() == 1
        assert max(letters for _, letters in written) <= FEWEST
        room = bench.evaluate(bench_page.ROOM)
        assert room["found"] == []
        assert SIZES[size][1] / room["letters"][0] <= FEWEST
        page.keyboard.press("ArrowDown")


def test_a_class_is_led_by_buttons_or_by_a_clicker(in_class):
    page = in_class()
    big = page.locator(".gl-big")
    names = gl.load_train("five-range").range_names
    at = names.index("1")
    for by, (button, key) in {1: ("next", "PageDown"), -1: ("back", "PageUp")}.items():
        page.get_by_role("button", name=button, exact=True).click()
        page.keyboard.press(key)
        at += 2 * by
        assert big.inner_text() == names[at]
    page.evaluate("bench.change({predict: true})")
    shown = page.locator(".gl-count")
    for reveal in (".", "reveal"):
        page.keyboard.press("PageDown")
        assert "hidden" in shown.inner_text()
        if reveal == ".":
            page.keyboard.press(".")
        else:
            page.get_by_role("button", name="reveal").click()
        assert "input 0°" in shown.inner_text()
    page.keyboard.press("Escape")
    assert page.evaluate("bench.view.class") is False


def test_keys_go_on_to_work_once_an_answer_is_shown(open_page):
    page = open_page()
    page.evaluate("bench.change({predict: true})")
    page.get_by_text("nothing drives it").click()
    page.get_by_role("button", name="say it").click()
    page.locator(".gl-answer").wait_for()
    assert page.evaluate("document.activeElement === bench.root")


def test_the_votes_of_a_class_are_bars(in_class):
    page = in_class()
    page.evaluate("bench.change({predict: true})")
    boxes, bars = page.get_by_label("hands for:"), page.locator(".gl-tally i")
    for box, hands in zip(boxes.all(), ("12", "6", "0", "3", "0"), strict=True):
        box.fill(hands)
    whole = bars.first.bounding_box()["width"]
    widths = [bar.bounding_box()["width"] / whole for bar in bars.all()]
    assert widths == pytest.approx([1, 0.5, 0, 0.25, 0], abs=0.02) and whole > 100
    assert page.locator(".gl-bench").evaluate(bench_page.ROOM)["found"] == []
