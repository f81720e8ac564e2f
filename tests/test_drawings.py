"""What every drawing keeps: labels apart and large, contrast, sentences, words."""

import hashlib
import inspect
import os
import re
import subprocess
import sys
import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache, partial
from itertools import count, islice
from pathlib import Path
from time import process_time

import logs
import pytest
from loops import each
from matplotlib.backends.backend_agg import FigureCanvasAgg
from scene_checks import (
    CHECKS,
    TURNS,
    beyond,
    cut_words,
    faint,
    kinked,
    odd_key,
    one_look_each,
    outside,
    overlaps,
    small_letters,
    struck,
    too_wide,
    touching,
    wordless,
)
from trains import make_train, simple

import gearlab as gl
from gearlab import draw
from gearlab.base.frozenmap import FrozenMap
from gearlab.draw.kit import style
from gearlab.draw.kit.scene import Scene
from gearlab.draw.kit.shapes import Circle, Group, Line, Text, text_boxes
from gearlab.draw.kit.style import CONTEXTS
from gearlab.draw.stick.diagram import draw_stick
from gearlab.lab.mark.progress import Standing
from gearlab.lab.mark.summary import draw_summary
from gearlab.say.glossary import glossary, phrases, train_words
from gearlab.train.gearset import GearSet
from gearlab.train.train import Brake, Range, Train

HERE = Path(__file__).parent
ENDS, LOADS = ("input", "output"), ("drive", "coast")


@dataclass(frozen=True, kw_only=True)
class Drawing:
    """A row of the table: what it is drawn of, and how its scenes are asked for.

    `draw` takes what it is drawn of, and the looks: end, context, colour_by, words.
    """

    of: str  # "flow", "train", "shift", "log", or "itself", which asks for nothing
    draw: Callable
    colourings: tuple[str, ...] = ("part",)


def asked(function, *given, look, **more):
    """The drawing, with those of the looks that it knows."""
    known = inspect.signature(function).parameters
    return function(*given, **{k: v for k, v in look.items() if k in known}, **more)


def of_sets(function, flow, look, **more):
    """A drawing of each gear set of a flow's train."""
    return [
        asked(function, flow, one.name, look=look, **more) for one in flow.train.sets
    ]


def of_all(function, what, look, **more):
    """One drawing of a flow or a train."""
    return [asked(function, what, look=look, **more)]


def of_loads(function, train, look, **more):
    """A drawing of a train under power, and another of it coasting."""
    return [asked(function, train, look=look, load=load, **more) for load in LOADS]


def plain_stick(train, look):
    """The stick diagram that tells of no range."""
    flow = gl.power_flow(train, applied=())
    return of_all(draw_stick, flow, look, power=False)


def half_section(train, look):
    """The section that shows how to read; it is of a train of its own."""
    return [asked(draw.draw_half_section, look=look)]


def of_log(log, look, **more):
    """A picture of a road log, with a moment marked."""
    return [asked(draw.draw_log, log, look=look, at=2, **more)]


def of_shift(function, steps, look):
    """A drawing of a shift from one range to the next."""
    train, before, after = steps
    return [asked(function, train, before, after, look=look)]


DRAWINGS = {
    "end view": Drawing(
        of="flow",
        draw=partial(of_sets, draw.draw_end_view),
        colourings=("part", "role", "paint"),
    ),
    "back row": Drawing(of="flow", draw=partial(of_sets, draw.draw_end_view, big=True)),
    "lever": Drawing(of="flow", draw=partial(of_sets, draw.draw_lever)),
    "levers": Drawing(
        of="flow",
        draw=partial(of_all, draw.draw_levers),
        colourings=("part", "role"),
    ),
    "torques": Drawing(of="flow", draw=partial(of_all, draw.draw_levers, torques=True)),
    "lever ranges": Drawing(of="train", draw=partial(of_loads, draw.draw_lever_ranges)),
    "apply chart": Drawing(of="train", draw=partial(of_loads, draw.draw_apply_chart)),
    "blank chart": Drawing(
        of="train", draw=partial(of_all, draw.draw_apply_chart, blank=True)
    ),
    "product table": Drawing(of="train", draw=partial(of_all, draw.draw_product_table)),
    "symptom table": Drawing(of="train", draw=partial(of_all, draw.draw_symptom_table)),
    "speed chart": Drawing(of="train", draw=partial(of_loads, draw.draw_speed_chart)),
    "shift strip": Drawing(of="shift", draw=partial(of_shift, draw.draw_shift_strip)),
    "stick": Drawing(
        of="flow",
        draw=partial(of_all, draw_stick),
        colourings=("part", "role", "paint"),
    ),
    "circulating": Drawing(
        of="flow",
        draw=partial(of_all, draw_stick, circulating=True),
        colourings=("role", "part"),
    ),
    "plain stick": Drawing(of="train", draw=plain_stick),
    "half section": Drawing(of="itself", draw=half_section),
    "road log": Drawing(of="log", draw=of_log),
    "plain log": Drawing(of="log", draw=partial(of_log, plain=True)),
    "bench": Drawing(of="flow", draw=partial(of_all, draw.draw_bench)),
}


