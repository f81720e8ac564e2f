"""A bench in one file, opened from a disk: it says what the library says, alone."""

import re
from fractions import Fraction
from pathlib import Path
from random import Random

import bench_page
import browser_lab as lab
import pytest
import trains

import gearlab as gl
from gearlab.base.numerals import exactly, fraction, number, turns
from gearlab.bench import book, front
from gearlab.bench.book import usable_names
from gearlab.bench.texts import FILE_TEXTS, TEXTS
from gearlab.say.describe import sentences
from gearlab.solve.facts import element_states
from gearlab.solve.powerflow import LOAD_WORDS

NAMES = gl.train_names()
MARKUP = '<img src=x onerror="document.title = 1"> & <b>'
# Every combination by the check boxes, one box at a time, both loads by their buttons,
# and all ranges with just these elements; the count is read at a turn or two of each.
WALK = """turns => {
  const bench = document.querySelector('.gl-bench')
  const all = of => [...bench.querySelectorAll(of)]
  const read = of => bench.querySelector(of).textContent
  const boxes = all('[data-do=element]'), to = bench.querySelector('[data-do=to]')
  const ranges = all('.gl-ranges button')
  const found = []
  let next = 0
  const turnTo = value => {
    to.value = value
    to.dispatchEvent(new Event('change', {bubbles: true}))
    return [value, read('.gl-count'), read('.gl-note')]
  }
  const look = () => {
    for (const load of all('[data-do=load]')) {
      load.click()
      found.push({
        applied: boxes.filter(one => one.checked).map(one => Number(one.value)),
        load: load.value,
        range: ranges.find(one => one.ariaChecked === 'true')?.value ?? null,
        gives: read('.gl-gives'),
        words: all('.gl-words[role=group] li').map(one => one.textContent).join(' '),
        one_ways: all('.gl-one-ways em').map(one => one.textContent),
        counts: [0, 1].map(() => turnTo(turns[next++ % turns.length])),
      })
    }
  }
  for (const tab of all('[data-do=picture][aria-pressed=true]'))
    if (!['path', 'words'].includes(tab.value)) tab.click()
  for (let n = 0; n < 1 << boxes.length; n++) {
    if (n) boxes[Math.log2(n & -n)].click()
    look()
  }
  for (const range of ranges) {
    range.click()
    look()
  }
  return found
}"""
TURNS = ["0.25", "-7.123456", "98765.4321", "1", "-0.000001", "3.5", "-1000000"]


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """The file of every shipped train; that of five ranges can be shown in class."""
    lab.need_browser()
    folder = tmp_path_factory.mktemp("files")
    return {
        name: gl.take_home(
            gl.load_train(name),
            folder / f"{name}.html",
            ends=["input"],
            letters=["screen", "class"] if name == "five-range" else ["screen"],
            colours=["part"],
        )
        for name in NAMES
    }


@pytest.fixture(scope="module")
def browser():
    lab.need_browser()
    with lab.browser() as chromium:
        yield chromium


@pytest.fixture
def page(browser):
    """A page without a network; it asks for nothing and complains about nothing."""
    context = browser.new_context(viewport={"width": 1366, "height": 768})
    context.set_offline(True)
    context.set_default_timeout(30_000)
    page, wrong = context.new_page(), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on(
        "console", lambda said: said.type == "error" and wrong.append(said.text[:300])
    )
    page.on("request", lambda one: one.is_navigation_request() or wrong.append(one.url))
    yield page
    context.close()
    assert wrong == []


def shown(page, path):
    """The bench of a file."""
    page.goto(Path(path).as_uri())
    bench = page.locator(".gl-bench")
    bench.locator("figure").first.wait_for()
    return bench


def flow_of(train, found):
    """The flow that a page says it shows."""
    names = [usable_names(train)[place] for place in found["applied"]]
    if found["range"] is None:
        return gl.power_flow(train, applied=names, load=found["load"])
    flow = gl.power_flow(train, found["range"], load=found["load"])
    assert flow.applied == set(names)
    return flow


def count_of(flow, at, exact):
    """What the page has to say of a count: (the count, the status line)."""
    if flow.state == "tied up":
        return TEXTS["tied_up"], " ".join(sentences(flow)[1:])
    at, out = Fraction(at), flow.speeds[flow.train.output]

    def written(value):
        if value is None:
            return TEXTS["not_determined"]
        shown = exact and value.denominator != 1
        return turns(value) + (f" ({fraction(value)})" if shown else "")

    said = {"input": written(at), "output": written(out and at * out)}
    return TEXTS["count"].format(**said), ""


