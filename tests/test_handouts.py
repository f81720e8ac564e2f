"""What is printed for a class and for an exam: no answer on a sheet, nothing cut."""

import errno
import io
import os
import re
import subprocess
import sys
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest
import small_lab
from scene_checks import CHECKS
from trains import LONE_TEXT

import gearlab as gl
from gearlab.__main__ import main
from gearlab.base.numerals import fraction, number, turn_count
from gearlab.draw.kit.style import CONTEXTS
from gearlab.draw.levers.blank import draw_blank_levers
from gearlab.handouts import (
    blocks,
    folder,
    lessons,
    practical,
    room,
    stations,
    unitsheets,
)
from gearlab.handouts.blocks import (
    Cards,
    Document,
    Heading,
    Keep,
    Picture,
    Table,
    Words,
)
from gearlab.handouts.exam import chosen, exam
from gearlab.handouts.papersize import PAPERS, WIDE
from gearlab.handouts.prepare import INSTRUCTOR, STUDENTS, dealt, labs_of, prepare
from gearlab.handouts.printing import Printer
from gearlab.handouts.worksheets import answer_told, key, worksheet
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.question.question import Choice, Explanation, Number, Order, Row
from gearlab.lab.sheet.classlist import Listed
from gearlab.lab.suite.labs import CORE, LAB_NAMES, find_lab
from gearlab.train.trainfile import read_train

# Of three sets and six elements, without a one-way clutch; its name is no markup.
ODD_TEXT = """
name = "Odd #unit *x* <b> [y] $z$ \\\\ @q"
input = "input shaft"
output = "output shaft"
[sets]
alpha = { kind = "simple", sun = 30, ring = 72 }
beta = { kind = "simple", sun = 33, ring = 81 }
gamma = { kind = "simple", sun = 24, ring = 66 }
[shafts]
"input shaft" = ["alpha carrier"]
"middle shaft" = ["alpha ring"]
"common shaft" = ["beta sun", "gamma sun"]
"output shaft" = ["beta carrier", "gamma ring"]
[brakes]
"alpha brake" = "alpha sun"
"sun brake" = "common shaft"
"gamma brake" = "gamma carrier"
[clutches]
"alpha lock" = ["alpha sun", "alpha carrier"]
"forward clutch" = ["middle shaft", "beta ring"]
"direct clutch" = ["middle shaft", "common shaft"]
[ranges]
1 = ["alpha lock", "forward clutch", "gamma brake"]
2 = ["alpha lock", "forward clutch", "sun brake"]
3 = ["alpha lock", "forward clutch", "direct clutch"]
4 = ["alpha brake", "forward clutch", "direct clutch"]
R = ["alpha lock", "direct clutch", "gamma brake"]
N = ["alpha lock"]
"""
# One set and one range, which a brake and a one-way clutch give together.
SMALL_TEXT = """
name = "Small"
input = "one sun"
output = "one carrier"
[sets]
one = { kind = "simple", sun = 24, ring = 60 }
[brakes]
"ring brake" = "one ring"
[one-way-clutches]
"ring one-way clutch" = { member = "one ring", against = "case" }
[ranges]
low = ["ring brake"]
"""
HOSTILE = '#panic("x") *b* _i_ $1$ `c` <l> @r \\ "q" // c [x] {y} = - + /'


def odd():
    return read_train(ODD_TEXT)


TRAINS = {
    **{name: lambda name=name: gl.load_train(name) for name in gl.train_names()},
    "odd": odd,
}
UNIT_SHEETS = {
    "blank charts": unitsheets.blank_charts,
    "filled charts": unitsheets.filled_charts,
    "set-up cards": unitsheets.set_up_cards,
    "disagreement": unitsheets.disagreement,
    "disagreement key": unitsheets.disagreement_key,
    "bench record": unitsheets.bench_record,
    "bench key": unitsheets.bench_key,
    "practical": practical.practical,
    "examiner cards": lambda train: practical.examiner_cards(train, 5),
}


@pytest.fixture(scope="module")
def printer():
    return Printer()


