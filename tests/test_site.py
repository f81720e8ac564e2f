"""The web site of the suite: what is in it, and that it runs where nothing else is."""

import json
import re
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from shutil import copytree
from zipfile import ZipFile

import pytest
import site_lab
from browser_lab import KERNEL, browser, command, need_browser
from test_commands import told

from gearlab.lab.suite.labs import LAB_NAMES, find_lab, notebook_of
from gearlab.site import pieces
from gearlab.site.added import added_wheels
from gearlab.site.building import build_site
from gearlab.site.packages import LOCK, gearlab_wheel, made_wheel
from gearlab.train.catalogue import load_train, train_names

NOTEBOOKS = Path(__file__).resolve().parents[1] / "notebooks"
NUMBERS = "10_recover_the_teeth.ipynb"
TOPIC = "what fourth tells"


@pytest.fixture(scope="module")
def site(tmp_path_factory):
    """The site, built once."""
    return site_lab.built(tmp_path_factory.mktemp("web") / "site").folder


# What is in it ----------------------------------------------------------------------


def test_python_comes_from_the_site_itself_and_whole(site):
    config = json.loads((site / "jupyter-lite.json").read_text(encoding="utf-8"))
    (settings,) = [
        one
        for name, one in config["jupyter-config-data"]["litePluginSettings"].items()
        if "pyodide" in name
    ]
    assert settings["pyodideUrl"] == "./static/pyodide/pyodide.mjs"
    assert settings["disablePyPIFallback"] is True
    folder = site / "static" / "pyodide"
    lock = json.loads((folder / "pyodide-lock.json").read_text(encoding="utf-8"))
    assert {"gearlab", "ipywidgets", "anywidget"} <= set(lock["packages"])
    assert set(settings["loadPyodideOptions"]["packages"]) == set(lock["packages"])
    for name, entry in lock["packages"].items():
        data = (folder / entry["file_name"]).read_bytes()
        assert sha256(data).hexdigest() == entry["sha256"], name
        needs = {one.lower().replace("_", "-") for one in entry["depends"]}
        assert needs <= set(lock["packages"]), name
    wheels = {path.name for path in folder.glob("*.whl")}
    assert wheels == {entry["file_name"] for entry in lock["packages"].values()}


def test_the_wheel_of_the_library_is_whole_and_the_same_again(tmp_path):
    name, data = gearlab_wheel()
    assert (name, data) == gearlab_wheel()
    path = tmp_path / name
    path.write_bytes(data)
    with ZipFile(path) as wheel:
        inside = set(wheel.namelist())
    assert {"gearlab/__init__.py", "gearlab/bench/bench.js"} <= inside
    assert "gearlab/train/shipped/five-range.toml" in inside
    assert not [one for one in inside if "__pycache__" in one]


def test_the_start_page_leads_to_every_lab(site):
    page = (site / "index.html").read_text(encoding="utf-8")
    links = re.findall(r'href="(\w+)/index.html\?path=([\w/.]+)"', page)
    for app, path in links:
        assert (site / app / "index.html").is_file()
        assert (site / "files" / path).is_file()
    plain = {path for app, path in links if app == "notebooks"}
    assert {f"notebooks/{notebook_of(name)}" for name in LAB_NAMES} <= plain
    for name in LAB_NAMES:
        assert find_lab(name).title in page
    full = {path for app, path in links if app == "lab"}
    assert "notebooks/instructor/04_mark_a_class.ipynb" in full
    shipped = {
        path.relative_to(site / "files").as_posix()
        for path in (site / "files").rglob("*.ipynb")
    }
    assert shipped == plain | full


def test_the_start_page_leads_to_the_bench_of_every_shipped_train(site):
    page = (site / "index.html").read_text(encoding="utf-8")
    links = re.findall(r'href="(benches/[\w-]+\.html)"', page)
    assert [Path(link).stem for link in links] == train_names()
    for link in links:
        name = load_train(Path(link).stem).name
        assert name in page and name in (site / link).read_text(encoding="utf-8")


def test_the_service_worker_knows_every_file(site):
    text = (site / "service-worker.js").read_text(encoding="utf-8")
    files = json.loads(re.search(r"^const FILES = (.*);$", text, re.MULTILINE)[1])
    there = {
        path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()
    }
    assert there - set(files) == {"service-worker.js", "gearlab-site.json"}
    assert set(files) <= there
    assert sum((site / one).stat().st_size for one in there) < 60e6