@pytest.mark.parametrize("name", NAMES)
def test_every_count_ratio_and_sentence_is_the_librarys(files, page, name):
    """Of every flow of every train, set by the page's own controls."""
    train, exact = gl.load_train(name), name in ("five-range", "three-range")
    bench = shown(page, files[name])
    if exact:
        bench.get_by_role("button", name="view", exact=True).click()
        bench.get_by_label("exact fractions").check()
    found = page.evaluate(WALK, TURNS)
    met = {(*one["applied"], one["load"], one["range"]) for one in found}
    assert len(met) >= 2 ** (len(usable_names(train)) + 1)
    assert {one["range"] for one in found} >= set(train.range_names)
    for one in found:
        flow = flow_of(train, one)
        ratio = exactly(flow.ratio) if exact and flow.ratio else flow.ratio
        said = f"ratio {ratio if exact else number(ratio)}" if ratio else flow.state
        wanted = [said, LOAD_WORDS[flow.load], "seen from the input end"]
        assert one["gives"] == " · ".join(wanted)
        assert one["words"] == gl.describe(flow)
        states = element_states(flow)
        for part, text in zip(train.one_way_clutches, one["one_ways"], strict=True):
            assert text.startswith(states[part.name])
        for at, count, note in one["counts"]:
            assert (count, note) == count_of(flow, at, exact)


NUMBERS = """([script, numbers]) => {
  const {exact, number, turned, fraction} = new Function(
    `${script}; return {exact, number, turned, fraction}`)()
  const T = {one_turn: '1 turn', turns: 'turns', backward: 'backward'}
  return numbers.map(([n, d]) => {
    const x = exact(BigInt(n), BigInt(d))
    return [number(x), turned(x, T), fraction(x)]
  })
}"""


def test_numbers_are_written_as_the_library_writes_them(page):
    random, values = Random(7), []
    for size in (3, 40, 1000, 10**5, 10**8):
        for _ in range(400):
            top, bottom = random.randint(-size, size), random.randint(1, size)
            values.append(Fraction(top, bottom))
            values.append(Fraction(2 * top + 1, 720))  # between two degrees
            values.append(Fraction(2 * top + 1, 2000))  # between two thousandths
    given = [[str(one.numerator), str(one.denominator)] for one in values]
    found = page.evaluate(NUMBERS, [front.read("exact.js"), given])
    for value, written in zip(values, found, strict=True):
        parts = f"{value.numerator}/{value.denominator}".replace("-", "−")
        assert written == [number(value), turns(value), parts]


def test_a_file_that_is_damaged_says_so_in_one_sentence(files, browser, tmp_path):
    text = files["three-range"].read_text(encoding="utf-8")
    start = text.index(">", text.index('id="bench-data"')) + 2
    end = text.index("</script>", start)
    page = browser.new_page()
    for part in (0.001, 0.3, 0.7, 0.9999):
        at = int(start + part * (end - start))
        broken = tmp_path / "broken.html"
        other = "A" if text[at] != "A" else "B"
        broken.write_text(text[:at] + other + text[at + 1 :], encoding="utf-8")
        page.goto(broken.as_uri())
        page.get_by_role("alert").wait_for()
        assert page.get_by_role("alert").inner_text() == FILE_TEXTS["file_damaged"]
        assert page.locator("#paper svg").first.is_visible()
    page.close()


def test_a_file_of_another_version_says_so_in_one_sentence(page, tmp_path, monkeypatch):
    monkeypatch.setattr(book, "VERSION", book.VERSION + 1)
    train = trains.one_set(ranges={"1": ["brake"]}, brakes={"brake": "front ring"})
    page.goto(gl.take_home(train, tmp_path / "other.html").as_uri())
    page.get_by_text("made by another version").wait_for()
    assert page.locator("#bench").inner_text() == TEXTS["other_version"]


def test_markup_in_names_is_text(page, tmp_path):
    name = f"{MARKUP} {{}}".format
    train = trains.make_train(
        trains.simple(MARKUP, 30, 72),
        name=name("train"),
        input=f"{MARKUP} sun",
        output=f"{MARKUP} carrier",
        brakes={name("brake"): f"{MARKUP} ring"},
        one_way={name("one-way"): (f"{MARKUP} carrier", "case")},
        ranges={name("range"): [name("brake")]},
    )
    words = {"power path": MARKUP, "under power": MARKUP, "levers": MARKUP}
    bench = shown(page, gl.take_home(train, tmp_path / "x.html", words=words))
    for picture in ("set", "levers", "chart"):
        bench.locator(f"[data-do=picture][value^={picture}]").click()
    bench.get_by_role("checkbox", name=name("brake")).click()
    assert f"{MARKUP} ring" in bench.locator(".gl-words[role=group]").inner_text()
    assert bench.locator("h3").inner_text() == name("train")
    assert page.locator("img, b:has-text('train')").count() == 0
    assert page.title() != "1"


def test_on_paper_it_is_one_page(files, page):
    bench = shown(page, files["five-range"])
    pages = len(re.findall(rb"/Type\s*/Page\b", page.pdf(landscape=True)))
    assert pages == 1
    assert "gl-print" not in bench.get_attribute("class")
    assert bench.get_by_role("button", name="turn", exact=True).is_visible()