def paper_of(name, who="ana", form="A"):
    return draw_paper(find_lab(name), (who,), form)


def every(kind, block):
    """Every block of a kind within a block or a row of them."""
    if isinstance(block, kind):
        yield block
    inner = block if isinstance(block, tuple) else ()
    if isinstance(block, Document | Keep):
        inner = block.blocks
    elif isinstance(block, Cards):
        inner = block.cards
    for one in inner:
        yield from every(kind, one)


# No answer on a worksheet ---------------------------------------------------------


def otherwise(question):
    """The question with another answer, and with everything else that gives it away."""
    secret = {"also": (), "slips": (), "hints": ("SECRET",), "reason": "SECRET"}
    if isinstance(question, Explanation):
        return replace(question, points=("SECRET",) * 3, **secret)
    if isinstance(question, Number):
        answer = question.answer + 1
    elif isinstance(question, Row):
        answer = frozenset(question.options) - question.answer
    elif isinstance(question, Order):
        answer = question.answer[::-1]
    else:
        assert isinstance(question, Choice)
        answer = next(one for one in question.options if one != question.answer)
    return replace(question, answer=answer, **secret)


def with_other_answers(paper):
    asked = {
        name: replace(one, question=otherwise(one.question))
        for name, one in paper.asked.items()
    }
    return replace(paper, asked=type(paper.asked)(asked))


@pytest.mark.parametrize("name", LAB_NAMES)
def test_a_worksheet_does_not_depend_on_any_answer(name):
    for form in "AB":
        paper = paper_of(name, form=form)
        sheet = tuple(worksheet(paper, "Ana", "Take care."))
        assert sheet == tuple(worksheet(with_other_answers(paper), "Ana", "Take care."))
        assert "SECRET" in "".join(
            blocks.texts(tuple(key(with_other_answers(paper), "")))
        )


@pytest.mark.parametrize("name", LAB_NAMES)
def test_a_worksheet_has_every_question_and_its_key_every_answer(name):
    paper = paper_of(name)
    sheet = list(blocks.texts(tuple(worksheet(paper, "Ana"))))
    told = list(blocks.texts(tuple(key(paper, "Ana"))))
    for one in paper.asked.values():
        question = one.question
        assert question.text in sheet and question.text in told
        for option in getattr(question, "options", ()):
            assert option in sheet
        if isinstance(question, Explanation):
            assert set(question.points) <= set(told)
            assert not set(question.points) & set(sheet)
            continue
        assert answer_told(question) in told
        assert set(question.hints).isdisjoint(sheet)
        if isinstance(question, Number) and question.answer.denominator > 2:
            exact = re.escape(fraction(question.answer))
            assert not re.search(rf"(?<![\d/]){exact}(?![\d/])", question.text)


def test_each_form_of_question_has_its_own_room():
    sheet = tuple(worksheet(draw_paper(small_lab.LAB), "Ana"))
    rooms = {
        one.blocks[0].text.split("(")[0][3:].strip(): one.blocks[1:]
        for one in every(Keep, sheet)
    }
    kinds = {name: {type(b).__name__ for b in some} for name, some in rooms.items()}
    assert {"Room", "Blanks"} <= kinds["What ratio"]
    assert {"Picture", "Points"} <= kinds["Where is the sun"]
    assert "Points" in kinds["What is held"] and "Points" in kinds["What is applied"]
    assert {"Points", "Blanks"} <= kinds["Which order"]
    assert "Room" in kinds["Why one"]
    assert any("Predict before" in text for text in blocks.texts(rooms["Which way"]))


def test_every_student_has_numbers_of_their_own():
    sheets = {tuple(worksheet(paper_of(CORE[0], who), "X")) for who in ("a", "b", "c")}
    assert len(sheets) == 3


def test_blank_charts_tell_no_ratio_and_filled_ones_do():
    for name, load in TRAINS.items():
        train = load()
        blank, filled = (
            "".join(one.svg for one in every(Picture, tuple(make(train))))
            for make in (unitsheets.blank_charts, unitsheets.filled_charts)
        )
        for flow in unitsheets.driving(train).values():
            if flow.ratio.denominator > 1:
                assert f">{number(flow.ratio)}<" in filled, name
                assert f">{number(flow.ratio)}<" not in blank, name


