"""The exam kit, written into one folder: paper exams, the practical, the records."""

import secrets
from random import Random

from ..base.checks import at_most, known, whole_number
from ..draw.kit.sheet import capital
from ..lab.question.papers import FORMS, draw_paper, is_marked
from ..lab.question.question import Explanation
from ..lab.sheet.classlist import read_class_list
from ..lab.sheet.students import plain_id
from .blocks import Blanks, Break, Document, Heading, Words
from .folder import new_folder
from .papersize import PAPERS
from .practical import examiner_cards, practical, read_tasks, task_record
from .prepare import INSTRUCTOR, MOST_CUTAWAYS, STUDENTS, labs_of, train_of
from .printing import Printer
from .worksheets import asked_blocks, own_unit, worked_blocks

MOST_QUESTIONS = 13  # of a lab
_READ_ME = """\
This exam is named "{name}". The same name, labs and forms give the same papers again.
Tell it to nobody before the exam: it is what the numbers are drawn from.

{students}: the paper exam of each form, without an answer
{instructor}: its key, worked; the observed practical; a card a station{tasks}

A finger in a turning train fails the practical, whatever else was right.
"""


def exam(
    train, out, *, class_list=None, labs=(), forms=("A", "B"), questions=3, name=None,
    tasks=None, paper="a4", cutaways=4, replace=False, progress=None,
):  # fmt: skip
    """Write one folder with a paper exam, its key and a practical; returns its path.

    Parameters
    ----------
    train : Train, a shipped name, or the path of a train file
    out : the folder to make; see :func:`gearlab.handouts.folder.new_folder`
    class_list : path of a CSV file; with it the records bear the names
    labs : names of labs to ask from; without any, those that fit the train
    forms : letters: each is a paper of the same questions with other numbers
    questions : of each lab
    name : what the exam is drawn from; without one, a name nobody can guess
    tasks : path of the instructor's own CSV file of task texts, for a task record
    paper : "a4" or "letter"
    cutaways : how many stations the practical has, 1 at least
    replace : whether an old folder of that name makes room and is kept beside
    progress : called with how many files are done, and of how many

    Raises
    ------
    ValueError
        Any of these cannot be used, the typesetter is not installed, or the folder
        cannot be written; there is then no new folder, and an old one is as it was.
    """
    train = train_of(train)
    names = [one.name for one in read_class_list(class_list)] if class_list else [""]
    known(paper, PAPERS, "paper size")
    at_most(forms, len(FORMS), "forms")
    name = plain_id(name or secrets.token_hex(4))
    stations = whole_number(cutaways, "cutaways", 1, MOST_CUTAWAYS)
    count = whole_number(questions, "questions", 1, MOST_QUESTIONS)
    told = read_tasks(tasks) if tasks else ()
    exams = {
        known(form, FORMS, "form"): [
            draw_paper(lab, (name,), form) for lab in labs_of(train, labs)
        ]
        for form in forms
    }
    parts = {
        f"{INSTRUCTOR}/practical": [practical(train, one) for one in names],
        f"{INSTRUCTOR}/examiner cards": [examiner_cards(train, stations)],
    }
    if told:
        parts[f"{INSTRUCTOR}/task record"] = [task_record(told, one) for one in names]
    for form, papers in exams.items():
        parts[f"{STUDENTS}/exam form {form}"] = [_paper(papers, count)]
        parts[f"{INSTRUCTOR}/key form {form}"] = [_key(papers, count)]
    printer = Printer()
    with new_folder(out, replace) as draft:
        documents = (_document(file, some, paper) for file, some in parts.items())
        for done, (file, pdf) in enumerate(printer.pdfs(documents), 1):
            draft.put(f"{file}.pdf", pdf)
            if progress is not None:
                progress(done, len(parts))
        draft.put("read me first.txt", _read_me(name, told))
    return out


def _document(file, parts, paper):
    """(file name, Document) of what is printed into a file."""
    title = capital(file.split("/")[1])
    blocks = tuple(block for part in parts for block in part)
    return file, Document(title=title, blocks=blocks, foot=title, paper=paper)


def _read_me(name, tasks):
    record = "; the task record" if tasks else ""
    return _READ_ME.format(
        name=name, students=STUDENTS, instructor=INSTRUCTOR, tasks=record
    )


def chosen(paper, count):
    """The questions of a lab that an exam asks, the same in every form.

    Those that are marked, spread over the lab as its name and the exam's draw them; the
    explanation is one of them where three or more are asked.
    """
    marked = [one for one in paper.asked.values() if is_marked(one)]
    written = [
        one for one in paper.asked.values() if isinstance(one.question, Explanation)
    ]
    written = written[:1] if count >= 3 else []
    random = Random(repr((paper.students, paper.lab.name)))
    some = random.sample(marked, min(count - len(written), len(marked)))
    return [one for one in paper.asked.values() if one in (*some, *written)]


def _paper(papers, count):
    """The exam of a form: its questions one after the other, and no answer."""
    form = papers[0].form
    asked = [chosen(paper, count) for paper in papers]
    marks = sum(one.topic.marks for some in asked for one in some)
    yield Heading(text=f"Exam, form {form}", level=1)
    yield Blanks(labels=("Name", "Id", "Date"))
    yield Words(text=f"{marks} marks. Show your working: a way that is right counts.")
    place = 1
    for paper, some in zip(papers, asked, strict=True):
        before = [Heading(text=paper.lab.title), *own_unit(paper)]
        for one in some:
            yield from asked_blocks(place, one, level=3, before=before)
            place, before = place + 1, []


def _key(papers, count):
    """The key of a form, with the same numbers before its questions."""
    yield Heading(text=f"Key to the exam, form {papers[0].form}", level=1)
    place = 1
    for paper in papers:
        yield Heading(text=paper.lab.title)
        for one in chosen(paper, count):
            yield from worked_blocks(place, one, level=3)
            place += 1
    yield Break()
