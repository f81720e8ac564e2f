"""The bench panel without a browser: set a control, then read state, words, picture."""

import re
from fractions import Fraction
from html import escape, unescape
from xml.etree import ElementTree

import ipywidgets as widgets
import pytest
import trains

import gearlab as gl
from gearlab.base.numerals import exactly, number, turn_count
from gearlab.draw import draw_end_view, draw_levers, draw_stick, to_svg
from gearlab.draw.kit.layers import paint_layers
from gearlab.lab.question.prediction import (
    BACKWARD,
    BRAKES,
    FORWARD,
    NO_BRAKING,
    NOTHING,
    SENSES,
    STUCK,
)
from gearlab.panels import Bench, bench_state, bench_views, turning
from gearlab.panels.teeth import AS_FILED, OTHERS
from gearlab.solve.facts import element_states

FIVE = gl.load_train("five-range")
FIGHT = ("overdrive brake", "front lock clutch")
SVG = "{http://www.w3.org/2000/svg}svg"


@pytest.fixture
def panel():
    return Bench(FIVE)


class Clock:
    """Seconds that pass only when a test says so."""

    def __init__(self):
        self.seconds = 1000.0

    def __call__(self):
        return self.seconds


@pytest.fixture
def clock(monkeypatch):
    made = Clock()
    monkeypatch.setattr(turning, "monotonic", made)
    return made


def redraws(panel):
    """A list that grows by one at each change of the pictures."""
    seen = []
    panel._sheet.observe(lambda change: seen.append(1), names="value")
    return seen


def words(panel):
    return " ".join(unescape(re.sub("<[^>]*>", " ", panel._sheet.value)).split())


def said(panel):
    """The sentence of the status line; "" if all is well."""
    return unescape(re.sub("<[^>]*>", "", panel.status))


def labels(panel):
    """The sentence of each picture; the pictures must be well formed."""
    root = ElementTree.fromstring(panel._sheet.value)
    assert all(svg.get("role") == "img" for svg in root.iter(SVG))
    return [svg.get("aria-label") for svg in root.iter(SVG)]


def greyed(panel):
    return "gl-old" in panel._pictures._dom_classes


def everything(panel):
    """Every widget of a panel."""
    yield panel
    for child in getattr(panel, "children", ()):
        yield from everything(child)


def box(panel, set_name, key):
    return panel._teeth._rows[set_name, key][1]


def slider(panel, set_name, key):
    return panel._teeth._rows[set_name, key][0]


def teeth(panel, set_name="front"):
    return dict(panel.state.train.set(set_name).all_teeth)


def check_shows(panel):
    """Words, pictures, counters and controls all say what the state is."""
    flow, look = panel.state.flow, panel.look
    assert panel.status == "" and not greyed(panel)
    assert gl.describe(flow, panel._before) in words(panel)
    manner = {"end": look.end, "context": look.context}
    expected = [draw_end_view(flow, one.name, **manner) for one in flow.train.sets]
    expected.append(draw_stick(flow, **manner))
    assert labels(panel) == [scene.alt for scene in expected]
    if flow.ratio is not None:
        assert f"ratio {number(flow.ratio)} " in panel._meter.value
    for name, state in element_states(flow).items():
        if name in panel.elements:
            assert panel.elements[name].description == f"{name}: {state}"
            assert panel.elements[name].value == (name in flow.applied)
        else:
            assert f"{escape(name)}: <b>{state}</b>" in panel._applying.one_ways.value
    assert panel.range.value == (flow.range or "by hand")
    assert panel.position.value == (panel.state.position or "by hand")
    assert panel.load.value == flow.load


# Ranges, elements, load -----------------------------------------------------------


@pytest.mark.parametrize("load", ["drive", "coast"])
@pytest.mark.parametrize("name", FIVE.range_names)
def test_the_range_list_sets_every_range(panel, name, load):
    panel.range.value = name
    panel.load.value = load
    assert panel.state.flow == gl.power_flow(FIVE, name, load=load)
    check_shows(panel)


@pytest.mark.parametrize("place", FIVE.selector)
def test_the_selector_allows_its_ranges(panel, place):
    panel.range.value = "3"
    panel.position.value = place
    allowed = FIVE.selector[place]
    assert panel.state.range == ("3" if "3" in allowed else allowed[0])
    assert panel.state.position == place
    check_shows(panel)


def test_by_hand_is_no_range(panel):
    panel.range.value = "by hand"
    panel.position.value = "by hand"
    assert (panel.range.value, panel.position.value) == ("1", "D")
    assert "the list says “by hand” by itself" in said(panel)
    panel.range.value = "2"
    check_shows(panel)


@pytest.mark.parametrize("name", [part.name for part in FIVE.elements + FIVE.locks])
def test_a_checkbox_applies_and_releases(panel, name):
    start = panel.state.flow.applied
    for on in (name not in start, name in start):
        panel.elements[name].value = on
        assert panel.elements[name].description.endswith(
            "applied" if on else "released"
        )
        assert panel.state.flow.applied == (start | {name} if on else start - {name})
        check_shows(panel)