@pytest.mark.parametrize("name", TRAINS)
def test_blank_levers_are_a_good_scene(name):
    train = TRAINS[name]()
    for context in CONTEXTS:
        for end in ("input", "output"):
            scene = draw_blank_levers(train, context=context, end=end)
            assert not [fault for check in CHECKS for fault in check(scene)]
    assert all(one.name in scene.alt for one in train.sets)


# What a page holds ----------------------------------------------------------------


def ink(png):
    """A page as an array of light, 1 is white."""
    from matplotlib.image import imread

    page = imread(io.BytesIO(png))
    return page[..., :3].mean(axis=2) if page.ndim == 3 else page


def check_margins(pages, dots):
    """Nothing is cut: the margins are white, but for the line at the foot."""
    mm = dots / 25.4
    for page in map(ink, pages):
        side, top, foot = int(17.5 * mm), int(15 * mm), int(17 * mm)
        assert page[:top].min() > 0.97
        assert page[:, :side].min() > 0.97
        assert page[:, -side:].min() > 0.97
        assert page[-foot : -int(14 * mm)].min() > 0.97


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", TRAINS)
def test_sheets_of_any_train_stay_within_their_margins(name, paper, printer):
    train = TRAINS[name]()
    for make in UNIT_SHEETS.values():
        document = Document(
            title="Sheet", blocks=tuple(make(train)), paper=paper, foot=HOSTILE
        )
        assert printer.pdf(document).startswith(b"%PDF")
        check_margins(printer.pages(document, 40), 40)


@pytest.mark.parametrize("paper", PAPERS)
def test_worksheets_and_keys_stay_within_their_margins(paper, printer):
    for name in LAB_NAMES:
        one = paper_of(name)
        for make in (worksheet, key):
            document = Document(
                title="Sheet", blocks=tuple(make(one, "W" * 60)), paper=paper
            )
            check_margins(printer.pages(document, 40), 40)


@pytest.mark.parametrize("paper, size", [("a4", (595, 842)), ("letter", (612, 792))])
def test_paper_sizes(paper, size, printer):
    document = Document(title="x", blocks=(Words(text="x"),), paper=paper)
    high, wide = ink(printer.pages(document, 72)[0]).shape
    assert abs(wide - size[0]) <= 1 and abs(high - size[1]) <= 1


def test_no_letter_is_below_nine_points():
    program = Path(blocks.__file__).with_name("page.typ").read_text(encoding="utf-8")
    sizes = [float(size) for size in re.findall(r"size: ([\d.]+)pt", program)]
    assert len(sizes) >= 4 and min(sizes) >= 9
    for load in TRAINS.values():
        for make in (unitsheets.blank_charts, unitsheets.filled_charts):
            for one in every(Picture, tuple(make(load()))):
                natural = float(re.search(r'viewBox="0 0 (\S+) ', one.svg)[1])
                scale = one.wide / (natural * 25.4 / 96)
                assert scale * CONTEXTS["print"].font * 0.75 >= 9 - 1e-9


def test_pictures_are_black_and_white():
    train = gl.load_train("five-range")
    pictures = list(every(Picture, tuple(unitsheets.filled_charts(train))))
    assert pictures
    for one in pictures:
        for red, green, blue in re.findall(r'(?:fill|stroke)="#(..)(..)(..)"', one.svg):
            assert red == green == blue


def test_a_column_is_as_wide_as_its_longest_word_and_long_names_break(printer):
    words = ("reverse", "W" * 60, "b-0123456789", "the bench on the screen", "x")
    table = Table(head=words, rows=(words[::-1],) * 2, parts=(1, 1, 9, 1, 1))
    assert abs(sum(room.widths(table)) - WIDE) < 1e-6
    for text in ("Maximiliane-Alexandra Musterfrau", "a - b--c ", "-", ""):
        assert room.softened_cell(text) == text
    assert room.softened_cell("x-" + "W" * 60).startswith("x-W" + room.BREAK)
    narrow = Table(head=("range", "x"), rows=(("reverse", "x"),), parts=(1, 40))
    assert room.widths(narrow)[0] > 15
    long = [
        table,
        Heading(text="W" * 90),
        Words(text="W" * 99),
        blocks.Points(items=("W" * 99,)),
    ]
    document = Document(title="x", foot="W" * 60, blocks=tuple(long))
    check_margins(printer.pages(document, 40), 40)


