"""What is no train and no flow is said in one sentence, wherever one belongs."""

import inspect

import pytest

import gearlab as gl
from gearlab.ask.shifts import shift

TRAIN = gl.load_train("five-range")
FLOW = gl.power_flow(TRAIN, "1")
PUBLIC = {
    name: getattr(gl, name)
    for name in gl.__all__
    if callable(getattr(gl, name)) and not inspect.isclass(getattr(gl, name))
}
# Any other argument that a function needs, so that only the first is wrong.
MORE = {
    "check_chart": ({},),
    "explain_count": ("1", 3),
    "next_test": ({},),
    "power_flow": ("1",),
    "solve_speeds": ({"input shaft": 1},),
    "suspects": ({},),
    "identify": ([gl.Count(range="1", count=3, error="1/8")],),
    "roll_back": ("1",),
    "set_up_card": ("1",),
    "shift": ("1", "2"),
    "sweep": ({},),
    "take_home": ("never-written.html",),
}


def taking(what):
    """The public functions whose first argument is called so."""
    return [
        name
        for name, function in PUBLIC.items()
        if next(iter(inspect.signature(function).parameters), "") == what
    ]


def said(name, given):
    with pytest.raises(ValueError) as caught:
        PUBLIC[name](given, *MORE.get(name, ()))
    sentence = str(caught.value)
    assert sentence.isprintable() and len(sentence) < 250
    return sentence


@pytest.mark.parametrize("given", [None, 3, FLOW, ["five-range"]], ids=type)
@pytest.mark.parametrize("name", taking("train"))
def test_what_is_no_train_is_said(name, given):
    sentence = said(name, given)
    assert sentence.endswith(
        'was given, but a train belongs here; write gl.load_train("five-range")'
    )


@pytest.mark.parametrize("name", taking("train"))
def test_the_name_of_a_train_is_no_train(name):
    assert said(name, "my.toml") == (
        '"my.toml" was given, but a train belongs here; write gl.load_train("my.toml")'
    )


@pytest.mark.parametrize("given", [None, "1", TRAIN], ids=type)
@pytest.mark.parametrize("name", taking("flow"))
def test_what_is_no_flow_is_said(name, given):
    sentence = said(name, given)
    assert "was given, but a power flow belongs here; write gl.power_flow(" in sentence


@pytest.mark.parametrize("given", [None, "1", FLOW], ids=type)
def test_what_is_no_shift_is_said(given):
    assert 'but a shift belongs here; write gl.shift(train, "1", "2")' in said(
        "early_late", given
    )
    assert gl.early_late(shift(TRAIN, "1", "2"))


def test_every_function_that_takes_one_is_tried():
    assert len(taking("train")) >= 12 and len(taking("flow")) >= 4
    taken = {*taking("train"), *taking("flow"), *taking("shift")}
    # What is left takes neither, or a train only if one is there.
    assert set(PUBLIC) - taken == {
        "doctor", "glossary", "load_train", "look_up", "preview_log", "read_log",
        "read_words", "shift_causes", "train_names", "word_list",
    }  # fmt: skip


def test_a_list_of_words_wants_a_train_too(tmp_path):
    for given in ("five-range", 3, FLOW):
        with pytest.raises(ValueError, match="but a train belongs here"):
            gl.word_list(tmp_path / "words.csv", given)


def test_the_flow_before_is_a_flow_too():
    with pytest.raises(ValueError, match="but a power flow belongs here"):
        gl.describe(FLOW, before="1")
