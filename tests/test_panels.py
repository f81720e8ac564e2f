"""The bench panel without a browser: what a page tells it, and what it is told."""

import json
import re
from contextlib import contextmanager
from fractions import Fraction

import pytest
import trains
from hypothesis import given, settings
from hypothesis import strategies as st
from loops import each

import gearlab as gl
from gearlab.base.numerals import exactly, number
from gearlab.bench import asked, state, telling
from gearlab.bench.book import flow_of, key_of
from gearlab.bench.page import flow_page
from gearlab.bench.state import MOST_TURNS
from gearlab.bench.stored import MIME, stored_book
from gearlab.bench.teeth import AS_FILED, OTHERS
from gearlab.lab.question.prediction import (
    BACKWARD,
    BRAKES,
    FORWARD,
    NO_BRAKING,
    NOTHING,
    STANDS,
    STUCK,
)
from gearlab.panels import Bench, ClassWalk
from gearlab.panels import bench as bench_module
from gearlab.panels.bench import MOST_ASKED
from gearlab.panels.front import Front

FIVE = gl.load_train("five-range")
FIGHT = ("overdrive brake", "front lock clutch")
NAMES = [part.name for part in (*FIVE.elements, *FIVE.locks)]
VIEW = "input/screen/part/0"


class Page:
    """A page that shows a panel: it has what it was told, and tells what is done.

    All that goes either way is plain data, as on its way to a browser.
    """

    def __init__(self, panel):
        self.panel = panel
        self.model = json.loads(json.dumps(panel.get_state(list(KEPT))))
        self.pieces = dict(self.model["opening"]["pieces"])
        self.looks = dict(self.model["opening"]["looks"])
        self.pages = dict(self.model["opening"]["pages"])
        self.updates, self.answers, self.failed = [], [], []
        panel.comm.send = self._told

    def _told(self, data, buffers=None, **more):
        assert not buffers
        data = json.loads(json.dumps(data))
        if data["method"] == "update":
            assert data["state"].keys() <= KEPT
            self.updates.append(data["state"])
            self.model |= data["state"]
        elif data["method"] == "custom" and "failed" in data["content"]:
            assert data["content"]["train"] == self.model["book"]["train"]
            self.failed.append(data["content"]["failed"])
        elif data["method"] == "custom":
            self.answers.append(data["content"])
            self.pieces |= data["content"]["pieces"]
            self.pages |= data["content"]["pages"]
            self.looks |= data["content"]["looks"]

    def _send(self, data):
        self.updates, self.answers, self.failed = [], [], []
        data = json.loads(json.dumps(data))
        self.panel._handle_msg({"content": {"data": data}, "buffers": []})

    def update(self, **traits):
        """Tell whole traits, as they may be."""
        self.model |= traits
        self._send({"method": "update", "state": traits})

    def tell(self, **part):
        """Tell the state with something changed in it."""
        self.update(state={**self.model["state"], **part})

    def look(self, **part):
        """Tell the view with something changed in it."""
        self.update(view={**self.model["view"], **part})

    def send(self, **content):
        """Send a message of its own."""
        self._send({"method": "custom", "content": content})

    def apply(self, *applied, range=None, position=None, **part):
        """Tell other elements."""
        places = [NAMES.index(name) for name in applied]
        self.tell(applied=sorted(places), range=range, position=position, **part)

    def to_range(self, name, **part):
        """Tell another range."""
        places = [
            position for position, names in FIVE.selector.items() if name in names
        ]
        at = self.model["state"]["position"]
        at = at if at in places else places[0]
        self.apply(*FIVE.range(name).applied, range=name, position=at, **part)

    def page(self, *key):
        """The page of a flow, asked for if it is not there; the present one first."""
        key = key[0] if key else key_of(self.panel.flow)
        if key not in self.pages:
            self.send(ask=[[key, VIEW]])
        return self.pages[key]


KEPT = {"book", "opening", "state", "view", "note"}


@pytest.fixture(autouse=True)
def quiet(monkeypatch, caplog):
    """No view of another test is remembered, and no traceback is swallowed."""
    monkeypatch.setattr(Bench, "_remembered", None)
    yield
    assert not caplog.get_records("call")


@pytest.fixture
def panel():
    return Bench(FIVE)


@pytest.fixture
def page(panel):
    return Page(panel)


def plain(panel):
    bundle = panel._repr_mimebundle_()
    bundle = bundle[0] if isinstance(bundle, tuple) else bundle
    return bundle["text/plain"]


def teeth(panel, set_name="front"):
    return dict(panel.train.set(set_name).all_teeth)


def answer(page):
    """What a page says of what was predicted."""
    told = page.model["state"]
    return told["answer"] if told["shown"] == key_of(page.panel.flow) else ""


def check_shows(panel, page):
    """Words, book and state all say what stands on the bench."""
    flow, told = panel.flow, page.model["state"]
    assert panel.status == page.model["note"]["words"] == ""
    assert told == panel.state
    usable = [part.name for part in (*flow.train.elements, *flow.train.locks)]
    assert {usable[n] for n in told["applied"]} == flow.applied
    assert told["applied"] == sorted(told["applied"])
    assert (told["load"], told["range"]) == (flow.load, flow.range)
    assert Fraction(*told["turns"]) == panel.turns and told["turns"][1] > 0
    assert page.model["view"] == panel.view == panel.look
    assert page.model["book"]["train"] == panel.book["train"]
    shown = page.page()
    assert shown == json.loads(json.dumps(flow_page(flow)))
    if not panel.hidden:
        assert gl.describe(flow) in plain(panel) or "Since" in plain(panel)


# Ranges, elements, load -----------------------------------------------------------


@each(
    "name, load", [(n, load) for n in FIVE.range_names for load in ("drive", "coast")]
)
def test_a_page_sets_every_range(name, load):
    panel = Bench(FIVE)
    page = Page(panel)
    page.to_range(name, load=load)
    assert not page.updates, "what it told is not told back"
    assert panel.flow == gl.power_flow(FIVE, name, load=load)
    check_shows(panel, page)


@pytest.mark.parametrize("place", FIVE.selector)
def test_the_selector_allows_its_ranges(panel, page, place):
    panel.choose_range("3")
    panel.choose_position(place)
    allowed = FIVE.selector[place]
    told = page.model["state"]
    assert told["range"] == ("3" if "3" in allowed else allowed[0])
    assert told["position"] == place
    check_shows(panel, page)


@pytest.mark.parametrize("by_page", [False, True])
def test_every_element_is_applied_and_released(panel, page, by_page):
    for name in NAMES:
        start = panel.flow.applied
        for on in (name not in start, name in start):
            wanted = start | {name} if on else start - {name}
            if by_page:
                page.apply(*wanted)
            else:
                panel.apply(name, on)
            assert panel.flow.applied == wanted
            check_shows(panel, page)