def one_set(kind, held, input, output, planets=None, **teeth):
    """A train of one set of a kind, with one range."""
    keys = {key.replace("_", "-"): count for key, count in teeth.items()}
    return Train(
        name=f"One {kind} set",
        input=f"single {input}",
        output=f"single {output}",
        sets=(
            GearSet(name="single", kind=kind, teeth=FrozenMap(keys), planets=planets),
        ),
        brakes=(Brake(name="holding brake", member=f"single {held}"),),
        ranges=(
            Range(name="low", applied=("holding brake",)),
            Range(name="open", applied=()),
        ),
    )


SET_BY_SET = ("end view", "back row", "lever")
TRAINS = {name: gl.load_train(name) for name in gl.train_names()} | {
    "meshed-planet": one_set(
        "meshed-planet",
        "ring",
        "sun",
        "carrier",
        planets=6,
        sun=30,
        inner_planet=18,
        outer_planet=20,
        ring=90,
    ),
    "stepped-planet": one_set(
        "stepped-planet",
        "sun",
        "carrier",
        "ring",
        sun=30,
        sun_planet=24,
        ring_planet=18,
        ring=72,
    ),
    "differential": one_set("differential", "left", "carrier", "right", side=16),
}


# Combinations beside the ranges, for states that no range has.
MORE = {
    "Five-range bench unit": {
        "nothing applied": (),
        "tied up": ("overdrive brake", "front lock clutch", "low brake"),
    },
    "Lone set": {
        "shared": (
            "sun input clutch",
            "carrier input clutch",
            "ring input clutch",
            "sun output clutch",
        )
    },
}


def subjects(of, train):
    """(name, how to get what a drawing is drawn of under a load), one by one."""
    if of == "train":
        yield "whole", lambda load: train
    elif of == "itself":
        if train.name == "Lone set":  # once is enough
            yield from ((turn, lambda load: None) for turn in ("first", "second"))
    elif of == "log":
        every = logs.drawn_logs() if train == logs.TRAIN else {}
        yield from ((name, lambda load, log=log: log) for name, log in every.items())
    elif of == "shift":
        for row in train.ranges:
            if row.after:
                steps = train, row.after, row.name
                yield f"{row.after} to {row.name}", lambda load, steps=steps: steps
    else:
        for name in train.range_names:
            yield name, lambda load, name=name: gl.power_flow(train, name, load=load)
        for state, names in MORE.get(train.name, {}).items():
            flow = gl.power_flow(train, applied=names)
            yield state, lambda load, flow=flow: flow


