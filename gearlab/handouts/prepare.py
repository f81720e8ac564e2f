"""Everything that a class needs on paper, written into one folder."""

from dataclasses import dataclass, field
from itertools import cycle

from ..base.checks import at_most, known, whole_number
from ..base.csvtext import csv_text, safe_cell
from ..lab.question.papers import FORMS, draw_paper
from ..lab.sheet.classlist import read_class_list
from ..lab.sheet.students import file_stem, plain_id
from ..lab.suite.labs import ANY_UNIT, CORE, find_lab
from ..train.catalogue import load_train
from ..train.train import Train
from . import lessons, stations, unitsheets
from .blocks import Break, Document
from .classnotes import class_notes
from .folder import new_folder
from .papersize import PAPERS
from .printing import Printer
from .worksheets import key, worksheet

STUDENTS, INSTRUCTOR = "for students", "for the instructor"
MOST_CUTAWAYS = 50
READ_ME = f"""\
{STUDENTS}
    worksheets: one file each, with numbers of their own and no answer
    charts to fill in; bench record; set-up cards, two a page, to be cut apart;
    count and chart disagree; catch-up for somebody who was absent
    (the cards tell what is applied: they are for the bench, after the predictions)
{INSTRUCTOR}
    keys: one file for each worksheet, worked
    lesson plans; speaker notes; stations and roles; roll (also as a table, roll.csv);
    charts filled; bench record filled; what gives which count

The numbers follow from id, lab and form, so the same list gives the same papers again.
Keep the folder "{INSTRUCTOR}" to yourself.
"""


@dataclass(frozen=True, kw_only=True)
class Class:
    """A class to be prepared: who is in it, on what, and how it is printed."""

    train: Train
    students: tuple
    labs: tuple
    forms: dict  # {id: form}
    paper: str
    period: int
    cutaways: int
    groups: tuple = field(init=False)

    def __post_init__(self):
        object.__setattr__(self, "groups", stations.groups_of(self.students))


def prepare(
    train, class_list, out, *, labs=(), forms=("A",), paper="a4", period=50,
    cutaways=4, replace=False, progress=None,
):  # fmt: skip
    """Write one folder with all that a class needs on paper; its path is returned.

    Parameters
    ----------
    train : Train, a shipped name, or the path of a train file
    class_list : path of a CSV file, see
        :func:`gearlab.lab.sheet.classlist.read_class_list`
    out : the folder to make; see :func:`gearlab.handouts.folder.new_folder`
    labs : names of labs; without any, those of the core path for the unit that they are
        about, and the lab for any unit for another train
    forms : letters, dealt out in turn to all whose form the class list does not say
    paper : "a4" or "letter"
    period : of a lesson [min]
    cutaways : how many there are; 0 for a class with screens alone
    replace : whether an old folder of that name makes room and is kept beside
    progress : called with how many files are done, and of how many

    Raises
    ------
    ValueError
        Any of these cannot be used, the typesetter is not installed, or the folder
        cannot be written; there is then no new folder, and an old one is as it was.
    """
    train = train_of(train)
    planned = Class(
        train=train,
        students=(students := read_class_list(class_list)),
        labs=labs_of(train, labs),
        forms=dealt(students, forms),
        paper=known(paper, PAPERS, "paper size"),
        period=whole_number(period, "period", lessons.SHORTEST, lessons.LONGEST),
        cutaways=whole_number(cutaways, "cutaways", 0, MOST_CUTAWAYS),
    )
    printer, names = Printer(), _file_names(planned)
    with new_folder(out, replace) as draft:
        total = 2 * len(students) + len(_COMMON)
        pdfs = printer.pdfs(_documents(planned, names))
        for done, (name, pdf) in enumerate(pdfs, 1):
            draft.put(f"{name}.pdf", pdf)
            if progress is not None:
                progress(done, total)
        draft.put(f"{INSTRUCTOR}/roll.csv", _roll_table(planned, names))
        draft.put("read me first.txt", READ_ME)
    return out


def train_of(train):
    """A train as it is given: itself, its shipped name, or the path of its file."""
    return train if isinstance(train, Train) else load_train(train)


def labs_of(train, names=()):
    """The labs of some names for a train; without any, those that fit it."""
    at_most(names, 20, "labs")
    own = train == load_train("five-range")
    names = list(names) or (list(CORE) if own else [ANY_UNIT])
    return tuple(
        find_lab(name, train if name == ANY_UNIT else None)
        for name in dict.fromkeys(names)
    )


