"""What the notebooks say: words explained before they are used, one word for a thing.

A word of the glossary counts as explained where it first stands alone in bold type in a
sentence, or where it is a link to the glossary.
"""

import re
from functools import cache

import pytest
from logs import road_logs
from loops import each
from notebook_text import (
    CORE_PATHS,
    GLOSSARY,
    LABS,
    PATHS,
    asked,
    cells,
    practice,
    sections,
)

import gearlab as gl
from gearlab.bench.book import cover
from gearlab.panels import Desk, LogPanel, Prepare, Progress
from gearlab.panels.ticking import NONE_OF_THEM
from gearlab.say.setupcard import DRUM_RULE

LINK = re.compile(r"\[([^\]]*)\]\(([^)]*)\)")
BOLD = re.compile(r"\*\*([^*]+?)\*\*")
EXPLAINED, END = "\x01", "\x02"
WORDS = sorted((one.word for one in gl.glossary()), key=len, reverse=True)
PATTERN = re.compile(
    rf"{EXPLAINED}?\b({'|'.join(map(re.escape, WORDS))})(?:e?s)?\b", re.IGNORECASE
)
# Names of parts and sets hold words of the glossary, and are names all the same.
NAMES = sorted(
    {
        name
        for train in map(gl.load_train, ("lone-set", "three-range", "five-range"))
        for name in (*train.by_name, *train.shafts, *train.range_names)
        if " " in name
    },
    key=len,
    reverse=True,
)
NAMED = re.compile("|".join(map(re.escape, NAMES)), re.IGNORECASE)


def marked(text):
    """Prose with explained words marked, without other links and code."""
    text = re.sub(r"`[^`]*`", "", text)
    text = LINK.sub(
        lambda one: f"{EXPLAINED}{one[1].strip('*')}{END}" * one[2].endswith(GLOSSARY),
        text,
    )
    return BOLD.sub(lambda one: f"{EXPLAINED}{one[1]}{END}", text)


def prose(path):
    """What a student reads in a notebook, in order: texts, and what is asked."""
    lab = next((name for name, own in LABS.items() if own == path), None)
    for kind, source in cells(path)[1:]:
        if kind == "markdown":
            yield from marked(source).splitlines()
        for topic in asked(source) if lab and kind == "code" else ():
            question = practice(lab)[topic].question
            yield from (question.text, *getattr(question, "options", ()))


def used_unexplained(lines):
    """Words of the glossary that stand in a line before they are explained."""
    known, found = set(), []
    for line in lines:
        plain = NAMED.sub("", line)
        for match in PATTERN.finditer(plain):
            word = match[1].lower()
            explained = match[0].startswith(EXPLAINED)
            explained &= plain[match.end() : match.end() + 1] == END
            if explained and len(plain.split()) >= 5:
                known.add(word)
            if word not in known:
                known.add(word)  # each word is told once
                found.append((word, line.strip(), match[0]))
    return found


def test_no_word_of_the_glossary_is_used_before_it_is_explained():
    lines = [(path, line) for path in CORE_PATHS for line in prose(path)]
    found = used_unexplained(line for _, line in lines)
    assert [(word, line[:90]) for word, line, _ in found] == []


@pytest.mark.parametrize(
    "line, words",
    [
        ("A **brake** ties a part to the frame of it.", []),
        ("Apply the brakes now, and look.", ["brake"]),
        ("A [crank](13_look_up_words.ipynb) is a handle to turn with.", []),
        ("A [crank](01_other.ipynb) is a handle to turn with.", []),
        ("The **brake that holds** is on, as you see.", ["brake", "holds"]),
        ("**brake**", ["brake"]),
        ("The low brake and the sun input clutch are names here.", []),
    ],
)
def test_the_reading_of_words_sees_what_is_not_explained(line, words):
    assert [word for word, *_ in used_unexplained(marked(line).splitlines())] == words


