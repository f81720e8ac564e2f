"""Train files: what was written reads back equal; what is wrong gets one sentence."""

import re
import tomllib
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loops import each
from trains import LONE_TEXT

from gearlab.base import filewriter
from gearlab.base.frozenmap import FrozenMap
from gearlab.train import trainfile
from gearlab.train.gearset import GearSet, Mesh
from gearlab.train.kinds import KINDS
from gearlab.train.train import Brake, Clutch, OneWayClutch, Range, Train
from gearlab.train.trainfile import (
    read_train,
    read_train_file,
    save_train,
    write_train,
)

SHIPPED = sorted((Path(trainfile.__file__).parent / "shipped").glob("*.toml"))
FIVE_TEXT = next(path for path in SHIPPED if path.stem == "five-range").read_text(
    encoding="utf-8"
)
MESHES = """
name = "Written out"
input = "gears pinion"
output = "gears arm"
[sets.gears]
kind = "meshes"
meshes = [
  { gears = ["pinion", "wheel"], teeth = [10, 61], mesh = "external", carrier = "arm" },
  { gears = ["wheel", "rim"], teeth = [61, 132], mesh = "internal", carrier = "arm" },
]
[brakes]
"rim brake" = "gears rim"
"""


def sentence(text, source="bench.toml"):
    """The one sentence that a wrong text gets."""
    with pytest.raises(ValueError) as caught:
        read_train(text, source)
    message = str(caught.value)
    assert message.startswith(f"{source}: ")
    assert message.isprintable()
    return message


def swapped(old, new, text=FIVE_TEXT):
    assert old in text
    return text.replace(old, new, 1)


# Reading


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_trains_read_back_equal(path):
    train = read_train_file(path)
    again = read_train(write_train(train))
    assert again == train
    assert hash(again) == hash(train)


def test_five_range_is_read_as_written():
    train = read_train(FIVE_TEXT)
    assert (train.input, train.output) == ("input shaft", "output shaft")
    assert [(one.name, one.planets) for one in train.sets] == [
        ("front", 4),
        ("middle", 3),
        ("rear", 3),
    ]
    assert train.shafts["common-sun shaft"] == ("middle sun", "rear sun")
    assert train.brakes[0] == Brake(name="overdrive brake", member="front sun")
    assert train.clutches[0] == Clutch(
        name="front lock clutch", first="front sun", second="front carrier"
    )
    assert train.locks == (Brake(name="parking pawl", member="output shaft"),)
    assert train.one_way_clutches[1] == OneWayClutch(
        name="low one-way clutch", member="rear carrier", against="case"
    )
    assert train.range_names == ("P", "R", "N", "1", "2", "3", "4", "5", "1 low")
    assert train.range("1 low").after == "1"
    assert train.selector["D"] == ("1", "2", "3", "4", "5")
    assert train.solenoids["third shift solenoid"] == ("4", "5")
    assert train.tooth_sets["easy-count"]["rear"] == {"sun": 24, "ring": 84}
    assert train.set_up["3"]["hold"].startswith("the common-sun drum, to the case, ")
    assert train.paint["common-sun shaft"] == "red"


def test_written_file_keeps_tables_keys_and_their_order():
    written = tomllib.loads(write_train(read_train(FIVE_TEXT)))
    shipped = tomllib.loads(FIVE_TEXT)
    assert written == shipped
    assert list(written) == list(shipped)
    for table in ("sets", "ranges", "clutches", "set-up"):
        assert list(written[table]) == list(shipped[table])


def test_case_fixes_members_for_good():
    train = read_train(LONE_TEXT)
    assert train.body_of["bench ring"] == "case"
    assert "planets" not in write_train(train)
    assert read_train(write_train(train)) == train


def test_meshes_are_read_and_written():
    train = read_train(MESHES)
    assert train.sets[0].meshes[1] == Mesh(
        gears=("wheel", "rim"), teeth=(61, 132), mesh="internal", carrier="arm"
    )
    assert read_train(write_train(train)) == train


def test_tooth_sets_of_meshes_are_tried():
    good = MESHES + "[tooth-sets.big]\ngears = { pinion = 12 }\n"
    train = read_train(good)
    assert train.tooth_sets["big"]["gears"] == {"pinion": 12}
    assert read_train(write_train(train)) == train
    assert "pinon" in sentence(good.replace("{ pinion", "{ pinon"))