def test_a_page_that_knows_no_range_is_told_the_one_that_elements_make(panel, page):
    page.apply(*FIVE.range("1 low").applied)
    (told,) = page.updates
    assert told["state"]["range"] == "1 low" and told["state"]["position"] == "L"
    check_shows(panel, page)
    page.apply("low brake")
    assert not page.updates
    assert panel.flow.range is None and panel.state["position"] is None


def test_the_words_say_what_was_released_and_applied(panel, page):
    panel.apply("low brake")
    assert panel.state["range"] == "1 low" and panel.state["position"] == "L"
    assert "Since range 1, the low brake was applied." in plain(panel)
    page.tell(load="coast")
    assert "Since range 1, the low brake was applied." in plain(panel)


@pytest.mark.parametrize(
    "name, load, front, low",
    [
        ("1", "drive", ["backs up", "front lock clutch"], ["holds", ""]),
        ("1 low", "coast", ["at rest", ""], ["at rest", ""]),
        ("R", "drive", ["backs up", "front lock clutch"], ["at rest", ""]),
        ("R", "coast", ["at rest", ""], ["backs up", "low brake"]),
        ("2", "drive", ["overruns", ""], ["holds", ""]),
    ],
)
def test_a_one_way_clutch_at_rest_backs_up_only_what_it_could_hold(
    panel, page, name, load, front, low
):
    """The low one-way clutch pushes the rear carrier forward and never backward: in
    reverse that carrier is pushed forward under power, and backward on coast."""
    panel.choose_range(name)
    panel.set_load(load)
    assert page.page()["one_ways"] == [front, low]
    check_shows(panel, page)


def test_coasting_in_second_brakes_nothing(panel, page):
    page.to_range("2", load="coast")
    assert page.page()["state"] == panel.flow.state == "freewheels"
    assert "holds" not in [states for states, _ in page.page()["one_ways"]]
    assert "no engine braking" in plain(panel)


def test_a_tie_up_names_the_fighters_and_the_crank_stays(panel, page):
    panel.turn_to(2)
    panel.choose_range("3")
    page.apply(*panel.flow.applied, *FIGHT)
    shown = page.page()
    assert shown["state"] == "tied up" and set(shown["fights"]) == panel.flow.conflict
    for name in panel.flow.conflict:
        assert name in plain(panel) and name in shown["stuck"]
    for turn in (lambda: panel.turn_to(3), lambda: page.tell(turns=[3, 1])):
        turn()
        assert "tied up, so the crank does not turn" in panel.status
        assert panel.turns == 2 and page.model["state"]["turns"] == [2, 1]
    panel.apply(FIGHT[0], False)
    panel.turn_to(3)
    assert panel.turns == 3
    check_shows(panel, page)


def test_what_was_turned_beside_a_tie_up_may_be_told_with_it(panel, page):
    page.apply(*panel.flow.applied, *FIGHT, turns=[5, 2])
    assert panel.flow.state == "tied up" and panel.turns == Fraction(5, 2)
    page.to_range("3", turns=[3, 1])
    assert panel.flow.state == "drives" and panel.turns == 3
    assert panel.status == ""


def test_neutral_has_no_ratio_and_no_output_turn(panel, page):
    panel.choose_range("N")
    assert "Neutral" in plain(panel) and page.page()["ratio"] is None
    check_shows(panel, page)
    panel.turn_output_once()
    assert panel.turns == 0 and "take a range that drives" in panel.status


# Teeth ----------------------------------------------------------------------------


def block(page, set_name="front"):
    """``{key: count}`` of the teeth that a page shows of a set."""
    sets = {one["name"]: one["counts"] for one in page.model["book"]["teeth"]["sets"]}
    return {one["key"]: one["value"] for one in sets[set_name]}


def verdicts(page):
    return page.model["book"]["teeth"]["verdicts"]


def chosen(page):
    return page.model["book"]["teeth"]["chosen"]


@pytest.mark.parametrize(
    "key, count, planet", [("sun", 32, 20), ("ring", 90, 27), ("sun", 34, 19)]
)
def test_teeth_follow_what_a_page_tells(panel, page, key, count, planet):
    filed = block(page)
    page.send(teeth={"front": {**filed, key: f" {count} "}})
    assert teeth(panel)[key] == block(page)[key] == count
    assert teeth(panel)["planet"] == planet and chosen(page) == OTHERS
    check_shows(panel, page)
    page.send(teeth={"front": {key: str(filed[key])}})
    assert panel.train == FIVE and block(page) == filed and chosen(page) == AS_FILED


def test_book_and_opening_of_other_teeth_come_in_one_message(panel, page):
    page.look(letters="projector")
    for act in (
        lambda: page.send(teeth={"rear": {"sun": "26"}}),
        lambda: panel.set_teeth({"rear": {"sun": 28}}),
        lambda: page.send(named="easy-count"),
    ):
        page.updates = []
        act()
        (told,) = page.updates
        assert {"book", "opening"} <= told.keys()
        key, view = key_of(panel.flow), "input/projector/part/0"
        assert set(told["opening"]["pages"]) == {key}
        assert set(told["opening"]["looks"]) == {f"{key}|{view}"}
        assert told["book"]["train"] == panel.book["train"]
    marks = {Bench(FIVE).book["train"], panel.book["train"]}
    assert len(marks) == 2, "other teeth are another book"


def test_what_other_teeth_leave_as_it_was_is_not_sent_again(panel, page):
    here = set(page.model["opening"]["pieces"])
    for planets in (3, 4, 3):
        panel.set_teeth({"front": {"planets": planets}})
        (look,) = page.model["opening"]["looks"].values()
        new = page.model["opening"]["pieces"].keys()
        assert look["set:front"]["kept"] in new
        assert not {look["set:rear"]["kept"], look["chart"]["live"]} & new
        assert pieces_of(look) <= new | here
        here = pieces_of(look)  # a page keeps no more than that
    page.send(hello=1, ask=[[key_of(panel.flow), VIEW]])
    (told,) = page.answers
    assert pieces_of(look) == told["pieces"].keys(), "a page opened anew gets all"


def test_an_odd_difference_rounds_the_planet_down_and_warns(panel, page):
    page.send(teeth={"front": {"sun": "33"}})
    assert teeth(panel) == {"sun": 33, "ring": 72, "planet": 19}
    assert any("⚠ front warns: ring 72 is not sun 33" in one for one in verdicts(page))
    page.send(teeth={"front": {"sun": "34"}})
    assert teeth(panel)["planet"] == 19
    assert any(
        one.startswith("✓ front fits: ring 72 = sun 34") for one in verdicts(page)
    )


def test_planets_fit_where_another_sun_has_a_half_tooth_over():
    panel = Bench(gl.load_train("four-range"))
    Page(panel).send(teeth={"double": {"ring": "102"}})
    assert panel.status == "" and teeth(panel, "double")["long-planet"] == 34


