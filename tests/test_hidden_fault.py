"""A fault that is hidden in a bench: what is seen of it, and no more until told."""

import json

import pytest

import gearlab as gl
from gearlab.bench.asked import Pages
from gearlab.bench.book import flow_of
from gearlab.bench.fault import VEIL, acting
from gearlab.bench.state import opened
from gearlab.bench.whole import whole_book
from gearlab.panels import Bench

TRAIN = gl.load_train("five-range")
TABLE = gl.symptoms(TRAIN)
VIEW = "input/screen/part/0"
LOADS = ("drive", "coast")


def fault_of(kind, about):
    return next(one for one in TABLE.rows if (one.kind, one.about) == (kind, about))


HIDDEN = [
    fault_of("fails to apply", "common-sun brake"),
    fault_of("fails to release", "direct clutch"),
    fault_of("slips", "low brake"),
    fault_of("seizes", "low one-way clutch"),
    fault_of("comes loose", "rear sun"),
]


def text_of(page):
    """All that a page says, as plain text."""
    says = ["".join(text for text, *_ in sentence) for sentence in page["says"]]
    return " ".join(says)


@pytest.mark.parametrize("fault", HIDDEN, ids=lambda one: one.kind)
def test_a_page_tells_what_a_driver_sees_and_not_which_part(fault):
    pages = Pages(TRAIN, fault=fault)
    for row in TRAIN.ranges:
        for load in LOADS:
            bench = Bench(TRAIN, row.name, fault=fault)
            bench.set_load(load)
            key = bench.state["veil"] and bench._now.key
            page = pages.asked(key, VIEW)["pages"][key]
            told = TABLE.rows[fault][row.name, load]
            assert told.startswith(page["gives"])
            said = json.dumps([page["says"], page["elements"], page["one_ways"]])
            assert fault.about not in said
            true = acting(flow_of(TRAIN, key.removesuffix(VEIL)), fault)
            if "drives" in page["gives"] or page["gives"] == "engine braking":
                above, below = page["ratio"]
                assert above == true.ratio.numerator and below == true.ratio.denominator


def test_the_truth_comes_with_the_button_or_the_verb():
    fault = HIDDEN[0]
    bench = Bench(TRAIN, "3", fault=fault)
    assert "A fault is hidden" in bench._repr_mimebundle_()[0]["text/plain"]
    key = bench._now.key
    assert list(bench.opening["pages"]) == [key, "hidden"]
    assert fault.about not in json.dumps(bench.opening["pages"][key]["says"])
    told = dict(bench.state)
    bench.reveal_fault()
    assert bench._now.veil == "" and not bench.status
    page = bench._pages.asked(bench._now.key, VIEW)["pages"][bench._now.key]
    assert fault.words in text_of(page)
    assert page["title"] == "Range 3, under power" and page["ratio"] == [17, 6]
    bench.state = told  # as a page tells it
    assert bench._now.veil == VEIL
    bench.state = {**told, "veil": "?"}
    assert "what a bench has over a fault" in bench.status


def test_it_turns_as_the_train_with_its_fault():
    bench = Bench(TRAIN, "3", fault=HIDDEN[0])
    assert bench.flow.ratio == gl.power_flow(TRAIN, "1").ratio
    bench.turn_output_once()
    assert bench.turns == bench.flow.ratio
    bench.choose_range("R")
    assert bench.flow.state == "drives"
    stuck = Bench(TRAIN, "N", fault=fault_of("fails to release", "overdrive brake"))
    stuck.turn_to(1)
    assert "tied up" in stuck.status


def test_what_cannot_be_is_told():
    with pytest.raises(ValueError, match="a fault belongs here"):
        Bench(TRAIN, fault="low brake")
    bench = Bench(TRAIN, "3")
    bench.reveal_fault()
    assert "no fault is hidden" in bench.status
    assert opened(TRAIN, "3", fault="by chance").fault in TABLE.rows
    hiding = Bench(TRAIN, "3", fault=HIDDEN[0])
    hiding.set_teeth({"front": {"sun": 30, "ring": 60}})
    assert "its teeth stay" in hiding.status


def test_a_file_holds_it_where_nobody_reads_it_at_a_glance(tmp_path):
    fault, train = gl.faults(gl.load_train("three-range"))[0], "three-range"
    train = gl.load_train(train)
    small = {"ends": ["input"], "letters": ["screen"], "colours": ["part"]}
    path = gl.take_home(train, tmp_path / "bench.html", fault=fault, **small)
    text = path.read_text(encoding="utf-8")
    assert fault.words not in text and fault.kind not in text
    data = whole_book(train, small, {}, fault=fault)
    hidden = [key for key in data["pages"] if key.endswith(VEIL)]
    assert len(hidden) == len(data["pages"]) // 2
    for key in hidden:
        assert data["pages"][key]["veiled"]
        assert fault.kind not in json.dumps(data["pages"][key])
        assert f"{key}|{VIEW}" in data["looks"]
    told = [key for key in data["pages"] if key not in hidden and key != "hidden"]
    assert all(text_of(data["pages"][key]).startswith(fault.words) for key in told)