@pytest.mark.parametrize("digits", ["3.150", "3.15", "-3.00", "4", "1E+1", "0.70"])
def test_published_digits_are_kept(digits):
    text = LONE_TEXT + f"[ranges]\n1 = {{ applied = [], published = {digits} }}\n"
    again = read_train(write_train(read_train(text)))
    assert str(again.range("1").published) == digits


def test_byte_order_mark_and_crlf_are_accepted(tmp_path):
    path = tmp_path / "lone.toml"
    path.write_bytes(("\ufeff" + LONE_TEXT.replace("\n", "\r\n")).encode("utf-8"))
    assert read_train_file(path) == read_train(LONE_TEXT)
    assert read_train_file(str(path)) == read_train("\ufeff" + LONE_TEXT)


# What is wrong

WRONG = {
    "shaft": (
        '["middle sun", "rear sun"]',
        '["middel sun", "rear sun"]',
        'shafts."common-sun shaft": no member "middel sun"; did you mean "middle sun"?',
    ),
    "input": (
        'input = "input shaft"',
        'input = "inptu shaft"',
        'input: no member or shaft "inptu shaft"; did you mean "input shaft"?',
    ),
    "input is a list": ('input = "input shaft"', "input = [1]", "input: [1] was given"),
    "output fixed": (
        '"output shaft" = ["middle carrier", "rear ring"]',
        'case = ["middle carrier", "rear ring"]',
        "output: no member or shaft",
    ),
    "top key": ("[brakes]", "[braks]", 'no key "braks"; did you mean "brakes"?'),
    "set key": ("planets = 4", "plantes = 4", 'sets.front: no key "plantes"; did you'),
    "kind": ('"simple"', '"simpel"', 'sets.front.kind: no kind of gear set "simpel"'),
    "kind a list": ('"simple"', "[1]", "sets.front.kind: no kind of gear set [1]"),
    "no kind": ('kind = "simple"\n', "", "sets.front: the gear set has no kind; write"),
    "no sun": ("sun = 36\n", "", "sets.front: front sun has no tooth count"),
    "zero": ("sun = 36", "sun = 0", "sets.front: front sun is 0, but it must be"),
    "negative": ("sun = 36", "sun = -36", "sets.front: front sun is -36, but"),
    "fraction": ("sun = 36", "sun = 36.5", "36.5"),
    "huge": (
        "sun = 36",
        "sun = 3000000000000",
        "sets.front: front sun is 3000000000000",
    ),
    "too long": ("sun = 36", f"sun = {'9' * 5000}", "digits"),
    "true": ("sun = 36", "sun = true", "sets.front: front sun is True, but"),
    "words": ("sun = 36", 'sun = "thirty"', 'sets.front: front sun is "thirty", but'),
    "small ring": ("ring = 72", "ring = 30", "sets.front: front ring 30 does not fit"),
    "odd": ("ring = 72", "ring = 71", "sets.front: front sun 36 and ring 71 leave 35"),
    "no planets": ("planets = 4", "planets = 0", "sets.front: front planets is 0"),
    "brake": (
        '"low brake" = "rear carrier"',
        '"low brake" = "rear carier"',
        '"low brake": no member or shaft "rear carier"; did you mean "rear carrier"?',
    ),
    "brake a list": (
        '"low brake" = "rear carrier"',
        '"low brake" = ["rear carrier"]',
        "brakes.\"low brake\": ['rear carrier'] was given, but name the one member",
    ),
    "clutch of one": (
        '["front sun", "front carrier"]',
        '["front sun"]',
        "clutches.\"front lock clutch\": ['front sun'] was given, but a list of two",
    ),
    "clutch of three": (
        '["front sun", "front carrier"]',
        '["front sun", "front carrier", "front ring"]',
        'clutches."front lock clutch": ',
    ),
    "clutch side": ('["front sun", "front', '["front snu", "front', '"front snu"; did'),
    "lock": ('pawl" = "output shaft"', 'pawl" = "outptu shaft"', '"parking pawl": no'),
    "no against": (
        ', against = "case"',
        "",
        '."low one-way clutch": the one-way clutch has no against; write against =',
    ),
    "no member": (
        'member = "rear carrier", ',
        "",
        '."low one-way clutch": the one-way clutch has no member; write member =',
    ),
    "one-way key": (
        "against =",
        "agianst =",
        'no key "agianst"; did you mean "against"?',
    ),
    "one-way side": ('against = "case"', "against = 3", ".against: 3 was given, but"),
    "range element": (
        '"low brake"]',
        '"low brak"]',
        'ranges."R": no element "low brak"',
    ),
    "range text": ('N = ["front lock clutch"]', 'N = "x"', 'ranges.N: "x" was given'),
    "after": ('after = "2"', 'after = "22"', 'ranges."3": no range "22"'),
    "no applied": (
        'applied = ["overdrive brake", "forward clutch"], after',
        "after",
        "ranges.2: the range has no applied; write applied = [...]",
    ),
    "range key": ('after = "2"', 'aftre = "2"', 'ranges.3: no key "aftre"; did you'),
    "selector": (
        'L = ["1 low"]',
        'L = ["1 lwo"]',
        'selector."L": no range "1 lwo"; did',
    ),
    "solenoid": (
        '"third shift solenoid" = ["4", "5"]',
        '"third shift solenoid" = ["4", "55"]',
        'solenoids."third shift solenoid": no range "55"; did you mean "5"?',
    ),
    "solenoid text": (
        '"third shift solenoid" = ["4", "5"]',
        '"third shift solenoid" = "4"',
        'solenoids."third shift solenoid": "4" was given, but a list belongs here',
    ),
    "solenoid name": (
        '"third shift solenoid" =',
        '"low brake" =',
        '"low brake" names an element and a solenoid',
    ),
    "tooth set": (
        "rear = { sun = 24, ring = 84 }",
        "raer = { sun = 24, ring = 84 }",
        'tooth-sets.easy-count: no gear set "raer"; did you mean "rear"?',
    ),
    "tooth set teeth": (
        "{ sun = 24, ring = 84 }",
        "{ sun = 24, ring = 83 }",
        "tooth-sets.easy-count: rear sun 24 and ring 83 leave 59 teeth",
    ),
    "tooth set key": ("{ sun = 24, ring", "{ snu = 24, ring", 'no rear gear "snu"'),
    "tooth set list": (
        "rear = { sun = 24, ring = 84 }",
        "rear = [24, 84]",
        "tooth-sets.easy-count.rear: [24, 84] was given, but a table",
    ),
    "set-up range": ('[set-up."1"]', '[set-up."11"]', 'set-up."11": no range "11"'),
    "set-up key": (
        "fingers =",
        "fingres =",
        'set-up.R: no key "fingres"; did you mean',
    ),
    "set-up list": (
        'fingers = "keep',
        'fingers = 3 # "keep',
        "set-up.R.fingers: 3 was",
    ),
    "paint": (
        '"rear carrier" = "purple"',
        '"raer carrier" = "purple"',
        'paint: no member or shaft "raer carrier"; did you mean "rear carrier"?',
    ),
    "one piece": (
        '"input shaft" = ["front carrier"]',
        '"output shaft" = ["front carrier"]',
        "not TOML: ",
    ),
    "used twice": (
        '"low brake" =',
        '"front sun" =',
        '"front sun" names a member and an',
    ),
    "empty name": ('"low brake" =', '"" =', 'brakes."": this line is named ""'),
    "control": ('"low brake" =', r'"low\nbrake" =', r'brakes."low\nbrake": this line'),
    "not TOML": ("sun = 36", "sun = = 36", "not TOML: "),
    "twice": ("sun = 36", "sun = 36\nsun = 36", "not TOML: "),
    "no number": ("sun = 36", "sun = 1e99999999999999999999", "a number has too many"),
}


