"""The form of the notebooks; what they show is compared by nbval."""

import ast
import json
import re
import statistics
import warnings
from functools import cache
from html.parser import HTMLParser
from urllib.parse import unquote

import nbformat
from loops import each
from notebook_text import FOLDER, LABS, PATHS, cells

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"
LINK = re.compile(r"!?\[[^\]]*\]\(([^)\s]+)[^)]*\)")
FOLDED = {"source_hidden": True}  # the notebook format's own mark
RUN_AGAIN = re.compile(r"run (?:it|the cell) again")
PANEL = re.compile(r"\b(Bench|bench|ClassWalk)\(")
PICTURE_TYPES = {"image/svg+xml", "image/png", "image/jpeg"}


class Images(HTMLParser):
    """The alt sentences of the images in a piece of HTML."""

    def __init__(self, html):
        super().__init__()
        self.alts = []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        if tag == "img":
            self.alts.append(dict(attrs).get("alt") or "")


@cache
def read(path):
    """A notebook as it is stored, checked with warnings as errors."""
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        book = nbformat.reads(path.read_text(encoding="utf-8"), as_version=4)
        nbformat.validate(book)
    return book


def images(output):
    """The alt sentences of an output's images."""
    return Images("".join(output.get("data", {}).get("text/html", ""))).alts


def targets(cell):
    """The relative links of a text cell."""
    found = LINK.findall(cell.source)
    return [link for link in found if not re.match(r"[a-z]+:|#", link)]


def code_of(book):
    """The code cells of a notebook."""
    return [cell for cell in book.cells if cell.cell_type == "code"]


def outputs_of(book):
    """All that its code cells have stored."""
    return [output for cell in code_of(book) for output in cell.outputs]


of_each_notebook = each("path", PATHS)


def test_there_are_notebooks():
    assert PATHS
    assert all(re.fullmatch(r"\d\d_[a-z0-9_]+\.ipynb", path.name) for path in PATHS)


@of_each_notebook
def test_format_ids_and_kernel(path):
    book = read(path)
    stored = json.loads(path.read_text(encoding="utf-8"))
    assert (stored["nbformat"], stored["nbformat_minor"]) == (4, 5)
    ids = [cell["id"] for cell in stored["cells"]]
    assert len(set(ids)) == len(ids)
    assert "widgets" not in book.metadata
    assert book.metadata.kernelspec.name == "python3"
    assert book.metadata.language_info == {"name": "python"}


@of_each_notebook
def test_notebooks_and_cells_are_short(path):
    book = read(path)
    code = code_of(book)
    assert len(book.cells) <= 28
    lengths = [len(cell.source.splitlines()) for cell in code]
    assert max(lengths) <= 12
    assert statistics.median(lengths) <= 3


@of_each_notebook
def test_opening(path):
    book = read(path)
    title, goals, links, set_up = book.cells[:4]
    kinds = [cell.cell_type for cell in book.cells[:4]]
    assert kinds == ["markdown", "markdown", "markdown", "code"]
    assert re.fullmatch(r"# [^\n]+ ★{1,3}", title.source.strip())
    heads = ["Run first", "You will do", "You will be able to", "You need", "Time"]
    assert re.findall(r"\*\*([^*:]+):?\*\*", goals.source) == heads
    able = goals.source.split("**You will be able to")[1].split("**You need")[0]
    assert 1 <= len(re.findall(r"^- ", able, re.MULTILINE)) <= 3
    first, *_ = goals.source.splitlines()
    assert "*Run → Run All Cells*" in first and "*View → Expand All Code*" in first
    assert targets(links)
    assert set_up.source == read(PATHS[0]).cells[3].source


@of_each_notebook
def test_closing(path):
    book = read(path)
    text = "\n".join(cell.source for cell in book.cells[4:])
    assert "What you can do now" in text
    assert "**Sources" in text
    assert targets(book.cells[-1])


@of_each_notebook
def test_links_lead_somewhere(path):
    book = read(path)
    for cell in book.cells:
        for link in targets(cell) if cell.cell_type == "markdown" else ():
            assert not link.startswith(("/", "\\")), link
            file = path.parent / unquote(link.split("#")[0])
            assert file.exists(), link
            assert file.resolve().is_relative_to(FOLDER.parent), link