def test_the_words_say_what_was_released_and_applied(panel):
    panel.elements["low brake"].value = True
    assert panel.state.range == "1 low" and panel.state.position == "L"
    assert "Since range 1, the low brake was applied." in words(panel)
    panel.load.value = "coast"
    assert "Since range 1, the low brake was applied." in words(panel)


def test_one_way_clutches_say_their_state(panel):
    panel.range.value = "2"
    assert "front one-way clutch: <b>overruns</b>" in panel._applying.one_ways.value
    assert "low one-way clutch: <b>holds</b>" in panel._applying.one_ways.value
    panel.load.value = "coast"
    assert panel.state.flow.state == "freewheels"
    assert "<b>holds<" not in panel._applying.one_ways.value
    assert "no engine braking" in words(panel)


@pytest.mark.parametrize(
    "name, load, front, low",
    [
        ("1", "drive", "<b>backs up</b> the front lock clutch", "<b>holds</b>"),
        ("1 low", "coast", "<b>at rest</b>", "<b>at rest</b>"),
        ("R", "drive", "<b>backs up</b> the front lock clutch", "<b>at rest</b>"),
        ("R", "coast", "<b>at rest</b>", "<b>backs up</b> the low brake"),
        ("2", "drive", "<b>overruns</b>", "<b>holds</b>"),
    ],
)
def test_a_one_way_clutch_at_rest_backs_up_only_what_it_could_hold(
    panel, name, load, front, low
):
    """The low one-way clutch pushes the rear carrier forward and never backward: in
    reverse that carrier is pushed forward under power, and backward on coast."""
    panel.choose_range(name)
    panel.set_load(load)
    assert panel._applying.one_ways.value == (
        f'<div class="gl-one-ways"><p>front one-way clutch: {front}</p>'
        f"<p>low one-way clutch: {low}</p></div>"
    )
    check_shows(panel)


@pytest.mark.parametrize("exact, shown", [(False, "−1.571"), (True, "−11/7")])
def test_a_backward_count_has_one_sign(panel, exact, shown):
    panel.choose_range("R")
    panel.set_look(exact=exact)
    panel.turn_to("5 1/2")
    assert f"· output 1 turn + 206° backward ({shown})<" in panel._meter.value


def test_a_tie_up_names_the_fighters_and_locks_the_crank(panel):
    panel.turn_to(2)
    panel.choose_range("3")
    for name in FIGHT:
        panel.apply(name)
    assert panel.state.flow.state == "tied up"
    for name in panel.state.flow.conflict:
        assert name in words(panel)
    assert "tied up: " in panel._meter.value
    assert all(control.disabled for control in panel._turning.all)
    check_shows(panel)
    panel.apply(FIGHT[0], False)
    assert not any(control.disabled for control in panel._turning.all)


def test_the_crank_of_a_tied_up_train_is_not_turned_from_python_either(panel):
    for name in FIGHT:
        panel.apply(name)
    at = panel.state.turns
    panel.turn_to(3)
    assert panel.state.turns == at


def test_neutral_has_no_ratio_and_no_output_turn(panel):
    panel.range.value = "N"
    assert "Neutral" in words(panel) and "neutral" in panel._meter.value
    assert panel._turning.to_output.disabled and not panel._turning.slider.disabled
    check_shows(panel)
    panel.turn_output_once()
    assert panel.state.turns == 0 and "take a range that drives" in said(panel)


# Teeth ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "key, count, planet", [("sun", 32, 20), ("ring", 90, 27), ("sun", 34, 19)]
)
def test_teeth_follow_the_box_and_the_slider(panel, key, count, planet):
    filed = slider(panel, "front", key).value
    box(panel, "front", key).value = f" {count} "
    assert teeth(panel)[key] == slider(panel, "front", key).value == count
    assert teeth(panel)["planet"] == planet
    check_shows(panel)
    slider(panel, "front", key).value = filed
    assert panel.state.train == FIVE and box(panel, "front", key).value == str(filed)


def test_an_odd_difference_rounds_the_planet_down_and_warns(panel):
    box(panel, "front", "sun").value = "33"
    assert teeth(panel) == {"sun": 33, "ring": 72, "planet": 19}
    assert "⚠ front warns: ring 72 is not sun 33" in panel._teeth.verdicts.value
    check_shows(panel)
    slider(panel, "front", "sun").value = 34
    assert teeth(panel)["planet"] == 19
    assert "✓ front fits: ring 72 = sun 34" in panel._teeth.verdicts.value


def test_planets_are_counted_whatever_a_named_set_could_carry():
    panel = Bench(FIVE.with_teeth({"front": {"sun": 60, "ring": 88}}))
    box(panel, "front", "planets").value = "12"
    assert panel.state.train.set("front").planets == 12
    check_shows(panel)


BAD = ["0", "-4", "−4", "30.5", "abc", "", "100000", "5000", "1e3", "9" * 5000, "<b>x"]


