"""What is folded stays closed until it is opened, and is compared by its words."""

from html.parser import HTMLParser

import pytest

import gearlab as gl
from gearlab.draw import draw_end_view, folded, to_img

FLOW = gl.power_flow(gl.load_train("lone-set"), "sun to carrier")
SCENE = draw_end_view(FLOW, "single")
NASTY = "</details><script>alert('1 & 2')</script>\n  two\n"


def shown(what, *summary):
    bundle = folded(what, *summary)._repr_mimebundle_()
    assert set(bundle) == {"text/html", "text/plain"}
    return bundle["text/html"], bundle["text/plain"]


class Tags(HTMLParser):
    """The tags of a page that are open, with what stands in each as text."""

    def __init__(self, page):
        super().__init__()
        self.opened, self.inside, self.texts = [], [], {}
        self.feed(page)
        self.close()
        assert not self.inside, "every tag is closed"

    def handle_starttag(self, tag, attrs):
        self.opened.append((tag, dict(attrs)))
        if tag != "img":
            self.inside.append(tag)

    def handle_endtag(self, tag):
        assert self.inside.pop() == tag

    def handle_data(self, data):
        self.texts[self.inside[-1]] = self.texts.get(self.inside[-1], "") + data


def test_a_picture_is_closed_behind_its_line_and_compared_by_its_sentence():
    page, words = shown(SCENE)
    assert words == SCENE.alt and to_img(SCENE) in page
    tags = Tags(page)
    assert tags.opened[0] == ("details", {}), "closed: without the mark that opens it"
    assert tags.texts == {"summary": "show what we saw"}


def test_words_are_text_whatever_they_hold():
    page, words = shown(NASTY, NASTY)
    assert words == NASTY
    tags = Tags(page)
    assert [tag for tag, _ in tags.opened] == ["details", "summary", "pre"]
    assert tags.texts == {"summary": NASTY, "pre": NASTY}


def test_several_stand_below_each_other():
    page, words = shown([SCENE, "It turned backward."], "show the answer")
    assert words == f"{SCENE.alt}\nIt turned backward."
    tags = Tags(page)
    assert tags.texts == {"summary": "show the answer", "pre": "It turned backward."}
    assert [tag for tag, _ in tags.opened].count("img") == 1


@pytest.mark.parametrize(
    "what, given",
    [(FLOW, "a PowerFlow"), (b"x", "a bytes"), ([SCENE, None], "a NoneType")],
)
def test_what_is_no_picture_is_refused(what, given):
    with pytest.raises(
        ValueError, match=f"{given} is given to be folded, but it must be"
    ):
        folded(what)


@pytest.mark.parametrize("nothing", [[], ()])
def test_nothing_is_refused(nothing):
    with pytest.raises(ValueError, match="nothing is to be folded"):
        folded(nothing)