# One word for one thing, and sentences that had to be read twice.
NOT_SAID = {
    r"\bhousings?\b": "case",
    r"\bthe overrun\b": "coasting: only a one-way clutch overruns",
    r"\bin a row\b": "say what is multiplied",
    r"below nought": "say where it stops",
    r"so often turns": "a count",
    r"may run ahead": "the part that may turn ahead",
    r"only holds locked parts": "leave it out",
    r"\b(?:turns?|turned|drives?|drove) the engine\b": "the input shaft turns",
    r"\bengine (?:turns|is turned|races|slows down by)\b": "the input shaft turns",
    r"\bworked case\b": "worked example: the case holds a member",
    r"\bin the case \"": "range",
    r"\bon one sheet\b": "answer sheet",
}


@each("path", PATHS)
def test_one_word_for_one_thing(path):
    texts = [source for kind, source in cells(path) if kind == "markdown"]
    for text in texts:
        for pattern, way_out in NOT_SAID.items():
            assert not re.search(pattern, text, re.IGNORECASE), (pattern, way_out)


# Controls -------------------------------------------------------------------------

PRESSED = re.compile(
    r"(?:\bpress|\btick|\bchoose|\bunder|\blist of|; )\s?\*([a-z][^*]+)\*(?!\*)",
    re.IGNORECASE,
)


def texts_in(value):
    """All texts in plain data."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict | list):
        for part in value.values() if isinstance(value, dict) else value:
            yield from texts_in(part)


@cache
def controls():
    """What stands on the controls and choices of all panels."""
    found = {NONE_OF_THEM}
    road = Desk("find-the-fault").road_test("find the fault")
    log = LogPanel(road_logs()["slips"])
    for panel in (Desk("turn-one-set"), Progress(), Prepare(), road, log):
        found.update(panel.box.labels)
    for train in map(gl.load_train, gl.train_names()):
        found.update(texts_in(cover(train)))
    return found


@each("path", PATHS)
def test_a_control_that_is_to_be_pressed_is_there(path):
    """In prose a control stands in italics, behind what is done with it."""
    for kind, source in cells(path):
        if kind == "markdown":
            for named in PRESSED.findall(source):
                assert named in controls(), named


@pytest.mark.parametrize(
    "text, named",
    [
        ("Press *turn*, and count.", ["turn"]),
        ("Choose the *rear carrier* under *light up*: see.", ["light up"]),
        ("press *show*; *save the page* makes one.", ["show", "save the page"]),
        ("**Predict.** Then **turn it**: press *teeth*.", ["teeth"]),
        ("a word in *italics* alone, and one in **bold**", []),
    ],
)
def test_the_reading_of_controls_sees_what_is_to_be_pressed(text, named):
    assert PRESSED.findall(text) == named


# Safety ---------------------------------------------------------------------------

HANDS = re.compile(
    r"let go of|\bfeel\b|hands? off|hands? on\b|by hand\b|\bhold\b[^.]*\bhand|"
    r"\btouch\b|drive from the output|turn the output",
    re.IGNORECASE,
)
ALLOWED = (DRUM_RULE, "One hand drags", "nobody drives the output")


def has_one_way_clutches(path):
    names = re.findall(r'load_train\("([^"]+)"\)', "".join(s for _, s in cells(path)))
    return any(gl.load_train(name).one_way_clutches for name in names)


def text_of(path):
    texts = [source for kind, source in cells(path) if kind == "markdown"]
    return LINK.sub("", "\n".join(texts))


@each("path", PATHS)
def test_no_bench_section_puts_a_hand_on_a_drum(path):
    """One rule: a tool holds, and the input alone is turned."""
    for section in sections(text_of(path), "At the bench"):
        for allowed in ALLOWED:
            section = section.replace(allowed, "")
        assert not HANDS.search(section), HANDS.search(section)


@each("path", PATHS)
def test_no_element_is_applied_or_released_by_hand(path):
    """On the panel it is a press; at a bench a hand has no place on a drum."""
    told = re.compile(r"\b(?:appl|releas|shift|let)[^.|]*\bby hand\b", re.IGNORECASE)
    assert not told.search(text_of(path)), told.search(text_of(path))


@each("path", LABS.values())
def test_a_lab_with_one_way_clutches_says_the_rule_for_drums(path):
    said = DRUM_RULE.split(". ", 1)[1] in text_of(path)
    assert said == has_one_way_clutches(path)
    assert "Keep hands off its drum" not in text_of(path)


@each("path", LABS.values())
def test_every_lab_has_a_bench_section(path):
    assert sections(text_of(path), "At the bench")