@each("case", WRONG)
def test_what_is_wrong_is_named(case):
    old, new, expected = WRONG[case]
    assert expected in sentence(swapped(old, new))


def test_the_sentence_is_whole():
    text = swapped('["middle sun", "rear sun"]', '["middel sun", "rear sun"]')
    assert sentence(text) == (
        'bench.toml: shafts."common-sun shaft": no member "middel sun";'
        ' did you mean "middle sun"?'
    )


def test_toml_errors_name_the_line():
    assert "line 2" in sentence('name = "x"\nsets = = 3\n')


@pytest.mark.parametrize("key", ["name", "input", "output"])
def test_missing_keys_say_what_to_write(key):
    text = re.sub(rf"^{key} = .*\n", "", LONE_TEXT, flags=re.M)
    assert f'the train has no {key}; write {key} = "..." with' in sentence(text)


@pytest.mark.parametrize(
    "text", ["", "[sets]", '[[sets]]\nkind = "simple"', "sets = 3", "sets.front = []"]
)
def test_sets_must_be_tables(text):
    head = 'name = "x"\ninput = "a"\noutput = "b"\n'
    assert "sets" in sentence(head + text) or "member or shaft" in sentence(head + text)


@pytest.mark.parametrize(
    "old, new, expected",
    [
        (
            ', carrier = "arm" },\n  { g',
            " },\n  { g",
            "the mesh has no carrier; write",
        ),
        (
            'gears = ["pinion", "wheel"]',
            'gears = ["pinion"]',
            'meshes."mesh 1".gears: ',
        ),
        ("teeth = [10, 61]", "teeth = [10.5, 61]", "10.5"),
        ("teeth = [10, 61]", "teeth = [10]", 'meshes."mesh 1".teeth: [10] was given'),
        ("teeth = [10, 61]", "teeth = 10", 'meshes."mesh 1".teeth: 10 was given'),
        (
            "teeth = [10, 61]",
            "teeth = [10, 60]",
            "wheel has 60 teeth in one mesh and 61",
        ),
        ('"internal"', '"intern"', '"mesh 2": no kind of mesh "intern"; did you mean'),
        ('carrier = "arm"', "carrier = 3", 'meshes."mesh 1".carrier: 3 was given'),
        ('carrier = "arm"', 'carrier = "wheel"', "names one part twice"),
        ('gears = ["pinion", "wheel"]', 'gears = ["pinion", 3]', "3 was given, but"),
        ('kind = "meshes"', 'kind = "meshes"\nsun = 30', 'sets.gears: no key "sun"'),
    ],
)
def test_wrong_meshes_are_named(old, new, expected):
    assert expected in sentence(swapped(old, new, MESHES))