def test_planets_are_counted_whatever_a_named_set_could_carry():
    panel = Bench(FIVE.with_teeth({"front": {"sun": 60, "ring": 88}}))
    Page(panel).send(teeth={"front": {"planets": "12"}})
    assert panel.train.set("front").planets == 12 and panel.status == ""


BAD = ["0", "-4", "−4", "30.5", "abc", "", "100000", "5000", "1e3", "9" * 5000, "<b>x"]
BAD += [None, 30.5, True, [], {"sun": 3}]


@each("written", BAD)
def test_bad_teeth_are_said_and_the_book_stays(written):
    panel = Bench(FIVE)
    page = Page(panel)
    page.send(teeth={"front": {"sun": written}})
    (told,) = page.updates
    assert told.keys() == {"note"} and told["note"]["kind"] == "fault"
    assert panel.train == FIVE
    assert re.match("front .*(but it must be|does not fit)", panel.status)
    assert len(panel.status) < 300 and "fault" not in panel.status
    page.send(teeth={"front": {"sun": "36"}})
    check_shows(panel, page)


@each(
    "told",
    [
        "x",
        3,
        None,
        [],
        {"front": 3},
        {"front": []},
        {"reer": {}},
        {"rear": {"son": "3"}},
    ],
)
def test_what_are_no_teeth_is_said(told):
    panel = Bench(FIVE)
    page = Page(panel)
    page.send(teeth=told)
    assert page.updates[0].keys() == {"note"} and page.model["note"]["kind"] == "fault"
    assert "fault of its own" not in panel.status and panel.train == FIVE


@pytest.mark.parametrize("name", [AS_FILED, "easy-count"])
def test_named_teeth_are_taken_after_bad_ones(panel, page, name):
    page.send(named=name)
    good = panel.train
    page.send(teeth={"front": {"sun": "abc"}})
    assert panel.status
    page.send(named=name)
    assert panel.train == good and chosen(page) == name
    assert panel.status == f"The teeth are {name}."
    panel.choose_range("2")
    check_shows(panel, page)


def test_others_is_a_name_of_no_teeth(panel, page):
    page.send(named=OTHERS)
    assert panel.train == FIVE and "the list says “others” by itself" in panel.status
    for wrong in ("easy", 3, None, ["easy-count"]):
        page.send(named=wrong)
        assert panel.status.startswith("no named set of teeth") and panel.train == FIVE


def test_named_teeth_can_be_taken_again_after_a_change(panel, page):
    page.send(named="easy-count")
    assert panel.flow.ratio == Fraction(13, 4) and chosen(page) == "easy-count"
    page.send(teeth={"front": {**block(page), "sun": "36"}})
    assert teeth(panel)["sun"] == 36 and chosen(page) == OTHERS
    page.send(named="easy-count")
    assert teeth(panel) == {"sun": 30, "ring": 60, "planet": 15}
    page.send(named=AS_FILED)
    assert panel.train == FIVE
    check_shows(panel, page)


def test_teeth_set_from_python_are_those_of_the_page(panel, page):
    panel.set_teeth({"front": {"sun": 40}})
    assert block(page)["sun"] == 40
    page.send(teeth={"rear": {**block(page, "rear"), "sun": "26"}})
    assert teeth(panel)["sun"] == 40 and teeth(panel, "rear")["sun"] == 26


def test_the_largest_wheels_still_give_pages_of_bounded_size(panel, page):
    page.send(teeth={"front": {"sun": "9000", "ring": "10000"}})
    assert teeth(panel)["planet"] == 500 and not panel.status
    assert len(json.dumps(page.model["opening"])) < 3_000_000


# Turning --------------------------------------------------------------------------


def test_turning_is_told_both_ways(panel, page):
    page.tell(turns=[5, 4])
    assert panel.turns == Fraction(5, 4) and not page.updates
    panel.turn_to(Fraction(-1, 4))
    assert page.updates == [{"state": {**panel.state, "turns": [-1, 4]}}]
    page.tell(turns=[6, -4])
    assert panel.turns == Fraction(-1, 4) and "it must be a pair" in panel.status
    page.tell(turns=[6, 4])
    assert page.model["state"]["turns"] == [3, 2], "in lowest terms"
    check_shows(panel, page)


def test_to_one_output_turn_goes_on_from_where_it_is(panel, page):
    for turned in (Fraction(17, 6), Fraction(17, 3)):
        panel.turn_output_once()
        assert panel.turns == turned
    panel.choose_range("R")
    panel.turn_output_once()
    assert panel.turns == Fraction(17, 3) + Fraction(7, 2)
    check_shows(panel, page)


@pytest.mark.parametrize(
    "written, turns",
    [
        ("3 turns 55°", Fraction(227, 72)),
        ("3,154", Fraction(1577, 500)),
        ("−41/13", Fraction(-41, 13)),
        ("90°", Fraction(1, 4)),
        ("123456", 123456),
        ("999999999", MOST_TURNS),
        ("−999999999", -MOST_TURNS),
        (2.5, Fraction(5, 2)),
    ],
)
def test_turns_are_read_as_people_write_them(panel, page, written, turns):
    panel.turn_to(written)
    assert panel.turns == turns and panel.status == ""
    page.tell(predict=False)
    assert panel.status == "", "the page may tell them back"


@pytest.mark.parametrize("written", ["abc", "", "1.000,5", "1/0", "<b>", "9" * 500])
def test_turns_that_cannot_be_read_are_said(panel, page, written):
    panel.turn_to(1)
    panel.turn_to(written)
    way_out = "write it like 1000.5" if "," in written else "write it like"
    assert way_out in panel.status and page.model["note"]["kind"] == "fault"
    assert panel.turns == 1
    panel.turn_to("2")
    assert panel.turns == 2
    check_shows(panel, page)


def test_a_count_is_never_finer_than_a_page_can_hold(panel, page):
    panel.turn_to(Fraction(999_999 * 10**30 + 1, 10**30))
    assert max(map(abs, panel.state["turns"])) < 2**53
    page.tell(load="coast")
    assert panel.status == ""


# Predict first --------------------------------------------------------------------


def hides(page):
    """Whether nothing in sight gives the answer away: words, and what is shown."""
    panel, view = page.panel, page.panel.view
    flow, shown = panel.flow, plain(panel)
    key = f"{view['end']}/{view['letters']}/{view['colours']}/0"
    if f"hidden|{key}" not in page.looks:
        page.send(ask=[["hidden", key]])
    shown += json.dumps([page.pages["hidden"], page.looks[f"hidden|{key}"]])
    for picture in page.looks[f"hidden|{key}"].values():
        shown += page.pieces[picture["live"]]
    told = [f"ratio {number(flow.ratio)}", "while the input turns"]
    told += [exactly(abs(speed)) for speed in flow.speeds.values() if speed % 1]
    return page.model["state"]["answer"] == "" and not any(one in shown for one in told)


