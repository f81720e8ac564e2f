"""The glossary as tables: every word stands in one of them, escaped."""

import pytest

import gearlab as gl
from gearlab.base.frozenmap import FrozenMap
from gearlab.say.glossary import PICTURES, Entry, glossary
from gearlab.say.wordtable import WordTable


def test_every_word_stands_under_one_picture_or_none():
    tables = [gl.look_up(kind) for kind in (*PICTURES, "")]
    words = [one.word for table in tables for one in table.entries]
    assert sorted(words) == sorted(one.word for one in glossary())
    assert all(table.entries for table in tables)
    assert gl.look_up().entries == glossary()
    two = gl.look_up("end view", "").entries
    assert set(two) == {*gl.look_up("end view").entries, *gl.look_up("").entries}


def test_a_table_is_words_and_html():
    bundle = gl.look_up("end view")._repr_mimebundle_()
    assert "ring: The outer gear" in bundle["text/plain"]
    assert "Also: annulus" in bundle["text/plain"]
    assert '<th scope="row">ring</th>' in bundle["text/html"]
    assert "other language" not in bundle["text/html"]


def test_another_language_has_a_column():
    words = FrozenMap({"sun": "zon", "ring": "<kring>"})
    bundle = gl.look_up("end view", words=words)._repr_mimebundle_()
    assert "sun (zon): " in bundle["text/plain"]
    rows = len(gl.look_up("end view").entries)
    assert bundle["text/html"].count("<th scope") == 4 + rows
    assert "&lt;kring&gt;" in bundle["text/html"]


def test_names_are_escaped():
    one = Entry(word="<b>", meaning="a & b", synonyms=("<i>",))
    html = WordTable(entries=(one,))._repr_mimebundle_()["text/html"]
    assert "<b>" not in html and "<i>" not in html and "a &amp; b" in html


def test_an_unknown_picture_is_refused_with_the_nearest():
    with pytest.raises(ValueError, match='did you mean "end view"'):
        gl.look_up("end veiw")


def test_every_word_and_every_other_name_is_found_however_it_is_written():
    names = [(one, name) for one in glossary() for name in (one.word, *one.synonyms)]
    lost = [
        written
        for one, name in names
        for written in (
            name,
            name.upper(),
            f" {name} ",
            f"{name}s",
            name.replace("-", " "),
        )
        if one not in gl.look_up(written).entries
    ]
    assert not lost


def test_a_word_is_looked_up_alone_and_words_stand_in_the_order_asked():
    assert str(gl.look_up("sun")).startswith("sun: The gear in the middle")
    assert len(gl.look_up("sun").entries) == 1
    assert [one.word for one in gl.look_up("Pinion", "sun", "suns").entries] == [
        "planet",
        "sun",
    ]
    assert [one.word for one in gl.look_up("overrun").entries] == [
        "overruns",
        "coasting",
    ]


@pytest.mark.parametrize(
    "word, nearest", [("sunn", "sun"), ("cluthc", "clutch"), ("carier", "carrier")]
)
def test_an_unknown_word_is_refused_with_the_nearest(word, nearest):
    with pytest.raises(ValueError, match=f'no word .* did you mean "{nearest}"'):
        gl.look_up(word)


@pytest.mark.parametrize("asked", [None, 3, ["sun"], ()])
def test_what_is_no_word_is_refused_in_one_sentence(asked):
    with pytest.raises(ValueError, match="no word or kind of picture"):
        gl.look_up(asked)