@pytest.mark.parametrize("written", BAD)
def test_bad_teeth_are_said_and_the_last_picture_stays_greyed(panel, written):
    before = labels(panel)
    entry = box(panel, "front", "sun")
    entry.value = written
    assert panel.state.train == FIVE and labels(panel) == before and greyed(panel)
    assert re.match("front .*(but it must be|does not fit)", said(panel))
    assert len(said(panel)) < 300 and "fault" not in said(panel)
    assert entry.value == written
    entry.value = "36"
    assert teeth(panel)["sun"] == 36
    check_shows(panel)


@pytest.mark.parametrize("name", [AS_FILED, "easy-count"])
def test_named_teeth_are_taken_after_bad_ones(panel, name):
    named = panel._teeth.named
    named.value = name
    good = panel.state.train
    box(panel, "front", "sun").value = "abc"
    assert panel.status and named.value == OTHERS, "the boxes hold other teeth"
    named.value = name
    assert panel.state.train == good and named.value == name
    assert box(panel, "front", "sun").value == str(good.set("front").all_teeth["sun"])
    assert said(panel) == f"The teeth are {name}."
    panel.choose_range("2")
    check_shows(panel)


def test_others_asks_for_what_the_boxes_hold(panel):
    panel._teeth.named.value = OTHERS
    assert panel._teeth.named.value == AS_FILED and panel.state.train == FIVE
    assert "the list says “others” by itself" in said(panel)
    box(panel, "front", "sun").value = " 36 "
    assert panel._teeth.named.value == AS_FILED
    check_shows(panel)
    box(panel, "front", "sun").value = "abc"
    panel.show_teeth.value = True
    assert panel.status and panel._teeth.named.value == OTHERS


def test_another_action_does_not_leave_bad_teeth_in_a_box(panel):
    box(panel, "front", "sun").value = "abc"
    panel.range.value = "2"
    assert panel.status == "" and box(panel, "front", "sun").value == "36"


def test_the_largest_wheels_still_give_a_picture_of_bounded_size(panel):
    box(panel, "front", "sun").value = "9000"
    box(panel, "front", "ring").value = "10000"
    assert teeth(panel)["planet"] == 500 and not panel.status
    assert len(panel._sheet.value + panel._kept.value) < 3_000_000


def test_named_teeth_can_be_taken_again_after_a_change(panel):
    named = panel._teeth.named
    named.value = "easy-count"
    assert panel.state.flow.ratio == Fraction(13, 4)
    box(panel, "front", "sun").value = "36"
    assert teeth(panel)["sun"] == 36 and named.value != "easy-count"
    named.value = "easy-count"
    assert teeth(panel) == {"sun": 30, "ring": 60, "planet": 15}
    named.value = AS_FILED
    assert panel.state.train == FIVE
    check_shows(panel)


def test_teeth_set_from_python_are_in_the_boxes(panel):
    panel.set_teeth({"front": {"sun": 36}})
    assert box(panel, "front", "sun").value == "36"
    box(panel, "rear", "sun").value = "26"
    assert teeth(panel)["sun"] == 36 and teeth(panel, "rear")["sun"] == 26


def test_tooth_counts_unfold(panel):
    assert panel._teeth.box.layout.display == "none"
    panel.show_teeth.value = True
    assert panel._teeth.box.layout.display != "none"


# Turning --------------------------------------------------------------------------


def test_the_slider_and_the_steps_turn(panel):
    crank = panel._turning
    seen = redraws(panel)
    crank.slider.value = 450
    assert panel.state.turns == Fraction(5, 4)
    for by in (1, "-1/4", "1/4", -1):
        crank.step(Fraction(by))
    assert panel.state.turns == Fraction(5, 4)
    assert "--turns:1.25}" in panel._angle.value
    assert f"input {turn_count(Fraction(5, 4))} · output" in panel._meter.value
    assert not seen, "turning changes no picture"
    panel.turn_to(Fraction(0))
    crank.step(Fraction(-1))
    assert panel.state.turns == 0 and crank.box.value == "0"


def test_to_one_output_turn_goes_on_from_where_it_is(panel):
    for turned in (Fraction(17, 6), Fraction(17, 3)):
        panel._turning.to_one_output_turn()
        assert panel.state.turns == turned
        assert f"input {turn_count(turned)}" in panel._meter.value
    assert "output 2 turns<" in panel._meter.value
    panel.choose_range("R")
    panel._turning.to_one_output_turn()
    assert panel.state.turns == Fraction(17, 3) + Fraction(7, 2)


@pytest.mark.parametrize(
    "written, turns",
    [
        ("3 turns 55°", Fraction(227, 72)),
        ("3,154", Fraction(1577, 500)),
        ("41/13", Fraction(41, 13)),
        ("90°", Fraction(1, 4)),
        ("123456", 123456),
        ("999999999", bench_state.MOST_TURNS),
    ],
)
def test_turns_are_read_as_people_write_them(panel, written, turns):
    panel._turning.box.value = written
    assert panel.state.turns == turns and panel.status == ""
    assert panel._turning.slider.value == min(
        round(turns * 72) * 5, panel._turning.slider.max
    )