def test_predict_first_hides_until_it_was_said(panel, page):
    page.tell(predict=True)
    assert panel.hidden and hides(page) and not page.updates
    assert plain(panel) == (
        "Bench panel of Five-range bench unit. The answer is hidden until a prediction"
        " is made."
    )
    panel.say_prediction(FORWARD, "2,8")
    assert "Right, to an eighth" in answer(page) and not panel.hidden
    check_shows(panel, page)
    panel.turn_to(1)
    assert not panel.hidden, "turning asks no new prediction"
    panel.choose_range("R")
    assert panel.hidden and hides(page) and answer(page) == ""
    page.tell(predict=False)
    check_shows(panel, page)


def test_a_prediction_that_a_page_judged_shows_the_answer(panel, page):
    """It judges with the words of the page of this flow."""
    page.tell(predict=True, shown="", answer="")
    words = page.page()["judge"]["cases"][STUCK]
    page.tell(shown=key_of(panel.flow), answer=words)
    assert not panel.hidden and not page.updates and words.startswith("Not so")
    page.to_range("4")
    assert panel.hidden and panel.state["answer"] == ""
    assert page.model["state"]["answer"] == "", "the words were about another range"


def test_what_a_page_did_while_the_kernel_was_busy_comes_at_once(panel, page):
    key = key_of(gl.power_flow(FIVE, "4"))
    page.to_range("4", predict=True, shown=key, answer="Right.", turns=[1, 2])
    assert not page.updates and not panel.hidden and answer(page) == "Right."
    page.tell(shown="", answer="Right.")
    assert panel.state["answer"] == "" == page.model["state"]["answer"]


def test_every_verdict_of_a_page_is_the_one_of_the_library(panel, page):
    shown = page.page()["judge"]["cases"]
    for sense in (BACKWARD, NOTHING, STANDS, STUCK):
        panel.say_prediction(sense, "3")
        assert answer(page) == shown[sense]


def test_a_prediction_is_judged_and_one_that_cannot_be_read_is_said():
    panel = Bench(FIVE, "R", predict=True)
    page = Page(panel)
    panel.say_prediction(FORWARD, "abc")
    assert "write it like" in panel.status and hides(page) and panel.hidden
    panel.say_prediction(FORWARD)
    assert "no count is given" in panel.status and panel.hidden
    panel.say_prediction(STUCK, "abc")
    assert "Not so" in answer(page) and BACKWARD in answer(page)
    panel.choose_range("N")
    panel.say_prediction(NOTHING)
    assert "Right" in answer(page) and panel.flow.state == "neutral"


@pytest.mark.parametrize("name", ["1", "2"])
def test_nothing_is_predicted_before_somebody_chooses(name):
    panel = Bench(FIVE, name, predict=True)
    for nothing in ("", None):
        panel.say_prediction(nothing, 3)
        assert "nothing is predicted yet" in panel.status and panel.hidden
    panel.say_prediction("forwards", 3)
    assert "no prediction" in panel.status and panel.hidden
    panel.say_prediction(FORWARD, 3)
    assert not panel.hidden


@pytest.mark.parametrize(
    "name, said_so, count, words",
    [
        ("1", NO_BRAKING, None, "Right: no engine braking"),
        ("1", BRAKES, "2,8", "Not so: you said “the engine brakes"),
        ("1 low", BRAKES, "17/6", "Right, to an eighth of a turn: you said 2.833"),
        ("1 low", NO_BRAKING, None, "In truth: the engine brakes (the output turns"),
    ],
)
def test_coasting_is_predicted_by_who_brakes(name, said_so, count, words):
    panel = Bench(FIVE, name, predict=True)
    page = Page(panel)
    panel.set_load("coast")
    panel.say_prediction(said_so, count)
    assert words in answer(page) and not panel.hidden
    panel.set_load("drive")
    panel.say_prediction(said_so, count or 3)
    assert "the train is under power; predict again" in panel.status and panel.hidden


def test_other_teeth_are_predicted_again(panel):
    page = Page(panel)
    page.tell(predict=True)
    panel.say_prediction(FORWARD, 3)
    panel.set_teeth({"rear": {"sun": 26}})
    assert panel.hidden and answer(page) == ""


@pytest.mark.parametrize("predict", [1, "yes", None])
def test_predict_is_true_or_false(predict):
    with pytest.raises(ValueError, match=r"predict is .* but it must be True or False"):
        Bench(FIVE, predict=predict)


# Under a cover ---------------------------------------------------------------------

FIRST = "Answer <question> 2 first."


@pytest.fixture
def covered():
    made = Bench(FIVE, "3", covered=FIRST)
    assert made.hidden and hides(Page(made)) and made.status == ""
    return made


def test_a_covered_panel_says_what_comes_first(covered):
    assert covered.state["cover"] == FIRST
    assert plain(covered) == (
        "Bench panel of Five-range bench unit. The answer is hidden until it is asked"
        f" for. {FIRST}"
    )


@pytest.mark.parametrize("how", [{"covered": FIRST}, {"predict": True}])
def test_what_opens_hidden_is_complete(how):
    opening = Page(Bench(FIVE, "3", **how)).model["opening"]
    assert opening["pages"]["hidden"]["state"] == "hidden"
    look = opening["looks"][f"hidden|{VIEW}"]
    assert {"path", "set:front", "set:middle", "set:rear"} <= look.keys()
    for picture in look.values():
        assert {picture["live"], picture["kept"], picture["key"]} - {None} <= (
            opening["pieces"].keys()
        )


def test_a_covered_panel_stays_covered_whatever_is_changed(covered):
    page = Page(covered)
    covered.choose_range("1")
    page.tell(load="coast")
    page.tell(load="drive")
    covered.set_look(exact=True, pictures=["lever diagrams", "apply chart"])
    assert covered.hidden and hides(page)


@pytest.mark.parametrize("words", ["", "You said <2>; in truth 1.407."])
def test_what_is_covered_is_revealed_with_words(covered, words):
    page = Page(covered)
    covered.reveal(words)
    assert page.model["state"]["cover"] == "" and answer(page) == words
    check_shows(covered, page)
    assert gl.describe(covered.flow) in plain(covered)
    covered.turn_to(1)
    assert answer(page) == words
    covered.choose_range("4")
    assert page.model["state"]["answer"] == "", "the words were about another range"
    check_shows(covered, page)


def test_a_page_shows_it_anyway(covered):
    page = Page(covered)
    page.tell(cover="", shown=key_of(covered.flow), answer="")
    assert not covered.hidden and answer(page) == "" and not page.updates
    check_shows(covered, page)
    covered.cover()
    assert covered.hidden and page.model["state"]["cover"] == FIRST


def test_a_page_lays_no_cover_of_its_own(panel, page, covered):
    page.tell(cover="Mine.")
    assert not panel.hidden and "the sentence over it" in panel.status
    other = Page(covered)
    other.tell(cover="Mine.")
    assert covered.hidden and other.model["state"]["cover"] == FIRST