# What a first file calls a section, and where it belongs.
FIRST_WORDS = {
    '[bands]\n"low band" = "rear carrier"': "a band goes under [brakes]",
    'bands = ["low band"]': "a band goes under [brakes]",
    '["one-way clutch"]': "a one-way clutch goes under [one-way-clutches]",
    "[Sprags]": "a sprag goes under [one-way-clutches]",
    "[roller_clutches]": "a roller clutch goes under [one-way-clutches]",
    "[gears.front]": "a gear goes under [sets]: each has a table of its own",
    "[gearsets.front]": "a gearset goes under [sets]",
    "[planetary-gear-set]": "a planetary gear set goes under [sets]",
    "[range]": 'a range goes under [ranges]: write a line, "1" = ["forward clutch"]',
    "[apply-chart]": "an apply chart goes under [ranges]",
    "[drum]": "a drum goes under [shafts]",
    "[clutch]": "a clutch goes under [clutches]",
    "[parking-pawl]": "a parking pawl goes under [locks]",
    "sun = 30": "the sun of a gear set goes into its table, [sets.front]",
}


@pytest.mark.parametrize("more", FIRST_WORDS)
def test_other_words_for_a_section_are_told_where_they_belong(more):
    text = f"{FIVE_TEXT}\n{more}" if more[0] == "[" else f"{more}\n{FIVE_TEXT}"
    told = sentence(text)
    assert FIRST_WORDS[more] in told
    assert "did you mean" not in told and "\n" not in told


@pytest.mark.parametrize("word", ["carburettor", "fluid", "pressures"])
def test_a_word_of_no_section_has_the_nearest_key_or_all_of_them(word):
    assert f'no key "{word}"' in sentence(f"{FIVE_TEXT}\n[{word}]")


