"""A class is led through any train: what is asked, what is right, and what is told."""

import json
from dataclasses import replace

import pytest
from own_units import UNITS

import gearlab as gl
from gearlab.ask.rollback import roll_back
from gearlab.bench.lesson import FIRST, TOLD, heard_walk, told_plan
from gearlab.lab.walk.claims import claim_of
from gearlab.lab.walk.order import teaching_order
from gearlab.lab.walk.plan import TOPICS, class_plan
from gearlab.lab.walk.step import LETTERS
from gearlab.lab.walk.told import notes_told
from gearlab.panels import Bench, ClassWalk
from gearlab.solve.powerflow import power_flow

TRAINS = {name: gl.load_train(name) for name in gl.train_names()} | UNITS
FIVE = TRAINS["five-range"]
of_each_train = pytest.mark.parametrize("name", TRAINS)


@pytest.fixture(scope="module")
def plans():
    return {name: class_plan(train) for name, train in TRAINS.items()}


@pytest.fixture(autouse=True)
def quiet(monkeypatch, caplog):
    """No view of another test is remembered, and no traceback is swallowed."""
    monkeypatch.setattr(Bench, "_remembered", None)
    yield
    assert not caplog.get_records("call")


def anew(flow):
    """The same flow, worked out again from what is applied alone."""
    return power_flow(flow.train, applied=flow.applied, load=flow.load)


# The order ----------------------------------------------------------------------------


def test_the_five_range_unit_is_taught_with_its_front_set_locked_first():
    taught = teaching_order(FIVE)
    assert list(taught) == ["1", "1 low", "3", "4", "R", "2", "5"]
    assert taught["1"] is None and taught["1 low"] == "1" and taught["5"] == "2"


@of_each_train
def test_every_range_that_drives_is_taught_once_beside_one_like_it(name):
    train, taught = TRAINS[name], teaching_order(TRAINS[name])
    driving = [n for n in train.range_names if power_flow(train, n).ratio is not None]
    assert sorted(taught) == sorted(driving)
    before = []
    for one, like in taught.items():
        assert like in before if before else like is None
        row = frozenset(train.range(one).applied)
        apart = [len(row ^ frozenset(train.range(n).applied)) for n in before]
        if before:
            mine = len(row ^ frozenset(train.range(like).applied))
            assert mine == min(apart)
        before.append(one)


def test_an_order_of_ones_own_is_kept():
    plan = class_plan(FIVE, order=["4", 2], topics=["ranges", "shifts"])
    assert [step.name for step in plan.steps] == ["4", "2", "2 → 4"]


@pytest.mark.parametrize(
    "given, said",
    [
        ({"order": ["6"]}, 'no range "6"'),
        ({"order": "1"}, "must be a list of names"),
        ({"order": []}, "order is empty"),
        ({"order": ["1", "1"]}, "comes twice"),
        ({"order": ["N"]}, "drives nothing"),
        ({"topics": ["hills"]}, 'no topic "hills"'),
        ({"topics": []}, "has nothing of no topic"),
    ],
)
def test_what_cannot_be_walked_is_said_in_a_sentence(given, said):
    with pytest.raises(ValueError, match=said) as caught:
        class_plan(FIVE, **given)
    assert "\n" not in str(caught.value)


def test_a_train_that_drives_in_no_range_is_refused():
    with pytest.raises(ValueError, match=r"no range that drives.*\[ranges\]"):
        class_plan(replace(UNITS["few"], ranges=()))


# What is asked ------------------------------------------------------------------------


@of_each_train
def test_one_choice_is_true_and_three_are_wrong_by_the_library(plans, name):
    for step in plans[name].steps:
        assert len(step.choices) == len(LETTERS)
        assert len({one.words for one in step.choices}) == len(LETTERS)
        assert len({one.claim for one in step.choices}) == len(LETTERS)
        assert [not one.slip for one in step.choices].count(True) == 1
        true = truth(step)
        assert step.choices[step.right].claim == true, step.name
        for one in step.choices:
            assert (one.claim == true) == (not one.slip), (step.name, one.words)
            assert bool(one.helps) == bool(one.slip)


def truth(step):
    """What the library says to what a step asks, without the step's own answer."""
    train, rows = step.flow.train, (step.before.applied, step.flow.applied)
    if step.topic == "shifts":
        return rows[0] - rows[1], rows[1] - rows[0]
    if step.topic == "roll-back":
        return roll_back(train, applied=step.flow.applied).state
    return claim_of(anew(step.flow))


def test_a_wrong_reason_is_carried_out():
    """Each of these was worked out by hand from the unit as its file has it."""
    first, *_ = class_plan(FIVE, topics=["ranges"]).steps
    said = {one.because: one.says for one in first.choices}
    assert said["the low one-way clutch holds the rear carrier"] == (
        "forward, 2.833 to 1"
    )
    assert said["nobody applies the low one-way clutch"] == "nothing drives the output"


@of_each_train
def test_a_question_tells_nothing_of_its_answer(plans, name):
    for step in plans[name].steps:
        true = step.choices[step.right]
        for told in filter(None, (true.says, true.because)):
            assert told not in step.asked, step.name
        for sentence in (step.why, step.told(TOLD)):
            assert sentence and sentence not in step.asked