@pytest.mark.parametrize("written", ["abc", "", "1.000,5", "1/0", "<b>", "9" * 500])
def test_turns_that_cannot_be_read_are_said(panel, written):
    panel.turn_to(1)
    panel._turning.box.value = written
    way_out = "write it like 1000.5" if "," in written else "write it like"
    assert way_out in said(panel)
    assert panel.state.turns == 1 and greyed(panel)
    panel._turning.box.value = "2"
    assert panel.state.turns == 2
    check_shows(panel)


def test_continuous_turning_starts_counts_and_stops(panel, clock):
    crank, seen = panel._turning, redraws(panel)
    panel.turn_to(1)
    crank.toggle_spin()
    assert crank.spin.description == "stop turning" and "@keyframes" in (
        panel._angle.value
    )
    clock.seconds += 5
    crank.toggle_spin()
    assert panel.state.turns == 1 + 5 * turning.RATE
    assert crank.spin.description == "start turning"
    assert "@keyframes" not in panel._angle.value and "--turns:3.5}" in (
        panel._angle.value
    )
    assert not seen and panel.status == ""


def test_an_element_changed_while_turning_goes_on_from_there(panel, clock):
    panel._turning.toggle_spin()
    for seconds, name, start in ((2, "low brake", 1), (4, "common-sun brake", 3)):
        clock.seconds += seconds
        panel.elements[name].value = True
        assert panel.state.turns == start
        if panel.state.can_turn:
            assert f"from{{--turns:{start}}}" in panel._angle.value
    assert panel.state.flow.state == "tied up" and not panel._turning.spinning


def test_a_look_changed_while_turning_leaves_the_turning_alone(panel, clock):
    panel._turning.toggle_spin()
    clock.seconds += 3
    before = panel._angle.value
    panel.looks.other_end.value = True
    assert panel._angle.value == before and "@keyframes" in before
    clock.seconds += 3
    panel._turning.toggle_spin()
    assert panel.state.turns == 3


@pytest.mark.parametrize("by_python", [True, False])
def test_a_number_asked_for_while_turning_stops_it(panel, clock, by_python):
    panel._turning.toggle_spin()
    clock.seconds += 3
    if by_python:
        panel.turn_to(5)
    else:
        panel._turning.box.value = "5"
    assert panel.state.turns == 5 and not panel._turning.spinning
    assert "@keyframes" not in panel._angle.value


def test_nonsense_while_turning_leaves_the_words_true(panel, clock):
    panel._turning.toggle_spin()
    clock.seconds += 2
    panel._turning.box.value = "abc"
    moves = "@keyframes" in panel._angle.value
    assert moves == panel._turning.spinning
    assert moves == (panel._turning.spin.description == "stop turning")


def test_spinning_stops_where_the_answer_is_hidden(panel, clock):
    panel._turning.toggle_spin()
    clock.seconds += 2
    panel.predicting.value = True
    assert not panel._turning.spinning and panel.state.turns == 1


# Predict first --------------------------------------------------------------------


def hides(panel):
    """Whether nothing on the panel gives the answer away."""
    flow = panel.state.flow
    shown = panel._repr_mimebundle_()["text/plain"] + "".join(
        widget.value for widget in everything(panel) if isinstance(widget, widgets.HTML)
    )
    turns = f"the input {turn_count(abs(flow.ratio))} for one"
    told = [f"ratio {number(flow.ratio)}", turns, "· output", "while the input turns"]
    told += [exactly(abs(speed)) for speed in flow.speeds.values() if speed % 1]
    return not any(word in shown for word in told)


def answer(panel):
    return unescape(re.sub("<[^>]*>", "", panel._answer.value))


def test_predict_first_hides_until_it_was_said(panel):
    panel.predicting.value = True
    assert panel.hidden and hides(panel)
    assert all(control.disabled for control in panel._turning.all)
    ask = panel._predict
    assert ask.box.layout.display != "none"
    ask.sense.value, ask.count.value = FORWARD, "2,8"
    panel.say_prediction()
    assert "Right, to an eighth" in answer(panel) and not panel.hidden
    check_shows(panel)
    panel.turn_to(1)
    assert not panel.hidden, "turning asks no new prediction"
    panel.range.value = "R"
    assert panel.hidden and hides(panel) and answer(panel) == ""
    panel.predicting.value = False
    check_shows(panel)


def test_a_prediction_is_judged_and_one_that_cannot_be_read_is_said():
    panel = Bench(FIVE, "R", predict=True)
    ask = panel._predict
    ask.sense.value, ask.count.value = FORWARD, "abc"
    panel.say_prediction()
    assert "write it like" in said(panel) and hides(panel)
    assert (ask.sense.value, ask.count.value) == (FORWARD, "abc"), "nothing is lost"
    ask.sense.value = STUCK
    assert ask.count.disabled
    panel.say_prediction()
    assert "Not so" in answer(panel) and BACKWARD in answer(panel)
    panel.choose_range("N")
    ask.sense.value = NOTHING
    panel.say_prediction()
    assert "Right" in answer(panel) and "neutral" in panel._meter.value
    ask.sense.value = FORWARD
    assert not ask.count.disabled