def cases(drawing, train, words=FrozenMap(), sparse=1):
    """(name, scene): all of a train in every context; the other looks take turns.

    Where `sparse` is more than 1, only the first of so many of them.
    """
    turn = count()
    for name, subject in subjects(drawing.of, train):
        for context in CONTEXTS:
            at = next(turn)
            if at % sparse:
                continue
            at //= sparse
            load, end = LOADS[at % 2], ENDS[at // 2 % 2]
            colour_by = drawing.colourings[at // 4 % len(drawing.colourings)]
            look = {"context": context, "end": end, "colour_by": colour_by}
            called = f"{name}, {load}, {context}, {end} end, by {colour_by}"
            for scene in drawing.draw(subject(load), look | {"words": words}):
                yield called, scene


@lru_cache(maxsize=1)
def scenes(kind, train_name):
    """All cases of a drawing, kept while they are checked."""
    return tuple(cases(DRAWINGS[kind], TRAINS[train_name]))


@pytest.mark.parametrize("kind", DRAWINGS)
def test_scenes(kind):
    faults = {
        f"{check.__name__}: {train}, {case}: {fault}"
        for train in TRAINS
        for check in CHECKS
        for case, scene in scenes(kind, train)
        for fault in check(scene)
    }
    assert not faults


# Each check sees what it is there for -----------------------------------------------


def scene_of(*shapes, alt="Speed 1.5.", context="screen", width=200):
    return Scene(width=width, height=99, shapes=shapes, alt=alt, context=context)


def label(text, x=9, y=40, **more):
    return Text(x=x, y=y, text=text, size=more.pop("size", 16), **more)


PLATE = Circle(x=40, y=40, r=30, role="ring mark")
GOOD = scene_of(
    Circle(x=100, y=50, r=45, role="sun rim"),
    label("+1.50", x=70, y=45),
    Line(points=((60, 60), (140, 60)), role="scale"),
)
SIGN = Circle(x=100, y=35, r=9, role="applied")
MINUS = label("−", anchor="middle")
HOLDS = Circle(x=150, y=35, r=9, role="holds")
KEY = Group(shapes=(Circle(x=20, y=80, r=9, role="applied"),), key=True)


@each("check", CHECKS, lambda check: check.__name__)
def test_a_good_scene_has_no_fault(check):
    assert not list(check(GOOD))


@pytest.mark.parametrize(
    "check, scene, fault",
    [
        (overlaps, scene_of(label("one"), label("two", x=30)), "overlap"),
        (small_letters, scene_of(label("one"), context="projector"), "16 px"),
        (outside, scene_of(label("a long text", x=150)), "is outside"),
        (outside, scene_of(label("one", y=9)), "is outside"),
        (too_wide, scene_of(width=900), "900 px wide"),
        (cut_words, scene_of(label("intermed…")), "is cut"),
        (
            struck,
            scene_of(label("one"), Line(points=((0, 35), (90, 35)), role="scale")),
            "has scale through it",
        ),
        (
            struck,
            scene_of(Line(points=((20, 0), (20, 90)), role="case"), label("one")),
            "has case through it",
        ),
        (struck, scene_of(replace(PLATE, x=0, r=20), label("one")), None),
        (
            struck,
            scene_of(replace(PLATE, x=0, r=20, role="ring rim"), label("one")),
            "has ring rim through it",
        ),
        (faint, scene_of(PLATE, label("one")), 'one" is faint on #000000'),
        (faint, scene_of(Circle(x=9, y=9, r=5, role="applied")), None),
        (beyond, scene_of(Circle(x=5, y=40, r=9, role="case")), "leaves the picture"),
        (
            kinked,
            scene_of(
                Line(points=((0, 9), (0, 90)), role="axis"),
                Line(points=((9, 9), (9, 50), (40, 90)), role="range 3"),
            ),
            "has a kink",
        ),
        (odd_key, scene_of(KEY), "explains applied, which is not drawn"),
        (odd_key, scene_of(KEY, SIGN, HOLDS), "the key lacks holds"),
        (odd_key, scene_of(KEY, SIGN, HOLDS, label("holds", x=99)), None),
        (odd_key, scene_of(KEY, SIGN, label("+", x=99)), 'the key lacks "+"'),
        (
            touching,
            scene_of(SIGN, label("−", x=82, anchor="middle")),
            '"−" touches the next sign',
        ),
        (touching, scene_of(SIGN, label("−", x=60, anchor="middle")), None),
        (wordless, scene_of(alt="no sentence"), "is no sentence"),
        (wordless, scene_of(label("1.25")), '1.25 of "1.25" is not in'),
        (wordless, scene_of(label("1.2"), alt="Speed 1.234."), None),
    ],
)
def test_each_check_sees_its_fault(check, scene, fault):
    found = list(check(scene))
    assert bool(found) == bool(fault)
    assert not fault or fault in found[0]


def test_a_covered_line_strikes_no_text():
    line = Line(points=((0, 35), (90, 35)), role="case")
    bore = Circle(x=20, y=35, r=30, role="bore")
    assert not list(struck(scene_of(line, bore, label("one"))))
    assert list(struck(scene_of(bore, line, label("one"))))


def test_looks_that_are_alike_are_seen(monkeypatch):
    scene = scene_of(Line(points=((0, 35), (90, 35)), role="held line"))
    assert not list(one_look_each(scene))
    monkeypatch.setitem(style._LINES, "held", 2.4)
    monkeypatch.setitem(style.PARTS, "held", style.PARTS["ring"])
    style.style.cache_clear()
    assert list(one_look_each(scene)) == ["ring and held look alike"]
    monkeypatch.undo()
    style.style.cache_clear()


def test_faint_lines_are_seen(monkeypatch):
    scene = scene_of(Line(points=((0, 35), (90, 35)), role="scale"))
    assert not list(faint(scene))
    pale = style.style("scale")
    pale = replace(pale, stroke="#BBBBBB")
    monkeypatch.setattr("scene_checks.style", lambda role, context: pale)
    assert list(faint(scene)) == ["scale is faint on white"]


# Other languages ---------------------------------------------------------------------


def longer(text):
    """A text in a language of our own, where every word is longer."""
    return re.sub(r"[^\W\d_]{2,}", lambda word: f"{word.group()}uz", text)


def every_text(train):
    """All that a list of words offers for a train."""
    return (*(one.word for one in glossary()), *phrases(), *train_words(train))


@lru_cache(maxsize=1)
def longer_words(train):
    """The language of :func:`longer`, as an instructor fills it in."""
    return FrozenMap({text: longer(text) for text in every_text(train)})


def untranslated(scene):
    """A text with an English word in it."""
    for text, _ in text_boxes(scene):
        # The letters of a gear, such as "LS", are no words.
        words = re.findall(r"(?!\b[A-Z]{2}\b)[^\W\d_]{2,}", text)
        if not all(word.endswith("uz") for word in words):
            yield f'"{text}" is in English'


@each("train_name", TRAINS)
@pytest.mark.parametrize("kind", DRAWINGS)
def test_drawings_in_another_language(kind, train_name):
    train = TRAINS[train_name]
    faults = {
        f"{case}: {fault}"
        for case, scene in cases(DRAWINGS[kind], train, longer_words(train), sparse=2)
        for check in (untranslated, overlaps, outside, cut_words)
        for fault in check(scene)
    }
    assert not faults


def test_every_phrase_of_the_list_is_drawn():
    drawn = " "
    for train in TRAINS.values():
        for drawing in DRAWINGS.values():
            for _, scene in cases(drawing, train, longer_words(train)):
                drawn += " ".join(text for text, _ in text_boxes(scene)) + " "
    others = words_of_a_plot() | words_of_a_log() | words_of_a_summary()
    drawn += " ".join(map(longer, others))
    assert not [phrase for phrase in phrases() if longer(phrase) not in drawn]


class Asked(Mapping):
    """Words that keep what was looked up, and make it longer."""

    def __init__(self):
        self.texts = set()

    def __contains__(self, text):
        self.texts.add(text)
        return True

    def __getitem__(self, text):
        self.texts.add(text)
        return longer(text)

    def __iter__(self):
        return iter(())

    def __len__(self):
        return 0


def words_of_a_plot():
    """What a plot of ratios looks up; of counts that fit, and of some that do not."""
    words, train = Asked(), TRAINS["five-range"]
    for counts in (range(24, 37), range(25, 200, 7)):
        draw.plot_ratios(train, "front", "sun", counts, words=words)
    return words.texts


def words_of_a_log():
    """What a plot of a road log looks up, beside what is drawn of one."""
    words = Asked()
    draw.plot_log(logs.road_logs()["slips"], words=words)
    return {text for text in words.texts if not re.search(r"\d", text)}


def words_of_a_summary():
    """What a student's summary looks up, beside titles and numbers."""
    words, title = Asked(), "Lab 1"
    for state in ("not begun", "begun", "done", "cannot be read"):
        one = Standing(lab="1", title=title, level=1, state=state, questions=3)
        draw_summary((one,), ("ana",), "A", words=words)
    return {text for text in words.texts if not re.search(r"\d", text)}


@pytest.mark.parametrize(
    "asked_for", [words_of_a_plot, words_of_a_log, words_of_a_summary]
)
def test_list_has_the_words_of_plots_and_summaries(asked_for):
    train = TRAINS["five-range"]
    names = {*train.range_names, *train.body_of}
    assert not asked_for() - names - set(every_text(train))


# What a drawing is given --------------------------------------------------------------

FIVE = TRAINS["five-range"]
SECOND = gl.power_flow(FIVE, "2")
OF_FLOW = (draw_stick, draw.draw_bench, draw.draw_levers)
OF_SET = (draw.draw_end_view, draw.draw_lever)
OF_TRAIN = (
    draw.draw_lever_ranges,
    draw.draw_apply_chart,
    draw.draw_product_table,
    draw.draw_speed_chart,
    draw.draw_symptom_table,
)
WRONG = (None, 3, "five-range", ["front"], {"train": 1}, object())


def test_what_is_offered_is_drawings_and_painters():
    """No helper of a page's styling stands among them."""
    painters = {"save", "to_figure", "to_img", "to_svg"}
    others = {"Scene", "folded", "plot_log", "plot_ratios"}
    drawings = {name for name in draw.__all__ if name.startswith("draw_")}
    assert set(draw.__all__) - drawings == painters | others


def one_sentence(call, *given, **more):
    """The sentence of the ValueError that a call raises; it stays on one line."""
    with pytest.raises(ValueError) as found:
        call(*given, **more)
    text = str(found.value)
    assert "\n" not in text and len(text) < 300
    return text


@each("wrong", [*WRONG, FIVE])
def test_what_is_no_flow_is_refused_in_one_sentence(wrong):
    calls = [partial(function, wrong) for function in OF_FLOW]
    calls += [partial(function, wrong, "front") for function in OF_SET]
    for call in calls:
        assert "gl.power_flow(train" in one_sentence(call)


@each("wrong", [*WRONG, SECOND])
def test_what_is_no_train_is_refused_in_one_sentence(wrong):
    calls = [partial(function, wrong) for function in OF_TRAIN]
    calls.append(partial(draw.draw_shift_strip, wrong, "2", "3"))
    calls.append(partial(draw.plot_ratios, wrong, "front", "sun", range(30, 40)))
    for call in calls:
        assert "gl.load_train(" in one_sentence(call)


@each("words", [None, "de", ["sun"], {"sun": 3}, {3: "sun"}])
def test_what_are_no_words_is_refused_in_one_sentence(words):
    calls = [partial(function, SECOND) for function in OF_FLOW]
    calls += [partial(function, SECOND, "front") for function in OF_SET]
    calls += [partial(function, FIVE) for function in OF_TRAIN]
    calls += [
        partial(draw.draw_shift_strip, FIVE, "2", "3"),
        draw.draw_half_section,
        partial(draw.plot_ratios, FIVE, "front", "sun", range(30, 40)),
    ]
    for call in calls:
        assert "read_words" in one_sentence(call, words=words)


@pytest.mark.parametrize(
    "wrong", [None, 3, "x", SECOND, FIVE], ids=lambda one: type(one).__name__
)
def test_what_is_no_picture_is_refused_in_one_sentence(wrong, tmp_path):
    save = partial(draw.save, path=tmp_path / "one.png")
    for call in (save, draw.to_figure, draw.to_svg, draw.to_img):
        assert "draw_… function" in one_sentence(call, wrong)
    for path in (None, 3, ["one.png"]):
        assert "a path is a text" in one_sentence(draw.save, GOOD, path)
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize("kind", ["png", "pdf", "svg"])
def test_a_plot_is_saved_like_a_picture(kind, tmp_path):
    paths = [tmp_path / f"{name}.{kind}" for name in ("one", "two")]
    for path in paths:
        plot = draw.plot_ratios(FIVE, "front", "sun", range(30, 40))
        assert draw.save(plot, path) == path
    one, two = (path.read_bytes() for path in paths)
    assert one == two
    assert one.startswith({"png": b"\x89PNG", "pdf": b"%PDF", "svg": b"<svg"}[kind])


# Names as long as they come -----------------------------------------------------------

# Letters: a member's name, its set's with its own behind it, may have a hundred.
LONG = 88


def long_named(joint):
    """A train whose every name is as long as it may be, of one word or of many."""

    def name(number):
        return (f"n{number}" + joint.join(["", *["unusually"] * 20]))[:LONG].strip()

    front, rear = simple(name(1), 30, 72), simple(name(2), 24, 72)
    drum, shaft = f"{front.name} ring", name(5)
    return make_train(
        front,
        rear,
        name=name(0),
        input=name(3),
        output=name(4),
        shafts={
            name(3): [f"{front.name} sun"],
            name(4): [f"{rear.name} carrier"],
            shaft: [f"{front.name} carrier", f"{rear.name} sun"],
        },
        brakes={name(6): drum, name(7): f"{rear.name} ring"},
        clutches={name(8): (name(3), shaft), name(9): (f"{rear.name} ring", shaft)},
        one_way={name(10): (drum, "case")},
        ranges={name(11): [name(6), name(7)], name(12): [name(8), name(7)]},
    )


@each("joint", ["", " "], repr)
@pytest.mark.parametrize("kind", [kind for kind in DRAWINGS if kind != "half section"])
def test_the_longest_names_are_drawn_soon_and_apart(kind, joint):
    train = long_named(joint)
    before, after = train.range_names
    for context in CONTEXTS:
        what = {
            "flow": gl.power_flow(train, before),
            "train": train,
            "shift": (train, before, after),
            "log": gl.make_log(train, drive=[(before, 2), (after, 2)]),
        }[DRAWINGS[kind].of]
        start = process_time()
        look = {"context": context, "words": FrozenMap()}
        scenes = list(DRAWINGS[kind].draw(what, look=look))
        assert process_time() - start < 2
        for scene in scenes:
            for check in (overlaps, outside, beyond, small_letters):
                assert not list(check(scene))
            if not joint:
                shown = [text for text, _ in text_boxes(scene) if "unusually" in text]
                assert all("…" in text for text in shown)
                assert any(name in scene.alt for name in names_in(train))


def names_in(train):
    """The names of a train that alt sentences write; of sets with a capital."""
    sets = [one.name for one in train.sets]
    return {*train.body_of, train.name, *sets, *(n[:1].upper() + n[1:] for n in sets)}


# The same every time -----------------------------------------------------------------


def digest():
    """One number for the pictures and sentences of a range of every train."""
    found = hashlib.sha256()
    for train in TRAINS.values():
        for drawing in DRAWINGS.values():
            for case, scene in cases(drawing, train, sparse=20):
                found.update(f"{case} {draw.to_svg(scene, TURNS)} {scene.alt}".encode())
    return found.hexdigest()


def test_drawings_are_the_same_in_every_process():
    code = f"import sys; sys.path.insert(0, {str(HERE)!r})\n"
    code += "from test_drawings import digest; print(digest())"
    found = set()
    for seed in "12":
        environment = {**os.environ, "PYTHONHASHSEED": seed}
        result = subprocess.run(
            [sys.executable, "-c", code],
            env=environment,
            capture_output=True,
            encoding="utf-8",
            check=True,
        )
        found.add(result.stdout)
    assert len(found) == 1


# The bench is for a printed page, and not drawn anew in its place.
IN_PLACE = [kind for kind, row in DRAWINGS.items() if row.of == "flow"]
IN_PLACE.remove("bench")


@pytest.mark.parametrize("kind", IN_PLACE)
def test_pages_do_not_jump(kind):
    """A drawing of a flow is equally large in every state."""
    for train in TRAINS.values():
        sizes = {}
        for case, scene in cases(DRAWINGS[kind], train):
            look = scene.alt.split()[0] if kind in SET_BY_SET else "", case.split()[-1]
            found = sizes.setdefault((*look, scene.context), set())
            found.add((scene.width, scene.height))
        assert all(len(found) == 1 for found in sizes.values()), (train.name, sizes)


@pytest.mark.parametrize("kind", DRAWINGS)
def test_matplotlib_paints_them_all(kind):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for train_name in ("five-range", "six-range", "lone-set"):
            for _, scene in islice(cases(DRAWINGS[kind], TRAINS[train_name]), 1):
                FigureCanvasAgg(draw.to_figure(scene, TURNS)).draw()