# A line of the five-range unit as a first file has it, and the way out.
FIRST_LINES = {
    "title": ('name = "', 'title = "', 'no key "title"; write it as name'),
    "type": ('kind = "simple"', 'type = "simple"', "the gear set has no kind; write"),
    "kind": ('"simple"', '"planetary"', 'kind of gear set "planetary"; write it as si'),
    "two suns": ('"simple"', '"Ravigneaux"', "write it as two-sun"),
    "sun gear": ("sun = 36", "sun-gear = 36", 'no key "sun-gear"; write it as sun'),
    "capitals": ("sun = 36", "Sun = 36", 'no key "Sun"; write it as sun'),
    "teeth": ("sun = 36", "teeth = [36, 72]", "write a line for each gear, such as"),
    "held": (' = "rear carrier"', ' = ["rear carrier"]', "name the one member that it"),
    "no set": ('= "rear carrier"', '= "carrier"', 'so write one of "front carrier"'),
    "shaft": ('["middle sun", "rear sun"]', '["sun"]', "a member goes by its set too"),
    "race": ("member = ", "inner-race = ", "write it as member"),
    "applied": (
        '1 = ["front lock clutch", "forward clutch"]',
        '1 = ["front lock clutch", "forward clutch", "low one-way clutch"]',
        '"low one-way clutch" is a one-way clutch, which holds by itself',
    ),
    "ratio": (
        '3 = { applied = ["front lock clutch"',
        '3 = { ratio = 1.4, applied = ["front lock clutch"',
        'ranges.3: no key "ratio"; write it as published',
    ),
}


@each("case", FIRST_LINES)
def test_other_words_within_a_line_are_told_how_they_are_written(case):
    old, new, expected = FIRST_LINES[case]
    assert expected in sentence(swapped(old, new))


def test_a_set_without_a_kind_is_told_every_kind():
    told = sentence(swapped('kind = "simple"\n', ""))
    assert all(f'"{kind}"' in told for kind in KINDS)


@pytest.mark.parametrize(
    ("text", "remedy"),
    [
        ('[sets]\nkind = "simple"\nsun = 30\nring = 70', "such as [sets.front]"),
        ('[sets]\nfront = ["sun", 30]', "such as [sets.front]"),
        (
            '[one-way-clutches]\n"low" = ["rear carrier", "case"]',
            'write { member = "...", against = "..." }',
        ),
        ('[one-way-clutches]\n"low" = "rear carrier"', 'write { member = "..."'),
        ('[ranges]\n"1" = "forward clutch"', 'write ["forward clutch"]'),
    ],
)
def test_a_line_of_another_form_is_told_how_it_is_written(text, remedy):
    head = 'name = "One"\ninput = "front sun"\noutput = "front carrier"\n'
    front = '[sets.front]\nkind = "simple"\nsun = 30\nring = 70\n'
    assert remedy in sentence(head + ("" if "[sets]" in text else front) + text)


@pytest.mark.parametrize(
    "value",
    ["0", "0.000", "true", '"3.15"', "nan", "-inf", "1001", "-1e4", "1e-13", "[3.15]"],
)
def test_a_published_ratio_is_a_number(value):
    text = LONE_TEXT + f"[ranges]\n1 = {{ applied = [], published = {value} }}\n"
    assert "ranges.1.published: " in sentence(text)
    assert "a ratio is a number such as 3.15" in sentence(text)


def test_deep_nesting_gets_a_sentence():
    assert "nested too deeply" in sentence("x = " + "[" * 5000)
    dotted = ".a" * 3000
    assert "nested too deeply" in sentence(
        f"name{dotted} = 1\n" + LONE_TEXT.split("\n", 2)[2]
    )


def test_half_a_character_is_refused():
    assert "surrogates" in sentence(LONE_TEXT + '[paint]\n"bench sun" = "\ud800"\n')


# Files


