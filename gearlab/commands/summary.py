"""``summary``: the work of one student, or one group, in all labs."""

from ..lab.question.papers import FORMS
from ..lab.sheet.sheet import answers_folder
from ..lab.sheet.students import read_students
from .frame import Command, say_written


def _arguments(parser):
    parser.add_argument("students", help='the id, or "several, with commas"')
    parser.add_argument("--form", choices=FORMS, default="A")
    parser.add_argument(
        "--picture", metavar="FILE", help="write it on one page: .pdf, .png or .svg"
    )


def _run(wanted):
    from ..lab.mark.progress import progress, summary_text

    students, folder = read_students(wanted.students), answers_folder()
    print(summary_text(students, wanted.form, folder))
    if wanted.picture is not None:
        from ..draw import save
        from ..lab.mark.summary import draw_summary

        standings = progress(students, wanted.form, folder)
        scene = draw_summary(standings, students, wanted.form)
        say_written(save(scene, wanted.picture))


COMMAND = Command(
    name="summary",
    summary="sum up one student's work on this machine",
    about="Sum up the work of one student, or one group, from the answer sheets on this"
    "\nmachine.",
    examples=("summary s17", 'summary "s17, s18" --form B --picture both.pdf'),
    arguments=_arguments,
    run=_run,
)