@of_each_notebook
def test_code_is_plain(path):
    code = code_of(read(path))
    for cell in code:
        tree = ast.parse(cell.source)  # a magic is no Python
        assert not re.search(r"https?:|get_ipython|%matplotlib", cell.source)
        for node in ast.walk(tree):
            if isinstance(node, ast.ImportFrom):
                assert node.names[0].name != "*"
            elif isinstance(node, ast.Name):
                assert node.id not in ("input", "exec", "eval", "assert")
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                assert not re.match(r"[/~\\]|[A-Za-z]:[/\\]", node.value)
            else:
                assert not isinstance(node, (ast.Assert, ast.While))


@of_each_notebook
def test_every_code_cell_is_run_in_order(path):
    """A cell without a count would be run but never compared."""
    code = code_of(read(path))
    counts = [cell.execution_count for cell in code]
    assert counts == list(range(1, len(code) + 1))
    for cell in code:
        for output in cell.outputs:
            if output.output_type == "execute_result":
                assert output.execution_count == cell.execution_count
        assert not set(cell.metadata) - {"tags", "jupyter"}
        assert cell.metadata.get("jupyter", FOLDED) == FOLDED
        tags = cell.metadata.get("tags", [])
        assert not {"nbval-skip", "nbval-ignore-output"} & set(tags)


@of_each_notebook
def test_code_is_folded_unless_the_text_says_to_change_it(path):
    """Set-up, panels, questions and pictures are looked at, and need not be read."""
    book = read(path)
    to_change = 0
    for cell in book.cells:
        if cell.cell_type == "markdown":
            assert to_change == 0, "the text says to change a cell, and none is open"
            to_change = len(RUN_AGAIN.findall(cell.source))
        elif "jupyter" not in cell.metadata:
            assert to_change, cell.source
            to_change -= 1


@of_each_notebook
def test_a_lab_ends_with_what_is_done_and_what_is_left(path):
    if path not in LABS.values():
        return
    codes = [source for kind, source in cells(path) if kind == "code"]
    asks = [i for i, source in enumerate(codes) if "desk.ask(" in source]
    assert codes[asks[-1] + 1] == "desk.finish()"
    assert "desk.finish()" not in codes[: asks[-1] + 1]


@of_each_notebook
def test_outputs_are_clean(path):
    outputs = outputs_of(read(path))
    assert outputs
    for output in outputs:
        assert output.output_type != "error"
        assert output.get("name") != "stderr"
        assert WIDGET_VIEW not in output.get("data", {})
        plain = output.get("text", "") or output.data.get("text/plain", "")
        assert plain.strip()
        assert not re.search(r"np\.\w+\(|<[\w.]+ (object )?at 0x|Fraction\(", plain)
        assert not re.search(r"\bNone\b", plain), "say in words what there is none of"


@of_each_notebook
def test_printed_lines_are_not_broken_within_words(path):
    """JupyterLab breaks a printed line anywhere where the page ends."""
    outputs = outputs_of(read(path))
    for output in outputs:
        for line in output.get("text", "").splitlines():
            assert len(line) <= 120, line


@of_each_notebook
def test_pictures_say_what_they_show(path):
    """The sentence in text/plain is what nbval compares: it is the image's own."""
    outputs = outputs_of(read(path))
    shown = 0
    for output in outputs:
        data = output.get("data", {})
        assert not PICTURE_TYPES & set(data), "a picture without an alt sentence"
        alts = images(output)
        html = "".join(data.get("text/html", ""))
        assert html.count("<svg") == 0, "an untrusted notebook loses an inline svg"
        if not alts:
            continue
        shown += 1
        assert all(len(alt.split()) >= 5 for alt in alts)
        assert not data["text/plain"].startswith("<")
        if "<details>" in html:
            assert all(alt in data["text/plain"] for alt in alts)
        else:
            assert " ".join(alts) == data["text/plain"]
    assert shown


@of_each_notebook
def test_a_panel_is_one_line_with_a_picture_after_it(path):
    book = read(path)
    for i, cell in enumerate(book.cells):
        if cell.cell_type != "code" or not re.search(PANEL, cell.source):
            continue
        assert len(cell.source.splitlines()) == 1
        assert not [data for output in cell.outputs for data in images(output)]
        after = [c for c in book.cells[i + 1 : i + 3] if c.cell_type == "code"]
        assert any(images(output) for c in after for output in c.outputs)


def test_the_reading_of_images_sees_a_missing_alt():
    assert Images('<p><img src="x"><img alt="a &lt; b" src="y"></p>').alts == [
        "",
        "a < b",
    ]
