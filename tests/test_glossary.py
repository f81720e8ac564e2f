"""The glossary, and the list of words that an instructor fills in."""

import csv
import re
from dataclasses import replace

import pytest

import gearlab as gl
from gearlab.base.frozenmap import FrozenMap
from gearlab.say.glossary import HEADER, PICTURES, entries_called, phrases, train_words

TRAIN = gl.load_train("five-range")
SOME = {"sun": "sunuma", "low brake": "lavuma; brekuma", "held": 'the "heluma"'}


def fill(path, words):
    """Write words into the second column, as a person does in a spreadsheet."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        separator = ";" if ";" in file.readline() else ","
        file.seek(0)
        rows = list(csv.reader(file, delimiter=separator))
    for row in rows[1:]:
        row[1] = words.get(row[0], "")
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=separator).writerows(rows)


def test_each_word_is_there_once():
    words = [one.word for one in gl.glossary()]
    assert 45 <= len(words) == len(set(words))
    assert len(phrases()) == len(set(phrases()))
    assert not set(phrases()) & set(words)


def test_meanings_are_short_sentences():
    for one in gl.glossary():
        word = one.word
        assert one.meaning == one.meaning.strip() and one.meaning.endswith("."), word
        for sentence in re.split(r"(?<=[.?]) ", one.meaning):
            assert 2 <= len(sentence.split()) <= 15, (word, sentence)
            assert sentence[0].isupper(), (word, sentence)
        assert one.picture in ("", *PICTURES), word
        assert word not in one.synonyms
        assert len(set(one.synonyms)) == len(one.synonyms), word


def test_words_of_the_library_are_explained():
    words = {one.word for one in gl.glossary()}
    states = set()
    for load in ("drive", "coast"):
        for name in TRAIN.range_names:
            flow = gl.power_flow(TRAIN, name, load=load)
            states |= {flow.state}
    assert states == {"drives", "neutral", "output locked", "freewheels"}
    assert {"neutral", "output locked", "freewheels", "tie-up"} <= words
    assert {"applied", "released", "holds", "overruns", "backs up", "at rest"} <= words
    assert {short for one in TRAIN.sets for short in one.members} <= words


def test_synonyms_lead_to_the_word():
    of = {name: one.word for one in gl.glossary() for name in one.synonyms}
    assert (of["annulus"], of["pinion"], of["epicyclic"]) == (
        "ring",
        "planet",
        "gear set",
    )
    told = [name for one in gl.glossary() for name in one.synonyms]
    # A letter in a picture and a range may be the same letter.
    assert {name for name in told if told.count(name) > 1} == {"P", "R"}


def test_words_that_a_newcomer_meets_are_explained():
    words = {one.word for one in gl.glossary()}
    assert words >= {
        "member", "element", "case", "cutaway", "crank", "turbine", "forward",
        "backward", "drum", "at rest", "count", "load", "simple set", "gear train",
        "mesh", "planet window", "power", "node", "answer sheet", "form",
    }  # fmt: skip
    letters = {"S": "sun", "C": "carrier", "R": "ring", "P": "planet"}
    for letter, word in letters.items():
        assert word in [one.word for one in entries_called(letter)]


@pytest.mark.parametrize("separator", [",", ";"])
def test_list_is_written_filled_in_and_read(tmp_path, separator):
    path = gl.word_list(tmp_path / "words.csv", TRAIN, separator=separator)
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf" + separator.join(HEADER).encode())
    assert gl.read_words(path, TRAIN) == FrozenMap()
    fill(path, SOME)
    words = gl.read_words(path, TRAIN)
    assert words == FrozenMap(SOME)
    assert isinstance(hash(words), int)


def test_list_has_every_word_phrase_and_name_once(tmp_path):
    path = gl.word_list(tmp_path / "words.csv", TRAIN)
    with path.open(encoding="utf-8-sig", newline="") as file:
        head, *rows = csv.reader(file)
    assert tuple(head) == HEADER
    words = [english for english, other, meaning in rows if not other and meaning]
    assert len(words) == len(rows) == len(set(words))
    expected = {one.word for one in gl.glossary()} | set(phrases())
    assert set(words) == expected | set(train_words(TRAIN))
    assert {"front", "common-sun shaft", "low one-way clutch", "1 low"} <= set(words)
    assert not {"R", "2", "case shaft"} & set(words)


HEAD = ",".join(HEADER)


@pytest.mark.parametrize(
    "text, words",
    [
        (f"{HEAD}\nsun,Sonne,x\n", {"sun": "Sonne"}),
        (f"\ufeff{HEAD}\nsun, Sonne ,x\n\n,,\nring,,\n", {"sun": "Sonne"}),
        ("English word;Deutsch;\nsun;Sonne;a, b\n", {"sun": "Sonne"}),
        ("English word\tanother\nsun\tSonne\nring\n", {"sun": "Sonne"}),
        (f'{HEAD}\r\nsun,"the, sun",x\r\n', {"sun": "the, sun"}),
        (f"{HEAD}\n", {}),
    ],
)
def test_lists_as_spreadsheets_write_them(tmp_path, text, words):
    path = tmp_path / "words.csv"
    path.write_bytes(text.encode())
    assert gl.read_words(path) == words


@pytest.mark.parametrize(
    "text, said",
    [
        ("", 'words.csv begins with "", but its first line names the columns'),
        ("word,other\nsun,x", 'words.csv begins with "word,other", but'),
        ("English word\nsun", 'begins with "English word", but'),
        (
            f"{HEAD}\nring,x,\nsunn,Sonne,x",
            'names: no word in the list "sunn"; did you mean "sun"?',
        ),
        (
            f"{HEAD}\nsun,Sonne,x\nsun,,",
            'words.csv, line 3: "sun" is there a second time, but',
        ),
        (f"{HEAD}\n,Sonne,", 'no word in the list ""; known:'),
        (f'{HEAD}\nsun,"So\nnne",', '"sun" is named "So nne", but a name is one line'),
    ],
)
def test_lists_that_cannot_be_read(tmp_path, text, said):
    path = tmp_path / "words.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=re.escape(said)):
        gl.read_words(path)


def test_a_file_that_is_none_or_not_in_utf_8(tmp_path):
    path = tmp_path / "words.csv"
    with pytest.raises(ValueError, match=r"words.csv cannot be read \(No such file"):
        gl.read_words(path)
    path.write_bytes(f"{HEAD}\nsun,Größe,".encode("cp1252"))
    with pytest.raises(ValueError, match="is not in UTF-8; save it"):
        gl.read_words(path)


def test_where_no_list_can_be_written(tmp_path):
    with pytest.raises(ValueError, match="there is no such folder; make it first"):
        gl.word_list(tmp_path / "nowhere" / "words.csv")
    with pytest.raises(ValueError, match='no separator "x"'):
        gl.word_list(tmp_path / "words.csv", separator="x")


def test_names_of_a_train_without_their_meaning_need_the_train(tmp_path):
    path = gl.word_list(tmp_path / "words.csv", TRAIN)
    text = path.read_text(encoding="utf-8").replace("a name in the", "name,")
    path.write_text(text, encoding="utf-8")
    gl.read_words(path, TRAIN)
    with pytest.raises(
        ValueError, match=r"line \d+, read without a train's names: no word"
    ):
        gl.read_words(path)


# Written again ------------------------------------------------------------------------


def rows_of(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        separator = ";" if ";" in file.readline() else ","
        file.seek(0)
        return list(csv.reader(file, delimiter=separator))


@pytest.mark.parametrize("separator", [",", ";"])
def test_what_was_filled_in_is_kept_and_new_words_are_added(separator, tmp_path):
    path = gl.word_list(tmp_path / "words.csv", separator=separator)
    fill(path, {"sun": "Sonne", "ring": "=Hohlrad"})
    before = rows_of(path)
    gl.word_list(path, TRAIN)
    after = rows_of(path)
    assert after[: len(before)] == before
    assert {row[0] for row in after[len(before) :]} == set(train_words(TRAIN)) - {
        row[0] for row in before
    }
    assert gl.read_words(path, TRAIN) == {"sun": "Sonne", "ring": "=Hohlrad"}
    data = path.read_bytes()
    assert gl.word_list(path, TRAIN) == path
    assert path.read_bytes() == data


def test_rows_of_another_train_and_of_a_person_s_own_are_kept(tmp_path):
    other = gl.load_train("lone-set")
    path = gl.word_list(tmp_path / "words.csv", TRAIN)
    fill(path, SOME)
    own = ["my word", "mein Wort", "of mine", "and a note\u2028of two\nlines", "x"]
    with path.open("a", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([own, [], ["", "", "a remark"]])
    before = rows_of(path)
    gl.word_list(path, other)
    after = rows_of(path)
    assert after[: len(before)] == before
    assert own in after
    assert set(train_words(TRAIN)) | set(train_words(other)) <= {
        row[0] for row in after if row
    }


def test_one_list_serves_two_trains(tmp_path):
    path = gl.word_list(tmp_path / "words.csv", TRAIN)
    gl.word_list(path, gl.load_train("six-range"))
    fill(path, SOME)
    for train in (TRAIN, gl.load_train("six-range"), None):
        assert gl.read_words(path, train) == FrozenMap(SOME)


def test_another_separator_is_taken_when_it_is_asked_for(tmp_path):
    path = gl.word_list(tmp_path / "words.csv", TRAIN)
    fill(path, SOME)
    before = rows_of(path)
    gl.word_list(path, TRAIN, separator=";")
    assert path.read_text(encoding="utf-8-sig").startswith(";".join(HEADER))
    assert rows_of(path) == before


@pytest.mark.parametrize(
    "data", [b"my notes\nfor the class", b"\x89PNG\0", "ä,ö".encode("latin-1")]
)
def test_a_file_that_is_no_list_is_left_as_it_is(data, tmp_path):
    path = tmp_path / "words.csv"
    path.write_bytes(data)
    with pytest.raises(ValueError, match=r"words\.csv "):
        gl.word_list(path)
    assert path.read_bytes() == data


def test_an_empty_file_becomes_a_list(tmp_path):
    path = tmp_path / "words.csv"
    path.write_bytes(b"")
    gl.word_list(path)
    assert tuple(rows_of(path)[0]) == HEADER


def test_a_name_of_a_train_is_no_formula(tmp_path):
    train = replace(TRAIN, name="=1+1")
    path = gl.word_list(tmp_path / "words.csv", train)
    assert not [row for row in rows_of(path) if row[0].startswith("=")]
    fill(path, {"'=1+1": "eins"})
    assert gl.read_words(path, train) == {"=1+1": "eins"}


def test_a_list_with_an_open_quote_is_said(tmp_path):
    path = tmp_path / "words.csv"
    path.write_text(f'{HEAD}\nsun,"{"x" * 200_000}', encoding="utf-8")
    with pytest.raises(ValueError, match=r"words\.csv cannot be read \(line"):
        gl.read_words(path)
