"""The road test: what each test shows, what is told of it, and nothing more."""

import json

import pytest
from faulty_motion import disagreements

import gearlab as gl
from gearlab.draw.kit.shapes import Text, walk
from gearlab.handouts.worksheets import worksheet
from gearlab.lab.question.checking import check
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.suite.find_the_fault import LAB, candidates, failed, fewest, road_test
from gearlab.panels import Desk

TOPICS = ("find the fault", "find another")
PAPERS = [draw_paper(LAB, (f"s{n}",)) for n in range(30)]
WORDS = {"drive": "under power", "coast": "coasting"}


@pytest.fixture
def desk(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    made = Desk("find-the-fault")
    made.sign_in("ana")
    return made


def asked(topic):
    return [(paper.asked[topic].given, paper.asked[topic].question) for paper in PAPERS]


@pytest.mark.parametrize("topic", TOPICS)
def test_the_key_is_what_failed_and_the_second_opinion_agrees(topic):
    for given, question in asked(topic)[:8]:
        one, fault = failed(given)
        assert question.answer == fault.clause
        cases = [(one, fault, row, load) for row in one.ranges for load in WORDS]
        assert not disagreements(cases, gl.symptoms)


@pytest.mark.parametrize("topic", TOPICS)
def test_a_wrong_answer_is_told_the_test_that_speaks_against_it(topic):
    for given, question in asked(topic):
        one, fault = failed(given)
        rows = gl.symptoms(one).rows
        clauses = {each.clause: each for each in rows}
        for option in question.options:
            verdict = check(question, option)
            if verdict.right:
                continue
            other = clauses[option]
            against = [
                f"range {name}, {WORDS[load]}"
                for (name, load), seen in rows[other].items()
                if seen != rows[fault][name, load]
            ]
            assert any(where in verdict.words for where in against), verdict


def test_students_meet_many_faults_and_each_can_be_found():
    failures = {failed(given)[1] for topic in TOPICS for given, _ in asked(topic)}
    assert len(failures) > 10
    for given, _ in asked(TOPICS[0])[:8]:
        one, fault = failed(given)
        assert fault in candidates(one)
        found = gl.suspects(one, road_test(given)).explain_all
        assert found[0] == fault
        assert 1 <= fewest(given) <= 5


def test_the_panel_shows_what_the_symptoms_say_and_counts(desk):
    panel = desk.road_test(TOPICS[0])
    given = desk.work.asked(TOPICS[0]).given
    row = road_test(given)
    panel.drive("D, range 3", "under power")
    assert f"D, range 3, under power: {row['3', 'drive']}." in panel.status
    panel.drive("L, range 1 low", "coasting")
    panel.drive("D, range 3", "under power")
    assert "tried that before" in panel.status
    assert "2 tests so far." in panel._count.value
    assert panel._table.value.count("<tr>") == 3
    desk.put_down(TOPICS[0], desk.work.question(TOPICS[0]).answer)
    assert f"With the best test each time: {fewest(given)}." in panel._count.value
    assert desk.road_test(TOPICS[0]) is panel
    desk.sign_in("ben")
    assert "No test yet" in panel.words


def test_no_part_of_the_panel_holds_what_failed(desk):
    panel = desk.road_test(TOPICS[0])
    for where in panel._places:
        for load in WORDS.values():
            panel.drive(where, load)
    _, fault = failed(desk.work.asked(TOPICS[0]).given)
    state = json.dumps(
        [panel.box.get_state(), panel._table.value, panel.words], default=str
    )
    assert fault.about not in state and fault.clause not in state


def test_what_cannot_be_tried_is_said(desk):
    panel = desk.road_test(TOPICS[0])
    panel.drive("D, range 3", "")
    assert "Choose a range and a load first." in panel.status
    with pytest.raises(ValueError, match='"the steps" has no road test'):
        desk.road_test("the steps")


def test_on_paper_the_road_test_is_a_table():
    paper = PAPERS[0]
    question = paper.asked[TOPICS[0]].question
    scene = question.on_paper(context="print")
    row = road_test(paper.asked[TOPICS[0]].given)
    texts = [shape.text for shape, _ in walk(scene.shapes) if isinstance(shape, Text)]
    for (name, load), seen in row.items():
        assert name in texts and f"range {name} {WORDS[load]} {seen}" in scene.alt
    shown = [one for one in worksheet(paper, "s0") if "Road test:" in repr(one)]
    assert len(shown) == len(TOPICS)
    (care,) = [
        one.text for one in worksheet(paper, "s0", "Care.") if "hoist" in repr(one)
    ]
    assert care.endswith("a qualified person does it. Care.")