def test_missing_file_folder_and_bytes_get_a_sentence(tmp_path):
    with pytest.raises(
        ValueError, match=r"^absent\.toml: cannot read .*; name a train"
    ):
        read_train_file(tmp_path / "absent.toml")
    with pytest.raises(ValueError, match=f"^{re.escape(tmp_path.name)}: cannot read "):
        read_train_file(tmp_path)
    path = tmp_path / "latin.toml"
    path.write_bytes(b'name = "x"\nabout = "\xe9"\n')
    with pytest.raises(ValueError, match=r"^latin\.toml: line 2 is not UTF-8; save"):
        read_train_file(path)
    path.write_bytes(b"#" * 1_000_001)
    with pytest.raises(ValueError, match=r"^latin\.toml: it is larger than 1000000"):
        read_train_file(path)
    path.write_bytes(b"name = 3\n")
    with pytest.raises(ValueError, match=r"^latin\.toml: "):
        read_train_file(path)


def test_large_text_is_refused():
    assert "larger than 1000000 bytes" in sentence("#" * 1_000_001)


def test_save_writes_utf8_with_newlines_and_leaves_no_draft(tmp_path):
    train = replace(read_train(LONE_TEXT), about="Größe ω₁ − 3\r\nnext")
    path = tmp_path / "lone.toml"
    path.write_bytes(b"old")
    save_train(train, path)
    assert b"\r" not in path.read_bytes()
    assert path.read_bytes().decode("utf-8") == write_train(train)
    assert read_train_file(path) == train
    assert list(tmp_path.iterdir()) == [path]