def test_notebooks_tell_their_version(site):
    page = (site / "index.html").read_text(encoding="utf-8")
    told_of = json.loads(re.search(r"^const NOTEBOOKS = (.*?);", page, re.MULTILINE)[1])
    for path, version in told_of.items():
        book = json.loads((site / "files" / path).read_text(encoding="utf-8"))
        assert book["metadata"]["gearlab"] == version
        assert book["metadata"]["kernelspec"]["name"] == "python"


# What cannot be done ----------------------------------------------------------------


def test_a_folder_is_never_written_over_without_a_word(site, tmp_path, capsys):
    code, _, said = told(capsys, "site", site)
    assert code == 2
    assert "holds a site already; say --replace" in said
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    code, _, said = told(capsys, "site", tmp_path, "--replace")
    assert code == 2
    assert "is no site of this command, so it is left as it is" in said
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_what_is_lacking_is_said_in_a_sentence(tmp_path, monkeypatch):
    def refused(**how):
        with pytest.raises(ValueError) as error:
            build_site(tmp_path / "new", say=lambda line: None, **how)
        assert "\n" not in str(error.value)
        assert not (tmp_path / "new").exists()
        return str(error.value)

    empty = tmp_path / "empty"
    empty.mkdir()
    assert "no notebooks in" in refused(notebooks=empty)
    (empty / "broken.ipynb").write_text("{}", encoding="utf-8")
    assert "is no notebook; mend it" in refused(notebooks=empty)
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert "with --cache" in refused(cache=tmp_path / "file" / "cache")
    monkeypatch.setattr(pieces, "which", lambda name: None)
    assert "npm is not installed" in refused(cache=tmp_path / "cache")
    monkeypatch.setattr(pieces, "BUILDERS", ("gearlab-no-such-package",))
    assert 'pip install "gearlab[site]"' in refused()


def wheel(folder, name, tag="py3-none-any"):
    """A wheel of one module with a docstring, in a folder."""
    folder.mkdir(exist_ok=True)
    _, made = made_wheel(name, "1.0", {f"{name}.py": b'"""Ours."""\n'})
    path = folder / f"{name}-1.0-{tag}.whl"
    path.write_bytes(made)
    return path


def test_wheels_come_into_the_site_only_if_its_python_can_take_them(site, tmp_path):
    lock = json.loads(
        (pieces.cache_folder() / f"pyodide-{pieces.PYODIDE}" / LOCK).read_text(
            encoding="utf-8"
        )
    )["packages"]
    folder = tmp_path / "wheels"
    with pytest.raises(ValueError, match=r"no wheels in .*; put some there"):
        added_wheels(folder, lock)
    ours = wheel(folder, "classroom")
    assert added_wheels(folder, lock) == ({"classroom": ours}, [])
    other = wheel(folder, "numpy", tag="cp314-cp314-linux_x86_64")
    named = lock["numpy"]["file_name"]
    with pytest.raises(ValueError, match=f"machine code that .* take {named}"):
        added_wheels(folder, lock)
    other.rename(folder / named)
    with pytest.raises(ValueError, match="its checksum differs; fetch it again"):
        added_wheels(folder, lock)
    digest = sha256((folder / named).read_bytes()).hexdigest()
    fits = lock | {"numpy": lock["numpy"] | {"sha256": digest}}
    assert added_wheels(folder, fits) == (
        {"classroom": ours, "numpy": folder / named},
        [],
    )
    # What a package without machine code needs is fetched; machine code is not.
    drawing = wheel(folder, "drawing")
    needs = {"drawing": {"depends": ["numpy", "Cycler"], "file_name": drawing.name}}
    needs["drawing"]["sha256"] = sha256(drawing.read_bytes()).hexdigest()
    assert added_wheels(folder, fits | needs)[1] == ["cycler", "six"]
    (folder / named).unlink()
    with pytest.raises(ValueError, match=f"drawing needs {named} too; put it beside"):
        added_wheels(folder, fits | needs)


