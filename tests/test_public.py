"""The public functions have one shape, and what they return shows itself."""

import inspect
import re
from html.parser import HTMLParser

import pytest

import gearlab as gl
from gearlab import draw

TRAIN = gl.load_train("five-range")
FLOW = gl.power_flow(TRAIN, "2")
MADE = gl.shift(TRAIN, "2", "3")
COUNT = gl.Count(range="R", count=-30, over=10, error="1/8")
ASKED = {"rear": {"sun": [20, 30]}}

# How each public function is called: what comes first, then what is asked.
CALLS = {
    "apply_chart": (TRAIN,),
    "class_plan": (TRAIN,),
    "check_chart": (TRAIN, {"1": ["low brake"], "<b>": ["<i>"]}),
    "describe": (FLOW,),
    "describe_loads": (FLOW,),
    "doctor": (),
    "early_late": (MADE,),
    "explain_count": (TRAIN, "1", "3.875"),
    "faults": (TRAIN,),
    "glossary": (),
    "identify": (TRAIN, [COUNT]),
    "levers": (TRAIN,),
    "load_train": ("six-range",),
    "look_up": ("sun",),
    "make_log": (TRAIN,),
    "marks_together": (FLOW,),
    "member_loads": (FLOW,),
    "next_test": (TRAIN, {}),
    "power_flow": (TRAIN, "2"),
    "power_paths": (FLOW,),
    "product_table": (TRAIN,),
    "preview_log": None,  # it reads a file, as read_log does: tests/test_road_log.py
    "range_flows": (TRAIN,),
    "read_log": None,
    "read_words": None,  # it reads a file, so a test of its own
    "roll_back": (TRAIN, "3"),
    "set_up_card": (TRAIN, "2"),
    "shift": (TRAIN, "2", "3"),
    "shift_causes": None,  # it is asked of a log: tests/test_road_log.py
    "shift_symptoms": (TRAIN,),
    "shift_table": (TRAIN,),
    "solve_speeds": (TRAIN, {"input shaft": 1000}),
    "survey": (TRAIN,),
    "suspects": (TRAIN, {("1", "drive"): "no drive"}),
    "sweep": (TRAIN, ASKED),
    "symptoms": (TRAIN,),
    "take_home": None,  # it writes a file
    "train_names": (),
    "word_list": None,  # it writes a file
}
TABLES = {
    *("apply_chart", "check_chart", "class_plan", "early_late", "explain_count"),
    "glossary",
    *("identify", "levers", "look_up", "member_loads", "product_table", "range_flows"),
    *("shift_symptoms", "shift_table", "solve_speeds", "survey", "sweep", "symptoms"),
}
PLAIN = (str, int, list)  # text, a count and a list of names show themselves
FUNCTIONS = {
    name: value
    for name in gl.__all__
    if callable(value := getattr(gl, name)) and not inspect.isclass(value)
}
DRAWING = {
    name: value
    for name in draw.__all__
    if inspect.isfunction(value := getattr(draw, name))
}


