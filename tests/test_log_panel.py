"""The panel that goes through a road log: by slider, by time, by button; covered."""

import re
from html import unescape

import pytest
from logs import TRAIN, road_logs
from small_lab import LAB

import gearlab as gl
from gearlab.panels import Desk, LogPanel
from gearlab.panels import roadlog as module

LOG, FLARES = road_logs()["slips"], road_logs()["flares"]


def said(panel):
    return unescape(re.sub("<[^>]*>", "", panel.status))


def in_words(panel):
    bundle = panel._repr_mimebundle_()
    return (bundle[0] if isinstance(bundle, tuple) else bundle)["text/plain"]


def test_a_moment_is_told_and_drawn_with_its_range():
    panel = LogPanel(LOG, at=12)
    assert panel.time == 12
    assert str(LOG.at(12)) in said(panel)
    assert str(LOG.at(12)) in in_words(panel)
    assert "<svg" in panel._chart.value and "Marked: 12.00 s." in panel._chart.value
    alt = unescape(panel._beside.value)
    assert "Range 3, under power: ratio 1.407 (38/27)" in alt


def test_slider_field_and_buttons_show_one_moment():
    panel = LogPanel(LOG)
    panel._slider.value = 73
    assert panel.time == pytest.approx(7.3)
    assert panel.box.values[0] == "7.30"
    panel.box.press("16,2", "10", "rear")
    assert panel.time == pytest.approx(16.2)
    assert panel._slider.value == 162
    assert "possible slip" in said(panel)
    assert "rear set" in unescape(panel._beside.value).lower()
    for button, time in (("back", 15.2), ("on", 16.2), ("shift", 20.0)):
        panel.box.press(button=button)
        assert panel.time == pytest.approx(time, abs=0.06), button
    panel.go_to(24.95)
    panel.move(5)
    assert panel.time == LOG.end


def test_each_change_draws_once(monkeypatch):
    panel, drawn = LogPanel(LOG), []
    draw = module.draw_log
    monkeypatch.setattr(
        module, "draw_log", lambda *a, **k: drawn.append(1) or draw(*a, **k)
    )
    for change in (
        lambda: setattr(panel._slider, "value", 30),
        lambda: panel.box.press("9", "30", ""),
        lambda: panel.move(1),
    ):
        drawn.clear()
        change()
        assert len(drawn) == 1


def test_what_is_wrong_is_found_one_after_the_other():
    panel = LogPanel(FLARES)
    seen = []
    for _ in range(3):
        panel.next_fault()
        seen.append(said(panel))
    assert "a flare" in seen[0] and "a tie-up" in seen[1]
    assert seen[2] == "Up to its end, this log has no more of that."


@pytest.mark.parametrize("time", ["x", "99", "-1", "", None])
def test_a_time_that_is_none_is_told_and_the_picture_stays(time):
    panel = LogPanel(LOG, at=4)
    before = panel._chart.value
    panel.go_to(time)
    assert 'class="gl-status gl-fault"' in panel.status
    assert said(panel)
    assert panel._chart.value == before


def test_it_is_covered_until_the_prediction_was_said(tmp_path, monkeypatch):
    monkeypatch.setenv("GEARLAB_ANSWERS", str(tmp_path))
    desk = Desk(LAB)
    topic = next(one.name for one in LAB.topics if one.prediction)
    panel = desk.log(LOG, after=topic, at=16)
    assert said(panel) == f"Say your prediction first: “{topic}”, above."
    assert not panel._chart.value and not panel._beside.value
    assert "Range" not in in_words(panel)
    question = desk.work.asked(topic).question
    desk.put_down(topic, question.answer)
    assert "<svg" in panel._chart.value
    assert desk.work.truth(topic) in said(panel)
    shown = LogPanel(LOG, covered="Wait.")
    shown.box.press(button="anyway")
    assert "<svg" in shown._chart.value


def test_what_is_no_log_is_told():
    for wrong in (None, TRAIN, "drive.csv", gl.make_log(TRAIN, rate=5)):
        with pytest.raises(ValueError, match=r"gl\.read_log"):
            LogPanel(wrong)