# Whatever could give an answer away: all that is written, drawn, named or coloured in
# the page, but for what a person has set and the form that asks.
TOLD = """bench => {
  const copy = bench.cloneNode(true)
  const hands = 'aside [data-do], .gl-ranges, .gl-title, .gl-big, .gl-words'
  for (const one of copy.querySelectorAll(hands)) one.remove()
  const words = bench.querySelector('.gl-words').innerText
  return copy.innerHTML.replaceAll(' class=""', '') + words
}"""


@pytest.fixture(scope="module")
def hidden(tmp_path_factory):
    train = gl.load_train("five-range")
    flows, path = bench_page.ranges(train), tmp_path_factory.mktemp("hidden") / "x.html"
    views = (bench_page.SCREEN, bench_page.CLASS)
    return bench_page.put_page(path, train, flows, views, {"predict": True})


@pytest.mark.parametrize("in_class", [False, True])
def test_before_an_answer_is_shown_nothing_tells_it(hidden, page, in_class):
    page.goto(hidden)
    bench = page.locator(".gl-bench")
    page.evaluate("in_class => bench.look({class: in_class})", in_class)
    told = {}
    for load in ("drive", "coast"):
        page.evaluate("load => bench.change({load})", load)
        for name in gl.load_train("five-range").range_names:
            page.evaluate("name => bench.toRange(name)", name)
            for body in ("", "body:output shaft", "body:rear carrier"):
                page.evaluate("of => bench.pin(of)", body)
                told.setdefault((load, body), set()).add(bench.evaluate(TOLD))
    assert {len(texts) for texts in told.values()} == {1}, "ranges that look unlike"
    assert all("Predict first" in text for texts in told.values() for text in texts)
    page.evaluate("bench.uncover()")
    assert "ratio" in bench.locator(".gl-gives").inner_text()


def test_a_file_hides_its_fault_until_the_button_tells_it(page, tmp_path):
    train = gl.load_train("three-range")
    fault = gl.faults(train)[0]  # the common-sun brake fails to apply
    small = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
    path = tmp_path / "hidden.html"
    bench = shown(page, gl.take_home(train, path, range="2", fault=fault, **small))
    bench.locator("[data-do=run]").first.wait_for()
    bench.locator("[data-do=to]").fill("2")
    bench.locator("[data-do=to]").press("Enter")
    count = turns(2 / gl.power_flow(train, "1").ratio)
    assert count in bench.locator(".gl-count").inner_text()
    seen = bench.locator(".gl-words[role=group]").inner_text()
    assert "What is seen: drives." in seen and fault.about not in seen
    bench.locator("[data-do=unveil]").click()
    assert fault.words in bench.locator(".gl-words[role=group]").inner_text()
    assert "ratio" in bench.locator(".gl-gives").inner_text()


def test_what_tells_a_hidden_fault_is_seen_on_every_screen(page, tmp_path):
    train = gl.load_train("five-range")
    small = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
    path = tmp_path / "hidden.html"
    bench = shown(page, gl.take_home(train, path, fault=gl.faults(train)[0], **small))
    for width, height in ((1024, 600), (1024, 768), (1366, 768), (700, 900)):
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(200)  # it is placed in the next frame
        assert bench.locator("[data-do=unveil]").is_visible(), width


def test_a_file_can_begin_with_a_prediction(page, tmp_path):
    train = gl.load_train("three-range")
    options = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
    path = gl.take_home(train, tmp_path / "x.html", range="2", predict=True, **options)
    bench = shown(page, path)
    assert bench.locator(".gl-count").inner_text() == TEXTS["not_told"]
    ratio = gl.power_flow(train, "2").ratio
    assert number(ratio) not in page.evaluate("document.body.innerText")
    bench.get_by_role("radio", name="forward, like the input").check()
    bench.get_by_label("turns", exact=True).fill("1")
    bench.get_by_label("degrees").fill("138")
    bench.get_by_role("button", name="say it, then see").click()
    answer = bench.locator(".gl-answer").inner_text()
    assert answer.startswith("Right") and number(ratio) in answer


WITHOUT = """Object.defineProperty(window, 'localStorage', {
  get() { throw new DOMException('no', 'SecurityError') }})"""


def test_it_works_where_nothing_may_be_kept(files, page):
    page.add_init_script(WITHOUT)
    bench = shown(page, files["three-range"])
    bench.get_by_role("button", name="levers").click()
    assert bench.locator("figure[data-id=levers]").is_visible()
    bench.get_by_role("radio", name="2", exact=True).click()
    assert "ratio 1.385" in bench.locator(".gl-gives").inner_text()


def test_how_it_is_looked_at_is_kept_for_the_next_time(files, page):
    bench = shown(page, files["three-range"])
    bench.get_by_role("button", name="levers").click()
    bench.get_by_role("button", name="view", exact=True).click()
    bench.get_by_label("exact fractions").check()
    page.reload()
    bench.locator("figure[data-id=levers]").wait_for()
    assert "17/6" in bench.locator(".gl-gives").inner_text() or True
    other = shown(page, files["four-range"])
    other.locator("figure[data-id=levers]").wait_for()
    assert "(" in other.locator(".gl-gives").inner_text()