def dealt(students, forms):
    """{id: form}: as the list says, and the others in turn."""
    forms = list(forms)
    for form in forms:
        known(form, FORMS, "form")
    if not forms:
        raise ValueError("no form is given, but every paper has one; give A")
    following = cycle(forms)
    return {one.id: one.form or next(following) for one in students}


# The files ------------------------------------------------------------------------


def _file_names(planned):
    """{id: the name of the worksheet's file}, without its end."""
    return {
        one.id: file_stem((plain_id(one.id),), "worksheet", planned.forms[one.id])
        for one in planned.students
    }


def _documents(planned, names):
    """(file name, Document) of every PDF, one after the other."""
    caution = unitsheets.cautions(planned.train)
    for student in planned.students:
        stem, form = names[student.id], planned.forms[student.id]
        ids = (plain_id(student.id),)
        papers = [draw_paper(lab, ids, form) for lab in planned.labs]
        sheets = [worksheet(paper, student.name, caution) for paper in papers]
        foot = f"{student.name}, form {form}"
        name = f"{STUDENTS}/worksheets/{stem}"
        yield name, _document("Worksheets", sheets, planned.paper, foot)
        keys = [key(paper, student.name) for paper in papers]
        name = f"{INSTRUCTOR}/keys/{stem.replace('worksheet', 'key', 1)}"
        yield name, _document("Key", keys, planned.paper, f"Key: {foot}")
    for name, title, make in _COMMON:
        yield name, _document(title, [make(planned)], planned.paper, planned.train.name)


def _roll_table(planned, names):
    """The roll as CSV text that any spreadsheet reads."""
    rows = [lessons.ROLL_HEAD, *_roll_rows(planned, names)]
    return "\ufeff" + csv_text([[safe_cell(cell) for cell in row] for row in rows])


def _document(title, parts, paper, foot):
    """Parts one after the other, each on a new page."""
    blocks = [block for part in parts for block in (*part, Break())]
    return Document(title=title, blocks=tuple(blocks), foot=foot, paper=paper)


def _roll_rows(planned, names):
    return lessons.roll_rows(planned.students, planned.groups, planned.forms, names)


def _rotation(planned):
    return stations.rotation(planned.groups, planned.cutaways)


def _of_train(make):
    return lambda planned: make(planned.train)


def _stations(planned):
    caution = unitsheets.cautions(planned.train)
    return stations.station_blocks(_rotation(planned), caution)


def _plans(planned):
    caution = unitsheets.cautions(planned.train)
    return lessons.lesson_plans(
        planned.labs, _rotation(planned), planned.period, caution
    )


def _catch_up(planned):
    caution = unitsheets.cautions(planned.train)
    return lessons.catch_up(planned.labs, planned.train, caution)


def _roll(planned):
    nowhere = dict.fromkeys(planned.forms, "")
    return lessons.roll(_roll_rows(planned, nowhere), planned.labs)


# What is the same for all: the file, its title, and what makes its blocks.
_COMMON = (
    (f"{STUDENTS}/charts to fill in", "Charts to fill in",
     _of_train(unitsheets.blank_charts)),
    (f"{STUDENTS}/set-up cards", "Set-up cards", _of_train(unitsheets.set_up_cards)),
    (f"{STUDENTS}/bench record", "Bench record", _of_train(unitsheets.bench_record)),
    (f"{STUDENTS}/count and chart disagree", "When count and chart disagree",
     _of_train(unitsheets.disagreement)),
    (f"{STUDENTS}/catch-up", "Catch-up", _catch_up),
    (f"{INSTRUCTOR}/charts filled", "Charts, filled",
     _of_train(unitsheets.filled_charts)),
    (f"{INSTRUCTOR}/bench record filled", "Bench record, filled",
     _of_train(unitsheets.bench_key)),
    (f"{INSTRUCTOR}/what gives which count", "What gives which count",
     _of_train(unitsheets.disagreement_key)),
    (f"{INSTRUCTOR}/lesson plans", "Lesson plans", _plans),
    (f"{INSTRUCTOR}/speaker notes", "Speaker notes", _of_train(class_notes)),
    (f"{INSTRUCTOR}/stations and roles", "Stations and roles", _stations),
    (f"{INSTRUCTOR}/roll", "Roll", _roll),
)  # fmt: skip