def test_what_a_page_may_not_hold_is_not_kept_together():
    line = Words(text="x" * 80)
    (kept,) = blocks.kept([line] * 3)
    assert isinstance(kept, Keep)
    assert blocks.kept([line] * 60) == (line,) * 60


def test_every_text_is_data(printer):
    """Set as it is written; nothing of it is obeyed."""
    document = Document(
        title=HOSTILE,
        foot=HOSTILE,
        blocks=(
            Heading(text=HOSTILE, level=1),
            Words(text=HOSTILE, lead=HOSTILE),
            Table(head=(HOSTILE,), rows=((HOSTILE,), ("x" * 300,)), parts=(1,)),
        ),
    )
    check_margins(printer.pages(document, 40), 40)


def test_text_can_be_searched_and_pages_have_title_language_and_alt_texts(printer):
    from pypdf import PdfReader

    words = "Selbstverständlich ungewöhnlichlange Wörter " * 30
    picture = blocks.picture(gl.draw.draw_stick(gl.power_flow(odd(), "1")))
    document = Document(
        title="Ana's sheet", blocks=(Words(text=words), picture), foot="at the foot"
    )
    reader = PdfReader(io.BytesIO(printer.pdf(document)))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert re.sub(r"\s+", " ", text).count("ungewöhnlichlange") == 30  # never broken
    assert reader.metadata.title == "Ana's sheet"
    root = reader.trailer["/Root"]
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"]


# Who is where ---------------------------------------------------------------------


def students(count, groups=()):
    return tuple(
        Listed(id=f"b-{n}", name=f"Student {n}", group=groups[n] if groups else "")
        for n in range(count)
    )


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 7, 9, 30, 33])
@pytest.mark.parametrize("cutaways", [0, 1, 2, 4, 9])
def test_every_group_is_at_a_cutaway_and_no_cutaway_has_two(count, cutaways):
    groups = stations.groups_of(students(count))
    assert sum(len(group.students) for group in groups) == count
    assert all(1 <= len(group.students) <= 4 for group in groups)
    assert count < 3 or min(len(group.students) for group in groups) > 1
    rotated = stations.rotation(groups, cutaways)
    for turn in range(rotated.turns):
        at = [row[turn] for row in rotated.places if row[turn] != stations.ON_SCREEN]
        assert len(at) == len(set(at)) <= cutaways
    for places in rotated.places:
        assert not cutaways or any(one != stations.ON_SCREEN for one in places)


def test_groups_of_the_list_stay_and_names_stand_for_one_group():
    groups = stations.groups_of(students(4, ["1", "", "red", "1"]))
    assert [(one.name, len(one.students)) for one in groups] == [
        ("1", 2),
        ("red", 1),
        ("2", 1),
    ]


@pytest.mark.parametrize("size", [1, 2, 3, 4, 5, 6])
def test_everybody_has_every_role_in_turn(size):
    group = stations.Group(name="1", students=students(size))
    found = [stations.roles_in(group, turn) for turn in range(size)]
    for role in stations.ROLES:
        assert {roles[role] for roles in found} == {s.name for s in group.students}
    for roles in found:  # nobody is left out
        assert all(any(s.name in who for who in roles.values()) for s in group.students)


@pytest.mark.parametrize("period", [25, 30, 45, 50, 90, 240])
@pytest.mark.parametrize("turns", [1, 2, 8, 30])
def test_a_lesson_has_no_gap(period, turns):
    steps = lessons.steps_of(period, turns, find_lab(CORE[0]))
    assert steps[0].start == 0 and steps[-1].end == period
    assert all(one.end == after.start for one, after in pairwise(steps))
    assert all(one.end > one.start for one in steps)