def test_where_the_true_choice_stands_tells_nothing():
    places = [step.right for step in class_plan(FIVE).steps]
    assert set(places) == set(range(len(LETTERS)))


@of_each_train
def test_what_a_unit_has_is_asked_and_what_it_has_not_is_left_out(plans, name):
    train, topics = TRAINS[name], {step.topic for step in plans[name].steps}
    assert topics <= set(TOPICS) and {"ranges", "coasting", "roll-back"} <= topics
    forward = {
        flow.ratio
        for flow in (power_flow(train, n) for n in train.range_names)
        if flow.ratio and flow.ratio > 0
    }
    shifts = [step for step in plans[name].steps if step.topic == "shifts"]
    assert len(shifts) == len(forward) - 1
    for step in plans[name].steps:
        if step.topic == "tie-up":
            assert step.flow.state == "tied up" and step.before.ratio is not None


def test_the_five_range_unit_brings_every_topic(plans):
    steps = plans["five-range"].steps
    assert {step.topic for step in steps} == set(TOPICS)
    assert [step.name for step in steps if step.topic == "coasting"] == ["1", "1 low"]


# What the instructor has at hand ------------------------------------------------------


@of_each_train
def test_the_notes_say_how_long_what_to_ask_and_what_is_said_wrong(plans, name):
    plan = plans[name]
    texts = notes_told(plan)
    assert len(texts) == len(plan.steps)
    for step, text in zip(plan.steps, texts, strict=True):
        notes = step.notes
        assert notes.minutes > 0 and notes.say and len(notes.wrong) >= 3
        assert max(map(len, text.splitlines())) <= 88 or "/" in text
        assert " ".join(step.asked.split()[:3]) in text
    assert plan.minutes == sum(step.notes.minutes for step in plan.steps)


@of_each_train
def test_what_is_left_without_an_element_is_tried(plans, name):
    """The notes say what letting go of each element does; it is solved again here."""
    tried = 0
    for step in plans[name].steps:
        if step.topic != "ranges":
            continue
        flow, said = step.flow, dict(step.notes.ask)
        for one in flow.applied:
            left = anew(replace(flow, applied=flow.applied - {one}))
            words = said[f"Without the {one}?"]
            same = (left.state, left.ratio) == (flow.state, flow.ratio)
            assert (words == "The same.") == same
            assert ("to 1" in words) == (left.ratio is not None and not same)
            tried += 1
    assert tried


# On the panel -------------------------------------------------------------------------


def test_the_plan_of_a_page_is_plain_data(plans):
    for plan in plans.values():
        data = told_plan(plan)
        assert json.loads(json.dumps(data)) == data
        for step in data["steps"]:
            assert step["before"].keys() == step["after"].keys()


def test_a_class_goes_on_reveals_and_goes_on():
    walk = ClassWalk("five-range", topics=["ranges", "shifts"])
    assert walk.look["class"] and walk.hidden and walk.flow.range == "1"
    for step in walk.course.steps:
        assert walk.step is step and walk.hidden and walk.flow == step.before
        walk.reveal()
        assert not walk.hidden and walk.flow == step.flow and walk.status == ""
        walk.next_step()
    assert walk.step is walk.course.steps[-1]
    walk.to_step(99)
    assert "must be one of" in walk.status and walk.step is walk.course.steps[-1]


def test_a_class_that_begins_with_coasting_coasts():
    walk = ClassWalk(UNITS["plain"], topics=["coasting"])
    assert walk.flow.load == "coast" and walk.hidden


def test_what_a_page_tells_of_the_class_is_judged():
    walk = ClassWalk("five-range")
    walk.set_state({"walk": {"step": 2, "hands": {"0": [4, 1, 0, 25]}}})
    assert walk.step is walk.course.steps[2] and walk.status == ""
    for bad in (
        None, 3, {"step": 2}, {"step": -1, "hands": {}}, {"step": True, "hands": {}},
        {"step": 0, "hands": {"77": [1, 1, 1, 1]}}, {"step": 0, "hands": {"0": [1]}},
        {"step": 0, "hands": {"0": [1, 2, 3, -4]}}, {"step": 1e9, "hands": []},
    ):  # fmt: skip
        walk.set_state({"walk": bad})
        assert "the page told" in walk.status
        assert walk.walk == {"step": 2, "hands": {"0": [4, 1, 0, 25]}}


def test_a_page_cannot_tell_another_plan():
    walk = ClassWalk("five-range")
    before = walk.plan
    walk.set_state({"plan": {"steps": []}})
    assert walk.plan == before


def test_teeth_stay_those_that_the_plan_was_made_for():
    walk = ClassWalk("five-range")
    assert walk.book["teeth"] is None
    walk.set_teeth({"front": {"sun": 30}})
    assert "make another panel" in walk.status and walk.train == FIVE


def test_a_step_is_heard_as_it_is():
    plan = class_plan(FIVE, order=["1"], topics=["ranges"])
    assert heard_walk(plan, FIRST) == FIRST