def test_what_a_registry_does_not_have_is_said_in_a_sentence(tmp_path, monkeypatch):
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    wanted = {"ipython": "0.0.1"}
    with pytest.raises(ValueError, match=r"pip cannot fetch .* build again") as error:
        pieces.wheels(wanted, tmp_path, lambda line: None)
    assert "\n" not in str(error.value)


# In a browser -----------------------------------------------------------------------

NOTEBOOK = "window.jupyterapp.shell.currentWidget"
CLEAN = f"{NOTEBOOK}.context.model.dirty === false"
SPOILED = f"""() => [...{NOTEBOOK}.context.model.cells]
  .find(cell => cell.type === 'code')
  .sharedModel.setSource('raise ValueError("spoiled")')"""
BENCH = ".jp-Cell:has(.gl-bench)"  # the cell of the first bench
LIVES = f"{BENCH} .gl-bench .gl-live svg"
HEIGHTS = """cell => {
  window.heights = []
  const note = () => {
    window.heights.push(cell.offsetHeight)
    requestAnimationFrame(note)
  }
  note()
}"""


@contextmanager
def first_visit(site):
    """(address, page) of a fresh browser; it fails if anything outside is asked for."""
    need_browser()
    with browser() as chromium, site_lab.served(site) as address:
        context = chromium.new_context(viewport={"width": 1280, "height": 900})
        context.set_default_timeout(120_000)
        outside = site_lab.kept_in(context, address)
        yield address, context.new_page()
        assert outside == []


def test_a_stored_bench_lives_before_its_kernel_which_goes_on_with_it(site):
    """The book makes it live; nothing moves when the kernel's bench comes."""
    with first_visit(site) as (address, page):
        site_lab.open_page(page, address, NUMBERS)
        bench = page.locator(".gl-bench").first
        page.wait_for_selector(LIVES)
        assert page.evaluate("gearlab_stored.books.size") == 1
        bench.get_by_role("button", name="show it anyway").click()
        bench.get_by_role("radio", name="3", exact=True).click()
        bench.get_by_role("button", name="+ ¼").click()
        header = bench.locator("header").inner_text()
        assert "ratio 1.407" in header and "input 90°" in header
        page.locator(BENCH).first.evaluate(HEIGHTS)
        site_lab.run_all(page)
        page.wait_for_selector(LIVES)
        assert bench.locator("header").inner_text() == header
        assert "teeth" in bench.get_by_role("button").all_inner_texts()
        heights = page.evaluate("window.heights")
        assert max(heights) - min(heights) < 10
        made = "print(json.dumps([one.flow.range for one, _ in desk._benches][:1]))"
        assert site_lab.asked(page, f"import json; {made}") == ["3"]


def test_in_the_full_view_a_cell_that_failed_is_in_sight(site):
    with first_visit(site) as (address, page):
        site_lab.open_notebook(page, address, NUMBERS, run=False, view="lab")
        page.get_by_role("tree").or_(page.locator(".jp-DirListing")).first.wait_for()
        page.evaluate(SPOILED)
        command(page, "notebook:run-all-cells")
        failed = page.get_by_text("ValueError: spoiled").first
        failed.wait_for()
        page.wait_for_timeout(1000)  # what is run goes on to the last cell
        box, window = failed.bounding_box(), page.viewport_size
        assert 0 < box["y"] < window["height"]
        assert page.evaluate(f"{NOTEBOOK}.content.activeCell.model.type") == "code"


ANSWERED = f"""
import json
from gearlab.lab.sheet.sheet import answers_folder
if not desk.work.students:
    desk.sign_in("ana", sure=True)
    desk.put_down("{TOPIC}", "nothing")
tries = [one.answer for one in desk.work.tries("{TOPIC}")]
print(json.dumps([str(answers_folder()), tries, desk.keeping.told[:40]]))
"""


def save_and_open_again(page, address):
    """Words stand where the panels of what was saved are gone."""
    assert "widget-view" in json.dumps(site_lab.outputs(page))
    command(page, "docmanager:save")
    page.wait_for_function(CLEAN)
    site_lab.open_page(page, address, NUMBERS)
    page.get_by_text("Answer desk of 'Recover the teeth'").wait_for()
    page.wait_for_selector(LIVES)
    assert page.get_by_text("Loading widget").count() == 0
    assert page.get_by_text("model not found").count() == 0
    assert page.evaluate(CLEAN)