def test_turns_that_do_not_fit_are_said():
    rotated = stations.rotation(stations.groups_of(students(30)), 1)
    plans = lessons.lesson_plans([find_lab(CORE[0])], rotated, 30, "Care.")
    assert "8 turns do not fit into 30 minutes" in " ".join(blocks.texts(tuple(plans)))


def test_forms_are_dealt_out_and_the_list_has_its_way():
    some = (*students(3), Listed(id="x", name="X", form="D"))
    assert list(dealt(some, "AB").values()) == ["A", "B", "A", "D"]
    with pytest.raises(ValueError, match='no form "Z"'):
        dealt(some, ["Z"])
    with pytest.raises(ValueError, match="no form is given"):
        dealt(some, [])


def test_labs_fit_the_train():
    assert [lab.name for lab in labs_of(gl.load_train("five-range"))] == list(CORE)
    (lab,) = labs_of(odd())
    assert lab.name == "walk-a-unit" and lab.train({}) == odd()
    with pytest.raises(ValueError, match="did you mean"):
        labs_of(odd(), ["turn-one-sett"])


# The folder -----------------------------------------------------------------------

LIST = 'id,name,form\nb-17,Zoë #1 *x*,\n"b 18","Lima, Ana",C\n'


@pytest.fixture
def class_list(tmp_path):
    path = tmp_path / "class.csv"
    path.write_text(LIST, encoding="utf-8")
    return path


def files(path):
    return {
        one.relative_to(path).as_posix(): one.read_bytes()
        for one in Path(path).rglob("*")
        if one.is_file()
    }


@pytest.mark.parametrize("text", [ODD_TEXT, SMALL_TEXT])
def test_a_train_file_goes_through_all(text, tmp_path, class_list):
    train = tmp_path / "mine.toml"
    train.write_text(text, encoding="utf-8")
    done = []
    out = prepare(
        train, class_list, tmp_path / "out", paper="letter", period=30, cutaways=1,
        progress=lambda *at: done.append(at),
    )  # fmt: skip
    made = files(out)
    assert (
        len([name for name in made if name.startswith(f"{STUDENTS}/worksheets/")]) == 2
    )
    assert len([name for name in made if name.startswith(f"{INSTRUCTOR}/keys/")]) == 2
    assert all(d.startswith(b"%PDF") for n, d in made.items() if n.endswith(".pdf"))
    roll = made[f"{INSTRUCTOR}/roll.csv"].decode("utf-8-sig")
    assert '"Lima, Ana",C,' in roll
    assert done[-1][0] == done[-1][1] == len([n for n in made if n.endswith(".pdf")])
    exams = files(exam(train, tmp_path / "exam", class_list=class_list, questions=2))
    assert {n for n in exams if n.endswith(".pdf")} == {
        f"{INSTRUCTOR}/practical.pdf",
        f"{INSTRUCTOR}/examiner cards.pdf",
        *(f"{STUDENTS}/exam form {form}.pdf" for form in "AB"),
        *(f"{INSTRUCTOR}/key form {form}.pdf" for form in "AB"),
    }


def test_the_same_class_gives_the_same_files(tmp_path, class_list):
    one, two = (
        files(prepare(odd(), class_list, tmp_path / out, labs=["turn-one-set"]))
        for out in ("one", "two")
    )
    assert one == two


ALL_TEXTS = """
import sys, gearlab
from gearlab.handouts import blocks, practical, unitsheets
from gearlab.handouts.worksheets import key, worksheet
from gearlab.lab.question.papers import draw_paper
from gearlab.lab.suite.labs import LAB_NAMES, find_lab
train = gearlab.load_train("five-range")
made = [unitsheets.bench_key(train), practical.examiner_cards(train, 9)]
made += [unitsheets.disagreement_key(train), unitsheets.set_up_cards(train)]
for name in LAB_NAMES:
    paper = draw_paper(find_lab(name), ("ana",))
    made += [worksheet(paper, "Ana"), key(paper, "Ana")]
sys.stdout.buffer.write(repr([tuple(one) for one in made]).encode("utf-8"))
"""