def test_another_train_is_covered_again(covered):
    covered.reveal()
    covered.take_train(FIVE)
    assert not covered.hidden, "the same train"
    covered.set_teeth({"front": {"sun": 40}})
    covered.take_train(FIVE)
    assert not covered.hidden and covered.train == FIVE, "only its filed teeth again"
    covered.take_train(FIVE.with_teeth({"rear": {"sun": 28, "ring": 84}}))
    assert covered.hidden and hides(Page(covered)) and covered.status == ""
    covered.reveal()
    check_shows(covered, Page(covered))


def test_teeth_set_by_hand_are_those_of_the_file_once_they_are_filed(panel, page):
    other = FIVE.with_teeth({"rear": {"sun": 28, "ring": 84}})
    panel.set_teeth({"rear": {"sun": 28, "ring": 84}})
    assert chosen(page) == OTHERS
    panel.take_train(other)
    assert chosen(page) == AS_FILED
    panel.set_teeth({"rear": {"sun": 30}})
    page.send(named=AS_FILED)
    assert panel.train == other


def test_a_train_with_other_parts_is_not_taken(panel, page):
    for wrong in (gl.load_train("lone-set"), "five-range", None):
        panel.take_train(wrong)
        assert panel.train == FIVE and page.model["note"]["kind"] == "fault"


def test_a_prediction_under_a_cover_is_revealed_with_it():
    panel = Bench(FIVE, "3", covered=FIRST, predict=True)
    page = Page(panel)
    panel.say_prediction(FORWARD, 2)
    assert panel.hidden, "the cover lies over it"
    panel.reveal("said")
    assert not panel.hidden and answer(page) == "said"
    panel.choose_range("4")
    assert panel.hidden and page.model["state"]["cover"] == ""


def test_words_can_be_said_on_an_open_panel(panel, page):
    panel.reveal("You said 2.8; in truth 2.833.")
    assert "You said 2.8" in answer(page)
    check_shows(panel, page)
    panel.reveal(3)
    assert "words belong here" in panel.status and "You said 2.8" in answer(page)


@pytest.mark.parametrize("sentence", [True, 3, None, ["Answer."]])
def test_a_cover_must_be_a_sentence(sentence):
    with pytest.raises(ValueError, match=r"covered is .* must be the sentence"):
        Bench(FIVE, covered=sentence)


# What changes nothing ---------------------------------------------------------------

IDLE = {
    "marks to the top": (lambda p: p.turn_to(0), "marks are at the top already"),
    "range before": (lambda p: p.step_range(-1), "Range P is the first one"),
    "range after": (lambda p: p.step_range(1), "Range 1 low is the last one"),
    "by hand": (lambda p: p.choose_range("by hand"), "“by hand” by itself"),
    "position": (lambda p: p.choose_position("by hand"), "by itself"),
    "turned there": (lambda p: p.turn_to(2), "input is at 2 turns already"),
    "backward": (lambda p: p.turn_to(-2), "input is at 2 turns backward already"),
    "the end": (lambda p: p.turn_to(10**7), "at 1000000 turns already"),
}
BEFORE = {
    "range before": lambda panel: panel.choose_range("P"),
    "range after": lambda panel: panel.choose_range("1 low"),
    "turned there": lambda panel: panel.turn_to(2),
    "backward": lambda panel: panel.turn_to(-2),
    "the end": lambda panel: panel.turn_to(MOST_TURNS),
}


@pytest.mark.parametrize("press", IDLE)
def test_a_press_that_changes_nothing_is_answered(panel, page, press):
    BEFORE.get(press, lambda panel: None)(panel)
    before, page.updates = panel.state, []
    act, words = IDLE[press]
    act(panel)
    (told,) = page.updates
    assert told.keys() == {"note"} and told["note"]["kind"] == "result"
    assert words in panel.status and panel.state == before
    panel.choose_range("2")
    panel.turn_to(1)
    check_shows(panel, page)


@pytest.mark.parametrize("by", [-1, 1])
def test_ranges_are_stepped_through(panel, page, by):
    names = list(FIVE.range_names)[::by]
    panel.choose_range(names[0])
    for name in names[1:]:
        panel.step_range(by)
        assert panel.flow.range == name
        check_shows(panel, page)


# How it is looked at ----------------------------------------------------------------

ALL = ["path", "set:front", "set:middle", "set:rear", "words"]


def test_a_view_changes_no_mechanics_and_goes_back(panel, page):
    before, told = panel.look, panel.state
    changes = {"end": "output", "letters": "projector", "colours": "role"}
    changes |= {"circulating": True, "exact": True, "class": True}
    for name, value in changes.items():
        for set_by in (lambda **part: page.look(**part), panel.set_look):
            set_by(**{name: value})
            assert panel.look == {**before, name: value} and panel.state == told
            check_shows(panel, page)
            set_by(**{name: before[name]})
            assert panel.look == before


@pytest.mark.parametrize(
    "named, ids",
    [
        (["end views"], ["set:front", "set:middle", "set:rear"]),
        (["stick diagram"], ["path"]),
        (["power path", "path"], ["path"]),
        (["apply chart", "lever diagrams", "levers"], ["chart", "levers"]),
        (["rear set", "words"], ["set:rear", "words"]),
        ((), []),
    ],
)
def test_pictures_go_by_their_names(panel, page, named, ids):
    panel.set_look(pictures=named)
    assert panel.look["pictures"] == page.model["view"]["pictures"] == ids
    opened = Bench(FIVE, pictures=named)
    assert opened.look["pictures"] == list(dict.fromkeys([*ids, "words"]))
    assert opened.look["given"] and not panel.look["given"]


def test_a_set_can_be_opened_alone():
    look = Bench(FIVE, set="rear").look
    assert look["alone"] == "set:rear" and look["given"] and look["pictures"] == ALL


def test_a_picture_is_alone_until_all_are_seen_again(panel, page):
    panel.set_look(alone="rear set")
    assert page.model["view"]["alone"] == "set:rear"
    panel.set_look(alone="")
    assert page.model["view"]["alone"] == ""


def test_unknown_pictures_and_views_are_named_with_the_nearest(panel, page):
    with pytest.raises(ValueError, match='did you mean "lever diagrams"'):
        Bench(FIVE, pictures=["lever diagram"])
    with pytest.raises(ValueError, match='write \\["path"\\]'):
        Bench(FIVE, pictures="path")
    before = panel.look
    for change, way_out in (
        ({"pictures": ["lever diagram"]}, 'did you mean "lever diagrams"'),
        ({"alone": "reer set"}, 'did you mean "rear set"'),
        ({"end": "outputs"}, 'did you mean "output"'),
        ({"colours": "roles"}, 'did you mean "role"'),
        ({"colors": "role"}, 'did you mean "colours"'),
        ({"exact": 1}, "True or False belongs here"),
    ):
        panel.set_look(**change)
        assert way_out in panel.status and panel.look == before
        assert page.model["note"]["kind"] == "fault"