def test_a_notebook_runs_with_the_server_gone_and_keeps_its_answers(site):
    """One that was never opened; what it lacks is told and not demanded."""
    need_browser()
    with browser() as chromium:
        context = chromium.new_context(viewport={"width": 1280, "height": 800})
        context.set_default_timeout(120_000)
        page = context.new_page()
        with site_lab.served(site) as address:
            outside = site_lab.kept_in(context, address)
            site_lab.open_site(page, address)
        page.goto(f"{address}/benches/five-range.html")
        page.locator(".gl-bench .gl-live svg").first.wait_for()
        page.get_by_role("radio", name="3", exact=True).click()
        assert "ratio 1.407" in page.locator(".gl-bench header").inner_text()
        site_lab.open_notebook(page, address, NUMBERS)
        assert site_lab.errors(page) == []
        printed = [one["text"] for one in site_lab.outputs(page) if "text" in one]
        assert "Set-up: all is well, in this browser.\n" in printed
        kept = "Your answers are kept in this browser, o"
        options = ["nothing"]
        assert site_lab.asked(page, ANSWERED)[0] == "/drive/gearlab-answers"
        save_and_open_again(page, address)
        site_lab.run_all(page)
        assert site_lab.asked(page, ANSWERED)[1:] == [options, kept]
        give = site_lab.show_first(page, "button:text('download my sheets')")
        with page.expect_download() as download:
            give.click()
        handed = json.loads(download.value.path().read_text(encoding="utf-8"))
        assert handed["students"] == ["ana"]
        assert [one["lab"] for one in handed["sheets"]] == ["recover-the-teeth"]
        assert outside == []


SAVE = """async path => {
  const { contents } = window.jupyterapp.serviceManager
  const how = {type: 'notebook', format: 'json', content: true}
  const { content } = await contents.get(path, how)
  await contents.save(path, {type: 'notebook', format: 'json', content})
  await contents.save('answer.json', {type: 'file', format: 'text', content: '{}'})
}"""
KEPT = """async () => {
  const { contents } = window.jupyterapp.serviceManager
  const folder = await contents.get('notebooks', {content: true})
  const answer = await contents.get('answer.json', {format: 'text', content: true})
  return [folder.content.map(one => one.name), answer.content]
}"""


def version(page):
    """The build that a start page shows."""
    return re.search(r"Version of this site: (\w+)", page.inner_text("body"))[1]


def test_a_new_build_reaches_the_student_and_touches_no_answer(site, tmp_path):
    need_browser()
    folder, notebooks = tmp_path / "web", tmp_path / "notebooks"
    copytree(site, folder)
    copytree(NOTEBOOKS, notebooks)
    path = notebooks / NUMBERS
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("# Recover", "# Now recover", 1), encoding="utf-8")
    with browser() as chromium, site_lab.served(folder) as address:
        context = chromium.new_context(viewport={"width": 1280, "height": 800})
        context.set_default_timeout(180_000)
        page = context.new_page()
        site_lab.open_site(page, address)
        before = version(page)
        site_lab.open_page(page, address, NUMBERS)
        page.evaluate(SAVE, f"notebooks/{NUMBERS}")
        wheel(tmp_path / "wheels", "classroom")
        site_lab.built(
            folder, replace=True, notebooks=notebooks, wheels=tmp_path / "wheels"
        )
        page.goto(f"{address}/")
        page.wait_for_function(
            "old => !document.body.innerText.includes(old)", arg=f": {before}"
        )
        take = page.get_by_role("button", name="take the new ones")
        take.wait_for()
        assert f"You saved {NUMBERS} before" in page.inner_text("#older")
        take.click()
        page.get_by_text("The new notebooks open now").wait_for()
        site_lab.open_page(page, address, NUMBERS)
        page.get_by_role("heading", name="Now recover").wait_for()
        files, answer = page.evaluate(KEPT)
        assert NUMBERS.replace(".ipynb", " (older copy).ipynb") in files
        assert answer == "{}"
        page.wait_for_function(f"{KERNEL} === 'idle'")
        added = "import classroom, json; print(json.dumps(classroom.__doc__))"
        assert site_lab.asked(page, added) == "Ours."