def test_another_process_gives_the_same_sheets():
    """Sets have another order in each; a sheet must not."""
    told = {
        subprocess.run(
            [sys.executable, "-c", ALL_TEXTS],
            env={**os.environ, "PYTHONHASHSEED": seed},
            capture_output=True,
            check=True,
        ).stdout
        for seed in ("1", "2", "3")
    }
    assert len(told) == 1 and len(told.pop()) > 10_000


def test_a_train_without_ranges_is_refused_in_a_sentence(tmp_path, class_list):
    with pytest.raises(ValueError) as caught:
        prepare(read_train(LONE_TEXT), class_list, tmp_path / "out")
    assert "range" in str(caught.value) and "\n" not in str(caught.value)
    assert [one.name for one in tmp_path.iterdir()] == ["class.csv"]


def filled(path, text):
    with folder.new_folder(path, replace=True) as draft:
        draft.put("a/b.txt", text)


def test_a_folder_that_is_there_is_not_overwritten_without_a_word(tmp_path):
    path = tmp_path / "out"
    filled(path, "first")
    with pytest.raises(ValueError, match="is there already"), folder.new_folder(path):
        pass
    filled(path, "second")
    filled(path, "third")
    assert files(tmp_path) == {
        "out/a/b.txt": b"third",
        "out (old)/a/b.txt": b"first",
        "out (old 2)/a/b.txt": b"second",
    }
    with pytest.raises(ValueError, match="no folder that it could be in"):
        filled(tmp_path / "none" / "out", "")


@pytest.mark.parametrize("error", [errno.ENOSPC, errno.EACCES])
def test_a_full_disk_leaves_the_old_folder_whole(tmp_path, monkeypatch, error):
    path = tmp_path / "out"
    filled(path, "first")

    def full(path, data):
        raise OSError(error, "no room")

    monkeypatch.setattr(folder, "replace_file", full)
    with pytest.raises(ValueError, match="no room"):
        filled(path, "second")
    assert files(tmp_path) == {"out/a/b.txt": b"first"}
    assert [one.name for one in tmp_path.iterdir()] == ["out"]


def test_an_old_folder_comes_back_if_the_new_one_cannot_take_its_place(
    tmp_path, monkeypatch
):
    path = tmp_path / "out"
    filled(path, "first")
    rename = Path.rename

    def refuse(self, target):
        if self.suffix == ".part":
            raise OSError(errno.EBUSY, "busy")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", refuse)
    with pytest.raises(ValueError, match="busy"):
        filled(path, "second")
    assert files(tmp_path) == {"out/a/b.txt": b"first"}


def test_whatever_stops_it_leaves_nothing_behind(tmp_path):
    with pytest.raises(KeyboardInterrupt), folder.new_folder(tmp_path / "out") as draft:
        draft.put("x", "x")
        raise KeyboardInterrupt
    assert not list(tmp_path.iterdir())


def test_without_the_typesetter_a_sentence_says_what_to_install(
    tmp_path, class_list, monkeypatch, capsys
):
    monkeypatch.setitem(sys.modules, "typst", None)
    out = tmp_path / "out"
    for words in (
        ["prepare", "five-range", str(class_list), "--labs", CORE[0]],
        ["exam", "five-range", "--labs", CORE[0]],
    ):
        assert main([*words, "--out", str(out)]) == 2
        said = capsys.readouterr().err
        assert (
            'python -m pip install "typst>=0.13,<1"' in said and said.count("\n") == 1
        )
        assert not out.exists()