HOSTILE_VIEWS = {
    "nothing": None,
    "text": "x",
    "empty": {},
    "end": {"end": "top"},
    "letters": {"letters": ["screen"]},
    "colours": {"colours": None},
    "switch": {"exact": 1},
    "picture": {"pictures": ["path", "chart2"]},
    "pictures": {"pictures": "path"},
    "many pictures": {"pictures": ["path"] * 5000},
    "nested": {"pictures": [["path"]]},
    "alone": {"alone": "set:x"},
    "more": {"more": 1},
}


@each("name", HOSTILE_VIEWS)
def test_a_view_that_cannot_be_is_said_and_the_last_one_told(name):
    panel, wrong = Bench(FIVE), HOSTILE_VIEWS[name]
    page, before = Page(panel), panel.look
    whole = isinstance(wrong, dict) and wrong
    page.update(view={**before, **wrong} if whole else wrong)
    assert panel.view == panel.look == before == page.model["view"]
    assert page.model["note"]["kind"] == "fault"
    assert "fault of its own" not in panel.status and len(panel.status) < 300
    assert Bench._remembered is None


def test_the_next_bench_opens_as_the_last_was_looked_at(panel, page):
    page.look(letters="projector", end="output", pictures=["levers", *ALL[1:]])
    look = Bench(FIVE).look
    assert look == panel.look
    other = Bench(gl.load_train("lone-set")).look
    assert other["letters"] == "projector" and other["end"] == "output"
    assert other["pictures"] == ["levers", "set:single", "words"], "all of its sets"


def test_what_the_caller_chose_is_not_overruled(page):
    page.look(letters="projector", pictures=["chart"])
    chosen = Bench(FIVE, pictures=["lever diagrams"])
    assert chosen.look["pictures"] == ["levers", "words"]
    assert chosen.look["letters"] == "projector", "but how they are seen"
    assert Bench(FIVE, set="rear").look["alone"] == "set:rear"
    Page(chosen).look(letters="screen")
    assert Bench(FIVE).look["pictures"] == ALL, "what was chosen is for one bench"
    assert Bench(FIVE).look["letters"] == "screen"


def test_what_another_train_cannot_show_is_not_remembered(page):
    page.look(pictures=["set:front"], alone="set:front")
    look = Bench(gl.load_train("lone-set")).look
    assert look["pictures"] == ["path", "set:single", "words"] and look["alone"] == ""
    assert Bench(FIVE).look["pictures"] == ["set:front"]


def test_a_look_from_python_is_for_one_bench(panel):
    panel.set_look(letters="projector")
    assert Bench(FIVE).look["letters"] == "screen"


# What a page tells --------------------------------------------------------------------

HOSTILE = {
    "nothing": None,
    "text": "drive",
    "a list": [1, 2],
    "empty": {},
    "more": {"more": 1},
    "applied text": {"applied": "3"},
    "applied far": {"applied": [99]},
    "applied negative": {"applied": [-1]},
    "applied half": {"applied": [0.5]},
    "applied true": {"applied": [True]},
    "applied nested": {"applied": [[0]]},
    "load": {"load": "up"},
    "load list": {"load": ["drive"]},
    "range": {"range": "9"},
    "range of others": {"range": "R"},
    "range number": {"range": 1},
    "position": {"position": "X"},
    "position of others": {"position": "R"},
    "position list": {"position": ["D"]},
    "turns": {"turns": 1},
    "turns of nothing": {"turns": [1, 0]},
    "turns of three": {"turns": [1, 2, 3]},
    "turns of text": {"turns": ["1", "2"]},
    "turns too far": {"turns": [10**9, 1]},
    "turns too fine": {"turns": [1, 10**12]},
    "turns half": {"turns": [0.5, 1]},
    "turns true": {"turns": [True, 1]},
    "predict": {"predict": "yes"},
    "cover": {"cover": 3},
    "cover list": {"cover": []},
    "shown": {"shown": None},
    "shown long": {"shown": "x" * 10**5},
    "answer": {"answer": ["x"]},
    "answer long": {"answer": "x" * 10**5},
}


@each("name", HOSTILE)
def test_a_state_that_cannot_be_is_said_and_the_last_one_told(name):
    panel, wrong = Bench(FIVE, "1"), HOSTILE[name]
    page, before = Page(panel), panel.state
    whole = isinstance(wrong, dict) and wrong
    page.update(state={**before, **wrong} if whole else wrong)
    assert panel.state == before == page.model["state"]
    assert page.model["note"]["kind"] == "fault"
    assert re.search("but it (must be|has) .*; the bench stays as it was", panel.status)
    assert len(panel.status) < 350
    page.to_range("2")
    check_shows(panel, page)


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=9),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=9,
)
OPENED = state.opened(FIVE, "1", covered=FIRST)
TOLD = telling.told(OPENED)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(st.sampled_from(sorted(TOLD)), JSON, max_size=4))
def test_whatever_is_told_is_a_state_or_refused_in_a_sentence(wrong):
    try:
        heard = telling.heard(OPENED, {**TOLD, **wrong})
    except ValueError as error:
        assert "the bench stays as it was" in str(error)
    else:
        shown = json.loads(json.dumps(telling.told(heard)))
        assert telling.told(telling.heard(heard, shown)) == shown


@settings(max_examples=30, deadline=None)
@given(st.lists(st.tuples(st.sampled_from(NAMES), st.booleans()), max_size=6))
def test_a_page_and_python_come_to_the_same(steps):
    by_python, by_page = Bench(FIVE), Bench(FIVE)
    page = Page(by_page)
    for name, on in steps:
        by_python.apply(name, on)
        applied = by_page.flow.applied
        page.apply(*(applied | {name} if on else applied - {name}))
    assert by_page.state == by_python.state == page.model["state"]


def test_a_page_tells_nothing_but_its_state_and_view(panel, page):
    page.update(book={"train": "x"}, opening=3, note={"words": "<b>"}, layout=None)
    assert panel.book == Bench(FIVE).book and panel.status == ""
    assert "pages" in panel.opening and panel.layout is not None


def test_state_and_view_may_come_together(panel, page):
    page.update(
        state={**panel.state, "load": "coast"}, view={**panel.view, "exact": True}
    )
    assert panel.flow.load == "coast" and panel.look["exact"] and not page.updates


def test_the_same_fault_is_news_each_time(panel, page):
    notes = []
    for _ in range(2):
        panel.choose_range("1 lov")
        notes.append(page.model["note"])
    assert notes[0] != notes[1] and notes[0]["words"] == notes[1]["words"]
    panel.choose_range("2")
    page.updates = []
    panel.choose_range("3")
    assert [told.keys() for told in page.updates] == [{"state"}], "nothing to say"


@pytest.mark.parametrize("content", [{}, {"press": 1}, "x", None, [], 3])
def test_a_message_that_says_nothing_is_no_news(panel, page, content):
    page._send({"method": "custom", "content": content})
    assert not page.updates and not page.answers