def test_no_way_is_chosen_before_somebody_chooses_it():
    panel = Bench(FIVE, "1", predict=True)
    ask = panel._predict
    for name in ("1", "2"):
        panel.choose_range(name)
        assert ask.sense.value == "" and ask.count.value == ""
        ask.count.value = "3"
        panel.say_prediction()
        assert "nothing is predicted yet" in said(panel) and hides(panel)
        ask.sense.value = FORWARD
        panel.say_prediction()
        assert not panel.hidden


def asked(panel):
    """The words and the list of the prediction that is shown."""
    ask = panel._predict
    shown = [one for one in ask.senses.values() if one.layout.display != "none"]
    assert shown == [ask.sense]
    return ask._asked.value, [value for _, value in ask.sense.options if value]


@pytest.mark.parametrize(
    "name, said_so, count, words",
    [
        ("1", NO_BRAKING, "", "Right: no engine braking"),
        ("1", BRAKES, "2,8", "Not so: you said “the engine brakes"),
        ("1 low", BRAKES, "17/6", "Right, to an eighth of a turn: you said 2.833"),
        ("1 low", NO_BRAKING, "", "In truth: the engine brakes (the output turns"),
    ],
)
def test_coasting_is_predicted_by_who_brakes(name, said_so, count, words):
    panel = Bench(FIVE, name, predict=True)
    assert asked(panel)[1] == list(SENSES["drive"])
    panel.load.value = "coast"
    question, options = asked(panel)
    assert "Does the engine brake, and how many turns" in question
    assert options == list(SENSES["coast"]) and panel._predict.sense.value == ""
    panel._predict.sense.value, panel._predict.count.value = said_so, count
    panel.say_prediction()
    assert words in answer(panel) and not panel.hidden
    panel.load.value = "drive"
    assert asked(panel)[1] == list(SENSES["drive"])


# Under a cover ---------------------------------------------------------------------

FIRST = "Answer <question> 2 first."


def plain(panel):
    return panel._repr_mimebundle_()["text/plain"]


@pytest.fixture
def covered():
    made = Bench(FIVE, "3", covered=FIRST)
    assert made.hidden and hides(made) and made.status == ""
    return made


def test_a_covered_panel_says_what_comes_first(covered):
    assert covered._cover.box.layout.display != "none"
    assert escape(FIRST) in covered._cover.box.children[0].value
    assert covered._predict.box.layout.display == "none"
    assert all(control.disabled for control in covered._turning.all)
    assert plain(covered) == (
        "Bench panel of Five-range bench unit. The answer is hidden until it is asked"
        f" for. {FIRST}"
    )
    assert labels(covered) == labels(Bench(FIVE, "3", predict=True)), "no sign"


def test_a_covered_panel_stays_covered_whatever_is_changed(covered):
    covered.choose_range("1")
    covered.load.value = "coast"
    covered.load.value = "drive"
    covered.set_look(exact=True, pictures={"lever diagrams", "apply chart"})
    assert covered.hidden and hides(covered)


@pytest.mark.parametrize("words", ["", "You said <2>; in truth 1.407."])
def test_what_is_covered_is_revealed_with_words(covered, words):
    covered.reveal(words)
    assert covered._cover.box.layout.display == "none" and answer(covered) == words
    check_shows(covered)
    assert gl.describe(covered.state.flow) in plain(covered)
    covered.turn_to(1)
    assert answer(covered) == words
    covered.choose_range("4")
    assert answer(covered) == "", "the words were about another range"
    check_shows(covered)


def test_a_button_shows_it_anyway(covered):
    covered._cover.lift.click()
    assert not covered.hidden and answer(covered) == ""
    check_shows(covered)


def test_another_train_is_covered_again(covered):
    covered.reveal()
    covered.take_train(FIVE)
    assert not covered.hidden, "the same train"
    covered.take_train(FIVE.with_teeth({"rear": {"sun": 28, "ring": 84}}))
    assert covered.hidden and hides(covered) and covered.status == ""
    covered.reveal()
    check_shows(covered)


def test_a_prediction_under_a_cover_is_revealed_with_it():
    panel = Bench(FIVE, "3", covered=FIRST, predict=True)
    assert panel.hidden and panel._predict.box.layout.display == "none"
    panel.reveal("said")
    assert not panel.hidden and answer(panel) == "said"
    panel.choose_range("4")
    assert panel.hidden and panel._predict.box.layout.display != "none"


def test_words_can_be_said_on_an_open_panel(panel):
    panel.reveal("You said 2.8; in truth 2.833.")
    assert "You said 2.8" in answer(panel)
    check_shows(panel)


@pytest.mark.parametrize("sentence", [True, 3, None, ["Answer."]])
def test_a_cover_must_be_a_sentence(sentence):
    with pytest.raises(ValueError, match=r"covered is .* must be the sentence"):
        Bench(FIVE, covered=sentence)


# What changes nothing ---------------------------------------------------------------