class Tags(HTMLParser):
    """The tags of a page, and its texts."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.texts = [], []
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs).get("scope")))

    def handle_data(self, data):
        self.texts.append(data)


def shows_itself(result):
    """Its line, its words and its page; every assertion that holds for any result."""
    assert len(repr(result)) <= 100, repr(result)
    assert "\n" not in repr(result)
    bundle = result._repr_mimebundle_()
    assert bundle["text/plain"] == str(result) != ""
    assert str(result) != repr(result)
    assert getattr(result, "words", str(result)) == str(result)
    page = Tags(bundle["text/html"])
    known = {"p", "table", "thead", "tbody", "tr", "th", "td"}
    assert {tag for tag, _ in page.tags} <= known
    assert all(scope in ("col", "row") for tag, scope in page.tags if tag == "th")
    return page


def test_every_function_is_tried():
    assert FUNCTIONS.keys() == CALLS.keys()


@pytest.mark.parametrize("name", [name for name, call in CALLS.items() if call])
def test_a_result_shows_itself(name):
    result = FUNCTIONS[name](*CALLS[name])
    if isinstance(result, PLAIN) and not hasattr(result, "_repr_mimebundle_"):
        assert name not in TABLES
        return
    page = shows_itself(result)
    assert any(tag == "table" for tag, _ in page.tags) == (name in TABLES)
    assert isinstance(result, dict) or hash(result) == hash(result)
    for one in result if type(result).__name__ == "Several" else ():
        shows_itself(one)


def test_what_stands_in_a_result_shows_itself():
    found = gl.identify(TRAIN, [COUNT])
    told = gl.explain_count(TRAIN, "1", "3.875")
    rows = [gl.apply_chart(TRAIN).rows[1], gl.survey(TRAIN).rows[1]]
    parts = [COUNT, *found.candidates, *told.findings, *told.questions, *rows]
    for part in parts:
        shows_itself(part)


def test_words_of_another_language_show_themselves(tmp_path):
    path = gl.word_list(tmp_path / "words.csv")
    text = path.read_text(encoding="utf-8-sig").replace("sun,,", "sun,<zon>,")
    path.write_text(text, encoding="utf-8")
    page = shows_itself(gl.read_words(path))
    assert "<zon>" in page.texts


def test_a_flow_has_its_narration_as_words():
    assert str(FLOW) == gl.describe(FLOW)
    assert str(gl.levers(TRAIN)[0]) in str(gl.levers(TRAIN))


# Signatures -------------------------------------------------------------------------


@pytest.mark.parametrize("name", [*FUNCTIONS, *DRAWING])
def test_parameters_are_told_by_name(name):
    function = FUNCTIONS.get(name) or DRAWING[name]
    names = list(inspect.signature(function).parameters)
    told = re.search(
        r"\n    Parameters\n    -+\n(.*?)(?:\n\n|\n?    $|\Z)",
        function.__doc__,
        re.DOTALL,
    )
    heads = re.findall(r"^    (\w[\w, ]*?) : ", told[1] if told else "", re.MULTILINE)
    assert [one for head in heads for one in head.split(", ")] == names


def test_what_is_asked_comes_first_and_the_manner_by_name():
    asked = {"train", "flow", "range", "before", "after"}
    for name, function in FUNCTIONS.items():
        first, *rest = [*inspect.signature(function).parameters.values(), None]
        if "train" in inspect.signature(function).parameters and name not in (
            "read_log",
            "read_words",
            "word_list",  # a file first, whose train may be left out
        ):
            assert first.name == "train", name
        for one in filter(None, rest):
            by_name = one.kind is one.KEYWORD_ONLY
            assert by_name or one.default is one.empty or one.name in asked, name
            assert by_name or one.name not in ("load", "applied", "error"), name
            if one.name == "load":
                assert one.default == "drive", name


# Wrong types ------------------------------------------------------------------------


def calls_with(function, good, wrong):
    """The calls of a function with one of its parameters wrong, by its name."""
    signature = inspect.signature(function).parameters
    if any(one.kind is one.VAR_POSITIONAL for one in signature.values()):
        yield "asked", lambda: function(wrong)
        yield "words", lambda: function(*good, words=wrong)
        return
    bound = dict(zip(signature, good, strict=False))
    for name in signature:
        yield name, lambda name=name: function(**{**bound, name: wrong})


WRONG = [None, 3, 3.5, "x", [], ["x"], {"x": 3}, object(), TRAIN]
SCENE = draw.draw_stick(FLOW)
LOG = gl.make_log(TRAIN, rate=5)
DRAWN = {
    "draw_apply_chart": (TRAIN,),
    "draw_bench": (FLOW,),
    "draw_end_view": (FLOW, "rear"),
    "draw_half_section": (),
    "draw_lever": (FLOW, "rear"),
    "draw_lever_ranges": (TRAIN,),
    "draw_levers": (FLOW,),
    "draw_log": (LOG,),
    "draw_product_table": (TRAIN,),
    "draw_shift_strip": (TRAIN, "2", "3"),
    "draw_speed_chart": (TRAIN,),
    "draw_stick": (FLOW,),
    "draw_symptom_table": (TRAIN,),
    "folded": ("held",),
    "plot_log": (LOG,),
    "plot_ratios": (TRAIN, "rear", "sun", [20, 21]),
    "save": (SCENE, "picture.png"),
    "to_figure": (SCENE,),
    "to_img": (SCENE,),
    "to_svg": (SCENE,),
}


def answered_in_one_sentence(function, good, wrong):
    """Each parameter wrong by itself: it works, or one sentence says what is wrong."""
    for parameter, call in calls_with(function, good, wrong):
        try:
            call()
        except ValueError as error:
            words = str(error)
            assert words and "\n" not in words and len(words) < 500, (parameter, words)
            assert not words.endswith("."), (parameter, words)
            assert "sequence element" not in words, (parameter, words)
        except Exception as error:
            told = f"{function.__name__}({parameter}={wrong!r}): {error!r}"
            raise AssertionError(told) from error


@pytest.mark.parametrize("name", [name for name, call in CALLS.items() if call])
def test_a_wrong_kind_is_told_in_one_sentence(name):
    for wrong in WRONG:
        answered_in_one_sentence(FUNCTIONS[name], CALLS[name], wrong)


@pytest.mark.parametrize("name", DRAWING)
def test_drawings_tell_a_wrong_kind_in_one_sentence(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for wrong in WRONG:
        answered_in_one_sentence(DRAWING[name], DRAWN[name], wrong)