# What a page asks -----------------------------------------------------------------


def pieces_of(look):
    layers = ("live", "kept", "key")
    return {one[layer] for one in look.values() for layer in layers} - {None}


def test_the_first_picture_needs_no_question():
    page = Page(Bench(FIVE, "3"))
    key = "drive:1.3.4:3"
    assert page.pages[key]["title"] == "Range 3, under power"
    for which in (key, "hidden"):
        assert pieces_of(page.looks[f"{which}|{VIEW}"]) <= page.pieces.keys()


def test_what_is_asked_for_is_sent_once(panel, page):
    wanted = [["coast:3.4:1", VIEW], ["drive::", "output/projector/role/1"]]
    page.send(ask=wanted)
    assert not page.updates and len(page.answers) == 2, "each as soon as it is made"
    for (key, view), told in zip(wanted, page.answers, strict=True):
        assert told.keys() == {"train", "pages", "looks", "pieces"}
        assert told["train"] == panel.book["train"]
        assert told["pages"][key] == json.loads(
            json.dumps(flow_page(flow_of(FIVE, key)))
        )
        look = told["looks"][f"{key}|{view}"]
        assert pieces_of(look) <= page.pieces.keys()
    page.send(ask=wanted)
    assert [told["pieces"] for told in page.answers] == [{}, {}]
    assert page.answers[0]["looks"] and page.answers[0]["pages"]


def test_outlines_are_not_sent_again_for_other_elements(panel, page):
    panel.choose_range("3")
    page.send(ask=[["drive:1.3.4:3", VIEW], ["drive:3.4.5:4", VIEW]])
    third, fourth = (next(iter(told["looks"].values())) for told in page.answers)
    sets = [one for one in third if one.startswith("set:")]
    assert len(sets) == 3
    for one in sets:
        assert third[one]["kept"] == fourth[one]["kept"]
        assert third[one]["kept"] not in page.answers[1]["pieces"]
        assert third[one]["rates"] != fourth[one]["rates"] or one == "set:front"


def test_a_page_that_has_nothing_is_sent_everything(panel, page):
    key = key_of(panel.flow)
    page.send(ask=[[key, VIEW]])
    assert page.answers[0]["pieces"] == {}, "it opened with it"
    page.send(hello=1)
    assert not page.answers
    page.send(ask=[[key, VIEW]])
    (told,) = page.answers
    assert told["pieces"].keys() == pieces_of(told["looks"][f"{key}|{VIEW}"])


def test_the_hidden_page_is_asked_for_like_any_other(panel, page):
    page.send(ask=[["hidden", "output/screen/part/0"]])
    (told,) = page.answers
    assert told["pages"]["hidden"]["says"] == []
    assert "levers" not in told["looks"]["hidden|output/screen/part/0"]


NONSENSE = [
    "x", 3, None, [], ["drive::"], ["drive::", VIEW, 3], [None, None],
    [VIEW, "drive::"], ["drive:99:", VIEW], ["drive:4.3:1", VIEW],
    ["drive:3.3:", VIEW], ["up::", VIEW],
    ["drive:3.4:R", VIEW], ["drive:-1:", VIEW], [f"drive:{'9' * 5000}:", VIEW],
    ["drive::", "input/screen/part"], ["drive::", "top/screen/part/0"],
    ["drive::", "input/screen/part/2"], [["drive::"], VIEW], ["hidden", "hidden"],
]  # fmt: skip


@each("wrong", NONSENSE)
def test_nonsense_is_said_and_the_rest_is_answered(wrong):
    page = Page(Bench(FIVE))
    page.send(ask=[wrong, ["drive::", VIEW]])
    (told,) = page.answers
    assert told["pages"].keys() == {"drive::"}
    failed = ["|".join(map(str, wrong))] if isinstance(wrong, list) else []
    assert page.failed == failed, "it is not asked for in vain again"
    assert page.model["note"]["kind"] == "fault"
    assert "fault of its own" not in page.panel.status
    assert len(page.panel.status) < 300


@pytest.mark.parametrize("wrong", ["x", 3, None, {}, {"drive::": VIEW}])
def test_what_is_no_list_of_pages_is_said(panel, page, wrong):
    page.send(ask=wrong)
    assert not page.answers and "no list of pages" in panel.status


def test_pages_of_another_train_are_no_longer_wanted(panel, page):
    page.send(ask=[["drive::", VIEW]], train="another")
    assert not page.answers and not page.updates
    page.send(ask=[["drive::", VIEW]], train=panel.book["train"])
    assert len(page.answers) == 1


def test_so_many_pages_are_made_at_once_and_no_more(panel, page):
    wanted = [["drive::", VIEW]] * (MOST_ASKED + 3)
    page.send(ask=wanted)
    assert len(page.answers) == MOST_ASKED
    assert f"{MOST_ASKED + 3} pages at once, but {MOST_ASKED}" in panel.status


def test_other_teeth_have_pages_of_their_own(panel, page):
    key = key_of(gl.power_flow(FIVE, "1 low"))
    page.send(ask=[[key, VIEW]])
    before = page.answers[0]["pages"][key]
    panel.set_teeth({"rear": {"sun": 26}})
    page.send(ask=[[key, VIEW]])
    (told,) = page.answers
    assert told["train"] == panel.book["train"]
    assert told["pages"][key] != before
    here = page.pieces.keys() | page.model["opening"]["pieces"].keys()
    assert pieces_of(told["looks"][f"{key}|{VIEW}"]) <= here


# One way round --------------------------------------------------------------------

CHANGES = {
    "range": lambda panel: panel.choose_range("R"),
    "position": lambda panel: panel.choose_position("R"),
    "a step": lambda panel: panel.step_range(1),
    "element": lambda panel: panel.apply("direct clutch"),
    "load": lambda panel: panel.set_load("coast"),
    "teeth": lambda panel: panel.set_teeth({"rear": {"sun": 26}}),
    "a train": lambda panel: panel.take_train(FIVE.with_teeth({"rear": {"sun": 26}})),
    "turns": lambda panel: panel.turn_to(2),
    "an output turn": lambda panel: panel.turn_output_once(),
    "prediction": lambda panel: panel.say_prediction(STUCK),
    "words": lambda panel: panel.reveal("You said so."),
}


@pytest.mark.parametrize("change", CHANGES)
def test_a_verb_is_one_message_and_one_change_of_the_state(panel, page, change):
    CHANGES[change](panel)
    (told,) = page.updates
    pages = {"book", "opening"} if change in ("teeth", "a train") else set()
    # What is applied stays as it is with other teeth, and so may all of the state.
    assert told.keys() - {"state"} == pages and ("state" in told or pages)
    assert not panel.status
    page.updates = []
    CHANGES[change](panel)
    if change not in ("a step", "an output turn"):
        assert all(told.keys() == {"note"} for told in page.updates)


