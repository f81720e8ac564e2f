"""A bench in one HTML file, which works by itself: to be mailed or put on a stick.

The file holds every page and picture that it can show, and the front end of the
notebook's bench. It fetches nothing, and nothing runs in it but what is in it.
"""

import gc
import json
import re
from base64 import b64encode
from contextlib import contextmanager
from hashlib import sha256
from html import escape
from pathlib import Path

from ..base import checks
from ..base.filewriter import is_folder, write_file
from ..base.frozenmap import FrozenMap
from ..draw.charts.applychart import draw_apply_chart
from ..draw.kit.given import some_words
from ..draw.kit.svg import to_svg
from ..draw.kit.view import ENDS
from ..draw.stick import draw_stick, has_stick
from ..train.train import a_train
from .book import colourings
from .front import script as front_script
from .front import style as front_style
from .look import LETTERS
from .packing import packed
from .state import opened
from .telling import told
from .texts import FILE_TEXTS, texts
from .view import opening_view
from .whole import whole_book

_FILE = "take-home bench"
# How a shape or text looks, as the painter writes it, and each thing that is set in it.
_LOOKS = re.compile(
    r'(?: (?:fill|stroke|font-(?:size|weight)|text-anchor)[a-z-]*="[^"]*")+'
)
_GAPS = re.compile(r"/\*.*?\*/|\s*([{};])\s*", re.DOTALL)  # of a style
_REMARK = re.compile(r"^ */\*\*.*?\*/$", re.DOTALL | re.MULTILINE)
_SET = re.compile(r'([a-z-]+)="([^"]*)"')
_LOOK = """\
@page{size:portrait;margin:8mm}
main>h1,main>h2{position:absolute;clip-path:inset(50%)}
body{margin:0;background:#fff;color:#1a1a1a;font:16px/1.4 system-ui,sans-serif}
#bench>p,.paper,noscript p{margin:1em}
.paper svg{display:block;margin:1em 0}
"""


def take_home(
    train,
    path,
    *,
    range=None,
    predict=False,
    fault=None,
    ends=ENDS,
    letters=("screen", "class"),
    colours=("part", "role"),
    words=FrozenMap(),
    progress=None,
):
    """Write the bench of a train as one HTML file that needs no Python and no network.

    Any browser of 2023 or later shows it. It has every combination of up to nine
    elements under both loads; of more elements it has every range, and each single
    change from one. Tooth counts stay as they are.

    Parameters
    ----------
    train : Train
    path : the file to write, as "five-range.html"; one that is there is replaced
    range : the range to begin with; the first forward one if it is left out
    predict : begin with the answer hidden until a prediction is made
    fault : a fault of :func:`gearlab.faults` that is hidden in the train, or "by
        chance". The file shows what a driver sees, until its button tells the fault; it
        stands nowhere in plain text, which keeps it from a glance and from nobody else
    ends : "input" and "output", the ends from which it can be seen
    letters : "screen", "projector" and "class", how large and how many they can be
    colours : "part", "role" and "paint", what the colours can say
    words : ``{English text: what is written instead}``, for pictures and controls
    progress : called now and then with how many states are drawn, and of how many

    Returns
    -------
    pathlib.Path of the file

    Raises
    ------
    ValueError
        Something that is no train, an unknown range, end, kind of letters or
        colouring; a file that cannot be written, and why.
    """
    a_train(train)
    some_words(words)
    checks.callback(progress, "progress")
    offered = {
        "ends": _chosen(ends, ENDS, "end"),
        "letters": _chosen(letters, LETTERS, "kind of letters"),
        "colours": _chosen(colours, colourings(train), "colouring"),
    }
    state = opened(train, range, predict=predict, fault=fault)
    if not is_folder(Path(path).parent):
        write_file(path, "", _FILE)  # says so, before all is drawn
    with _unsearched():
        data = whole_book(train, offered, words, progress, state.fault)
        data["state"], data["view"] = told(state), opening_view(data["book"])
        html = _html(state, data, words)
    return write_file(path, html, _FILE)


@contextmanager
def _unsearched():
    """Memory is not searched for rings meanwhile: of so many parts none is in one."""
    searched = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if searched:
            gc.enable()


def _chosen(given, known, what):
    """What was chosen of all that there is, in the order of that; one at least."""
    given = [checks.known(one, known, what) for one in checks.name_list(given, what)]
    if not given:
        raise ValueError(f"no {what} is given; choose from {checks.quoted(known)}")
    return [one for one in known if one in given]


# The file -------------------------------------------------------------------------


def _html(state, data, words):
    """The page, with all that it needs in it."""
    said, style = texts(words, FILE_TEXTS), _GAPS.sub(r"\1", front_style())
    script = (
        f"\n{_bare(front_script('unpack.js', led=False))}\nopenFile({_js(said)});\n"
    )
    allowed = b64encode(sha256(script.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; script-src 'sha256-{allowed}'; style-src 'unsafe-inline';"
        " img-src data:; base-uri 'none'; form-action 'none'"
    )
    title = data["book"]["texts"]["bench_of"].replace("{name}", state.train.name)
    title = escape(title)
    return f"""<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="{policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>{title}</title>
<style>
{_LOOK}{style}</style>
</head>
<body>
<main>
<h1>{title}</h1><h2>{escape(state.train.name)}</h2>
<div id="bench"><p>{escape(said["file_opening"])}</p></div>
</main>
<noscript>
<style>#bench{{display:none}}.paper{{display:block!important}}</style>
<p>{escape(said["file_no_script"])}</p>
</noscript>
<section id="paper" class="paper" hidden>
<h1>{escape(state.train.name)}</h1>
{_paper(state, words)}
</section>
<script id="bench-data" type="application/octet-stream">
{packed(data)}
</script>
<script type="module">{script}</script>
</body>
</html>
"""


def _paper(state, words):
    """What is seen without a script: the apply chart, and the power path of a range."""
    train, look = state.train, {"context": "print", "words": words}
    told, scenes = not state.predict, []
    if train.ranges:
        scenes.append(draw_apply_chart(train, blank=not told, **look))
    if has_stick(train):
        scenes.append(draw_stick(state.flow, power=told and not state.fault, **look))
    return _lean("\n".join(to_svg(scene, turns=0) for scene in scenes))


def _lean(svg):
    """Pictures whose shapes name their look, which is written once, by a class."""
    names = {
        look: f"k{place}"
        for place, look in enumerate(dict.fromkeys(_LOOKS.findall(svg)))
    }
    rules = [f".{name}{{{_rule(look)}}}" for look, name in names.items()]
    svg = _LOOKS.sub(lambda found: f' class="{names[found[0]]}"', svg)
    return f"<style>\n{' '.join(rules)}\n</style>\n{svg}"


def _rule(look):
    """Attributes of SVG as a rule of CSS, which asks for a unit of a letter size."""
    found = _SET.findall(look)
    return ";".join(f"{k}:{v}px" if k == "font-size" else f"{k}:{v}" for k, v in found)


def _bare(script):
    """A script without the lines that are only comments, and without margins."""
    lines = [line.strip() for line in _REMARK.sub("", script).splitlines()]
    return "\n".join(line for line in lines if line and not line.startswith("//"))


def _js(value):
    """Plain data as JavaScript within HTML: no text of it can end the script."""
    return json.dumps(value).replace("<", "\\u003c")