IDLE = {
    "marks to the top": (lambda p: p._turning.zero.click(), "marks are at the top"),
    "a turn back": (lambda p: p._turning.steps[0].click(), "marks are at the top"),
    "range before": (lambda p: p.step_range(-1), "Range P is the first one"),
    "range after": (lambda p: p.step_range(1), "Range 1 low is the last one"),
    "by hand": (lambda p: setattr(p.range, "value", "by hand"), "“by hand” by itself"),
    "position": (lambda p: setattr(p.position, "value", "by hand"), "by itself"),
    "turned there": (lambda p: p.turn_to(2), "input is at 2 turns already"),
    "the end": (lambda p: p._turning.steps[3].click(), "at 1000000 turns already"),
}
BEFORE = {
    "range before": lambda panel: panel.choose_range("P"),
    "range after": lambda panel: panel.choose_range("1 low"),
    "turned there": lambda panel: panel.turn_to(2),
    "the end": lambda panel: panel.turn_to(bench_state.MOST_TURNS),
}


@pytest.mark.parametrize("press", IDLE)
def test_a_press_that_changes_nothing_is_answered(panel, press):
    BEFORE.get(press, lambda panel: None)(panel)
    state, seen = panel.state, redraws(panel)
    act, words = IDLE[press]
    act(panel)
    assert words in said(panel) and panel.state is state
    assert not seen and not greyed(panel)
    assert "gl-fault" not in panel.status
    panel.choose_range("2")
    panel.turn_to(1)
    check_shows(panel)


def test_the_top_confirms_nothing_where_it_turns_something(panel, clock):
    panel._turning.toggle_spin()
    clock.seconds += 3
    panel._turning.zero.click()
    assert panel.state.turns == 0 and panel.status == ""
    assert not panel._turning.spinning


# Looks ----------------------------------------------------------------------------

LOOKS = ("large", "other_end", "exact")
COUNTS = {"end views": 3, "stick diagram": 1, "lever diagrams": 1, "apply chart": 1}


@pytest.mark.parametrize("control", LOOKS)
def test_a_look_changes_no_mechanics_and_goes_back(panel, control):
    flow, before = panel.state.flow, panel._sheet.value
    getattr(panel.looks, control).value = True
    assert panel.state.flow is flow and panel.status == ""
    assert len(labels(panel)) == 4
    assert (panel._sheet.value == before) == (control == "exact")
    assert ("gl-large" in panel._dom_classes) == (control == "large")
    seen = "output" if control == "other_end" else "input"
    assert f"Seen from the {seen} end" in panel._meter.value
    assert all(f"seen from the {seen} end" in label for label in labels(panel)[:3])
    assert ("(17/6)" in panel._meter.value) == (control == "exact")
    getattr(panel.looks, control).value = False
    assert panel._sheet.value == before


@pytest.mark.parametrize("name", COUNTS)
def test_pictures_come_and_go_as_they_are_ticked(panel, name):
    flow, before = panel.state.flow, panel._sheet.value
    shown, ticked = len(labels(panel)), panel.looks.pictures[name].value
    panel.looks.pictures[name].value = not ticked
    assert panel.state.flow is flow and panel.status == ""
    by = -COUNTS[name] if ticked else COUNTS[name]
    assert len(labels(panel)) == shown + by
    assert bool(panel._kept.value) == panel.looks.pictures["end views"].value
    panel.looks.pictures[name].value = ticked
    assert panel._sheet.value == before


def test_no_picture_at_all_leaves_the_words(panel):
    panel.set_look(pictures=())
    assert labels(panel) == [] and gl.describe(panel.state.flow) in words(panel)


def test_a_set_alone_is_large(panel):
    before = panel._sheet.value
    panel.looks.shown.value = "rear"
    assert labels(panel)[0].startswith("Rear set") and len(labels(panel)) == 2
    panel.looks.shown.value = "all sets"
    assert panel._sheet.value == before


def test_pictures_have_the_colours_of_those_in_the_text(panel):
    panel.set_look(pictures={"end views", "stick diagram", "lever diagrams"})
    flow = panel.state.flow
    for scene in (draw_stick(flow), draw_levers(flow)):
        assert to_svg(scene) in panel._sheet.value
    for one in flow.train.sets:
        assert paint_layers(draw_end_view(flow, one.name), ".x")[0] in (
            panel._kept.value
        )


@pytest.mark.parametrize("way", ["part", "role", "paint"])
def test_colours_say_one_thing_in_every_picture(panel, way):
    panel.set_look(pictures={"end views", "stick diagram", "lever diagrams"})
    flow, words_before = panel.state.flow, labels(panel)
    panel.looks.colours.value = way
    for scene in (draw_stick(flow, colour_by=way), draw_levers(flow, colour_by=way)):
        assert to_svg(scene) in panel._sheet.value
    assert panel.state.flow is flow and panel.status == ""
    for name in ("front", "rear"):
        outlines = paint_layers(draw_end_view(flow, name, colour_by=way), ".x")[0]
        assert outlines in panel._kept.value
    assert labels(panel)[:3] == words_before[:3]


def test_outlines_stay_when_only_the_flow_changes(panel):
    panel.choose_range("3")
    sent = []
    panel._kept.observe(lambda change: sent.append(1), names="value")
    panel.choose_range("4")
    panel.apply("low brake")
    assert not sent and '<path d="M' in panel._kept.value
    assert len(panel._sheet.value) < len(panel._kept.value)
    panel.set_teeth({"rear": {"sun": 26}})
    assert sent == [1]