def test_what_is_equal_is_not_told_again(panel, page):
    page.tell()
    page.look()
    panel.choose_range(panel.flow.range)
    panel.cover()
    panel.set_look(exact=False)
    assert not page.updates


def planted(*args, **kwargs):
    raise RuntimeError("planted")


@contextmanager
def broken(monkeypatch, where, name):
    with monkeypatch.context() as patch:
        patch.setattr(where, name, planted)
        yield


@pytest.mark.parametrize(
    "where, name, act",
    [
        (state, "power_flow", lambda page: page.panel.choose_range("R")),
        (state, "power_flow", lambda page: page.to_range("R")),
        (state, "judge", lambda page: page.panel.say_prediction(STUCK)),
        (
            asked,
            "Draughtsman",
            lambda page: page.panel.set_teeth({"rear": {"sun": 26}}),
        ),
        (asked, "flow_page", lambda page: page.send(teeth={"rear": {"sun": "26"}})),
        (asked, "Draughtsman", lambda page: page.send(ask=[["coast::", VIEW]])),
        (bench_module.views, "heard_view", lambda page: page.look(exact=True)),
        (bench_module.views, "changed_view", lambda page: page.panel.set_look(end="x")),
        (bench_module, "counted", lambda page: page.send(teeth={})),
    ],
)
def test_a_fault_of_the_panel_is_said_and_all_stays(
    panel, page, monkeypatch, where, name, act
):
    before = panel.state, panel.look, panel.train, panel.book
    with broken(monkeypatch, where, name):
        act(page)
    assert "RuntimeError: planted" in panel.status
    assert page.model["note"]["kind"] == "fault"
    assert (panel.state, panel.look, panel.train, panel.book) == before
    assert (page.model["state"], page.model["view"]) == before[:2]
    panel.set_teeth({"rear": {"sun": 30}})
    page.to_range("2")
    check_shows(panel, page)


@pytest.mark.parametrize(
    "act, sentence",
    [
        (lambda panel: panel.choose_range("1 lov"), 'did you mean "1 low"?'),
        (lambda panel: panel.choose_position("X"), 'no selector position "X"'),
        (lambda panel: panel.choose_position(["D"]), "no selector position"),
        (lambda panel: panel.apply("low brak"), 'did you mean "low brake"?'),
        (lambda panel: panel.apply("low brak", False), 'did you mean "low brake"?'),
        (lambda panel: panel.set_load("cost"), 'did you mean "coast"?'),
        (lambda panel: panel.set_teeth({"reer": {}}), 'did you mean "rear"?'),
        (lambda panel: panel.turn_to(float("nan")), "nan is no number"),
        (lambda panel: panel.turn_to(None), "None is no number"),
    ],
)
def test_a_mistake_from_python_is_said_with_the_way_out(panel, page, act, sentence):
    before = panel.state
    act(panel)
    assert sentence in panel.status and panel.state == before
    assert page.model["note"]["kind"] == "fault"


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


def test_names_with_markup_are_text_in_every_picture():
    panel = Bench(marked_train())
    page = Page(panel)
    panel.choose_range("<mark>")
    assert '"<mark>"' in panel.status
    key = key_of(panel.flow)
    page.send(ask=[[key, view] for view in (VIEW, "output/class/role/0")])
    assert f"{MARKED} ring" in page.pages[key]["rates"]
    drawn = "".join(page.pieces.values())
    assert "<mark" not in drawn and "&lt;mark&gt;" in drawn


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
    page = Page(panel)
    check_shows(panel, page)
    for element in train.element_names:
        for on in (True, False):
            panel.apply(element, on)
            check_shows(panel, page)
    for row in train.range_names:
        panel.choose_range(row)
        check_shows(panel, page)
    if not train.range_names:
        panel.step_range(1)
        assert "the train has no ranges" in panel.status
    panel.turn_to(Fraction(1, 4))
    assert panel.turns == Fraction(1, 4) and panel.status == ""
    for changes in ({"letters": "class"}, {"end": "output"}, {"pictures": []}):
        panel.set_look(**changes)
        assert panel.status == ""
    written_out = all(one.record.written_out for one in train.sets)
    assert (page.model["book"]["teeth"] is None) == written_out


def test_the_panel_is_also_words(panel):
    bundle = panel._repr_mimebundle_()
    bundle = bundle[0] if isinstance(bundle, tuple) else bundle
    assert gl.describe(panel.flow) in bundle["text/plain"]
    assert "application/vnd.jupyter.widget-view+json" in bundle
    # What a notebook stores is what it began with, under the mark of its train.
    assert bundle[MIME] == {
        "train": panel.book["train"],
        "state": panel.state,
        "view": panel.view,
    }
    assert stored_book(FIVE)[0] == Bench(FIVE).book["train"]


def test_a_hidden_fault_and_a_plan_are_not_stored():
    fault = gl.faults(FIVE)[0]
    faulty = Bench(FIVE, fault=fault)
    assert MIME not in faulty._repr_mimebundle_()[0]
    assert MIME not in ClassWalk(FIVE)._repr_mimebundle_()[0]
    # A page that has the book of the sound train takes no page of it for this one.
    assert faulty.book["train"] != Bench(FIVE).book["train"]


def test_pieces_of_several_panels_can_stand_on_one_page():
    for panel in (Bench(FIVE), Bench(trains.three_range())):
        for svg in panel.opening["pieces"].values():
            assert ' id="' not in svg and svg.startswith("<svg")


def test_a_panel_that_is_closed_or_nobody_sees_still_has_its_verbs(panel, page):
    panel.close()
    panel.choose_range("2")
    panel.set_teeth({"rear": {"sun": 26}})
    page.send(ask=[["x", VIEW]])
    assert panel.flow.range == "2" and "is no state of the train" in panel.status


def test_an_unknown_train_range_or_set_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match='did you mean "1 low"'):
        Bench(FIVE, "1 lov")
    with pytest.raises(ValueError, match='no range "nonsense"; known: "P", "R"'):
        Bench(FIVE, "nonsense")
    with pytest.raises(ValueError, match='did you mean "rear"'):
        Bench(FIVE, set="reer")
    with pytest.raises(ValueError, match=r'gl\.load_train\("five-range"\)'):
        Bench("five-range")


# Front ends ---------------------------------------------------------------------------

OWN = re.compile(r"^(?:export )?(?:async )?(?:const|let|function\*?|class) (\w+)", re.M)


@pytest.mark.parametrize("panel_of", [Bench, Front])
def test_a_front_end_is_one_module_that_keeps_its_keys(panel_of):
    """Two of one name in a module would be no module."""
    text = panel_of._esm if isinstance(panel_of._esm, str) else str(panel_of._esm)
    names = OWN.findall(text)
    assert len(names) == len(set(names)) and names.count("keepKeys") == 1
    assert len(re.findall(r"\bkeepKeys\(\w+\)", text)) >= 2, "it is called, too"
    assert text.count("export default") == 1