def test_save_that_fails_leaves_the_old_file(tmp_path, monkeypatch):
    path = tmp_path / "lone.toml"
    path.write_bytes(b"old")

    def refuse(*_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(filewriter, "_replace", refuse)
    with pytest.raises(ValueError, match=r"lone\.toml.* be written .*Permission"):
        save_train(read_train(LONE_TEXT), path)
    assert [one.read_bytes() for one in tmp_path.iterdir()] == [b"old"]


def test_save_into_a_missing_folder_gets_a_sentence(tmp_path):
    with pytest.raises(ValueError, match=r"train file .*no such folder; make it first"):
        save_train(read_train(LONE_TEXT), tmp_path / "absent" / "lone.toml")


# Writing


@pytest.mark.parametrize(
    "change",
    [
        {"ranges": (Range(name="1", applied=(), published=3.15),)},
        {"about": "\ud800"},
        {"selector": FrozenMap({"two\nlines": ()})},
    ],
)
def test_what_no_file_can_say_is_not_written(change):
    with pytest.raises(ValueError, match=r'^train "Lone set": '):
        write_train(replace(read_train(LONE_TEXT), **change))


@each("mark", [*map(chr, range(32)), *'\x7f\x85"\\', '"""', "\ufeff"])
def test_every_control_character_and_quote_is_escaped(mark):
    train = replace(read_train(LONE_TEXT), about=f"{mark}a{mark}")
    assert read_train(write_train(train)).about == f"{mark}a{mark}"


names = st.text(
    st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=12
).filter(lambda name: name not in ("case", "input", "output")) | st.sampled_from(
    ['<b>"x"</b>', "back\\slash", "1", "3.1", " ω₁ é ", "a-b_c", "#", "''"]
)
texts = st.text(
    st.characters(exclude_categories=["Cs"]) | st.sampled_from('\x00\x1f\x7f\r\n\t"\\'),
    max_size=40,
)
ratios = st.none() | st.decimals(-900, 900, places=3).filter(bool)


PLANET = [{}, {"planet": 21}]


@st.composite
def trains(draw):
    """Trains of two sets with names and texts that are hard to write."""
    first, second, shaft, brake, clutch, lock, way, solenoid = draw(
        st.lists(names, min_size=8, max_size=8, unique=True)
    )
    planets = st.none() | st.integers(1, 3)
    gear_sets = (
        GearSet(
            name=first,
            kind="simple",
            teeth=FrozenMap({"ring": 72, "sun": 30} | draw(st.sampled_from(PLANET))),
            planets=draw(planets),
        ),
        GearSet(
            name=second,
            kind="meshes",
            meshes=(
                Mesh(gears=("a", "b"), teeth=(9, 40), mesh="external", carrier="arm"),
                Mesh(
                    gears=("b", "case"), teeth=(40, 99), mesh="internal", carrier="arm"
                ),
            ),
        ),
    )
    rows = draw(st.lists(names, min_size=1, max_size=3, unique=True))
    ranges = tuple(
        Range(
            name=row,
            applied=draw(st.sampled_from([(), (brake,), (lock, clutch)])),
            published=draw(ratios),
            after=draw(st.none() | st.sampled_from(rows)),
        )
        for row in rows
    )
    return Train(
        name=draw(names),
        about=draw(texts),
        input=f"{first} sun",
        output=f"{second} arm",
        sets=gear_sets,
        shafts=FrozenMap({shaft: (f"{first} carrier", f"{second} a"), "case": ()}),
        brakes=(Brake(name=brake, member=f"{first} ring"),),
        clutches=(Clutch(name=clutch, first=f"{first} sun", second=shaft),),
        locks=(Brake(name=lock, member=f"{second} arm"),),
        one_way_clutches=(OneWayClutch(name=way, member=shaft, against="case"),),
        ranges=ranges,
        selector=FrozenMap({draw(names): tuple(rows)}),
        solenoids=FrozenMap({solenoid: tuple(rows[1:])}),
        tooth_sets=FrozenMap(
            {draw(names): FrozenMap({second: FrozenMap({"a": 12})})}
            | {draw(names): FrozenMap({first: FrozenMap()})}
        ),
        set_up=FrozenMap({rows[0]: FrozenMap({"hold": draw(texts)})}),
        paint=FrozenMap({shaft: draw(st.sampled_from(["red", "#12aBc9"]))}),
    )


@given(trains())
def test_any_train_reads_back_equal(train):
    again = read_train(write_train(train))
    assert again == train
    assert [str(row.published) for row in again.ranges] == [
        str(row.published) for row in train.ranges
    ]


LINES = FIVE_TEXT.splitlines()
WORDS = sorted(set(re.findall(r"[\w-]+|[^\w\s]", FIVE_TEXT)))
VALUES = [
    "0", "-1", "30.5", "1e400", "1e99999999999999999999", "nan", "inf", "true",
    "0x" + "f" * 40, '""', '"case"', '"front sun"', "[]", "[[]]", "{}", "[1, 2]",
    "{ a = 1 }", "{ applied = 3 }", '["case", "case"]', '[{ gears = ["a", "b"] }]',
    "2024-05-01", "07:30:00", '"""two\nlines"""', "'\\'", '["a\\nb"]', '"\\u0007"',
]  # fmt: skip


@st.composite
def mutated(draw):
    """The five-range text with a few lines gone, values replaced, words swapped."""
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(lines) - 1))
        how = draw(st.sampled_from(["delete", "value", "word", "double", "text"]))
        if how == "delete":
            del lines[at]
        elif how == "value":
            key = lines[at].partition(" = ")[0]
            lines[at] = f"{key} = {draw(st.sampled_from(VALUES))}"
        elif how == "word":
            parts = re.findall(r"[\w-]+|\s+|[^\w\s]", lines[at]) or [""]
            parts[draw(st.integers(0, len(parts) - 1))] = draw(st.sampled_from(WORDS))
            lines[at] = "".join(parts)
        elif how == "double":
            lines[at] = lines[at].replace("[", "[[").replace("]", "]]")
        else:
            lines[at] += draw(st.text(max_size=5))
    return "\n".join(lines)


@settings(max_examples=400)
@given(mutated())
def test_any_text_gives_a_train_or_one_sentence(text):
    try:
        train = read_train(text, "bench.toml")
    except ValueError as error:
        assert str(error).startswith("bench.toml: ")
        assert str(error).isprintable()
    else:
        assert read_train(write_train(train)) == train
        assert isinstance(hash(train), int)


@settings(max_examples=300)
@given(st.sampled_from(LINES), st.sampled_from(VALUES))
def test_any_value_in_any_place_gives_a_train_or_one_sentence(line, value):
    key = line.partition(" = ")[0]
    text = FIVE_TEXT.replace(line, f"{key} = {value}", 1)
    try:
        train = read_train(text, "bench.toml")
    except ValueError as error:
        assert re.match(r"bench\.toml: \S", str(error))
        assert str(error).isprintable()
    else:
        assert read_train(write_train(train)) == train


def test_int_published_becomes_decimal():
    text = LONE_TEXT + "[ranges]\n1 = { applied = [], published = 3 }\n"
    published = read_train(text).range("1").published
    assert isinstance(published, Decimal)
    assert published == 3