RATES = re.compile(r"([^{}<>]+)\{--rate:([-\d.]+)\}")


@pytest.mark.parametrize("name", FIVE.range_names)
def test_outlines_turn_as_the_flow_says_and_in_this_panel_alone(panel, name):
    """A page has several panels: a style without a scope would turn all of them."""
    panel.choose_range(name)
    rates, flow = dict(RATES.findall(panel._sheet.value)), panel.state.flow
    (scope,) = set(panel._dom_classes) - {"gl-panel"}
    assert all(selector.startswith(f".{scope} .gl-set") for selector in rates)
    for place, one in enumerate(FIVE.sets):
        for short in ("sun", "ring", "carrier"):
            rate = float(rates[f".{scope} .gl-set{place} .gl-{short}"])
            turn = flow.one_motion[one.member(short)]
            assert rate == pytest.approx(360 * float(turn), abs=1e-5)
    assert len(rates) == 4 * len(FIVE.sets)


def test_a_look_set_from_python_is_in_the_controls(panel):
    look = {"large": True, "end": "output", "exact": True, "shown": "rear"}
    panel.set_look(pictures={"apply chart"}, colours="role", **look)
    looks = panel.looks
    assert looks.large.value and looks.other_end.value and looks.exact.value
    assert looks.shown.value == "rear" and looks.colours.value == "role"
    ticked = [name for name, box in looks.pictures.items() if box.value]
    assert ticked == ["apply chart"]


def test_pictures_can_be_chosen_when_it_is_opened():
    panel = Bench(FIVE, pictures=["lever diagrams"])
    assert panel.looks.pictures["lever diagrams"].value and len(labels(panel)) == 1
    with pytest.raises(ValueError, match='did you mean "lever diagrams"'):
        Bench(FIVE, pictures=["lever diagram"])


@pytest.mark.parametrize("large", [False, True])
def test_a_set_that_is_alone_is_seen_whole(large):
    """No wider than the window is high: a train of one set, too, and its outlines."""
    panel, five = Bench(gl.load_train("lone-set")), Bench(FIVE)
    panel.set_look(large=large)
    five.set_look(large=large)
    for widget in (panel._sheet, panel._kept):
        assert "max-width:min(100%,75vh)" in widget.value
    assert "75vh" not in five._sheet.value + five._kept.value


def test_one_set_can_be_opened_alone():
    panel = Bench(FIVE, set="rear")
    assert panel.looks.shown.value == "rear" and len(labels(panel)) == 2
    assert labels(panel)[0].startswith("Rear set")


# One way round --------------------------------------------------------------------