def test_the_commands(tmp_path, class_list, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    small = ["--labs", "turn-one-set", "--paper", "letter", "--cutaways", "2"]
    assert main(["prepare", "lone-set", "class.csv", *small, "--period", "30"]) == 0
    assert capsys.readouterr().out == "Written: class handouts\n"
    assert main(["prepare", "lone-set", "class.csv", *small]) == 2
    assert "is there already" in capsys.readouterr().err
    assert main(["prepare", "lone-set", "class.csv", *small, "--replace"]) == 0
    assert (tmp_path / "class handouts (old)" / INSTRUCTOR / "roll.pdf").exists()
    tasks = tmp_path / "tasks.csv"
    tasks.write_text('code;task\nT 1;"Set, and\ncount"\n', encoding="utf-8")
    words = ["--tasks", "tasks.csv", "--form", "C", "--name", "June"]
    assert main(["exam", "lone-set", *small, *words]) == 0
    made = files(tmp_path / "lone-set exam")
    assert f"{INSTRUCTOR}/task record.pdf" in made
    assert f"{STUDENTS}/exam form C.pdf" in made
    assert '"june"' in made["read me first.txt"].decode("utf-8")
    for wrong in (["--period", "5"], ["--cutaways", "-1"]):
        assert main(["prepare", "lone-set", "class.csv", *small, *wrong]) == 2
        assert "whole number from" in capsys.readouterr().err


# The exam -------------------------------------------------------------------------


def test_forms_ask_the_same_with_other_numbers():
    one, two = (draw_paper(find_lab("turn-one-set"), ("june",), form) for form in "AB")
    asked, other = chosen(one, 4), chosen(two, 4)
    assert [a.topic.name for a in asked] == [a.topic.name for a in other]
    assert len(asked) == 4
    assert not any(a.topic.prediction for a in asked)
    assert [a.question.text for a in asked] != [a.question.text for a in other]
    again = draw_paper(find_lab("turn-one-set"), ("july",), "A")
    names = {tuple(a.topic.name for a in chosen(p, 4)) for p in (one, again)}
    assert len(names) == 2


def test_the_practical_has_ten_lines_and_a_finger_fails_it():
    assert len(practical.LINES) == 10
    told = " ".join(blocks.texts(tuple(practical.practical(odd(), "Ana"))))
    assert all(what in told for what, _ in practical.LINES)
    assert practical.FAILS in told and "Ana" in told


def test_a_card_asks_for_nothing_that_its_train_does_not_have():
    (cards,) = unitsheets.set_up_cards(odd())
    texts = (" ".join(blocks.texts(card)) for card in cards.cards)
    told = dict(zip(odd().range_names, texts, strict=True))
    assert not any("one-way" in card for card in told.values())
    assert "does not drive the output" in told.pop("N")
    assert all("five times" in card for card in told.values())


def test_every_bench_sheet_says_what_keeps_people_from_harm():
    for make in (unitsheets.disagreement, unitsheets.bench_record, practical.practical):
        told = " ".join(blocks.texts(tuple(make(gl.load_train("five-range")))))
        assert unitsheets.FINGER in told and unitsheets.LOCAL_RULES in told
    for train in (odd(), gl.load_train("five-range")):
        (cards,) = unitsheets.set_up_cards(train)
        assert len(cards.cards) == len(train.ranges)
        for card in cards.cards:
            assert unitsheets.FINGER in " ".join(blocks.texts(card))


def test_examiner_cards_tell_the_count_and_a_mishap_that_gives_another():
    train = gl.load_train("five-range")
    (cards,) = practical.examiner_cards(train, 9)
    ranges = list(unitsheets.driving(train))
    assert len(cards.cards) == 9
    for n, card in enumerate(cards.cards):
        told = " ".join(blocks.texts(card))
        flow = gl.power_flow(train, ranges[n % len(ranges)])
        assert turn_count(abs(flow.ratio)) in told
        assert all(name in told for name in flow.applied)
        assert "Somebody counted" in told
    with pytest.raises(ValueError, match="no range of the train"):
        practical.examiner_cards(read_train(LONE_TEXT), 1).__next__()


@pytest.mark.parametrize(
    "text, said",
    [
        ("a,b\n1,2\n", 'no column "task"'),
        ("task\n", "has 0 tasks"),
        ("task\n=1+1\n", "formula"),
        ("", "is empty"),
    ],
)
def test_a_task_list_that_is_none_gets_a_sentence(tmp_path, text, said):
    path = tmp_path / "tasks.csv"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=said):
        practical.read_tasks(path)