CHANGES = {
    "range": lambda panel: setattr(panel.range, "value", "R"),
    "range from Python": lambda panel: panel.choose_range("R"),
    "position": lambda panel: setattr(panel.position, "value", "R"),
    "position from Python": lambda panel: panel.choose_position("R"),
    "element": lambda p: setattr(p.elements["direct clutch"], "value", True),
    "element from Python": lambda panel: panel.apply("direct clutch"),
    "load": lambda panel: setattr(panel.load, "value", "coast"),
    "load from Python": lambda panel: panel.set_load("coast"),
    "tooth box": lambda panel: setattr(box(panel, "rear", "sun"), "value", "26"),
    "tooth slider": lambda panel: setattr(slider(panel, "rear", "sun"), "value", 26),
    "teeth from Python": lambda panel: panel.set_teeth({"rear": {"sun": 26}}),
    "named teeth": lambda p: setattr(p._teeth.named, "value", "easy-count"),
    "bad teeth": lambda panel: setattr(box(panel, "rear", "sun"), "value", "x"),
    "large print": lambda panel: setattr(panel.looks.large, "value", True),
    "large print from Python": lambda panel: panel.set_look(large=True),
    "predict first": lambda panel: setattr(panel.predicting, "value", True),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_change_is_one_solution_and_one_redraw(panel, monkeypatch, change):
    solved, seen = [], redraws(panel)
    solve = bench_state.power_flow
    monkeypatch.setattr(
        bench_state, "power_flow", lambda *a, **k: solved.append(1) or solve(*a, **k)
    )
    CHANGES[change](panel)
    looks = change in ("bad teeth", "predict first") or "print" in change
    # What is said to be bad leaves the last picture as it is, greyed.
    drawn = 0 if change == "bad teeth" else 1
    assert (len(seen), len(solved)) == (drawn, 0 if looks else 1)
    assert (panel.status == "") == (change != "bad teeth")


@pytest.mark.parametrize("change", CHANGES)
def test_a_control_set_to_what_it_is_does_nothing(panel, change):
    CHANGES[change](panel)
    seen, revealed = redraws(panel), panel.state
    for control in everything(panel):
        if "value" in control.trait_names():
            control.value = control.value
    assert not seen and panel.state is revealed


@pytest.mark.parametrize("change", CHANGES)
def test_a_fault_of_the_panel_is_said(panel, monkeypatch, change):
    def broken(*args, **kwargs):
        raise RuntimeError("planted")

    with monkeypatch.context() as patch:
        patch.setattr(bench_views, "end_views", broken)
        CHANGES[change](panel)
        if change != "bad teeth":  # its sentence came first
            assert "RuntimeError: planted" in said(panel)
        assert panel.status
    panel.predicting.value = False
    panel.set_teeth({"rear": {"sun": 28}})
    panel.choose_range("2")
    check_shows(panel)


@pytest.mark.parametrize(
    "act, sentence",
    [
        (lambda panel: panel.choose_range("1 lov"), 'did you mean "1 low"?'),
        (lambda panel: panel.choose_position("X"), 'no selector position "X"'),
        (lambda panel: panel.apply("low brak"), 'did you mean "low brake"?'),
        (lambda panel: panel.apply("low brak", False), 'did you mean "low brake"?'),
        (lambda panel: panel.set_load("cost"), 'did you mean "coast"?'),
        (lambda panel: panel.set_look(shown="reer"), 'did you mean "rear"?'),
        (lambda panel: panel.turn_to(float("nan")), "nan is no number"),
        (lambda panel: panel.turn_to(None), "None is no number"),
    ],
)
def test_a_mistake_from_python_is_said_with_the_way_out(panel, act, sentence):
    act(panel)
    assert sentence in said(panel) and greyed(panel)


# Other trains, names, and what the panel is made of --------------------------------

MARKED = "<mark>\"a\" & 'b'</mark>"


def marked_train():
    name = "<mark>{} & 'it'</mark>".format
    return trains.make_train(
        trains.simple(MARKED, 30, 72),
        name=name("train"),
        input=f"{MARKED} sun",
        output=f"{MARKED} carrier",
        brakes={name("brake"): f"{MARKED} ring"},
        one_way={name("one-way"): (f"{MARKED} carrier", "case")},
        ranges={name("range"): [name("brake")]},
    )


def test_names_with_markup_are_text_everywhere():
    panel = Bench(marked_train())
    panel.set_teeth({MARKED: {"sun": 4.5}})
    panel.choose_range("<mark>")
    for widget in everything(panel):
        if isinstance(widget, widgets.HTML):
            assert "<mark" not in widget.value
        if "description_allow_html" in widget.trait_names():
            assert not widget.description_allow_html
    assert MARKED in words(panel) and MARKED in labels(panel)[0]
    assert '"<mark>"' in said(panel)


TRAINS = {
    "five ranges": FIVE,
    "no one-way clutch, no range, no selector": trains.one_set(),
    "no element": trains.one_set(brakes={}, clutches={}),
    "odd teeth": trains.three_range(),
    "meshes": trains.make_train(
        trains.gears(*trains.REVERTED),
        input="gears arm",
        output="gears b",
        shafts={"pair": ["gears e", "gears c"]},
        brakes={"d brake": "gears d"},
        ranges={"1": ["d brake"]},
    ),
    "markup": marked_train(),
}


@pytest.mark.parametrize("name", TRAINS)
def test_a_panel_for_any_train(name):
    train = TRAINS[name]
    panel = Bench(train)
    check_shows(panel)
    for element in train.element_names:
        for on in (True, False):
            panel.elements[element].value = on
            check_shows(panel)
    for row in train.range_names:
        panel.range.value = row
        check_shows(panel)
    panel._turning.slider.value = 90
    assert panel.state.turns == Fraction(1, 4) and panel.status == ""
    assert ("one-way" in panel._applying.one_ways.value) == bool(train.one_way_clutches)
    assert (panel.position in everything(panel)) == bool(train.selector)
    looks = {"large": True, "end": "output", "exact": True, "pictures": set()}
    for look, value in looks.items():
        panel.set_look(**{look: value})
        assert panel.status == ""


@pytest.mark.parametrize("name", TRAINS)
def test_every_control_has_a_short_plain_label(name):
    for widget in everything(Bench(TRAINS[name])):
        assert not isinstance(widget, widgets.Output)
        label = getattr(widget, "description", "")
        if name != "markup":
            assert len(label) <= 40 and not set(label) & set("$\\")
        needs = (widgets.Dropdown, widgets.Text, widgets.Button, widgets.Checkbox)
        assert label or not isinstance(widget, (*needs, widgets.RadioButtons))


def test_the_panel_is_also_words(panel):
    bundle = panel._repr_mimebundle_()
    bundle = bundle[0] if isinstance(bundle, tuple) else bundle
    assert gl.describe(panel.state.flow) in bundle["text/plain"]
    assert "application/vnd.jupyter.widget-view+json" in bundle


def test_panels_share_no_id_and_no_scope():
    one, other = Bench(FIVE), Bench(FIVE)
    assert ' id="' not in one._sheet.value + other._sheet.value
    assert not set(one._dom_classes) & set(other._dom_classes) - {"gl-panel"}


def test_an_unknown_range_or_set_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match='did you mean "1 low"'):
        Bench(FIVE, "1 lov")
    with pytest.raises(ValueError, match='no range "nonsense"; known: "P", "R"'):
        Bench(FIVE, "nonsense")
    with pytest.raises(ValueError, match='did you mean "rear"'):
        Bench(FIVE, set="reer")
